//! A pass: the act at hand, done on several boards one after the other, recorded with one press.

use super::Model;
use super::effect::{Effect, PendingKind};
use crate::app::message::Message;
use crate::bench::{PassEntry, PassRecorded, PassRefusals, trusted_now};
use crate::text::{format_count, format_hhmm};
use crate::units::{Moment, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::Stage;
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::story::{StoryEvent, StoryState};
use chrono::FixedOffset;
use std::sync::Arc;

/// A board of a pass.
struct PassBoard {
    story: Arc<PanelStory>,
    name: String,
    stage: Stage,
    at: Stamp,
}

impl Model {
    /// Asks once which boards it was, then records it on all of them, or on the first so many.
    pub(super) fn record_pass(&mut self, count: Option<u8>, now: Moment) -> Vec<Effect> {
        let is_asked = self.confirmation.as_ref().is_some_and(|q| q.message == Message::RecordPass);
        if count.is_some() && !is_asked {
            return Vec::new();
        }
        let at_hand = self.count_pass_boards(now);
        if at_hand < 2 {
            let done = self.bench_key(&Message::RecordDone);
            self.show_message(format!("this act is at hand on no other board; {done} records it"), false, now);
            return Vec::new();
        }
        let boards = self.pass_boards(count.map_or(at_hand, |n| usize::from(n).clamp(1, at_hand)), now);
        if !is_asked {
            let (lines, text) = self.pass_question(&boards, now);
            self.ask_in_block_letters(Message::RecordPass, lines, text, now);
            return Vec::new();
        }
        self.confirmation = None;
        let Some(stage) = boards.last().map(|board| board.stage) else { return Vec::new() };
        let last = boards.len() - 1;
        let entries =
            boards.iter().enumerate().map(|(i, board)| self.pass_entry(board, (i < last).then_some(board.at)));
        let effect = Effect::RecordPass(entries.collect());
        self.request_effect(effect, PendingKind::Pass(stage), now)
    }

    fn pass_entry(&self, board: &PassBoard, at: Option<Stamp>) -> PassEntry {
        let panel = board.story.panel();
        let pot = self.find_pot_for_coat(panel, board.stage).map(|t| t.id.clone());
        PassEntry {
            id: panel.opened().id.clone(),
            act: PanelAct::Done { direction: None, pot, map: None, by: self.maker_of(board.stage) },
            at,
            expected_stage: Some(board.stage),
        }
    }

    fn count_pass_boards(&self, now: Moment) -> usize {
        self.pass_stories(now).len()
    }

    /// The boards on which the act on the screen is at hand, in the order in which they fell due.
    fn pass_stories(&self, now: Moment) -> Vec<(usize, Stage)> {
        let Some(shown) = self.panel_status(now).and_then(|s| s.stage_to_record()) else { return Vec::new() };
        let at_hand = |at: &usize| {
            let story = self.snapshots.get(*at)?.story.as_ref()?;
            let status = story.panel().status(trusted_now(story, now));
            let stage = status.stage_to_record().filter(|stage| stage.is_same_slot(&shown))?;
            let is_due = matches!(status.phase, PanelPhase::Ready | PanelPhase::Working);
            (is_due && !status.asks_grain).then_some((*at, stage))
        };
        self.board_order(now).iter().filter_map(at_hand).collect()
    }

    /// The first so many of them, the last done now, each other earlier by the minutes of the next, and none before its own
    /// last fact.
    fn pass_boards(&self, count: usize, now: Moment) -> Vec<PassBoard> {
        let names = self.block_names();
        let mut boards: Vec<PassBoard> = self
            .pass_stories(now)
            .into_iter()
            .take(count)
            .filter_map(|(at, stage)| {
                let story = Arc::clone(self.snapshots.get(at)?.story.as_ref()?);
                Some(PassBoard { story, name: names.get(at).cloned().unwrap_or_default(), stage, at: now.wall })
            })
            .collect();
        let mut next = now.wall;
        for (i, board) in boards.iter_mut().enumerate().rev() {
            // No coat is put before it fell due, nor before the maker's own last fact.
            let due_at = board.story.panel().status(trusted_now(&board.story, now)).due_at;
            let earliest = last_own_fact_at(&board.story).max(due_at.unwrap_or(Stamp::from_ms(i64::MIN)));
            board.at = next.max(earliest).min(now.wall);
            let minutes = self.act_minutes(&board.story, board.stage.kind);
            next = if i == 0 { next } else { next - Span::from_min(minutes) };
        }
        boards
    }

    fn pass_question(&self, boards: &[PassBoard], now: Moment) -> (Vec<String>, String) {
        let zone = FixedOffset::east_opt(now.offset_min.saturating_mul(60));
        let time = |at: Stamp| zone.map_or_else(String::new, |zone| format_hhmm(at, &zone));
        let names: Vec<&str> = boards.iter().map(|b| b.name.as_str()).collect();
        let stage = boards.first().map(|b| b.stage.to_string()).unwrap_or_default();
        let directions: Vec<_> = boards.iter().map(|b| b.stage.direction).collect();
        let direction = match directions.as_slice() {
            [Some(first), rest @ ..] if rest.iter().all(|d| *d == Some(*first)) => format!(" {}", first.name()),
            [Some(_), ..] => ", each in its own direction".to_owned(),
            [None, ..] | [] => String::new(),
        };
        let span = match (boards.first(), boards.last()) {
            (Some(first), Some(last)) => format!("{} to {}", time(first.at), time(last.at)),
            (_, _) => String::new(),
        };
        let key = self.bench_key(&Message::RecordDone);
        let word = boards.first().map_or("done", |b| b.stage.kind.row().done_word).to_uppercase();
        let lines = vec![format!("{word} {}?", boards.len())];
        (lines, format!("{}: {stage}{direction}, {span}. {key}: all of them, a figure: only so many", names.join(" ")))
    }

    /// What stands is shown; what could not be written is told by name.
    pub(super) fn handle_pass_recorded(&mut self, recorded: PassRecorded, now: Moment) {
        let pending = self.pending.pop_front().map(|p| p.kind);
        let failed: Vec<String> = recorded.failed.iter().map(|(_, error)| error.to_string()).collect();
        let written: Vec<_> = recorded.written.iter().map(|fact| (fact.id.clone(), fact.seq)).collect();
        self.confirmation = None;
        self.replace_snapshots(recorded.changed);
        match pending {
            Some(PendingKind::Pass(stage)) => {
                self.close_gap();
                self.note_pass(written, now);
                if self.close_sheet_if_done(&recorded.written, &recorded.failed) {
                    self.turn_after_pass(stage, now);
                }
            }
            Some(_) | None => {
                self.last_press = None;
                self.show_message(format!("taken back on {}", format_count(written.len() as f64, "board")), false, now);
            }
        }
        if !failed.is_empty() {
            self.show_message(format!("not everything is recorded: {}", failed.join("; ")), true, now);
        }
    }

    /// Nothing of it is recorded.
    pub(super) fn handle_pass_refused(&mut self, refusals: &PassRefusals, now: Moment) {
        self.pending.pop_front();
        if self.note_sheet_refusals(refusals) {
            return;
        }
        let mut reasons: Vec<String> = refusals.iter().map(|(_, error)| error.to_string()).collect();
        reasons.dedup();
        self.show_message(format!("nothing is recorded: {}", reasons.join("; ")), true, now);
    }
}

/// When the maker's last standing fact of that board happened; what the program noticed by itself does not count.
fn last_own_fact_at(story: &PanelStory) -> Stamp {
    let own = story.entries().iter().filter(|e| e.event.can_be_taken_back() && !story.is_taken_back(e.seq));
    own.map(|e| e.at).max().unwrap_or(story.panel().opened_at().wall)
}
