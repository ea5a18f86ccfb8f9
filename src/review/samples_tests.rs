//! Panels invented for the tests: a story played act by act, and rows to be held against each other.

use super::outcome::{Outcome, Verdict};
use super::panel_row::PanelRow;
use super::pots_and_air::{AirSummary, PotSummary, PotsAndAir};
use super::story_facts::{StoryFacts, facts_from_story};
use crate::craft::materials::Support;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::{Paint, SealMaterial, shipped};
use crate::units::{Entry, Id, Length, Moment, Size, Span, Stamp};
use crate::work::air::Air;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{CheckMap, Grain, PanelEvent, PanelOpened, StageKind};
use crate::work::panel::inspection::{Crack, Inspection};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::usage::PotUsage;
use std::sync::Arc;

pub const BEGIN: i64 = 1_800_000_000_000;

pub fn at(min: f64) -> Moment {
    Moment::from_wall(Stamp::from_ms(BEGIN) + Span::from_min(min))
}

/// What a maker typed to do harm.
pub const HOSTILE: &str = "=cmd|' /C calc'!A0<script>alert(1)</script>\u{1b}[31m\u{202e}\"&'";

pub fn opened(label: &str, recipe: &str) -> PanelStory {
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
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
        recipe: Arc::new(shipped::find_shipped_recipe(recipe).unwrap()),
        group: None,
        // So that every test may be made on it.
        is_witness: true,
        trial: None,
    }));
    PanelStory::fold(vec![Entry { seq: 0, at: at(0.0).wall, written: at(0.0), raw_wall: None, replaces: None, event }])
        .unwrap()
}

pub fn record(story: &PanelStory, act: &PanelAct, min: f64) -> PanelStory {
    let event = story.build_event(act, at(min)).unwrap();
    let seq = story.entries().len() as u64;
    story.with_entry(Entry { seq, at: at(min).wall, written: at(min), raw_wall: None, replaces: None, event }).unwrap()
}

/// A panel made to its end, each coat the given minutes after the one before, the fourth after an hour and a half more;
/// returns it and the minute of its last act. The first check leaves a corner grey.
pub fn made(label: &str, wait: f64) -> (PanelStory, f64) {
    let mut story = opened(label, "gypsum-zinc");
    let mut min = 5.0;
    let pot = Id::new("pot-1");
    let mut checks = 0;
    while story.panel().phase_at(at(min)) != PanelPhase::Finished {
        let standing = story.panel().status(at(min));
        let hand = story.panel().stage_at_hand().unwrap();
        if standing.phase == PanelPhase::Waiting {
            let own = hand.kind == StageKind::Coat && hand.number > Some(1);
            let late = if hand.kind == StageKind::Coat && hand.number == Some(4) { 90.0 } else { 0.0 };
            min += if own { wait + late } else { standing.time_left.unwrap().minutes() };
        } else {
            min += 2.0;
        }
        let gesso = matches!(hand.kind, StageKind::Stipple | StageKind::Coat);
        checks += u32::from(hand.kind == StageKind::Check);
        let map = (hand.kind == StageKind::Check && checks == 1).then(|| CheckMap::parse("002/001/000").unwrap());
        story =
            record(&story, &PanelAct::Done { direction: None, pot: pot.clone().filter(|_| gesso), map, by: None }, min);
        if story.panel().stage_at_hand().is_none() {
            break;
        }
    }
    (story, min)
}

pub fn seen(cracks: &[&str]) -> Inspection {
    let cracks: Vec<Crack> = cracks.iter().map(|c| Crack::parse(c).unwrap()).collect();
    Inspection { sound: cracks.is_empty(), cracks, ..Inspection::default() }
}

pub fn look(story: &PanelStory, seen: Inspection, min: f64) -> PanelStory {
    record(story, &PanelAct::Inspect(Box::new(seen)), min)
}

/// A row: its pots, its wait, and what was seen of it: (day, cracked).
pub fn row(name: &str, pots: &[&str], wait: f64, looks: &[(f64, bool)]) -> PanelRow {
    let verdicts: Vec<Verdict> = looks
        .iter()
        .map(|(age_days, cracked)| Verdict { age_days: *age_days, cracked: *cracked, sound: !cracked })
        .collect();
    let story = StoryFacts {
        sheet: None,
        placement: None,
        build_um: None,
        group: None,
        trial: None,
        id: Id::new(&name.to_lowercase()).unwrap(),
        label: name.into(),
        recipe: "gypsum-zinc".into(),
        paint: Paint::Oil,
        pot_ids: pots.iter().map(|p| Id::new(p).unwrap()).collect(),
        support: Support::BirchPlywood,
        grain: Grain::Height,
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
        skipped_acts: 0,
        repeated_acts: 0,
        scrape_rounds: 1,
        check_rounds: 1,
        grey_checks: 0,
        sealed: SealMaterial::Shellac,
        hands_on_min: None,
        elapsed_h: Some(50.0),
        pot_uses: Vec::new(),
        coating_period: None,
        unprepared: false,
        faults: Vec::new(),
        recipe_ground: None,
        front_pot: pots.first().and_then(|p| Id::new(p)),
        size_pot: None,
        cure_h: None,
        dry_h: None,
        rest_h: None,
        coat_ml_per_m2: 150.0,
        outcome: Outcome {
            inspected: !looks.is_empty(),
            age_days: looks.last().map(|l| l.0),
            sound: verdicts.last().map(|v| v.sound && !verdicts.iter().any(|v| v.cracked)),
            verdicts,
            ..Outcome::default()
        },
    };
    PanelRow { story, pots: PotSummary::default(), air: AirSummary::default() }
}

/// The row of a story as it stood at that minute, among no pots and in no recorded air.
pub fn row_alone(story: &PanelStory, min: f64) -> PanelRow {
    let facts = facts_from_story(story, &BulkDensities::TABLE, at(min));
    let pots = PotUsage::new(PotLineage::new([]), [], &BulkDensities::TABLE);
    PanelRow::new(facts, &PotsAndAir { pots, air: &Air::default() })
}

/// A pot of gesso opened at that time, melted, made, and read; its recipe calls it overheated from `overheat_c` on.
pub fn pot(id: &str, opened_at: Stamp, overheat_c: f64, temps: &[(Stamp, f64)]) -> crate::work::pot::story::PotStory {
    use crate::units::Temperature;
    use crate::work::pot::act::PotAct;
    use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
    let mut recipe = shipped::find_shipped_recipe("gypsum-zinc").unwrap();
    recipe.gesso.overheat_c = overheat_c;
    let opened = PotOpened {
        filler_lot: None,
        id: Id::new(id).unwrap(),
        label: id.into(),
        kind: PotKind::Gesso,
        parent: None,
        recipe: Arc::new(recipe),
        size_ml: None,
        lot: None,
        for_group: None,
        trial: None,
    };
    let entry = |seq: u64, at: Stamp, event: PotEvent| Entry {
        seq,
        at,
        written: Moment::from_wall(at),
        raw_wall: None,
        replaces: None,
        event,
    };
    let mut story =
        crate::work::pot::story::PotStory::fold(vec![entry(0, opened_at, PotEvent::Opened(Box::new(opened)))]).unwrap();
    let acts = [PotAct::Melt, PotAct::Liquid, PotAct::made_as_asked()].map(|act| (opened_at, act)).into_iter();
    for (at, act) in acts.chain(temps.iter().map(|(at, c)| (*at, PotAct::Temp(Temperature::from_c(*c))))) {
        let event = story.build_event(&act).unwrap();
        story = story.with_entry(entry(story.entries().len() as u64, at, event)).unwrap();
    }
    story
}
