//! How many to pull, before any was pulled.
//!
//! Conventions: as in `tolerance`; `mean` and `sd` are the true ones, as far as somebody guesses them.
//! Assumes: a normal distribution, values independent and of one kind.
//! Valid for: 2 to 1,000 values.
//! Source: the limit m - k s is no less than what is required where (m - required) / (s / sqrt(n)) is no less than k sqrt(n), and that is a
//! noncentral t of n - 1 degrees of freedom and noncentrality (mean - required) / (sd / sqrt(n)) (definition).
//! Checked by: tests/planning.rs, against an independent library and by drawing.

use crate::least_number::least_number;
use crate::noncentral_t::{Tail, noncentral_t, root};
use crate::tolerance::{Level, MOST_VALUES, tolerance_factor};

/// What a claim asks for, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// The share that is to be above, and the confidence.
    pub level: Level,
    /// What is required.
    pub required: f64,
}

impl Aim {
    /// Gives how often `n` tests show what is required, where mean and standard deviation are so; none for fewer than two, or without scatter.
    #[must_use]
    pub fn chance(&self, n: usize, mean: f64, sd: f64) -> Option<f64> {
        if sd.is_nan() || sd <= 0.0 {
            return None;
        }
        let root_n = (n as f64).sqrt();
        let t = tolerance_factor(n, self.level)? * root_n;
        let delta = (mean - self.required) / sd * root_n;
        Some(noncentral_t(t, n as f64 - 1.0, delta, Tail::Upper))
    }

    /// Gives the least number of tests that show it so often; none where none within 1,000 do.
    #[must_use]
    pub fn number(&self, chance: f64, mean: f64, sd: f64) -> Option<usize> {
        let is_enough = |n: u64| {
            self.chance(n as usize, mean, sd)
                .is_some_and(|reached| reached >= chance)
        };
        let number = least_number((1, MOST_VALUES as u64), is_enough)?;
        Some(number as usize)
    }

    /// Gives the least true mean at which `n` tests show it so often, where the standard deviation is a share `cv` of that mean; none where no
    /// mean is enough.
    #[must_use]
    pub fn mean(&self, n: usize, chance: f64, cv: f64) -> Option<f64> {
        let lacks = |ratio: f64| {
            let mean = self.required * ratio;
            self.chance(n, mean, cv * mean).map(|reached| reached - chance)
        };
        // However high the mean, what is required is no more than 1 / cv standard deviations below it.
        let enough = |ratio: f64| lacks(ratio).is_some_and(|lacks| lacks >= 0.0);
        if !enough(MOST_RATIO) {
            return None;
        }
        Some(self.required * root(1.0, MOST_RATIO, |ratio| lacks(ratio).unwrap_or(f64::NAN)))
    }
}

/// Nobody makes a line that many times too strong.
const MOST_RATIO: f64 = 1e3;
