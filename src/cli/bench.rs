//! `bench`: opens the full screen.

use super::context::{CliContext, find_panel};
use super::error::CliError;
use super::{output, recipe};
use crate::app::model::ModelSettings;
use crate::bench::Bench;
use crate::config::{ColorMode, Settings, ThemeName as Chosen};
use crate::ui::alert::AlertChannels;
use crate::ui::event_loop::{RunOptions, run_bench as open};
use crate::ui::theme::{ColorScheme, Theme};
use crate::units::Span;
use anyhow::{Context, Result};
use std::io::IsTerminal;
use std::sync::Arc;

/// Opens the bench over those panels, or over the rack; with a sitting over the finished ones if that was asked for. `hands` goes
/// before the settings.
pub(super) fn run(context: &CliContext, panels: &[String], sitting: bool, hands: Option<u8>) -> Result<()> {
    require_screen()?;
    let mut bench = context.bench();
    if panels.is_empty() {
        bench.load_rack(context.clock.now()).map_err(CliError::from)?;
    }
    for asked in panels {
        load_panel(&mut bench, asked)?;
    }
    let settings = &context.settings;
    let options = RunOptions {
        clock: context.clock.clone(),
        theme: theme_from_settings(settings),
        units: settings.unit_system.value,
        alert_channels: alert_ways_from_settings(settings),
        model_settings: ModelSettings {
            night: settings.quiet_hours.value,
            ring_for: Span::from_min(settings.alarm.repeat_min.value),
            recipes: recipe::selectable_recipes(context),
            // A shelf that cannot be listed offers a name that is numbered then.
            shelf_ids: context.shelf().panel_ids().unwrap_or_default(),
            keymap: Arc::default(),
            hands: hands.unwrap_or(settings.hands.value),
            units: settings.unit_system.value,
            habits: context.plan_habits(),
        },
        bulk: context.settings.bulk_densities(),
        sitting,
    };
    let last = open(bench, options).context("the terminal failed")?;
    output::print_text(&last.into_iter().map(|line| line + "\n").collect::<String>())
}

fn load_panel(bench: &mut Bench, query: &str) -> Result<(), CliError> {
    let id = find_panel(bench, query)?;
    let snapshot = bench.load(&id)?;
    match (snapshot.story, snapshot.damage) {
        (None, Some(damage)) => Err(CliError::damaged(format!("{id}: {damage}"))),
        (Some(_), _) | (None, None) => Ok(()),
    }
}

/// The bench needs a terminal that can show a full screen.
pub(super) fn require_screen() -> Result<(), CliError> {
    let instead = "`sottile panels` tells where everything stands";
    if !std::io::stdin().is_terminal() || !std::io::stdout().is_terminal() {
        return Err(CliError::usage(format!("the bench needs a terminal; {instead}")));
    }
    match std::env::var("TERM").as_deref() {
        Ok("dumb" | "") => Err(CliError::usage(format!("this terminal (TERM=dumb) cannot show the bench; {instead}"))),
        Ok(_) | Err(_) if cfg!(windows) => Ok(()),
        Err(_) => Err(CliError::usage(format!("TERM is not set, so the bench cannot be shown; {instead}"))),
        Ok(_) => Ok(()),
    }
}

/// Colours and signs, as the settings and the terminal have them.
pub(super) fn theme_from_settings(settings: &Settings) -> Theme {
    let scheme = match (settings.color_mode.value, settings.theme.value) {
        (ColorMode::Never, _) | (_, Chosen::Mono) => ColorScheme::Mono,
        (ColorMode::Auto | ColorMode::Always, Chosen::Terminal) => ColorScheme::Terminal,
        (ColorMode::Auto | ColorMode::Always, Chosen::Dark) => ColorScheme::Dark,
        (ColorMode::Auto | ColorMode::Always, Chosen::Light) => ColorScheme::Light,
    };
    Theme { color_scheme: scheme, ascii: settings.ascii.value }
}

/// How calls reach the maker.
pub(super) fn alert_ways_from_settings(settings: &Settings) -> AlertChannels {
    AlertChannels {
        bell: settings.alarm.bell.value,
        desktop: settings.alarm.desktop.value,
        command: settings.alarm.command.value.clone(),
        speak: settings.alarm.speak.value,
    }
}
