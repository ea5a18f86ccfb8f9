//! The pots, what was recorded of them, and the air.

use super::cell::CellReader::{Count, Figure, Flag, Text, Time};
use super::cell::{Cell, TidyColumn, row_cells};
use crate::text::UnitSystem;
use crate::units::{Id, Moment, Stamp};
use crate::work::advice::fact_text::format_pot_fact;
use crate::work::air::AirReading;
use crate::work::pot::event::{PotEvent, PotOpened};
use crate::work::pot::phase::PotStatus;
use crate::work::pot::story::PotStory;
use crate::work::pot::usage::PotUsage;
use crate::work::pot::weighed::WeighedParts;
use crate::work::story::{CommonEvent, StoryEvent, StoryState};

/// One pot.
#[derive(Debug)]
pub struct PotRow {
    opened: PotOpened,
    opened_at: Stamp,
    lot: Option<String>,
    filler_lot: Option<String>,
    status: PotStatus,
    weighed: WeighedParts,
    brix: Option<f64>,
    ended_at: Option<Stamp>,
}

impl PotRow {
    fn weighed_filler_g(&self) -> Option<f64> {
        let sum: f64 = self.weighed.fillers.iter().map(|(_, mass)| mass.g()).sum();
        (!self.weighed.fillers.is_empty()).then_some(sum)
    }
}

/// The columns.
#[rustfmt::skip]
pub const POTS: &[TidyColumn<PotRow>] = &[
    TidyColumn::new("id", Text(|p| Some(p.opened.id.to_string())), "the pot; the key"),
    TidyColumn::new("label", Text(|p| Some(p.opened.label.clone())), "what the maker calls it"),
    TidyColumn::new("kind", Text(|p| Some(p.opened.kind.name().to_owned())), "size or gesso"),
    TidyColumn::joining("pots.id", "parent", Text(|p| p.opened.parent.as_ref().map(Id::to_string)), "the pot it was poured from"),
    TidyColumn::new("lot", Text(|p| p.lot.clone()), "the lot of its glue, its own or of the pot it was poured from"),
    TidyColumn::new("filler_lot", Text(|p| p.filler_lot.clone()), "the lot of its filler"),
    TidyColumn::new("recipe", Text(|p| Some(p.opened.recipe.name.clone())), "its recipe"),
    TidyColumn::joining("panels.id", "for_group", Text(|p| p.opened.for_group.as_ref().map(Id::to_string)), "the panel, or the first of the panels, it was opened for"),
    TidyColumn::new("opened_at", Time(|p| Some(p.opened_at)), "when it was opened"),
    TidyColumn::new("made_at", Time(|p| p.status.made_at), "when it was marked made"),
    TidyColumn::new("ended_at", Time(|p| p.ended_at), "when it was used up or thrown away"),
    TidyColumn::new("phase", Text(|p| Some(p.status.phase.name().to_owned())), "soaking, melting, liquid, gelled, empty or discarded"),
    TidyColumn::new("size_ml", Figure(|p| p.opened.size_ml.map(|v| v.ml())), "how much size: all of it, or what went into the gesso"),
    TidyColumn::new("weighed_glue_g", Figure(|p| p.weighed.glue.map(|m| m.g())), "dry glue as weighed; empty where nobody said"),
    TidyColumn::new("weighed_water_g", Figure(|p| p.weighed.water.map(|m| m.g())), "water as weighed"),
    TidyColumn::new("weighed_filler_g", Figure(|p| p.weighed_filler_g()), "fillers as weighed, in all; pot-facts has each in words"),
    TidyColumn::new("brix", Figure(|p| p.brix), "the last refractometer reading, degrees"),
    TidyColumn::new("melts", Count(|p| Some(p.status.melts.into())), "how often it was melted"),
    TidyColumn::new("bath_min", Figure(|p| Some(p.status.bath_total.minutes())), "in the warm bath in all, until the last thing recorded"),
    TidyColumn::new("max_c", Figure(|p| p.status.max_temp.map(|t| t.c())), "the hottest it was read"),
    TidyColumn::new("overheated", Flag(|p| Some(p.status.overheated_at.is_some())), "it was read as hot as its recipe calls overheated"),
    TidyColumn::new("water_given_g", Figure(|p| Some(p.status.water.given_g)), "water given back in all"),
    TidyColumn::new("water_lost_pct", Figure(|p| p.status.water.lost_pct), "water lost, of what belongs to the glue in it; empty before two weighings"),
    TidyColumn::new("glue_g_per_l_water", Figure(|p| p.status.water.glue_g_per_l_water), "dry glue to a litre of the water there is"),
    TidyColumn::new("strength_from", Text(|p| Some(p.status.water.strength_source.name().to_owned())), "what that rests on: weighed, brix (a refractometer) or recipe"),
    TidyColumn::new("glue_per_100g_filler_g", Figure(|p| p.status.water.glue_per_100g_filler_g), "dry glue to 100 g of dry filler; gesso only"),
];

/// A pot as it stood with the last thing recorded of it, so that the same records give the same table.
pub fn pot_row(story: &PotStory, usage: &PotUsage<'_>) -> Vec<Cell> {
    let pot = story.pot();
    let opened = pot.opened();
    let row = PotRow {
        opened: opened.clone(),
        opened_at: pot.opened_at().wall,
        lot: usage.lineage().glue_lot(&opened.id).map(str::to_owned),
        filler_lot: usage.lineage().filler_lot(&opened.id).map(str::to_owned),
        status: usage.status(pot, Moment::from_wall(story.last_fact_at())),
        weighed: pot.weighed().clone(),
        brix: pot.brix_readings().last().map(|(_, brix)| *brix),
        ended_at: pot.ended_at().map(|m| m.wall),
    };
    row_cells(POTS, &row)
}

/// One thing recorded of a pot.
#[derive(Debug)]
pub struct PotFactRow {
    pot: Id,
    seq: u64,
    happened_at: Stamp,
    written_at: Stamp,
    fact: String,
    undone: bool,
    temp_c: Option<f64>,
    mass_g: Option<f64>,
    brix: Option<f64>,
    text: String,
}

/// The columns.
#[rustfmt::skip]
pub const POT_FACTS: &[TidyColumn<PotFactRow>] = &[
    TidyColumn::joining("pots.id", "pot", Text(|f| Some(f.pot.to_string())), "the pot"),
    TidyColumn::new("seq", Count(|f| Some(f.seq)), "its place in the pot's story; with pot the key"),
    TidyColumn::new("happened_at", Time(|f| Some(f.happened_at)), "when it happened"),
    TidyColumn::new("written_at", Time(|f| Some(f.written_at)), "when it was written down"),
    TidyColumn::new("fact", Text(|f| Some(f.fact.clone())), "the word of its kind: melt, temp, weighed, water and so on"),
    TidyColumn::new("undone", Flag(|f| Some(f.undone)), "it was taken back"),
    TidyColumn::new("temp_c", Figure(|f| f.temp_c), "what a thermometer said"),
    TidyColumn::new("mass_g", Figure(|f| f.mass_g), "what was weighed, or the water given back"),
    TidyColumn::new("brix", Figure(|f| f.brix), "what a refractometer said, degrees"),
    TidyColumn::new("text", Text(|f| Some(f.text.clone())), "what happened, as a sentence"),
];

/// What was recorded of a pot, in the order it happened.
pub fn pot_fact_rows(story: &PotStory) -> Vec<Vec<Cell>> {
    let row = |entry: &crate::units::Entry<PotEvent>| PotFactRow {
        pot: story.pot().opened().id.clone(),
        seq: entry.seq,
        happened_at: entry.at,
        written_at: entry.written.wall,
        fact: entry.event.name().to_owned(),
        undone: story.is_taken_back(entry.seq),
        temp_c: if let PotEvent::Temp { temp } = &entry.event { Some(temp.c()) } else { None },
        mass_g: mass_of(&entry.event),
        brix: if let PotEvent::Brix { brix } = &entry.event { Some(*brix) } else { None },
        text: format_pot_fact(story, entry, UnitSystem::Metric).text,
    };
    story.entries_in_order().into_iter().map(|entry| row_cells(POT_FACTS, &row(entry))).collect()
}

fn mass_of(event: &PotEvent) -> Option<f64> {
    match event {
        PotEvent::Water { mass } | PotEvent::Common(CommonEvent::Weighed { mass, .. }) => Some(mass.g()),
        _ => None,
    }
}

/// The columns.
#[rustfmt::skip]
pub const AIR: &[TidyColumn<AirReading>] = &[
    TidyColumn::new("read_at", Time(|r| Some(r.at)), "when it was read; the key. It holds until the next, and six hours at most"),
    TidyColumn::new("temp_c", Figure(|r| Some(r.temp.c())), "the temperature of the room"),
    TidyColumn::new("rh_pct", Figure(|r| Some(r.rh.pct())), "its relative humidity"),
];

/// One reading of the air.
pub fn air_row(reading: &AirReading) -> Vec<Cell> {
    row_cells(AIR, reading)
}
