//! The greatest force, and how sure it is.
//!
//! Conventions: N; uncertainty as three standard deviations, with what may lie between two readings on top.
//! Assumes: what the force was when it fell is where the trend before leads; a top without a fall is the mean of what lies flat beside it.
//! Valid for: any curve.
//! Source: a raw maximum of N noisy readings is high by about sigma sqrt(2 ln N) (extreme values), which the trend is not; how parts add up as
//! independent errors do (GUM, from memory).
//! Checked by: tests/published.rs (C27), tests/logs.rs.

use crate::specimen::course::Course;
use crate::specimen::curve::Curve;
use crate::specimen::falls::Fall;

/// The greatest force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// How much, N.
    pub force_n: f64,
    /// How sure that is, N: three standard deviations of noise, zero and least step, and what the force may have grown until the next reading.
    /// What the calibration of the cell leaves comes on top.
    pub uncertainty_n: f64,
    /// What of that is the zero of the cell, N, unknown or moved: it is off alike in every log of a cell that was never set to nought.
    pub zero_n: f64,
    /// When, s from the first reading.
    pub at_s: f64,
}

/// So far to each side of a top it is looked whether it is flat.
const TOP_S: f64 = 0.2;
/// What a log begins with is no offset past this share of the peak: it was begun under load.
const OFFSET: f64 = 0.25;
/// How many standard deviations are stated: what lies outside is one in hundreds.
const SURE: f64 = 3.0;

pub(crate) fn peak(curve: &Curve, falls: &[Fall], course: &Course) -> Peak {
    let (top, _) = curve.top();
    let at_top = at_top(curve, top);
    // The highest reading is high by its noise: the force before a fall is the greatest unless another is surely greater.
    let before = falls
        .iter()
        .map(|fall| before_fall(curve, falls, fall))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let (force_n, off, at) = before
        .filter(|before| before.0 > at_top.0 - 2.0 * curve.sigma_n)
        .unwrap_or(at_top);
    let sigma_n = curve.sigma_n;
    let raw_count_n = curve.count_n / 12.0_f64.sqrt();
    let hum_n = curve.hum.map_or(0.0, |hum| 0.3 * hum.size_n);
    let drift_n = curve.zero.drift_n.unwrap_or(0.0).abs() / 3.0_f64.sqrt();
    let parts = [sigma_n * off, raw_count_n, curve.zero.error_n, drift_n, hum_n];
    let sd_n = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
    // What is the middle of several readings lies up to half of them further back.
    let steps = if curve.of_each > 1 { 1.5 } else { 1.0 };
    let grows_n = steps * course.rate_at_top_n_per_s(curve, at) * curve.step_s;
    // A zero that was not taken off may be all of what the log begins with.
    let zero_n = if curve.zero.is_known {
        0.0
    } else {
        // Where it ends with nothing on it, that is the zero.
        let ends_n = curve
            .zero
            .ends_n
            .filter(|ends_n| ends_n.abs() < OFFSET * force_n.abs());
        ends_n.map_or(curve.zero.offset_n.abs().min(OFFSET * force_n.abs()), f64::abs)
    };
    Peak {
        force_n,
        uncertainty_n: SURE * sd_n + grows_n + zero_n,
        zero_n: zero_n + SURE * drift_n,
        at_s: curve.time_s[at],
    }
}

/// Gives the force before a fall, how sure that is over the scatter of a reading, and where.
fn before_fall(curve: &Curve, falls: &[Fall], fall: &Fall) -> (f64, f64, usize) {
    let last = falls
        .iter()
        .filter(|other| other.to <= fall.from)
        .map(|other| other.to)
        .max();
    let begins = curve.stretch_from(fall.from).max(last.unwrap_or(0));
    let at_s = curve.time_s[fall.from];
    curve
        .trend(begins, fall.from)
        .map_or((curve.force_n[fall.from], 1.0, fall.from), |line| {
            (line.at(at_s), line.error_at(at_s), fall.from)
        })
}

/// Gives the force at a top from which it does not fall at once: the mean of what lies beside it and is no lower than noise makes it.
fn at_top(curve: &Curve, top: usize) -> (f64, f64, usize) {
    let most = ((TOP_S / curve.step_s) as usize).clamp(1, 60);
    let (begins, ends) = (curve.stretch_from(top), curve.stretch_to(top));
    let beside =
        |half: usize| &curve.force_n[top.saturating_sub(half).max(begins)..(top + half + 1).min(ends)];
    let mean_n = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
    let is_flat = |half: &usize| {
        let of = beside(*half);
        let middle_n = mean_n(of);
        let squares: f64 = of.iter().map(|force_n| (force_n - middle_n).powi(2)).sum();
        squares <= (1.5 * curve.sigma_n).powi(2) * (of.len() - 1) as f64
    };
    let of = beside((1..=most).take_while(is_flat).last().unwrap_or(0));
    // One reading alone is the highest of many, and high by that; of several the mean is low by what they fall off.
    let off = if of.len() > 1 {
        0.6 + 1.0 / (of.len() as f64).sqrt()
    } else {
        1.5
    };
    (mean_n(of), off, top)
}
