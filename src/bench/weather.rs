//! The air as the bench knows it when something is recorded, and the wait it gives a coat.

use super::Bench;
use crate::units::Stamp;
use crate::work::air::Air;
use crate::work::panel::act::Act;
use crate::work::panel::event::{Done, Event, Wait, WaitFrom};
use crate::work::panel::fixed::Drying;
use crate::work::panel::story::Story;

/// The readings of the air, and whether they may shorten a wait.
#[derive(Debug, Default)]
pub(super) struct Weather {
    air: Air,
    may_shorten: bool,
}

impl Bench {
    /// Reads what that act will ask of the air, before the lock is taken: under it only what came since is left to read.
    pub(super) fn look_at_the_air(&mut self, act: &Act) {
        self.weather(act);
    }

    /// What the air says to that act; only a coat asks it. Air that cannot be read costs a coat its estimate and nothing else.
    pub(super) fn weather(&mut self, act: &Act) -> Weather {
        match act {
            Act::Done { .. } => Weather { air: self.air().unwrap_or_default(), may_shorten: self.air_may_shorten },
            Act::Start
            | Act::Dull
            | Act::Note(_)
            | Act::Weigh(_)
            | Act::Extra
            | Act::Repeat(_)
            | Act::Skip(_)
            | Act::Away
            | Act::Back
            | Act::Undo { .. }
            | Act::Inspect(_)
            | Act::Abandon(_) => Weather::default(),
        }
    }
}

impl Weather {
    /// The same fact; the wait after a coat is fixed by the air as of the time the coat was laid.
    pub(super) fn fix(&self, event: Event, story: &Story, at: Stamp) -> Event {
        let Event::Done(done) = event else { return event };
        let drying = Drying::of(self.air.as_of(at).map(|r| (r.temp, r.rh)));
        Event::Done(Box::new(done.in_air(story.panel().recipe(), drying, self.may_shorten)))
    }
}

/// A fact that is moved to another time, with the recipe's wait again, which the air of the new time then fixes.
pub(super) fn planned(event: Event, story: &Story) -> Event {
    let Event::Done(done) = event else { return event };
    let of_recipe = |wait: Wait| match wait.from {
        WaitFrom::Recipe | WaitFrom::RecipeAir => {
            let span = done.stage.and_then(|s| story.panel().recipe_wait(s.kind)).unwrap_or(wait.span);
            Wait { span, from: WaitFrom::Recipe }
        }
        WaitFrom::Maker => wait,
    };
    Event::Done(Box::new(Done { wait: done.wait.map(of_recipe), ..*done }))
}
