//! Settings: what the maker chose, and where each choice came from.
//!
//! An option wins over the environment, that over the settings file, that over the default. The file is read as a
//! whole: one fault in it and nothing of it is applied, so that a bench never runs on half of what was asked. A key
//! that is not known is told of and passed over.

mod error;
mod file_edit;
mod parser;
mod setting;

#[cfg(test)]
mod tests;

pub use error::{ConfigError, UnknownSetting};
pub use file_edit::{DEFAULT_FILE, SetKeyError, set_key};
pub use setting::{ColorMode, HANDS_MAX, Origin, QuietHours, Sourced, ThemeName, WaitSource};

use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::text::{DaysOff, FileError, HoursOfWeek, UnitSystem, WeekDays};
use std::ffi::OsString;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// The largest settings or recipe file read, bytes.
pub const MAX_FILE_BYTES: u64 = 1 << 20;

/// How the bench calls.
#[derive(Debug, Clone, PartialEq)]
pub struct AlarmSettings {
    /// The terminal's bell.
    pub bell: Sourced<bool>,
    /// What the terminal or desktop shows as a notification.
    pub desktop: Sourced<bool>,
    /// The maker's own command: program and arguments, no shell. Empty: none.
    pub command: Sourced<Vec<String>>,
    /// For how many minutes a call is repeated until it is quieted; 0: once.
    pub repeat_min: Sourced<f64>,
    /// Whether calls and questions are spoken, where the platform has a speech command.
    pub speak: Sourced<bool>,
}

/// Every setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The settings file, whether it exists or not; none where the platform names no place for it.
    pub config_file: Option<Sourced<PathBuf>>,
    /// Where panels, pots and air are kept.
    pub data_dir: Sourced<PathBuf>,
    /// What sizes and amounts are shown in.
    pub unit_system: Sourced<UnitSystem>,
    /// Whether colour is used.
    pub color_mode: Sourced<ColorMode>,
    /// Nothing but ASCII on the screen.
    pub ascii: Sourced<bool>,
    /// The colours of the screen.
    pub theme: Sourced<ThemeName>,
    /// The silent hours; none: there are none.
    pub quiet_hours: Sourced<Option<QuietHours>>,
    /// How many pairs of hands work at the bench, 1 to 8.
    pub hands: Sourced<u8>,
    /// The hours in which somebody works, for plans.
    pub hours: Sourced<HoursOfWeek>,
    /// The days on which somebody works.
    pub days: Sourced<WeekDays>,
    /// Days off.
    pub off: Sourced<Vec<DaysOff>>,
    /// How the bench calls.
    pub alarm: AlarmSettings,
    /// Whether dry air may shorten a wait; it may always lengthen one.
    pub air_may_shorten: Sourced<bool>,
    /// Whose minutes set the wait after a coat.
    pub waits: Sourced<WaitSource>,
    /// Loose bulk densities weighed by the maker, g/ml.
    pub bulk_g_per_ml: Vec<(Filler, Sourced<f64>)>,
    /// Dry glue in a cup as weighed by the maker, g/ml.
    pub glue_bulk_g_per_ml: Option<Sourced<f64>>,
    /// Keys passed over.
    pub unknown_settings: Vec<UnknownSetting>,
}

/// What the command line says.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// `--config`.
    pub config_file: Option<PathBuf>,
    /// `--data`.
    pub data_dir: Option<PathBuf>,
    /// `--units`.
    pub unit_system: Option<UnitSystem>,
    /// `--color`.
    pub color_mode: Option<ColorMode>,
    /// `--ascii`.
    pub ascii: bool,
}

/// Where the platform wants settings and data; none where it names no place.
#[derive(Debug, Clone, Default)]
pub struct PlatformDirs {
    /// The directory of the settings file.
    pub config_dir: Option<PathBuf>,
    /// The directory of the data.
    pub data_dir: Option<PathBuf>,
}

impl PlatformDirs {
    /// Those of this platform. Relative XDG directories are ignored, as that specification asks.
    pub fn from_platform() -> Self {
        directories::ProjectDirs::from("", "", "sottile").map_or_else(PlatformDirs::default, |dirs| PlatformDirs {
            config_dir: Some(dirs.config_dir().to_owned()),
            data_dir: Some(dirs.data_dir().to_owned()),
        })
    }
}

impl Settings {
    /// The settings of this run: options, this process's environment, the settings file.
    ///
    /// # Errors
    /// As [`Settings::resolve`].
    pub fn load(options: &Options) -> Result<Settings, ConfigError> {
        Settings::resolve(options, |name| std::env::var_os(name), &PlatformDirs::from_platform())
    }

    /// What powders weigh, loosely filled: the table's figures, save where the maker has weighed a cup.
    pub fn bulk_densities(&self) -> BulkDensities {
        let mut bulk = BulkDensities::TABLE;
        for (filler, weighed) in &self.bulk_g_per_ml {
            // The file was read with the same bounds, so none is refused here.
            let _ = bulk.set_weighed(*filler, weighed.value);
        }
        if let Some(glue) = &self.glue_bulk_g_per_ml {
            let _ = bulk.set_glue_weighed(glue.value);
        }
        bulk
    }

    /// The settings from `options`, the environment as `env` tells it (an empty variable counts as unset), and the file.
    ///
    /// # Errors
    /// A file that was asked for and is not there, one that cannot be read or has any fault in it, no place for data.
    pub fn resolve(
        options: &Options,
        env: impl Fn(&str) -> Option<OsString>,
        places: &PlatformDirs,
    ) -> Result<Settings, ConfigError> {
        let env = |name: &'static str| env(name).filter(|v| !v.is_empty()).map(|v| Sourced::from_env(v, name));
        let file = find_settings_file(options, &env, places);
        let mut chosen = match &file {
            Some(file) => read_settings(file)?,
            None => parser::FileSettings::default(),
        };
        let data = options.data_dir.clone().map(Sourced::from_option);
        let data = data.or_else(|| env("SOTTILE_DATA").map(|v| Sourced { value: v.value.into(), origin: v.origin }));
        let data = data.or(chosen.data_dir.take()).or_else(|| places.data_dir.clone().map(Sourced::from_default));
        Ok(Settings {
            config_file: file,
            data_dir: data.ok_or(ConfigError::NoDataDir)?,
            unit_system: options
                .unit_system
                .map(Sourced::from_option)
                .or(chosen.unit_system)
                .unwrap_or(Sourced::from_default(UnitSystem::Metric)),
            color_mode: resolve_color_mode(options, &env, chosen.color_mode),
            ascii: options
                .ascii
                .then(|| Sourced::from_option(true))
                .or(chosen.ascii)
                .unwrap_or(Sourced::from_default(false)),
            theme: chosen.theme.unwrap_or(Sourced::from_default(ThemeName::Terminal)),
            quiet_hours: chosen.quiet_hours.unwrap_or(Sourced::from_default(Some(QuietHours::DEFAULT))),
            alarm: AlarmSettings {
                bell: chosen.bell.unwrap_or(Sourced::from_default(true)),
                desktop: chosen.desktop.unwrap_or(Sourced::from_default(true)),
                command: chosen.command.unwrap_or(Sourced::from_default(Vec::new())),
                repeat_min: chosen.repeat_min.unwrap_or(Sourced::from_default(3.0)),
                speak: chosen.speak.unwrap_or(Sourced::from_default(false)),
            },
            hands: chosen.hands.unwrap_or(Sourced::from_default(1)),
            hours: chosen.hours.unwrap_or_else(|| Sourced::from_default(HoursOfWeek::default_hours())),
            days: chosen.days.unwrap_or(Sourced::from_default(WeekDays::DEFAULT)),
            off: chosen.off.unwrap_or_else(|| Sourced::from_default(Vec::new())),
            air_may_shorten: chosen.air_may_shorten.unwrap_or(Sourced::from_default(false)),
            waits: chosen.waits.unwrap_or(Sourced::from_default(WaitSource::Recipe)),
            bulk_g_per_ml: chosen.bulk_g_per_ml,
            glue_bulk_g_per_ml: chosen.glue_bulk_g_per_ml,
            unknown_settings: chosen.unknown_settings,
        })
    }

    /// The directory of the maker's own recipes: `recipes` beside the settings file.
    pub fn recipes_dir(&self) -> Option<PathBuf> {
        Some(self.config_file.as_ref()?.value.parent()?.join("recipes"))
    }

    /// The maker's own recipe files, by name (the file's, without `.toml`) in order; a file that cannot be read keeps
    /// its place with the reason. No such directory: none.
    pub fn read_user_recipes(&self) -> Vec<(String, PathBuf, io::Result<String>)> {
        self.recipes_dir().map_or_else(Vec::new, |dir| read_recipe_texts(&dir))
    }

    /// Where things lie: what it is, and the path.
    pub fn paths(&self) -> Vec<(&'static str, PathBuf)> {
        let config = self.config_file.as_ref().map(|file| ("config", file.value.clone()));
        let recipes = self.recipes_dir().map(|dir| ("recipes", dir));
        config.into_iter().chain(recipes).chain([("data", self.data_dir.value.clone())]).collect()
    }

    /// Every setting for the eye: its key in the file, its value as it would be written there, where it came from.
    pub fn rows(&self) -> Vec<(String, String, Origin)> {
        let row = |key: &str, value: String, from: &Origin| (key.to_owned(), value, from.clone());
        let quoted = |text: &str| toml::Value::from(text).to_string();
        let night = self.quiet_hours.value.map_or_else(|| "none".to_owned(), |n| n.to_string());
        let command = toml::Value::from(self.alarm.command.value.clone()).to_string();
        let off: Vec<String> = self.off.value.iter().map(DaysOff::to_string).collect();
        let off = toml::Value::from(off).to_string();
        let mut rows = vec![
            row("data", quoted(&self.data_dir.value.to_string_lossy()), &self.data_dir.origin),
            row("units", quoted(self.unit_system.value.name()), &self.unit_system.origin),
            row("color", quoted(self.color_mode.value.name()), &self.color_mode.origin),
            row("ascii", self.ascii.value.to_string(), &self.ascii.origin),
            row("theme", quoted(self.theme.value.name()), &self.theme.origin),
            row("night", quoted(&night), &self.quiet_hours.origin),
            row("air_may_shorten", self.air_may_shorten.value.to_string(), &self.air_may_shorten.origin),
            row("waits", quoted(self.waits.value.name()), &self.waits.origin),
            row("hands", self.hands.value.to_string(), &self.hands.origin),
            row("hours", quoted(&self.hours.value.to_string()), &self.hours.origin),
            row("days", quoted(&self.days.value.to_string()), &self.days.origin),
            row("off", off, &self.off.origin),
            row("alarm.bell", self.alarm.bell.value.to_string(), &self.alarm.bell.origin),
            row("alarm.desktop", self.alarm.desktop.value.to_string(), &self.alarm.desktop.origin),
            row("alarm.command", command, &self.alarm.command.origin),
            row("alarm.repeat_min", format!("{:?}", self.alarm.repeat_min.value), &self.alarm.repeat_min.origin),
            row("alarm.speak", self.alarm.speak.value.to_string(), &self.alarm.speak.origin),
        ];
        for (filler, weighed) in &self.bulk_g_per_ml {
            rows.push(row(
                &format!("materials.{}", quoted(filler.name())),
                format!("{:?}", weighed.value),
                &weighed.origin,
            ));
        }
        if let Some(glue) = &self.glue_bulk_g_per_ml {
            let key = format!("materials.{}", quoted(parser::GLUE_CUP_KEY));
            rows.push(row(&key, format!("{:?}", glue.value), &glue.origin));
        }
        rows
    }
}

/// The settings file: by option, environment, or the platform's place.
fn find_settings_file(
    options: &Options,
    env: &impl Fn(&'static str) -> Option<Sourced<OsString>>,
    places: &PlatformDirs,
) -> Option<Sourced<PathBuf>> {
    let asked = options.config_file.clone().map(Sourced::from_option);
    let asked = asked.or_else(|| env("SOTTILE_CONFIG").map(|v| Sourced { value: v.value.into(), origin: v.origin }));
    asked.or_else(|| places.config_dir.as_ref().map(|dir| Sourced::from_default(dir.join("config.toml"))))
}

/// `--color`, then NO_COLOR, then the two that force it, then the file.
fn resolve_color_mode(
    options: &Options,
    env: &impl Fn(&'static str) -> Option<Sourced<OsString>>,
    in_file: Option<Sourced<ColorMode>>,
) -> Sourced<ColorMode> {
    let never = || env("NO_COLOR").map(|v| Sourced { value: ColorMode::Never, origin: v.origin });
    let forced =
        |name| env(name).filter(|v| v.value != "0").map(|v| Sourced { value: ColorMode::Always, origin: v.origin });
    let option = options.color_mode.map(Sourced::from_option);
    let env = option.or_else(never).or_else(|| forced("CLICOLOR_FORCE")).or_else(|| forced("FORCE_COLOR"));
    env.or(in_file).unwrap_or(Sourced::from_default(ColorMode::Auto))
}

fn read_settings(file: &Sourced<PathBuf>) -> Result<parser::FileSettings, ConfigError> {
    match read_text_file(&file.value) {
        Ok(text) => parser::parse_settings(&file.value, &text).map_err(ConfigError::InvalidSettings),
        Err(e) if e.kind() == io::ErrorKind::NotFound && file.origin == Origin::Default => {
            Ok(parser::FileSettings::default())
        }
        Err(e) => Err(ConfigError::UnreadableFile {
            path: file.value.clone(),
            origin: file.origin.clone(),
            error: FileError::from_io_error(&e),
        }),
    }
}

impl Settings {
    /// The text of the settings file; empty where there is none yet.
    ///
    /// # Errors
    /// What the system says.
    pub fn read_file_text(path: &Path) -> io::Result<String> {
        match read_text_file(path) {
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(String::new()),
            read => read,
        }
    }
}

/// The text of a file of at most [`MAX_FILE_BYTES`] bytes.
fn read_text_file(path: &Path) -> io::Result<String> {
    let mut text = String::new();
    let opened = std::fs::File::open(path)?;
    opened.take(MAX_FILE_BYTES + 1).read_to_string(&mut text)?;
    if text.len() as u64 > MAX_FILE_BYTES {
        return Err(io::Error::new(io::ErrorKind::InvalidData, "it is larger than a mebibyte"));
    }
    Ok(text)
}

fn read_recipe_texts(dir: &Path) -> Vec<(String, PathBuf, io::Result<String>)> {
    let listed = match std::fs::read_dir(dir) {
        Ok(listed) => listed,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Vec::new(),
        Err(e) => return vec![("recipes".to_owned(), dir.to_owned(), Err(e))],
    };
    let mut paths: Vec<PathBuf> = listed.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.retain(|path| path.extension().is_some_and(|e| e == "toml"));
    paths.sort();
    let name = |path: &Path| path.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    paths
        .into_iter()
        .map(|path| (name(&path), read_text_file(&path), path))
        .map(|(n, text, path)| (n, path, text))
        .collect()
}
