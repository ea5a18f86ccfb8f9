//! `config`, `paths`, `completions`.

use super::args::Cli;
use super::{Here, json, out};
use anyhow::Result;
use clap::CommandFactory;
use serde::Serialize;

#[derive(Serialize)]
struct ConfigJson {
    format: u32,
    settings: Vec<SettingJson>,
}

#[derive(Serialize)]
struct SettingJson {
    key: String,
    value: String,
    from: String,
}

/// Prints every setting and where it comes from.
pub(super) fn config(here: &Here, as_json: bool) -> Result<()> {
    let rows = here.settings.rows();
    if as_json {
        let setting = |(key, value, from): (String, String, crate::config::Origin)| SettingJson {
            key,
            value,
            from: from.to_string(),
        };
        let settings = rows.into_iter().map(setting).collect();
        return out::json(&ConfigJson { format: json::FORMAT, settings });
    }
    let lines = rows.into_iter().map(|(key, value, from)| format!("{key} = {value}  # {from}\n"));
    out::text(&lines.collect::<String>())
}

/// Prints where everything is kept.
pub(super) fn paths(here: &Here, as_json: bool) -> Result<()> {
    let paths = here.settings.paths();
    if as_json {
        let mut object = serde_json::Map::new();
        object.insert("format".to_owned(), json::FORMAT.into());
        object.extend(paths.into_iter().map(|(what, path)| (what.to_owned(), path.display().to_string().into())));
        return out::json(&object);
    }
    let lines = paths.into_iter().map(|(what, path)| format!("{what:8} {}\n", path.display()));
    out::text(&lines.collect::<String>())
}

/// Prints a completion script.
pub(super) fn completions(shell: clap_complete::Shell) -> Result<()> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "sottile", &mut script);
    out::text(&String::from_utf8_lossy(&script))
}
