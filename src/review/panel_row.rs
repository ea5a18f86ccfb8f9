//! One story as one flat row: everything a comparison holds against other panels, in plain numbers and words.
//!
//! It is small, so that thousands of stories can be compared while each is read only once. Absent on purpose: what the
//! records of pots and of the air say (`around` fills that in).

use super::pots_and_air::ground_from_recipe;
use crate::craft::materials::Filler;
use crate::craft::recipe::SealMaterial;
use crate::stats::median;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::advice::inspections::story_inspections;
use crate::work::panel::event::{Face, StageKind};
use crate::work::panel::fold::{LaidCoat, Panel, PlanStep, StepState};
use crate::work::panel::inspection::Inspection;
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::panel::wait::{IntervalJudgement, elapsed};
use std::collections::BTreeMap;

/// The room's air from the first to the last coat.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AirSummary {
    /// Mean temperature, C.
    pub temp_mean_c: Option<f64>,
    /// Lowest relative humidity, per cent.
    pub rh_min_pct: Option<f64>,
    /// Highest relative humidity, per cent.
    pub rh_max_pct: Option<f64>,
}

/// A pot something was taken from.
#[derive(Debug, Clone, PartialEq)]
pub struct PotUse {
    /// Which.
    pub pot: Id,
    /// When.
    pub at: Stamp,
    /// It was gesso, not size.
    pub gesso: bool,
}

/// What came of a panel, as far as it was looked at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// Whether it was looked over at all.
    pub inspected: bool,
    /// Days from the last act done on it to the last look.
    pub age_days: Option<f64>,
    /// Cracks seen at the last look that tells of any.
    pub cracks: Option<u32>,
    /// The worst grade of those, 0 to 4.
    pub crack_grade: Option<u8>,
    /// Pinholes at the last look that tells of them.
    pub pinholes: Option<u32>,
    /// Bow at the last look that tells of it, mm.
    pub bow_mm: Option<f64>,
    /// The same in per cent of the span.
    pub bow_pct: Option<f64>,
    /// Lifting at the last look that tells of it, mm.
    pub lift_mm: Option<f64>,
    /// Mould was ever seen.
    pub mould: bool,
    /// Sound at the last look that says so or otherwise, made after the last act; a crack counts whenever it was seen.
    /// Nothing where no look says.
    pub sound: Option<bool>,
    /// Every look that says sound or not: age in days (below 0 before the last act), and whether cracked, whether sound.
    pub verdicts: Vec<Verdict>,
}

/// What one look says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    /// Days from the last act done.
    pub age_days: f64,
    /// A crack was seen.
    pub cracked: bool,
    /// Nothing was wrong.
    pub sound: bool,
}

/// One story as one row.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelRow {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it, as typed.
    pub label: String,
    /// The name of its recipe.
    pub recipe: String,
    /// The paint it was made for.
    pub paint: &'static str,
    /// The pots its standing coats came from, in the order of the work.
    pub pots: Vec<Id>,
    /// What the board is made of.
    pub support: &'static str,
    /// Which way its grain runs.
    pub grain: &'static str,
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
    /// How it was sealed: shellac, glue, or none.
    pub sealed: &'static str,
    /// Minutes of the acts whose beginning was recorded; nothing where none was.
    pub hands_on_min: Option<f64>,
    /// Hours from the opening to the last act.
    pub elapsed_h: Option<f64>,
    /// The most melts of any of its pots.
    pub melts: Option<u32>,
    /// The hottest any of its pots was read, C.
    pub pot_max_c: Option<f64>,
    /// The most water any of its pots had lost, per cent.
    pub water_lost_pct: Option<f64>,
    /// Dry glue to 100 g of filler, g: the strongest of its pots; where no pot tells, what its recipe gives.
    pub glue_per_100g_filler_g: Option<f64>,
    /// Pigment volume concentration, per cent: the lowest of its pots; where no pot tells, what its recipe gives.
    pub pvc_pct: Option<f64>,
    /// The air from the first to the last coat.
    pub air: AirSummary,
    /// Every standing coat whose pot was recorded.
    pub pot_uses: Vec<PotUse>,
    /// The times of its first and last gesso coat.
    pub coating_period: Option<(Stamp, Stamp)>,
    /// The first act, edges broken and faces degreased, was left out.
    pub unprepared: bool,
    /// Where its recipe says that gesso is overheated, C.
    pub overheat_c: f64,
    /// What came of it.
    pub outcome: Outcome,
    /// The faults ever seen on it, by their names in `causes`.
    pub faults: Vec<&'static str>,
    /// What of its record the craft connects with its faults.
    pub possible_causes: Vec<super::possible_causes::PossibleCause>,
}

/// The row of a story as it stands at that moment. What pots and the air tell is filled in by
/// [`Around::fill`](super::around::Around::fill); until then the ground is that of the recipe, whose loose powders weigh
/// `loose_g_per_ml` or what the table says.
pub fn row_from_story(story: &PanelStory, loose_g_per_ml: &[(Filler, f64)], now: Moment) -> PanelRow {
    let panel = story.panel();
    let opened = panel.opened();
    let count = |kind: StageKind, face: Face| {
        standing_steps(panel).filter(|(s, _)| (s.slot.kind, s.slot.face) == (kind, Some(face))).count() as u32
    };
    let rounds = |kind: StageKind| standing_steps(panel).filter(|(s, _)| s.slot.kind == kind).count() as u32;
    let waits = CoatIntervals::from_panel(panel);
    let judged = coat_judgements(panel);
    let among =
        |has: fn(&IntervalJudgement) -> bool| judged.iter().filter(|js| js.iter().any(|j| has(j))).count() as u32;
    let pots: Vec<Id> = panel.pot_ids().into_iter().cloned().collect();
    let ground = ground_from_recipe(panel.recipe(), loose_g_per_ml);
    let coats: Vec<Stamp> =
        standing_steps(panel).filter(|(s, _)| is_gesso(s.slot.kind)).map(|(_, l)| l.done_at.wall).collect();
    let dull = standing_steps(panel)
        .filter(|(s, _)| is_gesso(s.slot.kind))
        .filter_map(|(_, l)| Some(elapsed(l.done_at, l.dull_at?).minutes()));
    let mut facts = PanelRow {
        id: opened.id.clone(),
        label: opened.label.clone(),
        recipe: opened.recipe.name.clone(),
        paint: opened.paint.name(),
        support: opened.support.name(),
        grain: opened.grain.name(),
        size_mm: (opened.size.width.mm(), opened.size.height.mm(), opened.size.thickness.map(|t| t.mm())),
        opened_at: panel.opened_at().wall,
        finished: panel.phase_at(now) == PanelPhase::Finished,
        given_up: panel.abandon_reason().map(str::to_owned),
        size_coats: (count(StageKind::Size, Face::Front), count(StageKind::Size, Face::Back)),
        cloth: rounds(StageKind::Cloth) > 0,
        stipples: rounds(StageKind::Stipple),
        coats_front: panel.count_coats(Face::Front) as u32,
        coats_back: panel.count_coats(Face::Back) as u32,
        wait_median_min: median(&waits.minutes),
        wait_min_min: waits.minutes.iter().copied().reduce(f64::min),
        wait_max_min: waits.minutes.iter().copied().reduce(f64::max),
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
        sealed: if rounds(StageKind::Seal) > 0 { opened.recipe.seal.with.name() } else { SealMaterial::None.name() },
        hands_on_min: total_hands_on_min(panel),
        elapsed_h: last_act_moment(panel).map(|m| elapsed(panel.opened_at(), m).hours()),
        melts: None,
        pot_max_c: None,
        water_lost_pct: None,
        glue_per_100g_filler_g: ground.map(|g| g.glue_per_100g_filler_g),
        pvc_pct: ground.map(|g| g.pvc_pct),
        air: AirSummary::default(),
        pot_uses: collect_pot_uses(panel),
        coating_period: coats.iter().min().copied().zip(coats.iter().max().copied()),
        unprepared: panel
            .steps()
            .iter()
            .any(|s| s.slot.kind == StageKind::Prepare && matches!(s.state, StepState::Skipped(_))),
        overheat_c: panel.recipe().gesso.overheat_c,
        faults: super::possible_causes::faults_seen(story),
        outcome: outcome_from_story(story),
        pots,
        possible_causes: Vec::new(),
    };
    facts.possible_causes = super::possible_causes::possible_causes(&facts);
    facts
}

/// Every standing act with its place, in the order of the work.
pub fn standing_steps(panel: &Panel) -> impl Iterator<Item = (&PlanStep, &LaidCoat)> {
    panel.steps().iter().filter_map(|s| Some((s, s.laid_coat()?)))
}

/// Whether an act of that kind lays gesso.
pub const fn is_gesso(kind: StageKind) -> bool {
    matches!(kind, StageKind::Stipple | StageKind::Coat)
}

/// The last standing act.
pub fn last_act_moment(panel: &Panel) -> Option<Moment> {
    standing_steps(panel).map(|(_, l)| l.done_at).max_by_key(|m| m.wall)
}

/// Minutes from each gesso coat's done to the next one's start (or done) on its face.
struct CoatIntervals {
    minutes: Vec<f64>,
}

impl CoatIntervals {
    fn from_panel(panel: &Panel) -> CoatIntervals {
        let mut before: BTreeMap<Option<Face>, Moment> = BTreeMap::new();
        let mut min = Vec::new();
        for (step, coat) in standing_steps(panel).filter(|(s, _)| is_gesso(s.slot.kind)) {
            let begins = coat.began_at.unwrap_or(coat.done_at);
            if let Some(last) = before.insert(step.slot.face, coat.done_at) {
                min.push(elapsed(last, begins).minutes());
            }
        }
        CoatIntervals { minutes: min }
    }
}

/// How each standing coat (size, stipple, coat, seal) stood to its wait: at its start, and when it was done.
fn coat_judgements(panel: &Panel) -> Vec<Vec<&IntervalJudgement>> {
    let coat =
        |kind: StageKind| matches!(kind, StageKind::Size | StageKind::Stipple | StageKind::Coat | StageKind::Seal);
    standing_steps(panel)
        .filter(|(s, _)| coat(s.slot.kind))
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

/// Every coat with a pot, attempts done again too: those took from the pot as well.
pub fn collect_pot_uses(panel: &Panel) -> Vec<PotUse> {
    let acts = panel.steps().iter().flat_map(|s| {
        s.laid_coat()
            .into_iter()
            .chain(s.failed_attempts.iter().map(|(laid, _)| laid))
            .map(move |laid| (s.slot.kind, laid))
    });
    acts.filter_map(|(kind, laid)| {
        Some(PotUse { pot: laid.event.pot.clone()?, at: laid.done_at.wall, gesso: is_gesso(kind) })
    })
    .collect()
}

fn span_days(span: Span) -> f64 {
    span.hours() / 24.0
}

/// What the looks say. The age of a ground counts from the last act done on the panel.
fn outcome_from_story(story: &PanelStory) -> Outcome {
    let looks = story_inspections(story);
    let panel = story.panel();
    let from = last_act_moment(panel).map_or(panel.opened_at().wall, |m| m.wall);
    let age = |at: Stamp| span_days(at - from);
    let last = |of: &dyn Fn(&Inspection) -> Option<f64>| looks.iter().rev().find_map(|(_, seen)| of(seen));
    let cracks =
        |seen: &Inspection| seen.has_crack_finding().then(|| seen.cracks.iter().filter(|c| c.grade > 0).count() as u32);
    let grade =
        |seen: &Inspection| seen.has_crack_finding().then(|| seen.cracks.iter().map(|c| c.grade).max().unwrap_or(0));
    let verdict = |(at, seen): &(Stamp, &Inspection)| {
        let sound = seen.verdict()?;
        Some(Verdict { age_days: age(*at), cracked: seen.is_cracked(), sound })
    };
    let verdicts: Vec<Verdict> = looks.iter().filter_map(verdict).collect();
    let said = verdicts.iter().rev().find(|v| !v.sound || v.age_days >= 0.0);
    let cracked = verdicts.iter().any(|v| v.cracked);
    Outcome {
        inspected: !looks.is_empty(),
        age_days: looks.last().map(|(at, _)| age(*at)),
        cracks: looks.iter().rev().find_map(|(_, seen)| cracks(seen)),
        crack_grade: looks.iter().rev().find_map(|(_, seen)| grade(seen)),
        pinholes: looks.iter().rev().find_map(|(_, seen)| seen.pinholes),
        bow_mm: last(&|s| s.bow.map(|b| b.sag.mm())),
        bow_pct: last(&|s| s.bow.map(|b| b.pct_of_span())),
        lift_mm: last(&|s| s.lift.map(|l| l.mm())),
        mould: looks.iter().any(|(_, seen)| seen.mould),
        sound: if cracked { Some(false) } else { said.map(|v| v.sound) },
        verdicts,
    }
}
