//! What is looked at when panels are held against each other: the figures and the words of a row.
//!
//! Absent on purpose: how far apart they lie (`differs`).

use super::super::attributes::format_pots;
use super::super::panel_row::PanelRow;
use crate::stats::permutation::TestStatistic;

/// A field that has figures.
pub struct ComparedField {
    /// Its name, as in the table.
    pub name: &'static str,
    /// What it is called in a sentence.
    pub label: &'static str,
    /// Its unit, as it follows a figure.
    pub unit: &'static str,
    /// It is something that came of the panel, not something done.
    pub is_outcome: bool,
    pub(super) statistic: TestStatistic,
    pub(super) extract: fn(&PanelRow) -> Option<f64>,
}

pub(super) const fn new_field(
    name: &'static str,
    called: &'static str,
    unit: &'static str,
    of: fn(&PanelRow) -> Option<f64>,
) -> ComparedField {
    ComparedField {
        name,
        label: called,
        unit,
        is_outcome: false,
        statistic: TestStatistic::MeanDifference,
        extract: of,
    }
}

/// Every field that is held against another, in the order of the table.
pub const FIELDS: [ComparedField; 23] = [
    new_field("coats_front", "coats on the front", "", |f| Some(f64::from(f.story.coats_front))),
    new_field("coats_back", "coats on the back", "", |f| Some(f64::from(f.story.coats_back))),
    new_field("wait_median_min", "minutes between coats", " min", |f| f.story.wait_median_min),
    new_field("wait_min_min", "the shortest of them", " min", |f| f.story.wait_min_min),
    new_field("wait_max_min", "the longest of them", " min", |f| f.story.wait_max_min),
    new_field("dull_median_min", "minutes until dull", " min", |f| f.story.dull_median_min),
    new_field("early_coats", "coats laid early", "", |f| Some(f64::from(f.story.early_coats))),
    new_field("late_coats", "coats laid late", "", |f| Some(f64::from(f.story.late_coats))),
    new_field("long_gaps", "coats on a bone-dry one", "", |f| Some(f64::from(f.story.long_gaps))),
    new_field("melts", "melts of the pot", "", |f| f.pots.melts.map(f64::from)),
    new_field("pot_max_c", "the pot at its hottest", " C", |f| f.pots.max_c),
    new_field("water_lost_pct", "water lost from the pot", " %", |f| f.pots.water_lost_pct),
    new_field("glue_per_100g_filler_g", "glue to 100 g of filler", " g", |f| f.pots.glue_per_100g_filler_g),
    new_field("pvc_pct", "filler by volume", " %", |f| f.pots.pvc_pct),
    new_field("air_temp_mean_c", "the room", " C", |f| f.air.temp_mean_c),
    new_field("air_rh_min_pct", "the driest air", " %", |f| f.air.rh_min_pct),
    new_field("air_rh_max_pct", "the dampest air", " %", |f| f.air.rh_max_pct),
    new_field("cloth", "linen laid (1 yes, 0 no)", "", |f| Some(f64::from(u8::from(f.story.cloth)))),
    new_field("done_again", "acts done again", "", |f| Some(f64::from(f.story.repeated_acts))),
    new_field("scrape_rounds", "rounds of scraping", "", |f| Some(f64::from(f.story.scrape_rounds))),
    new_field("check_rounds", "checks", "", |f| Some(f64::from(f.story.check_rounds))),
    new_field("elapsed_h", "hours from opening to the last act", " h", |f| f.story.elapsed_h),
    // A few panels have very many: ranks keep them from carrying the whole mean.
    ComparedField {
        is_outcome: true,
        statistic: TestStatistic::MeanRankDifference,
        ..new_field("pinholes", "pinholes", "", |f| f.story.outcome.pinholes.map(f64::from))
    },
];

/// A field of words: its name in the table, and the word of a panel.
pub(super) type WordField = (&'static str, fn(&PanelRow) -> String);

/// Fields of words that are held against each other.
pub(super) const WORD_FIELDS: [WordField; 5] = [
    ("recipe", |f| f.story.recipe.clone()),
    ("pots", format_pots),
    ("support", |f| f.story.support.to_owned()),
    ("paint", |f| f.story.paint.to_owned()),
    ("seal", |f| f.story.sealed.to_owned()),
];

impl ComparedField {
    /// The figure of a panel.
    pub fn value(&self, f: &PanelRow) -> Option<f64> {
        (self.extract)(f)
    }
}
