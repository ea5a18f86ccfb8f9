//! What can happen to a pot: the closed list of facts.
//!
//! The words written in journals are those of the commands, as plain facts: `opened soaked melt out liquid temp made
//! strained brix gelled water weighed noted emptied discarded undone alert clock_stepped slept`. Seven of them (`melt out liquid
//! temp made brix water`) are the command's own word, because the word already says what is so; the others are the command's
//! word in the past.

use super::weighed::WeighedParts;
pub use crate::craft::materials::PotKind;
use crate::craft::recipe::Recipe;
use crate::units::{Id, Mass, Temperature, Volume};
use crate::work::story::{CommonEvent, Filing, StoryCall, StoryEvent, TrialRun};
use std::sync::Arc;
use strum::{IntoStaticStr, VariantArray};

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
    /// The lot of the filler, as printed on the bag.
    pub filler_lot: Option<String>,
    /// The group of panels, or the panel, it was opened for.
    pub for_group: Option<Id>,
    /// The trial it was opened for, and which jar it is.
    pub trial: Option<TrialRun>,
}

/// A call a pot raises by itself; each is written once for the fact it belongs to, however often it rings. Calls that
/// come from a coat's due time (into the bath, thin the bowl) belong to the panel's wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
pub enum PotCall {
    /// The glue has soaked.
    Soaked,
    /// Out of the bath.
    #[strum(serialize = "out of the bath")]
    OutOfBath,
}

impl StoryCall for PotCall {}

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
    /// The size, or the gesso, is made, of what was weighed.
    Made(Box<WeighedParts>),
    /// It was worked through sieve and cloth.
    Strained,
    /// A refractometer was read.
    Brix {
        /// What it said, degrees.
        brix: f64,
    },
    /// It is a jelly.
    Gelled,
    /// Water was given back.
    Water {
        /// How much.
        mass: Mass,
    },
    /// It is used up.
    Emptied,
    /// It was thrown away.
    Discarded {
        /// Why, in the maker's words.
        why: String,
    },
    /// What can happen to a panel and a pot alike.
    Common(CommonEvent<PotCall>),
}

impl From<CommonEvent<PotCall>> for PotEvent {
    fn from(common: CommonEvent<PotCall>) -> PotEvent {
        PotEvent::Common(common)
    }
}

impl StoryEvent for PotEvent {
    type Call = PotCall;

    fn name(&self) -> &str {
        match self {
            PotEvent::Opened(_) => "opened",
            PotEvent::Soaked => "soaked",
            PotEvent::Melt => "melt",
            PotEvent::OutOfBath => "out",
            PotEvent::Liquid => "liquid",
            PotEvent::Temp { .. } => "temp",
            PotEvent::Made(_) => "made",
            PotEvent::Strained => "strained",
            PotEvent::Brix { .. } => "brix",
            PotEvent::Gelled => "gelled",
            PotEvent::Water { .. } => "water",
            PotEvent::Emptied => "emptied",
            PotEvent::Discarded { .. } => "discarded",
            PotEvent::Common(common) => common.name(),
        }
    }

    fn can_be_taken_back(&self) -> bool {
        match self {
            PotEvent::Common(common) => common.can_be_taken_back(),
            PotEvent::Opened(_) => false,
            PotEvent::Soaked
            | PotEvent::Melt
            | PotEvent::OutOfBath
            | PotEvent::Liquid
            | PotEvent::Temp { .. }
            | PotEvent::Made(_)
            | PotEvent::Brix { .. }
            | PotEvent::Strained
            | PotEvent::Gelled
            | PotEvent::Water { .. }
            | PotEvent::Emptied
            | PotEvent::Discarded { .. } => true,
        }
    }

    fn named_pot(&self) -> Option<&Id> {
        if let PotEvent::Opened(opened) = self { opened.parent.as_ref() } else { None }
    }

    fn named_group(&self) -> Option<&Id> {
        if let PotEvent::Opened(opened) = self { opened.for_group.as_ref() } else { None }
    }

    fn refile(&mut self, filing: &Filing) {
        match self {
            PotEvent::Opened(opened) => {
                opened.id.clone_from(&filing.id);
                opened.parent = opened.parent.as_ref().map(|pot| filing.pot(pot));
                if let (Some(group), Some(new)) = (&mut opened.for_group, &filing.group) {
                    group.clone_from(new);
                }
            }
            PotEvent::Soaked
            | PotEvent::Melt
            | PotEvent::OutOfBath
            | PotEvent::Liquid
            | PotEvent::Temp { .. }
            | PotEvent::Made(_)
            | PotEvent::Brix { .. }
            | PotEvent::Strained
            | PotEvent::Gelled
            | PotEvent::Water { .. }
            | PotEvent::Emptied
            | PotEvent::Discarded { .. }
            | PotEvent::Common(_) => {}
        }
    }

    fn as_common(&self) -> Option<&CommonEvent<PotCall>> {
        if let PotEvent::Common(common) = self { Some(common) } else { None }
    }
}
