//! What a key can mean, and where the typing goes. Which key means what is `ui::keys`'s.
//!
//! Absent on purpose: keys, terminal.

/// What a key press asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Message {
    /// Record the act at hand as done.
    RecordDone,
    /// Record the act at hand as begun.
    RecordStart,
    /// The gloss is gone.
    RecordDull,
    /// Take the last fact back.
    Undo,
    /// Write a note.
    WriteNote,
    /// Write the weight down.
    EnterWeight,
    /// Leave the act at hand out, or end the wait.
    Skip,
    /// One more of the act last done.
    Extra,
    /// Do the act last done again.
    Repeat,
    /// The other direction than the one at hand.
    TurnDirection,
    /// Leave the bench, or come back.
    ToggleAway,
    /// Give the panel up.
    GiveUp,
    /// Open another panel.
    OpenForm,
    /// Show the next panel of the rack.
    NextPanel,
    /// Show the panel before.
    PreviousPanel,
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
    ShowKeys,
    /// The story of the panel.
    ShowStory,
    /// Panels of the whole shelf side by side.
    ShowComparison,
    /// Look the finished panels over.
    OpenSitting,
    /// Record what was answered in the sitting.
    RecordSitting,
    /// Only what is readable from afar, or everything again.
    ToggleDistanceMode,
    /// Leave the view, or the program.
    Leave,
    /// Take what stands there.
    Accept,
    /// One more step of what the cursor is on.
    Advance,
    /// Nothing stays grey.
    ClearMap,
    /// The area at that place of a number pad, 1 to 9.
    SelectArea(u8),
    /// A character typed.
    TypeChar(char),
    /// A text pasted.
    Paste(String),
    /// Remove the character before the cursor.
    DeleteBackward,
    /// Remove the character at the cursor.
    DeleteForward,
    /// Give the terminal back for a while.
    Suspend,
    /// The pot in use into the bath, or out of it.
    ToggleBath,
    /// The pots.
    ShowPots,
    /// The air of the room.
    EnterAir,
    /// What is to be known before the act at hand, and where it comes from.
    ShowAdvice,
    /// Put away what is said of a gap.
    DismissGap,
    /// A letter on the pots sheet.
    PotLetter(char),
    /// A key without a meaning here; it may still quiet an alarm.
    Other,
}

impl Message {
    /// Whether the press may record something by itself, and so must not come from a finger that rests on the key.
    pub fn can_record(&self) -> bool {
        match self {
            Message::RecordDone
            | Message::RecordStart
            | Message::RecordDull
            | Message::Undo
            | Message::Extra
            | Message::ToggleAway
            | Message::Accept
            | Message::ClearMap
            | Message::ToggleBath
            | Message::PotLetter(_)
            | Message::RecordSitting
            | Message::Leave => true,
            Message::WriteNote
            | Message::EnterWeight
            | Message::Skip
            | Message::Repeat
            | Message::TurnDirection
            | Message::GiveUp
            | Message::OpenForm
            | Message::NextPanel
            | Message::PreviousPanel
            | Message::Left
            | Message::Right
            | Message::Up
            | Message::Down
            | Message::PageUp
            | Message::PageDown
            | Message::Home
            | Message::End
            | Message::ShowKeys
            | Message::ShowStory
            | Message::ShowComparison
            | Message::OpenSitting
            | Message::ToggleDistanceMode
            | Message::Advance
            | Message::SelectArea(_)
            | Message::TypeChar(_)
            | Message::Paste(_)
            | Message::DeleteBackward
            | Message::DeleteForward
            | Message::Suspend
            | Message::ShowPots
            | Message::EnterAir
            | Message::ShowAdvice
            | Message::DismissGap
            | Message::Other => false,
        }
    }
}

/// Which key of the keyboard it was, whatever it means where the typing goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct KeyId(pub u32);

/// One press of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyPress {
    /// What it asks for.
    pub message: Message,
    /// The key; none where no key was pressed, as for a pasted text.
    pub key: Option<KeyId>,
    /// The terminal says that the key is being held.
    pub held: bool,
}

/// Where the keys go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InputMode {
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
    SittingText,
}
