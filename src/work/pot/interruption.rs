//! When life interrupts: what a gap in the work means for panel and pot, told on return.
//!
//! Absent on purpose: recording that one was away (`panel`), showing it.

use super::fold::{Body, Pot};
use super::forecast::Forecast;
use crate::units::{Moment, Span, Temperature};
use crate::work::panel;
use crate::work::panel::event::{Event, Kind, Stage};
use crate::work::panel::fold::Panel;
use crate::work::panel::phase::Phase;
use crate::work::panel::wait::{TOLERANCE, elapsed};
use std::fmt;

/// From this on a ground is spoken of as left overnight (assumed).
pub const OVERNIGHT: Span = Span::from_s(6 * 3600);
/// From this on a pot is spoken of as kept for days (assumed).
const DAYS: Span = Span::from_s(24 * 3600);

/// How a gap is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KnownBy {
    /// The maker marked it.
    Away,
    /// Nothing was marked for longer than the recipe's long gap while coats were being laid.
    Silence,
}

/// A gap in the work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Its beginning.
    pub from: Moment,
    /// Its end: the return.
    pub to: Moment,
    /// How it is known.
    pub by: KnownBy,
}

impl Gap {
    /// How long it lasted.
    pub fn span(&self) -> Span {
        elapsed(self.from, self.to)
    }
}

/// What a gap means; each is one sentence for the maker.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum Meaning {
    /// The wait still runs; nothing is late.
    InTime { left: Span },
    /// A coat was begun and left.
    LeftMidCoat { stage: Stage },
    /// Past dull, not yet long.
    PastDull { over: Span },
    /// Longer than the recipe's bound.
    DryToTouch { interval: Span },
    /// A night between coats.
    BoneDry { interval: Span },
    /// The pot stood in the bath longer than it needed.
    InBathTooLong { bath: Span, needed: Span },
    /// The pot is a jelly, marked or forecast.
    PotCold { marked: bool },
    /// The pot was kept for days.
    PotKept { days: f64 },
    /// The pot was overheated.
    PotOverheated { max: Temperature },
}

impl Meaning {
    /// Where it comes from.
    pub const fn source(&self) -> &'static str {
        match self {
            Meaning::InTime { .. } => "the recipe's wait",
            Meaning::LeftMidCoat { .. } => "the Slade School's teaching note",
            Meaning::PastDull { .. } => "D. V. Thompson 1936; the Slade School's teaching note",
            Meaning::DryToTouch { .. } => "the Slade School's teaching note",
            Meaning::BoneDry { .. } => {
                "an icon painter's page, 2017; the Slade School's teaching note; S. Rivers & N. Umney 2003"
            }
            Meaning::InBathTooLong { .. } => "D. V. Thompson 1936, p. 27; the Slade School's teaching note; derived",
            Meaning::PotCold { .. } => "a tempera painter's page; D. V. Thompson 1936",
            Meaning::PotKept { .. } => "an oil painter's page; D. V. Thompson 1936",
            Meaning::PotOverheated { .. } => "S. Rivers & N. Umney 2003, p. 648",
        }
    }
}

impl fmt::Display for Meaning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Meaning::InTime { left } => write!(f, "nothing is late: the wait runs another {:.0} min", left.minutes()),
            Meaning::LeftMidCoat { stage } => {
                write!(
                    f,
                    "{stage} was begun and left: do not go back into what has begun to set; let it dull, then lay it whole"
                )
            }
            Meaning::PastDull { over } => write!(
                f,
                "the coat is {:.0} min past its wait: look along the surface to the light, and carry on",
                over.minutes()
            ),
            Meaning::DryToTouch { interval } => write!(
                f,
                "{} since the last coat: the ground is dry to the touch; lay the next one soon (whether to dampen it first, there is no agreement)",
                Told(*interval)
            ),
            Meaning::BoneDry { interval } => write!(
                f,
                "{} since the last coat: the ground is bone dry and the next coat bonds less well; go on and keep the gap in the record, or take it as two grounds; the one pause that is vouched for is a cold jelly under a damp cloth",
                Told(*interval)
            ),
            Meaning::InBathTooLong { bath, needed } => write!(
                f,
                "the pot has stood in the bath for {:.0} min and needed {:.0}: bubbles, and thicker; lift it out, weigh it, give back the water it lost",
                bath.minutes(),
                needed.minutes()
            ),
            Meaning::PotCold { marked } => write!(
                f,
                "{}, which spoils nothing: into a cold bath, warm it slowly until just liquid, stir slowly, strain, look at its consistency",
                if *marked { "the pot is a jelly" } else { "the pot will have gelled by now" }
            ),
            Meaning::PotKept { days } => write!(
                f,
                "the pot was kept for {days:.0} day(s): smelling, mouldy or no longer gelling it is thrown away, after three or four days in any case; else melt it once, since further melts weaken it"
            ),
            Meaning::PotOverheated { max } => {
                write!(
                    f,
                    "the pot was at {:.0} C: the whole batch counts as overheated; try whether it still gels firmly",
                    max.c()
                )
            }
        }
    }
}

/// A length of time as a person says it.
struct Told(Span);

impl fmt::Display for Told {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.hours() < 2.0 {
            write!(f, "{:.0} min", self.0.minutes())
        } else {
            write!(f, "{:.0} h", self.0.hours())
        }
    }
}

/// The gap a maker comes back from: marked, or inferred where coats are being laid and neither panel nor pot was touched
/// for longer than the recipe's long gap.
pub fn gap(panel: &panel::story::Story, pot: Option<&super::story::Story>, now: Moment) -> Option<Gap> {
    if !panel.panel().laying() {
        return None;
    }
    let away = panel.entries().iter().rfind(|e| e.event == Event::Away && !panel.was_taken_back(e.seq));
    let still = panel.panel().standing(now).away;
    if let Some(left) = away.filter(|e| still == Some(e.at)) {
        return Some(Gap { from: left.moment(), to: now, by: KnownBy::Away });
    }
    let touched = panel.entries().iter().filter(|e| e.event.can_be_taken_back() && !panel.was_taken_back(e.seq));
    let touched = touched.map(|e| e.moment());
    let pot = pot.into_iter().flat_map(|pot| {
        pot.entries().iter().filter(|e| e.event.can_be_taken_back() && !pot.was_taken_back(e.seq)).map(|e| e.moment())
    });
    let from = touched.chain(pot).filter(|m| m.wall <= now.wall).max_by_key(|m| m.wall)?;
    let bound = Span::from_min(panel.panel().recipe().coats.long_gap_min);
    (elapsed(from, now) > bound).then_some(Gap { from, to: now, by: KnownBy::Silence })
}

/// What the gap means, the pot first where it stands in the heat: it is the first thing to see to.
pub fn meaning(panel: &Panel, pot: Option<(&Pot, Option<&Forecast>)>, gap: &Gap) -> Vec<Meaning> {
    let mut means = pot.map_or_else(Vec::new, |(pot, forecast)| of_pot(pot, forecast, gap));
    means.extend(of_panel(panel, gap));
    means
}

fn of_pot(pot: &Pot, forecast: Option<&Forecast>, gap: &Gap) -> Vec<Meaning> {
    if pot.end().is_some() {
        return Vec::new();
    }
    let mut means = Vec::new();
    let needed = Span::from_min(pot.recipe().gesso.melt_min);
    let bath = pot.bath().map(|b| elapsed(b.into, gap.to));
    if let Some(bath) = bath.filter(|bath| *bath > needed) {
        means.push(Meaning::InBathTooLong { bath, needed });
    }
    let hottest = pot.temps().iter().map(|(_, t)| *t).max_by(|a, b| a.c().total_cmp(&b.c()));
    if let Some(max) = hottest.filter(|t| t.c() >= pot.recipe().gesso.overheat_c) {
        means.push(Meaning::PotOverheated { max });
    }
    if gap.span() >= DAYS {
        means.push(Meaning::PotKept { days: gap.span().hours() / 24.0 });
    }
    let cold = match pot.body() {
        Body::Gelled => Some(true),
        Body::Liquid => forecast.filter(|f| f.gels_at <= gap.to.wall).map(|_| false),
        Body::Raw | Body::Soaking | Body::Melting => None,
    };
    means.extend(cold.filter(|_| bath.is_none()).map(|marked| Meaning::PotCold { marked }));
    means
}

fn of_panel(panel: &Panel, gap: &Gap) -> Option<Meaning> {
    if !panel.laying() {
        return None;
    }
    if panel.phase_at(gap.to) == Phase::Working {
        return panel.at_hand().map(|stage| Meaning::LeftMidCoat { stage });
    }
    let (last, laid) = panel.last_done()?;
    if !matches!(last.kind, Kind::Stipple | Kind::Coat) {
        return None;
    }
    let interval = elapsed(laid.done, gap.to);
    let left = panel.wait_in_force().map_or(Span::ZERO, |w| w.left_at(gap.to));
    Some(if interval >= OVERNIGHT {
        Meaning::BoneDry { interval }
    } else if interval > Span::from_min(panel.recipe().coats.long_gap_min) {
        Meaning::DryToTouch { interval }
    } else if left > -TOLERANCE {
        Meaning::InTime { left: left.max(Span::ZERO) }
    } else {
        Meaning::PastDull { over: -left }
    })
}
