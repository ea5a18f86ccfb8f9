//! Settles when and how the next act on a panel is done: its wait, the hour, the gloss, the minutes it takes.

use super::{PanelSimulation, PlannedAct};
use crate::craft::recipe::ReadySign;
use crate::record::demo::calendar::studio_moment;
use crate::record::demo::studio::Fate;
use crate::units::{Span, Stamp};
use crate::work::panel::event::StageKind;

impl PanelSimulation {
    /// Settles when and how the next act is done.
    pub(super) fn plan_next_act(&mut self, now: Stamp) {
        let Some(stage) = self.current_stage() else { return };
        let long = self.draw_duration(stage.kind);
        let starts = match stage.kind {
            StageKind::Prepare | StageKind::Scrape => true,
            StageKind::Size | StageKind::Stipple | StageKind::Coat | StageKind::Cloth | StageKind::Seal => {
                self.rng.draw_one_in(3)
            }
            StageKind::Polish | StageKind::Check | StageKind::Sand => false,
            StageKind::Cure | StageKind::Dry | StageKind::Rest => false,
        };
        let (due, dull) = self.plan_due(now);
        // Where only the end is recorded, it is the end that falls on the time.
        let at = if starts { due } else { due - long };
        self.next_act = PlannedAct { begins_at: at.max(now), duration: long, records_start: starts, dull_at: dull };
    }

    /// When the maker means to be there, and when the gloss is seen to be gone.
    fn plan_due(&mut self, now: Stamp) -> (Stamp, Option<Stamp>) {
        let dull_late = self.fate == Fate::Late && self.current_stage().is_some_and(|s| self.is_front_coat(&s, 4));
        let gapped = self.fate == Fate::Gapped && self.current_stage().is_some_and(|s| self.is_front_coat(&s, 4));
        let chance = &mut self.rng;
        let panel = self.story.panel();
        let Some(wait) = panel.current_wait().filter(|w| w.is_running_at(studio_moment(now))) else {
            return (now + chance.draw_seconds(40, 240), None);
        };
        let (from, span) = (wait.started_at.wall, wait.wait.span);
        let due = from + span;
        if wait.self_ending_index.is_some() {
            let rest_ended = self.fate == Fate::RestEnded && !self.fate_is_done && span.hours() > 6.0;
            // Only the rest is ended; a cure comes to its end.
            let early = rest_ended && panel.status(studio_moment(now)).stage.is_some_and(|s| s.kind == StageKind::Rest);
            return (
                if early { from + Span::from_h(span.hours() * 0.75) } else { due + chance.draw_minutes(1, 40) },
                None,
            );
        }
        let coat = panel.last_done().is_some_and(|(s, _)| s.kind.is_gesso());
        let gloss = coat && panel.recipe().coats.ready_sign == ReadySign::Dull;
        if gapped {
            let gap = Span::from_min(panel.recipe().coats.long_gap_min) + chance.draw_minutes(8, 35);
            return (from + gap, None);
        }
        match self.fate {
            Fate::Hasty if coat && chance.draw_one_in(2) => (due - chance.draw_seconds(90, 280), None),
            Fate::Slow if coat => (due + chance.draw_seconds(150, 640), None),
            _ if gloss && (dull_late || chance.draw_one_in(2)) => {
                let share = chance.draw_int(72, 97);
                let dull = from + Span::from_s(span.ms() / 1000 * share / 100);
                (dull + chance.draw_seconds(20, 80), Some(dull))
            }
            _ => (due + chance.draw_seconds(4, 110), None),
        }
    }

    /// The recipe's minutes for this board, more or less.
    fn draw_duration(&mut self, kind: StageKind) -> Span {
        let panel = self.story.panel();
        let usual = (kind.row().work_min)(panel.recipe());
        let size = panel.opened().size;
        // The recipe's minutes are those of 0.12 m2; half of the time does not depend on the area (assumed).
        let area = 0.5 + 0.5 * size.width.mm() * size.height.mm() / 120_000.0;
        let share = self.rng.draw_int(75, 130) as f64 / 100.0;
        Span::from_s((usual * 60.0 * area * share).round() as i64)
    }
}
