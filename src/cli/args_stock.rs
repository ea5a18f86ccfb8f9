//! What may be written behind `stock`.

use crate::text::{find_nearest_word, parse_iso_day, quote_word};
use crate::work::stock::item::StockItem;
use chrono::NaiveDate;
use clap::builder::{PossibleValue, TypedValueParser};
use clap::error::ErrorKind;
use clap::{Arg, Args, Command, Error, Subcommand};
use std::ffi::OsStr;

/// `stock`.
#[derive(Debug, Subcommand)]
pub enum StockSubcommand {
    /// Tells what is in the cupboard, what the pots took, and what to look after
    List {
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Says how much of something is there; a lot is counted by itself
    Set(StockSetArgs),
    /// Says that something was used; what pots take when they are made goes off by itself
    Use(StockUseArgs),
    /// Takes back what was recorded of the cupboard last
    Undo {
        /// Print the cupboard then, as JSON
        #[arg(long)]
        json: bool,
    },
}

/// `stock set`.
#[derive(Debug, Args)]
pub struct StockSetArgs {
    #[command(flatten)]
    pub amount: StockAmountArgs,
    /// When it was opened, or a solution mixed: 2026-03-14
    #[arg(long, value_name = "DATE", value_parser = parse_day)]
    pub opened: Option<NaiveDate>,
    /// What was paid for it, in your own words: 24.50 EUR
    #[arg(long, value_name = "P")]
    pub price: Option<String>,
}

/// `stock use`.
#[derive(Debug, Args)]
pub struct StockUseArgs {
    #[command(flatten)]
    pub amount: StockAmountArgs,
}

/// What both take.
#[derive(Debug, Args)]
pub struct StockAmountArgs {
    /// What: glue, a filler, "pigment NAME", shellac, "shellac solution", spirit, boards, "boards 300x400x12mm"
    #[arg(value_name = "NAME", value_parser = StockItemParser, hide_possible_values = true)]
    pub item: StockItem,
    /// How much, with its unit: 500g, 1.2kg, 750ml; boards in pieces: 4
    pub amount: String,
    /// The lot, as printed on the packet
    #[arg(long, value_name = "TEXT")]
    pub lot: Option<String>,
    /// When: HH:MM, -4m, or RFC 3339; without it, now
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// Print the cupboard then, as JSON
    #[arg(long)]
    pub json: bool,
}

fn parse_day(text: &str) -> Result<NaiveDate, String> {
    parse_iso_day(text.trim()).ok_or_else(|| "write a day as in 2026-03-14".to_owned())
}

/// A parser for what can lie in the cupboard; completions are given the plain names.
#[derive(Debug, Clone, Copy)]
pub struct StockItemParser;

impl TypedValueParser for StockItemParser {
    type Value = StockItem;

    fn parse_ref(&self, command: &Command, _: Option<&Arg>, value: &OsStr) -> Result<StockItem, Error> {
        let text = value.to_string_lossy();
        StockItem::parse(&text).ok_or_else(|| {
            let names = StockItem::plain_names();
            let told = match find_nearest_word(&text.to_lowercase(), names.iter().copied()) {
                Some(nearest) => format!("`{nearest}` is the nearest"),
                None => format!("known are {}, pigment NAME", names.join(", ")),
            };
            let message = format!("{} is nothing the cupboard knows; {told}\n", quote_word(&text));
            Error::raw(ErrorKind::ValueValidation, message).with_cmd(command)
        })
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(StockItem::plain_names().into_iter().map(PossibleValue::new)))
    }
}
