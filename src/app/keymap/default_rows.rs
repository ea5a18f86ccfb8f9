//! The keys as they are before anybody binds others. No key that records lies beside Space, where a thumb that misses it
//! lands.

use super::key_row::Keys::{Any, Bound, Typed};
use super::key_row::{KeyGroup, KeyRow, Keys};
use crate::app::key::Key::{
    self, BackTab, Backspace, Char, Ctrl, Delete, Down, End, Enter, Esc, F, Home, Left, PageDown, PageUp, Right, Tab,
    Up,
};
use crate::app::message::{InputMode, Message, PotCommand};
use crate::review::GroupBy;
use crate::work::panel::inspection::{CrackDirection, CrackPlace};

type Modes = &'static [InputMode];

const ALL: Modes = &InputMode::ALL;
const BENCH: Modes = &[InputMode::Bench];
const MAP: Modes = &[InputMode::Map];
const POTS: Modes = &[InputMode::Pots];
const COMPARISON: Modes = &[InputMode::Comparison];
const OFFER: Modes = &[InputMode::Offer];
const QUEUE: Modes = &[InputMode::Queue];
const PLAN: Modes = &[InputMode::Plan];
const SHEET: Modes = &[InputMode::PassSheet];
const LIST: Modes = &[InputMode::List];
const LISTS: Modes = &[InputMode::List, InputMode::Comparison];
const SCROLLED: Modes = &[InputMode::List, InputMode::Comparison, InputMode::Queue];
const FORM: Modes = &[InputMode::Form];
const LINES: Modes = &[InputMode::Line, InputMode::Form];
const TYPING: Modes = &[InputMode::Line, InputMode::Form, InputMode::SittingText];
const CRACKS: Modes = &[InputMode::SittingCracks];
const SITTING_TEXT: Modes = &[InputMode::SittingText];
/// The sitting where a letter answers.
const SITTING: Modes =
    &[InputMode::Sitting, InputMode::SittingCracks, InputMode::SittingBow, InputMode::SittingVerdict];
const WHOLE_SITTING: Modes = &[
    InputMode::Sitting,
    InputMode::SittingCracks,
    InputMode::SittingBow,
    InputMode::SittingVerdict,
    InputMode::SittingText,
];

/// A key whose press records nothing by itself.
const fn looks(group: KeyGroup, modes: Modes, message: Message, keys: Keys, words: &'static str) -> KeyRow {
    KeyRow { message, modes, keys, records: false, words, group }
}

/// A key whose press records.
const fn records(group: KeyGroup, modes: Modes, message: Message, keys: Keys, words: &'static str) -> KeyRow {
    KeyRow { message, modes, keys, records: true, words, group }
}

const fn area(number: u8, keys: &'static [Key]) -> KeyRow {
    looks(
        KeyGroup::Check,
        MAP,
        Message::SelectArea(number),
        Bound(keys),
        "the area where that key lies on a number pad",
    )
}

const fn count(boards: u8, keys: &'static [Key]) -> KeyRow {
    records(KeyGroup::AfterPress, BENCH, Message::BoardCount(boards), Bound(keys), "asked how many boards: on so many")
}

const fn pot(command: PotCommand, keys: &'static [Key], words: &'static str) -> KeyRow {
    records(KeyGroup::PotList, POTS, Message::Pot(command), Bound(keys), words)
}

/// Every row.
#[rustfmt::skip]
pub static DEFAULT_ROWS: &[KeyRow] = &[
    // PageDown is what a slide remote sends for "on"; PageUp, its "back", does nothing by accident.
    records(KeyGroup::Recording, BENCH, Message::RecordDone, Bound(&[Char(' '), Enter, PageDown]), "the act at hand is done; in a wait it asks once more"),
    records(KeyGroup::Recording, BENCH, Message::RecordPass, Bound(&[Char('A')]), "the act at hand is done on all boards it is at hand on (asks once; a figure says on how many)"),
    looks(KeyGroup::Recording, BENCH, Message::OpenPassSheet, Bound(&[Char('m')]), "put in coats that nobody recorded: boards down, coats across"),
    count(1, &[Char('1')]), count(2, &[Char('2')]), count(3, &[Char('3')]),
    count(4, &[Char('4')]), count(5, &[Char('5')]), count(6, &[Char('6')]),
    count(7, &[Char('7')]), count(8, &[Char('8')]), count(9, &[Char('9')]),
    records(KeyGroup::Recording, BENCH, Message::RecordStart, Bound(&[Char('s')]), "the act at hand is begun"),
    records(KeyGroup::Recording, BENCH, Message::RecordDull, Bound(&[Char('d')]), "the gloss is gone from the last coat"),
    looks(KeyGroup::Recording, BENCH, Message::TurnDirection, Bound(&[Char('o')]), "the other direction, for the next act"),
    records(KeyGroup::Recording, BENCH, Message::Extra, Bound(&[Char('e')]), "one more of the act last done"),
    looks(KeyGroup::Recording, BENCH, Message::Repeat, Bound(&[Char('r')]), "do the act last done again, and why"),
    looks(KeyGroup::Recording, BENCH, Message::Skip, Bound(&[Char('k')]), "leave the act at hand out, or end a cure, drying or rest"),
    records(KeyGroup::Recording, BENCH, Message::ToggleAway, Bound(&[Char('a')]), "away from the bench, or back"),
    looks(KeyGroup::Recording, BENCH, Message::NameMaker, Bound(&[Char('b')]), "who is at the brush from now on: it is recorded with each coat"),
    looks(KeyGroup::Recording, BENCH, Message::WriteNote, Bound(&[Char('w')]), "write a note"),
    looks(KeyGroup::Recording, BENCH, Message::EnterWeight, Bound(&[Char('g')]), "the panel's weight"),
    records(KeyGroup::Recording, BENCH, Message::Undo, Bound(&[Char('u')]), "take back what was recorded last"),
    looks(KeyGroup::Recording, BENCH, Message::GiveUp, Bound(&[Char('G')]), "give the panel up (asks twice)"),

    looks(KeyGroup::AfterPress, BENCH, Message::Left, Bound(&[Left]), "it happened a minute earlier, or later again"),
    looks(KeyGroup::AfterPress, BENCH, Message::Right, Bound(&[Right]), "it happened a minute earlier, or later again"),

    looks(KeyGroup::Check, MAP, Message::Up, Bound(&[Up]), "to an area"),
    looks(KeyGroup::Check, MAP, Message::Down, Bound(&[Down]), "to an area"),
    looks(KeyGroup::Check, MAP, Message::Left, Bound(&[Left]), "to an area"),
    looks(KeyGroup::Check, MAP, Message::Right, Bound(&[Right]), "to an area"),
    looks(KeyGroup::Check, MAP, Message::Advance, Bound(&[Char(' ')]), "none, some, much"),
    area(1, &[Char('1')]), area(2, &[Char('2')]), area(3, &[Char('3')]),
    area(4, &[Char('4')]), area(5, &[Char('5')]), area(6, &[Char('6')]),
    area(7, &[Char('7')]), area(8, &[Char('8')]), area(9, &[Char('9')]),
    records(KeyGroup::Check, MAP, Message::Accept, Bound(&[Enter]), "record the map"),
    records(KeyGroup::Check, MAP, Message::ClearMap, Bound(&[Char('w')]), "white all over: nothing stays grey"),

    looks(KeyGroup::Looking, BENCH, Message::NextPanel, Bound(&[Tab]), "the boards in the order of what is due"),
    looks(KeyGroup::Looking, BENCH, Message::PreviousPanel, Bound(&[BackTab]), "the boards in the order of what is due"),
    looks(KeyGroup::Looking, BENCH, Message::ShowQueue, Bound(&[Char('c')]), "what comes, over all boards and pots; choose one"),
    looks(KeyGroup::Looking, BENCH, Message::ShowPlan, Bound(&[Char('v')]), "the plan that is kept, by the day or by two weeks, and how far the boards are from it"),
    looks(KeyGroup::Looking, BENCH, Message::MovePlaceLeft, Bound(&[Char('<')]), "the board lies one place further left, or right"),
    looks(KeyGroup::Looking, BENCH, Message::MovePlaceRight, Bound(&[Char('>')]), "the board lies one place further left, or right"),
    looks(KeyGroup::Looking, BENCH, Message::ShowStory, Bound(&[Char('t')]), "the panel's story"),
    looks(KeyGroup::Looking, BENCH, Message::OpenSitting, Bound(&[Char('l')]), "look the finished panels over: one question across all of them, then the next"),
    looks(KeyGroup::Looking, BENCH, Message::ShowComparison, Bound(&[Char('y')]), "panels side by side: what was done differently, and what came of it"),
    looks(KeyGroup::Looking, BENCH, Message::ToggleDistanceMode, Bound(&[Char('f')]), "only what can be read from afar"),
    looks(KeyGroup::Looking, BENCH, Message::OpenForm, Bound(&[Char('+')]), "open another panel"),
    looks(KeyGroup::Looking, BENCH, Message::ShowKeys, Bound(&[Char('?')]), "this list"),
    looks(KeyGroup::Looking, ALL, Message::Suspend, Bound(&[Ctrl('z')]), "give the terminal back for a while"),
    // Esc closes whatever lies over the bench; one too many must not leave it.
    records(KeyGroup::Looking, BENCH, Message::Leave, Bound(&[Char('q')]), "leave"),

    records(KeyGroup::Pot, BENCH, Message::ToggleBath, Bound(&[Char('p')]), "the pot in use into the bath, or out of it"),
    looks(KeyGroup::Pot, BENCH, Message::ShowPots, Bound(&[Char('P')]), "the pots: which is in use, what happened to one, the making"),
    looks(KeyGroup::Pot, BENCH, Message::EnterAir, Bound(&[Char('h')]), "the air of the room: 20C 50%"),
    looks(KeyGroup::Pot, BENCH, Message::ShowAdvice, Bound(&[Char('i')]), "all that is to be known before this act, with sources"),
    looks(KeyGroup::Pot, BENCH, Message::DismissGap, Bound(&[Char('x')]), "put away what is said of a gap"),

    // Enter and Space only go on; what records is a letter with Shift.
    looks(KeyGroup::Sitting, SITTING, Message::Advance, Bound(&[Enter, Char(' ')]), "the next board; after the last, the next question"),
    looks(KeyGroup::Sitting, SITTING_TEXT, Message::Advance, Bound(&[Enter]), "the next board; after the last, the next question"),
    looks(KeyGroup::Sitting, WHOLE_SITTING, Message::Up, Bound(&[Up]), "boards and questions"),
    looks(KeyGroup::Sitting, WHOLE_SITTING, Message::Down, Bound(&[Down]), "boards and questions"),
    looks(KeyGroup::Sitting, SITTING, Message::Left, Bound(&[Left]), "boards and questions"),
    looks(KeyGroup::Sitting, SITTING, Message::Right, Bound(&[Right]), "boards and questions"),
    looks(KeyGroup::Sitting, WHOLE_SITTING, Message::NextPanel, Bound(&[Tab]), "boards and questions"),
    looks(KeyGroup::Sitting, SITTING, Message::TypeChar(' '), Typed("0-9 letters"), "answer; what is left alone was not looked at"),
    looks(KeyGroup::Sitting, SITTING, Message::DeleteForward, Bound(&[Delete]), "not looked at after all"),
    records(KeyGroup::Sitting, SITTING, Message::RecordSitting, Bound(&[Char('R'), Ctrl('s')]), "record a look for each board with an answer"),
    records(KeyGroup::Sitting, SITTING_TEXT, Message::RecordSitting, Bound(&[Ctrl('s')]), "record a look for each board with an answer"),
    records(KeyGroup::Sitting, SITTING, Message::Undo, Bound(&[Char('u')]), "take back what was just recorded of this board"),
    looks(KeyGroup::Sitting, SITTING, Message::ToggleOnlyDue, Bound(&[Char('d')]), "only those due, or all"),

    looks(KeyGroup::Alarm, ALL, Message::Other, Any, "quiets it, and does nothing else"),

    looks(KeyGroup::Answers, CRACKS, Message::AnswerCrackPlace(CrackPlace::Edge), Bound(&[Char('e')]), "a crack at an edge"),
    looks(KeyGroup::Answers, CRACKS, Message::AnswerCrackPlace(CrackPlace::Field), Bound(&[Char('f')]), "a crack in the field"),
    looks(KeyGroup::Answers, CRACKS, Message::AnswerCrackPlace(CrackPlace::Joint), Bound(&[Char('j')]), "a crack over a joint"),
    looks(KeyGroup::Answers, CRACKS, Message::AnswerCrackDirection(CrackDirection::Along), Bound(&[Char('a')]), "a crack along the grain"),
    looks(KeyGroup::Answers, CRACKS, Message::AnswerCrackDirection(CrackDirection::Across), Bound(&[Char('x')]), "a crack across the grain"),
    looks(KeyGroup::Answers, &[InputMode::SittingBow], Message::AnswerLastSpan, Bound(&[Char('s')]), "a bow over the span of last time"),
    looks(KeyGroup::Answers, &[InputMode::SittingVerdict], Message::AnswerSound, Bound(&[Char('s')]), "sound: no crack, no lifting, no mould"),
    looks(KeyGroup::Answers, SITTING, Message::DeleteBackward, Bound(&[Backspace]), "take the last part of the answer away"),
    looks(KeyGroup::Answers, WHOLE_SITTING, Message::PreviousPanel, Bound(&[BackTab]), "the question before"),
    looks(KeyGroup::Answers, WHOLE_SITTING, Message::PageUp, Bound(&[PageUp]), "ten boards up or down"),
    looks(KeyGroup::Answers, WHOLE_SITTING, Message::PageDown, Bound(&[PageDown]), "ten boards up or down"),
    looks(KeyGroup::Answers, SITTING, Message::Home, Bound(&[Home]), "the first board, the last"),
    looks(KeyGroup::Answers, SITTING, Message::End, Bound(&[End]), "the first board, the last"),
    records(KeyGroup::Answers, SITTING, Message::Leave, Bound(&[Esc, Char('q')]), "back; with answers that are not recorded it asks once"),

    records(KeyGroup::PotList, POTS, Message::Accept, Bound(&[Enter]), "this one is in use"),
    pot(PotCommand::ToggleBath, &[Char('p')], "bath in/out"),
    pot(PotCommand::Liquid, &[Char('l')], "liquid"),
    pot(PotCommand::Gelled, &[Char('j')], "a jelly"),
    pot(PotCommand::EnterTemp, &[Char('t')], "thermometer"),
    pot(PotCommand::EnterWeight, &[Char('g')], "weigh"),
    pot(PotCommand::EnterWater, &[Char('a')], "water added"),
    pot(PotCommand::Soak, &[Char('o')], "soak"),
    pot(PotCommand::Made, &[Char('r')], "made"),
    pot(PotCommand::Strained, &[Char('s')], "strained"),
    pot(PotCommand::WriteNote, &[Char('w')], "note"),
    pot(PotCommand::Undo, &[Char('u')], "take back"),
    pot(PotCommand::UsedUp, &[Char('z')], "used up"),
    pot(PotCommand::Discard, &[Char('D')], "thrown away"),
    looks(KeyGroup::PotList, POTS, Message::OpenForm, Bound(&[Char('+')]), "open one"),
    pot(PotCommand::StartMaking, &[Char('f')], "led making"),
    records(KeyGroup::PotList, POTS, Message::Leave, Bound(&[Esc, Char('q')]), "bench"),

    records(KeyGroup::Making, POTS, Message::RecordDone, Bound(&[Char(' '), PageDown]), "the step at hand is done"),
    looks(KeyGroup::Making, POTS, Message::Up, Bound(&[Up]), "the step or the pot before, the one after"),
    looks(KeyGroup::Making, POTS, Message::Down, Bound(&[Down]), "the step or the pot before, the one after"),
    looks(KeyGroup::Making, POTS, Message::Left, Bound(&[Left]), "the step or the pot before, the one after"),
    looks(KeyGroup::Making, POTS, Message::Right, Bound(&[Right]), "the step or the pot before, the one after"),
    looks(KeyGroup::Making, POTS, Message::ShowAdvice, Bound(&[Char('i')]), "where each line of the making comes from"),
    looks(KeyGroup::Making, POTS, Message::Home, Bound(&[Home]), "the first pot, the last"),
    looks(KeyGroup::Making, POTS, Message::End, Bound(&[End]), "the first pot, the last"),

    records(KeyGroup::Looking, PLAN, Message::Replan, Bound(&[Char('r')]), "in the plan: plan anew from now on, and keep it"),
    looks(KeyGroup::Looking, PLAN, Message::ToggleWeeks, Bound(&[Char('w'), Tab]), "in the plan: two weeks, or a day again"),
    looks(KeyGroup::Looking, PLAN, Message::Left, Bound(&[Left, PageUp]), "in the plan: before, after"),
    looks(KeyGroup::Looking, PLAN, Message::Right, Bound(&[Right, PageDown]), "in the plan: before, after"),
    looks(KeyGroup::Looking, PLAN, Message::Home, Bound(&[Home]), "in the plan: back to today"),
    looks(KeyGroup::Looking, PLAN, Message::Leave, Bound(&[Esc, Char('q')]), "in the plan: the bench again"),

    records(KeyGroup::Comparison, COMPARISON, Message::Accept, Bound(&[Enter]), "another like it"),
    looks(KeyGroup::Comparison, COMPARISON, Message::SetGrouping(GroupBy::Outcome), Bound(&[Char('o')]), "by outcome"),
    looks(KeyGroup::Comparison, COMPARISON, Message::SetGrouping(GroupBy::Recipe), Bound(&[Char('r')]), "by recipe"),
    looks(KeyGroup::Comparison, COMPARISON, Message::SetGrouping(GroupBy::Pot), Bound(&[Char('p')]), "by pot"),
    looks(KeyGroup::Comparison, COMPARISON, Message::SetGrouping(GroupBy::Support), Bound(&[Char('b')]), "by board"),
    looks(KeyGroup::Comparison, COMPARISON, Message::SetGrouping(GroupBy::Air), Bound(&[Char('a')]), "by air"),
    looks(KeyGroup::Comparison, COMPARISON, Message::ToggleFullText, Bound(&[Char('w')]), "all in words, or pictures"),
    looks(KeyGroup::Comparison, COMPARISON, Message::AskNextFault, Bound(&[Char('f')]), "ask about the next fault"),
    looks(KeyGroup::Comparison, COMPARISON, Message::ToggleChosen, Bound(&[Char(' ')]), "choose"),
    looks(KeyGroup::Comparison, COMPARISON, Message::ToggleOnlyChosen, Bound(&[Char('c')]), "only the chosen, or all again"),

    records(KeyGroup::Offer, OFFER, Message::Accept, Bound(&[Enter]), "keep it"),
    records(KeyGroup::Offer, OFFER, Message::TakeOffer, Bound(&[Char('t')]), "take the other"),
    records(KeyGroup::Offer, OFFER, Message::Leave, Bound(&[Esc, Char('q')]), "back to the form"),

    looks(KeyGroup::List, SCROLLED, Message::Up, Bound(&[Up]), "a line up or down"),
    looks(KeyGroup::List, SCROLLED, Message::Down, Bound(&[Down]), "a line up or down"),
    looks(KeyGroup::List, SCROLLED, Message::PageUp, Bound(&[PageUp]), "a page up or down"),
    looks(KeyGroup::List, SCROLLED, Message::PageDown, Bound(&[PageDown]), "a page up or down"),
    looks(KeyGroup::List, SCROLLED, Message::Home, Bound(&[Home]), "to the beginning, to the end"),
    looks(KeyGroup::List, SCROLLED, Message::End, Bound(&[End]), "to the beginning, to the end"),
    records(KeyGroup::List, LIST, Message::Accept, Bound(&[Enter]), "take what is chosen"),
    records(KeyGroup::List, LISTS, Message::Leave, Bound(&[Esc, Char('q')]), "back"),

    looks(KeyGroup::Typing, TYPING, Message::TypeChar(' '), Typed("characters"), "stand where the cursor is"),
    looks(KeyGroup::Typing, TYPING, Message::Left, Bound(&[Left]), "move the cursor, or change what can be chosen"),
    looks(KeyGroup::Typing, TYPING, Message::Right, Bound(&[Right]), "move the cursor, or change what can be chosen"),
    looks(KeyGroup::Typing, TYPING, Message::Home, Bound(&[Home]), "to the beginning, to the end"),
    looks(KeyGroup::Typing, TYPING, Message::End, Bound(&[End]), "to the beginning, to the end"),
    looks(KeyGroup::Typing, TYPING, Message::DeleteBackward, Bound(&[Backspace]), "remove a character"),
    looks(KeyGroup::Typing, TYPING, Message::DeleteForward, Bound(&[Delete]), "remove a character"),
    looks(KeyGroup::Typing, TYPING, Message::ClearText, Bound(&[Ctrl('u')]), "clear what stands there"),
    looks(KeyGroup::Typing, FORM, Message::Up, Bound(&[Up, BackTab]), "the field before"),
    looks(KeyGroup::Typing, FORM, Message::Down, Bound(&[Down, Tab]), "the field after"),
    looks(KeyGroup::Typing, FORM, Message::OpenSitting, Bound(&[F(2)]), "on an empty bench: look the finished panels over"),
    looks(KeyGroup::Sheet, SHEET, Message::Up, Bound(&[Up]), "a minute later, a minute earlier"),
    looks(KeyGroup::Sheet, SHEET, Message::Down, Bound(&[Down]), "a minute later, a minute earlier"),
    looks(KeyGroup::Sheet, SHEET, Message::PageUp, Bound(&[PageUp]), "ten minutes later, or earlier"),
    looks(KeyGroup::Sheet, SHEET, Message::PageDown, Bound(&[PageDown]), "ten minutes later, or earlier"),
    looks(KeyGroup::Sheet, SHEET, Message::TypeChar(' '), Typed("0-9"), "a time, as in 1402"),
    looks(KeyGroup::Sheet, SHEET, Message::Left, Bound(&[Left]), "the coat before, the coat after"),
    looks(KeyGroup::Sheet, SHEET, Message::Right, Bound(&[Right]), "the coat before, the coat after"),
    looks(KeyGroup::Sheet, SHEET, Message::NextPanel, Bound(&[Tab]), "the next board, the one before"),
    looks(KeyGroup::Sheet, SHEET, Message::PreviousPanel, Bound(&[BackTab]), "the next board, the one before"),
    looks(KeyGroup::Sheet, SHEET, Message::DeleteBackward, Bound(&[Backspace, Delete]), "not laid"),
    records(KeyGroup::Sheet, SHEET, Message::Accept, Bound(&[Enter]), "record all of it, or nothing"),
    records(KeyGroup::Sheet, SHEET, Message::Leave, Bound(&[Esc]), "back"),
    looks(KeyGroup::List, QUEUE, Message::Accept, Bound(&[Enter, Tab]), "show it"),
    looks(KeyGroup::List, QUEUE, Message::TypeChar(' '), Typed("letters"), "the first whose label begins so"),
    looks(KeyGroup::List, QUEUE, Message::DeleteBackward, Bound(&[Backspace]), "a letter less"),
    looks(KeyGroup::List, QUEUE, Message::Leave, Bound(&[Esc]), "back"),
    records(KeyGroup::Typing, LINES, Message::Accept, Bound(&[Enter]), "keep it"),
    records(KeyGroup::Typing, TYPING, Message::Leave, Bound(&[Esc]), "forget it"),

    looks(KeyGroup::Alternative, BENCH, Message::ShowKeys, Bound(&[F(1)]), "this list"),
    records(KeyGroup::Alternative, MAP, Message::Leave, Bound(&[Esc, Char('q')]), "leave the map; with areas marked it asks once"),
    looks(KeyGroup::Alternative, COMPARISON, Message::Accept, Bound(&[Char('n')]), "panels side by side: another like it"),
    records(KeyGroup::Alternative, ALL, Message::Leave, Bound(&[Ctrl('c')]), "leave whatever is shown"),
];
