//! When the last coat of gesso of all boards is laid, and how late any of them comes.

use super::board_load::BoardLoad;
use super::round::{Round, WaitBound};
use crate::text::{format_number_word, format_when};
use crate::units::{Span, Stamp};
use chrono::TimeZone;
use std::fmt::Display;

/// An end is told to so many minutes: it is none surer.
const ROUNDED_TO: Span = Span::from_s(5 * 60);

/// How a session ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SessionEnd {
    /// How many boards ask for a coat.
    pub boards: usize,
    /// Some gesso is laid already.
    pub has_begun: bool,
    /// The waits are those of the air, not the recipe's alone.
    pub is_by_air: bool,
    /// The wait after a coat, at least and at most.
    pub wait: (Span, Span),
    /// When the last coat is laid with the shortest waits.
    pub earliest: Stamp,
    /// And with the longest.
    pub latest: Stamp,
    /// The longest a coat is begun after it fell due.
    pub worst_late: Span,
    /// By how much a coat comes after its board's long gap, where one does.
    pub worst_long_gap: Option<Span>,
}

impl SessionEnd {
    /// The end with so many pairs of hands; none where no board asks for a coat. `is_by_air` says that the loads were made
    /// with the factors of the air.
    pub fn from_loads(loads: &[BoardLoad], hands: usize, is_by_air: bool, now: Stamp) -> Option<SessionEnd> {
        let coats = || loads.iter().flat_map(|load| &load.coats);
        let (shortest, longest) = (coats().map(|c| c.wait.0).min()?, coats().map(|c| c.wait.1).max()?);
        let quick = Round::play(loads, hands, WaitBound::Shortest, now);
        let is_certain = coats().all(|coat| coat.wait.0 == coat.wait.1);
        let slow = if is_certain { quick.clone() } else { Round::play(loads, hands, WaitBound::Longest, now) };
        let (one, other) = (quick.end_at(), slow.end_at());
        Some(SessionEnd {
            boards: loads.len(),
            has_begun: loads.iter().any(|load| load.has_begun),
            is_by_air,
            wait: (shortest, longest),
            earliest: one.min(other),
            latest: one.max(other),
            worst_late: quick.worst_late().max(slow.worst_late()),
            worst_long_gap: quick.worst_long_gap(loads).max(slow.worst_long_gap(loads)),
        })
    }

    /// The end to be told: the middle of the earliest and the latest, to the next five minutes.
    pub fn about(&self) -> Stamp {
        let middle = self.earliest.ms() + (self.latest - self.earliest).ms() / 2;
        let step = ROUNDED_TO.ms();
        Stamp::from_ms(middle.div_euclid(step) * step + if middle.rem_euclid(step) > 0 { step } else { 0 })
    }

    /// `last coat of all four about 16:05`; before the first coat `in this air a coat takes 25-35 min: four boards till
    /// about 21:40`.
    pub fn line<Z: TimeZone<Offset: Display>>(&self, now: Stamp, zone: &Z) -> String {
        let about = format_when(self.about(), now, zone);
        if self.has_begun {
            return match self.boards {
                0 | 1 => format!("last coat about {about}"),
                2 => format!("last coat of both about {about}"),
                boards => format!("last coat of all {} about {about}", format_number_word(boards)),
            };
        }
        let air = if self.is_by_air { "in this air " } else { "" };
        let (low, high) = (self.wait.0.minutes().round(), self.wait.1.minutes().round());
        let takes = if low == high { format!("{low} min") } else { format!("{low}-{high} min") };
        let (count, boards) = (format_number_word(self.boards), if self.boards == 1 { "board" } else { "boards" });
        format!("{air}a coat takes {takes}: {count} {boards} till about {about}")
    }
}
