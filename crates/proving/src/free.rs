//! What can be said without assuming how strengths are distributed.
//!
//! Conventions: reliability and confidence as shares.
//! Assumes: values independent and of one kind, and nothing else.
//! Valid for: any number of values.
//! Source: the r-th smallest of n is passed by a share R with confidence P(Bin(n, 1 - R) >= r) (Wilks 1941, from memory); n passes and no
//! failure give R = (1 - C)^(1/n); f failures by Clopper and Pearson 1934 (from memory).
//! Checked by: tests/published.rs (C15 to C17).

use crate::least_number::least_number;
use statrs::distribution::{Beta, Binomial, ContinuousCDF, DiscreteCDF};

/// Gives the confidence with which the `rank`-th smallest of `n` values is passed by a share of all.
pub fn rank_confidence(n: u64, rank: u64, reliability: f64) -> Option<f64> {
    if rank == 0 || rank > n || !(0.0..=1.0).contains(&reliability) {
        return None;
    }
    let below = Binomial::new(1.0 - reliability, n).ok()?;
    Some(1.0 - below.cdf(rank - 1))
}

/// Gives the least number of values of which the `rank`-th smallest is such a limit; none where it is more than ten thousand.
pub fn number_for_rank(rank: u64, reliability: f64, confidence: f64) -> Option<u64> {
    let is_enough =
        |n: u64| rank_confidence(n, rank, reliability).is_some_and(|reached| reached >= confidence);
    least_number((rank.checked_sub(1)?, 10_000), is_enough)
}

/// Gives the share that passes at the least, with a confidence, where so many of `n` proof loads were held.
pub fn share_that_passes(n: u64, passed: u64, confidence: f64) -> Option<f64> {
    if n == 0 || passed > n {
        return None;
    }
    if passed == 0 {
        return Some(0.0);
    }
    let of = Beta::new(passed as f64, (n - passed) as f64 + 1.0).ok()?;
    Some(if passed == n {
        (1.0 - confidence).powf(1.0 / n as f64)
    } else {
        of.inverse_cdf(1.0 - confidence)
    })
}
