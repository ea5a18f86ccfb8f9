//! Settings: what the maker chose, and where each choice came from.
//!
//! An option wins over the environment, that over the settings file, that over the default. The file is read as a
//! whole: one fault in it and nothing of it is applied, so that a bench never runs on half of what was asked. A key
//! that is not known is told of and passed over.
//! Absent on purpose: writing the file, recipes' meaning (`craft::recipe`; here only their texts), terminal, clocks.

mod fault;
mod file;

#[cfg(test)]
mod tests;

pub use fault::{ConfigError, Fault, Unknown, Wrong};

use crate::craft::materials::Filler;
use crate::text::{Trouble, Units};
use std::ffi::OsString;
use std::fmt;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// The largest settings or recipe file read, bytes.
pub const LARGEST: u64 = 1 << 20;

/// Where a setting came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// An option on the command line.
    Option,
    /// This environment variable.
    Env(&'static str),
    /// This line of this settings file, from 1.
    File(PathBuf, usize),
    /// Nobody chose; the program did.
    Default,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Origin::Option => f.write_str("option"),
            Origin::Env(name) => write!(f, "environment, {name}"),
            Origin::File(path, line) => write!(f, "{}, line {line}", path.display()),
            Origin::Default => f.write_str("default"),
        }
    }
}

/// A setting and where it came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sourced<T> {
    /// What was chosen.
    pub value: T,
    /// By whom.
    pub from: Origin,
}

impl<T> Sourced<T> {
    /// A setting nobody chose.
    pub fn default(value: T) -> Self {
        Sourced { value, from: Origin::Default }
    }
    fn option(value: T) -> Self {
        Sourced { value, from: Origin::Option }
    }
    fn env(value: T, name: &'static str) -> Self {
        Sourced { value, from: Origin::Env(name) }
    }
}

/// Whether colour is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Color {
    /// Where the output is a terminal that shows it.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Color {
    /// All of them, in the order they are told.
    pub const ALL: [Color; 3] = [Color::Auto, Color::Always, Color::Never];
    /// The word written in commands and settings.
    pub const fn name(self) -> &'static str {
        match self {
            Color::Auto => "auto",
            Color::Always => "always",
            Color::Never => "never",
        }
    }
}

/// The colours of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Theme {
    /// The terminal's own sixteen.
    Terminal,
    /// Ours, on a dark ground.
    Dark,
    /// Ours, on a light ground.
    Light,
    /// None: bold, reverse and words.
    Mono,
}

impl Theme {
    /// All of them, in the order they are told.
    pub const ALL: [Theme; 4] = [Theme::Terminal, Theme::Dark, Theme::Light, Theme::Mono];
    /// The word written in settings.
    pub const fn name(self) -> &'static str {
        match self {
            Theme::Terminal => "terminal",
            Theme::Dark => "dark",
            Theme::Light => "light",
            Theme::Mono => "mono",
        }
    }
}

/// The hours in which long waits end silently, in minutes of the local day; from may be later than to, over midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Night {
    /// The first silent minute, 0 to 1439.
    pub from_min: u16,
    /// The first minute after them, 0 to 1439.
    pub to_min: u16,
}

impl Night {
    /// Ten in the evening to seven in the morning; assumed.
    pub const USUAL: Night = Night { from_min: 22 * 60, to_min: 7 * 60 };

    /// Reads `22:00-07:00`.
    pub fn read(text: &str) -> Option<Night> {
        let (from, to) = text.split_once('-')?;
        let night = Night { from_min: minute_of_day(from)?, to_min: minute_of_day(to)? };
        (night.from_min != night.to_min).then_some(night)
    }

    /// Whether that minute of the local day (hour x 60 + minute) is silent.
    pub const fn holds(self, minute: u16) -> bool {
        if self.from_min <= self.to_min {
            self.from_min <= minute && minute < self.to_min
        } else {
            self.from_min <= minute || minute < self.to_min
        }
    }
}

impl fmt::Display for Night {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (from, to) = (self.from_min, self.to_min);
        write!(f, "{:02}:{:02}-{:02}:{:02}", from / 60, from % 60, to / 60, to % 60)
    }
}

fn minute_of_day(text: &str) -> Option<u16> {
    let (h, m) = text.trim().split_once(':')?;
    let figures = |s: &str| (1..=2).contains(&s.len()) && s.bytes().all(|b| b.is_ascii_digit());
    if !figures(h) || !figures(m) {
        return None;
    }
    let (h, m): (u16, u16) = (h.parse().ok()?, m.parse().ok()?);
    (h < 24 && m < 60).then_some(h * 60 + m)
}

/// How the bench calls.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// The terminal's bell.
    pub bell: Sourced<bool>,
    /// What the terminal or desktop shows as a notification.
    pub desktop: Sourced<bool>,
    /// The maker's own command: program and arguments, no shell. Empty: none.
    pub command: Sourced<Vec<String>>,
    /// For how many minutes a call is repeated until it is quieted; 0: once.
    pub repeat_min: Sourced<f64>,
}

/// Every setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The settings file, whether it exists or not; none where the platform names no place for it.
    pub file: Option<Sourced<PathBuf>>,
    /// Where panels, pots and air are kept.
    pub data: Sourced<PathBuf>,
    /// What sizes and amounts are shown in.
    pub units: Sourced<Units>,
    /// Whether colour is used.
    pub color: Sourced<Color>,
    /// Nothing but ASCII on the screen.
    pub ascii: Sourced<bool>,
    /// The colours of the screen.
    pub theme: Sourced<Theme>,
    /// The silent hours; none: there are none.
    pub night: Sourced<Option<Night>>,
    /// How the bench calls.
    pub alarm: Alarm,
    /// Whether dry air may shorten a wait; it may always lengthen one.
    pub air_may_shorten: Sourced<bool>,
    /// Loose bulk densities weighed by the maker, g/ml.
    pub bulk_g_per_ml: Vec<(Filler, Sourced<f64>)>,
    /// Keys passed over.
    pub unknown: Vec<Unknown>,
}

/// What the command line says.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// `--config`.
    pub config: Option<PathBuf>,
    /// `--data`.
    pub data: Option<PathBuf>,
    /// `--units`.
    pub units: Option<Units>,
    /// `--color`.
    pub color: Option<Color>,
    /// `--ascii`.
    pub ascii: bool,
}

/// Where the platform wants settings and data; none where it names no place.
#[derive(Debug, Clone, Default)]
pub struct Places {
    /// The directory of the settings file.
    pub config: Option<PathBuf>,
    /// The directory of the data.
    pub data: Option<PathBuf>,
}

impl Places {
    /// Those of this platform. Relative XDG directories are ignored, as that specification asks.
    pub fn of_platform() -> Self {
        directories::ProjectDirs::from("", "", "sottile").map_or_else(Places::default, |dirs| Places {
            config: Some(dirs.config_dir().to_owned()),
            data: Some(dirs.data_dir().to_owned()),
        })
    }
}

impl Settings {
    /// The settings of this run: options, this process's environment, the settings file.
    ///
    /// # Errors
    /// As [`Settings::resolve`].
    pub fn load(options: &Options) -> Result<Settings, ConfigError> {
        Settings::resolve(options, |name| std::env::var_os(name), &Places::of_platform())
    }

    /// The settings from `options`, the environment as `env` tells it (an empty variable counts as unset), and the file.
    ///
    /// # Errors
    /// A file that was asked for and is not there, one that cannot be read or has any fault in it, no place for data.
    pub fn resolve(
        options: &Options,
        env: impl Fn(&str) -> Option<OsString>,
        places: &Places,
    ) -> Result<Settings, ConfigError> {
        let env = |name: &'static str| env(name).filter(|v| !v.is_empty()).map(|v| Sourced::env(v, name));
        let file = settings_file(options, &env, places);
        let mut chosen = match &file {
            Some(file) => read_settings(file)?,
            None => file::Chosen::default(),
        };
        let data = options.data.clone().map(Sourced::option);
        let data = data.or_else(|| env("SOTTILE_DATA").map(|v| Sourced { value: v.value.into(), from: v.from }));
        let data = data.or(chosen.data.take()).or_else(|| places.data.clone().map(Sourced::default));
        Ok(Settings {
            file,
            data: data.ok_or(ConfigError::NoPlaceForData)?,
            units: options.units.map(Sourced::option).or(chosen.units).unwrap_or(Sourced::default(Units::Metric)),
            color: color(options, &env, chosen.color),
            ascii: options.ascii.then(|| Sourced::option(true)).or(chosen.ascii).unwrap_or(Sourced::default(false)),
            theme: chosen.theme.unwrap_or(Sourced::default(Theme::Terminal)),
            night: chosen.night.unwrap_or(Sourced::default(Some(Night::USUAL))),
            alarm: Alarm {
                bell: chosen.bell.unwrap_or(Sourced::default(true)),
                desktop: chosen.desktop.unwrap_or(Sourced::default(true)),
                command: chosen.command.unwrap_or(Sourced::default(Vec::new())),
                repeat_min: chosen.repeat_min.unwrap_or(Sourced::default(3.0)),
            },
            air_may_shorten: chosen.air_may_shorten.unwrap_or(Sourced::default(false)),
            bulk_g_per_ml: chosen.bulk_g_per_ml,
            unknown: chosen.unknown,
        })
    }

    /// The directory of the maker's own recipes: `recipes` beside the settings file.
    pub fn recipes(&self) -> Option<PathBuf> {
        Some(self.file.as_ref()?.value.parent()?.join("recipes"))
    }

    /// The maker's own recipe files, by name (the file's, without `.toml`) in order; a file that cannot be read keeps
    /// its place with the reason. No such directory: none.
    pub fn user_recipe_texts(&self) -> Vec<(String, PathBuf, io::Result<String>)> {
        self.recipes().map_or_else(Vec::new, |dir| recipe_texts(&dir))
    }

    /// Where things lie: what it is, and the path.
    pub fn paths(&self) -> Vec<(&'static str, PathBuf)> {
        let config = self.file.as_ref().map(|file| ("config", file.value.clone()));
        let recipes = self.recipes().map(|dir| ("recipes", dir));
        config.into_iter().chain(recipes).chain([("data", self.data.value.clone())]).collect()
    }

    /// Every setting for the eye: its key in the file, its value as it would be written there, where it came from.
    pub fn rows(&self) -> Vec<(String, String, Origin)> {
        let row = |key: &str, value: String, from: &Origin| (key.to_owned(), value, from.clone());
        let quoted = |text: &str| toml::Value::from(text).to_string();
        let night = self.night.value.map_or_else(|| "none".to_owned(), |n| n.to_string());
        let command = toml::Value::from(self.alarm.command.value.clone()).to_string();
        let mut rows = vec![
            row("data", quoted(&self.data.value.to_string_lossy()), &self.data.from),
            row("units", quoted(self.units.value.name()), &self.units.from),
            row("color", quoted(self.color.value.name()), &self.color.from),
            row("ascii", self.ascii.value.to_string(), &self.ascii.from),
            row("theme", quoted(self.theme.value.name()), &self.theme.from),
            row("night", quoted(&night), &self.night.from),
            row("air_may_shorten", self.air_may_shorten.value.to_string(), &self.air_may_shorten.from),
            row("alarm.bell", self.alarm.bell.value.to_string(), &self.alarm.bell.from),
            row("alarm.desktop", self.alarm.desktop.value.to_string(), &self.alarm.desktop.from),
            row("alarm.command", command, &self.alarm.command.from),
            row("alarm.repeat_min", format!("{:?}", self.alarm.repeat_min.value), &self.alarm.repeat_min.from),
        ];
        for (filler, weighed) in &self.bulk_g_per_ml {
            rows.push(row(
                &format!("materials.{}", quoted(filler.name())),
                format!("{:?}", weighed.value),
                &weighed.from,
            ));
        }
        rows
    }
}

/// The settings file: by option, environment, or the platform's place.
fn settings_file(
    options: &Options,
    env: &impl Fn(&'static str) -> Option<Sourced<OsString>>,
    places: &Places,
) -> Option<Sourced<PathBuf>> {
    let asked = options.config.clone().map(Sourced::option);
    let asked = asked.or_else(|| env("SOTTILE_CONFIG").map(|v| Sourced { value: v.value.into(), from: v.from }));
    asked.or_else(|| places.config.as_ref().map(|dir| Sourced::default(dir.join("config.toml"))))
}

/// `--color`, then NO_COLOR, then the two that force it, then the file.
fn color(
    options: &Options,
    env: &impl Fn(&'static str) -> Option<Sourced<OsString>>,
    in_file: Option<Sourced<Color>>,
) -> Sourced<Color> {
    let never = || env("NO_COLOR").map(|v| Sourced { value: Color::Never, from: v.from });
    let forced = |name| env(name).filter(|v| v.value != "0").map(|v| Sourced { value: Color::Always, from: v.from });
    let option = options.color.map(Sourced::option);
    let env = option.or_else(never).or_else(|| forced("CLICOLOR_FORCE")).or_else(|| forced("FORCE_COLOR"));
    env.or(in_file).unwrap_or(Sourced::default(Color::Auto))
}

fn read_settings(file: &Sourced<PathBuf>) -> Result<file::Chosen, ConfigError> {
    match read_text(&file.value) {
        Ok(text) => file::read(&file.value, &text).map_err(ConfigError::Faults),
        Err(e) if e.kind() == io::ErrorKind::NotFound && file.from == Origin::Default => Ok(file::Chosen::default()),
        Err(e) => {
            Err(ConfigError::Unreadable { path: file.value.clone(), from: file.from.clone(), trouble: Trouble::of(&e) })
        }
    }
}

/// The text of a file of at most [`LARGEST`] bytes.
fn read_text(path: &Path) -> io::Result<String> {
    let mut text = String::new();
    let opened = std::fs::File::open(path)?;
    opened.take(LARGEST + 1).read_to_string(&mut text)?;
    if text.len() as u64 > LARGEST {
        return Err(io::Error::new(io::ErrorKind::InvalidData, "it is larger than a mebibyte"));
    }
    Ok(text)
}

fn recipe_texts(dir: &Path) -> Vec<(String, PathBuf, io::Result<String>)> {
    let listed = match std::fs::read_dir(dir) {
        Ok(listed) => listed,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Vec::new(),
        Err(e) => return vec![("recipes".to_owned(), dir.to_owned(), Err(e))],
    };
    let mut paths: Vec<PathBuf> = listed.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.retain(|path| path.extension().is_some_and(|e| e == "toml"));
    paths.sort();
    let name = |path: &Path| path.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    paths.into_iter().map(|path| (name(&path), read_text(&path), path)).map(|(n, text, path)| (n, path, text)).collect()
}
