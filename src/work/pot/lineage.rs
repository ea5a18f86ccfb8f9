//! Where the ground comes from: glue lot, size, gesso, coat, face, followed from either end; and what is to be said
//! before a coat from another batch, or from a pot stronger than the coat below.
//!
//! Pure functions over the stories at hand; a pot that is not among them is told of, never guessed. Absent on purpose:
//! finding stories on disk.

use super::event::PotKind;
use super::fold::{Pot, PotEnd};
use super::story::PotStory;
use super::water::{PotWater, WaterInputs};
use crate::craft::materials::Filler;
use crate::text::format_count;
use crate::units::{Id, Span, Stamp, Temperature};
use crate::work::panel;
use crate::work::panel::event::{Face, Stage};
use crate::work::story::StoryState;
use std::fmt;

/// Stronger by less than this share nothing is said: scales and drops (assumed).
pub const STRENGTH_TOLERANCE: f64 = 0.02;
/// A gesso keeps so many days, cold (an oil painter's page: 3-4 days; a tempera painter's page and Thompson 1936: a few).
pub const GESSO_KEEPS_DAYS: f64 = 4.0;
/// No line of pots is longer; a hostile one ends here.
const LINEAGE_DEPTH_MAX: usize = 32;

/// A coat and the pot it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct PotCoat {
    /// The panel.
    pub panel: Id,
    /// The coat, as the story numbers it.
    pub stage: Stage,
    /// The `seq` of the fact in the panel's story.
    pub seq: u64,
    /// When it was done.
    pub at: Stamp,
    /// The pot.
    pub pot: Id,
}

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
            CoatRemark::WrongKind { .. } | CoatRemark::Ended { .. } | CoatRemark::UnknownPot { .. } => {
                "the stories of the pots"
            }
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
                write!(f, "\"{pot}\" is size, and this coat is gesso")
            }
            CoatRemark::WrongKind { pot, kind: PotKind::Gesso } => {
                write!(f, "\"{pot}\" is gesso, and this coat is size")
            }
            CoatRemark::Ended { pot, thrown_away: true } => write!(f, "\"{pot}\" was thrown away before"),
            CoatRemark::Ended { pot, thrown_away: false } => write!(f, "\"{pot}\" was used up before"),
            CoatRemark::TooOld { pot, days } => {
                let age = format_count(days.round(), "day");
                write!(f, "\"{pot}\" is {age} old: look for mould, smell, and whether it still gels")
            }
            CoatRemark::UnknownPot { pot } => write!(f, "no pot \"{pot}\" is known here"),
        }
    }
}

/// The pots and panels at hand.
#[derive(Clone, Copy)]
pub struct PotLineage<'a> {
    /// Every pot.
    pub pots: &'a [&'a PotStory],
    /// Every panel.
    pub panels: &'a [&'a panel::story::PanelStory],
    /// What a millilitre of a powder weighs, loosely filled, g/ml.
    pub loose_g_per_ml: &'a dyn Fn(Filler) -> Option<f64>,
}

impl<'a> PotLineage<'a> {
    /// The pot of that id.
    pub fn pot(&self, id: &Id) -> Option<&'a Pot> {
        self.pots.iter().map(|s| s.pot()).find(|p| p.opened().id == *id)
    }

    /// The pot, the one it was poured from, and so on up. A pot that is not at hand is named and ends the line.
    pub fn ancestors(&self, id: &Id) -> Vec<Id> {
        let mut line = vec![id.clone()];
        while let Some(parent) = line.last().and_then(|id| self.pot(id)).and_then(|p| p.opened().parent.as_ref()) {
            if line.contains(parent) || line.len() >= LINEAGE_DEPTH_MAX {
                break;
            }
            line.push(parent.clone());
        }
        line
    }

    /// The lot of the glue in a pot: its own, or the nearest up the line.
    pub fn glue_lot(&self, id: &Id) -> Option<&'a str> {
        self.ancestors(id).iter().find_map(|id| self.pot(id)?.opened().lot.as_deref())
    }

    /// The pots poured from that one, themselves only.
    pub fn pots_poured_from(&self, id: &Id) -> Vec<&'a Id> {
        let pots = self.pots.iter().map(|s| s.pot().opened());
        pots.filter(|o| o.parent.as_ref() == Some(id)).map(|o| &o.id).collect()
    }

    /// Every pot with glue of that lot in it.
    #[cfg_attr(not(test), allow(dead_code, reason = "what is asked of a lot of glue is still to come"))]
    pub fn pots_of_lot(&self, lot: &str) -> Vec<&'a Id> {
        let ids = self.pots.iter().map(|s| &s.pot().opened().id);
        ids.filter(|id| self.glue_lot(id) == Some(lot)).collect()
    }

    /// The standing coats of a panel with a pot, in the order of the work.
    pub fn panel_coats(&self, panel: &panel::story::PanelStory) -> Vec<PotCoat> {
        let panel = panel.panel();
        let each = panel.steps().iter().zip(panel.stages());
        let named = each.filter_map(|(step, stage)| {
            let laid = step.laid_coat()?;
            let pot = laid.event.pot.clone()?;
            Some(PotCoat { panel: panel.opened().id.clone(), stage, seq: laid.seq, at: laid.done_at.wall, pot })
        });
        named.collect()
    }

    /// Every standing coat from that pot or from one poured from it, by time.
    pub fn coats_from_pot(&self, id: &Id) -> Vec<PotCoat> {
        let all = self.panels.iter().flat_map(|p| self.panel_coats(p));
        let mut from: Vec<_> = all.filter(|coat| self.ancestors(&coat.pot).contains(id)).collect();
        from.sort_by_key(|coat| coat.at);
        from
    }

    /// Every standing coat with glue of that lot, by time.
    #[cfg_attr(not(test), allow(dead_code, reason = "what is asked of a lot of glue is still to come"))]
    pub fn coats_of_lot(&self, lot: &str) -> Vec<PotCoat> {
        let all = self.panels.iter().flat_map(|p| self.panel_coats(p));
        let mut from: Vec<_> = all.filter(|coat| self.glue_lot(&coat.pot) == Some(lot)).collect();
        from.sort_by_key(|coat| coat.at);
        from
    }

    /// When something was taken out of that pot: coats, attempts done again, and pots poured from it; by time.
    pub fn use_times(&self, id: &Id) -> Vec<Stamp> {
        let steps = self.panels.iter().flat_map(|p| p.panel().steps());
        let laid = steps.flat_map(|s| s.laid_coat().into_iter().chain(s.failed_attempts.iter().map(|(laid, _)| laid)));
        let coats = laid.filter(|laid| laid.event.pot.as_ref() == Some(id)).map(|laid| laid.done_at.wall);
        let children = self.pots.iter().map(|s| s.pot()).filter(|p| p.opened().parent.as_ref() == Some(id));
        let mut uses: Vec<_> = coats.chain(children.map(|p| p.opened_at().wall)).collect();
        uses.sort();
        uses
    }

    /// The water and strength of a pot as of that time, what it was poured from taken into account.
    pub fn water_at(&self, id: &Id, at: Stamp) -> Option<PotWater> {
        let mut poured_factor = 1.0;
        let mut water = None;
        let mut line = self.ancestors(id);
        while let Some(here) = line.pop() {
            // A pot that is not at hand is taken to have been as strong as its recipe.
            let Some(pot) = self.pot(&here) else { continue };
            let until = line.last().and_then(|below| self.pot(below)).map_or(at, |below| below.opened_at().wall);
            let uses = self.use_times(&here);
            let known = WaterInputs {
                use_times: &uses,
                parent_strength_factor: poured_factor,
                loose_g_per_ml: self.loose_g_per_ml,
            };
            let told = pot.water_at(until, &known);
            // Its factor is against its own beginning, which may have been stronger than the recipe.
            poured_factor *= told.strength_factor.unwrap_or(1.0);
            water = Some(told);
        }
        water
    }

    /// What is to be said before the coat at hand is laid from that pot at that time.
    pub fn remarks_before_coat(&self, panel: &panel::story::PanelStory, pot: &Id, at: Stamp) -> Vec<CoatRemark> {
        let Some(stage) = panel.panel().stage_at_hand() else { return Vec::new() };
        let coats = self.panel_coats(panel);
        let below = coats.iter().rfind(|coat| is_coat_below(coat, &stage) && coat.at <= at);
        self.coat_remarks(&stage, pot, at, below)
    }

    /// What is to be said of every standing coat of a panel, with the `seq` of its fact.
    pub fn panel_remarks(&self, panel: &panel::story::PanelStory) -> Vec<(u64, CoatRemark)> {
        let coats = self.panel_coats(panel);
        let each = coats.iter().enumerate().flat_map(|(i, coat)| {
            let under = coats[..i].iter().rfind(|other| is_coat_below(other, &coat.stage));
            self.coat_remarks(&coat.stage, &coat.pot, coat.at, under).into_iter().map(|remark| (coat.seq, remark))
        });
        each.collect()
    }

    fn coat_remarks(&self, stage: &Stage, id: &Id, at: Stamp, below: Option<&PotCoat>) -> Vec<CoatRemark> {
        let Some(wants) = stage.kind.row().pot else { return Vec::new() };
        let Some(pot) = self.pot(id) else { return vec![CoatRemark::UnknownPot { pot: id.clone() }] };
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
