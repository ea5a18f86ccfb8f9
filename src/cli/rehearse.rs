//! `rehearse`, a whole panel in some minutes on the same bench, and `demo`, invented stories to look at.
//!
//! A rehearsal lies in a temporary directory that is removed on every way out the program can see: leaving, a failure,
//! a panic, a signal. After SIGKILL `sottile-rehearsal-...` stays in the system's temporary directory, which the system
//! clears.

use super::args::{DemoArgs, RehearseArgs};
use super::context::CliContext;
use super::error::CliError;
use super::{bench, output, recipe};
use crate::app::model::ModelSettings;
use crate::bench::{Bench, PanelOpening, PotOpening, RecordError};
use crate::clock::Clock;
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe};
use crate::record::demo::{DemoError, DemoOptions, write_demo};
use crate::record::files::read_boot_id;
use crate::record::shelf::Shelf;
use crate::text::format_count;
use crate::ui::alert::AlertChannels;
use crate::ui::event_loop::{RunOptions, run_bench as open};
use crate::ui::signals;
use crate::units::{Id, Length, Moment, Size, Span};
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use anyhow::{Context, Result};
use std::path::Path;
use std::sync::Arc;

/// Opens the bench over a panel for practice.
pub(super) fn run(context: &CliContext, args: &RehearseArgs) -> Result<()> {
    bench::require_screen()?;
    let recipe = Arc::new(recipe::find_recipe(context, &args.recipe)?);
    let place = tempfile::Builder::new().prefix("sottile-rehearsal-").tempdir();
    let place = place.context("no temporary directory can be made")?;
    let path = place.path().to_owned();
    signals::set_exit_hook(move || remove_with_retries(&path));
    let clock = Clock::with_pace(read_boot_id(), f64::from(args.pace));
    let mut bench = Bench::new(Shelf::open(place.path()));
    let now = || clock.now();
    let labels = if args.boards == 1 { &["Rehearsal: Wren"][..] } else { &BOARDS[..usize::from(args.boards)] };
    for label in labels {
        let opened = bench.open_panels(&board_opening(label, &recipe), &now);
        opened.map_err(|(error, _)| CliError::from(error))?;
    }
    if args.boards > 1 {
        open_pots(&mut bench, &recipe, &now).map_err(CliError::from)?;
    }
    let settings = &context.settings;
    let options = RunOptions {
        clock,
        theme: bench::theme_from_settings(settings),
        units: settings.unit_system.value,
        // The bell rings as on any day; the desktop and the maker's own command are left in peace.
        alert_channels: AlertChannels {
            desktop: false,
            command: Vec::new(),
            ..bench::alert_ways_from_settings(settings)
        },
        model_settings: ModelSettings {
            night: None,
            ring_for: Span::from_min(settings.alarm.repeat_min.value),
            recipes: recipe::selectable_recipes(context),
            shelf_ids: Vec::new(),
            keymap: Arc::default(),
            hands: settings.hands.value,
            units: settings.unit_system.value,
            habits: context.plan_habits(),
        },
        bulk: context.settings.bulk_densities(),
        sitting: false,
    };
    let left = open(bench, options);
    remove_with_retries(place.path());
    left.context("the terminal failed")?;
    output::print_text(
        "The rehearsal is over; nothing of it is kept. `sottile` opens the bench for a panel of your own.\n",
    )
}

/// The boards of a round, in their places.
const BOARDS: [&str; 4] = ["Ash", "Bay", "Cob", "Dun"];

/// A board for practice.
fn board_opening(label: &str, recipe: &Arc<Recipe>) -> PanelOpening {
    PanelOpening {
        sheet: None,
        label: label.to_owned(),
        size: Size {
            width: Length::from_mm(300.0),
            height: Length::from_mm(400.0),
            thickness: Some(Length::from_mm(12.0)),
        },
        support: Support::BirchPlywood,
        grain: None,
        paint: recipe.suits.first().copied().unwrap_or(Paint::Oil),
        recipe: Arc::clone(recipe),
        count: 1,
        at: None,
        witness: false,
    }
}

/// The pots of a round: glue size ready to be brushed on, and gesso made of it, a jelly by the time it is wanted.
fn open_pots(bench: &mut Bench, recipe: &Arc<Recipe>, now: &dyn Fn() -> Moment) -> Result<(), RecordError> {
    let opening = |kind: PotKind, parent: Option<Id>| PotOpening {
        filler_lot: None,
        label: kind.name().to_owned(),
        kind,
        parent,
        recipe: Arc::clone(recipe),
        size_ml: None,
        lot: None,
        for_group: None,
        at: None,
    };
    let size = bench.open_pot(&opening(PotKind::Size, None), now)?.id;
    for act in [PotAct::Soak, PotAct::Melt, PotAct::Liquid, PotAct::OutOfBath, PotAct::made_as_asked()] {
        bench.record_pot(&size, &act, None, now)?;
    }
    let gesso = bench.open_pot(&opening(PotKind::Gesso, Some(size)), now)?.id;
    for act in [PotAct::made_as_asked(), PotAct::Strained] {
        bench.record_pot(&gesso, &act, None, now)?;
    }
    Ok(())
}

/// Removes the directory. The thread that saves may still be writing a last line, so it is tried more than once.
fn remove_with_retries(place: &Path) {
    for _ in 0..20 {
        match std::fs::remove_dir_all(place) {
            Err(_) if place.exists() => std::thread::yield_now(),
            Ok(()) | Err(_) => return,
        }
    }
}

/// Writes invented stories, to look at, and prints the id of each.
pub(super) fn write_stories(args: &DemoArgs) -> Result<()> {
    let stories = DemoOptions {
        panels: args.panels.unwrap_or(args.cause.default_panels()),
        seed: args.seed,
        cause: args.cause,
        force: args.force,
        trial: args.panels.is_none() && !args.cause.is_planted(),
    };
    let ids = write_demo(&args.into, &stories).map_err(CliError::from)?;
    output::print_text(&ids.iter().map(|id| format!("{id}\n")).collect::<String>())?;
    let dir = args.into.display();
    output::print_message(&format!(
        "sottile: {}, invented; `sottile --data {dir} panels` tells of them",
        format_count(ids.len(), "panel")
    ));
    Ok(())
}

impl From<DemoError> for CliError {
    fn from(error: DemoError) -> Self {
        match error {
            DemoError::Journal(error) => error.into(),
            DemoError::HasStories { .. } | DemoError::Refused(_) | DemoError::Io { .. } => CliError::failed(error),
        }
    }
}
