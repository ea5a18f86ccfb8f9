//! What a plan takes, against what the cupboard holds, and when it will be short.

use super::cupboard::Cupboard;
use super::item::{BoardSize, StockItem};
use crate::craft::materials::PotKind;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::OutOfRange;
use crate::units::Stamp;
use crate::work::panel::event::StageKind;
use crate::work::plan::board_needs::{BoardNeeds, compute_board_needs};
use crate::work::plan::calendar::board_tasks::BoardTasks;
use crate::work::plan::calendar::planned::{BoardPlan, PlannedAct, PlannedKind};
use std::collections::BTreeMap;

/// Something a plan takes.
#[derive(Debug, Clone, PartialEq)]
pub struct ShoppingLine {
    /// What.
    pub item: StockItem,
    /// How much the plan takes, in its unit.
    pub needed: f64,
    /// What is there; none where the cupboard was never told of it.
    pub there: Option<f64>,
    /// What is lacking of it; all, where nothing is known.
    pub short: f64,
    /// When it will be lacking.
    pub short_at: Option<Stamp>,
}

/// What the boards still take by that plan; `is_new` tells the boards that are to be bought, too.
///
/// # Errors
/// A size or a figure of a recipe outside its range.
pub fn shopping_list(
    boards: &[BoardTasks],
    plan: &BoardPlan,
    cupboard: &Cupboard,
    bulk: &BulkDensities,
    is_new: &dyn Fn(&BoardTasks) -> bool,
) -> Result<Vec<ShoppingLine>, OutOfRange> {
    let mut demands: Vec<(Stamp, StockItem, f64)> = Vec::new();
    for (place, board) in boards.iter().enumerate() {
        demands.extend(board_demands(place, board, plan, bulk)?);
        if is_new(board) {
            let size = BoardSize::from_size(board.opened.size);
            let at = plan.acts.iter().find(|act| act.board == Some(place)).map_or(plan.start, |act| act.start);
            demands.push((at, StockItem::Boards(Some(size)), 1.0));
        }
    }
    demands.sort_by(|a, b| (a.0, &a.1).cmp(&(b.0, &b.1)));
    let mut lines: BTreeMap<StockItem, ShoppingLine> = BTreeMap::new();
    for (at, item, amount) in demands.into_iter().filter(|(_, _, amount)| *amount > 0.0) {
        let there = left_for(cupboard, &item);
        let fresh = ShoppingLine { item: item.clone(), needed: 0.0, there, short: 0.0, short_at: None };
        let line = lines.entry(item).or_insert(fresh);
        line.needed += amount;
        line.short = (line.needed - line.there.unwrap_or(0.0)).max(0.0);
        // A rounding of floats is no want.
        if line.short > 1e-6 && line.short_at.is_none() {
            line.short_at = Some(at);
        }
    }
    Ok(lines.into_values().collect())
}

/// What is there of it; boards of a like size, and those of which no size was said.
fn left_for(cupboard: &Cupboard, item: &StockItem) -> Option<f64> {
    let StockItem::Boards(Some(size)) = item else { return cupboard.left_of(item) };
    let serves = |other: &StockItem| match other {
        StockItem::Boards(own) => own.is_none_or(|own| own.serves_for(size)),
        StockItem::Glue
        | StockItem::Filler(_)
        | StockItem::Pigment(_)
        | StockItem::Shellac
        | StockItem::ShellacSolution
        | StockItem::Spirit => false,
    };
    let mut lots = cupboard.lots().iter().filter(|lot| serves(&lot.item)).peekable();
    lots.peek()?;
    Some(lots.map(super::cupboard::StockLot::left).sum())
}

/// What each act of a board takes, at the time its pot is made, or put to soak.
fn board_demands(
    place: usize,
    board: &BoardTasks,
    plan: &BoardPlan,
    bulk: &BulkDensities,
) -> Result<Vec<(Stamp, StockItem, f64)>, OutOfRange> {
    let open: Vec<StageKind> = board.tasks.iter().map(|task| task.stage.kind).collect();
    let needs = compute_board_needs(&board.opened, &open, bulk)?;
    let share_of =
        |belongs: &dyn Fn(StageKind) -> bool| 1.0 / open.iter().filter(|kind| belongs(**kind)).count().max(1) as f64;
    let mut demands = Vec::new();
    for act in plan.acts.iter().filter(|act| act.board == Some(place)) {
        let PlannedKind::Act(stage) = act.kind else { continue };
        match stage.kind.row().pot {
            Some(kind) => {
                let share = share_of(&|other| other.row().pot == Some(kind));
                demands.extend(pot_demands(&needs, kind, share, act, plan));
            }
            None if stage.kind == StageKind::Seal => {
                let share = share_of(&|other| other == StageKind::Seal);
                let BoardNeeds { seal_glue_g, resin_g, spirit_ml, .. } = needs;
                demands.push((act.start, StockItem::Glue, seal_glue_g * share));
                demands.push((act.start, StockItem::Shellac, resin_g * share));
                demands.push((act.start, StockItem::Spirit, spirit_ml * share));
            }
            None => {}
        }
    }
    Ok(demands)
}

fn pot_demands(
    needs: &BoardNeeds,
    kind: PotKind,
    share: f64,
    act: &PlannedAct,
    plan: &BoardPlan,
) -> Vec<(Stamp, StockItem, f64)> {
    let before = |wanted: PlannedKind| {
        let acts = plan.acts.iter().filter(|other| other.kind == wanted && other.pot_kind == Some(kind));
        acts.map(|other| other.start).filter(|start| *start <= act.start).max()
    };
    let soaked = before(PlannedKind::PutToSoak).unwrap_or(act.start);
    let made = before(PlannedKind::MakePot).unwrap_or(act.start);
    match kind {
        PotKind::Size => vec![(soaked, StockItem::Glue, needs.size_glue_g * share)],
        PotKind::Gesso => {
            let fillers = needs.fillers.iter().map(|(filler, g)| (made, StockItem::Filler(*filler), g * share));
            [(soaked, StockItem::Glue, needs.gesso_glue_g * share)].into_iter().chain(fillers).collect()
        }
    }
}
