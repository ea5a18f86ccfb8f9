//! What is recorded of the cupboard: a closed list of facts.

use super::item::StockItem;
use chrono::NaiveDate;

/// Something that happened to the cupboard.
#[derive(Debug, Clone, PartialEq)]
pub enum StockEvent {
    /// So much of a lot is there, whatever was said of it before.
    Set(Box<StockSet>),
    /// Something of it was used, beside what the pots took.
    Used {
        /// Of what.
        item: StockItem,
        /// How much, in its unit.
        amount: f64,
        /// Of which lot; without one, of the oldest that is open.
        lot: Option<String>,
    },
    /// The fact of that `seq` is taken back.
    Undone {
        /// Which.
        takes_back: u64,
    },
    /// A word of a newer version.
    Unknown {
        /// The word.
        name: String,
    },
}

/// What is said of a lot.
#[derive(Debug, Clone, PartialEq)]
pub struct StockSet {
    /// What it is.
    pub item: StockItem,
    /// How much there is, in its unit.
    pub amount: f64,
    /// As printed on the packet.
    pub lot: Option<String>,
    /// When it was opened; of a solution, when it was mixed.
    pub opened: Option<NaiveDate>,
    /// What was paid for it, in the maker's words.
    pub price: Option<String>,
}

impl StockEvent {
    /// The word written in the journal.
    pub fn name(&self) -> &str {
        match self {
            StockEvent::Set(_) => "set",
            StockEvent::Used { .. } => "used",
            StockEvent::Undone { .. } => "undone",
            StockEvent::Unknown { name } => name,
        }
    }
}
