//! When life interrupts: what a gap in the work means for panel and pot, told on return.

use super::fold::{GlueState, Pot};
use super::forecast::PotForecast;
use crate::craft::recipe::ReadySign;
use crate::text::format_count;
use crate::units::{Moment, Span, Temperature};
use crate::work::panel;
use crate::work::panel::event::{PanelEvent, Stage};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::state::Panel;
use crate::work::panel::wait::{TOLERANCE, elapsed};
use crate::work::story::StoryEvent;
use std::fmt;

/// From this on a ground is spoken of as left overnight (assumed).
pub const OVERNIGHT: Span = Span::from_s(6 * 3600);
/// From this on a pot is spoken of as kept for days (assumed).
const KEPT_FOR_DAYS: Span = Span::from_s(24 * 3600);

/// How a gap is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GapEvidence {
    /// The maker marked it.
    MarkedAway,
    /// Nothing was marked for longer than the recipe's long gap while coats were being laid.
    Silence,
}

/// A gap in the work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorkGap {
    /// Its beginning.
    pub from: Moment,
    /// Its end: the return.
    pub to: Moment,
    /// How it is known.
    pub evidence: GapEvidence,
}

impl WorkGap {
    /// How long it lasted.
    pub fn duration(&self) -> Span {
        elapsed(self.from, self.to)
    }
}

/// What a gap means; each is one sentence for the maker.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum GapConsequence {
    /// The wait still runs; nothing is late.
    InTime { left: Span },
    /// A coat was begun and left.
    LeftMidCoat { stage: Stage },
    /// Past dull, not yet long.
    PastDull { over: Span },
    /// Longer than the recipe's bound, the same day.
    LongGap { interval: Span },
    /// Longer than the bound of a recipe that lays each coat dry.
    LongGapDry { interval: Span },
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

impl GapConsequence {
    /// Where it comes from.
    pub const fn source(&self) -> &'static str {
        match self {
            GapConsequence::InTime { .. } => "the recipe's wait",
            GapConsequence::LeftMidCoat { .. } => "the Slade School's teaching note",
            GapConsequence::PastDull { .. } => "D. V. Thompson 1936; the Slade School's teaching note",
            GapConsequence::LongGap { .. } => "the Slade School's teaching note; S. Rivers & N. Umney 2003",
            GapConsequence::LongGapDry { .. } => "Slade School, Rivers & Umney; others dry each coat fully",
            GapConsequence::BoneDry { .. } => {
                "an icon painter's page, 2017; the Slade School's teaching note; S. Rivers & N. Umney 2003"
            }
            GapConsequence::InBathTooLong { .. } => {
                "D. V. Thompson 1936, p. 27; the Slade School's teaching note; derived"
            }
            GapConsequence::PotCold { .. } => "a tempera painter's page; D. V. Thompson 1936",
            GapConsequence::PotKept { .. } => "an oil painter's page; D. V. Thompson 1936",
            GapConsequence::PotOverheated { .. } => "S. Rivers & N. Umney 2003, p. 648",
        }
    }
}

impl fmt::Display for GapConsequence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            GapConsequence::InTime { left } => {
                write!(f, "nothing is late: the wait runs another {:.0} min", left.minutes())
            }
            GapConsequence::LeftMidCoat { stage } => {
                write!(
                    f,
                    "{stage} was begun and left: do not go back into what has begun to set; let it dull, then lay it whole"
                )
            }
            GapConsequence::PastDull { over } => write!(
                f,
                "the coat is {:.0} min past its wait: look along the surface to the light, and carry on",
                over.minutes()
            ),
            GapConsequence::LongGap { interval } => write!(
                f,
                "{} since the last coat: the ground is bone dry and the next coat bonds less well; lay it soon (whether to dampen it first, there is no agreement)",
                SpokenSpan(*interval)
            ),
            GapConsequence::LongGapDry { interval } => write!(
                f,
                "{} since the last coat: kept as a long gap; this recipe lays each coat dry, and sources differ on the harm",
                SpokenSpan(*interval)
            ),
            GapConsequence::BoneDry { interval } => write!(
                f,
                "{} since the last coat: the ground is bone dry and the next coat bonds less well; go on and keep the gap in the record, or take it as two grounds; the one pause that is vouched for is a cold jelly under a damp cloth",
                SpokenSpan(*interval)
            ),
            GapConsequence::InBathTooLong { bath, needed } => write!(
                f,
                "the pot has stood in the bath for {:.0} min and needed {:.0}: bubbles, and thicker; lift it out, weigh it, give back the water it lost",
                bath.minutes(),
                needed.minutes()
            ),
            GapConsequence::PotCold { marked } => write!(
                f,
                "{}, which spoils nothing: into a cold bath, warm it slowly until just liquid, stir slowly, strain, look at its consistency",
                if *marked { "the pot is a jelly" } else { "the pot will have gelled by now" }
            ),
            GapConsequence::PotKept { days } => write!(
                f,
                "the pot was kept for {}: smelling, mouldy or no longer gelling it is thrown away, after three or four days in any case; else melt it once, since further melts weaken it",
                format_count(days.round(), "day")
            ),
            GapConsequence::PotOverheated { max } => {
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
struct SpokenSpan(Span);

impl fmt::Display for SpokenSpan {
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
pub fn find_gap(
    panel: &panel::story::PanelStory,
    pot: Option<&super::story::PotStory>,
    now: Moment,
) -> Option<WorkGap> {
    if !panel.panel().is_laying() {
        return None;
    }
    let away = panel.entries().iter().rfind(|e| e.event == PanelEvent::Away && !panel.is_taken_back(e.seq));
    let still = panel.panel().status(now).away_since;
    if let Some(left) = away.filter(|e| still == Some(e.at)) {
        return Some(WorkGap { from: left.moment(), to: now, evidence: GapEvidence::MarkedAway });
    }
    let touched = panel.entries().iter().filter(|e| e.event.can_be_taken_back() && !panel.is_taken_back(e.seq));
    let touched = touched.map(|e| e.moment());
    let pot = pot.into_iter().flat_map(|pot| {
        pot.entries().iter().filter(|e| e.event.can_be_taken_back() && !pot.is_taken_back(e.seq)).map(|e| e.moment())
    });
    let from = touched.chain(pot).filter(|m| m.wall <= now.wall).max_by_key(|m| m.wall)?;
    let bound = panel.panel().long_gap_now();
    (elapsed(from, now) > bound).then_some(WorkGap { from, to: now, evidence: GapEvidence::Silence })
}

/// What the gap means, the pot first where it stands in the heat: it is the first thing to see to.
pub fn gap_consequences(
    panel: &Panel,
    pot: Option<(&Pot, Option<&PotForecast>)>,
    gap: &WorkGap,
) -> Vec<GapConsequence> {
    let mut means = pot.map_or_else(Vec::new, |(pot, forecast)| pot_consequences(pot, forecast, gap));
    means.extend(panel_consequence(panel, gap));
    means
}

fn pot_consequences(pot: &Pot, forecast: Option<&PotForecast>, gap: &WorkGap) -> Vec<GapConsequence> {
    if pot.end().is_some() {
        return Vec::new();
    }
    let mut means = Vec::new();
    let needed = Span::from_min(pot.recipe().gesso.melt_min);
    let bath = pot.current_bath().map(|b| elapsed(b.in_at, gap.to));
    if let Some(bath) = bath.filter(|bath| *bath > needed) {
        means.push(GapConsequence::InBathTooLong { bath, needed });
    }
    let hottest = pot.temps().iter().map(|(_, t)| *t).max_by(|a, b| a.c().total_cmp(&b.c()));
    if let Some(max) = hottest.filter(|t| t.c() >= pot.recipe().gesso.overheat_c) {
        means.push(GapConsequence::PotOverheated { max });
    }
    if gap.duration() >= KEPT_FOR_DAYS {
        means.push(GapConsequence::PotKept { days: gap.duration().hours() / 24.0 });
    }
    let cold = match pot.glue_state() {
        GlueState::Gelled => Some(true),
        GlueState::Liquid => forecast.filter(|f| f.gels_at <= gap.to.wall).map(|_| false),
        GlueState::Raw | GlueState::Soaking | GlueState::Melting => None,
    };
    means.extend(cold.filter(|_| bath.is_none()).map(|marked| GapConsequence::PotCold { marked }));
    means
}

fn panel_consequence(panel: &Panel, gap: &WorkGap) -> Option<GapConsequence> {
    if !panel.is_laying() {
        return None;
    }
    if panel.phase_at(gap.to) == PanelPhase::Working {
        return panel.stage_at_hand().map(|stage| GapConsequence::LeftMidCoat { stage });
    }
    let (last, laid) = panel.last_done()?;
    if !last.kind.is_gesso() {
        return None;
    }
    let interval = elapsed(laid.done_at, gap.to);
    let left = panel.current_wait().map_or(Span::ZERO, |w| w.time_left_at(gap.to));
    let is_long = interval > panel.long_gap_after(laid);
    Some(if is_long && panel.recipe().coats.ready_sign == ReadySign::Dry {
        GapConsequence::LongGapDry { interval }
    } else if is_long && interval >= OVERNIGHT {
        GapConsequence::BoneDry { interval }
    } else if is_long {
        GapConsequence::LongGap { interval }
    } else if left > -TOLERANCE {
        GapConsequence::InTime { left: left.max(Span::ZERO) }
    } else {
        GapConsequence::PastDull { over: -left }
    })
}
