//! The one room that reads a clock. Everything below the terminal loop and the command line is handed its moments.
//!
//! Absent on purpose: deciding what a moment means (`bench`, `work`).

use crate::units::{BootMark, Moment, Span, Stamp};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Instant;

/// A source of moments: the machine's clocks, or the same clocks run faster for a rehearsal.
#[derive(Debug, Clone)]
pub struct Clock {
    boot: Option<u128>,
    hurried: Option<Hurried>,
}

/// A clock that runs faster, and can be put forward.
#[derive(Debug, Clone)]
struct Hurried {
    pace: f64,
    begin: Moment,
    real: Instant,
    /// Milliseconds it was put forward by, the same for every copy of the clock.
    ahead_ms: Arc<AtomicI64>,
}

impl Hurried {
    fn now(&self) -> Moment {
        let gone_ms = (self.real.elapsed().as_secs_f64() * self.pace * 1000.0) as i64;
        let ahead_ms = self.ahead_ms.load(Ordering::SeqCst);
        self.begin.back(-Span::from_ms(gone_ms.saturating_add(ahead_ms)))
    }
}

impl Clock {
    /// The machine's own clocks; `boot` is the identity of this boot, where the platform tells one.
    pub fn real(boot: Option<u128>) -> Self {
        Clock { boot, hurried: None }
    }

    /// Clocks that run `pace` times as fast from now on; 1 is real time.
    pub fn paced(boot: Option<u128>, pace: f64) -> Self {
        let begin = Self::real(boot).now();
        let hurried = Hurried { pace, begin, real: Instant::now(), ahead_ms: Arc::default() };
        Clock { boot, hurried: Some(hurried) }
    }

    /// How many times as fast as the world this clock runs.
    pub fn pace(&self) -> f64 {
        self.hurried.as_ref().map_or(1.0, |h| h.pace)
    }

    /// Whether it is not the world's time: a clock of a rehearsal, at whatever pace.
    pub fn hurried(&self) -> bool {
        self.hurried.is_some()
    }

    /// Puts a hurried clock forward, here and in every copy of it; never back. The machine's own clocks stay as they are.
    pub fn pass(&self, span: Span) {
        if let Some(hurried) = &self.hurried {
            hurried.ahead_ms.fetch_add(span.ms().max(0), Ordering::SeqCst);
        }
    }

    /// Milliseconds on a clock that stands still while the machine sleeps, where the platform tells both kinds apart and
    /// the clock is not paced.
    pub fn awake_ms(&self) -> Option<i64> {
        if self.hurried() { None } else { monotonic_ms() }
    }

    /// What every clock says now.
    pub fn now(&self) -> Moment {
        match &self.hurried {
            None => {
                let local = chrono::Local::now();
                Moment {
                    wall: Stamp::from_ms(local.timestamp_millis()),
                    boot: self.boot.and_then(|boot| Some(BootMark { boot, ms: boot_ms()? })),
                    offset_min: local.offset().local_minus_utc() / 60,
                }
            }
            Some(hurried) => hurried.now(),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hurried_clock_is_put_forward_in_every_copy_and_never_back() {
        let clock = Clock::paced(None, 1.0);
        let copy = clock.clone();
        let before = copy.now();
        clock.pass(Span::from_h(24.0));
        assert!(copy.now().wall - before.wall >= Span::from_h(24.0));
        let before = copy.now();
        clock.pass(Span::from_h(-24.0));
        assert!(copy.now().wall >= before.wall);
    }

    #[test]
    fn the_real_clock_cannot_be_put_forward() {
        let clock = Clock::real(None);
        let before = clock.now();
        clock.pass(Span::from_h(24.0));
        assert!(clock.now().wall - before.wall < Span::from_h(23.0));
    }
}
