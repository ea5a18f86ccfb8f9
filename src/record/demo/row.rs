//! A row of panels and one pair of hands: whichever panel wants them soonest is seen to next, in the hours of the studio.

use super::calendar::next_working_time;
use super::panel_simulation::{PanelSimulation, PanelSupplies};
use super::pot_simulation::ForgottenTime;
use super::pots::{MAKING_TIME, RowPots};
use super::rng::Rng;
use super::studio::StudioRow;
use super::studio_air::StudioAir;
use super::words;
use crate::units::{Id, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{Grain, PanelOpened};
use crate::work::panel::refusal::PanelRefusal;
use std::collections::BTreeSet;
use std::sync::Arc;

/// More than any row takes; so that no mistake here can run for ever.
const ACTS_MAX: usize = 4000;

/// A row that was worked.
#[derive(Debug)]
pub(super) struct WorkedRow {
    /// The stories, in the order of the row.
    pub(super) panels: Vec<PanelSimulation>,
    /// When the hands are free again.
    pub(super) free_at: Stamp,
    /// The pot of gesso that was forgotten in its bath, and when.
    pub(super) forgotten: Option<(Id, ForgottenTime)>,
}

/// Works a row from its first morning on. `ids` are those its panels are filed under.
pub(super) fn work_row(
    row: &StudioRow,
    ids: &[Id],
    pots: &RowPots,
    weather: StudioAir,
    seed: u64,
    begin: Stamp,
) -> Result<WorkedRow, PanelRefusal> {
    let mut hands = next_working_time(begin, Span::ZERO);
    let mut tales = open_panels(row, ids, pots, weather, seed, hands)?;
    let mut made: BTreeSet<Id> = BTreeSet::new();
    let mut forgotten = None;
    for _ in 0..ACTS_MAX {
        let soonest = tales.iter().enumerate().filter_map(|(i, t)| Some((t.next_act_at()?, i))).min();
        let Some((wants, i)) = soonest else { break };
        hands = hands.max(wants);
        // A pot is made before its first coat is laid, and all the gesso of a row at one go.
        let new: Vec<&Id> = tales[i].current_pot().into_iter().flat_map(|pot| pots.made_with(pot)).collect();
        let making = if new.iter().any(|pot| made.insert((*pot).clone())) { MAKING_TIME } else { Span::ZERO };
        made.extend(new.into_iter().cloned());
        if !tales[i].is_coat_next() {
            hands = next_working_time(hands, tales[i].time_needed() + making);
        }
        hands = tales[i].do_next_act(hands + making)?;
        if tales[i].called_away {
            let pot = tales[i].gesso_pot().clone();
            let from = hands;
            hands = leave_studio(&mut tales, hands, &mut Rng::new(seed, ids[i].as_str()))?;
            forgotten = Some((pot, (from, hands)));
            hands = hands + Span::from_s(180);
        }
    }
    Ok(WorkedRow { panels: tales, free_at: hands, forgotten })
}

fn open_panels(
    row: &StudioRow,
    ids: &[Id],
    pots: &RowPots,
    weather: StudioAir,
    seed: u64,
    morning: Stamp,
) -> Result<Vec<PanelSimulation>, PanelRefusal> {
    let mut chance = Rng::new(seed, "opening");
    let mut at = morning;
    let mut tales = Vec::new();
    for (nth, (bare, id)) in row.panels.iter().zip(ids).enumerate() {
        at = at + chance.draw_minutes(2, 6);
        let wide = bare.size.width.mm() > bare.size.height.mm();
        let opened = PanelOpened {
            sheet: None,
            id: id.clone(),
            label: bare.label.clone(),
            size: bare.size,
            support: bare.support,
            grain: if wide { Grain::Width } else { Grain::Height },
            paint: row.paint,
            recipe: Arc::clone(&row.recipe),
            group: None,
            is_witness: false,
            trial: None,
        };
        let with =
            PanelSupplies { size_pot: pots.size.id.clone(), gesso_pot: pots.gesso_of(nth).id.clone(), air: weather };
        tales.push(PanelSimulation::new(opened, bare.fate, with, Rng::new(seed, &bare.label), at)?);
    }
    Ok(tales)
}

/// The maker is called away for longer than any coat waits.
fn leave_studio(tales: &mut [PanelSimulation], at: Stamp, chance: &mut Rng) -> Result<Stamp, PanelRefusal> {
    let back = at + chance.draw_minutes(64, 95);
    for tale in tales {
        if tale.called_away {
            tale.record_note(words::CALLED, at)?;
        }
        tale.pause_work();
        tale.record_away_or_back(&PanelAct::Away, at + Span::from_s(20))?;
        tale.record_away_or_back(&PanelAct::Back, back)?;
    }
    Ok(back)
}
