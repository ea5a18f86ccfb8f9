//! Shelves with one cause planted: two boards to a pot of gesso, a pot of size for every four of these, each pair laid on a
//! day of its own. How strong, of which lot, how hot, how dry, how thin, with what gap and after what cure is drawn for
//! each; the work is the same whatever the cause, which alone decides what cracks.

use super::calendar::{DAY_S, day_number, next_working_time, studio_moment};
use super::inspections::{CrackCause, record_inspection};
use super::pots::{PotNames, RowPots, SizeDemand};
use super::rng::Rng;
use super::studio::{Fate, PlannedPanel, StudioRow, panel_label};
use super::studio_air::StudioAir;
use super::{DemoError, DemoOptions, InventedShelf, assign_id, panel_simulation, row};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe, shipped};
use crate::units::{Id, Length, Size, Span, Stamp};
use crate::work::panel::inspection::{Crack, CrackDirection, CrackPlace, Inspection};
use crate::work::panel::story::PanelStory;
use std::collections::BTreeSet;
use std::sync::Arc;

const PANELS_PER_ROW: usize = 2;
/// Pots of gesso from one pot of size.
const ROWS_PER_SIZE: usize = 4;
/// Of twenty panels with the cause so many crack, and of twenty without.
const CRACKED_OF_20: (i64, i64) = (17, 1);
/// Of twenty panels where there is no cause.
const CRACKED_BY_CHANCE_OF_20: i64 = 6;
/// Days after finishing on which the studio looks, where it looks on set days.
const SET_DAYS: [i64; 4] = [1, 7, 28, 90];

/// What is drawn for the pair laid from one pot.
#[derive(Debug, Clone, Copy)]
struct Pair {
    is_strong: bool,
    is_new_lot: bool,
    is_hot: bool,
    is_short_cure: bool,
    /// Which of the two is thin.
    thin: usize,
    /// Which of the two waits for more than an hour between two coats.
    gapped: usize,
}

/// Half of all have it, in an order drawn by lot.
fn draw_halves(rows: usize, rng: &mut Rng) -> Vec<bool> {
    let mut halves: Vec<bool> = (0..rows).map(|i| i < rows / 2).collect();
    rng.shuffle(&mut halves);
    halves
}

fn draw_pairs(rows: usize, seed: u64) -> Vec<Pair> {
    let mut rng = Rng::new(seed, "pairs");
    let [strong, lot, hot, cure] = [(); 4].map(|()| draw_halves(rows, &mut rng));
    (0..rows)
        .map(|i| Pair {
            is_strong: strong[i],
            is_new_lot: lot[i],
            is_hot: hot[i],
            is_short_cure: cure[i],
            thin: rng.draw_int(0, 1) as usize,
            gapped: rng.draw_int(0, 1) as usize,
        })
        .collect()
}

/// The recipe of a pair: stronger or not, with a long cure or a short one.
fn draw_recipe(base: &Recipe, pair: Pair, rng: &mut Rng) -> Arc<Recipe> {
    let mut recipe = base.clone();
    let strength = if pair.is_strong { 1.28 } else { 1.0 } * rng.draw_int(96, 104) as f64 / 100.0;
    recipe.gesso.glue_g_per_l_water = (recipe.gesso.glue_g_per_l_water * strength).round();
    recipe.size.cure_h = if pair.is_short_cure { 13.0 } else { 37.0 };
    Arc::new(recipe)
}

fn plan_row(base: &Recipe, nth: usize, pair: Pair, panels: usize, rng: &mut Rng) -> StudioRow {
    let panel = |i: usize| PlannedPanel {
        label: panel_label(nth * PANELS_PER_ROW + i),
        size: Size {
            width: Length::from_mm(300.0),
            height: Length::from_mm(400.0),
            thickness: Some(Length::from_mm(if pair.thin == i { 6.0 } else { 12.0 })),
        },
        support: Support::BirchPlywood,
        fate: if pair.gapped == i { Fate::Gapped } else { Fate::Plain },
        is_inspected: true,
    };
    StudioRow { recipe: draw_recipe(base, pair, rng), paint: Paint::Oil, panels: (0..panels).map(panel).collect() }
}

/// Invents a shelf with that cause planted.
pub(super) fn invent_planted_shelf(options: &DemoOptions) -> Result<InventedShelf, DemoError> {
    let weather = StudioAir::with_dry_days(options.seed);
    let mut shelf = InventedShelf::default();
    let Some(base) = shipped::find_shipped_recipe("gypsum-zinc") else { return Ok(shelf) };
    let panels = usize::from(options.panels);
    let rows = panels.div_ceil(PANELS_PER_ROW);
    let pairs = draw_pairs(rows, options.seed);
    let mut rng = Rng::new(options.seed, "recipes");
    let (mut taken, mut names) = (BTreeSet::new(), PotNames::default());
    let mut morning = super::first_morning(options.seed);
    let mut worked: Vec<(PanelStory, bool)> = Vec::new();
    for (group, some) in pairs.chunks(ROWS_PER_SIZE).enumerate() {
        morning = next_working_time(morning, Span::ZERO);
        let size = RowPots::name_size(morning, &mut names);
        let mut demand = SizeDemand::default();
        let mut laid: Vec<PanelStory> = Vec::new();
        let mut size_row = None;
        let mut gessoes = Vec::new();
        for (within, pair) in some.iter().enumerate() {
            let nth = group * ROWS_PER_SIZE + within;
            morning = next_working_time(morning, Span::ZERO);
            let many = PANELS_PER_ROW.min(panels - nth * PANELS_PER_ROW);
            let plan = plan_row(&base, nth, *pair, many, &mut rng);
            let ids: Vec<Id> = plan.panels.iter().map(|bare| assign_id(&bare.label, &mut taken)).collect();
            let lot = format!("hide glue, lot {}", if pair.is_new_lot { 34 } else { 31 });
            let pots = RowPots::of_pair(size.clone(), lot, pair.is_hot, &mut names);
            let done = row::work_row(&plan, &ids, &pots, weather, options.seed, morning)?;
            let stories: Vec<&PanelStory> = done.panels.iter().map(panel_simulation::PanelSimulation::story).collect();
            gessoes.extend(pots.simulate_gessoes(&plan, &stories, None, options.seed, weather, &mut demand)?);
            for (i, story) in stories.iter().enumerate() {
                worked.push(((*story).clone(), has_cause(options.cause, *pair, i, story, weather)));
                laid.push((*story).clone());
            }
            morning = done.free_at + Span::from_h(20.0);
            size_row = Some((plan, pots));
        }
        if let Some((plan, pots)) = size_row {
            let laid: Vec<&PanelStory> = laid.iter().collect();
            shelf.pots.extend(pots.simulate_size(&plan, &laid, demand, options.seed, weather)?);
        }
        shelf.pots.extend(gessoes);
    }
    let last = worked.iter().map(|(story, _)| story.last_fact_at()).max();
    for (nth, (story, cause)) in worked.iter().enumerate() {
        let mut rng = Rng::new(options.seed, &format!("fares {nth}"));
        shelf.panels.push(look_over(
            story,
            draw_crack_day(options.cause, *cause, &mut rng),
            last,
            options.seed,
            &mut rng,
        )?);
    }
    shelf.take_air(weather);
    Ok(shelf)
}

/// Whether what is planted befell that panel.
fn has_cause(cause: CrackCause, pair: Pair, nth: usize, story: &PanelStory, weather: StudioAir) -> bool {
    match cause {
        CrackCause::Strength => pair.is_strong,
        CrackCause::Lot => pair.is_new_lot,
        CrackCause::Heat => pair.is_hot,
        CrackCause::Cure => pair.is_short_cure,
        CrackCause::ThinBoard => pair.thin == nth,
        CrackCause::LongGap => pair.gapped == nth,
        CrackCause::DryAir => first_coat_at(story).is_some_and(|at| weather.is_dry(day_number(at))),
        CrackCause::Overheated | CrackCause::None => false,
    }
}

fn first_coat_at(story: &PanelStory) -> Option<Stamp> {
    let steps = story.panel().steps().iter().filter(|s| s.slot.kind.is_gesso());
    steps.filter_map(|s| s.laid_coat()).map(|l| l.done_at.wall).min()
}

/// The day after its end on which a panel cracks, if it does.
fn draw_crack_day(cause: CrackCause, has_cause: bool, rng: &mut Rng) -> Option<i64> {
    let of_20 = match (cause, has_cause) {
        (CrackCause::None, _) => CRACKED_BY_CHANCE_OF_20,
        (_, true) => CRACKED_OF_20.0,
        (_, false) => CRACKED_OF_20.1,
    };
    let cracks = rng.draw_int(1, 20) <= of_20;
    let day = rng.draw_int(2, 26);
    cracks.then_some(day)
}

/// Looked at on set days, of which some are missed; by every second seed once, all panels on one day at the end.
fn look_over(
    story: &PanelStory,
    cracks_on: Option<i64>,
    last: Option<Stamp>,
    seed: u64,
    rng: &mut Rng,
) -> Result<PanelStory, DemoError> {
    let end = story.last_fact_at();
    let days: Vec<Stamp> = match last {
        Some(last) if seed.is_multiple_of(2) => vec![last + Span::from_s(30 * DAY_S)],
        _ => SET_DAYS
            .iter()
            .filter(|day| **day == 28 || !rng.draw_one_in(5))
            .map(|d| end + Span::from_s(d * DAY_S))
            .collect(),
    };
    let mut story = story.clone();
    for at in days {
        let age = (at - end).ms() / 1000 / DAY_S;
        let cracks: Vec<Crack> = cracks_on
            .filter(|day| *day <= age)
            .map(|day| Crack {
                place: CrackPlace::Field,
                grade: if age > day + 30 { 2 } else { 1 },
                direction: CrackDirection::Across,
            })
            .into_iter()
            .collect();
        let seen = Inspection { sound: cracks.is_empty(), cracks, ..Inspection::default() };
        story = record_inspection(&story, &seen, studio_moment(at).wall)?;
    }
    Ok(story)
}
