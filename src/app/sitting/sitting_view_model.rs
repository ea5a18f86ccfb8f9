//! The sitting as plain data.

use super::{BoardState, InspectionQuestion, SittingBoard, SittingModel};
use crate::app::keymap::{KeyHint, Keymap};
use crate::app::message::{InputMode, Message};
use crate::bench::FinishedPanel;
use crate::text::{UnitSystem, format_fine_length, format_number};
use crate::units::{Length, Stamp};
use crate::work::advice::inspections::{
    DueInspection, FaultGrowth, FaultMeasure, fault_growth_over, format_inspection,
};
use crate::work::advice::test_map::{draw_test_map, place_tests, test_number};
use crate::work::panel::inspection::Inspection;

/// At most so many earlier looks are told of one board.
const MAX_EARLIER_ANSWERS: usize = 6;

/// How a board stands with the journals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SittingRowStatus {
    /// Nothing was answered, or nothing of it was recorded yet.
    Open,
    /// Something was answered to another question, and is not recorded.
    Answered,
    /// On its way to the disk.
    Saving,
    /// On disk.
    Recorded,
    /// Not recorded.
    Failed,
}

impl SittingRowStatus {
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            SittingRowStatus::Open => "",
            SittingRowStatus::Answered => "answered",
            SittingRowStatus::Saving => "saving",
            SittingRowStatus::Recorded => "recorded",
            SittingRowStatus::Failed => "NOT recorded",
        }
    }
}

/// One board and one question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SittingRow {
    /// What the maker calls it.
    pub label: String,
    /// Which look this is: "day 28 due", "next day 90".
    pub look: String,
    /// What was said last time, and on which day: "day 14: edge 1 along".
    pub previous_answer: String,
    /// What is answered now; empty where it was not looked at.
    pub answer: String,
    /// What the fault does since it was first measured: "growing".
    pub trend: String,
    /// How it stands with the journals.
    pub status: SittingRowStatus,
    /// The cursor is on it.
    pub is_current: bool,
}

/// Words being typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SittingTextField {
    /// What stands there.
    pub value: String,
    /// Where the next character goes, in characters.
    pub cursor: usize,
}

/// The sitting.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SittingViewModel {
    /// "Inspection: 3 due, 12 finished panels".
    pub title: String,
    /// The questions by a word each, in order.
    pub questions: Vec<String>,
    /// The one asked.
    pub question_index: usize,
    /// What is asked.
    pub prompt: String,
    /// What can be typed.
    pub help: String,
    /// A row for each board.
    pub rows: Vec<SittingRow>,
    /// The row the cursor is on.
    pub cursor: usize,
    /// Words being typed for that row.
    pub text_field: Option<SittingTextField>,
    /// What is to be known of the board under the cursor: how the fault grew, what else was answered.
    pub board_notes: Vec<String>,
    /// Where on the board under the cursor the test goes that is asked for, drawn; empty where none is.
    pub test_map: Vec<String>,
    /// A question, or what went wrong; empty if nothing.
    pub alert: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

impl SittingModel {
    /// The view model at that moment.
    pub fn build_view_model(&self, keymap: &Keymap, now: Stamp, units: UnitSystem) -> SittingViewModel {
        let question = self.question;
        let rows: Vec<SittingRow> = self
            .shown_boards()
            .iter()
            .enumerate()
            .map(|(i, b)| build_row(b, question, i == self.cursor, (now, units)))
            .collect();
        let asked = self.asked_questions();
        let here = self.board_at_cursor();
        let field =
            here.and_then(|b| b.answers.text_field(question)).map(|(value, cursor)| SittingTextField { value, cursor });
        let why = here.and_then(|b| match &b.state {
            BoardState::Failed(reason) => Some(format!("{}: not recorded: {reason}", b.panel.label)),
            BoardState::Open | BoardState::Saving | BoardState::Recorded { .. } => None,
        });
        SittingViewModel {
            title: self.format_title(),
            questions: asked.iter().map(|q| q.name().to_owned()).collect(),
            question_index: asked.iter().position(|q| *q == question).unwrap_or(0),
            prompt: question.prompt().to_owned(),
            help: question.help(keymap),
            cursor: self.cursor,
            text_field: field,
            board_notes: here.map_or_else(Vec::new, |b| build_board_notes(b, question, (now, units))),
            test_map: here.map_or_else(Vec::new, |b| build_test_map(b, question)),
            alert: if self.message.is_empty() { why.unwrap_or_default() } else { self.message.clone() },
            keys: self.build_key_hints(keymap),
            rows,
        }
    }

    fn format_title(&self) -> String {
        let due = self.boards.iter().filter(|b| b.due.is_some_and(|d| d.is_due)).count();
        let panels = match self.boards.len() {
            0 => return "Inspection: no panel is finished yet".to_owned(),
            1 => "1 finished panel".to_owned(),
            n => format!("{n} finished panels"),
        };
        let shown = if self.only_due { ", the due ones shown" } else { "" };
        let left_out = match self.left_out {
            0 => String::new(),
            n => format!("; {n} older ones are not here, `sottile inspect` takes them"),
        };
        format!("Inspection: {due} due, {panels}{shown}{left_out}")
    }

    fn build_key_hints(&self, keymap: &Keymap) -> Vec<KeyHint> {
        let mode = self.input_mode();
        let key = |message, words| keymap.hint_as(mode, &[message], words);
        let words = mode == InputMode::SittingText;
        let mut keys = vec![
            key(Message::Advance, "board"),
            key(Message::RecordSitting, "record"),
            key(Message::NextPanel, "question"),
        ];
        if !words {
            let due = if self.only_due { "all" } else { "due" };
            keys.extend([key(Message::DeleteForward, "not looked at"), key(Message::ToggleOnlyDue, due)]);
        }
        if self.board_at_cursor().is_some_and(|b| matches!(b.state, BoardState::Recorded { .. })) && !words {
            keys.push(key(Message::Undo, "take back"));
        }
        keys.push(key(Message::Leave, "back"));
        keys
    }
}

/// So wide the map of a board is drawn, characters.
const MAP_COLUMNS: usize = 44;

fn build_test_map(board: &SittingBoard, question: InspectionQuestion) -> Vec<String> {
    let InspectionQuestion::Test(test) = question else { return Vec::new() };
    let size = board.panel.size;
    if !place_tests(size).iter().any(|place| place.test == test) {
        return Vec::new();
    }
    let mut lines = draw_test_map(size, MAP_COLUMNS);
    lines.push(format!("Here it goes to {}; the lower numbers come before it.", test_number(test)));
    lines
}

fn build_row(
    board: &SittingBoard,
    question: InspectionQuestion,
    on: bool,
    (now, units): (Stamp, UnitSystem),
) -> SittingRow {
    let panel = &board.panel;
    let answered = board.answers.answer_text(question);
    // What was just recorded stands where it was typed, and the look before it beside it.
    let (shown, earlier) = match &board.state {
        BoardState::Recorded { from, .. } if answered.is_empty() => (from.answer_text(question), 1),
        BoardState::Open | BoardState::Saving | BoardState::Recorded { .. } | BoardState::Failed(_) => {
            (answered.clone(), 0)
        }
    };
    // Of a board that is looked at blind nothing is told that was seen before.
    let told = if panel.trial.is_some() { &[][..] } else { panel.inspections.as_slice() };
    let mut before = told.iter().rev().skip(earlier);
    let last = before.find_map(|(at, seen)| Some((*at, question.format_answer(seen, units)?)));
    let sign = match &board.state {
        BoardState::Saving => SittingRowStatus::Saving,
        BoardState::Failed(_) => SittingRowStatus::Failed,
        // The answer itself tells, where it is in sight.
        BoardState::Open | BoardState::Recorded { .. } if !answered.is_empty() => SittingRowStatus::Open,
        BoardState::Open | BoardState::Recorded { .. } if board.answers.has_answers() => SittingRowStatus::Answered,
        BoardState::Recorded { .. } => SittingRowStatus::Recorded,
        BoardState::Open => SittingRowStatus::Open,
    };
    SittingRow {
        label: panel.label.clone(),
        look: format_due_look(panel.inspection_due(now)),
        previous_answer: last
            .map_or_else(String::new, |(at, message)| format!("day {}: {message}", panel.days_since_finish(at))),
        answer: shown,
        trend: find_worst_trend(board, question, now),
        status: sign,
        is_current: on,
    }
}

fn format_due_look(due: Option<DueInspection>) -> String {
    match due {
        Some(DueInspection { day, is_due: true, .. }) => format!("day {day} due"),
        Some(DueInspection { day, is_due: false, .. }) => format!("next day {day}"),
        None => String::new(),
    }
}

/// What was measured of that question, with what is answered now as the last look.
fn find_growth(board: &SittingBoard, question: InspectionQuestion, now: Stamp) -> Vec<FaultGrowth> {
    if board.panel.trial.is_some() {
        return Vec::new();
    }
    let seen = board.answers.to_inspection().ok().flatten();
    let mut looks: Vec<(Stamp, &Inspection)> = board.panel.inspections.iter().map(|(at, seen)| (*at, seen)).collect();
    looks.extend(seen.iter().map(|seen| (now, seen)));
    let mut grown = fault_growth_over(&looks);
    grown.retain(|g| Some(g.measure) == question.measured());
    grown
}

/// The worst of what its faults do.
fn find_worst_trend(board: &SittingBoard, question: InspectionQuestion, now: Stamp) -> String {
    let all: Vec<&str> = find_growth(board, question, now).iter().map(FaultGrowth::trend).collect();
    let order = ["growing", "less than last time, look again", "unchanged", "less than before"];
    order.into_iter().find(|word| all.contains(word)).unwrap_or_default().to_owned()
}

fn build_board_notes(
    board: &SittingBoard,
    question: InspectionQuestion,
    (now, units): (Stamp, UnitSystem),
) -> Vec<String> {
    let panel = &board.panel;
    let mut about: Vec<String> =
        find_growth(board, question, now).iter().map(|g| format_growth(panel, g, (now, units))).collect();
    if panel.trial.is_some() {
        about.push(format_blind(panel));
    } else if about.is_empty() {
        about.extend(format_earlier_answers(panel, question, units));
    }
    match board.answers.to_inspection() {
        Ok(Some(seen)) => about.push(format!("so far: {}", format_previous_look(&seen, units))),
        Ok(None) => {}
        Err(reason) => about.push(reason),
    }
    if matches!(board.state, BoardState::Recorded { .. }) {
        about.extend(
            panel.inspections.last().map(|(_, seen)| format!("recorded: {}", format_previous_look(seen, units))),
        );
    }
    about
}

/// That nothing is told, and what is seen all the same.
fn format_blind(panel: &FinishedPanel) -> String {
    let mut told = "Looked at blind: how it was laid, and what was seen before, is not shown.".to_owned();
    for why in &panel.seen_anyway {
        told += &format!(" Not quite blind: {why}.");
    }
    told
}

fn format_previous_look(seen: &Inspection, units: UnitSystem) -> String {
    let told = format_inspection(seen, units);
    told.strip_prefix("inspected: ").map_or(told.clone(), str::to_owned)
}

/// "crack at an edge, along the grain, growing: day 3 0, day 14 1, now 2".
fn format_growth(panel: &FinishedPanel, g: &FaultGrowth, (now, units): (Stamp, UnitSystem)) -> String {
    let one = |(at, much): &(Stamp, f64)| {
        let day = if *at == now { "now".to_owned() } else { format!("day {}", panel.days_since_finish(*at)) };
        let much = match (g.measure, units) {
            (FaultMeasure::Lift, UnitSystem::Imperial) => format_fine_length(Length::from_mm(*much), 2, units),
            (FaultMeasure::Lift | FaultMeasure::Cracks | FaultMeasure::Pinholes | FaultMeasure::Bow, _) => {
                format_number(*much, 2)
            }
        };
        format!("{day} {much}")
    };
    let from = g.measurements.len().saturating_sub(MAX_EARLIER_ANSWERS);
    let seen: Vec<String> = g.measurements.iter().skip(from).map(one).collect();
    let has_own_unit = g.measure == FaultMeasure::Lift && units == UnitSystem::Imperial;
    let unit = if g.unit.is_empty() || has_own_unit { String::new() } else { format!(" ({})", g.unit) };
    format!("{}{unit}, {}: {}", g.fault, g.trend(), seen.join(", "))
}

/// What the looks before said, the newest last; none where nobody ever looked.
fn format_earlier_answers(panel: &FinishedPanel, question: InspectionQuestion, units: UnitSystem) -> Option<String> {
    let said = panel.inspections.iter().filter_map(|(at, seen)| {
        Some(format!("day {} {}", panel.days_since_finish(*at), question.format_answer(seen, units)?))
    });
    let messages: Vec<String> = said.collect();
    let from = messages.len().saturating_sub(MAX_EARLIER_ANSWERS);
    (!messages.is_empty()).then(|| format!("before: {}", messages.get(from..).unwrap_or_default().join(", ")))
}
