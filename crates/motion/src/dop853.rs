//! One step of an explicit Runge-Kutta method of order 8, with its error and what is between its ends.
//!
//! Conventions: the error is over its scale; a share of a step is from 0 to 1.
//! Assumes: a right-hand side that is smooth within the step.
//! Valid for: ordinary differential equations of the first order that are not stiff.
//! Source: E. Hairer, S. P. Norsett and G. Wanner, Solving Ordinary Differential Equations I, 2nd edition, Springer 1993, section
//! II.5 (coefficients, error of orders 5 and 3 together) and II.6 (dense output of order 7).
//! Checked by: the tests below; tests/main/closed_forms.rs.

use crate::tableau::{ALL_STAGES, DENSE, ERROR_3, ERROR_5, STAGES, WEIGHTS};

/// Terms of the dense output.
const TERMS: usize = 7;

/// A step, and room for the next.
#[derive(Debug, Clone)]
pub(crate) struct Step {
    stages: Vec<Vec<f64>>,
    scratch: Vec<f64>,
    pub(crate) start: Vec<f64>,
    pub(crate) end: Vec<f64>,
    /// Its length, seconds.
    pub(crate) length_s: f64,
    terms: Vec<Vec<f64>>,
}

impl Step {
    pub(crate) fn new(size: usize) -> Self {
        Step {
            stages: vec![vec![0.0; size]; ALL_STAGES],
            scratch: vec![0.0; size],
            start: vec![0.0; size],
            end: vec![0.0; size],
            length_s: 0.0,
            terms: vec![vec![0.0; size]; TERMS],
        }
    }

    /// Begins a piece of motion: works out the slope at its start, which is set before.
    pub(crate) fn begin(&mut self, slope: &mut impl FnMut(&[f64], &mut [f64])) {
        slope(&self.start, &mut self.stages[0]);
    }

    /// Goes on from the end of the step that was taken, whose slope is known.
    pub(crate) fn go_on(&mut self) {
        self.start.copy_from_slice(&self.end);
        self.stages.swap(0, STAGES);
    }

    /// Takes a step; gives its error over `scale`.
    pub(crate) fn take(
        &mut self,
        length_s: f64,
        scale: &[f64],
        slope: &mut impl FnMut(&[f64], &mut [f64]),
    ) -> f64 {
        self.length_s = length_s;
        for stage in 1..=STAGES {
            self.at_stage(stage);
            if stage == STAGES {
                self.end.copy_from_slice(&self.scratch);
            }
            slope(&self.scratch, &mut self.stages[stage]);
        }
        let five = self.error(&ERROR_5, scale);
        let three = self.error(&ERROR_3, scale);
        let both = five + 0.01 * three;
        if both > 0.0 {
            length_s * five / (both * scale.len() as f64).sqrt()
        } else {
            0.0
        }
    }

    /// Gives the sum of squares of a weighted sum of all stages over its scale.
    fn error(&mut self, weights: &[f64], scale: &[f64]) -> f64 {
        self.scratch.fill(0.0);
        for (weight, stage) in weights.iter().zip(&self.stages) {
            add(&mut self.scratch, *weight, stage);
        }
        let each = self.scratch.iter().zip(scale);
        each.map(|(error, scale)| (error / scale).powi(2)).sum()
    }

    fn at_stage(&mut self, stage: usize) {
        self.scratch.copy_from_slice(&self.start);
        for (weight, known) in WEIGHTS[stage].iter().zip(&self.stages).take(stage) {
            add(&mut self.scratch, self.length_s * weight, known);
        }
    }

    /// How the state changes where the step begins.
    pub(crate) fn slope_at_start(&self) -> &[f64] {
        &self.stages[0]
    }

    /// How the state changes where the step that was taken ends.
    pub(crate) fn slope_at_end(&self) -> &[f64] {
        &self.stages[STAGES]
    }

    /// Gives the state at a share of the step by its ends and the slopes there, to order four, which takes no more slopes.
    pub(crate) fn roughly_between(&self, share: f64, to: &mut [f64]) {
        let rest = 1.0 - share;
        let (first, last) = (&self.stages[0], &self.stages[STAGES]);
        let weights = [
            rest * rest * (1.0 + 2.0 * share),
            share * share * (3.0 - 2.0 * share),
            self.length_s * share * rest * rest,
            -self.length_s * share * share * rest,
        ];
        to.fill(0.0);
        for (weight, of) in weights.into_iter().zip([&self.start, &self.end, first, last]) {
            add(to, weight, of);
        }
    }

    /// Works out what is between the ends of the step that was taken.
    pub(crate) fn fill_in(&mut self, slope: &mut impl FnMut(&[f64], &mut [f64])) {
        for stage in STAGES + 1..ALL_STAGES {
            self.at_stage(stage);
            slope(&self.scratch, &mut self.stages[stage]);
        }
        let [by, one, two, more @ ..] = self.terms.as_mut_slice() else {
            return;
        };
        let (first, last) = (&self.stages[0], &self.stages[STAGES]);
        for i in 0..self.start.len() {
            by[i] = self.end[i] - self.start[i];
            one[i] = self.length_s * first[i] - by[i];
            two[i] = 2.0 * by[i] - self.length_s * (first[i] + last[i]);
        }
        for (term, weights) in more.iter_mut().zip(&DENSE) {
            term.fill(0.0);
            for (weight, stage) in weights.iter().zip(&self.stages) {
                add(term, self.length_s * weight, stage);
            }
        }
    }

    /// Gives the state at a share of the step; `fill_in` first.
    pub(crate) fn between(&self, share: f64, to: &mut [f64]) {
        to.fill(0.0);
        for (power, term) in self.terms.iter().rev().enumerate() {
            let by = if power % 2 == 0 { share } else { 1.0 - share };
            let each = to.iter_mut().zip(term);
            each.for_each(|(to, term)| *to = (*to + term) * by);
        }
        let each = to.iter_mut().zip(&self.start);
        each.for_each(|(to, start)| *to += start);
    }
}

/// Adds so much of one row of numbers to another.
fn add(to: &mut [f64], by: f64, of: &[f64]) {
    if by != 0.0 {
        to.iter_mut().zip(of).for_each(|(to, of)| *to += by * of);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tableau::TIMES;

    /// The rows of the stages sum to their times, and the weights of the method integrate powers up to seven.
    #[test]
    fn conditions_of_order_hold() {
        for (row, time) in WEIGHTS.iter().zip(TIMES) {
            assert!((row.iter().sum::<f64>() - time).abs() < 1e-13, "{time}");
        }
        for power in 0..8 {
            let sum: f64 = WEIGHTS[STAGES]
                .iter()
                .zip(TIMES)
                .map(|(weight, time)| weight * time.powi(power))
                .sum();
            assert!((sum - 1.0 / f64::from(power + 1)).abs() < 1e-13, "{power}: {sum}");
        }
        assert!(ERROR_5.iter().sum::<f64>().abs() < 1e-13 && ERROR_3.iter().sum::<f64>().abs() < 1e-13);
    }

    /// y'' = -y: half of the step leaves a 256th of the error at its end, and between its ends the error is small.
    #[test]
    fn a_swing_is_of_order_eight() {
        let mut slope = |y: &[f64], to: &mut [f64]| to.copy_from_slice(&[y[1], -y[0]]);
        let miss = |length_s: f64, slope: &mut dyn FnMut(&[f64], &mut [f64])| {
            let mut step = Step::new(2);
            let mut slope = |y: &[f64], to: &mut [f64]| slope(y, to);
            step.start = vec![1.0, 0.0];
            step.begin(&mut slope);
            step.take(length_s, &[1.0, 1.0], &mut slope);
            step.fill_in(&mut slope);
            let mut half = [0.0; 2];
            step.between(0.5, &mut half);
            let mut roughly = [0.0; 2];
            step.roughly_between(0.5, &mut roughly);
            assert!((roughly[0] - half[0]).abs() < 3e-3 * length_s.powi(4));
            (
                (step.end[0] - length_s.cos()).abs(),
                (half[0] - (0.5 * length_s).cos()).abs(),
            )
        };
        let (coarse, fine) = (miss(1.0, &mut slope), miss(0.5, &mut slope));
        assert!(coarse.0 / fine.0 > 200.0, "{coarse:?} {fine:?}");
        assert!(coarse.1 < 1e-6 && fine.1 < 1e-8, "{coarse:?} {fine:?}");
    }
}
