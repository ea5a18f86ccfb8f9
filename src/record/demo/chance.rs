//! Chance that is the same for the same seed, on every machine and for ever.
//!
//! The generator is SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators",
//! OOPSLA 2014): a dozen lines that no new version of a library can change. Absent on purpose: anything secret, floats.

use crate::units::Span;

/// A source of numbers.
#[derive(Debug, Clone)]
pub(super) struct Chance(u64);

impl Chance {
    /// The stream of that seed for the thing of that name. Each thing draws from a stream of its own, so that a new
    /// kind of thing does not change the ones before it.
    pub(super) fn new(seed: u64, thing: &str) -> Chance {
        let mut chance = Chance(seed);
        for byte in thing.bytes() {
            chance.0 = chance.next() ^ u64::from(byte);
        }
        chance
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from `lo` to `hi`, both included; `lo` where they are the wrong way round.
    pub(super) fn between(&mut self, lo: i64, hi: i64) -> i64 {
        let many = (hi - lo).max(0).unsigned_abs() + 1;
        // The remainder favours small numbers by less than one in 10^15 here, which no story shows.
        lo + (self.next() % many).cast_signed()
    }

    /// Whether the one case in `n` came up.
    pub(super) fn one_in(&mut self, n: i64) -> bool {
        self.between(1, n) == 1
    }

    /// A span of whole seconds from `lo` to `hi` seconds.
    pub(super) fn seconds(&mut self, lo: i64, hi: i64) -> Span {
        Span::from_s(self.between(lo, hi))
    }

    /// A span of whole seconds from `lo` to `hi` minutes.
    pub(super) fn minutes(&mut self, lo: i64, hi: i64) -> Span {
        self.seconds(lo * 60, hi * 60)
    }

    /// One of some.
    pub(super) fn of<'a, T>(&mut self, some: &'a [T]) -> Option<&'a T> {
        some.get(self.between(0, some.len() as i64 - 1) as usize)
    }

    /// Puts some in another order.
    pub(super) fn shuffle<T>(&mut self, some: &mut [T]) {
        for last in (1..some.len()).rev() {
            some.swap(last, self.between(0, last as i64) as usize);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_are_those_of_the_published_generator() {
        // Vigna's splitmix64.c, seed 1234567.
        let mut chance = Chance(1_234_567);
        let drawn = [(); 3].map(|()| chance.next());
        assert_eq!(drawn, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }

    #[test]
    fn each_thing_has_a_stream_of_its_own() {
        let first = |seed, thing: &str| Chance::new(seed, thing).next();
        assert_eq!(first(1, "wren"), first(1, "wren"));
        assert_ne!(first(1, "wren"), first(2, "wren"));
        assert_ne!(first(1, "wren"), first(1, "robin"));
    }

    #[test]
    fn a_number_lies_where_it_was_asked_for() {
        let mut chance = Chance::new(7, "bounds");
        for _ in 0..1000 {
            assert!((-3..=3).contains(&chance.between(-3, 3)));
        }
        assert_eq!(chance.between(5, 5), 5);
        assert_eq!(chance.between(5, 1), 5);
        assert_eq!(chance.of::<u8>(&[]), None);
    }
}
