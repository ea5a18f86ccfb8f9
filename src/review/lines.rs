//! The time line of a panel and its powder maps, for small multiples: what one takes in at a glance, side by side.
//!
//! Absent on purpose: drawing.

use super::facts::{gesso, laid};
use crate::craft::recipe::Direction;
use crate::units::{Id, Moment};
use crate::work::panel::event::{CheckMap, Face, Kind};
use crate::work::panel::story::Story;
use crate::work::panel::wait::elapsed;

/// One act on the time line.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Minutes from the first gesso coat; from the first act, where there is none yet.
    pub min: f64,
    /// What it was.
    pub kind: Kind,
    /// On which face.
    pub face: Option<Face>,
    /// In which direction.
    pub direction: Option<Direction>,
    /// It was laid before its wait was over.
    pub early: bool,
    /// It was laid on a bone-dry coat.
    pub gap: bool,
    /// Minutes until its gloss was gone, if that was marked.
    pub dull_min: Option<f64>,
}

/// One panel for small multiples.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// Its gesso coats in the order of time.
    pub coats: Vec<Mark>,
    /// Every act, hours from the opening.
    pub acts_h: Vec<(f64, Kind)>,
    /// Its checks, round by round; a check without a map was clear.
    pub checks: Vec<Option<CheckMap>>,
    /// Areas across and down, where its recipe has a check.
    pub areas: Option<(u32, u32)>,
    /// Width and height, mm.
    pub size_mm: (f64, f64),
}

impl Line {
    /// Minutes from its first to its last coat.
    pub fn lasted_min(&self) -> f64 {
        self.coats.last().map_or(0.0, |m| m.min)
    }
}

/// The line of a story.
pub fn line(story: &Story) -> Line {
    let panel = story.panel();
    let opened = panel.opened();
    let mut coats: Vec<_> = laid(panel).filter(|(s, _)| gesso(s.place.kind)).collect();
    coats.sort_by_key(|(_, l)| (l.done.wall, l.seq));
    let first = coats.first().map(|(_, l)| l.done);
    let since = |m: Moment| first.map_or(0.0, |f| elapsed(f, m).minutes());
    let coats = coats
        .iter()
        .map(|(step, coat)| {
            let judged = panel.judgements_of(step.place, coat.seq);
            Mark {
                min: since(coat.done),
                kind: step.place.kind,
                face: step.place.face,
                direction: coat.fact.direction,
                early: judged.iter().any(|j| j.early.is_some()),
                gap: judged.iter().any(|j| j.gap.is_some()),
                dull_min: coat.dull.map(|d| elapsed(coat.done, d).minutes()),
            }
        })
        .collect();
    let mut acts_h: Vec<(f64, Kind)> =
        laid(panel).map(|(s, l)| (elapsed(panel.opened_at(), l.done).hours(), s.place.kind)).collect();
    acts_h.sort_by(|a, b| a.0.total_cmp(&b.0));
    Line {
        id: opened.id.clone(),
        label: opened.label.clone(),
        coats,
        acts_h,
        checks: laid(panel).filter(|(s, _)| s.place.kind == Kind::Check).map(|(_, l)| l.fact.map.clone()).collect(),
        areas: opened.recipe.check.as_ref().map(|c| (c.columns, c.rows)),
        size_mm: (opened.size.width.mm(), opened.size.height.mm()),
    }
}
