//! The JSON that scripts are promised: field names carry their unit last, unknown is `null`, nothing is left out.
//!
//! Absent on purpose: printing it (`out`), finding what to print (`panel`).

use crate::record::journal::Damage;
use crate::record::journal::line::payload;
use crate::text::rfc3339;
use crate::units::{Entry, Moment, Size, Span, Stamp};
use crate::work::panel::event::{Event, Face, Stage};
use crate::work::panel::fold::Panel;
use crate::work::panel::phase::{Phase, Standing};
use crate::work::panel::story::Story;
use chrono::Local;
use serde::Serialize;
use serde_json::{Map, Value};

/// The version of these objects.
pub const FORMAT: u32 = 1;

/// A time as scripts are given it: RFC 3339 with the local offset.
pub(super) fn time(stamp: Stamp) -> String {
    rfc3339(stamp, &Local)
}

fn minutes(span: Span) -> f64 {
    span.minutes()
}

/// A stage by name.
#[derive(Debug, Serialize)]
pub struct StageJson {
    kind: &'static str,
    face: Option<&'static str>,
    number: Option<u32>,
    of: Option<u32>,
    direction: Option<&'static str>,
}

impl From<Stage> for StageJson {
    fn from(s: Stage) -> Self {
        StageJson {
            kind: s.kind.name(),
            face: s.face.map(Face::name),
            number: s.number,
            of: s.of,
            direction: s.direction.map(|d| d.name()),
        }
    }
}

/// The size of a board.
#[derive(Debug, Serialize)]
struct SizeJson {
    width_mm: f64,
    height_mm: f64,
    thickness_mm: Option<f64>,
}

impl From<Size> for SizeJson {
    fn from(s: Size) -> Self {
        SizeJson { width_mm: s.width.mm(), height_mm: s.height.mm(), thickness_mm: s.thickness.map(|t| t.mm()) }
    }
}

/// Where a journal is damaged.
#[derive(Debug, Serialize)]
pub(super) struct DamageJson {
    line: u64,
    byte: u64,
    said: String,
}

impl From<&Damage> for DamageJson {
    fn from(d: &Damage) -> Self {
        DamageJson { line: d.line, byte: d.byte, said: d.said.clone() }
    }
}

/// Standing coats of a panel.
#[derive(Debug, Serialize)]
struct CoatsJson {
    front: usize,
    back: usize,
}

/// One fact of a story.
#[derive(Debug, Serialize)]
struct FactJson {
    seq: u64,
    at: String,
    written_at: String,
    fact: String,
    undone: bool,
    early_min: Option<f64>,
    late_min: Option<f64>,
    gap: Option<String>,
    stage: Option<StageJson>,
    refused: Option<String>,
    #[serde(flatten)]
    payload: Map<String, Value>,
}

impl FactJson {
    fn of(story: &Story, entry: &Entry<Event>) -> FactJson {
        let judged = story.panel().judgement(entry.seq);
        let mut payload = payload(&entry.event);
        // What the story tells of the stage goes before what was thought when it was written; the recipe is named above.
        payload.remove("stage");
        payload.remove("recipe");
        FactJson {
            seq: entry.seq,
            at: time(entry.at),
            written_at: time(entry.written.wall),
            fact: entry.event.name().to_owned(),
            undone: story.was_taken_back(entry.seq),
            early_min: judged.and_then(|j| j.early).map(minutes),
            late_min: judged.and_then(|j| j.late).map(minutes),
            gap: judged.and_then(|j| j.gap).map(crate::work::panel::wait::gap_means),
            stage: judged.map(|j| j.stage.into()),
            refused: story.refusal_of(entry.seq).map(ToString::to_string),
            payload,
        }
    }
}

/// What `show --json` prints.
#[derive(Debug, Serialize)]
pub struct ShowJson {
    format: u32,
    id: String,
    label: String,
    recipe: String,
    paint: &'static str,
    size: SizeJson,
    support: &'static str,
    grain: &'static str,
    opened_at: String,
    finished: bool,
    abandoned: bool,
    damaged: Option<DamageJson>,
    phase: &'static str,
    stage: Option<StageJson>,
    next: Option<StageJson>,
    since: String,
    due_at: Option<String>,
    left_s: Option<f64>,
    wait_min: Option<f64>,
    wait_from: Option<&'static str>,
    away_since: Option<String>,
    coats: CoatsJson,
    facts: Vec<FactJson>,
}

impl ShowJson {
    /// A story as it stands at `now`.
    pub fn of(story: &Story, damage: Option<&Damage>, now: Moment) -> ShowJson {
        let panel = story.panel();
        let opened = panel.opened();
        let s = panel.standing(now);
        ShowJson {
            format: FORMAT,
            id: opened.id.to_string(),
            label: opened.label.clone(),
            recipe: opened.recipe.name.clone(),
            paint: opened.paint.name(),
            size: opened.size.into(),
            support: opened.support.name(),
            grain: opened.grain.name(),
            opened_at: time(panel.opened_at().wall),
            finished: s.phase == Phase::Finished,
            abandoned: s.phase == Phase::Abandoned,
            damaged: damage.map(DamageJson::from),
            phase: s.phase.name(),
            stage: s.stage.map(StageJson::from),
            next: s.next.map(StageJson::from),
            since: time(s.since),
            due_at: s.due_at.map(time),
            left_s: s.left.map(Span::seconds),
            wait_min: s.wait.map(|w| minutes(w.span)),
            wait_from: s.wait.map(|w| w.from.name()),
            away_since: s.away.map(time),
            coats: CoatsJson { front: panel.coats(Face::Front), back: panel.coats(Face::Back) },
            facts: story.in_order().into_iter().map(|entry| FactJson::of(story, entry)).collect(),
        }
    }
}

/// One panel of the list.
#[derive(Debug, Serialize)]
pub struct ListedJson {
    id: String,
    label: Option<String>,
    recipe: Option<String>,
    phase: Option<&'static str>,
    stage: Option<StageJson>,
    next: Option<StageJson>,
    due_at: Option<String>,
    left_s: Option<f64>,
    finished: bool,
    abandoned: bool,
    damaged: Option<DamageJson>,
}

impl ListedJson {
    /// A panel whose story can be told.
    pub fn of(panel: &Panel, standing: &Standing, damage: Option<&Damage>) -> ListedJson {
        let opened = panel.opened();
        ListedJson {
            id: opened.id.to_string(),
            label: Some(opened.label.clone()),
            recipe: Some(opened.recipe.name.clone()),
            phase: Some(standing.phase.name()),
            stage: standing.stage.map(StageJson::from),
            next: standing.next.map(StageJson::from),
            due_at: standing.due_at.map(time),
            left_s: standing.left.map(Span::seconds),
            finished: standing.phase == Phase::Finished,
            abandoned: standing.phase == Phase::Abandoned,
            damaged: damage.map(DamageJson::from),
        }
    }
    /// A panel of whose journal not even the opening can be read.
    pub fn unreadable(id: &str, damage: &Damage) -> ListedJson {
        ListedJson {
            id: id.to_owned(),
            label: None,
            recipe: None,
            phase: None,
            stage: None,
            next: None,
            due_at: None,
            left_s: None,
            finished: false,
            abandoned: false,
            damaged: Some(damage.into()),
        }
    }
}

/// What `panels --json` prints.
#[derive(Debug, Serialize)]
pub struct PanelsJson {
    format: u32,
    panels: Vec<ListedJson>,
}

impl PanelsJson {
    /// Those panels.
    pub fn of(panels: Vec<ListedJson>) -> PanelsJson {
        PanelsJson { format: FORMAT, panels }
    }
}
