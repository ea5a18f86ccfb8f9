//! Rounds of several boards as they happen at a bench: a hand that does only what the screen says in block letters, takes
//! minutes for a coat, quiets calls half way through, forgets to press, lays the wrong board and takes it back, while the
//! disk fails and another window is open. Each round is played from a printed seed.

use super::desk::{Window, at_ten, opening, record};
use crate::app::bench_view_model::{BenchViewModel, TimerKind};
use crate::app::view_model::{ViewContext, build_bench_view_model};
use crate::bench::{Bench, PotOpening};
use crate::craft::recipe::Direction;
use crate::record::shelf::Shelf;
use crate::stats::split_mix::SplitMix64;
use crate::text::UnitSystem;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelEvent, StageKind};
use crate::work::panel::phase::PanelPhase;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use std::cell::Cell;
use std::path::Path;
use std::rc::Rc;

/// How long between two looks at the screen.
const STEP: Span = Span::from_s(7);
/// A round that is not over after so many looks stands still.
const LOOKS_MAX: usize = 4000;

/// A coat that was really laid.
#[derive(Debug, Clone, PartialEq)]
struct RealCoat {
    direction: Option<Direction>,
    at: Stamp,
}

/// What the hand is doing.
#[derive(Debug, Clone, PartialEq)]
enum Hand {
    Idle,
    /// It brushes that board until then; whether it has quieted what rang meanwhile.
    Brushing {
        board: String,
        until: Moment,
        direction: Option<Direction>,
        calls_quieted: bool,
    },
    /// The coat lies, and is not pressed yet.
    Laid {
        board: String,
        direction: Option<Direction>,
        since: Moment,
        presses_from: Moment,
    },
}

/// One round.
struct Rehearsed {
    window: Window,
    /// Another window over the same boards, at which the hand presses now and then.
    other: Option<Window>,
    rng: SplitMix64,
    hand: Hand,
    /// What was really laid, by board.
    laid: Vec<(String, Vec<RealCoat>)>,
    /// What the screen acknowledged, by board: how many coats.
    acknowledged: Vec<(String, usize)>,
    seed: u64,
}

const LABELS: [&str; 8] = ["Ash", "Bay", "Cob", "Dun", "Elm", "Fern 1", "Fern 2", "Fern 12"];

impl Rehearsed {
    fn new(root: &Path, seed: u64) -> Rehearsed {
        let mut rng = SplitMix64::new(seed);
        let boards = 1 + rng.next_below(6);
        let from = rng.next_below(LABELS.len() - boards + 1);
        let now = at_ten();
        for label in &LABELS[from..from + boards] {
            begin_board(root, label, &now);
        }
        let with_pot = rng.next_below(3) > 0;
        if with_pot {
            open_gesso(root, &now);
        }
        let other = (rng.next_below(3) == 0).then(|| Window::open(root, &now, None));
        let mut window = Window::open(root, &now, None);
        window.tick();
        let ids: Vec<String> = window.view.snapshots().iter().map(|t| t.id.to_string()).collect();
        let laid = ids.iter().map(|id| (id.clone(), Vec::new())).collect();
        let acknowledged = ids.iter().map(|id| (id.clone(), count_coats(root, id))).collect();
        Rehearsed { window, other, rng, hand: Hand::Idle, laid, acknowledged, seed }
    }

    fn one_in(&mut self, n: usize) -> bool {
        self.rng.next_below(n) == 0
    }

    fn screen(&self) -> BenchViewModel {
        let now = self.window.now.get();
        let at = ViewContext { now, zone: &chrono::Utc, units: UnitSystem::Metric };
        build_bench_view_model(&self.window.view, &at).expect("a board is shown")
    }

    /// The board whose name stands in block letters.
    fn board_named(&self, screen: &BenchViewModel) -> String {
        let view = &self.window.view;
        let named = |id: &Id| view.block_name(id) == screen.block_name;
        let board = view.snapshots().iter().find(|t| named(&t.id)).expect("the name is of a board");
        board.id.to_string()
    }

    fn now(&self) -> Moment {
        self.window.now.get()
    }

    /// What a round that fails prints: what was done, and what the screen said.
    fn tell(&self, what: &str) {
        let (s, screen) = (self.now().wall.ms() / 1000, self.screen());
        let ringing = if self.window.view.is_ringing() { ", rings" } else { "" };
        println!("{s} {what} [{} {}{ringing}] {:?}", screen.block_name, screen.act.block, self.hand);
    }

    /// Presses as a person does: let go, a moment, press.
    fn press(&mut self, key: &str) {
        self.tell(&format!("presses {key}"));
        self.window.press(key);
        self.window.pass(Span::from_ms(300));
    }

    /// Quiets what rings, with whatever key the hand is near.
    fn quiet(&mut self) {
        if self.window.view.is_ringing() {
            let key = ["x", "Space", "f"][self.rng.next_below(3)];
            self.press(key);
        }
    }

    fn play(&mut self) {
        for look in 0..LOOKS_MAX {
            self.window.pass(STEP);
            self.check_screen();
            if self.is_over() {
                return self.check_journals();
            }
            self.look_at_other_window();
            self.disturb();
            match self.hand.clone() {
                Hand::Idle => self.look_for_work(),
                Hand::Brushing { board, until, direction, calls_quieted } => {
                    self.brush(board, until, direction, calls_quieted);
                }
                Hand::Laid { board, direction, presses_from, .. } if self.now().since(presses_from) >= Span::ZERO => {
                    self.press_laid(&board, direction);
                }
                Hand::Laid { .. } => {}
            }
            assert!(look + 1 < LOOKS_MAX, "seed {}: the round stands still\n{}", self.seed, self.window.screen(80, 24));
        }
    }

    /// The hand is free: it does what the screen says in block letters, if that is to be done now.
    fn look_for_work(&mut self) {
        if self.window.view.is_ringing() {
            return self.quiet();
        }
        let screen = self.screen();
        let is_now = screen.timer.is_none_or(|t| t.kind == TimerKind::Overdue) && screen.phase == PanelPhase::Ready;
        // The pot has its own band and its own key; what it calls for is done by that key.
        if screen.pot_band.as_ref().is_some_and(|band| band.is_calling) {
            let calls =
                |screen: &BenchViewModel| screen.pot_band.as_ref().map(|band| (band.text.clone(), band.is_calling));
            for _ in 0..3 {
                // Whatever began to ring meanwhile is quieted by the first press.
                self.press("p");
                if self.window.disk.is_full() {
                    // The screen says so, and somebody makes room.
                    self.window.disk.full(false);
                } else if calls(&self.screen()) != calls(&screen) {
                    return;
                }
            }
            panic!("seed {}: the key does not do what the band says: {:?}", self.seed, screen.pot_band);
        }
        // This hand only lays gesso; from a board that wants something else it goes on to the one that calls.
        if is_now && !screen.act.kind.is_gesso() {
            for _ in 1..self.laid.len() {
                self.press("Tab");
                let screen = self.screen();
                if screen.act.kind.is_gesso() && screen.phase == PanelPhase::Ready {
                    break;
                }
            }
            return;
        }
        if !is_now {
            if screen.block_card.as_ref().is_some_and(|card| card.lines.iter().any(|line| line.contains("DULL")))
                && self.one_in(9)
            {
                self.press("d");
            }
            return;
        }
        // Sometimes the hand takes another board than the screen says.
        let named = self.board_named(&screen);
        let others: Vec<String> = self.laid.iter().map(|(id, _)| id.clone()).filter(|id| *id != named).collect();
        if !others.is_empty() && self.one_in(25) {
            return self.press_for_the_wrong_board(&named);
        }
        let minutes = 60 + self.rng.next_below(240) as i64;
        let until = self.now().earlier_by(-Span::from_s(minutes));
        self.hand = Hand::Brushing { board: named, until, direction: screen.act.direction, calls_quieted: false };
    }

    /// The press comes before anybody notices that the board was not the one named; it is taken back at once.
    fn press_for_the_wrong_board(&mut self, named: &str) {
        let before = count_coats(self.window.root(), named);
        self.press("Space");
        if count_coats(self.window.root(), named) == before {
            return;
        }
        self.window.pass(Span::from_s(self.rng.next_below(60) as i64));
        self.quiet();
        self.press("u");
        assert_eq!(count_coats(self.window.root(), named), before, "seed {}: taken back", self.seed);
    }

    fn brush(&mut self, board: String, until: Moment, direction: Option<Direction>, calls_quieted: bool) {
        let now = self.now();
        let half = until.since(now) < Span::from_s(60);
        if self.window.view.is_ringing() && half && !calls_quieted {
            self.quiet();
            let shown = self.board_named(&self.screen());
            assert_eq!(shown, board, "seed {}: the board in the hand holds the screen", self.seed);
            self.hand = Hand::Brushing { board, until, direction, calls_quieted: true };
            return;
        }
        if now.since(until) < Span::ZERO {
            return;
        }
        self.lay(&board, direction, now);
        // Sometimes the press is forgotten for some minutes.
        let later = if self.one_in(8) { 60 + self.rng.next_below(300) as i64 } else { 0 };
        let presses_from = now.earlier_by(-Span::from_s(later));
        self.hand = Hand::Laid { board, direction, since: now, presses_from };
    }

    fn lay(&mut self, board: &str, direction: Option<Direction>, now: Moment) {
        self.tell(&format!("laid {board} {direction:?}"));
        let coats = self.laid.iter_mut().find(|(id, _)| id == board).expect("one of the boards");
        coats.1.push(RealCoat { direction, at: now.wall });
    }

    /// Presses for the coat that lies; a press counts only for the board in block letters.
    fn press_laid(&mut self, board: &str, direction: Option<Direction>) {
        self.quiet();
        let screen = self.screen();
        assert_eq!(self.board_named(&screen), board, "seed {}: it still holds the screen", self.seed);
        assert_eq!(
            screen.act.direction,
            direction,
            "seed {}: and says what it said\n{}\n{:?}",
            self.seed,
            self.window.screen(80, 24),
            self.window.facts(board)
        );
        let before = count_coats(self.window.root(), board);
        if self.press_at_other_window(board, direction) {
            self.acknowledge(board);
            self.hand = Hand::Idle;
            return;
        }
        self.press("Space");
        // Asked whether it is meant, the hand looks and insists.
        if self.screen().block_card.is_some_and(|card| card.lines.iter().any(|line| line == "AGAIN?")) {
            self.press("Space");
        }
        if count_coats(self.window.root(), board) > before {
            let Hand::Laid { since, .. } = self.hand.clone() else { unreachable!("it was just pressed") };
            let late = self.now().since(since).minutes() as usize;
            for _ in 0..late.min(9) {
                self.press("Left");
            }
            self.acknowledge(board);
            self.hand = Hand::Idle;
        } else {
            // A full disk, or something rang: it says so, and the hand presses again.
            self.window.disk.full(false);
        }
    }

    /// Time goes by in the other window as well.
    fn look_at_other_window(&mut self) {
        if let Some(other) = &mut self.other {
            other.read_on();
            other.tick();
        }
    }

    /// Now and then the press is made at the other window, once the board stands there in block letters. Returns whether
    /// it was, and the coat is on disk.
    fn press_at_other_window(&mut self, board: &str, direction: Option<Direction>) -> bool {
        if self.other.is_none() || !self.one_in(3) {
            return false;
        }
        let (Some(other), root) = (&mut self.other, self.window.root().to_owned()) else { return false };
        other.read_on();
        let shows = |w: &Window| w.view.shown_panel().is_some_and(|t| t.id.as_str() == board);
        for _ in 0..20 {
            if other.view.is_ringing() {
                other.press("x");
            } else if !shows(other) {
                other.press("Tab");
            }
        }
        let now = other.now.get();
        let at_hand = other.view.panel_status(now).and_then(|s| s.stage_to_record()).and_then(|s| s.direction);
        let before = count_coats(&root, board);
        if shows(other) && at_hand == direction && !other.view.is_ringing() {
            other.press("Space");
            if other.view.confirmation.is_some() {
                other.press("Space");
            }
        }
        self.window.read_on();
        count_coats(&root, board) > before
    }

    fn acknowledge(&mut self, board: &str) {
        let coats = count_coats(self.window.root(), board);
        let known = self.acknowledged.iter_mut().find(|(id, _)| id == board).expect("one of the boards");
        known.1 = coats;
    }

    /// What happens beside: the disk fails, somebody looks at other screens, writes a note from a shell, goes away.
    fn disturb(&mut self) {
        match self.rng.next_below(90) {
            0 => self.window.disk.full(true),
            1 => self.window.disk.full(false),
            2 if self.hand == Hand::Idle => {
                self.press("c");
                self.press("Down");
                self.press("Esc");
            }
            3 if self.hand == Hand::Idle => self.press("Tab"),
            4 => {
                let at = self.rng.next_below(self.laid.len());
                let id = self.laid[at].0.clone();
                let root = self.window.root().to_owned();
                record(&root, &id, PanelAct::Note("from a shell".to_owned()), &self.window.now);
                self.window.read_on();
            }
            5 => self.press("?"),
            _ => {}
        }
        if self.window.view.input_mode() != crate::app::message::InputMode::Bench {
            self.press("Esc");
        }
    }

    fn is_over(&self) -> bool {
        let now = self.now();
        self.hand == Hand::Idle
            && self.window.view.snapshots().iter().all(|t| {
                let story = t.story.as_ref().expect("it can be read");
                story.panel().status(now).stage_to_record().is_none_or(|s| !s.kind.is_gesso())
            })
    }

    /// Whatever is on the screen is true: the soonest call is never hidden, and nothing that is to come lies in the past.
    fn check_screen(&self) {
        let (now, screen) = (self.now(), self.screen());
        let view = &self.window.view;
        let shown = self.board_named(&screen);
        for snapshot in view.snapshots() {
            let story = snapshot.story.as_ref().expect("it can be read");
            let status = story.panel().status(now);
            let label = &story.panel().opened().label;
            let name = view.block_name(&snapshot.id);
            if status.phase == PanelPhase::Ready && status.time_left.is_some() && snapshot.id.as_str() != shown {
                let in_queue = screen.queue.iter().any(|item| item.is_now && item.name.to_uppercase() == name);
                assert!(in_queue, "seed {}: {label} is due and hidden: {:?}", self.seed, screen.queue);
            }
            if status.phase == PanelPhase::Waiting {
                assert!(status.due_at >= Some(now.wall), "seed {}: a due in the past", self.seed);
            }
        }
        let names = view.block_names();
        assert!(names.iter().enumerate().all(|(i, name)| !names[..i].contains(name)), "seed {}: {names:?}", self.seed);
    }

    /// What stands on disk is what was laid: on the board it was laid on, in the order, in the direction, about the time.
    fn check_journals(&self) {
        for (id, coats) in &self.laid {
            let recorded = recorded_coats(self.window.root(), id);
            let whole: Vec<_> = recorded.iter().map(|coat| coat.direction).collect();
            let real: Vec<_> = coats.iter().map(|coat| coat.direction).collect();
            assert_eq!(whole, real, "seed {}: {id}: recorded against laid", self.seed);
            for (is, was) in recorded.iter().zip(coats) {
                let off = (is.at - was.at).abs();
                // A press forgotten for minutes is stepped back, unless a call takes the arrow for its quieting.
                assert!(off <= Span::from_s(6 * 60), "seed {}: {id}: {:.1} min off", self.seed, off.minutes());
            }
            let directions: Vec<Direction> = whole.into_iter().flatten().collect();
            assert!(directions.windows(2).all(|d| d[0] != d[1]), "seed {}: {id}: {directions:?}", self.seed);
            let known = self.acknowledged.iter().find(|(board, _)| board == id).map(|(_, n)| *n);
            assert!(Some(count_coats(self.window.root(), id)) >= known, "seed {}: {id}: something was lost", self.seed);
        }
    }
}

/// A board whose glue size has cured: the first gesso is at hand.
fn begin_board(root: &Path, label: &str, now: &Rc<Cell<Moment>>) {
    let mut bench = Bench::new(Shelf::open(root));
    let opened = bench.open_panels(&opening(label, "gypsum-zinc"), &|| now.get()).unwrap();
    let id = opened[0].id.to_string();
    loop {
        let story = bench.load(&Id::new(&id).unwrap()).unwrap().story.unwrap();
        let status = story.panel().status(now.get());
        if story.panel().stage_at_hand().is_none_or(|s| s.kind == StageKind::Stipple) {
            break;
        }
        if let Some(left) = status.time_left.filter(|left| *left > Span::ZERO) {
            now.set(now.get().earlier_by(-left));
        }
        record(root, &id, PanelAct::done_as_planned(), now);
        bench = Bench::new(Shelf::open(root));
    }
    now.set(now.get().earlier_by(-Span::from_h(25.0)));
}

/// A gesso, made and liquid.
fn open_gesso(root: &Path, now: &Rc<Cell<Moment>>) {
    let mut bench = Bench::new(Shelf::open(root));
    let opening = PotOpening {
        filler_lot: None,
        label: "gesso".to_owned(),
        kind: PotKind::Gesso,
        parent: None,
        recipe: opening("x", "gypsum-zinc").recipe,
        size_ml: None,
        lot: None,
        at: None,
        for_group: None,
    };
    let id = bench.open_pot(&opening, &|| now.get()).unwrap().id;
    for act in [PotAct::made_as_asked(), PotAct::Melt, PotAct::OutOfBath] {
        bench.record_pot(&id, &act, None, &|| now.get()).unwrap();
        now.set(now.get().earlier_by(-Span::from_s(120)));
    }
}

/// The coats of gesso that stand on disk, in story order.
fn recorded_coats(root: &Path, id: &str) -> Vec<RealCoat> {
    let mut bench = Bench::new(Shelf::open(root));
    let story = bench.load(&Id::new(id).unwrap()).unwrap().story.unwrap();
    let standing = story.entries_in_order().into_iter().filter(|e| !story.is_taken_back(e.seq));
    standing
        .filter_map(|entry| match &entry.event {
            PanelEvent::Done(done) if done.stage.is_some_and(|s| s.kind.is_gesso()) => {
                Some(RealCoat { direction: done.direction, at: entry.at })
            }
            _ => None,
        })
        .collect()
}

fn count_coats(root: &Path, id: &str) -> usize {
    recorded_coats(root, id).len()
}

/// `SOTTILE_SEED` plays one round again.
#[test]
fn no_coat_is_recorded_on_a_board_it_was_not_laid_on() {
    let one = std::env::var("SOTTILE_SEED").ok().and_then(|seed| seed.parse::<u64>().ok());
    let seeds = one.map_or(1..=8, |seed| seed..=seed);
    for seed in seeds {
        let dir = tempfile::tempdir().unwrap();
        println!("seed {seed}");
        Rehearsed::new(dir.path(), seed).play();
    }
}
