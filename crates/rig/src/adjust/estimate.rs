//! What a rig weighs and how long its lines are, by what is read on it.
//!
//! Conventions: SI; unknowns and residuals are divided by their standard deviations; uncertainties are standard ones.
//! Assumes: readings that do not hang on one another; lengths off by as much as their tolerance at the most, evenly likely
//! between (its standard deviation is the tolerance over the root of three); stiffnesses, points and picks as stated.
//! Valid for: rigs that hang near to how they are drawn. Where the search does not settle there is no estimate.
//! Source: least squares by Gauss and Newton's method with what is known beforehand as further observations; JCGM 100:2008
//! (GUM), 4.3.7 for the tolerance and 5.1 for what comes of uncertainties (from memory).
//! Checked by: tests/main/adjust.rs (weights and centres put into a rig are found again within their uncertainty).

use super::bench::{Actual, Bench};
use super::effects::SLOPE_M;
use super::readings::{Observed, Of};
use crate::corners::tolerance_m;
use nalgebra::{DMatrix, DVector};
use statics::{Solution, Vector3};

/// One unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unknown {
    /// The weight of a load.
    Weight(usize),
    /// Its centre of gravity along one of its own axes.
    Centre(usize, usize),
    /// How much longer a line is.
    Length(usize),
}

impl Unknown {
    /// Tells whether next to nothing is taken as known of it beforehand.
    fn is_open(self) -> bool {
        !matches!(self, Unknown::Length(_))
    }

    /// Adds to what a rig is.
    fn add(self, by: f64, actual: &mut Actual) {
        match self {
            Unknown::Weight(load) => {
                let weight_n = &mut actual.weights[load].weight_n;
                // Nothing weighs less than nothing; a step that would make it so stops short of it.
                *weight_n = (*weight_n + by).max(1e-3 * *weight_n);
            }
            Unknown::Centre(load, axis) => actual.weights[load].centre_m[axis] += by,
            Unknown::Length(line) => actual.longer_m[line] += by,
        }
    }
}

/// The unknowns of a rig with what is known of each beforehand.
#[derive(Debug, Clone)]
pub(crate) struct Unknowns {
    /// The unknowns.
    pub(crate) each: Vec<Unknown>,
    /// Standard deviation of what is known of each beforehand, newtons or metres.
    pub(crate) sd: Vec<f64>,
}

/// The least size of a load, metres.
const LEAST_SIZE_M: f64 = 0.1;

impl Unknowns {
    /// Lists the unknowns of a rig. Of weights and centres next to nothing is taken as known: the weight itself, and how far
    /// the picks are apart, as standard deviations, so that nothing is left without any bound.
    pub(crate) fn new(bench: &Bench<'_>) -> Self {
        let mut found = Unknowns {
            each: Vec::new(),
            sd: Vec::new(),
        };
        for (load, weight) in bench.stated.weights.iter().enumerate() {
            let Some((_, document)) = bench.rig.loads.get_index(load) else {
                continue;
            };
            found.push(Unknown::Weight(load), weight.weight_n);
            let far = document
                .picks
                .values()
                .map(|at| (Vector3::from(*at) - weight.centre_m).norm());
            let size_m = far.fold(LEAST_SIZE_M, f64::max);
            let axes = if document.pipe.is_some() { 1 } else { 3 };
            (0..axes).for_each(|axis| found.push(Unknown::Centre(load, axis), size_m));
        }
        for line in 0..bench.model.lines.len() {
            let tolerance_m = tolerance_m(bench.rig, bench.model, line);
            found.push(Unknown::Length(line), (tolerance_m / f64::sqrt(3.0)).max(1e-6));
        }
        found
    }

    fn push(&mut self, unknown: Unknown, sd: f64) {
        self.each.push(unknown);
        self.sd.push(sd);
    }

    /// Gives the rig with the unknowns so many standard deviations off what is stated.
    fn at(&self, stated: &Actual, off: &DVector<f64>) -> Actual {
        let mut actual = stated.clone();
        for ((unknown, sd), off) in self.each.iter().zip(&self.sd).zip(off.iter()) {
            unknown.add(sd * off, &mut actual);
        }
        actual
    }

    /// Gives the step for differences of an unknown, in its standard deviations.
    fn step(&self, index: usize) -> f64 {
        match self.each[index] {
            Unknown::Length(_) => SLOPE_M / self.sd[index],
            _ => 1e-4,
        }
    }
}

/// A rig fitted to readings.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    /// The rig.
    pub(crate) actual: Actual,
    /// Where it then hangs.
    pub(crate) rest: Solution,
    /// What it has where each reading was taken.
    pub(crate) fitted: Vec<f64>,
    /// What was read less that, over the standard uncertainty of the reading.
    pub(crate) residuals: DVector<f64>,
    /// The weighted sum of squares of these and of how far the unknowns are from what was known of them.
    pub(crate) chi_squared: f64,
    /// How each fitted reading changes with each unknown, both over their standard deviations.
    pub(crate) slopes: DMatrix<f64>,
    /// The covariance of the unknowns, over their standard deviations beforehand.
    pub(crate) covariance: DMatrix<f64>,
    off: DVector<f64>,
}

/// Rounds at the most; five are usual.
const ROUNDS: usize = 40;
/// A round that changes every unknown by less of its standard deviation ends the search.
const SETTLED: f64 = 1e-6;

/// Fits a rig to readings, from the rig as stated or from another fit. None where nothing fits them.
pub(crate) fn fit(
    bench: &mut Bench<'_>,
    unknowns: &Unknowns,
    observed: &[Observed],
    near: Option<&Fit>,
) -> Option<Fit> {
    let mut off = near.map_or_else(|| DVector::zeros(unknowns.each.len()), |fit| fit.off.clone());
    let mut here = Here::new(bench, unknowns, observed, &off)?;
    for _ in 0..ROUNDS {
        let slopes = slopes(bench, unknowns, observed, &here)?;
        let normal = slopes.transpose() * &slopes + DMatrix::identity(off.len(), off.len());
        let inverse = normal.cholesky()?.inverse();
        let step = &inverse * (slopes.transpose() * &here.residuals - &off);
        let settled = step.amax() < SETTLED;
        if !settled {
            let Some((there, moved)) = downhill(bench, unknowns, observed, &here, &off, &step) else {
                // No step makes it better: that is the bottom if the slope is all but level, and else no fit.
                let level =
                    step.dot(&(slopes.transpose() * &here.residuals - &off)) < 1e-6 * (1.0 + here.objective);
                return level.then(|| here.done(slopes, inverse, off));
            };
            (here, off) = (there, moved);
            continue;
        }
        return Some(here.done(slopes, inverse, off));
    }
    None
}

/// The rig at some values of the unknowns.
struct Here {
    actual: Actual,
    rest: Solution,
    fitted: Vec<f64>,
    residuals: DVector<f64>,
    objective: f64,
}

impl Here {
    fn new(
        bench: &mut Bench<'_>,
        unknowns: &Unknowns,
        observed: &[Observed],
        off: &DVector<f64>,
    ) -> Option<Self> {
        let actual = unknowns.at(&bench.stated, off);
        let rest = bench.rest(&actual, None).ok()?;
        let fitted: Vec<f64> = observed
            .iter()
            .map(|of| predicted(bench, &actual, &rest, of))
            .collect();
        let each = observed
            .iter()
            .zip(&fitted)
            .map(|(of, fitted)| (of.reads - fitted) / of.uncertainty);
        let residuals = DVector::from_iterator(observed.len(), each);
        Some(Here {
            objective: residuals.norm_squared() + off.norm_squared(),
            actual,
            rest,
            fitted,
            residuals,
        })
    }

    fn done(self, slopes: DMatrix<f64>, covariance: DMatrix<f64>, off: DVector<f64>) -> Fit {
        Fit {
            actual: self.actual,
            rest: self.rest,
            fitted: self.fitted,
            residuals: self.residuals,
            chi_squared: self.objective,
            slopes,
            covariance,
            off,
        }
    }
}

/// Goes along a step, by half of it as often as need be, to where the sum of squares is less.
fn downhill(
    bench: &mut Bench<'_>,
    unknowns: &Unknowns,
    observed: &[Observed],
    here: &Here,
    off: &DVector<f64>,
    step: &DVector<f64>,
) -> Option<(Here, DVector<f64>)> {
    let mut share = 1.0;
    for _ in 0..20 {
        let moved = off + step * share;
        let there = Here::new(bench, unknowns, observed, &moved);
        if let Some(there) = there.filter(|there| there.objective < here.objective) {
            return Some((there, moved));
        }
        share *= 0.5;
    }
    None
}

/// Gives what a rig has where a reading was taken.
fn predicted(bench: &Bench<'_>, actual: &Actual, rest: &Solution, of: &Observed) -> f64 {
    match &of.of {
        Of::Tension { lines, upper } => {
            let end = usize::from(!*upper);
            lines.iter().map(|line| bench.tensions_n(rest, *line)[end]).sum()
        }
        Of::Height((load, None)) => bench.height_m(rest, *load),
        Of::Height((load, Some(pick))) => bench.pick_height_m(rest, *load, *pick),
        Of::Weight(load) => actual.weights[*load].weight_n,
    }
}

fn slopes(
    bench: &mut Bench<'_>,
    unknowns: &Unknowns,
    observed: &[Observed],
    here: &Here,
) -> Option<DMatrix<f64>> {
    let values = |bench: &Bench<'_>, actual: &Actual, rest: &Solution| {
        let each = observed
            .iter()
            .map(|of| predicted(bench, actual, rest, of) / of.uncertainty);
        each.collect()
    };
    differences(bench, unknowns, &here.actual, &here.rest, values)
}

/// Finds how values change with each unknown, over its standard deviation; None where nothing hangs beside here.
fn differences(
    bench: &mut Bench<'_>,
    unknowns: &Unknowns,
    actual: &Actual,
    rest: &Solution,
    values: impl Fn(&Bench<'_>, &Actual, &Solution) -> Vec<f64>,
) -> Option<DMatrix<f64>> {
    let now = values(bench, actual, rest);
    let mut found = DMatrix::zeros(now.len(), unknowns.each.len());
    for (column, unknown) in unknowns.each.iter().enumerate() {
        let step = unknowns.step(column);
        let mut beside = |side: f64| {
            let mut there = actual.clone();
            unknown.add(side * step * unknowns.sd[column], &mut there);
            let rest = bench.rest_from(&there, None, rest).ok()?;
            Some(values(bench, &there, &rest))
        };
        let (up, down) = (beside(1.0), beside(-1.0));
        let slope = match (up, down) {
            (Some(up), Some(down)) => up.iter().zip(&down).map(|(a, b)| 0.5 * (a - b) / step).collect(),
            (Some(up), None) => up.iter().zip(&now).map(|(a, b)| (a - b) / step).collect(),
            (None, Some(down)) => now.iter().zip(&down).map(|(a, b)| (a - b) / step).collect(),
            (None, None) => return None,
        };
        found.set_column(column, &DVector::from_vec(slope));
    }
    Some(found)
}

impl Fit {
    /// Gives value and standard uncertainty of an unknown over its standard deviation beforehand.
    pub(crate) fn share_left(&self, index: usize) -> f64 {
        self.covariance[(index, index)].max(0.0).sqrt()
    }

    /// Gives how many readings more than are needed there are: those of which unknowns that nothing was known of take none.
    pub(crate) fn redundancy(&self, unknowns: &Unknowns) -> f64 {
        let open = (0..unknowns.each.len()).filter(|i| unknowns.each[*i].is_open());
        let taken: f64 = open.map(|i| 1.0 - self.covariance[(i, i)]).sum();
        (self.residuals.len() as f64 - taken).max(0.0)
    }

    /// Gives the standard uncertainties of values of the rig in a state; none where nothing hangs beside it.
    pub(crate) fn uncertainties(
        &self,
        bench: &mut Bench<'_>,
        unknowns: &Unknowns,
        actual: &Actual,
        rest: &Solution,
        values: impl Fn(&Bench<'_>, &Solution) -> Vec<f64>,
    ) -> Option<Vec<f64>> {
        let slopes = differences(bench, unknowns, actual, rest, |bench, _, rest| {
            values(bench, rest)
        })?;
        let variances = (&slopes * &self.covariance).component_mul(&slopes).column_sum();
        Some(
            variances
                .iter()
                .map(|variance| variance.max(0.0).sqrt())
                .collect(),
        )
    }
}
