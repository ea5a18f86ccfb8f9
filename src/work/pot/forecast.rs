//! When the pot gels, and when it must into the bath so that pot and coat are ready together.
//!
//! Newton's law of cooling (`craft::physics::cooling`), from what the maker marked. Marks alone: how long it took from
//! the bath to the jelly, each time; the recipe's temperatures give that time a time constant, and a room of another temperature changes
//! the forecast accordingly. A thermometer is better: two readings in this cooling that tell enough give the curve itself.
//! Readings above the recipe's overheating are left out: a very hot pot cools faster at first, by evaporation, than the
//! law says.

use super::fold::{Cooling, GlueState, Pot};
use crate::craft::physics::cooling::{self, CoolingFit, ThermometerReading};
use crate::stats::median;
use crate::text::format_count;
use crate::units::{Moment, Span, Stamp, Temperature};
use crate::work::panel::wait::elapsed;
use std::fmt;

/// The room, where nobody read it, C (assumed).
pub const ROOM_DEFAULT_C: f64 = 20.0;
/// Readings over less time than this, min, or that fall less, K, do not tell a time constant (assumed).
const FIT_MIN_CHANGE: (f64, f64) = (5.0, 2.0);
/// A jelly found later than so many times what the recipe expects says nothing of when it gelled (assumed).
const FOUND_LATE_FACTOR: f64 = 4.0;
/// A thermometer in a pot is read this well, K (assumed).
const READING_ERROR_K: f64 = 0.5;
/// A forecast is never surer than this, min: marks are made to the half minute (assumed).
const SPREAD_FLOOR_MIN: f64 = 0.5;
/// How far off a time constant may be that rests on one mark, or on none, as a share (assumed).
const UNSURE_SHARES: (f64, f64) = (0.25, 0.5);

/// What is known from outside the pot's own story.
#[derive(Clone, Copy)]
pub struct ForecastInputs<'a> {
    /// The temperature of the room as of a time, where it was read.
    pub room_at: &'a dyn Fn(Stamp) -> Option<Temperature>,
    /// The time constant earlier pots showed, min.
    pub learned_time_constant_min: Option<f64>,
}

impl Default for ForecastInputs<'_> {
    fn default() -> Self {
        ForecastInputs { room_at: &|_| None, learned_time_constant_min: None }
    }
}

/// What the time constant rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimeConstantOrigin {
    /// The recipe.
    Recipe,
    /// Earlier pots.
    EarlierPots,
    /// The maker's marks of liquid and gelled, so many times.
    Marks {
        /// How many coolings.
        coolings: usize,
    },
    /// A thermometer in earlier coolings.
    EarlierReadings {
        /// How many coolings.
        coolings: usize,
    },
    /// The thermometer in this cooling.
    Readings {
        /// How many readings.
        readings: usize,
    },
}

/// What the forecast rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastBasis {
    /// The time constant.
    pub time_constant_origin: TimeConstantOrigin,
    /// The temperature it begins at, C.
    pub start_c: f64,
    /// Whether a thermometer said so; else it is the middle of the recipe's working temperatures.
    pub start_read: bool,
    /// The room, C.
    pub room_c: f64,
    /// Whether the room was read; else it is assumed.
    pub room_read: bool,
    /// Where it gels, C.
    pub gels_c: f64,
    /// Whether a thermometer and a mark showed so; else it is the recipe's.
    pub gels_seen: bool,
}

impl fmt::Display for ForecastBasis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Newton's law of cooling; ")?;
        match self.time_constant_origin {
            TimeConstantOrigin::Recipe => f.write_str("the recipe's cooling time")?,
            TimeConstantOrigin::EarlierPots => f.write_str("the cooling time of earlier pots")?,
            TimeConstantOrigin::Marks { coolings } => {
                write!(f, "the cooling time of your marks ({})", format_count(coolings, "cooling"))?
            }
            TimeConstantOrigin::EarlierReadings { coolings } => {
                let earlier = format_count(coolings, "earlier cooling");
                write!(f, "the cooling time of your thermometer in {earlier}")?;
            }
            TimeConstantOrigin::Readings { readings } => {
                write!(f, "{} in this cooling", format_count(readings, "thermometer reading"))?
            }
        }
        let read = |yes| if yes { "read" } else { "assumed" };
        write!(
            f,
            "; {:.1} C at the beginning ({}), room {:.1} C ({}), gels at {:.1} C ({})",
            self.start_c,
            read(self.start_read),
            self.room_c,
            read(self.room_read),
            self.gels_c,
            if self.gels_seen { "seen" } else { "recipe" }
        )
    }
}

/// When it gels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotForecast {
    /// When; it may lie in the past, if nobody marked it.
    pub gels_at: Stamp,
    /// So much earlier or later.
    pub spread: Span,
    /// The time constant used, min.
    pub time_constant_min: f64,
    /// What all of it rests on.
    pub basis: ForecastBasis,
}

impl PotForecast {
    /// The earliest it may gel.
    pub fn earliest_gel(&self) -> Stamp {
        self.gels_at - self.spread
    }
}

/// When pot and bowl are to be seen to for a coat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoatPreparation {
    /// Into the bath by then; none if it stays liquid long enough, or is in it.
    pub bath_by: Option<Stamp>,
    /// The bowl is thinned then.
    pub bowl_at: Stamp,
}

/// A time constant and how far off it may be, min.
#[derive(Debug, Clone, Copy, PartialEq)]
struct TimeConstant {
    minutes: f64,
    spread_min: f64,
    origin: TimeConstantOrigin,
}

impl Pot {
    /// When it gels, if it is liquid and cools. None in the bath, gelled, where no mark tells since when it cools, and in a
    /// room too warm for it to gel.
    pub fn forecast_gel(&self, inputs: &ForecastInputs<'_>) -> Option<PotForecast> {
        let cooling = self.current_cooling().filter(|_| self.glue_state == GlueState::Liquid)?;
        let (room_c, room_read) = self.room_c(cooling, inputs);
        let readings = self.usable_readings(cooling, room_c);
        let start_read = !readings.is_empty();
        let curve = fit_if_sufficient(&readings, room_c);
        let tau = self.best_time_constant(start_read, curve.map(|fit| (fit.time_constant_min, readings.len())), inputs);
        let read_c = cooling::fit_start_c(&readings, room_c, tau.minutes).ok();
        let (start_c, start_read) = read_c.map_or((self.start_c(), false), |c| (c, true));
        // Marks alone carry the recipe's temperatures in their time constant; a thermometer is asked where it really gels.
        let seen_c = if start_read { self.observed_gel_c(inputs) } else { None };
        let gels_c = seen_c.unwrap_or(self.recipe().gesso.gels_at_c);
        let minutes = match cooling::minutes_until(start_c, room_c, tau.minutes, gels_c) {
            Ok(minutes) => minutes,
            // Read below where it gels, and marked liquid: it is about to.
            Err(_) if room_c < gels_c && start_c <= gels_c => 0.0,
            Err(_) => return None,
        };
        let known_liquid = cooling.still_liquid_at.map_or(cooling.started_at.wall, |m| m.wall);
        let by_reading = READING_ERROR_K.max(curve.map_or(0.0, |fit| fit.rms_c)) / (gels_c - room_c) * tau.minutes;
        let by_tau = minutes / tau.minutes * tau.spread_min;
        let spread_min = if curve.is_some() { by_reading } else { by_tau };
        Some(PotForecast {
            gels_at: (cooling.started_at.wall + Span::from_min(minutes)).max(known_liquid),
            spread: Span::from_min(spread_min.max(SPREAD_FLOOR_MIN)),
            time_constant_min: tau.minutes,
            basis: ForecastBasis {
                time_constant_origin: tau.origin,
                start_c,
                start_read,
                room_c,
                room_read,
                gels_c,
                gels_seen: seen_c.is_some(),
            },
        })
    }

    /// Where it was when it gelled, C: the curves of a thermometer in earlier coolings, at the mark. The middle one.
    pub fn observed_gel_c(&self, inputs: &ForecastInputs<'_>) -> Option<f64> {
        let each = |c: &Cooling| {
            let (room_c, _) = self.room_c(c, inputs);
            let gelled = elapsed(c.started_at, c.gelled_at?).minutes();
            let readings = self.usable_readings(c, room_c);
            let last = readings.last()?.time_min;
            let fit = fit_if_sufficient(&readings, room_c)?;
            // Far behind the last reading the curve says nothing, and a jelly found next morning neither.
            let at_mark = cooling::temperature_c(fit.start_c, room_c, fit.time_constant_min, gelled).ok();
            at_mark.filter(|_| gelled <= last * FOUND_LATE_FACTOR)
        };
        median(&self.coolings.iter().filter_map(each).collect::<Vec<_>>())
    }

    /// Where it is taken from the bath, as far as the recipe knows: the middle of its working temperatures, C.
    fn start_c(&self) -> f64 {
        let [lo, hi] = self.recipe().gesso.work_c;
        lo / 2.0 + hi / 2.0
    }

    fn room_c(&self, cooling: &Cooling, inputs: &ForecastInputs<'_>) -> (f64, bool) {
        (inputs.room_at)(cooling.started_at.wall).map_or((ROOM_DEFAULT_C, false), |t| (t.c(), true))
    }

    /// The readings of a cooling that the law may be asked about: above the room, and not overheated.
    fn usable_readings(&self, cooling: &Cooling, room_c: f64) -> Vec<ThermometerReading> {
        let overheat_c = self.recipe().gesso.overheat_c;
        let read = |(m, t): &(Moment, Temperature)| ThermometerReading {
            time_min: elapsed(cooling.started_at, *m).minutes(),
            temp_c: t.c(),
        };
        let each = cooling.readings.iter().map(read);
        each.filter(|r| r.temp_c > room_c + READING_ERROR_K && r.temp_c <= overheat_c).collect()
    }

    /// The time constants the maker's marks alone show, min: one for each cooling marked from its beginning to the jelly.
    pub fn marked_time_constants(&self, inputs: &ForecastInputs<'_>) -> Vec<f64> {
        self.coolings.iter().filter_map(|c| self.time_constant_from_marks(c, inputs)).collect()
    }

    /// The time constants a thermometer shows in coolings that are over, min.
    pub fn measured_time_constants(&self, inputs: &ForecastInputs<'_>) -> Vec<f64> {
        self.coolings.iter().filter(|c| c.is_over).filter_map(|c| self.time_constant_from_readings(c, inputs)).collect()
    }

    fn time_constant_from_marks(&self, cooling: &Cooling, inputs: &ForecastInputs<'_>) -> Option<f64> {
        let (room_c, _) = self.room_c(cooling, inputs);
        let (gesso, time) = (&self.recipe().gesso, elapsed(cooling.started_at, cooling.gelled_at?).minutes());
        let expected = cooling::minutes_until(self.start_c(), room_c, gesso.time_constant_min, gesso.gels_at_c).ok()?;
        let credible = (expected / FOUND_LATE_FACTOR..=expected * FOUND_LATE_FACTOR).contains(&time);
        cooling::time_constant_min(self.start_c(), gesso.gels_at_c, room_c, time).ok().filter(|_| credible)
    }

    fn time_constant_from_readings(&self, cooling: &Cooling, inputs: &ForecastInputs<'_>) -> Option<f64> {
        let (room_c, _) = self.room_c(cooling, inputs);
        fit_if_sufficient(&self.usable_readings(cooling, room_c), room_c).map(|fit| fit.time_constant_min)
    }

    /// The best time constant there is. What was read is true of the glue and goes with a beginning that was read; what
    /// was marked carries the assumed beginning in it and goes with that. A curve of this cooling, with the number of its
    /// readings, stands beside those of earlier ones.
    fn best_time_constant(
        &self,
        start_read: bool,
        curve: Option<(f64, usize)>,
        inputs: &ForecastInputs<'_>,
    ) -> TimeConstant {
        let earlier = self.measured_time_constants(inputs);
        let coolings = earlier.len();
        if let Some((tau, readings)) = curve {
            let all: Vec<f64> = earlier.into_iter().chain([tau]).collect();
            let (min, spread_min) = median_with_spread(&all).expect("this cooling's own is among them");
            return TimeConstant { minutes: min, spread_min, origin: TimeConstantOrigin::Readings { readings } };
        }
        let of_read = median_with_spread(&earlier);
        let of_read = of_read.map(|(min, spread_min)| TimeConstant {
            minutes: min,
            spread_min,
            origin: TimeConstantOrigin::EarlierReadings { coolings },
        });
        let marks = self.marked_time_constants(inputs);
        let from = TimeConstantOrigin::Marks { coolings: marks.len() };
        let of_marks =
            median_with_spread(&marks).map(|(min, spread_min)| TimeConstant { minutes: min, spread_min, origin: from });
        let own = if start_read { of_read.or(of_marks) } else { of_marks.or(of_read) };
        let (min, from) = match inputs.learned_time_constant_min.filter(|min| *min > 0.0) {
            Some(min) => (min, TimeConstantOrigin::EarlierPots),
            None => (self.recipe().gesso.time_constant_min, TimeConstantOrigin::Recipe),
        };
        own.unwrap_or(TimeConstant { minutes: min, spread_min: min * UNSURE_SHARES.1, origin: from })
    }

    /// When pot and bowl are to be seen to for a coat that falls due then: the bowl is thinned from a liquid pot the
    /// recipe's minutes before it, and the pot is melted by then. A coat that falls due earlier, because its ground went
    /// dull, moves both forward. None where there is nothing to lay on yet, or no more.
    pub fn coat_preparation(&self, forecast: Option<&PotForecast>, due_at: Stamp) -> Option<CoatPreparation> {
        let gesso = &self.recipe().gesso;
        let bowl_at = due_at - Span::from_min(gesso.bowl_min);
        let laid_at = due_at + Span::from_min(self.recipe().minutes.coat);
        let too_soon = match (self.glue_state, self.current_bath()) {
            (GlueState::Raw | GlueState::Soaking, _) => return None,
            (GlueState::Melting | GlueState::Liquid | GlueState::Gelled, Some(_)) => false,
            (GlueState::Melting | GlueState::Gelled, None) => true,
            (GlueState::Liquid, None) => forecast.is_some_and(|f| f.earliest_gel() <= laid_at),
        };
        let bath_by = too_soon.then(|| bowl_at - Span::from_min(gesso.melt_min));
        self.end.is_none().then_some(CoatPreparation { bath_by, bowl_at })
    }
}

/// The curve of readings that tell enough for one.
fn fit_if_sufficient(readings: &[ThermometerReading], room_c: f64) -> Option<CoolingFit> {
    let (first, last) = (readings.first()?, readings.last()?);
    let tells = last.time_min - first.time_min >= FIT_MIN_CHANGE.0 && first.temp_c - last.temp_c >= FIT_MIN_CHANGE.1;
    cooling::fit_cooling(readings, room_c).ok().filter(|_| tells)
}

/// The median, and how far the others lie from it: 1.4826 times the median distance, which is a standard deviation
/// where they scatter as errors do. One alone is taken as a quarter off (assumed).
fn median_with_spread(values: &[f64]) -> Option<(f64, f64)> {
    let middle = median(values)?;
    let off: Vec<f64> = values.iter().map(|v| (v - middle).abs()).collect();
    let spread = if off.len() < 2 { middle * UNSURE_SHARES.0 } else { 1.4826 * median(&off)? };
    Some((middle, spread))
}
