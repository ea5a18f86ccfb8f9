//! A file of times typed afterwards, read line by line.
//!
//! ```text
//! # behind this is for people            A = wren            a short name for a panel
//! date 2026-03-14                        the day of the times below; without one, today
//! wren coat 3 14:05                      PANEL ACT TIME, the act as `mark` takes it, or what was done
//! times A B                              what follows are rows of a sheet, with a time for each of these
//! coat 3   == 14:05   || __:__           a row: what was done; blanks are left alone
//! ```

use crate::text::{find_nearest_word, parse_iso_day, parse_time, quote_word};
use crate::units::Stamp;
use crate::work::panel::event::StageKind;
use crate::work::plan::bench_sheet::StageName;
use chrono::{Local, NaiveDate};
use std::collections::BTreeMap;

/// What begins the line that names the columns of a sheet.
pub(super) const COLUMNS_WORD: &str = "times";
/// What begins the line of a day.
pub(super) const DATE_WORD: &str = "date";
/// A day not filled in.
pub(super) const BLANK_DATE: &str = "____-__-__";
/// A time not filled in.
pub(super) const BLANK_TIME: &str = "__:__";
/// The place of a time where a panel does not ask for the act.
pub(super) const NO_CELL: &str = ".";
/// How strokes along the width are drawn, and those along the height.
pub(super) const STROKES: (&str, &str) = ("==", "||");

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct LineProblem {
    /// Counted from 1.
    pub(super) line: usize,
    pub(super) message: String,
}

/// What is typed to have happened.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum TypedAct {
    /// A stage was done.
    Stage(StageName),
    /// The words of an act, as behind `mark PANEL`.
    Words(Vec<String>),
}

/// One fact that is typed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TypedFact {
    pub(super) line: usize,
    /// As it is named.
    pub(super) panel: String,
    pub(super) act: TypedAct,
    pub(super) at: Stamp,
    /// It stands in a row of a sheet, whose rows follow each other in time.
    pub(super) is_in_row: bool,
}

/// A file read.
#[derive(Debug, Default)]
pub(super) struct TypedFile {
    pub(super) facts: Vec<TypedFact>,
    pub(super) problems: Vec<LineProblem>,
    /// Some time has no day, and is taken for today's.
    pub(super) takes_today: bool,
}

/// The day of the times that follow.
#[derive(Clone, Copy)]
enum Day {
    Today,
    /// It was to be filled in, and was not.
    Blank,
    Date(NaiveDate),
}

/// Reads a file as it is typed; `panel` is the one all lines are of, if they name none. `acts` are the words of `mark`.
pub(super) fn read_typed_file(text: &str, panel: Option<&str>, acts: &[&str], now: Stamp) -> TypedFile {
    let mut reader = FileReader {
        panel,
        acts,
        now,
        day: Day::Today,
        short_names: BTreeMap::new(),
        columns: Vec::new(),
        read: TypedFile::default(),
    };
    for (number, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        if let Err(message) = reader.read_line(number + 1, line) {
            reader.read.problems.push(LineProblem { line: number + 1, message });
        }
    }
    reader.read
}

struct FileReader<'a> {
    panel: Option<&'a str>,
    acts: &'a [&'a str],
    now: Stamp,
    day: Day,
    short_names: BTreeMap<String, String>,
    columns: Vec<String>,
    read: TypedFile,
}

impl FileReader<'_> {
    fn read_line(&mut self, number: usize, line: &str) -> Result<(), String> {
        let words = split_words(line)?;
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        match words.as_slice() {
            [] => Ok(()),
            [DATE_WORD, day] if is_day_like(day) => self.read_day(day),
            [short, "=", id] => self.name_panel(short, id),
            [COLUMNS_WORD, columns @ ..] if !columns.is_empty() && self.panel.is_none() => self.begin_rows(columns),
            _ if !self.columns.is_empty() && StageKind::from_name(words[0]).is_some() => self.read_row(number, &words),
            _ => self.read_fact(number, &words),
        }
    }

    fn read_day(&mut self, day: &str) -> Result<(), String> {
        self.day = match parse_iso_day(day) {
            Some(date) => Day::Date(date),
            None if is_blank(day) => Day::Blank,
            None => {
                // What follows is told of once, here.
                self.day = Day::Today;
                return Err(format!("{} is no day; write it as in 2026-03-14", quote_word(day)));
            }
        };
        Ok(())
    }

    fn name_panel(&mut self, short: &str, id: &str) -> Result<(), String> {
        if let Some(panel) = self.panel {
            return Err(format!("this sheet names its own panels; leave {} out", quote_word(panel)));
        }
        self.short_names.insert(short.to_owned(), id.to_owned());
        Ok(())
    }

    fn begin_rows(&mut self, columns: &[&str]) -> Result<(), String> {
        self.columns = columns.iter().map(|column| self.full_name(column)).collect();
        self.day = Day::Today;
        Ok(())
    }

    fn full_name(&self, name: &str) -> String {
        self.short_names.get(name).map_or(name, String::as_str).to_owned()
    }

    fn read_row(&mut self, number: usize, words: &[&str]) -> Result<(), String> {
        let Some((name, taken)) = StageName::parse(words) else { return Ok(()) };
        let cells = words.iter().skip(taken).filter(|word| ![STROKES.0, STROKES.1].contains(*word));
        let cells: Vec<&str> = cells.copied().collect();
        if cells.len() != self.columns.len() {
            let (found, columns) = (cells.len(), self.columns.len());
            return Err(format!(
                "{name}: {found} times and blanks for {columns} panels; leave the others as {BLANK_TIME}"
            ));
        }
        let mut wrong = Vec::new();
        for (cell, panel) in cells.into_iter().zip(self.columns.clone()).filter(|(cell, _)| !is_blank(cell)) {
            match self.read_time(cell) {
                Ok(at) => {
                    let act = TypedAct::Stage(name);
                    self.read.facts.push(TypedFact { line: number, panel, act, at, is_in_row: true });
                }
                Err(message) => wrong.push(message),
            }
        }
        if wrong.is_empty() { Ok(()) } else { Err(wrong.join("; ")) }
    }

    fn read_fact(&mut self, number: usize, words: &[&str]) -> Result<(), String> {
        let (panel, words) = match (self.panel, words) {
            (Some(panel), words) => (panel.to_owned(), words),
            (None, [panel, words @ ..]) => (self.full_name(panel), words),
            (None, []) => return Ok(()),
        };
        let form = if self.panel.is_some() { "ACT TIME" } else { "PANEL ACT TIME" };
        // A day may stand before its hour.
        let time_words = match words {
            [.., day, hour] if parse_iso_day(day).is_some() && hour.contains(':') => 2,
            [.., _] => 1,
            [] => return Err(format!("an act and a time are missing; write {form}")),
        };
        let (act, time) = words.split_at(words.len() - time_words);
        let Some(first) = act.first() else { return Err(format!("an act or a time is missing; write {form}")) };
        let act = match StageName::parse(act) {
            _ if self.acts.contains(first) => TypedAct::Words(act.iter().map(|word| (*word).to_owned()).collect()),
            Some((name, taken)) if taken == act.len() => TypedAct::Stage(name),
            Some(_) | None => return Err(self.describe_unknown_act(act)),
        };
        let at = self.read_time(&time.join(" "))?;
        self.read.facts.push(TypedFact { line: number, panel, act, at, is_in_row: false });
        Ok(())
    }

    fn is_act(&self, words: &[&str]) -> bool {
        words.first().is_some_and(|first| self.acts.contains(first)) || StageName::parse(words).is_some()
    }

    fn describe_unknown_act(&self, act: &[&str]) -> String {
        if self.panel.is_some() && self.is_act(&act[1..]) {
            return format!("the panel stands in the command; leave {} out of the lines", quote_word(act[0]));
        }
        let stages = StageKind::ALL.into_iter().filter(|kind| !kind.ends_by_itself());
        let known = self.acts.iter().copied().chain(stages.map(|kind| kind.name() as &str));
        let words = quote_word(&act.join(" "));
        match find_nearest_word(act[0], known) {
            Some(nearest) if nearest != act[0] => format!("{words} is no act; {nearest} is the nearest"),
            Some(_) | None => format!("{words} is no act; write done, dull, or what was done: coat 3"),
        }
    }

    fn read_time(&mut self, text: &str) -> Result<Stamp, String> {
        if text.starts_with(['-', '−']) || text.eq_ignore_ascii_case("now") {
            return Err(format!(
                "{} would be another time when this is read again; write the hour: 14:05",
                quote_word(text)
            ));
        }
        let is_hour = text.contains(':') && text.len() <= "HH:MM:SS".len();
        let dated = match self.day {
            Day::Date(day) if is_hour => format!("{day} {text}"),
            Day::Blank if is_hour => {
                return Err(format!("{text} has no day; write it over {BLANK_DATE} above"));
            }
            Day::Today | Day::Blank | Day::Date(_) => {
                self.read.takes_today |= is_hour;
                text.to_owned()
            }
        };
        parse_time(&dated, self.now, &Local).map_err(|e| e.to_string())
    }
}

/// The words of a line, quoted ones whole; what is behind `#` is for people.
fn split_words(line: &str) -> Result<Vec<String>, String> {
    shell_words::split(line)
        .map_err(|_| "a quotation mark stands alone; write the words between two of them".to_owned())
}

fn is_day_like(word: &str) -> bool {
    is_blank(word) || word.starts_with(|c: char| c.is_ascii_digit() || c == '_') && !word.contains(':')
}

/// What is left as it was printed, or struck out.
fn is_blank(word: &str) -> bool {
    word.chars().all(|c| matches!(c, '_' | ':' | '-' | '.' | '—' | '–' | '·'))
}
