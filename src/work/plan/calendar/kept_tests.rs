use super::board_tasks::BoardTasks;
use super::kept::{KeptPlan, PlanPurpose};
use super::planned::PlannedKind;
use super::planned_pot::{PotAtHand, PotStand};
use super::replan::{PlanAim, PlanChange, plan_near};
use super::tests::{draw_rack, fresh, monday, recipe, seeds, story, tasks, week, windows};
use super::ways::{FailedWish, PlanWay};
use super::windows::{minute_from, work_windows};
use super::wish::{PlanBench, plan_from};
use crate::craft::materials::PotKind;
use crate::stats::split_mix::SplitMix64;
use crate::units::{Id, Span};
use chrono::Utc;

fn purpose() -> PlanPurpose {
    PlanPurpose { name: None, ready_by: None, hours: "09:00-18:00".into(), hands: 1 }
}

#[test]
fn a_plan_that_is_kept_stays_but_for_what_slipped() {
    let windows = windows("09:00-18:00", "mon-fri");
    let bench = PlanBench { windows: &windows, hands: 1 };
    for seed in seeds(8) {
        let mut chance = SplitMix64::new(seed);
        let count = 1 + chance.next_below(4);
        let boards = draw_rack(&mut chance, count);
        let plan = plan_from(&boards, bench, monday()).unwrap();
        let kept = KeptPlan::from_plan(&plan, purpose(), None);
        let same = plan_near(&boards, bench, PlanAim::From(monday()), Some(&kept)).unwrap();
        let change = PlanChange::between(&kept, &same, monday());
        assert!(change.is_empty(), "seed {seed}: {change:?}");
        let again = KeptPlan::from_plan(&same, purpose(), Some(&kept));
        assert_eq!(again, kept, "seed {seed}: the same plan is the same fact");
        // Begun so late that what was planned for the first twenty minutes cannot be.
        let late = monday() + Span::from_min(80.0);
        let slipped = plan_near(&boards, bench, PlanAim::From(late), Some(&kept)).unwrap();
        let change = PlanChange::between(&kept, &slipped, late);
        let anew = PlanChange::between(&kept, &plan_from(&boards, bench, late).unwrap(), late);
        assert!(change.moved.len() <= anew.moved.len(), "seed {seed}: staying near moves more than planning anew");
        let keeping = KeptPlan::from_plan(&slipped, purpose(), Some(&kept));
        let moved = keeping.acts.iter().filter(|act| act.sequence > 0).count();
        assert!(moved >= change.moved.len(), "seed {seed}: an act that moved has no higher number");
    }
}

#[test]
fn a_break_for_lunch_does_not_end_the_day() {
    // Eight coats a face and their waits are longer than any of these hours alone.
    let boards = [fresh("ash", "balanced-ply", (300.0, 400.0))];
    let hours = windows("08:00-12:00, 13:00-19:00", "mon-sat");
    let plan = plan_from(&boards, PlanBench { windows: &hours, hands: 1 }, monday()).unwrap();
    assert!(plan.runs > Span::from_h(6.0), "{:?}", plan.runs);
}

#[test]
fn a_pot_that_stands_there_is_used_while_it_keeps() {
    let hours = windows("09:00-18:00", "mon-sun");
    let now = minute_from(monday());
    let board = tasks(&story("ash", &recipe("gypsum-zinc"), (300.0, 400.0), 3, 30.0));
    let pot = |kind: PotKind, stand: PotStand| PotAtHand {
        id: Id::new("jar").unwrap(),
        label: "Jar".into(),
        kind,
        stand,
        is_warm: false,
        melts: 1,
    };
    let gesso = |pots: Vec<PotAtHand>| {
        let boards = [board.clone().with_pots(pots)];
        let plan = plan_from(&boards, PlanBench { windows: &hours, hands: 1 }, monday()).unwrap();
        let of_gesso = plan.acts.iter().filter(|act| act.pot_kind == Some(PotKind::Gesso));
        of_gesso.map(|act| act.kind).collect::<Vec<_>>()
    };
    let made = |hours_ago: i64| PotStand::Made { at: now - hours_ago * 60 };
    let anew = [PlannedKind::PutToSoak, PlannedKind::Soak, PlannedKind::MakePot];
    assert_eq!(gesso(Vec::new()), anew);
    assert_eq!(gesso(vec![pot(PotKind::Gesso, made(1))]), [PlannedKind::MeltPot]);
    // The cure is a day, so that by then it is five days old.
    assert_eq!(gesso(vec![pot(PotKind::Gesso, made(96))]), anew);
    let soaks = PotStand::Soaks { until: now + 600 };
    assert_eq!(gesso(vec![pot(PotKind::Gesso, soaks)]), [PlannedKind::MakePot]);
}

#[test]
fn what_would_make_a_wish_possible_does() {
    let boards: Vec<BoardTasks> = (0..3).map(|i| fresh(&format!("b{i}"), "gypsum-zinc", (300.0, 400.0))).collect();
    let short = week("09:00-11:00", "mon-fri");
    let wish = FailedWish { boards: &boards, week: &short, hands: 1, start: monday(), by: None, days: 30 };
    let ways = wish.find_ways(&Utc);
    let hours = ways.iter().find_map(|way| if let PlanWay::LongerDays { hours } = way { Some(*hours) } else { None });
    let longer = week(&format!("09:00-{}:00", 11 + hours.unwrap()), "mon-fri");
    let longer = work_windows(&longer, monday(), 30, &Utc);
    assert!(plan_from(&boards, PlanBench { windows: &longer, hands: 1 }, monday()).is_ok());
}
