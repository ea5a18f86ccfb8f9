//! A bench sheet: what some panels still ask for, act by act, for paper. The acts of all are merged into one list, so that
//! boards that go through the hands together stand side by side.

use crate::craft::recipe::ReadySign;
use crate::work::panel::event::{Face, Stage, StageKind};
use crate::work::panel::stage_kind::FaceMention;
use crate::work::panel::state::Panel;
use std::fmt;

/// So many panels stand side by side.
pub const SHEET_COLUMNS: usize = 4;

/// One line of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetRow {
    /// What follows may be of another day.
    Day,
    /// An act, in the order of the panels; none where a panel does not ask for it.
    Act {
        /// As the first panel has it that asks for it.
        stage: Stage,
        /// As each panel has it.
        cells: Vec<Option<Stage>>,
        /// The least and the most minutes before the next act, where a wait follows.
        wait_min: Option<(f64, f64)>,
        /// The gloss ends that wait.
        is_watched: bool,
    },
    /// A cure, a drying or a rest, with its least and most hours.
    Wait {
        /// Which.
        kind: StageKind,
        /// Hours.
        hours: (f64, f64),
    },
}

/// The rows for those panels, at most [`SHEET_COLUMNS`] of them.
pub fn build_sheet_rows(panels: &[&Panel]) -> Vec<SheetRow> {
    let mut merged: Vec<(Stage, Vec<Option<Stage>>)> = Vec::new();
    for (column, panel) in panels.iter().enumerate() {
        let mut from = 0;
        for stage in open_stages(panel) {
            let found = merged.iter().skip(from).position(|(other, _)| other.is_same_slot(&stage));
            let at = found.map_or(from, |ahead| from + ahead);
            if found.is_none() {
                merged.insert(at, (stage, vec![None; panels.len()]));
            }
            merged[at].1[column] = Some(stage);
            from = at + 1;
        }
    }
    let mut rows = vec![SheetRow::Day];
    for (stage, cells) in &merged {
        let asking = || panels.iter().zip(cells).filter(|(_, cell)| cell.is_some()).map(|(panel, _)| *panel);
        if stage.kind.ends_by_itself() {
            let hours = extremes(asking().map(|panel| wait_hours(panel, stage.kind))).unwrap_or_default();
            rows.push(SheetRow::Wait { kind: stage.kind, hours });
            // After a drying of minutes the work goes on.
            if hours.1 >= 1.0 {
                rows.push(SheetRow::Day);
            }
            continue;
        }
        let wait_min = extremes(asking().filter_map(|panel| wait_minutes(panel, stage)));
        let is_watched = stage.kind.is_gesso() && asking().all(|p| p.recipe().coats.ready_sign == ReadySign::Dull);
        rows.push(SheetRow::Act { stage: *stage, cells: cells.clone(), wait_min, is_watched });
    }
    if matches!(rows.last(), Some(SheetRow::Day)) {
        rows.pop();
    }
    rows
}

/// The recipe's minutes between that act and the next of the panel, where it is they that count.
fn wait_minutes(panel: &Panel, stage: &Stage) -> Option<f64> {
    let next = open_stages(panel).into_iter().skip_while(|other| !other.is_same_slot(stage)).nth(1)?;
    let counts = !next.kind.ends_by_itself() && !is_same_coat(stage, &next);
    panel.recipe_wait(stage.kind).filter(|_| counts).map(|wait| wait.minutes())
}

/// Both faces of one coat, between which nobody waits.
fn is_same_coat(one: &Stage, next: &Stage) -> bool {
    one.kind.row().spans_faces && (one.kind, one.number) == (next.kind, next.number)
}

fn open_stages(panel: &Panel) -> Vec<Stage> {
    let open = panel.stages().zip(panel.steps()).filter(|(_, step)| step.is_open());
    let stages: Vec<Stage> = open.map(|(stage, _)| stage).collect();
    // A wait behind which nothing comes is nobody's business at the bench.
    let last = stages.iter().rposition(|stage| !stage.kind.ends_by_itself()).map_or(0, |last| last + 1);
    stages.into_iter().take(last).collect()
}

fn wait_hours(panel: &Panel, kind: StageKind) -> f64 {
    let recipe = panel.recipe();
    match kind {
        StageKind::Cure => recipe.size.cure_h.max(recipe.cloth.as_ref().map_or(0.0, |cloth| cloth.rest_h)),
        StageKind::Dry => recipe.coats.dry_min / 60.0,
        StageKind::Rest => recipe.rest.hours,
        StageKind::Prepare
        | StageKind::Size
        | StageKind::Cloth
        | StageKind::Stipple
        | StageKind::Coat
        | StageKind::Scrape
        | StageKind::Polish
        | StageKind::Check
        | StageKind::Seal
        | StageKind::Sand => 0.0,
    }
}

fn extremes(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |range, value| {
        let (least, most) = range.unwrap_or((value, value));
        Some((value.min(least), value.max(most)))
    })
}

/// An act as a sheet and a typed line name it: `prepare`, `size 1 back`, `coat 3`, `coat 2 back`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StageName {
    /// What.
    pub kind: StageKind,
    /// Which; without it the next.
    pub number: Option<u32>,
    /// On which face; without it whichever is next.
    pub face: Option<Face>,
}

impl StageName {
    /// The name of a stage; a number only where there is more than one.
    pub fn from_stage(stage: &Stage) -> StageName {
        let row = stage.kind.row();
        let number = stage.number.filter(|_| stage.kind.is_round() || stage.total.is_some_and(|of| of > 1));
        let face = match row.face_mention {
            FaceMention::Always => stage.face,
            FaceMention::Back => stage.face.filter(|face| *face == Face::Back),
            FaceMention::Never => None,
        };
        StageName { kind: stage.kind, number, face }
    }

    /// Reads a name at the beginning of those words, and tells how many of them it takes. None if the first is no stage.
    pub fn parse(words: &[&str]) -> Option<(StageName, usize)> {
        let kind = StageKind::from_name(words.first()?)?;
        let mut name = StageName { kind, number: None, face: None };
        let mut taken = 1;
        for word in words.iter().skip(1) {
            if let (None, None, true) = (name.number, name.face, kind.is_counted())
                && let Some(number) = word.parse().ok().filter(|_| word.len() <= 3)
            {
                name.number = Some(number);
            } else if let (None, Some(face)) = (name.face, Face::from_name(word)) {
                name.face = Some(face);
            } else {
                break;
            }
            taken += 1;
        }
        // The front goes without saying.
        if name.face.is_none() && kind.row().face_mention == FaceMention::Back {
            name.face = Some(Face::Front);
        }
        Some((name, taken))
    }

    /// Whether that stage can be meant.
    pub fn fits(&self, stage: &Stage) -> bool {
        self.kind == stage.kind
            && self.number.is_none_or(|number| stage.number == Some(number))
            && self.face.is_none_or(|face| stage.face == Some(face))
    }
}

impl fmt::Display for StageName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.kind.name())?;
        if let Some(number) = self.number {
            write!(f, " {number}")?;
        }
        match (self.kind.row().face_mention, self.face) {
            (FaceMention::Back, Some(Face::Front)) | (_, None) => Ok(()),
            (_, Some(face)) => write!(f, " {}", face.name()),
        }
    }
}
