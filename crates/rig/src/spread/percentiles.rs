//! Percentiles of samples, and how far they can be trusted.
//!
//! Conventions: a percentile is a value below which so large a share lies; its limits hold with 95 % confidence.
//! Assumes: samples are independent of one another; nothing of how they are distributed.
//! Valid for: any number of samples; a limit is none where there are too few to have one.
//! Source: definition 8 of R. J. Hyndman and Y. Fan, The American Statistician 50 (1996) 361; limits by order statistics,
//! H. A. David and H. N. Nagaraja, Order Statistics (2003), sec. 7.1; the largest of n after S. S. Wilks, Annals of
//! Mathematical Statistics 12 (1941) 91 (all from memory).
//! Checked by: the tests below, against tables of such limits and by counting.

use super::chance::TAIL;
use schemars::JsonSchema;
use serde::Serialize;
use statrs::distribution::{Binomial, DiscreteCDF};

/// A percentile and the limits within which it is with 95 % confidence, as far as sampling goes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Estimate {
    /// The percentile of the samples.
    pub value: f64,
    /// It is at least this; none with too few samples.
    pub at_least: Option<f64>,
    /// It is at most this; none with too few samples.
    pub at_most: Option<f64>,
}

/// How a quantity is spread over the samples, in the unit that its key ends in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Spreading {
    /// With everything as stated.
    pub as_stated: f64,
    /// Half of the samples are below, half above.
    pub median: Estimate,
    /// One sample in twenty is below.
    pub percent_5: Estimate,
    /// One sample in twenty is above.
    pub percent_95: Estimate,
    /// The mean of the samples.
    pub mean: f64,
    /// The standard error of that mean, as far as sampling goes; none of one sample.
    pub mean_standard_error: Option<f64>,
    /// The least seen.
    pub least: f64,
    /// The greatest seen.
    pub greatest: f64,
}

impl Spreading {
    /// Gives the same in other units, by a factor more than zero.
    pub(crate) fn each(self, change: impl Fn(f64) -> f64) -> Self {
        let estimate = |of: Estimate| Estimate {
            value: change(of.value),
            at_least: of.at_least.map(&change),
            at_most: of.at_most.map(&change),
        };
        Self {
            as_stated: change(self.as_stated),
            median: estimate(self.median),
            percent_5: estimate(self.percent_5),
            percent_95: estimate(self.percent_95),
            mean: change(self.mean),
            mean_standard_error: self
                .mean_standard_error
                .map(|error| (change(self.mean + error) - change(self.mean)).abs()),
            least: change(self.least),
            greatest: change(self.greatest),
        }
    }
}

/// Sums up a number of samples at a time: which of them, in order of size, bound each percentile.
#[derive(Debug)]
pub(crate) struct Percentiles {
    median: Place,
    percent_5: Place,
    percent_95: Place,
}

impl Percentiles {
    pub(crate) fn of(count: usize) -> Self {
        let place = |below: f64| Place::new(below, count);
        Self {
            median: place(0.5),
            percent_5: place(0.05),
            percent_95: place(0.95),
        }
    }

    /// Says how samples are spread; none without samples.
    pub(crate) fn spreading(&self, as_stated: f64, mut values: Vec<f64>) -> Option<Spreading> {
        values.sort_unstable_by(f64::total_cmp);
        let [mean, error] = mean_and_error(&values);
        Some(Spreading {
            as_stated,
            median: self.median.estimate(&values)?,
            percent_5: self.percent_5.estimate(&values)?,
            percent_95: self.percent_95.estimate(&values)?,
            mean,
            mean_standard_error: (values.len() > 1).then_some(error),
            least: *values.first()?,
            greatest: *values.last()?,
        })
    }
}

/// Gives the mean of some values, and the standard error of it.
fn mean_and_error(values: &[f64]) -> [f64; 2] {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let square: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    [mean, (square / (count * (count - 1.0))).sqrt()]
}

/// Where a percentile is among so many sorted samples; ranks from 1.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    rank: f64,
    lower: Option<usize>,
    upper: Option<usize>,
}

impl Place {
    fn new(below: f64, count: usize) -> Self {
        let n = count as f64;
        let [lower, upper] = ranks(below, count);
        Self {
            rank: ((n + 1.0 / 3.0) * below + 1.0 / 3.0).clamp(1.0, n.max(1.0)),
            lower,
            upper,
        }
    }

    fn estimate(self, sorted: &[f64]) -> Option<Estimate> {
        let at = |rank: usize| sorted.get(rank.checked_sub(1)?).copied();
        let whole = self.rank.floor();
        let (before, after) = (at(whole as usize)?, at(self.rank.ceil() as usize)?);
        Some(Estimate {
            value: before + (self.rank - whole) * (after - before),
            at_least: self.lower.and_then(at),
            at_most: self.upper.and_then(at),
        })
    }
}

/// Gives the greatest rank that is above a percentile, and the least that is below it, by no more than the tail each.
fn ranks(below: f64, count: usize) -> [Option<usize>; 2] {
    let Ok(binomial) = Binomial::new(below, count as u64) else {
        return [None, None];
    };
    // So many samples or fewer lie below the percentile: so likely.
    let so_many = |k: usize| binomial.cdf(k as u64);
    let first = first_not(count, |k| so_many(k) <= TAIL);
    let last = first_not(count, |k| so_many(k) < 1.0 - TAIL);
    [(first > 0).then_some(first), (last < count).then_some(last + 1)]
}

/// Gives the least number below `count` of which something is not true any more, by halves; `count` if there is none.
fn first_not(count: usize, is: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = (0, count);
    while low < high {
        let middle = usize::midpoint(low, high);
        if is(middle) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    low
}

/// Gives the share of everything that, with 95 % confidence, lies below the largest of so many samples.
pub(crate) fn below_the_largest(count: u64) -> f64 {
    0.05_f64.powf(1.0 / count as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spread::draw::{Law, Streams};

    /// Tables of limits of the median (as in W. J. Conover, Practical Nonparametric Statistics, from memory): of 10 samples
    /// the 2nd and the 9th, of 20 the 6th and the 15th, of 50 the 18th and the 33rd, of 100 the 40th and the 61st; of 5
    /// none.
    #[test]
    fn limits_of_the_median_are_those_of_the_tables() {
        for (count, is) in [
            (6, [1, 6]),
            (10, [2, 9]),
            (20, [6, 15]),
            (50, [18, 33]),
            (100, [40, 61]),
        ] {
            assert_eq!(ranks(0.5, count), is.map(Some), "{count}");
        }
        assert_eq!(ranks(0.5, 5), [None, None]);
        assert_eq!(ranks(0.5, 0), [None, None]);
    }

    /// Below 5 % and above 95 % mirror each other, and are narrow with many samples: n p and 1.96 sqrt(n p (1 - p)).
    #[test]
    fn limits_of_other_percentiles_mirror_each_other() {
        let ([low, high], [mirror_low, mirror_high]) = (ranks(0.05, 10_000), ranks(0.95, 10_000));
        assert_eq!(low.map(|rank| 10_001 - rank), mirror_high);
        assert_eq!(high.map(|rank| 10_001 - rank), mirror_low);
        let half = 1.959964 * (10_000.0 * 0.05 * 0.95_f64).sqrt();
        assert!((low.unwrap() as f64 - (500.0 - half)).abs() < 2.0, "{low:?}");
        assert!((high.unwrap() as f64 - (501.0 + half)).abs() < 2.0, "{high:?}");
    }

    /// 59 samples bound 95 % with 95 % confidence: the number known from Wilks.
    #[test]
    fn the_largest_of_59_bounds_95_percent() {
        assert!(below_the_largest(58) < 0.95 && below_the_largest(59) >= 0.95);
    }

    /// Limits hold the true percentile in 95 % of trials at the least, and not in all. By counting: 2,000 trials of 100
    /// even draws; the limits leave out 1.8 % on each side, give or take 0.3 %.
    #[test]
    fn limits_hold_as_often_as_they_say() {
        let (streams, laws) = (Streams::of(3), || {
            std::iter::repeat_n(Law::Even { bound: 1.0 }, 100)
        });
        let percentiles = Percentiles::of(100);
        let mut held = 0;
        for trial in 0..2_000 {
            let mut values = vec![0.0; 100];
            streams.draw(trial, laws(), &mut values);
            let found = percentiles.spreading(0.0, values).unwrap().median;
            held += u32::from(found.at_least.unwrap() <= 0.0 && found.at_most.unwrap() >= 0.0);
        }
        assert!((1_900..=1_960).contains(&held), "{held}");
    }

    /// Of 1 to 9 the middle is 5; one in twenty of so few is the least itself, and it has no limits.
    #[test]
    fn few_samples_have_percentiles_without_limits() {
        let values: Vec<f64> = (1..=9).rev().map(f64::from).collect();
        let found = Percentiles::of(9).spreading(4.5, values).unwrap();
        assert_eq!((found.median.value, found.least, found.greatest), (5.0, 1.0, 9.0));
        assert_eq!((found.percent_5.value, found.percent_5.at_least), (1.0, None));
        assert_eq!((found.percent_95.value, found.percent_95.at_most), (9.0, None));
        assert!(Percentiles::of(0).spreading(1.0, Vec::new()).is_none());
    }
}
