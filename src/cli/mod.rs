//! What is asked from a shell: one file for each group of commands.
//!
//! `args` and its like are what may be written, `context` what every command is given, `json`, `pot_json` and
//! `calculation_json` what scripts are promised, `error` the exit codes, `output` stdout and stderr, `several` one act
//! on several panels, `progress` how far a long command has come, `signal_cleanup` what a signal must not leave behind,
//! `terminal_writer` what may reach a terminal.

mod air;
mod air_show;
mod args;
mod args_calculation;
mod args_paper;
mod args_plan;
mod args_pot;
mod args_shelf;
mod args_stock;
mod args_trial;
mod args_values;
mod bench;
mod board;
mod calculation_json;
mod calendar_file;
mod compare;
mod context;
mod enter;
mod enter_facts;
mod enter_file;
mod error;
mod exchange;
mod export;
mod forecast;
mod format_panel;
mod format_pot;
mod input;
mod inspect;
mod json;
mod mix;
mod output;
mod panel;
mod plan;
mod plan_json;
mod plan_text;
mod pot;
mod pot_json;
mod pot_survey;
mod progress;
mod read_stories;
mod recipe;
mod rehearse;
mod report;
mod setup;
mod several;
mod sheet;
mod sheet_model;
mod sheet_page;
mod sheet_text;
mod shopping;
mod signal_cleanup;
mod spare;
mod stock;
mod stock_json;
mod story;
mod terminal_writer;
mod trace;
mod trial;
mod trial_plan;
mod trial_show;
mod trial_tests;
mod user_recipes;
mod verify;
mod wait;
mod wrap;
#[cfg(test)]
mod written_words_tests;

use crate::record::files::low_space;
use crate::text::sanitize_lines;
use crate::units::Stamp;
use anyhow::Result;
use args::{Cli, Command};
use clap::Parser;
use context::CliContext;
use error::{CliError, ExitKind};
use std::process::ExitCode;

/// Reads the command line, does what it says, and tells the exit code.
pub fn run() -> ExitCode {
    crate::ui::signals::survive_file_limits();
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => {
            print_usage_error(&e);
            return ExitCode::from(if e.use_stderr() { ExitKind::Usage.code() } else { 0 });
        }
    };
    match dispatch(cli) {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            let error = e.downcast_ref::<CliError>();
            let message = error.map_or_else(|| format!("{e:#}"), |f| f.message.clone());
            if !message.is_empty() {
                output::print_message(&format!("sottile: {message}"));
            }
            ExitCode::from(error.map_or(ExitKind::Failed, |f| f.kind).code())
        }
    }
}

/// Help, or what is wrong with what was typed, of which nothing may act on the terminal.
fn print_usage_error(error: &clap::Error) {
    let typed: Vec<String> = std::env::args_os().map(|word| word.to_string_lossy().into_owned()).collect();
    let shown: Vec<String> = typed.iter().map(|word| sanitize_lines(word)).collect();
    if shown == typed {
        let _ = error.print();
        return;
    }
    // The same words made harmless are refused for the same reason, unless what cannot be seen was all that was wrong.
    match Cli::try_parse_from(shown) {
        Err(same) => {
            let _ = same.print();
        }
        Ok(_) => output::print_message("sottile: an option holds characters that cannot be seen; type it anew"),
    }
}

/// Whether the command adds to the journals.
const fn is_recording(command: &Command) -> bool {
    use args_pot::PotSubcommand::{Mark, New};
    matches!(
        command,
        Command::New(_)
            | Command::Mark(_)
            | Command::Correct(_)
            | Command::Bring(_)
            | Command::Enter(_)
            | Command::Stock(_)
            | Command::Inspect(_)
            | Command::Air(_)
            | Command::Pot(New(_) | Mark(_))
            | Command::Trial(args_trial::TrialSubcommand::New(_))
    )
}

fn dispatch(cli: Cli) -> Result<()> {
    let context = CliContext::load(&cli.global)?;
    if context.clock.now().wall < Stamp::default() {
        let message = "the computer's clock stands before 1970; set it, then try again";
        return Err(CliError::failed(message).into());
    }
    let records = cli.command.as_ref().is_some_and(is_recording);
    run_command(&context, cli)?;
    if let Some(mb) = low_space(&context.settings.data_dir.value).filter(|_| records) {
        output::print_message(&format!(
            "sottile: only {mb} MB are left on the disk on which all is recorded; make room before it is full"
        ));
    }
    Ok(())
}

fn run_command(context: &CliContext, cli: Cli) -> Result<()> {
    match cli.command {
        None => bench::run(context, &cli.panels, false, None),
        Some(Command::Bench { panels, hands }) => bench::run(context, &panels, false, hands),
        Some(Command::New(new)) => panel::open_panels(context, &new),
        Some(Command::Mark(mark)) => panel::mark_panels(context, &mark),
        Some(Command::Panels { json }) => panel::list_panels(context, json),
        Some(Command::Show(show)) => panel::show_panel(context, &show),
        Some(Command::Correct(said)) => panel::correct_panel(context, &said),
        Some(Command::Trace(asked)) => trace::run(context, &asked),
        Some(Command::Plan(asked)) => plan::run(context, &asked),
        Some(Command::Enter(asked)) => enter::run(context, &asked),
        Some(Command::Sheet(asked)) => sheet::run(context, &asked),
        Some(Command::Stock(asked)) => stock::run(context, &asked),
        Some(Command::Wait(asked)) => wait::run(context, &asked),
        Some(Command::Inspect(asked)) => inspect::run(context, &asked),
        Some(Command::Compare(asked)) => compare::run(context, &asked),
        Some(Command::Report(asked)) => report::write_report(context, &asked),
        Some(Command::Card(asked)) => report::write_card(context, &asked),
        Some(Command::Export(asked)) => export::run(context, &asked),
        Some(Command::Pot(args_pot::PotSubcommand::New(new))) => pot::open_pot(context, &new),
        Some(Command::Pot(args_pot::PotSubcommand::Mark(mark))) => pot::mark_pot(context, &mark),
        Some(Command::Pot(args_pot::PotSubcommand::Show { pot, at, json })) => {
            pot::show_pot(context, &pot, at.as_ref(), json)
        }
        Some(Command::Pot(args_pot::PotSubcommand::Forecast(asked))) => forecast::run(context, &asked),
        Some(Command::Pots { json }) => pot::list_pots(context, json),
        Some(Command::Trial(args_trial::TrialSubcommand::New(new))) => trial::open_trial(context, &new),
        Some(Command::Trial(args_trial::TrialSubcommand::Show { trial, json })) => {
            trial_show::show_trial(context, &trial, json)
        }
        Some(Command::Trial(args_trial::TrialSubcommand::Tests { size })) => trial_tests::print_tests(&size),
        Some(Command::Trials { json }) => trial::list_trials(context, json),
        Some(Command::Air(asked)) if asked.show => air_show::run(context, &asked),
        Some(Command::Air(air)) => air::run(context, &air),
        Some(Command::Mix(mix)) => mix::run(context, &mix),
        Some(Command::Board(board)) => board::run(context, &board),
        Some(Command::Pack(asked)) => exchange::pack_shelf(context, &asked),
        Some(Command::Bring(asked)) => exchange::bring_shelf(context, &asked),
        Some(Command::Schema { name }) => setup::print_schema(name.as_deref()),
        Some(Command::Verify(verify)) => verify::run(context, &verify),
        Some(Command::Recipe(recipe)) => recipe::run(context, &recipe),
        Some(Command::Config(args::ConfigCommand::Show { default: true, .. })) => {
            output::print_text(crate::config::DEFAULT_FILE)
        }
        Some(Command::Config(args::ConfigCommand::Show { default: false, json })) => setup::show_config(context, json),
        Some(Command::Config(args::ConfigCommand::Set { key, value })) => setup::set_config(context, &key, &value),
        Some(Command::Paths { json }) => setup::show_paths(context, json),
        Some(Command::Rehearse(asked)) => rehearse::run(context, &asked),
        Some(Command::Demo(asked)) => rehearse::write_stories(&asked),
        Some(Command::Completions { shell }) => setup::print_completions(shell),
        Some(Command::Man(man)) => setup::write_man_pages(&man),
        Some(Command::Alert(args::AlertCommand::Test)) => setup::test_alerts(context),
    }
}
