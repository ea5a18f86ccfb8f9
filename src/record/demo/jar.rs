//! How warm a jar of glue is and how much water it has lost: Newton's law in short steps, and water leaving as long as it
//! is warm.
//!
//! Steps of sums and products alone, so that the figures are the same on every machine to the last bit.

use super::studio_air::{StudioAir, tabulated_saturation_pa};
use crate::units::{Span, Stamp};

/// One step.
const STEP: Span = Span::from_s(15);
/// The time constant of a jar in a water bath, min (assumed: it melts in a few minutes).
const BATH_TAU_MIN: f64 = 4.0;
/// Water that leaves a jar of 250 ml, g a minute and Pa of difference to the room (assumed).
const LOST_G_PER_MIN_PA: f64 = 1.1e-5;

/// Where the jar stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum JarPlace {
    /// On the table, open.
    Table,
    /// In a bath that warm, C.
    Bath(f64),
    /// Gelled and covered.
    Covered,
}

/// A jar at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct JarState {
    /// The time.
    pub(super) at: Stamp,
    /// How warm it is, C.
    pub(super) temp_c: f64,
    /// Water lost so far, g.
    pub(super) lost_water_g: f64,
    /// Where it stands.
    pub(super) place: JarPlace,
    /// Its time constant on the table, min.
    pub(super) tau_min: f64,
    /// Where what is in it gels, C.
    pub(super) gel_point_c: f64,
    /// Its opening against that of a jar of 250 ml.
    pub(super) opening_ratio: f64,
}

impl JarState {
    /// Lets time go by. Returns when it gelled, if it did so meanwhile.
    pub(super) fn advance(&mut self, to: Stamp, weather: StudioAir) -> Option<Stamp> {
        let (room_c, vapour_pa) = weather.room_conditions(self.at);
        let mut gelled = None;
        while self.at < to && self.place != JarPlace::Covered {
            let step = STEP.min(to - self.at);
            let min = step.minutes();
            let (towards_c, tau_min) = match self.place {
                JarPlace::Bath(bath_c) => (bath_c, BATH_TAU_MIN),
                JarPlace::Table | JarPlace::Covered => (room_c, self.tau_min),
            };
            self.temp_c += (towards_c - self.temp_c) * min / tau_min;
            let drives_pa = (tabulated_saturation_pa(self.temp_c) - vapour_pa).max(0.0);
            self.lost_water_g += LOST_G_PER_MIN_PA * self.opening_ratio * drives_pa * min;
            self.at = self.at + step;
            if self.place == JarPlace::Table && self.temp_c < self.gel_point_c {
                self.place = JarPlace::Covered;
                gelled = Some(self.at);
            }
        }
        if self.place == JarPlace::Covered && self.at < to {
            // Within hours it is as cold as the room; sooner it is of no account.
            let share = ((to - self.at).minutes() / (3.0 * self.tau_min)).min(1.0);
            self.temp_c += (room_c - self.temp_c) * share;
            self.at = to;
        }
        gelled
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::physics::cooling;
    use crate::record::demo::calendar::monday_midnight;

    #[test]
    fn it_cools_as_the_law_says_gels_where_it_gels_and_a_hot_bath_takes_its_water() {
        let weather = StudioAir::new(3);
        let begin = monday_midnight(40) + Span::from_h(10.0);
        let (room_c, _) = weather.room_conditions(begin);
        let jar = JarState {
            at: begin,
            temp_c: 46.0,
            lost_water_g: 0.0,
            place: JarPlace::Table,
            tau_min: 40.0,
            gel_point_c: 30.0,
            opening_ratio: 1.0,
        };
        let mut cooling = jar;
        let gelled = cooling.advance(begin + Span::from_h(3.0), weather).unwrap();
        let says = cooling::minutes_until(46.0, room_c, 40.0, 30.0).unwrap();
        assert!(((gelled - begin).minutes() - says).abs() < 1.0, "{says}");
        assert!((1.0..8.0).contains(&cooling.lost_water_g), "{}", cooling.lost_water_g);

        let mut hot = JarState { place: JarPlace::Bath(68.0), ..jar };
        assert_eq!(hot.advance(begin + Span::from_min(80.0), weather), None);
        assert!((67.0..=68.0).contains(&hot.temp_c));
        assert!((14.0..28.0).contains(&hot.lost_water_g), "{}", hot.lost_water_g);
    }
}
