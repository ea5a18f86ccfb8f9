//! What can happen to a panel and a pot alike, and what a story needs to know of any fact.

use crate::units::{Id, Mass, Span};
use std::collections::BTreeMap;
use std::fmt::Debug;
use strum::VariantArray;

/// The word of the fact that mending leaves in the place of a line that could not be saved.
pub const LOST_EVENT: &str = "lost";

/// A call the program raises once for a fact.
pub trait StoryCall: Copy + Debug + Ord + VariantArray + Into<&'static str> + 'static {
    /// Every call.
    const ALL: &'static [Self] = Self::VARIANTS;
    /// The word written in journals.
    fn name(self) -> &'static str {
        self.into()
    }
    /// The call of that name.
    fn from_name(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|call| call.name() == name)
    }
}

/// A fact, as far as a story needs to know it.
pub trait StoryEvent: Clone + Debug + PartialEq + From<CommonEvent<Self::Call>> {
    /// The calls the program raises.
    type Call: StoryCall;
    /// The word written in journals and JSON.
    fn name(&self) -> &str;
    /// Whether it is a fact of the maker's that can be taken back: not the opening, not a take-back, and nothing the
    /// program wrote by itself.
    fn can_be_taken_back(&self) -> bool;
    /// The fact, if it is one that can happen to a panel and a pot alike.
    fn as_common(&self) -> Option<&CommonEvent<Self::Call>>;
    /// Where a story was brought in under another id, what that changed.
    fn filing(&self) -> Option<&Filing> {
        if let Some(CommonEvent::Filed(filing)) = self.as_common() { Some(filing) } else { None }
    }
    /// Whether it says what was so from the opening on, whenever it was recorded.
    fn holds_throughout(&self) -> bool {
        false
    }
    /// The pot it names, if it does.
    fn named_pot(&self) -> Option<&Id>;
    /// The group it names, if it does.
    fn named_group(&self) -> Option<&Id>;
    /// Calls by their new ids what stood before that filing.
    fn refile(&mut self, filing: &Filing);
    /// The `seq` of the fact it takes back, if it is a take-back.
    fn takes_back(&self) -> Option<u64> {
        if let Some(CommonEvent::Undone { takes_back }) = self.as_common() { Some(*takes_back) } else { None }
    }
}

/// The ids a story goes by on the shelf it was brought to, where another story had one of its own there. They hold for what
/// stands before it in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filing {
    /// What it is filed under.
    pub id: Id,
    /// The pots it names, by the ids it names them by.
    pub pots: BTreeMap<Id, Id>,
    /// The group it belongs to, or was opened for, where that has another id.
    pub group: Option<Id>,
}

impl Filing {
    /// What that pot is filed under.
    pub fn pot(&self, id: &Id) -> Id {
        self.pots.get(id).unwrap_or(id).clone()
    }
}

/// A fact that can happen to a panel and a pot alike.
#[derive(Debug, Clone, PartialEq)]
pub enum CommonEvent<C> {
    /// Words of the maker.
    Noted {
        /// The words, as typed.
        text: String,
    },
    /// It was weighed; a pot with vessel and brush, always the same way.
    Weighed {
        /// What it weighed.
        mass: Mass,
        /// What a bare offcut of the same sheet weighed beside it; of panels only.
        offcut: Option<Mass>,
    },
    /// A fact was taken back.
    Undone {
        /// The `seq` of the fact taken back.
        takes_back: u64,
    },
    /// The program raised a call.
    Alert {
        /// Which call.
        call: C,
        /// The `seq` of the fact it belongs to; of a panel, the fact whose wait it is.
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
    /// It was brought to a shelf on which it goes by other ids.
    Filed(Box<Filing>),
    /// A fact of a kind this version does not know; kept, without effect.
    Unknown {
        /// The word of its kind.
        name: String,
    },
}

impl<C> CommonEvent<C> {
    /// The word written in journals and JSON.
    pub fn name(&self) -> &str {
        match self {
            CommonEvent::Noted { .. } => "noted",
            CommonEvent::Weighed { .. } => "weighed",
            CommonEvent::Undone { .. } => "undone",
            CommonEvent::Alert { .. } => "alert",
            CommonEvent::ClockStepped { .. } => "clock_stepped",
            CommonEvent::Slept { .. } => "slept",
            CommonEvent::Filed(_) => "filed",
            CommonEvent::Unknown { name } => name,
        }
    }

    /// Whether it is a fact of the maker's that can be taken back.
    pub const fn can_be_taken_back(&self) -> bool {
        match self {
            CommonEvent::Noted { .. } | CommonEvent::Weighed { .. } => true,
            CommonEvent::Undone { .. }
            | CommonEvent::Alert { .. }
            | CommonEvent::ClockStepped { .. }
            | CommonEvent::Slept { .. }
            | CommonEvent::Filed(_)
            | CommonEvent::Unknown { .. } => false,
        }
    }
}
