//! `pot new`, `pot mark`, `pot show`, `pots`.

use super::args_pot::{PotAct, PotMark, PotNew};
use super::failure::{Fault, Kind};
use super::pot_json::{PotJson, PotsJson};
use super::{Here, out, recipe, tell_pot};
use crate::bench::{Around, Bench, NotRecorded, PotAsk, PotOpening, Told, believed_now};
use crate::craft::materials::Filler;
use crate::craft::recipe::{Recipe, shipped};
use crate::record::shelf::Drawer;
use crate::text::{clean, parse_mass, parse_temperature};
use crate::units::{Id, Moment, Volume};
use crate::work::pot::act::Act;
use crate::work::pot::event::Event;
use crate::work::pot::fold::Pot;
use anyhow::Result;
use std::sync::Arc;

/// The pot of that id, label, or beginning of either.
pub(super) fn find(bench: &Bench, asked: &str) -> Result<Id, Fault> {
    bench.shelf().find::<Event>(Drawer::Pots, asked)?.map_err(|e| Fault::not_done(clean(&e.to_string())))
}

/// Opens a pot and prints its id.
pub(super) fn new(here: &Here, new: &PotNew) -> Result<()> {
    let label = new.label.trim();
    if label.is_empty() {
        return Err(Fault::usage("a pot needs a label; name it after what is in it, say gesso of Tuesday").into());
    }
    let mut bench = here.bench();
    let parent = new.from.as_deref().map(|asked| find(&bench, asked)).transpose()?;
    let poured = parent.as_ref().map(|id| bench.bring_pot(id)).transpose().map_err(Fault::from)?.and_then(|t| t.story);
    let recipe = match (&new.recipe, rack_recipe(here), &poured) {
        (Some(asked), ..) => Arc::new(recipe::find(here, asked)?),
        (None, Some(recipe), _) => {
            out::say(&format!("sottile: by {}, as the panels on the rack; --recipe NAME for another", recipe.name));
            recipe
        }
        (None, None, Some(poured)) => Arc::clone(&poured.pot().opened().recipe),
        (None, None, None) => Arc::new(recipe::find(here, shipped::FIRST)?),
    };
    let opening = PotOpening {
        label: label.to_owned(),
        kind: new.kind,
        parent,
        recipe,
        size_ml: new.size_ml.map(|ml| Volume::from_ml(f64::from(ml))),
        lot: new.lot.clone(),
        at: here.time(new.at.as_ref())?,
    };
    let told = bench.open_pot(&opening, &|| here.clock.now()).map_err(Fault::from)?;
    ask_back(&told);
    out::text(&format!("{}\n", told.id))
}

/// The recipe of the panels on the rack, where all of them have the same.
fn rack_recipe(here: &Here) -> Option<Arc<Recipe>> {
    let mut bench = here.bench();
    bench.bring_rack(here.clock.now()).ok()?;
    let mut recipes = bench.told().into_iter().filter_map(|t| Some(t.story?.panel().opened().recipe.clone()));
    let first = recipes.next()?;
    recipes.all(|recipe| recipe.name == first.name).then_some(first)
}

/// Records one fact of a pot.
pub(super) fn mark(here: &Here, mark: &PotMark) -> Result<()> {
    let mut bench = here.bench();
    let id = find(&bench, &mark.pot)?;
    let ask = PotAsk { act: act(&mark.act)?, at: here.time(mark.at.as_ref())? };
    let told = bench.record_pot(&id, &ask, &|| here.clock.now()).map_err(Fault::from)?;
    ask_back(&told);
    if mark.json {
        return print_json(here, bench, &told, None);
    }
    let Some(story) = &told.story else { return Err(Fault::from(NotRecorded::NoStory(id)).into()) };
    let now = believed_now(story, here.clock.now());
    out::text(&format!("{}: {}\n", clean(&story.pot().opened().label), tell_pot::standing(story, now)))
}

/// What is doubtful about the fact just taken in.
fn ask_back(told: &Told<Pot>) {
    for question in told.story.iter().flat_map(|s| s.asked()) {
        out::say(&format!("sottile: {question}"));
    }
}

fn act(act: &PotAct) -> Result<Act, Fault> {
    let mass = |text: &str| parse_mass(text).map_err(Fault::usage);
    Ok(match act {
        PotAct::Soak => Act::Soak,
        PotAct::Melt => Act::Melt,
        PotAct::Out => Act::Out,
        PotAct::Liquid => Act::Liquid,
        PotAct::Temp { temperature } => Act::Temp(parse_temperature(temperature).map_err(Fault::usage)?),
        PotAct::Made => Act::Made,
        PotAct::Strained => Act::Strained,
        PotAct::Gelled => Act::Gelled,
        PotAct::Water { mass: text } => Act::Water(mass(text)?),
        PotAct::Weigh { mass: text } => Act::Weigh(mass(text)?),
        PotAct::Note { text } => Act::Note(text.clone()),
        PotAct::Empty => Act::Empty,
        PotAct::Discard { why } => Act::Discard(why.clone()),
        PotAct::Undo => Act::Undo { seen: None },
    })
}

/// Tells one pot's story.
pub(super) fn show(here: &Here, asked: &str, at: Option<&String>, json: bool) -> Result<()> {
    let mut bench = here.bench();
    let id = find(&bench, asked)?;
    let told = bench.bring_pot(&id).map_err(Fault::from)?;
    let Some(story) = &told.story else {
        let said = told.damage.as_ref().map_or_else(|| NotRecorded::NoStory(id).to_string(), ToString::to_string);
        return Err(Fault::damaged(said).into());
    };
    let at = here.time(at)?;
    if at.is_some_and(|at| story.as_of(at).is_none()) {
        return Err(Fault::not_done("the pot was not yet opened at that time").into());
    }
    if json {
        print_json(here, bench, &told, at)?;
    } else {
        let now = at.map_or(believed_now(story, here.clock.now()), Moment::wall_only);
        let then = at.and_then(|at| story.as_of(at)).map_or_else(|| Arc::clone(story), Arc::new);
        out::text(&tell_pot::pot(&then, now, &around(here, bench)?.known_at(at)))?;
    }
    match told.damage.filter(|d| d.kind.blocks()) {
        Some(damage) => Err(Fault::damaged(format!("{} is damaged: {damage}; see `sottile verify`", told.id)).into()),
        None => Ok(()),
    }
}

fn print_json(here: &Here, bench: Bench, told: &Told<Pot>, at: Option<crate::units::Stamp>) -> Result<()> {
    let Some(story) = &told.story else { return Ok(()) };
    let now = at.map_or(believed_now(story, here.clock.now()), Moment::wall_only);
    let then = at.and_then(|at| story.as_of(at)).map_or_else(|| Arc::clone(story), Arc::new);
    let around = around(here, bench)?.known_at(at);
    out::json(&PotJson::of(&then, told.damage.as_ref(), now, &around))
}

/// Tells where every pot stands.
pub(super) fn pots(here: &Here, json: bool) -> Result<()> {
    let around = around(here, here.bench())?;
    let now = here.clock.now();
    let damaged = around.pots.iter().any(|t| t.damage.as_ref().is_some_and(|d| d.kind.blocks()));
    if json {
        out::json(&PotsJson::of(&around, now))?;
    } else {
        out::text(&tell_pot::pots(&around, now))?;
    }
    if damaged { Err(Fault::told(Kind::Damaged).into()) } else { Ok(()) }
}

/// What is known around a pot: the other pots, the panels their coats went to, the air.
pub(super) fn around(here: &Here, mut bench: Bench) -> Result<Around, Fault> {
    let pots = bench.bring_pots()?;
    for id in bench.shelf().panel_ids()? {
        // A panel that cannot be read is told of by `panels`.
        let _ = bench.bring(&id);
    }
    let air = bench.air()?;
    Ok(Around { pots, panels: bench.told(), air, loose_g_per_ml: loose(here) })
}

/// What powders weigh, loosely filled.
pub(super) fn loose(here: &Here) -> Vec<(Filler, f64)> {
    let bulk = here.bulk();
    Filler::ALL.into_iter().map(|f| (f, bulk.of(f).value)).collect()
}
