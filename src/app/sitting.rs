//! One sitting over the finished panels of the shelf: one question across all boards, then the next.
//!
//! Nothing typed here is recorded before the one key that records; a question left alone on a board was not looked at,
//! which is not the same as "none". `question` what is asked, `answers` what stands for one board, `sheet` the picture.
//! Absent on purpose: reading the shelf and recording (`bench`), drawing (`ui`), clocks.

mod answers;
mod question;
mod sheet;

pub use question::Question;
pub use sheet::{Sign, SittingRow, SittingSheet};

use super::action::Action;
use crate::bench::Finished;
use crate::units::{Id, Stamp};
use crate::work::advice::inspections::Due;
use crate::work::panel::inspection::Inspection;
use answers::Answers;

/// At most so many panels are read for a sitting, those written to last.
pub const MOST: usize = 500;

/// So many boards a page key goes on.
const PAGE: usize = 10;

/// How a board stands with the journals.
#[derive(Debug, Clone, PartialEq)]
enum State {
    /// Nothing was recorded of it in this sitting, or something was typed since.
    Open,
    /// On its way to the disk.
    Saving,
    /// On disk: the fact of that `seq`, and what was typed for it.
    Recorded { seq: u64, from: Box<Answers> },
    /// Not recorded, and why.
    Not(String),
}

/// One board of the sitting.
#[derive(Debug, Clone, PartialEq)]
struct Board {
    panel: Finished,
    /// The look it came to the sitting for.
    due: Option<Due>,
    answers: Answers,
    state: State,
}

/// The sitting.
#[derive(Debug, Clone, PartialEq)]
pub struct Sitting {
    boards: Vec<Board>,
    /// Panels that were not read, because there are too many.
    left_out: usize,
    only_due: bool,
    at: usize,
    question: Question,
    /// Leaving was asked for while answers are not recorded.
    leaving: bool,
    /// What is to be said of the last key; empty if nothing.
    said: String,
}

/// What a key asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// The sitting stays.
    Stay,
    /// Back to the bench.
    Close,
    /// Record one look at each of these.
    Record(Vec<(Id, Inspection)>),
    /// Take the fact of that `seq` back.
    TakeBack(Id, u64),
}

impl Sitting {
    /// A sitting over those panels: the looks due first, the longest due at the top, then the others by name.
    pub fn new(panels: Vec<Finished>, left_out: usize, now: Stamp) -> Sitting {
        let board =
            |panel: Finished| Board { due: panel.due(now), panel, answers: Answers::default(), state: State::Open };
        let mut boards: Vec<Board> = panels.into_iter().map(board).collect();
        boards.sort_by(|a, b| {
            let due = |b: &Board| b.due.filter(|d| d.now).map_or((1, Stamp::from_ms(0)), |d| (0, d.at));
            (due(a), &a.panel.label, &a.panel.id).cmp(&(due(b), &b.panel.label, &b.panel.id))
        });
        Sitting {
            boards,
            left_out,
            only_due: false,
            at: 0,
            question: Question::Cracks,
            leaving: false,
            said: String::new(),
        }
    }

    /// Whether words are typed: then every letter belongs to them.
    pub fn words(&self) -> bool {
        self.question.words() && !self.boards.is_empty()
    }

    /// The boards shown, in their order.
    fn shown(&self) -> Vec<&Board> {
        self.boards.iter().filter(|b| !self.only_due || b.due.is_some_and(|d| d.now)).collect()
    }

    fn here(&self) -> Option<&Board> {
        self.shown().get(self.at).copied()
    }

    fn here_mut(&mut self) -> Option<&mut Board> {
        let id = self.here()?.panel.id.clone();
        self.board(&id)
    }

    fn board(&mut self, id: &Id) -> Option<&mut Board> {
        self.boards.iter_mut().find(|b| b.panel.id == *id)
    }

    /// Takes in a key.
    pub fn update(&mut self, action: &Action) -> Step {
        let left = std::mem::take(&mut self.leaving);
        self.said.clear();
        let words = self.words();
        match action {
            Action::Up => self.at = self.at.saturating_sub(1),
            Action::Down => self.to(self.at + 1),
            Action::PageUp => self.at = self.at.saturating_sub(PAGE),
            Action::PageDown => self.to(self.at + PAGE),
            Action::Step => self.on(),
            Action::NextPanel => self.ask(self.question.next()),
            Action::PanelBefore => self.ask(self.question.before()),
            Action::Left if !words => self.ask(self.question.before()),
            Action::Right if !words => self.ask(self.question.next()),
            Action::Home if !words => self.at = 0,
            Action::End if !words => self.to(usize::MAX),
            Action::Keep => return self.record(),
            Action::Undo => return self.take_back(),
            Action::Leave => return self.leave(left),
            Action::Type('d') if !words => self.restrict(),
            Action::Type(_)
            | Action::Paste(_)
            | Action::Erase
            | Action::EraseAhead
            | Action::Left
            | Action::Right
            | Action::Home
            | Action::End => self.answer(action),
            _ => {}
        }
        Step::Stay
    }

    fn to(&mut self, at: usize) {
        self.at = at.min(self.shown().len().saturating_sub(1));
    }

    fn ask(&mut self, question: Question) {
        self.question = question;
    }

    /// The next board; after the last, the next question at the first.
    fn on(&mut self) {
        if self.at + 1 < self.shown().len() {
            self.at += 1;
        } else if self.question.next() == self.question {
            "that was the last question; R records what was answered".clone_into(&mut self.said);
        } else {
            self.at = 0;
            self.ask(self.question.next());
        }
    }

    fn restrict(&mut self) {
        let id = self.here().map(|b| b.panel.id.clone());
        self.only_due = !self.only_due;
        if self.only_due && self.shown().is_empty() {
            self.only_due = false;
            "no inspection is due".clone_into(&mut self.said);
        }
        self.at = self.shown().iter().position(|b| Some(&b.panel.id) == id.as_ref()).unwrap_or(0);
    }

    fn answer(&mut self, action: &Action) {
        let question = self.question;
        let Some(board) = self.here_mut() else { return };
        if board.state == State::Saving {
            "still being saved".clone_into(&mut self.said);
            return;
        }
        let span_mm = board.panel.looks.iter().rev().find_map(|(_, seen)| seen.bow).map(|b| b.span.mm());
        let span_mm = span_mm.unwrap_or(board.panel.long_mm);
        if board.answers.take(question, action, span_mm) && !matches!(board.state, State::Recorded { .. }) {
            board.state = State::Open;
        }
    }

    /// One look for each board of which anything was answered, shown or not. A board whose answers cannot be true keeps
    /// them and is told of.
    fn record(&mut self) -> Step {
        let mut looks = Vec::new();
        let mut wrong = 0;
        for board in self.boards.iter_mut().filter(|b| b.state != State::Saving) {
            match board.answers.seen() {
                Ok(None) => {}
                Ok(Some(seen)) => looks.push((board.panel.id.clone(), seen)),
                Err(why) => {
                    board.state = State::Not(why);
                    wrong += 1;
                }
            }
        }
        match (looks.is_empty(), wrong) {
            (true, 0) => "nothing was answered yet".clone_into(&mut self.said),
            (_, 0) => {}
            (_, _) => self.show_wrong(),
        }
        if looks.is_empty() { Step::Stay } else { Step::Record(looks) }
    }

    /// Goes to the first board that was not recorded.
    fn show_wrong(&mut self) {
        if let Some(at) = self.shown().iter().position(|b| matches!(b.state, State::Not(_))) {
            self.at = at;
        } else {
            self.only_due = false;
            self.at = self.shown().iter().position(|b| matches!(b.state, State::Not(_))).unwrap_or(0);
        }
    }

    fn take_back(&mut self) -> Step {
        match self.here().map(|b| (&b.state, b.panel.id.clone())) {
            Some((State::Recorded { seq, .. }, id)) => Step::TakeBack(id, *seq),
            Some(_) | None => {
                "nothing of this panel was recorded in this sitting".clone_into(&mut self.said);
                Step::Stay
            }
        }
    }

    /// Leaving with answers that are not recorded asks once.
    fn leave(&mut self, asked: bool) -> Step {
        let open = self.unrecorded();
        if open == 0 || asked {
            return Step::Close;
        }
        let panels = if open == 1 { "1 panel are" } else { &format!("{open} panels are") };
        self.said = format!("the answers for {panels} not recorded: R records, Esc again forgets them");
        self.leaving = true;
        Step::Stay
    }

    /// How many boards have answers that are not on disk.
    fn unrecorded(&self) -> usize {
        self.boards.iter().filter(|b| b.state == State::Saving || b.answers.any()).count()
    }

    /// That look is on its way to the disk.
    pub fn saving(&mut self, id: &Id) {
        if let Some(board) = self.board(id) {
            board.state = State::Saving;
        }
    }

    /// Something about that panel is on disk: the look recorded with that `seq`, or one taken back.
    pub fn kept(&mut self, panel: Finished, recorded: Option<u64>) {
        let Some(board) = self.board(&panel.id) else { return };
        board.panel = panel;
        let before = std::mem::replace(&mut board.state, State::Open);
        match (recorded, before) {
            (Some(seq), State::Saving) => {
                let from = Box::new(std::mem::take(&mut board.answers));
                board.state = State::Recorded { seq, from };
            }
            (None, State::Recorded { from, .. }) if !board.answers.any() => board.answers = *from,
            (Some(_) | None, _) => {}
        }
    }

    /// Nothing was recorded of that panel; its answers stay.
    pub fn not_kept(&mut self, id: &Id, why: String) {
        if let Some(board) = self.board(id) {
            match board.state {
                // What failed then is the taking back.
                State::Recorded { .. } => self.said = why,
                State::Open | State::Saving | State::Not(_) => {
                    board.state = State::Not(why);
                    self.show_wrong();
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
