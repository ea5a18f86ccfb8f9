//! A rehearsal: the same bench on a hurried clock, which is put forward over the long waits.
//!
//! What a person needs time for (to let go of a key, to read a word) takes as long as ever: such times are stretched by
//! the pace ([`Model::scale_by_pace`]), and what is remembered of them moves along when the clock is put forward
//! ([`Model::shift_moments`]).

use super::effect::Effect;
use super::overlay::Overlay;
use super::{Model, Rehearsal};
use crate::bench::trusted_now;
use crate::units::{Moment, Span};

/// A wait of at least this long is passed over.
const MIN_SKIPPED_WAIT: Span = Span::from_s(3600);
/// For this long the word for a long wait is shown before the clock is put forward ...
const SHOWN_FOR: Span = Span::from_s(4);
/// ... or, at a high pace, for this long on the hurried clock, and never for less than a second.
const SHOWN_FOR_HURRIED: Span = Span::from_s(240);
const SHOWN_LEAST: Span = Span::from_s(1);

impl Model {
    /// The same view as a rehearsal, on a clock that runs `pace` times as fast as the world.
    #[must_use]
    pub fn with_rehearsal(self, pace: f64) -> Model {
        Model { rehearsal: Some(Rehearsal { long_wait: None }), ..self.with_pace(pace) }
    }

    /// The pace of the rehearsal, if this is one.
    pub fn rehearsal_pace(&self) -> Option<f64> {
        self.rehearsal.as_ref().map(|_| self.pace)
    }

    /// Whether a rehearsal passes over a wait of that length.
    pub fn is_skipped_wait(wait: Span) -> bool {
        wait >= MIN_SKIPPED_WAIT
    }

    /// In a rehearsal, once a long wait has been on the screen for long enough: asks for the clock to be put forward to
    /// its end. Not while something else is being read or typed.
    pub(super) fn skip_long_wait(&mut self, now: Moment) -> Option<Effect> {
        let free = self.overlay == Overlay::None;
        let story = self.story()?;
        let here = trusted_now(story, now);
        let wait =
            story.panel().current_wait().filter(|w| w.is_running_at(here) && Model::is_skipped_wait(w.wait.span));
        let (least, shown, hurried) =
            (self.scale_by_pace(SHOWN_LEAST), self.scale_by_pace(SHOWN_FOR), SHOWN_FOR_HURRIED);
        let rehearsal = self.rehearsal.as_mut()?;
        let Some(wait) = wait else {
            rehearsal.long_wait = None;
            return None;
        };
        match rehearsal.long_wait.filter(|(of, _)| *of == wait.fact_seq && free) {
            Some((_, since)) if now.since(since) >= shown.min(hurried).max(least) => {
                rehearsal.long_wait = None;
                Some(Effect::AdvanceClock(wait.time_left_at(here)))
            }
            Some(_) => None,
            None => {
                rehearsal.long_wait = Some((wait.fact_seq, now));
                None
            }
        }
    }

    /// The clock was put forward by `span`: for the maker no time has gone by, so a finger that rests still rests.
    pub fn shift_moments(&mut self, span: Span) {
        let along = |m: &mut Moment| *m = m.earlier_by(-span);
        if let Some(key) = &mut self.last_key {
            along(&mut key.at);
        }
        // What was too early is so no longer.
        self.confirmation = None;
        if let Some(pressed) = &mut self.recent_fact {
            along(&mut pressed.since);
        }
        if let Some(said) = &mut self.status_message {
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
    use crate::app::key::Key;
    use crate::app::model::ModelSettings;
    use crate::bench::Snapshot;
    use crate::craft::materials::Support;
    use crate::craft::recipe::{Paint, shipped};
    use crate::units::{Entry, Id, Length, Size, Stamp};
    use crate::work::panel::act::PanelAct;
    use crate::work::panel::event::{Grain, PanelEvent, PanelOpened};
    use crate::work::panel::story::PanelStory;
    use std::sync::Arc;

    fn at(s: i64) -> Moment {
        Moment::from_wall(Stamp::from_ms(1_700_000_000_000) + Span::from_s(s))
    }

    /// A bench with one panel on which so many acts were done, all at second 0.
    fn bench(acts: u64) -> Model {
        let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None };
        let opened = PanelOpened {
            sheet: None,
            id: Id::new("wren").unwrap(),
            label: "Wren".to_owned(),
            size,
            support: Support::BirchPlywood,
            grain: Grain::Height,
            paint: Paint::Oil,
            recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
            group: None,
            is_witness: false,
            trial: None,
        };
        let entry = |seq, event| Entry { seq, at: at(0).wall, written: at(0), raw_wall: None, replaces: None, event };
        let mut story = PanelStory::fold(vec![entry(0, PanelEvent::Opened(Box::new(opened)))]).unwrap();
        for seq in 1..=acts {
            let event = story.build_event(&PanelAct::done_as_planned(), at(0)).unwrap();
            story = story.with_entry(entry(seq, event)).unwrap();
        }
        let snapshot = Snapshot { id: Id::new("wren").unwrap(), story: Some(Arc::new(story)), damage: None };
        Model::new(
            vec![snapshot],
            ModelSettings {
                night: None,
                ring_for: Span::from_s(60),
                recipes: Vec::new(),
                shelf_ids: Vec::new(),
                keymap: Arc::default(),
                hands: 1,
                units: crate::text::UnitSystem::Metric,
                habits: crate::bench::PlanHabits::default(),
            },
        )
    }

    /// The board prepared and sized: the cure runs.
    const CURES: u64 = 5;
    /// The first size on both faces: half an hour runs.
    const SIZED: u64 = 3;

    fn passed_by(effects: &[Effect]) -> Option<Span> {
        effects.iter().find_map(|r| if let Effect::AdvanceClock(span) = r { Some(*span) } else { None })
    }

    #[test]
    fn a_long_wait_passes_once_its_word_was_shown() {
        let check = |acts, pace, seconds, hours: Option<f64>| {
            let mut model = bench(acts).with_rehearsal(pace);
            assert_eq!(passed_by(&model.tick(at(0), None)), None);
            let passes = passed_by(&model.tick(at(seconds), None));
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
        let mut model = bench(CURES).with_rehearsal(60.0);
        model.overlay = Overlay::Keys(0);
        model.tick(at(0), None);
        assert_eq!(passed_by(&model.tick(at(600), None)), None);
        let mut model = bench(CURES);
        model.tick(at(0), None);
        assert_eq!(passed_by(&model.tick(at(600), None)), None);
        assert_eq!(model.rehearsal_pace(), None);
    }

    #[test]
    fn a_finger_that_rests_still_rests_when_the_clock_is_put_forward() {
        let asks = |model: &mut Model, s| {
            let press = model.decode_key(Key::Char(' '), false);
            !model.update(press, at(s)).is_empty()
        };
        let mut model = bench(0).with_rehearsal(60.0);
        assert!(asks(&mut model, 0));
        model.pending.clear();
        model.shift_moments(Span::from_h(1.0));
        assert!(!asks(&mut model, 3600 + 59), "within a second of the world");
        assert!(asks(&mut model, 3600 + 59 + 60), "a second later");
    }
}
