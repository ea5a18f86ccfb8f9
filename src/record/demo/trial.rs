//! The trial of an invented studio: eight jars of two strengths by two waits on sixteen boards, laid and looked at.
//!
//! On its boards strong glue makes a harder ground and the wait does nothing; that is invented like all of it.

use super::calendar::{DAY_S, next_working_time, studio_moment};
use super::rng::Rng;
use crate::craft::materials::Support;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::shipped::{DEFAULT_RECIPE_NAME, find_shipped_recipe};
use crate::record::journal::next_seq;
use crate::record::shelf::{Drawer, free_id};
use crate::units::{Entry, Id, Mass, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelEvent, StageKind};
use crate::work::panel::ground_test::PencilGrade;
use crate::work::panel::inspection::Inspection;
use crate::work::panel::story::PanelStory;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
use crate::work::pot::story::PotStory;
use crate::work::trial::amounts::{compute_start_delays, compute_trial_amounts};
use crate::work::trial::event::{TrialEvent, TrialOpened};
use crate::work::trial::factor::FactorKey;
use crate::work::trial::lots::draw_lots;
use crate::work::trial::openings::{board_opened, jar_openings};
use crate::work::trial::questions::TrialQuestion;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The pencil of weak glue, in steps above 6B, in tenths; and what strong glue adds.
const SOFT_TENTHS: i64 = 68;
const STRONG_TENTHS: i64 = 22;
/// Jars, boards and readings differ by up to so much, tenths of a grade.
const JAR_TENTHS: i64 = 7;
const BOARD_TENTHS: i64 = 7;
const READING_TENTHS: i64 = 9;

/// The trial, its pots and its boards.
#[derive(Debug)]
pub(super) struct InventedTrial {
    pub(super) opened: Entry<TrialEvent>,
    pub(super) pots: Vec<PotStory>,
    pub(super) boards: Vec<PanelStory>,
}

/// Invents the trial, begun on a working morning after `from`; its ids are none of those taken.
///
/// # Errors
/// Why the rules refuse an invented fact, in words.
pub(super) fn invent_trial(
    seed: u64,
    from: Stamp,
    taken_pots: &mut BTreeSet<Id>,
    taken_panels: &mut BTreeSet<Id>,
) -> Result<InventedTrial, String> {
    let begin = next_working_time(from, Span::from_h(9.0));
    let design = TrialQuestion::Strength.design();
    let nothing = || "the trial has no recipe".to_owned();
    let trial = TrialOpened {
        id: Id::new("strength").ok_or_else(nothing)?,
        label: "Strength".to_owned(),
        question: Some(TrialQuestion::Strength),
        lots: draw_lots(&design, seed),
        design,
        size: TrialQuestion::Strength.board(),
        support: Support::BirchPlywood,
        recipe: Arc::new(find_shipped_recipe(DEFAULT_RECIPE_NAME).ok_or_else(nothing)?),
        balance: Mass::from_g(1.0),
        seed,
        first_number: 1,
    };
    let gesso_day = next_working_time(begin + Span::from_s(2 * DAY_S), Span::from_h(9.0));
    let pots = invent_pots(&trial, begin, gesso_day, taken_pots)?;
    let boards = invent_boards(&trial, begin, gesso_day, &pots, taken_panels)?;
    let event = TrialEvent::Opened(Box::new(trial));
    Ok(InventedTrial { opened: entry(0, begin, event), pots, boards })
}

fn entry<E>(seq: u64, at: Stamp, event: E) -> Entry<E> {
    Entry { seq, at, written: studio_moment(at), raw_wall: None, replaces: None, event }
}

fn take_id(label: &str, drawer: Drawer, taken: &mut BTreeSet<Id>) -> Id {
    let id = free_id(label, drawer, taken);
    taken.insert(id.clone());
    id
}

/// The stock is soaked overnight and thinned on the morning of the gesso; in the evening all is used up.
fn invent_pots(
    trial: &TrialOpened,
    begin: Stamp,
    gesso_day: Stamp,
    taken: &mut BTreeSet<Id>,
) -> Result<Vec<PotStory>, String> {
    let amounts = compute_trial_amounts(trial, &BulkDensities::TABLE).map_err(to_words)?;
    let mut pots: Vec<PotStory> = Vec::new();
    for (n, jar) in (0..).zip(jar_openings(trial, &amounts)) {
        let id = take_id(&jar.label, Drawer::Pots, taken);
        let stock = pots.first().map(|stock| stock.pot().opened().id.clone());
        let opened = jar.into_opened(trial, id, stock);
        let evening = gesso_day + Span::from_h(8.0);
        let soaked = begin + Span::from_min(10.0);
        let min = |from: Stamp, n: i64| from + Span::from_s(60 * n);
        let made = begin + Span::from_h(9.5);
        let acts: Vec<(PotAct, Stamp)> = match (n, opened.kind) {
            (0, _) => vec![
                (PotAct::Soak, soaked),
                (PotAct::Melt, min(made, -20)),
                (PotAct::Liquid, min(made, -8)),
                (PotAct::made_as_asked(), made),
                (PotAct::Empty, evening),
            ],
            (_, PotKind::Size) => vec![(PotAct::made_as_asked(), min(made, 10)), (PotAct::Empty, evening)],
            (n, PotKind::Gesso) => vec![(PotAct::made_as_asked(), min(gesso_day, 6 * n)), (PotAct::Empty, evening)],
        };
        let at = match (n, opened.kind) {
            (0, _) => begin,
            (_, PotKind::Size) => min(made, 5),
            (n, PotKind::Gesso) => min(gesso_day, 6 * n - 4),
        };
        pots.push(tell_pot(opened, at, &acts)?);
    }
    Ok(pots)
}

fn tell_pot(opened: PotOpened, at: Stamp, acts: &[(PotAct, Stamp)]) -> Result<PotStory, String> {
    let mut story = PotStory::fold(vec![entry(0, at, PotEvent::Opened(Box::new(opened)))]).map_err(to_words)?;
    for (act, at) in acts {
        let event = story.build_event(act).map_err(to_words)?;
        story = story.with_entry(entry(next_seq(story.entries()), *at, event)).map_err(to_words)?;
    }
    Ok(story)
}

fn invent_boards(
    trial: &TrialOpened,
    begin: Stamp,
    gesso_day: Stamp,
    pots: &[PotStory],
    taken: &mut BTreeSet<Id>,
) -> Result<Vec<PanelStory>, String> {
    let delays = compute_start_delays(trial);
    let mut chance = Rng::new(trial.seed, "trial jars");
    let jars: Vec<i64> = trial.lots.jars.iter().map(|_| chance.draw_int(-JAR_TENTHS, JAR_TENTHS)).collect();
    let mut boards = Vec::new();
    for (run, delay) in (1..).zip(delays) {
        let id = take_id(&trial.board_label(run), Drawer::Panels, taken);
        let at = begin + Span::from_s(i64::from(run) * 30);
        let opened = PanelEvent::Opened(Box::new(board_opened(trial, run, id)));
        let story = PanelStory::fold(vec![entry(0, at, opened)]).map_err(to_words)?;
        let mut chance = Rng::new(trial.seed, &trial.board_label(run));
        let gesso = gesso_day + Span::from_h(1.5) + delay + Span::from_s(i64::from(run) * 20);
        let story = lay_board(story, begin, gesso, pots, &mut chance)?;
        boards.push(look_over(trial, run, story, &jars, &mut chance)?);
    }
    Ok(boards)
}

/// Every act of a board until none is left.
fn lay_board(
    mut story: PanelStory,
    begin: Stamp,
    gesso: Stamp,
    pots: &[PotStory],
    chance: &mut Rng,
) -> Result<PanelStory, String> {
    let recipe = story.panel().recipe().clone();
    let mut coat_at = gesso;
    let mut last = begin;
    while let Some(stage) = story.panel().stage_at_hand() {
        let at = match stage.kind {
            StageKind::Prepare => last + Span::from_min(20.0),
            StageKind::Size => (begin + Span::from_h(10.0)).max(last + Span::from_min(recipe.size.wait_min / 2.0)),
            StageKind::Stipple | StageKind::Coat => coat_at,
            StageKind::Scrape => last + Span::from_h(3.0),
            StageKind::Cloth
            | StageKind::Cure
            | StageKind::Dry
            | StageKind::Polish
            | StageKind::Check
            | StageKind::Rest
            | StageKind::Seal
            | StageKind::Sand => last + Span::from_min(2.0),
        };
        last = at + chance.draw_seconds(0, 25);
        if stage.kind.is_gesso() {
            coat_at = last + Span::from_min(recipe.coats.wait_min);
        }
        let pot = find_pot(&story, stage.kind, pots);
        story = record(&story, &PanelAct::Done { direction: None, pot, map: None, by: None }, last)?;
    }
    Ok(story)
}

/// The jar of a board, or the size for the wood.
fn find_pot(story: &PanelStory, kind: StageKind, pots: &[PotStory]) -> Option<Id> {
    let wants = kind.row().pot?;
    let jar = match wants {
        PotKind::Size => 0,
        PotKind::Gesso => story.panel().opened().trial.as_ref()?.jar,
    };
    let fits = |pot: &&PotStory| {
        let opened = pot.pot().opened();
        opened.kind == wants && opened.trial.as_ref().is_some_and(|t| t.jar == jar)
    };
    pots.iter().rev().find(fits).map(|pot| pot.pot().opened().id.clone())
}

/// A week later three pencils tell how hard each board is.
fn look_over(
    trial: &TrialOpened,
    run: u32,
    story: PanelStory,
    jars: &[i64],
    chance: &mut Rng,
) -> Result<PanelStory, String> {
    let glue = trial.design.factors.iter().find(|f| f.key == FactorKey::Glue);
    let strong = glue.and_then(|factor| trial.level_of_board(factor, run)).unwrap_or(0) as i64;
    let jar = story.panel().opened().trial.as_ref().map_or(0, |t| t.jar);
    let of_jar = jars.get(jar.saturating_sub(1) as usize).copied().unwrap_or(0);
    let middle = SOFT_TENTHS + STRONG_TENTHS * strong + of_jar + chance.draw_int(-BOARD_TENTHS, BOARD_TENTHS);
    let read = |chance: &mut Rng| {
        let tenths = middle + chance.draw_int(-READING_TENTHS, READING_TENTHS);
        PencilGrade::ALL.get(((tenths + 5) / 10).clamp(0, 16) as usize).copied()
    };
    let pencil: Vec<PencilGrade> = (0..3).filter_map(|_| read(chance)).collect();
    let seen = Inspection { pencil, ..Inspection::default() };
    let at = story.last_fact_at() + Span::from_s(7 * DAY_S) + Span::from_s(i64::from(run) * 120);
    record(&story, &PanelAct::Inspect(Box::new(seen)), at)
}

fn record(story: &PanelStory, act: &PanelAct, at: Stamp) -> Result<PanelStory, String> {
    let event = story.build_event(act, studio_moment(at)).map_err(to_words)?;
    story.with_entry(entry(next_seq(story.entries()), at, event)).map_err(to_words)
}

fn to_words(refusal: impl std::fmt::Display) -> String {
    refusal.to_string()
}
