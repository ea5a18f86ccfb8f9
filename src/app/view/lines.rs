//! A line to be typed: a note, a weight, a reason.

use super::{Over, Request, View};
use crate::app::action::Action;
use crate::text::parse_mass;
use crate::units::Moment;
use crate::work::panel::act::{Act, WORDS_MAX};
use crate::work::panel::event::Stage;
use tui_input::{Input, InputRequest};

/// What the line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// A note.
    Note,
    /// The panel's weight.
    Weight,
    /// Why the act at hand is left out, or the wait ended.
    Skip,
    /// Why the panel is given up.
    GiveUp,
}

impl Purpose {
    /// What is asked.
    pub const fn question(self) -> &'static str {
        match self {
            Purpose::Note => "A note",
            Purpose::Weight => "The panel weighs",
            Purpose::Skip => "Left out, because",
            Purpose::GiveUp => "Given up, because",
        }
    }
    /// A word of help.
    pub const fn help(self) -> &'static str {
        match self {
            Purpose::Note => "Enter keeps it, Esc forgets it",
            Purpose::Weight => "with its unit: 812g or 1.8lb",
            Purpose::Skip => "a word or two; Enter keeps it, Esc forgets it",
            Purpose::GiveUp => "a word or two; Enter asks once more, Esc forgets it",
        }
    }
}

/// A line being typed.
#[derive(Debug, Clone)]
pub struct Line {
    /// What it is for.
    pub purpose: Purpose,
    /// What stands there.
    pub input: Input,
    /// What is wrong with it.
    pub problem: String,
    /// It was accepted once and needs to be accepted again.
    pub sure: bool,
    /// The stage the maker saw at hand when the line was opened.
    pub seen: Option<Stage>,
}

impl PartialEq for Line {
    fn eq(&self, other: &Self) -> bool {
        (self.purpose, self.input.value(), &self.problem, self.sure)
            == (other.purpose, other.input.value(), &other.problem, other.sure)
    }
}

impl Line {
    /// An empty line for that, opened while that stage was at hand.
    pub fn new(purpose: Purpose, seen: Option<Stage>) -> Line {
        Line { purpose, input: Input::default(), problem: String::new(), sure: false, seen }
    }
}

/// Lets a key move or change a line of text. Returns whether it was one that does.
pub(in crate::app) fn edit(input: &mut Input, action: &Action) -> bool {
    let request = match action {
        Action::Type(c) if !c.is_control() => InputRequest::InsertChar(*c),
        Action::Paste(text) => {
            insert(input, text);
            return true;
        }
        Action::Erase => InputRequest::DeletePrevChar,
        Action::EraseAhead => InputRequest::DeleteNextChar,
        Action::Left => InputRequest::GoToPrevChar,
        Action::Right => InputRequest::GoToNextChar,
        Action::Home => InputRequest::GoToStart,
        Action::End => InputRequest::GoToEnd,
        _ => return false,
    };
    if !(matches!(request, InputRequest::InsertChar(_)) && input.value().chars().count() >= WORDS_MAX) {
        input.handle(request);
    }
    true
}

/// Puts a pasted text in at the cursor, in one go and on one line, as far as there is room.
fn insert(input: &mut Input, text: &str) {
    let room = WORDS_MAX.saturating_sub(input.value().chars().count());
    let pasted: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).take(room).collect();
    let cursor = input.cursor();
    let before = input.value().chars().take(cursor);
    let after = input.value().chars().skip(cursor);
    let value: String = before.chain(pasted.chars()).chain(after).collect();
    *input = Input::new(value).with_cursor(cursor + pasted.chars().count());
}

impl View {
    pub(super) fn typing_line(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let Over::Line(line) = &mut self.over else { return Vec::new() };
        if edit(&mut line.input, action) {
            line.problem.clear();
            line.sure = false;
            return Vec::new();
        }
        match action {
            Action::Leave => {
                self.over = Over::Nothing;
                Vec::new()
            }
            Action::Accept => self.accept_line(now),
            _ => Vec::new(),
        }
    }

    fn accept_line(&mut self, now: Moment) -> Vec<Request> {
        let Over::Line(line) = &mut self.over else { return Vec::new() };
        let text = line.input.value().trim().to_owned();
        if text.is_empty() {
            line.problem = "it needs a word or two; Esc forgets it".to_owned();
            return Vec::new();
        }
        // A skip means what stood at hand when it was asked for; the others are of the panel.
        let seen = line.seen.filter(|_| line.purpose == Purpose::Skip);
        let act = match line.purpose {
            Purpose::Note => Act::Note(text),
            Purpose::Skip => Act::Skip(text),
            Purpose::Weight => match parse_mass(&text) {
                Ok(mass) => Act::Weigh(mass),
                Err(why) => {
                    line.problem = why.to_string();
                    return Vec::new();
                }
            },
            Purpose::GiveUp if line.sure => Act::Abandon(text),
            Purpose::GiveUp => {
                line.sure = true;
                line.problem = "this gives the panel up - press Enter again if you mean it".to_owned();
                return Vec::new();
            }
        };
        self.record(act, seen, now)
    }
}
