//! The sitting over the bench: when it opens, what it asks to have recorded, and what came of that.

use super::keeping::{What, in_full};
use super::{Form, Over, Request, View};
use crate::app::action::Action;
use crate::app::sitting::{Sitting, Step};
use crate::bench::{Ask, Finished, NotRecorded, Told};
use crate::units::{Id, Moment};
use crate::work::advice::told::told as in_words;
use crate::work::panel::act::Act;
use crate::work::panel::event::Event;

impl View {
    /// Asks for the finished panels of the shelf.
    pub fn look_over(&mut self, now: Moment) -> Vec<Request> {
        self.request(Request::Sit, What::Reading, now)
    }

    /// The finished panels are read. Whoever has begun something else meanwhile is not taken from it.
    pub(super) fn sat(&mut self, panels: Vec<Finished>, left_out: usize, now: Moment) {
        self.pending.pop_front();
        let free = match &self.over {
            Over::Nothing => true,
            Over::Form(_) => self.story().is_none(),
            Over::Keys(_)
            | Over::Story(_)
            | Over::Line(_)
            | Over::Flaws(_)
            | Over::Map(_)
            | Over::Pots(_)
            | Over::Compare(_)
            | Over::Sitting(_) => false,
        };
        if free {
            self.over = Over::Sitting(Box::new(Sitting::new(panels, left_out, now.wall)));
        }
    }

    pub(super) fn sitting(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let busy = self.busy;
        let Over::Sitting(sitting) = &mut self.over else { return Vec::new() };
        match sitting.update(action) {
            Step::Stay => Vec::new(),
            Step::Close => self.close_sitting(),
            Step::Record(looks) => {
                let asked = looks.into_iter().map(|(id, seen)| (id, Act::Inspect(Box::new(seen)))).collect();
                self.ask_looks(asked, busy, now)
            }
            Step::TakeBack(id, seq) => self.ask_looks(vec![(id, Act::Undo { seen: Some(seq) })], busy, now),
        }
    }

    /// One request for each board; each is answered by itself.
    fn ask_looks(&mut self, looks: Vec<(Id, Act)>, busy: bool, now: Moment) -> Vec<Request> {
        let mut requests = Vec::new();
        for (id, act) in looks {
            let inspects = matches!(act, Act::Inspect(_));
            requests.extend(self.request(
                Request::Look(id.clone(), Ask { act, at: None, seen: None }),
                What::Look,
                now,
            ));
            if let (Over::Sitting(sitting), true, false) = (&mut self.over, inspects, busy) {
                sitting.saving(&id);
            }
        }
        requests
    }

    fn close_sitting(&mut self) -> Vec<Request> {
        self.over = match self.story() {
            Some(_) => Over::Nothing,
            None => Over::Form(Form::first(&self.manner, &self.told)),
        };
        Vec::new()
    }

    /// A look is on disk, or one was taken back. The panel joins the bench only if it was there before.
    pub(super) fn looked(&mut self, told: Told, now: Moment) {
        self.pending.pop_front();
        let last = told.story.as_ref().and_then(|s| Some((s.clone(), s.entries().last()?.clone())));
        if let Some((story, entry)) = &last {
            let what = format!("{}: {}", story.panel().opened().label, in_words(story, entry).what);
            // A sitting says of each board that it is recorded.
            let shown = matches!((&self.over, &entry.event), (Over::Sitting(_), Event::Inspected(_)));
            if !shown && self.said.as_ref().is_none_or(|s| !s.loud) {
                self.say(what, false, now);
            }
            if let Some(panel) = Finished::of(&told.id, story, now) {
                self.room.looks.put(&panel, now.wall);
                let seq = matches!(entry.event, Event::Inspected(_)).then_some(entry.seq);
                if let Over::Sitting(sitting) = &mut self.over {
                    sitting.kept(panel, seq);
                }
            }
        }
        if self.told.iter().any(|t| t.id == told.id) {
            self.adopt(vec![told]);
        }
    }

    /// A look could not be recorded: its board says so and keeps its answers.
    pub(super) fn not_looked(&mut self, id: &Id, why: &NotRecorded, now: Moment) {
        self.pending.pop_front();
        let why = in_full(why, now);
        match &mut self.over {
            Over::Sitting(sitting) => sitting.not_kept(id, why),
            Over::Nothing
            | Over::Keys(_)
            | Over::Story(_)
            | Over::Line(_)
            | Over::Flaws(_)
            | Over::Map(_)
            | Over::Form(_)
            | Over::Pots(_)
            | Over::Compare(_) => self.say(format!("{id}: not recorded: {why}"), true, now),
        }
    }
}
