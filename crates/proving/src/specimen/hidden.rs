//! Falls that hide between slow readings: the force grew by as much meanwhile, so that no reading is less than the one before it.
//!
//! Conventions: SI; places in a curve.
//! Assumes: the force grows evenly with travel, or with time where there is no travel, for some readings on either side, about as fast as before.
//! Valid for: readings a tenth of a second apart or more.
//! Source: a step between the lines through what lies before and after, six times as large as it is unsure (our judgement).
//! Checked by: tests/logs.rs.

use crate::specimen::curve::Curve;
use crate::specimen::falls::{Fall, has_fall};
use crate::specimen::line::{Line, median};

/// Quicker readings show a fall by themselves.
pub(crate) const SLOW_S: f64 = 0.1;
/// Readings of each line.
const SIDE: usize = 5;
const LEAST_SIDE: usize = 3;
/// A fall less than this share of the greatest force is none.
const LEAST: f64 = 0.0085;
/// From less than this share of it the specimen still beds in.
const LOWEST: f64 = 0.1;
/// How much the lines may differ in slope.
const ALIKE: std::ops::Range<f64> = 0.75..1.3;
/// How many times as large as what is unsure.
const SURE: f64 = 6.0;

/// A step between two lines.
struct Step {
    at: usize,
    before_n: f64,
    after_n: f64,
    step_n: f64,
    /// How sure it is over the scatter of a reading.
    error: f64,
    scatter_n: f64,
}

/// Finds falls that hide between slow readings and touch none that was found.
pub(crate) fn hidden_falls(curve: &Curve, found: &[Fall]) -> Vec<Fall> {
    if curve.step_s < SLOW_S {
        return Vec::new();
    }
    let (_, top_n) = curve.top();
    let steps: Vec<Step> = (1..curve.force_n.len())
        .filter(|at| curve.force_n[at - 1] > LOWEST * top_n)
        .filter_map(|at| step(curve, found, at))
        .collect();
    let usual_n = median(&mut steps.iter().map(|step| step.scatter_n).collect::<Vec<f64>>());
    let is_fall = |step: &Step| {
        let scatter_n = step.scatter_n.max(usual_n).max(curve.count_n / 12.0_f64.sqrt());
        step.step_n > (LEAST * top_n).max(SURE * scatter_n * step.error)
    };
    let is_largest = |index: usize| {
        let own = &steps[index];
        let near = |other: &&Step| other.at.abs_diff(own.at) < SIDE;
        steps
            .iter()
            .skip(index.saturating_sub(SIDE))
            .take(2 * SIDE + 1)
            .filter(near)
            .all(|other| other.step_n <= own.step_n)
    };
    let falls = (0..steps.len()).filter(|index| is_fall(&steps[*index]) && is_largest(*index));
    falls
        .map(|index| {
            let Step {
                at,
                before_n,
                after_n,
                step_n,
                ..
            } = steps[index];
            Fall {
                from: at - 1,
                to: at,
                before_n,
                after_n,
                meanwhile_n: step_n - (before_n - after_n),
            }
        })
        .collect()
}

/// Gives the step between what lies before a reading and what lies from it on; none where no straight lines lie there, or they are not alike.
fn step(curve: &Curve, found: &[Fall], at: usize) -> Option<Step> {
    let begins =
        (curve.stretch_from(at)..at).find(|from| at - from <= SIDE && !has_fall(found, *from, at - 1))?;
    let ends = (at + 1..=curve.stretch_to(at).min(at + SIDE))
        .rev()
        .find(|to| !has_fall(found, at, to - 1))?;
    if has_fall(found, at - 1, at) || at - begins < LEAST_SIDE || ends - at < LEAST_SIDE {
        return None;
    }
    let along = if curve.travel_m.is_empty() {
        &curve.time_s
    } else {
        &curve.travel_m
    };
    let goes_on = along[begins..ends].windows(2).all(|pair| pair[1] > pair[0]);
    if !goes_on {
        return None;
    }
    let line = |from: usize, to: usize| Line::fit((from..to).map(|i| (along[i], curve.force_n[i])));
    let (before, after) = (line(begins, at)?, line(at, ends)?);
    let is_alike = before.slope > 0.0 && ALIKE.contains(&(after.slope / before.slope));
    let [from, to] = [along[at - 1], along[at]];
    let step_n = (before.at(from) - after.at(from)).min(before.at(to) - after.at(to));
    is_alike.then(|| Step {
        at,
        before_n: before.at(from),
        after_n: after.at(to),
        step_n,
        error: before.error_at(to).hypot(after.error_at(from)),
        scatter_n: before.scatter.hypot(after.scatter) / 2.0_f64.sqrt(),
    })
}
