//! A call in plain words, for whoever can hear or be told but not look.

use crate::craft::recipe::Direction;
use crate::text::format_count;
use crate::work::panel::event::PanelCall;

/// Later than this is told in hours, minutes.
const HOURS_FROM_MIN: i64 = 120;

/// What a call says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AlertText {
    /// Which call.
    pub call: PanelCall,
    /// The board, or the pot where the call is a pot's own, as the maker calls it.
    pub label: String,
    /// What is to be done or looked at: `lay coat 4 of 6`.
    pub act: String,
    /// The direction, where the act has one.
    pub direction: Option<Direction>,
    /// How that direction lies on this board.
    pub direction_text: Option<&'static str>,
    /// How many whole minutes it is late; 0 where it is not.
    pub late_min: i64,
    /// The pot it concerns, as the maker calls it.
    pub pot: Option<String>,
}

impl AlertText {
    /// One sentence or two: `Ash: lay coat 4 of 6, vertical, along the long side. 3 minutes late.`
    pub fn sentence(&self) -> String {
        let mut said = match &self.pot {
            // A pot's own call bears its name already.
            Some(pot) if *pot != self.label => format!("{pot}: {}, for {}", self.act, self.label),
            Some(_) | None => format!("{}: {}", self.label, self.act),
        };
        for part in self.direction.map(Direction::name).into_iter().chain(self.direction_text) {
            said.push_str(", ");
            said.push_str(part);
        }
        if !said.ends_with('?') {
            said.push('.');
        }
        match self.late_min {
            i64::MIN..=0 => said,
            late if late >= HOURS_FROM_MIN => format!("{said} {} late.", format_count(late / 60, "hour")),
            late => format!("{said} {} late.", format_count(late, "minute")),
        }
    }
}
