//! How facts get into the journals of panels: acts, a fact moved to another time, and what the program noticed by itself.
//!
//! lock -> read on what others appended -> take now -> complete the fact -> `after` -> append -> sync -> unlock -> adopt.

use super::Bench;
use super::air_now::{AirNow, reset_recipe_wait};
use super::journaled_story::{JournaledStory, RecordError, Snapshot, trusted_now};
use crate::record::files::Lock;
use crate::units::{Id, Moment, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelCall, PanelEvent, Stage};
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::story::{CommonEvent, OrderRefusal};
use std::path::Path;

/// What a maker asks to have recorded, and what goes with it.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordRequest {
    /// What happened.
    pub act: PanelAct,
    /// When, if not now.
    pub at: Option<Stamp>,
    /// The stage the maker saw at hand; refused if it is no longer that one.
    pub expected_stage: Option<Stage>,
}

impl RecordRequest {
    /// That act, happening now.
    pub const fn from_act(act: PanelAct) -> RecordRequest {
        RecordRequest { act, at: None, expected_stage: None }
    }
}

/// What came of recording an act that may concern several panels.
#[derive(Debug, Clone, PartialEq)]
pub struct Recorded {
    /// Every panel of the bench that changed, the named one first.
    pub changed: Vec<Snapshot>,
    /// Panels of the rack, not of this bench, that changed as well.
    pub others: Vec<Id>,
    /// The panels it concerns and could not be written to.
    pub failed: Vec<(Id, RecordError)>,
}

impl Bench {
    /// Records an act on a panel. Leaving and coming back belong to the maker, so they are written to every panel that
    /// is between stipple and last coat.
    ///
    /// # Errors
    /// [`RecordError`]; nothing is then recorded on the named panel.
    pub fn record(
        &mut self,
        id: &Id,
        request: &RecordRequest,
        now: &dyn Fn() -> Moment,
    ) -> Result<Recorded, RecordError> {
        self.load(id)?;
        let request = &self.keep_photo(request)?;
        if !matches!(request.act, PanelAct::Away | PanelAct::Back) {
            return self.record_on_panel(id, request, now);
        }
        // The others are written to and go back to where they were: this bench is over those it was opened over.
        let here: Vec<Id> = self.panels.stories.iter().map(|k| k.id.clone()).collect();
        let unread = self.load_unfinished(now())?;
        let changed = self.record_on_panel(id, request, now);
        if !self.follows_rack {
            self.panels.stories.retain(|k| here.contains(&k.id));
        }
        let mut recorded = changed?;
        recorded.failed.extend(unread.into_iter().map(|(id, error)| (id, error.into())));
        let (here, others): (Vec<_>, Vec<_>) =
            recorded.changed.into_iter().partition(|snapshot| self.has_panel(&snapshot.id));
        recorded.changed = here;
        recorded.others = others.into_iter().map(|snapshot| snapshot.id).collect();
        Ok(recorded)
    }

    /// The same request, with the sum of its photograph, which is copied before anything is written: a line never names a
    /// picture that is not there. Where the fact is refused afterwards, a picture lies there that no line names.
    fn keep_photo(&self, request: &RecordRequest) -> Result<RecordRequest, RecordError> {
        let mut request = request.clone();
        if let PanelAct::Inspect(seen) = &mut request.act
            && let (Some(photo), None) = (&seen.photo, &seen.photo_sha256)
        {
            seen.photo_sha256 = Some(self.shelf.keep_photo(Path::new(photo.trim())).map_err(RecordError::Photo)?);
        }
        Ok(request)
    }

    fn record_on_panel(
        &mut self,
        id: &Id,
        request: &RecordRequest,
        now: &dyn Fn() -> Moment,
    ) -> Result<Recorded, RecordError> {
        self.preload_air(&request.act);
        let lock = self.shelf.lock()?;
        self.panels.get_mut(id)?.refresh()?;
        let now = now();
        let request = self.fill_in_pot(id, request, now);
        let air_now = self.air_for_act(&request.act);
        let named = record_act(self.panels.get_mut(id)?, &lock, &request, &air_now, now);
        let (others, failed) = self.record_on_others(id, &lock, &request, now);
        match (named, others.is_empty()) {
            // A panel that is not being laid has no part in it, as long as another has.
            (
                Err(RecordError::Refused(
                    PanelRefusal::AwayNotAllowed | PanelRefusal::NotAway | PanelRefusal::AlreadyAway,
                )),
                false,
            ) => {}
            (named, _) => named?,
        }
        let snapshot = self.panels.get_mut(id)?.snapshot();
        self.update_rack_of_panel(&lock, &snapshot, now);
        let mut changed = vec![snapshot];
        changed.extend(others);
        Ok(Recorded { changed, others: Vec::new(), failed })
    }

    /// Leaving and coming back, on the other panels they concern.
    fn record_on_others(
        &mut self,
        id: &Id,
        lock: &Lock,
        request: &RecordRequest,
        now: Moment,
    ) -> (Vec<Snapshot>, Vec<(Id, RecordError)>) {
        let (mut changed, mut failed) = (Vec::new(), Vec::new());
        if !matches!(request.act, PanelAct::Away | PanelAct::Back) {
            return (changed, failed);
        }
        let air_now = self.air_for_act(&request.act);
        for journaled in self.panels.stories.iter_mut().filter(|k| k.id != *id) {
            let recorded = journaled.refresh().map_err(RecordError::from);
            match recorded.and_then(|_| record_act(journaled, lock, request, &air_now, now)) {
                Ok(()) => changed.push(journaled.snapshot()),
                // One that is not being laid has no part in it; of a damaged one nobody knows.
                Err(RecordError::Refused(_)) => {
                    failed.extend(journaled.damage_error().map(|error| (journaled.id.clone(), error)))
                }
                Err(error) => failed.push((journaled.id.clone(), error)),
            }
        }
        (changed, failed)
    }

    /// Moves the fact just recorded to another time: one line records it anew at `at` and takes the old one back, so that
    /// at no moment it is gone. `seq` names the fact the maker saw.
    ///
    /// # Errors
    /// [`RecordError`]; the fact then stands where it stood.
    pub fn retime(&mut self, id: &Id, seq: u64, at: Stamp, now: &dyn Fn() -> Moment) -> Result<Snapshot, RecordError> {
        self.load(id)?;
        self.preload_air(&PanelAct::done_as_planned());
        let lock = self.shelf.lock()?;
        let air_now = self.air_for_act(&PanelAct::done_as_planned());
        let panel = self.panels.get_mut(id)?;
        panel.refresh()?;
        let story = panel.require_story()?;
        let last = story.last_standing_entry().filter(|e| e.seq == seq);
        let last = last.ok_or(OrderRefusal::LastFactChanged).map_err(PanelRefusal::from)?;
        let moved = air_now.adjust_wait(reset_recipe_wait(last.event.clone(), &story), &story, at);
        let (entry, story) = panel.prepare_entry(moved, Some(seq), Some(at), now())?;
        panel.append(&lock, &entry, story)?;
        Ok(panel.snapshot())
    }

    /// Writes something the program noticed by itself. A call that was raised already, here or in another window, is
    /// refused with [`PanelRefusal::AlreadyRaised`].
    ///
    /// # Errors
    /// [`RecordError`].
    pub fn record_notice(
        &mut self,
        id: &Id,
        event: CommonEvent<PanelCall>,
        now: &dyn Fn() -> Moment,
    ) -> Result<Snapshot, RecordError> {
        self.panels.record_notice(&self.shelf, id, event, now)
    }
}

/// Completes an act on a panel and keeps it.
fn record_act(
    journaled: &mut JournaledStory<Panel>,
    lock: &Lock,
    request: &RecordRequest,
    air_now: &AirNow,
    now: Moment,
) -> Result<(), RecordError> {
    let event = complete_act(&*journaled.require_story()?, request, air_now, now)?;
    journaled.record(lock, event, request.at, now)
}

/// The fact that act would be on that story, with direction and wait.
pub(super) fn complete_act(
    story: &PanelStory,
    request: &RecordRequest,
    air_now: &AirNow,
    now: Moment,
) -> Result<PanelEvent, RecordError> {
    let here = trusted_now(story, now);
    // A fact of this moment lies behind whatever was recorded before it, also behind what was put a minute ahead.
    let at = request.at.unwrap_or_else(|| here.wall.max(story.last_fact_at()));
    let at = here.earlier_by(here.wall - at);
    if let Some(seen) = &request.expected_stage {
        story.check_still_at_hand(seen, at)?;
    }
    Ok(air_now.adjust_wait(story.build_event(&request.act, at)?, story, at.wall))
}
