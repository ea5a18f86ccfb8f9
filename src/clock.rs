//! The one room that reads a clock. Everything below the terminal loop and the command line is handed its moments.
//!
//! Absent on purpose: deciding what a moment means (`bench`, `work`).

use crate::units::{BootMark, Moment, Stamp};
use std::time::Instant;

/// A source of moments: the machine's clocks, or the same clocks run faster for a rehearsal.
#[derive(Debug, Clone)]
pub struct Clock {
    boot: Option<u128>,
    pace: Option<(f64, Moment, Instant)>,
}

impl Clock {
    /// The machine's own clocks; `boot` is the identity of this boot, where the platform tells one.
    pub fn real(boot: Option<u128>) -> Self {
        Clock { boot, pace: None }
    }

    /// Clocks that run `pace` times as fast from now on; 1 is real time.
    pub fn paced(boot: Option<u128>, pace: f64) -> Self {
        let begin = Self::real(boot).now();
        Clock { boot, pace: Some((pace, begin, Instant::now())) }
    }

    /// How many times as fast as the world this clock runs.
    pub fn pace(&self) -> f64 {
        self.pace.map_or(1.0, |(pace, ..)| pace)
    }

    /// Milliseconds on a clock that stands still while the machine sleeps, where the platform tells both kinds apart and
    /// the clock is not paced.
    pub fn awake_ms(&self) -> Option<i64> {
        if self.pace.is_some() { None } else { monotonic_ms() }
    }

    /// What every clock says now.
    pub fn now(&self) -> Moment {
        match self.pace {
            None => {
                let local = chrono::Local::now();
                Moment {
                    wall: Stamp::from_ms(local.timestamp_millis()),
                    boot: self.boot.and_then(|boot| Some(BootMark { boot, ms: boot_ms()? })),
                    offset_min: local.offset().local_minus_utc() / 60,
                }
            }
            Some((pace, begin, real)) => {
                let gone_ms = (real.elapsed().as_secs_f64() * pace * 1000.0) as i64;
                begin.back(crate::units::Span::from_ms(-gone_ms))
            }
        }
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
