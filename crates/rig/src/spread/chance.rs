//! How likely something is that came about in so many of so many samples.
//!
//! Conventions: chances are fractions of one; limits hold with 95 % confidence together, 2.5 % on each side.
//! Assumes: samples are independent of one another.
//! Valid for: any count up to the number of samples; with no samples at all, from 0 to 1.
//! Source: C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404, in the form with quantiles of the beta distribution.
//! Checked by: the tests below, against the values printed by R. G. Newcombe, Statistics in Medicine 17 (1998) 857 (from
//! memory), and against the binomial sums themselves.

use schemars::JsonSchema;
use serde::Serialize;
use statrs::distribution::{Beta, Continuous, ContinuousCDF};

/// What confidence limits leave out on each side.
pub(crate) const TAIL: f64 = 0.025;

/// How often something came about, and how likely it is by that.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Chance {
    /// In how many samples it came about.
    pub count: u64,
    /// Of how many.
    pub of: u64,
    /// The one over the other, a fraction; none without samples.
    pub chance: Option<f64>,
    /// The chance is at least this, with 95 % confidence together with the next (Clopper and Pearson).
    pub at_least: f64,
    /// The chance is at most this.
    pub at_most: f64,
}

impl Chance {
    pub(crate) fn of(count: u64, of: u64) -> Self {
        let [at_least, at_most] = limits(count, of);
        Self {
            count,
            of,
            chance: (of > 0).then(|| count as f64 / of as f64),
            at_least,
            at_most,
        }
    }

    /// Counts the samples of which something is true.
    pub(crate) fn that(came_about: impl Iterator<Item = bool>) -> Self {
        let [count, of] = came_about.fold([0, 0], |[count, of], is| [count + u64::from(is), of + 1]);
        Self::of(count, of)
    }
}

fn limits(count: u64, of: u64) -> [f64; 2] {
    let (k, n) = (count as f64, of as f64);
    // A beta distribution with a parameter of 0 lies at that end altogether.
    let at_least = quantile(k, n - k + 1.0, TAIL).unwrap_or(0.0);
    let at_most = quantile(k + 1.0, n - k, 1.0 - TAIL).unwrap_or(1.0);
    [at_least, at_most]
}

/// Gives a quantile of the beta distribution; none where a parameter is 0.
fn quantile(a: f64, b: f64, below: f64) -> Option<f64> {
    let beta = Beta::new(a, b).ok()?;
    // The quantile of the library is good to some ten decimals, which is too few near 0 and 1.
    let polished = (0..4).fold(beta.inverse_cdf(below), |x, _| {
        let next = x - (beta.cdf(x) - below) / beta.pdf(x);
        if (0.0..=1.0).contains(&next) { next } else { x }
    });
    Some(polished)
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{Binomial, DiscreteCDF};

    /// Newcombe 1998, table I, method 5 (from memory): 81 of 263, 15 of 148, none of 20, 1 of 29.
    #[test]
    fn limits_are_those_in_print() {
        for (count, of, printed) in [
            (81, 263, [0.2527, 0.3676]),
            (15, 148, [0.0578, 0.1617]),
            (0, 20, [0.0, 0.1684]),
            (1, 29, [0.0009, 0.1776]),
        ] {
            let found = limits(count, of);
            for (found, printed) in found.iter().zip(printed) {
                assert!(
                    (found - printed).abs() <= 0.00005,
                    "{count} of {of}: {found}, not {printed}"
                );
            }
        }
    }

    /// By what they are: at the lower limit so many or more come about in 2.5 % of cases, at the upper so many or fewer.
    #[test]
    fn limits_leave_out_what_they_say() {
        for (count, of) in [
            (1, 10_000),
            (7, 100),
            (50, 100),
            (9_999, 10_000),
            (312, 10_000),
            (40_000, 1_000_000),
        ] {
            let [at_least, at_most] = limits(count, of);
            let below = |p: f64, k: u64| Binomial::new(p, of).unwrap().cdf(k);
            assert!(
                (1.0 - below(at_least, count - 1) - TAIL).abs() < 1e-8,
                "{count} of {of}: {at_least}"
            );
            assert!(
                (below(at_most, count) - TAIL).abs() < 1e-8,
                "{count} of {of}: {at_most}"
            );
        }
    }

    /// None of n: 1 - 0.025^(1/n), about 3.7 / n. The rule of three (Hanley and Lippman-Hand, JAMA 249 (1983) 1743, from
    /// memory), 3 / n, is the same with the whole 5 % on one side.
    #[test]
    fn none_seen_is_not_none_at_all() {
        for of in [20, 300, 10_000, 1_000_000] {
            let n = of as f64;
            let [at_least, at_most] = limits(0, of);
            assert_eq!(at_least, 0.0);
            assert!(
                (at_most / (1.0 - TAIL.powf(1.0 / n)) - 1.0).abs() < 1e-6,
                "{at_most}"
            );
            let one_sided = 1.0 - 0.05_f64.powf(1.0 / n);
            assert!((n * one_sided - 3.0).abs() < if of > 100 { 0.02 } else { 0.25 });
        }
        assert_eq!(limits(0, 0), [0.0, 1.0]);
        assert_eq!(limits(20, 20)[1], 1.0);
        assert!((limits(20, 20)[0] - (1.0 - 0.16843)).abs() < 1e-5);
    }
}
