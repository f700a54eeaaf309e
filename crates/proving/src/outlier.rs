//! Whether one value lies too far from the others.
//!
//! Conventions: a level is how often the test calls out where there is nothing.
//! Assumes: a normal distribution but for that value.
//! Valid for: three values or more; with fewer than seven the tests are weak, and with three of no use.
//! Source: Grubbs 1950: G = max |x - m| / s against (n - 1)/sqrt(n) sqrt(t²/(n - 2 + t²)) (from memory; CMH-17-1G table 8.5.7); Dixon's r10
//! after Rorabacher 1991.
//! Checked by: tests/published.rs (C20 to C24).

use crate::summary::{Summary, t_quantile};

/// Which sides are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// Either.
    Both,
    /// One, chosen before the values were seen.
    One,
}

/// The value that lies furthest from the mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Furthest {
    /// Which, by its order.
    pub index: usize,
    /// How far from the mean, in standard deviations.
    pub g: f64,
}

/// Finds the value that lies furthest from the mean; none for fewer than three values or without scatter.
pub fn furthest(values: &[f64]) -> Option<Furthest> {
    let of = Summary::of(values)?;
    let sd = of.sd.filter(|sd| *sd > 0.0 && of.n > 2)?;
    let far = values
        .iter()
        .map(|value| (value - of.mean).abs() / sd)
        .enumerate();
    let (index, g) = far.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Furthest { index, g })
}

/// Gives the value of G that is passed so often by chance; none for fewer than three values.
pub fn grubbs_critical(n: usize, level: f64, sides: Sides) -> Option<f64> {
    let (count, nu) = (n as f64, n.checked_sub(2).filter(|nu| *nu > 0)? as f64);
    let tails = match sides {
        Sides::Both => 2.0,
        Sides::One => 1.0,
    };
    let t = t_quantile(1.0 - level / (tails * count), nu)?;
    Some((count - 1.0) / count.sqrt() * (t * t / (nu + t * t)).sqrt())
}

/// Critical values of Dixon's r10 at 5 %, two-sided, for 3 to 10 values: after Rorabacher 1991.
const DIXON: [f64; 8] = [0.970, 0.829, 0.710, 0.625, 0.568, 0.526, 0.493, 0.466];

/// Gives Dixon's r10, the gap beside an end value over the range, whichever end has the greater one, and its critical value at 5 % two-sided;
/// none but for 3 to 10 values that are not all equal.
pub fn dixon(values: &[f64]) -> Option<(f64, f64)> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let critical = *DIXON.get(sorted.len().checked_sub(3)?)?;
    let last = sorted.len() - 1;
    let range = sorted[last] - sorted[0];
    let gap = (sorted[1] - sorted[0]).max(sorted[last] - sorted[last - 1]);
    (range > 0.0).then(|| (gap / range, critical))
}
