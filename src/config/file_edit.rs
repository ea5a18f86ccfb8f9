//! The settings file as the maker keeps it: the one that explains itself, and one key changed in it.

use super::parser;
use super::{ConfigError, UnknownSetting};
use std::fmt;
use std::path::Path;
use toml_edit::{DocumentMut, Item, TableLike, Value};

/// A settings file in which every key is explained, and chosen as if it were not there.
pub const DEFAULT_FILE: &str = include_str!("../../assets/config.toml");

/// Why a key was not set.
#[derive(Debug)]
pub enum SetKeyError {
    /// There is no such setting.
    Unknown(UnknownSetting),
    /// The file would have a fault.
    Invalid(ConfigError),
    /// The file is no TOML, or has something else in the place of a table.
    NotToml(String),
}

impl fmt::Display for SetKeyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SetKeyError::Unknown(unknown) => {
                write!(f, "there is no setting {}; ", unknown.key)?;
                match &unknown.nearest {
                    Some(nearest) => write!(f, "did you mean {nearest}?"),
                    None => f.write_str("`sottile config show --default` tells them all"),
                }
            }
            SetKeyError::Invalid(error) => error.fmt(f),
            SetKeyError::NotToml(reason) => f.write_str(reason),
        }
    }
}

/// The text of a settings file with one key changed; comments and order stay. `value` is taken as TOML has it (`2`, `true`,
/// `["a"]`), else as a text. `key` has its table before it: `alarm.bell`, `materials.zinc white`.
///
/// # Errors
/// [`SetKeyError`]; nothing that has a fault comes out of it.
pub fn set_key(path: &Path, text: &str, key: &str, value: &str) -> Result<String, SetKeyError> {
    let mut file: DocumentMut = text.parse().map_err(|e: toml_edit::TomlError| SetKeyError::NotToml(e.to_string()))?;
    let value = value.trim().parse::<Value>().unwrap_or_else(|_| Value::from(value));
    match key.split_once('.') {
        None => put(file.as_table_mut(), key, value),
        Some((table, key)) => {
            let table = file.entry(table).or_insert_with(toml_edit::table);
            let table = table.as_table_like_mut();
            let key = key.trim_matches('"');
            put(table.ok_or_else(|| SetKeyError::NotToml(format!("{key} is in no table")))?, key, value);
        }
    }
    let text = file.to_string();
    let settings =
        parser::parse_settings(path, &text).map_err(|e| SetKeyError::Invalid(ConfigError::InvalidSettings(e)))?;
    let plain = key.replace('"', "");
    match settings.unknown_settings.into_iter().find(|unknown| unknown.key == plain) {
        Some(unknown) => Err(SetKeyError::Unknown(unknown)),
        None => Ok(text),
    }
}

/// Puts a value in the place of the old one; what stands behind it on its line stays.
fn put(table: &mut dyn TableLike, key: &str, mut value: Value) {
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        None => _ = table.insert(key, Item::Value(value)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::config::{Options, PlatformDirs, Settings};

    const PATH: &str = "/settings/config.toml";

    fn set(text: &str, key: &str, value: &str) -> Result<String, String> {
        set_key(Path::new(PATH), text, key, value).map_err(|e| e.to_string())
    }

    #[test]
    fn one_key_changes_and_comments_stay() {
        let file = "# mine\nunits = \"metric\" # as at school\n\n[alarm]\nbell = true\n";
        for (key, value, becomes) in [
            ("units", "imperial", "# mine\nunits = \"imperial\" # as at school\n\n[alarm]\nbell = true\n"),
            ("alarm.bell", "false", "# mine\nunits = \"metric\" # as at school\n\n[alarm]\nbell = false\n"),
            ("hands", "2", "# mine\nunits = \"metric\" # as at school\nhands = 2\n\n[alarm]\nbell = true\n"),
            (
                "materials.zinc white",
                "0.46",
                "# mine\nunits = \"metric\" # as at school\n\n[alarm]\nbell = true\n\n[materials]\n\"zinc white\" = 0.46\n",
            ),
        ] {
            assert_eq!(set(file, key, value).as_deref(), Ok(becomes), "{key}");
        }
        assert_eq!(
            set("", "off", "[\"2026-12-24..2026-12-27\"]").as_deref(),
            Ok("off = [\"2026-12-24..2026-12-27\"]\n")
        );
    }

    #[test]
    fn what_is_no_setting_or_no_value_of_it_is_refused() {
        for (key, value, says) in [
            ("unit", "metric", "did you mean units?"),
            ("alarm.bells", "true", "did you mean alarm.bell?"),
            ("units", "cubits", "metric"),
            ("hands", "9", "hands"),
            ("hands", "two", "hands"),
        ] {
            let refused = set("", key, value).unwrap_err();
            assert!(refused.contains(says), "{key} {value}: {refused}");
        }
    }

    /// Every key with the `#` taken away is what holds without it.
    #[test]
    fn the_explained_file_names_every_key_as_it_is_without_it() {
        let is_key = |line: &&str| line.starts_with("# ") && line.contains(" = ");
        let line = |line: &str| match is_key(&line) {
            true => line.trim_start_matches("# ").to_owned(),
            false => line.to_owned(),
        };
        let lines: Vec<String> = DEFAULT_FILE.lines().map(line).collect();
        let places = PlatformDirs { config_dir: None, data_dir: Some("/home/me/panels".into()) };
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("config.toml");
        std::fs::write(&file, lines.join("\n")).unwrap();
        let options = Options { config_file: Some(file), ..Options::default() };
        let chosen = Settings::resolve(&options, |_| None, &places).unwrap();
        let silent = Settings::resolve(&Options::default(), |_| None, &places).unwrap();
        let values = |s: &Settings| s.rows().into_iter().map(|(key, value, _)| (key, value)).collect::<Vec<_>>();
        let mut expected = values(&silent);
        expected.push(("materials.\"zinc white\"".to_owned(), "0.46".to_owned()));
        assert_eq!(values(&chosen), expected);
        assert!(chosen.unknown_settings.is_empty());
        // As it stands it chooses nothing.
        std::fs::write(dir.path().join("config.toml"), DEFAULT_FILE).unwrap();
        assert_eq!(values(&Settings::resolve(&options, |_| None, &places).unwrap()), values(&silent));
    }
}
