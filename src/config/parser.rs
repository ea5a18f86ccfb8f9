//! The settings file: TOML text to what was chosen in it, every fault, and every key passed over.

use super::error::{SettingError, SettingErrorKind, UnknownSetting};
use super::setting::{ColorMode, HANDS_MAX, Origin, QuietHours, Sourced, ThemeName, WaitSource};
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BULK_RANGE_G_PER_ML;
use crate::text::{DaysOff, HoursOfWeek, UnitSystem, WeekDays, WorkWeekError, find_nearest_word};
use std::path::{Path, PathBuf};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What the file chooses; none where it is silent.
#[derive(Debug, Default)]
pub(super) struct FileSettings {
    pub(super) data_dir: Option<Sourced<PathBuf>>,
    pub(super) unit_system: Option<Sourced<UnitSystem>>,
    pub(super) color_mode: Option<Sourced<ColorMode>>,
    pub(super) ascii: Option<Sourced<bool>>,
    pub(super) theme: Option<Sourced<ThemeName>>,
    pub(super) quiet_hours: Option<Sourced<Option<QuietHours>>>,
    pub(super) bell: Option<Sourced<bool>>,
    pub(super) desktop: Option<Sourced<bool>>,
    pub(super) command: Option<Sourced<Vec<String>>>,
    pub(super) repeat_min: Option<Sourced<f64>>,
    pub(super) speak: Option<Sourced<bool>>,
    pub(super) hands: Option<Sourced<u8>>,
    pub(super) hours: Option<Sourced<HoursOfWeek>>,
    pub(super) days: Option<Sourced<WeekDays>>,
    pub(super) off: Option<Sourced<Vec<DaysOff>>>,
    pub(super) air_may_shorten: Option<Sourced<bool>>,
    pub(super) waits: Option<Sourced<WaitSource>>,
    pub(super) bulk_g_per_ml: Vec<(Filler, Sourced<f64>)>,
    pub(super) glue_bulk_g_per_ml: Option<Sourced<f64>>,
    pub(super) unknown_settings: Vec<UnknownSetting>,
}

/// The keys of each table, the file's own first.
const TOP_LEVEL_KEYS: [&str; 14] = [
    "data",
    "units",
    "color",
    "ascii",
    "theme",
    "night",
    "air_may_shorten",
    "waits",
    "hands",
    "hours",
    "days",
    "off",
    "alarm",
    "materials",
];
const ALARM_KEYS: [&str; 5] = ["bell", "desktop", "command", "repeat_min", "speak"];

/// The maker's cup of dry glue, among the fillers.
pub(super) const GLUE_CUP_KEY: &str = "glue granules";

/// Longest that a call may repeat itself, minutes.
const MAX_REPEAT_MIN: f64 = 30.0;

/// Reads the whole of `text`; all faults at once.
pub(super) fn parse_settings(path: &Path, text: &str) -> Result<FileSettings, Vec<SettingError>> {
    let mut reading = SettingsParser { path, text, settings: FileSettings::default(), errors: Vec::new() };
    match DeTable::parse(text) {
        Ok(table) => reading.parse_top_level(table.get_ref()),
        Err(e) => {
            let at = e.span().map_or(0, |span| span.start);
            reading.report_error(at, "", SettingErrorKind::NotToml(e.message().to_owned()));
        }
    }
    if reading.errors.is_empty() {
        reading.settings.bulk_g_per_ml.sort_by_key(|(filler, _)| Filler::ALL.iter().position(|f| f == filler));
        reading.settings.unknown_settings.sort_by_key(|unknown| unknown.line);
        return Ok(reading.settings);
    }
    reading.errors.sort_by_key(|error| error.line);
    Err(reading.errors)
}

struct SettingsParser<'a> {
    path: &'a Path,
    text: &'a str,
    settings: FileSettings,
    errors: Vec<SettingError>,
}

type TomlValue<'a> = Spanned<DeValue<'a>>;

impl SettingsParser<'_> {
    fn parse_top_level(&mut self, table: &DeTable<'_>) {
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            match name {
                "data" => self.settings.data_dir = self.parse_absolute_path(name, value),
                "units" => {
                    self.settings.unit_system = self.parse_choice(name, value, &UnitSystem::ALL.map(|u| (u.name(), u)))
                }
                "color" => {
                    self.settings.color_mode = self.parse_choice(name, value, &ColorMode::ALL.map(|c| (c.name(), c)))
                }
                "theme" => self.settings.theme = self.parse_choice(name, value, &ThemeName::ALL.map(|t| (t.name(), t))),
                "ascii" => self.settings.ascii = self.parse_bool(name, value),
                "night" => self.settings.quiet_hours = self.parse_quiet_hours(name, value),
                "air_may_shorten" => self.settings.air_may_shorten = self.parse_bool(name, value),
                "waits" => {
                    self.settings.waits = self.parse_choice(name, value, &WaitSource::ALL.map(|w| (w.name(), w)))
                }
                "hands" => self.settings.hands = self.parse_hands(name, value),
                "hours" => self.settings.hours = self.parse_work_week(name, value, HoursOfWeek::parse),
                "days" => self.settings.days = self.parse_work_week(name, value, WeekDays::parse),
                "off" => self.settings.off = self.parse_days_off(name, value),
                "alarm" => self.parse_table(name, value, Self::parse_alarm),
                "materials" => self.parse_table(name, value, Self::parse_materials),
                other => self.report_unknown(key.span().start, "", other, TOP_LEVEL_KEYS.into_iter()),
            }
        }
    }

    fn parse_alarm(&mut self, table: &DeTable<'_>) {
        for (key, value) in table {
            match key.get_ref().as_ref() {
                "bell" => self.settings.bell = self.parse_bool("alarm.bell", value),
                "desktop" => self.settings.desktop = self.parse_bool("alarm.desktop", value),
                "command" => self.settings.command = self.parse_command("alarm.command", value),
                "repeat_min" => {
                    self.settings.repeat_min =
                        self.parse_number("alarm.repeat_min", value, (0.0, MAX_REPEAT_MIN), "minutes");
                }
                "speak" => self.settings.speak = self.parse_bool("alarm.speak", value),
                other => self.report_unknown(key.span().start, "alarm.", other, ALARM_KEYS.into_iter()),
            }
        }
    }

    fn parse_materials(&mut self, table: &DeTable<'_>) {
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            if name == GLUE_CUP_KEY {
                self.settings.glue_bulk_g_per_ml =
                    self.parse_number("materials.glue granules", value, BULK_RANGE_G_PER_ML, "g/ml");
                continue;
            }
            let Some(filler) = Filler::from_name(name) else {
                let names = Filler::ALL.into_iter().flat_map(|f| f.names().iter().copied()).chain([GLUE_CUP_KEY]);
                self.report_unknown(key.span().start, "materials.", name, names);
                continue;
            };
            let full = format!("materials.{name}");
            if self.settings.bulk_g_per_ml.iter().any(|(f, _)| *f == filler) {
                self.report_error(key.span().start, &full, SettingErrorKind::Duplicate(filler.name()));
            } else if let Some(weighed) = self.parse_number(&full, value, BULK_RANGE_G_PER_ML, "g/ml") {
                self.settings.bulk_g_per_ml.push((filler, weighed));
            }
        }
    }

    fn parse_table(&mut self, key: &str, value: &TomlValue<'_>, read: fn(&mut Self, &DeTable<'_>)) {
        match value.get_ref().as_table() {
            Some(table) => read(self, table),
            None => self.report_error(value.span().start, key, SettingErrorKind::WrongType("a table")),
        }
    }

    fn parse_string<'v>(&mut self, key: &str, value: &'v TomlValue<'_>) -> Option<&'v str> {
        let text = value.get_ref().as_str();
        if text.is_none() {
            self.report_error(value.span().start, key, SettingErrorKind::WrongType("a text in quotation marks"));
        }
        text
    }

    fn parse_choice<T: Copy>(
        &mut self,
        key: &str,
        value: &TomlValue<'_>,
        words: &[(&'static str, T)],
    ) -> Option<Sourced<T>> {
        let given = self.parse_string(key, value)?;
        match words.iter().find(|(word, _)| *word == given) {
            Some(&(_, chosen)) => Some(self.with_origin(value, chosen)),
            None => {
                let words = words.iter().map(|(word, _)| *word).collect();
                self.report_error(
                    value.span().start,
                    key,
                    SettingErrorKind::UnknownWord { given: given.to_owned(), allowed: words },
                );
                None
            }
        }
    }

    fn parse_bool(&mut self, key: &str, value: &TomlValue<'_>) -> Option<Sourced<bool>> {
        let chosen = value.get_ref().as_bool();
        if chosen.is_none() {
            self.report_error(value.span().start, key, SettingErrorKind::WrongType("true or false"));
        }
        Some(self.with_origin(value, chosen?))
    }

    fn parse_number(
        &mut self,
        key: &str,
        value: &TomlValue<'_>,
        range: (f64, f64),
        unit: &'static str,
    ) -> Option<Sourced<f64>> {
        let given = match value.get_ref() {
            DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix()).ok().map(|n| n as f64),
            DeValue::Float(n) => n.as_str().parse::<f64>().ok(),
            DeValue::String(_) | DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => {
                None
            }
        };
        let (least, most) = range;
        match given {
            None => self.report_error(value.span().start, key, SettingErrorKind::WrongType("a number")),
            Some(n) if (least..=most).contains(&n) => return Some(self.with_origin(value, n)),
            Some(given) => self.report_error(
                value.span().start,
                key,
                SettingErrorKind::OutOfRange { given, min: least, max: most, unit },
            ),
        }
        None
    }

    fn parse_hands(&mut self, key: &str, value: &TomlValue<'_>) -> Option<Sourced<u8>> {
        let given = self.parse_number(key, value, (1.0, f64::from(HANDS_MAX)), "pairs of hands")?;
        let whole = (1..=HANDS_MAX).find(|hands| f64::from(*hands) == given.value);
        if whole.is_none() {
            self.report_error(value.span().start, key, SettingErrorKind::WrongType("a whole number"));
        }
        Some(Sourced { value: whole?, origin: given.origin })
    }

    fn parse_work_week<T>(
        &mut self,
        key: &str,
        value: &TomlValue<'_>,
        parse: fn(&str) -> Result<T, WorkWeekError>,
    ) -> Option<Sourced<T>> {
        match parse(self.parse_string(key, value)?) {
            Ok(chosen) => Some(self.with_origin(value, chosen)),
            Err(error) => {
                self.report_error(value.span().start, key, SettingErrorKind::InvalidWorkWeek(error));
                None
            }
        }
    }

    fn parse_days_off(&mut self, key: &str, value: &TomlValue<'_>) -> Option<Sourced<Vec<DaysOff>>> {
        let words = value.get_ref().as_array().map(|array| array.iter().map(|v| v.get_ref().as_str()).collect());
        let Some(Some(words)) = words else {
            let list = "a list of dates, say [\"2026-12-24..2026-12-27\"],";
            self.report_error(value.span().start, key, SettingErrorKind::WrongType(list));
            return None;
        };
        let words: Vec<&str> = words;
        match words.into_iter().map(DaysOff::parse).collect::<Result<Vec<_>, _>>() {
            Ok(off) => Some(self.with_origin(value, off)),
            Err(error) => {
                self.report_error(value.span().start, key, SettingErrorKind::InvalidWorkWeek(error));
                None
            }
        }
    }

    fn parse_quiet_hours(&mut self, key: &str, value: &TomlValue<'_>) -> Option<Sourced<Option<QuietHours>>> {
        let given = self.parse_string(key, value)?;
        let night = if given == "none" { Some(None) } else { QuietHours::parse(given).map(Some) };
        if night.is_none() {
            self.report_error(value.span().start, key, SettingErrorKind::InvalidHours(given.to_owned()));
        }
        Some(self.with_origin(value, night?))
    }

    fn parse_absolute_path(&mut self, key: &str, value: &TomlValue<'_>) -> Option<Sourced<PathBuf>> {
        let given = self.parse_string(key, value)?;
        let path = PathBuf::from(given);
        if !path.is_absolute() {
            self.report_error(value.span().start, key, SettingErrorKind::RelativePath(given.to_owned()));
            return None;
        }
        Some(self.with_origin(value, path))
    }

    fn parse_command(&mut self, key: &str, value: &TomlValue<'_>) -> Option<Sourced<Vec<String>>> {
        let words = value.get_ref().as_array().map(|array| array.iter().map(|v| v.get_ref().as_str()).collect());
        let Some(Some(words)) = words else {
            self.report_error(
                value.span().start,
                key,
                SettingErrorKind::WrongType("a list of texts, the program and its arguments,"),
            );
            return None;
        };
        let words: Vec<&str> = words;
        Some(self.with_origin(value, words.into_iter().map(str::to_owned).collect()))
    }

    fn with_origin<T>(&self, value: &TomlValue<'_>, chosen: T) -> Sourced<T> {
        Sourced { value: chosen, origin: Origin::File(self.path.to_owned(), self.line_number(value.span().start)) }
    }

    fn report_error(&mut self, at: usize, key: &str, wrong: SettingErrorKind) {
        let error =
            SettingError { path: self.path.to_owned(), line: self.line_number(at), key: key.to_owned(), kind: wrong };
        self.errors.push(error);
    }

    fn report_unknown<'k>(&mut self, at: usize, table: &str, key: &str, known: impl Iterator<Item = &'k str>) {
        let nearest = find_nearest_word(key, known).map(|near| format!("{table}{near}"));
        let (path, line) = (self.path.to_owned(), self.line_number(at));
        self.settings.unknown_settings.push(UnknownSetting { path, line, key: format!("{table}{key}"), nearest });
    }

    fn line_number(&self, at: usize) -> usize {
        1 + self.text.bytes().take(at).filter(|&b| b == b'\n').count()
    }
}
