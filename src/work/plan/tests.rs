//! Worked by hand, and held over racks drawn from a seed that is printed.

use super::board_load::{BoardLoad, RemainingCoat, WaitFactors};
use super::hands::HandsAdvice;
use super::queue::{PotNeed, QueuedAct, board_order, build_queue};
use super::round::{Round, WaitBound};
use super::session_end::SessionEnd;
use crate::craft::materials::{PotKind, Support};
use crate::craft::recipe::{Paint, shipped};
use crate::stats::split_mix::SplitMix64;
use crate::units::{Entry, Id, Length, Moment, Size, Span, Stamp};
use crate::work::learn::LearnedTimes;
use crate::work::panel::act::PanelAct;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened, StageKind};
use crate::work::panel::phase::PanelStatus;
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::pot::event::{PotEvent, PotOpened};
use crate::work::pot::story::PotStory;
use chrono::Utc;
use std::sync::Arc;

/// 2027-01-15 08:00 UTC, and so many minutes after it.
fn at(min: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_min(min)
}

fn min(minutes: f64) -> Span {
    Span::from_min(minutes)
}

/// A board with so many coats of `work` minutes, each followed by `wait` minutes; nothing lies on it.
fn load(label: &str, coats: usize, work: f64, wait: (f64, f64)) -> BoardLoad {
    let coat = RemainingCoat { kind: StageKind::Coat, work: min(work), wait: (min(wait.0), min(wait.1)) };
    BoardLoad {
        id: Id::new(&label.to_lowercase()).unwrap(),
        label: label.to_owned(),
        due_at: None,
        is_in_hand: false,
        has_begun: false,
        last_done_at: None,
        long_gap: min(60.0),
        pot_work: min(5.0),
        pot_liquid: min(36.7),
        coats: vec![coat; coats],
    }
}

const LABELS: [&str; 6] = ["Ash", "Bay", "Cob", "Dun", "Elm", "Fir"];

fn alike(boards: usize, coats: usize, work: f64, wait: f64) -> Vec<BoardLoad> {
    LABELS[..boards].iter().map(|label| load(label, coats, work, (wait, wait))).collect()
}

/// As if laid so many minutes ago: due in `due` minutes.
fn laid(load: BoardLoad, due: f64, ago: f64) -> BoardLoad {
    BoardLoad { due_at: Some(at(due)), last_done_at: Some(at(-ago)), has_begun: true, ..load }
}

#[test]
fn a_round_is_played_as_a_hand_would_lay_it() {
    // Three boards, two coats of 3 min, waits of 15: 0-3, 3-6, 6-9; due at 18, 21, 24.
    let loads = alike(3, 2, 3.0, 15.0);
    let round = Round::play(&loads, 1, WaitBound::Shortest, at(0.0));
    let told: Vec<_> = round.coats.iter().map(|c| (c.board, (c.begun_at - at(0.0)).minutes())).collect();
    assert_eq!(told, [(0, 0.0), (1, 3.0), (2, 6.0), (0, 18.0), (1, 21.0), (2, 24.0)]);
    assert_eq!((round.end_at(), round.worst_late()), (at(27.0), Span::ZERO));
    assert_eq!(round.coats[3].gap, Some(min(18.0)));
    // Two that fall due within a minute: the second waits two, and that is told at its own time.
    let two = [laid(load("Cob", 1, 3.0, (15.0, 15.0)), 5.0, 58.0), laid(load("Dun", 1, 3.0, (15.0, 15.0)), 6.0, 57.0)];
    let round = Round::play(&two, 1, WaitBound::Longest, at(0.0));
    assert_eq!((round.end_at(), round.worst_late()), (at(11.0), min(2.0)));
    let clash = round.first_clash().unwrap();
    assert_eq!((clash.in_hand, clash.kept_waiting, clash.at), (0, 1, at(6.0)));
    // 57 + 11 minutes since the coat below: eight past the bound.
    assert_eq!(round.worst_long_gap(&two), Some(min(8.0)));
    assert_eq!(Round::play(&two, 2, WaitBound::Longest, at(0.0)).first_clash(), None);
    // What is begun is finished first, and what is due goes before what waits for nothing.
    let begun = BoardLoad { is_in_hand: true, ..laid(load("Elm", 1, 2.0, (15.0, 15.0)), -9.0, 24.0) };
    let mixed = [load("Ash", 1, 3.0, (15.0, 15.0)), laid(load("Bay", 1, 3.0, (15.0, 15.0)), 1.0, 14.0), begun];
    let round = Round::play(&mixed, 1, WaitBound::Shortest, at(0.0));
    let told: Vec<_> = round.coats.iter().map(|c| (c.board, (c.begun_at - at(0.0)).minutes())).collect();
    assert_eq!(told, [(2, 0.0), (1, 2.0), (0, 5.0)]);
    assert_eq!(Round::play(&[], 1, WaitBound::Shortest, at(0.0)).end_at(), at(0.0));
}

#[test]
fn hands_keep_what_fits_into_a_wait_beside_the_pot() {
    // 15 min less the pot's 5 x 15 / 36.7 = 2.04 is 12.96: four of 3 min. Two pairs: four and five.
    let told = |boards: usize, work, wait, hands| {
        let advice = HandsAdvice::from_loads(&alike(boards, 7, work, wait), hands, at(0.0)).unwrap();
        let clash = advice.clash_text(at(0.0), &Utc).unwrap_or_default();
        [advice.keeps_text(), advice.stagger_text().unwrap_or_default(), clash].join("; ")
    };
    assert_eq!(told(4, 3.0, 15.0, 1), "one pair of hands keeps 4 boards going; start them 3 min apart; ");
    assert_eq!(told(3, 3.0, 15.0, 1), "one pair of hands keeps 4 boards going; start them 5 min apart; ");
    assert_eq!(told(4, 3.4, 15.0, 1), "one pair of hands keeps 3 boards going; start them 3.5 min apart; ");
    assert_eq!(told(4, 3.0, 15.0, 2), "two pairs of hands keep 9 boards going; start them 2 at a time, 7 min apart; ");
    assert_eq!(told(1, 20.0, 15.0, 1), "one pair of hands keeps 1 board going; ; ");
    // Six times 3 is more than 15, though each just comes back as the hand is free; six times 4 runs over.
    assert_eq!(
        told(6, 3.0, 15.0, 1),
        "one pair of hands keeps 4 boards going; ; 6 boards will not hold: one pair of hands keeps 4 boards going"
    );
    // Starts at 0, 4, 8, 12, 16, 20; Ash is due again at 19, while Elm, the fifth, is in the hand until 20.
    assert_eq!(
        told(6, 4.0, 15.0, 1),
        "one pair of hands keeps 3 boards going; ; 6 boards will not hold: Elm and Ash fall due together at 08:19"
    );
    assert_eq!(HandsAdvice::from_loads(&[], 1, at(0.0)), None);
}

#[test]
fn boards_of_different_waits_drift_together_and_it_is_said_when() {
    // Ash every 18, Bay every 23 min: Ash at 0 and due at 18, 36, 54, 72; Bay started at 7, due at 30, 53.
    let loads = [load("Ash", 6, 3.0, (15.0, 15.0)), load("Bay", 6, 3.0, (20.0, 20.0))];
    let advice = HandsAdvice::from_loads(&loads, 1, at(0.0)).unwrap();
    assert!(!advice.holds() && advice.stagger.is_none(), "{advice:?}");
    assert_eq!(
        advice.clash_text(at(0.0), &Utc).unwrap(),
        "2 boards will not hold: Bay and Ash fall due together at 08:54"
    );
    // Once they lie there, nothing is to be chosen: only when it comes is said.
    let running = [laid(loads[0].clone(), 11.0, 4.0), laid(loads[1].clone(), 12.0, 3.0)];
    let advice = HandsAdvice::from_loads(&running, 1, at(0.0)).unwrap();
    assert_eq!(advice.stagger_text(), None);
    assert_eq!(advice.clash_text(at(0.0), &Utc).unwrap(), "Ash and Bay fall due together at 08:12");
}

#[test]
fn the_end_is_one_line() {
    let line =
        |loads: &[BoardLoad], by_air| SessionEnd::from_loads(loads, 1, by_air, at(0.0)).unwrap().line(at(0.0), &Utc);
    // One board, seven coats: 7 x 3 + 6 x 15 = 111 min, to the next five.
    assert_eq!(line(&alike(1, 7, 3.0, 15.0), false), "a coat takes 15 min: one board till about 09:55");
    assert_eq!(line(&alike(4, 7, 3.0, 15.0), false), "a coat takes 15 min: four boards till about 10:00");
    // 21 + 6 x 25 = 171 and 21 + 6 x 35 = 231: about 201.
    let damp = [load("Ash", 7, 3.0, (25.0, 35.0))];
    assert_eq!(line(&damp, true), "in this air a coat takes 25-35 min: one board till about 11:25");
    let running = |boards: usize| -> Vec<BoardLoad> {
        alike(boards, 1, 3.0, 15.0).into_iter().map(|load| laid(load, 2.0, 13.0)).collect()
    };
    assert_eq!(line(&running(1), true), "last coat about 08:05");
    assert_eq!(line(&running(2), true), "last coat of both about 08:10");
    assert_eq!(line(&running(4), true), "last coat of all four about 08:15");
    let many: Vec<BoardLoad> = (0..14).map(|_| running(1).remove(0)).collect();
    assert_eq!(line(&many, false), "last coat of all 14 about 08:45");
    // The next day's hour has its day.
    let night = [laid(load("Ash", 1, 3.0, (15.0, 15.0)), 16.0 * 60.0, 10.0)];
    assert_eq!(line(&night, false), "last coat about Sat 00:05");
    assert_eq!(SessionEnd::from_loads(&[], 1, false, at(0.0)), None);
}

/// A panel opened and sized three days before; the cure is over. Then so many acts at their minutes.
fn story(label: &str, size_mm: (f64, f64), acts: &[(f64, PanelAct)]) -> PanelStory {
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: Id::new(&label.to_lowercase()).unwrap(),
        label: label.into(),
        size: Size { width: Length::from_mm(size_mm.0), height: Length::from_mm(size_mm.1), thickness: None },
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
        group: None,
        is_witness: false,
        trial: None,
    }));
    let begin = -3.0 * 24.0 * 60.0;
    let entry = |seq, min: f64, event| Entry {
        seq,
        at: at(min),
        written: Moment::from_wall(at(min)),
        raw_wall: None,
        replaces: None,
        event,
    };
    let mut story = PanelStory::fold(vec![entry(0, begin, event)]).unwrap();
    let sized = (1..=5).map(|i| (begin + f64::from(i) * 60.0, PanelAct::done_as_planned()));
    for (min, act) in sized.chain(acts.iter().cloned()) {
        let event = story.build_event(&act, Moment::from_wall(at(min))).unwrap();
        story = story.with_entry(entry(story.entries().len() as u64, min, event)).unwrap();
    }
    story
}

fn done(minutes: &[f64]) -> Vec<(f64, PanelAct)> {
    minutes.iter().map(|min| (*min, PanelAct::done_as_planned())).collect()
}

fn now(min: f64) -> Moment {
    Moment::from_wall(at(min))
}

#[test]
fn a_load_is_read_off_a_panel() {
    let learned = LearnedTimes::default();
    let load = |story: &PanelStory, min, factors| BoardLoad::from_panel(story.panel(), now(min), &learned, factors);
    // 300 x 400 mm is the recipe's own face: stipple 4 min, six coats of 3.
    let fresh = load(&story("Ash", (300.0, 400.0), &[]), 0.0, None).unwrap();
    assert_eq!(fresh.coats.iter().map(|c| c.work.minutes()).collect::<Vec<_>>(), [4.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0]);
    assert!(!fresh.has_begun && !fresh.is_in_hand && fresh.last_done_at.is_none());
    // The cure ended before; nothing hurries.
    assert!(fresh.due_at.is_some_and(|due| due < at(0.0)));
    // Twice the face, twice the minutes; a stipple and a coat lie, and the next is due 15 min after.
    let wide = story("Bay", (600.0, 400.0), &done(&[0.0, 20.0]));
    let running = load(&wide, 25.0, None).unwrap();
    assert_eq!((running.coats.len(), running.coats[0].work), (5, min(6.0)));
    assert_eq!((running.due_at, running.last_done_at, running.has_begun), (Some(at(35.0)), Some(at(20.0)), true));
    // Begun a minute ago: five of six minutes are left; begun long ago, none.
    let begun = story("Bay", (600.0, 400.0), &[done(&[0.0, 20.0]), vec![(35.0, PanelAct::Start)]].concat());
    assert_eq!(load(&begun, 36.0, None).map(|l| (l.is_in_hand, l.coats[0].work)), Some((true, min(5.0))));
    assert_eq!(load(&begun, 99.0, None).map(|l| l.coats[0].work), Some(Span::ZERO));
    // The air lengthens what is to come, up to the long gap, and never shortens unasked.
    let damp = WaitFactors::from_estimate(DryingEstimate::Factor(2.0), false);
    let waits = load(&wide, 25.0, damp).unwrap().coats[0].wait;
    assert!(
        (waits.0.minutes() - 15.0 * 2.0 / 1.15).abs() < 0.01 && (waits.1.minutes() - 34.5).abs() < 0.01,
        "{waits:?}"
    );
    let dry = WaitFactors::from_estimate(DryingEstimate::Factor(0.5), false).unwrap();
    assert_eq!((dry.low, dry.high), (1.0, 1.0));
    assert_eq!(WaitFactors::from_estimate(DryingEstimate::Unread, true), None);
    // All coats laid, or the wood not sized yet: nothing to lay in this session.
    let all: Vec<f64> = (0..7).map(|i| f64::from(i) * 20.0).collect();
    assert_eq!(load(&story("Cob", (300.0, 400.0), &done(&all)), 130.0, None), None);
    assert_eq!(load(&story("Dun", (300.0, 400.0), &[]), -3.0 * 24.0 * 60.0 + 301.0, None), None);
}

/// What [`board_order`] and [`build_queue`] are asked about.
fn boards<'a>(stories: &'a [PanelStory], min: f64) -> Vec<(Id, &'a Panel, PanelStatus)> {
    let board = |s: &'a PanelStory| (s.panel().opened().id.clone(), s.panel(), s.panel().status(now(min)));
    stories.iter().map(board).collect()
}

#[test]
fn boards_come_as_they_press() {
    let size = (300.0, 400.0);
    let stories = [
        // Given up.
        story("Ash", size, &[(10.0, PanelAct::Abandon("cracked".into()))]),
        // Cured and ready for the stipple.
        story("Bay", size, &[]),
        // Due at 55, in five minutes.
        story("Cob", size, &done(&[0.0, 40.0])),
        // Due at 45 and at 47, five and three minutes ago.
        story("Dun", size, &done(&[5.0, 32.0])),
        story("Elm", size, &done(&[5.0, 30.0])),
        // Begun.
        story("Fir", size, &[(49.0, PanelAct::Start)]),
    ];
    let told = |pass_kind| {
        let order = board_order(&boards(&stories, 50.0), pass_kind);
        order.into_iter().map(|i| stories[i].panel().opened().label.as_str()).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(told(None), "Fir Elm Dun Cob Bay Ash");
    assert_eq!(told(Some(StageKind::Coat)), "Fir Elm Dun Cob Bay Ash");
    // A round of stipples goes on before what is only soon due.
    assert_eq!(told(Some(StageKind::Stipple)), "Fir Elm Dun Bay Cob Ash");
}

#[test]
fn pots_stand_among_the_boards_by_their_times() {
    let size = (300.0, 400.0);
    let stories = [story("Ash", size, &done(&[0.0])), story("Bay", size, &done(&[5.0])), story("Cob", size, &[])];
    let event = PotEvent::Opened(Box::new(PotOpened {
        filler_lot: None,
        id: Id::new("pot").unwrap(),
        label: "Pot".into(),
        kind: PotKind::Gesso,
        parent: None,
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
        size_ml: None,
        lot: None,
        for_group: None,
        trial: None,
    }));
    let first = Entry { seq: 0, at: at(0.0), written: now(0.0), raw_wall: None, replaces: None, event };
    let pot = PotStory::fold(vec![first]).unwrap();
    let told = |due: f64| {
        let pots = [(pot.pot(), PotNeed::IntoBath, at(due))];
        let queue = build_queue(&boards(&stories, 16.0), &pots, None, at(16.0));
        queue.iter().map(|e| e.label.clone()).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(told(17.0), "Ash Pot Bay Cob");
    assert_eq!(told(20.0), "Ash Pot Bay Cob");
    assert_eq!(told(25.0), "Ash Bay Pot Cob");
    assert_eq!(told(14.0), "Pot Ash Bay Cob");
    let queue = build_queue(&boards(&stories, 16.0), &[], None, at(16.0));
    let QueuedAct::Board(stage) = queue[0].act else { panic!("a board comes first") };
    assert_eq!(
        (stage.kind, stage.number, queue[0].is_ready, queue[1].is_ready),
        (StageKind::Coat, Some(1), true, false)
    );
}

/// A rack drawn by chance: boards with one to eight coats, in any state.
fn draw_rack(chance: &mut SplitMix64) -> Vec<BoardLoad> {
    let boards = 1 + chance.next_below(9);
    (0..boards)
        .map(|i| {
            let mut number = |least: usize, most: usize| (least + chance.next_below(most - least + 1)) as f64;
            let shortest = number(2, 40);
            let wait = (shortest, shortest + number(0, 20));
            let plain = load(&format!("B{i}"), number(1, 8) as usize, number(1, 12) / 2.0, wait);
            match number(0, 2) as u8 {
                0 => plain,
                1 => laid(plain, number(0, 60) - 20.0, 10.0),
                _ => BoardLoad { is_in_hand: i == 0, ..laid(plain, number(0, 30), 5.0) },
            }
        })
        .collect()
}

const SEEDS: std::ops::Range<u64> = 0..400;

#[test]
fn no_round_ends_before_it_can_and_more_hands_end_none_later() {
    for seed in SEEDS {
        let loads = draw_rack(&mut SplitMix64::new(seed));
        let mut before = None;
        for hands in 1..=4_usize {
            for (bound, pick) in [(WaitBound::Shortest, 0), (WaitBound::Longest, 1)] {
                let round = Round::play(&loads, hands, bound, at(0.0));
                let end = round.end_at();
                let work: Span = loads.iter().flat_map(|l| &l.coats).fold(Span::ZERO, |sum, c| sum + c.work);
                assert!((end - at(0.0)).ms() * hands as i64 >= work.ms(), "seed {seed}: less than the work");
                for (board, load) in loads.iter().enumerate() {
                    let wait = |c: &RemainingCoat| if pick == 0 { c.wait.0 } else { c.wait.1 };
                    let start = if load.is_in_hand { at(0.0) } else { load.due_at.unwrap_or(at(0.0)).max(at(0.0)) };
                    let path = load.coats.iter().fold(start, |t, c| t + c.work + wait(c));
                    let path = path - load.coats.last().map(wait).unwrap();
                    assert!(end >= path, "seed {seed}: {board} cannot be done so soon");
                    let laid: Vec<_> = round.coats.iter().filter(|c| c.board == board).collect();
                    assert_eq!(laid.len(), load.coats.len(), "seed {seed}: a coat is missing");
                    for (pair, coat) in laid.windows(2).zip(&load.coats) {
                        assert!(pair[1].begun_at >= pair[0].done_at + wait(coat), "seed {seed}: too early");
                    }
                }
                let busy = |t: Stamp| round.coats.iter().filter(|c| c.begun_at <= t && t < c.done_at).count();
                assert!(round.coats.iter().all(|c| busy(c.begun_at) <= hands), "seed {seed}: a third hand");
                if pick == 1 {
                    assert!(before.is_none_or(|before| end <= before), "seed {seed}: {hands} pairs end later");
                    before = Some(end);
                }
            }
        }
    }
}

#[test]
fn a_stagger_that_is_said_to_hold_holds() {
    let mut held = 0;
    for seed in SEEDS {
        let mut chance = SplitMix64::new(seed);
        let boards: usize = 2 + chance.next_below(5);
        let (work, wait) = (1.0 + chance.next_below(8) as f64 / 2.0, 8.0 + chance.next_below(30) as f64);
        let hands: usize = 1 + chance.next_below(2);
        let alike: Vec<_> = (0..boards).map(|i| load(&format!("B{i}"), 6, work, (wait, wait))).collect();
        let advice = HandsAdvice::from_loads(&alike, hands, at(0.0)).unwrap();
        let each = boards.div_ceil(hands) as f64;
        assert_eq!(advice.stagger.is_some(), each * work <= wait, "seed {seed}: {advice:?}");
        assert!(hands > 1 || boards > advice.keeps || advice.stagger.is_some(), "seed {seed}: kept, but not begun");
        let Some(stagger) = advice.stagger else { continue };
        held += 1;
        assert!(stagger.apart >= min(work) && stagger.apart <= min(wait / each), "seed {seed}: {stagger:?}");
        // A hand that starts as it is told never finds a board that waits, and no two come within a coat's minutes.
        let started: Vec<_> = alike
            .iter()
            .enumerate()
            .map(|(i, l)| BoardLoad { due_at: Some(at(stagger.apart.minutes() * (i / hands) as f64)), ..l.clone() })
            .collect();
        let round = Round::play(&started, hands, WaitBound::Shortest, at(0.0));
        assert_eq!(round.worst_late(), Span::ZERO, "seed {seed}");
        let mut dues: Vec<_> = round.coats.iter().filter_map(|c| c.due_at).collect();
        dues.sort();
        let apart = dues.windows(hands + 1).all(|w| w[hands] - w[0] >= min(work));
        assert!(apart, "seed {seed}: due together");
    }
    assert!(held > 100, "only {held} held");
}

#[test]
fn the_order_is_whole_stable_and_by_due() {
    let size = (300.0, 400.0);
    for seed in 0..60 {
        let mut chance = SplitMix64::new(seed);
        let stories: Vec<PanelStory> = (0..1 + chance.next_below(8))
            .map(|i| {
                let mut acts: Vec<f64> = (0..chance.next_below(6)).map(|_| chance.next_below(200) as f64).collect();
                acts.sort_by(f64::total_cmp);
                let mut acts = done(&acts);
                if chance.next_below(4) == 0 {
                    acts.push((200.0, PanelAct::Start));
                }
                story(&format!("B{i}"), size, &acts)
            })
            .collect();
        let pass_kind = [None, Some(StageKind::Coat), Some(StageKind::Stipple)][chance.next_below(3)];
        let boards = boards(&stories, 205.0);
        let order = board_order(&boards, pass_kind);
        let mut sorted = order.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (0..boards.len()).collect::<Vec<_>>(), "seed {seed}: each board once");
        // Laid out in that order, they keep it.
        let again: Vec<_> = order.iter().map(|i| boards[*i].clone()).collect();
        assert_eq!(board_order(&again, pass_kind), (0..boards.len()).collect::<Vec<_>>(), "seed {seed}: not stable");
        let queue = build_queue(&boards, &[], pass_kind, at(205.0));
        let ids: Vec<_> = order.iter().map(|i| boards[*i].0.clone()).collect();
        assert_eq!(queue.iter().map(|e| e.id.clone()).collect::<Vec<_>>(), ids, "seed {seed}");
    }
}
