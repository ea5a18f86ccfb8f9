//! What a maker asks to have recorded, and how it becomes a fact: direction and wait are filled in from where the panel
//! stood at that time.
//!
//! Absent on purpose: keys and commands, air and pots (the bench adds them).

use super::event::{CheckMap, Done, Event, Flaw, Stage, Wait, WaitFrom};
use super::fold::Panel;
use super::inspection::Inspection;
use super::phase::Phase;
use super::refusal::Refusal;
use super::story::Story;
use crate::craft::recipe::Direction;
use crate::units::{Id, Mass, Moment};

/// The most characters kept of what a maker types.
pub const WORDS_MAX: usize = 4000;

/// What a maker asks to have recorded.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// The act at hand is begun.
    Start,
    /// The act at hand is done.
    Done {
        /// The direction taken, where it is not the one at hand.
        direction: Option<Direction>,
        /// The pot it came from.
        pot: Option<Id>,
        /// A check's map; none means clear.
        map: Option<CheckMap>,
    },
    /// The gloss is gone.
    Dull,
    /// Words.
    Note(String),
    /// The panel's weight.
    Weigh(Mass),
    /// One more of the act last done.
    Extra,
    /// The act last done is to be done again.
    Repeat(Flaw),
    /// Leave the act at hand out, or end the wait.
    Skip(String),
    /// Leaving the bench.
    Away,
    /// Back at the bench.
    Back,
    /// Take the last recorded fact back.
    Undo {
        /// The `seq` the maker saw as the last; refused if it is another by now.
        seen: Option<u64>,
    },
    /// Give the panel up.
    Abandon(String),
    /// What was seen on it.
    Inspect(Box<Inspection>),
}

impl Act {
    /// Done, as planned.
    pub const fn done() -> Act {
        Act::Done { direction: None, pot: None, map: None }
    }
}

impl Panel {
    /// The act at hand at that moment, whether or not a wait still runs before it.
    pub fn at_hand(&self) -> Option<Stage> {
        self.hand().map(|at| self.stage(at))
    }

    /// What a skip would leave out or end at that moment.
    pub fn skippable(&self, m: Moment) -> Option<Stage> {
        let wait = self.wait_in_force().filter(|w| w.runs_at(m)).and_then(|w| w.by_itself);
        wait.map(|at| self.stage(at)).or_else(|| self.at_hand())
    }

    fn complete_done(&self, direction: Option<Direction>, pot: Option<Id>, map: Option<CheckMap>) -> Done {
        let stage = self.at_hand();
        let wait = stage.and_then(|s| self.recipe_wait(s.kind));
        Done {
            direction: direction.or(stage.and_then(|s| s.direction)),
            pot,
            map,
            wait: wait.map(|span| Wait { span, from: WaitFrom::Recipe }),
            stage,
        }
    }
}

impl Story {
    /// The fact that act would be, happening at that moment.
    ///
    /// # Errors
    /// A [`Refusal`] where the act cannot even be put into a fact; whether the fact can be true is told by [`Story::with`].
    pub fn complete(&self, act: &Act, m: Moment) -> Result<Event, Refusal> {
        let then = self.as_of(m.wall);
        let panel = then.as_ref().map_or(self.panel(), Story::panel);
        Ok(match act {
            Act::Start => Event::Started { stage: panel.at_hand() },
            Act::Done { direction, pot, map } => {
                Event::Done(Box::new(panel.complete_done(*direction, pot.clone(), map.clone())))
            }
            Act::Dull => Event::Dull,
            Act::Note(text) => Event::Noted { text: words(text)? },
            Act::Weigh(mass) => Event::Weighed { mass: *mass },
            Act::Extra => Event::Extra,
            Act::Repeat(why) => Event::Repeated { why: *why },
            Act::Skip(why) => Event::Skipped { stage: panel.skippable(m), why: words(why)? },
            Act::Away => Event::Away,
            Act::Back => Event::Back,
            Act::Undo { seen } => self.take_back(*seen)?,
            Act::Abandon(why) => Event::Abandoned { why: words(why)? },
            Act::Inspect(seen) => Event::Inspected(Box::new(looked(seen)?)),
        })
    }

    fn take_back(&self, seen: Option<u64>) -> Result<Event, Refusal> {
        Ok(Event::Undone { takes_back: self.next_take_back(seen)? })
    }

    /// Refuses a start or done meant for a stage that is no longer at hand.
    ///
    /// # Errors
    /// [`Refusal::NoLongerAtHand`].
    pub fn still_at_hand(&self, seen: &Stage, m: Moment) -> Result<(), Refusal> {
        let panel = self.panel();
        let here = panel.at_hand().is_some_and(|s| s.same_place(seen));
        if here || panel.phase_at(m) == Phase::Abandoned {
            return Ok(());
        }
        let recorded_at = self.last_standing().map_or(panel.opened_at().wall, |e| e.at);
        Err(Refusal::NoLongerAtHand { seen: *seen, recorded_at })
    }
}

/// An inspection as it is kept: its words trimmed, and refused where it cannot be true.
fn looked(seen: &Inspection) -> Result<Inspection, Refusal> {
    let mut kept = seen.clone();
    kept.note = kept.note.as_deref().map(words).transpose()?;
    kept.photo = kept.photo.as_deref().map(words).transpose()?;
    kept.check().map_err(|why| Refusal::NotSeen { why })?;
    Ok(kept)
}

/// The maker's words, trimmed; none and too many are refused.
fn words(text: &str) -> Result<String, Refusal> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Refusal::NoWords);
    }
    if text.chars().count() > WORDS_MAX {
        return Err(Refusal::TooManyWords { most: WORDS_MAX });
    }
    Ok(text.to_owned())
}
