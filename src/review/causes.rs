//! For a fault seen on a panel: what of its own record the craft connects with such a fault, each with its source. A list
//! of things to look at, never a verdict: the fault may come from something nobody wrote down.
//!
//! Absent on purpose: weighing one thing against another; that is for many panels (`compare`).

use super::facts::Facts;
use crate::craft::quantities::mix::GLUE_PER_100G;
use crate::text::round_to;
use crate::work::advice::inspections::looks;
use crate::work::panel::inspection::{CrackAt, CrackRun, Inspection};
use crate::work::panel::story::Story;
use std::collections::BTreeSet;

/// One thing to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pointer {
    /// The fault.
    pub fault: &'static str,
    /// What the record says, or fails to say.
    pub recorded: Recorded,
    /// Who connects the two.
    pub source: &'static str,
}

/// What of a record a pointer points at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "`said` tells each")]
pub enum Recorded {
    NoLinenOnPly,
    FrontOnly,
    Unbalanced,
    Early,
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
    Melted,
}

impl Recorded {
    /// The words for it on that panel.
    pub fn said(self, f: &Facts) -> String {
        let n = |n: u32, one: &str, more: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {more}") };
        let of = |v: Option<f64>| v.map_or_else(String::new, |v| round_to(v, 1));
        match self {
            Recorded::NoLinenOnPly => "plywood without linen: the face veneer checks".to_owned(),
            Recorded::FrontOnly => "gesso on the front only".to_owned(),
            Recorded::Unbalanced => format!("{} coats on the front, {} on the back", f.coats_front, f.coats_back),
            Recorded::Early => format!("{} laid before the wait was over", n(f.early_coats, "coat", "coats")),
            Recorded::LongGaps => format!("{} laid on a bone-dry one", n(f.long_gaps, "coat", "coats")),
            Recorded::SeveralPots => "gesso from more than one pot".to_owned(),
            Recorded::PrepareLeftOut => "breaking the edges and degreasing was left out".to_owned(),
            Recorded::BackUnsized => "no size on the back and the edges".to_owned(),
            Recorded::NoStipple => "no first coat tapped in".to_owned(),
            Recorded::StrongGlue => {
                format!("{} g of glue to 100 g of filler, which is much", of(f.glue_per_100g_filler_g))
            }
            Recorded::WeakGlue => {
                format!("{} g of glue to 100 g of filler, which is little", of(f.glue_per_100g_filler_g))
            }
            Recorded::HotPot => format!("the pot was read at {} C", of(f.pot_max_c)),
            Recorded::WaterLost => format!("the pot had lost {} % of its water", of(f.water_lost_pct)),
            Recorded::DryAir => format!("air as dry as {} % while coats went on", of(f.air.rh_min_pct)),
            Recorded::DampAir => format!("air as damp as {} % while coats went on", of(f.air.rh_max_pct)),
            Recorded::ThinBoard => format!("a board {} mm thick", of(f.size_mm.2)),
            Recorded::Melted => n(f.melts.unwrap_or(0), "melt of the pot", "melts of the pot"),
        }
    }
}

/// A fault, whether it was seen, and what the craft connects with it.
struct Link {
    fault: &'static str,
    seen: fn(&Inspection) -> bool,
    with: &'static [(Recorded, &'static str)],
}

const UCL: &str = "UCL Slade teaching note; Rivers & Umney 2003";
const LATE_STRONG: &str = "UCL Slade teaching note and Rivers & Umney 2003: a stronger late coat peels or curls";
const THRESHOLD: &str = "a working threshold, derived from published recipes; to be tried on your own panels";

const LINKS: [Link; 10] = [
    Link {
        fault: "cracks along the grain",
        seen: |s| has(s, |c| c.run == CrackRun::Along),
        with: &[
            (Recorded::NoLinenOnPly, "conservators' forum, Univ. of Delaware, 2016 and 2024"),
            (Recorded::FrontOnly, "common practice, no source"),
            (Recorded::DryAir, "Michalski 1991"),
        ],
    },
    Link {
        fault: "cracks across the grain",
        seen: |s| has(s, |c| c.run == CrackRun::Across),
        with: &[
            (Recorded::Early, "Michalski 1991: stress locked in while drying"),
            (Recorded::StrongGlue, THRESHOLD),
            (Recorded::DryAir, "Michalski 1991"),
        ],
    },
    Link {
        fault: "cracks at an edge",
        seen: |s| has(s, |c| c.at == CrackAt::Edge),
        with: &[
            (Recorded::PrepareLeftOut, "egg-tempera painters' forum, 2005: cracks along unbevelled edges only"),
            (Recorded::BackUnsized, "common practice, no source"),
        ],
    },
    Link {
        fault: "cracks",
        seen: Inspection::cracked,
        with: &[
            (Recorded::WaterLost, LATE_STRONG),
            (Recorded::HotPot, "Rivers & Umney 2003, p. 648"),
            (Recorded::SeveralPots, "Cennini ch. 117; Rivers & Umney 2003"),
        ],
    },
    Link {
        fault: "pinholes",
        seen: |s| s.pinholes.is_some_and(|n| n > 0),
        with: &[
            (Recorded::NoStipple, "Cennini ch. 117; common practice"),
            (Recorded::HotPot, "Thompson 1936, p. 27: heat beyond melting makes bubbles"),
            (Recorded::Melted, "Thompson 1936, p. 27"),
        ],
    },
    Link {
        fault: "lifting",
        seen: |s| s.lift.is_some_and(|l| l.mm() > 0.0),
        with: &[
            (Recorded::LongGaps, UCL),
            (Recorded::SeveralPots, "Cennini ch. 117; Rivers & Umney 2003"),
            (Recorded::WaterLost, LATE_STRONG),
            (Recorded::PrepareLeftOut, "Cennini ch. 113: grease"),
        ],
    },
    Link {
        fault: "a powdery ground",
        seen: |s| s.rub.is_some_and(|g| g >= 2) || s.nail == Some(3),
        with: &[
            (Recorded::WeakGlue, THRESHOLD),
            (Recorded::HotPot, "Rivers & Umney 2003, p. 648"),
            (Recorded::Melted, "common practice, no source"),
        ],
    },
    Link {
        fault: "a ground too hard",
        seen: |s| s.nail == Some(0),
        with: &[(Recorded::StrongGlue, THRESHOLD), (Recorded::WaterLost, LATE_STRONG)],
    },
    Link {
        fault: "bow",
        // 1.5 to 2 mm over 76 cm was called minor by conservators (Univ. of Delaware): up to 0.26 % of the span.
        seen: |s| s.bow.is_some_and(|b| b.pct_of_span().abs() > 0.26),
        with: &[
            (Recorded::FrontOnly, "common practice, no source"),
            (Recorded::Unbalanced, "common practice, no source"),
            (Recorded::ThinBoard, "Stoney 1909: bow goes as one over the square of the thickness"),
        ],
    },
    Link { fault: "mould", seen: |s| s.mould, with: &[(Recorded::DampAir, "common practice, no source")] },
];

fn has(seen: &Inspection, like: fn(&crate::work::panel::inspection::Crack) -> bool) -> bool {
    seen.cracks.iter().any(|c| c.grade > 0 && like(c))
}

/// The faults ever seen on a panel, by name, in the order of the list.
pub fn faults(story: &Story) -> Vec<&'static str> {
    let looks = looks(story);
    LINKS.iter().filter(|link| looks.iter().any(|(_, seen)| (link.seen)(seen))).map(|link| link.fault).collect()
}

/// What to look at for each fault ever seen on that panel, in the order of the list.
pub fn causes(f: &Facts) -> Vec<Pointer> {
    let seen = LINKS.iter().filter(|link| f.faults.contains(&link.fault));
    seen.flat_map(|link| {
        let there = link.with.iter().filter(|(recorded, _)| recorded.holds(f));
        there.map(|(recorded, source)| Pointer { fault: link.fault, recorded: *recorded, source })
    })
    .collect()
}

impl Recorded {
    /// Whether the record of that panel says so.
    fn holds(self, f: &Facts) -> bool {
        let above = |v: Option<f64>, bound: f64| v.is_some_and(|v| v >= bound);
        let below = |v: Option<f64>, bound: f64| v.is_some_and(|v| v <= bound);
        let coated = f.coats_front > 0;
        match self {
            Recorded::NoLinenOnPly => f.support.ends_with("plywood") && !f.cloth,
            Recorded::FrontOnly => coated && f.coats_back == 0,
            Recorded::Unbalanced => f.coats_back > 0 && f.coats_front != f.coats_back,
            Recorded::Early => f.early_coats > 0,
            Recorded::LongGaps => f.long_gaps > 0,
            Recorded::SeveralPots => gesso_pots(f) > 1,
            Recorded::PrepareLeftOut => f.unprepared,
            Recorded::BackUnsized => f.size_coats.0 > 0 && f.size_coats.1 == 0,
            Recorded::NoStipple => coated && f.stipples == 0,
            // Hypotheses: below 4 g to 100 g expect powder, above 15 g expect hard and crack-prone.
            Recorded::StrongGlue => above(f.glue_per_100g_filler_g, GLUE_PER_100G.1),
            Recorded::WeakGlue => below(f.glue_per_100g_filler_g, GLUE_PER_100G.0),
            Recorded::HotPot => above(f.pot_max_c, f.overheat_c),
            // A tenth of the water gone makes the glue a ninth stronger.
            Recorded::WaterLost => above(f.water_lost_pct, 10.0),
            Recorded::DryAir => below(f.air.rh_min_pct, 35.0),
            Recorded::DampAir => above(f.air.rh_max_pct, 75.0),
            Recorded::ThinBoard => below(f.size_mm.2, 9.0),
            Recorded::Melted => f.melts.is_some_and(|n| n > 1),
        }
    }
}

fn gesso_pots(f: &Facts) -> usize {
    f.uses.iter().filter(|u| u.gesso).map(|u| &u.pot).collect::<BTreeSet<_>>().len()
}
