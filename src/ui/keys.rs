//! Which key means what. No key that records lies beside Space: c v b n m, and the marks to their right, mean nothing.
//!
//! Absent on purpose: what an action does (`app`).

use crate::app::message::{InputMode, KeyId, KeyPress, Message};
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// What that key means while the typing goes there; nothing for a release.
pub fn key_press_from_event(key: &KeyEvent, typing: InputMode) -> Option<KeyPress> {
    let held = match key.kind {
        KeyEventKind::Release => return None,
        KeyEventKind::Repeat => true,
        KeyEventKind::Press => false,
    };
    Some(KeyPress { message: message_from_key(key, typing), key: Some(key_id_from_code(key.code)), held })
}

/// A text pasted. It is no key, so it is never taken for one that is held.
pub fn key_press_from_paste(text: String) -> KeyPress {
    KeyPress { message: Message::Paste(text), key: None, held: false }
}

/// A number for each key; those that type nothing lie above every character.
fn key_id_from_code(code: KeyCode) -> KeyId {
    const ABOVE: u32 = char::MAX as u32 + 1;
    KeyId(match code {
        KeyCode::Char(c) => c as u32,
        KeyCode::F(n) => ABOVE + u32::from(n),
        KeyCode::Enter => ABOVE + 300,
        KeyCode::PageDown => ABOVE + 301,
        KeyCode::PageUp => ABOVE + 302,
        KeyCode::Esc => ABOVE + 303,
        KeyCode::Tab => ABOVE + 304,
        KeyCode::BackTab => ABOVE + 305,
        KeyCode::Left => ABOVE + 306,
        KeyCode::Right => ABOVE + 307,
        KeyCode::Up => ABOVE + 308,
        KeyCode::Down => ABOVE + 309,
        KeyCode::Backspace => ABOVE + 310,
        KeyCode::Delete => ABOVE + 311,
        KeyCode::Home => ABOVE + 312,
        KeyCode::End => ABOVE + 313,
        _ => ABOVE + 400,
    })
}

fn message_from_key(key: &KeyEvent, typing: InputMode) -> Message {
    if key.modifiers.contains(KeyModifiers::CONTROL) {
        return match key.code {
            KeyCode::Char('z') => Message::Suspend,
            KeyCode::Char('c') => Message::Leave,
            KeyCode::Char('s') if matches!(typing, InputMode::Sitting | InputMode::SittingText) => {
                Message::RecordSitting
            }
            _ => Message::Other,
        };
    }
    if key.modifiers.intersects(KeyModifiers::ALT | KeyModifiers::SUPER | KeyModifiers::META) {
        return Message::Other;
    }
    match typing {
        InputMode::Bench => parse_bench_key(key.code),
        InputMode::Line => parse_line_key(key.code),
        InputMode::Form => parse_form_key(key.code),
        InputMode::Map => parse_map_key(key.code),
        InputMode::List => parse_list_key(key.code),
        InputMode::Pots => parse_pots_key(key.code),
        InputMode::Sitting => parse_sitting_key(key.code),
        InputMode::SittingText => parse_sitting_text_key(key.code),
    }
}

fn parse_bench_key(code: KeyCode) -> Message {
    match code {
        // PageDown is what a slide remote sends for "on"; PageUp, its "back", does nothing by accident.
        KeyCode::Char(' ') | KeyCode::Enter | KeyCode::PageDown => Message::RecordDone,
        KeyCode::Char('s') => Message::RecordStart,
        KeyCode::Char('d') => Message::RecordDull,
        KeyCode::Char('u') => Message::Undo,
        KeyCode::Char('w') => Message::WriteNote,
        KeyCode::Char('g') => Message::EnterWeight,
        KeyCode::Char('k') => Message::Skip,
        KeyCode::Char('e') => Message::Extra,
        KeyCode::Char('r') => Message::Repeat,
        KeyCode::Char('o') => Message::TurnDirection,
        KeyCode::Char('a') => Message::ToggleAway,
        KeyCode::Char('G') => Message::GiveUp,
        KeyCode::Char('p') => Message::ToggleBath,
        KeyCode::Char('P') => Message::ShowPots,
        KeyCode::Char('h') => Message::EnterAir,
        KeyCode::Char('i') => Message::ShowAdvice,
        KeyCode::Char('x') => Message::DismissGap,
        KeyCode::Char('+') => Message::OpenForm,
        KeyCode::Tab => Message::NextPanel,
        KeyCode::BackTab => Message::PreviousPanel,
        KeyCode::Left => Message::Left,
        KeyCode::Right => Message::Right,
        KeyCode::Up => Message::Up,
        KeyCode::Down => Message::Down,
        KeyCode::Char('t') => Message::ShowStory,
        KeyCode::Char('y') => Message::ShowComparison,
        KeyCode::Char('f') => Message::ToggleDistanceMode,
        KeyCode::Char('l') => Message::OpenSitting,
        KeyCode::Char('?') | KeyCode::F(1) => Message::ShowKeys,
        // Esc closes whatever lies over the bench; one too many must not silence the calls.
        KeyCode::Char('q') => Message::Leave,
        _ => Message::Other,
    }
}

fn parse_text_key(code: KeyCode) -> Message {
    match code {
        KeyCode::Char(c) => Message::TypeChar(c),
        KeyCode::Backspace => Message::DeleteBackward,
        KeyCode::Delete => Message::DeleteForward,
        KeyCode::Left => Message::Left,
        KeyCode::Right => Message::Right,
        KeyCode::Home => Message::Home,
        KeyCode::End => Message::End,
        KeyCode::Enter => Message::Accept,
        KeyCode::Esc => Message::Leave,
        _ => Message::Other,
    }
}

fn parse_line_key(code: KeyCode) -> Message {
    parse_text_key(code)
}

fn parse_form_key(code: KeyCode) -> Message {
    match code {
        KeyCode::Up | KeyCode::BackTab => Message::Up,
        KeyCode::Down | KeyCode::Tab => Message::Down,
        KeyCode::F(2) => Message::OpenSitting,
        _ => parse_text_key(code),
    }
}

fn parse_map_key(code: KeyCode) -> Message {
    match code {
        KeyCode::Up => Message::Up,
        KeyCode::Down => Message::Down,
        KeyCode::Left => Message::Left,
        KeyCode::Right => Message::Right,
        KeyCode::Char(' ') => Message::Advance,
        KeyCode::Char(c @ '1'..='9') => Message::SelectArea(c as u8 - b'0'),
        KeyCode::Char('w') => Message::ClearMap,
        KeyCode::Enter => Message::Accept,
        KeyCode::Char('q') | KeyCode::Esc => Message::Leave,
        _ => Message::Other,
    }
}

/// The letters that record something of a pot; none lies beside Space.
const POT_LETTERS: &str = "poljrsutagwDzf";

fn parse_pots_key(code: KeyCode) -> Message {
    match code {
        KeyCode::Char(' ') | KeyCode::PageDown => Message::RecordDone,
        KeyCode::Enter => Message::Accept,
        KeyCode::Up => Message::Up,
        KeyCode::Down => Message::Down,
        KeyCode::Left => Message::Left,
        KeyCode::Right => Message::Right,
        KeyCode::Home => Message::Home,
        KeyCode::End => Message::End,
        KeyCode::Char('+') => Message::OpenForm,
        KeyCode::Char(c) if POT_LETTERS.contains(c) => Message::PotLetter(c),
        KeyCode::Char('q') | KeyCode::Esc => Message::Leave,
        _ => Message::Other,
    }
}

fn parse_list_key(code: KeyCode) -> Message {
    match code {
        KeyCode::Up => Message::Up,
        KeyCode::Down => Message::Down,
        KeyCode::PageUp => Message::PageUp,
        KeyCode::PageDown => Message::PageDown,
        KeyCode::Home => Message::Home,
        KeyCode::End => Message::End,
        KeyCode::Enter => Message::Accept,
        KeyCode::Char(c) if c != 'q' => Message::TypeChar(c),
        KeyCode::Char(_) | KeyCode::Esc => Message::Leave,
        _ => Message::Other,
    }
}

/// Enter and Space only go on; what records is a letter with Shift.
fn parse_sitting_key(code: KeyCode) -> Message {
    match code {
        KeyCode::Enter | KeyCode::Char(' ') => Message::Advance,
        KeyCode::Char('R') => Message::RecordSitting,
        KeyCode::Char('u') => Message::Undo,
        KeyCode::Char('q') => Message::Leave,
        _ => parse_sitting_text_key(code),
    }
}

fn parse_sitting_text_key(code: KeyCode) -> Message {
    match code {
        KeyCode::Up => Message::Up,
        KeyCode::Down => Message::Down,
        KeyCode::PageUp => Message::PageUp,
        KeyCode::PageDown => Message::PageDown,
        KeyCode::Tab => Message::NextPanel,
        KeyCode::BackTab => Message::PreviousPanel,
        KeyCode::Enter => Message::Advance,
        _ => parse_text_key(code),
    }
}
