//! What earlier panels teach: how long the maker's coats took to go dull in such air, and how long a face takes to work.
//!
//! Told beside a countdown and used for planning; never moves a due. Absent on purpose: which stories are read (`bench`),
//! time constants of pots (`pot::forecast` tells them, `bench` lends them), comparing panels (`review`).

use super::air::Air;
use super::panel::adjusted_wait::DryingEstimate;
use super::panel::event::StageKind;
use super::panel::story::PanelStory;
use super::panel::wait::elapsed;
use crate::stats::median;
use crate::units::Span;

/// So many dull marks at least before a median is told.
pub const MARKS_MIN: usize = 3;
/// Air is comparable if a coat takes at most so many times as long in one as in the other (assumed).
pub const COMPARABLE_FACTOR: f64 = 1.25;
/// So many of the newest stories are learned from.
pub const STORIES_MAX: usize = 20;
/// Between beginning and done of one face lies no longer than this; longer is a forgotten press (assumed).
const FACE_TIME_MAX: Span = Span::from_s(4 * 3600);
/// The panel for which a recipe's minutes are meant, m2.
const REFERENCE_FACE_M2: f64 = 0.12;

/// One coat that went dull, as the maker marked it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DullMark {
    /// Stipple or coat.
    pub kind: StageKind,
    /// From done to dull, minutes.
    pub minutes: f64,
    /// What the air did to waits then; unread where no reading held.
    pub drying: DryingEstimate,
}

/// What the maker's own marks say of a coat in such air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OwnDullTime {
    /// The median of so many marks, minutes.
    Median {
        /// The median, minutes.
        minutes: f64,
        /// How many marks it rests on.
        marks: usize,
    },
    /// Too few marks in comparable air; so many there are.
    TooFew {
        /// How many there are.
        marks: usize,
    },
    /// No reading of the air holds, so that nothing can be compared.
    NoAir,
}

/// What earlier panels teach.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LearnedTimes {
    dull_marks: Vec<DullMark>,
    face_minutes: Vec<(StageKind, f64)>,
}

impl LearnedTimes {
    /// What those stories teach, with the air as it was.
    pub fn from_stories<'a>(stories: impl IntoIterator<Item = &'a PanelStory>, air: &Air) -> LearnedTimes {
        let mut learned = LearnedTimes::default();
        for story in stories {
            let opened = story.panel().opened();
            let face_m2 = opened.size.width.mm() * opened.size.height.mm() / 1e6;
            for step in story.panel().steps() {
                let (kind, Some(laid)) = (step.slot.kind, step.laid_coat()) else { continue };
                if let Some(dull) = laid.dull_at.filter(|_| kind.is_gesso()) {
                    let drying = DryingEstimate::from_air(air.reading_as_of(laid.done_at.wall).map(|r| (r.temp, r.rh)));
                    learned.dull_marks.push(DullMark { kind, minutes: elapsed(laid.done_at, dull).minutes(), drying });
                }
                let worked = laid.began_at.map(|began| elapsed(began, laid.done_at));
                if let Some(worked) = worked.filter(|w| *w > Span::ZERO && *w <= FACE_TIME_MAX && face_m2 > 0.0) {
                    learned.face_minutes.push((kind, worked.minutes() * REFERENCE_FACE_M2 / face_m2));
                }
            }
        }
        learned
    }

    /// How long such a coat of the maker's took to go dull, in air in which waits are alike.
    pub fn own_dull_time(&self, kind: StageKind, now: DryingEstimate) -> OwnDullTime {
        let Some(here) = now.factor() else { return OwnDullTime::NoAir };
        let alike = |there: f64| (here / COMPARABLE_FACTOR..=here * COMPARABLE_FACTOR).contains(&there);
        let marks = self.dull_marks.iter().filter(|m| m.kind == kind && m.drying.factor().is_some_and(alike));
        let minutes: Vec<f64> = marks.map(|m| m.minutes).collect();
        match median(&minutes).filter(|_| minutes.len() >= MARKS_MIN) {
            Some(median) => OwnDullTime::Median { minutes: median, marks: minutes.len() },
            None => OwnDullTime::TooFew { marks: minutes.len() },
        }
    }

    /// How long a stage of that kind takes on a face of 0.12 m2, minutes, and on how many it rests; other faces are taken
    /// to go by their area (assumed). None under [`FEWEST`].
    #[cfg_attr(not(test), allow(dead_code, reason = "what is planned by the minutes a face is still to come"))]
    pub fn minutes_per_face(&self, kind: StageKind) -> Option<(f64, usize)> {
        let minutes: Vec<f64> = self.face_minutes.iter().filter(|(k, _)| *k == kind).map(|(_, m)| *m).collect();
        median(&minutes).filter(|_| minutes.len() >= MARKS_MIN).map(|m| (m, minutes.len()))
    }
}

#[cfg(test)]
mod tests;
