//! `inspect`: one panel from the shell, or all finished ones on the full screen.

use super::args::{InspectArgs, TestArgs};
use super::args_values::parse_millimetres;
use super::context::CliContext;
use super::error::CliError;
use super::json::ShowJson;
use super::several::record_on_each;
use super::{bench, format_panel, output};
use crate::bench::{RecordRequest, Snapshot, trusted_now};
use crate::text::sanitize;
use crate::units::Length;
use crate::work::advice::inspections::{fault_growth, format_inspection};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::PanelEvent;
use crate::work::panel::ground_test::GroundTest;
use crate::work::panel::inspection::{Bow, Inspection};
use anyhow::Result;

/// Records one inspection and gives back what it comes to.
pub(super) fn run(context: &CliContext, args: &InspectArgs) -> Result<()> {
    if args.panels.is_empty() {
        return run_sitting(context, args);
    }
    let act = PanelAct::Inspect(Box::new(checked_inspection(args)?));
    let request = RecordRequest { act, at: context.parse_at(args.at.as_ref())?, expected_stage: None };
    let names: Vec<&String> = args.panels.iter().collect();
    let all = record_on_each(context, &mut context.bench(), &names, &request)?;
    let told = if args.json && names.len() > 1 {
        all.print_json(context)
    } else {
        all.changed.iter().try_for_each(|kept| print_inspected(context, kept, args.json))
    };
    output::allow_untold(told)?;
    all.report_failed()
}

fn print_inspected(context: &CliContext, kept: &Snapshot, as_json: bool) -> Result<()> {
    let now = context.clock.now();
    let story = super::story::require_story(kept)?;
    super::story::warn_if_clock_behind(story);
    if as_json {
        return output::print_json(&ShowJson::from_story(story, kept.damage.as_ref(), trusted_now(story, now)));
    }
    // The fact just written, which need not be the latest by the time it happened.
    if let Some(PanelEvent::Inspected(seen)) = story.entries().last().map(|e| &e.event) {
        output::print_text(&format!(
            "{}: {}\n",
            sanitize(&story.panel().opened().label),
            sanitize(&format_inspection(seen, context.settings.unit_system.value))
        ))?;
    }
    // A board of a trial is looked at blind.
    let growth = if story.panel().opened().trial.is_some() { Vec::new() } else { fault_growth(story) };
    for g in growth {
        output::print_text(&format_panel::format_growth(&g))?;
    }
    match format_panel::format_inspection_due(story, trusted_now(story, now)) {
        Some(due) => output::print_text(&format!("{due}\n")),
        None => Ok(()),
    }
}

/// All finished panels on the full screen; what is seen is typed there.
fn run_sitting(context: &CliContext, args: &InspectArgs) -> Result<()> {
    let alone = inspection_from_args(args)? == Inspection::default() && args.at.is_none() && !args.json;
    if !alone {
        return Err(
            CliError::usage("which panel? Without one, `sottile inspect` stands alone and opens a sitting").into()
        );
    }
    bench::run(context, &[], true, None)
}

fn checked_inspection(args: &InspectArgs) -> Result<Inspection, CliError> {
    let seen = inspection_from_args(args)?;
    seen.validate().map_err(CliError::usage)?;
    Ok(seen)
}

/// What the options say, true or not.
fn inspection_from_args(args: &InspectArgs) -> Result<Inspection, CliError> {
    let bow = args.bow.zip(args.span).map(|(sag, span)| Bow { sag: Length::from_mm(sag), span: Length::from_mm(span) });
    let mut seen = Inspection {
        sound: args.sound,
        cracks: args.cracks.clone(),
        pinholes: args.pinholes,
        lift: args.lift.map(Length::from_mm),
        bow,
        cycles: args.cycles,
        mould: args.mould,
        no_mould: args.no_mould,
        photo: args.photo.clone(),
        photo_sha256: None,
        note: args.note.clone(),
        ..Inspection::default()
    };
    for test in GroundTest::ALL {
        if let Some(text) = typed_readings(&args.tests, test) {
            let text = if test == GroundTest::Bend { bend_millimetres(text)? } else { text.to_owned() };
            seen.set_readings(test, &text)
                .map_err(|_| CliError::usage(format!("--{}: write {}", test.name(), test.form())))?;
        }
    }
    Ok(seen)
}

/// What was typed for that test.
fn typed_readings(tests: &TestArgs, test: GroundTest) -> Option<&str> {
    match test {
        GroundTest::Scrape => tests.scrape.as_deref(),
        GroundTest::Drop => tests.drop.as_deref(),
        GroundTest::Rub => tests.rub.as_deref(),
        GroundTest::DampRub => tests.damp_rub.as_deref(),
        GroundTest::Powder => tests.powder.as_deref(),
        GroundTest::Nail => tests.nail.as_deref(),
        GroundTest::Pencil => tests.pencil.as_deref(),
        GroundTest::Tape => tests.tape.as_deref(),
        GroundTest::Bend => tests.bend.as_deref(),
    }
}

/// A length with its unit, as the bare figure the test takes.
fn bend_millimetres(text: &str) -> Result<String, CliError> {
    let mm = parse_millimetres(text).map_err(|error| CliError::usage(format!("--bend: {error}")))?;
    Ok(mm.to_string())
}
