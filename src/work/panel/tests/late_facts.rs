//! Facts put in afterwards, in the place of others, and taken back.

use super::*;

#[test]
fn late_facts_take_their_place_and_numbers_follow() {
    let story = from_coat_1(&[
        ("1531 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15] late=16"),
        // The coat forgotten at 1516 goes in there; what was coat 2 is coat 3 now.
        ("1516/1532 done", "waiting the drying > scraping round 1 h [14] late=1"),
        ("1532 undo", "waiting coat 2 of 3 v > coat 3 of 3 h [14]"),
        ("-1/1533 done", "! that lies before the panel was opened; give a later time"),
        ("1540/1533 done", "! that lies 7 min ahead; it can be recorded once it has happened"),
        (
            "1510/1533 abandon",
            "! then a later entry (done) could not be true: this panel was given up; take that back first",
        ),
    ]);
    assert_eq!(story.panel().count_coats(Face::Front), 2);
    let early = story.as_of(at(1500.0)).unwrap();
    assert_eq!(early.panel().count_coats(Face::Front), 1);
    assert!(story.as_of(at(-1.0)).is_none());
}

#[test]
fn undo_walks_back_to_the_opening_and_never_beyond() {
    check(
        recipe(),
        &[
            ("1 start", "working preparing the board > glue size 1 of 1 on the front"),
            ("2 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("3 note a knot", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("4 undo", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("5 undo", "working preparing the board > glue size 1 of 1 on the front"),
            ("6 undo", "ready preparing the board > glue size 1 of 1 on the front"),
            ("7 undo", "! nothing is left to take back; the opening stays"),
        ],
    );
}

/// A story with one more fact at that minute, in the place of another.
fn replace(story: &PanelStory, seq: u64, event: PanelEvent, min: f64) -> Result<PanelStory, PanelRefusal> {
    let next = story.entries().len() as u64;
    let written = Moment::from_wall(at(2000.0));
    story.with_entry(Entry { seq: next, at: at(min), written, raw_wall: None, replaces: Some(seq), event })
}

#[test]
fn a_fact_in_the_place_of_the_last_one_takes_it_back_and_is_itself_what_undo_takes_back() {
    let story = from_coat_1(&[]);
    let last = story.last_standing_entry().unwrap().clone();
    let before = last.seq - 1;
    let moved = replace(&story, last.seq, last.event.clone(), 1505.0).unwrap();
    assert!(moved.is_taken_back(last.seq) && !moved.is_taken_back(before));
    assert_eq!(moved.panel().count_coats(Face::Front), story.panel().count_coats(Face::Front));
    assert_eq!(moved.last_standing_entry().map(|e| e.at), Some(at(1505.0)));
    // One that moves again, and an undo: what was replaced stays taken back.
    let seq = moved.last_standing_entry().unwrap().seq;
    let again = replace(&moved, seq, last.event.clone(), 1504.0).unwrap();
    let undone = record(&again, &PanelAct::Undo { seen: None }, 2000.0, 2000.0).unwrap();
    assert!([last.seq, seq, seq + 1].iter().all(|seq| undone.is_taken_back(*seq)));
    assert_eq!(undone.last_standing_entry().unwrap().seq, before);
    // Only the last standing fact can be replaced, and only by one of the maker's; on replay such a fact has no effect.
    assert_eq!(
        replace(&moved, before, last.event.clone(), 1505.0),
        Err(PanelRefusal::from(OrderRefusal::NotTheLastFact { seq: before }))
    );
    assert!(replace(&moved, seq, PanelEvent::Common(CommonEvent::Slept { span: Span::from_s(60) }), 1505.0).is_err());
    let mut entries = story.entries().to_vec();
    let next = entries.len() as u64;
    entries.push(Entry { seq: next, replaces: Some(before), ..last });
    let folded = PanelStory::fold(entries).unwrap();
    assert_eq!(folded.panel(), story.panel());
    assert!(folded.refusal_of(next).is_some() && folded.as_of(at(2000.0)).unwrap().panel() == story.panel());
}
