//! How far off the rig may be that readings were fitted to, in any state of it.
//!
//! Conventions: SI; standard uncertainties.
//! Assumes: as in estimate.rs.
//! Valid for: rigs with lines that may come taut or go slack: each axis of the covariance is followed either way to where the
//! sum of squares has grown by four, so that a line is no tauter than its reading lets it be, and as slack as it may be.
//! Source: profiles of the likelihood, as twice the standard uncertainty is where the sum of squares has grown by four (any
//! text on least squares, from memory); of the two ways the greater counts, and axes add as JCGM 100:2008 (GUM), 5.1, has it
//! (from memory). Between kinks that is the usual propagation.
//! Checked by: tests/main/adjust.rs.

use super::bench::{Actual, Bench};
use super::estimate::{Fit, Here};
use super::readings::Observed;
use nalgebra::DVector;
use statics::Solution;

/// A rig that the readings hardly allow.
#[derive(Debug, Clone)]
pub(crate) struct Edge {
    /// How far its unknowns are off what is stated, over their standard deviations beforehand.
    pub(crate) off: DVector<f64>,
    actual: Actual,
}

/// By how much the sum of squares grows to twice the standard uncertainty, and how near to that is near enough.
const GROWTH: f64 = 4.0;
const NEAR: f64 = 0.2;
/// Places that are tried along an axis.
const TRIES: usize = 14;

/// Finds the rigs that the readings hardly allow, by axis of the covariance, either way.
pub(crate) fn edges(bench: &mut Bench<'_>, fit: &Fit, observed: &[Observed]) -> Vec<[Option<Edge>; 2]> {
    let eigen = fit.covariance.clone().symmetric_eigen();
    let axes = eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter());
    let axes: Vec<DVector<f64>> = axes
        .map(|(value, vector)| vector * value.max(0.0).sqrt())
        .collect();
    axes.iter()
        .map(|axis| [1.0, -1.0].map(|way| edge(bench, fit, observed, &(axis * way))))
        .collect()
}

fn edge(bench: &mut Bench<'_>, fit: &Fit, observed: &[Observed], axis: &DVector<f64>) -> Option<Edge> {
    let (mut within, mut beyond) = (0.0, f64::INFINITY);
    let mut found = None;
    let mut along = 2.0;
    for _ in 0..TRIES {
        let there = Here::new(bench, &fit.unknowns, observed, &(&fit.off + axis * along));
        let growth = there
            .as_ref()
            .map_or(f64::INFINITY, |there| there.objective - fit.chi_squared);
        let is_near = (growth - GROWTH).abs() <= NEAR;
        if growth < GROWTH || is_near {
            within = along;
            found = there.map(|there| Edge {
                off: there.off,
                actual: there.actual,
            });
        } else {
            beyond = along;
        }
        if is_near {
            break;
        }
        // As of a parabola, where that is between; the first way out is doubled.
        let parabola = along * (GROWTH / growth.max(1e-6)).sqrt();
        along = if beyond.is_infinite() {
            parabola.clamp(1.1 * within, 2.0 * within)
        } else if parabola > within && parabola < beyond && growth.is_finite() {
            parabola
        } else {
            0.5 * (within + beyond)
        };
    }
    found
}

impl Fit {
    /// Gives the standard uncertainties of values of the rig with its lines adjusted; none where none of the rigs that the
    /// readings hardly allow hangs so.
    pub(crate) fn uncertainties(
        &self,
        bench: &mut Bench<'_>,
        actual: &Actual,
        rest: &Solution,
        values: impl Fn(&Bench<'_>, &Solution) -> Vec<f64>,
    ) -> Option<Vec<f64>> {
        let adjusted = actual.longer_m.iter().zip(&self.actual.longer_m);
        let by_m: Vec<f64> = adjusted.map(|(is, was)| is - was).collect();
        let now = values(bench, rest);
        let mut squares = vec![0.0; now.len()];
        let mut any = false;
        for pair in &self.edges {
            let mut most = vec![0.0_f64; now.len()];
            for edge in pair.iter().flatten() {
                let Ok(there) = bench.rest_from(&edge.actual.with_longer(&by_m), None, rest) else {
                    continue;
                };
                any = true;
                let off = values(bench, &there);
                let each = most.iter_mut().zip(now.iter().zip(&off));
                each.for_each(|(most, (is, off))| *most = most.max((off - is).abs()));
            }
            let each = squares.iter_mut().zip(&most);
            each.for_each(|(square, most)| *square += most * most);
        }
        any.then(|| squares.into_iter().map(|square| 0.5 * square.sqrt()).collect())
    }
}
