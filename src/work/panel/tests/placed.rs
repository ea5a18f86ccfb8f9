//! What becomes of a panel, what is put right of it, and what it is called on another shelf.

use super::super::correction::PanelCorrection;
use super::super::whereabouts::{Beholder, Whereabouts};
use super::*;
use crate::work::advice::fact_text::format_story;
use crate::work::advice::inspections::due_inspection;
use crate::work::story::Filing;
use std::collections::BTreeMap;

fn finished() -> PanelStory {
    let mut story = opened(recipe());
    let mut min = 0.0;
    while story.panel().phase_at(Moment::from_wall(at(min))) != PanelPhase::Finished {
        min += 2.0 * DAY;
        story = record(&story, &PanelAct::done_as_planned(), min, min).unwrap();
        assert!(min < 200.0 * DAY, "it never ends");
    }
    story
}

fn place(story: &PanelStory, whereabouts: Whereabouts, days: f64) -> Result<PanelStory, PanelRefusal> {
    let min = 300.0 * DAY + days * DAY;
    record(story, &PanelAct::Place(whereabouts, Some("a school".into())), min, min)
}

#[test]
fn what_is_gone_is_asked_of_its_owner_and_what_is_broken_of_nobody() {
    let story = finished();
    let now = Moment::from_wall(at(400.0 * DAY));
    assert!(due_inspection(&story, now).is_some());
    for (whereabouts, beholder, is_due) in [
        (Whereabouts::Painted, Beholder::Maker, true),
        (Whereabouts::Sold, Beholder::Owner, true),
        (Whereabouts::Given, Beholder::Owner, true),
        (Whereabouts::Broken, Beholder::Nobody, false),
    ] {
        let placed = place(&story, whereabouts, 0.0).unwrap();
        assert_eq!(placed.panel().beholder(), beholder, "{whereabouts:?}");
        assert_eq!(due_inspection(&placed, now).is_some(), is_due, "{whereabouts:?}");
        let undone = record(&placed, &PanelAct::Undo { seen: None }, 301.0 * DAY, 301.0 * DAY).unwrap();
        assert_eq!(undone.panel().placement(), None, "{whereabouts:?}");
    }
}

#[test]
fn only_what_went_comes_back_and_only_what_is_finished_goes() {
    let story = finished();
    assert_eq!(place(&story, Whereabouts::Returned, 0.0), Err(PanelRefusal::NotGone));
    let sold = place(&story, Whereabouts::Sold, 0.0).unwrap();
    let back = place(&sold, Whereabouts::Returned, 1.0).unwrap();
    assert_eq!(back.panel().beholder(), Beholder::Maker);
    assert_eq!(place(&back, Whereabouts::Returned, 2.0), Err(PanelRefusal::NotGone));
    let young = opened(recipe());
    assert_eq!(place(&young, Whereabouts::Sold, 0.0), Err(PanelRefusal::NotFinished));
    let given_up = record(&young, &PanelAct::Abandon("warped".into()), 1.0, 1.0).unwrap();
    assert!(place(&given_up, Whereabouts::Given, 0.0).is_ok());
}

fn correction() -> PanelCorrection {
    PanelCorrection { label: Some(" Robin ".into()), grain: Some(Grain::Width), ..PanelCorrection::default() }
}

#[test]
fn a_correction_holds_for_the_whole_story_and_the_old_value_stays_in_it() {
    let story = finished();
    let min = 300.0 * DAY;
    let corrected = record(&story, &PanelAct::Correct(Box::new(correction())), min, min).unwrap();
    for then in [corrected.clone(), corrected.as_of(at(1.0)).unwrap()] {
        let said = then.panel().opened();
        assert_eq!((said.label.as_str(), said.grain, said.id.as_str()), ("Robin", Grain::Width, "wren"));
    }
    assert_eq!(corrected.panel().steps(), story.panel().steps(), "nothing that was done changes");
    let told = format_story(&corrected, crate::text::UnitSystem::Metric);
    let text = "put right: label Robin (was Wren); grain along the width (was height)";
    assert!(told.iter().any(|fact| fact.text == text), "{told:?}");
    let again = record(&corrected, &PanelAct::Correct(Box::new(correction())), min, min);
    assert_eq!(again, Err(PanelRefusal::NothingToCorrect));
    let undone = record(&corrected, &PanelAct::Undo { seen: None }, min + 1.0, min + 1.0).unwrap();
    assert_eq!(undone.panel().opened().label, "Wren");
}

#[test]
fn a_thickness_that_is_not_said_again_stays() {
    let mut entries = opened(recipe()).entries().to_vec();
    if let PanelEvent::Opened(o) = &mut entries[0].event {
        o.size.thickness = Some(Length::from_mm(12.0));
    }
    let story = PanelStory::fold(entries).unwrap();
    let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(420.0), thickness: None };
    let act = PanelAct::Correct(Box::new(PanelCorrection { size: Some(size), ..PanelCorrection::default() }));
    let size = record(&story, &act, 5.0, 5.0).unwrap().panel().opened().size;
    assert_eq!((size.height, size.thickness), (Length::from_mm(420.0), Some(Length::from_mm(12.0))));
}

fn filed(id: &str, pots: &[(&str, &str)]) -> PanelEvent {
    let id_of = |text: &str| Id::new(text).unwrap();
    let pots: BTreeMap<Id, Id> = pots.iter().map(|(old, new)| (id_of(old), id_of(new))).collect();
    PanelEvent::Common(CommonEvent::Filed(Box::new(Filing { id: id_of(id), pots, group: None })))
}

#[test]
fn a_filing_renames_what_stands_before_it_and_nothing_after() {
    let pot = |name: &str| PanelAct::Done { direction: None, pot: Id::new(name), map: None, by: None };
    let mut entries = opened(recipe()).entries().to_vec();
    let mut push = |story: &PanelStory, act: Option<&PanelAct>, event: Option<PanelEvent>, min: f64| {
        let event = event.unwrap_or_else(|| story.build_event(act.unwrap(), Moment::from_wall(at(min))).unwrap());
        let seq = entries.len() as u64;
        let written = Moment::from_wall(at(min));
        entries.push(Entry { seq, at: at(min), written, raw_wall: None, replaces: None, event });
        PanelStory::fold(entries.clone()).unwrap()
    };
    let story = push(&opened(recipe()), Some(&PanelAct::done_as_planned()), None, 1.0);
    let story = push(&story, Some(&pot("size")), None, 2.0);
    // "size" becomes "size-2", and what is then called "size" is another pot.
    let story = push(&story, None, Some(filed("wren-2", &[("size", "size-2")])), 3.0);
    let story = push(&story, Some(&pot("size")), None, 40.0);
    let names: Vec<&str> = story.panel().pot_ids().into_iter().map(Id::as_str).collect();
    assert_eq!((story.panel().opened().id.as_str(), names), ("wren-2", vec!["size-2", "size"]));
    // What was refiled once is not refiled again by what is recorded later.
    let note = story.build_event(&PanelAct::Note("x".into()), Moment::from_wall(at(50.0))).unwrap();
    let entry = Entry {
        seq: 5,
        at: at(50.0),
        written: Moment::from_wall(at(50.0)),
        raw_wall: None,
        replaces: None,
        event: note,
    };
    let longer = story.with_entry(entry).unwrap();
    assert_eq!(longer.panel().pot_ids(), story.panel().pot_ids());
    assert_eq!(longer.as_of(at(45.0)).unwrap().panel().pot_ids(), story.panel().pot_ids());
}
