//! The hours and days somebody works: read from an option or a setting, and printed as they are read.

use super::sanitize::quote_word;
use super::time::{parse_iso_day, parse_minute_of_day};
use chrono::{Datelike, NaiveDate};
use std::fmt;

const DAY_WORDS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
/// Minutes in a day on which no clock is moved.
const DAY_MIN: u16 = 24 * 60;

/// What is wrong with hours, days or days off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WorkWeekError {
    /// Not two times of day.
    NotHours(String),
    /// They end before they begin, or with the minute they begin with.
    EndsBeforeBeginning(String),
    /// Not days of the week.
    NotDays(String),
    /// Not a date or two.
    NotDates(String),
    /// The last day off comes before the first.
    LastBeforeFirst(String),
}

impl fmt::Display for WorkWeekError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (given, why) = match self {
            WorkWeekError::NotHours(given) => {
                (given, "is no pair of times; write for example 09:00-18:00, or mon-fri 18:00-22:00, sat 09:00-17:00")
            }
            WorkWeekError::EndsBeforeBeginning(given) => {
                (given, "ends before it begins; write for example 09:00-18:00")
            }
            WorkWeekError::NotDays(given) => (given, "names no days; write for example mon-fri, or mon,wed,sat"),
            WorkWeekError::NotDates(given) => {
                (given, "is no date or pair of dates; write for example 2026-12-24..2026-12-27")
            }
            WorkWeekError::LastBeforeFirst(given) => (given, "ends before it begins; the first day off comes first"),
        };
        write!(f, "{} {why}", quote_word(given))
    }
}

/// Some days of the week, Monday first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct WeekDays([bool; 7]);

impl WeekDays {
    /// Monday to Friday; assumed.
    pub const DEFAULT: WeekDays = WeekDays([true, true, true, true, true, false, false]);
    /// Every day.
    pub const ALL: WeekDays = WeekDays([true; 7]);

    /// Reads `mon-fri`, `mon,wed,sat`, or both kinds with commas between.
    ///
    /// # Errors
    /// [`WorkWeekError::NotDays`].
    pub fn parse(text: &str) -> Result<WeekDays, WorkWeekError> {
        let wrong = || WorkWeekError::NotDays(text.to_owned());
        let day = |word: &str| {
            let word = word.trim().to_lowercase();
            DAY_WORDS.iter().position(|day| *day == word)
        };
        let mut days = [false; 7];
        for part in text.split(',') {
            let (first, last) = part.split_once('-').unwrap_or((part, part));
            let (first, last) = day(first).zip(day(last)).ok_or_else(wrong)?;
            // sat-mon goes over the end of the week.
            let count = (last + 7 - first) % 7;
            (0..=count).for_each(|n| days[(first + n) % 7] = true);
        }
        Ok(WeekDays(days))
    }

    /// Whether that day of the week is one of them, Monday being 0.
    pub fn contains(self, day: usize) -> bool {
        self.0.get(day).copied().unwrap_or(false)
    }
}

impl fmt::Display for WeekDays {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        let mut day = 0;
        while day < 7 {
            let length = self.0[day..].iter().take_while(|set| **set).count();
            match length {
                0 => {}
                1 => parts.push(DAY_WORDS[day].to_owned()),
                2 => parts.extend([DAY_WORDS[day].to_owned(), DAY_WORDS[day + 1].to_owned()]),
                _ => parts.push(format!("{}-{}", DAY_WORDS[day], DAY_WORDS[day + length - 1])),
            }
            day += length.max(1);
        }
        f.write_str(&parts.join(","))
    }
}

/// A part of a day, in minutes from midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct DayHours {
    /// The first minute.
    pub start_min: u16,
    /// The first minute after it, at most 1440.
    pub end_min: u16,
}

impl DayHours {
    fn parse(text: &str) -> Result<DayHours, WorkWeekError> {
        let end = |t: &str| if t.trim() == "24:00" { Some(DAY_MIN) } else { parse_minute_of_day(t) };
        let both = text.split_once('-').and_then(|(from, to)| Some((parse_minute_of_day(from)?, end(to)?)));
        let (start_min, end_min) = both.ok_or_else(|| WorkWeekError::NotHours(text.trim().to_owned()))?;
        if start_min >= end_min {
            return Err(WorkWeekError::EndsBeforeBeginning(text.trim().to_owned()));
        }
        Ok(DayHours { start_min, end_min })
    }
}

impl fmt::Display for DayHours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (from, to) = (self.start_min, self.end_min);
        write!(f, "{:02}:{:02}-{:02}:{:02}", from / 60, from % 60, to / 60, to % 60)
    }
}

/// Hours, each for days of their own or for the days that are worked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoursOfWeek(Vec<(Option<WeekDays>, DayHours)>);

impl HoursOfWeek {
    /// Nine to six; assumed.
    pub fn default_hours() -> HoursOfWeek {
        HoursOfWeek(vec![(None, DayHours { start_min: 9 * 60, end_min: 18 * 60 })])
    }

    /// Reads `09:00-18:00`, or `mon-fri 18:00-22:00, sat 09:00-17:00`.
    ///
    /// # Errors
    /// What is wrong with the first part that is wrong.
    pub fn parse(text: &str) -> Result<HoursOfWeek, WorkWeekError> {
        let mut parts = Vec::new();
        // A comma inside the days of one part is followed by no hours.
        let mut days_before = String::new();
        for part in text.split(',') {
            let part = part.trim();
            if !part.contains(':') && !part.is_empty() {
                days_before.push_str(&format!("{part},"));
                continue;
            }
            let (days, hours) = match part.rsplit_once(' ') {
                Some((days, hours)) if !days.contains(':') => (Some(format!("{days_before}{days}")), hours),
                Some(_) | None => ((!days_before.is_empty()).then(|| days_before.clone()), part),
            };
            days_before.clear();
            parts.push((days.map(|days| WeekDays::parse(&days)).transpose()?, DayHours::parse(hours)?));
        }
        if parts.is_empty() || !days_before.is_empty() {
            return Err(WorkWeekError::NotHours(text.to_owned()));
        }
        Ok(HoursOfWeek(parts))
    }
}

impl fmt::Display for HoursOfWeek {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (days, hours)) in self.0.iter().enumerate() {
            let comma = if i == 0 { "" } else { ", " };
            match days {
                Some(days) => write!(f, "{comma}{days} {hours}")?,
                None => write!(f, "{comma}{hours}")?,
            }
        }
        Ok(())
    }
}

/// Days on which nobody works, the last one included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct DaysOff {
    /// The first.
    pub first: NaiveDate,
    /// The last.
    pub last: NaiveDate,
}

impl DaysOff {
    /// Reads `2026-12-24..2026-12-27` or one date.
    ///
    /// # Errors
    /// No dates, or the last before the first.
    pub fn parse(text: &str) -> Result<DaysOff, WorkWeekError> {
        let (first, last) = text.split_once("..").unwrap_or((text, text));
        let both = parse_iso_day(first.trim()).zip(parse_iso_day(last.trim()));
        let (first, last) = both.ok_or_else(|| WorkWeekError::NotDates(text.to_owned()))?;
        if last < first {
            return Err(WorkWeekError::LastBeforeFirst(text.to_owned()));
        }
        Ok(DaysOff { first, last })
    }
}

impl fmt::Display for DaysOff {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (first, last) = (self.first, self.last);
        if first == last { write!(f, "{first}") } else { write!(f, "{first}..{last}") }
    }
}

/// When somebody works.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkWeek {
    /// The hours.
    pub hours: HoursOfWeek,
    /// The days for hours that name none.
    pub days: WeekDays,
    /// No hours on these.
    pub off: Vec<DaysOff>,
}

impl WorkWeek {
    /// The hours of that day, in order, those that touch as one.
    pub fn hours_on(&self, date: NaiveDate) -> Vec<DayHours> {
        if self.off.iter().any(|off| (off.first..=off.last).contains(&date)) {
            return Vec::new();
        }
        let day = date.weekday().num_days_from_monday() as usize;
        let parts = self.hours.0.iter().filter(|(days, _)| days.unwrap_or(self.days).contains(day));
        let mut hours: Vec<DayHours> = parts.map(|(_, hours)| *hours).collect();
        hours.sort_by_key(|h| h.start_min);
        let mut joined: Vec<DayHours> = Vec::new();
        for next in hours {
            match joined.last_mut().filter(|last| next.start_min <= last.end_min) {
                Some(last) => last.end_min = last.end_min.max(next.end_min),
                None => joined.push(next),
            }
        }
        joined
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_printed_reads_back() {
        for text in ["mon-fri", "mon,wed,sat", "mon-wed,sat,sun", "sun"] {
            assert_eq!(WeekDays::parse(text).unwrap().to_string(), text);
        }
        assert_eq!(WeekDays::parse("Sat-Mon").unwrap().to_string(), "mon,sat,sun");
        for text in ["09:00-18:00", "mon-fri 18:00-22:00, sat 09:00-17:00", "mon,wed 09:00-12:00", "20:00-24:00"] {
            assert_eq!(HoursOfWeek::parse(text).unwrap().to_string(), text);
        }
        for text in ["2026-12-24..2026-12-27", "2026-12-24"] {
            assert_eq!(DaysOff::parse(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn what_is_wrong_is_said() {
        let hours = |text| HoursOfWeek::parse(text).unwrap_err().to_string();
        assert_eq!(hours("18:00-09:00"), "\"18:00-09:00\" ends before it begins; write for example 09:00-18:00");
        for text in ["", "nine to five", "09:00", "mon", "25:00-26:00", "blue 09:00-10:00"] {
            assert!(HoursOfWeek::parse(text).is_err(), "{text}");
        }
        assert!(
            WeekDays::parse("").is_err() && WeekDays::parse("mon-").is_err() && WeekDays::parse("someday").is_err()
        );
        assert!(DaysOff::parse("2026-12-27..2026-12-24").is_err() && DaysOff::parse("2026-02-30").is_err());
    }

    #[test]
    fn a_day_has_the_hours_that_name_it() {
        let week = WorkWeek {
            hours: HoursOfWeek::parse("18:00-22:00, sat 09:00-12:00, sat 12:00-17:00").unwrap(),
            days: WeekDays::DEFAULT,
            off: vec![DaysOff::parse("2026-12-24").unwrap()],
        };
        let on = |day: u32| {
            let hours = week.hours_on(NaiveDate::from_ymd_opt(2026, 12, day).unwrap());
            hours.iter().map(DayHours::to_string).collect::<Vec<_>>().join(" ")
        };
        // The 23rd of December 2026 is a Wednesday.
        assert_eq!([on(23), on(24), on(26), on(27)], ["18:00-22:00", "", "09:00-17:00", ""]);
    }
}
