//! The greatest force, and how sure it is.
//!
//! Conventions: N; uncertainty as twice a standard deviation, with what may lie between two readings on top.
//! Assumes: what the force was when it fell is where the trend before leads; a top without a fall is the mean of 20 ms there.
//! Valid for: any curve.
//! Source: a raw maximum of N noisy readings is high by about sigma sqrt(2 ln N) (extreme values), which the trend is not; how parts add up as
//! independent errors do (GUM, from memory).
//! Checked by: tests/published.rs (C27), tests/logs.rs.

use crate::specimen::course::Course;
use crate::specimen::curve::Curve;
use crate::specimen::falls::Fall;
use crate::specimen::line::Line;

/// The greatest force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// How much, N.
    pub force_n: f64,
    /// How sure that is, N: twice a standard deviation of noise, zero and least step, and what the force may have grown until the next reading.
    /// What the calibration of the cell leaves comes on top.
    pub uncertainty_n: f64,
    /// When, s from the first reading.
    pub at_s: f64,
}

const TREND_S: f64 = 0.25;
const TOP_S: f64 = 0.02;
/// With fewer readings a trend says less than the reading itself.
const LEAST_READINGS: usize = 6;

pub(crate) fn peak(curve: &Curve, falls: &[Fall], course: &Course) -> Peak {
    let (top, _) = curve.top();
    let near = ((0.1 / curve.step_s).round() as usize).max(1);
    // A fall that begins at the top, or so near that noise put the top elsewhere.
    let fall = falls
        .iter()
        .filter(|fall| fall.from.abs_diff(top) <= near)
        .max_by(|a, b| a.before_n.total_cmp(&b.before_n));
    let (force_n, off, at) = match fall {
        Some(fall) => before_fall(curve, falls, fall),
        None => at_top(curve, top),
    };
    let sigma_n = curve.sigma_n;
    let raw_count_n = curve.count_n / 12.0_f64.sqrt();
    let hum_n = curve.hum.map_or(0.0, |hum| 0.3 * hum.size_n);
    let drift_n = curve.zero.drift_n.unwrap_or(0.0).abs() / 3.0_f64.sqrt();
    let parts = [sigma_n * off, raw_count_n, curve.zero.error_n, drift_n, hum_n];
    let sd_n = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
    let grows_n = course.rate_at_top_n_per_s(curve, at) * curve.step_s;
    Peak {
        force_n,
        uncertainty_n: 2.0 * sd_n + grows_n,
        at_s: curve.time_s[at],
    }
}

/// Gives the force before a fall, how sure that is over the scatter of a reading, and where.
fn before_fall(curve: &Curve, falls: &[Fall], fall: &Fall) -> (f64, f64, usize) {
    let many = ((TREND_S / curve.step_s).round() as usize).min(60);
    let last = falls
        .iter()
        .filter(|other| other.to <= fall.from)
        .map(|other| other.to)
        .max()
        .unwrap_or(0);
    let from = fall
        .from
        .saturating_sub(many)
        .max(curve.stretch_from(fall.from))
        .max(last);
    let readings = fall.from + 1 - from;
    if readings < LEAST_READINGS {
        return (curve.force_n[fall.from], 1.0, fall.from);
    }
    let line = Line::fit((from..=fall.from).map(|i| (curve.time_s[i], curve.force_n[i])));
    line.map_or((curve.force_n[fall.from], 1.0, fall.from), |line| {
        let at_s = curve.time_s[fall.from];
        (line.at(at_s), line.error_at(at_s), fall.from)
    })
}

fn at_top(curve: &Curve, top: usize) -> (f64, f64, usize) {
    let half = ((0.5 * TOP_S / curve.step_s).floor() as usize).min(20);
    let (from, to) = (
        top.saturating_sub(half).max(curve.stretch_from(top)),
        (top + half + 1).min(curve.stretch_to(top)),
    );
    let readings = (to - from) as f64;
    let mean_n = curve.force_n[from..to].iter().sum::<f64>() / readings;
    // The highest of many is high: by as much as the greatest of a few hundred.
    (mean_n, 2.0, top)
}
