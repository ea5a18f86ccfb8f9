//! What earlier panels teach: how long the maker's coats take to go dull, in any air, and how long a face takes to work.
//!
//! Told beside a countdown and used for planning. It moves a due only where the maker's settings say so, and then stands
//! in the fact.

use super::air::Air;
use super::panel::adjusted_wait::DryingEstimate;
use super::panel::event::{PanelOpened, StageKind};
use super::panel::state::LaidCoat;
use super::panel::story::PanelStory;
use super::panel::wait::elapsed;
use crate::craft::recipe::{ReadySign, Recipe};
use crate::stats::median;
use crate::units::{Moment, Span};
use std::collections::BTreeSet;

mod dull_model;

pub use dull_model::DullPrediction;
use dull_model::DullTimeModel;

/// So many times a face was worked at least before a median is told.
const FACES_MIN: usize = 3;
/// So many of the newest stories are learned from.
pub const STORIES_MAX: usize = 20;
/// Between beginning and done of one face lies no longer than this; longer is a forgotten press (assumed).
const FACE_TIME_MAX: Span = Span::from_s(4 * 3600);
/// The panel for which a recipe's minutes are meant, m2.
const REFERENCE_FACE_M2: f64 = 0.12;
/// A gap between two boards of a round counts as work below so many times the recipe's minutes; a longer one is a break
/// (assumed).
const GAP_FACTOR: f64 = 3.0;
/// A fact written later than this after it happened was put in by hand, and tells nothing of the minutes before it.
const PRESSED_WITHIN: Span = Span::from_s(5);

/// One coat that went dull, as the maker marked it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DullMark {
    /// Stipple or coat.
    pub kind: StageKind,
    /// From done to dull, minutes.
    pub minutes: f64,
    /// The recipe's own wait, minutes.
    pub recipe_min: f64,
    /// What the air did to waits then; unread where no reading held.
    pub drying: DryingEstimate,
}

/// What the maker's own marks say of a coat in such air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OwnDullTime {
    /// So many marks foretell it.
    Foretold {
        /// When, minutes.
        when: DullPrediction,
        /// How many marks it rests on.
        marks: usize,
    },
    /// No coat of that kind was marked dull in air that was read.
    NoMark,
    /// No reading of the air holds, so that nothing can be compared.
    NoAir,
}

/// What earlier panels teach.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LearnedTimes {
    dull_marks: Vec<DullMark>,
    /// The median minutes of a face of the reference size, and on how many it rests.
    face_minutes: Vec<(StageKind, f64, usize)>,
}

impl LearnedTimes {
    /// What those stories teach, with the air as it was.
    pub fn from_stories<'a>(stories: impl IntoIterator<Item = &'a PanelStory>, air: &Air) -> LearnedTimes {
        let mut learned = LearnedTimes::default();
        let (mut presses, mut face_minutes) = (Vec::new(), Vec::new());
        for (board, story) in stories.into_iter().enumerate() {
            let opened = story.panel().opened();
            let face_m2 = face_area_m2(opened);
            let pressed = pressed_seqs(story);
            for step in story.panel().steps() {
                let (kind, Some(laid)) = (step.slot.kind, step.laid_coat()) else { continue };
                if let Some(dull) = laid.dull_at.filter(|_| kind.is_gesso()) {
                    let drying = DryingEstimate::from_air(air.reading_as_of(laid.done_at.wall).map(|r| (r.temp, r.rh)));
                    let minutes = elapsed(laid.done_at, dull).minutes();
                    let recipe_min = story.panel().recipe_wait(kind).map_or(minutes, Span::minutes);
                    learned.dull_marks.push(DullMark { kind, minutes, recipe_min, drying });
                }
                let worked = laid.began_at.map(|began| elapsed(began, laid.done_at));
                if let Some(worked) = worked.filter(|w| *w > Span::ZERO && *w <= FACE_TIME_MAX && face_m2 > 0.0) {
                    face_minutes.push((kind, worked.minutes() * REFERENCE_FACE_M2 / face_m2));
                }
                let recipe_min = (kind.row().work_min)(story.panel().recipe()) * face_m2 / REFERENCE_FACE_M2;
                presses.push(DonePress::new(board, kind, laid, pressed.contains(&laid.seq), face_m2, recipe_min));
            }
        }
        presses.sort_by_key(|press| press.at.wall);
        face_minutes.extend(presses.windows(2).filter_map(|pair| pair[1].face_minutes_since(&pair[0])));
        learned.face_minutes =
            StageKind::ALL.into_iter().filter_map(|kind| median_of_kind(kind, &face_minutes)).collect();
        learned
    }

    /// When such a coat of the maker's goes dull in that air: what the recipe says, moved by every mark.
    pub fn own_dull_time(&self, kind: StageKind, recipe_wait: Span, now: DryingEstimate) -> OwnDullTime {
        let Some(here) = now.factor() else { return OwnDullTime::NoAir };
        let marks = || self.dull_marks.iter().filter(|m| m.kind == kind && m.minutes > 0.0);
        let marks: Vec<_> = marks().filter_map(|m| Some((m.drying.factor()?, m.minutes))).collect();
        if marks.is_empty() {
            return OwnDullTime::NoMark;
        }
        let unlearned = DullTimeModel::from_recipe(recipe_wait.minutes());
        let model = marks.iter().fold(unlearned, |model, (factor, minutes)| model.with_mark(*factor, *minutes));
        OwnDullTime::Foretold { when: model.predict(here), marks: marks.len() }
    }

    /// How long the maker's own marks say to wait after such a coat of that recipe, where going dull is what it is waited for.
    pub fn own_wait(&self, kind: StageKind, recipe: &Recipe, recipe_wait: Span, now: DryingEstimate) -> Option<Span> {
        if !kind.is_gesso() || recipe.coats.ready_sign != ReadySign::Dull {
            return None;
        }
        match self.own_dull_time(kind, recipe_wait, now) {
            OwnDullTime::Foretold { when, .. } => Some(Span::from_min(when.best)),
            OwnDullTime::NoMark | OwnDullTime::NoAir => None,
        }
    }

    /// The same of a brushed coat by the recipe of a coat that was marked; none without a mark.
    pub fn own_coat_time(&self, now: DryingEstimate) -> Option<(DullPrediction, usize)> {
        let mark = self.dull_marks.iter().find(|m| m.kind == StageKind::Coat)?;
        match self.own_dull_time(mark.kind, Span::from_min(mark.recipe_min), now) {
            OwnDullTime::Foretold { when, marks } => Some((when, marks)),
            OwnDullTime::NoMark | OwnDullTime::NoAir => None,
        }
    }

    /// How long a stage of that kind takes on a face of 0.12 m2, minutes, and on how many it rests; other faces are taken
    /// to go by their area (assumed). None under three.
    pub fn minutes_per_face(&self, kind: StageKind) -> Option<(f64, usize)> {
        self.face_minutes.iter().find(|(k, ..)| *k == kind).map(|(_, minutes, count)| (*minutes, *count))
    }

    /// How long a stage of that kind takes on that board, minutes: the maker's own where enough is known, else the
    /// recipe's, by the area of its face.
    pub fn work_minutes(&self, kind: StageKind, board: &PanelOpened) -> f64 {
        let own = self.minutes_per_face(kind).map(|(minutes, _)| minutes);
        let minutes = own.unwrap_or_else(|| (kind.row().work_min)(&board.recipe));
        minutes * face_area_m2(board) / REFERENCE_FACE_M2
    }
}

/// The median of the minutes of that kind, and of how many; none under [`FACES_MIN`].
fn median_of_kind(kind: StageKind, face_minutes: &[(StageKind, f64)]) -> Option<(StageKind, f64, usize)> {
    let minutes: Vec<f64> = face_minutes.iter().filter(|(k, _)| *k == kind).map(|(_, m)| *m).collect();
    median(&minutes).filter(|_| minutes.len() >= FACES_MIN).map(|median| (kind, median, minutes.len()))
}

fn face_area_m2(board: &PanelOpened) -> f64 {
    board.size.width.mm() * board.size.height.mm() / 1e6
}

/// The `seq` of every fact that was written when it happened. What was put in or moved afterwards has a time somebody
/// reckoned, be it a person or this program from these very minutes.
fn pressed_seqs(story: &PanelStory) -> BTreeSet<u64> {
    let pressed = story.entries().iter().filter(|e| e.written.wall - e.at <= PRESSED_WITHIN);
    pressed.map(|entry| entry.seq).collect()
}

/// An act done on one of several boards.
#[derive(Debug, Clone, Copy)]
struct DonePress {
    board: usize,
    kind: StageKind,
    at: Moment,
    /// It was pressed when it was done, and its beginning was not: what it took shows in the gap before it alone.
    is_gap_telling: bool,
    /// It was pressed when it was done.
    is_pressed: bool,
    face_m2: f64,
    recipe_min: f64,
}

impl DonePress {
    fn new(
        board: usize,
        kind: StageKind,
        laid: &LaidCoat,
        is_pressed: bool,
        face_m2: f64,
        recipe_min: f64,
    ) -> DonePress {
        let is_gap_telling = is_pressed && laid.began_at.is_none() && face_m2 > 0.0;
        DonePress { board, kind, at: laid.done_at, is_gap_telling, is_pressed, face_m2, recipe_min }
    }

    /// The minutes it took, for a face of the reference size, where the press before it was the same act on another board
    /// of the round.
    fn face_minutes_since(&self, before: &DonePress) -> Option<(StageKind, f64)> {
        let is_round = self.kind == before.kind && self.board != before.board;
        let gap = elapsed(before.at, self.at);
        let is_work = gap > Span::ZERO && gap.minutes() < GAP_FACTOR * self.recipe_min;
        (is_round && is_work && self.is_gap_telling && before.is_pressed)
            .then(|| (self.kind, gap.minutes() * REFERENCE_FACE_M2 / self.face_m2))
    }
}

#[cfg(test)]
mod tests;
