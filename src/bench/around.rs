//! What is known around one pot: the pots it came from and led to, the panels its coats went to, the air.

use super::kept::{Told, believed_now};
use crate::craft::materials::Filler;
use crate::figures::median;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::air::Air;
use crate::work::panel;
use crate::work::panel::event::Kind;
use crate::work::panel::phase::Phase;
use crate::work::pot::event::Kind as PotKind;
use crate::work::pot::fold::Pot;
use crate::work::pot::forecast::{self, Forecast};
use crate::work::pot::genealogy::{Family, Remark};
use crate::work::pot::phase::Standing;
use crate::work::pot::story::Story;
use crate::work::pot::water::Known;
use crate::work::story::Folded;
use std::sync::Arc;

/// Pots, panels and the air together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Around {
    /// Every pot.
    pub pots: Vec<Told<Pot>>,
    /// Every panel.
    pub panels: Vec<Told>,
    /// The air of the room.
    pub air: Air,
    /// What powders weigh, loosely filled, g/ml.
    pub loose_g_per_ml: Vec<(Filler, f64)>,
}

/// A story as it stood then; none where it had not begun.
fn then<F: Folded>(told: &Told<F>, at: Stamp) -> Told<F> {
    let story = told.story.as_ref().and_then(|s| s.as_of(at)).map(Arc::new);
    Told { id: told.id.clone(), story, damage: told.damage.clone() }
}

impl Around {
    fn with<T>(&self, look: impl FnOnce(&Family<'_>) -> T) -> T {
        let pots: Vec<&Story> = self.pots.iter().filter_map(|t| t.story.as_deref()).collect();
        let panels: Vec<&panel::story::Story> = self.panels.iter().filter_map(|t| t.story.as_deref()).collect();
        let loose = |filler| self.loose_g_per_ml.iter().find(|(f, _)| *f == filler).map(|(_, g)| *g);
        look(&Family { pots: &pots, panels: &panels, loose_g_per_ml: &loose })
    }

    /// Where a pot stands at that moment.
    pub fn standing(&self, story: &Story, now: Moment) -> Standing {
        let id = &story.pot().opened().id;
        self.with(|family| {
            let uses = family.uses(id);
            let known = Known { uses: &uses, poured_factor: 1.0, loose_g_per_ml: family.loose_g_per_ml };
            let mut standing = story.pot().standing(now, &known);
            if let Some(water) = family.water(id, now.wall) {
                standing.water = water;
            }
            standing
        })
    }

    /// What was known of panels and pots at that time; none asks for no other time. The air is looked up by time anyway.
    #[must_use]
    pub fn known_at(self, at: Option<Stamp>) -> Around {
        let Some(at) = at else { return self };
        Around {
            pots: self.pots.iter().map(|told| then(told, at)).collect(),
            panels: self.panels.iter().map(|told| then(told, at)).collect(),
            ..self
        }
    }

    /// When a pot gels, where that can be said. Earlier pots of this shelf lend their time constant.
    pub fn forecast(&self, pot: &Pot) -> Option<Forecast> {
        let room = |at| self.air.as_of(at).map(|r| r.temp);
        let around = forecast::Around { room: &room, learned_min: None };
        let others = self.pots.iter().filter_map(|t| t.story.as_ref()).map(|s| s.pot());
        let others = others.filter(|p| p.opened().id != pot.opened().id && p.opened().kind == pot.opened().kind);
        let learned_min = median(&others.flat_map(|p| p.marked_time_constants(&around)).collect::<Vec<_>>());
        pot.forecast(&forecast::Around { room: &room, learned_min })
    }

    /// When a pot must go into the bath for the soonest coat that comes from it, and when the bowl is thinned; none where
    /// no coat is waited for.
    pub fn for_coat(&self, pot: &Pot, forecast: Option<&Forecast>, now: Moment) -> Option<forecast::ForCoat> {
        pot.for_coat(forecast, self.next_coat(pot, now)?)
    }

    /// When the soonest coat of gesso (for a pot of size: of size) falls due.
    fn next_coat(&self, pot: &Pot, now: Moment) -> Option<Stamp> {
        let due = |story: &panel::story::Story| {
            let standing = story.panel().standing(believed_now(story, now));
            let coat = match standing.phase {
                Phase::Waiting => standing.next,
                Phase::Ready => standing.stage,
                Phase::Working | Phase::Finished | Phase::Abandoned => None,
            };
            let fits = coat.is_some_and(|stage| match pot.opened().kind {
                PotKind::Gesso => matches!(stage.kind, Kind::Stipple | Kind::Coat),
                PotKind::Size => stage.kind == Kind::Size,
            });
            // A day's wait calls for no pot yet.
            let soon = standing.left.is_some_and(|left| left < Span::from_h(2.0));
            standing.due_at.filter(|_| fits && soon)
        };
        self.panels.iter().filter_map(|t| due(t.story.as_deref()?)).min()
    }

    /// The lot of the glue in a pot.
    pub fn lot(&self, id: &Id) -> Option<String> {
        self.with(|family| family.lot(id).map(str::to_owned))
    }

    /// The pot, the one it was poured from, and so on up.
    pub fn line(&self, id: &Id) -> Vec<Id> {
        self.with(|family| family.line(id))
    }

    /// The pots poured from a pot.
    pub fn poured(&self, id: &Id) -> Vec<Id> {
        self.with(|family| family.poured(id).into_iter().cloned().collect())
    }

    /// The panels with coats from a pot, or from one poured from it, each with how many.
    pub fn panels_from(&self, id: &Id) -> Vec<(Id, usize)> {
        let coats = self.with(|family| family.coats_from(id));
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
    pub fn before_coat(&self, panel: &panel::story::Story, pot: &Id, now: Moment) -> Vec<Remark> {
        self.with(|family| family.before_coat(panel, pot, now.wall))
    }

    /// What is to be said of the standing coats of a panel, with the `seq` of each fact.
    pub fn on_panel(&self, panel: &panel::story::Story) -> Vec<(u64, Remark)> {
        self.with(|family| family.on_panel(panel))
    }
}
