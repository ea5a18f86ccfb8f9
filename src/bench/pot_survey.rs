//! What is known around one pot: the pots it came from and led to, the panels its coats went to, the air.

use super::journaled_story::{Snapshot, trusted_now};
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::gel_filter::PotEstimate;
use crate::craft::quantities::consumption::OwnConsumption;
use crate::units::{Id, Moment, Size, Span, Stamp};
use crate::work::air::Air;
use crate::work::panel::story::PanelStory;
use crate::work::pot::coat_remarks::CoatRemark;
use crate::work::pot::consumption::own_consumption;
use crate::work::pot::fill::PotUse;
use crate::work::pot::fold::Pot;
use crate::work::pot::forecast::{CoatPreparation, EarlierPots, ForecastInputs, PotForecast};
use crate::work::pot::lineage::{PotLineage, panel_pot_uses};
use crate::work::pot::story::PotStory;
use crate::work::pot::usage::PotUsage;
use crate::work::story::StoryState;
use std::sync::Arc;

/// So many earlier pots lend what they showed: what is older was another summer, other glue (assumed).
const EARLIER_POTS_MAX: usize = 8;

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
    /// What the maker's own pots say a square metre takes, where they were weighed.
    pub consumption: Option<OwnConsumption>,
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

    /// The same, with what its own pots and panels say of consumption.
    #[must_use]
    pub fn with_own_consumption(mut self) -> PotSurvey {
        self.consumption = own_consumption(&self.usage(), self.panel_stories().map(PanelStory::panel));
        self
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

    /// The lot of the filler in it, as typed.
    pub fn filler_lot(&self, id: &Id) -> Option<String> {
        self.lineage().filler_lot(id).map(str::to_owned)
    }

    /// When a pot gels, where that can be said. Earlier pots of this shelf lend what they showed.
    pub fn forecast(&self, pot: &Pot) -> Option<PotForecast> {
        let id = &pot.opened().id;
        if pot.current_cooling().is_none() || self.pots.iter().any(|t| t.id == *id && t.sound_story().is_none()) {
            return None;
        }
        let room = |at| self.air.reading_as_of(at).map(|r| r.temp);
        let inputs = ForecastInputs { room_at: &room, bulk: &self.bulk, ..ForecastInputs::default() };
        let lend = |earlier: &Pot| {
            let lent = earlier.lend_estimate(&ForecastInputs { uses: &self.uses_of(earlier), ..inputs })?;
            pot.borrow_estimate(earlier, lent)
        };
        let lent: Vec<PotEstimate> = self.earlier_pots_like(pot).filter_map(lend).take(EARLIER_POTS_MAX).collect();
        let earlier_pots =
            PotEstimate::from_earlier_pots(&lent).map(|estimate| EarlierPots { estimate, pots: lent.len() });
        pot.forecast_gel(&ForecastInputs { earlier_pots, uses: &self.uses_of(pot), ..inputs })
    }

    /// The pots of its kind that were opened no later than it, the newest first.
    fn earlier_pots_like(&self, pot: &Pot) -> impl Iterator<Item = &Pot> {
        let (id, kind, opened_at) = (&pot.opened().id, pot.opened().kind, pot.opened_at().wall);
        let others = self.pots.iter().filter_map(Snapshot::sound_story).map(|story| story.pot());
        let mut others: Vec<&Pot> = others
            .filter(|p| p.opened().id != *id && p.opened().kind == kind && p.opened_at().wall <= opened_at)
            .collect();
        others.sort_by_key(|p| std::cmp::Reverse(p.opened_at().wall));
        others.into_iter()
    }

    /// What coats and other pots took out of a pot, by time.
    pub(super) fn uses_of(&self, pot: &Pot) -> Vec<PotUse> {
        let id = &pot.opened().id;
        let coats = self.panel_stories().flat_map(|story| {
            let Size { width, height, thickness: _ } = story.panel().opened().size;
            let volume = pot.coat_volume(width.mm() * height.mm() / 1e6, self.consumption);
            panel_pot_uses(story.panel()).filter(|(of, ..)| *of == id).map(move |(_, at, _)| PotUse { at, volume })
        });
        let pots = self.pots.iter().filter_map(|t| t.story.as_deref()).map(PotStory::pot);
        let poured = pots
            .filter(|p| p.opened().parent.as_ref() == Some(id))
            .filter_map(|p| Some(PotUse { at: p.opened_at().wall, volume: p.opened().size_ml? }));
        let mut uses: Vec<PotUse> = coats.chain(poured).collect();
        uses.sort_by_key(|one| one.at);
        uses
    }

    /// When a pot must go into the bath for the soonest coat that comes from it, and when the bowl is thinned; none where
    /// no coat is waited for.
    pub fn coat_preparation(&self, pot: &Pot, forecast: Option<&PotForecast>, now: Moment) -> Option<CoatPreparation> {
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
