//! What scripts are promised of a comparison: names carry their unit last, unknown is `null`, nothing is left out. The
//! shapes are published as JSON Schema in `assets/schema`.
//!
//! Absent on purpose: the facts of a story (`export`), writing it anywhere, the zone of its times (handed in as `Clock`).

use super::compare::{self, Comparison, Difference};
use super::panel_row::PanelRow;
use super::possible_causes::possible_causes;
use crate::units::{Id, Stamp};
#[cfg(test)]
use schemars::JsonSchema;
use serde::Serialize;

/// The version of these objects.
pub const FORMAT_VERSION: u32 = 1;

/// How a time is told: RFC 3339 with the local offset.
pub type FormatTime<'a> = &'a dyn Fn(Stamp) -> String;

/// What `compare --json` prints.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
#[cfg_attr(test, schemars(rename = "comparison"))]
pub struct CompareJson {
    format: u32,
    by: &'static str,
    panels: Vec<PanelJson>,
    differently: Vec<String>,
    alike: Option<String>,
    groups: Vec<GroupJson>,
    between: Option<BetweenJson>,
    differs: Vec<DiffersJson>,
    remarks: Vec<String>,
    left_out: Vec<LeftOutJson>,
}

/// One panel's row.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub struct PanelJson {
    id: String,
    label: String,
    recipe: String,
    pots: Vec<String>,
    support: &'static str,
    opened_at: String,
    finished: bool,
    abandoned: bool,
    coats_front: u32,
    coats_back: u32,
    wait_median_min: Option<f64>,
    wait_min_min: Option<f64>,
    wait_max_min: Option<f64>,
    dull_median_min: Option<f64>,
    early_coats: u32,
    late_coats: u32,
    long_gaps: u32,
    melts: Option<u32>,
    pot_max_c: Option<f64>,
    water_lost_pct: Option<f64>,
    glue_per_100g_filler_g: Option<f64>,
    pvc_pct: Option<f64>,
    air_temp_mean_c: Option<f64>,
    air_rh_min_pct: Option<f64>,
    air_rh_max_pct: Option<f64>,
    scrape_rounds: u32,
    check_rounds: u32,
    hands_on_min: Option<f64>,
    elapsed_h: Option<f64>,
    outcome: OutcomeJson,
    look_at: Vec<PointerJson>,
}

/// What came of a panel.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct OutcomeJson {
    inspected: bool,
    age_days: Option<f64>,
    cracks: Option<u32>,
    crack_grade: Option<u8>,
    pinholes: Option<u32>,
    bow_mm: Option<f64>,
    sound: Option<bool>,
}

/// A thing to look at for a fault: never a verdict.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct PointerJson {
    fault: &'static str,
    recorded: String,
    source: &'static str,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct GroupJson {
    key: &'static str,
    value: String,
    panels: usize,
    pots: usize,
    sound: usize,
    cracked: usize,
    not_inspected: usize,
    given_up: usize,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct BetweenJson {
    a: String,
    b: String,
    age_days: Option<f64>,
    panels_a: usize,
    panels_b: usize,
    pots_a: usize,
    pots_b: usize,
    not_known: usize,
    over_pots: bool,
    no_cause: Option<String>,
}

/// A median, or words with how many panels each, or unknown.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
#[serde(untagged)]
enum ValueJson {
    Number(f64),
    Words(String),
    Unknown(()),
}

impl From<&compare::GroupValue> for ValueJson {
    fn from(value: &compare::GroupValue) -> Self {
        match value {
            compare::GroupValue::Number(n) => ValueJson::Number(*n),
            compare::GroupValue::Words(w) => ValueJson::Words(w.clone()),
            compare::GroupValue::Unknown => ValueJson::Unknown(()),
        }
    }
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct DiffersJson {
    field: &'static str,
    a: ValueJson,
    b: ValueJson,
    p_value: Option<f64>,
    pots_a: usize,
    pots_b: usize,
    said: String,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub(super) struct LeftOutJson {
    path: String,
    said: String,
}

impl From<&compare::UnreadableStory> for LeftOutJson {
    fn from(l: &compare::UnreadableStory) -> Self {
        LeftOutJson { path: l.path.clone(), said: l.message.clone() }
    }
}

impl PanelJson {
    /// A row.
    pub fn from_row(f: &PanelRow, clock: FormatTime<'_>) -> PanelJson {
        let look_at = possible_causes(f).into_iter().map(|p| PointerJson {
            fault: p.fault.name(),
            recorded: p.risk_factor.describe(f),
            source: p.source,
        });
        PanelJson {
            id: f.story.id.to_string(),
            label: f.story.label.clone(),
            recipe: f.story.recipe.clone(),
            pots: f.story.pot_ids.iter().map(Id::to_string).collect(),
            support: f.story.support,
            opened_at: clock(f.story.opened_at),
            finished: f.story.finished,
            abandoned: f.story.given_up.is_some(),
            coats_front: f.story.coats_front,
            coats_back: f.story.coats_back,
            wait_median_min: f.story.wait_median_min,
            wait_min_min: f.story.wait_min_min,
            wait_max_min: f.story.wait_max_min,
            dull_median_min: f.story.dull_median_min,
            early_coats: f.story.early_coats,
            late_coats: f.story.late_coats,
            long_gaps: f.story.long_gaps,
            melts: f.pots.melts,
            pot_max_c: f.pots.max_c,
            water_lost_pct: f.pots.water_lost_pct,
            glue_per_100g_filler_g: f.pots.glue_per_100g_filler_g,
            pvc_pct: f.pots.pvc_pct,
            air_temp_mean_c: f.air.temp_mean_c,
            air_rh_min_pct: f.air.rh_min_pct,
            air_rh_max_pct: f.air.rh_max_pct,
            scrape_rounds: f.story.scrape_rounds,
            check_rounds: f.story.check_rounds,
            hands_on_min: f.story.hands_on_min,
            elapsed_h: f.story.elapsed_h,
            outcome: OutcomeJson {
                inspected: f.story.outcome.inspected,
                age_days: f.story.outcome.age_days,
                cracks: f.story.outcome.cracks,
                crack_grade: f.story.outcome.crack_grade,
                pinholes: f.story.outcome.pinholes,
                bow_mm: f.story.outcome.bow_mm,
                sound: f.story.outcome.sound,
            },
            look_at: look_at.collect(),
        }
    }
}

impl From<&Difference> for DiffersJson {
    fn from(d: &Difference) -> Self {
        DiffersJson {
            field: d.field,
            a: (&d.value_a).into(),
            b: (&d.value_b).into(),
            p_value: d.p_value,
            pots_a: d.pots_a,
            pots_b: d.pots_b,
            said: d.text.clone(),
        }
    }
}

impl CompareJson {
    /// A comparison.
    pub fn from_comparison(c: &Comparison, clock: FormatTime<'_>) -> CompareJson {
        let group = |g: &compare::PanelGroup| GroupJson {
            key: c.group_by.name(),
            value: g.value.clone(),
            panels: g.panels,
            pots: g.pots,
            sound: g.sound,
            cracked: g.cracked,
            not_inspected: g.not_inspected,
            given_up: g.given_up,
        };
        let between = |b: &compare::GroupContrast| BetweenJson {
            a: b.name_a.clone(),
            b: b.name_b.clone(),
            age_days: b.day,
            panels_a: b.panel_counts.0,
            panels_b: b.panel_counts.1,
            pots_a: b.pot_counts.0,
            pots_b: b.pot_counts.1,
            not_known: b.unknown_count,
            over_pots: b.tests_pots,
            no_cause: b.no_cause_reason.clone(),
        };
        CompareJson {
            format: FORMAT_VERSION,
            by: c.group_by.name(),
            panels: c.panels.iter().map(|f| PanelJson::from_row(f, clock)).collect(),
            differently: c.work_differences.clone(),
            alike: c.work_similarities.clone(),
            groups: c.groups.iter().map(group).collect(),
            between: c.contrast.as_ref().map(between),
            differs: c.differences.iter().map(DiffersJson::from).collect(),
            remarks: c.remarks.clone(),
            left_out: c.unreadable_stories.iter().map(LeftOutJson::from).collect(),
        }
    }
}
