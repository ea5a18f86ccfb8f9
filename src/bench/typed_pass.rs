//! Facts typed afterwards from paper: which of them stand already, at their very time, so that the same file may be taken
//! in again after it was interrupted.

use crate::units::Stamp;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelEvent, Stage, StageDone};
use crate::work::panel::story::PanelStory;
use crate::work::story::CommonEvent;

/// The `seq` of a standing fact that says the same of the same time, among those not used yet.
pub(super) fn find_standing(
    story: &PanelStory,
    (act, at, stage): (&PanelAct, Option<Stamp>, Option<Stage>),
    is_used: impl Fn(u64) -> bool,
) -> Option<u64> {
    let stands = |seq: u64| !story.is_taken_back(seq) && story.refusal_of(seq).is_none();
    let mut at_its_time = story.entries().iter().filter(|e| Some(e.at) == at && stands(e.seq) && !is_used(e.seq));
    at_its_time.find(|e| is_fact_of(&e.event, act, stage)).map(|e| e.seq)
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
        (PanelAct::Place(place, to), PanelEvent::Placed { whereabouts, to: t }) => {
            place == whereabouts && to.as_deref().map(str::trim) == t.as_deref()
        }
        // A take-back, a look and a correction are no lines of a sheet.
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
            | PanelAct::Inspect(_)
            | PanelAct::Place(..)
            | PanelAct::Correct(_),
            _,
        ) => false,
    }
}
