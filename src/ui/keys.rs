//! Which key means what. No key that records lies beside Space: c v b n m, and the marks to their right, mean nothing.
//!
//! Absent on purpose: what an action does (`app`).

use crate::app::action::{Action, Mark, Press, Typing};
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// What that key means while the typing goes there; nothing for a release.
pub fn press(key: &KeyEvent, typing: Typing) -> Option<Press> {
    let held = match key.kind {
        KeyEventKind::Release => return None,
        KeyEventKind::Repeat => true,
        KeyEventKind::Press => false,
    };
    Some(Press { action: meaning(key, typing), mark: Some(mark(key.code)), held })
}

/// A text pasted. It is no key, so it is never taken for one that is held.
pub fn paste(text: String) -> Press {
    Press { action: Action::Paste(text), mark: None, held: false }
}

/// A number for each key; those that type nothing lie above every character.
fn mark(code: KeyCode) -> Mark {
    const ABOVE: u32 = char::MAX as u32 + 1;
    Mark(match code {
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

fn meaning(key: &KeyEvent, typing: Typing) -> Action {
    if key.modifiers.contains(KeyModifiers::CONTROL) {
        return match key.code {
            KeyCode::Char('z') => Action::Suspend,
            KeyCode::Char('c') => Action::Leave,
            KeyCode::Char('s') if matches!(typing, Typing::Sitting | Typing::SittingWords) => Action::Keep,
            _ => Action::Other,
        };
    }
    if key.modifiers.intersects(KeyModifiers::ALT | KeyModifiers::SUPER | KeyModifiers::META) {
        return Action::Other;
    }
    match typing {
        Typing::Bench => on_bench(key.code),
        Typing::Line => in_line(key.code),
        Typing::Form => in_form(key.code),
        Typing::Map => on_map(key.code),
        Typing::List => in_list(key.code),
        Typing::Pots => among_pots(key.code),
        Typing::Sitting => in_sitting(key.code),
        Typing::SittingWords => in_sitting_words(key.code),
    }
}

fn on_bench(code: KeyCode) -> Action {
    match code {
        // PageDown is what a slide remote sends for "on"; PageUp, its "back", does nothing by accident.
        KeyCode::Char(' ') | KeyCode::Enter | KeyCode::PageDown => Action::Next,
        KeyCode::Char('s') => Action::Start,
        KeyCode::Char('d') => Action::Dull,
        KeyCode::Char('u') => Action::Undo,
        KeyCode::Char('w') => Action::Note,
        KeyCode::Char('g') => Action::Weigh,
        KeyCode::Char('k') => Action::Skip,
        KeyCode::Char('e') => Action::Extra,
        KeyCode::Char('r') => Action::Repeat,
        KeyCode::Char('o') => Action::Turn,
        KeyCode::Char('a') => Action::AwayBack,
        KeyCode::Char('G') => Action::GiveUp,
        KeyCode::Char('p') => Action::Bath,
        KeyCode::Char('P') => Action::Pots,
        KeyCode::Char('h') => Action::Air,
        KeyCode::Char('i') => Action::Meaning,
        KeyCode::Char('x') => Action::PutAway,
        KeyCode::Char('+') => Action::Open,
        KeyCode::Tab => Action::NextPanel,
        KeyCode::BackTab => Action::PanelBefore,
        KeyCode::Left => Action::Left,
        KeyCode::Right => Action::Right,
        KeyCode::Up => Action::Up,
        KeyCode::Down => Action::Down,
        KeyCode::Char('t') => Action::Story,
        KeyCode::Char('y') => Action::Compare,
        KeyCode::Char('f') => Action::Far,
        KeyCode::Char('l') => Action::LookOver,
        KeyCode::Char('?') | KeyCode::F(1) => Action::Keys,
        // Esc closes whatever lies over the bench; one too many must not silence the calls.
        KeyCode::Char('q') => Action::Leave,
        _ => Action::Other,
    }
}

fn editing(code: KeyCode) -> Action {
    match code {
        KeyCode::Char(c) => Action::Type(c),
        KeyCode::Backspace => Action::Erase,
        KeyCode::Delete => Action::EraseAhead,
        KeyCode::Left => Action::Left,
        KeyCode::Right => Action::Right,
        KeyCode::Home => Action::Home,
        KeyCode::End => Action::End,
        KeyCode::Enter => Action::Accept,
        KeyCode::Esc => Action::Leave,
        _ => Action::Other,
    }
}

fn in_line(code: KeyCode) -> Action {
    editing(code)
}

fn in_form(code: KeyCode) -> Action {
    match code {
        KeyCode::Up | KeyCode::BackTab => Action::Up,
        KeyCode::Down | KeyCode::Tab => Action::Down,
        KeyCode::F(2) => Action::LookOver,
        _ => editing(code),
    }
}

fn on_map(code: KeyCode) -> Action {
    match code {
        KeyCode::Up => Action::Up,
        KeyCode::Down => Action::Down,
        KeyCode::Left => Action::Left,
        KeyCode::Right => Action::Right,
        KeyCode::Char(' ') => Action::Step,
        KeyCode::Char(c @ '1'..='9') => Action::Area(c as u8 - b'0'),
        KeyCode::Char('w') => Action::Clear,
        KeyCode::Enter => Action::Accept,
        KeyCode::Char('q') | KeyCode::Esc => Action::Leave,
        _ => Action::Other,
    }
}

/// The letters that record something of a pot; none lies beside Space.
const POT_LETTERS: &str = "poljrsutagwDzf";

fn among_pots(code: KeyCode) -> Action {
    match code {
        KeyCode::Char(' ') | KeyCode::PageDown => Action::Next,
        KeyCode::Enter => Action::Accept,
        KeyCode::Up => Action::Up,
        KeyCode::Down => Action::Down,
        KeyCode::Left => Action::Left,
        KeyCode::Right => Action::Right,
        KeyCode::Home => Action::Home,
        KeyCode::End => Action::End,
        KeyCode::Char('+') => Action::Open,
        KeyCode::Char(c) if POT_LETTERS.contains(c) => Action::PotLetter(c),
        KeyCode::Char('q') | KeyCode::Esc => Action::Leave,
        _ => Action::Other,
    }
}

fn in_list(code: KeyCode) -> Action {
    match code {
        KeyCode::Up => Action::Up,
        KeyCode::Down => Action::Down,
        KeyCode::PageUp => Action::PageUp,
        KeyCode::PageDown => Action::PageDown,
        KeyCode::Home => Action::Home,
        KeyCode::End => Action::End,
        KeyCode::Enter => Action::Accept,
        KeyCode::Char(c) if c != 'q' => Action::Type(c),
        KeyCode::Char(_) | KeyCode::Esc => Action::Leave,
        _ => Action::Other,
    }
}

/// Enter and Space only go on; what records is a letter with Shift.
fn in_sitting(code: KeyCode) -> Action {
    match code {
        KeyCode::Enter | KeyCode::Char(' ') => Action::Step,
        KeyCode::Char('R') => Action::Keep,
        KeyCode::Char('u') => Action::Undo,
        KeyCode::Char('q') => Action::Leave,
        _ => in_sitting_words(code),
    }
}

fn in_sitting_words(code: KeyCode) -> Action {
    match code {
        KeyCode::Up => Action::Up,
        KeyCode::Down => Action::Down,
        KeyCode::PageUp => Action::PageUp,
        KeyCode::PageDown => Action::PageDown,
        KeyCode::Tab => Action::NextPanel,
        KeyCode::BackTab => Action::PanelBefore,
        KeyCode::Enter => Action::Step,
        _ => editing(code),
    }
}
