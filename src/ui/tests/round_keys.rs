//! Several boards at once: which one a press concerns, which one comes next, a whole pass at once, and what is asked first.

use super::desk::{Window, at_ten, opening, record, record_open};
use crate::app::bench_view_model::BenchViewModel;
use crate::app::model::Overlay;
use crate::app::view_model::{ViewContext, build_bench_view_model};
use crate::bench::{Bench, PotOpening};
use crate::craft::recipe::shipped;
use crate::record::shelf::Shelf;
use crate::text::UnitSystem;
use crate::units::{Id, Span};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{Face, PanelEvent, StageKind};
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use std::path::Path;
use std::sync::Arc;

const FOUR: [&str; 4] = ["Ash", "Bay", "Cob", "Dun"];

/// Four boards, each with its first gesso tapped in, three minutes apart; the wait is a quarter of an hour.
fn round(root: &Path) -> Window {
    let now = at_ten();
    for label in FOUR {
        record_open(root, label, "gypsum-zinc", &now);
    }
    let ids = FOUR.map(str::to_lowercase);
    for id in &ids {
        for _ in 0..5 {
            record(root, id, PanelAct::done_as_planned(), &now);
        }
    }
    now.set(now.get().earlier_by(-Span::from_h(30.0)));
    for id in &ids {
        record(root, id, PanelAct::done_as_planned(), &now);
        now.set(now.get().earlier_by(-Span::from_min(3.0)));
    }
    let mut w = Window::open(root, &now, None);
    w.seconds(2);
    quiet(&mut w);
    w
}

fn quiet(w: &mut Window) {
    while w.view.is_ringing() {
        w.press("x");
    }
}

fn scene(w: &Window) -> BenchViewModel {
    let at = ViewContext { now: w.now.get(), zone: &chrono::Utc, units: UnitSystem::Metric };
    build_bench_view_model(&w.view, &at).unwrap()
}

fn name(w: &Window) -> String {
    scene(w).block_name
}

/// What comes, as one line: "BAY now, COB 1:30".
fn queue(w: &Window) -> String {
    let items: Vec<String> =
        scene(w).queue.iter().map(|item| format!("{} {}", item.name.to_uppercase(), item.time)).collect();
    items.join(", ")
}

fn card(w: &Window) -> Vec<String> {
    scene(w).block_card.map(|card| card.lines).unwrap_or_default()
}

fn coats(w: &Window, id: &str) -> usize {
    w.facts(id).iter().filter(|f| *f == "done").count() - w.facts(id).iter().filter(|f| *f == "undone").count()
}

/// Until that many seconds after Ash falls due.
fn until_ash_is_due(w: &mut Window, seconds: i64) {
    let story = w.view.snapshots()[0].story.clone().unwrap();
    let left = story.panel().status(w.now.get()).time_left.unwrap();
    w.pass(left + Span::from_s(seconds));
}

#[test]
fn the_board_in_the_hand_holds_the_screen_and_another_call_only_joins_the_line() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    assert_eq!(name(&w), "ASH", "it opens on the most pressing");
    until_ash_is_due(&mut w, 2);
    w.press("x");
    assert!(!w.view.is_ringing());
    // Ash is brushed; three minutes later Bay falls due, and rings.
    w.seconds(190);
    assert!(w.view.is_ringing());
    assert_eq!(scene(&w).call_band.unwrap().text, "BAY NOW");
    let before = [coats(&w, "ash"), coats(&w, "bay")];
    w.press("Space");
    assert_eq!(name(&w), "ASH", "quieted, and Ash is still in the hand");
    assert_eq!([coats(&w, "ash"), coats(&w, "bay")], before, "the first key only quiets");
    assert!(queue(&w).starts_with("BAY now"), "{}", queue(&w));
    w.press("Space");
    assert_eq!([coats(&w, "ash"), coats(&w, "bay")], [before[0] + 1, before[1]]);
    assert_eq!(name(&w), "BAY", "the next in time");
    assert!(w.shows("next: BAY"), "{}", w.screen(160, 48));
    w.press("Space");
    assert_eq!(name(&w), "COB");
    assert_eq!(coats(&w, "bay"), before[1] + 1);
}

#[test]
fn with_nothing_in_the_hand_the_key_that_quiets_turns_to_what_called() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    w.press("Tab Tab");
    assert_eq!(name(&w), "COB");
    until_ash_is_due(&mut w, 2);
    assert_eq!(name(&w), "COB", "never under the finger");
    assert_eq!(scene(&w).call_band.unwrap().text, "ASH NOW");
    let before = w.made();
    w.press("Space");
    assert_eq!((name(&w).as_str(), w.made()), ("ASH", before));
    w.press("Space");
    assert_eq!(coats(&w, "ash"), 7);
}

#[test]
fn the_board_that_asks_whether_it_is_dull_takes_no_press_from_another() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    until_ash_is_due(&mut w, 1);
    w.press("x");
    // The look at Bay is called twelve minutes after its coat, when Ash is due.
    w.seconds(5);
    assert_eq!(name(&w), "ASH");
    let before = coats(&w, "bay");
    while w.view.is_ringing() {
        w.press("x");
    }
    w.press("Space");
    assert_eq!((coats(&w, "ash"), coats(&w, "bay")), (7, before));
    assert_eq!(name(&w), "BAY");
    assert_eq!(card(&w), ["BAY IS IT DULL?"]);
    w.press("d Space");
    assert_eq!(coats(&w, "bay"), before + 1, "dull, so it is not early");
}

#[test]
fn boards_are_stepped_through_in_the_order_of_what_is_due_and_that_stays_while_it_is_stepped() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    w.press("Tab");
    assert_eq!(name(&w), "BAY");
    w.press("Tab");
    assert_eq!(name(&w), "COB");
    w.press("Tab Tab");
    assert_eq!(name(&w), "ASH", "round and round");
    w.press("BackTab");
    assert_eq!(name(&w), "DUN");
    w.pass(Span::from_s(6));
    w.press("Tab");
    assert_eq!(name(&w), "ASH", "begun anew: the most pressing of the others");
    let places = |w: &Window| scene(w).places.iter().map(|p| p.name.clone()).collect::<Vec<_>>().join(" ");
    assert_eq!(places(&w), "Ash Bay Cob Dun");
    w.press("> >");
    assert_eq!((places(&w).as_str(), name(&w).as_str()), ("Bay Cob Ash Dun", "ASH"));
    w.press("<");
    assert_eq!(places(&w), "Bay Ash Cob Dun");
    let now = w.now.clone();
    assert_eq!(places(&Window::open(dir.path(), &now, None)), "Bay Ash Cob Dun", "and so they stand another day");
}

#[test]
fn one_is_chosen_of_all_that_comes_by_arrows_or_by_its_letters() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    for (keys, wants) in
        [("c Down Down Enter", "COB"), ("c d Enter", "DUN"), ("c b a Enter", "BAY"), ("c End Enter", "DUN")]
    {
        w.press(keys);
        assert_eq!(name(&w), wants, "{keys}");
        w.press("Tab BackTab");
    }
    w.press("c");
    assert!(w.screen(80, 24).contains("coat 1 of 6, horizontal"), "{}", w.screen(80, 24));
    w.press("Esc");
    assert_eq!(w.view.overlay, Overlay::None);
}

#[test]
fn a_pass_is_asked_once_and_taken_back_as_one() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    until_ash_is_due(&mut w, 12 * 60);
    while w.view.is_ringing() {
        w.press("x");
    }
    let before = w.made();
    w.press("A");
    assert_eq!((card(&w), w.made()), (vec!["LAID 4?".to_owned()], before));
    assert!(w.shows("ASH BAY COB DUN"), "{}", w.screen(160, 48));
    w.press("Space");
    assert_eq!(w.made(), before + 4);
    let at = |w: &Window, n: usize| {
        let story = w.view.snapshots()[n].story.clone().unwrap();
        story.last_standing_entry().unwrap().at
    };
    let apart: Vec<f64> = (0..3).map(|n| (at(&w, n + 1) - at(&w, n)).minutes()).collect();
    assert_eq!(apart, [3.0; 3], "the recipe's minutes a coat");
    assert!(w.now.get().wall - at(&w, 3) < Span::from_s(3), "the last now");
    w.press("u");
    assert_eq!(FOUR.map(|id| coats(&w, &id.to_lowercase())), [6; 4]);
    // A figure says on how many; another key is no.
    w.press("A 3");
    assert_eq!(FOUR.map(|id| coats(&w, &id.to_lowercase())), [7, 7, 7, 6]);
    w.press("u A Tab Space");
    let laid: usize = FOUR.iter().map(|id| coats(&w, &id.to_lowercase())).sum();
    assert_eq!(laid, 25, "the question was gone, so one board was pressed");
}

#[test]
fn missed_coats_are_put_in_on_one_sheet_or_not_at_all() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    until_ash_is_due(&mut w, 40 * 60);
    while w.view.is_ringing() {
        w.press("x");
    }
    let before = w.made();
    w.press("m Up PageDown PageDown PageDown Tab Up PageDown");
    // The second coat of Bay, typed: sixteen o'clock of the day before is before its first.
    w.press("Right");
    w.types("1600");
    w.press("Enter");
    assert_eq!(w.made(), before, "nothing is written while something of it cannot be: {}", w.screen(80, 24));
    let Overlay::PassSheet(sheet) = &w.view.overlay else { panic!("it stays open") };
    assert!(!sheet.rows[1].cells[1].error.is_empty(), "{sheet:?}");
    w.press("Delete Enter");
    assert_eq!(w.view.overlay, Overlay::None, "{}", w.screen(80, 24));
    assert_eq!((w.made(), coats(&w, "ash"), coats(&w, "bay")), (before + 2, 7, 7));
    w.seconds(3);
    quiet(&mut w);
    w.press("u");
    assert_eq!(w.made(), before + 4, "both are taken back: {}", w.screen(80, 24));
    assert_eq!((coats(&w, "ash"), coats(&w, "bay")), (6, 6));
}

#[test]
fn undo_asks_first_after_two_minutes_a_restart_or_news_from_elsewhere() {
    // Milliseconds that pass, whether somebody records elsewhere, whether the window is opened anew, whether it asks.
    for (seconds, elsewhere, anew, asks) in [
        (1, false, false, false),
        (60, false, false, false),
        (125, false, false, true),
        (1, true, false, true),
        (1, false, true, true),
    ] {
        let dir = tempfile::tempdir().unwrap();
        let mut w = round(dir.path());
        until_ash_is_due(&mut w, 2);
        w.press("x Space");
        assert_eq!((name(&w).as_str(), coats(&w, "ash")), ("BAY", 7));
        w.pass(Span::from_s(seconds));
        if elsewhere {
            record(dir.path(), "dun", PanelAct::Note("a script".to_owned()), &w.now);
            w.read_on();
        }
        if anew {
            let now = w.now.clone();
            w = Window::open(dir.path(), &now, None);
            w.press("Tab BackTab");
        }
        while w.view.is_ringing() {
            w.press("x");
        }
        w.press("u");
        let undone = |w: &Window| FOUR.iter().any(|id| w.facts(&id.to_lowercase()).iter().any(|f| f == "undone"));
        assert_eq!(undone(&w), !asks, "{seconds} s, {elsewhere}, {anew}: {}", w.screen(120, 40));
        if asks {
            assert!(card(&w)[0].starts_with("UNDO "), "{:?}", card(&w));
            w.press("u");
            assert!(undone(&w), "the second press takes it back");
        }
    }
}

fn open_pot(root: &Path, label: &str, recipe: &str, w: &Window) {
    let mut bench = Bench::new(Shelf::open(root));
    let opening = PotOpening {
        filler_lot: None,
        label: label.to_owned(),
        kind: PotKind::Gesso,
        parent: None,
        recipe: Arc::new(shipped::find_shipped_recipe(recipe).unwrap()),
        size_ml: None,
        lot: None,
        at: None,
        for_group: None,
    };
    bench.open_pot(&opening, &|| w.now.get()).unwrap();
    let id = Id::new(label).unwrap();
    bench.record_pot(&id, &PotAct::made_as_asked(), None, &|| w.now.get()).unwrap();
}

#[test]
fn the_wrong_pot_is_said_before_the_press_and_recorded_if_the_maker_insists() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    open_pot(dir.path(), "other", "whiting-tempera", &w);
    w = Window::open(dir.path(), &w.now.clone(), None);
    until_ash_is_due(&mut w, 2);
    w.press("x");
    assert_eq!(card(&w), ["ASH COAT 1", "WRONG POT?"], "before the press");
    w.press("Space");
    assert_eq!((card(&w), coats(&w, "ash")), (vec!["ASH WRONG POT?".to_owned(), "AGAIN?".to_owned()], 6));
    w.press("Space");
    assert_eq!(coats(&w, "ash"), 7);
    let story = w.view.snapshots()[0].story.clone().unwrap();
    let Some(PanelEvent::Done(done)) = story.last_standing_entry().map(|e| e.event.clone()) else { panic!() };
    assert_eq!(done.pot, Id::new("other"), "and what it came from is told");
}

#[test]
fn spirit_waits_for_the_bath_and_dust_for_the_wet_board() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    let mut w = Window::open(dir.path(), &now, None);
    open_pot(dir.path(), "warm", "gypsum-zinc", &w);
    Bench::new(Shelf::open(dir.path()))
        .record_pot(&Id::new("warm").unwrap(), &PotAct::Melt, None, &|| now.get())
        .unwrap();
    w.read_on();
    w.press("f f");
    assert_eq!(card(&w), ["PREPARE", "BATH OFF FIRST"]);
    // Another board, wet; this one is to be scraped.
    w.upto(StageKind::Scrape, 1);
    w.press("p");
    record_open(dir.path(), "Robin", "gypsum-zinc", &now);
    for _ in 0..6 {
        record(dir.path(), "robin", PanelAct::done_as_planned(), &now);
    }
    w.read_on();
    w.wait_out();
    record(dir.path(), "robin", PanelAct::done_as_planned(), &now);
    w.read_on();
    w.press("f f");
    assert!(
        w.view.shown_panel().unwrap().id.as_str() == "wren"
            && scene(&w).phase != crate::work::panel::phase::PanelPhase::Waiting
    );
    w.press("s");
    assert!(
        card(&w).contains(&"WET BOARD NEAR".to_owned()) || card(&w).contains(&"WRE GRAIN SHOWS?".to_owned()),
        "{:?}",
        card(&w)
    );
}

#[test]
fn whether_grain_shows_is_answered_for_every_window() {
    let answered = |keys: &str| {
        let dir = tempfile::tempdir().unwrap();
        let now = at_ten();
        Bench::new(Shelf::open(dir.path())).open_panels(&opening("Wren", "balanced-ply"), &|| now.get()).unwrap();
        let mut w = Window::open(dir.path(), &now, None);
        w.upto(StageKind::Scrape, 1);
        w.wait_out();
        w.tick();
        while w.view.is_ringing() {
            w.press("x");
        }
        assert_eq!(card(&w), ["GRAIN SHOWS?"], "{}", w.screen(80, 24));
        w.press(keys);
        let facts = w.facts("wren");
        (facts.last().cloned().unwrap_or_default(), card(&w), w.story().panel().stage_at_hand().unwrap())
    };
    let (fact, card, hand) = answered("Space");
    assert_eq!((fact.as_str(), card.len(), hand.kind), ("started", 0, StageKind::Scrape));
    let (fact, _, hand) = answered("e");
    assert_eq!((fact.as_str(), hand.kind, hand.face), ("extra", StageKind::Coat, Some(Face::Front)), "on the front");
}

#[test]
fn leaving_while_a_wait_runs_is_asked_once_and_who_brushes_stands_with_the_coat() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = round(dir.path());
    quiet(&mut w);
    w.press("q");
    assert_eq!((card(&w)[1].as_str(), w.asked.contains(&crate::app::model::Effect::Quit)), ("LEAVE?", false));
    w.press("q");
    assert!(w.asked.contains(&crate::app::model::Effect::Quit));
    w.press("b");
    w.types("a student");
    w.press("Enter");
    until_ash_is_due(&mut w, 2);
    w.press("x Space");
    let story = w.view.snapshots()[0].story.clone().unwrap();
    let Some(PanelEvent::Done(done)) = story.last_standing_entry().map(|e| e.event.clone()) else { panic!() };
    assert_eq!(done.by.as_deref(), Some("a student"));
}
