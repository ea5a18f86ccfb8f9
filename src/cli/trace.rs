//! `trace`: where a lot of glue or filler, a sheet of board, or a pot went.

use super::args_shelf::TraceArgs;
use super::context::{CliContext, find_pot};
use super::error::CliError;
use super::json::{FORMAT_VERSION, WhereaboutsJson};
use super::pot_survey::load_pot_survey;
use super::{format_panel, output};
use crate::bench::PotSurvey;
use crate::text::{format_count, quote_word, sanitize};
use crate::units::{Id, Moment};
use crate::work::panel::story::PanelStory;
use crate::work::pot::lineage::panel_coats;
use crate::work::story::StoryState;
use anyhow::Result;
use serde::Serialize;
use std::collections::BTreeSet;

#[derive(Serialize)]
struct TraceJson {
    format: u32,
    query: String,
    pots: Vec<String>,
    panels: Vec<TracedPanelJson>,
}

#[derive(Serialize)]
struct TracedPanelJson {
    id: String,
    label: String,
    pots: Vec<String>,
    coats: usize,
    sheet: Option<String>,
    whereabouts: Option<WhereaboutsJson>,
}

/// Lists every panel with that lot, sheet or pot.
pub(super) fn run(context: &CliContext, args: &TraceArgs) -> Result<()> {
    let now = context.clock.now();
    let bench = context.bench();
    let named = find_pot(&bench, &args.query);
    let survey = load_pot_survey(context, bench)?;
    let (pots, is_lot) = find_pots(&survey, &args.query, named.as_ref().ok());
    let traced = trace_panels(&survey, &pots, &args.query);
    if traced.is_empty() && !is_lot {
        let lots = || format!("no lot and no sheet is called {}", quote_word(&args.query));
        named.map_err(|error| CliError::failed(format!("{}; {error}", lots())))?;
    }
    let damaged = survey.panels.iter().try_for_each(super::story::check_undamaged);
    if args.json {
        let panels = traced.iter().map(TracedPanel::to_json).collect();
        let pots = pots.iter().map(Id::to_string).collect();
        output::print_json(&TraceJson { format: FORMAT_VERSION, query: args.query.clone(), pots, panels })?;
    } else {
        output::print_text(&format_traced(&traced, now))?;
    }
    Ok(damaged?)
}

/// The pots meant: those of the lot, or the one of that name with all that was poured from it. Whether it is a lot.
fn find_pots(survey: &PotSurvey, query: &str, named: Option<&Id>) -> (BTreeSet<Id>, bool) {
    let usage = survey.usage();
    let lineage = usage.lineage();
    let of_lot: BTreeSet<Id> = lineage.pots_of_lot(query).into_iter().cloned().collect();
    if !of_lot.is_empty() {
        return (of_lot, true);
    }
    let all = survey.pots.iter().map(|pot| &pot.id);
    let from_named = named.map(|id| all.filter(|pot| lineage.ancestors(pot).contains(id)).cloned().collect());
    (from_named.unwrap_or_default(), false)
}

struct TracedPanel<'a> {
    story: &'a PanelStory,
    pots: BTreeSet<Id>,
    coats: usize,
}

fn trace_panels<'a>(survey: &'a PotSurvey, pots: &BTreeSet<Id>, query: &str) -> Vec<TracedPanel<'a>> {
    let one = |story: &'a PanelStory| {
        let mut coats = panel_coats(story);
        coats.retain(|coat| pots.contains(&coat.pot));
        let of_sheet = story.panel().opened().sheet.as_deref() == Some(query);
        let count = coats.len();
        let pots = coats.into_iter().map(|coat| coat.pot).collect();
        (count > 0 || of_sheet).then_some(TracedPanel { story, pots, coats: count })
    };
    let mut traced: Vec<_> = survey.panels.iter().filter_map(|t| one(t.story.as_deref()?)).collect();
    traced.sort_by_key(|t| (t.story.panel().opened_at().wall, t.story.panel().opened().id.clone()));
    traced
}

impl TracedPanel<'_> {
    fn to_json(&self) -> TracedPanelJson {
        let opened = self.story.panel().opened();
        TracedPanelJson {
            id: opened.id.to_string(),
            label: opened.label.clone(),
            pots: self.pots.iter().map(Id::to_string).collect(),
            coats: self.coats,
            sheet: opened.sheet.clone(),
            whereabouts: self.story.panel().placement().map(WhereaboutsJson::from),
        }
    }
}

fn format_traced(traced: &[TracedPanel<'_>], now: Moment) -> String {
    if traced.is_empty() {
        return "no panel has a coat of it\n".to_owned();
    }
    let line = |t: &TracedPanel<'_>| {
        let opened = t.story.panel().opened();
        let from: Vec<&str> = t.pots.iter().map(Id::as_str).collect();
        let coats = match t.coats {
            0 => "of that sheet".to_owned(),
            n => format!("{} from {}", format_count(n, "coat"), from.join(", ")),
        };
        let place = format_panel::format_placement(t.story, now).unwrap_or_else(|| "in the studio".to_owned());
        format!("{}  {}  {coats}  {}\n", opened.id, sanitize(&opened.label), sanitize(&place))
    };
    traced.iter().map(line).collect()
}
