//! What the program believes of the clock when it writes a line.

use crate::units::{Moment, Span, Stamp};

/// The moment to be written down, given what the clocks say and when the last line was written; and the raw reading of
/// the wall clock where that was not believed.
///
/// The wall clock is believed unless it is behind the last line. Then, within one boot, the last time plus what the boot
/// clock has counted since; after another boot, just after the last time.
pub fn trusted_time(now: Moment, last: Moment) -> (Moment, Option<Stamp>) {
    if now.wall >= last.wall {
        return (now, None);
    }
    let same_boot = matches!((now.boot, last.boot), (Some(a), Some(b)) if a.boot_id == b.boot_id && a.ms >= b.ms);
    let gone = if same_boot { now.since(last) } else { Span::from_ms(1) };
    (Moment { wall: last.wall + gone, ..now }, Some(now.wall))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::BootMark;

    fn moment(wall: i64, boot: u128, ms: i64) -> Moment {
        Moment { wall: Stamp::from_ms(wall), boot: Some(BootMark { boot_id: boot, ms }), offset_min: 0 }
    }

    #[test]
    fn the_wall_clock_is_believed_unless_it_is_behind() {
        let last = moment(10_000, 1, 500);
        let check = |now: Moment, wall: i64, raw: Option<i64>| {
            let (believed, kept) = trusted_time(now, last);
            assert_eq!((believed.wall.ms(), kept.map(Stamp::ms)), (wall, raw), "{now:?}");
        };
        check(moment(10_000, 1, 500), 10_000, None);
        check(moment(90_000, 1, 800), 90_000, None);
        check(moment(4_000, 1, 800), 10_300, Some(4_000));
        check(moment(4_000, 2, 9_000), 10_001, Some(4_000));
        check(moment(4_000, 1, 100), 10_001, Some(4_000));
        check(Moment::from_wall(Stamp::from_ms(4_000)), 10_001, Some(4_000));
    }
}
