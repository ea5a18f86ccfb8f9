//! `plan`: the work of panels on the calendar.

use super::args_plan::PlanArgs;
use super::board::parse_air;
use super::calendar_file::{CalendarFile, zone_name};
use super::context::{CliContext, find_panel};
use super::error::CliError;
use super::plan_json::PlanJson;
use super::plan_text::PlanFormatter;
use super::shopping::{PlanWithShoppingJson, format_shopping, load_shopping_list};
use super::spare::Losses;
use super::story::require_story;
use super::{output, recipe};
use crate::bench::{Bench, StudioKnowledge, trusted_now};
use crate::config::WaitSource;
use crate::craft::materials::Support;
use crate::craft::recipe::Paint;
use crate::craft::recipe::shipped::DEFAULT_RECIPE_NAME;
use crate::text::{
    DaysOff, HoursOfWeek, WeekDays, WorkWeek, format_count, format_day_and_time, format_when, parse_size, parse_time,
    quote_word, sanitize,
};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::advice::plan_notes::plan_notes;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::plan::calendar::board_tasks::{BoardTasks, PlanConditions};
use crate::work::plan::calendar::kept::{KeptPlan, PlanPurpose};
use crate::work::plan::calendar::planned::BoardPlan;
use crate::work::plan::calendar::replan::{PlanAim, PlanChange, plan_near};
use crate::work::plan::calendar::ways::FailedWish;
use crate::work::plan::calendar::windows::work_windows;
use crate::work::plan::calendar::wish::{PlanBench, PlanError};
use anyhow::Result;
use chrono::Local;
use std::sync::Arc;

/// So many days are looked at for a plan behind its start, or behind the day of painting.
const DAYS_LOOKED_AT: u32 = 180;
/// A plan is made for no day further off than this.
const DAYS_AHEAD_MAX: u32 = 4 * 366;
/// No more panels in one plan.
const BOARDS_MAX: usize = 200;
/// What would make a wish possible is looked for in so many days.
const DAYS_TRIED_FOR_WAYS: u32 = 60;

/// What was asked, read.
struct PlanRequest {
    week: WorkWeek,
    hands: usize,
    start: Option<Stamp>,
    ready_by: Option<Stamp>,
}

impl PlanRequest {
    fn purpose(&self, args: &PlanArgs) -> PlanPurpose {
        PlanPurpose {
            name: args.name.clone(),
            ready_by: self.ready_by,
            hours: self.week.hours.to_string(),
            hands: u32::try_from(self.hands).unwrap_or(u32::MAX),
        }
    }
}

/// Plans, and tells the plan.
pub(super) fn run(context: &CliContext, args: &PlanArgs) -> Result<()> {
    if let Some(file) = &args.ics {
        output::check_not_existing(file, args.force)?;
    }
    let now = context.clock.now();
    let request = read_request(context, args, now.wall)?;
    let knowledge = StudioKnowledge::load(&context.shelf());
    let air = match &args.air {
        Some(text) => Some(parse_air("--air", text)?),
        None => knowledge.air.reading_as_of(now.wall).map(|reading| (reading.temp, reading.rh)),
    };
    let conditions = PlanConditions {
        learned: &knowledge.learned,
        drying: DryingEstimate::from_air(air),
        may_shorten: context.settings.air_may_shorten.value,
        own_waits: context.settings.waits.value == WaitSource::Own,
    };
    let mut bench = context.bench();
    let stories = read_stories(context, &mut bench, args, now)?;
    let opened = new_panels(context, args, stories.len(), now)?;
    let mut boards = bench.gather_tasks(&stories, conditions, now);
    boards.extend(opened.iter().map(|story| BoardTasks::from_panel(story.panel(), now, conditions)));
    let panels: Vec<&Panel> =
        stories.iter().map(|(story, _)| story.panel()).chain(opened.iter().map(|s| s.panel())).collect();
    if boards.is_empty() {
        return Err(CliError::usage(
            "there is nothing to plan; name panels, or say --new \"5 of 300x400x12mm gypsum-zinc\"",
        )
        .into());
    }
    if boards.len() > BOARDS_MAX {
        return Err(CliError::usage(format!("a plan takes at most {BOARDS_MAX} panels")).into());
    }
    let kept = bench.load_kept_plan().map_err(CliError::from)?;
    let plan = find_plan(&boards, &request, now.wall, kept.as_ref())?;
    let notes =
        plan_notes(&panels, &plan, air, &|at| format_day_and_time(at, &Local), context.settings.unit_system.value);
    let bulk = context.settings.bulk_densities();
    let keeping = KeptPlan::from_plan(&plan, request.purpose(args), kept.as_ref());
    if args.keep || args.ics.is_some() {
        bench.keep_plan(&keeping, &|| context.clock.now()).map_err(CliError::from)?;
    }
    let change = kept.as_ref().map(|kept| {
        let when = |at| format_day_and_time(at, &Local);
        PlanChange::between(kept, &plan, now.wall).lines(&keeping, &when)
    });
    if let Some(file) = &args.ics {
        let text = CalendarFile {
            boards: &boards,
            plan: &plan,
            kept: &keeping,
            bulk: &bulk,
            zone: &Local,
            zone_name: &zone_name(),
        };
        let text = text.format();
        output::write_file(file, &text, args.force)?;
        if file.as_os_str() == "-" {
            return Ok(());
        }
    }
    let shopping = args.shopping.then(|| load_shopping_list(context, &boards, &plan)).transpose()?;
    if args.json {
        let time = |at| crate::text::format_rfc3339(at, &Local);
        let plan = PlanJson::from_plan(&boards, &plan, &notes, args.name.as_deref(), &time);
        return output::print_json(&PlanWithShoppingJson::new(plan, shopping.as_deref()));
    }
    let formatter = PlanFormatter {
        boards: &boards,
        plan: &plan,
        bulk: &bulk,
        zone: &Local,
        now: now.wall,
        notes: &notes,
        change: change.as_deref().unwrap_or_default(),
        commission: args.name.as_deref().map(|name| (name, request.ready_by)),
    };
    let mut text = formatter.format_plan();
    if let Some(lines) = &shopping {
        text.push('\n');
        text.push_str(&format_shopping(context, lines, now.wall));
    }
    output::print_text(&text)
}

fn read_request(context: &CliContext, args: &PlanArgs, now: Stamp) -> Result<PlanRequest, CliError> {
    let option = |name: &str, error: &dyn std::fmt::Display| CliError::usage(format!("{name}: {error}"));
    let hours = args.hours.as_deref().map(HoursOfWeek::parse).transpose().map_err(|e| option("--hours", &e))?;
    let days = args.days.as_deref().map(WeekDays::parse).transpose().map_err(|e| option("--days", &e))?;
    let mut off = Vec::new();
    for text in &args.off {
        off.push(DaysOff::parse(text).map_err(|e| option("--off", &e))?);
    }
    let time = |name: &str, text: Option<&String>| {
        let at = text.map(|text| parse_time(text, now, &Local)).transpose().map_err(|e| option(name, &e))?;
        match at.filter(|at| *at < now - crate::units::Span::from_min(1.0)) {
            Some(past) => {
                let when = format_when(past, now, &Local);
                Err(CliError::usage(format!("{name}: {when} is over; a plan begins now or later")))
            }
            None if at.is_some_and(|at| days_until(at, now) > DAYS_AHEAD_MAX) => {
                Err(CliError::usage(format!("{name}: a plan is made for four years ahead at most")))
            }
            None => Ok(at),
        }
    };
    let habits = context.plan_habits();
    off.splice(0..0, habits.week.off);
    Ok(PlanRequest {
        week: WorkWeek { hours: hours.unwrap_or(habits.week.hours), days: days.unwrap_or(habits.week.days), off },
        hands: args.hands.map_or(habits.hands, usize::from),
        start: time("--start", args.start.as_ref())?,
        ready_by: time("--ready-by", args.ready_by.as_ref())?,
    })
}

/// The panels that are meant, each with the moment it is planned from.
fn read_stories(
    context: &CliContext,
    bench: &mut Bench,
    args: &PlanArgs,
    now: Moment,
) -> Result<Vec<(Arc<PanelStory>, Moment)>> {
    let shelf = context.shelf();
    let mut ids: Vec<Id> = Vec::new();
    for name in &args.panels {
        let id = find_panel(bench, name)?;
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    let all = args.panels.is_empty() && args.new.is_empty();
    if all {
        ids = shelf.panel_ids().map_err(CliError::from)?;
    }
    let mut stories = Vec::new();
    for id in ids {
        let snapshot =
            if all { Bench::new(shelf.clone()).load(&id) } else { bench.load(&id) }.map_err(CliError::from)?;
        // Of all panels, one that cannot be read is left out; `panels` names it.
        let Ok(story) = require_story(&snapshot) else {
            if all {
                continue;
            }
            return Err(require_story(&snapshot).err().map_or_else(|| anyhow::anyhow!("unread"), Into::into));
        };
        let then = trusted_now(story, now);
        let phase = story.panel().phase_at(then);
        if !matches!(phase, PanelPhase::Finished | PanelPhase::Abandoned) {
            stories.push((story.clone(), then));
        } else if !all {
            let label = sanitize(&story.panel().opened().label);
            output::print_message(&format!("sottile: {label} asks for nothing any more"));
        }
    }
    Ok(stories)
}

/// The panels that would be opened; so many stand before them.
fn new_panels(context: &CliContext, args: &PlanArgs, before: usize, now: Moment) -> Result<Vec<PanelStory>> {
    let losses = args.spare.then(|| Losses::load(&context.shelf(), now)).transpose()?;
    let mut opened = Vec::new();
    for text in &args.new {
        opened.extend(new_stories(context, text, before + opened.len(), losses, now)?);
    }
    Ok(opened)
}

/// `5 of 300x400x12mm gypsum-zinc`.
fn new_stories(
    context: &CliContext,
    text: &str,
    before: usize,
    losses: Option<Losses>,
    now: Moment,
) -> Result<Vec<PanelStory>> {
    let wrong = |why: &str| CliError::usage(format!("--new {}: {why}", quote_word(text)));
    let form = "write for example 5 of 300x400x12mm gypsum-zinc";
    let (count, rest) = match text.split_once(" of ") {
        Some((count, rest)) => {
            let count: usize = count.trim().parse().map_err(|_| wrong(form))?;
            (count, rest.trim())
        }
        None => (1, text.trim()),
    };
    if !(1..=BOARDS_MAX).contains(&count) {
        return Err(wrong(&format!("1 to {BOARDS_MAX} panels are planned")).into());
    }
    let count = losses.map_or(count, |losses| losses.tell_boards_for(count, BOARDS_MAX));
    let (size, name) = rest.split_once(' ').unwrap_or((rest, DEFAULT_RECIPE_NAME));
    let size = parse_size(size).map_err(|e| wrong(&e.to_string()))?;
    let recipe = Arc::new(recipe::find_recipe(context, name.trim())?);
    let longer = if size.width.mm() > size.height.mm() { Grain::Width } else { Grain::Height };
    let open = |n: usize| {
        let number = before + n + 1;
        let id = Id::new(&format!("new-{number}")).ok_or_else(|| wrong(form))?;
        let event = PanelEvent::Opened(Box::new(PanelOpened {
            sheet: None,
            id,
            label: format!("New {number}"),
            size,
            support: Support::BirchPlywood,
            grain: longer,
            paint: Paint::Oil,
            recipe: Arc::clone(&recipe),
            group: None,
            is_witness: false,
            trial: None,
        }));
        let entry = Entry { seq: 0, at: now.wall, written: now, raw_wall: None, replaces: None, event };
        PanelStory::fold(vec![entry]).map_err(|e| CliError::failed(format!("--new: {e:?}")))
    };
    Ok((0..count).map(open).collect::<Result<Vec<_>, _>>()?)
}

/// Whole days from now to that moment, rounded up.
fn days_until(at: Stamp, now: Stamp) -> u32 {
    ((at - now).hours() / 24.0).ceil().max(0.0) as u32
}

fn find_plan(
    boards: &[BoardTasks],
    request: &PlanRequest,
    now: Stamp,
    kept: Option<&KeptPlan>,
) -> Result<BoardPlan, CliError> {
    let last = request.ready_by.or(request.start).unwrap_or(now);
    let days = days_until(last, now) + DAYS_LOOKED_AT;
    let windows = work_windows(&request.week, now, days, &Local);
    let bench = PlanBench { windows: &windows, hands: request.hands };
    let start = request.start.unwrap_or(now);
    let aim = request.ready_by.map_or(PlanAim::From(start), |by| PlanAim::Until { now, by });
    plan_near(boards, bench, aim, kept).map_err(|error| {
        let (week, hands, by) = (&request.week, request.hands, request.ready_by);
        let wish = FailedWish { boards, week, hands, start, by, days: DAYS_TRIED_FOR_WAYS };
        CliError::failed(describe_failure(&wish, &error))
    })
}

/// Why a wish cannot be kept, the nearest that can be, and what would make it possible.
fn describe_failure(wish: &FailedWish<'_>, error: &PlanError) -> String {
    let when = |at: Stamp| format_day_and_time(at, &Local);
    let mut text = match (error, wish.by) {
        (PlanError::TooLate { ready, alone, label }, Some(by)) => {
            let why = if *alone > by {
                let label = sanitize(label);
                format!(
                    "{label} alone, begun now, is ready on {}: soaking, cure and rest take their time",
                    when(*alone)
                )
            } else {
                format!("{} ask for more hands than there are hours", format_count(wish.boards.len(), "panel"))
            };
            let nearest = when(*ready);
            format!(
                "ready by {} cannot be: {why}\nthe nearest that can be: all ready on {nearest}, begun now",
                when(by)
            )
        }
        (
            PlanError::NoHours
            | PlanError::ActTooLong { .. }
            | PlanError::RunTooLong { .. }
            | PlanError::FitsNowhere { .. }
            | PlanError::TooLate { .. },
            _,
        ) => sanitize(&error.to_string()),
    };
    let ways = wish.find_ways(&Local);
    if ways.is_empty() {
        text.push_str("\nnor can it be with a pair of hands more, longer hours, work on every day, or fewer panels");
    }
    for way in ways {
        text.push_str(&format!("\nit can be {way}"));
    }
    text
}
