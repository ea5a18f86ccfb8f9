//! What is looked at when panels are held against each other: the figures and the words of a row.
//!
//! Absent on purpose: how far apart they lie (`differs`).

use super::super::facts::Facts;
use super::super::stats;
use super::super::ways::pots;

/// A field that has figures.
pub struct Field {
    /// Its name, as in the table.
    pub name: &'static str,
    /// What it is called in a sentence.
    pub called: &'static str,
    /// Its unit, as it follows a figure.
    pub unit: &'static str,
    /// It is something that came of the panel, not something done.
    pub result: bool,
    pub(super) by: stats::By,
    pub(super) of: fn(&Facts) -> Option<f64>,
}

pub(super) const fn field(
    name: &'static str,
    called: &'static str,
    unit: &'static str,
    of: fn(&Facts) -> Option<f64>,
) -> Field {
    Field { name, called, unit, result: false, by: stats::By::Means, of }
}

/// Every field that is held against another, in the order of the table.
pub const FIELDS: [Field; 23] = [
    field("coats_front", "coats on the front", "", |f| Some(f64::from(f.coats_front))),
    field("coats_back", "coats on the back", "", |f| Some(f64::from(f.coats_back))),
    field("wait_median_min", "minutes between coats", " min", |f| f.wait_median_min),
    field("wait_min_min", "the shortest of them", " min", |f| f.wait_min_min),
    field("wait_max_min", "the longest of them", " min", |f| f.wait_max_min),
    field("dull_median_min", "minutes until dull", " min", |f| f.dull_median_min),
    field("early_coats", "coats laid early", "", |f| Some(f64::from(f.early_coats))),
    field("late_coats", "coats laid late", "", |f| Some(f64::from(f.late_coats))),
    field("long_gaps", "coats on a bone-dry one", "", |f| Some(f64::from(f.long_gaps))),
    field("melts", "melts of the pot", "", |f| f.melts.map(f64::from)),
    field("pot_max_c", "the pot at its hottest", " C", |f| f.pot_max_c),
    field("water_lost_pct", "water lost from the pot", " %", |f| f.water_lost_pct),
    field("glue_per_100g_filler_g", "glue to 100 g of filler", " g", |f| f.glue_per_100g_filler_g),
    field("pvc_pct", "filler by volume", " %", |f| f.pvc_pct),
    field("air_temp_mean_c", "the room", " C", |f| f.air.temp_mean_c),
    field("air_rh_min_pct", "the driest air", " %", |f| f.air.rh_min_pct),
    field("air_rh_max_pct", "the dampest air", " %", |f| f.air.rh_max_pct),
    field("cloth", "linen laid (1 yes, 0 no)", "", |f| Some(f64::from(u8::from(f.cloth)))),
    field("done_again", "acts done again", "", |f| Some(f64::from(f.done_again))),
    field("scrape_rounds", "rounds of scraping", "", |f| Some(f64::from(f.scrape_rounds))),
    field("check_rounds", "checks", "", |f| Some(f64::from(f.check_rounds))),
    field("elapsed_h", "hours from opening to the last act", " h", |f| f.elapsed_h),
    // A few panels have very many: ranks keep them from carrying the whole mean.
    Field {
        result: true,
        by: stats::By::Ranks,
        ..field("pinholes", "pinholes", "", |f| f.outcome.pinholes.map(f64::from))
    },
];

/// A field of words: its name in the table, and the word of a panel.
pub(super) type WordField = (&'static str, fn(&Facts) -> String);

/// Fields of words that are held against each other.
pub(super) const WORD_FIELDS: [WordField; 5] = [
    ("recipe", |f| f.recipe.clone()),
    ("pots", pots),
    ("support", |f| f.support.to_owned()),
    ("paint", |f| f.paint.to_owned()),
    ("seal", |f| f.sealed.to_owned()),
];

impl Field {
    /// The figure of a panel.
    pub fn value(&self, f: &Facts) -> Option<f64> {
        (self.of)(f)
    }
}
