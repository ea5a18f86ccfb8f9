//! How weighings and thicknesses are taken in, and what follows from them.

use super::measured::{Build, PanelQuestion, PanelWeighing};
use super::state::Panel;
use crate::units::{Length, Mass, Moment};

/// A board that grew by more than this part of its mass is asked about (assumed).
const HEAVIER_PART: f64 = 0.0015;
/// No ground of this trade is thicker than this on both faces together, um (assumed).
const BUILD_MAX_UM: f64 = 6000.0;
/// What two measurements of one point may differ by, um: a calliper's mark (assumed).
const CALLIPER_UM: f64 = 100.0;

impl Panel {
    /// Every weighing, in order.
    pub fn weighings(&self) -> &[PanelWeighing] {
        &self.weighings
    }

    /// What is doubtful about the fact of that `seq`.
    pub fn questions_of(&self, seq: u64) -> &[PanelQuestion] {
        self.questions.get(&seq).map_or(&[], Vec::as_slice)
    }

    /// What lies on the bare board by the last measurement, both faces together; none before there are two at the same
    /// points.
    pub fn build(&self) -> Option<Build> {
        let [bare, .., last] = self.thicknesses.as_slice() else { return None };
        build_um(bare, last)
    }

    /// The mean of the first measurement, taken as the bare board.
    pub fn bare_thickness(&self) -> Option<Length> {
        self.thicknesses.first().and_then(|points| mean_thickness(points))
    }

    /// When the last act that changes its mass was done; attempts done again count.
    pub(super) fn mass_changed_at(&self) -> Option<Moment> {
        let laid = self.steps.iter().filter(|s| s.slot.kind.row().changes_mass).flat_map(|step| {
            step.laid_coat().into_iter().chain(step.failed_attempts.iter().map(|(laid, _)| laid)).map(|l| l.done_at)
        });
        laid.max_by_key(|m| m.wall)
    }

    pub(super) fn record_weighing(&mut self, seq: u64, at: Moment, mass: Mass, offcut: Option<Mass>) {
        let since = self.mass_changed_at();
        let before = self.weighings.last().copied();
        if let Some(before) = before {
            let heavier = mass.g() - before.mass.g();
            let untouched = since.is_none_or(|m| m.wall < before.at.wall);
            // Less is what a scale and the air of an hour do.
            if untouched && heavier > HEAVIER_PART * before.mass.g() {
                self.ask(seq, PanelQuestion::Heavier { by: Mass::from_g(heavier) });
            } else if -heavier > before.mass.g() / 2.0 {
                self.ask(seq, PanelQuestion::MuchLighter { by: Mass::from_g(-heavier) });
            }
        }
        if offcut.is_some_and(|o| o.g() > mass.g()) {
            self.ask(seq, PanelQuestion::OffcutHeavier);
        }
        self.weighings.push(PanelWeighing { at, mass, offcut });
    }

    pub(super) fn record_thickness(&mut self, seq: u64, points: &[Length]) {
        match self.thicknesses.first().cloned() {
            None => {
                if self.steps.iter().any(|s| s.slot.kind.row().changes_mass && s.laid_coat().is_some()) {
                    self.ask(seq, PanelQuestion::NotBare);
                }
                let far = |a: f64, b: f64| a > 1.5 * b || b > 1.5 * a;
                if let (Some(measured), Some(said)) = (mean_thickness(points), self.opened.size.thickness)
                    && far(measured.mm(), said.mm())
                {
                    self.ask(seq, PanelQuestion::OtherThickness { measured, said });
                }
            }
            Some(bare) => match build_um(&bare, points) {
                None => self.ask(seq, PanelQuestion::OtherPoints { bare: bare.len() }),
                Some(b) if b.range_um.1 > BUILD_MAX_UM => {
                    self.ask(seq, PanelQuestion::TooThick { build_um: b.range_um.1 })
                }
                Some(b) if b.range_um.0 < -CALLIPER_UM => {
                    self.ask(seq, PanelQuestion::Thinner { by_um: -b.range_um.0 })
                }
                Some(_) => {}
            },
        }
        self.thicknesses.push(points.to_vec());
    }

    fn ask(&mut self, seq: u64, question: PanelQuestion) {
        self.questions.entry(seq).or_default().push(question);
    }
}

fn mean_thickness(points: &[Length]) -> Option<Length> {
    let sum: f64 = points.iter().map(|p| p.mm()).sum();
    (!points.is_empty()).then(|| Length::from_mm(sum / points.len() as f64))
}

/// What lies between two measurements at the same points; none where they are not as many.
fn build_um(bare: &[Length], now: &[Length]) -> Option<Build> {
    if bare.len() != now.len() || bare.is_empty() {
        return None;
    }
    let each: Vec<f64> = bare.iter().zip(now).map(|(a, b)| (b.mm() - a.mm()) * 1000.0).collect();
    let ends = each.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), um| (lo.min(*um), hi.max(*um)));
    Some(Build { mean_um: each.iter().sum::<f64>() / each.len() as f64, range_um: ends, points: each.len() })
}
