//! For a fault seen on a panel: what of its own record the craft connects with such a fault, each with its source. A list
//! of things to look at, never a verdict: the fault may come from something nobody wrote down. Weighing one thing against
//! another takes many panels (`compare`).

use super::panel_row::PanelRow;
use super::row_text::count_gesso_pots;
use super::seen_fault::SeenFault;
use crate::craft::quantities::mix::GLUE_RANGE_G_PER_100G_FILLER;
use crate::text::{format_count, format_number};

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

/// What of a record the craft connects with a fault.
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
    pub fn describe(self, row: &PanelRow) -> String {
        let of = |v: Option<f64>| v.map_or_else(String::new, |v| format_number(v, 1));
        match self {
            RiskFactor::NoLinenOnPly => "plywood without linen: the face veneer checks".to_owned(),
            RiskFactor::FrontOnly => "gesso on the front only".to_owned(),
            RiskFactor::Unbalanced => {
                format!(
                    "{} on the front, {} on the back",
                    format_count(row.story.coats_front, "coat"),
                    row.story.coats_back
                )
            }
            RiskFactor::EarlyCoats => {
                format!("{} laid before the wait was over", format_count(row.story.early_coats, "coat"))
            }
            RiskFactor::LongGaps => format!("{} laid on a bone-dry one", format_count(row.story.long_gaps, "coat")),
            RiskFactor::SeveralPots => "gesso from more than one pot".to_owned(),
            RiskFactor::PrepareLeftOut => "breaking the edges and degreasing was left out".to_owned(),
            RiskFactor::BackUnsized => "no size on the back and the edges".to_owned(),
            RiskFactor::NoStipple => "no first coat tapped in".to_owned(),
            RiskFactor::StrongGlue => {
                format!("{} g of glue to 100 g of filler, which is much", of(row.pots.glue_per_100g_filler_g))
            }
            RiskFactor::WeakGlue => {
                format!("{} g of glue to 100 g of filler, which is little", of(row.pots.glue_per_100g_filler_g))
            }
            RiskFactor::HotPot => format!("the pot was read at {} C", of(row.pots.max_c)),
            RiskFactor::WaterLost => format!("the pot had lost {} % of its water", of(row.pots.water_lost_pct)),
            RiskFactor::DryAir => format!("air as dry as {} % while coats went on", of(row.air.rh_min_pct)),
            RiskFactor::DampAir => format!("air as damp as {} % while coats went on", of(row.air.rh_max_pct)),
            RiskFactor::ThinBoard => format!("a board {} mm thick", of(row.story.size_mm.2)),
            RiskFactor::SeveralMelts => format!("{} of the pot", format_count(row.pots.melts.unwrap_or(0), "melt")),
        }
    }
}

const UCL: &str = "UCL Slade teaching note; Rivers & Umney 2003";
const LATE_STRONG: &str = "UCL Slade teaching note and Rivers & Umney 2003: a stronger late coat peels or curls";
const THRESHOLD: &str = "a working threshold, derived from published recipes; to be tried on your own panels";

/// What the craft connects with a fault, and who does.
const fn risk_factors(fault: SeenFault) -> &'static [(RiskFactor, &'static str)] {
    match fault {
        SeenFault::CracksAlongGrain => &[
            (RiskFactor::NoLinenOnPly, "conservators' forum, Univ. of Delaware, 2016 and 2024"),
            (RiskFactor::FrontOnly, "common practice, no source"),
            (RiskFactor::DryAir, "Michalski 1991"),
        ],
        SeenFault::CracksAcrossGrain => &[
            (RiskFactor::EarlyCoats, "Michalski 1991: stress locked in while drying"),
            (RiskFactor::StrongGlue, THRESHOLD),
            (RiskFactor::DryAir, "Michalski 1991"),
        ],
        SeenFault::EdgeCracks => &[
            (RiskFactor::PrepareLeftOut, "egg-tempera painters' forum, 2005: cracks along unbevelled edges only"),
            (RiskFactor::BackUnsized, "common practice, no source"),
        ],
        SeenFault::Cracks => &[
            (RiskFactor::WaterLost, LATE_STRONG),
            (RiskFactor::HotPot, "Rivers & Umney 2003, p. 648"),
            (RiskFactor::SeveralPots, "Cennini ch. 117; Rivers & Umney 2003"),
        ],
        SeenFault::Pinholes => &[
            (RiskFactor::NoStipple, "Cennini ch. 117; common practice"),
            (RiskFactor::HotPot, "Thompson 1936, p. 27: heat beyond melting makes bubbles"),
            (RiskFactor::SeveralMelts, "Thompson 1936, p. 27"),
        ],
        SeenFault::Lifting => &[
            (RiskFactor::LongGaps, UCL),
            (RiskFactor::SeveralPots, "Cennini ch. 117; Rivers & Umney 2003"),
            (RiskFactor::WaterLost, LATE_STRONG),
            (RiskFactor::PrepareLeftOut, "Cennini ch. 113: grease"),
        ],
        SeenFault::PowderyGround => &[
            (RiskFactor::WeakGlue, THRESHOLD),
            (RiskFactor::HotPot, "Rivers & Umney 2003, p. 648"),
            (RiskFactor::SeveralMelts, "common practice, no source"),
        ],
        SeenFault::HardGround => &[(RiskFactor::StrongGlue, THRESHOLD), (RiskFactor::WaterLost, LATE_STRONG)],
        SeenFault::Bow => &[
            (RiskFactor::FrontOnly, "common practice, no source"),
            (RiskFactor::Unbalanced, "common practice, no source"),
            (RiskFactor::ThinBoard, "Stoney 1909: bow goes as one over the square of the thickness"),
        ],
        SeenFault::Mould => &[(RiskFactor::DampAir, "common practice, no source")],
    }
}

/// What to look at for each fault ever seen on that panel, in the order of the list.
pub fn possible_causes(row: &PanelRow) -> Vec<PossibleCause> {
    let of_fault = |fault: SeenFault| {
        let present = risk_factors(fault).iter().filter(|(factor, _)| factor.is_present(row));
        present.map(move |&(risk_factor, source)| PossibleCause { fault, risk_factor, source })
    };
    row.story.faults.iter().copied().flat_map(of_fault).collect()
}

/// What to look at on those panels, where it sets panels with the fault apart from those without, each with whether all the
/// panels have it. What sound panels have as often is left out.
pub fn telling_causes(rows: &[PanelRow]) -> Vec<(&PanelRow, Vec<(PossibleCause, bool)>)> {
    let looked: Vec<&PanelRow> = rows.iter().filter(|row| row.story.outcome.inspected).collect();
    let share = |cause: &PossibleCause, faulty: bool| {
        let side: Vec<&&PanelRow> =
            looked.iter().filter(|row| row.story.faults.contains(&cause.fault) == faulty).collect();
        let with = side.iter().filter(|row| cause.risk_factor.is_present(row)).count();
        (with, side.len())
    };
    let mut known: Vec<(SeenFault, RiskFactor, Option<bool>)> = Vec::new();
    let mut judge = |cause: &PossibleCause| {
        if let Some(of) = known.iter().find(|k| (k.0, k.1) == (cause.fault, cause.risk_factor)) {
            return of.2;
        }
        let ((with, faulty), (without, sound)) = (share(cause, true), share(cause, false));
        let judged = match (with == faulty && without == sound, without * faulty >= with * sound && sound > 0) {
            (true, _) => Some(true),
            (false, true) => None,
            (false, false) => Some(false),
        };
        known.push((cause.fault, cause.risk_factor, judged));
        judged
    };
    let of_row = |row| {
        let causes: Vec<_> = possible_causes(row).into_iter().filter_map(|c| Some((c, judge(&c)?))).collect();
        (!causes.is_empty()).then_some((row, causes))
    };
    rows.iter().filter_map(of_row).collect()
}

impl RiskFactor {
    /// Whether the record of that panel says so.
    fn is_present(self, row: &PanelRow) -> bool {
        let above = |v: Option<f64>, bound: f64| v.is_some_and(|v| v >= bound);
        let below = |v: Option<f64>, bound: f64| v.is_some_and(|v| v <= bound);
        let coated = row.story.coats_front > 0;
        match self {
            RiskFactor::NoLinenOnPly => row.story.support.is_plywood() && !row.story.cloth,
            RiskFactor::FrontOnly => coated && row.story.coats_back == 0,
            RiskFactor::Unbalanced => row.story.coats_back > 0 && row.story.coats_front != row.story.coats_back,
            RiskFactor::EarlyCoats => row.story.early_coats > 0,
            RiskFactor::LongGaps => row.story.long_gaps > 0,
            RiskFactor::SeveralPots => count_gesso_pots(row) > 1,
            RiskFactor::PrepareLeftOut => row.story.unprepared,
            RiskFactor::BackUnsized => row.story.size_coats.0 > 0 && row.story.size_coats.1 == 0,
            RiskFactor::NoStipple => coated && row.story.stipples == 0,
            // Hypotheses: below 4 g to 100 g expect powder; above 8 g cracking has been reported.
            RiskFactor::StrongGlue => above(row.pots.glue_per_100g_filler_g, GLUE_RANGE_G_PER_100G_FILLER.1),
            RiskFactor::WeakGlue => below(row.pots.glue_per_100g_filler_g, GLUE_RANGE_G_PER_100G_FILLER.0),
            RiskFactor::HotPot => row.pots.overheated,
            // A tenth of the water gone makes the glue a ninth stronger.
            RiskFactor::WaterLost => above(row.pots.water_lost_pct, 10.0),
            RiskFactor::DryAir => below(row.air.rh_min_pct, 35.0),
            RiskFactor::DampAir => above(row.air.rh_max_pct, 75.0),
            RiskFactor::ThinBoard => below(row.story.size_mm.2, 9.0),
            RiskFactor::SeveralMelts => row.pots.melts.is_some_and(|n| n > 1),
        }
    }
}
