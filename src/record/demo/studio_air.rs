//! The air of the studio: a reading in the morning and one in the evening, by the season, with a dry spell every winter.
//!
//! Each day draws from a stream of its own, so that the air of a day is the same however long the stories run.

use super::calendar::{day_number, day_start, is_open_day, studio_moment};
use super::rng::Rng;
use crate::units::{Entry, Humidity, Span, Stamp, Temperature};
use crate::work::air::{Air, AirEvent, AirReading};

/// Mid-month means of a workroom that is heated from October on: C and per cent (assumed).
const MONTHLY_MEANS: [(f64, f64); 12] = [
    (18.5, 39.0),
    (18.5, 39.0),
    (19.0, 42.0),
    (19.5, 46.0),
    (20.5, 52.0),
    (22.0, 57.0),
    (23.5, 60.0),
    (23.5, 59.0),
    (21.5, 55.0),
    (20.0, 50.0),
    (19.0, 45.0),
    (18.5, 41.0),
];
/// What a spell of frost does to a heated room: C and per cent (assumed).
const DRY_SPELL: (f64, f64) = (-1.0, -11.0);

/// The air of one invented studio.
#[derive(Debug, Clone, Copy)]
pub(super) struct StudioAir {
    seed: u64,
    /// Every second day or so is dry, by chance.
    has_dry_days: bool,
}

/// How much drier such a day is, per cent (assumed: a heated room on a frosty day).
const DRY_DAY_PCT: f64 = 16.0;

impl StudioAir {
    /// The air that belongs to a seed.
    pub(super) const fn new(seed: u64) -> StudioAir {
        StudioAir { seed, has_dry_days: false }
    }

    /// The same with dry days among the others.
    pub(super) const fn with_dry_days(seed: u64) -> StudioAir {
        StudioAir { seed, has_dry_days: true }
    }

    /// Whether that day is one of the dry ones.
    pub(super) fn is_dry(self, day: i64) -> bool {
        self.has_dry_days && Rng::new(self.seed, &format!("dry {day}")).draw_one_in(2)
    }

    /// What was read on that day, by time: two readings, one, or none.
    fn readings_of_day(self, day: i64) -> Vec<AirReading> {
        if !is_open_day(day) {
            return Vec::new();
        }
        let mut chance = Rng::new(self.seed, &format!("air {day}"));
        let (mean_c, mean_pct) = self.daily_mean(day);
        let mean_pct = if self.is_dry(day) { mean_pct - DRY_DAY_PCT } else { mean_pct };
        let (off_c, off_pct) = (chance.draw_int(-10, 10) as f64 / 10.0, chance.draw_int(-4, 4) as f64);
        let mut read = Vec::new();
        // The room warms up in the course of the day, and dries by it.
        for (opens_min, more_c, more_pct) in [(8 * 60 + 18, -0.8, 1.0), (17 * 60 + 25, 0.8, -2.0)] {
            let at = day_start(day) + Span::from_s(opens_min * 60) + chance.draw_minutes(0, 18);
            let here_c = mean_c + off_c + more_c + chance.draw_int(-4, 4) as f64 / 10.0;
            let here_pct = mean_pct + off_pct + more_pct + chance.draw_int(-2, 2) as f64;
            let missed = chance.draw_one_in(12);
            let temp = Temperature::from_c((here_c * 10.0).round() / 10.0);
            let reading = AirReading::new(at, temp, Humidity::from_pct(here_pct.round()));
            read.extend(reading.ok().filter(|_| !missed));
        }
        read
    }

    /// The mean of a day, C and per cent: the months, and the spell of the winter.
    fn daily_mean(self, day: i64) -> (f64, f64) {
        // 1 January 2024 is day 19723; a year of the season is 365 days, which drifts by less than the noise.
        let (year, into) = ((day - 19_723).div_euclid(365), (day - 19_723).rem_euclid(365));
        // The middle of January is day 15.
        let months = (into as f64 - 15.0) / 365.0 * 12.0;
        let before = months.floor();
        let share = months - before;
        let month = |n: f64| MONTHLY_MEANS[(n as i64).rem_euclid(12) as usize];
        let ((c0, pct0), (c1, pct1)) = (month(before), month(before + 1.0));
        let mut spell = Rng::new(self.seed, &format!("spell {year}"));
        let begins = spell.draw_int(3, 30);
        let dry = (begins..begins + spell.draw_int(9, 15)).contains(&into);
        let (more_c, more_pct) = if dry { DRY_SPELL } else { (0.0, 0.0) };
        (c0 + (c1 - c0) * share + more_c, pct0 + (pct1 - pct0) * share + more_pct)
    }

    /// The air as it was known at that time: the last reading of the day, where it still held.
    pub(super) fn known_air(self, at: Stamp) -> Option<(Temperature, Humidity)> {
        Air::from_readings(self.readings_of_day(day_number(at))).reading_as_of(at).map(|r| (r.temp, r.rh))
    }

    /// The room at that time, C, and the pressure of its vapour, Pa.
    pub(super) fn room_conditions(self, at: Stamp) -> (f64, f64) {
        let (temp_c, pct) =
            self.known_air(at).map_or_else(|| self.daily_mean(day_number(at)), |(t, rh)| (t.c(), rh.pct()));
        (temp_c, tabulated_saturation_pa(temp_c) * pct / 100.0)
    }

    /// Every reading from the day of one time to the day of another, as the journal has them.
    pub(super) fn readings_between(self, from: Stamp, to: Stamp) -> Vec<Entry<AirEvent>> {
        let read = (day_number(from)..=day_number(to)).flat_map(|day| self.readings_of_day(day));
        let entry = |(seq, r): (usize, AirReading)| Entry {
            seq: seq as u64,
            at: r.at,
            written: studio_moment(r.at),
            raw_wall: None,
            replaces: None,
            event: AirEvent::Read { temp: r.temp, rh: r.rh },
        };
        read.enumerate().map(entry).collect()
    }
}

/// Saturation pressure of water from 0 C on in steps of 10 C, Pa (steam tables, from memory; a test holds them against
/// the formula of `craft::physics::air`). A table and straight lines between are the same on every machine, to the last bit.
const SATURATION_PA: [f64; 11] =
    [611.0, 1_228.0, 2_339.0, 4_247.0, 7_385.0, 12_352.0, 19_946.0, 31_202.0, 47_415.0, 70_182.0, 101_418.0];

/// Saturation pressure of water, Pa, from 0 to 100 C.
pub(super) fn tabulated_saturation_pa(temp_c: f64) -> f64 {
    let steps = (temp_c / 10.0).clamp(0.0, 9.999);
    let below = steps.floor() as usize;
    let (low, high) = (SATURATION_PA[below], SATURATION_PA[below + 1]);
    low + (high - low) * (steps - below as f64)
}

#[cfg(test)]
mod tests {
    use super::super::calendar::DAY_S;
    use super::*;
    use crate::craft::physics::air;

    #[test]
    fn the_table_is_that_of_water() {
        for temp_c in [0.0, 20.0, 40.0, 60.0, 70.0] {
            let formula = air::saturation_pressure_pa(temp_c).unwrap();
            let off = tabulated_saturation_pa(temp_c) / formula - 1.0;
            assert!(off.abs() < 0.01, "{temp_c}: {off}");
        }
    }

    #[test]
    fn winter_is_dry_and_its_spell_drier() {
        let mean_of = |seed: u64, days: std::ops::Range<i64>| {
            let read: Vec<AirReading> = days.flat_map(|d| StudioAir::new(seed).readings_of_day(d)).collect();
            read.iter().map(|r| r.rh.pct()).sum::<f64>() / read.len() as f64
        };
        for seed in 0..20 {
            // July 2024 and January 2025.
            let (july, january) = (mean_of(seed, 19_905..19_936), mean_of(seed, 20_089..20_120));
            assert!(july - january > 12.0, "seed {seed}: {july} {january}");
            let driest = (20_089..20_134).flat_map(|d| StudioAir::new(seed).readings_of_day(d)).map(|r| r.rh.pct());
            let driest = driest.fold(100.0, f64::min);
            assert!((18.0..=31.0).contains(&driest), "seed {seed}: {driest}");
        }
    }

    #[test]
    fn what_is_known_at_a_time_is_what_was_read_before_it() {
        let weather = StudioAir::new(5);
        let from = day_start(20_000);
        let entries = weather.readings_between(from, from + Span::from_s(40 * DAY_S));
        let air = Air::from_entries(&entries);
        assert!(entries.len() > 50);
        for hours in 0..400 {
            let at = from + Span::from_h(f64::from(hours) * 2.3);
            let read = air.reading_as_of(at).filter(|r| day_number(r.at) == day_number(at)).map(|r| (r.temp, r.rh));
            assert_eq!(weather.known_air(at), read);
        }
    }
}
