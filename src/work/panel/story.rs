//! The whole story of a panel. How take-backs and late facts work is `work::story`'s; here is what it needs to know of a
//! panel.
//!
//! Absent on purpose: files and clocks.

use super::event::PanelEvent;
use super::refusal::PanelRefusal;
use super::state::Panel;
use crate::units::{Entry, Moment};
use crate::work::story::{self, OrderRefusal, StoryEvent, StoryState};

pub use crate::work::story::AHEAD_MAX;

/// A panel's story.
pub type PanelStory = story::Story<Panel>;

impl PanelStory {
    /// The state that follows.
    pub fn panel(&self) -> &Panel {
        self.state()
    }
}

impl StoryEvent for PanelEvent {
    fn name(&self) -> &str {
        PanelEvent::name(self)
    }
    fn can_be_taken_back(&self) -> bool {
        PanelEvent::can_be_taken_back(self)
    }
    fn takes_back(&self) -> Option<u64> {
        if let PanelEvent::Undone { takes_back } = self { Some(*takes_back) } else { None }
    }
}

impl StoryState for Panel {
    type Event = PanelEvent;
    type Refusal = PanelRefusal;

    fn from_opening(entry: &Entry<PanelEvent>) -> Result<Panel, PanelRefusal> {
        Panel::from_opening(entry)
    }
    fn opened_at(&self) -> Moment {
        Panel::opened_at(self)
    }
    fn after(&mut self, entry: &Entry<PanelEvent>) -> Result<(), PanelRefusal> {
        Panel::after(self, entry)
    }
}

impl From<OrderRefusal<PanelRefusal>> for PanelRefusal {
    fn from(misplaced: OrderRefusal<PanelRefusal>) -> PanelRefusal {
        match misplaced {
            OrderRefusal::NotOpened => PanelRefusal::NotOpened,
            OrderRefusal::BeforeOpening { opened_at } => PanelRefusal::BeforeOpening { opened_at },
            OrderRefusal::TooFarAhead { by } => PanelRefusal::TooFarAhead { by },
            OrderRefusal::StoryBreaks { at, fact, cause: because } => {
                PanelRefusal::StoryBreaks { at, fact, cause: because }
            }
            OrderRefusal::NothingToTakeBack => PanelRefusal::NothingToTakeBack,
            OrderRefusal::NotTheLastFact { seq } => PanelRefusal::NotTheLastFact { seq },
            OrderRefusal::LastFactChanged => PanelRefusal::LastFactChanged,
        }
    }
}
