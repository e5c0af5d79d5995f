//! Numbers that look random and are the same for the same seed, on every machine.

/// SplitMix64 (Steele, Lea and Flood 2014; constants as in Vigna's splitmix64.c, from memory).
///
/// For invented data only: nothing that must not be guessed may come from it.
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// 0 to `limit - 1`; 0 for a limit of 0.
    pub fn below(&mut self, limit: u32) -> u32 {
        // The high half of a 64-bit product: even to within limit / 2^32.
        (((self.next() >> 32) * u64::from(limit)) >> 32) as u32
    }

    /// True that many times in a hundred.
    pub fn percent(&mut self, chance: u32) -> bool {
        self.below(100) < chance
    }

    /// One of them.
    ///
    /// # Panics
    /// When there is none.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len() as u32) as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The five numbers that splitmix64.c gives for seed 1234567 (a widely copied test; from
    /// memory, and recomputed with Python integers).
    #[test]
    fn known_numbers() {
        let mut random = Random::new(1_234_567);
        let numbers: [u64; 5] = std::array::from_fn(|_| random.next());
        let known = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(numbers, known);
    }

    #[test]
    fn numbers_stay_below_their_limit_and_reach_it() {
        let mut random = Random::new(7);
        let mut seen = [0_u32; 10];
        for _ in 0..10_000 {
            seen[random.below(10) as usize] += 1;
        }
        // 1000 each expected, standard deviation 30: five of them either way.
        assert!(
            seen.iter().all(|count| (850..=1150).contains(count)),
            "{seen:?}"
        );
        assert_eq!(random.below(0), 0);
    }
}
