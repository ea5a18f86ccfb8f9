//! Panels invented for the tests: a story played act by act, and rows to be held against each other.

use super::facts::{AirFacts, Facts, Outcome, Verdict};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, shipped};
use crate::units::{Entry, Id, Length, Moment, Size, Span, Stamp};
use crate::work::panel::act::Act;
use crate::work::panel::event::{CheckMap, Event, Grain, Kind, Opened};
use crate::work::panel::inspection::{Crack, Inspection};
use crate::work::panel::phase::Phase;
use crate::work::panel::story::Story;
use std::sync::Arc;

pub const BEGIN: i64 = 1_800_000_000_000;

pub fn at(min: f64) -> Moment {
    Moment::wall_only(Stamp::from_ms(BEGIN) + Span::from_min(min))
}

/// What a maker typed to do harm.
pub const HOSTILE: &str = "=cmd|' /C calc'!A0<script>alert(1)</script>\u{1b}[31m\u{202e}\"&'";

pub fn opened(label: &str, recipe: &str) -> Story {
    let event = Event::Opened(Box::new(Opened {
        id: Id::new("wren").unwrap(),
        label: label.into(),
        size: Size {
            width: Length::from_mm(300.0),
            height: Length::from_mm(400.0),
            thickness: Some(Length::from_mm(12.0)),
        },
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::new(shipped::named(recipe).unwrap()),
    }));
    Story::fold(vec![Entry { seq: 0, at: at(0.0).wall, written: at(0.0), raw_wall: None, event }]).unwrap()
}

pub fn record(story: &Story, act: &Act, min: f64) -> Story {
    let event = story.complete(act, at(min)).unwrap();
    let seq = story.entries().len() as u64;
    story.with(Entry { seq, at: at(min).wall, written: at(min), raw_wall: None, event }).unwrap()
}

/// A panel made to its end, each coat the given minutes after the one before, the fourth after an hour and a half more;
/// returns it and the minute of its last act. The first check leaves a corner grey.
pub fn made(label: &str, wait: f64) -> (Story, f64) {
    let mut story = opened(label, "gypsum-zinc");
    let mut min = 5.0;
    let pot = Id::new("pot-1");
    let mut checks = 0;
    while story.panel().phase_at(at(min)) != Phase::Finished {
        let standing = story.panel().standing(at(min));
        let hand = story.panel().at_hand().unwrap();
        if standing.phase == Phase::Waiting {
            let own = hand.kind == Kind::Coat && hand.number > Some(1);
            let late = if hand.kind == Kind::Coat && hand.number == Some(4) { 90.0 } else { 0.0 };
            min += if own { wait + late } else { standing.left.unwrap().minutes() };
        } else {
            min += 2.0;
        }
        let gesso = matches!(hand.kind, Kind::Stipple | Kind::Coat);
        checks += u32::from(hand.kind == Kind::Check);
        let map = (hand.kind == Kind::Check && checks == 1).then(|| CheckMap::parse("002/001/000").unwrap());
        story = record(&story, &Act::Done { direction: None, pot: pot.clone().filter(|_| gesso), map }, min);
        if story.panel().at_hand().is_none() {
            break;
        }
    }
    (story, min)
}

pub fn seen(cracks: &[&str]) -> Inspection {
    let cracks: Vec<Crack> = cracks.iter().map(|c| Crack::parse(c).unwrap()).collect();
    Inspection { sound: cracks.is_empty(), cracks, ..Inspection::default() }
}

pub fn look(story: &Story, seen: Inspection, min: f64) -> Story {
    record(story, &Act::Inspect(Box::new(seen)), min)
}

/// A row: its pots, its wait, and what was seen of it: (day, cracked).
pub fn row(name: &str, pots: &[&str], wait: f64, looks: &[(f64, bool)]) -> Facts {
    let verdicts: Vec<Verdict> = looks
        .iter()
        .map(|(age_days, cracked)| Verdict { age_days: *age_days, cracked: *cracked, sound: !cracked })
        .collect();
    Facts {
        id: Id::new(&name.to_lowercase()).unwrap(),
        label: name.into(),
        recipe: "gypsum-zinc".into(),
        paint: "oil",
        pots: pots.iter().map(|p| Id::new(p).unwrap()).collect(),
        support: "birch-plywood",
        grain: "height",
        size_mm: (300.0, 400.0, None),
        opened_at: Stamp::from_ms(BEGIN),
        finished: true,
        given_up: None,
        size_coats: (2, 2),
        cloth: false,
        stipples: 1,
        coats_front: 6,
        coats_back: 0,
        wait_median_min: Some(wait),
        wait_min_min: Some(wait),
        wait_max_min: Some(wait),
        dull_median_min: None,
        early_coats: 0,
        late_coats: 0,
        long_gaps: 0,
        same_direction: 0,
        left_out: 0,
        done_again: 0,
        scrape_rounds: 1,
        check_rounds: 1,
        grey_checks: 0,
        sealed: "shellac",
        hands_on_min: None,
        elapsed_h: Some(50.0),
        melts: None,
        pot_max_c: None,
        water_lost_pct: None,
        glue_per_100g_filler_g: None,
        pvc_pct: None,
        air: AirFacts::default(),
        uses: Vec::new(),
        coats_span: None,
        unprepared: false,
        overheat_c: 60.0,
        faults: Vec::new(),
        outcome: Outcome {
            inspected: !looks.is_empty(),
            age_days: looks.last().map(|l| l.0),
            sound: verdicts.last().map(|v| v.sound && !verdicts.iter().any(|v| v.cracked)),
            verdicts,
            ..Outcome::default()
        },
        causes: Vec::new(),
    }
}

/// A pot of gesso opened at that time, melted, made, and read.
pub fn pot(id: &str, opened_at: Stamp, temps: &[(Stamp, f64)]) -> crate::work::pot::story::Story {
    use crate::units::Temperature;
    use crate::work::pot::act::Act;
    use crate::work::pot::event::{Event, Kind, Opened};
    let opened = Opened {
        id: Id::new(id).unwrap(),
        label: id.into(),
        kind: Kind::Gesso,
        parent: None,
        recipe: Arc::new(shipped::named("gypsum-zinc").unwrap()),
        size_ml: None,
        lot: None,
    };
    let entry =
        |seq: u64, at: Stamp, event: Event| Entry { seq, at, written: Moment::wall_only(at), raw_wall: None, event };
    let mut story =
        crate::work::pot::story::Story::fold(vec![entry(0, opened_at, Event::Opened(Box::new(opened)))]).unwrap();
    let acts = [Act::Melt, Act::Liquid, Act::Made].map(|act| (opened_at, act)).into_iter();
    for (at, act) in acts.chain(temps.iter().map(|(at, c)| (*at, Act::Temp(Temperature::from_c(*c))))) {
        let event = story.complete(&act).unwrap();
        story = story.with(entry(story.entries().len() as u64, at, event)).unwrap();
    }
    story
}
