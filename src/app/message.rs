//! What a key press can ask for, and where the keys go. Which key asks for what is the `keymap`'s.

use super::key::Key;
use crate::review::GroupBy;
use crate::units::all_variants;
use crate::work::panel::inspection::{CrackDirection, CrackPlace};
use strum::VariantArray;

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
    /// Show the board that comes next in the order of what is due.
    NextPanel,
    /// Show the board before.
    PreviousPanel,
    /// What comes, in order, over all boards and pots.
    ShowQueue,
    /// The plan that is kept.
    ShowPlan,
    /// In the plan: two weeks, or a day again.
    ToggleWeeks,
    /// In the plan: plan anew from now on.
    Replan,
    /// The board lies one place further to the left.
    MovePlaceLeft,
    /// The board lies one place further to the right.
    MovePlaceRight,
    /// The act at hand was done on several boards, one after the other.
    RecordPass,
    /// On so many boards.
    BoardCount(u8),
    /// Name who is at the brush.
    NameMaker,
    /// Put in a pass that nobody recorded.
    OpenPassSheet,
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
    /// Remove everything that was typed here.
    ClearText,
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
    /// Something done to the pot under the cursor.
    Pot(PotCommand),
    /// Set panels side by side by that.
    SetGrouping(GroupBy),
    /// Everything in words instead of pictures, or pictures again.
    ToggleFullText,
    /// In the comparison: asks what goes with the next fault.
    AskNextFault,
    /// Choose the panel under the cursor, or let it go again.
    ToggleChosen,
    /// Only the panels chosen, or all of them again.
    ToggleOnlyChosen,
    /// Take the recipe that is offered.
    TakeOffer,
    /// Only the boards with a look due, or all of them again.
    ToggleOnlyDue,
    /// A crack lies there.
    AnswerCrackPlace(CrackPlace),
    /// A crack runs that way.
    AnswerCrackDirection(CrackDirection),
    /// The bow was measured over the span of last time.
    AnswerLastSpan,
    /// The panel is sound.
    AnswerSound,
    /// A key without a meaning here; it may still quiet an alarm.
    Other,
}

/// What is done to the pot under the cursor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PotCommand {
    /// Into the bath, or out of it.
    ToggleBath,
    /// Glue set to soak.
    Soak,
    /// It is liquid.
    Liquid,
    /// It is a jelly.
    Gelled,
    /// It is made.
    Made,
    /// It went through the cloth.
    Strained,
    /// Take its last fact back.
    Undo,
    /// Write down what the thermometer says.
    EnterTemp,
    /// Write down the water given back.
    EnterWater,
    /// Write its weight down.
    EnterWeight,
    /// Write a note.
    WriteNote,
    /// Thrown away, and why.
    Discard,
    /// Used up.
    UsedUp,
    /// Be led through the making.
    StartMaking,
}

/// One press of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyPress {
    /// What it asks for.
    pub message: Message,
    /// The key; none where no key was pressed, as for a pasted text.
    pub key: Option<Key>,
    /// The terminal says that the key is being held.
    pub held: bool,
    /// It may record something by itself, and so must not come from a finger that rests on the key.
    pub records: bool,
}

impl KeyPress {
    /// A text pasted. It is no key, so it is never taken for one that is held.
    pub fn from_paste(text: String) -> KeyPress {
        KeyPress { message: Message::Paste(text), key: None, held: false, records: false }
    }
}

/// Where the keys go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray)]
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
    /// To the list of what comes.
    Queue,
    /// To the plan that is kept.
    Plan,
    /// To a pass that is put in afterwards.
    PassSheet,
    /// To panels side by side.
    Comparison,
    /// To the offer of another recipe.
    Offer,
    /// To the sitting, at a question that figures answer.
    Sitting,
    /// To the sitting, at the question for cracks.
    SittingCracks,
    /// To the sitting, at the question for the bow.
    SittingBow,
    /// To the sitting, at the question whether all is sound.
    SittingVerdict,
    /// To the sitting, where words are typed.
    SittingText,
}
all_variants!(InputMode);
