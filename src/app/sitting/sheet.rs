//! The sitting as a picture in words.

use super::{Board, Question, Sitting, State};
use crate::app::scene::KeyHint;
use crate::bench::Finished;
use crate::text::round_to;
use crate::units::Stamp;
use crate::work::advice::inspections::{Due, Growth, growth_over, told};
use crate::work::panel::inspection::Inspection;

/// At most so many earlier looks are told of one board.
const EARLIER: usize = 6;

/// How a board stands with the journals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sign {
    /// Nothing was answered, or nothing of it was recorded yet.
    Open,
    /// Something was answered to another question, and is not recorded.
    Answered,
    /// On its way to the disk.
    Saving,
    /// On disk.
    Recorded,
    /// Not recorded.
    Not,
}

impl Sign {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Sign::Open => "",
            Sign::Answered => "answered",
            Sign::Saving => "saving",
            Sign::Recorded => "recorded",
            Sign::Not => "NOT recorded",
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
    pub before: String,
    /// What is answered now; empty where it was not looked at.
    pub now: String,
    /// What the fault does since it was first measured: "growing".
    pub does: String,
    /// How it stands with the journals.
    pub sign: Sign,
    /// The cursor is on it.
    pub on: bool,
}

/// Words being typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// What stands there.
    pub value: String,
    /// Where the next character goes, in characters.
    pub cursor: usize,
}

/// The sitting.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SittingSheet {
    /// "Inspection: 3 due, 12 finished panels".
    pub title: String,
    /// The questions by a word each, in order.
    pub questions: Vec<String>,
    /// The one asked.
    pub question: usize,
    /// What is asked.
    pub asks: String,
    /// What can be typed.
    pub help: String,
    /// A row for each board.
    pub rows: Vec<SittingRow>,
    /// The row the cursor is on.
    pub at: usize,
    /// Words being typed for that row.
    pub field: Option<Field>,
    /// What is to be known of the board under the cursor: how the fault grew, what else was answered.
    pub about: Vec<String>,
    /// A question, or what went wrong; empty if nothing.
    pub problem: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

impl Sitting {
    /// The picture at that moment.
    pub fn sheet(&self, now: Stamp) -> SittingSheet {
        let question = self.question;
        let rows: Vec<SittingRow> =
            self.shown().iter().enumerate().map(|(i, b)| row(b, question, i == self.at, now)).collect();
        let here = self.here();
        let field = here.and_then(|b| b.answers.field(question)).map(|(value, cursor)| Field { value, cursor });
        let why = here.and_then(|b| match &b.state {
            State::Not(why) => Some(format!("{}: not recorded: {why}", b.panel.label)),
            State::Open | State::Saving | State::Recorded { .. } => None,
        });
        SittingSheet {
            title: self.title(),
            questions: Question::ALL.map(|q| q.name().to_owned()).to_vec(),
            question: question.place(),
            asks: question.asks().to_owned(),
            help: question.help().to_owned(),
            at: self.at,
            field,
            about: here.map_or_else(Vec::new, |b| about(b, question, now)),
            problem: if self.said.is_empty() { why.unwrap_or_default() } else { self.said.clone() },
            keys: self.keys(),
            rows,
        }
    }

    fn title(&self) -> String {
        let due = self.boards.iter().filter(|b| b.due.is_some_and(|d| d.now)).count();
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

    fn keys(&self) -> Vec<KeyHint> {
        let key = |key: &str, does: &str| KeyHint { key: key.to_owned(), does: does.to_owned() };
        let words = self.words();
        let record = if words { "Ctrl-S" } else { "R" };
        let mut keys = vec![key("Enter", "board"), key(record, "record"), key("Tab", "question")];
        if !words {
            keys.extend([key("Del", "not looked at"), key("d", if self.only_due { "all" } else { "due" })]);
        }
        if self.here().is_some_and(|b| matches!(b.state, State::Recorded { .. })) && !words {
            keys.push(key("u", "take back"));
        }
        keys.push(key("Esc", "back"));
        keys
    }
}

fn row(board: &Board, question: Question, on: bool, now: Stamp) -> SittingRow {
    let panel = &board.panel;
    let answered = board.answers.now(question);
    // What was just recorded stands where it was typed, and the look before it beside it.
    let (shown, earlier) = match &board.state {
        State::Recorded { from, .. } if answered.is_empty() => (from.now(question), 1),
        State::Open | State::Saving | State::Recorded { .. } | State::Not(_) => (answered.clone(), 0),
    };
    let mut before = panel.looks.iter().rev().skip(earlier);
    let last = before.find_map(|(at, seen)| Some((*at, question.said(seen)?)));
    let sign = match &board.state {
        State::Saving => Sign::Saving,
        State::Not(_) => Sign::Not,
        // The answer itself tells, where it is in sight.
        State::Open | State::Recorded { .. } if !answered.is_empty() => Sign::Open,
        State::Open | State::Recorded { .. } if board.answers.any() => Sign::Answered,
        State::Recorded { .. } => Sign::Recorded,
        State::Open => Sign::Open,
    };
    SittingRow {
        label: panel.label.clone(),
        look: look(panel.due(now)),
        before: last.map_or_else(String::new, |(at, said)| format!("day {}: {said}", panel.day(at))),
        now: shown,
        does: does(board, question, now),
        sign,
        on,
    }
}

fn look(due: Option<Due>) -> String {
    match due {
        Some(Due { day, now: true, .. }) => format!("day {day} due"),
        Some(Due { day, now: false, .. }) => format!("next day {day}"),
        None => String::new(),
    }
}

/// What was measured of that question, with what is answered now as the last look.
fn grown(board: &Board, question: Question, now: Stamp) -> Vec<Growth> {
    let seen = board.answers.seen().ok().flatten();
    let mut looks: Vec<(Stamp, &Inspection)> = board.panel.looks.iter().map(|(at, seen)| (*at, seen)).collect();
    looks.extend(seen.iter().map(|seen| (now, seen)));
    let mut grown = growth_over(&looks);
    grown.retain(|g| Some(g.of) == question.measured());
    grown
}

/// The worst of what its faults do.
fn does(board: &Board, question: Question, now: Stamp) -> String {
    let all: Vec<&str> = grown(board, question, now).iter().map(Growth::does).collect();
    let order = ["growing", "unchanged", "less than before"];
    order.into_iter().find(|word| all.contains(word)).unwrap_or_default().to_owned()
}

fn about(board: &Board, question: Question, now: Stamp) -> Vec<String> {
    let panel = &board.panel;
    let mut about: Vec<String> = grown(board, question, now).iter().map(|g| series(panel, g, now)).collect();
    if about.is_empty() {
        about.extend(earlier(panel, question));
    }
    match board.answers.seen() {
        Ok(Some(seen)) => about.push(format!("so far: {}", words(&seen))),
        Ok(None) => {}
        Err(why) => about.push(why),
    }
    if matches!(board.state, State::Recorded { .. }) {
        about.extend(panel.looks.last().map(|(_, seen)| format!("recorded: {}", words(seen))));
    }
    about
}

fn words(seen: &Inspection) -> String {
    let told = told(seen);
    told.strip_prefix("inspected: ").map_or(told.clone(), str::to_owned)
}

/// "crack at an edge, along the grain, growing: day 3 0, day 14 1, now 2".
fn series(panel: &Finished, g: &Growth, now: Stamp) -> String {
    let one = |(at, much): &(Stamp, f64)| {
        let day = if *at == now { "now".to_owned() } else { format!("day {}", panel.day(*at)) };
        format!("{day} {}", round_to(*much, 2))
    };
    let from = g.seen.len().saturating_sub(EARLIER);
    let seen: Vec<String> = g.seen.iter().skip(from).map(one).collect();
    let unit = if g.unit.is_empty() { String::new() } else { format!(" ({})", g.unit) };
    format!("{}{unit}, {}: {}", g.fault, g.does(), seen.join(", "))
}

/// What the looks before said, the newest last; none where nobody ever looked.
fn earlier(panel: &Finished, question: Question) -> Option<String> {
    let said =
        panel.looks.iter().filter_map(|(at, seen)| Some(format!("day {} {}", panel.day(*at), question.said(seen)?)));
    let said: Vec<String> = said.collect();
    let from = said.len().saturating_sub(EARLIER);
    (!said.is_empty()).then(|| format!("before: {}", said.get(from..).unwrap_or_default().join(", ")))
}
