//! `plan --shopping`: what the planned panels take, against what is in the cupboard.

use super::context::CliContext;
use super::error::CliError;
use super::output;
use super::plan_json::PlanJson;
use super::stock::format_amount;
use super::stock_json::ShoppingLineJson;
use super::wrap::wrap_hanging;
use crate::record::shelf::Drawer;
use crate::text::{format_when, sanitize};
use crate::units::Stamp;
use crate::work::plan::calendar::board_tasks::BoardTasks;
use crate::work::plan::calendar::planned::BoardPlan;
use crate::work::stock::cupboard::Cupboard;
use crate::work::stock::shopping::{ShoppingLine, shopping_list};
use chrono::Local;
use serde::Serialize;

/// A plan with its shopping list.
#[derive(Debug, Serialize)]
pub(super) struct PlanWithShoppingJson {
    #[serde(flatten)]
    plan: PlanJson,
    /// Null where it was not asked for.
    shopping: Option<Vec<ShoppingLineJson>>,
}

impl PlanWithShoppingJson {
    pub(super) fn new(plan: PlanJson, lines: Option<&[ShoppingLine]>) -> PlanWithShoppingJson {
        PlanWithShoppingJson { plan, shopping: lines.map(|lines| lines.iter().map(ShoppingLineJson::from).collect()) }
    }
}

/// What the boards take by that plan. A cupboard that cannot be read is told of, and then nothing is there.
///
/// # Errors
/// A figure of a recipe outside its range.
pub(super) fn load_shopping_list(
    context: &CliContext,
    boards: &[BoardTasks],
    plan: &BoardPlan,
) -> Result<Vec<ShoppingLine>, CliError> {
    let bulk = context.settings.bulk_densities();
    let mut bench = context.bench();
    let cupboard = bench.load_cupboard(&bulk).unwrap_or_else(|error| {
        output::print_message(&format!("sottile: the cupboard is left out: {error}"));
        Cupboard::default()
    });
    let is_new = |board: &BoardTasks| !bench.shelf().story_path(Drawer::Panels, &board.opened.id).exists();
    shopping_list(boards, plan, &cupboard, &bulk, &is_new).map_err(CliError::failed)
}

/// The list to read, a line for each thing.
pub(super) fn format_shopping(context: &CliContext, lines: &[ShoppingLine], now: Stamp) -> String {
    let units = context.settings.unit_system.value;
    let mut text = "TO HAVE IN THE HOUSE\n".to_owned();
    for line in lines {
        let amount = |amount: f64| format_amount(&line.item, amount, units);
        let when = line.short_at.map(|at| format_when(at, now, &Local));
        let told = match (line.there, when) {
            (None, _) => String::new(),
            (Some(there), Some(when)) => {
                format!("; {} there, short of {} from {when}", amount(there), amount(line.short))
            }
            (Some(there), None) => format!("; {} there", amount(there)),
        };
        let lead = format!("  {:>9}  ", amount(line.needed));
        text.push_str(&wrap_hanging(&lead, &format!("{}{told}", sanitize(&line.item.name()))));
        text.push('\n');
    }
    text
}
