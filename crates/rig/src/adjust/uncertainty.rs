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
use super::estimate::{Fit, Here, lowest};
use super::readings::Observed;
use super::unknowns::Unknown;
use nalgebra::DVector;
use statics::{LineId, Solution};

/// A rig that the readings hardly allow.
#[derive(Debug, Clone)]
pub(crate) struct Edge {
    /// How far its unknowns are off what is stated, over their standard deviations beforehand.
    pub(crate) off: DVector<f64>,
    actual: Actual,
}

impl From<Here> for Edge {
    fn from(there: Here) -> Self {
        Edge {
            off: there.off,
            actual: there.actual,
        }
    }
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
    let mut beside = |axis: &DVector<f64>, way: f64| {
        edge(fit, |along| {
            Here::new(bench, &fit.unknowns, observed, &(&fit.off + axis * (way * along)))
        })
        .map(Edge::from)
    };
    axes.iter()
        .map(|axis| [beside(axis, 1.0), beside(axis, -1.0)])
        .collect()
}

/// Finds the rig with a line as long as the readings hardly allow, everything else fitted anew; none where they tell that it
/// is taut, since the axes then tell its length.
///
/// Once a line is slack no reading tells how much longer it is, while the axes, along which lengths change together, end where
/// the others no longer agree.
pub(crate) fn slack_edge(
    bench: &mut Bench<'_>,
    fit: &Fit,
    observed: &[Observed],
    line: usize,
) -> Option<Edge> {
    let index = fit.unknowns.index(Unknown::Length(line))?;
    let found = edge(fit, |along| {
        let off = fit.off[index] + along;
        let fixed = fit.unknowns.fixed(index, off);
        let start = Here::new(bench, &fixed, observed, &fit.off.clone().remove_row(index))?;
        Some(lowest(bench, &fixed, observed, start)?.0.with_fixed(index, off))
    });
    let found = found.filter(|there| there.rest.line(LineId(line as u32)).slack)?;
    Some(found.into())
}

/// Finds how far along a way the sum of squares has grown to where the readings hardly allow a rig.
fn edge(fit: &Fit, mut at: impl FnMut(f64) -> Option<Here>) -> Option<Here> {
    let (mut within, mut beyond) = (0.0, f64::INFINITY);
    let mut found = None;
    let mut along = 2.0;
    for _ in 0..TRIES {
        let there = at(along);
        let growth = there
            .as_ref()
            .map_or(f64::INFINITY, |there| there.objective - fit.chi_squared);
        let is_near = (growth - GROWTH).abs() <= NEAR;
        if growth < GROWTH || is_near {
            within = along;
            found = there;
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
        let mut any = false;
        let mut far = |edge: &Edge| {
            let there = bench
                .rest_from(&edge.actual.with_longer(&by_m), None, rest)
                .ok()?;
            any = true;
            let off = values(bench, &there).into_iter().zip(&now);
            Some(off.map(|(off, is)| (off - is).abs()).collect::<Vec<f64>>())
        };
        let mut squares = vec![0.0; now.len()];
        for pair in &self.edges {
            let mut most = vec![0.0; now.len()];
            pair.iter()
                .flatten()
                .filter_map(&mut far)
                .for_each(|far| raise(&mut most, &far));
            let each = squares.iter_mut().zip(&most);
            each.for_each(|(square, most)| *square += most * most);
        }
        let mut sum: Vec<f64> = squares.into_iter().map(f64::sqrt).collect();
        let slack = self.may_be_slack.iter().filter_map(|(_, edge)| far(edge));
        slack.for_each(|far| raise(&mut sum, &far));
        any.then(|| sum.into_iter().map(|sum| 0.5 * sum).collect())
    }
}

fn raise(most: &mut [f64], others: &[f64]) {
    let each = most.iter_mut().zip(others);
    each.for_each(|(most, other)| *most = most.max(*other));
}
