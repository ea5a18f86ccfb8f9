//! What is said of a story that was played: its calls, the wait of this moment, its facts one by one.

use super::*;
use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
use crate::work::pot::story::PotStory;
use crate::work::story::CommonEvent;

const BEGIN: i64 = 1_800_000_000_000;

fn at(min: f64) -> Stamp {
    Stamp::from_ms(BEGIN) + Span::from_min(min)
}

/// The story of those acts, each with its minute.
pub(super) fn played(recipe: Recipe, acts: &[(f64, PanelAct)]) -> PanelStory {
    let event = PanelEvent::Opened(Box::new(panel(recipe, Support::BirchPlywood, Paint::Oil)));
    let entry = |seq, min, event| Entry {
        seq,
        at: at(min),
        written: Moment::from_wall(at(min)),
        raw_wall: None,
        replaces: None,
        event,
    };
    let mut story = PanelStory::fold(vec![entry(0, 0.0, event)]).unwrap();
    for (min, act) in acts {
        let event = story.build_event(act, Moment::from_wall(at(*min))).unwrap();
        story = story.with_entry(entry(story.entries().len() as u64, *min, event)).unwrap();
    }
    story
}

const DAY: f64 = 24.0 * 60.0;

/// Prepared, sized, cured, and stippled at minute `DAY + 10`.
fn stippled() -> Vec<(f64, PanelAct)> {
    vec![
        (1.0, PanelAct::done_as_planned()),
        (2.0, PanelAct::done_as_planned()),
        (4.0, PanelAct::done_as_planned()),
        (DAY + 10.0, PanelAct::done_as_planned()),
    ]
}

fn more(acts: &[(f64, PanelAct)]) -> Vec<(f64, PanelAct)> {
    stippled().into_iter().chain(acts.iter().map(|(min, act)| (DAY + min, act.clone()))).collect()
}

#[test]
fn a_wait_calls_for_a_look_and_then_for_the_coat() {
    let mut dry = recipe();
    dry.coats.ready_sign = ReadySign::Dry;
    let mut short = recipe();
    short.stipple.wait_min = 2.0;
    let minute = |stamp: Stamp| (stamp - at(DAY)).minutes();
    use PanelCall::{Due, LookDull};
    for (about, recipe, acts, now, expected) in [
        ("a stipple", recipe(), more(&[]), 11.0, &[(LookDull, 22.0), (Due, 25.0)][..]),
        ("past due", recipe(), more(&[]), 40.0, &[(LookDull, 22.0), (Due, 25.0)]),
        ("dry sign", dry, more(&[]), 11.0, &[(Due, 25.0)]),
        ("too short to look", short, more(&[]), 11.0, &[(Due, 12.0)]),
        ("dull already", recipe(), more(&[(15.0, PanelAct::Dull)]), 16.0, &[]),
        ("working", recipe(), more(&[(26.0, PanelAct::Start)]), 27.0, &[]),
        (
            "drying",
            recipe(),
            more(&[(25.0, PanelAct::done_as_planned()), (40.0, PanelAct::done_as_planned())]),
            41.0,
            &[(Due, 55.0)],
        ),
        ("nothing waits", recipe(), vec![], -DAY + 1.0, &[]),
        ("cure", recipe(), stippled()[..3].to_vec(), 0.0, &[(Due, 4.0)]),
    ] {
        let story = played(recipe, &acts);
        let standing = story.panel().status(Moment::from_wall(at(DAY + now)));
        let told: Vec<_> = wait_calls(story.panel(), &standing).into_iter().map(|(c, s)| (c, minute(s))).collect();
        assert_eq!(told, expected, "{about}");
    }
}

#[test]
fn the_wait_of_this_moment_is_told() {
    let story = played(recipe(), &more(&[]));
    for (min, said) in [
        (20.0, "5 min early"),
        (24.9, ""),
        (25.4, ""),
        (27.0, "dull sign has passed"),
        (69.0, "Drying out"),
        (71.0, "Bone dry"),
    ] {
        let tip = current_wait_tip(story.panel(), Moment::from_wall(at(DAY + min)));
        let text = tip.map_or(String::new(), |t| t.to_string());
        assert!(text.contains(said) && text.is_empty() == said.is_empty(), "minute {min}: {text}");
    }
}

#[test]
fn a_story_is_told_fact_by_fact() {
    let map = CheckMap::parse("01/20");
    let acts = more(&[
        (23.0, PanelAct::done_as_planned()),
        (30.0, PanelAct::Note("a hair in it".into())),
        (38.0, PanelAct::Dull),
        (140.0, PanelAct::Start),
        (143.0, PanelAct::Done { direction: Some(Direction::Horizontal), pot: None, map: None, by: None }),
        (144.0, PanelAct::Repeat(Flaw::Direction)),
        (150.0, PanelAct::done_as_planned()),
        (151.0, PanelAct::Extra(None)),
        (152.0, PanelAct::Undo { seen: None }),
        (153.0, PanelAct::Skip("a hurry".into())),
        (170.0, PanelAct::done_as_planned()),
        (171.0, PanelAct::done_as_planned()),
        (172.0, PanelAct::Done { direction: None, pot: None, map, by: None }),
        (173.0, PanelAct::Abandon("cracked".into())),
    ]);
    let told: Vec<String> = fact_text::format_story(&played(recipe(), &acts), crate::text::UnitSystem::Metric)
        .into_iter()
        .map(|t| {
            let why = t.reason.map_or(String::new(), |w| format!(" ({w})"));
            let effect = t.no_effect_reason.map_or(String::new(), |e| format!(" - {e}"));
            let stood: String = t.remarks.iter().map(|s| format!(" [{s}]")).collect();
            format!("{}{why}{stood}{effect}", t.text)
        })
        .collect();
    assert_eq!(
        told,
        [
            "opened: birch plywood, for oil, recipe test",
            "board prepared",
            "glue size laid on the front",
            "glue size laid on the back",
            "first gesso tapped in",
            "coat 1 laid, horizontal [2 min early]",
            "note: a hair in it",
            "coat 1 of 2 gone dull",
            "coat 2 of 2 begun [117 min gap: bone dry, bonds less well]",
            "coat 2 laid, horizontal",
            "coat 2 of 2 to be done again (laid in the wrong direction)",
            "coat 2 laid, vertical",
            "one more added - taken back",
            "taken back: one more added",
            "the drying ended before its time (a hurry)",
            "scraped, round 1, horizontal",
            "polished with the damp cloth",
            "check 1 made: 2 of 4 areas grey, 1 of them much",
            "given up (cracked)",
        ]
    );
}

#[test]
fn what_panels_and_pots_have_in_common_is_told_alike() {
    for (common, said) in [
        (CommonEvent::ClockStepped { by: Span::from_min(-60.0) }, "the clock was set back by 60 min"),
        (CommonEvent::ClockStepped { by: Span::from_min(12.0) }, "the clock was set on by 12 min"),
        (CommonEvent::Slept { span: Span::from_h(8.0) }, "the computer slept for 8 h"),
        (CommonEvent::Weighed { mass: Mass::from_g(812.0), offcut: None }, "weighed 812 g"),
        (CommonEvent::Unknown { name: "varnished".into() }, "something this version does not know: varnished"),
        (CommonEvent::Unknown { name: "lost".into() }, "an entry that was lost to damage"),
        (CommonEvent::Undone { takes_back: 4 }, "entry 4 taken back"),
    ] {
        assert_eq!(
            fact_text::format_panel_event(&PanelEvent::Common(common), None, crate::text::UnitSystem::Metric),
            said
        );
    }
    let call = CommonEvent::Alert { call: PanelCall::LookDull, fact_seq: 3 };
    assert_eq!(
        fact_text::format_panel_event(&PanelEvent::Common(call), None, crate::text::UnitSystem::Metric),
        "called: look for dull"
    );
    assert_eq!(
        fact_text::format_panel_event(&PanelEvent::Done(Box::default()), None, crate::text::UnitSystem::Metric),
        "done"
    );
}

#[test]
fn a_pots_story_is_told_like_a_panels() {
    let opened = PotOpened {
        filler_lot: None,
        id: Id::new("size").unwrap(),
        label: "Size".into(),
        kind: PotKind::Size,
        parent: None,
        recipe: Arc::new(recipe()),
        size_ml: None,
        lot: None,
        for_group: None,
        trial: None,
    };
    let events = [
        PotEvent::Opened(Box::new(opened)),
        PotEvent::Liquid,
        CommonEvent::ClockStepped { by: Span::from_min(-60.0) }.into(),
        CommonEvent::Unknown { name: "lost".into() }.into(),
        CommonEvent::Undone { takes_back: 1 }.into(),
        PotEvent::Gelled,
        PotEvent::Discarded { why: "smells".into() },
    ];
    let entry = |(seq, event)| Entry {
        seq,
        at: at(seq as f64),
        written: Moment::from_wall(at(if seq == 6 { 40.0 } else { seq as f64 })),
        raw_wall: None,
        replaces: None,
        event,
    };
    let story = PotStory::fold((0..).zip(events).map(entry).collect()).unwrap();
    let told = story.entries_in_order().into_iter().map(|entry| {
        let fact = fact_text::format_pot_fact(&story, entry, crate::text::UnitSystem::Metric);
        let later = fact.written_later.map_or(String::new(), |span| format!(" +{:.0} min", span.minutes()));
        let effect = fact.no_effect_reason.as_ref().map_or(String::new(), |e| format!(" - {e}"));
        fact.text_with_reason() + &later + &effect
    });
    assert_eq!(
        told.collect::<Vec<_>>(),
        [
            "opened",
            "liquid - taken back",
            "the clock was set back by 60 min",
            "an entry that was lost to damage",
            "taken back: liquid",
            "gelled - without effect: it was never liquid, so it cannot have gelled; mark \"melt\" or \"liquid\" first",
            "thrown away: smells +34 min",
        ]
    );
}

#[test]
fn what_was_typed_in_later_says_so_once() {
    let fact = |written_later: Option<f64>| fact_text::FactText {
        seq: 0,
        at: at(0.0),
        written_later: written_later.map(Span::from_min),
        written_later_next: 0,
        text: String::new(),
        reason: None,
        remarks: Vec::new(),
        pot_remarks: Vec::new(),
        no_effect_reason: None,
    };
    let mut facts = [None, Some(300.0), Some(290.0), Some(280.0), None, Some(5.0)].map(fact);
    fact_text::say_written_later_once(&mut facts);
    let said: Vec<_> = facts.iter().map(|f| (f.written_later.is_some(), f.written_later_next)).collect();
    assert_eq!(said, [(false, 0), (true, 2), (false, 0), (false, 0), (false, 0), (true, 0)]);
}
