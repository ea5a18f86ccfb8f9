//! Facts typed afterwards from paper: as a pass, but what stands already at its very time is passed over, so that the same
//! file may be taken in again after it was interrupted.

use super::pass::{Draft, PassEntry};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelEvent, Stage, StageDone};
use crate::work::panel::story::PanelStory;
use crate::work::story::CommonEvent;
use std::collections::{BTreeMap, BTreeSet};

/// What a pass does with its facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PassMode {
    /// Each is recorded.
    Record,
    /// Those that do not stand already are recorded.
    RecordNew,
    /// As that, but nothing is written.
    TryNew,
}

/// The facts that do not stand yet, and the places of those that do. Two alike in the pass stand only where two stand in
/// the story.
pub(super) fn split_known<'p>(
    ordered: &'p [(usize, PassEntry)],
    drafts: &BTreeMap<crate::units::Id, Result<Draft, super::RecordError>>,
) -> (Vec<&'p (usize, PassEntry)>, Vec<usize>) {
    let mut used = BTreeSet::new();
    let (mut new, mut known) = (Vec::new(), Vec::new());
    for fact in ordered {
        let (index, entry) = fact;
        let draft = drafts.get(&entry.id).and_then(|draft| draft.as_ref().ok());
        let found =
            draft.and_then(|draft| find_standing(&draft.story, entry, |seq| used.contains(&(entry.id.clone(), seq))));
        match found {
            Some(seq) => {
                used.insert((entry.id.clone(), seq));
                known.push(*index);
            }
            None => new.push(fact),
        }
    }
    known.sort_unstable();
    (new, known)
}

/// The `seq` of a standing fact that says the same of the same time and is not used yet.
fn find_standing(story: &PanelStory, entry: &PassEntry, is_used: impl Fn(u64) -> bool) -> Option<u64> {
    let stands = |seq: u64| !story.is_taken_back(seq) && story.refusal_of(seq).is_none();
    let mut at_its_time = story.entries().iter().filter(|e| Some(e.at) == entry.at && stands(e.seq) && !is_used(e.seq));
    at_its_time.find(|e| is_fact_of(&e.event, &entry.act, entry.expected_stage)).map(|e| e.seq)
}

/// Whether that fact is what the act would be, as far as the act says.
fn is_fact_of(event: &PanelEvent, act: &PanelAct, stage: Option<Stage>) -> bool {
    match (act, event) {
        (PanelAct::Start, PanelEvent::Started { .. })
        | (PanelAct::Dull, PanelEvent::Dull)
        | (PanelAct::Away, PanelEvent::Away)
        | (PanelAct::Back, PanelEvent::Back) => true,
        (PanelAct::Done { direction, pot, map, by }, PanelEvent::Done(done)) => {
            let StageDone { direction: d, pot: p, map: m, by: b, stage: s, .. } = &**done;
            direction.is_none_or(|direction| *d == Some(direction))
                && pot.as_ref().is_none_or(|pot| p.as_ref() == Some(pot))
                && map.as_ref().is_none_or(|map| m.as_ref() == Some(map))
                && by.as_ref().is_none_or(|by| b.as_ref() == Some(by))
                && stage.zip(*s).is_none_or(|(stage, s)| s.is_same_slot(&stage))
        }
        (PanelAct::Note(text), PanelEvent::Common(CommonEvent::Noted { text: noted })) => text.trim() == noted,
        (PanelAct::Weigh(mass, offcut), PanelEvent::Common(CommonEvent::Weighed { mass: m, offcut: o })) => {
            (mass, offcut) == (m, o)
        }
        (PanelAct::Thick(points), PanelEvent::Thick { points: p }) => points == p,
        (PanelAct::Extra(face), PanelEvent::Extra { face: f }) => face == f,
        (PanelAct::Repeat(why), PanelEvent::Repeated { why: w }) => why == w,
        (PanelAct::Skip(why), PanelEvent::Skipped { why: w, .. })
        | (PanelAct::Abandon(why), PanelEvent::Abandoned { why: w }) => why.trim() == w,
        // A take-back and a look are no lines of a sheet.
        (
            PanelAct::Start
            | PanelAct::Done { .. }
            | PanelAct::Dull
            | PanelAct::Note(_)
            | PanelAct::Weigh(..)
            | PanelAct::Thick(_)
            | PanelAct::Extra(_)
            | PanelAct::Repeat(_)
            | PanelAct::Skip(_)
            | PanelAct::Away
            | PanelAct::Back
            | PanelAct::Undo { .. }
            | PanelAct::Abandon(_)
            | PanelAct::Inspect(_),
            _,
        ) => false,
    }
}
