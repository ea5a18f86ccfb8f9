//! What can happen to a pot: the closed list of facts.
//!
//! The words written in journals are those of the commands, as plain facts: `opened soaked melt out liquid temp made
//! strained gelled water weighed noted emptied discarded undone alert clock_stepped slept`. Six of them (`melt out liquid
//! temp made water`) are the command's own word, because the word already says what is so; the others are the command's
//! word in the past.
//!
//! Absent on purpose: how a fact is written to a line (`record::journal::line`), whether it can be true (`fold`).

use crate::craft::recipe::Recipe;
use crate::units::{Id, Mass, Span, Temperature, Volume};
use crate::work::panel::event::Kind as StageKind;
use std::sync::Arc;

/// What is in the pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Glue and water.
    Size,
    /// Glue, water and white powders.
    Gesso,
}

impl Kind {
    /// Both kinds, in the order of the work.
    pub const ALL: [Kind; 2] = [Kind::Size, Kind::Gesso];
    /// The kind of pot that a stage of a panel is laid from; none where nothing is laid from a pot.
    pub const fn of_stage(stage: StageKind) -> Option<Kind> {
        match stage {
            StageKind::Size | StageKind::Cloth => Some(Kind::Size),
            StageKind::Stipple | StageKind::Coat => Some(Kind::Gesso),
            StageKind::Prepare
            | StageKind::Cure
            | StageKind::Dry
            | StageKind::Scrape
            | StageKind::Polish
            | StageKind::Check
            | StageKind::Rest
            | StageKind::Seal
            | StageKind::Sand => None,
        }
    }
    /// The word written in journals and JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Kind::Size => "size",
            Kind::Gesso => "gesso",
        }
    }
    /// The kind of that name.
    pub fn named(name: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|k| k.name() == name)
    }
}

/// What is said of a pot when it is opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it, as typed.
    pub label: String,
    /// What is in it.
    pub kind: Kind,
    /// The pot it was poured from: the size of a gesso.
    pub parent: Option<Id>,
    /// The pot's own copy of the plan.
    pub recipe: Arc<Recipe>,
    /// How much size: all of it, or what went into the gesso.
    pub size_ml: Option<Volume>,
    /// The lot of the glue, as printed on the packet.
    pub lot: Option<String>,
}

/// A call a pot raises by itself; each is written once for the fact it belongs to, however often it rings. Calls that
/// come from a coat's due time (into the bath, thin the bowl) belong to the panel's wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Call {
    /// The glue has soaked.
    Soaked,
    /// Out of the bath.
    Out,
}

impl Call {
    /// Every call.
    pub const ALL: [Call; 2] = [Call::Soaked, Call::Out];
    /// The word written in journals.
    pub const fn name(self) -> &'static str {
        match self {
            Call::Soaked => "soaked",
            Call::Out => "out of the bath",
        }
    }
    /// The call of that name.
    pub fn named(name: &str) -> Option<Call> {
        Call::ALL.into_iter().find(|c| c.name() == name)
    }
}

/// What happened to a pot.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// The pot was opened.
    Opened(Box<Opened>),
    /// The glue was put into cold water.
    Soaked,
    /// The pot went into the warm bath.
    Melt,
    /// It came out of the bath.
    Out,
    /// It is liquid.
    Liquid,
    /// A thermometer was read.
    Temp {
        /// What it said.
        temp: Temperature,
    },
    /// The size, or the gesso, is made.
    Made,
    /// It was worked through sieve and cloth.
    Strained,
    /// It is a jelly.
    Gelled,
    /// Water was given back.
    Water {
        /// How much.
        mass: Mass,
    },
    /// The pot was weighed, vessel and brush with it, always the same way.
    Weighed {
        /// What it weighed.
        mass: Mass,
    },
    /// The maker's words.
    Noted {
        /// The words, as typed.
        text: String,
    },
    /// It is used up.
    Emptied,
    /// It was thrown away.
    Discarded {
        /// Why, in the maker's words.
        why: String,
    },
    /// A fact was taken back.
    Undone {
        /// The `seq` of the fact taken back.
        takes_back: u64,
    },
    /// The program raised a call.
    Alert {
        /// Which call.
        call: Call,
        /// The `seq` of the fact it belongs to.
        of: u64,
    },
    /// The wall clock jumped against the boot clock.
    ClockStepped {
        /// Forwards, or backwards if negative.
        by: Span,
    },
    /// The machine slept.
    Slept {
        /// How long.
        span: Span,
    },
    /// A fact of a kind this version does not know; kept, without effect.
    Newer {
        /// The word of its kind.
        fact: String,
    },
}

impl Event {
    /// The word written in journals and JSON.
    pub fn name(&self) -> &str {
        match self {
            Event::Opened(_) => "opened",
            Event::Soaked => "soaked",
            Event::Melt => "melt",
            Event::Out => "out",
            Event::Liquid => "liquid",
            Event::Temp { .. } => "temp",
            Event::Made => "made",
            Event::Strained => "strained",
            Event::Gelled => "gelled",
            Event::Water { .. } => "water",
            Event::Weighed { .. } => "weighed",
            Event::Noted { .. } => "noted",
            Event::Emptied => "emptied",
            Event::Discarded { .. } => "discarded",
            Event::Undone { .. } => "undone",
            Event::Alert { .. } => "alert",
            Event::ClockStepped { .. } => "clock_stepped",
            Event::Slept { .. } => "slept",
            Event::Newer { fact } => fact,
        }
    }

    /// Whether it is a fact of the maker's that can be taken back: not the opening, not a take-back, and nothing the
    /// program wrote by itself.
    pub fn can_be_taken_back(&self) -> bool {
        match self {
            Event::Opened(_)
            | Event::Undone { .. }
            | Event::Alert { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => false,
            Event::Soaked
            | Event::Melt
            | Event::Out
            | Event::Liquid
            | Event::Temp { .. }
            | Event::Made
            | Event::Strained
            | Event::Gelled
            | Event::Water { .. }
            | Event::Weighed { .. }
            | Event::Noted { .. }
            | Event::Emptied
            | Event::Discarded { .. } => true,
        }
    }
}
