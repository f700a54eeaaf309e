//! What is watched while things move: the tension of each line, and what each place of the building gets.
//!
//! Conventions: newtons; lines first, by their order in the model, then for each support the size of its force and what of it is down, up
//! and sideways.
//! Assumes: between the ends of a step a signal has one top at the most, since steps that are as true as asked for are about half of a period.
//! Valid for: any moment that was measured.
//! Source: definitions.
//! Checked by: tests/closed_forms.rs.

use crate::model::{Model, Support};
use crate::moment::Moment;
use nalgebra::Vector3;

/// Signals of one support.
pub(crate) const OF_SUPPORT: usize = 4;

/// How much of a step's length times the slope at one of its ends a signal may rise above that end. A parabola rises a quarter.
const RISE: f64 = 0.6;

/// A greatest value and when it was reached.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Peak {
    /// The greatest, N; 0 if never above.
    pub force_n: f64,
    /// When it was first reached, s from the moment of letting go.
    pub at_s: f64,
}

impl Peak {
    fn raise(&mut self, force_n: f64, at_s: f64) {
        if force_n > self.force_n {
            *self = Peak { force_n, at_s };
        }
    }
}

/// The signals of one moment, how much they may rise from there, and the peaks so far.
#[derive(Debug)]
pub(crate) struct Signals {
    pub(crate) now_n: Vec<f64>,
    pub(crate) peaks: Vec<Peak>,
    /// The signals at the start of a step and at its end.
    ends: [Ends; 2],
}

/// Signals at one end of a step, and how much they change within a second from there, and at once, at the most.
#[derive(Debug, Clone)]
struct Ends {
    now_n: Vec<f64>,
    slope_n_per_s: Vec<f64>,
    jump_n: Vec<f64>,
}

impl Signals {
    pub(crate) fn new(model: &Model) -> Self {
        let count = model.lines.len() + OF_SUPPORT * model.supports.len();
        let none = vec![0.0; count];
        let ends = Ends {
            now_n: none.clone(),
            slope_n_per_s: none.clone(),
            jump_n: none.clone(),
        };
        Signals {
            now_n: none,
            peaks: vec![Peak::default(); count],
            ends: [ends.clone(), ends],
        }
    }

    /// Reads the signals of a moment.
    pub(crate) fn read(&mut self, model: &Model, moment: &Moment) {
        self.now_n[..model.lines.len()].copy_from_slice(&moment.tension_n);
        let of_supports = self.now_n[model.lines.len()..].chunks_exact_mut(OF_SUPPORT);
        for (signals, support) in of_supports.zip(&model.supports) {
            let force_n = on_building_n(model, moment, support);
            let side_n = (force_n.x * force_n.x + force_n.y * force_n.y).sqrt();
            signals.copy_from_slice(&[force_n.norm(), -force_n.z, force_n.z, side_n]);
        }
    }

    /// Reads the signals at the end of a step, with rates.
    pub(crate) fn read_end(&mut self, model: &Model, moment: &Moment) {
        self.read(model, moment);
        let end = &mut self.ends[1];
        end.now_n.copy_from_slice(&self.now_n);
        for (i, line) in model.lines.iter().enumerate() {
            let rate = moment.rate_m_per_s[i].abs();
            end.slope_n_per_s[i] = line.stiffness_n_per_m * rate;
            end.jump_n[i] = line.damping_n_s_per_m * rate;
        }
        for (s, support) in model.supports.iter().enumerate() {
            let first = model.lines.len() + OF_SUPPORT * s;
            let sum = |of: &[f64]| -> f64 { support.pulls.iter().map(|(i, _)| of[*i]).sum() };
            let (slope, jump) = (sum(&end.slope_n_per_s), sum(&end.jump_n));
            end.slope_n_per_s[first..first + OF_SUPPORT].fill(slope);
            end.jump_n[first..first + OF_SUPPORT].fill(jump);
        }
    }

    /// Goes on to the next step, which begins where the last one ended.
    pub(crate) fn go_on(&mut self) {
        self.ends.swap(0, 1);
    }

    /// Gives the least and the most that a signal may come to within a step that is so long.
    pub(crate) fn range_n(&self, signal: usize, length_s: f64) -> [f64; 2] {
        let of = |end: &Ends| {
            let (now_n, by_n) = (
                end.now_n[signal],
                RISE * length_s * end.slope_n_per_s[signal] + end.jump_n[signal],
            );
            [now_n - by_n, now_n + by_n]
        };
        let [a, b] = [of(&self.ends[0]), of(&self.ends[1])];
        [a[0].min(b[0]), a[1].max(b[1])]
    }

    /// Raises the peaks by the signals that were read.
    pub(crate) fn keep(&mut self, at_s: f64) {
        for (peak, now_n) in self.peaks.iter_mut().zip(&self.now_n) {
            peak.raise(*now_n, at_s);
        }
    }
}

/// Gives the force on a place of the building, newtons.
pub(crate) fn on_building_n(model: &Model, moment: &Moment, support: &Support) -> Vector3<f64> {
    let pulls = support
        .pulls
        .iter()
        .map(|(i, step)| moment.towards(&model.lines[*i], *step) * moment.tension_n[*i]);
    support.still_n + pulls.sum::<Vector3<f64>>()
}
