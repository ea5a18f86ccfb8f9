//! The air of the room: readings as of a time, their range over a stretch of work, and a logger's file.
//!
//! A journal of its own; stories of panels and pots join it by time.

pub mod logger;

use crate::units::{Entry, Humidity, Span, Stamp, Temperature};
use std::fmt;

/// A reading says nothing of the air after this long: heating, people and weather change it (common practice, no source).
pub const READING_VALID_FOR: Span = Span::from_s(6 * 3600);
/// The coldest and warmest workroom believed, C (common practice, no source).
pub const TEMP_LIMITS_C: (f64, f64) = (-40.0, 60.0);

/// What can happen in the journal of the air. Its words are `read` and whatever a newer version wrote.
#[derive(Debug, Clone, PartialEq)]
pub enum AirEvent {
    /// The air was read.
    Read {
        /// Its temperature.
        temp: Temperature,
        /// Its relative humidity.
        rh: Humidity,
    },
    /// A fact of a kind this version does not know; kept, without effect.
    Unknown {
        /// The word of its kind.
        name: String,
    },
}

impl AirEvent {
    /// The word written in journals.
    pub fn name(&self) -> &str {
        match self {
            AirEvent::Read { .. } => "read",
            AirEvent::Unknown { name: fact } => fact,
        }
    }
}

/// One reading of the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirReading {
    /// When.
    pub at: Stamp,
    /// The temperature.
    pub temp: Temperature,
    /// The relative humidity.
    pub rh: Humidity,
}

/// Why figures are no reading of a room's air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AirError {
    /// No workroom is that cold or warm; the value in C, or not a number.
    Temperature(f64),
    /// Relative humidity lies between 0 and 100 %.
    Humidity(f64),
}

impl fmt::Display for AirError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            AirError::Temperature(c) => {
                write!(
                    f,
                    "{c} C is no air of a workroom; it lies between {} and {} C",
                    TEMP_LIMITS_C.0, TEMP_LIMITS_C.1
                )
            }
            AirError::Humidity(pct) => write!(f, "{pct} % is no relative humidity; it lies between 0 and 100 %"),
        }
    }
}

impl std::error::Error for AirError {}

impl AirReading {
    /// A reading, if a room's air can be so.
    ///
    /// # Errors
    /// [`AirError`] for figures out of range or not numbers.
    pub fn new(at: Stamp, temp: Temperature, rh: Humidity) -> Result<AirReading, AirError> {
        if !(TEMP_LIMITS_C.0..=TEMP_LIMITS_C.1).contains(&temp.c()) {
            return Err(AirError::Temperature(temp.c()));
        }
        if !(0.0..=100.0).contains(&rh.pct()) {
            return Err(AirError::Humidity(rh.pct()));
        }
        Ok(AirReading { at, temp, rh })
    }
}

/// The lowest, highest and mean of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ValueStats {
    /// The lowest.
    pub lo: f64,
    /// The highest.
    pub hi: f64,
    /// The mean of the readings, each counted once.
    pub mean: f64,
}

/// The air over a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirStats {
    /// Temperatures, C.
    pub temp_c: ValueStats,
    /// Relative humidities, per cent.
    pub rh_pct: ValueStats,
    /// How many readings it rests on.
    pub readings: usize,
}

/// Why nothing is known of the air though it was recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AirFault {
    /// What is wrong with its journal, a sentence without its full stop.
    pub message: String,
    /// Whether it is damaged; else a newer version wrote it.
    pub is_damage: bool,
}

/// Every reading of the air, by time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Air {
    readings: Vec<AirReading>,
    fault: Option<AirFault>,
}

impl Air {
    /// The readings of a journal. Those no room can have are left out; of two at one time the later written counts.
    pub fn from_entries(entries: &[Entry<AirEvent>]) -> Air {
        let each = |e: &Entry<AirEvent>| match &e.event {
            AirEvent::Read { temp, rh } => AirReading::new(e.at, *temp, *rh).ok(),
            AirEvent::Unknown { .. } => None,
        };
        Air::from_readings(entries.iter().filter_map(each))
    }

    /// Takes in what was written since.
    pub fn extend(&mut self, entries: &[Entry<AirEvent>]) {
        self.readings.extend(Air::from_entries(entries).readings);
        // What is written later still comes later of two at one time: this sort keeps their order.
        self.readings.sort_by_key(|r| r.at);
    }

    /// From readings in any order.
    pub fn from_readings(readings: impl IntoIterator<Item = AirReading>) -> Air {
        let mut readings: Vec<AirReading> = readings.into_iter().collect();
        readings.sort_by_key(|r| r.at);
        Air { readings, fault: None }
    }

    /// Air of which nothing is known, because its journal cannot be relied on.
    pub fn unreadable(fault: AirFault) -> Air {
        Air { readings: Vec::new(), fault: Some(fault) }
    }

    /// Why nothing is known of it, where readings are recorded and cannot be relied on.
    pub fn fault(&self) -> Option<&AirFault> {
        self.fault.as_ref()
    }

    /// Every reading, by time.
    pub fn readings(&self) -> &[AirReading] {
        &self.readings
    }

    /// The reading taken at that very time; of two the later written.
    pub fn reading_at(&self, at: Stamp) -> Option<&AirReading> {
        let after = self.readings.partition_point(|r| r.at <= at);
        self.readings[..after].last().filter(|r| r.at == at)
    }

    /// The air at that time: the last reading before it, unless it is older than `READING_VALID_FOR`.
    pub fn reading_as_of(&self, at: Stamp) -> Option<&AirReading> {
        let after = self.readings.partition_point(|r| r.at <= at);
        self.readings[..after].last().filter(|r| at - r.at <= READING_VALID_FOR)
    }

    /// The air from one time to another, both included: the reading that held at the beginning and all since.
    pub fn stats_between(&self, from: Stamp, to: Stamp) -> Option<AirStats> {
        let held = self.reading_as_of(from).filter(|r| r.at < from);
        let since = self.readings.iter().filter(|r| (from..=to).contains(&r.at));
        let all: Vec<&AirReading> = held.into_iter().filter(|_| from <= to).chain(since).collect();
        Some(AirStats {
            temp_c: value_stats(all.iter().map(|r| r.temp.c()))?,
            rh_pct: value_stats(all.iter().map(|r| r.rh.pct()))?,
            readings: all.len(),
        })
    }
}

fn value_stats(values: impl Iterator<Item = f64> + Clone) -> Option<ValueStats> {
    let count = values.clone().count();
    (count > 0).then(|| ValueStats {
        lo: values.clone().fold(f64::INFINITY, f64::min),
        hi: values.clone().fold(f64::NEG_INFINITY, f64::max),
        mean: values.sum::<f64>() / count as f64,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Moment;

    fn at(min: f64) -> Stamp {
        Stamp::from_ms(1_800_000_000_000) + Span::from_min(min)
    }

    fn air(rows: &[(f64, f64, f64)]) -> Air {
        let entry = |(seq, (min, c, pct)): (usize, &(f64, f64, f64))| Entry {
            seq: seq as u64,
            at: at(*min),
            written: Moment::from_wall(at(*min)),
            raw_wall: None,
            replaces: None,
            event: AirEvent::Read { temp: Temperature::from_c(*c), rh: Humidity::from_pct(*pct) },
        };
        Air::from_entries(&rows.iter().enumerate().map(entry).collect::<Vec<_>>())
    }

    #[test]
    fn a_reading_holds_until_the_next_and_not_for_ever() {
        let air = air(&[(60.0, 21.0, 50.0), (0.0, 18.0, 40.0), (60.0, 22.0, 55.0)]);
        let told = |min: f64| air.reading_as_of(at(min)).map(|r| (r.temp.c(), r.rh.pct()));
        assert_eq!(told(-1.0), None);
        assert_eq!(told(0.0), Some((18.0, 40.0)));
        assert_eq!(told(59.9), Some((18.0, 40.0)));
        // Of two at one time the later written counts.
        assert_eq!(told(60.0), Some((22.0, 55.0)));
        assert_eq!(told(60.0 + 360.0), Some((22.0, 55.0)));
        assert_eq!(told(60.0 + 360.1), None);
    }

    #[test]
    fn a_range_takes_in_what_held_at_its_beginning() {
        let air = air(&[(0.0, 18.0, 40.0), (60.0, 21.0, 50.0), (90.0, 24.0, 45.0)]);
        let told = |from: f64, to: f64| {
            let r = air.stats_between(at(from), at(to))?;
            Some((r.temp_c.lo, r.temp_c.hi, r.temp_c.mean, r.rh_pct.lo, r.rh_pct.hi, r.readings))
        };
        assert_eq!(told(0.0, 90.0), Some((18.0, 24.0, 21.0, 40.0, 50.0, 3)));
        assert_eq!(told(30.0, 60.0), Some((18.0, 21.0, 19.5, 40.0, 50.0, 2)));
        assert_eq!(told(61.0, 80.0), Some((21.0, 21.0, 21.0, 50.0, 50.0, 1)));
        assert_eq!(told(-30.0, -10.0), None);
        assert_eq!(told(500.0, 600.0), None, "the last reading is too old");
        assert_eq!(told(90.0, 60.0), None);
    }

    #[test]
    fn no_room_is_so() {
        for (c, pct, expected) in [
            (-41.0, 50.0, Some(AirError::Temperature(-41.0))),
            (60.1, 50.0, Some(AirError::Temperature(60.1))),
            (20.0, -0.1, Some(AirError::Humidity(-0.1))),
            (20.0, 100.1, Some(AirError::Humidity(100.1))),
            (-40.0, 0.0, None),
            (60.0, 100.0, None),
        ] {
            let got = AirReading::new(at(0.0), Temperature::from_c(c), Humidity::from_pct(pct)).err();
            assert_eq!(got, expected);
        }
        assert!(AirReading::new(at(0.0), Temperature::from_c(f64::NAN), Humidity::from_pct(5.0)).is_err());
        assert_eq!(air(&[(0.0, 70.0, 50.0)]).readings().len(), 0);
    }
}
