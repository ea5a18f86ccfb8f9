//! The keys as the terminal sends them. What they mean is the keymap's.

use crate::app::key::Key;
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// The key pressed, and whether it is one that is being held; nothing for a release.
pub fn key_from_event(event: &KeyEvent) -> Option<(Key, bool)> {
    let held = match event.kind {
        KeyEventKind::Release => return None,
        KeyEventKind::Repeat => true,
        KeyEventKind::Press => false,
    };
    Some((key_from_code(event.code, event.modifiers), held))
}

fn key_from_code(code: KeyCode, modifiers: KeyModifiers) -> Key {
    if modifiers.contains(KeyModifiers::CONTROL) {
        return if let KeyCode::Char(c) = code { Key::Ctrl(c) } else { Key::Unknown };
    }
    if modifiers.intersects(KeyModifiers::ALT | KeyModifiers::SUPER | KeyModifiers::META) {
        return Key::Unknown;
    }
    match code {
        KeyCode::Char(c) => Key::Char(c),
        KeyCode::F(n) => Key::F(n),
        KeyCode::Enter => Key::Enter,
        KeyCode::Esc => Key::Esc,
        KeyCode::Tab => Key::Tab,
        KeyCode::BackTab => Key::BackTab,
        KeyCode::Left => Key::Left,
        KeyCode::Right => Key::Right,
        KeyCode::Up => Key::Up,
        KeyCode::Down => Key::Down,
        KeyCode::PageUp => Key::PageUp,
        KeyCode::PageDown => Key::PageDown,
        KeyCode::Home => Key::Home,
        KeyCode::End => Key::End,
        KeyCode::Backspace => Key::Backspace,
        KeyCode::Delete => Key::Delete,
        _ => Key::Unknown,
    }
}
