//! What is to be said of the cupboard, each with where it comes from.

use super::cupboard::{Cupboard, StockLot};
use super::item::StockItem;
use crate::text::{format_count, format_number};
use crate::units::Stamp;
use crate::work::air::Air;
use chrono::NaiveDate;

/// From so many days on a solution of shellac may stay soft, and behind the second it is past its keeping time: 6 to 12
/// months (common practice, no source).
pub const SHELLAC_KEEPS_DAYS: (i64, i64) = (183, 365);
/// Dry glue that stands open in more, per cent humidity on average, draws water and may mould (common practice, no source).
pub const GLUE_DAMP_RH: f64 = 65.0;
/// The mean of fewer readings says nothing of a room.
const READINGS_LEAST: usize = 3;
const COMMON: &str = "common practice, no source";

/// A remark on the cupboard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockRemark {
    /// The sentence, without its full stop.
    pub text: String,
    /// Where it comes from; nothing where it is reckoned from what was recorded.
    pub source: Option<&'static str>,
}

/// What is to be said of the cupboard on that day; `midnight` is the moment a day begins.
pub fn stock_remarks(
    cupboard: &Cupboard,
    air: &Air,
    (today, now): (NaiveDate, Stamp),
    midnight: &dyn Fn(NaiveDate) -> Stamp,
) -> Vec<StockRemark> {
    let mut remarks = Vec::new();
    for lot in cupboard.lots() {
        remarks.extend(overdrawn_remark(lot));
        if lot.left() <= 0.0 {
            continue;
        }
        let Some(opened) = lot.opened else { continue };
        match &lot.item {
            StockItem::ShellacSolution => remarks.extend(shellac_remark(lot, (today - opened).num_days())),
            StockItem::Glue => remarks.extend(damp_remark(lot, air, (midnight(opened), now))),
            StockItem::Filler(_)
            | StockItem::Pigment(_)
            | StockItem::Shellac
            | StockItem::Spirit
            | StockItem::Boards(_) => {}
        }
    }
    if !cupboard.unknown_pots.is_empty() {
        let pots: Vec<&str> = cupboard.unknown_pots.iter().map(crate::units::Id::as_str).collect();
        let count = format_count(pots.len(), "pot");
        remarks.push(StockRemark {
            text: format!("{count} made of which nobody said how much went in: {}; set what is left", pots.join(", ")),
            source: None,
        });
    }
    remarks
}

/// `shellac solution (lot B-12)`.
pub fn describe_lot(lot: &StockLot) -> String {
    let name = lot.item.name();
    lot.lot.as_ref().map_or_else(|| name.clone(), |lot| format!("{name} (lot {lot})"))
}

fn overdrawn_remark(lot: &StockLot) -> Option<StockRemark> {
    let over = lot.overdrawn();
    // Balances and recipes differ by a gram.
    (over >= 1.0).then(|| StockRemark {
        text: format!(
            "{}: {} {} more was used than was there; set what is left",
            describe_lot(lot),
            format_number(over, 0),
            lot.item.unit().name()
        ),
        source: None,
    })
}

fn shellac_remark(lot: &StockLot, days: i64) -> Option<StockRemark> {
    let (soft, past) = SHELLAC_KEEPS_DAYS;
    let advice = match days {
        _ if days > past => "is past its keeping time and may never harden: mix it fresh",
        _ if days > soft => "may stay soft: try a drop on glass first",
        _ => return None,
    };
    let text = format!("{} was mixed {} ago and {advice}", describe_lot(lot), format_count(days.unsigned_abs(), "day"));
    Some(StockRemark { text, source: Some(COMMON) })
}

fn damp_remark(lot: &StockLot, air: &Air, (opened, now): (Stamp, Stamp)) -> Option<StockRemark> {
    let stats = air.stats_between(opened, now).filter(|stats| stats.readings >= READINGS_LEAST)?;
    let mean = stats.rh_pct.mean;
    (mean > GLUE_DAMP_RH).then(|| StockRemark {
        text: format!(
            "{} stands open in air of {} % on average: it draws water and may mould; keep it closed and dry",
            describe_lot(lot),
            format_number(mean, 0)
        ),
        source: Some(COMMON),
    })
}
