//! The time line of a panel and its powder maps, for small multiples: what one takes in at a glance, side by side.
//!
//! Absent on purpose: drawing.

use super::standing_steps::standing_steps;
use crate::craft::recipe::Direction;
use crate::units::{Id, Moment};
use crate::work::panel::event::{CheckMap, Face, StageKind};
use crate::work::panel::story::PanelStory;
use crate::work::panel::wait::elapsed;
use crate::work::story::StoryState;

/// One act on the time line.
#[derive(Debug, Clone, PartialEq)]
pub struct TimelineCoat {
    /// Minutes from the first gesso coat; from the first act, where there is none yet.
    pub minute: f64,
    /// What it was.
    pub kind: StageKind,
    /// On which face.
    pub face: Option<Face>,
    /// In which direction.
    pub direction: Option<Direction>,
    /// It was laid before its wait was over.
    pub early: bool,
    /// It was laid on a bone-dry coat.
    pub after_long_gap: bool,
    /// Minutes until its gloss was gone, if that was marked.
    pub dull_min: Option<f64>,
}

/// One panel for small multiples.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelTimeline {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// Its gesso coats in the order of time.
    pub coats: Vec<TimelineCoat>,
    /// Every act, hours from the opening.
    pub acts_h: Vec<(f64, StageKind)>,
    /// Its checks, round by round; a check without a map was clear.
    pub checks: Vec<Option<CheckMap>>,
    /// Areas across and down, where its recipe has a check.
    pub areas: Option<(u32, u32)>,
    /// Width and height, mm.
    pub size_mm: (f64, f64),
}

impl PanelTimeline {
    /// Minutes from its first to its last coat.
    pub fn duration_min(&self) -> f64 {
        self.coats.last().map_or(0.0, |m| m.minute)
    }
}

/// The line of a story.
pub fn timeline_from_story(story: &PanelStory) -> PanelTimeline {
    let panel = story.panel();
    let opened = panel.opened();
    let mut coats: Vec<_> = standing_steps(panel).filter(|(s, _)| s.slot.kind.is_gesso()).collect();
    coats.sort_by_key(|(_, l)| (l.done_at.wall, l.seq));
    let first = coats.first().map(|(_, l)| l.done_at);
    let since = |m: Moment| first.map_or(0.0, |f| elapsed(f, m).minutes());
    let coats = coats
        .iter()
        .map(|(step, coat)| {
            let judged = panel.step_judgements(step.slot, coat.seq);
            TimelineCoat {
                minute: since(coat.done_at),
                kind: step.slot.kind,
                face: step.slot.face,
                direction: coat.event.direction,
                early: judged.iter().any(|j| j.early_by.is_some()),
                after_long_gap: judged.iter().any(|j| j.long_gap.is_some()),
                dull_min: coat.dull_at.map(|d| elapsed(coat.done_at, d).minutes()),
            }
        })
        .collect();
    let mut acts_h: Vec<(f64, StageKind)> =
        standing_steps(panel).map(|(s, l)| (elapsed(panel.opened_at(), l.done_at).hours(), s.slot.kind)).collect();
    acts_h.sort_by(|a, b| a.0.total_cmp(&b.0));
    PanelTimeline {
        id: opened.id.clone(),
        label: opened.label.clone(),
        coats,
        acts_h,
        checks: standing_steps(panel)
            .filter(|(s, _)| s.slot.kind == StageKind::Check)
            .map(|(_, l)| l.event.map.clone())
            .collect(),
        areas: opened.recipe.check.as_ref().map(|c| (c.columns, c.rows)),
        size_mm: (opened.size.width.mm(), opened.size.height.mm()),
    }
}
