//! How panels and pots are opened: the plan is fixed in the first line, and nothing is on the bench before that is on disk.

use super::Bench;
use super::journaled_story::{JournaledStory, RecordError, Snapshot};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe};
use crate::record::shelf::Drawer;
use crate::units::{Entry, Id, Moment, Size, Stamp, Volume};
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened};
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::{AHEAD_MAX, PanelStory};
use crate::work::pot;
use crate::work::pot::fold::Pot;
use std::sync::Arc;

/// What is said when panels are opened.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelOpening {
    /// What the maker calls it; several like it are numbered.
    pub label: String,
    /// The board.
    pub size: Size,
    /// What it is made of.
    pub support: Support,
    /// Which way its grain runs; along the longer side if it was not said.
    pub grain: Option<Grain>,
    /// What will be painted on it.
    pub paint: Paint,
    /// The plan.
    pub recipe: Arc<Recipe>,
    /// How many.
    pub count: u16,
    /// When, if not now.
    pub at: Option<Stamp>,
}

impl PanelOpening {
    fn numbered_label(&self, number: u16) -> String {
        if self.count == 1 { self.label.clone() } else { format!("{} {number}", self.label) }
    }

    fn grain_or_default(&self) -> Grain {
        let longer = if self.size.width.mm() > self.size.height.mm() { Grain::Width } else { Grain::Height };
        self.grain.unwrap_or(longer)
    }
}

impl Bench {
    /// Opens panels and puts them on the bench. Returns them in order.
    ///
    /// # Errors
    /// [`NotRecorded`]; the panels before the one that failed are open, and stand in the second part.
    #[allow(clippy::result_large_err, reason = "opening is rare, and both parts are told")]
    pub fn open_panels(
        &mut self,
        opening: &PanelOpening,
        now: &dyn Fn() -> Moment,
    ) -> Result<Vec<Snapshot>, (RecordError, Vec<Snapshot>)> {
        let mut opened = Vec::new();
        for number in 1..=opening.count {
            match self.open_panel(opening, number, now) {
                Ok(told) => opened.push(told),
                Err(why) => return Err((why, opened)),
            }
        }
        Ok(opened)
    }

    fn open_panel(
        &mut self,
        opening: &PanelOpening,
        number: u16,
        now: &dyn Fn() -> Moment,
    ) -> Result<Snapshot, RecordError> {
        let lock = self.shelf.lock()?;
        let written = now();
        let rack = self.unfinished_ids(written);
        let at = opening.at.unwrap_or(written.wall);
        if at - written.wall > AHEAD_MAX {
            return Err(PanelRefusal::TooFarAhead { by: at - written.wall }.into());
        }
        let label = opening.numbered_label(number);
        let entry = |id| {
            let event = PanelEvent::Opened(Box::new(PanelOpened {
                id,
                label: label.clone(),
                size: opening.size,
                support: opening.support,
                grain: opening.grain_or_default(),
                paint: opening.paint,
                recipe: Arc::clone(&opening.recipe),
            }));
            Entry { seq: 0, at, written, raw_wall: None, event }
        };
        let (journal, entry) = self.shelf.create_panel(&lock, &label, entry)?;
        let story = PanelStory::fold(vec![entry])?;
        let id = story.panel().opened().id.clone();
        let kept = JournaledStory::new(id, journal, Some(Arc::new(story)));
        let told = kept.snapshot();
        self.panels.push(kept);
        // The rack as it was read before the panel was made, so that not every story need be read for it.
        let rack = rack.map(|before| before.into_iter().filter(|id| *id != told.id).collect());
        self.update_rack(&lock, &told, rack, written);
        Ok(told)
    }
}

/// What is said when a pot is opened.
#[derive(Debug, Clone, PartialEq)]
pub struct PotOpening {
    /// What the maker calls it.
    pub label: String,
    /// What is in it.
    pub kind: pot::event::PotKind,
    /// The pot it is poured from.
    pub parent: Option<Id>,
    /// The plan.
    pub recipe: Arc<Recipe>,
    /// How much size.
    pub size_ml: Option<Volume>,
    /// The lot of the glue.
    pub lot: Option<String>,
    /// When, if not now.
    pub at: Option<Stamp>,
}

impl Bench {
    /// Opens a pot and puts it on the bench.
    ///
    /// # Errors
    /// [`NotRecorded`], also if the pot it is said to be poured from holds no size.
    pub fn open_pot(&mut self, opening: &PotOpening, now: &dyn Fn() -> Moment) -> Result<Snapshot<Pot>, RecordError> {
        let lock = self.shelf.lock()?;
        let parent = opening.parent.as_ref().map(|id| self.load_pot(id)).transpose()?.and_then(|told| told.story);
        let written = now();
        let at = opening.at.unwrap_or(written.wall);
        if at - written.wall > AHEAD_MAX {
            return Err(PanelRefusal::TooFarAhead { by: at - written.wall }.into());
        }
        let opened = |id| pot::event::PotOpened {
            id,
            label: opening.label.clone(),
            kind: opening.kind,
            parent: opening.parent.clone(),
            recipe: Arc::clone(&opening.recipe),
            size_ml: opening.size_ml,
            lot: opening.lot.clone(),
        };
        if let (Some(parent), Some(probe)) = (&parent, Id::new("a-new-pot")) {
            opened(probe).check_parent(parent.pot().opened())?;
        }
        let entry = |id| {
            let event = pot::event::PotEvent::Opened(Box::new(opened(id)));
            Entry { seq: 0, at, written, raw_wall: None, event }
        };
        let (journal, entry) = self.shelf.create_story(&lock, Drawer::Pots, &opening.label, entry)?;
        let story = pot::story::PotStory::fold(vec![entry])?;
        let id = story.pot().opened().id.clone();
        let kept = JournaledStory::new(id, journal, Some(Arc::new(story)));
        let told = kept.snapshot();
        self.pots.push(kept);
        Ok(told)
    }
}
