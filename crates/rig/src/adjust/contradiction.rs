//! Which readings contradict the others.
//!
//! Conventions: residuals over the standard uncertainties of the readings; their covariance is I - J C J'.
//! Assumes: one wrong reading at a time; errors of the others as Gauss has them.
//! Valid for: readings that others check; two that explain a contradiction about as well (their sums of squares differ by what
//! comes by chance once in a thousand) are both named. One that nothing checks has no normalised residual, and says so.
//! Source: Baarda, A testing procedure for use in geodetic networks, 1968 (from memory): normalised residuals, 3.29 for one
//! error in a thousand, and 4.13 standard deviations for an error that is found four times out of five; quantiles of
//! chi-squared by Wilson and Hilferty's formula.
//! Checked by: the tests below (printed quantiles), and tests/main/adjust.rs (a wrong load cell is found).

use super::bench::Bench;
use super::estimate::{Fit, fit};
use super::readings::Observed;

/// The normalised residual that comes by chance once in a thousand.
pub(crate) const MOST: f64 = 3.29;
/// How many standard deviations an error has that is found four times out of five.
const FOUND: f64 = 4.13;
/// Below this share of a reading that others check, nothing checks it.
const CHECKED: f64 = 0.01;
/// Redundancy below which readings can not contradict one another.
const NO_REDUNDANCY: f64 = 0.05;

/// How one reading stands to the others.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Standing {
    /// How far the others check it, 0 to 1.
    pub(crate) redundancy: f64,
    /// Residual over its own standard deviation.
    pub(crate) normalised: Option<f64>,
    /// The error that would be found four times out of five.
    pub(crate) least_error_found: Option<f64>,
}

/// How the readings stand to one another.
#[derive(Debug, Clone)]
pub(crate) struct Agreement {
    pub(crate) each: Vec<Standing>,
    pub(crate) redundancy: f64,
    pub(crate) limit: Option<f64>,
    pub(crate) agree: bool,
}

/// Finds how the readings of a fit stand to one another.
pub(crate) fn agreement(fit: &Fit, observed: &[Observed]) -> Agreement {
    let explained = (&fit.slopes * &fit.covariance)
        .component_mul(&fit.slopes)
        .column_sum();
    let each: Vec<Standing> = observed
        .iter()
        .enumerate()
        .map(|(i, of)| {
            let redundancy = (1.0 - explained[i]).clamp(0.0, 1.0);
            let is_checked = redundancy > CHECKED;
            let root = redundancy.sqrt();
            Standing {
                redundancy,
                normalised: is_checked.then(|| fit.residuals[i] / root),
                least_error_found: is_checked.then(|| FOUND * of.uncertainty / root),
            }
        })
        .collect();
    let redundancy = fit.redundancy();
    let limit = (redundancy > NO_REDUNDANCY).then(|| quantile_99(redundancy));
    let agree = limit.is_none_or(|limit| fit.chi_squared <= limit)
        && each
            .iter()
            .all(|of| of.normalised.is_none_or(|of| of.abs() <= MOST));
    Agreement {
        each,
        redundancy,
        limit,
        agree,
    }
}

/// A fit without one reading.
#[derive(Debug)]
pub(crate) struct Without {
    /// Which reading was left out.
    pub(crate) index: usize,
    /// The fit to the others; none where none was found.
    pub(crate) fit: Option<Fit>,
    /// Whether the others agree.
    pub(crate) agree: bool,
}

/// Fits the rig without each reading in turn.
pub(crate) fn leave_one_out(bench: &mut Bench<'_>, observed: &[Observed], whole: &Fit) -> Vec<Without> {
    let each = (0..observed.len()).map(|index| {
        let mut others = observed.to_vec();
        others.remove(index);
        let fit = fit(bench, &whole.unknowns, &others, Some(&whole.actual));
        let agree = fit.as_ref().is_some_and(|fit| agreement(fit, &others).agree);
        Without { index, fit, agree }
    });
    each.collect()
}

/// Names the readings that may be the wrong one: those without which the others agree, and those that explain it hardly worse
/// than the best of these; none if no single one explains it. One without which no fit was found is never cleared.
pub(crate) fn suspects(without: &[Without]) -> Vec<usize> {
    let chi_squared = |of: &Without| of.fit.as_ref().map(|fit| fit.chi_squared);
    let agreeing = without.iter().filter(|of| of.agree).filter_map(chi_squared);
    let best = agreeing.fold(f64::INFINITY, f64::min);
    let may_be = |of: &&Without| of.agree || chi_squared(of).is_none_or(|is| is < best + MOST * MOST);
    if best.is_infinite() {
        return Vec::new();
    }
    without.iter().filter(may_be).map(|of| of.index).collect()
}

/// Gives what chi-squared with so many degrees of freedom is more than once in a hundred.
fn quantile_99(freedoms: f64) -> f64 {
    const NORMAL_99: f64 = 2.326_348;
    let share = 2.0 / (9.0 * freedoms);
    freedoms * (1.0 - share + NORMAL_99 * share.sqrt()).powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed tables of chi-squared at 0.01 have 6.635, 9.210, 15.086 and 23.209 (from memory); the formula is known to be
    /// within 1 % of them.
    #[test]
    fn quantiles_are_those_of_printed_tables() {
        for (freedoms, printed) in [(1.0, 6.635), (2.0, 9.210), (5.0, 15.086), (10.0, 23.209)] {
            let found = quantile_99(freedoms);
            assert!((found / printed - 1.0).abs() < 0.01, "{freedoms}: {found}");
        }
    }
}
