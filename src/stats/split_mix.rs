//! Chance that is the same for the same seed, on every machine and for ever: invented shelves and drawn samples alike.
//!
//! The generator is SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators",
//! OOPSLA 2014): a dozen lines that no new version of a library can change. Nothing secret may rest on it.

/// A stream of even numbers.
#[derive(Debug, Clone)]
pub struct SplitMix64(u64);

impl SplitMix64 {
    /// The stream of that seed.
    pub const fn new(seed: u64) -> SplitMix64 {
        SplitMix64(seed)
    }

    /// The next number.
    pub const fn next_u64(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// The next number below `n`, which is at least 1; even to within `n` in 2^64.
    pub fn next_below(&mut self, n: usize) -> usize {
        ((u128::from(self.next_u64()) * n as u128) >> 64) as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_are_those_of_the_published_generator() {
        // Vigna's splitmix64.c, seed 1234567.
        let mut stream = SplitMix64::new(1_234_567);
        let drawn = [(); 3].map(|()| stream.next_u64());
        assert_eq!(drawn, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }

    #[test]
    fn a_number_below_a_bound_lies_below_it() {
        let mut stream = SplitMix64::new(7);
        assert_eq!(stream.next_below(1), 0);
        let mut counts = [0; 5];
        for _ in 0..5000 {
            counts[stream.next_below(5)] += 1;
        }
        assert!(counts.iter().all(|n| (900..1100).contains(n)), "{counts:?}");
    }
}
