//! What a key can mean, and where the typing goes. Which key means what is `ui::keys`'s.
//!
//! Absent on purpose: keys, terminal.

/// What a key press asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Action {
    /// Record the act at hand as done.
    Next,
    /// Record the act at hand as begun.
    Start,
    /// The gloss is gone.
    Dull,
    /// Take the last fact back.
    Undo,
    /// Write a note.
    Note,
    /// Write the weight down.
    Weigh,
    /// Leave the act at hand out, or end the wait.
    Skip,
    /// One more of the act last done.
    Extra,
    /// Do the act last done again.
    Repeat,
    /// The other direction than the one at hand.
    Turn,
    /// Leave the bench, or come back.
    AwayBack,
    /// Give the panel up.
    GiveUp,
    /// Open another panel.
    Open,
    /// Show the next panel of the rack.
    NextPanel,
    /// Show the panel before.
    PanelBefore,
    /// Move the cursor or the time just recorded to the left.
    Left,
    /// Move the cursor or the time just recorded to the right.
    Right,
    /// Up.
    Up,
    /// Down.
    Down,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// To the beginning.
    Home,
    /// To the end.
    End,
    /// Every key.
    Keys,
    /// The story of the panel.
    Story,
    /// Panels of the whole shelf side by side.
    Compare,
    /// Look the finished panels over.
    LookOver,
    /// Record what was answered in the sitting.
    Keep,
    /// Only what is readable from afar, or everything again.
    Far,
    /// Leave the view, or the program.
    Leave,
    /// Take what stands there.
    Accept,
    /// One more step of what the cursor is on.
    Step,
    /// Nothing stays grey.
    Clear,
    /// The area at that place of a number pad, 1 to 9.
    Area(u8),
    /// A character typed.
    Type(char),
    /// A text pasted.
    Paste(String),
    /// Remove the character before the cursor.
    Erase,
    /// Remove the character at the cursor.
    EraseAhead,
    /// Give the terminal back for a while.
    Suspend,
    /// The pot in use into the bath, or out of it.
    Bath,
    /// The pots.
    Pots,
    /// The air of the room.
    Air,
    /// What is to be known before the act at hand, and where it comes from.
    Meaning,
    /// Put away what is said of a gap.
    PutAway,
    /// A letter on the pots sheet.
    PotLetter(char),
    /// A key without a meaning here; it may still quiet an alarm.
    Other,
}

impl Action {
    /// Whether the press may record something by itself, and so must not come from a finger that rests on the key.
    pub fn records(&self) -> bool {
        match self {
            Action::Next
            | Action::Start
            | Action::Dull
            | Action::Undo
            | Action::Extra
            | Action::AwayBack
            | Action::Accept
            | Action::Clear
            | Action::Bath
            | Action::PotLetter(_)
            | Action::Keep
            | Action::Leave => true,
            Action::Note
            | Action::Weigh
            | Action::Skip
            | Action::Repeat
            | Action::Turn
            | Action::GiveUp
            | Action::Open
            | Action::NextPanel
            | Action::PanelBefore
            | Action::Left
            | Action::Right
            | Action::Up
            | Action::Down
            | Action::PageUp
            | Action::PageDown
            | Action::Home
            | Action::End
            | Action::Keys
            | Action::Story
            | Action::Compare
            | Action::LookOver
            | Action::Far
            | Action::Step
            | Action::Area(_)
            | Action::Type(_)
            | Action::Paste(_)
            | Action::Erase
            | Action::EraseAhead
            | Action::Suspend
            | Action::Pots
            | Action::Air
            | Action::Meaning
            | Action::PutAway
            | Action::Other => false,
        }
    }
}

/// Which key of the keyboard it was, whatever it means where the typing goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Mark(pub u32);

/// One press of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Press {
    /// What it asks for.
    pub action: Action,
    /// The key; none where no key was pressed, as for a pasted text.
    pub mark: Option<Mark>,
    /// The terminal says that the key is being held.
    pub held: bool,
}

/// Where the keys go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Typing {
    /// To the bench: every key is a command.
    Bench,
    /// To a line of text.
    Line,
    /// To a form of several lines.
    Form,
    /// To the map of a check.
    Map,
    /// To something to be read or chosen from.
    List,
    /// To the pots, or to a batch being made.
    Pots,
    /// To the sitting: figures and letters that answer.
    Sitting,
    /// To the sitting, where words are typed.
    SittingWords,
}
