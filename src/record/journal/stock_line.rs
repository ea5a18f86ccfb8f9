//! How a fact of the cupboard stands on a line: an amount with its unit, grams, millilitres or pieces.

use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter};
use crate::text::parse_iso_day;
use crate::work::stock::event::{StockEvent, StockSet};
use crate::work::stock::item::{StockItem, StockUnit};
use chrono::NaiveDate;

impl JournalEvent for StockEvent {
    const FORMAT: &'static str = "sottile-stock";

    fn event_name(&self) -> &str {
        self.name()
    }

    /// There is one cupboard, so every fact can be its first line.
    fn header(&self) -> Option<Header<'_>> {
        Some(Header { id: None, label: "stock" })
    }

    fn write_members(&self, to: &mut MemberWriter) {
        match self {
            StockEvent::Set(set) => {
                write_amount(&set.item, set.amount, to);
                to.put("lot", &set.lot);
                to.put("opened", &set.opened.map(format_day));
                to.put("price", &set.price);
            }
            StockEvent::Used { item, amount, lot } => {
                write_amount(item, *amount, to);
                to.put("lot", lot);
            }
            StockEvent::Undone { takes_back } => to.put("takes_back", takes_back),
            StockEvent::Unknown { name } => to.set_error(&format!("\"{name}\" is a word of a newer version")),
        }
    }

    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError> {
        let text = |name: &str| from.optional(name, |f| f.text(name).map(str::to_owned));
        Ok(Some(match word {
            "set" => {
                let (item, amount) = parse_amount(from)?;
                let opened = from.optional("opened", |f| f.parse_text("opened", parse_iso_day))?;
                StockEvent::Set(Box::new(StockSet { item, amount, lot: text("lot")?, opened, price: text("price")? }))
            }
            "used" => {
                let (item, amount) = parse_amount(from)?;
                StockEvent::Used { item, amount, lot: text("lot")? }
            }
            "undone" => StockEvent::Undone { takes_back: from.unsigned("takes_back")? },
            _ => return Ok(None),
        }))
    }

    fn from_newer_name(word: &str) -> Self {
        StockEvent::Unknown { name: word.to_owned() }
    }
}

fn format_day(day: NaiveDate) -> String {
    day.format("%Y-%m-%d").to_string()
}

fn write_amount(item: &StockItem, amount: f64, to: &mut MemberWriter) {
    to.put("item", &item.name());
    to.put("amount", &amount);
    to.put("unit", item.unit().name());
}

fn parse_amount(from: &Fields<'_>) -> Result<(StockItem, f64), MemberError> {
    let item = from.parse_text("item", StockItem::parse)?;
    let unit = from.parse_text("unit", StockUnit::from_name)?;
    if unit != item.unit() {
        return Err(MemberError::Malformed(format!("`unit` is {} for {}", unit.name(), item.name())));
    }
    Ok((item, from.number("amount")?))
}
