//! The sitting over the bench: when it opens, what it asks to have recorded, and what came of that.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::overlay::Overlay;
use super::replies::format_record_error;
use crate::app::message::Message;
use crate::app::sitting::{SittingModel, SittingOutcome};
use crate::bench::{FinishedPanel, RecordError, RecordRequest, Snapshot};
use crate::units::{Id, Moment};
use crate::work::advice::fact_text::format_fact as in_words;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::PanelEvent;

impl Model {
    /// Asks for the finished panels of the shelf.
    pub fn request_sitting(&mut self, now: Moment) -> Vec<Effect> {
        self.request_effect(Effect::ReadFinishedPanels, PendingKind::ReadShelf, now)
    }

    /// The finished panels are read. Whoever has begun something else meanwhile is not taken from it.
    pub(super) fn handle_finished_panels_read(&mut self, panels: Vec<FinishedPanel>, left_out: usize, now: Moment) {
        self.pending.pop_front();
        let free = match &self.overlay {
            Overlay::None | Overlay::Shelf(_) => true,
            Overlay::Form(_) => self.story().is_none(),
            Overlay::Keys(_)
            | Overlay::Story(_)
            | Overlay::Line(_)
            | Overlay::Flaws(_)
            | Overlay::Clock(_)
            | Overlay::Map(_)
            | Overlay::Pots(_)
            | Overlay::Comparison(_)
            | Overlay::Queue(_)
            | Overlay::Plan(_)
            | Overlay::PassSheet(_)
            | Overlay::Sitting(_) => false,
        };
        if free {
            self.overlay = Overlay::Sitting(Box::new(SittingModel::new(panels, left_out, now.wall)));
        }
    }

    pub(super) fn update_sitting(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let busy = self.busy;
        let Overlay::Sitting(sitting) = &mut self.overlay else { return Vec::new() };
        match sitting.update(message, &self.settings.keymap) {
            SittingOutcome::Stay => Vec::new(),
            SittingOutcome::Close => self.close_sitting(),
            SittingOutcome::Record(looks) => {
                let asked = looks.into_iter().map(|(id, seen)| (id, PanelAct::Inspect(Box::new(seen)))).collect();
                self.request_inspections(asked, busy, now)
            }
            SittingOutcome::TakeBack(id, seq) => {
                self.request_inspections(vec![(id, PanelAct::Undo { seen: Some(seq) })], busy, now)
            }
        }
    }

    /// One request for each board; each is answered by itself.
    fn request_inspections(&mut self, looks: Vec<(Id, PanelAct)>, busy: bool, now: Moment) -> Vec<Effect> {
        let mut effects = Vec::new();
        for (id, act) in looks {
            let inspects = matches!(act, PanelAct::Inspect(_));
            effects.extend(self.request_effect(
                Effect::RecordInspection(id.clone(), RecordRequest { act, at: None, expected_stage: None }),
                PendingKind::Inspection,
                now,
            ));
            if let (Overlay::Sitting(sitting), true, false) = (&mut self.overlay, inspects, busy) {
                sitting.mark_saving(&id);
            }
        }
        effects
    }

    fn close_sitting(&mut self) -> Vec<Effect> {
        self.return_to_bench();
        Vec::new()
    }

    /// A look is on disk, or one was taken back. The panel joins the bench only if it was there before.
    pub(super) fn handle_inspection_recorded(&mut self, snapshot: Snapshot, now: Moment) {
        self.pending.pop_front();
        let last = snapshot.story.as_ref().and_then(|s| Some((s.clone(), s.entries().last()?.clone())));
        if let Some((story, entry)) = &last {
            let what =
                format!("{}: {}", story.panel().opened().label, in_words(story, entry, self.settings.units).text);
            // A sitting says of each board that it is recorded.
            let shown = matches!((&self.overlay, &entry.event), (Overlay::Sitting(_), PanelEvent::Inspected(_)));
            if !shown && self.status_message.as_ref().is_none_or(|s| !s.urgent) {
                self.show_message(what, false, now);
            }
            if let Some(panel) = FinishedPanel::from_story(&snapshot.id, story, now) {
                self.studio.reminders.update_panel(&panel, now.wall);
                let seq = matches!(entry.event, PanelEvent::Inspected(_)).then_some(entry.seq);
                if let Overlay::Sitting(sitting) = &mut self.overlay {
                    sitting.mark_recorded(panel, seq);
                }
            }
        }
        if self.snapshots.iter().any(|t| t.id == snapshot.id) {
            self.replace_snapshots(vec![snapshot]);
        }
    }

    /// A look could not be recorded: its board says so and keeps its answers.
    pub(super) fn handle_inspection_failed(&mut self, id: &Id, error: &RecordError, now: Moment) {
        self.pending.pop_front();
        let reason = format_record_error(error, now);
        match &mut self.overlay {
            Overlay::Sitting(sitting) => sitting.mark_failed(id, reason),
            Overlay::None
            | Overlay::Keys(_)
            | Overlay::Story(_)
            | Overlay::Line(_)
            | Overlay::Flaws(_)
            | Overlay::Clock(_)
            | Overlay::Shelf(_)
            | Overlay::Map(_)
            | Overlay::Form(_)
            | Overlay::Pots(_)
            | Overlay::Queue(_)
            | Overlay::Plan(_)
            | Overlay::PassSheet(_)
            | Overlay::Comparison(_) => self.show_message(format!("{id}: not recorded: {reason}"), true, now),
        }
    }
}
