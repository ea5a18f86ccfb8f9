//! A line to be typed: a note, a weight, a reason.

use super::{Effect, Model, Overlay};
use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
use crate::text::parse_mass;
use crate::units::Moment;
use crate::work::panel::act::{PanelAct, TEXT_CHARS_MAX};
use crate::work::panel::event::Stage;
use tui_input::{Input, InputRequest};

/// What the line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LinePurpose {
    /// A note.
    Note,
    /// The panel's weight.
    Weight,
    /// Why the act at hand is left out, or the wait ended.
    Skip,
    /// Why the panel is given up.
    GiveUp,
}

impl LinePurpose {
    /// What is asked.
    pub const fn prompt(self) -> &'static str {
        match self {
            LinePurpose::Note => "A note",
            LinePurpose::Weight => "The panel weighs",
            LinePurpose::Skip => "Left out, because",
            LinePurpose::GiveUp => "Given up, because",
        }
    }
    /// A word of help.
    pub fn help(self, keymap: &Keymap) -> String {
        let [keep, forget] = [Message::Accept, Message::Leave].map(|message| keymap.label(&message, InputMode::Line));
        match self {
            LinePurpose::Note => format_line_keys(keymap),
            LinePurpose::Weight => "with its unit: 812g or 1.8lb".to_owned(),
            LinePurpose::Skip => format!("a word or two; {}", format_line_keys(keymap)),
            LinePurpose::GiveUp => format!("a word or two; {keep} asks once more, {forget} forgets it"),
        }
    }
}

/// What the two keys do that every line has.
pub(super) fn format_line_keys(keymap: &Keymap) -> String {
    let [keep, forget] = [Message::Accept, Message::Leave].map(|message| keymap.label(&message, InputMode::Line));
    format!("{keep} keeps it, {forget} forgets it")
}

/// What is said of a line in which nothing stands.
pub(super) fn format_empty_line_error(keymap: &Keymap) -> String {
    format!("it needs a word or two; {} forgets it", keymap.label(&Message::Leave, InputMode::Line))
}

/// A line being typed.
#[derive(Debug, Clone)]
pub struct LineEditor {
    /// What it is for.
    pub purpose: LinePurpose,
    /// What stands there.
    pub input: Input,
    /// What is wrong with it.
    pub error: String,
    /// It was accepted once and needs to be accepted again.
    pub is_accepted_once: bool,
    /// The stage the maker saw at hand when the line was opened.
    pub seen_stage: Option<Stage>,
}

impl PartialEq for LineEditor {
    fn eq(&self, other: &Self) -> bool {
        (self.purpose, self.input.value(), &self.error, self.is_accepted_once)
            == (other.purpose, other.input.value(), &other.error, other.is_accepted_once)
    }
}

impl LineEditor {
    /// An empty line for that, opened while that stage was at hand.
    pub fn new(purpose: LinePurpose, seen: Option<Stage>) -> LineEditor {
        LineEditor { purpose, input: Input::default(), error: String::new(), is_accepted_once: false, seen_stage: seen }
    }
}

/// Lets a key move or change a line of text. Returns whether it was one that does.
pub(in crate::app) fn edit_text(input: &mut Input, action: &Message) -> bool {
    let request = match action {
        Message::TypeChar(c) if !c.is_control() => InputRequest::InsertChar(*c),
        Message::Paste(text) => {
            insert_pasted(input, text);
            return true;
        }
        Message::DeleteBackward => InputRequest::DeletePrevChar,
        Message::DeleteForward => InputRequest::DeleteNextChar,
        Message::Left => InputRequest::GoToPrevChar,
        Message::Right => InputRequest::GoToNextChar,
        Message::Home => InputRequest::GoToStart,
        Message::End => InputRequest::GoToEnd,
        _ => return false,
    };
    if !(matches!(request, InputRequest::InsertChar(_)) && input.value().chars().count() >= TEXT_CHARS_MAX) {
        input.handle(request);
    }
    true
}

/// Puts a pasted text in at the cursor, in one go and on one line, as far as there is room.
fn insert_pasted(input: &mut Input, text: &str) {
    let room = TEXT_CHARS_MAX.saturating_sub(input.value().chars().count());
    let pasted: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).take(room).collect();
    let cursor = input.cursor();
    let before = input.value().chars().take(cursor);
    let after = input.value().chars().skip(cursor);
    let value: String = before.chain(pasted.chars()).chain(after).collect();
    *input = Input::new(value).with_cursor(cursor + pasted.chars().count());
}

impl Model {
    pub(super) fn update_line(&mut self, action: &Message, now: Moment) -> Vec<Effect> {
        let Overlay::Line(line) = &mut self.overlay else { return Vec::new() };
        if edit_text(&mut line.input, action) {
            line.error.clear();
            line.is_accepted_once = false;
            return Vec::new();
        }
        match action {
            Message::Leave => {
                self.overlay = Overlay::None;
                Vec::new()
            }
            Message::Accept => self.accept_line(now),
            _ => Vec::new(),
        }
    }

    fn accept_line(&mut self, now: Moment) -> Vec<Effect> {
        let Overlay::Line(line) = &mut self.overlay else { return Vec::new() };
        let text = line.input.value().trim().to_owned();
        if text.is_empty() {
            line.error = format_empty_line_error(&self.settings.keymap);
            return Vec::new();
        }
        // A skip means what stood at hand when it was asked for; the others are of the panel.
        let seen = line.seen_stage.filter(|_| line.purpose == LinePurpose::Skip);
        let act = match line.purpose {
            LinePurpose::Note => PanelAct::Note(text),
            LinePurpose::Skip => PanelAct::Skip(text),
            LinePurpose::Weight => match parse_mass(&text) {
                Ok(mass) => PanelAct::Weigh(mass),
                Err(why) => {
                    line.error = why.to_string();
                    return Vec::new();
                }
            },
            LinePurpose::GiveUp if line.is_accepted_once => PanelAct::Abandon(text),
            LinePurpose::GiveUp => {
                line.is_accepted_once = true;
                let keep = self.settings.keymap.label(&Message::Accept, InputMode::Line);
                line.error = format!("this gives the panel up - press {keep} again if you mean it");
                return Vec::new();
            }
        };
        self.record_act(act, seen, now)
    }
}
