//! A plan that is kept: its attended acts with their times, so that a later plan can stay near it, and a calendar knows
//! which of them moved.

use super::planned::{BoardPlan, PlannedAct, PlannedKind};
use crate::craft::materials::PotKind;
use crate::craft::recipe::Direction;
use crate::units::{Id, Stamp, written_words};
use crate::work::panel::event::{Face, StageKind};
use std::collections::BTreeMap;
use strum::{VariantArray, VariantNames};

/// Something done to a pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum PotWork {
    /// Its glue is put to soak.
    Soak,
    /// It is made.
    Make,
    /// It is melted again.
    Melt,
}
written_words!(PotWork);

/// Which act of a plan: the same in every plan, whenever it is planned for.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ActName {
    /// Of a board.
    Board {
        /// Which, `new-N` where it is not opened yet.
        panel: Id,
        /// What.
        kind: StageKind,
        /// Where.
        face: Option<Face>,
        /// Which one of its kind and face.
        number: Option<u32>,
    },
    /// Of a pot.
    Pot {
        /// Size or gesso.
        kind: PotKind,
        /// By which recipe.
        recipe: String,
        /// What.
        work: PotWork,
        /// The last of these is 1, the one before it 2: so what is done already renames none that is to come.
        number: u32,
    },
}

/// One act as it was planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptAct {
    /// Which.
    pub name: ActName,
    /// It begins.
    pub start: Stamp,
    /// It ends.
    pub end: Stamp,
    /// How often it was moved since it was planned first.
    pub sequence: u32,
    /// The direction it is laid in, where it has one.
    pub direction: Option<Direction>,
}

/// A plan as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPlan {
    /// What it is for: a commission's name.
    pub name: Option<String>,
    /// The day of painting, where there is one.
    pub ready_by: Option<Stamp>,
    /// All are ready.
    pub ready: Stamp,
    /// For what hours, as they are written.
    pub hours: String,
    /// Pairs of hands.
    pub hands: u32,
    /// The boards, as the maker calls them.
    pub boards: Vec<(Id, String)>,
    /// Every attended act, by their beginnings.
    pub acts: Vec<KeptAct>,
}

/// What a plan is for, and by what hours it was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanPurpose {
    /// A commission's name.
    pub name: Option<String>,
    /// The day of painting, where there is one.
    pub ready_by: Option<Stamp>,
    /// The hours, as they are written.
    pub hours: String,
    /// Pairs of hands.
    pub hands: u32,
}

impl KeptPlan {
    /// That plan, to be kept. An act that `before` has at another time was moved once more.
    pub fn from_plan(plan: &BoardPlan, purpose: PlanPurpose, before: Option<&KeptPlan>) -> KeptPlan {
        let named = name_acts(plan);
        let is_planned = |name: &ActName| named.iter().any(|(here, _)| here == name);
        let is_board = |id: &Id| plan.boards.iter().any(|board| board.id == *id);
        // What is not planned any more of a board that is was done, and stays to be held against what came of it.
        let is_done = |act: &&KeptAct| matches!(&act.name, ActName::Board { panel, .. } if is_board(panel));
        let done = before.iter().flat_map(|before| &before.acts).filter(is_done);
        let done: Vec<KeptAct> = done.filter(|act| !is_planned(&act.name)).cloned().collect();
        let planned = named.iter().map(|(name, act)| {
            let old = before.and_then(|before| before.find(name));
            let sequence = old.map_or(0, |old| old.sequence + u32::from((old.start, old.end) != (act.start, act.end)));
            let direction = match act.kind {
                PlannedKind::Act(stage) => stage.direction,
                PlannedKind::BoardWait(_)
                | PlannedKind::PutToSoak
                | PlannedKind::Soak
                | PlannedKind::MakePot
                | PlannedKind::MeltPot => None,
            };
            KeptAct { name: name.clone(), start: act.start, end: act.end, sequence, direction }
        });
        let mut acts: Vec<KeptAct> = done.into_iter().chain(planned).collect();
        acts.sort_by(|a, b| (a.start, a.end, &a.name).cmp(&(b.start, b.end, &b.name)));
        let PlanPurpose { name, ready_by, hours, hands } = purpose;
        let boards = plan.boards.iter().map(|board| (board.id.clone(), board.label.clone())).collect();
        KeptPlan { name, ready_by, ready: plan.ready, hours, hands, boards, acts }
    }

    /// The act of that name.
    pub fn find(&self, name: &ActName) -> Option<&KeptAct> {
        self.acts.iter().find(|act| act.name == *name)
    }

    /// The acts of that board, by their beginnings.
    pub fn acts_of<'a>(&'a self, id: &'a Id) -> impl Iterator<Item = &'a KeptAct> {
        self.acts.iter().filter(move |act| matches!(&act.name, ActName::Board { panel, .. } if panel == id))
    }

    /// What that board is called.
    pub fn label_of(&self, id: &Id) -> Option<&str> {
        self.boards.iter().find(|(board, _)| board == id).map(|(_, label)| label.as_str())
    }
}

/// The attended acts of a plan, by their beginnings, each with its name.
pub fn name_acts(plan: &BoardPlan) -> Vec<(ActName, &PlannedAct)> {
    let mut counts: BTreeMap<(PotKind, String, PotWork), u32> = BTreeMap::new();
    let mut named: Vec<(ActName, &PlannedAct)> = Vec::new();
    for act in plan.acts.iter().rev() {
        let name = match (act.kind, act.board) {
            (PlannedKind::Act(stage), Some(board)) => ActName::Board {
                panel: plan.boards[board].id.clone(),
                kind: stage.kind,
                face: stage.face,
                number: stage.number,
            },
            (PlannedKind::PutToSoak, _) => name_pot_act(plan, act, PotWork::Soak, &mut counts),
            (PlannedKind::MakePot, _) => name_pot_act(plan, act, PotWork::Make, &mut counts),
            (PlannedKind::MeltPot, _) => name_pot_act(plan, act, PotWork::Melt, &mut counts),
            (PlannedKind::Act(_) | PlannedKind::BoardWait(_) | PlannedKind::Soak, _) => continue,
        };
        named.push((name, act));
    }
    named.reverse();
    named
}

fn name_pot_act(
    plan: &BoardPlan,
    act: &PlannedAct,
    work: PotWork,
    counts: &mut BTreeMap<(PotKind, String, PotWork), u32>,
) -> ActName {
    let pot = act.pot.map(|pot| &plan.pots[pot]);
    let (kind, recipe) = pot.map_or((PotKind::Gesso, String::new()), |pot| (pot.kind, pot.recipe.name.clone()));
    let number = counts.entry((kind, recipe.clone(), work)).or_default();
    *number += 1;
    ActName::Pot { kind, recipe, work, number: *number }
}
