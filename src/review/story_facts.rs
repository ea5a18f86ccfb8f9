//! What one story tells by itself: the part of a row that needs neither pots nor air, in plain numbers and words.
//!
//! It is small, so that thousands of stories can be compared while each is read only once.

use super::outcome::{Outcome, outcome_from_story};
use super::seen_fault::{SeenFault, faults_seen};
use super::standing_steps::{last_act_moment, standing_steps};
use crate::craft::materials::Support;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::{Ground, compute_recipe_ground};
use crate::craft::recipe::{Paint, SealMaterial};
use crate::stats::median;
use crate::units::{Id, Moment, Stamp};
use crate::work::panel::event::{Face, Grain, StageKind};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::state::{IntervalJudgement, Panel, StepState};
use crate::work::panel::story::PanelStory;
use crate::work::panel::wait::elapsed;
use crate::work::panel::whereabouts::Whereabouts;
use crate::work::pot::lineage::panel_pot_uses;
use crate::work::story::StoryState;
use std::collections::BTreeMap;

/// Something taken out of a pot: a coat, or an attempt that was done again.
#[derive(Debug, Clone, PartialEq)]
pub struct PotUse {
    /// Which.
    pub pot: Id,
    /// When.
    pub at: Stamp,
    /// It was gesso, not size.
    pub gesso: bool,
}

/// What one story tells of its panel, by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct StoryFacts {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it, as typed.
    pub label: String,
    /// The name of its recipe.
    pub recipe: String,
    /// The paint it was made for.
    pub paint: Paint,
    /// The pots its standing coats came from, in the order of the work.
    pub pot_ids: Vec<Id>,
    /// The first of the panels it was opened together with, if there were several.
    pub group: Option<Id>,
    /// The trial whose board it is, if it is one.
    pub trial: Option<Id>,
    /// What the board is made of.
    pub support: Support,
    /// The sheet of board it was cut from, as typed.
    pub sheet: Option<String>,
    /// What became of it, since when, and to whom it went.
    pub placement: Option<(Whereabouts, Stamp, Option<String>)>,
    /// Which way its grain runs.
    pub grain: Grain,
    /// Width, height and thickness, mm.
    pub size_mm: (f64, f64, Option<f64>),
    /// When it was opened.
    pub opened_at: Stamp,
    /// Everything was done.
    pub finished: bool,
    /// Why it was given up, if it was.
    pub given_up: Option<String>,
    /// Standing size coats on front and back.
    pub size_coats: (u32, u32),
    /// Linen was laid.
    pub cloth: bool,
    /// Standing stipple coats.
    pub stipples: u32,
    /// Standing coats on the front, the stipple not counted.
    pub coats_front: u32,
    /// Standing coats on the back.
    pub coats_back: u32,
    /// Minutes from one gesso coat to the next on its face: median, shortest, longest.
    pub wait_median_min: Option<f64>,
    /// The shortest.
    pub wait_min_min: Option<f64>,
    /// The longest.
    pub wait_max_min: Option<f64>,
    /// Minutes from a gesso coat to its gloss gone, the median of those marked.
    pub dull_median_min: Option<f64>,
    /// Coats laid early by the recipe's wait.
    pub early_coats: u32,
    /// Coats laid after their wait was over.
    pub late_coats: u32,
    /// Coats laid after a gap longer than the recipe's bound.
    pub long_gaps: u32,
    /// Coats that went in the same direction as the one below.
    pub same_direction: u32,
    /// Acts left out.
    pub skipped_acts: u32,
    /// Acts done again.
    pub repeated_acts: u32,
    /// Standing scrape rounds.
    pub scrape_rounds: u32,
    /// Standing checks.
    pub check_rounds: u32,
    /// Checks at which something stayed grey.
    pub grey_checks: u32,
    /// With what it was sealed.
    pub sealed: SealMaterial,
    /// Minutes of the acts whose beginning was recorded; nothing where none was.
    pub hands_on_min: Option<f64>,
    /// Hours from the opening to the last act.
    pub elapsed_h: Option<f64>,
    /// Every standing coat whose pot was recorded.
    pub pot_uses: Vec<PotUse>,
    /// The times of its first and last gesso coat.
    pub coating_period: Option<(Stamp, Stamp)>,
    /// The first act, edges broken and faces degreased, was left out.
    pub unprepared: bool,
    /// What came of it.
    pub outcome: Outcome,
    /// The faults ever seen on it.
    pub faults: Vec<SeenFault>,
    /// The pot of gesso most of its front coats came from, where that was recorded.
    pub front_pot: Option<Id>,
    /// The pot of size it was sized from.
    pub size_pot: Option<Id>,
    /// Hours from the last size or cloth to the first gesso coat.
    pub cure_h: Option<f64>,
    /// Hours from the last gesso coat to what was done next.
    pub dry_h: Option<f64>,
    /// Hours from the last check or polish to the seal.
    pub rest_h: Option<f64>,
    /// Dry ground on the board by calliper or gauge, mean and spread from thinnest to thickest, um.
    pub build_um: Option<(f64, f64)>,
    /// What its recipe lays of gesso in one coat, ml to a square metre.
    pub coat_ml_per_m2: f64,
    /// The ground its recipe gives; nothing where its figures are out of range.
    pub recipe_ground: Option<Ground>,
}

/// What a story tells as it stands at that moment; loose powders weigh what `bulk` says.
pub fn facts_from_story(story: &PanelStory, bulk: &BulkDensities, now: Moment) -> StoryFacts {
    let panel = story.panel();
    let opened = panel.opened();
    let count = |kind: StageKind, face: Face| {
        standing_steps(panel).filter(|(s, _)| (s.slot.kind, s.slot.face) == (kind, Some(face))).count() as u32
    };
    let rounds = |kind: StageKind| standing_steps(panel).filter(|(s, _)| s.slot.kind == kind).count() as u32;
    let waits_min = coat_intervals_min(panel);
    let judged = coat_judgements(panel);
    let among =
        |has: fn(&IntervalJudgement) -> bool| judged.iter().filter(|js| js.iter().any(|j| has(j))).count() as u32;
    let coats: Vec<Stamp> =
        standing_steps(panel).filter(|(s, _)| s.slot.kind.is_gesso()).map(|(_, l)| l.done_at.wall).collect();
    let dull = standing_steps(panel)
        .filter(|(s, _)| s.slot.kind.is_gesso())
        .filter_map(|(_, l)| Some(elapsed(l.done_at, l.dull_at?).minutes()));
    StoryFacts {
        id: opened.id.clone(),
        label: opened.label.clone(),
        recipe: opened.recipe.name.clone(),
        paint: opened.paint,
        group: opened.group.clone(),
        trial: opened.trial.as_ref().map(|run| run.trial.clone()),
        support: opened.support,
        sheet: opened.sheet.clone(),
        placement: panel.placement().map(|p| (p.whereabouts, p.since.wall, p.to.clone())),
        grain: opened.grain,
        size_mm: (opened.size.width.mm(), opened.size.height.mm(), opened.size.thickness.map(|t| t.mm())),
        opened_at: panel.opened_at().wall,
        finished: panel.phase_at(now) == PanelPhase::Finished,
        given_up: panel.abandon_reason().map(str::to_owned),
        size_coats: (count(StageKind::Size, Face::Front), count(StageKind::Size, Face::Back)),
        cloth: rounds(StageKind::Cloth) > 0,
        stipples: rounds(StageKind::Stipple),
        coats_front: panel.count_coats(Face::Front) as u32,
        coats_back: panel.count_coats(Face::Back) as u32,
        wait_median_min: median(&waits_min),
        wait_min_min: waits_min.iter().copied().reduce(f64::min),
        wait_max_min: waits_min.iter().copied().reduce(f64::max),
        dull_median_min: median(&dull.collect::<Vec<_>>()),
        early_coats: among(|j| j.early_by.is_some()),
        late_coats: among(|j| j.late_by.is_some()),
        long_gaps: among(|j| j.long_gap.is_some()),
        same_direction: count_same_direction(panel),
        skipped_acts: panel
            .steps()
            .iter()
            .filter(|s| matches!(s.state, StepState::Skipped(_)) && !s.slot.kind.ends_by_itself())
            .count() as u32,
        repeated_acts: panel.steps().iter().map(|s| s.failed_attempts.len() as u32).sum(),
        scrape_rounds: rounds(StageKind::Scrape),
        check_rounds: rounds(StageKind::Check),
        grey_checks: standing_steps(panel).filter(|(_, l)| l.event.map.as_ref().is_some_and(|m| !m.is_clear())).count()
            as u32,
        sealed: if rounds(StageKind::Seal) > 0 { opened.recipe.seal.with } else { SealMaterial::None },
        hands_on_min: total_hands_on_min(panel),
        elapsed_h: last_act_moment(panel).map(|m| elapsed(panel.opened_at(), m).hours()),
        pot_uses: collect_pot_uses(panel),
        coating_period: coats.iter().min().copied().zip(coats.iter().max().copied()),
        unprepared: panel
            .steps()
            .iter()
            .any(|s| s.slot.kind == StageKind::Prepare && matches!(s.state, StepState::Skipped(_))),
        faults: faults_seen(story),
        outcome: outcome_from_story(story),
        pot_ids: panel.pot_ids().into_iter().cloned().collect(),
        recipe_ground: compute_recipe_ground(panel.recipe(), bulk).ok(),
        front_pot: find_front_pot(panel),
        size_pot: panel_pot_uses(panel).find(|(_, _, kind)| !kind.is_gesso()).map(|(pot, _, _)| pot.clone()),
        cure_h: hours_between(panel, |k| matches!(k, StageKind::Size | StageKind::Cloth), StageKind::is_gesso),
        dry_h: hours_between(panel, StageKind::is_gesso, |k| {
            matches!(k, StageKind::Scrape | StageKind::Polish | StageKind::Check)
        }),
        rest_h: hours_between(panel, |k| matches!(k, StageKind::Polish | StageKind::Check), |k| k == StageKind::Seal),
        build_um: panel.build().map(|build| (build.mean_um, build.range_um.1 - build.range_um.0)),
        coat_ml_per_m2: panel.recipe().gesso.ml_per_m2,
    }
}

/// Minutes from each gesso coat's done to the next one's start (or done) on its face.
fn coat_intervals_min(panel: &Panel) -> Vec<f64> {
    let mut done_before: BTreeMap<Option<Face>, Moment> = BTreeMap::new();
    let mut minutes = Vec::new();
    for (step, coat) in standing_steps(panel).filter(|(s, _)| s.slot.kind.is_gesso()) {
        let begins = coat.began_at.unwrap_or(coat.done_at);
        if let Some(last) = done_before.insert(step.slot.face, coat.done_at) {
            minutes.push(elapsed(last, begins).minutes());
        }
    }
    minutes
}

/// How each standing coat (size, stipple, coat, seal) stood to its wait: at its start, and when it was done.
fn coat_judgements(panel: &Panel) -> Vec<Vec<&IntervalJudgement>> {
    standing_steps(panel)
        .filter(|(s, _)| s.slot.kind.is_wet_coat())
        .map(|(s, l)| panel.step_judgements(s.slot, l.seq))
        .collect()
}

/// Coats of a face that went the same way as the coat below.
fn count_same_direction(panel: &Panel) -> u32 {
    let mut below = BTreeMap::new();
    let mut same = 0;
    for (step, coat) in standing_steps(panel).filter(|(s, _)| s.slot.kind == StageKind::Coat) {
        let Some(direction) = coat.event.direction else { continue };
        same += u32::from(below.insert(step.slot.face, direction) == Some(direction));
    }
    same
}

fn total_hands_on_min(panel: &Panel) -> Option<f64> {
    let took: Vec<f64> =
        standing_steps(panel).filter_map(|(_, l)| Some(elapsed(l.began_at?, l.done_at).minutes())).collect();
    (!took.is_empty()).then(|| took.iter().sum())
}

/// The pot of gesso most of the front's coats came from; of two with as many, the one taken first.
fn find_front_pot(panel: &Panel) -> Option<Id> {
    let mut counts: Vec<(&Id, usize)> = Vec::new();
    for (step, coat) in standing_steps(panel).filter(|(s, _)| s.slot.kind.is_gesso()) {
        let Some(pot) = coat.event.pot.as_ref().filter(|_| step.slot.face != Some(Face::Back)) else { continue };
        match counts.iter_mut().find(|(id, _)| *id == pot) {
            Some((_, n)) => *n += 1,
            None => counts.push((pot, 1)),
        }
    }
    counts.iter().rev().max_by_key(|(_, n)| *n).map(|(pot, _)| (*pot).clone())
}

/// Hours from the last act of the one kind before the first of the other to that, as the hands met them.
fn hours_between(panel: &Panel, before: fn(StageKind) -> bool, after: fn(StageKind) -> bool) -> Option<f64> {
    let acts: Vec<(StageKind, Moment, Moment)> = standing_steps(panel)
        .filter(|(s, _)| before(s.slot.kind) || after(s.slot.kind))
        .map(|(s, l)| (s.slot.kind, l.began_at.unwrap_or(l.done_at), l.done_at))
        .collect();
    let last_before = acts.iter().filter(|(kind, ..)| before(*kind)).map(|a| a.2).max_by_key(|m| m.wall)?;
    let next = acts.iter().filter(|(kind, begun, _)| after(*kind) && begun.wall >= last_before.wall);
    Some(elapsed(last_before, next.map(|a| a.1).min_by_key(|m| m.wall)?).hours())
}

/// What was taken out of pots for that panel.
pub fn collect_pot_uses(panel: &Panel) -> Vec<PotUse> {
    // Each line of a story has its pot's name anew; here they share one.
    let mut pots: Vec<&Id> = Vec::new();
    let uses = panel_pot_uses(panel).map(|(pot, at, kind)| {
        let known = pots.iter().find(|known| **known == pot).copied();
        if known.is_none() {
            pots.push(pot);
        }
        PotUse { pot: known.unwrap_or(pot).clone(), at, gesso: kind.is_gesso() }
    });
    uses.collect()
}
