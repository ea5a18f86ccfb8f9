//! The settings file: TOML text to what was chosen in it, every fault, and every key passed over.
//!
//! Absent on purpose: opening the file, options, environment and defaults (the parent room).

use super::fault::nearest;
use super::{Color, Fault, Night, Origin, Sourced, Theme, Unknown, Wrong};
use crate::craft::materials::Filler;
use crate::text::Units;
use std::path::{Path, PathBuf};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What the file chooses; none where it is silent.
#[derive(Debug, Default)]
pub(super) struct Chosen {
    pub(super) data: Option<Sourced<PathBuf>>,
    pub(super) units: Option<Sourced<Units>>,
    pub(super) color: Option<Sourced<Color>>,
    pub(super) ascii: Option<Sourced<bool>>,
    pub(super) theme: Option<Sourced<Theme>>,
    pub(super) night: Option<Sourced<Option<Night>>>,
    pub(super) bell: Option<Sourced<bool>>,
    pub(super) desktop: Option<Sourced<bool>>,
    pub(super) command: Option<Sourced<Vec<String>>>,
    pub(super) repeat_min: Option<Sourced<f64>>,
    pub(super) air_may_shorten: Option<Sourced<bool>>,
    pub(super) bulk_g_per_ml: Vec<(Filler, Sourced<f64>)>,
    pub(super) unknown: Vec<Unknown>,
}

/// The keys of each table, the file's own first.
const TOP: [&str; 9] = ["data", "units", "color", "ascii", "theme", "night", "air_may_shorten", "alarm", "materials"];
const ALARM: [&str; 4] = ["bell", "desktop", "command", "repeat_min"];

/// Longest that a call may repeat itself, minutes.
const LONGEST_CALL_MIN: f64 = 30.0;
/// Bounds of what a loosely filled white powder can weigh, g/ml; assumed, wide.
const BULK_G_PER_ML: (f64, f64) = (0.05, 5.0);

/// Reads the whole of `text`; all faults at once.
pub(super) fn read(path: &Path, text: &str) -> Result<Chosen, Vec<Fault>> {
    let mut reading = Reading { path, text, chosen: Chosen::default(), faults: Vec::new() };
    match DeTable::parse(text) {
        Ok(table) => reading.top(table.get_ref()),
        Err(e) => {
            let at = e.span().map_or(0, |span| span.start);
            reading.fault(at, "", Wrong::NotToml(e.message().to_owned()));
        }
    }
    if reading.faults.is_empty() {
        reading.chosen.bulk_g_per_ml.sort_by_key(|(filler, _)| Filler::ALL.iter().position(|f| f == filler));
        reading.chosen.unknown.sort_by_key(|unknown| unknown.line);
        return Ok(reading.chosen);
    }
    reading.faults.sort_by_key(|fault| fault.line);
    Err(reading.faults)
}

struct Reading<'a> {
    path: &'a Path,
    text: &'a str,
    chosen: Chosen,
    faults: Vec<Fault>,
}

type Value<'a> = Spanned<DeValue<'a>>;

impl Reading<'_> {
    fn top(&mut self, table: &DeTable<'_>) {
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            match name {
                "data" => self.chosen.data = self.absolute(name, value),
                "units" => self.chosen.units = self.word(name, value, &Units::ALL.map(|u| (u.name(), u))),
                "color" => self.chosen.color = self.word(name, value, &Color::ALL.map(|c| (c.name(), c))),
                "theme" => self.chosen.theme = self.word(name, value, &Theme::ALL.map(|t| (t.name(), t))),
                "ascii" => self.chosen.ascii = self.switch(name, value),
                "night" => self.chosen.night = self.night(name, value),
                "air_may_shorten" => self.chosen.air_may_shorten = self.switch(name, value),
                "alarm" => self.table(name, value, Self::alarm),
                "materials" => self.table(name, value, Self::materials),
                other => self.unknown(key.span().start, "", other, TOP.into_iter()),
            }
        }
    }

    fn alarm(&mut self, table: &DeTable<'_>) {
        for (key, value) in table {
            match key.get_ref().as_ref() {
                "bell" => self.chosen.bell = self.switch("alarm.bell", value),
                "desktop" => self.chosen.desktop = self.switch("alarm.desktop", value),
                "command" => self.chosen.command = self.command("alarm.command", value),
                "repeat_min" => {
                    self.chosen.repeat_min = self.number("alarm.repeat_min", value, (0.0, LONGEST_CALL_MIN), "minutes");
                }
                other => self.unknown(key.span().start, "alarm.", other, ALARM.into_iter()),
            }
        }
    }

    fn materials(&mut self, table: &DeTable<'_>) {
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            let Some(filler) = Filler::named(name) else {
                let names = Filler::ALL.into_iter().flat_map(|f| f.names().iter().copied());
                self.unknown(key.span().start, "materials.", name, names);
                continue;
            };
            let full = format!("materials.{name}");
            if self.chosen.bulk_g_per_ml.iter().any(|(f, _)| *f == filler) {
                self.fault(key.span().start, &full, Wrong::Twice(filler.name()));
            } else if let Some(weighed) = self.number(&full, value, BULK_G_PER_ML, "g/ml") {
                self.chosen.bulk_g_per_ml.push((filler, weighed));
            }
        }
    }

    fn table(&mut self, key: &str, value: &Value<'_>, read: fn(&mut Self, &DeTable<'_>)) {
        match value.get_ref().as_table() {
            Some(table) => read(self, table),
            None => self.fault(value.span().start, key, Wrong::NotA("a table")),
        }
    }

    fn string<'v>(&mut self, key: &str, value: &'v Value<'_>) -> Option<&'v str> {
        let text = value.get_ref().as_str();
        if text.is_none() {
            self.fault(value.span().start, key, Wrong::NotA("a text in quotation marks"));
        }
        text
    }

    fn word<T: Copy>(&mut self, key: &str, value: &Value<'_>, words: &[(&'static str, T)]) -> Option<Sourced<T>> {
        let given = self.string(key, value)?;
        match words.iter().find(|(word, _)| *word == given) {
            Some(&(_, chosen)) => Some(self.sourced(value, chosen)),
            None => {
                let words = words.iter().map(|(word, _)| *word).collect();
                self.fault(value.span().start, key, Wrong::NotAmong { given: given.to_owned(), words });
                None
            }
        }
    }

    fn switch(&mut self, key: &str, value: &Value<'_>) -> Option<Sourced<bool>> {
        let chosen = value.get_ref().as_bool();
        if chosen.is_none() {
            self.fault(value.span().start, key, Wrong::NotA("true or false"));
        }
        Some(self.sourced(value, chosen?))
    }

    fn number(&mut self, key: &str, value: &Value<'_>, range: (f64, f64), unit: &'static str) -> Option<Sourced<f64>> {
        let given = match value.get_ref() {
            DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix()).ok().map(|n| n as f64),
            DeValue::Float(n) => n.as_str().parse::<f64>().ok(),
            DeValue::String(_) | DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => {
                None
            }
        };
        let (least, most) = range;
        match given {
            None => self.fault(value.span().start, key, Wrong::NotA("a number")),
            Some(n) if (least..=most).contains(&n) => return Some(self.sourced(value, n)),
            Some(given) => self.fault(value.span().start, key, Wrong::Outside { given, least, most, unit }),
        }
        None
    }

    fn night(&mut self, key: &str, value: &Value<'_>) -> Option<Sourced<Option<Night>>> {
        let given = self.string(key, value)?;
        let night = if given == "none" { Some(None) } else { Night::read(given).map(Some) };
        if night.is_none() {
            self.fault(value.span().start, key, Wrong::NotHours(given.to_owned()));
        }
        Some(self.sourced(value, night?))
    }

    fn absolute(&mut self, key: &str, value: &Value<'_>) -> Option<Sourced<PathBuf>> {
        let given = self.string(key, value)?;
        let path = PathBuf::from(given);
        if !path.is_absolute() {
            self.fault(value.span().start, key, Wrong::NotAbsolute(given.to_owned()));
            return None;
        }
        Some(self.sourced(value, path))
    }

    fn command(&mut self, key: &str, value: &Value<'_>) -> Option<Sourced<Vec<String>>> {
        let words = value.get_ref().as_array().map(|array| array.iter().map(|v| v.get_ref().as_str()).collect());
        let Some(Some(words)) = words else {
            self.fault(value.span().start, key, Wrong::NotA("a list of texts, the program and its arguments,"));
            return None;
        };
        let words: Vec<&str> = words;
        Some(self.sourced(value, words.into_iter().map(str::to_owned).collect()))
    }

    fn sourced<T>(&self, value: &Value<'_>, chosen: T) -> Sourced<T> {
        Sourced { value: chosen, from: Origin::File(self.path.to_owned(), self.line(value.span().start)) }
    }

    fn fault(&mut self, at: usize, key: &str, wrong: Wrong) {
        let fault = Fault { path: self.path.to_owned(), line: self.line(at), key: key.to_owned(), wrong };
        self.faults.push(fault);
    }

    fn unknown<'k>(&mut self, at: usize, table: &str, key: &str, known: impl Iterator<Item = &'k str>) {
        let nearest = nearest(key, known).map(|near| format!("{table}{near}"));
        let (path, line) = (self.path.to_owned(), self.line(at));
        self.chosen.unknown.push(Unknown { path, line, key: format!("{table}{key}"), nearest });
    }

    fn line(&self, at: usize) -> usize {
        1 + self.text.bytes().take(at).filter(|&b| b == b'\n').count()
    }
}
