//! `bench`: opens the full screen.

use super::failure::Fault;
use super::{Here, out, recipe};
use crate::app::view::Manner;
use crate::bench::Bench;
use crate::config::{Color, Settings, Theme as Chosen};
use crate::record::shelf::Drawer;
use crate::text::clean;
use crate::ui::alert::Ways;
use crate::ui::run::{Run, run as open};
use crate::ui::theme::{Look, Theme};
use crate::units::Span;
use crate::work::panel::event::Event;
use anyhow::{Context, Result};
use std::io::IsTerminal;

/// Opens the bench over those panels, or over the rack; with a sitting over the finished ones if that was asked for.
pub(super) fn run(here: &Here, panels: &[String], sitting: bool) -> Result<()> {
    needs_a_screen()?;
    let mut bench = here.bench();
    if panels.is_empty() {
        bench.bring_rack(here.clock.now()).map_err(Fault::from)?;
    }
    for asked in panels {
        bring(&mut bench, asked)?;
    }
    let settings = &here.settings;
    let how = Run {
        clock: here.clock.clone(),
        theme: theme(settings),
        units: settings.units.value,
        ways: ways(settings),
        manner: Manner {
            night: settings.night.value,
            ring_for: Span::from_min(settings.alarm.repeat_min.value),
            recipes: recipe::choices(here),
            // A shelf that cannot be listed offers a name that is numbered then.
            shelved: here.shelf().panel_ids().unwrap_or_default(),
        },
        loose_g_per_ml: super::pot::loose(here),
        sitting,
    };
    let last = open(bench, how).context("the terminal failed")?;
    out::text(&last.into_iter().map(|line| line + "\n").collect::<String>())
}

fn bring(bench: &mut Bench, asked: &str) -> Result<(), Fault> {
    let found = bench.shelf().find::<Event>(Drawer::Panels, asked)?;
    let id = found.map_err(|e| Fault::not_done(clean(&e.to_string())))?;
    let told = bench.bring(&id)?;
    match (told.story, told.damage) {
        (None, Some(damage)) => Err(Fault::damaged(format!("{id}: {damage}"))),
        (Some(_), _) | (None, None) => Ok(()),
    }
}

/// The bench needs a terminal that can show a full screen.
pub(super) fn needs_a_screen() -> Result<(), Fault> {
    let instead = "`sottile panels` tells where everything stands";
    if !std::io::stdin().is_terminal() || !std::io::stdout().is_terminal() {
        return Err(Fault::usage(format!("the bench needs a terminal; {instead}")));
    }
    match std::env::var("TERM").as_deref() {
        Ok("dumb" | "") => Err(Fault::usage(format!("this terminal (TERM=dumb) cannot show the bench; {instead}"))),
        Ok(_) | Err(_) if cfg!(windows) => Ok(()),
        Err(_) => Err(Fault::usage(format!("TERM is not set, so the bench cannot be shown; {instead}"))),
        Ok(_) => Ok(()),
    }
}

/// Colours and signs, as the settings and the terminal have them.
pub(super) fn theme(settings: &Settings) -> Theme {
    let look = match (settings.color.value, settings.theme.value) {
        (Color::Never, _) | (_, Chosen::Mono) => Look::Mono,
        (Color::Auto | Color::Always, Chosen::Terminal) => Look::Terminal,
        (Color::Auto | Color::Always, Chosen::Dark) => Look::Dark,
        (Color::Auto | Color::Always, Chosen::Light) => Look::Light,
    };
    Theme { look, ascii: settings.ascii.value }
}

/// How calls reach the maker.
pub(super) fn ways(settings: &Settings) -> Ways {
    Ways {
        bell: settings.alarm.bell.value,
        desktop: settings.alarm.desktop.value,
        command: settings.alarm.command.value.clone(),
    }
}
