//! What is to be said of a coat and its pot: another batch than the coat below, a pot stronger than it, overheated, too
//! old, or of the wrong kind. Each says where it comes from; none forbids anything.

use super::event::PotKind;
use super::fold::{Pot, PotEnd};
use super::lineage::{PotCoat, panel_coats};
use super::usage::PotUsage;
use crate::text::format_count;
use crate::units::{Id, Span, Stamp, Temperature};
use crate::work::panel::event::{Face, Stage};
use crate::work::panel::story::PanelStory;
use crate::work::story::StoryState;
use std::fmt;

/// Stronger by less than this share nothing is said: scales and drops (assumed).
pub const STRENGTH_TOLERANCE: f64 = 0.02;
/// A gesso keeps so many days, cold (an oil painter's page: 3-4 days; a tempera painter's page and Thompson 1936: a few).
pub const GESSO_KEEPS_DAYS: f64 = 4.0;

/// In what a pot is stronger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StrengthMeasure {
    /// Grams of glue to a litre of water: what evaporation changes.
    PerLitreOfWater,
    /// Grams of glue to 100 g of filler: what two batches differ in.
    Per100gFiller,
}

/// What is to be said of a coat and its pot.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum CoatRemark {
    /// The coat below came from another pot.
    BatchChanged { below: Id, above: Id },
    /// Stronger than the coat below.
    Stronger { measure: StrengthMeasure, below: f64, above: f64 },
    /// The pot was overheated.
    Overheated { pot: Id, max: Temperature },
    /// A pot of the other kind.
    WrongKind { pot: Id, kind: PotKind },
    /// The pot was used up or thrown away before.
    Ended { pot: Id, thrown_away: bool },
    /// The pot is older than gesso keeps.
    TooOld { pot: Id, days: f64 },
    /// The journal of the pot is damaged, or a newer version wrote it.
    DamagedPot { pot: Id },
    /// No such pot is among those at hand.
    UnknownPot { pot: Id },
}

impl CoatRemark {
    /// Where it comes from.
    pub const fn source(&self) -> &'static str {
        match self {
            CoatRemark::BatchChanged { .. } => "Cennino Cennini, ch. 117; S. Rivers & N. Umney 2003",
            CoatRemark::Stronger { .. } => "the Slade School's teaching note; S. Rivers & N. Umney 2003",
            CoatRemark::Overheated { .. } => "S. Rivers & N. Umney 2003, p. 648",
            CoatRemark::TooOld { .. } => "an oil painter's and a tempera painter's page; D. V. Thompson 1936",
            CoatRemark::WrongKind { .. }
            | CoatRemark::Ended { .. }
            | CoatRemark::DamagedPot { .. }
            | CoatRemark::UnknownPot { .. } => "the stories of the pots",
        }
    }
}

impl fmt::Display for CoatRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CoatRemark::BatchChanged { below, above } => {
                write!(
                    f,
                    "from \"{above}\", and the coat below is from \"{below}\": two batches on one ground may part"
                )
            }
            CoatRemark::Stronger { measure, below, above } => {
                let pct = (above / below - 1.0) * 100.0;
                let unit = match measure {
                    StrengthMeasure::PerLitreOfWater => "g of glue to a litre of water",
                    StrengthMeasure::Per100gFiller => "g of glue to 100 g of filler",
                };
                write!(f, "stronger than the coat below by {pct:.0} % ({above:.1} over {below:.1} {unit}): it may peel")
            }
            CoatRemark::Overheated { pot, max } => {
                write!(f, "\"{pot}\" was overheated ({:.0} C): try whether it still gels firmly", max.c())
            }
            CoatRemark::WrongKind { pot, kind: PotKind::Size } => {
                write!(f, "\"{pot}\" is glue size, and this coat is gesso")
            }
            CoatRemark::WrongKind { pot, kind: PotKind::Gesso } => {
                write!(f, "\"{pot}\" is gesso, and this coat is glue size")
            }
            CoatRemark::Ended { pot, thrown_away: true } => write!(f, "\"{pot}\" was thrown away before"),
            CoatRemark::Ended { pot, thrown_away: false } => write!(f, "\"{pot}\" was used up before"),
            CoatRemark::TooOld { pot, days } => {
                write!(
                    f,
                    "\"{pot}\" is {} old: look for mould, smell, and whether it still gels",
                    format_count(days.round(), "day")
                )
            }
            CoatRemark::DamagedPot { pot } => {
                write!(f, "the file of \"{pot}\" cannot be relied on, so nothing is said of it; see `sottile verify`")
            }
            CoatRemark::UnknownPot { pot } => write!(f, "no pot \"{pot}\" is known here"),
        }
    }
}

impl PotUsage<'_> {
    /// What is to be said before the coat at hand is laid from that pot at that time.
    pub fn remarks_before_coat(&self, panel: &PanelStory, pot: &Id, at: Stamp) -> Vec<CoatRemark> {
        let Some(stage) = panel.panel().stage_at_hand() else { return Vec::new() };
        let coats = panel_coats(panel);
        let below = coats.iter().rfind(|coat| is_coat_below(coat, &stage) && coat.at <= at);
        self.coat_remarks(&stage, pot, at, below)
    }

    /// What is to be said of every standing coat of a panel, with the `seq` of its fact.
    pub fn panel_remarks(&self, panel: &PanelStory) -> Vec<(u64, CoatRemark)> {
        let coats = panel_coats(panel);
        let each = coats.iter().enumerate().flat_map(|(i, coat)| {
            let under = coats[..i].iter().rfind(|other| is_coat_below(other, &coat.stage));
            self.coat_remarks(&coat.stage, &coat.pot, coat.at, under).into_iter().map(|remark| (coat.seq, remark))
        });
        each.collect()
    }

    fn coat_remarks(&self, stage: &Stage, id: &Id, at: Stamp, below: Option<&PotCoat>) -> Vec<CoatRemark> {
        let Some(wants) = stage.kind.row().pot else { return Vec::new() };
        if self.lineage().is_damaged(id) {
            return vec![CoatRemark::DamagedPot { pot: id.clone() }];
        }
        let Some(pot) = self.lineage().pot(id) else { return vec![CoatRemark::UnknownPot { pot: id.clone() }] };
        let mut said = pot_remarks(pot, wants, at);
        if let Some(below) = below.filter(|b| b.pot != *id) {
            said.push(CoatRemark::BatchChanged { below: below.pot.clone(), above: id.clone() });
        }
        said.extend(below.and_then(|below| self.strength_remark(id, at, below)));
        said
    }

    /// Whether the pot is now stronger than the one of the coat below was when that was laid.
    fn strength_remark(&self, id: &Id, at: Stamp, below: &PotCoat) -> Option<CoatRemark> {
        let (above, below) = (self.water_at(id, at)?, self.water_at(&below.pot, below.at)?);
        let over = |measure, below: Option<f64>, above: Option<f64>| {
            let (below, above) = (below?, above?);
            (above > below * (1.0 + STRENGTH_TOLERANCE)).then_some(CoatRemark::Stronger { measure, below, above })
        };
        over(StrengthMeasure::PerLitreOfWater, below.glue_g_per_l_water, above.glue_g_per_l_water).or(over(
            StrengthMeasure::Per100gFiller,
            below.glue_per_100g_filler_g,
            above.glue_per_100g_filler_g,
        ))
    }
}

/// What is to be said of the pot itself.
fn pot_remarks(pot: &Pot, wants: PotKind, at: Stamp) -> Vec<CoatRemark> {
    let id = || pot.opened().id.clone();
    let mut said = Vec::new();
    if pot.opened().kind != wants {
        said.push(CoatRemark::WrongKind { pot: id(), kind: pot.opened().kind });
    }
    if let Some((_, end)) = pot.end.as_ref().filter(|(m, _)| m.wall < at) {
        said.push(CoatRemark::Ended { pot: id(), thrown_away: *end != PotEnd::UsedUp });
    }
    let hot = pot.temps().iter().filter(|(m, t)| m.wall <= at && t.c() >= pot.recipe().gesso.overheat_c);
    if let Some((_, max)) = hot.max_by(|a, b| a.1.c().total_cmp(&b.1.c())) {
        said.push(CoatRemark::Overheated { pot: id(), max: *max });
    }
    let age: Span = at - pot.made_at().unwrap_or(pot.opened_at()).wall;
    if age.hours() > GESSO_KEEPS_DAYS * 24.0 {
        said.push(CoatRemark::TooOld { pot: id(), days: age.hours() / 24.0 });
    }
    said
}

/// Whether that coat lies under that stage in the same ground: gesso, on the same face.
fn is_coat_below(coat: &PotCoat, stage: &Stage) -> bool {
    let gesso = |s: &Stage| s.kind.is_gesso();
    let face = |s: &Stage| s.face.unwrap_or(Face::Front);
    gesso(&coat.stage) && gesso(stage) && face(&coat.stage) == face(stage)
}
