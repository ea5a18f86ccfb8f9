//! Why a coat should not come from that pot, told before the press. It forbids nothing: the coat is recorded all the same.

use crate::craft::materials::PotKind;
use crate::text::sanitize;
use crate::units::{Moment, Temperature};
use crate::work::panel::event::Stage;
use crate::work::panel::state::Panel;
use crate::work::panel::wait::elapsed;
use crate::work::pot::coat_remarks::GESSO_KEEPS_DAYS;
use crate::work::pot::fold::Pot;
use crate::work::pot::phase::PotPhase;
use crate::work::story::StoryState;
use std::fmt;

/// What speaks against a pot, the weightiest first.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum PotObjection {
    /// It was thrown away.
    Discarded { pot: String },
    /// It was used up.
    UsedUp { pot: String },
    /// The board is of one recipe and the pot of another.
    OtherRecipe { board_recipe: String, pot_recipe: String },
    /// Its glue is dry, or soaks.
    StillDry { pot: String },
    /// It went into the bath only now.
    NotMelted { pot: String },
    /// A gesso that was not made.
    NotMade { pot: String },
    /// It was hotter than its recipe allows.
    Overheated { pot: String, max: Temperature },
    /// It is older than gesso keeps.
    TooOld { pot: String, days: f64 },
}

impl fmt::Display for PotObjection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PotObjection::Discarded { pot } => write!(f, "{pot} was thrown away"),
            PotObjection::UsedUp { pot } => write!(f, "{pot} is used up"),
            PotObjection::OtherRecipe { board_recipe, pot_recipe } => {
                write!(f, "this board is {board_recipe}, this pot {pot_recipe}")
            }
            PotObjection::StillDry { pot } => write!(f, "the glue of {pot} is still dry, or soaks"),
            PotObjection::NotMelted { pot } => write!(f, "{pot} went into the bath only now and is not melted"),
            PotObjection::NotMade { pot } => write!(f, "{pot} is not marked as made"),
            PotObjection::Overheated { pot, max } => {
                write!(f, "{pot} was overheated ({:.0} C): it may no longer gel firmly", max.c())
            }
            PotObjection::TooOld { pot, days } => {
                write!(f, "{pot} is {days:.0} days old: look for mould and smell")
            }
        }
    }
}

/// What speaks against laying that coat from that pot at that moment; none for an act that takes nothing from a pot.
pub fn pot_objection(panel: &Panel, stage: Stage, pot: &Pot, now: Moment) -> Option<PotObjection> {
    stage.kind.row().pot?;
    let label = || sanitize(&pot.opened().label);
    match pot.phase() {
        PotPhase::Discarded => return Some(PotObjection::Discarded { pot: label() }),
        PotPhase::Empty => return Some(PotObjection::UsedUp { pot: label() }),
        PotPhase::Soaking | PotPhase::Melting | PotPhase::Liquid | PotPhase::Gelled => {}
    }
    other_recipe(panel, pot)
        .or_else(|| unready_glue(panel, pot, now).map(|objection| objection(label())))
        .or_else(|| spoiled(pot, now, label))
}

/// Size of one strength serves the boards of several recipes; gesso serves those of its own.
fn other_recipe(panel: &Panel, pot: &Pot) -> Option<PotObjection> {
    let (board, own) = (panel.recipe(), pot.recipe());
    let differs = match pot.opened().kind {
        PotKind::Size => board.size.glue_g_per_l_water != own.size.glue_g_per_l_water,
        PotKind::Gesso => true,
    };
    (differs && board.name != own.name)
        .then(|| PotObjection::OtherRecipe { board_recipe: sanitize(&board.name), pot_recipe: sanitize(&own.name) })
}

/// What is said of a pot by its label.
type ObjectionToPot = fn(String) -> PotObjection;

/// Whether its glue is not ready, as far as marks tell. Whoever marks it made says that it is, and so does whoever has laid a
/// coat of this panel from it: few mark everything.
fn unready_glue(panel: &Panel, pot: &Pot, now: Moment) -> Option<ObjectionToPot> {
    let is_made = pot.made_at().is_some() || panel.pot_ids().contains(&&pot.opened().id);
    let melt_min = pot.recipe().gesso.melt_min;
    // That it is liquid is seldom marked: once out of the bath, or past the recipe's minutes in it, it counts as melted.
    let melts = pot.current_bath().is_some_and(|bath| elapsed(bath.in_at, now).minutes() < melt_min);
    match (pot.opened().kind, pot.phase()) {
        (PotKind::Size, PotPhase::Soaking) if !is_made => Some(|pot| PotObjection::StillDry { pot }),
        (_, PotPhase::Melting) if melts => Some(|pot| PotObjection::NotMelted { pot }),
        (PotKind::Gesso, _) if !is_made => Some(|pot| PotObjection::NotMade { pot }),
        (PotKind::Size | PotKind::Gesso, _) => None,
    }
}

fn spoiled(pot: &Pot, now: Moment, label: impl Fn() -> String) -> Option<PotObjection> {
    let hottest = pot.temps().iter().map(|(_, t)| *t).max_by(|a, b| a.c().total_cmp(&b.c()));
    if let Some(max) = hottest.filter(|t| t.c() >= pot.recipe().gesso.overheat_c) {
        return Some(PotObjection::Overheated { pot: label(), max });
    }
    let days = (now.wall - pot.made_at().unwrap_or(pot.opened_at()).wall).hours() / 24.0;
    (days > GESSO_KEEPS_DAYS).then(|| PotObjection::TooOld { pot: label(), days })
}
