//! `plan`: the work of panels on the calendar.

use super::args_plan::PlanArgs;
use super::board::parse_air;
use super::calendar_file::format_ics;
use super::context::{CliContext, find_panel};
use super::error::CliError;
use super::plan_json::PlanJson;
use super::plan_text::PlanFormatter;
use super::shopping::{PlanWithShoppingJson, format_shopping, load_shopping_list};
use super::spare::Losses;
use super::story::require_story;
use super::{output, recipe};
use crate::bench::{Bench, StudioKnowledge, trusted_now};
use crate::craft::materials::Support;
use crate::craft::recipe::shipped::DEFAULT_RECIPE_NAME;
use crate::craft::recipe::{Paint, SealMaterial};
use crate::text::{
    DaysOff, HoursOfWeek, WeekDays, WorkWeek, format_count, format_when, parse_size, parse_time, quote_word, sanitize,
};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::plan::calendar::board_tasks::{BoardTasks, PlanConditions};
use crate::work::plan::calendar::planned::BoardPlan;
use crate::work::plan::calendar::windows::work_windows;
use crate::work::plan::calendar::wish::{PlanBench, PlanError, plan_from, plan_until};
use anyhow::Result;
use chrono::{DateTime, Local};
use std::sync::Arc;

/// So many days are looked at for a plan behind its start, or behind the day of painting.
const DAYS_LOOKED_AT: u32 = 180;
/// A plan is made for no day further off than this.
const DAYS_AHEAD_MAX: u32 = 4 * 366;
/// No more panels in one plan.
const BOARDS_MAX: usize = 200;
/// Over this humidity shellac is said to dry to a haze, per cent (common practice, no source).
const SHELLAC_RH_MAX: f64 = 65.0;

/// What was asked, read.
struct PlanRequest {
    week: WorkWeek,
    hands: usize,
    start: Option<Stamp>,
    ready_by: Option<Stamp>,
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
    };
    let mut boards = Vec::new();
    for (story, then) in read_stories(context, args, now)? {
        boards.push(BoardTasks::from_panel(story.panel(), then, conditions));
    }
    if boards.is_empty() {
        return Err(CliError::usage(
            "there is nothing to plan; name panels, or say --new \"5 of 300x400x12mm gypsum-zinc\"",
        )
        .into());
    }
    if boards.len() > BOARDS_MAX {
        return Err(CliError::usage(format!("a plan takes at most {BOARDS_MAX} panels")).into());
    }
    let plan = find_plan(&boards, &request, now.wall)?;
    let is_damp = air.is_some_and(|(_, rh)| rh.pct() > SHELLAC_RH_MAX);
    if is_damp && boards.iter().any(|board| board.opened.recipe.seal.with == SealMaterial::Shellac) {
        output::print_message(
            "sottile: the air is too damp for shellac, which then dries to a haze; wait with the seal for a dry day",
        );
    }
    let bulk = context.settings.bulk_densities();
    if let Some(file) = &args.ics {
        let text = format_ics(&boards, &plan, &bulk);
        output::write_file(file, &text, args.force)?;
        if file.as_os_str() == "-" {
            return Ok(());
        }
    }
    let shopping = args.shopping.then(|| load_shopping_list(context, &boards, &plan)).transpose()?;
    if args.json {
        let plan = PlanJson::from_plan(&boards, &plan, &|at| crate::text::format_rfc3339(at, &Local));
        return output::print_json(&PlanWithShoppingJson::new(plan, shopping.as_deref()));
    }
    let formatter = PlanFormatter { boards: &boards, plan: &plan, bulk: &bulk, zone: &Local, now: now.wall };
    let mut text = formatter.format_plan();
    if let Some(lines) = &shopping {
        text.push('\n');
        text.push_str(&format_shopping(context, lines, now.wall));
    }
    output::print_text(&text)
}

fn read_request(context: &CliContext, args: &PlanArgs, now: Stamp) -> Result<PlanRequest, CliError> {
    let settings = &context.settings;
    let option = |name: &str, error: &dyn std::fmt::Display| CliError::usage(format!("{name}: {error}"));
    let hours = args.hours.as_deref().map(HoursOfWeek::parse).transpose().map_err(|e| option("--hours", &e))?;
    let days = args.days.as_deref().map(WeekDays::parse).transpose().map_err(|e| option("--days", &e))?;
    let mut off = settings.off.value.clone();
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
    Ok(PlanRequest {
        week: WorkWeek {
            hours: hours.unwrap_or_else(|| settings.hours.value.clone()),
            days: days.unwrap_or(settings.days.value),
            off,
        },
        hands: usize::from(args.hands.unwrap_or(settings.hands.value)),
        start: time("--start", args.start.as_ref())?,
        ready_by: time("--ready-by", args.ready_by.as_ref())?,
    })
}

/// The panels that are meant, and those that would be opened, each with the moment it is planned from.
fn read_stories(context: &CliContext, args: &PlanArgs, now: Moment) -> Result<Vec<(Arc<PanelStory>, Moment)>> {
    let shelf = context.shelf();
    let mut bench = context.bench();
    let mut ids: Vec<Id> = Vec::new();
    for name in &args.panels {
        let id = find_panel(&bench, name)?;
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
    let losses = args.spare.then(|| Losses::load(&shelf, now)).transpose()?;
    for text in &args.new {
        stories.extend(
            new_stories(context, text, stories.len(), losses, now)?.into_iter().map(|story| (Arc::new(story), now)),
        );
    }
    Ok(stories)
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

fn find_plan(boards: &[BoardTasks], request: &PlanRequest, now: Stamp) -> Result<BoardPlan, CliError> {
    let last = request.ready_by.or(request.start).unwrap_or(now);
    let windows = work_windows(&request.week, now, days_until(last, now) + DAYS_LOOKED_AT, &Local);
    let bench = PlanBench { windows: &windows, hands: request.hands };
    let found = match request.ready_by {
        Some(by) => plan_until(boards, bench, now, by),
        None => plan_from(boards, bench, request.start.unwrap_or(now)),
    };
    found.map_err(|error| match (&error, request.ready_by) {
        (PlanError::TooLate { ready, alone, label }, Some(by)) => {
            CliError::failed(describe_too_late(boards, request, now, (by, *ready, *alone), label))
        }
        _ => CliError::failed(sanitize(&error.to_string())),
    })
}

/// Why a day of painting cannot be kept, which could, and what would make it possible.
fn describe_too_late(
    boards: &[BoardTasks],
    request: &PlanRequest,
    now: Stamp,
    (by, ready, alone): (Stamp, Stamp, Stamp),
    label: &str,
) -> String {
    let when = |at: Stamp| {
        DateTime::from_timestamp_millis(at.ms())
            .map_or_else(String::new, |at| at.with_timezone(&Local).format("%a %-d %b %H:%M").to_string())
    };
    let label = sanitize(label);
    let why = if alone > by {
        format!("{label} alone, begun now, is ready on {}: soaking, cure and rest take their time", when(alone))
    } else {
        format!("{} ask for more hands than there are hours", format_count(boards.len(), "panel"))
    };
    let mut text = format!(
        "ready by {} cannot be: {why}\nthe nearest that can be: all ready on {}, begun now",
        when(by),
        when(ready)
    );
    for (what, do_it) in find_ways(boards, request, now, by) {
        text.push_str(&format!("\n{} {what}", if do_it { "it can be" } else { "it cannot be either" }));
    }
    text
}

/// What would do, tried one by one: a pair of hands more, longer hours, every day, fewer boards.
fn find_ways(boards: &[BoardTasks], request: &PlanRequest, now: Stamp, by: Stamp) -> Vec<(String, bool)> {
    let try_week = |boards: &[BoardTasks], week: &WorkWeek, hands: usize| {
        let windows = work_windows(week, now, DAYS_LOOKED_AT, &Local);
        plan_from(boards, PlanBench { windows: &windows, hands }, now).is_ok_and(|plan| plan.ready <= by)
    };
    let mut ways = Vec::new();
    let mut add = |what: String, does: bool| ways.extend(does.then_some((what, true)));
    add("with one pair of hands more".to_owned(), try_week(boards, &request.week, request.hands + 1));
    for hours in ["08:00-20:00", "06:00-22:00"] {
        if let Ok(longer) = HoursOfWeek::parse(hours) {
            let week = WorkWeek { hours: longer, ..request.week.clone() };
            add(format!("with hours {hours}"), try_week(boards, &week, request.hands));
        }
    }
    let every_day = WorkWeek { days: WeekDays::ALL, off: Vec::new(), ..request.week.clone() };
    add("working every day, days off too".to_owned(), try_week(boards, &every_day, request.hands));
    let mut fewer = boards.len().saturating_sub(1);
    while fewer > 0 {
        if try_week(&boards[..fewer], &request.week, request.hands) {
            let gone = boards.len() - fewer;
            add(format!("with {} fewer", format_count(gone, "panel")), true);
            break;
        }
        // One by one while that is quick; of a large rack half at a time.
        fewer = if boards.len() <= 12 { fewer - 1 } else { fewer / 2 };
    }
    if ways.is_empty() {
        ways.push(("with more hands, with longer hours, on every day, or with fewer panels".to_owned(), false));
    }
    ways
}
