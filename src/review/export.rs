//! Everything that is known of each panel, for other tools: its row and every fact of its story. The shape is published
//! as JSON Schema in `assets/schema`.
//!
//! The facts of ten thousand stories are more than a memory should hold, so an export is also made in pieces: a head,
//! one piece for each panel, a foot. Put together they are the very bytes of the whole.

use super::compare::UnreadableStory;
use super::json::{FORMAT_VERSION, FormatTime, LeftOutJson, PanelJson};
use super::outcome::Verdict;
use super::panel_row::PanelRow;
use crate::text::UnitSystem;
use crate::units::Entry;
use crate::work::advice::fact_text::format_fact;
use crate::work::panel::event::PanelEvent;
use crate::work::panel::story::PanelStory;
use crate::work::story::{Story, StoryEvent, StoryState};
#[cfg(test)]
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value};

/// What every fact says of itself, of a panel or a pot.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub struct FactHeadJson {
    /// Its place in the journal.
    seq: u64,
    /// When it happened.
    at: String,
    /// When it was written down.
    written_at: String,
    /// The word of its kind.
    fact: String,
    /// It was taken back.
    undone: bool,
    /// The place of the fact it was recorded in the place of, which is thereby taken back.
    replaces: Option<u64>,
}

impl FactHeadJson {
    /// The head of a fact of that story.
    pub fn from_entry<F: StoryState>(story: &Story<F>, entry: &Entry<F::Event>, clock: FormatTime<'_>) -> FactHeadJson {
        FactHeadJson {
            seq: entry.seq,
            at: clock(entry.at),
            written_at: clock(entry.written.wall),
            fact: entry.event.name().to_owned(),
            undone: story.is_taken_back(entry.seq),
            replaces: entry.replaces,
        }
    }
}

/// One fact of a story, for an export: when, what, and what goes with it.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub struct FactJson {
    /// Which fact it is.
    #[serde(flatten)]
    pub head: FactHeadJson,
    /// Why the rules refuse it, if they do.
    pub refused: Option<String>,
    /// What happened, as a sentence.
    pub message: String,
    /// What goes with it, as the journal keeps it.
    pub with: Map<String, Value>,
}

/// One panel of an export.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub struct ExportedJson {
    /// Its row.
    pub panel: PanelJson,
    /// Every fact of its story, in the order they happened.
    pub facts: Vec<FactJson>,
    /// Every look that says sound or not.
    pub looks: Vec<LookJson>,
}

/// What one look says.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
pub struct LookJson {
    age_days: f64,
    cracked: bool,
    sound: bool,
}

impl From<&Verdict> for LookJson {
    fn from(v: &Verdict) -> Self {
        LookJson { age_days: v.age_days, cracked: v.cracked, sound: v.sound }
    }
}

/// What `export --as json` writes.
#[cfg(test)]
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "export")]
pub struct ExportJson {
    format: u32,
    panels: Vec<ExportedJson>,
    left_out: Vec<LeftOutJson>,
}

#[cfg(test)]
impl ExportJson {
    /// Those panels.
    pub fn new(panels: Vec<ExportedJson>, left_out: &[UnreadableStory]) -> ExportJson {
        ExportJson { format: FORMAT_VERSION, panels, left_out: left_out.iter().map(LeftOutJson::from).collect() }
    }
}

impl ExportedJson {
    /// A story; `payload` tells what goes with a fact, as the journal keeps it.
    pub fn from_story(
        story: &PanelStory,
        row: &PanelRow,
        clock: FormatTime<'_>,
        payload: &dyn Fn(&PanelEvent) -> Map<String, Value>,
    ) -> ExportedJson {
        let fact = |entry: &Entry<PanelEvent>| FactJson {
            head: FactHeadJson::from_entry(story, entry, clock),
            refused: story.refusal_of(entry.seq).map(ToString::to_string),
            message: format_fact(story, entry, UnitSystem::Metric).text,
            with: payload(&entry.event),
        };
        ExportedJson {
            panel: PanelJson::from_row(row, clock),
            facts: story.entries_in_order().into_iter().map(fact).collect(),
            looks: row.story.outcome.verdicts.iter().map(LookJson::from).collect(),
        }
    }
}

/// What an export in pieces begins with.
pub fn export_head() -> String {
    format!("{{\n  \"format\": {FORMAT_VERSION},\n  \"panels\": [")
}

impl ExportedJson {
    /// This panel as a piece of an export; a comma goes between two.
    ///
    /// # Errors
    /// What serde says.
    pub fn to_json_piece(&self) -> Result<String, serde_json::Error> {
        Ok(format!("\n    {}", to_indented_json(self, "    ")?))
    }
}

/// What an export in pieces ends with; `empty` if it had none.
///
/// # Errors
/// What serde says.
pub fn export_foot(empty: bool, left_out: &[UnreadableStory]) -> Result<String, serde_json::Error> {
    let left_out: Vec<LeftOutJson> = left_out.iter().map(LeftOutJson::from).collect();
    let close = if empty { "]" } else { "\n  ]" };
    Ok(format!("{close},\n  \"left_out\": {}\n}}\n", to_indented_json(&left_out, "  ")?))
}

/// A value as it stands so deep inside another. Inside of a JSON text there is no line break, so every one is layout.
fn to_indented_json<T: Serialize>(value: &T, by: &str) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(value)?.replace('\n', &format!("\n{by}")))
}
