//! What a maker asks to have recorded of a pot, and how it becomes a fact.
//!
//! Absent on purpose: keys and commands.

use super::event::{Event, Kind, Opened};
use super::fold::Pot;
use super::refusal::Refusal;
use super::story::Story;
use crate::units::{Mass, Temperature};
use crate::work::panel::act::WORDS_MAX;

/// What a maker asks to have recorded.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// Glue into cold water.
    Soak,
    /// Into the bath.
    Melt,
    /// Out of the bath.
    Out,
    /// It is liquid.
    Liquid,
    /// A thermometer reading.
    Temp(Temperature),
    /// Made.
    Made,
    /// Strained.
    Strained,
    /// It is a jelly.
    Gelled,
    /// Water given back.
    Water(Mass),
    /// The pot's weight.
    Weigh(Mass),
    /// Words.
    Note(String),
    /// Used up.
    Empty,
    /// Thrown away.
    Discard(String),
    /// Take the last recorded fact back.
    Undo {
        /// The `seq` the maker saw as the last; refused if it is another by now.
        seen: Option<u64>,
    },
}

impl Pot {
    /// What the one key of the bath does now: into it, or out of it.
    pub fn bath_act(&self) -> Act {
        if self.bath().is_some() { Act::Out } else { Act::Melt }
    }
}

impl Opened {
    /// Whether this pot can have been poured from that one.
    ///
    /// # Errors
    /// [`Refusal::OwnParent`]; [`Refusal::ParentIsNoSize`].
    pub fn can_come_from(&self, parent: &Opened) -> Result<(), Refusal> {
        if parent.id == self.id {
            return Err(Refusal::OwnParent);
        }
        match parent.kind {
            Kind::Size => Ok(()),
            Kind::Gesso => Err(Refusal::ParentIsNoSize { parent: parent.id.clone() }),
        }
    }
}

impl Story {
    /// The fact that act would be.
    ///
    /// # Errors
    /// A [`Refusal`] where the act cannot even be put into a fact; whether the fact can be true is told by
    /// [`Story::with`](crate::work::story::Story::with).
    pub fn complete(&self, act: &Act) -> Result<Event, Refusal> {
        Ok(match act {
            Act::Soak => Event::Soaked,
            Act::Melt => Event::Melt,
            Act::Out => Event::Out,
            Act::Liquid => Event::Liquid,
            Act::Temp(temp) => Event::Temp { temp: *temp },
            Act::Made => Event::Made,
            Act::Strained => Event::Strained,
            Act::Gelled => Event::Gelled,
            Act::Water(mass) => Event::Water { mass: *mass },
            Act::Weigh(mass) => Event::Weighed { mass: *mass },
            Act::Note(text) => Event::Noted { text: words(text)? },
            Act::Empty => Event::Emptied,
            Act::Discard(why) => Event::Discarded { why: words(why)? },
            Act::Undo { seen } => Event::Undone { takes_back: self.next_take_back(*seen)? },
        })
    }
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
