//! What of a rig readings are to tell, and what is known of it beforehand.
//!
//! Conventions: SI; the centre in the load's own axes, of a pipe along its axis alone.
//! Assumes: lengths off by as much as their tolerance at the most, evenly likely between; weights and centres off by next to
//! anything, or where that is wanted by no more than is stated of them.
//! Valid for: any rig.
//! Source: JCGM 100:2008 (GUM), 4.3.7 for what lies within a bound (its standard deviation is the bound over the root of
//! three), 4.3.4 for a spread of weight, which is two of them (both from memory); the spreads where nobody says are those of
//! docs/theory/spread.md.
//! Checked by: tests/main/adjust.rs.

use super::bench::{Actual, Bench};
use crate::corners::tolerance_m;
use crate::defaults::usual_weight_spread;
use crate::document::Load;
use crate::steadiness::{LEAST_SHIFT_M, SHIFT};
use nalgebra::DVector;
use statics::Vector3;

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
    /// Adds to what a rig is.
    pub(crate) fn add(self, by: f64, actual: &mut Actual) {
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
    /// Whether next to nothing is taken as known of each.
    pub(crate) open: Vec<bool>,
    /// What is fixed instead of sought, and by how much it is off what is stated, newtons or metres.
    fixed: Vec<(Unknown, f64)>,
}

/// The least size of a load, metres.
const LEAST_SIZE_M: f64 = 0.1;
/// What is stated without any spread is taken as known so well, metres, and as a share of a weight.
const LEAST_SD_M: f64 = 1e-6;
const LEAST_SPREAD: f64 = 1e-6;

impl Unknowns {
    /// Lists the unknowns of a rig. Of weights and centres next to nothing is taken as known: the weight itself, and how far
    /// the picks are apart, as standard deviations, so that nothing is left without any bound.
    pub(crate) fn new(bench: &Bench<'_>) -> Self {
        let mut found = Unknowns {
            each: Vec::new(),
            sd: Vec::new(),
            open: Vec::new(),
            fixed: Vec::new(),
        };
        for (load, weight) in bench.stated.weights.iter().enumerate() {
            let Some((_, document)) = bench.rig.loads.get_index(load) else {
                continue;
            };
            found.push(Unknown::Weight(load), weight.weight_n, true);
            let size_m = size_m(document, &weight.centre_m);
            let axes = if document.pipe.is_some() { 1 } else { 3 };
            (0..axes).for_each(|axis| found.push(Unknown::Centre(load, axis), size_m, true));
        }
        for line in 0..bench.model.lines.len() {
            let tolerance_m = tolerance_m(bench.rig, bench.model, line);
            found.push(
                Unknown::Length(line),
                (tolerance_m / f64::sqrt(3.0)).max(LEAST_SD_M),
                false,
            );
        }
        found
    }

    fn push(&mut self, unknown: Unknown, sd: f64, open: bool) {
        self.each.push(unknown);
        self.sd.push(sd);
        self.open.push(open);
    }

    /// Gives the same with some unknowns no further off than is stated of them.
    pub(crate) fn held(&self, bench: &Bench<'_>, which: &[usize]) -> Self {
        let mut held = self.clone();
        for index in which {
            held.sd[*index] = self.stated_sd(bench, *index);
            held.open[*index] = false;
        }
        held
    }

    /// Gives the same with some unknowns, told by index in their order, fixed so many standard deviations off what is stated.
    pub(crate) fn fixed(&self, which: &[(usize, f64)]) -> Self {
        let mut others = self.clone();
        for (index, off) in which.iter().rev() {
            let unknown = others.each.remove(*index);
            let sd = others.sd.remove(*index);
            others.open.remove(*index);
            others.fixed.push((unknown, sd * off));
        }
        others
    }

    /// Gives the standard deviation that the rig document, or what is usual, has of a weight or a centre.
    pub(crate) fn stated_sd(&self, bench: &Bench<'_>, index: usize) -> f64 {
        let document = |load: usize| bench.rig.loads.get_index(load).map(|(_, document)| document);
        match self.each[index] {
            Unknown::Weight(load) => {
                let spread = document(load).map_or(0.0, weight_spread);
                0.5 * spread.max(LEAST_SPREAD) * bench.stated.weights[load].weight_n
            }
            Unknown::Centre(load, _) => {
                let stated_m = document(load).and_then(|document| document.centre_spread_m);
                let usual_m = LEAST_SHIFT_M.max(SHIFT * self.sd[index]);
                (stated_m.unwrap_or(usual_m) / f64::sqrt(3.0)).max(LEAST_SD_M)
            }
            Unknown::Length(_) => self.sd[index],
        }
    }

    /// Finds the place of an unknown.
    pub(crate) fn index(&self, unknown: Unknown) -> Option<usize> {
        self.each.iter().position(|known| *known == unknown)
    }

    /// Gives the rig with the unknowns so many standard deviations off what is stated.
    pub(crate) fn at(&self, stated: &Actual, off: &DVector<f64>) -> Actual {
        let mut actual = stated.clone();
        for (unknown, by) in &self.fixed {
            unknown.add(*by, &mut actual);
        }
        for ((unknown, sd), off) in self.each.iter().zip(&self.sd).zip(off.iter()) {
            unknown.add(sd * off, &mut actual);
        }
        actual
    }

    /// Gives how far a rig is off what is stated, in standard deviations.
    pub(crate) fn off(&self, stated: &Actual, actual: &Actual) -> DVector<f64> {
        let each = self.each.iter().zip(&self.sd).map(|(unknown, sd)| {
            let off = match unknown {
                Unknown::Weight(load) => actual.weights[*load].weight_n - stated.weights[*load].weight_n,
                Unknown::Centre(load, axis) => {
                    actual.weights[*load].centre_m[*axis] - stated.weights[*load].centre_m[*axis]
                }
                Unknown::Length(line) => actual.longer_m[*line] - stated.longer_m[*line],
            };
            off / sd
        });
        DVector::from_iterator(self.each.len(), each)
    }
}

/// Gives how far the farthest pick of a load is from its centre of gravity, metres.
fn size_m(document: &Load, centre_m: &Vector3<f64>) -> f64 {
    let far = document
        .picks
        .values()
        .map(|at| (Vector3::from(*at) - centre_m).norm());
    far.fold(LEAST_SIZE_M, f64::max)
}

/// Gives how far a weight may be off, as a share of it: what is stated, or what is usual by where it comes from.
pub(crate) fn weight_spread(document: &Load) -> f64 {
    document
        .weight_spread
        .unwrap_or(usual_weight_spread(document.weight_from).0)
}
