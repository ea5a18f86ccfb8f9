//! What is true now while working: the panels and pots at hand with their journals, and the one way a fact gets in.
//!
//! `journaled_story` is one thing at hand, `pot_survey` what pots, panels and air say together, `opening` how panels
//! and pots are opened, `recording` what is recorded of panels, `pass` many facts at once,
//! `typed_pass` those typed from paper, `pots` what is recorded of
//! pots, `rack` which of all are at hand, `story_list` what is done alike with both, `air` the journal of the air, `stock` that of the cupboard,
//! `air_now` how readings get into it and the wait after a coat in the air of its time, `pot_calls` when a wait calls
//! for its pot, `pot_choice` which pot a coat comes from, `pot_objection` what speaks against it, `studio_knowledge`
//! the air and what earlier panels teach, `story_reader` the whole shelf read afterwards, `inspection_reminders` its
//! finished panels and when each is to be looked over, `trials` how trials are kept and their jars and boards opened, `clock_trust` what is believed of the clock. Clocks are handed
//! in.

mod air;
mod air_now;
mod clock_trust;
mod inspection_reminders;
mod journaled_story;
mod opening;
mod pass;
mod pot_calls;
mod pot_choice;
mod pot_objection;
mod pot_survey;
mod pots;
mod rack;
mod recording;
mod stock;
mod story_list;
mod story_reader;
mod studio_knowledge;
mod trials;
mod typed_pass;

#[cfg(test)]
mod air_tests;
#[cfg(test)]
mod group_tests;
#[cfg(test)]
mod pass_tests;
#[cfg(test)]
mod pot_tests;
#[cfg(test)]
mod tests;

pub use air::AirRecorded;
pub use inspection_reminders::{FinishedPanel, InspectionReminders, load_finished_panels};
pub use journaled_story::{RecordError, Snapshot, trusted_now};
pub use opening::{PanelOpening, PotOpening};
pub use pass::{PassEntry, PassFact, PassRecorded, PassRefusals};
pub use pot_calls::find_due_pot_call;
pub use pot_choice::choose_pot_for_coat;
pub use pot_objection::{PotObjection, pot_objection};
pub use pot_survey::PotSurvey;
pub use recording::{RecordRequest, Recorded};
pub use stock::{StockError, StockRequest};
pub use story_reader::{PanelRows, StoryReader};
pub use studio_knowledge::StudioKnowledge;
pub use trials::{KeptTrial, TrialError, load_trial, load_trial_boards, load_trials};

use crate::config::QuietHours;
use crate::record::journal::JournalError;
use crate::record::shelf::{Drawer, Rack, Shelf};
use crate::units::{Id, Moment};
use crate::work::advice::wait_calls;
use crate::work::learn::LearnedTimes;
use crate::work::panel::event::PanelCall;
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::pot::fold::Pot;
use air::AirJournal;
use journaled_story::JournaledStory;
use std::sync::Arc;
use story_list::StoryList;

/// The panels and pots at hand, and where they are kept.
#[derive(Debug)]
pub struct Bench {
    shelf: Shelf,
    panels: StoryList<Panel>,
    pots: StoryList<Pot>,
    air: AirJournal,
    air_may_shorten: bool,
    /// What the maker's own marks teach, where they set the waits.
    own_times: Option<Arc<LearnedTimes>>,
    /// It was opened over the rack, so that a panel opened elsewhere belongs to it too.
    follows_rack: bool,
    /// What was found out of stories that need not be read again, where the shelf's own rack does not say it.
    rack: Rack,
}

impl Bench {
    /// A bench over that shelf, with nothing on it yet.
    pub fn new(shelf: Shelf) -> Bench {
        Bench {
            shelf,
            panels: StoryList::new(Drawer::Panels),
            pots: StoryList::new(Drawer::Pots),
            air: AirJournal::default(),
            air_may_shorten: false,
            own_times: None,
            follows_rack: false,
            rack: Rack::default(),
        }
    }

    /// The same bench, on which dry air may shorten a wait or not; without this it may not.
    #[must_use]
    pub fn with_air_may_shorten(self, yes: bool) -> Bench {
        Bench { air_may_shorten: yes, ..self }
    }

    /// The same bench, on which the maker's own dull marks set the wait after a coat or not; without this they do not.
    #[must_use]
    pub fn with_own_waits(self, yes: bool) -> Bench {
        Bench { own_times: yes.then(Arc::default), ..self }
    }

    /// Where its panels are kept.
    pub fn shelf(&self) -> &Shelf {
        &self.shelf
    }

    /// Puts a panel on the bench, if it is not there yet.
    ///
    /// # Errors
    /// A [`JournalError`] if its journal cannot be read.
    pub fn load(&mut self, id: &Id) -> Result<Snapshot, JournalError> {
        self.panels.load(&self.shelf, id)
    }

    /// Puts every panel on the bench that is not finished or given up at that moment, oldest first; those that are opened
    /// later come too.
    ///
    /// # Errors
    /// A [`JournalError`] if the shelf cannot be read at all; a single journal that cannot be read is left out.
    pub fn load_rack(&mut self, now: Moment) -> Result<(), JournalError> {
        self.follows_rack = true;
        self.load_unfinished(now)?;
        self.panels.stories.retain(|k| k.snapshot().is_unfinished(now));
        self.panels.sort_by_opening();
        self.sort_by_places();
        Ok(())
    }

    /// Whether that panel is on the bench.
    pub fn has_panel(&self, id: &Id) -> bool {
        self.panels.contains(id)
    }

    /// Takes a panel off the bench; nothing of it changes.
    pub fn unload(&mut self, id: &Id) {
        self.panels.stories.retain(|k| k.id != *id);
    }

    /// Every panel on the bench.
    pub fn snapshots(&self) -> Vec<Snapshot> {
        self.panels.snapshots()
    }

    /// Takes in what other windows and scripts recorded, and over the rack the panels they opened. Returns the panels
    /// something is new about.
    pub fn refresh(&mut self, now: Moment) -> Vec<Snapshot> {
        let mut changed = self.panels.refresh();
        let before = self.panels.stories.len();
        // A rack that cannot be read now is read with the next news.
        if self.follows_rack && self.load_unfinished(now).is_ok() {
            changed.extend(self.panels.stories.iter().skip(before).map(JournaledStory::snapshot));
        }
        changed
    }
}

/// The call that is to be raised for a panel at that moment, and the `seq` of the fact whose wait it belongs to: the last
/// one whose time has come, unless it was raised already, here or in another window. Long waits end silently at night.
pub fn find_due_call(story: &PanelStory, now: Moment, night: Option<QuietHours>) -> Option<(PanelCall, u64)> {
    let now = trusted_now(story, now);
    let panel = story.panel();
    let status = panel.status(now);
    let wait = panel.current_wait()?;
    if wait_calls::is_night_silent(wait.wait.span, now.minute_of_day(), night) {
        return None;
    }
    let come = wait_calls::wait_calls(panel, &status).into_iter().filter(|(_, at)| *at <= now.wall);
    come.map(|(call, _)| call)
        .next_back()
        .filter(|call| !panel.has_raised(*call, wait.fact_seq))
        .map(|call| (call, wait.fact_seq))
}
