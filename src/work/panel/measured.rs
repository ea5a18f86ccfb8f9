//! What balance, and calliper or film gauge, say of a board, and what is doubtful about it.

use crate::units::{Length, Mass, Moment};
use std::fmt;

/// So many points are taken of one measurement.
pub const POINTS_MAX: usize = 100;

/// One weighing of a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelWeighing {
    /// When.
    pub at: Moment,
    /// What it weighed.
    pub mass: Mass,
    /// What a bare offcut of the same sheet weighed beside it.
    pub offcut: Option<Mass>,
}

/// What lies on the bare board, from its thickness at points before and after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Build {
    /// The mean over the points, um.
    pub mean_um: f64,
    /// The thinnest and the thickest point, um.
    pub range_um: (f64, f64),
    /// How many points.
    pub points: usize,
}

/// What is doubtful about a fact that was taken in.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum PanelQuestion {
    /// The bare board is far from as thick as it was said to be.
    OtherThickness { measured: Length, said: Length },
    /// The first measurement, though something lies on the board.
    NotBare,
    /// Not as many points as the bare board was measured at.
    OtherPoints { bare: usize },
    /// Thinner than the bare board.
    Thinner { by_um: f64 },
    /// More than any ground.
    TooThick { build_um: f64 },
    /// Heavier than at the weighing before, and nothing was laid between.
    Heavier { by: Mass },
    /// Lighter by more than half.
    MuchLighter { by: Mass },
    /// The offcut is heavier than the board.
    OffcutHeavier,
}

impl fmt::Display for PanelQuestion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PanelQuestion::OtherThickness { measured, said } => write!(
                f,
                "that is {:.1} mm, and the board was opened as {:.1} mm thick: is the unit right?",
                measured.mm(),
                said.mm()
            ),
            PanelQuestion::NotBare => {
                f.write_str("taken as the bare board, and something lies on it already: what is built counts from here")
            }
            PanelQuestion::OtherPoints { bare } => {
                write!(
                    f,
                    "the bare board was measured at {bare}: the same points in the same order tell what was built"
                )
            }
            PanelQuestion::Thinner { by_um } => {
                write!(
                    f,
                    "a point {by_um:.0} um thinner than the bare board: are unit and order of the points the same?"
                )
            }
            PanelQuestion::TooThick { build_um } => {
                write!(f, "{:.1} mm above the bare board is more than a ground: is the unit right?", build_um / 1000.0)
            }
            PanelQuestion::Heavier { by } => {
                write!(
                    f,
                    "{:.1} g heavier, and nothing was laid: damper air, a coat left out, or another scale?",
                    by.g()
                )
            }
            PanelQuestion::MuchLighter { by } => {
                write!(f, "{:.0} g lighter, more than half: is the unit right?", by.g())
            }
            PanelQuestion::OffcutHeavier => f.write_str("the offcut is heavier than the board: are the two swapped?"),
        }
    }
}
