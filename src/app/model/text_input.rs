//! What a key does to a text that is being typed.

use crate::app::message::Message;
use crate::work::story::TEXT_CHARS_MAX;
use tui_input::{Input, InputRequest};

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
