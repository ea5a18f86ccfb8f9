//! A form to be filled in: fields from the top, one of which the typing goes to; and a line of text typed.

use crate::app::message::Message;
use crate::work::story::TEXT_CHARS_MAX;
use tui_input::{Input, InputRequest};

/// What can be asked in a field.
#[derive(Debug, Clone)]
pub enum InputValue {
    /// A text.
    Text(Input),
    /// One of some words: the words, and which.
    Choice(Vec<String>, usize),
}

/// A field of the form.
#[derive(Debug, Clone)]
pub struct InputField {
    /// What is asked.
    pub label: &'static str,
    /// A word of help.
    pub help: &'static str,
    /// What stands there.
    pub input: InputValue,
    /// What stands there is only suggested: what is typed first takes its place.
    pub is_suggestion: bool,
    /// What is wrong with it.
    pub error: String,
}

impl PartialEq for InputField {
    fn eq(&self, other: &Self) -> bool {
        (self.label, self.value(), &self.error) == (other.label, other.value(), &other.error)
    }
}

impl InputField {
    pub(super) fn new_text(label: &'static str, value: &str, help: &'static str) -> InputField {
        let input = InputValue::Text(Input::new(value.to_owned()));
        InputField { label, help, input, is_suggestion: false, error: String::new() }
    }
    /// A text that gives way to what is typed.
    pub(super) fn new_suggestion(label: &'static str, value: &str, help: &'static str) -> InputField {
        InputField { is_suggestion: true, ..InputField::new_text(label, value, help) }
    }
    pub(super) fn new_choice(
        label: &'static str,
        words: impl IntoIterator<Item = String>,
        help: &'static str,
    ) -> InputField {
        let input = InputValue::Choice(words.into_iter().collect(), 0);
        InputField { label, help, input, is_suggestion: false, error: String::new() }
    }
    /// What stands there.
    pub fn value(&self) -> &str {
        match &self.input {
            InputValue::Text(input) => input.value(),
            InputValue::Choice(words, at) => words.get(*at).map_or("", String::as_str),
        }
    }
    /// What is drawn: a choice between marks that say it can be changed.
    pub fn display_value(&self) -> String {
        match &self.input {
            InputValue::Text(input) => input.value().to_owned(),
            InputValue::Choice(..) => format!("< {} >", self.value()),
        }
    }
    /// Where the next character goes, in characters.
    pub fn cursor(&self) -> usize {
        match &self.input {
            InputValue::Text(input) => input.cursor(),
            InputValue::Choice(..) => 0,
        }
    }
    /// Lets a key change what stands there.
    pub(super) fn edit(&mut self, message: &Message) {
        let by: isize = match message {
            Message::Right | Message::TypeChar(' ') => 1,
            Message::Left => -1,
            _ => 0,
        };
        match &mut self.input {
            InputValue::Text(input) => {
                if self.is_suggestion && matches!(message, Message::TypeChar(_) | Message::Paste(_)) {
                    *input = Input::default();
                }
                self.is_suggestion &= !edit_text(input, message);
            }
            InputValue::Choice(words, at) => {
                *at = (*at as isize + by).rem_euclid(words.len().max(1) as isize) as usize;
            }
        }
        self.error.clear();
    }
    pub(super) fn choose(&mut self, place: usize) {
        if let InputValue::Choice(words, at) = &mut self.input {
            *at = place.min(words.len().saturating_sub(1));
        }
    }
    pub(super) fn chosen_index(&self) -> usize {
        match &self.input {
            InputValue::Text(_) => 0,
            InputValue::Choice(_, at) => *at,
        }
    }
}

/// A form.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// Its fields from the top.
    pub fields: Vec<InputField>,
    /// Which one the typing goes to.
    pub focus: usize,
    /// What is wrong with the form as a whole.
    pub error: String,
}

impl Form {
    pub(super) fn new(fields: Vec<InputField>) -> Form {
        Form { fields, focus: 0, error: String::new() }
    }

    /// What stands in that field.
    pub(super) fn value(&self, at: usize) -> &str {
        self.fields[at].value()
    }

    /// Says what is wrong with that field, and goes there.
    pub(super) fn reject(&mut self, at: usize, error: String) {
        self.fields[at].error = error;
        self.focus = at;
    }

    /// The name in that field; none while it is empty, which then stands beside it.
    pub(super) fn parse_label(&mut self, at: usize) -> Option<String> {
        let label = self.value(at).trim().to_owned();
        if label.is_empty() {
            self.reject(at, "it needs a name".to_owned());
            return None;
        }
        Some(label)
    }

    /// Lets a key change the field the typing goes to, or which one that is.
    pub(super) fn update(&mut self, message: &Message) {
        let fields = self.fields.len();
        match message {
            Message::Up => self.focus = (self.focus + fields - 1) % fields,
            Message::Down => self.focus = (self.focus + 1) % fields,
            _ => {
                self.fields[self.focus].edit(message);
                self.error.clear();
            }
        }
    }
}

/// Lets a key move or change a line of text. Returns whether it was one that does.
pub(super) fn edit_text(input: &mut Input, message: &Message) -> bool {
    let request = match message {
        Message::TypeChar(c) if !c.is_control() => InputRequest::InsertChar(*c),
        Message::Paste(text) => {
            insert_pasted(input, text);
            return true;
        }
        Message::ClearText => {
            *input = Input::default();
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
