//! What a pot's forecast rests on, and how that is told.

use crate::text::format_count;
use std::fmt;

/// What the cooling time was before any mark of this pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoolingTimeOrigin {
    /// The recipe says it.
    Recipe,
    /// Earlier pots of the same kind and size showed it.
    EarlierPots {
        /// How many pots.
        pots: usize,
    },
}

/// What a pot itself has shown, by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CoolingEvidence {
    /// Coolings marked to the jelly.
    pub jellies: usize,
    /// Coolings in which it was found liquid, or went into the bath liquid.
    pub liquids: usize,
    /// Thermometer readings, in all coolings.
    pub readings: usize,
}

impl CoolingEvidence {
    /// Whether it has shown nothing.
    pub const fn is_none(self) -> bool {
        self.jellies == 0 && self.liquids == 0 && self.readings == 0
    }

    /// Whether the pot has shown enough to lend it to the next: a jelly, or a curve of three readings.
    pub const fn teaches(self) -> bool {
        self.jellies > 0 || self.readings > 2
    }
}

/// What the forecast rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastBasis {
    /// What the cooling time was before any mark.
    pub origin: CoolingTimeOrigin,
    /// What the pot itself has shown.
    pub evidence: CoolingEvidence,
    /// The temperature it begins at, C.
    pub start_c: f64,
    /// Whether a thermometer said so.
    pub start_read: bool,
    /// Whether the marks show that it was taken out as soon as it was liquid.
    pub just_liquid: bool,
    /// The room, C.
    pub room_c: f64,
    /// Whether the room was read; else it is assumed.
    pub room_read: bool,
    /// Where it gels, C.
    pub gels_c: f64,
    /// The share of it that is left, 1 for all.
    pub share_left: f64,
}

impl fmt::Display for ForecastBasis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Newton's law of cooling; ")?;
        match self.origin {
            CoolingTimeOrigin::Recipe => f.write_str("the recipe's cooling time")?,
            CoolingTimeOrigin::EarlierPots { pots } => {
                write!(f, "the cooling time of {}", format_count(pots, "earlier pot"))?;
            }
        }
        let CoolingEvidence { jellies, liquids, readings } = self.evidence;
        for (n, what) in [
            (jellies, "cooling of yours to the jelly|coolings of yours to the jelly"),
            (liquids, "cooling found liquid|coolings found liquid"),
            (readings, "thermometer reading|thermometer readings"),
        ] {
            let (one, many) = what.split_once('|').unwrap_or((what, what));
            match n {
                0 => {}
                1 => write!(f, ", 1 {one}")?,
                _ => write!(f, ", {n} {many}")?,
            }
        }
        let start = match (self.start_read, self.just_liquid) {
            (true, _) => "read",
            (false, true) => "taken out just liquid",
            (false, false) => "assumed",
        };
        let room = if self.room_read { "read" } else { "assumed" };
        let gels = if self.evidence.is_none() { "recipe" } else { "recipe and marks" };
        let [start_c, room_c, gels_c] = [self.start_c, self.room_c, self.gels_c];
        write!(
            f,
            "; {start_c:.1} C at the beginning ({start}), room {room_c:.1} C ({room}), gels at {gels_c:.1} C ({gels})"
        )?;
        if self.share_left < 0.95 {
            write!(f, ", {:.0} % of the pot left", 100.0 * self.share_left)?;
        }
        Ok(())
    }
}
