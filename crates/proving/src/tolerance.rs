//! What share of all such assemblies lies above a limit, and how sure that is.
//!
//! Conventions: reliability is the share above the limit, confidence how often the method is right; both as shares.
//! Assumes: a normal distribution, values independent and of one kind.
//! Valid for: 2 to 1,000 values, reliability and confidence of 0.5 to 0.9999.
//! Source: L = m - k s with k = t'(C; n - 1, z_R sqrt(n)) / sqrt(n), t' the quantile of the noncentral t (Owen 1963, from memory; CMH-17-1G
//! tables); EN 1990:2002 table D1 for the prediction factor (from memory).
//! Checked by: tests/published.rs (C07 to C14), tests/library.rs.

use crate::least_number::least_number;
use crate::noncentral_t::{Tail, noncentral_t, noncentral_t_upper_quantile};
use crate::summary::{Summary, t_quantile};
use statrs::distribution::{ContinuousCDF, Normal};

/// A share of assemblies and how sure it is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// The share that is to lie above the limit.
    pub reliability: f64,
    /// How often the method is to be right.
    pub confidence: f64,
}

/// Gives the one-sided tolerance factor k for so many values; none for fewer than two, or shares that are none.
pub fn tolerance_factor(n: usize, level: Level) -> Option<f64> {
    let is_share = |share: f64| share > 0.0 && share < 1.0;
    if n < 2 || !is_share(level.reliability) || !is_share(level.confidence) {
        return None;
    }
    let root_n = (n as f64).sqrt();
    let delta = normal_quantile(level.reliability)? * root_n;
    Some(noncentral_t_upper_quantile(1.0 - level.confidence, n as f64 - 1.0, delta) / root_n)
}

/// Gives the limit above which the share lies with the confidence; none for fewer than two values or without scatter.
pub fn lower_limit(of: &Summary, level: Level) -> Option<f64> {
    let sd = of.sd.filter(|sd| *sd > 0.0)?;
    Some(of.mean - tolerance_factor(of.n, level)? * sd)
}

/// Gives the confidence with which a share lies above what is required.
pub fn confidence_reached(of: &Summary, reliability: f64, required: f64) -> Option<f64> {
    let sd = of.sd.filter(|sd| *sd > 0.0)?;
    let root_n = (of.n as f64).sqrt();
    let t = (of.mean - required) / sd * root_n;
    Some(noncentral_t(
        t,
        of.n as f64 - 1.0,
        normal_quantile(reliability)? * root_n,
        Tail::Lower,
    ))
}

/// Gives the least number of values in all for which the limit is no less than what is required, if mean and scatter stay as they are; none
/// where no number within 1,000 is enough.
pub fn number_needed(of: &Summary, level: Level, required: f64) -> Option<usize> {
    let sd = of.sd.filter(|sd| *sd > 0.0)?;
    let is_enough = |n: usize| tolerance_factor(n, level).is_some_and(|k| of.mean - k * sd >= required);
    let number = least_number((1, MOST_VALUES as u64), |n| is_enough(n as usize))?;
    Some(number as usize)
}

/// More values than this nobody pulls.
pub(crate) const MOST_VALUES: usize = 1000;

/// Gives the factor of EN 1990 annex D for a 5 % fractile with unknown scatter: a prediction of one more value, not a limit with a confidence.
pub fn prediction_factor(n: usize) -> Option<f64> {
    let t = t_quantile(0.95, n.checked_sub(1).filter(|nu| *nu > 0)? as f64)?;
    Some(t * (1.0 + 1.0 / n as f64).sqrt())
}

/// Gives the same factor where the scatter is known from a long record.
pub fn prediction_factor_of_known(n: usize) -> Option<f64> {
    let z = normal_quantile(0.95).filter(|_| n > 0)?;
    Some(z * (1.0 + 1.0 / n as f64).sqrt())
}

pub(crate) fn normal_quantile(share: f64) -> Option<f64> {
    Normal::new(0.0, 1.0).ok().map(|of| of.inverse_cdf(share))
}
