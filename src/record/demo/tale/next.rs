//! When and how the next act on a panel is done: its wait, the hour, the gloss, the minutes it takes.
//!
//! Absent on purpose: doing it (`tale`).

use super::Tale;
use crate::craft::recipe::ReadySign;
use crate::record::demo::days::moment;
use crate::record::demo::studio::Fate;
use crate::units::{Span, Stamp};
use crate::work::panel::event::Kind;

/// The next act as it is meant to be done.
#[derive(Debug, Clone)]
pub(super) struct Next {
    /// When it is begun, if the hands are free.
    pub(super) at: Stamp,
    /// How long it takes.
    pub(super) long: Span,
    /// Whether the start is recorded too.
    pub(super) starts: bool,
    /// When the gloss of the coat below is seen to be gone.
    pub(super) dull: Option<Stamp>,
}

impl Tale {
    /// Settles when and how the next act is done.
    pub(super) fn plan(&mut self, now: Stamp) {
        let Some(stage) = self.hand() else { return };
        let long = self.long(stage.kind);
        let starts = match stage.kind {
            Kind::Prepare | Kind::Scrape => true,
            Kind::Size | Kind::Stipple | Kind::Coat | Kind::Cloth | Kind::Seal => self.chance.one_in(3),
            Kind::Polish | Kind::Check | Kind::Sand => false,
            Kind::Cure | Kind::Dry | Kind::Rest => false,
        };
        let (due, dull) = self.due(now);
        // Where only the end is recorded, it is the end that falls on the time.
        let at = if starts { due } else { due - long };
        self.next = Next { at: at.max(now), long, starts, dull };
    }

    /// When the maker means to be there, and when the gloss is seen to be gone.
    fn due(&mut self, now: Stamp) -> (Stamp, Option<Stamp>) {
        let dull_late = self.fate == Fate::Late && self.hand().is_some_and(|s| self.front_coat(&s, 4));
        let chance = &mut self.chance;
        let panel = self.story.panel();
        let Some(wait) = panel.wait_in_force().filter(|w| w.runs_at(moment(now))) else {
            return (now + chance.seconds(40, 240), None);
        };
        let (from, span) = (wait.from.wall, wait.wait.span);
        let due = from + span;
        if wait.by_itself.is_some() {
            let rest_ended = self.fate == Fate::RestEnded && !self.befell && span.hours() > 6.0;
            // Only the rest is ended; a cure comes to its end.
            let early = rest_ended && panel.standing(moment(now)).stage.is_some_and(|s| s.kind == Kind::Rest);
            return (if early { from + Span::from_h(span.hours() * 0.75) } else { due + chance.minutes(1, 40) }, None);
        }
        let coat = panel.last_done().is_some_and(|(s, _)| matches!(s.kind, Kind::Stipple | Kind::Coat));
        let gloss = coat && panel.recipe().coats.ready_sign == ReadySign::Dull;
        match self.fate {
            Fate::Hasty if coat && chance.one_in(2) => (due - chance.seconds(90, 280), None),
            Fate::Slow if coat => (due + chance.seconds(150, 640), None),
            _ if gloss && (dull_late || chance.one_in(2)) => {
                let share = chance.between(72, 97);
                let dull = from + Span::from_s(span.ms() / 1000 * share / 100);
                (dull + chance.seconds(20, 80), Some(dull))
            }
            _ => (due + chance.seconds(4, 110), None),
        }
    }

    /// The recipe's minutes for this board, more or less.
    fn long(&mut self, kind: Kind) -> Span {
        let panel = self.story.panel();
        let minutes = &panel.recipe().minutes;
        let usual = match kind {
            Kind::Prepare => 12.0,
            Kind::Size => minutes.size,
            Kind::Cloth => 15.0,
            Kind::Stipple => minutes.stipple,
            Kind::Coat => minutes.coat,
            Kind::Scrape => minutes.scrape,
            Kind::Polish => 6.0,
            Kind::Check => minutes.check,
            Kind::Seal => minutes.seal,
            Kind::Sand => 8.0,
            Kind::Cure | Kind::Dry | Kind::Rest => 0.0,
        };
        let size = panel.opened().size;
        // The recipe's minutes are those of 0.12 m2; half of the time does not depend on the area (assumed).
        let area = 0.5 + 0.5 * size.width.mm() * size.height.mm() / 120_000.0;
        let share = self.chance.between(75, 130) as f64 / 100.0;
        Span::from_s((usual * 60.0 * area * share).round() as i64)
    }
}
