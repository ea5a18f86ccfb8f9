//! The pots of a plan: made once for all boards of a recipe, or standing there already, and melted again while they keep.

use super::windows::{Minute, ceil_minutes, minute_from};
use crate::craft::materials::PotKind;
use crate::craft::recipe::Recipe;
use crate::units::{Id, Moment};
use crate::work::pot::coat_remarks::GESSO_KEEPS_DAYS;
use crate::work::pot::fold::Pot;
use crate::work::pot::phase::PotPhase;
use crate::work::story::StoryState;
use std::sync::Arc;

/// Making a pot of warm size takes so long, and one of gesso, minutes (assumed).
const MAKE_SIZE_WORK: Minute = 15;
const MAKE_GESSO_WORK: Minute = 25;
/// A batch is melted again on so many later days: once, since further melts weaken it (an oil painter's page; Thompson 1936).
pub const LATER_DAYS_MELTED: usize = 1;
/// A batch keeps so long, cold, minutes. Size is glue and water as gesso is, and taken to keep as long (assumed).
pub const KEEPS: Minute = (GESSO_KEEPS_DAYS * 24.0 * 60.0) as Minute;

/// How far a pot is that stands there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PotStand {
    /// Its glue is in water; soaked at that minute.
    Soaks {
        /// When.
        until: Minute,
    },
    /// It was made, at that minute as far as is known, and is melted again.
    Made {
        /// When.
        at: Minute,
    },
}

/// A pot that stands there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PotAtHand {
    /// Which.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// Size or gesso.
    pub kind: PotKind,
    /// How far it is.
    pub stand: PotStand,
    /// It is liquid now, or in the bath.
    pub is_warm: bool,
    /// It was put into the bath so often before.
    pub melts: u32,
}

impl PotAtHand {
    /// That pot as it stands now; none where it ended, or nothing was done for it yet. It is taken to hold enough (assumed:
    /// few makers weigh what is left).
    pub fn from_pot(pot: &Pot, now: Moment) -> Option<PotAtHand> {
        let opened = pot.opened();
        let phase = pot.phase();
        let stand = match phase {
            PotPhase::Empty | PotPhase::Discarded => return None,
            PotPhase::Soaking => PotStand::Soaks { until: minute_from(pot.soak_countdown(now)?.due_at) },
            PotPhase::Melting | PotPhase::Liquid | PotPhase::Gelled => {
                PotStand::Made { at: minute_from(pot.made_at().unwrap_or(pot.opened_at()).wall) }
            }
        };
        Some(PotAtHand {
            id: opened.id.clone(),
            label: opened.label.clone(),
            kind: opened.kind,
            stand,
            is_warm: matches!(phase, PotPhase::Liquid | PotPhase::Melting),
            melts: pot.status(now, &crate::work::pot::water::WaterInputs::default()).melts,
        })
    }
}

/// A pot of one kind and recipe, which serves all boards of that recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedPot {
    /// Size or gesso.
    pub kind: PotKind,
    /// Of what.
    pub recipe: Arc<Recipe>,
    /// The one that stands there, where it is to be used first.
    pub at_hand: Option<PotAtHand>,
    /// The glue soaks so long, minutes.
    pub soak: Minute,
    /// Making it keeps the hands so long, minutes.
    pub make: Minute,
    /// Melting it again, minutes.
    pub melt: Minute,
}

impl PlannedPot {
    /// The pot for that recipe.
    pub fn new(kind: PotKind, recipe: &Arc<Recipe>, at_hand: Option<&PotAtHand>) -> PlannedPot {
        PlannedPot {
            kind,
            recipe: Arc::clone(recipe),
            at_hand: at_hand.cloned(),
            soak: ceil_minutes(recipe.size.soak_h * 60.0),
            make: make_minutes(kind),
            melt: ceil_minutes(recipe.gesso.melt_min).max(1),
        }
    }

    /// Whether it is that one.
    pub fn is_for(&self, kind: PotKind, recipe: &Arc<Recipe>, at_hand: Option<&PotAtHand>) -> bool {
        self.kind == kind
            && (Arc::ptr_eq(&self.recipe, recipe) || self.recipe == *recipe)
            && self.at_hand.as_ref().map(|pot| &pot.id) == at_hand.map(|pot| &pot.id)
    }
}

/// Making a pot of that kind keeps the hands so long, minutes.
pub const fn make_minutes(kind: PotKind) -> Minute {
    match kind {
        PotKind::Size => MAKE_SIZE_WORK,
        PotKind::Gesso => MAKE_GESSO_WORK,
    }
}
