//! What earlier panels teach: how long the maker's coats took to go dull in such air, and how long a face takes to work.
//!
//! Told beside a countdown and used for planning; never moves a due. Absent on purpose: which stories are read (`bench`),
//! time constants of pots (`pot::forecast` tells them, `bench` lends them), comparing panels (`review`).

use super::air::Air;
use super::panel::event::Kind;
use super::panel::fixed::Drying;
use super::panel::story::Story;
use super::panel::wait::elapsed;
use crate::figures::median;
use crate::units::Span;

/// So many dull marks at least before a median is told.
pub const FEWEST: usize = 3;
/// Air is comparable if a coat takes at most so many times as long in one as in the other (assumed).
pub const COMPARABLE: f64 = 1.25;
/// So many of the newest stories are learned from.
pub const NEWEST: usize = 20;
/// Between beginning and done of one face lies no longer than this; longer is a forgotten press (assumed).
const LONGEST: Span = Span::from_s(4 * 3600);
/// The panel for which a recipe's minutes are meant, m2.
const FACE_M2: f64 = 0.12;

/// One coat that went dull, as the maker marked it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DullMark {
    /// Stipple or coat.
    pub kind: Kind,
    /// From done to dull, minutes.
    pub minutes: f64,
    /// What the air did to waits then; unread where no reading held.
    pub drying: Drying,
}

/// What the maker's own marks say of a coat in such air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OwnDull {
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
pub struct Learned {
    dulls: Vec<DullMark>,
    faces: Vec<(Kind, f64)>,
}

impl Learned {
    /// What those stories teach, with the air as it was.
    pub fn of<'a>(stories: impl IntoIterator<Item = &'a Story>, air: &Air) -> Learned {
        let mut learned = Learned::default();
        for story in stories {
            let opened = story.panel().opened();
            let face_m2 = opened.size.width.mm() * opened.size.height.mm() / 1e6;
            for step in story.panel().steps() {
                let (kind, Some(laid)) = (step.place.kind, step.laid()) else { continue };
                if let (Kind::Stipple | Kind::Coat, Some(dull)) = (kind, laid.dull) {
                    let drying = Drying::of(air.as_of(laid.done.wall).map(|r| (r.temp, r.rh)));
                    learned.dulls.push(DullMark { kind, minutes: elapsed(laid.done, dull).minutes(), drying });
                }
                let worked = laid.began.map(|began| elapsed(began, laid.done));
                if let Some(worked) = worked.filter(|w| *w > Span::ZERO && *w <= LONGEST && face_m2 > 0.0) {
                    learned.faces.push((kind, worked.minutes() * FACE_M2 / face_m2));
                }
            }
        }
        learned
    }

    /// How long such a coat of the maker's took to go dull, in air in which waits are alike.
    pub fn own_dull(&self, kind: Kind, now: Drying) -> OwnDull {
        let Some(here) = now.factor() else { return OwnDull::NoAir };
        let alike = |there: f64| (here / COMPARABLE..=here * COMPARABLE).contains(&there);
        let marks = self.dulls.iter().filter(|m| m.kind == kind && m.drying.factor().is_some_and(alike));
        let minutes: Vec<f64> = marks.map(|m| m.minutes).collect();
        match median(&minutes).filter(|_| minutes.len() >= FEWEST) {
            Some(median) => OwnDull::Median { minutes: median, marks: minutes.len() },
            None => OwnDull::TooFew { marks: minutes.len() },
        }
    }

    /// How long a stage of that kind takes on a face of 0.12 m2, minutes, and on how many it rests; other faces are taken
    /// to go by their area (assumed). None under [`FEWEST`].
    #[cfg_attr(not(test), allow(dead_code, reason = "what is planned by the minutes a face is still to come"))]
    pub fn minutes_a_face(&self, kind: Kind) -> Option<(f64, usize)> {
        let minutes: Vec<f64> = self.faces.iter().filter(|(k, _)| *k == kind).map(|(_, m)| *m).collect();
        median(&minutes).filter(|_| minutes.len() >= FEWEST).map(|m| (m, minutes.len()))
    }
}

#[cfg(test)]
mod tests;
