//! A logger's file of air readings: text in, readings and every bad line out.
//!
//! Columns `time,temp_c,rh_pct`, or in the order a heading says and beside others; lines in any order of time; divided
//! by comma, semicolon or tab; with a decimal comma where the comma does not divide. Each line stands for itself, so
//! that one bad line never costs another.

use super::{AirError, AirReading};
use crate::text::format_count;
use crate::units::{Humidity, Span, Stamp, Temperature};
use crate::work::story::AHEAD_MAX;
use chrono::{DateTime, NaiveDateTime, TimeZone};
use std::collections::HashSet;
use std::fmt;

/// What a logger's file says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LoggerReadings {
    /// The good lines, by time.
    pub readings: Vec<AirReading>,
    /// The bad ones, each with its number from 1.
    pub bad_lines: Vec<BadLine>,
    /// Lines whose local time came twice, since the clocks were put back, each with its number from 1.
    pub twice: Vec<usize>,
}

/// A line that is no reading.
#[derive(Debug, Clone, PartialEq)]
pub struct BadLine {
    /// Its number, from 1.
    pub line: usize,
    /// What is wrong with it.
    pub error: LoggerLineError,
}

impl fmt::Display for BadLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.error)
    }
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq)]
pub enum LoggerLineError {
    /// Not as many columns as the heading has, or without one not three.
    ColumnCount {
        /// How many there are.
        found: usize,
        /// How many it takes.
        needed: usize,
    },
    /// More columns than it should have, divided by commas: decimal commas, likely.
    DecimalComma,
    /// No time.
    InvalidTime(String),
    /// A local time that the clocks skipped.
    SkippedTime(String),
    /// A time that has not come yet: the logger's clock or its zone is wrong, likely.
    TooFarAhead {
        /// How far it lies ahead.
        by: Span,
    },
    /// No number for the temperature.
    InvalidTemperature(String),
    /// No number for the humidity.
    InvalidHumidity(String),
    /// No air of a workroom.
    OutOfRange(AirError),
    /// The time of an earlier line, with other figures.
    ConflictingReading {
        /// The earlier line.
        line: usize,
    },
}

impl fmt::Display for LoggerLineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LoggerLineError::ColumnCount { found, needed: 3 } => {
                write!(f, "{}, and it takes 3: time, temp_c, rh_pct", format_count(*found, "column"))
            }
            LoggerLineError::ColumnCount { found, needed } => {
                write!(f, "{}, and the heading has {needed}", format_count(*found, "column"))
            }
            LoggerLineError::DecimalComma => {
                f.write_str("too many commas; with decimal commas divide the columns by \";\"")
            }
            LoggerLineError::InvalidTime(text) => write!(f, "\"{text}\" is no time; write it as 2026-11-25 14:05"),
            LoggerLineError::SkippedTime(text) => write!(f, "\"{text}\" did not exist: the clocks were put forward"),
            LoggerLineError::TooFarAhead { by } => {
                write!(f, "that lies {:.0} min ahead; look at the clock of the logger and its zone", by.minutes())
            }
            LoggerLineError::InvalidTemperature(text) => write!(f, "\"{text}\" is no temperature in C"),
            LoggerLineError::InvalidHumidity(text) => write!(f, "\"{text}\" is no relative humidity in %"),
            LoggerLineError::OutOfRange(not) => not.fmt(f),
            LoggerLineError::ConflictingReading { line } => {
                write!(f, "the time of line {line} again, with other figures")
            }
        }
    }
}

/// Which column holds what, and how many there are.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LoggerColumns {
    time: usize,
    temp: usize,
    rh: usize,
    count: usize,
}

const DEFAULT_COLUMNS: LoggerColumns = LoggerColumns { time: 0, temp: 1, rh: 2, count: 3 };

/// Reads a logger's file at `now`. Times without an offset are of that zone; one that came twice when the clocks were put
/// back is the first, or the second where it stands in the file for the second time.
pub fn parse_logger_file(text: &str, zone: &impl TimeZone, now: Stamp) -> LoggerReadings {
    let text = text.trim_start_matches('\u{feff}');
    let lines = text.lines().enumerate().map(|(i, line)| (i + 1, line.trim())).filter(|(_, line)| !line.is_empty());
    let mut logged = LoggerReadings::default();
    let mut columns = DEFAULT_COLUMNS;
    let mut taken: Vec<(usize, AirReading)> = Vec::new();
    let mut firsts = HashSet::new();
    for (line, written) in lines {
        let (divider, cells) = split_cells(written);
        if let Some(named) = parse_heading(&cells).filter(|_| taken.is_empty()) {
            columns = named;
            continue;
        }
        let reading = parse_reading(&cells, divider, columns, zone).map(|(first, second)| {
            let Some(second) = second else { return first };
            logged.twice.push(line);
            if firsts.insert(first.at) { first } else { AirReading { at: second, ..first } }
        });
        match reading.and_then(|r| {
            if r.at - now > AHEAD_MAX { Err(LoggerLineError::TooFarAhead { by: r.at - now }) } else { Ok(r) }
        }) {
            Ok(reading) => taken.push((line, reading)),
            Err(fault) => logged.bad_lines.push(BadLine { line, error: fault }),
        }
    }
    taken.sort_by_key(|(line, r)| (r.at, *line));
    let mut first_line = 0;
    for (line, reading) in taken {
        // The same time again is kept out, and told where it says something else.
        match logged.readings.last().filter(|last| last.at == reading.at) {
            None => {
                first_line = line;
                logged.readings.push(reading);
            }
            Some(same) if *same == reading => {}
            Some(_) => {
                logged.bad_lines.push(BadLine { line, error: LoggerLineError::ConflictingReading { line: first_line } })
            }
        }
    }
    logged.bad_lines.sort_by_key(|b| b.line);
    logged
}

/// The cells of a line, and what divides them: a semicolon or a tab wherever there is one, else commas. A cell may stand
/// in double quotes, and what divides has no meaning there.
fn split_cells(line: &str) -> (char, Vec<String>) {
    let divider = [';', '\t'].into_iter().find(|d| line.contains(*d)).unwrap_or(',');
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        if c == '"' {
            quoted = !quoted;
        } else if c == divider && !quoted {
            cells.push(String::new());
        } else if let Some(cell) = cells.last_mut() {
            cell.push(c);
        }
    }
    (divider, cells.iter().map(|cell| cell.trim().to_owned()).collect())
}

/// The columns a heading names; none if the line is no heading.
fn parse_heading(cells: &[String]) -> Option<LoggerColumns> {
    let find =
        |words: &[&str]| cells.iter().position(|cell| words.iter().any(|word| cell.to_lowercase().starts_with(word)));
    Some(LoggerColumns {
        time: find(&["time", "date"])?,
        temp: find(&["temp"])?,
        rh: find(&["rh", "hum", "rel"])?,
        // An empty last column is no column.
        count: 1 + cells.iter().rposition(|cell| !cell.is_empty())?,
    })
}

fn parse_reading(
    cells: &[String],
    divider: char,
    columns: LoggerColumns,
    zone: &impl TimeZone,
) -> Result<(AirReading, Option<Stamp>), LoggerLineError> {
    // A line has as many cells as its heading, or a figure with a decimal comma would be taken for two.
    let (found, needed) = (cells.len(), columns.count);
    let further = cells.get(needed..).is_some_and(|more| more.iter().any(|cell| !cell.is_empty()));
    if divider == ',' && further && found > needed + 1 {
        return Err(LoggerLineError::DecimalComma);
    }
    if found < needed || further {
        return Err(LoggerLineError::ColumnCount { found, needed });
    }
    let (temp, rh) = (&cells[columns.temp], &cells[columns.rh]);
    let (at, second) = parse_time(&cells[columns.time], zone)?;
    let temp = parse_number(temp).ok_or_else(|| LoggerLineError::InvalidTemperature(temp.clone()))?;
    let rh = parse_number(rh).ok_or_else(|| LoggerLineError::InvalidHumidity(rh.clone()))?;
    let reading = AirReading::new(at, Temperature::from_c(temp), Humidity::from_pct(rh));
    Ok((reading.map_err(LoggerLineError::OutOfRange)?, second))
}

/// A plain number, with a decimal point or a decimal comma.
fn parse_number(text: &str) -> Option<f64> {
    let plain = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'));
    text.replacen(',', ".", 1).parse().ok().filter(|_| plain)
}

/// RFC 3339, or a local time: year, month, day with dashes, or day, month, year with points. Days and months divided by
/// slashes are not read, since nobody can tell which is which. With it the second time it came, where it came twice.
fn parse_time(text: &str, zone: &impl TimeZone) -> Result<(Stamp, Option<Stamp>), LoggerLineError> {
    const LOCAL: [&str; 6] = [
        "%Y-%m-%d %H:%M:%S%.f",
        "%Y-%m-%d %H:%M",
        "%Y-%m-%dT%H:%M:%S%.f",
        "%Y-%m-%dT%H:%M",
        "%d.%m.%Y %H:%M:%S%.f",
        "%d.%m.%Y %H:%M",
    ];
    if let Ok(at) = DateTime::parse_from_rfc3339(text) {
        return Ok((Stamp::from_ms(at.timestamp_millis()), None));
    }
    let local = LOCAL.iter().find_map(|form| NaiveDateTime::parse_from_str(text, form).ok());
    let local = local.ok_or_else(|| LoggerLineError::InvalidTime(text.to_owned()))?;
    let found = zone.from_local_datetime(&local).map(|at| Stamp::from_ms(at.timestamp_millis()));
    let first = found.earliest().ok_or_else(|| LoggerLineError::SkippedTime(text.to_owned()))?;
    Ok((first, found.latest().filter(|second| *second != first)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::FixedOffset;
    use proptest::prelude::*;

    /// The good lines as `minutes past noon UTC, C, %`, then the bad ones as they are told. The zone is an hour ahead.
    fn told(text: &str) -> (Vec<(f64, f64, f64)>, Vec<String>) {
        let noon = DateTime::parse_from_rfc3339("2026-03-01T12:00:00Z").unwrap().timestamp_millis();
        let logged = parse_logger_file(text, &FixedOffset::east_opt(3600).unwrap(), Stamp::from_ms(noon + 3_600_000));
        let good = logged.readings.iter();
        let good = good.map(|r| ((r.at.ms() - noon) as f64 / 60_000.0, r.temp.c(), r.rh.pct())).collect();
        (good, logged.bad_lines.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn every_shape_of_a_loggers_file() {
        let expected = vec![(0.0, 20.5, 50.0), (10.0, 21.0, 51.5)];
        for text in [
            "time,temp_c,rh_pct\n2026-03-01T12:00:00Z,20.5,50\n2026-03-01T12:10:00Z,21,51.5\n",
            "2026-03-01T13:10:00+01:00,21.0,51.5\n\n2026-03-01 13:00,20.5,50.0",
            "\u{feff}time;temp_c;rh_pct\r\n2026-03-01 13:00:00;20,5;50,0\r\n01.03.2026 13:10;21,0;51,5\r\n",
            "Rel. humidity\tDate/Time\tTemperature C\n50\t2026-03-01T13:00\t20,5\n51,5\t2026-03-01T13:10:00.0\t21\n",
            "\"2026-03-01 13:00\",\"20,5\",\"50,0\"\n\"2026-03-01 13:10\",\"21,0\",\"51,5\"",
            "time,temp_c,rh_pct,battery\n2026-03-01 13:00,20.5,50,93\n2026-03-01 13:10,21,51.5,\n",
            "no,rh_pct,temp_c,battery,time,\n1,50,20.5,3.1,2026-03-01 13:00,\n2,51.5,21,3.1,2026-03-01 13:10\n",
            // The same line twice is one reading; an empty last column is no column.
            "2026-03-01 13:00,20.5,50,\n2026-03-01 13:10,21,51.5\n2026-03-01 13:00,20.5,50\n",
        ] {
            assert_eq!(told(text), (expected.clone(), vec![]), "{text:?}");
        }
        // Two minutes ahead is no more than two clocks can be apart.
        assert_eq!(told("2026-03-01T13:02:00Z,20,50").0.len(), 1);
        // What a logger writes above its heading is told, and the heading below it still counts.
        let (good, bad) = told("Logger 7\nrh_pct,time,temp_c\n50,2026-03-01 13:00,20.5\n");
        assert_eq!((good, bad.len()), (vec![(0.0, 20.5, 50.0)], 1));
        assert_eq!(told(""), (vec![], vec![]));
        assert_eq!(told("time,temp_c,rh_pct"), (vec![], vec![]));
    }

    #[test]
    fn an_hour_that_came_twice_is_told_and_taken_in_its_order() {
        let noon = DateTime::parse_from_rfc3339("2026-10-25T12:00:00Z").unwrap().timestamp_millis();
        let file = "2026-10-25 00:30,20,50\n2026-10-25 01:30,20,51\n2026-10-25 01:30,20,52\n2026-10-25 02:30,20,53\n\
                    2026-10-25T01:30:00+01:00,20,51\n";
        let logged = parse_logger_file(file, &chrono_tz::Europe::London, Stamp::from_ms(noon));
        let read: Vec<(f64, f64)> =
            logged.readings.iter().map(|r| ((noon - r.at.ms()) as f64 / 3_600_000.0, r.rh.pct())).collect();
        // Summer time ended at 01:00 UTC; with its offset a time is in no doubt.
        assert_eq!(read, [(12.5, 50.0), (11.5, 51.0), (10.5, 52.0), (9.5, 53.0)]);
        assert_eq!((logged.twice, logged.bad_lines), (vec![2, 3], vec![]));
    }

    #[test]
    fn every_bad_line_is_told_and_costs_no_other() {
        for (line, fault) in [
            ("2026-03-01 13:05,20", "2 columns, and it takes 3: time, temp_c, rh_pct"),
            ("2026-03-01 13:05,20,5,50,1", "too many commas; with decimal commas divide the columns by \";\""),
            ("2026-03-01 13:05,20,50,7", "4 columns, and it takes 3: time, temp_c, rh_pct"),
            ("yesterday,20,50", "\"yesterday\" is no time; write it as 2026-11-25 14:05"),
            ("03/01/2026 13:05,20,50", "\"03/01/2026 13:05\" is no time; write it as 2026-11-25 14:05"),
            ("2026-03-01 13:05,warm,50", "\"warm\" is no temperature in C"),
            ("2026-03-01 13:05,20,", "\"\" is no relative humidity in %"),
            ("2026-03-01 13:05,20,nan", "\"nan\" is no relative humidity in %"),
            ("2026-03-01 13:05,120,50", "120 C is no air of a workroom; it lies between -40 and 60 C"),
            ("2026-03-01 13:05,20,101", "101 % is no relative humidity; it lies between 0 and 100 %"),
            ("2026-03-01 13:00,20.6,50", "the time of line 2 again, with other figures"),
            ("\"2026-03-01 13:05,20,50", "1 column, and it takes 3: time, temp_c, rh_pct"),
            ("2026-03-01T13:02:01Z,20,50", "that lies 2 min ahead; look at the clock of the logger and its zone"),
            ("time,temp_c,rh_pct", "\"time\" is no time; write it as 2026-11-25 14:05"),
        ] {
            let text = format!("time,temp_c,rh_pct\n2026-03-01 13:00,20.5,50\n{line}\n2026-03-01 13:10,21,51.5\n");
            let good = vec![(0.0, 20.5, 50.0), (10.0, 21.0, 51.5)];
            assert_eq!(told(&text), (good, vec![format!("line 3: {fault}")]), "{line}");
        }
    }

    #[test]
    fn every_line_has_the_columns_of_its_heading() {
        for (heading, line, fault) in [
            ("time,rh_pct,temp_c", "50,5,20,5", "too many commas; with decimal commas divide the columns by \";\""),
            ("time,rh_pct,temp_c", "50,20,93", "4 columns, and it takes 3: time, temp_c, rh_pct"),
            (
                "time,temp_c,rh_pct,battery",
                "20,5,50,5,93",
                "too many commas; with decimal commas divide the columns by \";\"",
            ),
            ("time,temp_c,rh_pct,battery", "20,5,50,93", "5 columns, and the heading has 4"),
            ("time,temp_c,rh_pct,battery,signal", "20,5,50", "4 columns, and the heading has 5"),
            ("time,temp_c,rh_pct,battery", "20,50", "3 columns, and the heading has 4"),
        ] {
            let got = told(&format!("{heading}\n2026-03-01 13:00,{line}\n"));
            assert_eq!(got, (vec![], vec![format!("line 2: {fault}")]), "{heading}: {line}");
        }
    }

    /// A line of a made-up file: the same few minutes again and again, with two temperatures, or no reading at all.
    #[derive(Debug, Clone)]
    enum Line {
        Read { min: u8, warm: bool },
        Heading,
        Empty,
        Bad(String),
    }

    fn line() -> impl Strategy<Value = Line> {
        prop_oneof![
            6 => (0..5_u8, any::<bool>()).prop_map(|(min, warm)| Line::Read { min, warm }),
            1 => Just(Line::Heading),
            1 => Just(Line::Empty),
            3 => "[0-9T:,. -]{0,12}x".prop_map(Line::Bad),
        ]
    }

    proptest! {
        /// Every line of a file is a reading, the same reading again, a heading above the readings, empty, or told.
        #[test]
        fn nothing_is_lost(lines in proptest::collection::vec(line(), 0..12)) {
            let write = |line: &Line| match line {
                Line::Read { min, warm } => format!("2026-03-01 13:0{min},{},50", if *warm { 21 } else { 20 }),
                Line::Heading => "time,temp_c,rh_pct".to_owned(),
                Line::Empty => " ".to_owned(),
                Line::Bad(text) => text.clone(),
            };
            let (mut good, mut bad) = (std::collections::BTreeMap::new(), Vec::new());
            for (at, line) in lines.iter().enumerate() {
                match line {
                    Line::Read { min, warm } if *good.entry(*min).or_insert(*warm) == *warm => {}
                    Line::Heading if good.is_empty() => {}
                    Line::Empty => {}
                    Line::Read { .. } | Line::Heading | Line::Bad(_) => bad.push(at + 1),
                }
            }
            let text: String = lines.iter().map(|line| write(line) + "\n").collect();
            let logged = parse_logger_file(&text, &FixedOffset::east_opt(0).unwrap(), Stamp::from_ms(i64::MAX));
            let read: Vec<(i64, bool)> =
                logged.readings.iter().map(|r| (r.at.ms() / 60_000 % 60, r.temp.c() > 20.5)).collect();
            prop_assert_eq!(read, good.into_iter().map(|(min, warm)| (i64::from(min), warm)).collect::<Vec<_>>());
            prop_assert_eq!(logged.bad_lines.iter().map(|b| b.line).collect::<Vec<_>>(), bad);
        }

        /// Whatever a file holds, no line is told twice and none is told that is not there.
        #[test]
        fn nothing_panics(text in "([0-9T:,;. \"-]{0,40}\n){0,8}", any in ".{0,60}") {
            for text in [text, any] {
                let lines = text.lines().filter(|l| !l.trim().is_empty()).count();
                let logged = parse_logger_file(&text, &FixedOffset::east_opt(0).unwrap(), Stamp::from_ms(i64::MAX));
                prop_assert!(logged.readings.len() + logged.bad_lines.len() <= lines);
                prop_assert!(logged.bad_lines.windows(2).all(|w| w[0].line < w[1].line));
                prop_assert!(logged.readings.windows(2).all(|w| w[0].at < w[1].at));
            }
        }
    }
}
