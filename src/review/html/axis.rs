//! A scale of a drawing with its figures, and dots placed on it so that equal values stand beside each other.

use crate::text::format_number;
use maud::{Markup, html};

/// A length of a drawing.
pub fn format_px(v: f64) -> String {
    format!("{v:.1}")
}

/// A straight scale from values to pixels, its ends on round figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    low: f64,
    high: f64,
    step: f64,
    from_px: f64,
    to_px: f64,
}

/// About so many figures stand on a scale.
const TICKS: f64 = 5.0;

impl Axis {
    /// A scale that holds both values; where they are equal there is room on both sides.
    pub fn over(low: f64, high: f64, from_px: f64, to_px: f64) -> Axis {
        let span = if high > low { high - low } else { (low.abs() * 0.1).max(1.0) };
        let step = round_step(span / TICKS);
        let (low, high) = ((low / step).floor() * step, (high / step).ceil() * step);
        Axis { low, high: if high > low { high } else { low + step }, step, from_px, to_px }
    }

    /// The same scale for what is counted: no figure on it is a part of one.
    pub fn over_counts(low: f64, high: f64, from_px: f64, to_px: f64) -> Axis {
        let axis = Axis::over(low, high, from_px, to_px);
        if axis.step >= 1.0 {
            return axis;
        }
        Axis { low: low.floor(), high: high.ceil().max(low.floor() + 1.0), step: 1.0, ..axis }
    }

    /// Where a value stands.
    pub fn px(&self, value: f64) -> f64 {
        self.from_px + (value - self.low) / (self.high - self.low) * (self.to_px - self.from_px)
    }

    /// The round values on it, each with its figure.
    pub fn ticks(&self) -> Vec<(f64, String)> {
        let decimals = (-self.step.log10().floor()).clamp(0.0, 6.0) as usize;
        let count = ((self.high - self.low) / self.step).round() as u32;
        (0..=count).map(|n| self.low + f64::from(n) * self.step).map(|v| (v, format_number(v, decimals))).collect()
    }

    /// The scale drawn from left to right at that height, its unit behind the last figure.
    pub fn horizontal(&self, y: f64, unit: &str) -> Markup {
        let ticks = self.ticks();
        let last = ticks.len().saturating_sub(1);
        html! {
            path.ax d=(format!("M{} {}H{}", format_px(self.from_px), format_px(y), format_px(self.to_px))) {}
            @for (i, (value, figure)) in ticks.iter().enumerate() {
                path.ax d=(format!("M{} {}v4", format_px(self.px(*value)), format_px(y))) {}
                text x=(format_px(self.px(*value))) y=(format_px(y + 16.0)) text-anchor=(if i == last { "end" } else { "middle" }) { (figure) @if i == last { (unit) } }
            }
        }
    }

    /// The scale drawn upwards at that place, figures to the left, thin lines to `across`.
    pub fn vertical(&self, x: f64, across: f64, unit: &str) -> Markup {
        let ticks = self.ticks();
        let last = ticks.len().saturating_sub(1);
        html! {
            @for (i, (value, figure)) in ticks.iter().enumerate() {
                path.gr d=(format!("M{} {}H{}", format_px(x), format_px(self.px(*value)), format_px(across))) {}
                text x=(format_px(x - 4.0)) y=(format_px(self.px(*value) + 4.0)) text-anchor="end" { (figure) @if i == last { (unit) } }
            }
        }
    }
}

/// The round figure next to that: 1, 2 or 5 with noughts.
fn round_step(about: f64) -> f64 {
    let power = 10_f64.powf(about.max(1e-9).log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0];
    steps.into_iter().map(|n| n * power).find(|step| *step >= about * 0.999).unwrap_or(10.0 * power)
}

/// A dot on a scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// Its value.
    pub value: f64,
    /// Its size.
    pub radius_px: f64,
}

/// Dots that were given a place: across, above their line, size; and how many more stand where no room was left.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlacedDots {
    /// Those drawn.
    pub dots: Vec<(f64, f64, f64)>,
    /// Where some are left out, and how many.
    pub more: Vec<(f64, usize)>,
    /// How high they reach.
    pub height_px: f64,
}

/// So many dots stand above each other at most.
const LEVELS_MAX: usize = 6;
/// What is left out so near together is counted together.
const MORE_WITHIN_PX: f64 = 30.0;

/// Places dots, each as low as it fits: of two that would hide each other one stands above.
pub fn place_dots(dots: &[Dot], axis: &Axis) -> PlacedDots {
    let mut rising: Vec<&Dot> = dots.iter().collect();
    rising.sort_by(|a, b| a.value.total_cmp(&b.value).then(b.radius_px.total_cmp(&a.radius_px)));
    let room = 2.0 * rising.iter().map(|d| d.radius_px).fold(1.0, f64::max);
    let mut ends = [f64::NEG_INFINITY; LEVELS_MAX];
    let mut placed = PlacedDots::default();
    for dot in rising {
        let x = axis.px(dot.value);
        match ends.iter().position(|end| x - end >= room) {
            Some(level) => {
                ends[level] = x;
                placed.dots.push((x, (level as f64 + 0.5) * room, dot.radius_px));
                placed.height_px = placed.height_px.max((level as f64 + 1.0) * room);
            }
            None => match placed.more.last_mut() {
                Some((at, n)) if x - *at < MORE_WITHIN_PX => *n += 1,
                Some(_) | None => placed.more.push((x, 1)),
            },
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_has_round_figures_at_its_ends() {
        for (low, high, figures) in [
            (8.3, 10.7, "8 8.5 9 9.5 10 10.5 11"),
            (0.0, 100.0, "0 20 40 60 80 100"),
            (-0.2, 0.1, "-0.2 -0.1 0 0.1"),
            (15.0, 15.0, "15 15.5"),
            (0.0, 0.0, "0 0.2"),
        ] {
            let axis = Axis::over(low, high, 0.0, 100.0);
            let told: Vec<String> = axis.ticks().into_iter().map(|(_, figure)| figure).collect();
            assert_eq!(told.join(" "), figures, "{low} to {high}");
            assert!((0.0..=100.0).contains(&axis.px(low)) && (0.0..=100.0).contains(&axis.px(high)));
        }
    }

    #[test]
    fn what_is_counted_has_whole_figures() {
        let told = |low, high| {
            let figures = Axis::over_counts(low, high, 0.0, 100.0).ticks().into_iter().map(|(_, figure)| figure);
            figures.collect::<Vec<_>>().join(" ")
        };
        assert_eq!(
            (told(6.0, 8.0), told(1.0, 1.0), told(0.0, 40.0)),
            ("6 7 8".into(), "1 2".into(), "0 10 20 30 40".into())
        );
    }

    #[test]
    fn equal_values_stand_above_each_other_and_what_has_no_room_is_counted() {
        let axis = Axis::over(0.0, 10.0, 0.0, 100.0);
        let placed = place_dots(&[Dot { value: 5.0, radius_px: 4.0 }; 9], &axis);
        let ys: Vec<f64> = placed.dots.iter().map(|d| d.1).collect();
        assert_eq!((ys, placed.more), (vec![4.0, 12.0, 20.0, 28.0, 36.0, 44.0], vec![(50.0, 3)]));
        let apart = [1.0, 2.0, 3.0].map(|value| Dot { value, radius_px: 4.0 });
        assert!(place_dots(&apart, &axis).dots.iter().all(|d| d.1 == 4.0));
    }
}
