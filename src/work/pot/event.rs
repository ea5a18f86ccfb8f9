//! What can happen to a pot: the closed list of facts.
//!
//! The words written in journals are those of the commands, as plain facts: `opened soaked melt out liquid temp made
//! strained gelled water weighed noted emptied discarded undone alert clock_stepped slept`. Six of them (`melt out liquid
//! temp made water`) are the command's own word, because the word already says what is so; the others are the command's
//! word in the past.
//!
//! Absent on purpose: how a fact is written to a line (`record::journal::line`), whether it can be true (`fold`).

pub use crate::craft::materials::PotKind;
use crate::craft::recipe::Recipe;
use crate::units::{Id, Mass, Span, Temperature, Volume, written_words};
use std::sync::Arc;
use strum::{VariantArray, VariantNames};

/// What is said of a pot when it is opened.
#[derive(Debug, Clone, PartialEq)]
pub struct PotOpened {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it, as typed.
    pub label: String,
    /// What is in it.
    pub kind: PotKind,
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum PotCall {
    /// The glue has soaked.
    Soaked,
    /// Out of the bath.
    #[strum(serialize = "out of the bath")]
    OutOfBath,
}
written_words!(PotCall);

/// What happened to a pot.
#[derive(Debug, Clone, PartialEq)]
pub enum PotEvent {
    /// The pot was opened.
    Opened(Box<PotOpened>),
    /// The glue was put into cold water.
    Soaked,
    /// The pot went into the warm bath.
    Melt,
    /// It came out of the bath.
    OutOfBath,
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
        call: PotCall,
        /// The `seq` of the fact it belongs to.
        fact_seq: u64,
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
    Unknown {
        /// The word of its kind.
        name: String,
    },
}

impl PotEvent {
    /// The word written in journals and JSON.
    pub fn name(&self) -> &str {
        match self {
            PotEvent::Opened(_) => "opened",
            PotEvent::Soaked => "soaked",
            PotEvent::Melt => "melt",
            PotEvent::OutOfBath => "out",
            PotEvent::Liquid => "liquid",
            PotEvent::Temp { .. } => "temp",
            PotEvent::Made => "made",
            PotEvent::Strained => "strained",
            PotEvent::Gelled => "gelled",
            PotEvent::Water { .. } => "water",
            PotEvent::Weighed { .. } => "weighed",
            PotEvent::Noted { .. } => "noted",
            PotEvent::Emptied => "emptied",
            PotEvent::Discarded { .. } => "discarded",
            PotEvent::Undone { .. } => "undone",
            PotEvent::Alert { .. } => "alert",
            PotEvent::ClockStepped { .. } => "clock_stepped",
            PotEvent::Slept { .. } => "slept",
            PotEvent::Unknown { name: fact } => fact,
        }
    }

    /// Whether it is a fact of the maker's that can be taken back: not the opening, not a take-back, and nothing the
    /// program wrote by itself.
    pub fn can_be_taken_back(&self) -> bool {
        match self {
            PotEvent::Opened(_)
            | PotEvent::Undone { .. }
            | PotEvent::Alert { .. }
            | PotEvent::ClockStepped { .. }
            | PotEvent::Slept { .. }
            | PotEvent::Unknown { .. } => false,
            PotEvent::Soaked
            | PotEvent::Melt
            | PotEvent::OutOfBath
            | PotEvent::Liquid
            | PotEvent::Temp { .. }
            | PotEvent::Made
            | PotEvent::Strained
            | PotEvent::Gelled
            | PotEvent::Water { .. }
            | PotEvent::Weighed { .. }
            | PotEvent::Noted { .. }
            | PotEvent::Emptied
            | PotEvent::Discarded { .. } => true,
        }
    }
}
