//! `stock`: what is in the cupboard.

use super::args_stock::{StockAmountArgs, StockSubcommand};
use super::context::CliContext;
use super::error::CliError;
use super::output;
use super::stock_json::StockJson;
use super::wrap::wrap_hanging;
use crate::bench::{Bench, StockError, StockRequest};
use crate::text::{
    UnitSystem, display_width, format_date, format_mass, format_number, format_volume, local_day, local_minute,
    sanitize,
};
use crate::units::{Mass, Volume};
use crate::work::stock::cupboard::{Cupboard, StockLot};
use crate::work::stock::event::{StockEvent, StockSet};
use crate::work::stock::item::{StockItem, StockUnit};
use crate::work::stock::remarks::{StockRemark, describe_lot, stock_remarks};
use crate::work::story::validate_text;
use anyhow::Result;
use chrono::Local;

/// Tells or records.
pub(super) fn run(context: &CliContext, command: &StockSubcommand) -> Result<()> {
    let mut bench = context.bench();
    let (request, at, json) = match command {
        StockSubcommand::List { json } => return tell_cupboard(context, &mut bench, *json, None),
        StockSubcommand::Undo { json } => (StockRequest::TakeBack, None, *json),
        StockSubcommand::Set(asked) => {
            let (amount, lot) = read_amount(&asked.amount)?;
            let price = asked.price.as_deref().map(validate_text).transpose().map_err(CliError::usage)?;
            let today = local_day(context.clock.now().wall, &Local);
            if asked.opened.is_some_and(|opened| opened > today) {
                return Err(CliError::usage("--opened: that day is still to come").into());
            }
            let set = StockSet { item: asked.amount.item.clone(), amount, lot, opened: asked.opened, price };
            let at = context.parse_at(asked.amount.at.as_ref())?;
            (StockRequest::Record(StockEvent::Set(Box::new(set))), at, asked.amount.json)
        }
        StockSubcommand::Use(asked) => {
            let (amount, lot) = read_amount(&asked.amount)?;
            let item = asked.amount.item.clone();
            check_is_known(context, &mut bench, &item, lot.as_deref())?;
            let at = context.parse_at(asked.amount.at.as_ref())?;
            (StockRequest::Record(StockEvent::Used { item, amount, lot }), at, asked.amount.json)
        }
    };
    let recorded = bench.record_stock(request, at, &|| context.clock.now()).map_err(|error| match error {
        StockError::Journal(error) => error.into(),
        other => CliError::failed(other),
    })?;
    let item = match &recorded.event {
        StockEvent::Set(set) => Some(set.item.clone()),
        StockEvent::Used { item, .. } => Some(item.clone()),
        StockEvent::Undone { .. } | StockEvent::Unknown { .. } => None,
    };
    output::allow_untold(tell_cupboard(context, &mut bench, json, item.as_ref()))
}

fn read_amount(asked: &StockAmountArgs) -> Result<(f64, Option<String>), CliError> {
    let amount = asked.item.parse_amount(&asked.amount).map_err(CliError::usage)?;
    let lot = asked.lot.as_deref().map(validate_text).transpose().map_err(CliError::usage)?;
    Ok((amount, lot))
}

/// Nothing can be taken off what the cupboard was never told of.
fn check_is_known(
    context: &CliContext,
    bench: &mut Bench,
    item: &StockItem,
    lot: Option<&str>,
) -> Result<(), CliError> {
    let cupboard = bench.load_cupboard(&context.settings.bulk_densities())?;
    let name = item.name();
    if cupboard.left_of(item).is_none() {
        let set = format!(
            "`sottile stock set {} AMOUNT`",
            if name.contains(' ') { format!("\"{name}\"") } else { name.clone() }
        );
        return Err(CliError::failed(format!("nothing was said of {name} yet; say how much is there with {set}")));
    }
    let lots = cupboard.lots().iter().filter(|own| own.item == *item);
    let lots: Vec<&str> = lots.filter_map(|own| own.lot.as_deref()).collect();
    match lot.filter(|lot| !lots.contains(lot)) {
        Some(lot) if lots.is_empty() => Err(CliError::failed(format!(
            "no lot of {name} is known, so none is called {}; leave --lot out",
            sanitize(lot)
        ))),
        Some(lot) => {
            let lots = lots.iter().map(|lot| sanitize(lot)).collect::<Vec<_>>().join(", ");
            Err(CliError::failed(format!("no lot of {name} is called {}; known are {lots}", sanitize(lot))))
        }
        None => Ok(()),
    }
}

/// The cupboard, or the lots of one thing in it.
fn tell_cupboard(context: &CliContext, bench: &mut Bench, json: bool, only: Option<&StockItem>) -> Result<()> {
    let cupboard = bench.load_cupboard(&context.settings.bulk_densities()).map_err(CliError::from)?;
    let now = context.clock.now().wall;
    let today = (local_day(now, &Local), now);
    let remarks = stock_remarks(&cupboard, &bench.load_air(), today, &|day| local_minute(day, 0, &Local));
    if json {
        return output::print_json(&StockJson::from_cupboard(&cupboard, &remarks));
    }
    let units = context.settings.unit_system.value;
    output::print_text(&format_cupboard(&cupboard, only, units))?;
    for remark in remarks.iter().filter(|_| only.is_none()) {
        output::print_text(&(wrap_hanging("! ", &describe_remark(remark)) + "\n"))?;
    }
    Ok(())
}

fn describe_remark(remark: &StockRemark) -> String {
    let text = sanitize(&remark.text);
    remark.source.map_or_else(|| text.clone(), |source| format!("{text} ({source})"))
}

fn format_cupboard(cupboard: &Cupboard, only: Option<&StockItem>, units: UnitSystem) -> String {
    let lots: Vec<&StockLot> = cupboard
        .lots()
        .iter()
        .filter(|lot| only.is_none_or(|only| lot.item == *only) && (lot.set > 0.0 || only.is_some()))
        .collect();
    if lots.is_empty() {
        return "the cupboard is empty; say what is there with `sottile stock set NAME AMOUNT`\n".to_owned();
    }
    let names: Vec<String> = lots.iter().map(|lot| sanitize(&describe_lot(lot))).collect();
    let width = names.iter().map(|name| display_width(name)).max().unwrap_or(0);
    let mut text = String::new();
    for (lot, name) in lots.iter().zip(names) {
        let gap = " ".repeat(width - display_width(&name));
        let mut told = vec![];
        if let Some(opened) = lot.opened {
            let word = if lot.item == StockItem::ShellacSolution { "mixed" } else { "opened" };
            told.push(format!("{word} {}", opened.format("%-d %b %Y")));
        }
        told.extend(lot.price.as_ref().map(|price| sanitize(price)));
        let of = format_amount(&lot.item, lot.set, units);
        told.push(format!("of {of} on {}", format_date(lot.set_at, &Local)));
        if lot.taken > 0.0 {
            told.push(format!("{} in pots", format_amount(&lot.item, lot.taken, units)));
        }
        let left = format_amount(&lot.item, lot.left(), units);
        text.push_str(&wrap_hanging(&format!("{name}{gap}  {left:>9}  "), &told.join(", ")));
        text.push('\n');
    }
    text
}

/// An amount with its unit, to read.
pub(super) fn format_amount(item: &StockItem, amount: f64, units: UnitSystem) -> String {
    match item.unit() {
        StockUnit::G => format_mass(Mass::from_g(amount), units),
        StockUnit::Ml => format_volume(Volume::from_ml(amount), units),
        StockUnit::Pieces => format_number(amount, 0),
    }
}
