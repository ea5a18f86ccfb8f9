//! Invented, finished stories, to look at and to try the program on: a small studio prepares panels for studies of
//! garden birds. The same seed makes the same bytes, whenever and wherever.
//!
//! `rng` draws the numbers, `calendar` keeps the hours and `studio_air` the air; `studio` plans which panels there are
//! and what befalls each, `row` is one pair of hands over panels laid side by side, `panel_simulation` one panel,
//! `pots` the pots of a row, `pot_simulation` one pot and `jar` how it cools; `inspections` is what is seen months
//! later, `planted` shelves of another kind, with one cause for their cracks, `writer` the way onto disk. No clock is read, and no person is named.

mod calendar;
mod inspections;
mod invented;
mod jar;
mod panel_simulation;
mod planted;
mod pot_simulation;
mod pots;
mod rng;
mod row;
mod studio;
mod studio_air;
mod words;
mod writer;

#[cfg(test)]
mod tests;

pub use inspections::CrackCause;
pub use invented::{DemoError, DemoOptions, InventedShelf};
pub use writer::write_demo;

use crate::units::{Id, Span, Stamp};
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use invented::{assign_id, first_morning};
use pots::{PotNames, RowPots};
use std::collections::BTreeSet;
use studio_air::StudioAir;

/// Invents a shelf.
///
/// # Errors
/// The refusal of a fact, which is a mistake in this module.
pub fn invent_shelf(options: &DemoOptions) -> Result<InventedShelf, DemoError> {
    if options.cause.is_planted() {
        return planted::invent_planted_shelf(options);
    }
    let weather = StudioAir::new(options.seed);
    let mut shelf = InventedShelf { panels: Vec::new(), pots: Vec::new(), air: Vec::new() };
    let (mut taken, mut names) = (BTreeSet::new(), PotNames::default());
    let mut morning = first_morning(options.seed);
    for (nth, row) in studio::plan_rows(options.seed, usize::from(options.panels)).iter().enumerate() {
        morning = calendar::next_working_time(morning, Span::ZERO);
        let ids: Vec<Id> = row.panels.iter().map(|bare| assign_id(&bare.label, &mut taken)).collect();
        let pots = RowPots::plan(row, nth, morning, options.seed, &mut names);
        let worked = row::work_row(row, &ids, &pots, weather, options.seed, morning)?;
        let laid: Vec<&PanelStory> = worked.panels.iter().map(panel_simulation::PanelSimulation::story).collect();
        let forgotten = worked.forgotten.as_ref();
        let away = forgotten.map(|(id, away)| (id, *away));
        shelf.pots.extend(pots.simulate_pots(row, &laid, away, options.seed, weather)?);
        for (bare, story) in row.panels.iter().zip(laid) {
            let hot = forgotten.is_some_and(|(pot, (_, until))| has_coat_from(story.panel(), pot, *until));
            let told =
                if bare.is_inspected { inspections::add_inspections(story, hot, options.seed)? } else { story.clone() };
            shelf.panels.push(told);
        }
        morning = worked.free_at + Span::from_h(20.0);
    }
    shelf.take_air(weather);
    Ok(shelf)
}

/// Whether a standing coat of that panel was laid from that pot after that time.
fn has_coat_from(panel: &Panel, pot: &Id, after: Stamp) -> bool {
    let laid = panel.steps().iter().filter_map(|s| s.laid_coat());
    laid.filter(|l| l.event.pot.as_ref() == Some(pot)).any(|l| l.done_at.wall > after)
}
