//! The coats: every wet coat of a panel, and the attempts that were done again.

use super::cell::CellReader::{Count, Figure, Flag, Text, Time};
use super::cell::{Cell, TidyColumn, row_cells};
use crate::craft::recipe::Direction;
use crate::units::{Id, Moment, Stamp};
use crate::work::air::{Air, AirReading};
use crate::work::panel::event::{Face, Flaw, StageKind};
use crate::work::panel::state::{LaidCoat, Panel, PlanStep};
use crate::work::panel::story::PanelStory;
use crate::work::panel::wait::elapsed;
use crate::work::pot::usage::PotUsage;
use std::collections::BTreeMap;

/// One coat.
#[derive(Debug)]
pub struct CoatRow {
    panel: Id,
    seq: u64,
    kind: StageKind,
    face: Option<Face>,
    number: u32,
    direction: Option<Direction>,
    began_at: Option<Stamp>,
    done_at: Stamp,
    since_coat_below_min: Option<f64>,
    wait_min: Option<f64>,
    early_min: Option<f64>,
    late_min: Option<f64>,
    bone_dry: bool,
    dull_min: Option<f64>,
    flaw: Option<Flaw>,
    pot: Option<Id>,
    glue_per_100g_filler_g: Option<f64>,
    water_lost_pct: Option<f64>,
    by: Option<String>,
    air: Option<AirReading>,
}

/// The columns.
#[rustfmt::skip]
pub const COATS: &[TidyColumn<CoatRow>] = &[
    TidyColumn::joining("panels.id", "panel", Text(|c| Some(c.panel.to_string())), "the panel"),
    TidyColumn::new("seq", Count(|c| Some(c.seq)), "its place in the panel's story; with panel the key"),
    TidyColumn::new("kind", Text(|c| Some(c.kind.name().to_owned())), "size, stipple, coat or seal"),
    TidyColumn::new("face", Text(|c| c.face.map(|f| f.name().to_owned())), "front or back"),
    TidyColumn::new("number", Count(|c| Some(c.number.into())), "which of its kind on that face, as the story counts"),
    TidyColumn::new("direction", Text(|c| c.direction.map(|d| d.name().to_owned())), "horizontal is along the width, vertical along the height"),
    TidyColumn::new("began_at", Time(|c| c.began_at), "when it was begun, where that was recorded"),
    TidyColumn::new("done_at", Time(|c| Some(c.done_at)), "when it was laid"),
    TidyColumn::new("since_coat_below_min", Figure(|c| c.since_coat_below_min), "from the end of the wet coat before it on that face to its beginning"),
    TidyColumn::new("wait_min", Figure(|c| c.wait_min), "the wait that began with it, as it was fixed then"),
    TidyColumn::new("early_min", Figure(|c| c.early_min), "how much too early it was laid by the recipe's wait"),
    TidyColumn::new("late_min", Figure(|c| c.late_min), "how long after its wait was over"),
    TidyColumn::new("bone_dry", Flag(|c| Some(c.bone_dry)), "the gap was longer than the recipe's bound"),
    TidyColumn::new("dull_min", Figure(|c| c.dull_min), "until its gloss was gone, where that was marked"),
    TidyColumn::new("done_again", Text(|c| c.flaw.map(|f| f.name().to_owned())), "what was wrong with it, where it was done again; else empty"),
    TidyColumn::joining("pots.id", "pot", Text(|c| c.pot.as_ref().map(Id::to_string)), "the pot it came from"),
    TidyColumn::new("glue_per_100g_filler_g", Figure(|c| c.glue_per_100g_filler_g), "dry glue in that gesso, at that time"),
    TidyColumn::new("water_lost_pct", Figure(|c| c.water_lost_pct), "water that pot had lost by then"),
    TidyColumn::new("by", Text(|c| c.by.clone()), "who was at the brush"),
    TidyColumn::new("air_temp_c", Figure(|c| c.air.map(|a| a.temp.c())), "the air when it was laid; a reading holds for six hours"),
    TidyColumn::new("air_rh_pct", Figure(|c| c.air.map(|a| a.rh.pct())), "the humidity of that air"),
];

/// The coats of a story in the order they were laid.
pub fn coat_rows(story: &PanelStory, pots: &PotUsage<'_>, air: &Air) -> Vec<Vec<Cell>> {
    let panel = story.panel();
    let mut rows: Vec<CoatRow> = Vec::new();
    let mut below: BTreeMap<Option<Face>, Moment> = BTreeMap::new();
    for step in panel.steps().iter().filter(|step| step.slot.kind.is_wet_coat()) {
        let failed = step.failed_attempts.iter().map(|(laid, flaw)| (laid, Some(*flaw)));
        for (laid, flaw) in failed.chain(step.laid_coat().map(|laid| (laid, None))) {
            let since = below.insert(step.slot.face, laid.done_at);
            rows.push(coat_row(panel, step, laid, flaw, since, pots, air));
        }
    }
    rows.sort_by_key(|row| (row.done_at, row.seq));
    rows.iter().map(|row| row_cells(COATS, row)).collect()
}

fn coat_row(
    panel: &Panel,
    step: &PlanStep,
    laid: &LaidCoat,
    flaw: Option<Flaw>,
    below: Option<Moment>,
    pots: &PotUsage<'_>,
    air: &Air,
) -> CoatRow {
    // Neither early nor late is judged of an attempt that was done again.
    let judged = if flaw.is_none() { panel.step_judgements(step.slot, laid.seq) } else { Vec::new() };
    let done_at = laid.done_at.wall;
    let water = laid.event.pot.as_ref().and_then(|pot| pots.water_at(pot, done_at));
    CoatRow {
        panel: panel.opened().id.clone(),
        seq: laid.seq,
        kind: step.slot.kind,
        face: step.slot.face,
        number: step.slot.number,
        direction: laid.event.direction,
        began_at: laid.began_at.map(|m| m.wall),
        done_at,
        since_coat_below_min: below.map(|m| elapsed(m, laid.began_at.unwrap_or(laid.done_at)).minutes()),
        wait_min: laid.event.wait.map(|wait| wait.span.minutes()),
        early_min: judged.iter().find_map(|j| j.early_by).map(|span| span.minutes()),
        late_min: judged.iter().find_map(|j| j.late_by).map(|span| span.minutes()),
        bone_dry: judged.iter().any(|j| j.long_gap.is_some()),
        dull_min: laid.dull_at.map(|m| elapsed(laid.done_at, m).minutes()),
        flaw,
        pot: laid.event.pot.clone(),
        glue_per_100g_filler_g: water.and_then(|w| w.glue_per_100g_filler_g),
        water_lost_pct: water.and_then(|w| w.lost_pct),
        by: laid.event.by.clone(),
        air: air.reading_as_of(done_at).copied(),
    }
}
