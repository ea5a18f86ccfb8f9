//! What an invented shelf draws by chance: the same for the same seed. Whole numbers only, since those come out alike on
//! every machine.

use crate::stats::split_mix::SplitMix64;
use crate::units::Span;

/// A source of numbers.
#[derive(Debug, Clone)]
pub(super) struct Rng(SplitMix64);

impl Rng {
    /// The stream of that seed for the thing of that name. Each thing draws from a stream of its own, so that a new
    /// kind of thing does not change the ones before it.
    pub(super) fn new(seed: u64, thing: &str) -> Rng {
        let mut stream = SplitMix64::new(seed);
        for byte in thing.bytes() {
            stream = SplitMix64::new(stream.next_u64() ^ u64::from(byte));
        }
        Rng(stream)
    }

    /// A whole number from `lo` to `hi`, both included; `lo` where they are the wrong way round.
    pub(super) fn draw_int(&mut self, lo: i64, hi: i64) -> i64 {
        let many = (hi - lo).max(0).unsigned_abs() + 1;
        // The remainder favours small numbers by less than one in 10^15 here, which no story shows.
        lo + (self.0.next_u64() % many).cast_signed()
    }

    /// Whether the one case in `n` came up.
    pub(super) fn draw_one_in(&mut self, n: i64) -> bool {
        self.draw_int(1, n) == 1
    }

    /// A span of whole seconds from `lo` to `hi` seconds.
    pub(super) fn draw_seconds(&mut self, lo: i64, hi: i64) -> Span {
        Span::from_s(self.draw_int(lo, hi))
    }

    /// A span of whole seconds from `lo` to `hi` minutes.
    pub(super) fn draw_minutes(&mut self, lo: i64, hi: i64) -> Span {
        self.draw_seconds(lo * 60, hi * 60)
    }

    /// One of some.
    pub(super) fn pick<'a, T>(&mut self, some: &'a [T]) -> Option<&'a T> {
        some.get(self.draw_int(0, some.len() as i64 - 1) as usize)
    }

    /// Puts some in another order.
    pub(super) fn shuffle<T>(&mut self, some: &mut [T]) {
        for last in (1..some.len()).rev() {
            some.swap(last, self.draw_int(0, last as i64) as usize);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_thing_has_a_stream_of_its_own() {
        let first = |seed, thing: &str| Rng::new(seed, thing).0.next_u64();
        assert_eq!(first(1, "wren"), first(1, "wren"));
        assert_ne!(first(1, "wren"), first(2, "wren"));
        assert_ne!(first(1, "wren"), first(1, "robin"));
    }

    #[test]
    fn a_number_lies_where_it_was_asked_for() {
        let mut chance = Rng::new(7, "bounds");
        for _ in 0..1000 {
            assert!((-3..=3).contains(&chance.draw_int(-3, 3)));
        }
        assert_eq!(chance.draw_int(5, 5), 5);
        assert_eq!(chance.draw_int(5, 1), 5);
        assert_eq!(chance.pick::<u8>(&[]), None);
    }
}
