//! What scripts are promised of a comparison: names carry their unit last, unknown is `null`, nothing is left out. The
//! shapes are published as JSON Schema in `assets/schema`.

use super::column::{self, Column, JsonObject};
use super::columns::json_columns;
use super::compare::{self, Comparison, Difference};
use super::panel_row::PanelRow;
use super::possible_causes::possible_causes;
use crate::units::{Id, Stamp};
#[cfg(test)]
use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use serde_json::Value;

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
    of: Option<&'static str>,
    answer: Option<AnswerJson>,
    units: Option<UnitsJson>,
    draws: Option<usize>,
    p_error: Option<f64>,
    strata: Option<usize>,
    differs: Vec<DiffersJson>,
    remarks: Vec<String>,
    left_out: Vec<LeftOutJson>,
}

/// One panel's row.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub struct PanelJson {
    #[serde(flatten)]
    members: RowJson,
    outcome: OutcomeJson,
    look_at: Vec<PointerJson>,
}

/// The columns of a panel itself, each with what stands in it.
#[derive(Debug)]
struct RowJson(Vec<(&'static Column, Value)>);

/// What came of a panel.
#[derive(Debug)]
struct OutcomeJson(Vec<(&'static Column, Value)>);

impl Serialize for RowJson {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(column, value)| (column.name, value)))
    }
}

impl Serialize for OutcomeJson {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(column, value)| (column.name, value)))
    }
}

/// The members of that object of a panel.
fn members(object: JsonObject, row: &PanelRow, clock: FormatTime<'_>) -> Vec<(&'static Column, Value)> {
    json_columns(object).map(|column| (column, json_value(column.value(row), clock))).collect()
}

fn json_value(value: column::Value<'_>, clock: FormatTime<'_>) -> Value {
    match value {
        column::Value::Text(text) => text.into(),
        column::Value::Word(word) => word.into(),
        column::Value::Ids(ids) => ids.iter().map(Id::as_str).collect(),
        column::Value::Phrase(phrase) => phrase.into(),
        column::Value::Figure(figure) => figure.into(),
        column::Value::Count(count) => count.into(),
        column::Value::Flag(flag) => flag.into(),
        column::Value::Time(at) => clock(at).into(),
        column::Value::Unknown => Value::Null,
    }
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

/// What goes with the fault that was asked about: one, hint, together, nothing, cannot.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct AnswerJson {
    kind: &'static str,
    fields: Vec<&'static str>,
    message: String,
}

/// Over how many of each the answer rests.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct UnitsJson {
    size_pots: usize,
    gesso_pots: usize,
    panels: usize,
}

/// One field in which panels differ; its unit is what changed places, where it was asked what goes with a fault.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct DiffersJson {
    field: &'static str,
    unit: Option<&'static str>,
    a: ValueJson,
    b: ValueJson,
    units_a: usize,
    units_b: usize,
    effect: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    p_value: Option<f64>,
    p_family: Option<f64>,
    p_least: Option<f64>,
    exact: Option<bool>,
    with: Vec<&'static str>,
    message: String,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub(super) struct LeftOutJson {
    path: String,
    message: String,
}

impl From<&compare::UnreadableStory> for LeftOutJson {
    fn from(l: &compare::UnreadableStory) -> Self {
        LeftOutJson { path: l.path.clone(), message: l.message.clone() }
    }
}

impl PanelJson {
    /// A row.
    pub fn from_row(row: &PanelRow, clock: FormatTime<'_>) -> PanelJson {
        let look_at = possible_causes(row).into_iter().map(|p| PointerJson {
            fault: p.fault.name(),
            recorded: p.risk_factor.describe(row),
            source: p.source,
        });
        PanelJson {
            members: RowJson(members(JsonObject::Panel, row, clock)),
            outcome: OutcomeJson(members(JsonObject::Outcome, row, clock)),
            look_at: look_at.collect(),
        }
    }
}

impl From<&Difference> for DiffersJson {
    fn from(d: &Difference) -> Self {
        let test = d.test.as_ref();
        DiffersJson {
            field: d.field,
            a: (&d.value_a).into(),
            b: (&d.value_b).into(),
            p_value: d.p_value,
            units_a: d.pots_a,
            units_b: d.pots_b,
            unit: test.map(|t| t.unit.name()),
            effect: test.and_then(|t| t.effect),
            low: test.and_then(|t| t.low),
            high: test.and_then(|t| t.high),
            p_family: test.and_then(|t| t.p_family),
            p_least: test.and_then(|t| t.p_least),
            exact: test.map(|t| t.is_exact),
            with: test.map_or_else(Vec::new, |t| t.goes_with.clone()),
            message: d.text.clone(),
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
        let asked = c.asked.as_ref();
        CompareJson {
            format: FORMAT_VERSION,
            by: c.group_by.name(),
            panels: c.panels.iter().map(|row| PanelJson::from_row(row, clock)).collect(),
            differently: c.work_differences.clone(),
            alike: c.work_similarities.clone(),
            groups: c.groups.iter().map(group).collect(),
            between: c.contrast.as_ref().map(between),
            of: asked.map(|a| a.fault.name()),
            answer: asked.map(|a| AnswerJson {
                kind: a.answer.kind.name(),
                fields: a.answer.fields.clone(),
                message: a.answer.message.clone(),
            }),
            units: asked.map(|a| UnitsJson { size_pots: a.size_pots, gesso_pots: a.gesso_pots, panels: a.panels }),
            draws: asked.map(|a| a.draws),
            p_error: asked.map(|a| a.p_error),
            strata: asked.map(|a| a.strata),
            differs: c.differences.iter().map(DiffersJson::from).collect(),
            remarks: c.remarks.clone(),
            left_out: c.unreadable_stories.iter().map(LeftOutJson::from).collect(),
        }
    }
}

#[cfg(test)]
#[path = "json_schema_tests.rs"]
mod schema;
