//! The two sides of a column, half way between the means of panels with the fault and without, and of two columns at once.

use super::super::column::CauseUnit;
use super::causes::{AskedColumn, Inquiry};

/// How many units lie on the side that goes with the fault, and how many of each side have it: (with it, all).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Split {
    /// Half way between the means of both sides.
    pub(super) bound: f64,
    /// It is low figures that go with the fault.
    pub(super) is_turned: bool,
    /// On the side that goes with the fault.
    pub(super) high: (usize, usize),
    /// On the other.
    pub(super) low: (usize, usize),
}

impl Split {
    pub(super) fn new(inquiry: &Inquiry<'_>, c: &AskedColumn) -> Option<Split> {
        let (bound, is_turned) = find_bound(inquiry, c)?;
        let sides = units_on_side(inquiry, c, c.unit)?;
        let faulty = units_with_fault(inquiry, c.unit);
        let (mut high, mut low) = ((0, 0), (0, 0));
        for (side, has) in sides.iter().zip(&faulty) {
            let Some(side) = side else { continue };
            let counts = if *side { &mut high } else { &mut low };
            counts.0 += usize::from(*has);
            counts.1 += 1;
        }
        Some(Split { bound, is_turned, high, low })
    }
}

/// Half way between the sides' means, and whether it is low figures that go with the fault. Of words it is a half.
fn find_bound(inquiry: &Inquiry<'_>, c: &AskedColumn) -> Option<(f64, bool)> {
    let (a, b) = inquiry.side_means(c)?;
    let is_turned = c.chance?.distance < 0.0;
    Some(if c.kind().is_some() { (0.5, is_turned) } else { (a / 2.0 + b / 2.0, is_turned) })
}

/// By unit, whether it is on the side that goes with the fault.
fn units_on_side(inquiry: &Inquiry<'_>, c: &AskedColumn, unit: CauseUnit) -> Option<Vec<Option<bool>>> {
    let (bound, is_turned) = find_bound(inquiry, c)?;
    let means = inquiry.units.means(unit, c.values());
    Some(means.into_iter().map(|mean| mean.map(|m| (m > bound) != is_turned)).collect())
}

fn units_with_fault(inquiry: &Inquiry<'_>, unit: CauseUnit) -> Vec<bool> {
    let mut has = vec![false; inquiry.units.count(unit)];
    for (panel, u) in inquiry.panels.iter().zip(inquiry.units.unit_of(unit)) {
        has[*u] |= panel.has_fault;
    }
    has
}

/// Two columns over the same units: how many of each kind, and how many of those have the fault: (with it, all).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Crossing {
    pub(super) unit: CauseUnit,
    pub(super) both: (usize, usize),
    pub(super) first_only: (usize, usize),
    pub(super) second_only: (usize, usize),
    pub(super) neither: (usize, usize),
}

/// From this on two columns go together (assumed): of 12 pots, six of each kind, at most one on either side parts them.
const TOGETHER_PHI: f64 = 0.6;

impl Crossing {
    /// Over pots, or over panels where one of them differs within pots.
    pub(super) fn new(inquiry: &Inquiry<'_>, first: &AskedColumn, second: &AskedColumn) -> Option<Crossing> {
        let unit = if first.unit == CauseUnit::Panel || second.unit == CauseUnit::Panel {
            CauseUnit::Panel
        } else {
            CauseUnit::GessoPot
        };
        let (a, b) = (units_on_side(inquiry, first, unit)?, units_on_side(inquiry, second, unit)?);
        let none = (0, 0);
        let mut crossing = Crossing { unit, both: none, first_only: none, second_only: none, neither: none };
        for ((a, b), has) in a.iter().zip(&b).zip(units_with_fault(inquiry, unit)) {
            let (Some(a), Some(b)) = (a, b) else { continue };
            let counts = match (a, b) {
                (true, true) => &mut crossing.both,
                (true, false) => &mut crossing.first_only,
                (false, true) => &mut crossing.second_only,
                (false, false) => &mut crossing.neither,
            };
            counts.0 += usize::from(has);
            counts.1 += 1;
        }
        Some(crossing)
    }

    /// Whether who has the one mostly has the other: the coefficient of their two-by-two.
    pub(super) fn go_together(&self) -> bool {
        let [a, b, c, d] = [self.both.1, self.first_only.1, self.second_only.1, self.neither.1].map(|n| n as f64);
        let sides = (a + b) * (c + d) * (a + c) * (b + d);
        sides > 0.0 && (a * d - b * c) / sides.sqrt() >= TOGETHER_PHI
    }
}
