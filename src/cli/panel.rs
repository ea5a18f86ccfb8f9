//! `new`, `mark`, `panels`, `show`.

use super::args::{Mark, MarkAct, New, Show};
use super::failure::{Fault, Kind};
use super::json::{ListedJson, PanelsJson, ShowJson};
use super::{Here, out, recipe, tell};
use crate::bench::{Ask, Bench, NotRecorded, Opening, Told, believed_now};
use crate::record::shelf::Drawer;
use crate::text::{clean, parse_mass, parse_size};
use crate::units::{Id, Moment};
use crate::work::advice::{cautions, waits};
use crate::work::learn::Learned;
use crate::work::panel::act::Act;
use crate::work::panel::event::{CheckMap, Event};
use crate::work::panel::story::Story;
use anyhow::Result;
use std::sync::Arc;

/// The panel of that id, label, or beginning of either.
pub(super) fn find(bench: &Bench, asked: &str) -> Result<Id, Fault> {
    bench.shelf().find::<Event>(Drawer::Panels, asked)?.map_err(|e| Fault::not_done(clean(&e.to_string())))
}

/// Opens panels and prints their ids.
pub(super) fn new(here: &Here, new: &New) -> Result<()> {
    let label = new.label.trim();
    if label.is_empty() {
        return Err(Fault::usage("a panel needs a label; name it after what you will paint, say Wren").into());
    }
    let opening = Opening {
        label: label.to_owned(),
        size: parse_size(&new.size).map_err(|e| Fault::usage(format!("--size: {e}")))?,
        support: new.support,
        grain: new.grain,
        paint: new.paint,
        recipe: Arc::new(recipe::find(here, &new.recipe)?),
        count: new.count,
        at: here.time(new.at.as_ref())?,
    };
    for caution in cautions::at_opening(&opening.recipe, opening.paint, &opening.size, opening.support) {
        out::say(&format!("sottile: caution: {}", caution.text));
    }
    let (opened, why) = match here.bench().open(&opening, &|| here.clock.now()) {
        Ok(opened) => (opened, None),
        Err((why, opened)) => (opened, Some(why)),
    };
    let ids: String = opened.iter().map(|t| format!("{}\n", t.id)).collect();
    out::text(&ids)?;
    why.map_or(Ok(()), |why| Err(Fault::from(why).into()))
}

/// Records one fact.
pub(super) fn mark(here: &Here, mark: &Mark) -> Result<()> {
    let mut bench = here.bench();
    let id = find(&bench, &mark.panel)?;
    let ask = Ask { act: act(&bench, &mark.act)?, at: here.time(mark.at.as_ref())?, seen: None };
    let changed = bench.record(&id, &ask, &|| here.clock.now()).map_err(Fault::from)?;
    let now = here.clock.now();
    let Some(told) = changed.iter().find(|t| t.id == id).or(changed.first()) else { return Ok(()) };
    let Some(story) = &told.story else { return Err(Fault::from(NotRecorded::NoStory(id)).into()) };
    if matches!(mark.act, MarkAct::Done { .. }) {
        let said = waits::waits(story.panel(), &bench.air().unwrap_or_default(), &Learned::default());
        said.beside.iter().for_each(|tip| out::say(&format!("sottile: {} ({})", tip.text, tip.source)));
    }
    if mark.json {
        return out::json(&ShowJson::of(story, told.damage.as_ref(), believed_now(story, now)));
    }
    for told in &changed {
        if let Some(story) = &told.story {
            out::text(&tell::recorded(story, believed_now(story, now)))?;
        }
    }
    Ok(())
}

fn act(bench: &Bench, act: &MarkAct) -> Result<Act, Fault> {
    Ok(match act {
        MarkAct::Start => Act::Start,
        MarkAct::Done { direction, pot, map } => Act::Done {
            direction: *direction,
            pot: pot.as_deref().map(|asked| super::pot::find(bench, asked)).transpose()?,
            map: map.as_deref().map(check_map).transpose()?,
        },
        MarkAct::Dull => Act::Dull,
        MarkAct::Note { text } => Act::Note(text.clone()),
        MarkAct::Weigh { mass } => Act::Weigh(parse_mass(mass).map_err(Fault::usage)?),
        MarkAct::Extra => Act::Extra,
        MarkAct::Repeat { why } => Act::Repeat(*why),
        MarkAct::Skip { why } => Act::Skip(why.clone()),
        MarkAct::Away => Act::Away,
        MarkAct::Back => Act::Back,
        MarkAct::Undo => Act::Undo { seen: None },
        MarkAct::Abandon { why } => Act::Abandon(why.clone()),
    })
}

fn check_map(text: &str) -> Result<CheckMap, Fault> {
    let wrong = || {
        Fault::usage(format!(
            "--map: \"{}\" is no map; write rows from the top separated by /, one digit an area, 0 none, 1 some, 2 much: 000/010/000",
            clean(text)
        ))
    };
    CheckMap::parse(text).ok_or_else(wrong)
}

/// Tells where every panel stands.
pub(super) fn panels(here: &Here, json: bool) -> Result<()> {
    let now = here.clock.now();
    let shelf = here.shelf();
    let mut damaged = false;
    let mut told = Vec::new();
    for id in shelf.panel_ids().map_err(Fault::from)? {
        match Bench::new(shelf.clone()).bring(&id) {
            Ok(t) => told.push(t),
            Err(failure) => {
                damaged = true;
                out::say(&format!("sottile: {failure}"));
            }
        }
    }
    told.sort_by_key(|t| (t.story.as_ref().map(|s| s.panel().opened_at().wall), t.id.clone()));
    damaged |= told.iter().any(|t| t.story.is_none() || t.damage.as_ref().is_some_and(|d| d.kind.blocks()));
    if json {
        out::json(&PanelsJson::of(told.iter().filter_map(|t| listed(t, now)).collect()))?;
    } else {
        out::text(&tell::panels(&told, now))?;
    }
    if damaged { Err(Fault::told(Kind::Damaged).into()) } else { Ok(()) }
}

fn listed(told: &Told, now: Moment) -> Option<ListedJson> {
    match &told.story {
        Some(story) => {
            let standing = story.panel().standing(believed_now(story, now));
            Some(ListedJson::of(story.panel(), &standing, told.damage.as_ref()))
        }
        None => Some(ListedJson::unreadable(told.id.as_str(), told.damage.as_ref()?)),
    }
}

/// What is to be said of the pots its coats came from. Pots that cannot be read cost the remark and nothing else.
fn remarks(here: &Here, bench: Bench, story: &Story) -> Vec<(u64, String)> {
    let named = !story.panel().pots().is_empty();
    let around = named.then(|| super::pot::around(here, bench)).and_then(Result::ok);
    let on_panel = around.map(|a| a.on_panel(story)).unwrap_or_default();
    on_panel.into_iter().map(|(seq, remark)| (seq, remark.to_string())).collect()
}

/// Tells one panel's story.
pub(super) fn show(here: &Here, show: &Show) -> Result<()> {
    let mut bench = here.bench();
    let now = here.clock.now();
    let id = find(&bench, &show.panel)?;
    let told = bench.bring(&id).map_err(Fault::from)?;
    let Some(story) = told.story else {
        let said = told.damage.as_ref().map_or_else(|| NotRecorded::NoStory(id).to_string(), ToString::to_string);
        return Err(Fault::damaged(said).into());
    };
    let (story, now) = match here.time(show.at.as_ref())? {
        None => {
            let now = believed_now(&story, now);
            (story, now)
        }
        Some(at) => {
            let then = story.as_of(at).ok_or_else(|| Fault::not_done("the panel was not yet opened at that time"))?;
            (Arc::new(then), Moment { offset_min: now.offset_min, ..Moment::wall_only(at) })
        }
    };
    if show.json {
        out::json(&ShowJson::of(&story, told.damage.as_ref(), now))?;
    } else {
        out::text(&tell::story(&story, now, here.settings.units.value, &remarks(here, bench, &story)))?;
    }
    match told.damage.filter(|d| d.kind.blocks()) {
        Some(damage) => Err(Fault::damaged(format!("{id} is damaged: {damage}; see `sottile verify`")).into()),
        None => Ok(()),
    }
}
