//! For a fault seen on a panel: what of its own record the craft connects with such a fault, each with its source. A list
//! of things to look at, never a verdict: the fault may come from something nobody wrote down.
//!
//! Absent on purpose: weighing one thing against another; that is for many panels (`compare`).

use super::panel_row::PanelRow;
use crate::craft::quantities::mix::GLUE_RANGE_G_PER_100G_FILLER;
use crate::text::{format_count, format_number};
use crate::work::advice::inspections::story_inspections;
use crate::work::panel::inspection::{CrackDirection, CrackPlace, Inspection};
use crate::work::panel::story::PanelStory;
use std::collections::BTreeSet;

/// A fault that can be seen on a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "`name` tells each")]
pub enum SeenFault {
    CracksAlongGrain,
    CracksAcrossGrain,
    EdgeCracks,
    Cracks,
    Pinholes,
    Lifting,
    PowderyGround,
    HardGround,
    Bow,
    Mould,
}

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
}

/// One thing to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PossibleCause {
    /// The fault.
    pub fault: SeenFault,
    /// What the record says, or fails to say.
    pub risk_factor: RiskFactor,
    /// Who connects the two.
    pub source: &'static str,
}

/// What of a record a pointer points at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "`describe` tells each")]
pub enum RiskFactor {
    NoLinenOnPly,
    FrontOnly,
    Unbalanced,
    EarlyCoats,
    LongGaps,
    SeveralPots,
    PrepareLeftOut,
    BackUnsized,
    NoStipple,
    StrongGlue,
    WeakGlue,
    HotPot,
    WaterLost,
    DryAir,
    DampAir,
    ThinBoard,
    SeveralMelts,
}

impl RiskFactor {
    /// The words for it on that panel.
    pub fn describe(self, f: &PanelRow) -> String {
        let of = |v: Option<f64>| v.map_or_else(String::new, |v| format_number(v, 1));
        match self {
            RiskFactor::NoLinenOnPly => "plywood without linen: the face veneer checks".to_owned(),
            RiskFactor::FrontOnly => "gesso on the front only".to_owned(),
            RiskFactor::Unbalanced => format!("{} coats on the front, {} on the back", f.coats_front, f.coats_back),
            RiskFactor::EarlyCoats => format!("{} laid before the wait was over", format_count(f.early_coats, "coat")),
            RiskFactor::LongGaps => format!("{} laid on a bone-dry one", format_count(f.long_gaps, "coat")),
            RiskFactor::SeveralPots => "gesso from more than one pot".to_owned(),
            RiskFactor::PrepareLeftOut => "breaking the edges and degreasing was left out".to_owned(),
            RiskFactor::BackUnsized => "no size on the back and the edges".to_owned(),
            RiskFactor::NoStipple => "no first coat tapped in".to_owned(),
            RiskFactor::StrongGlue => {
                format!("{} g of glue to 100 g of filler, which is much", of(f.glue_per_100g_filler_g))
            }
            RiskFactor::WeakGlue => {
                format!("{} g of glue to 100 g of filler, which is little", of(f.glue_per_100g_filler_g))
            }
            RiskFactor::HotPot => format!("the pot was read at {} C", of(f.pot_max_c)),
            RiskFactor::WaterLost => format!("the pot had lost {} % of its water", of(f.water_lost_pct)),
            RiskFactor::DryAir => format!("air as dry as {} % while coats went on", of(f.air.rh_min_pct)),
            RiskFactor::DampAir => format!("air as damp as {} % while coats went on", of(f.air.rh_max_pct)),
            RiskFactor::ThinBoard => format!("a board {} mm thick", of(f.size_mm.2)),
            RiskFactor::SeveralMelts => format!("{} of the pot", format_count(f.melts.unwrap_or(0), "melt")),
        }
    }
}

/// A fault, whether it was seen, and what the craft connects with it.
struct FaultRule {
    fault: SeenFault,
    is_seen: fn(&Inspection) -> bool,
    risk_factors: &'static [(RiskFactor, &'static str)],
}

const UCL: &str = "UCL Slade teaching note; Rivers & Umney 2003";
const LATE_STRONG: &str = "UCL Slade teaching note and Rivers & Umney 2003: a stronger late coat peels or curls";
const THRESHOLD: &str = "a working threshold, derived from published recipes; to be tried on your own panels";

const FAULT_RULES: [FaultRule; 10] = [
    FaultRule {
        fault: SeenFault::CracksAlongGrain,
        is_seen: |s| has_crack(s, |c| c.direction == CrackDirection::Along),
        risk_factors: &[
            (RiskFactor::NoLinenOnPly, "conservators' forum, Univ. of Delaware, 2016 and 2024"),
            (RiskFactor::FrontOnly, "common practice, no source"),
            (RiskFactor::DryAir, "Michalski 1991"),
        ],
    },
    FaultRule {
        fault: SeenFault::CracksAcrossGrain,
        is_seen: |s| has_crack(s, |c| c.direction == CrackDirection::Across),
        risk_factors: &[
            (RiskFactor::EarlyCoats, "Michalski 1991: stress locked in while drying"),
            (RiskFactor::StrongGlue, THRESHOLD),
            (RiskFactor::DryAir, "Michalski 1991"),
        ],
    },
    FaultRule {
        fault: SeenFault::EdgeCracks,
        is_seen: |s| has_crack(s, |c| c.place == CrackPlace::Edge),
        risk_factors: &[
            (RiskFactor::PrepareLeftOut, "egg-tempera painters' forum, 2005: cracks along unbevelled edges only"),
            (RiskFactor::BackUnsized, "common practice, no source"),
        ],
    },
    FaultRule {
        fault: SeenFault::Cracks,
        is_seen: Inspection::is_cracked,
        risk_factors: &[
            (RiskFactor::WaterLost, LATE_STRONG),
            (RiskFactor::HotPot, "Rivers & Umney 2003, p. 648"),
            (RiskFactor::SeveralPots, "Cennini ch. 117; Rivers & Umney 2003"),
        ],
    },
    FaultRule {
        fault: SeenFault::Pinholes,
        is_seen: |s| s.pinholes.is_some_and(|n| n > 0),
        risk_factors: &[
            (RiskFactor::NoStipple, "Cennini ch. 117; common practice"),
            (RiskFactor::HotPot, "Thompson 1936, p. 27: heat beyond melting makes bubbles"),
            (RiskFactor::SeveralMelts, "Thompson 1936, p. 27"),
        ],
    },
    FaultRule {
        fault: SeenFault::Lifting,
        is_seen: |s| s.lift.is_some_and(|l| l.mm() > 0.0),
        risk_factors: &[
            (RiskFactor::LongGaps, UCL),
            (RiskFactor::SeveralPots, "Cennini ch. 117; Rivers & Umney 2003"),
            (RiskFactor::WaterLost, LATE_STRONG),
            (RiskFactor::PrepareLeftOut, "Cennini ch. 113: grease"),
        ],
    },
    FaultRule {
        fault: SeenFault::PowderyGround,
        is_seen: |s| s.rub.is_some_and(|g| g >= 2) || s.nail == Some(3),
        risk_factors: &[
            (RiskFactor::WeakGlue, THRESHOLD),
            (RiskFactor::HotPot, "Rivers & Umney 2003, p. 648"),
            (RiskFactor::SeveralMelts, "common practice, no source"),
        ],
    },
    FaultRule {
        fault: SeenFault::HardGround,
        is_seen: |s| s.nail == Some(0),
        risk_factors: &[(RiskFactor::StrongGlue, THRESHOLD), (RiskFactor::WaterLost, LATE_STRONG)],
    },
    FaultRule {
        fault: SeenFault::Bow,
        // 1.5 to 2 mm over 76 cm was called minor by conservators (Univ. of Delaware): up to 0.26 % of the span.
        is_seen: |s| s.bow.is_some_and(|b| b.pct_of_span().abs() > 0.26),
        risk_factors: &[
            (RiskFactor::FrontOnly, "common practice, no source"),
            (RiskFactor::Unbalanced, "common practice, no source"),
            (RiskFactor::ThinBoard, "Stoney 1909: bow goes as one over the square of the thickness"),
        ],
    },
    FaultRule {
        fault: SeenFault::Mould,
        is_seen: |s| s.mould,
        risk_factors: &[(RiskFactor::DampAir, "common practice, no source")],
    },
];

fn has_crack(seen: &Inspection, like: fn(&crate::work::panel::inspection::Crack) -> bool) -> bool {
    seen.cracks.iter().any(|c| c.grade > 0 && like(c))
}

/// The faults ever seen on a panel, in the order of the list.
pub fn faults_seen(story: &PanelStory) -> Vec<SeenFault> {
    let looks = story_inspections(story);
    FAULT_RULES
        .iter()
        .filter(|link| looks.iter().any(|(_, seen)| (link.is_seen)(seen)))
        .map(|link| link.fault)
        .collect()
}

/// What to look at for each fault ever seen on that panel, in the order of the list.
pub fn possible_causes(f: &PanelRow) -> Vec<PossibleCause> {
    let seen = FAULT_RULES.iter().filter(|link| f.faults.contains(&link.fault));
    seen.flat_map(|link| {
        let there = link.risk_factors.iter().filter(|(recorded, _)| recorded.is_present(f));
        there.map(|(recorded, source)| PossibleCause { fault: link.fault, risk_factor: *recorded, source })
    })
    .collect()
}

impl RiskFactor {
    /// Whether the record of that panel says so.
    fn is_present(self, f: &PanelRow) -> bool {
        let above = |v: Option<f64>, bound: f64| v.is_some_and(|v| v >= bound);
        let below = |v: Option<f64>, bound: f64| v.is_some_and(|v| v <= bound);
        let coated = f.coats_front > 0;
        match self {
            RiskFactor::NoLinenOnPly => f.support.is_plywood() && !f.cloth,
            RiskFactor::FrontOnly => coated && f.coats_back == 0,
            RiskFactor::Unbalanced => f.coats_back > 0 && f.coats_front != f.coats_back,
            RiskFactor::EarlyCoats => f.early_coats > 0,
            RiskFactor::LongGaps => f.long_gaps > 0,
            RiskFactor::SeveralPots => count_gesso_pots(f) > 1,
            RiskFactor::PrepareLeftOut => f.unprepared,
            RiskFactor::BackUnsized => f.size_coats.0 > 0 && f.size_coats.1 == 0,
            RiskFactor::NoStipple => coated && f.stipples == 0,
            // Hypotheses: below 4 g to 100 g expect powder, above 15 g expect hard and crack-prone.
            RiskFactor::StrongGlue => above(f.glue_per_100g_filler_g, GLUE_RANGE_G_PER_100G_FILLER.1),
            RiskFactor::WeakGlue => below(f.glue_per_100g_filler_g, GLUE_RANGE_G_PER_100G_FILLER.0),
            RiskFactor::HotPot => above(f.pot_max_c, f.overheat_c),
            // A tenth of the water gone makes the glue a ninth stronger.
            RiskFactor::WaterLost => above(f.water_lost_pct, 10.0),
            RiskFactor::DryAir => below(f.air.rh_min_pct, 35.0),
            RiskFactor::DampAir => above(f.air.rh_max_pct, 75.0),
            RiskFactor::ThinBoard => below(f.size_mm.2, 9.0),
            RiskFactor::SeveralMelts => f.melts.is_some_and(|n| n > 1),
        }
    }
}

fn count_gesso_pots(f: &PanelRow) -> usize {
    f.pot_uses.iter().filter(|u| u.gesso).map(|u| &u.pot).collect::<BTreeSet<_>>().len()
}
