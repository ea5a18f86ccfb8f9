//! What is asked from a shell: one file for each group of commands.
//!
//! `args` and `args_reckon` what may be written, `json`, `pot_json` and `reckon_json` what scripts are promised, `failure` the exit codes, `out` stdout and stderr, `progress` how far a long command has come, `interrupted` what a signal must not leave behind.
//! Absent on purpose: rules of the craft, drawing.

mod air;
mod alert;
mod args;
mod args_pot;
mod args_reckon;
mod bench;
mod board;
mod compare;
mod demo;
mod failure;
mod forecast;
mod inspect;
mod interrupted;
mod json;
mod mix;
mod out;
mod panel;
mod pot;
mod pot_json;
mod progress;
mod recipe;
mod reckon_json;
mod rehearse;
mod setup;
mod tell;
mod tell_pot;
mod verify;
mod wrap;

use crate::bench::Bench;
use crate::clock::Clock;
use crate::config::{Color, Options, Settings};
use crate::craft::materials::fillers::BulkDensities;
use crate::record::files::{boot_id, low_space};
use crate::record::shelf::Shelf;
use crate::text::parse_time;
use crate::units::Stamp;
use anyhow::Result;
use args::{Cli, Command, Everywhere};
use chrono::Local;
use clap::Parser;
use failure::{Fault, Kind};
use std::process::ExitCode;

/// What every command is given: the settings of this run and the clock.
struct Here {
    settings: Settings,
    clock: Clock,
}

impl Here {
    fn find(everywhere: &Everywhere) -> Result<Here, Fault> {
        let color = everywhere.color.as_deref();
        let options = Options {
            config: everywhere.config.clone(),
            data: everywhere.data.clone(),
            units: everywhere.units,
            color: color.and_then(|word| Color::ALL.into_iter().find(|c| c.name() == word)),
            ascii: everywhere.ascii,
        };
        let settings = Settings::load(&options).map_err(Fault::not_done)?;
        for unknown in &settings.unknown {
            out::say(&format!("sottile: {unknown}"));
        }
        Ok(Here { settings, clock: Clock::real(boot_id()) })
    }

    fn shelf(&self) -> Shelf {
        Shelf::open(self.settings.data.value.clone())
    }

    /// A time as typed after `--at`, or nothing.
    fn time(&self, text: Option<&String>) -> Result<Option<Stamp>, Fault> {
        let now = self.clock.now().wall;
        text.map(|t| parse_time(t, now, &Local).map_err(|e| Fault::usage(format!("--at: {e}")))).transpose()
    }

    /// What powders weigh, loosely filled: the table's figures, save where the maker has weighed a cup.
    fn bulk(&self) -> BulkDensities {
        let mut bulk = BulkDensities::table();
        for (filler, weighed) in &self.settings.bulk_g_per_ml {
            // The settings take in nothing that is no loose weight.
            let _ = bulk.weigh(*filler, weighed.value);
        }
        bulk
    }

    fn bench(&self) -> Bench {
        Bench::new(self.shelf()).air_may_shorten(self.settings.air_may_shorten.value)
    }
}

/// Reads the command line, does what it says, and tells the exit code.
pub fn run() -> ExitCode {
    crate::ui::signals::survive_file_limits();
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => {
            let _ = e.print();
            return ExitCode::from(if e.use_stderr() { Kind::Usage.code() } else { 0 });
        }
    };
    match obey(cli) {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            let fault = e.downcast_ref::<Fault>();
            let said = fault.map_or_else(|| format!("{e:#}"), |f| f.said.clone());
            if !said.is_empty() {
                out::say(&format!("sottile: {said}"));
            }
            ExitCode::from(fault.map_or(Kind::NotDone, |f| f.kind).code())
        }
    }
}

/// Whether the command adds to the journals.
const fn records(command: &Command) -> bool {
    use args_pot::Pot::{Mark, New};
    matches!(
        command,
        Command::New(_) | Command::Mark(_) | Command::Inspect(_) | Command::Air(_) | Command::Pot(New(_) | Mark(_))
    )
}

fn obey(cli: Cli) -> Result<()> {
    let here = Here::find(&cli.everywhere)?;
    let records = cli.command.as_ref().is_some_and(records);
    does(&here, cli)?;
    if let Some(mb) = low_space(&here.settings.data.value).filter(|_| records) {
        out::say(&format!("sottile: only {mb} MB are left on the disk of the journals; make room before it is full"));
    }
    Ok(())
}

fn does(here: &Here, cli: Cli) -> Result<()> {
    match cli.command {
        None => bench::run(here, &cli.panels, false),
        Some(Command::Bench { panels }) => bench::run(here, &panels, false),
        Some(Command::New(new)) => panel::new(here, &new),
        Some(Command::Mark(mark)) => panel::mark(here, &mark),
        Some(Command::Panels { json }) => panel::panels(here, json),
        Some(Command::Show(show)) => panel::show(here, &show),
        Some(Command::Inspect(asked)) => inspect::run(here, &asked),
        Some(Command::Compare(asked)) => compare::run(here, &asked),
        Some(Command::Report(asked)) => compare::report(here, &asked),
        Some(Command::Card(asked)) => compare::card(here, &asked),
        Some(Command::Export(asked)) => compare::export(here, &asked),
        Some(Command::Pot(args_pot::Pot::New(new))) => pot::new(here, &new),
        Some(Command::Pot(args_pot::Pot::Mark(mark))) => pot::mark(here, &mark),
        Some(Command::Pot(args_pot::Pot::Show { pot, at, json })) => pot::show(here, &pot, at.as_ref(), json),
        Some(Command::Pot(args_pot::Pot::Forecast(asked))) => forecast::run(here, &asked),
        Some(Command::Pots { json }) => pot::pots(here, json),
        Some(Command::Air(air)) => air::run(here, &air),
        Some(Command::Mix(mix)) => mix::run(here, &mix),
        Some(Command::Board(board)) => board::run(here, &board),
        Some(Command::Verify(verify)) => verify::run(here, &verify),
        Some(Command::Recipe(recipe)) => recipe::run(here, &recipe),
        Some(Command::Config(args::Config::Show { json })) => setup::config(here, json),
        Some(Command::Paths { json }) => setup::paths(here, json),
        Some(Command::Rehearse(asked)) => rehearse::run(here, &asked),
        Some(Command::Demo(asked)) => demo::run(&asked),
        Some(Command::Completions { shell }) => setup::completions(shell),
        Some(Command::Man(man)) => setup::man(&man),
        Some(Command::Alert(args::Alert::Test)) => alert::test(here),
    }
}
