//! The pots at hand, and what is recorded of them.

use super::Bench;
use super::journaled_story::{RecordError, Snapshot};
use super::pot_choice::choose_pot_for_coat;
use super::recording::RecordRequest;
use crate::record::journal::JournalError;
use crate::record::shelf::Drawer;
use crate::units::{Id, Moment, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::story::PanelStory;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotCall;
use crate::work::pot::fold::Pot;
use crate::work::story::CommonEvent;
use std::sync::Arc;

impl Snapshot<Pot> {
    /// Whether it is neither used up nor thrown away.
    pub fn is_in_use(&self) -> bool {
        self.story.as_ref().is_some_and(|s| s.pot().end().is_none())
    }
}

impl Bench {
    /// Puts a pot on the bench, if it is not there yet.
    ///
    /// # Errors
    /// A [`JournalError`] if its journal cannot be read.
    pub fn load_pot(&mut self, id: &Id) -> Result<Snapshot<Pot>, JournalError> {
        self.pots.load(&self.shelf, id)
    }

    /// Puts every pot of the shelf on the bench, oldest first; they are few, and gesso leads back to its size.
    ///
    /// # Errors
    /// A [`JournalError`] if the shelf cannot be read at all; a single pot that cannot be read is told as damaged.
    pub fn load_pots(&mut self) -> Result<Vec<Snapshot<Pot>>, JournalError> {
        for id in self.shelf.ids(Drawer::Pots)? {
            self.pots.load_even_unreadable(&self.shelf, &id);
        }
        self.pots.sort_by_opening();
        Ok(self.pot_snapshots())
    }

    /// Every pot on the bench.
    pub fn pot_snapshots(&self) -> Vec<Snapshot<Pot>> {
        self.pots.snapshots()
    }

    /// Takes in what others recorded of pots. Returns those something is new about.
    pub fn refresh_pots(&mut self, now: Moment) -> Vec<Snapshot<Pot>> {
        let before: Vec<Id> = self.pots.stories.iter().map(|k| k.id.clone()).collect();
        let mut changed = self.pots.refresh();
        // Pots that cannot be listed now are with the next news.
        let pots = self.load_rack_pots(now).unwrap_or_default();
        changed.extend(pots.into_iter().filter(|t| !before.contains(&t.id)));
        changed
    }

    /// Records an act on a pot, that happened at `at` or now.
    ///
    /// # Errors
    /// [`RecordError`]; nothing is then recorded.
    pub fn record_pot(
        &mut self,
        id: &Id,
        act: &PotAct,
        at: Option<Stamp>,
        now: &dyn Fn() -> Moment,
    ) -> Result<Snapshot<Pot>, RecordError> {
        self.load_pot(id)?;
        let lock = self.shelf.lock()?;
        let journaled = self.pots.get_mut(id)?;
        journaled.refresh()?;
        let event = journaled.require_story()?.build_event(act)?;
        let now = now();
        journaled.record(&lock, event, at, now)?;
        let snapshot = journaled.snapshot();
        self.update_rack(&lock, !snapshot.is_in_use(), now);
        Ok(snapshot)
    }

    /// Writes a call that a pot raised. One that was raised already is refused.
    ///
    /// # Errors
    /// [`RecordError`].
    pub fn record_pot_notice(
        &mut self,
        id: &Id,
        event: CommonEvent<PotCall>,
        now: &dyn Fn() -> Moment,
    ) -> Result<Snapshot<Pot>, RecordError> {
        self.pots.record_notice(&self.shelf, id, event, now)
    }

    /// The same ask, with the pot the coat comes from where the maker named none.
    pub(super) fn fill_in_pot(&mut self, id: &Id, request: &RecordRequest, now: Moment) -> RecordRequest {
        if !matches!(request.act, PanelAct::Done { pot: None, .. }) {
            return request.clone();
        }
        let pots = self.load_pots_for_coat(request.at.is_some(), now);
        let story = self.panels.get_mut(id).ok().and_then(|journaled| journaled.story.clone());
        let Some(story) = story else { return request.clone() };
        let panels = self.load_group_panels(&story, now);
        fill_in_pot_from(&pots, &panels, &story, request)
    }

    /// The panels among which those of a panel's group are: the rack, where it has a group.
    pub(super) fn load_group_panels(&mut self, story: &PanelStory, now: Moment) -> Vec<Snapshot> {
        if self.follows_rack || story.panel().opened().group.is_none() {
            return self.snapshots();
        }
        let here: Vec<Id> = self.panels.stories.iter().map(|k| k.id.clone()).collect();
        // Those that cannot be read have no say.
        let _ = self.load_unfinished(now);
        let panels = self.snapshots();
        self.panels.stories.retain(|k| here.contains(&k.id));
        panels
    }

    /// The pots a coat may have come from, where it was laid now or, as told, at some other time.
    pub(super) fn load_pots_for_coat(&mut self, is_dated: bool, now: Moment) -> Vec<Snapshot<Pot>> {
        // A coat of long ago may have come from a pot that is no longer at hand.
        let loaded = if is_dated && !self.follows_rack { self.load_pots() } else { self.load_rack_pots(now) };
        // Pots that cannot be read cost a coat its pot's name and nothing else.
        loaded.unwrap_or_else(|_| self.pot_snapshots())
    }
}

/// The same ask of that story, with the pot the coat comes from where the maker named none; its group is among `panels`.
pub(super) fn fill_in_pot_from(
    pots: &[Snapshot<Pot>],
    panels: &[Snapshot],
    story: &Arc<PanelStory>,
    request: &RecordRequest,
) -> RecordRequest {
    let PanelAct::Done { direction, pot: None, map, by } = &request.act else { return request.clone() };
    let then = request.at.and_then(|at| story.as_of(at)).map_or_else(|| Arc::clone(story), Arc::new);
    let stage = then.panel().stage_at_hand();
    let pot = stage.and_then(|stage| choose_pot_for_coat(pots, panels, then.panel(), stage, &[], request.at));
    let pot = pot.map(|t| t.id.clone());
    RecordRequest {
        act: PanelAct::Done { direction: *direction, pot, map: map.clone(), by: by.clone() },
        ..request.clone()
    }
}
