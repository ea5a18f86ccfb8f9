//! Whether a board's weighings have come to rest: what it has still to lose, and when to weigh again.
//!
//! Weighings since the last act that changes the mass are fitted by an approach to an end (`stats::approach`). The change of
//! a bare offcut of the same sheet is taken off where one was weighed beside it: 0.2 % of the mass is what 1.2 % more
//! humid air adds by itself.

use super::board_moisture::slowest_time_constant_h;
use super::measured::PanelWeighing;
use super::state::Panel;
use crate::stats::approach::{ApproachFit, fit_approach};
use crate::units::{Mass, Span, Stamp};

/// Dry enough is a board that has less than this part of its mass to lose (common practice, no source).
pub const DRY_ENOUGH_PART: f64 = 0.002;
/// Fewer weighings say nothing.
pub const WEIGHINGS_MIN: usize = 3;
/// A weighing is off by this part of the scale's step: it is rounded, and a scale is restless (assumed).
const SCALE_SD: f64 = 0.5;
/// It is not weighed again before, nor later than, so many hours.
const WEIGH_AGAIN_H: (f64, f64) = (4.0, 72.0);

/// What the weighings say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dryness {
    /// Too few of them since the last coat.
    TooFew {
        /// How many there are.
        weighings: usize,
    },
    /// The scale's step is coarser than what is looked for.
    TooCoarse {
        /// The step, g.
        step_g: f64,
        /// What is looked for, g.
        sought_g: f64,
    },
    /// It is heavier than the time before.
    Grew {
        /// By how much, g.
        by_g: f64,
    },
    /// It loses as fast as before: nothing can be said of the end.
    NotSlowing {
        /// When to weigh again.
        weigh_again_at: Stamp,
    },
    /// It comes to rest.
    Settling(Settling),
}

/// What is left to lose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settling {
    /// The likeliest, g.
    pub left_g: f64,
    /// Nine times in ten it is less than this, g.
    pub upper_g: f64,
    /// What a board that is dry enough has to lose at most, g.
    pub sought_g: f64,
    /// When to weigh again; none where it is dry enough.
    pub weigh_again_at: Option<Stamp>,
}

impl Settling {
    /// Whether it is dry enough, nine times in ten.
    pub fn is_dry_enough(&self) -> bool {
        self.weigh_again_at.is_none()
    }
}

/// What the weighings of a board say, and on what that rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrynessReport {
    /// What they say.
    pub dryness: Dryness,
    /// How many weighings it rests on.
    pub weighings: usize,
    /// Whether the change of a bare offcut was taken off.
    pub has_offcut: bool,
}

impl Panel {
    /// What its weighings since the last coat say; nothing where there is none.
    pub fn dryness(&self) -> Option<DrynessReport> {
        let since = self.mass_changed_at();
        let fresh = |w: &&PanelWeighing| since.is_none_or(|m| m.wall < w.at.wall);
        let all: Vec<PanelWeighing> = self.weighings().iter().filter(fresh).copied().collect();
        let beside: Vec<PanelWeighing> = all.iter().filter(|w| w.offcut.is_some()).copied().collect();
        let has_offcut = !beside.is_empty() && (beside.len() >= WEIGHINGS_MIN || beside.len() == all.len());
        let used = if has_offcut { beside } else { all };
        let last = used.last()?;
        let slowest_h = slowest_time_constant_h(self.opened().size.thickness.map(|t| t.mm()));
        let dryness = judge(&used, *last, has_offcut, slowest_h);
        Some(DrynessReport { dryness, weighings: used.len(), has_offcut })
    }
}

fn judge(used: &[PanelWeighing], last: PanelWeighing, has_offcut: bool, slowest_h: f64) -> Dryness {
    let sought_g = DRY_ENOUGH_PART * last.mass.g();
    let step_g = effective_step_g(used, has_offcut);
    let points = corrected_points(used, last);
    let [.., (before_h, before_g), (last_h, last_g)] = points.as_slice() else {
        return Dryness::TooFew { weighings: used.len() };
    };
    if step_g > sought_g {
        return Dryness::TooCoarse { step_g, sought_g };
    }
    // Three standard deviations of a difference.
    if last_g - before_g > 3.0 * SCALE_SD * step_g * 2.0_f64.sqrt() {
        return Dryness::Grew { by_g: last_g - before_g };
    }
    if points.len() < WEIGHINGS_MIN {
        return Dryness::TooFew { weighings: points.len() };
    }
    let Some(fit) = fit_approach(&points, SCALE_SD * step_g, slowest_h) else {
        return Dryness::TooFew { weighings: points.len() };
    };
    let again = |hours: f64| last.at.wall + Span::from_h(hours.clamp(WEIGH_AGAIN_H.0, WEIGH_AGAIN_H.1));
    // Where nothing is left, nothing bends either.
    if fit.is_straight && fit.rest_upper > sought_g && before_g - last_g > SCALE_SD * step_g {
        return Dryness::NotSlowing { weigh_again_at: again(last_h - before_h) };
    }
    Dryness::Settling(settle(fit, sought_g, &again))
}

fn settle(fit: ApproachFit, sought_g: f64, again: &dyn Fn(f64) -> Stamp) -> Settling {
    let upper_g = fit.rest_upper.max(0.0);
    let is_dry_enough = upper_g < sought_g;
    // So long takes what is left at most to become what is sought, and a scale that is in doubt half as long again.
    let hours = fit.tau * (upper_g / sought_g).max(1.5).ln();
    Settling { left_g: fit.rest.max(0.0), upper_g, sought_g, weigh_again_at: (!is_dry_enough).then(|| again(hours)) }
}

/// Hours and grams, in the air of the last weighing where an offcut tells of it. Of two at one time the later counts.
fn corrected_points(used: &[PanelWeighing], last: PanelWeighing) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = Vec::with_capacity(used.len());
    for w in used {
        let hours = (w.at.wall - last.at.wall).hours();
        let g = match (w.offcut, last.offcut) {
            (Some(then), Some(now)) => w.mass.g() * now.g() / then.g(),
            (_, _) => w.mass.g(),
        };
        match points.last_mut().filter(|(before, _)| *before >= hours) {
            Some(same) => same.1 = g,
            None => points.push((hours, g)),
        }
    }
    points
}

/// The scale's step as the weighings show it, with the offcut's, which counts as often as the board is heavier, g.
fn effective_step_g(used: &[PanelWeighing], has_offcut: bool) -> f64 {
    let boards: Vec<Mass> = used.iter().map(|w| w.mass).collect();
    let step = scale_step_g(&boards);
    if !has_offcut {
        return step;
    }
    let offcuts: Vec<Mass> = used.iter().filter_map(|w| w.offcut).collect();
    let largest = |all: &[Mass]| all.iter().map(|m| m.g()).fold(0.0, f64::max);
    step.hypot(scale_step_g(&offcuts) * largest(&boards) / largest(&offcuts).max(0.001))
}

/// The coarsest step of a usual scale of which every mass is a multiple, g; a hundredth where none is.
fn scale_step_g(masses: &[Mass]) -> f64 {
    const OUNCE: f64 = Mass::G_PER_LB / 16.0;
    const STEPS_G: [f64; 14] = [
        10.0,
        5.0,
        1.0,
        0.5,
        0.1,
        0.05,
        Mass::G_PER_LB / 10.0,
        OUNCE,
        Mass::G_PER_LB / 100.0,
        OUNCE / 10.0,
        Mass::G_PER_LB / 1000.0,
        OUNCE / 100.0,
        0.01,
        0.001,
    ];
    let fits = |step: f64| masses.iter().all(|m| ((m.g() / step).round() * step - m.g()).abs() < 1e-6 * m.g());
    STEPS_G.into_iter().find(|step| fits(*step)).unwrap_or(0.01)
}

#[cfg(test)]
#[path = "dryness_tests.rs"]
mod tests;
