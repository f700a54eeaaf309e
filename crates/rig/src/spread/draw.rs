//! Draws of what may be off, the same on every machine and whatever the number of threads.
//!
//! Conventions: a draw is how far something is off from what is stated: a length in metres, a share as a fraction.
//! Assumes: what is off is off independently of everything else.
//! Valid for: any seed; sample numbers below 2^64; laws of finite width.
//! Source: inverse distribution functions (L. Devroye, Non-Uniform Random Variate Generation, 1986, ch. II, from memory)
//! of the generator ChaCha with eight rounds (D. J. Bernstein, 2008), one of its streams for each sample.
//! Checked by: the tests below (moments, quantiles, streams); tests/main/spread.rs (one thread and two).

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use statrs::function::erf::erfc_inv;
use std::f64::consts::SQRT_2;

/// How what may be off is spread around what is stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    /// As likely anywhere within a bound either way, and never beyond it.
    Even { bound: f64 },
    /// Gathered around what is stated, with a standard deviation.
    Normal { deviation: f64 },
}

impl Law {
    /// Gives its variance.
    pub(crate) fn variance(self) -> f64 {
        match self {
            Law::Even { bound } => bound * bound / 3.0,
            Law::Normal { deviation } => deviation * deviation,
        }
    }

    /// Gives what is off where a share `below` of all draws is smaller.
    pub(crate) fn quantile(self, below: f64) -> f64 {
        match self {
            Law::Even { bound } => bound * (2.0 * below - 1.0),
            Law::Normal { deviation } => -deviation * SQRT_2 * erfc_inv(2.0 * below),
        }
    }
}

/// The streams of a seed.
#[derive(Debug, Clone)]
pub(crate) struct Streams(ChaCha8Rng);

impl Streams {
    pub(crate) fn of(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// Draws what is off in a sample, in the order of the laws.
    pub(crate) fn draw(&self, sample: u64, laws: impl Iterator<Item = Law>, draws: &mut [f64]) {
        let mut stream = self.0.clone();
        stream.set_stream(sample);
        for (law, draw) in laws.zip(draws) {
            *draw = law.quantile(between_0_and_1(stream.next_u64()));
        }
    }
}

/// Makes a number strictly between 0 and 1 of the upper 52 bits, at the middle of its step.
fn between_0_and_1(bits: u64) -> f64 {
    ((bits >> 12) as f64 + 0.5) * (1.0 / (1_u64 << 52) as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_off_both_ends() {
        assert!(between_0_and_1(0) > 0.0);
        assert!(between_0_and_1(u64::MAX) < 1.0);
    }

    /// Quantiles of the normal law as in any table: 1.959964 at 97.5 %, 1.644854 at 95 %, 3.090232 at 99.9 %.
    #[test]
    fn quantiles_are_those_of_the_tables() {
        let normal = Law::Normal { deviation: 2.0 };
        for (below, deviations) in [
            (0.5, 0.0),
            (0.95, 1.644854),
            (0.975, 1.959964),
            (0.001, -3.090232),
        ] {
            let found = normal.quantile(below) / 2.0;
            assert!((found - deviations).abs() < 1e-6, "{below}: {found}");
        }
        let even = Law::Even { bound: 3.0 };
        assert_eq!(
            [0.0, 0.25, 0.5, 1.0].map(|below| even.quantile(below)),
            [-3.0, -1.5, 0.0, 3.0]
        );
    }

    /// Mean and standard deviation of 100,000 draws, within five standard errors; an even law has bound / sqrt 3.
    #[test]
    fn draws_have_the_moments_of_their_law() {
        let laws = [Law::Even { bound: 2.0 }, Law::Normal { deviation: 0.7 }];
        let deviations = [2.0 / 3.0_f64.sqrt(), 0.7];
        let (streams, count) = (Streams::of(11), 100_000);
        let mut sums = [[0.0; 2]; 2];
        let mut draws = [0.0; 2];
        for sample in 0..count {
            streams.draw(sample, laws.into_iter(), &mut draws);
            for (sum, draw) in sums.iter_mut().zip(draws) {
                *sum = [sum[0] + draw, sum[1] + draw * draw];
            }
        }
        let n = count as f64;
        for ([sum, squares], deviation) in sums.into_iter().zip(deviations) {
            let mean = sum / n;
            assert!(mean.abs() < 5.0 * deviation / n.sqrt(), "{mean}");
            let found = (squares / n - mean * mean).sqrt();
            assert!(
                (found / deviation - 1.0).abs() < 5.0 / (2.0 * n).sqrt(),
                "{found}"
            );
        }
    }

    /// A sample is the same whichever is drawn before it, and another than its neighbours.
    #[test]
    fn a_sample_hangs_on_seed_and_number_alone() {
        let laws = || std::iter::repeat_n(Law::Even { bound: 1.0 }, 3);
        let draw = |streams: &Streams, sample| {
            let mut draws = [0.0; 3];
            streams.draw(sample, laws(), &mut draws);
            draws
        };
        let streams = Streams::of(5);
        let first = draw(&streams, 7);
        draw(&streams, 3);
        assert_eq!(draw(&streams, 7), first);
        assert_ne!(draw(&streams, 8), first);
        assert_ne!(draw(&Streams::of(6), 7), first);
    }
}
