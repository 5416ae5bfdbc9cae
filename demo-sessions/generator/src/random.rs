//! A small generator of chance numbers, so that every frame is drawn the same on every computer and in any order.
//!
//! In: a seed. Out: an endless row of numbers that depends on the seed alone. Not for secrets.

/// `SplitMix64` (Steele, Lea and Flood, OOPSLA 2014): one 64-bit state, passes the usual statistical tests.
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    /// Starts a row of numbers; the parts are mixed so that neighbouring seeds share nothing.
    pub(crate) fn new(parts: &[u64]) -> Self {
        let mut random = Self(0x5A17_3A25);
        for part in parts {
            random.0 = random.next() ^ part.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        }
        random
    }

    /// The next 64 bits.
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// Evenly spread over 0 ≤ x < 1.
    pub(crate) fn unit(&mut self) -> f32 {
        (self.next() >> 40) as f32 / 16_777_216.0
    }

    /// Evenly spread between `low` and `high`.
    pub(crate) fn between(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * self.unit()
    }

    /// A whole number, `low` and `high` both possible.
    pub(crate) fn whole(&mut self, low: u32, high: u32) -> u32 {
        low + (self.next() % u64::from(high - low + 1)) as u32
    }

    /// Bell-shaped, mean 0 and standard deviation 1: the sum of four even numbers, whose variance is 4/12.
    pub(crate) fn bell(&mut self) -> f32 {
        let bits = self.next();
        let sum: u64 = (0..4).map(|part| (bits >> (16 * part)) & 0xFFFF).sum();
        (sum as f32 / 65_536.0 - 2.0) * 1.732_05
    }
}
