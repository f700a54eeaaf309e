//! Numbers by chance that are the same every time.

/// SplitMix64 (Steele, Lea and Flood 2014, from memory).
#[derive(Debug, Clone)]
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// Between 0 and 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// One of so many, from nought.
    pub(crate) fn below(&mut self, many: usize) -> usize {
        (self.next() % many as u64) as usize
    }

    pub(crate) fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }

    pub(crate) fn happens(&mut self, share: f64) -> bool {
        self.share() < share
    }

    /// Standard normal (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.share(), self.share());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}
