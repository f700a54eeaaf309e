//! The Weibull distribution, fitted by maximum likelihood, with tests that were stopped before anything broke.
//!
//! Conventions: shape b, scale eta: a share exp(-(x / eta)^b) lies above x.
//! Assumes: stopped tests were stopped for a reason that has nothing to do with their strength.
//! Valid for: two failures or more that are not all equal; below ten values the shape comes out far too steep.
//! Source: NIST/SEMATECH handbook 8.4.1.3: sum x^b ln x / sum x^b - 1/b - (1/r) sum over failures of ln x = 0, eta = (sum x^b / r)^(1/b);
//! lower limit of a complete sample after MIL-HDBK-17 (from memory).
//! Checked by: tests/published.rs (C18, C19).

use crate::noncentral_t::root;
use crate::tolerance::Level;
use statrs::function::gamma::gamma;

/// A fitted Weibull distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    /// Its shape: the greater, the less it scatters.
    pub shape: f64,
    /// Its scale: 63.2 % lie below.
    pub scale: f64,
    /// Logarithm of the likelihood.
    pub ln_likelihood: f64,
    /// How many broke.
    pub failures: usize,
    /// How many were stopped.
    pub stopped: usize,
}

/// Fits what broke and what was stopped; none where there is no such fit.
pub fn fit(failures: &[f64], stopped: &[f64]) -> Option<Weibull> {
    let greatest = failures.iter().chain(stopped).copied().fold(0.0, f64::max);
    let all: Vec<f64> = failures.iter().chain(stopped).map(|x| x / greatest).collect();
    let first = failures.first()?;
    let is_sound = all.iter().all(|x| *x > 0.0 && x.is_finite());
    if failures.len() < 2
        || !is_sound
        || failures.iter().all(|x| x == first) && stopped.iter().all(|x| x <= first)
    {
        return None;
    }
    let r = failures.len() as f64;
    let mean_ln = all[..failures.len()].iter().map(|x| x.ln()).sum::<f64>() / r;
    let slope = |b: f64| {
        let (mut with_ln, mut sum) = (0.0, 0.0);
        for x in &all {
            let power = x.powf(b);
            with_ln += power * x.ln();
            sum += power;
        }
        with_ln / sum - 1.0 / b - mean_ln
    };
    let (mut low, mut high) = (1.0, 1.0);
    for _ in 0..200 {
        if slope(low) < 0.0 {
            break;
        }
        low *= 0.5;
    }
    for _ in 0..200 {
        if slope(high) > 0.0 {
            break;
        }
        high *= 2.0;
    }
    if !(slope(low) < 0.0 && slope(high) > 0.0) {
        return None;
    }
    let shape = root(low, high, slope);
    let scale_1 = (all.iter().map(|x| x.powf(shape)).sum::<f64>() / r).powf(1.0 / shape);
    let scale = greatest * scale_1;
    let ln_likelihood = r * (shape.ln() - shape * scale.ln())
        + (shape - 1.0) * failures.iter().map(|x| x.ln()).sum::<f64>()
        - r;
    Some(Weibull {
        shape,
        scale,
        ln_likelihood,
        failures: failures.len(),
        stopped: stopped.len(),
    })
}

/// Fewer values than this give no limit worth the name.
const LEAST_VALUES: usize = 10;

impl Weibull {
    /// Gives the value above which a share lies.
    pub fn quantile_above(&self, share: f64) -> f64 {
        self.scale * (-share.ln()).powf(1.0 / self.shape)
    }

    /// Gives its mean.
    pub fn mean(&self) -> f64 {
        self.scale * gamma(1.0 + 1.0 / self.shape)
    }

    /// Gives its standard deviation.
    pub fn sd(&self) -> f64 {
        let (one, two) = (gamma(1.0 + 1.0 / self.shape), gamma(1.0 + 2.0 / self.shape));
        self.scale * (two - one * one).max(0.0).sqrt()
    }

    /// Gives the limit above which 90 % or 99 % lie with a confidence of 95 %, of a complete sample of ten values or more; none else.
    pub fn lower_limit(&self, level: Level) -> Option<f64> {
        let n = self.failures as f64;
        if self.stopped > 0 || self.failures < LEAST_VALUES || level.confidence != 0.95 {
            return None;
        }
        let v = match level.reliability {
            0.90 => 3.803 + (1.79 - 0.516 * n.ln() + 5.1 / (n - 1.0)).exp(),
            0.99 => 6.649 + (2.55 - 0.526 * n.ln() + 4.76 / n).exp(),
            _ => return None,
        };
        Some(self.quantile_above(level.reliability) * (-v / (self.shape * n.sqrt())).exp())
    }
}
