use super::bench_time::{PotLead, SOAK_WORK};
use super::board_tasks::{BoardTasks, PlanConditions, TaskGroup};
use super::planned::{BoardPlan, PlannedKind};
use super::planned_pot::{KEEPS, PotStand};
use super::search::{Timetable, find_timetable, lower_bound, ready_at};
use super::windows::{Minute, WorkWindow, minute_from, stamp_from, work_windows};
use super::wish::{PlanBench, PlanError, plan_from, plan_until};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe, shipped};
use crate::stats::split_mix::SplitMix64;
use crate::text::{DaysOff, HoursOfWeek, WeekDays, WorkWeek};
use crate::units::{Entry, Id, Length, Moment, Size, Span, Stamp};
use crate::work::learn::LearnedTimes;
use crate::work::panel::act::PanelAct;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened, StageKind};
use crate::work::panel::story::PanelStory;
use chrono::{TimeZone, Utc};
use std::collections::BTreeSet;
use std::sync::Arc;

/// 2026-11-30, a Monday, 08:00 UTC.
pub(super) fn monday() -> Stamp {
    Stamp::from_ms(Utc.with_ymd_and_hms(2026, 11, 30, 8, 0, 0).unwrap().timestamp_millis())
}

pub(super) fn week(hours: &str, days: &str) -> WorkWeek {
    let (hours, days) = (HoursOfWeek::parse(hours).unwrap(), WeekDays::parse(days).unwrap());
    WorkWeek { hours, days, off: Vec::new() }
}

pub(super) fn windows(hours: &str, days: &str) -> Vec<WorkWindow> {
    work_windows(&week(hours, days), monday(), 40, &Utc)
}

pub(super) fn recipe(name: &str) -> Arc<Recipe> {
    Arc::new(shipped::find_shipped_recipe(name).unwrap())
}

/// A board opened on Monday at eight, with so many acts done before that, each `apart` minutes after the other.
pub(super) fn story(
    name: &str,
    recipe: &Arc<Recipe>,
    (width, height): (f64, f64),
    done: usize,
    apart: f64,
) -> PanelStory {
    let first = monday() - Span::from_min(apart * done as f64 + 2.0 * 24.0 * 60.0);
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: Id::new(name).unwrap(),
        label: name.into(),
        size: Size { width: Length::from_mm(width), height: Length::from_mm(height), thickness: None },
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::clone(recipe),
        group: None,
        is_witness: false,
        trial: None,
    }));
    let entry = |seq, at: Stamp, event| Entry {
        seq,
        at,
        written: Moment::from_wall(at),
        raw_wall: None,
        replaces: None,
        event,
    };
    let mut story = PanelStory::fold(vec![entry(0, first, event)]).unwrap();
    for i in 0..done {
        let at = monday() - Span::from_min(apart * (done - 1 - i) as f64);
        let Ok(event) = story.build_event(&PanelAct::done_as_planned(), Moment::from_wall(at)) else { break };
        match story.with_entry(entry(story.entries().len() as u64, at, event)) {
            Ok(next) => story = next,
            Err(_) => break,
        }
    }
    story
}

pub(super) fn tasks(story: &PanelStory) -> BoardTasks {
    let learned = LearnedTimes::default();
    let conditions =
        PlanConditions { learned: &learned, drying: DryingEstimate::Unread, may_shorten: false, own_waits: false };
    BoardTasks::from_panel(story.panel(), Moment::from_wall(monday()), conditions)
}

pub(super) fn fresh(name: &str, recipe_name: &str, size: (f64, f64)) -> BoardTasks {
    tasks(&story(name, &recipe(recipe_name), size, 0, 0.0))
}

/// A rack drawn by chance: one to twelve boards of any shipped recipe and size, begun or not.
pub(super) fn draw_rack(chance: &mut SplitMix64, boards: usize) -> Vec<BoardTasks> {
    let names: Vec<&str> = shipped::shipped_recipes().iter().map(|r| r.name).collect();
    let recipes = [recipe(names[chance.next_below(names.len())]), recipe(names[chance.next_below(names.len())])];
    (0..boards)
        .map(|i| {
            let size = (100.0 + 50.0 * chance.next_below(9) as f64, 100.0 + 50.0 * chance.next_below(9) as f64);
            let done = if chance.next_below(3) == 0 { chance.next_below(16) } else { 0 };
            let apart = 20.0 + chance.next_below(30) as f64;
            tasks(&story(&format!("b{i}"), &recipes[chance.next_below(2)], size, done, apart))
        })
        .collect()
}

/// Every act of hands in a timetable: board, task, begin, end.
fn acts(boards: &[BoardTasks], table: &Timetable<'_>) -> Vec<(usize, usize, Minute, Minute)> {
    let act = |(b, (board, places)): (usize, (&BoardTasks, &Vec<_>))| {
        let places: &Vec<super::bench_time::TaskPlace> = places;
        let span = |(i, p): (usize, &super::bench_time::TaskPlace)| (b, i, p.start, p.start + board.tasks[i].work);
        places.iter().enumerate().map(span).collect::<Vec<_>>()
    };
    boards.iter().zip(&table.places).enumerate().flat_map(act).collect()
}

/// What is melted was made before, keeps until then, and is melted on one later day and no more.
fn check_batches(table: &Timetable<'_>, seed: u64) {
    for (pot, about) in table.bench.pots.iter().enumerate() {
        let mut baths: Vec<_> = table.bench.baths.iter().filter(|bath| bath.pot == pot).collect();
        baths.sort_by_key(|bath| bath.ready);
        let made_before = about.at_hand.as_ref().and_then(|pot| match pot.stand {
            PotStand::Made { at } => Some((at, i64::MIN)),
            PotStand::Soaks { .. } => None,
        });
        let (mut batch, mut later_days) = (made_before, BTreeSet::new());
        for bath in baths {
            match bath.lead {
                PotLead::Make { .. } => (batch, later_days) = (Some((bath.ready, bath.day)), BTreeSet::new()),
                PotLead::Melt | PotLead::Nothing => {
                    let (at, day) = batch.unwrap_or_else(|| panic!("seed {seed}: melted before it was made"));
                    assert!(bath.ready - at <= KEEPS, "seed {seed}: a batch is older than it keeps");
                    later_days.extend((bath.day != day).then_some(bath.day));
                    assert!(later_days.len() <= 1, "seed {seed}: melted on too many days");
                }
            }
        }
    }
}

/// Every hard rule, told again from the acts alone.
fn check_rules(boards: &[BoardTasks], table: &Timetable<'_>, windows: &[WorkWindow], hands: usize, seed: u64) {
    let acts = acts(boards, table);
    let wanted: usize = boards.iter().map(|board| board.tasks.len()).sum();
    assert_eq!(acts.len(), wanted, "seed {seed}: an act is missing");
    let inside = |from: Minute, to: Minute| windows.iter().any(|w| w.from <= from && to <= w.to);
    let mut busy: Vec<(Minute, Minute)> = acts.iter().map(|(.., from, to)| (*from, *to)).collect();
    for bath in &table.bench.baths {
        busy.push((bath.from, bath.ready));
        if let PotLead::Make { soak_at: Some(soak) } = bath.lead {
            busy.push((soak, soak + SOAK_WORK));
            let needs = table.bench.pots[bath.pot].soak;
            assert!(bath.from - soak - SOAK_WORK >= needs, "seed {seed}: glue soaks too short");
        }
    }
    check_batches(table, seed);
    for (from, to) in &busy {
        assert!(inside(*from, *to), "seed {seed}: outside the hours");
        let at_once = busy.iter().filter(|(f, t)| f <= from && from < t).count();
        assert!(at_once <= hands, "seed {seed}: {at_once} acts for {hands} pairs of hands");
    }
    let task = |b: usize, i: usize| &boards[b].tasks[i];
    let mut long_gaps = 0;
    for (b, i, from, to) in &acts {
        let (here, places) = (task(*b, *i), &table.places[*b]);
        let end = |j: usize| places[j].start + task(*b, j).work;
        assert!(*from >= here.release, "seed {seed}: before its wait");
        assert!(here.after.iter().all(|(j, least)| *from >= end(*j) + least), "seed {seed}: a wait is too short");
        let late = here.bound.map(|(j, gap)| end(j) + gap).or(here.bound_at).is_some_and(|bound| *from > bound);
        long_gaps += usize::from(late);
        for (b2, j, from2, to2) in &acts {
            let there = task(*b2, *j);
            if here.is_dusty && there.wet > 0 && (b, i) != (b2, j) {
                assert!(*to <= *from2 || to2 + there.wet <= *from, "seed {seed}: dust beside a wet board");
            }
        }
        for bath in &table.bench.baths {
            let apart = *to <= bath.from || bath.to <= *from;
            assert!(!here.is_spirit || apart, "seed {seed}: spirit beside the bath");
        }
        if here.pot.is_some() {
            let warm = |bath: &&super::bench_time::BathTime| {
                let pot = &table.bench.pots[bath.pot];
                Some(pot.kind) == here.pot
                    && pot.recipe == boards[*b].opened.recipe
                    && bath.ready <= *from
                    && *to <= bath.to
            };
            assert!(table.bench.baths.iter().any(|bath| warm(&bath)), "seed {seed}: no pot is warm");
        }
    }
    assert_eq!(long_gaps, table.score.long_gaps, "seed {seed}");
    for (b, board) in boards.iter().enumerate() {
        for (group, range) in board.groups() {
            let begun = board.tasks[range.start].bound_at.is_some();
            if group == TaskGroup::Laying && board.one_day && !begun {
                let (first, last) = (&table.places[b][range.start], &table.places[b][range.end - 1]);
                assert_eq!(first.day, last.day, "seed {seed}: a night between stipple and last coat");
            }
        }
    }
}

const HOURS: [(&str, &str); 4] = [
    ("09:00-18:00", "mon-fri"),
    ("mon-fri 18:00-22:00, sat 09:00-17:00", "mon-sun"),
    ("08:00-12:00, 13:00-19:00", "mon-sat"),
    ("10:00-20:00", "tue,sat,sun"),
];

pub(super) fn seeds(default: u64) -> std::ops::Range<u64> {
    match std::env::var("SOTTILE_SEED").ok().and_then(|seed| seed.parse().ok()) {
        Some(seed) => seed..seed + 1,
        None => 0..std::env::var("SOTTILE_SEEDS").ok().and_then(|n| n.parse().ok()).unwrap_or(default),
    }
}

#[test]
fn random_racks_keep_every_rule() {
    let mut planned = 0;
    for seed in seeds(60) {
        let mut chance = SplitMix64::new(seed);
        let count = 1 + chance.next_below(8);
        let boards = draw_rack(&mut chance, count);
        let (hours, days) = HOURS[chance.next_below(HOURS.len())];
        let (windows, hands) = (windows(hours, days), 1 + chance.next_below(2));
        let Ok(table) = find_timetable(&boards, &windows, hands) else { continue };
        planned += 1;
        check_rules(&boards, &table, &windows, hands, seed);
        assert!(table.score.runs >= lower_bound(&boards), "seed {seed}: shorter than can be");
        if seed % 10 == 0 {
            let again = find_timetable(&boards, &windows, hands).unwrap();
            assert_eq!(again.places, table.places, "seed {seed}: not the same again");
        }
    }
    println!("{planned} racks planned");
    // Every one of these hours has a day long enough for every one of these boards.
    assert_eq!(planned, seeds(60).count(), "a rack that can be planned was not");
}

#[test]
fn a_start_for_a_day_is_the_latest() {
    for seed in seeds(6) {
        let mut chance = SplitMix64::new(seed);
        let count = 1 + chance.next_below(4);
        let boards = draw_rack(&mut chance, count);
        let windows = windows("09:00-18:00", "mon-fri");
        let bench = PlanBench { windows: &windows, hands: 1 };
        let Ok(soonest) = plan_from(&boards, bench, monday()) else { continue };
        let by = soonest.ready + Span::from_h(24.0 * chance.next_below(6) as f64);
        let plan = plan_until(&boards, bench, monday(), by).unwrap();
        assert!(plan.ready <= by && plan.start >= soonest.start, "seed {seed}");
        if soonest.ready > monday() && boards.iter().any(|board| !board.tasks.is_empty()) {
            let early = plan_until(&boards, bench, monday(), soonest.ready - Span::from_min(1.0));
            assert!(matches!(early, Err(PlanError::TooLate { .. })), "seed {seed}");
        }
    }
}

/// Every way to lay a few coats, on a grid of minutes: the soonest end and, of those, the shortest runs.
struct Exhaustive<'a> {
    boards: &'a [BoardTasks],
    window: WorkWindow,
    hands: usize,
    best: (Minute, Minute),
}

impl Exhaustive<'_> {
    /// `placed` holds the begins of each board's acts; acts are added in the order of their begins.
    fn search(&mut self, placed: &mut Vec<Vec<Minute>>, last: Minute) {
        let lead = self.boards.iter().zip(placed.iter());
        if lead.clone().all(|(board, begins)| begins.len() == board.tasks.len()) {
            let runs = lead.map(|(b, s)| s.last().unwrap() + b.tasks.last().unwrap().work - s[0]).sum();
            let end = self.boards.iter().zip(placed.iter());
            let end = end.map(|(b, s)| s.last().unwrap() + b.tasks.last().unwrap().work + b.ready_after).max().unwrap();
            self.best = self.best.min((end, runs));
            return;
        }
        for b in 0..self.boards.len() {
            let i = placed[b].len();
            let Some(task) = self.boards[b].tasks.get(i) else { continue };
            let end = |j: usize| placed[b][j] + self.boards[b].tasks[j].work;
            let due = task.after.iter().map(|(j, least)| end(*j) + least).fold(task.release, Minute::max);
            let bound = task.bound.map_or(Minute::MAX, |(j, gap)| end(j) + gap);
            let rest: Minute = self.boards[b].tasks[i..].iter().map(|t| t.work).sum();
            let waits: Minute = self.boards[b].tasks[i + 1..].iter().flat_map(|t| &t.after).map(|(_, w)| *w).sum();
            let limit = (self.best.0 - self.boards[b].ready_after - rest - waits).min(bound).min(self.window.to - rest);
            for start in due.max(last)..=limit {
                let over = |at: Minute| {
                    let all =
                        placed.iter().enumerate().flat_map(|(b, s)| s.iter().enumerate().map(move |(i, s)| (b, i, *s)));
                    all.filter(|(b, i, s)| *s <= at && at < s + self.boards[*b].tasks[*i].work).count()
                };
                if over(start) < self.hands {
                    placed[b].push(start);
                    self.search(placed, start);
                    placed[b].pop();
                }
            }
        }
    }
}

/// Boards with a few coats left and nothing else: the gesso is on the bench already.
fn small_case(chance: &mut SplitMix64) -> Vec<BoardTasks> {
    (0..2 + chance.next_below(2))
        .map(|b| {
            let mut board = fresh(&format!("s{b}"), "gypsum-zinc", (300.0, 400.0));
            let coats = 2 + chance.next_below(2);
            board.tasks.retain(|task| task.stage.kind == StageKind::Coat);
            board.tasks.truncate(coats);
            let (work, wait) = (1 + chance.next_below(3) as Minute, 2 + chance.next_below(4) as Minute);
            for (i, task) in board.tasks.iter_mut().enumerate() {
                task.work = work;
                task.pot = None;
                task.after = if i == 0 { Vec::new() } else { vec![(i - 1, wait)] };
                task.bound = (i > 0).then(|| (i - 1, wait + 4));
            }
            board.ready_after = wait;
            board
        })
        .collect()
}

#[test]
fn small_cases_stand_beside_every_way_there_is() {
    let (mut same_ready, mut same_both, mut cases, mut worst) = (0, 0, 0, 0);
    for seed in seeds(40) {
        let mut chance = SplitMix64::new(seed);
        let boards = small_case(&mut chance);
        let hands = 1;
        let window = WorkWindow { from: minute_from(monday()), to: minute_from(monday()) + 200, day: 0 };
        let Ok(table) = find_timetable(&boards, std::slice::from_ref(&window), hands) else {
            panic!("seed {seed}: no plan");
        };
        check_rules(&boards, &table, &[window], hands, seed);
        let (ready, runs) = (table.score.ready, table.score.runs);
        if table.score.long_gaps > 0 {
            continue;
        }
        let mut all = Exhaustive { boards: &boards, window, hands, best: (ready, runs) };
        all.search(&mut vec![Vec::new(); boards.len()], window.from);
        assert!(all.best <= (ready, runs), "seed {seed}");
        cases += 1;
        same_ready += usize::from(all.best.0 == ready);
        same_both += usize::from(all.best == (ready, runs));
        worst = worst.max(ready - all.best.0);
    }
    println!(
        "{cases} cases: {same_ready} ready as soon as can be, {same_both} with the shortest runs; worst {worst} min"
    );
    assert!(same_ready * 10 >= cases * 8 && worst <= 3, "{same_ready} of {cases}, worst {worst}");
}

/// One board of the recipe's own size, nine to six, by hand. Monday: prepare 12 min, glue to soak 5 min. It soaks 9 h.
/// Tuesday: size made by 09:15, two coats with their wait; the cure is 24 h.
#[test]
fn one_board_by_hand() {
    let boards = [fresh("ash", "gypsum-zinc", (300.0, 400.0))];
    let windows = windows("09:00-18:00", "mon-fri");
    let plan = plan_from(&boards, PlanBench { windows: &windows, hands: 1 }, monday()).unwrap();
    let told = |act: &super::planned::PlannedAct| {
        let at = crate::text::format_weekday_hhmm(act.start, &Utc);
        let what = match act.kind {
            PlannedKind::Act(stage) => stage.to_string(),
            PlannedKind::PutToSoak => "put to soak".to_owned(),
            PlannedKind::MakePot => "make pot".to_owned(),
            PlannedKind::MeltPot => "melt pot".to_owned(),
            PlannedKind::Soak | PlannedKind::BoardWait(_) => return String::new(),
        };
        format!("{at} {what}\n")
    };
    let text: String = plan.acts.iter().map(told).collect();
    insta::assert_snapshot!(text);
    assert_eq!(plan.runs, plan.runs_bound);
}

#[test]
fn what_cannot_be_is_said() {
    let boards = [fresh("ash", "gypsum-zinc", (300.0, 400.0))];
    let plan = |windows: &[WorkWindow]| plan_from(&boards, PlanBench { windows, hands: 1 }, monday());
    assert_eq!(plan(&[]).unwrap_err(), PlanError::NoHours);
    let short = windows("09:00-10:00", "mon-sun");
    assert!(matches!(plan(&short).unwrap_err(), PlanError::RunTooLong { .. }));
    let tiny: Vec<WorkWindow> = short.iter().map(|w| WorkWindow { to: w.from + 5, ..*w }).collect();
    assert!(matches!(plan(&tiny).unwrap_err(), PlanError::ActTooLong { .. }));
    assert_eq!(
        plan_from(&[], PlanBench { windows: &short, hands: 1 }, monday()).map(|p: BoardPlan| p.acts.len()),
        Ok(0)
    );
}

#[test]
fn hours_are_the_makers_own_over_a_change_of_clocks() {
    // Europe/Berlin puts its clocks forward on 2026-03-29 at 02:00 and back on 2026-10-25 at 03:00.
    let zone = chrono_tz::Europe::Berlin;
    let at = |text: &str| crate::text::parse_time(text, Stamp::default(), &Utc).unwrap();
    let mut hours = week("01:30-04:00", "mon-sun");
    hours.off = vec![DaysOff::parse("2026-03-30").unwrap()];
    let spring = work_windows(&hours, at("2026-03-28T12:00:00Z"), 4, &zone);
    let lengths: Vec<Minute> = spring.iter().map(|w| w.length()).collect();
    // The night of the change is an hour and a half; the 30th is off.
    assert_eq!(lengths, [90, 150]);
    assert_eq!(stamp_from(spring[0].from), at("2026-03-29T00:30:00Z"));
    let autumn = work_windows(&hours, at("2026-10-24T22:00:00Z"), 1, &zone);
    assert_eq!(autumn[0].length(), 210);
    // Hours that begin in the gap begin behind it.
    let gap = work_windows(&week("02:30-04:00", "mon-sun"), at("2026-03-28T23:00:00Z"), 1, &zone);
    assert_eq!((stamp_from(gap[0].from), gap[0].length()), (at("2026-03-29T01:00:00Z"), 60));
}

#[test]
fn a_slip_moves_little() {
    let boards: Vec<BoardTasks> = (0..3).map(|i| fresh(&format!("b{i}"), "gypsum-zinc", (300.0, 400.0))).collect();
    let windows = windows("09:00-18:00", "mon-fri");
    let bench = PlanBench { windows: &windows, hands: 1 };
    let plan = plan_from(&boards, bench, monday()).unwrap();
    let slipped = plan_from(&boards, bench, monday() + Span::from_min(70.0)).unwrap();
    let days = |plan: &BoardPlan| {
        let order = plan.acts.iter().filter(|a| matches!(a.kind, PlannedKind::Act(_)));
        order.map(|a| (a.board, crate::text::format_date(a.start, &Utc))).collect::<Vec<_>>()
    };
    assert_eq!(days(&plan), days(&slipped));
    // A board that is ready then, and not before.
    assert_eq!(ready_at(&boards[0], &[]), minute_from(monday()).max(boards[0].ready_release));
}
