//! How far the boards of a trial have come, and what was laid otherwise than it was drawn.

use crate::stats::median;
use crate::text::format_number;
use crate::units::{Id, Moment};
use crate::work::panel::event::{Face, StageKind};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::state::{LaidCoat, Panel};
use crate::work::panel::story::PanelStory;
use crate::work::pot::event::PotOpened;
use crate::work::story::jar_letter;
use crate::work::trial::event::TrialOpened;
use crate::work::trial::factor::FactorKey;

/// A wait this part of what was drawn off is told as a departure (assumed).
const WAIT_OFF: f64 = 0.25;

/// Where one board of a trial stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoardProgress {
    /// It was never opened, or its story cannot be read.
    Missing,
    /// Something is still to be laid.
    Laying,
    /// It was given up.
    GivenUp,
    /// It is finished.
    Finished,
}

/// A board of a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardStanding {
    /// Its number in the order drawn, from 1.
    pub run: u32,
    /// What is written on it.
    pub label: String,
    /// What it is filed under, where it is there.
    pub id: Option<Id>,
    /// Its jar, from 1.
    pub jar: u32,
    /// How far it has come.
    pub progress: BoardProgress,
    /// What was laid otherwise than it was drawn, a sentence each.
    pub departures: Vec<String>,
}

/// Where the board of that run stands at that moment. `jars` are the pots of this trial.
pub fn stand_board(
    trial: &TrialOpened,
    run: u32,
    story: Option<&PanelStory>,
    jars: &[PotOpened],
    now: Moment,
) -> BoardStanding {
    let label = trial.board_label(run);
    let jar = trial.lots.boards.get(run.saturating_sub(1) as usize).map_or(0, |b| b.jar);
    let Some(panel) = story.map(PanelStory::panel) else {
        return BoardStanding { run, label, id: None, jar, progress: BoardProgress::Missing, departures: Vec::new() };
    };
    let progress = match panel.phase_at(now) {
        PanelPhase::Abandoned => BoardProgress::GivenUp,
        PanelPhase::Finished => BoardProgress::Finished,
        _ => BoardProgress::Laying,
    };
    let is_laid = matches!(progress, BoardProgress::Finished);
    let departures = [
        jar_departure(panel, jar, jars, &label),
        wait_departure(trial, panel, &label),
        coats_departure(panel, &label).filter(|_| is_laid),
        first_departure(trial, panel, &label),
    ];
    BoardStanding {
        run,
        label,
        id: Some(panel.opened().id.clone()),
        jar,
        progress,
        departures: departures.into_iter().flatten().collect(),
    }
}

/// The coats of gesso on the front, in the order laid.
fn gesso_coats(panel: &Panel) -> Vec<(StageKind, &LaidCoat)> {
    let front = panel.steps().iter().filter(|s| s.slot.kind.is_gesso() && s.slot.face != Some(Face::Back));
    let mut coats: Vec<_> = front.filter_map(|s| Some((s.slot.kind, s.laid_coat()?))).collect();
    coats.sort_by_key(|(_, coat)| coat.done_at.wall);
    coats
}

fn jar_departure(panel: &Panel, jar: u32, jars: &[PotOpened], label: &str) -> Option<String> {
    let own = |id: &Id| jars.iter().any(|p| p.id == *id && p.trial.as_ref().is_some_and(|t| t.jar == jar));
    let coats = gesso_coats(panel);
    let named: Vec<&Id> = coats.iter().filter_map(|(_, coat)| coat.event.pot.as_ref()).collect();
    let strange: Vec<&Id> = named.iter().copied().filter(|id| !own(id)).collect();
    let first = strange.first()?;
    let of = jars.iter().find(|p| p.id == **first).map_or_else(|| first.to_string(), |p| p.label.clone());
    Some(format!(
        "{label} had {} of {} coats from {of} and not from pot {}; it is counted as drawn.",
        strange.len(),
        coats.len(),
        jar_letter(jar).unwrap_or('?')
    ))
}

fn wait_departure(trial: &TrialOpened, panel: &Panel, label: &str) -> Option<String> {
    trial.design.factors.iter().find(|f| f.key == FactorKey::Wait)?;
    let drawn = panel.recipe().coats.wait_min;
    let coats = gesso_coats(panel);
    let waits: Vec<f64> = coats.windows(2).map(|w| (w[1].1.done_at.wall - w[0].1.done_at.wall).minutes()).collect();
    let laid = median(&waits)?;
    ((laid - drawn).abs() > WAIT_OFF * drawn.max(1.0)).then(|| {
        format!(
            "{label} waited {} min between coats where {} were drawn; it is counted as drawn.",
            format_number(laid, 0),
            format_number(drawn, 0)
        )
    })
}

fn coats_departure(panel: &Panel, label: &str) -> Option<String> {
    let (laid, drawn) = (panel.count_coats(Face::Front), panel.recipe().coats.front as usize);
    (laid != drawn).then(|| format!("{label} has {laid} coats where {drawn} were drawn; it is counted as drawn."))
}

fn first_departure(trial: &TrialOpened, panel: &Panel, label: &str) -> Option<String> {
    trial.design.factors.iter().find(|f| f.key == FactorKey::First)?;
    let drawn = panel.recipe().coats.first;
    let laid = gesso_coats(panel).iter().find_map(|(_, coat)| coat.event.direction)?;
    (laid != drawn)
        .then(|| format!("{label} was begun {} where {} was drawn; it is counted as drawn.", laid.name(), drawn.name()))
}
