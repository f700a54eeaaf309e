//! How far off the rig may be that readings were fitted to, in any state of it.
//!
//! Conventions: SI; standard uncertainties.
//! Assumes: as in estimate.rs.
//! Valid for: rigs with lines that may come taut or go slack: each axis of the covariance is followed either way to where the
//! sum of squares has grown by four, so that a line is no tauter than its reading lets it be, and as slack as it may be.
//! Source: profiles of the likelihood, as twice the standard uncertainty is where the sum of squares has grown by four (any
//! text on least squares, from memory); of the two ways the greater counts, and axes add as JCGM 100:2008 (GUM), 5.1, has it
//! (from memory). Between kinks that is the usual propagation.
//! No tension is told past what balance lets its line come to (docs/theory/sharing.md).
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
/// The same where a line may be slack, of three standard uncertainties: what hangs on that is all or nothing.
const SLACK_GROWTH: f64 = 9.0;
const NEAR: f64 = 0.2;
/// A way out that is known within this share of it is known.
const CLOSE: f64 = 0.02;
/// So many lines that may be slack are tried two together.
const MOST_PAIRED: usize = 5;
/// A tension of which twice the standard uncertainty is no more than this share of it is told by readings, and not bounded.
const WIDE: f64 = 0.25;
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
        edge(fit, GROWTH, |along| {
            Here::new(bench, &fit.unknowns, observed, &(&fit.off + axis * (way * along)))
        })
        .map(Edge::from)
    };
    axes.iter()
        .map(|axis| [beside(axis, 1.0), beside(axis, -1.0)])
        .collect()
}

/// Finds the rigs in which one unknown is as far off as the readings hardly allow, everything else fitted anew, either way: of each
/// weight and each coordinate of a centre, of which next to nothing is known beforehand.
///
/// Where few readings tell a weight and a centre together these lie along a bent valley, and the axes leave it.
pub(crate) fn open_edges(bench: &mut Bench<'_>, fit: &Fit, observed: &[Observed]) -> Vec<Edge> {
    let open = (0..fit.unknowns.each.len()).filter(|index| fit.unknowns.open[*index]);
    let ways = open.flat_map(|index| [1.0, -1.0].map(|way| vec![(index, way)]));
    ways.filter_map(|way| profile(bench, fit, observed, (&way, GROWTH)).map(Edge::from))
        .collect()
}

/// Finds the rigs with a line as long as the readings hardly allow, everything else fitted anew, of those that they do not tell to
/// be taut; and the same of two such lines together.
///
/// Once a line is slack no reading tells how much longer it is, while the axes, along which lengths change together, end where
/// the others no longer agree.
pub(crate) fn slack_edges(
    bench: &mut Bench<'_>,
    fit: &Fit,
    observed: &[Observed],
) -> (Vec<usize>, Vec<Edge>) {
    let (mut lines, mut edges, mut ways) = (Vec::new(), Vec::new(), Vec::new());
    for line in 0..bench.model.lines.len() {
        let Some(index) = fit.unknowns.index(Unknown::Length(line)) else {
            continue;
        };
        let there = profile(bench, fit, observed, (&[(index, 1.0)], SLACK_GROWTH));
        let Some(there) = there.filter(|there| there.rest.line(LineId(line as u32)).slack) else {
            continue;
        };
        // So that two together grow as much as one alone.
        ways.push((
            index,
            (there.off[index] - fit.off[index]) / (2.0 * f64::sqrt(2.0)),
        ));
        lines.push(line);
        edges.push(there.into());
    }
    for (i, first) in ways.iter().enumerate().take(MOST_PAIRED) {
        for second in ways.iter().take(MOST_PAIRED).skip(i + 1) {
            edges.extend(profile(bench, fit, observed, (&[*first, *second], SLACK_GROWTH)).map(Edge::from));
        }
    }
    (lines, edges)
}

/// Finds the rig in which some unknowns, told by index in their order with how far each goes at once, are as far off as the
/// readings hardly allow, everything else fitted anew.
fn profile(
    bench: &mut Bench<'_>,
    fit: &Fit,
    observed: &[Observed],
    (ways, growth): (&[(usize, f64)], f64),
) -> Option<Here> {
    let mut near = fit.off.clone();
    for (index, _) in ways.iter().rev() {
        near = near.remove_row(*index);
    }
    edge(fit, growth, |along| {
        let which: Vec<(usize, f64)> = ways
            .iter()
            .map(|(index, way)| (*index, fit.off[*index] + along * way))
            .collect();
        // No length is off by more than its tolerance, the root of three of its standard deviations.
        let is_length = |index: usize| matches!(fit.unknowns.each[index], Unknown::Length(_));
        let most = |index: usize| f64::max(f64::sqrt(3.0), fit.off[index]) + 1e-9;
        if which
            .iter()
            .any(|(index, off)| is_length(*index) && *off > most(*index))
        {
            return None;
        }
        let fixed = fit.unknowns.fixed(&which);
        let start = Here::new(bench, &fixed, observed, &near)?;
        let (mut there, _) = lowest(bench, &fixed, observed, start)?;
        let others = there.off.clone();
        for (index, off) in which {
            there = there.with_fixed(index, off);
        }
        // The next begins where the last was that the readings allow, since a valley is bent.
        if there.objective < fit.chi_squared + growth {
            near = others;
        }
        Some(there)
    })
}

/// Finds how far along a way the sum of squares has grown to where the readings hardly allow a rig.
fn edge(fit: &Fit, most: f64, mut at: impl FnMut(f64) -> Option<Here>) -> Option<Here> {
    let (mut within, mut beyond) = (0.0, f64::INFINITY);
    let mut found = None;
    let mut along = 2.0;
    for _ in 0..TRIES {
        let there = at(along);
        let growth = there
            .as_ref()
            .map_or(f64::INFINITY, |there| there.objective - fit.chi_squared);
        let is_near = (growth - most).abs() <= NEAR;
        if growth < most || is_near {
            within = along;
            found = there;
        } else {
            beyond = along;
        }
        if is_near || beyond - within < CLOSE * beyond {
            break;
        }
        // As of a parabola, where that is between; the first way out is doubled.
        let parabola = along * (most / growth.max(1e-6)).sqrt();
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
    /// Gives the standard uncertainties of tensions at the upper ends of lines, with a line away if it is gone, newtons.
    ///
    /// How many lengths are off together, and which, the axes do not know: four legs that each may come to nothing or to twice
    /// as much would add to more than all that hangs. So none is told past the most that statics lets a line come to, in
    /// any of the rigs that the readings hardly allow.
    pub(crate) fn of_tensions(
        &self,
        bench: &mut Bench<'_>,
        (actual, gone): (&Actual, Option<usize>),
        rest: &Solution,
    ) -> Option<Vec<f64>> {
        let tensions_n = |bench: &Bench<'_>, rest: &Solution| -> Vec<f64> {
            let lines = 0..bench.rig.lines.len();
            lines.map(|line| bench.tensions_n(rest, line)[0]).collect()
        };
        let mut sure_n = self.with_gone(bench, (actual, gone), rest, tensions_n)?;
        let now_n = tensions_n(bench, rest);
        let wide: Vec<usize> = (0..now_n.len())
            .filter(|line| 2.0 * sure_n[*line] > WIDE * now_n[*line])
            .collect();
        if wide.is_empty() {
            return Some(sure_n);
        }
        let by_m = adjusted_by_m(actual, &self.actual);
        let mut most_n = bench.greatest_n((actual, gone), rest, &wide);
        for edge in self.edges.iter().flatten().flatten().chain(&self.alone) {
            let there = edge.actual.with_longer(&by_m);
            if let Ok(rest) = bench.rest_from(&there, gone, rest) {
                raise(&mut most_n, &bench.greatest_n((&there, gone), &rest, &wide));
            }
        }
        for line in wide {
            let most_off_n = f64::max(most_n[line] - now_n[line], now_n[line]);
            sure_n[line] = sure_n[line].min(0.5 * most_off_n);
        }
        Some(sure_n)
    }

    /// Gives the standard uncertainties of values of the rig with its lines adjusted; none where none of the rigs that the
    /// readings hardly allow hangs so.
    pub(crate) fn uncertainties(
        &self,
        bench: &mut Bench<'_>,
        actual: &Actual,
        rest: &Solution,
        values: impl Fn(&Bench<'_>, &Solution) -> Vec<f64>,
    ) -> Option<Vec<f64>> {
        self.with_gone(bench, (actual, None), rest, values)
    }

    fn with_gone(
        &self,
        bench: &mut Bench<'_>,
        (actual, gone): (&Actual, Option<usize>),
        rest: &Solution,
        values: impl Fn(&Bench<'_>, &Solution) -> Vec<f64>,
    ) -> Option<Vec<f64>> {
        let by_m = adjusted_by_m(actual, &self.actual);
        let now = values(bench, rest);
        let mut any = false;
        let mut far = |edge: &Edge| {
            let there = bench
                .rest_from(&edge.actual.with_longer(&by_m), gone, rest)
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
        let alone = self.alone.iter().filter_map(far);
        alone.for_each(|far| raise(&mut sum, &far));
        any.then(|| sum.into_iter().map(|sum| 0.5 * sum).collect())
    }
}

/// Gives by how much lines are longer than they were, metres.
fn adjusted_by_m(is: &Actual, was: &Actual) -> Vec<f64> {
    let adjusted = is.longer_m.iter().zip(&was.longer_m);
    adjusted.map(|(is, was)| is - was).collect()
}

fn raise(most: &mut [f64], others: &[f64]) {
    let each = most.iter_mut().zip(others);
    each.for_each(|(most, other)| *most = most.max(*other));
}
