//! The JSON that scripts are promised: field names carry their unit last, unknown is `null`, nothing is left out.

use crate::record::journal::line::event_members;
use crate::record::journal::{Damage, JournalEvent};
use crate::review::export::FactHeadJson;
pub(super) use crate::review::json::FORMAT_VERSION;
use crate::text::format_rfc3339;
use crate::units::{Entry, Moment, Size, Span, Stamp};
use crate::work::panel::dryness::Dryness;
use crate::work::panel::event::{Face, PanelEvent, Stage};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::panel::whereabouts::Placement;
use crate::work::story::{Story, StoryEvent, StoryState, TrialRun};
use chrono::Local;
use serde::{Serialize, Serializer};
use serde_json::{Map, Value};

/// A time as scripts are given it: RFC 3339 with the local offset.
pub(super) fn format_local_rfc3339(stamp: Stamp) -> String {
    format_rfc3339(stamp, &Local)
}

fn span_minutes(span: Span) -> f64 {
    span.minutes()
}

/// A stage by name.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
            of: s.total,
            direction: s.direction.map(|d| d.name()),
        }
    }
}

/// The size of a board.
#[derive(Debug, Serialize)]
struct BoardSizeJson {
    width_mm: f64,
    height_mm: f64,
    thickness_mm: Option<f64>,
}

impl From<Size> for BoardSizeJson {
    fn from(s: Size) -> Self {
        BoardSizeJson { width_mm: s.width.mm(), height_mm: s.height.mm(), thickness_mm: s.thickness.map(|t| t.mm()) }
    }
}

/// What became of a panel.
#[derive(Debug, Serialize)]
pub(super) struct WhereaboutsJson {
    state: &'static str,
    to: Option<String>,
    since: String,
}

impl From<&Placement> for WhereaboutsJson {
    fn from(placement: &Placement) -> Self {
        WhereaboutsJson {
            state: placement.whereabouts.name(),
            to: placement.to.clone(),
            since: format_local_rfc3339(placement.since.wall),
        }
    }
}

/// Where a journal is damaged.
#[derive(Debug, Serialize)]
pub(super) struct DamageJson {
    line: u64,
    byte: u64,
    message: String,
}

impl From<&Damage> for DamageJson {
    fn from(d: &Damage) -> Self {
        DamageJson { line: d.line, byte: d.byte, message: d.message.clone() }
    }
}

/// Standing coats of a panel.
#[derive(Debug, Serialize)]
struct CoatCountsJson {
    front: usize,
    back: usize,
}

/// One fact of a story, and what is said of it as a fact of a panel or a pot.
#[derive(Debug, Serialize)]
pub(super) struct StoryFactJson<K> {
    #[serde(flatten)]
    head: FactHeadJson,
    #[serde(flatten)]
    of_kind: K,
    refused: Option<String>,
    #[serde(flatten)]
    payload: Map<String, Value>,
}

impl<K> StoryFactJson<K> {
    /// A fact; the recipe, which is named above, is left out of what the journal keeps, and so are `left_out`.
    pub(super) fn from_entry<F: StoryState>(
        story: &Story<F>,
        entry: &Entry<F::Event>,
        of_kind: K,
        left_out: &[&str],
    ) -> StoryFactJson<K>
    where
        F::Event: JournalEvent,
    {
        let mut payload = event_members(&entry.event);
        for name in left_out.iter().chain(&["recipe"]) {
            payload.remove(*name);
        }
        // A journal leaves these out where there is nothing to say; here no member is ever left out.
        let younger: &[&str] = match (F::NOUN, entry.event.name()) {
            (_, "done") => &["by", "air_factor"],
            (_, "made") => &["glue_g", "water_g", "fillers"],
            ("panel", "weighed") => &["offcut_g"],
            ("panel", "opened") => &["sheet"],
            ("pot", "opened") => &["filler_lot"],
            (_, "corrected") => &["label", "size", "support", "grain", "paint"],
            (_, _) => &[],
        };
        for name in younger {
            payload.entry(*name).or_insert(Value::Null);
        }
        StoryFactJson {
            head: FactHeadJson::from_entry(story, entry, &format_local_rfc3339),
            of_kind,
            refused: story.refusal_of(entry.seq).map(ToString::to_string),
            payload,
        }
    }
}

/// How a fact of a panel stood to the wait before it.
#[derive(Debug, Serialize)]
struct PanelJudgementJson {
    early_min: Option<f64>,
    late_min: Option<f64>,
    gap: Option<String>,
    stage: Option<StageJson>,
}

fn panel_fact_json(story: &PanelStory, entry: &Entry<PanelEvent>) -> StoryFactJson<PanelJudgementJson> {
    let judged = story.panel().judgement(entry.seq);
    let of_kind = PanelJudgementJson {
        early_min: judged.and_then(|j| j.early_by).map(span_minutes),
        late_min: judged.and_then(|j| j.late_by).map(span_minutes),
        gap: judged.and_then(|j| j.long_gap).map(crate::work::panel::wait::describe_long_gap),
        stage: judged.map(|j| j.stage.into()),
    };
    // What the story tells of the stage goes before what was thought when it was written.
    StoryFactJson::from_entry(story, entry, of_kind, &["stage"])
}

/// What a board has still to lose by its weighings; `weigh_again_at` is null once it is dry enough.
#[derive(Debug, Serialize)]
struct DryEnoughJson {
    left_g: f64,
    upper_g: f64,
    weigh_again_at: Option<String>,
}

impl DryEnoughJson {
    fn from_dryness(dryness: Dryness) -> Option<DryEnoughJson> {
        match dryness {
            Dryness::Settling(s) => Some(DryEnoughJson {
                left_g: s.left_g,
                upper_g: s.upper_g,
                weigh_again_at: s.weigh_again_at.map(format_local_rfc3339),
            }),
            Dryness::TooFew { .. } | Dryness::TooCoarse { .. } | Dryness::Grew { .. } | Dryness::NotSlowing { .. } => {
                None
            }
        }
    }
}

/// A board's, or a jar's, place in a trial.
#[derive(Debug, Serialize)]
pub(super) struct TrialRunJson {
    id: String,
    run: u32,
    jar: u32,
}

impl From<&TrialRun> for TrialRunJson {
    fn from(of: &TrialRun) -> Self {
        TrialRunJson { id: of.trial.to_string(), run: of.run, jar: of.jar }
    }
}

/// What `show --json` prints.
#[derive(Debug, Serialize)]
pub struct ShowJson<'a> {
    format: u32,
    id: String,
    label: String,
    recipe: String,
    paint: &'static str,
    size: BoardSizeJson,
    support: &'static str,
    grain: &'static str,
    group: Option<String>,
    witness: bool,
    sheet: Option<String>,
    whereabouts: Option<WhereaboutsJson>,
    trial: Option<TrialRunJson>,
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
    coats: CoatCountsJson,
    dry_enough: Option<DryEnoughJson>,
    facts: PanelFactsJson<'a>,
}

/// The facts of a story in the order they happened, each made only when it is written: of a long story all of them are more
/// than the story itself.
#[derive(Debug)]
struct PanelFactsJson<'a>(&'a PanelStory);

impl Serialize for PanelFactsJson<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(self.0.entries_in_order().into_iter().map(|entry| panel_fact_json(self.0, entry)))
    }
}

impl<'a> ShowJson<'a> {
    /// A story as it stands at `now`.
    pub fn from_story(story: &'a PanelStory, damage: Option<&Damage>, now: Moment) -> ShowJson<'a> {
        let panel = story.panel();
        let opened = panel.opened();
        let s = panel.status(now);
        ShowJson {
            format: FORMAT_VERSION,
            id: opened.id.to_string(),
            label: opened.label.clone(),
            recipe: opened.recipe.name.clone(),
            paint: opened.paint.name(),
            size: opened.size.into(),
            support: opened.support.name(),
            grain: opened.grain.name(),
            group: opened.group.as_ref().map(ToString::to_string),
            witness: opened.is_witness,
            sheet: opened.sheet.clone(),
            whereabouts: panel.placement().map(WhereaboutsJson::from),
            trial: opened.trial.as_ref().map(TrialRunJson::from),
            opened_at: format_local_rfc3339(panel.opened_at().wall),
            finished: s.phase == PanelPhase::Finished,
            abandoned: s.phase == PanelPhase::Abandoned,
            damaged: damage.map(DamageJson::from),
            phase: s.phase.name(),
            stage: s.stage.map(StageJson::from),
            next: s.next_stage.map(StageJson::from),
            since: format_local_rfc3339(s.since),
            due_at: s.due_at.map(format_local_rfc3339),
            left_s: s.time_left.map(Span::seconds),
            wait_min: s.wait.map(|w| span_minutes(w.span)),
            wait_from: s.wait.map(|w| w.origin.name()),
            away_since: s.away_since.map(format_local_rfc3339),
            coats: CoatCountsJson { front: panel.count_coats(Face::Front), back: panel.count_coats(Face::Back) },
            dry_enough: panel.dryness().and_then(|report| DryEnoughJson::from_dryness(report.dryness)),
            facts: PanelFactsJson(story),
        }
    }
}

/// One panel of the list.
#[derive(Debug, Serialize)]
pub struct PanelListItemJson {
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
    whereabouts: Option<WhereaboutsJson>,
    damaged: Option<DamageJson>,
}

impl PanelListItemJson {
    /// A panel whose story can be told.
    pub fn from_panel(panel: &Panel, status: &PanelStatus, damage: Option<&Damage>) -> PanelListItemJson {
        let opened = panel.opened();
        PanelListItemJson {
            id: opened.id.to_string(),
            label: Some(opened.label.clone()),
            recipe: Some(opened.recipe.name.clone()),
            phase: Some(status.phase.name()),
            stage: status.stage.map(StageJson::from),
            next: status.next_stage.map(StageJson::from),
            due_at: status.due_at.map(format_local_rfc3339),
            left_s: status.time_left.map(Span::seconds),
            finished: status.phase == PanelPhase::Finished,
            abandoned: status.phase == PanelPhase::Abandoned,
            whereabouts: panel.placement().map(WhereaboutsJson::from),
            damaged: damage.map(DamageJson::from),
        }
    }
    /// A panel of whose journal not even the opening can be read.
    pub fn unreadable(id: &str, damage: &Damage) -> PanelListItemJson {
        PanelListItemJson {
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
            whereabouts: None,
            damaged: Some(damage.into()),
        }
    }
}

/// What `panels --json` prints.
#[derive(Debug, Serialize)]
pub struct PanelsJson {
    format: u32,
    panels: Vec<PanelListItemJson>,
}

impl PanelsJson {
    /// Those panels.
    pub fn new(panels: Vec<PanelListItemJson>) -> PanelsJson {
        PanelsJson { format: FORMAT_VERSION, panels }
    }
}
