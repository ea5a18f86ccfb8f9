//! The JSON of pots that scripts are promised.

use super::json::{DamageJson, FORMAT_VERSION, StoryFactJson, TrialRunJson, format_local_rfc3339};
use crate::bench::{PotSurvey, Snapshot, trusted_now};
use crate::craft::materials::Filler;
use crate::record::journal::Damage;
use crate::units::{Entry, Id, Mass, Moment, Stamp};
use crate::work::pot::event::PotEvent;
use crate::work::pot::fold::Pot;
use crate::work::pot::forecast::PotForecast;
use crate::work::pot::story::PotStory;
use crate::work::pot::usage::PotUsage;
use crate::work::pot::weighed::WeighedParts;
use serde::Serialize;

/// What is doubtful about a fact of a pot.
#[derive(Serialize)]
struct PotQuestionsJson {
    questions: Vec<String>,
}

fn pot_fact_json(story: &PotStory, entry: &Entry<PotEvent>) -> StoryFactJson<PotQuestionsJson> {
    let questions = story.pot().questions_of(entry.seq).iter().map(ToString::to_string).collect();
    StoryFactJson::from_entry(story, entry, PotQuestionsJson { questions }, &[])
}

/// The coats a panel has from a pot.
#[derive(Serialize)]
struct PotCoatsJson {
    panel: String,
    coats: usize,
}

impl From<(Id, usize)> for PotCoatsJson {
    fn from((panel, coats): (Id, usize)) -> Self {
        PotCoatsJson { panel: panel.to_string(), coats }
    }
}

/// A powder that was weighed.
#[derive(Serialize)]
struct WeighedFillerJson {
    name: &'static str,
    mass_g: f64,
}

/// What was weighed into a pot.
#[derive(Serialize)]
struct WeighedJson {
    glue_g: Option<f64>,
    water_g: Option<f64>,
    fillers: Vec<WeighedFillerJson>,
}

impl From<&WeighedParts> for WeighedJson {
    fn from(parts: &WeighedParts) -> Self {
        let filler = |(filler, mass): &(Filler, Mass)| WeighedFillerJson { name: filler.name(), mass_g: mass.g() };
        WeighedJson {
            glue_g: parts.glue.map(|m| m.g()),
            water_g: parts.water.map(|m| m.g()),
            fillers: parts.fillers.iter().map(filler).collect(),
        }
    }
}

#[derive(Serialize)]
struct PotForecastJson {
    gels_at: String,
    earliest: String,
    latest: String,
    level: f64,
    time_constant_min: f64,
    bath_by: Option<String>,
    basis: String,
}

/// What `pot show --json` prints, and each of `pots --json`.
#[derive(Default, Serialize)]
pub(super) struct PotJson {
    format: u32,
    id: String,
    label: Option<String>,
    kind: Option<&'static str>,
    parent: Option<String>,
    lot: Option<String>,
    filler_lot: Option<String>,
    recipe: Option<String>,
    #[serde(rename = "for")]
    for_group: Option<String>,
    trial: Option<TrialRunJson>,
    made_at: Option<String>,
    phase: Option<&'static str>,
    in_bath: Option<bool>,
    since: Option<String>,
    temp_c: Option<f64>,
    temp_at: Option<String>,
    mass_g: Option<f64>,
    water_lost_g: Option<f64>,
    water_lost_pct: Option<f64>,
    glue_g_per_l_water: Option<f64>,
    glue_per_100g_filler_g: Option<f64>,
    strength_from: Option<&'static str>,
    weighed: Option<WeighedJson>,
    melts: Option<u32>,
    max_c: Option<f64>,
    overheated: Option<bool>,
    bath_min: Option<f64>,
    soaked_at: Option<String>,
    line: Vec<String>,
    poured: Vec<String>,
    panels: Vec<PotCoatsJson>,
    forecast: Option<PotForecastJson>,
    damaged: Option<DamageJson>,
    facts: Vec<StoryFactJson<PotQuestionsJson>>,
}

impl PotJson {
    /// A pot of whose journal not even the opening can be read: its id and what is wrong.
    pub fn unreadable(id: &Id, damage: Option<&Damage>) -> PotJson {
        let damaged = damage.map(DamageJson::from);
        PotJson { format: FORMAT_VERSION, id: id.to_string(), damaged, ..PotJson::default() }
    }

    /// A pot as it stands at `now`; `usage` is that of the survey.
    pub(super) fn from_story(
        story: &PotStory,
        damage: Option<&Damage>,
        now: Moment,
        survey: &PotSurvey,
        usage: &PotUsage<'_>,
    ) -> PotJson {
        let pot = story.pot();
        let opened = pot.opened();
        let s = usage.status(pot, now);
        let water = s.water;
        let forecast = survey.forecast(pot);
        let time_of = |stamp: Option<Stamp>| stamp.map(format_local_rfc3339);
        PotJson {
            format: FORMAT_VERSION,
            id: opened.id.to_string(),
            label: Some(opened.label.clone()),
            kind: Some(opened.kind.name()),
            parent: opened.parent.as_ref().map(ToString::to_string),
            lot: survey.glue_lot(&opened.id),
            filler_lot: survey.filler_lot(&opened.id),
            recipe: Some(opened.recipe.name.clone()),
            for_group: opened.for_group.as_ref().map(ToString::to_string),
            trial: opened.trial.as_ref().map(TrialRunJson::from),
            made_at: time_of(s.made_at),
            phase: Some(s.phase.name()),
            in_bath: Some(s.in_bath_since.is_some()),
            since: Some(format_local_rfc3339(s.since)),
            temp_c: s.last_temp.map(|(t, _)| t.c()),
            temp_at: s.last_temp.map(|(_, at)| format_local_rfc3339(at)),
            mass_g: s.mass.map(|m| m.g()),
            water_lost_g: water.lost_g,
            water_lost_pct: water.lost_pct,
            glue_g_per_l_water: water.glue_g_per_l_water,
            glue_per_100g_filler_g: water.glue_per_100g_filler_g,
            strength_from: Some(water.strength_source.name()),
            weighed: Some(pot.weighed()).filter(|w| !w.is_empty()).map(WeighedJson::from),
            melts: Some(s.melts),
            max_c: s.max_temp.map(|t| t.c()),
            overheated: Some(s.overheated_at.is_some()),
            bath_min: Some(s.bath_total.minutes()),
            soaked_at: s.soak.map(|soak| format_local_rfc3339(soak.due_at)),
            line: survey.ancestors(&opened.id).iter().map(Id::to_string).collect(),
            poured: survey.pots_poured_from(&opened.id).iter().map(Id::to_string).collect(),
            panels: survey.panels_from(&opened.id).into_iter().map(PotCoatsJson::from).collect(),
            forecast: forecast.map(|f| PotForecastJson {
                gels_at: format_local_rfc3339(f.gels_at),
                earliest: format_local_rfc3339(f.earliest),
                latest: format_local_rfc3339(f.latest),
                level: PotForecast::LEVEL,
                time_constant_min: f.time_constant_min,
                bath_by: time_of(survey.coat_preparation(pot, Some(&f), now).and_then(|c| c.bath_by)),
                basis: f.basis.to_string(),
            }),
            damaged: damage.map(DamageJson::from),
            facts: story.entries_in_order().into_iter().map(|entry| pot_fact_json(story, entry)).collect(),
        }
    }
}

/// What `pots --json` prints.
#[derive(Serialize)]
pub(super) struct PotsJson {
    format: u32,
    pots: Vec<PotJson>,
}

impl PotsJson {
    /// Every pot, as it stands at `now`.
    pub(super) fn from_survey(survey: &PotSurvey, now: Moment) -> PotsJson {
        let usage = survey.usage();
        let one = |t: &Snapshot<Pot>| match &t.story {
            Some(story) => PotJson::from_story(story, t.damage.as_ref(), trusted_now(story, now), survey, &usage),
            None => PotJson::unreadable(&t.id, t.damage.as_ref()),
        };
        PotsJson { format: FORMAT_VERSION, pots: survey.pots.iter().map(one).collect() }
    }
}
