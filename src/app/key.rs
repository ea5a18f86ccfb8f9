//! A key of the keyboard, whatever it means and whatever terminal sent it.

use std::fmt;

/// One key, with the modifiers that make it another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Key {
    /// What types that character.
    Char(char),
    /// The same with Ctrl held.
    Ctrl(char),
    F(u8),
    Enter,
    Esc,
    Tab,
    BackTab,
    Left,
    Right,
    Up,
    Down,
    PageUp,
    PageDown,
    Home,
    End,
    Backspace,
    Delete,
    /// Any other; none of them can be bound.
    Unknown,
}

impl Key {
    /// The four arrows, in the order in which they are bound together.
    pub const ARROWS: [Key; 4] = [Key::Up, Key::Down, Key::Left, Key::Right];

    /// Its name where room is short.
    pub fn short_name(self) -> String {
        if self == Key::Delete { "Del".to_owned() } else { self.to_string() }
    }
}

/// Its name as it stands on the cap.
impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = match self {
            Key::Char(' ') => "Space",
            Key::Char(c) => return write!(f, "{c}"),
            Key::Ctrl(c) => return write!(f, "Ctrl-{}", c.to_ascii_uppercase()),
            Key::F(n) => return write!(f, "F{n}"),
            Key::Enter => "Enter",
            Key::Esc => "Esc",
            Key::Tab => "Tab",
            Key::BackTab => "Shift-Tab",
            Key::Left => "Left",
            Key::Right => "Right",
            Key::Up => "Up",
            Key::Down => "Down",
            Key::PageUp => "PageUp",
            Key::PageDown => "PageDown",
            Key::Home => "Home",
            Key::End => "End",
            Key::Backspace => "Backspace",
            Key::Delete => "Delete",
            Key::Unknown => "another key",
        };
        f.write_str(name)
    }
}
