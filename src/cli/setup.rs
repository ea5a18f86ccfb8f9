//! `config`, `paths`, `completions`, `man`, `alert test`.

use super::args::{Cli, ManArgs};
use super::context::CliContext;
use super::error::CliError;
use super::{bench, json, output};
use crate::app::model::AlertText;
use crate::config::{SetKeyError, Settings, set_key};
use crate::craft::recipe::Direction;
use crate::review::schemas::SCHEMAS;
use crate::text::{FileError, find_nearest_word, quote_word};
use crate::ui::alert::{CALLS, call_text, play_alert};
use crate::ui::sleep_inhibitor;
use crate::work::panel::event::PanelCall;
use crate::work::plan::queue::PotNeed;
use crate::work::story::StoryCall;
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
    value: serde_json::Value,
    from: String,
}

/// Prints every setting and where it comes from.
pub(super) fn show_config(context: &CliContext, as_json: bool) -> Result<()> {
    let rows = context.settings.rows();
    if as_json {
        let setting = |(key, value, from): (String, String, crate::config::Origin)| SettingJson {
            key,
            value: toml_to_json(&value),
            from: from.to_string(),
        };
        let settings = rows.into_iter().map(setting).collect();
        return output::print_json(&ConfigJson { format: json::FORMAT_VERSION, settings });
    }
    let lines = rows.into_iter().map(|(key, value, from)| format!("{key} = {value}  # {from}\n"));
    output::print_text(&lines.collect::<String>())
}

/// Changes one key of the settings file.
pub(super) fn set_config(context: &CliContext, key: &str, value: &str) -> Result<()> {
    let Some(file) = &context.settings.config_file else {
        return Err(CliError::failed("this system names no place for settings; give one with --config FILE").into());
    };
    let path = &file.value;
    let failed = |what: String| CliError::failed(format!("{}: {what}", path.display()));
    let text = Settings::read_file_text(path).map_err(|e| failed(FileError::from_io_error(&e).to_string()))?;
    let text = set_key(path, &text, key, value).map_err(|error| match error {
        SetKeyError::Unknown(_) => CliError::usage(error),
        SetKeyError::Invalid(_) => CliError::failed(error),
        SetKeyError::NotToml(reason) => failed(reason),
    })?;
    if let Some(dir) = path.parent() {
        std::fs::create_dir_all(dir).map_err(|e| failed(FileError::from_io_error(&e).to_string()))?;
    }
    output::write_file(path, &text, true)?;
    output::print_message(&format!("sottile: {key} is set in {}", path.display()));
    Ok(())
}

/// Prints a schema, or the names of all.
pub(super) fn print_schema(name: Option<&str>) -> Result<()> {
    let names = || SCHEMAS.iter().map(|(name, _)| *name);
    let Some(name) = name else {
        return output::print_text(&names().map(|name| format!("{name}\n")).collect::<String>());
    };
    if let Some((_, text)) = SCHEMAS.iter().find(|(known, _)| *known == name) {
        return output::print_text(text);
    }
    let near = find_nearest_word(name, names()).map_or_else(String::new, |near| format!("did you mean {near}? "));
    let all = names().collect::<Vec<_>>().join(", ");
    Err(CliError::usage(format!("no schema is called {}; {near}there are {all}", quote_word(name))).into())
}

/// A value as TOML has it, as JSON has it; a word that is no TOML value stands for itself.
fn toml_to_json(toml: &str) -> serde_json::Value {
    let table = toml::from_str::<toml::Table>(&format!("value = {toml}")).ok();
    let value = table.and_then(|t| serde_json::to_value(t.get("value")?).ok());
    value.unwrap_or_else(|| toml.into())
}

/// Prints where everything is kept.
pub(super) fn show_paths(context: &CliContext, as_json: bool) -> Result<()> {
    let paths = context.settings.paths();
    if as_json {
        let mut object = serde_json::Map::new();
        object.insert("format".to_owned(), json::FORMAT_VERSION.into());
        object.extend(paths.into_iter().map(|(what, path)| (what.to_owned(), path.display().to_string().into())));
        return output::print_json(&object);
    }
    let lines = paths.into_iter().map(|(what, path)| format!("{what:8} {}\n", path.display()));
    output::print_text(&lines.collect::<String>())
}

/// Prints a completion script.
pub(super) fn print_completions(shell: clap_complete::Shell) -> Result<()> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "sottile", &mut script);
    output::print_text(&String::from_utf8_lossy(&script))
}

/// Prints the program's manual page, or writes it and one for each command into a directory.
pub(super) fn write_man_pages(args: &ManArgs) -> Result<()> {
    let Some(dir) = &args.out else {
        let mut page = Vec::new();
        clap_mangen::Man::new(Cli::command()).title("SOTTILE").source(MAN_SOURCE).render(&mut page)?;
        return output::print_text(&String::from_utf8_lossy(&page));
    };
    std::fs::create_dir_all(dir)
        .map_err(|e| CliError::failed(format!("{}: {}", dir.display(), FileError::from_io_error(&e))))?;
    let mut whole = Cli::command();
    whole.build();
    // A page that is there as it would be written needs nothing, so that what broke off can be run again.
    let pages = render_man_pages(&whole)?.into_iter().map(|(name, page)| (dir.join(format!("{name}.1")), page));
    let missing: Vec<_> = pages.filter(|(path, page)| std::fs::read(path).ok().as_ref() != Some(page)).collect();
    for (path, _) in &missing {
        output::check_not_existing(path, args.force)?;
    }
    for (path, page) in missing {
        output::write_file(&path, &String::from_utf8_lossy(&page), args.force)?;
    }
    Ok(())
}

/// What the foot of a page says.
const MAN_SOURCE: &str = concat!("sottile ", env!("CARGO_PKG_VERSION"));

/// The page of a command and those of all below it, each with its name: `sottile-recipe-list`.
fn render_man_pages(command: &clap::Command) -> Result<Vec<(String, Vec<u8>)>> {
    let name = command.get_display_name().unwrap_or(command.get_name()).to_owned();
    let mut page = Vec::new();
    clap_mangen::Man::new(command.clone()).title(name.to_uppercase()).source(MAN_SOURCE).render(&mut page)?;
    let mut all = vec![(name, page)];
    for below in command.get_subcommands().filter(|below| !below.is_hide_set()) {
        all.extend(render_man_pages(below)?);
    }
    Ok(all)
}

/// What stands for the panel in a trial of the calls.
const EXAMPLE_LABEL: &str = "Wren";

/// What the bench would say of that call on a panel of that name.
fn example_alert(call: PanelCall) -> AlertText {
    let direction = Direction::Vertical;
    let (act, direction, pot) = match call {
        PanelCall::LookDull => ("is the gloss gone?", None, None),
        PanelCall::Pot => (PotNeed::IntoBath.words(), None, Some("the gesso".to_owned())),
        PanelCall::Due => ("lay coat 4 of 6", Some(direction), None),
    };
    let label = EXAMPLE_LABEL.to_owned();
    AlertText { call, label, act: act.to_owned(), direction, direction_text: None, late_min: 0, pot }
}

/// Rings what the bench would ring, so that a maker knows beforehand what will be heard and seen.
pub(super) fn test_alerts(context: &CliContext) -> Result<()> {
    let ways = bench::alert_ways_from_settings(&context.settings);
    for call in CALLS {
        let tried = play_alert(&ways, &example_alert(call));
        let tried = if tried.is_empty() { "nothing: no way is chosen".to_owned() } else { tried.join("; ") };
        output::print_text(&format!("{} (\"{}\"): {tried}\n", call.name(), call_text(call)))?;
        if call != CALLS[CALLS.len() - 1] {
            std::thread::sleep(std::time::Duration::from_secs(2));
        }
    }
    if !sleep_inhibitor::IS_SUPPORTED {
        output::print_text("this build does not ask the computer to stay awake during a wait\n")?;
    }
    let file = context.settings.config_file.as_ref().map_or_else(String::new, |f| format!(" in {}", f.value.display()));
    output::print_text(&format!("What is tried is chosen{file}, table alarm: bell, desktop, command, speak.\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_a_page_of_its_own() {
        let mut whole = Cli::command();
        whole.build();
        let pages = render_man_pages(&whole).unwrap();
        let named = |name: &str| pages.iter().find(|(n, _)| n == name).map(|(_, p)| String::from_utf8_lossy(p));
        for name in ["sottile", "sottile-mark", "sottile-mark-done", "sottile-recipe-list", "sottile-alert-test"] {
            let page = named(name).unwrap_or_else(|| panic!("no page {name}"));
            assert!(page.contains(".SH SYNOPSIS") && page.contains(&name.replace('-', "\\-")), "{name}: {page}");
        }
    }
}
