//! One sitting over the finished panels of the shelf: one question across all boards, then the next.
//!
//! Nothing typed here is recorded before the one key that records; a question left alone on a board was not looked at,
//! which is not the same as "none". `inspection_question` what is asked, `answers` what stands for one board and `typed_readings` of its small tests,
//! `sitting_view_model` what is shown.

mod answers;
mod inspection_question;
mod sitting_view_model;
mod typed_readings;

pub use inspection_question::InspectionQuestion;
pub use sitting_view_model::{SittingRow, SittingRowStatus, SittingViewModel};

use super::keymap::Keymap;
use super::message::{InputMode, Message};
use crate::bench::FinishedPanel;
use crate::text::format_count;
use crate::units::{Id, NameKey, Stamp};
use crate::work::advice::inspections::DueInspection;
use crate::work::panel::inspection::Inspection;
use answers::BoardAnswers;

/// At most so many panels are read for a sitting, those written to last.
pub const MAX_SITTING_PANELS: usize = 500;

/// So many boards a page key goes on.
const PAGE: usize = 10;

/// How a board stands with the journals.
#[derive(Debug, Clone, PartialEq)]
enum BoardState {
    /// Nothing was recorded of it in this sitting, or something was typed since.
    Open,
    /// On its way to the disk.
    Saving,
    /// On disk: the fact of that `seq`, and what was typed for it.
    Recorded { seq: u64, from: Box<BoardAnswers> },
    /// Not recorded, and why.
    Failed(String),
}

/// One board of the sitting.
#[derive(Debug, Clone, PartialEq)]
struct SittingBoard {
    panel: FinishedPanel,
    /// The look it came to the sitting for.
    due: Option<DueInspection>,
    answers: BoardAnswers,
    state: BoardState,
}

/// The sitting.
#[derive(Debug, Clone, PartialEq)]
pub struct SittingModel {
    boards: Vec<SittingBoard>,
    /// Panels that were not read, because there are too many.
    left_out: usize,
    only_due: bool,
    cursor: usize,
    question: InspectionQuestion,
    /// Leaving was asked for while answers are not recorded.
    is_leave_pending: bool,
    /// What is to be said of the last key; empty if nothing.
    message: String,
}

/// What a key asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum SittingOutcome {
    /// The sitting stays.
    Stay,
    /// Back to the bench.
    Close,
    /// Record one look at each of these.
    Record(Vec<(Id, Inspection)>),
    /// Take the fact of that `seq` back.
    TakeBack(Id, u64),
}

impl SittingModel {
    /// A sitting over those panels: the looks due first, of these the boards of trials in the order drawn, then the longest
    /// due; then the others by name.
    pub fn new(panels: Vec<FinishedPanel>, left_out: usize, now: Stamp) -> SittingModel {
        let board = |panel: FinishedPanel| SittingBoard {
            due: panel.inspection_due(now),
            panel,
            answers: BoardAnswers::default(),
            state: BoardState::Open,
        };
        let mut boards: Vec<SittingBoard> = panels.into_iter().map(board).collect();
        boards.sort_by_cached_key(|b| {
            // When a board of a trial was finished would tell how it was laid.
            let drawn = b.panel.trial.as_ref().map_or((1, None), |run| (0, Some((run.trial.clone(), run.run))));
            let due = b.due.filter(|d| d.is_due).map(|d| if drawn.0 == 0 { Stamp::from_ms(0) } else { d.at });
            (due.is_none(), drawn, due, NameKey(b.panel.label.clone()), b.panel.id.clone())
        });
        SittingModel {
            boards,
            left_out,
            only_due: false,
            cursor: 0,
            question: InspectionQuestion::Cracks,
            is_leave_pending: false,
            message: String::new(),
        }
    }

    /// Whether words are typed: then every letter belongs to them.
    pub fn is_typing_text(&self) -> bool {
        self.question.is_text() && !self.boards.is_empty()
    }

    /// Where the keys go.
    pub fn input_mode(&self) -> InputMode {
        if self.is_typing_text() { InputMode::SittingText } else { self.question.input_mode() }
    }

    /// The boards shown, in their order: those the question is asked of.
    fn shown_boards(&self) -> Vec<&SittingBoard> {
        self.boards.iter().filter(|b| self.is_asked_of(self.question, b)).collect()
    }

    /// Whether a board is asked that question, as the sitting stands: no panel meant to be painted is tried out.
    fn is_asked_of(&self, question: InspectionQuestion, board: &SittingBoard) -> bool {
        let is_in_sight = !self.only_due || board.due.is_some_and(|d| d.is_due);
        is_in_sight && (question.is_of_every_board() || board.panel.is_witness)
    }

    /// The questions that are asked of any board, in order; all of them where there is none.
    fn asked_questions(&self) -> Vec<InspectionQuestion> {
        let mut asked = InspectionQuestion::ALL.to_vec();
        asked.retain(|q| self.boards.is_empty() || self.boards.iter().any(|b| self.is_asked_of(*q, b)));
        asked
    }

    fn next_question(&self) -> Option<InspectionQuestion> {
        self.asked_questions().into_iter().find(|q| q.place() > self.question.place())
    }

    fn previous_question(&self) -> Option<InspectionQuestion> {
        self.asked_questions().into_iter().rfind(|q| q.place() < self.question.place())
    }

    fn board_at_cursor(&self) -> Option<&SittingBoard> {
        self.shown_boards().get(self.cursor).copied()
    }

    fn board_at_cursor_mut(&mut self) -> Option<&mut SittingBoard> {
        let id = self.board_at_cursor()?.panel.id.clone();
        self.find_board_mut(&id)
    }

    fn find_board_mut(&mut self, id: &Id) -> Option<&mut SittingBoard> {
        self.boards.iter_mut().find(|b| b.panel.id == *id)
    }

    /// Takes in a key.
    pub fn update(&mut self, message: &Message, keymap: &Keymap) -> SittingOutcome {
        let left = std::mem::take(&mut self.is_leave_pending);
        self.message.clear();
        let words = self.is_typing_text();
        match message {
            Message::Up => self.cursor = self.cursor.saturating_sub(1),
            Message::Down => self.move_to(self.cursor + 1),
            Message::PageUp => self.cursor = self.cursor.saturating_sub(PAGE),
            Message::PageDown => self.move_to(self.cursor + PAGE),
            Message::Advance => self.advance(keymap),
            Message::NextPanel => self.set_question(self.next_question()),
            Message::PreviousPanel => self.set_question(self.previous_question()),
            Message::Left if !words => self.set_question(self.previous_question()),
            Message::Right if !words => self.set_question(self.next_question()),
            Message::Home if !words => self.cursor = 0,
            Message::End if !words => self.move_to(usize::MAX),
            Message::RecordSitting => return self.collect_inspections(),
            Message::Undo => return self.undo_recorded(),
            Message::Leave => return self.leave(left, keymap),
            Message::ToggleOnlyDue => self.toggle_only_due(),
            Message::TypeChar(_)
            | Message::AnswerCrackPlace(_)
            | Message::AnswerCrackDirection(_)
            | Message::AnswerLastSpan
            | Message::AnswerSound
            | Message::Paste(_)
            | Message::DeleteBackward
            | Message::DeleteForward
            | Message::Left
            | Message::Right
            | Message::Home
            | Message::End => self.edit_answer(message),
            _ => {}
        }
        SittingOutcome::Stay
    }

    fn move_to(&mut self, at: usize) {
        self.cursor = at.min(self.shown_boards().len().saturating_sub(1));
    }

    /// Asks another question, if there is one, of the same board; where it is not asked that, of the next one that is.
    fn set_question(&mut self, question: Option<InspectionQuestion>) {
        let Some(question) = question else { return };
        let id = self.board_at_cursor().map(|b| b.panel.id.clone());
        self.question = question;
        self.move_to_board(id.as_ref());
    }

    fn move_to_board(&mut self, id: Option<&Id>) {
        let before = self.boards.iter().take_while(|b| id.is_some_and(|id| b.panel.id != *id));
        let shown_before = before.filter(|b| self.is_asked_of(self.question, b)).count();
        self.move_to(shown_before);
    }

    /// The next board; after the last, the next question at the first.
    fn advance(&mut self, keymap: &Keymap) {
        if self.cursor + 1 < self.shown_boards().len() {
            self.cursor += 1;
        } else if let Some(next) = self.next_question() {
            self.question = next;
            self.cursor = 0;
        } else {
            let record = keymap.label(&Message::RecordSitting, self.input_mode());
            self.message = format!("that was the last question; {record} records what was answered");
        }
    }

    fn toggle_only_due(&mut self) {
        let id = self.board_at_cursor().map(|b| b.panel.id.clone());
        self.only_due = !self.only_due;
        if self.only_due && self.asked_questions().is_empty() {
            self.only_due = false;
            "no inspection is due".clone_into(&mut self.message);
        }
        if self.shown_boards().is_empty() {
            self.question = InspectionQuestion::Cracks;
        }
        self.move_to_board(id.as_ref());
    }

    fn edit_answer(&mut self, message: &Message) {
        let question = self.question;
        let Some(board) = self.board_at_cursor_mut() else { return };
        if board.state == BoardState::Saving {
            "still being saved".clone_into(&mut self.message);
            return;
        }
        let span_mm = board.panel.inspections.iter().rev().find_map(|(_, seen)| seen.bow).map(|b| b.span.mm());
        let span_mm = span_mm.unwrap_or(board.panel.longer_side_mm);
        if board.answers.edit(question, message, span_mm) && !matches!(board.state, BoardState::Recorded { .. }) {
            board.state = BoardState::Open;
        }
    }

    /// One look for each board of which anything was answered, shown or not. A board whose answers cannot be true keeps
    /// them and is told of.
    fn collect_inspections(&mut self) -> SittingOutcome {
        let mut looks = Vec::new();
        let mut wrong = 0;
        for board in self.boards.iter_mut().filter(|b| b.state != BoardState::Saving) {
            match board.answers.to_inspection() {
                Ok(None) => {}
                Ok(Some(seen)) => looks.push((board.panel.id.clone(), seen)),
                Err(reason) => {
                    board.state = BoardState::Failed(reason);
                    wrong += 1;
                }
            }
        }
        match (looks.is_empty(), wrong) {
            (true, 0) => "nothing was answered yet".clone_into(&mut self.message),
            (_, 0) => {}
            (_, _) => self.show_first_failed(),
        }
        if looks.is_empty() { SittingOutcome::Stay } else { SittingOutcome::Record(looks) }
    }

    /// Goes to the first board that was not recorded.
    fn show_first_failed(&mut self) {
        let is_failed = |b: &&SittingBoard| matches!(b.state, BoardState::Failed(_));
        if !self.shown_boards().iter().any(is_failed) {
            self.only_due = false;
        }
        if !self.shown_boards().iter().any(is_failed) {
            self.question = InspectionQuestion::Cracks;
        }
        self.cursor = self.shown_boards().iter().position(is_failed).unwrap_or(0);
    }

    fn undo_recorded(&mut self) -> SittingOutcome {
        match self.board_at_cursor().map(|b| (&b.state, b.panel.id.clone())) {
            Some((BoardState::Recorded { seq, .. }, id)) => SittingOutcome::TakeBack(id, *seq),
            Some(_) | None => {
                "nothing of this panel was recorded in this sitting".clone_into(&mut self.message);
                SittingOutcome::Stay
            }
        }
    }

    /// Leaving with answers that are not recorded asks once.
    fn leave(&mut self, asked: bool, keymap: &Keymap) -> SittingOutcome {
        let open = self.count_unrecorded();
        if open == 0 || asked {
            return SittingOutcome::Close;
        }
        let panels = format_count(open, "panel");
        let [record, leave] =
            [Message::RecordSitting, Message::Leave].map(|message| keymap.label(&message, self.input_mode()));
        self.message =
            format!("the answers for {panels} are not recorded: {record} records, {leave} again forgets them");
        self.is_leave_pending = true;
        SittingOutcome::Stay
    }

    /// How many boards have answers that are not on disk.
    fn count_unrecorded(&self) -> usize {
        self.boards.iter().filter(|b| b.state == BoardState::Saving || b.answers.has_answers()).count()
    }

    /// That look is on its way to the disk.
    pub fn mark_saving(&mut self, id: &Id) {
        if let Some(board) = self.find_board_mut(id) {
            board.state = BoardState::Saving;
        }
    }

    /// Something about that panel is on disk: the look recorded with that `seq`, or one taken back.
    pub fn mark_recorded(&mut self, panel: FinishedPanel, recorded: Option<u64>) {
        let Some(board) = self.find_board_mut(&panel.id) else { return };
        let seen_anyway = std::mem::take(&mut board.panel.seen_anyway);
        board.panel = FinishedPanel { seen_anyway, ..panel };
        let before = std::mem::replace(&mut board.state, BoardState::Open);
        match (recorded, before) {
            (Some(seq), BoardState::Saving) => {
                let from = Box::new(std::mem::take(&mut board.answers));
                board.state = BoardState::Recorded { seq, from };
            }
            (None, BoardState::Recorded { from, .. }) if !board.answers.has_answers() => board.answers = *from,
            (Some(_) | None, _) => {}
        }
    }

    /// Nothing was recorded of that panel; its answers stay.
    pub fn mark_failed(&mut self, id: &Id, reason: String) {
        if let Some(board) = self.find_board_mut(id) {
            match board.state {
                // What failed then is the taking back.
                BoardState::Recorded { .. } => self.message = reason,
                BoardState::Open | BoardState::Saving | BoardState::Failed(_) => {
                    board.state = BoardState::Failed(reason);
                    self.show_first_failed();
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
