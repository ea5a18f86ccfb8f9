//! The faults a look at a panel can find.

use crate::units::all_variants;
use crate::work::advice::inspections::story_inspections;
use crate::work::panel::inspection::{Crack, CrackDirection, CrackPlace, Inspection};
use crate::work::panel::story::PanelStory;
use strum::VariantArray;

/// A fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum SeenFault {
    /// A crack along the grain.
    CracksAlongGrain,
    /// A crack across the grain.
    CracksAcrossGrain,
    /// A crack at an edge.
    EdgeCracks,
    /// Any crack.
    Cracks,
    /// A pinhole.
    Pinholes,
    /// The ground comes off its support.
    Lifting,
    /// It rubs off, or a nail goes deep.
    PowderyGround,
    /// A nail leaves no mark.
    HardGround,
    /// The board bent more than conservators call minor.
    Bow,
    /// Mould.
    Mould,
}
all_variants!(SeenFault);

/// Per cent of the span: 1.5 to 2 mm over 76 cm was called minor by conservators (Univ. of Delaware).
const MINOR_BOW_PCT: f64 = 0.26;

impl SeenFault {
    /// The words for it.
    pub const fn name(self) -> &'static str {
        match self {
            SeenFault::CracksAlongGrain => "cracks along the grain",
            SeenFault::CracksAcrossGrain => "cracks across the grain",
            SeenFault::EdgeCracks => "cracks at an edge",
            SeenFault::Cracks => "cracks",
            SeenFault::Pinholes => "pinholes",
            SeenFault::Lifting => "lifting",
            SeenFault::PowderyGround => "a powdery ground",
            SeenFault::HardGround => "a ground too hard",
            SeenFault::Bow => "bow",
            SeenFault::Mould => "mould",
        }
    }

    /// Whether that look found it.
    fn is_seen(self, seen: &Inspection) -> bool {
        match self {
            SeenFault::CracksAlongGrain => has_crack(seen, |c| c.direction == CrackDirection::Along),
            SeenFault::CracksAcrossGrain => has_crack(seen, |c| c.direction == CrackDirection::Across),
            SeenFault::EdgeCracks => has_crack(seen, |c| c.place == CrackPlace::Edge),
            SeenFault::Cracks => seen.is_cracked(),
            SeenFault::Pinholes => seen.pinholes.is_some_and(|n| n > 0),
            SeenFault::Lifting => seen.lift.is_some_and(|l| l.mm() > 0.0),
            SeenFault::PowderyGround => seen.rub.is_some_and(|g| g >= 2) || seen.nail == Some(3),
            SeenFault::HardGround => seen.nail == Some(0),
            SeenFault::Bow => seen.bow.is_some_and(|b| b.pct_of_span().abs() > MINOR_BOW_PCT),
            SeenFault::Mould => seen.mould,
        }
    }
}

fn has_crack(seen: &Inspection, like: fn(&Crack) -> bool) -> bool {
    seen.cracks.iter().any(|c| c.grade > 0 && like(c))
}

/// The faults ever seen on a panel, in the order of the list.
pub fn faults_seen(story: &PanelStory) -> Vec<SeenFault> {
    let looks = story_inspections(story);
    SeenFault::ALL.into_iter().filter(|fault| looks.iter().any(|(_, seen)| fault.is_seen(seen))).collect()
}
