//! Invented scenes for the tests.

mod rounds;
mod sheets;

use crate::app::bench_view_model::*;
use crate::app::keymap::KeyHint;
use crate::app::overlay_view_models::*;
use crate::craft::recipe::Direction::{self, Horizontal, Vertical};
use crate::work::panel::event::{Face, Roughness, StageKind};
use crate::work::panel::phase::PanelPhase;

pub use rounds::*;
pub use sheets::*;

fn key(key: &str, does: &str) -> KeyHint {
    KeyHint::sample(key, does)
}

fn layer(
    kind: StageKind,
    number: u32,
    direction: Option<Direction>,
    state: LayerState,
    when: &str,
    off: &str,
) -> LayerViewModel {
    LayerViewModel { kind, number: Some(number), direction, state, caption: when.into(), deviation: off.into() }
}

/// `of` coats, of which `laid` lie and one is called for.
pub fn coats(laid: u32, of: u32) -> Vec<LayerViewModel> {
    (1..=of)
        .map(|n| {
            let way = if n % 2 == 1 { Horizontal } else { Vertical };
            let state = match n {
                n if n <= laid => LayerState::Laid,
                n if n == laid + 1 => LayerState::Next,
                _ => LayerState::Coming,
            };
            let when = if n <= laid { format!("{:02}:{:02}", 13 + n / 4, 13 * n % 60) } else { String::new() };
            let off = if n == 2 && n <= laid { "2 min early" } else { "" };
            layer(StageKind::Coat, n, Some(way), state, &when, off)
        })
        .collect()
}

fn ground(gesso: Vec<LayerViewModel>) -> Vec<LayerViewModel> {
    let mut all = vec![
        layer(StageKind::Size, 2, None, LayerState::Laid, "x2 Mon", ""),
        layer(StageKind::Stipple, 1, None, LayerState::Laid, "13:12", ""),
    ];
    all.extend(gesso);
    all
}

/// Waiting for coat 4 of 6, vertical.
pub fn waiting() -> BenchViewModel {
    BenchViewModel {
        header: PanelHeader {
            label: "Wren".into(),
            size_mm: (300.0, 400.0),
            size: "300 x 400 x 12 mm".into(),
            support: "birch plywood".into(),
            recipe: "gypsum-zinc".into(),
        },
        block_name: String::new(),
        block_card: None,
        places: Vec::new(),
        queue: Vec::new(),
        session_end: String::new(),
        hands_advice: String::new(),
        pot_band: None,
        call_band: None,
        clock: "Tue 14:07".into(),
        phase: PanelPhase::Waiting,
        act: ActViewModel {
            kind: StageKind::Coat,
            face: Some(Face::Front),
            direction: Some(Vertical),
            verb: "lay".into(),
            object: "coat 4".into(),
            block: "COAT 4".into(),
            total: "of 6".into(),
            orientation: "the long way".into(),
            how: "thin, one pass, do not go back in".into(),
            lows: None,
        },
        urgency: Urgency::Counting,
        timer: Some(TimerViewModel { seconds: 437, kind: TimerKind::Remaining, progress: Some(0.51) }),
        due: "look for dull from 14:11, due 14:14".into(),
        explanation: String::new(),
        remark: String::new(),
        cross_section: CrossSectionViewModel {
            wood: "birch plywood 12 mm".into(),
            front: ground(coats(3, 6)),
            back: vec![layer(StageKind::Size, 2, None, LayerState::Laid, "x2 Mon", "")],
        },
        pots: vec![PotLines {
            label: "Pot".into(),
            lines: vec![
                "liquid since 13:58".into(),
                "gels in about 6 min".into(),
                "into the bath at 14:10".into(),
                "thin the bowl at 14:12".into(),
            ],
            is_action_needed: false,
        }],
        rack: vec![
            RackLine {
                label: "Robin".into(),
                act: "coat 3 of 6".into(),
                direction: Some(Horizontal),
                time: "9:40".into(),
                overdue: false,
            },
            RackLine {
                label: "Blackbird".into(),
                act: "cure".into(),
                direction: None,
                time: "21 h".into(),
                overdue: false,
            },
        ],
        air: "19 C 55 %".into(),
        inspections_due: Vec::new(),
        next_act: "then coat 5, horizontal".into(),
        guidance: String::new(),
        tip: "Wet the brush and wring it before each coat.".into(),
        caution: "Hot bath: cable away, handles in.".into(),
        keys: vec![
            key("Space", "laid"),
            key("d", "gone dull"),
            key("p", "pot into the bath"),
            key("u", "take back"),
            key("f", "far"),
            key("?", "every key"),
        ],
        status_line: None,
        confirmation: None,
        recent_fact: None,
        distance_mode: false,
    }
}

/// The same, over by seven minutes.
pub fn over() -> BenchViewModel {
    let mut scene = waiting();
    scene.phase = PanelPhase::Ready;
    scene.urgency = Urgency::Overdue;
    scene.timer = Some(TimerViewModel { seconds: 427, kind: TimerKind::Overdue, progress: Some(1.0) });
    scene.due = "was due 14:14".into();
    scene.explanation = "the surface dries out: the coat will bond less well after 14:59".into();
    scene.pots[0].is_action_needed = true;
    scene.pots[0].lines = vec!["gelled since 14:18".into(), "into the bath now".into()];
    scene.rack[0].overdue = true;
    scene.rack[0].time = "+2:05".into();
    scene
}

/// The alarm rings.
pub fn ringing() -> BenchViewModel {
    let mut scene = over();
    scene.urgency = Urgency::Ringing;
    scene.timer = Some(TimerViewModel { seconds: 4, kind: TimerKind::Overdue, progress: Some(1.0) });
    scene.explanation = "any key quiets it; press Space when the coat is on".into();
    scene
}

/// Nearly due, with a question open and a fact just pressed.
pub fn soon() -> BenchViewModel {
    let mut scene = waiting();
    scene.urgency = Urgency::Soon;
    scene.timer = Some(TimerViewModel { seconds: 118, kind: TimerKind::Remaining, progress: Some(0.87) });
    scene.confirmation = Some("2 min early - press again to record".into());
    scene.status_line =
        Some(StatusLine { text: "not saved: the disk is full; free some space and press r".into(), urgent: true });
    scene
}

/// Coat 4 is being laid.
pub fn working() -> BenchViewModel {
    let mut scene = waiting();
    scene.phase = PanelPhase::Working;
    scene.urgency = Urgency::Idle;
    scene.timer = Some(TimerViewModel { seconds: 64, kind: TimerKind::Elapsed, progress: None });
    scene.due = "under way since 14:14".into();
    scene.status_line = Some(StatusLine { text: "saving".into(), urgent: false });
    scene
}

/// Coat 4 has just been recorded.
pub fn pressed() -> BenchViewModel {
    let mut scene = waiting();
    scene.act.object = "coat 5".into();
    scene.act.direction = Some(Horizontal);
    scene.act.orientation = "across".into();
    scene.timer = Some(TimerViewModel { seconds: 899, kind: TimerKind::Remaining, progress: Some(0.0) });
    scene.cross_section.front = ground(coats(4, 6));
    scene.recent_fact = Some(RecentFactViewModel {
        name: String::new(),
        what: "coat 4 laid".into(),
        at: "14:14".into(),
        ago: "just now".into(),
    });
    scene
}

fn plain(kind: StageKind, block: &str, verb: &str, object: &str, how: &str) -> ActViewModel {
    ActViewModel {
        kind,
        face: None,
        direction: None,
        verb: verb.into(),
        object: object.into(),
        block: block.into(),
        total: String::new(),
        orientation: String::new(),
        how: how.into(),
        lows: None,
    }
}

/// The first thing on a new panel.
pub fn prepare() -> BenchViewModel {
    let mut scene = waiting();
    scene.phase = PanelPhase::Ready;
    scene.urgency = Urgency::Idle;
    scene.timer = None;
    scene.act = plain(
        StageKind::Prepare,
        "PREPARE BOARD",
        "prepare",
        "the board",
        "name and arrow on the back, break the edges, key and degrease both faces",
    );
    scene.due = "when you are ready".into();
    for layer in scene.cross_section.front.iter_mut().chain(&mut scene.cross_section.back) {
        layer.state = LayerState::Coming;
        layer.caption = String::new();
        layer.deviation = String::new();
    }
    scene.pots = Vec::new();
    scene.rack = Vec::new();
    scene.next_act = "then glue size coat 1, front".into();
    scene
}

/// The size cures, 21 hours to go.
pub fn cure() -> BenchViewModel {
    let mut scene = prepare();
    scene.phase = PanelPhase::Waiting;
    scene.urgency = Urgency::Counting;
    scene.act = plain(StageKind::Stipple, "STIPPLE", "stipple", "the front", "tap it in with the brush upright");
    scene.timer =
        Some(TimerViewModel { seconds: 21 * 3600 + 4 * 60, kind: TimerKind::Remaining, progress: Some(0.12) });
    scene.due = "the size cures until Wed 11:11".into();
    for layer in scene.cross_section.front.iter_mut().chain(&mut scene.cross_section.back) {
        layer.state = match layer.kind {
            StageKind::Size => LayerState::Laid,
            StageKind::Stipple => LayerState::Next,
            _ => LayerState::Coming,
        };
    }
    scene
}

/// The dark powder, round 2.
pub fn check() -> BenchViewModel {
    let mut scene = waiting();
    scene.phase = PanelPhase::Ready;
    scene.urgency = Urgency::Idle;
    scene.timer = None;
    scene.act = plain(StageKind::Check, "CHECK 2", "check", "round 2", "rub dark powder on, wipe, look for grey lows");
    scene.cross_section.front = ground(coats(6, 6));
    scene.due = "m opens the map".into();
    scene.pots = Vec::new();
    scene
}

/// Scraping, with a direction.
pub fn scrape() -> BenchViewModel {
    let mut scene = check();
    scene.phase = PanelPhase::Working;
    scene.act = plain(
        StageKind::Scrape,
        "SCRAPE 1",
        "scrape",
        "round 1",
        "light strokes, blade at 30 degrees, dust off as you go",
    );
    scene.act.direction = Some(Horizontal);
    scene.act.orientation = "across".into();
    scene.timer = Some(TimerViewModel { seconds: 1260, kind: TimerKind::Elapsed, progress: None });
    scene.due = "under way since 10:02".into();
    use Roughness::{Much, None as Level, Some as Low};
    scene.act.lows = Some(vec![vec![Level, Low, Level], vec![Much, Level, Level], vec![Level, Level, Low]]);
    scene
}

/// The last wait before scraping.
pub fn dry() -> BenchViewModel {
    let mut scene = check();
    scene.phase = PanelPhase::Waiting;
    scene.urgency = Urgency::Counting;
    scene.act = plain(StageKind::Scrape, "SCRAPE 1", "scrape", "round 1", "");
    scene.timer = Some(TimerViewModel { seconds: 800, kind: TimerKind::Remaining, progress: Some(0.2) });
    scene.due = "the ground dries until 15:20; does any grain show?".into();
    scene
}

/// Everything done.
pub fn finished() -> BenchViewModel {
    let mut scene = check();
    scene.phase = PanelPhase::Finished;
    scene.act = plain(StageKind::Sand, "FINISHED", "finished", "", "");
    scene.due = "finished Fri 16:40; inspect it from time to time".into();
    scene
}

/// Given up.
pub fn abandoned() -> BenchViewModel {
    let mut scene = waiting();
    scene.phase = PanelPhase::Abandoned;
    scene.urgency = Urgency::Idle;
    scene.timer = None;
    scene.act = plain(StageKind::Coat, "GIVEN UP", "given up", "", "");
    scene.due = "given up Tue 14:20: dropped it".into();
    scene
}

/// The maker is away.
pub fn away() -> BenchViewModel {
    let mut scene = over();
    scene.timer = Some(TimerViewModel { seconds: 3 * 3600 + 120, kind: TimerKind::Overdue, progress: Some(1.0) });
    scene.explanation = "away since 14:20; the surface is bone dry: the next coat bonds less well".into();
    scene
}

/// A long wait.
pub fn days() -> BenchViewModel {
    let mut scene = cure();
    scene.timer =
        Some(TimerViewModel { seconds: 3 * 86_400 + 4 * 3600, kind: TimerKind::Remaining, progress: Some(0.3) });
    scene
}

/// Eight coats on each face.
pub fn both_faces() -> BenchViewModel {
    let mut scene = waiting();
    scene.cross_section.front = ground(coats(8, 8));
    scene.cross_section.back = ground(coats(3, 8));
    scene.act.face = Some(Face::Back);
    scene.act.total = "of 8".into();
    scene
}

/// More coats than any window has rows.
pub fn many() -> BenchViewModel {
    let mut scene = waiting();
    scene.cross_section.front = ground(coats(13, 24));
    scene.cross_section.back = ground(coats(0, 24));
    scene
}

/// The panel of another shape.
pub fn shaped(width: f64, height: f64) -> BenchViewModel {
    let mut scene = waiting();
    scene.header.size_mm = (width, height);
    scene.header.size = format!("{width} x {height} mm");
    scene
}

/// Everything a text can do to a screen.
pub fn hostile() -> BenchViewModel {
    let mut scene = over();
    let bad = "\u{1b}[31mW\u{202e}ren\u{7}\t家\u{301}\u{301}\u{301}e\u{200b}\u{200d}\r\n👩‍🎨 ".repeat(12);
    scene.header.label = bad.clone();
    scene.rack[0].label = bad.clone();
    scene.pots[0].label = bad.clone();
    scene.status_line = Some(StatusLine { text: bad.clone(), urgent: true });
    scene.confirmation = Some(bad.clone());
    scene.header.size_mm = (f64::NAN, 0.0);
    scene.cross_section.wood = bad.clone();
    scene.cross_section.front[3].caption = bad.clone();
    scene.timer = Some(TimerViewModel { seconds: u64::MAX, kind: TimerKind::Overdue, progress: Some(f64::NAN) });
    scene.act.how = bad;
    scene
}

/// Every scene by name.
pub fn all() -> Vec<(&'static str, BenchViewModel)> {
    let mut sizing = prepare();
    sizing.act = plain(
        StageKind::Size,
        "SIZE 2",
        "Brush glue size on",
        "the back and the edges, coat 2",
        "warm, not hot; brush it well into the edges",
    );
    sizing.act.total = "of 2".into();
    sizing.act.face = Some(Face::Back);
    sizing.timer = Some(TimerViewModel { seconds: 1500, kind: TimerKind::Remaining, progress: Some(0.2) });
    sizing.urgency = Urgency::Counting;
    let mut far = waiting();
    far.distance_mode = true;
    let mut far_over = over();
    far_over.distance_mode = true;
    vec![
        ("waiting", waiting()),
        ("over", over()),
        ("ringing", ringing()),
        ("soon", soon()),
        ("working", working()),
        ("pressed", pressed()),
        ("prepare", prepare()),
        ("cure", cure()),
        ("check", check()),
        ("scrape", scrape()),
        ("dry", dry()),
        ("finished", finished()),
        ("abandoned", abandoned()),
        ("away", away()),
        ("days", days()),
        ("both_faces", both_faces()),
        ("many", many()),
        ("landscape", shaped(400.0, 300.0)),
        ("square", shaped(300.0, 300.0)),
        ("tall", shaped(150.0, 600.0)),
        ("broad", shaped(600.0, 150.0)),
        ("hostile", hostile()),
        ("sizing", sizing),
        ("far", far),
        ("far_over", far_over),
        ("round", round()),
        ("round_due", round_due()),
        ("round_called", round_called()),
        ("round_both", round_both()),
        ("round_pot_in", round_pot_in()),
        ("round_soon", round_soon()),
        ("far_round", BenchViewModel { distance_mode: true, ..round() }),
        ("far_round_due", BenchViewModel { distance_mode: true, ..round_due() }),
        ("far_round_both", BenchViewModel { distance_mode: true, ..round_both() }),
        ("far_round_early", BenchViewModel { distance_mode: true, ..round_early() }),
        ("round_late", round_late()),
        ("round_early", round_early()),
        ("round_look", round_look()),
        ("round_wrong_pot", round_wrong_pot()),
        ("round_pass", round_pass()),
        ("round_12", round_of(12)),
        ("round_60", round_of(60)),
    ]
}
