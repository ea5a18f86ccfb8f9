//! The faults a look at a panel can find.

use crate::work::advice::inspections::story_inspections;
use crate::work::panel::inspection::{Crack, CrackDirection, CrackPlace, Inspection};
use crate::work::panel::story::PanelStory;

/// A fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// A crack along the grain.
    CracksAlongGrain,
    /// A crack across the grain.
    CracksAcrossGrain,
    /// A crack at an edge.
    CracksAtEdge,
    /// Any crack.
    Cracks,
    /// A pinhole.
    Pinholes,
    /// The ground comes off its support.
    Lifting,
    /// It rubs off, or a nail goes deep.
    Powdery,
    /// A nail leaves no mark.
    TooHard,
    /// The board bent more than conservators call minor.
    Bow,
    /// Mould.
    Mould,
}

/// Per cent of the span: 1.5 to 2 mm over 76 cm was called minor by conservators (Univ. of Delaware).
const MINOR_BOW_PCT: f64 = 0.26;

impl Fault {
    /// Every fault, in the order they are told.
    pub const ALL: [Fault; 10] = [
        Fault::CracksAlongGrain,
        Fault::CracksAcrossGrain,
        Fault::CracksAtEdge,
        Fault::Cracks,
        Fault::Pinholes,
        Fault::Lifting,
        Fault::Powdery,
        Fault::TooHard,
        Fault::Bow,
        Fault::Mould,
    ];

    /// The words for it.
    pub const fn name(self) -> &'static str {
        match self {
            Fault::CracksAlongGrain => "cracks along the grain",
            Fault::CracksAcrossGrain => "cracks across the grain",
            Fault::CracksAtEdge => "cracks at an edge",
            Fault::Cracks => "cracks",
            Fault::Pinholes => "pinholes",
            Fault::Lifting => "lifting",
            Fault::Powdery => "a powdery ground",
            Fault::TooHard => "a ground too hard",
            Fault::Bow => "bow",
            Fault::Mould => "mould",
        }
    }

    /// Whether that look found it.
    fn is_seen(self, seen: &Inspection) -> bool {
        match self {
            Fault::CracksAlongGrain => has_crack(seen, |c| c.direction == CrackDirection::Along),
            Fault::CracksAcrossGrain => has_crack(seen, |c| c.direction == CrackDirection::Across),
            Fault::CracksAtEdge => has_crack(seen, |c| c.place == CrackPlace::Edge),
            Fault::Cracks => seen.is_cracked(),
            Fault::Pinholes => seen.pinholes.is_some_and(|n| n > 0),
            Fault::Lifting => seen.lift.is_some_and(|l| l.mm() > 0.0),
            Fault::Powdery => seen.rub.is_some_and(|g| g >= 2) || seen.nail == Some(3),
            Fault::TooHard => seen.nail == Some(0),
            Fault::Bow => seen.bow.is_some_and(|b| b.pct_of_span().abs() > MINOR_BOW_PCT),
            Fault::Mould => seen.mould,
        }
    }
}

fn has_crack(seen: &Inspection, like: fn(&Crack) -> bool) -> bool {
    seen.cracks.iter().any(|c| c.grade > 0 && like(c))
}

/// The faults ever seen on a panel, in the order of the list.
pub fn faults_seen(story: &PanelStory) -> Vec<Fault> {
    let looks = story_inspections(story);
    Fault::ALL.into_iter().filter(|fault| looks.iter().any(|(_, seen)| fault.is_seen(seen))).collect()
}
