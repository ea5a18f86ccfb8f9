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
    boot_id: Option<u128>,
    simulated: Option<SimulatedClock>,
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
        Clock { boot_id: boot, simulated: None }
    }

    /// Clocks that run `pace` times as fast from now on; 1 is real time.
    pub fn with_pace(boot: Option<u128>, pace: f64) -> Self {
        let begin = Self::new(boot).now();
        let hurried = SimulatedClock { pace, start: begin, started_at: Instant::now(), advanced_ms: Arc::default() };
        Clock { boot_id: boot, simulated: Some(hurried) }
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

    /// What every clock says now.
    pub fn now(&self) -> Moment {
        match &self.simulated {
            None => {
                let local = chrono::Local::now();
                Moment {
                    wall: Stamp::from_ms(local.timestamp_millis()),
                    boot: self.boot_id.and_then(|boot| Some(BootMark { boot_id: boot, ms: boot_ms()? })),
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
    fn the_real_clock_cannot_be_put_forward() {
        let clock = Clock::new(None);
        let before = clock.now();
        clock.advance(Span::from_h(24.0));
        assert!(clock.now().wall - before.wall < Span::from_h(23.0));
    }
}
