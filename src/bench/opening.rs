//! Opening panels.

use super::{Bench, Kept, NotRecorded, Told};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe};
use crate::record::journal::Failure;
use crate::units::{Entry, Moment, Size, Stamp};
use crate::work::panel::event::{Event, Grain, Opened};
use crate::work::panel::refusal::Refusal;
use crate::work::panel::story::{AHEAD, Story};
use std::sync::Arc;

/// What is said when panels are opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
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

impl Opening {
    fn label_of(&self, number: u16) -> String {
        if self.count == 1 { self.label.clone() } else { format!("{} {number}", self.label) }
    }

    fn grain(&self) -> Grain {
        let longer = if self.size.width.mm() > self.size.height.mm() { Grain::Width } else { Grain::Height };
        self.grain.unwrap_or(longer)
    }
}

impl Bench {
    /// Opens panels and puts them on the bench. Returns them in order.
    ///
    /// # Errors
    /// [`NotRecorded`]; the panels before the one that failed are open, and stand in the second part.
    pub fn open(&mut self, opening: &Opening, now: &dyn Fn() -> Moment) -> Result<Vec<Told>, (NotRecorded, Vec<Told>)> {
        let mut opened = Vec::new();
        for number in 1..=opening.count {
            match self.open_one(opening, number, now) {
                Ok(told) => opened.push(told),
                Err(why) => return Err((why, opened)),
            }
        }
        Ok(opened)
    }

    fn open_one(&mut self, opening: &Opening, number: u16, now: &dyn Fn() -> Moment) -> Result<Told, NotRecorded> {
        self.shelf.prepare()?;
        let lock = self.shelf.lock().map_err(Failure::from)?;
        let label = opening.label_of(number);
        let id = self.shelf.free_panel_id(&label)?;
        let written = now();
        let at = opening.at.unwrap_or(written.wall);
        if at - written.wall > AHEAD {
            return Err(Refusal::Ahead { by: at - written.wall }.into());
        }
        let event = Event::Opened(Box::new(Opened {
            id: id.clone(),
            label,
            size: opening.size,
            support: opening.support,
            grain: opening.grain(),
            paint: opening.paint,
            recipe: Arc::clone(&opening.recipe),
        }));
        let entry = Entry { seq: 0, at, written, raw_wall: None, event };
        let story = Story::fold(vec![entry.clone()])?;
        let journal = self.shelf.create_panel(&lock, &entry)?;
        let kept = Kept { id: id.clone(), journal, story: Some(Arc::new(story)) };
        let told = kept.told();
        self.kept.push(kept);
        drop(lock);
        self.shelf.keep_on_rack(&id);
        Ok(told)
    }
}
