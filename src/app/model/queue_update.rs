//! What comes, in order, over all boards and pots: one line on the bench, a whole screen on a key.

use super::Model;
use super::effect::Effect;
use super::overlay::Overlay;
use super::queue_overlay::QueueOverlay;
use crate::app::message::Message;
use crate::bench::{Snapshot, trusted_now};
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::phase::PanelStatus;
use crate::work::panel::state::Panel;
use crate::work::plan::queue::{PotNeed, QueueEntry, QueuedAct, build_queue, find_pot_need};
use crate::work::pot::fold::Pot;

/// A pot's band counts down the last minutes before it wants something (assumed).
const BAND_LEAD: Span = Span::from_s(20 * 60);

impl Model {
    /// Every board that can be read and where it stands, in their places.
    pub(super) fn board_statuses(&self, now: Moment) -> Vec<(Id, &Panel, PanelStatus)> {
        let board = |t: &'_ Snapshot| -> Option<_> {
            let story = t.story.as_ref()?;
            Some((t.id.clone(), story.panel().status(trusted_now(story, now))))
        };
        let panels = self.snapshots.iter().filter_map(|t| Some(t.story.as_ref()?.panel()));
        self.snapshots.iter().filter_map(board).zip(panels).map(|((id, status), panel)| (id, panel, status)).collect()
    }

    /// Everything that comes, in order, over all boards and pots.
    pub fn queue(&self, now: Moment) -> Vec<QueueEntry> {
        build_queue(&self.board_statuses(now), &self.pot_needs(now), self.pass_kind(), now.wall)
    }

    /// What the pots in use want, and when.
    fn pot_needs(&self, now: Moment) -> Vec<(&Pot, PotNeed, Stamp)> {
        let survey = self.pot_survey();
        let sound = survey.pots.iter().filter(|t| t.is_in_use()).filter_map(Snapshot::sound_story);
        let need = |story: &'_ crate::work::pot::story::PotStory| {
            let pot = story.pot();
            let coat = survey.coat_preparation(pot, survey.forecast(pot).as_ref(), now);
            find_pot_need(pot, coat, trusted_now(story, now))
        };
        // That the bowl is thinned is marked by no key; it stands beside the pot and is no call of its own.
        let needs = sound.filter_map(|story| need(story).map(|(need, at)| (story.pot(), need, at)));
        needs.filter(|(_, need, _)| *need != PotNeed::ThinBowl).collect()
    }

    /// The pot its band speaks of, with what it wants and when: the one that wants something soonest.
    pub fn pot_in_band(&self, now: Moment) -> Option<(Id, PotNeed, Stamp)> {
        let needs = self.pot_needs(now).into_iter().filter(|(_, need, at)| {
            let is_of_pot = match need {
                PotNeed::OutOfBath | PotNeed::IntoBath | PotNeed::Melt => true,
                PotNeed::ThinBowl => false,
            };
            is_of_pot && *at - now.wall <= BAND_LEAD
        });
        needs.min_by_key(|(.., at)| *at).map(|(pot, need, at)| (pot.opened().id.clone(), need, at))
    }

    pub(super) fn open_queue(&mut self) -> Vec<Effect> {
        if self.shown_panel().is_some() {
            self.overlay = Overlay::Queue(QueueOverlay::default());
        }
        Vec::new()
    }

    pub(super) fn update_queue(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let entries = self.queue(now);
        let Overlay::Queue(queue) = &mut self.overlay else { return Vec::new() };
        let here = queue.cursor(&entries);
        let last = entries.len().saturating_sub(1);
        let go = |queue: &mut QueueOverlay, to: usize| {
            queue.typed.clear();
            queue.chosen = entries.get(to).map(|entry| entry.id.clone());
        };
        match message {
            Message::Up => go(queue, here.saturating_sub(1)),
            Message::Down => go(queue, (here + 1).min(last)),
            Message::PageUp => go(queue, here.saturating_sub(10)),
            Message::PageDown => go(queue, (here + 10).min(last)),
            Message::Home => go(queue, 0),
            Message::End => go(queue, last),
            Message::DeleteBackward => drop(queue.typed.pop()),
            Message::TypeChar(c) => queue.type_letter(*c, &entries),
            Message::Leave => self.overlay = Overlay::None,
            Message::Accept => {
                self.overlay = Overlay::None;
                match entries.get(here).map(|entry| (&entry.id, entry.act)) {
                    Some((id, QueuedAct::Board(_))) => {
                        if let Some(at) = self.snapshots.iter().position(|t| t.id == *id) {
                            self.show_board(at);
                        }
                    }
                    Some((id, QueuedAct::Pot(_))) => return self.show_pot_list(Some(id)),
                    None => {}
                }
            }
            _ => {}
        }
        Vec::new()
    }
}
