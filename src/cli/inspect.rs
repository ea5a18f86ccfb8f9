//! `inspect`: one panel from the shell, or all finished ones on the full screen.

use super::args::Inspect;
use super::failure::Fault;
use super::json::ShowJson;
use super::{Here, bench, out, panel, tell};
use crate::bench::{Ask, NotRecorded, believed_now};
use crate::text::clean;
use crate::units::Length;
use crate::work::advice::inspections::{growth, told};
use crate::work::panel::act::Act;
use crate::work::panel::event::Event;
use crate::work::panel::inspection::{Bow, Inspection};
use anyhow::Result;

/// Records one inspection and gives back what it comes to.
pub(super) fn run(here: &Here, asked: &Inspect) -> Result<()> {
    let Some(panel) = &asked.panel else { return sitting(here, asked) };
    let mut bench = here.bench();
    let id = panel::find(&bench, panel)?;
    let act = Act::Inspect(Box::new(seen(asked)?));
    let ask = Ask { act, at: here.time(asked.at.as_ref())?, seen: None };
    let changed = bench.record(&id, &ask, &|| here.clock.now()).map_err(Fault::from)?;
    let now = here.clock.now();
    let Some(kept) = changed.iter().find(|t| t.id == id) else { return Ok(()) };
    let Some(story) = &kept.story else { return Err(Fault::from(NotRecorded::NoStory(id)).into()) };
    if asked.json {
        return out::json(&ShowJson::of(story, kept.damage.as_ref(), believed_now(story, now)));
    }
    // The fact just written, which need not be the latest by the time it happened.
    if let Some(Event::Inspected(seen)) = story.entries().last().map(|e| &e.event) {
        out::text(&format!("{}: {}\n", clean(&story.panel().opened().label), clean(&told(seen))))?;
    }
    for g in growth(story) {
        out::text(&tell::grown(&g))?;
    }
    match tell::inspection_due(story, believed_now(story, now)) {
        Some(due) => out::text(&format!("{due}\n")),
        None => Ok(()),
    }
}

/// All finished panels on the full screen; what is seen is typed there.
fn sitting(here: &Here, asked: &Inspect) -> Result<()> {
    let alone = given(asked)? == Inspection::default() && asked.at.is_none() && !asked.json;
    if !alone {
        return Err(Fault::usage("which panel? Without one, `sottile inspect` stands alone and opens a sitting").into());
    }
    bench::run(here, &[], true)
}

fn seen(asked: &Inspect) -> Result<Inspection, Fault> {
    let seen = given(asked)?;
    seen.check().map_err(Fault::usage)?;
    Ok(seen)
}

/// What the options say, true or not.
fn given(asked: &Inspect) -> Result<Inspection, Fault> {
    let drops = match asked.drop.as_slice() {
        [] => None,
        [a, b, c] => Some([*a, *b, *c]),
        _ => return Err(Fault::usage("--drop: write three times in seconds, as in 40,45,38")),
    };
    let bow =
        asked.bow.zip(asked.span).map(|(sag, span)| Bow { sag: Length::from_mm(sag), span: Length::from_mm(span) });
    Ok(Inspection {
        sound: asked.sound,
        cracks: asked.cracks.clone(),
        pinholes: asked.pinholes,
        lift: asked.lift.map(Length::from_mm),
        bow,
        nail: asked.nail,
        rub: asked.rub,
        drop_s: drops,
        mould: asked.mould,
        no_mould: asked.no_mould,
        photo: asked.photo.clone(),
        note: asked.note.clone(),
    })
}
