//! What is known beside the panels at hand: the room's air, and what earlier panels teach.
//!
//! Read from the twenty newest stories, aside from the journals at hand and without their lock, so that nobody waits
//! for it.

use super::{Bench, InspectionReminders, PotSurvey, Snapshot};
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::consumption::OwnConsumption;
use crate::record::journal;
use crate::record::shelf::{Drawer, Shelf};
use crate::units::Id;
use crate::work::air::Air;
use crate::work::learn::{LearnedTimes, STORIES_MAX};
use crate::work::panel::event::PanelEvent;
use crate::work::panel::story::PanelStory;
use crate::work::plan::calendar::kept::KeptPlan;
use crate::work::pot::fold::Pot;
use std::sync::Arc;

/// The room and what was learned in it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StudioKnowledge {
    /// The readings of the air.
    pub air: Arc<Air>,
    /// What the newest panels teach.
    pub learned: LearnedTimes,
    /// The plan that is kept, where one is and can be read.
    pub kept_plan: Option<Arc<KeptPlan>>,
    /// Which finished panels are to be looked over.
    pub reminders: InspectionReminders,
    /// What the maker's own pots say a square metre takes.
    pub consumption: Option<OwnConsumption>,
}

impl StudioKnowledge {
    /// Reads it, save the inspections due, which whoever reads it keeps (`InspectionReminders::refresh`). What cannot be read is left out: it costs an estimate and nothing else.
    pub fn load(shelf: &Shelf) -> StudioKnowledge {
        let mut bench = Bench::new(shelf.clone());
        let air = bench.load_air();
        let kept_plan = bench.load_kept_plan().ok().flatten().map(Arc::new);
        let learned = load_learned_times(shelf, &air);
        StudioKnowledge { air, learned, kept_plan, ..StudioKnowledge::default() }
    }

    /// The same, with what pots that were weighed say a square metre takes: of the newest panels, as everything here.
    #[must_use]
    pub fn with_own_consumption(self, shelf: &Shelf, bulk: BulkDensities) -> StudioKnowledge {
        let mut bench = Bench::new(shelf.clone());
        let pots = bench.load_pots().unwrap_or_default();
        let is_weighed = |t: &Snapshot<Pot>| t.story.as_ref().is_some_and(|s| s.pot().mass_records().len() > 1);
        if !pots.iter().any(is_weighed) {
            return self;
        }
        for id in newest_panel_ids(shelf) {
            // A panel that cannot be read costs an estimate and nothing else.
            let _ = bench.load(&id);
        }
        let survey = PotSurvey { pots, panels: bench.snapshots(), bulk, ..PotSurvey::default() };
        StudioKnowledge { consumption: survey.with_own_consumption().consumption, ..self }
    }
}

/// What the newest panels teach, with the air as it was.
pub(super) fn load_learned_times(shelf: &Shelf, air: &Air) -> LearnedTimes {
    let stories: Vec<PanelStory> = newest_panel_ids(shelf).iter().filter_map(|id| read_story(shelf, id)).collect();
    LearnedTimes::from_stories(&stories, air)
}

/// The newest panels by when they were opened, newest first.
fn newest_panel_ids(shelf: &Shelf) -> Vec<Id> {
    let opened = |id: &Id| {
        let first =
            journal::read_opening::<PanelEvent>(shelf.storage().as_ref(), &shelf.story_path(Drawer::Panels, id));
        first.ok().map(|entry| entry.at)
    };
    let ids = shelf.panel_ids().unwrap_or_default();
    let mut opened: Vec<_> = ids.into_iter().filter_map(|id| Some((opened(&id)?, id))).collect();
    opened.sort_by(|a, b| b.cmp(a));
    opened.into_iter().take(STORIES_MAX).map(|(_, id)| id).collect()
}

fn read_story(shelf: &Shelf, id: &Id) -> Option<PanelStory> {
    let (_, entries) = shelf.open_panel(id).ok()?;
    PanelStory::fold(entries).ok()
}
