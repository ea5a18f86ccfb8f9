//! What is known around one pot: the pots it came from and led to, the panels its coats went to, the air.

use super::journaled_story::{Snapshot, trusted_now};
use crate::craft::materials::fillers::BulkDensities;
use crate::stats::median;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::air::Air;
use crate::work::panel::story::PanelStory;
use crate::work::pot::coat_remarks::CoatRemark;
use crate::work::pot::fold::Pot;
use crate::work::pot::forecast::{self, PotForecast};
use crate::work::pot::lineage::{PotLineage, panel_pot_uses};
use crate::work::pot::usage::PotUsage;
use crate::work::story::StoryState;
use std::sync::Arc;

/// Pots, panels and the air together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PotSurvey {
    /// Every pot.
    pub pots: Vec<Snapshot<Pot>>,
    /// Every panel.
    pub panels: Vec<Snapshot>,
    /// The air of the room.
    pub air: Arc<Air>,
    /// What powders weigh, loosely filled.
    pub bulk: BulkDensities,
}

/// A story as it stood then; none where it had not begun.
fn snapshot_as_of<F: StoryState>(snapshot: &Snapshot<F>, at: Stamp) -> Snapshot<F> {
    let story = snapshot.story.as_ref().and_then(|s| s.as_of(at)).map(Arc::new);
    Snapshot { id: snapshot.id.clone(), story, damage: snapshot.damage.clone() }
}

/// Which pot was poured from which, and of which no figure is known.
pub(super) fn lineage_from_snapshots(pots: &[Snapshot<Pot>]) -> PotLineage<'_> {
    let damaged = pots.iter().filter(|t| t.sound_story().is_none()).map(|t| &t.id);
    PotLineage::new(pots.iter().filter_map(|t| t.story.as_deref())).with_damaged(damaged)
}

impl PotSurvey {
    fn panel_stories(&self) -> impl Iterator<Item = &PanelStory> {
        self.panels.iter().filter_map(|t| t.story.as_deref())
    }

    fn lineage(&self) -> PotLineage<'_> {
        lineage_from_snapshots(&self.pots)
    }

    /// What was taken out of every pot, from which follows where each stands. It is gathered anew at each call: where
    /// many pots are asked about, once is enough.
    pub fn usage(&self) -> PotUsage<'_> {
        let uses = self.panel_stories().flat_map(|story| panel_pot_uses(story.panel()));
        PotUsage::new(self.lineage(), uses.map(|(id, at, _)| (id, at)), &self.bulk)
    }

    /// What was known of panels and pots at that time; none asks for no other time. The air is looked up by time anyway.
    #[must_use]
    pub fn known_at(self, at: Option<Stamp>) -> PotSurvey {
        let Some(at) = at else { return self };
        PotSurvey {
            pots: self.pots.iter().map(|snapshot| snapshot_as_of(snapshot, at)).collect(),
            panels: self.panels.iter().map(|snapshot| snapshot_as_of(snapshot, at)).collect(),
            ..self
        }
    }

    /// When a pot gels, where that can be said. Earlier pots of this shelf lend their time constant.
    pub fn forecast(&self, pot: &Pot) -> Option<PotForecast> {
        let id = &pot.opened().id;
        if self.pots.iter().any(|t| t.id == *id && t.sound_story().is_none()) {
            return None;
        }
        let room = |at| self.air.reading_as_of(at).map(|r| r.temp);
        let inputs = forecast::ForecastInputs { room_at: &room, learned_time_constant_min: None };
        let others = self.pots.iter().filter_map(Snapshot::sound_story).map(|s| s.pot());
        let others = others.filter(|p| p.opened().id != pot.opened().id && p.opened().kind == pot.opened().kind);
        let learned_min = median(&others.flat_map(|p| p.marked_time_constants(&inputs)).collect::<Vec<_>>());
        pot.forecast_gel(&forecast::ForecastInputs { room_at: &room, learned_time_constant_min: learned_min })
    }

    /// When a pot must go into the bath for the soonest coat that comes from it, and when the bowl is thinned; none where
    /// no coat is waited for.
    pub fn coat_preparation(
        &self,
        pot: &Pot,
        forecast: Option<&PotForecast>,
        now: Moment,
    ) -> Option<forecast::CoatPreparation> {
        pot.coat_preparation(forecast, self.next_coat_due(pot, now)?)
    }

    /// When the soonest coat of gesso (for a pot of size: of size) falls due.
    fn next_coat_due(&self, pot: &Pot, now: Moment) -> Option<Stamp> {
        let due = |story: &PanelStory| {
            let status = story.panel().status(trusted_now(story, now));
            let fits = status.stage_to_begin().is_some_and(|stage| stage.kind.is_coat_from(pot.opened().kind));
            // A day's wait calls for no pot yet.
            let soon = status.time_left.is_some_and(|left| left < Span::from_h(2.0));
            status.due_at.filter(|_| fits && soon)
        };
        self.panels.iter().filter_map(|t| due(t.story.as_deref()?)).min()
    }

    /// The lot of the glue in a pot.
    pub fn glue_lot(&self, id: &Id) -> Option<String> {
        self.lineage().glue_lot(id).map(str::to_owned)
    }

    /// The pot, the one it was poured from, and so on up.
    pub fn ancestors(&self, id: &Id) -> Vec<Id> {
        self.lineage().ancestors(id)
    }

    /// The pots poured from a pot.
    pub fn pots_poured_from(&self, id: &Id) -> Vec<Id> {
        self.lineage().pots_poured_from(id).into_iter().cloned().collect()
    }

    /// The panels with coats from a pot, or from one poured from it, each with how many.
    pub fn panels_from(&self, id: &Id) -> Vec<(Id, usize)> {
        let coats = self.lineage().coats_from_pot(id, self.panel_stories());
        let mut panels: Vec<(Id, usize)> = Vec::new();
        for coat in coats {
            match panels.iter_mut().find(|(panel, _)| *panel == coat.panel) {
                Some((_, coats)) => *coats += 1,
                None => panels.push((coat.panel, 1)),
            }
        }
        panels
    }

    /// What is to be said before the coat at hand is laid from that pot.
    pub fn remarks_before_coat(&self, panel: &PanelStory, pot: &Id, now: Moment) -> Vec<CoatRemark> {
        self.usage().remarks_before_coat(panel, pot, now.wall)
    }

    /// What is to be said of the standing coats of a panel, with the `seq` of each fact.
    pub fn panel_remarks(&self, panel: &PanelStory) -> Vec<(u64, CoatRemark)> {
        self.usage().panel_remarks(panel)
    }
}
