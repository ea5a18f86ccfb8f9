//! The JSON of `stock`, and what `plan --shopping --json` adds.

use super::json::{FORMAT_VERSION, format_local_rfc3339};
use crate::units::Id;
use crate::work::stock::cupboard::{Cupboard, StockLot};
use crate::work::stock::remarks::StockRemark;
use crate::work::stock::shopping::ShoppingLine;
#[cfg(test)]
use schemars::JsonSchema;
use serde::Serialize;

/// What `stock list --json` prints, and `set`, `use` and `undo` afterwards.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
#[cfg_attr(test, schemars(rename = "stock"))]
pub(super) struct StockJson {
    format: u32,
    /// Every lot that was told of.
    items: Vec<StockLotJson>,
    /// Pots made since, of which nobody said how much they took.
    unknown_pots: Vec<String>,
    remarks: Vec<StockRemarkJson>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct StockLotJson {
    name: String,
    /// What is left, in its unit.
    amount: f64,
    /// `g`, `ml` or `pieces`.
    unit: &'static str,
    lot: Option<String>,
    /// The day it was opened or mixed.
    opened: Option<String>,
    price: Option<String>,
    set_at: String,
    /// What was there then.
    set: f64,
    /// Used by hand since.
    used: f64,
    /// Taken by pots since.
    taken: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
struct StockRemarkJson {
    message: String,
    source: Option<&'static str>,
}

impl StockJson {
    pub(super) fn from_cupboard(cupboard: &Cupboard, remarks: &[StockRemark]) -> StockJson {
        let remark = |remark: &StockRemark| StockRemarkJson { message: remark.text.clone(), source: remark.source };
        StockJson {
            format: FORMAT_VERSION,
            items: cupboard.lots().iter().map(StockLotJson::from_lot).collect(),
            unknown_pots: cupboard.unknown_pots.iter().map(Id::to_string).collect(),
            remarks: remarks.iter().map(remark).collect(),
        }
    }
}

impl StockLotJson {
    fn from_lot(lot: &StockLot) -> StockLotJson {
        StockLotJson {
            name: lot.item.name(),
            amount: lot.left(),
            unit: lot.item.unit().name(),
            lot: lot.lot.clone(),
            opened: lot.opened.map(|day| day.format("%Y-%m-%d").to_string()),
            price: lot.price.clone(),
            set_at: format_local_rfc3339(lot.set_at),
            set: lot.set,
            used: lot.used,
            taken: lot.taken,
        }
    }
}

/// Something a plan takes.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(JsonSchema))]
#[cfg_attr(test, schemars(rename = "shopping"))]
pub(super) struct ShoppingLineJson {
    name: String,
    unit: &'static str,
    needed: f64,
    /// What is there; null where the cupboard was never told of it.
    there: Option<f64>,
    short: f64,
    /// When it will be lacking.
    short_at: Option<String>,
}

impl From<&ShoppingLine> for ShoppingLineJson {
    fn from(line: &ShoppingLine) -> ShoppingLineJson {
        ShoppingLineJson {
            name: line.item.name(),
            unit: line.item.unit().name(),
            needed: line.needed,
            there: line.there,
            short: line.short,
            short_at: line.short_at.map(format_local_rfc3339),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Entry, Moment, Stamp};
    use crate::work::stock::event::{StockEvent, StockSet};
    use crate::work::stock::item::StockItem;
    use crate::work::stock::takings::PotTakings;

    fn check(name: &str, schema: schemars::Schema, written: &serde_json::Value) {
        let path = format!("{}/assets/schema/{name}.json", env!("CARGO_MANIFEST_DIR"));
        let made = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if std::env::var_os("SOTTILE_BLESS").is_some() {
            std::fs::write(&path, &made).unwrap();
        }
        assert_eq!(std::fs::read_to_string(&path).unwrap(), made, "{name}: run with SOTTILE_BLESS=1 to write it anew");
        let validator = jsonschema::draft202012::new(&serde_json::from_str(&made).unwrap()).unwrap();
        let wrong: Vec<String> = validator.iter_errors(written).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{name}: {wrong:?}");
        assert!(!validator.is_valid(&serde_json::json!({"format": "1"})));
    }

    #[test]
    fn json_keeps_to_its_published_schema() {
        let set = StockSet { item: StockItem::Glue, amount: 500.0, lot: None, opened: None, price: None };
        let event = StockEvent::Set(Box::new(set));
        let written = Moment::from_wall(Stamp::from_ms(1_800_000_000_000));
        let entry = Entry { seq: 0, at: written.wall, written, raw_wall: None, replaces: None, event };
        let cupboard = Cupboard::from_facts(&[entry], &PotTakings::default());
        let remarks = [StockRemark { text: "old".into(), source: None }];
        let stock = serde_json::to_value(StockJson::from_cupboard(&cupboard, &remarks)).unwrap();
        check("stock", schemars::schema_for!(StockJson), &stock);
        let line = ShoppingLine {
            item: StockItem::Spirit,
            needed: 40.0,
            there: None,
            short: 40.0,
            short_at: Some(written.wall),
        };
        let line = serde_json::to_value(ShoppingLineJson::from(&line)).unwrap();
        check("shopping", schemars::schema_for!(ShoppingLineJson), &line);
    }
}
