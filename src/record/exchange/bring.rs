//! Another shelf taken in. A story is known by its first line; its bytes are copied as they are. What one side merely
//! continued is continued; a board that has the id of another one here gets a new id, by a fact of its own; stories that
//! parted are kept both. Every file is written whole, one after the other, and what is to be written follows from what
//! lies on both shelves: interrupted anywhere, it is run again.

use super::beside;
use super::report::{BringReport, BroughtStory};
use super::stories::{NewIds, PlacedStory, new_ids, place_stories, write_story};
use crate::record::files::Lock;
use crate::record::journal::{JournalError, JournalEvent};
use crate::record::shelf::{Drawer, Shelf};
use crate::units::Stamp;
use crate::work::panel::event::PanelEvent;
use crate::work::pot::event::PotEvent;
use crate::work::story::StoryEvent;

/// Takes `source` in, or tells what that would do; `lock` is that of `shelf`, and none tells only.
///
/// # Errors
/// [`JournalError`]; what was written till then is whole, and the rest comes when it is run again.
pub fn bring(shelf: &Shelf, source: &Shelf, lock: Option<&Lock>, now: Stamp) -> Result<BringReport, JournalError> {
    let mut report = BringReport { not_merged: beside::find_unmerged(source), ..BringReport::default() };
    // A line that names a picture or a pot is never there before them.
    beside::bring_photos(shelf, source, lock.is_some(), &mut report)?;
    beside::bring_trials(shelf, source, lock.is_some(), &mut report)?;
    let mut panels = place_stories::<PanelEvent>(shelf, source, Drawer::Panels)?;
    let pots = place_stories::<PotEvent>(shelf, source, Drawer::Pots)?;
    let job =
        Job { shelf, now, is_written: lock.is_some(), pots: new_ids(&pots, true), groups: new_ids(&panels, false) };
    for pot in &pots {
        job.take_story(Drawer::Pots, pot, &mut report)?;
    }
    panels.sort_by_key(|panel| !panel.leads_group());
    for panel in &panels {
        job.take_story(Drawer::Panels, panel, &mut report)?;
    }
    beside::bring_air(shelf, source, lock, now, &mut report)?;
    Ok(report)
}

/// What is the same for every story.
struct Job<'s> {
    shelf: &'s Shelf,
    now: Stamp,
    is_written: bool,
    pots: NewIds,
    groups: NewIds,
}

impl Job<'_> {
    fn take_story<E: JournalEvent + StoryEvent>(
        &self,
        drawer: Drawer,
        story: &PlacedStory<E>,
        report: &mut BringReport,
    ) -> Result<(), JournalError> {
        let mut fate = story.fate.clone();
        match story.bytes_here(&self.pots, &self.groups, self.now) {
            Ok(Some(bytes)) if self.is_written => write_story(self.shelf, drawer, &story.new_id, &bytes)?,
            Ok(_) => {}
            Err(left_out) => fate = left_out,
        }
        let (id, new_id) = (story.theirs.id.clone(), story.new_id.clone());
        report.stories.push(BroughtStory { drawer, id, new_id, fate });
        Ok(())
    }
}
