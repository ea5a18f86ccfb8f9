//! Where the ground comes from: glue lot, size, gesso, coat, face, followed from either end; and what is to be said
//! before a coat from another batch, or from a pot stronger than the coat below.
//!
//! Pure functions over the stories at hand; a pot that is not among them is told of, never guessed. Absent on purpose:
//! finding stories on disk.

use super::event::Kind;
use super::fold::{End, Pot};
use super::story::Story;
use super::water::{Known, Water};
use crate::craft::materials::Filler;
use crate::units::{Id, Span, Stamp, Temperature};
use crate::work::panel;
use crate::work::panel::event::{Face, Kind as StageKind, Stage};
use std::fmt;

/// Stronger by less than this share nothing is said: scales and drops (assumed).
pub const STRONGER: f64 = 0.02;
/// A gesso keeps so many days, cold (an oil painter's page: 3-4 days; a tempera painter's page and Thompson 1936: a few).
pub const KEEPS_DAYS: f64 = 4.0;
/// No line of pots is longer; a hostile one ends here.
const LINE_MAX: usize = 32;

/// A coat and the pot it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatFrom {
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
pub enum Measure {
    /// Grams of glue to a litre of water: what evaporation changes.
    PerLitreOfWater,
    /// Grams of glue to 100 g of filler: what two batches differ in.
    Per100gFiller,
}

/// What is to be said of a coat and its pot.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum Remark {
    /// The coat below came from another pot.
    BatchChanged { below: Id, above: Id },
    /// Stronger than the coat below.
    Stronger { measure: Measure, below: f64, above: f64 },
    /// The pot was overheated.
    Overheated { pot: Id, max: Temperature },
    /// A pot of the other kind.
    WrongKind { pot: Id, kind: Kind },
    /// The pot was used up or thrown away before.
    Ended { pot: Id, thrown_away: bool },
    /// The pot is older than gesso keeps.
    Old { pot: Id, days: f64 },
    /// No such pot is among those at hand.
    Unknown { pot: Id },
}

impl Remark {
    /// Where it comes from.
    pub const fn source(&self) -> &'static str {
        match self {
            Remark::BatchChanged { .. } => "Cennino Cennini, ch. 117; S. Rivers & N. Umney 2003",
            Remark::Stronger { .. } => "the Slade School's teaching note; S. Rivers & N. Umney 2003",
            Remark::Overheated { .. } => "S. Rivers & N. Umney 2003, p. 648",
            Remark::Old { .. } => "an oil painter's and a tempera painter's page; D. V. Thompson 1936",
            Remark::WrongKind { .. } | Remark::Ended { .. } | Remark::Unknown { .. } => "the stories of the pots",
        }
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Remark::BatchChanged { below, above } => {
                write!(
                    f,
                    "from \"{above}\", and the coat below is from \"{below}\": two batches on one ground may part"
                )
            }
            Remark::Stronger { measure, below, above } => {
                let pct = (above / below - 1.0) * 100.0;
                let unit = match measure {
                    Measure::PerLitreOfWater => "g of glue to a litre of water",
                    Measure::Per100gFiller => "g of glue to 100 g of filler",
                };
                write!(f, "stronger than the coat below by {pct:.0} % ({above:.1} over {below:.1} {unit}): it may peel")
            }
            Remark::Overheated { pot, max } => {
                write!(f, "\"{pot}\" was overheated ({:.0} C): try whether it still gels firmly", max.c())
            }
            Remark::WrongKind { pot, kind: Kind::Size } => write!(f, "\"{pot}\" is size, and this coat is gesso"),
            Remark::WrongKind { pot, kind: Kind::Gesso } => write!(f, "\"{pot}\" is gesso, and this coat is size"),
            Remark::Ended { pot, thrown_away: true } => write!(f, "\"{pot}\" was thrown away before"),
            Remark::Ended { pot, thrown_away: false } => write!(f, "\"{pot}\" was used up before"),
            Remark::Old { pot, days } => {
                write!(f, "\"{pot}\" is {days:.0} days old: look for mould, smell, and whether it still gels")
            }
            Remark::Unknown { pot } => write!(f, "no pot \"{pot}\" is known here"),
        }
    }
}

/// The pots and panels at hand.
#[derive(Clone, Copy)]
pub struct Family<'a> {
    /// Every pot.
    pub pots: &'a [&'a Story],
    /// Every panel.
    pub panels: &'a [&'a panel::story::Story],
    /// What a millilitre of a powder weighs, loosely filled, g/ml.
    pub loose_g_per_ml: &'a dyn Fn(Filler) -> Option<f64>,
}

impl<'a> Family<'a> {
    /// The pot of that id.
    pub fn pot(&self, id: &Id) -> Option<&'a Pot> {
        self.pots.iter().map(|s| s.pot()).find(|p| p.opened().id == *id)
    }

    /// The pot, the one it was poured from, and so on up. A pot that is not at hand is named and ends the line.
    pub fn line(&self, id: &Id) -> Vec<Id> {
        let mut line = vec![id.clone()];
        while let Some(parent) = line.last().and_then(|id| self.pot(id)).and_then(|p| p.opened().parent.as_ref()) {
            if line.contains(parent) || line.len() >= LINE_MAX {
                break;
            }
            line.push(parent.clone());
        }
        line
    }

    /// The lot of the glue in a pot: its own, or the nearest up the line.
    pub fn lot(&self, id: &Id) -> Option<&'a str> {
        self.line(id).iter().find_map(|id| self.pot(id)?.opened().lot.as_deref())
    }

    /// The pots poured from that one, themselves only.
    pub fn poured(&self, id: &Id) -> Vec<&'a Id> {
        let pots = self.pots.iter().map(|s| s.pot().opened());
        pots.filter(|o| o.parent.as_ref() == Some(id)).map(|o| &o.id).collect()
    }

    /// Every pot with glue of that lot in it.
    #[cfg_attr(not(test), allow(dead_code, reason = "what is asked of a lot of glue is still to come"))]
    pub fn of_lot(&self, lot: &str) -> Vec<&'a Id> {
        let ids = self.pots.iter().map(|s| &s.pot().opened().id);
        ids.filter(|id| self.lot(id) == Some(lot)).collect()
    }

    /// The standing coats of a panel with a pot, in the order of the work.
    pub fn coats_of_panel(&self, panel: &panel::story::Story) -> Vec<CoatFrom> {
        let panel = panel.panel();
        let each = panel.steps().iter().zip(panel.stages());
        let named = each.filter_map(|(step, stage)| {
            let laid = step.laid()?;
            let pot = laid.fact.pot.clone()?;
            Some(CoatFrom { panel: panel.opened().id.clone(), stage, seq: laid.seq, at: laid.done.wall, pot })
        });
        named.collect()
    }

    /// Every standing coat from that pot or from one poured from it, by time.
    pub fn coats_from(&self, id: &Id) -> Vec<CoatFrom> {
        let all = self.panels.iter().flat_map(|p| self.coats_of_panel(p));
        let mut from: Vec<_> = all.filter(|coat| self.line(&coat.pot).contains(id)).collect();
        from.sort_by_key(|coat| coat.at);
        from
    }

    /// Every standing coat with glue of that lot, by time.
    #[cfg_attr(not(test), allow(dead_code, reason = "what is asked of a lot of glue is still to come"))]
    pub fn coats_of_lot(&self, lot: &str) -> Vec<CoatFrom> {
        let all = self.panels.iter().flat_map(|p| self.coats_of_panel(p));
        let mut from: Vec<_> = all.filter(|coat| self.lot(&coat.pot) == Some(lot)).collect();
        from.sort_by_key(|coat| coat.at);
        from
    }

    /// When something was taken out of that pot: coats, attempts done again, and pots poured from it; by time.
    pub fn uses(&self, id: &Id) -> Vec<Stamp> {
        let steps = self.panels.iter().flat_map(|p| p.panel().steps());
        let laid = steps.flat_map(|s| s.laid().into_iter().chain(s.failed.iter().map(|(laid, _)| laid)));
        let coats = laid.filter(|laid| laid.fact.pot.as_ref() == Some(id)).map(|laid| laid.done.wall);
        let children = self.pots.iter().map(|s| s.pot()).filter(|p| p.opened().parent.as_ref() == Some(id));
        let mut uses: Vec<_> = coats.chain(children.map(|p| p.opened_at().wall)).collect();
        uses.sort();
        uses
    }

    /// The water and strength of a pot as of that time, what it was poured from taken into account.
    pub fn water(&self, id: &Id, at: Stamp) -> Option<Water> {
        let mut poured_factor = 1.0;
        let mut water = None;
        let mut line = self.line(id);
        while let Some(here) = line.pop() {
            // A pot that is not at hand is taken to have been as strong as its recipe.
            let Some(pot) = self.pot(&here) else { continue };
            let until = line.last().and_then(|below| self.pot(below)).map_or(at, |below| below.opened_at().wall);
            let uses = self.uses(&here);
            let known = Known { uses: &uses, poured_factor, loose_g_per_ml: self.loose_g_per_ml };
            let told = pot.water_at(until, &known);
            // Its factor is against its own beginning, which may have been stronger than the recipe.
            poured_factor *= told.factor.unwrap_or(1.0);
            water = Some(told);
        }
        water
    }

    /// What is to be said before the coat at hand is laid from that pot at that time.
    pub fn before_coat(&self, panel: &panel::story::Story, pot: &Id, at: Stamp) -> Vec<Remark> {
        let Some(stage) = panel.panel().at_hand() else { return Vec::new() };
        let coats = self.coats_of_panel(panel);
        let below = coats.iter().rfind(|coat| below(coat, &stage) && coat.at <= at);
        self.remarks(&stage, pot, at, below)
    }

    /// What is to be said of every standing coat of a panel, with the `seq` of its fact.
    pub fn on_panel(&self, panel: &panel::story::Story) -> Vec<(u64, Remark)> {
        let coats = self.coats_of_panel(panel);
        let each = coats.iter().enumerate().flat_map(|(i, coat)| {
            let under = coats[..i].iter().rfind(|other| below(other, &coat.stage));
            self.remarks(&coat.stage, &coat.pot, coat.at, under).into_iter().map(|remark| (coat.seq, remark))
        });
        each.collect()
    }

    fn remarks(&self, stage: &Stage, id: &Id, at: Stamp, below: Option<&CoatFrom>) -> Vec<Remark> {
        let Some(wants) = Kind::of_stage(stage.kind) else { return Vec::new() };
        let Some(pot) = self.pot(id) else { return vec![Remark::Unknown { pot: id.clone() }] };
        let mut said = of_pot(pot, wants, at);
        if let Some(below) = below.filter(|b| b.pot != *id) {
            said.push(Remark::BatchChanged { below: below.pot.clone(), above: id.clone() });
        }
        said.extend(below.and_then(|below| self.stronger(id, at, below)));
        said
    }

    /// Whether the pot is now stronger than the one of the coat below was when that was laid.
    fn stronger(&self, id: &Id, at: Stamp, below: &CoatFrom) -> Option<Remark> {
        let (above, below) = (self.water(id, at)?, self.water(&below.pot, below.at)?);
        let over = |measure, below: Option<f64>, above: Option<f64>| {
            let (below, above) = (below?, above?);
            (above > below * (1.0 + STRONGER)).then_some(Remark::Stronger { measure, below, above })
        };
        over(Measure::PerLitreOfWater, below.glue_g_per_l_water, above.glue_g_per_l_water).or(over(
            Measure::Per100gFiller,
            below.glue_per_100g_filler_g,
            above.glue_per_100g_filler_g,
        ))
    }
}

/// What is to be said of the pot itself.
fn of_pot(pot: &Pot, wants: Kind, at: Stamp) -> Vec<Remark> {
    let id = || pot.opened().id.clone();
    let mut said = Vec::new();
    if pot.opened().kind != wants {
        said.push(Remark::WrongKind { pot: id(), kind: pot.opened().kind });
    }
    if let Some((_, end)) = pot.end.as_ref().filter(|(m, _)| m.wall < at) {
        said.push(Remark::Ended { pot: id(), thrown_away: *end != End::UsedUp });
    }
    let hot = pot.temps().iter().filter(|(m, t)| m.wall <= at && t.c() >= pot.recipe().gesso.overheat_c);
    if let Some((_, max)) = hot.max_by(|a, b| a.1.c().total_cmp(&b.1.c())) {
        said.push(Remark::Overheated { pot: id(), max: *max });
    }
    let age: Span = at - pot.made().unwrap_or(pot.opened_at()).wall;
    if age.hours() > KEEPS_DAYS * 24.0 {
        said.push(Remark::Old { pot: id(), days: age.hours() / 24.0 });
    }
    said
}

/// Whether that coat lies under that stage in the same ground: gesso, on the same face.
fn below(coat: &CoatFrom, stage: &Stage) -> bool {
    let gesso = |s: &Stage| matches!(s.kind, StageKind::Stipple | StageKind::Coat);
    let face = |s: &Stage| s.face.unwrap_or(Face::Front);
    gesso(&coat.stage) && gesso(stage) && face(&coat.stage) == face(stage)
}
