//! A rehearsal: the same bench on a hurried clock, which is put forward over the long waits.
//!
//! What a person needs time for (to let go of a key, to read a word) takes as long as ever: such times are stretched by
//! the pace ([`View::eyes`]), and what is remembered of them moves along when the clock is put forward
//! ([`View::passed`]). Absent on purpose: the clock itself, the sentences (`app::picture`).

use super::{Over, Request, View};
use crate::bench::believed_now;
use crate::units::{Moment, Span};

/// A wait of at least this long is passed over.
const LONG: Span = Span::from_s(3600);
/// For this long the word for a long wait is shown before the clock is put forward ...
const SHOWN_FOR: Span = Span::from_s(4);
/// ... or, at a high pace, for this long on the hurried clock, and never for less than a second.
const SHOWN_FOR_HURRIED: Span = Span::from_s(240);
const SHOWN_LEAST: Span = Span::from_s(1);

/// What a rehearsal remembers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rehearsal {
    /// How many times as fast as the world the clock runs.
    pace: f64,
    /// The long wait on the screen: the `seq` of the fact it runs from, and since when it is shown.
    long: Option<(u64, Moment)>,
}

impl View {
    /// The same view as a rehearsal, on a clock that runs `pace` times as fast as the world.
    #[must_use]
    pub fn rehearsal(self, pace: f64) -> View {
        View { rehearsal: Some(Rehearsal { pace: pace.max(0.001), long: None }), ..self }
    }

    /// The pace of the rehearsal, if this is one.
    pub fn rehearses(&self) -> Option<f64> {
        self.rehearsal.as_ref().map(|r| r.pace)
    }

    /// Whether a rehearsal passes over a wait of that length.
    pub fn passes_over(wait: Span) -> bool {
        wait >= LONG
    }

    /// A time meant for a person's eyes and fingers, on a clock that may run faster.
    pub fn eyes(&self, span: Span) -> Span {
        let pace = self.rehearses().unwrap_or(1.0);
        Span::from_ms((span.ms() as f64 * pace) as i64)
    }

    /// In a rehearsal, once a long wait has been on the screen for long enough: asks for the clock to be put forward to
    /// its end. Not while something else is being read or typed.
    pub(super) fn passes(&mut self, now: Moment) -> Option<Request> {
        let read = self.over == Over::Nothing && self.question.is_none();
        let story = self.story()?;
        let here = believed_now(story, now);
        let wait = story.panel().wait_in_force().filter(|w| w.runs_at(here) && View::passes_over(w.wait.span));
        let (least, shown, hurried) = (self.eyes(SHOWN_LEAST), self.eyes(SHOWN_FOR), SHOWN_FOR_HURRIED);
        let rehearsal = self.rehearsal.as_mut()?;
        let Some(wait) = wait else {
            rehearsal.long = None;
            return None;
        };
        match rehearsal.long.filter(|(of, _)| *of == wait.of && read) {
            Some((_, since)) if now.since(since) >= shown.min(hurried).max(least) => {
                rehearsal.long = None;
                Some(Request::Pass(wait.left_at(here)))
            }
            Some(_) => None,
            None => {
                rehearsal.long = Some((wait.of, now));
                None
            }
        }
    }

    /// The clock was put forward by `span`: for the maker no time has gone by, so a finger that rests still rests.
    pub fn passed(&mut self, span: Span) {
        let along = |m: &mut Moment| *m = m.back(-span);
        if let Some((_, at)) = &mut self.last_press {
            along(at);
        }
        if let Some(question) = &mut self.question {
            along(&mut question.since);
        }
        if let Some(pressed) = &mut self.pressed {
            along(&mut pressed.since);
        }
        if let Some(said) = &mut self.said {
            along(&mut said.since);
        }
        if let Some(saving) = &mut self.saving {
            along(saving);
        }
        if let Some((last, _)) = &mut self.last_tick {
            along(last);
        }
    }
}
