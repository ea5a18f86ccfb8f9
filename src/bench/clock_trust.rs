//! What the program believes of the clock when it writes a line.

use crate::units::{Moment, Span, Stamp};

/// Within one boot the wall clock may be put forward by at most this much more than the boot clock counted, before it is
/// taken for a glitch (assumed).
const FORWARD_MAX: Span = Span::from_s(86_400);
/// A wall clock that stayed where it was put forward to for this long is no glitch (assumed).
const GLITCH_MAX: Span = Span::from_s(600);
/// The two clocks of a machine drift apart by less (assumed).
const DRIFT_MAX: Span = Span::from_s(120);

/// The moment to be written down, given what the clocks say, when the last line was written and what the wall clock said
/// then if it was not believed; and what the wall clock says now, where that is not believed.
///
/// The wall clock is believed unless it is behind the last line or, within one boot, was put far ahead for a short while.
/// Then, within one boot, it is the last time and what the boot clock has counted since; after another boot, just after
/// the last time: a bench that stays open puts its clock right once ([`Clock::run_on_from`](crate::clock::Clock)).
pub fn trusted_time(now: Moment, last: Moment, last_raw: Option<Stamp>) -> (Moment, Option<Stamp>) {
    let same_boot = matches!((now.boot, last.boot), (Some(a), Some(b)) if a.boot_id == b.boot_id && a.ms >= b.ms);
    let gone = now.since(last);
    let is_doubtful = now.wall < last.wall || same_boot && is_glitch(now, last.wall + gone, gone, last_raw);
    if !is_doubtful {
        return (Moment { raw_wall: None, ..now }, now.raw_wall);
    }
    let gone = if same_boot { gone } else { Span::from_ms(1) };
    (Moment { wall: last.wall + gone, raw_wall: None, ..now }, now.raw_wall.or(Some(now.wall)))
}

/// Whether the wall clock lies so far ahead of what the boot clock makes of it that it is not believed yet. A clock that
/// was behind when the last line was written has been put right; one that has been ahead for some minutes stays there.
fn is_glitch(now: Moment, by_boot_clock: Stamp, gone: Span, last_raw: Option<Stamp>) -> bool {
    if now.wall - by_boot_clock <= FORWARD_MAX {
        return false;
    }
    match last_raw {
        None => true,
        Some(raw) if raw + gone < by_boot_clock => false,
        Some(raw) => (now.wall - (raw + gone)).abs() > DRIFT_MAX || gone < GLITCH_MAX,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::BootMark;

    const DAY: i64 = 86_400_000;

    fn moment(wall: i64, boot: u128, ms: i64) -> Moment {
        Moment { wall: Stamp::from_ms(wall), boot: Some(BootMark { boot_id: boot, ms }), offset_min: 0, raw_wall: None }
    }

    fn check(now: Moment, last: Moment, last_raw: Option<i64>, wall: i64, raw: Option<i64>) {
        let (believed, kept) = trusted_time(now, last, last_raw.map(Stamp::from_ms));
        assert_eq!((believed.wall.ms(), kept.map(Stamp::ms)), (wall, raw), "{now:?} after {last:?}, {last_raw:?}");
    }

    #[test]
    fn the_wall_clock_is_believed_unless_it_is_behind() {
        let last = moment(10_000, 1, 500);
        check(moment(10_000, 1, 500), last, None, 10_000, None);
        check(moment(90_000, 1, 800), last, None, 90_000, None);
        check(moment(4_000, 1, 800), last, None, 10_300, Some(4_000));
        check(moment(4_000, 2, 9_000), last, None, 10_001, Some(4_000));
        check(moment(4_000, 1, 100), last, None, 10_001, Some(4_000));
        check(Moment::from_wall(Stamp::from_ms(4_000)), last, None, 10_001, Some(4_000));
    }

    #[test]
    fn a_short_glitch_forward_dates_nothing_years_ahead() {
        let last = moment(10_000, 1, 500);
        let years = 1_000 * DAY;
        // A minute later the clock stands years ahead; what is written is what the boot clock says.
        check(moment(years, 1, 60_500), last, None, 70_000, Some(years));
        // It comes back: believed again.
        let glitched = moment(70_000, 1, 60_500);
        check(moment(130_000, 1, 120_500), glitched, Some(years), 130_000, None);
        // It stays for a while: still not believed. It stays for long: the clock was put right.
        check(moment(years + 60_000, 1, 120_500), glitched, Some(years), 130_000, Some(years + 60_000));
        check(moment(years + 900_000, 1, 960_500), glitched, Some(years), years + 900_000, None);
        // A clock that was behind is put right, and believed at once.
        let behind = moment(70_000, 1, 60_500);
        check(moment(years, 1, 120_500), behind, Some(4_000), years, None);
        // After another boot nobody can tell.
        check(moment(years, 2, 100), last, None, years, None);
    }

    #[test]
    fn a_clock_that_runs_on_keeps_what_the_wall_clock_said() {
        let last = moment(10_000, 1, 500);
        let now = Moment { raw_wall: Some(Stamp::from_ms(4)), ..moment(12_000, 2, 100) };
        check(now, last, None, 12_000, Some(4));
    }
}
