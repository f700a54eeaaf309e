//! Two kinds of assembly beside each other.
//!
//! Conventions: differences are of the first less the second; p two-sided.
//! Assumes: independent values; Welch's test and the intervals a normal distribution of each, the rank test none.
//! Valid for: two values or more of each for Welch's test; the rank test counts all splits, up to about a million.
//! Source: Welch 1947 (degrees of freedom not rounded); Mann and Whitney 1947, exact by counting, ties on mid-ranks; Fieller 1954 for the
//! ratio of two means with Welch's degrees of freedom (our choice). From memory; Boost.Math notes with NIST data.
//! Checked by: tests/published.rs (C25, C26).

use crate::summary::{Summary, t_quantile};
use statrs::distribution::{ContinuousCDF, StudentsT};

/// What Welch's test says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Welch {
    /// Difference of the means.
    pub difference: f64,
    /// Its standard error.
    pub error: f64,
    /// Difference over its error.
    pub t: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// How often chance alone does as much or more.
    pub p: f64,
}

/// Compares two means without assuming that both scatter alike; none for fewer than two values of each or no scatter at all.
pub fn welch(a: &Summary, b: &Summary) -> Option<Welch> {
    let of = |summary: &Summary| Some((summary.sd?.powi(2) / summary.n as f64, summary.n as f64 - 1.0));
    let ((va, na), (vb, nb)) = (of(a)?, of(b)?);
    let variance = va + vb;
    if variance <= 0.0 {
        return None;
    }
    let (difference, error) = (a.mean - b.mean, variance.sqrt());
    let df = variance * variance / (va * va / na + vb * vb / nb);
    let t = difference / error;
    let student = StudentsT::new(0.0, 1.0, df).ok()?;
    Some(Welch {
        difference,
        error,
        t,
        df,
        p: 2.0 * student.cdf(-t.abs()),
    })
}

impl Welch {
    /// Gives the interval that holds the true difference with a confidence.
    pub fn interval(&self, confidence: f64) -> Option<[f64; 2]> {
        let half = t_quantile(0.5 + 0.5 * confidence, self.df)? * self.error;
        Some([self.difference - half, self.difference + half])
    }
}

/// Gives the ratio of two means and the interval that holds the true one with a confidence; none where the second mean may be 0.
pub fn ratio_of_means(a: &Summary, b: &Summary, confidence: f64) -> Option<(f64, [f64; 2])> {
    let df = welch(a, b)?.df;
    let t = t_quantile(0.5 + 0.5 * confidence, df)?;
    let variance = |of: &Summary| Some(of.sd?.powi(2) / of.n as f64);
    let g = t * t * variance(b)? / (b.mean * b.mean);
    // Written so that a share that is no number is none.
    let may_divide = g < 1.0;
    if !may_divide {
        return None;
    }
    let ratio = a.mean / b.mean;
    let half =
        t / b.mean.abs() * ((1.0 - g) * variance(a)? + ratio * ratio * variance(b)?).sqrt() / (1.0 - g);
    let middle = ratio / (1.0 - g);
    Some((ratio, [middle - half, middle + half]))
}

/// What the rank test says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranks {
    /// Pairs in which the first is greater; ties count half.
    pub u: f64,
    /// How often chance alone does as much or more.
    pub p: f64,
    /// The least p that so many values can give at all.
    pub least_p: f64,
}

/// Most splits that are counted.
const MOST_SPLITS: f64 = 1e6;

/// Compares two sets by ranks, all splits counted; none for an empty set or where there are too many splits.
pub fn ranks(a: &[f64], b: &[f64]) -> Option<Ranks> {
    let all: Vec<f64> = a.iter().chain(b).copied().collect();
    let splits = choose(all.len(), a.len());
    if a.is_empty() || b.is_empty() || splits > MOST_SPLITS || all.iter().any(|value| !value.is_finite()) {
        return None;
    }
    // Twice the mid-ranks are whole numbers.
    let twice: Vec<u32> = all
        .iter()
        .map(|value| {
            let below = all.iter().filter(|other| *other < value).count();
            let equal = all.iter().filter(|other| *other == value).count();
            (2 * below + equal + 1) as u32
        })
        .collect();
    let own: u32 = twice[..a.len()].iter().sum();
    let total: u32 = twice.iter().sum();
    let counts = sums(&twice, a.len());
    // How far a sum is from its mean, in whole numbers: both sides count.
    let far = |sum: u32| (u64::from(sum) * all.len() as u64).abs_diff(u64::from(total) * a.len() as u64);
    let as_far: f64 = counts
        .iter()
        .enumerate()
        .filter(|(sum, _)| far(*sum as u32) >= far(own))
        .map(|(_, count)| count)
        .sum();
    let least: f64 = counts
        .iter()
        .enumerate()
        .filter(|(_, count)| **count > 0.0)
        .map(|(sum, _)| far(sum as u32))
        .max()
        .map_or(0.0, |most| {
            counts
                .iter()
                .enumerate()
                .filter(|(sum, _)| far(*sum as u32) == most)
                .map(|(_, count)| count)
                .sum()
        });
    let smallest = a.len() as f64 * (a.len() as f64 + 1.0) / 2.0;
    Some(Ranks {
        u: f64::from(own) / 2.0 - smallest,
        p: as_far / splits,
        least_p: least / splits,
    })
}

/// Counts, for each sum, the ways to take so many of some ranks that sum to it.
fn sums(ranks: &[u32], take: usize) -> Vec<f64> {
    let most: usize = ranks.iter().map(|rank| *rank as usize).sum();
    let mut ways = vec![vec![0.0; most + 1]; take + 1];
    ways[0][0] = 1.0;
    for rank in ranks.iter().map(|rank| *rank as usize) {
        for taken in (1..=take).rev() {
            for sum in (rank..=most).rev() {
                ways[taken][sum] += ways[taken - 1][sum - rank];
            }
        }
    }
    ways.swap_remove(take)
}

fn choose(n: usize, k: usize) -> f64 {
    (0..k.min(n - k.min(n)))
        .map(|i| (n - i) as f64 / (i + 1) as f64)
        .product::<f64>()
        .round()
}
