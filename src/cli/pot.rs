//! `pot new`, `pot mark`, `pot show`, `pots`.

use super::args_pot::{PotMarkArgs, PotMarkCommand, PotNewArgs};
use super::context::{CliContext, find_panel, find_pot};
use super::error::{CliError, ExitKind};
use super::pot_json::{PotJson, PotsJson};
use super::pot_survey::load_pot_survey;
use super::story::{check_air, check_undamaged, is_damaged, is_newer, require_label, story_at, warn_if_clock_behind};
use super::{format_pot, output, recipe};
use crate::bench::{Bench, PotOpening, PotSurvey, RecordError, Snapshot};
use crate::craft::recipe::{Recipe, shipped};
use crate::record::shelf::{Drawer, LookupError};
use crate::text::{format_count, parse_mass, parse_temperature, quote_word, sanitize};
use crate::units::{Id, Moment, Volume};
use crate::work::panel::event::PanelEvent;
use crate::work::pot::act::PotAct;
use crate::work::pot::fold::Pot;
use crate::work::pot::story::PotStory;
use crate::work::pot::water::StrengthSource;
use crate::work::pot::weighed::WeighedParts;
use crate::work::stock::item::StockItem;
use anyhow::Result;
use std::sync::Arc;

/// Opens a pot and prints its id.
pub(super) fn open_pot(context: &CliContext, new: &PotNewArgs) -> Result<()> {
    let label = require_label(&new.label, "a pot needs a label; name it after what is in it, say gesso of Tuesday")?;
    let mut bench = context.bench();
    let parent = new.from.as_deref().map(|query| find_pot(&bench, query)).transpose()?;
    let for_group = new.for_group.as_deref().map(|query| find_group(&mut bench, query)).transpose()?;
    let poured =
        parent.as_ref().map(|id| bench.load_pot(id)).transpose().map_err(CliError::from)?.and_then(|t| t.story);
    let recipe = match (&new.recipe, rack_recipe(context), &poured) {
        (Some(asked), ..) => Arc::new(recipe::find_recipe(context, asked)?),
        (None, Some(recipe), _) => {
            output::print_message(&format!(
                "sottile: by {}, as the panels on the rack; --recipe NAME for another",
                recipe.name
            ));
            recipe
        }
        (None, None, Some(poured)) => Arc::clone(&poured.pot().opened().recipe),
        (None, None, None) => Arc::new(recipe::find_recipe(context, shipped::DEFAULT_RECIPE_NAME)?),
    };
    let opening = PotOpening {
        filler_lot: new.filler_lot.clone(),
        label,
        kind: new.kind,
        parent,
        recipe,
        size_ml: new.size_ml.map(|ml| Volume::from_ml(f64::from(ml))),
        lot: new.lot.clone(),
        at: context.parse_at(new.at.as_ref())?,
        for_group,
    };
    if opening.lot.is_none() && opening.parent.is_none() {
        print_lots(context, &mut bench);
    }
    let snapshot = bench.open_pot(&opening, &|| context.clock.now()).map_err(CliError::from)?;
    print_questions(&snapshot);
    output::allow_untold(output::print_text(&format!("{}\n", snapshot.id)))
}

/// The group of that panel, or of those whose names begin so if they are of one group; the panel itself where it has none.
fn find_group(bench: &mut Bench, query: &str) -> Result<Id, CliError> {
    let ids = match bench.shelf().find::<PanelEvent>(Drawer::Panels, query)? {
        Ok(id) => vec![id],
        Err(LookupError::Ambiguous { candidates, .. }) => candidates.into_iter().map(|listed| listed.id).collect(),
        Err(error @ LookupError::Unknown { .. }) => return Err(CliError::failed(sanitize(&error.to_string()))),
    };
    let mut group = None;
    for id in ids {
        let story = bench.load(&id)?.story.ok_or_else(|| CliError::from(RecordError::NoStory(id.clone())))?;
        let own = story.panel().opened().group.clone().unwrap_or(id);
        if *group.get_or_insert_with(|| own.clone()) != own {
            return find_panel(bench, query);
        }
    }
    group.map_or_else(|| find_panel(bench, query), Ok)
}

/// The recipe of the panels on the rack, where all of them have the same.
fn rack_recipe(context: &CliContext) -> Option<Arc<Recipe>> {
    let mut bench = context.bench();
    bench.load_rack(context.clock.now()).ok()?;
    let mut recipes = bench.snapshots().into_iter().filter_map(|t| Some(t.story?.panel().opened().recipe.clone()));
    let first = recipes.next()?;
    recipes.all(|recipe| recipe.name == first.name).then_some(first)
}

/// Records one fact of a pot.
pub(super) fn mark_pot(context: &CliContext, mark: &PotMarkArgs) -> Result<()> {
    let mut bench = context.bench();
    let id = find_pot(&bench, &mark.pot)?;
    let (act, at) = (pot_act_from_args(&mark.act)?, context.parse_at(mark.at.as_ref())?);
    let snapshot = bench.record_pot(&id, &act, at, &|| context.clock.now()).map_err(CliError::from)?;
    print_questions(&snapshot);
    let (story, now) = story_at(context, &snapshot, None)?;
    warn_if_clock_behind(&story);
    let reads_brix = matches!(mark.act, PotMarkCommand::Brix { .. });
    if !mark.json && !reads_brix {
        return print_marked_pot(&story, now);
    }
    let survey = load_pot_survey(context, bench)?;
    if reads_brix {
        print_brix_advice(&story, now, &survey);
    }
    if mark.json {
        let json = PotJson::from_story(&story, snapshot.damage.as_ref(), now, &survey, &survey.usage());
        return output::allow_untold(output::print_json(&json));
    }
    print_marked_pot(&story, now)
}

fn print_marked_pot(story: &PotStory, now: Moment) -> Result<()> {
    let label = sanitize(&story.pot().opened().label);
    output::allow_untold(output::print_text(&format!("{label}: {}\n", format_pot::format_pot_status(story, now))))
}

/// What the reading just written down says of the strength; or that nothing is known yet that it could say.
fn print_brix_advice(story: &PotStory, now: Moment, survey: &PotSurvey) {
    let usage = survey.usage();
    let water = usage.status(story.pot(), now).water;
    let text = match (water.strength_source, water.glue_g_per_l_water, water.strength_sd) {
        (StrengthSource::Brix, Some(strength), Some(sd)) => {
            let points = usage.calibration().map_or(0, |c| c.points);
            let rests = format_count(points, "reading");
            format!("{strength:.0} g of glue to a litre, give or take {sd:.0}, by {rests} of size that was weighed")
        }
        (StrengthSource::Weighed, Some(strength), _) => {
            format!(
                "{strength:.0} g of glue to a litre as weighed: from now on this reading tells other pots' strength"
            )
        }
        _ => "written down; it tells a strength once a pot of size with glue and water weighed has been read too"
            .to_owned(),
    };
    output::print_message(&format!("sottile: {text}"));
}

/// The lots of glue in the cupboard, where a pot says none.
fn print_lots(context: &CliContext, bench: &mut Bench) {
    let Ok(cupboard) = bench.load_cupboard(&context.settings.bulk_densities()) else { return };
    let lots: Vec<String> = cupboard.lots_left_of(&StockItem::Glue).into_iter().map(quote_word).collect();
    if !lots.is_empty() {
        let lots = lots.join(" and ");
        output::print_message(&format!(
            "sottile: the cupboard has glue of lot {lots}; --lot says of which this pot is"
        ));
    }
}

/// What is doubtful about the fact just taken in.
fn print_questions(snapshot: &Snapshot<Pot>) {
    for question in snapshot.story.iter().flat_map(|s| s.last_questions()) {
        output::print_message(&format!("sottile: {question}"));
    }
}

fn pot_act_from_args(act: &PotMarkCommand) -> Result<PotAct, CliError> {
    let mass = |text: &str| parse_mass(text).map_err(CliError::usage);
    Ok(match act {
        PotMarkCommand::Soak => PotAct::Soak,
        PotMarkCommand::Melt => PotAct::Melt,
        PotMarkCommand::Out => PotAct::OutOfBath,
        PotMarkCommand::Liquid => PotAct::Liquid,
        PotMarkCommand::Temp { temperature } => PotAct::Temp(parse_temperature(temperature).map_err(CliError::usage)?),
        PotMarkCommand::Made { glue, water, filler } => {
            let read = |text: &String| mass(text);
            let mut parts = WeighedParts {
                glue: glue.as_ref().map(read).transpose()?,
                water: water.as_ref().map(read).transpose()?,
                ..WeighedParts::NONE
            };
            for one in filler {
                let (name, text) = one.split_once('=').ok_or_else(|| {
                    let given = quote_word(one);
                    CliError::usage(format!("--filler: {given} has no mass; write NAME=MASS: \"zinc white=310g\""))
                })?;
                parts.add_filler(name, mass(text)?).map_err(|e| CliError::usage(format!("--filler: {e}")))?;
            }
            PotAct::Made(Box::new(parts))
        }
        PotMarkCommand::Brix { degrees } => PotAct::Brix(parse_brix(degrees)?),
        PotMarkCommand::Strained => PotAct::Strained,
        PotMarkCommand::Gelled => PotAct::Gelled,
        PotMarkCommand::Water { mass: text } => PotAct::Water(mass(text)?),
        PotMarkCommand::Weigh { mass: text } => PotAct::Weigh(mass(text)?),
        PotMarkCommand::Note { text } => PotAct::Note(text.clone()),
        PotMarkCommand::Empty => PotAct::Empty,
        PotMarkCommand::Discard { why } => PotAct::Discard(why.clone()),
        PotMarkCommand::Undo => PotAct::Undo { seen: None },
    })
}

/// Degrees; the sign that some instruments show may follow.
fn parse_brix(text: &str) -> Result<f64, CliError> {
    let figure = text.trim().trim_end_matches(['%', '°']).replace(',', ".");
    figure.parse().ok().filter(|brix: &f64| brix.is_finite()).ok_or_else(|| {
        CliError::usage(format!("{} is no reading of a refractometer; write degrees, as in 8.2", quote_word(text)))
    })
}

/// Tells one pot's story.
pub(super) fn show_pot(context: &CliContext, query: &str, at: Option<&String>, json: bool) -> Result<()> {
    let mut bench = context.bench();
    let id = find_pot(&bench, query)?;
    let snapshot = bench.load_pot(&id).map_err(CliError::from)?;
    if snapshot.story.is_none() && is_newer(&snapshot) {
        if json {
            output::print_json(&PotJson::unreadable(&id, snapshot.damage.as_ref()))?;
        }
        return Ok(check_undamaged(&snapshot)?);
    }
    let at = context.parse_at(at)?;
    let (story, now) = story_at(context, &snapshot, at)?;
    let survey = load_pot_survey(context, bench)?.known_at(at);
    if json {
        output::print_json(&PotJson::from_story(&story, snapshot.damage.as_ref(), now, &survey, &survey.usage()))?;
    } else {
        output::print_text(&format_pot::format_pot_story(&story, now, &survey, context.settings.unit_system.value))?;
    }
    check_undamaged(&snapshot)?;
    check_line_undamaged(&survey, &id)?;
    Ok(check_air(&survey.air)?)
}

/// Fails where a pot up the line is damaged: the water and strength of what was poured from it are then not known.
fn check_line_undamaged(survey: &PotSurvey, id: &Id) -> Result<(), CliError> {
    let line = survey.ancestors(id);
    survey.pots.iter().filter(|t| line.contains(&t.id)).try_for_each(check_undamaged)
}

/// Tells where every pot stands.
pub(super) fn list_pots(context: &CliContext, json: bool) -> Result<()> {
    let mut bench = context.bench();
    let ids = bench.shelf().ids(Drawer::Pots).map_err(CliError::from)?;
    let mut some_unread = false;
    for id in &ids {
        if let Err(error) = bench.load_pot(id) {
            some_unread = true;
            output::print_message(&format!("sottile: {error}"));
        }
    }
    let survey = load_pot_survey(context, bench)?;
    let now = context.clock.now();
    if json {
        output::print_json(&PotsJson::from_survey(&survey, now))?;
    } else {
        output::print_text(&format_pot::format_pot_list(&survey.pots, now))?;
    }
    let damaged = some_unread || survey.pots.iter().any(is_damaged);
    if json {
        // The forecasts rest on the air.
        check_air(&survey.air)?;
    }
    if damaged { Err(CliError::already_reported(ExitKind::Damaged).into()) } else { Ok(()) }
}
