//! Mean, standard deviation and how sure they are.
//!
//! Conventions: in the unit of the values; confidence as a share, two-sided.
//! Assumes: values that scatter alike and independently; the intervals assume a normal distribution.
//! Valid for: two values or more for a standard deviation.
//! Source: handbooks: m ± t s / sqrt(n), and s sqrt((n - 1) / chi squared); two passes (Chan, Golub and LeVeque 1983, from memory).
//! Checked by: tests/published.rs (C01 to C06).

use statrs::distribution::{ChiSquared, ContinuousCDF, StudentsT};

/// Mean and scatter of some values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// How many.
    pub n: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation with n - 1; none for a single value.
    pub sd: Option<f64>,
    /// The smallest.
    pub least: f64,
    /// The greatest.
    pub greatest: f64,
}

impl Summary {
    /// Sums values up; none without any, or where one is no number.
    pub fn of(values: &[f64]) -> Option<Self> {
        if values.is_empty() || values.iter().any(|value| !value.is_finite()) {
            return None;
        }
        let n = values.len() as f64;
        let first = values.iter().sum::<f64>() / n;
        // The second pass takes out what the first one rounded.
        let mean = first + values.iter().map(|value| value - first).sum::<f64>() / n;
        let (mut squares, mut rest) = (0.0, 0.0);
        for value in values {
            squares += (value - mean) * (value - mean);
            rest += value - mean;
        }
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        // A mean that is rounded must not make scatter of values that are all the same.
        let variance = if least < greatest {
            (squares - rest * rest / n) / (n - 1.0)
        } else {
            0.0
        };
        Some(Summary {
            n: values.len(),
            mean,
            sd: (values.len() > 1).then(|| variance.max(0.0).sqrt()),
            least,
            greatest,
        })
    }

    /// Gives the standard deviation over the mean; none for a single value or a mean of 0.
    pub fn cv(&self) -> Option<f64> {
        self.sd.filter(|_| self.mean != 0.0).map(|sd| sd / self.mean)
    }

    /// Gives the interval that holds the true mean with a confidence.
    pub fn mean_interval(&self, confidence: f64) -> Option<[f64; 2]> {
        let t = t_quantile(0.5 + 0.5 * confidence, self.n.checked_sub(1)? as f64)?;
        let half = t * self.sd? / (self.n as f64).sqrt();
        Some([self.mean - half, self.mean + half])
    }

    /// Gives the interval that holds the true standard deviation with a confidence.
    pub fn sd_interval(&self, confidence: f64) -> Option<[f64; 2]> {
        let nu = self.n.checked_sub(1).filter(|nu| *nu > 0)? as f64;
        let of = ChiSquared::new(nu).ok()?;
        let end = |share: f64| Some(self.sd? * (nu / of.inverse_cdf(share)).sqrt());
        Some([end(0.5 + 0.5 * confidence)?, end(0.5 - 0.5 * confidence)?])
    }
}

/// Gives the quantile of Student's t; none without degrees of freedom.
pub(crate) fn t_quantile(share: f64, nu: f64) -> Option<f64> {
    let of = StudentsT::new(0.0, 1.0, nu).ok()?;
    Some(of.inverse_cdf(share))
}
