//! Scenes of a round over several boards.

use super::*;

fn place(name: &str, time: &str) -> PlaceViewModel {
    PlaceViewModel { name: name.into(), time: time.into(), is_shown: false, is_due: time.starts_with('+') }
}

fn item(name: &str, what: &str, direction: Option<Direction>, time: &str) -> QueueItem {
    let (is_now, is_pot) = (time == "now", name == "POT");
    QueueItem { name: name.into(), what: what.into(), direction, time: time.into(), is_now, is_pot }
}

/// Four boards in a round, Bay on the screen, its coat 4 due in two minutes; the pot goes in soon.
pub fn round() -> BenchViewModel {
    let mut scene = waiting();
    scene.header.label = "Bay".into();
    scene.block_name = "BAY".into();
    scene.timer = Some(TimerViewModel { seconds: 130, kind: TimerKind::Remaining, progress: Some(0.86) });
    scene.places = vec![place("Ash", "9:40"), place("Bay", "2:10"), place("Cob", "5:30"), place("Dun", "8:50")];
    scene.places[1].is_shown = true;
    scene.queue = vec![
        item("POT", "IN", None, "5:00"),
        item("Cob", "coat 4", Some(Vertical), "5:30"),
        item("Dun", "coat 3", Some(Horizontal), "8:50"),
        item("Ash", "coat 5", Some(Horizontal), "9:40"),
    ];
    scene.rack = Vec::new();
    scene.session_end = "last coat of all four about 16:05".into();
    scene.hands_advice = "Cob and Dun fall due together at 15:20".into();
    scene.pot_band =
        Some(BandViewModel { text: "POT IN 5:00".into(), explanation: "p: into the bath".into(), is_calling: false });
    scene
}

/// Bay's coat is due, and so is Ash's; the pot is to come out.
pub fn round_due() -> BenchViewModel {
    let mut scene = round();
    scene.phase = PanelPhase::Ready;
    scene.urgency = Urgency::Overdue;
    scene.timer = Some(TimerViewModel { seconds: 64, kind: TimerKind::Overdue, progress: Some(1.0) });
    scene.due = "was due 14:14".into();
    scene.places[0] = place("Ash", "+0:10");
    scene.places[1] = PlaceViewModel { is_shown: true, ..place("Bay", "+1:04") };
    scene.queue = vec![
        item("Ash", "coat 5", Some(Horizontal), "now"),
        item("POT", "OUT", None, "now"),
        item("Cob", "coat 4", Some(Vertical), "2:30"),
        item("Dun", "coat 3", Some(Horizontal), "5:50"),
    ];
    scene.pot_band =
        Some(BandViewModel { text: "POT OUT NOW".into(), explanation: "p: out of the bath".into(), is_calling: true });
    scene
}

/// Ash calls while Bay is on the screen.
pub fn round_called() -> BenchViewModel {
    let mut scene = round_due();
    scene.pot_band = None;
    scene.call_band =
        Some(BandViewModel { text: "ASH NOW".into(), explanation: "any key quiets it".into(), is_calling: true });
    scene
}

/// The pot is to go in while Bay waits.
pub fn round_pot_in() -> BenchViewModel {
    let mut scene = round();
    scene.pot_band =
        Some(BandViewModel { text: "POT IN NOW".into(), explanation: "p: into the bath".into(), is_calling: true });
    scene
}

/// Bay is nearly due, and Ash's coat was just recorded.
pub fn round_soon() -> BenchViewModel {
    let mut scene = round();
    scene.urgency = Urgency::Soon;
    scene.timer = Some(TimerViewModel { seconds: 58, kind: TimerKind::Remaining, progress: Some(0.94) });
    scene.recent_fact = Some(RecentFactViewModel {
        name: "ASH".into(),
        what: "coat 4 laid".into(),
        at: "14:06".into(),
        ago: "1 min ago".into(),
    });
    scene
}

/// Ash calls, and the pot is to come out.
pub fn round_both() -> BenchViewModel {
    BenchViewModel { pot_band: round_due().pot_band, ..round_called() }
}

/// Thirteen hours late.
pub fn round_late() -> BenchViewModel {
    let mut scene = round_due();
    scene.timer = Some(TimerViewModel { seconds: 13 * 3600 + 1500, kind: TimerKind::Overdue, progress: Some(1.0) });
    scene
}

fn card(scene: BenchViewModel, lines: &[&str], explanation: &str, is_warning: bool) -> BenchViewModel {
    let lines = lines.iter().map(|line| (*line).to_owned()).collect();
    BenchViewModel { block_card: Some(BlockCard { lines, explanation: explanation.to_owned(), is_warning }), ..scene }
}

/// Pressed too early: asked whether it is meant.
pub fn round_early() -> BenchViewModel {
    card(round(), &["BAY 8 EARLY", "AGAIN?"], "Space again lays it, any other key: no", true)
}

/// Time to look whether the gloss is gone.
pub fn round_look() -> BenchViewModel {
    card(round(), &["BAY IS IT DULL?"], "d: yes, lay it now; not yet: leave it", false)
}

/// The pot in use is of another recipe.
pub fn round_wrong_pot() -> BenchViewModel {
    let words = "Bay is gypsum-titanium, this pot chalk-gilding. P: another pot, Space: lay it all the same";
    card(round_due(), &["BAY COAT 4", "WRONG POT?"], words, true)
}

/// A whole round is to be recorded at once.
pub fn round_pass() -> BenchViewModel {
    let words = "Ash Bay Cob Dun, coat 4 vertical, 14:02 to 14:13. Space: all, 3: only three, any other key: no";
    card(round_due(), &["LAID 4?"], words, true)
}

/// So many boards in a round.
pub fn round_of(boards: usize) -> BenchViewModel {
    let mut scene = round();
    scene.places = (1..=boards)
        .map(|n| PlaceViewModel { is_shown: n == 2, ..place(&format!("Wren{n}"), &format!("{n}:10")) })
        .collect();
    scene.queue =
        (1..boards).map(|n| item(&format!("Wren{n}"), "coat 4", Some(Vertical), &format!("{n}:10"))).collect();
    if boards == 1 {
        scene.block_name = String::new();
        scene.places = Vec::new();
    } else {
        scene.block_name = "WREN 2".into();
    }
    scene
}
