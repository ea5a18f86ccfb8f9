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
    /// The long wait on the screen: the `seq` of the fact it runs from, and since when it is shown.
    long: Option<(u64, Moment)>,
}

impl View {
    /// The same view as a rehearsal, on a clock that runs `pace` times as fast as the world.
    #[must_use]
    pub fn rehearsal(self, pace: f64) -> View {
        View { rehearsal: Some(Rehearsal { long: None }), ..self.paced(pace) }
    }

    /// The pace of the rehearsal, if this is one.
    pub fn rehearses(&self) -> Option<f64> {
        self.rehearsal.as_ref().map(|_| self.pace)
    }

    /// Whether a rehearsal passes over a wait of that length.
    pub fn passes_over(wait: Span) -> bool {
        wait >= LONG
    }

    /// In a rehearsal, once a long wait has been on the screen for long enough: asks for the clock to be put forward to
    /// its end. Not while something else is being read or typed.
    pub(super) fn passes(&mut self, now: Moment) -> Option<Request> {
        let free = self.over == Over::Nothing;
        let story = self.story()?;
        let here = believed_now(story, now);
        let wait = story.panel().wait_in_force().filter(|w| w.runs_at(here) && View::passes_over(w.wait.span));
        let (least, shown, hurried) = (self.eyes(SHOWN_LEAST), self.eyes(SHOWN_FOR), SHOWN_FOR_HURRIED);
        let rehearsal = self.rehearsal.as_mut()?;
        let Some(wait) = wait else {
            rehearsal.long = None;
            return None;
        };
        match rehearsal.long.filter(|(of, _)| *of == wait.of && free) {
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
        if let Some(key) = &mut self.last_key {
            along(&mut key.at);
        }
        // What was too early is so no longer.
        self.question = None;
        if let Some(pressed) = &mut self.pressed {
            along(&mut pressed.since);
        }
        if let Some(said) = &mut self.said {
            along(&mut said.since);
        }
        self.pending.iter_mut().for_each(|p| along(&mut p.since));
        for alarm in &mut self.alarms {
            along(&mut alarm.since);
            alarm.last_beat.iter_mut().for_each(along);
        }
        if let Some((last, _)) = &mut self.last_tick {
            along(last);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::action::{Action, Mark, Press};
    use crate::app::view::Manner;
    use crate::bench::Told;
    use crate::craft::materials::Support;
    use crate::craft::recipe::{Paint, shipped};
    use crate::units::{Entry, Id, Length, Size, Stamp};
    use crate::work::panel::act::Act;
    use crate::work::panel::event::{Event, Grain, Opened};
    use crate::work::panel::story::Story;
    use std::sync::Arc;

    fn at(s: i64) -> Moment {
        Moment::wall_only(Stamp::from_ms(1_700_000_000_000) + Span::from_s(s))
    }

    /// A bench with one panel on which so many acts were done, all at second 0.
    fn bench(acts: u64) -> View {
        let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None };
        let opened = Opened {
            id: Id::new("wren").unwrap(),
            label: "Wren".to_owned(),
            size,
            support: Support::BirchPlywood,
            grain: Grain::Height,
            paint: Paint::Oil,
            recipe: Arc::new(shipped::named("gypsum-zinc").unwrap()),
        };
        let entry = |seq, event| Entry { seq, at: at(0).wall, written: at(0), raw_wall: None, event };
        let mut story = Story::fold(vec![entry(0, Event::Opened(Box::new(opened)))]).unwrap();
        for seq in 1..=acts {
            let event = story.complete(&Act::done(), at(0)).unwrap();
            story = story.with(entry(seq, event)).unwrap();
        }
        let told = Told { id: Id::new("wren").unwrap(), story: Some(Arc::new(story)), damage: None };
        View::new(
            vec![told],
            Manner { night: None, ring_for: Span::from_s(60), recipes: Vec::new(), shelved: Vec::new() },
        )
    }

    /// The board prepared and sized: the cure runs.
    const CURES: u64 = 5;
    /// The first size on both faces: half an hour runs.
    const SIZED: u64 = 3;

    fn passed_by(requests: &[Request]) -> Option<Span> {
        requests.iter().find_map(|r| if let Request::Pass(span) = r { Some(*span) } else { None })
    }

    #[test]
    fn a_long_wait_passes_once_its_word_was_shown() {
        let check = |acts, pace, seconds, hours: Option<f64>| {
            let mut view = bench(acts).rehearsal(pace);
            assert_eq!(passed_by(&view.tick(at(0), None)), None);
            let passes = passed_by(&view.tick(at(seconds), None));
            assert_eq!(passes.map(Span::hours), hours, "{acts} acts, pace {pace}, {seconds} s");
        };
        let left = |seconds: i64| Some(24.0 - seconds as f64 / 3600.0);
        check(CURES, 60.0, 239, None);
        check(CURES, 60.0, 240, left(240));
        check(CURES, 1.0, 3, None);
        check(CURES, 1.0, 4, left(4));
        check(CURES, 3600.0, 3599, None);
        check(CURES, 3600.0, 3600, left(3600));
        check(SIZED, 60.0, 1700, None);
    }

    #[test]
    fn nothing_passes_while_something_is_read_nor_in_earnest() {
        let mut view = bench(CURES).rehearsal(60.0);
        view.over = Over::Keys(0);
        view.tick(at(0), None);
        assert_eq!(passed_by(&view.tick(at(600), None)), None);
        let mut view = bench(CURES);
        view.tick(at(0), None);
        assert_eq!(passed_by(&view.tick(at(600), None)), None);
        assert_eq!(view.rehearses(), None);
    }

    #[test]
    fn a_finger_that_rests_still_rests_when_the_clock_is_put_forward() {
        let space = || Press { action: Action::Next, mark: Some(Mark(32)), held: false };
        let asks = |view: &mut View, s| !view.update(space(), at(s)).is_empty();
        let mut view = bench(0).rehearsal(60.0);
        assert!(asks(&mut view, 0));
        view.pending.clear();
        view.passed(Span::from_h(1.0));
        assert!(!asks(&mut view, 3600 + 59), "within a second of the world");
        assert!(asks(&mut view, 3600 + 59 + 60), "a second later");
    }
}
