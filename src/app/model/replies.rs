//! What is being saved, and what came of it.
//!
//! Nothing is shown as done before it is on disk, and what was typed or marked stays until then.

use super::effect::{Effect, PendingEffect, PendingKind, Reply};
use super::overlay::Overlay;
use super::pots_overlay::PotsOverlay;
use super::{MapHint, Model, RecentFact, STILL_SAVING, StatusMessage};
use crate::app::comparison_model::ComparisonModel;
use crate::bench::{RecordError, Snapshot};
use crate::text::{UnitSystem, format_hhmm};
use crate::units::{Id, Moment, Span};
use crate::work::advice::board_water::weighing_air_question;
use crate::work::advice::fact_text::format_fact as in_words;
use crate::work::advice::words;
use crate::work::panel::event::{PanelEvent, Stage};
use crate::work::panel::refusal::PanelRefusal;
use crate::work::story::{CommonEvent, StoryEvent};
use chrono::FixedOffset;

impl Model {
    /// Since when the oldest unanswered request is under way.
    pub fn saving_since(&self) -> Option<Moment> {
        self.pending.front().map(|p| p.since)
    }

    /// Takes in what came of a request. It may want something in its turn: a call that is written down rings.
    pub fn handle_reply(&mut self, reply: Reply, now: Moment) -> Vec<Effect> {
        match reply {
            Reply::Changed(snapshots) => self.handle_changed(snapshots, now),
            Reply::PartlyRecorded(snapshots, failed) => self.handle_partly_recorded(snapshots, &failed, now),
            Reply::PassRecorded(recorded) => self.handle_pass_recorded(recorded, now),
            Reply::PassRefused(refused) => self.handle_pass_refused(&refused, now),
            Reply::Opened(snapshots) => self.handle_opened(snapshots, now),
            Reply::ChangedElsewhere(snapshots) => self.handle_changed_elsewhere(snapshots, now),
            Reply::NoticeRecorded(snapshot, event) => {
                let id = snapshot.id.clone();
                self.replace_snapshots(vec![snapshot]);
                return self.handle_notice_recorded(&id, &event, now);
            }
            Reply::ComparisonRead(side) => {
                self.pending.pop_front();
                // Whoever has begun something else meanwhile is not taken from it.
                if matches!(self.overlay, Overlay::None | Overlay::Shelf(_)) {
                    self.overlay = Overlay::Comparison(Box::new(ComparisonModel::new(side)));
                }
            }
            Reply::FinishedPanelsRead(panels, left_out) => self.handle_finished_panels_read(panels, left_out, now),
            Reply::InspectionRecorded(snapshot) => self.handle_inspection_recorded(snapshot, now),
            Reply::InspectionFailed(id, error) => self.handle_inspection_failed(&id, &error, now),
            Reply::NoticeFailed(id, event, error) => return self.handle_notice_failed(&id, &event, &error, now),
            Reply::Failed(error) => self.handle_failed(&error, now),
            Reply::Planned(plan, change) => self.handle_planned(*plan, change, now),
            Reply::PlanFailed(why) => self.handle_plan_failed(why, now),
            Reply::LowSpace(mb) => {
                self.show_message(
                    format!("only {mb} MB are left on this disk; make room before it is full"),
                    true,
                    now,
                );
            }
            Reply::RecordingStopped => self.recording_fault = Some(RecordError::ProgramFault),
            Reply::PotsLoaded(snapshots, air) => self.handle_pots_loaded(snapshots, air, now),
            Reply::PotChanged(snapshot) => self.handle_pot_changed(snapshot, now),
            Reply::PotOpened(snapshot) => self.handle_pot_opened(snapshot, now),
            Reply::PotsChangedElsewhere(snapshots) => self.replace_pot_snapshots(snapshots),
            Reply::AirRecorded(air) => self.handle_air_recorded(air, now),
            Reply::AirChangedElsewhere(air) => self.set_air(air),
        }
        Vec::new()
    }

    /// Our own press is on disk.
    /// What stands is shown, and each panel that was not written to is named.
    fn handle_partly_recorded(&mut self, snapshots: Vec<Snapshot>, failed: &[(Id, RecordError)], now: Moment) {
        self.handle_changed(snapshots, now);
        let each: Vec<String> =
            failed.iter().map(|(id, error)| format!("not on {id}: {}", format_record_error(error, now))).collect();
        self.show_message(each.join("; "), true, now);
    }

    fn handle_changed(&mut self, snapshots: Vec<Snapshot>, now: Moment) {
        let Some(PendingEffect { since, kind: what }) = self.pending.pop_front() else {
            return self.replace_snapshots(snapshots);
        };
        // What went wrong before this press is mended by it; what went wrong since is not.
        let mended = |s: &StatusMessage| s.text == STILL_SAVING || s.since.since(since) <= Span::ZERO;
        if self.status_message.as_ref().is_some_and(|s| s.urgent && mended(s)) {
            self.status_message = None;
        }
        self.confirmation = None;
        match (what, snapshots.first()) {
            (PendingKind::Done(_) | PendingKind::OtherFact, Some(pressed)) => self.note_board_press(pressed, now),
            (PendingKind::Done(_) | PendingKind::OtherFact, None) => self.last_press = None,
            (_, _) => {}
        }
        let mut pressed = None;
        match what {
            PendingKind::Done(stage) => {
                self.close_gap();
                self.close_saved_overlay(now);
                self.recent_fact = snapshots.first().and_then(|t| find_recent_fact(t, stage?, now));
                pressed = stage;
            }
            PendingKind::OtherFact => {
                self.close_saved_overlay(now);
                if let Some(words) = format_last_fact(&snapshots, self.settings.units) {
                    let question = self.weighing_question(&snapshots).map_or_else(String::new, |q| format!("; {q}"));
                    self.show_message(format!("{words}{question}"), false, now);
                }
            }
            PendingKind::Retime { min, .. } => self.update_recent_fact(&snapshots, min, now),
            PendingKind::Pass(_)
            | PendingKind::OpenPanels
            | PendingKind::ReadShelf
            | PendingKind::Pot
            | PendingKind::Inspection => {}
        }
        self.replace_snapshots(snapshots);
        if let Some(stage) = pressed {
            self.turn_to_next_board(stage, now);
        }
    }

    /// What is asked of the weighing just recorded, where the air has changed since the one before.
    fn weighing_question(&self, snapshots: &[Snapshot]) -> Option<String> {
        let story = snapshots.first()?.story.as_ref()?;
        let last = story.last_standing_entry()?;
        if !matches!(last.event, PanelEvent::Common(CommonEvent::Weighed { .. })) {
            return None;
        }
        let rh_at = |at| self.studio.air.reading_as_of(at).map(|r| r.rh.pct());
        weighing_air_question(story.panel(), &rh_at)
    }

    fn handle_opened(&mut self, snapshots: Vec<Snapshot>, now: Moment) {
        self.pending.pop_front();
        self.overlay = Overlay::None;
        self.status_message = None;
        let first = snapshots.first().map(|t| t.id.clone());
        if let Some(words) = format_last_fact(&snapshots, self.settings.units) {
            self.show_message(words, false, now);
        }
        self.replace_snapshots(snapshots);
        if let Some(at) = self.snapshots.iter().position(|t| Some(&t.id) == first.as_ref()) {
            self.shown_index = at;
            self.direction_turned = false;
        }
    }

    /// What was typed, chosen or marked is on disk and need not be kept open.
    fn close_saved_overlay(&mut self, now: Moment) {
        match &self.overlay {
            Overlay::Flaws(_) | Overlay::Map(_) => self.overlay = Overlay::None,
            Overlay::Line(line) if line.purpose.is_of_panel() => self.close_line(now),
            Overlay::Line(_)
            | Overlay::None
            | Overlay::Keys(_)
            | Overlay::Story(_)
            | Overlay::Form(_)
            | Overlay::Pots(_)
            | Overlay::Comparison(_)
            | Overlay::Clock(_)
            | Overlay::Shelf(_)
            | Overlay::Queue(_)
            | Overlay::Plan(_)
            | Overlay::PassSheet(_)
            | Overlay::Sitting(_) => {}
        }
    }

    /// Somebody else wrote. What the program of another window noticed by itself is no news to the maker.
    fn handle_changed_elsewhere(&mut self, snapshots: Vec<Snapshot>, now: Moment) {
        let mut by_hand = None;
        let shown = self.shown_panel().map(|p| p.id.clone());
        for new in &snapshots {
            let Some(story) = &new.story else { continue };
            let known = self.snapshots.iter().find(|t| t.id == new.id).and_then(|t| t.story.as_ref());
            let known = known.map_or(0, |s| s.entries().len());
            for entry in story.entries().iter().skip(known) {
                self.note_call_raised_elsewhere(&new.id, story, entry, now);
                let event = &entry.event;
                let made = event.can_be_taken_back()
                    || matches!(event.as_common(), Some(CommonEvent::Undone { .. } | CommonEvent::Unknown { .. }));
                if made {
                    self.note_press_elsewhere();
                }
                if made && shown.as_ref() == Some(&new.id) {
                    by_hand = Some(in_words(story, entry, self.settings.units).text);
                }
            }
        }
        self.replace_snapshots(snapshots);
        if let Some(what) = by_hand {
            self.confirmation = None;
            if self.status_message.as_ref().is_none_or(|s| !s.urgent) {
                self.show_message(format!("another window: {what}"), false, now);
            }
        }
    }

    /// Nothing was recorded: the words stay, and the press can be repeated.
    fn handle_failed(&mut self, error: &RecordError, now: Moment) {
        let what = self.pending.pop_front().map(|p| p.kind);
        let reason = format_record_error(error, now);
        match (&mut self.overlay, what) {
            (_, Some(PendingKind::Retime { stage, min })) => {
                let what = words::format_past(&stage);
                self.show_message(format!("{what}: it does not stand {min} min earlier, {reason}"), true, now);
            }
            (Overlay::Form(panel), Some(PendingKind::OpenPanels)) => panel.form.error = reason,
            (Overlay::Pots(PotsOverlay::Form(pot)), Some(PendingKind::Pot)) => pot.form.error = reason,
            (Overlay::Line(line), Some(PendingKind::OtherFact)) if line.purpose.is_of_panel() => line.error = reason,
            (Overlay::Line(line), Some(PendingKind::Pot)) if !line.purpose.is_of_panel() => line.error = reason,
            (Overlay::Map(map), Some(PendingKind::Done(_))) => map.hint = MapHint::Refused(reason),
            (Overlay::Flaws(_), Some(PendingKind::OtherFact)) => {
                self.overlay = Overlay::None;
                self.show_message(reason, true, now);
            }
            (_, _) => self.show_message(reason, true, now),
        }
    }

    /// Puts what is told now in the place of what was told before; the panel shown stays the one shown.
    pub(super) fn replace_snapshots(&mut self, snapshots: Vec<Snapshot>) {
        let before = self.stage_at_hand();
        for new in snapshots {
            match self.snapshots.iter_mut().find(|t| t.id == new.id) {
                Some(old) => *old = new,
                None => self.snapshots.push(new),
            }
        }
        self.sync_panels();
        // The other direction was meant for that act and no other.
        let after = self.stage_at_hand();
        if before.zip(after).is_none_or(|(before, after)| !before.is_same_slot(&after)) {
            self.direction_turned = false;
        }
    }
}

/// Why nothing was recorded; a press for a stage that somebody else has done is told when that was.
pub(super) fn format_record_error(error: &RecordError, now: Moment) -> String {
    let RecordError::Refused(PanelRefusal::NoLongerAtHand { seen, recorded_at }) = error else {
        return error.to_string();
    };
    match FixedOffset::east_opt(now.offset_min.saturating_mul(60)) {
        Some(zone) => format!("{seen}: recorded at {} by another window", format_hhmm(*recorded_at, &zone)),
        None => format!("{seen}: recorded by another window"),
    }
}

fn find_recent_fact(snapshot: &Snapshot, stage: Stage, now: Moment) -> Option<RecentFact> {
    let last = snapshot.story.as_ref()?.last_standing_entry()?;
    let PanelEvent::Done(done) = &last.event else { return None };
    let stage = Stage { direction: done.direction.or(stage.direction), ..stage };
    Some(RecentFact { id: snapshot.id.clone(), seq: last.seq, stage, at: last.at, back_min: 0, since: now })
}

/// The fact just written, in words, and whose it is. Leaving and coming back are written to several panels and are the
/// maker's own.
fn format_last_fact(snapshots: &[Snapshot], units: UnitSystem) -> Option<String> {
    let last = |t: &Snapshot| {
        let story = t.story.clone()?;
        let entry = story.entries().last()?.clone();
        Some((story, entry))
    };
    let all: Vec<_> = snapshots.iter().filter_map(last).collect();
    if let Some((story, entry)) = all.iter().find(|(_, e)| matches!(e.event, PanelEvent::Away | PanelEvent::Back)) {
        return Some(in_words(story, entry, units).text);
    }
    let (story, entry) = all.first()?;
    Some(format!("{}: {}", story.panel().opened().label, in_words(story, entry, units).text))
}
