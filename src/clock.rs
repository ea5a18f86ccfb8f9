//! The one room that reads a clock. Everything below the terminal loop and the command line is handed its moments.
//!
//! Absent on purpose: deciding what a moment means (`bench`, `work`).

use crate::units::{BootMark, Moment, Span, Stamp};
use chrono::{Offset, TimeZone};
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Instant, SystemTime};

/// A source of moments: the machine's clocks, or the same clocks run faster for a rehearsal.
#[derive(Debug, Clone)]
pub struct Clock {
    boot_id: Option<u128>,
    simulated: Option<SimulatedClock>,
    /// From where the time runs on while the wall clock is not believed, the same for every copy of the clock.
    anchor: Arc<Mutex<Option<Anchor>>>,
}

/// A time that runs on with the boot clock.
#[derive(Debug, Clone, Copy)]
struct Anchor {
    /// What is believed.
    wall: Stamp,
    /// What the machine's own clocks said then.
    real: Moment,
    /// The wall clock is not believed again, even once it is ahead.
    for_good: bool,
}

/// A clock that runs faster, and can be put forward.
#[derive(Debug, Clone)]
struct SimulatedClock {
    pace: f64,
    start: Moment,
    started_at: Instant,
    /// Milliseconds it was put forward by, the same for every copy of the clock.
    advanced_ms: Arc<AtomicI64>,
}

impl SimulatedClock {
    fn now(&self) -> Moment {
        let gone_ms = (self.started_at.elapsed().as_secs_f64() * self.pace * 1000.0) as i64;
        let ahead_ms = self.advanced_ms.load(Ordering::SeqCst);
        self.start.earlier_by(-Span::from_ms(gone_ms.saturating_add(ahead_ms)))
    }
}

impl Clock {
    /// The machine's own clocks; `boot` is the identity of this boot, where the platform tells one.
    pub fn new(boot: Option<u128>) -> Self {
        Clock { boot_id: boot, simulated: None, anchor: Arc::default() }
    }

    /// Clocks that run `pace` times as fast from now on; 1 is real time.
    pub fn with_pace(boot: Option<u128>, pace: f64) -> Self {
        let begin = Self::new(boot).now();
        let hurried = SimulatedClock { pace, start: begin, started_at: Instant::now(), advanced_ms: Arc::default() };
        Clock { boot_id: boot, simulated: Some(hurried), anchor: Arc::default() }
    }

    /// How many times as fast as the world this clock runs.
    pub fn pace(&self) -> f64 {
        self.simulated.as_ref().map_or(1.0, |h| h.pace)
    }

    /// Whether it is not the world's time: a clock of a rehearsal, at whatever pace.
    pub fn is_simulated(&self) -> bool {
        self.simulated.is_some()
    }

    /// Puts a hurried clock forward, here and in every copy of it; never back. The machine's own clocks stay as they are.
    pub fn advance(&self, span: Span) {
        if let Some(hurried) = &self.simulated {
            hurried.advanced_ms.fetch_add(span.ms().max(0), Ordering::SeqCst);
        }
    }

    /// Milliseconds on a clock that stands still while the machine sleeps, where the platform tells both kinds apart and
    /// the clock is not paced.
    pub fn awake_ms(&self) -> Option<i64> {
        if self.is_simulated() { None } else { monotonic_ms() }
    }

    /// From now on the time runs on from `wall` with the boot clock, here and in every copy: until the wall clock is ahead
    /// of it, or for good where the maker says that the wall clock is wrong. A hurried clock stays as it is.
    pub fn run_on_from(&self, wall: Stamp, for_good: bool) {
        let anchor = Anchor { wall, real: self.real_now(), for_good };
        *self.anchor.lock().unwrap_or_else(PoisonError::into_inner) = Some(anchor);
    }

    /// What every clock says now.
    pub fn now(&self) -> Moment {
        if let Some(hurried) = &self.simulated {
            return hurried.now();
        }
        let real = self.real_now();
        match *self.anchor.lock().unwrap_or_else(PoisonError::into_inner) {
            Some(anchor) => anchor.apply(real),
            None => real,
        }
    }

    fn real_now(&self) -> Moment {
        let wall_ms = wall_ms();
        let local = chrono::Local.timestamp_millis_opt(wall_ms).single();
        Moment {
            wall: Stamp::from_ms(wall_ms),
            boot: self.boot_id.and_then(|boot| Some(BootMark { boot_id: boot, ms: boot_ms()? })),
            offset_min: local.map_or(0, |t| t.offset().fix().local_minus_utc() / 60),
            raw_wall: None,
        }
    }
}

impl Anchor {
    /// What is believed when the machine's own clocks say `real`.
    fn apply(&self, real: Moment) -> Moment {
        let wall = self.wall + real.since(self.real);
        if real.wall >= wall && !self.for_good {
            return real;
        }
        Moment { wall, raw_wall: Some(real.wall), ..real }
    }
}

/// Milliseconds since 1970 by the wall clock; below 0 before.
fn wall_ms() -> i64 {
    let ms = |span: std::time::Duration| i64::try_from(span.as_millis()).unwrap_or(i64::MAX);
    match SystemTime::now().duration_since(SystemTime::UNIX_EPOCH) {
        Ok(since) => ms(since),
        Err(before) => -ms(before.duration()),
    }
}

/// Milliseconds since boot, sleep included, where the platform tells.
#[cfg(target_os = "linux")]
fn boot_ms() -> Option<i64> {
    let t = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    Some(t.tv_sec.saturating_mul(1000).saturating_add(t.tv_nsec / 1_000_000))
}

#[cfg(target_os = "linux")]
fn monotonic_ms() -> Option<i64> {
    let t = rustix::time::clock_gettime(rustix::time::ClockId::Monotonic);
    Some(t.tv_sec.saturating_mul(1000).saturating_add(t.tv_nsec / 1_000_000))
}

#[cfg(not(target_os = "linux"))]
fn monotonic_ms() -> Option<i64> {
    None
}

#[cfg(not(target_os = "linux"))]
fn boot_ms() -> Option<i64> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hurried_clock_is_put_forward_in_every_copy_and_never_back() {
        let clock = Clock::with_pace(None, 1.0);
        let copy = clock.clone();
        let before = copy.now();
        clock.advance(Span::from_h(24.0));
        assert!(copy.now().wall - before.wall >= Span::from_h(24.0));
        let before = copy.now();
        clock.advance(Span::from_h(-24.0));
        assert!(copy.now().wall >= before.wall);
    }

    #[test]
    fn a_clock_that_is_behind_runs_on_with_the_boot_clock() {
        let at = |wall: i64, ms: i64| Moment {
            boot: Some(BootMark { boot_id: 1, ms }),
            ..Moment::from_wall(Stamp::from_ms(wall))
        };
        let anchor = |for_good| Anchor { wall: Stamp::from_ms(100_000), real: at(4_000, 50), for_good };
        let check = |for_good, real: Moment, wall: i64, raw: Option<i64>| {
            let now = anchor(for_good).apply(real);
            assert_eq!((now.wall.ms(), now.raw_wall.map(Stamp::ms)), (wall, raw), "{real:?}, {for_good}");
        };
        check(false, at(4_000, 50), 100_000, Some(4_000));
        // A second is a second, whatever the wall clock does behind it.
        check(false, at(5_000, 1_050), 101_000, Some(5_000));
        check(false, at(1_000, 2_050), 102_000, Some(1_000));
        // Once it is put right it is believed again, unless the maker said that it is wrong.
        check(false, at(900_000, 3_050), 900_000, None);
        check(true, at(900_000, 3_050), 103_000, Some(900_000));
    }

    #[test]
    fn every_copy_runs_on() {
        let clock = Clock::new(Some(7));
        let copy = clock.clone();
        let ahead = clock.now().wall + Span::from_h(48.0);
        clock.run_on_from(ahead, false);
        let now = copy.now();
        assert!(now.wall >= ahead && now.raw_wall.is_some_and(|raw| raw < ahead));
    }

    #[test]
    fn the_real_clock_cannot_be_put_forward() {
        let clock = Clock::new(None);
        let before = clock.now();
        clock.advance(Span::from_h(24.0));
        assert!(clock.now().wall - before.wall < Span::from_h(23.0));
    }
}
