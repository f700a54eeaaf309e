//! What goes on in a test besides what gives way: rate, stiffness, work, holds, preloads.
//!
//! Conventions: SI.
//! Assumes: nothing where events are: they are left out.
//! Valid for: any curve; what there is too little of is none.
//! Source: least squares and medians; trapezoids for work.
//! Checked by: tests/published.rs (C27, C28), tests/logs.rs.

use crate::specimen::Known;
use crate::specimen::curve::Curve;
use crate::specimen::falls::Fall;
use crate::specimen::line::{Line, median};

/// A time at which the force was held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// From when, s.
    pub from_s: f64,
    /// For how long, s.
    pub seconds: f64,
    /// The least force meanwhile, N.
    pub least_n: f64,
    /// The mean force, N.
    pub mean_n: f64,
    /// How far the machine went meanwhile, m.
    pub travel_m: Option<f64>,
}

/// A pull that was let down again before the last one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preload {
    /// When it was greatest, s.
    pub at_s: f64,
    /// How great, N.
    pub force_n: f64,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Course {
    pub(crate) stiffness_n_per_m: Option<f64>,
    pub(crate) work_j: Option<f64>,
    pub(crate) rate_n_per_s: Option<f64>,
    pub(crate) rate_before_n_per_s: Option<f64>,
    pub(crate) holds: Vec<Hold>,
    pub(crate) preloads: Vec<Preload>,
}

/// From where the rate is asked about, as a share of the breaking force.
const FROM: f64 = 0.8;
/// Between these shares of the peak stiffness is taken.
const STIFF: [f64; 2] = [0.2, 0.6];
/// A force is held if it changes by no more than this share of the peak in a second, for so long, above so much.
const HELD_PER_S: f64 = 0.004;
const HELD_S: f64 = 3.0;
const HELD_FROM: f64 = 0.1;

impl Course {
    pub(crate) fn of(curve: &Curve, falls: &[Fall], known: &Known) -> Course {
        let (top, top_n) = curve.top();
        let last_rise = last_rise(curve, top, top_n);
        let from_n = FROM * known.breaking_n.unwrap_or(top_n);
        let passes = (last_rise..=top).find(|i| curve.force_n[*i] >= from_n);
        let rate = |from: usize, to: usize| rate_n_per_s(curve, falls, from, to);
        Course {
            stiffness_n_per_m: stiffness_n_per_m(curve, falls, (last_rise, top), top_n),
            work_j: work_j(curve, top),
            rate_n_per_s: passes.and_then(|from| rate(from, top)),
            rate_before_n_per_s: rate(last_rise, passes.unwrap_or(top)),
            holds: holds(curve, falls, top_n),
            preloads: preloads(curve, falls, last_rise, top_n),
        }
    }

    /// Gives how fast the force grows just before a reading, N/s; 0 where it does not.
    pub(crate) fn rate_at_top_n_per_s(&self, curve: &Curve, at: usize) -> f64 {
        let many = ((1.0 / curve.step_s) as usize).clamp(3, 100);
        let from = at.saturating_sub(many).max(curve.stretch_from(at));
        let line = Line::fit((from..=at).map(|i| (curve.time_s[i], curve.force_n[i])));
        let before = line.map_or(0.0, |line| line.slope);
        before.max(self.rate_n_per_s.unwrap_or(0.0)).max(0.0)
    }
}

/// Finds where the pull that leads to the top begins: the last time before it that less than a twentieth of it was there.
fn last_rise(curve: &Curve, top: usize, top_n: f64) -> usize {
    (0..=top)
        .rev()
        .find(|i| curve.force_n[*i] < 0.05 * top_n)
        .unwrap_or(0)
}

/// Tells whether a fall lies within some readings, or ends at the first of them.
fn has_fall(falls: &[Fall], from: usize, to: usize) -> bool {
    falls.iter().any(|fall| fall.from < to && fall.to > from)
}

fn rate_n_per_s(curve: &Curve, falls: &[Fall], from: usize, to: usize) -> Option<f64> {
    let wide = ((0.5 / curve.step_s).round() as usize)
        .clamp(2, 100)
        .min(to.saturating_sub(from))
        .max(1);
    let stride = (to.saturating_sub(from) / 2000).max(1);
    let slope = |at: usize| -> Option<f64> {
        let same_stretch = curve.stretch_from(at + wide) <= at;
        let is_free = !has_fall(falls, at, at + wide);
        let line = Line::fit((at..=at + wide).map(|i| (curve.time_s[i], curve.force_n[i])));
        line.filter(|_| same_stretch && is_free).map(|line| line.slope)
    };
    let mut slopes: Vec<f64> = (from..(to + 1).saturating_sub(wide))
        .step_by(stride)
        .filter_map(slope)
        .collect();
    (!slopes.is_empty()).then(|| median(&mut slopes))
}

/// Takes the longest stretch without an event between a fifth and three fifths of the peak.
fn stiffness_n_per_m(curve: &Curve, falls: &[Fall], (from, top): (usize, usize), top_n: f64) -> Option<f64> {
    if curve.travel_m.is_empty() {
        return None;
    }
    let inside = |i: usize| (STIFF[0] * top_n..=STIFF[1] * top_n).contains(&curve.force_n[i]);
    let mut best: Option<(usize, usize)> = None;
    let mut now: Option<(usize, usize)> = None;
    for i in from..=top {
        let is_new = now.is_none_or(|(first, _)| has_fall(falls, first, i) || curve.stretch_from(i) > first);
        now = match (inside(i), is_new) {
            (false, _) => None,
            (true, true) => Some((i, i)),
            (true, false) => now.map(|(first, _)| (first, i)),
        };
        let rise = |of: Option<(usize, usize)>| {
            of.map_or(0.0, |(first, last)| curve.force_n[last] - curve.force_n[first])
        };
        if rise(now) > rise(best) {
            best = now;
        }
    }
    let (first, last) = best.filter(|(first, last)| last - first >= 2)?;
    let line = Line::fit((first..=last).map(|i| (curve.travel_m[i], curve.force_n[i])))?;
    (line.slope > 0.0).then_some(line.slope)
}

fn work_j(curve: &Curve, top: usize) -> Option<f64> {
    let travel_m = &curve.travel_m;
    if travel_m.is_empty() {
        return None;
    }
    let pairs = 1..=top;
    Some(
        pairs
            .map(|i| 0.5 * (curve.force_n[i] + curve.force_n[i - 1]) * (travel_m[i] - travel_m[i - 1]))
            .sum(),
    )
}

fn holds(curve: &Curve, falls: &[Fall], top_n: f64) -> Vec<Hold> {
    let wide = ((1.0 / curve.step_s).round() as usize).max(2);
    let (mut found, mut from): (Vec<Hold>, Option<usize>) = (Vec::new(), None);
    let step = (wide / 4).max(1);
    let count = curve.force_n.len();
    let mut at = 0;
    while at + wide < count {
        let line = Line::fit((at..=at + wide).map(|i| (curve.time_s[i], curve.force_n[i])));
        let middle_n = curve.force_n[at + wide / 2];
        let unsure = line.map_or(0.0, |line| {
            3.0 * curve.sigma_n * line.error_at(curve.time_s[at]) / (curve.step_s * wide as f64)
        });
        let is_flat = line.is_some_and(|line| {
            line.slope.abs() < (HELD_PER_S * top_n).max(unsure.min(3.0 * HELD_PER_S * top_n))
        });
        let is_held = is_flat
            && middle_n > HELD_FROM * top_n
            && !has_fall(falls, at, at + wide)
            && curve.stretch_from(at + wide) <= at;
        let is_last = at + wide + step >= count;
        if is_held && from.is_none() {
            from = Some(at);
        }
        if let Some(first) = from.filter(|_| !is_held || is_last) {
            let last = if is_held {
                at + wide
            } else {
                (at + wide).saturating_sub(step)
            };
            found.extend(hold(curve, first, last));
            from = None;
        }
        at += step;
    }
    found
}

fn hold(curve: &Curve, first: usize, last: usize) -> Option<Hold> {
    let seconds = curve.time_s[last] - curve.time_s[first];
    let forces = &curve.force_n[first..=last];
    (seconds >= HELD_S).then(|| Hold {
        from_s: curve.time_s[first],
        seconds,
        least_n: forces.iter().copied().fold(f64::INFINITY, f64::min),
        mean_n: forces.iter().sum::<f64>() / forces.len() as f64,
        travel_m: (!curve.travel_m.is_empty()).then(|| curve.travel_m[last] - curve.travel_m[first]),
    })
}

/// Lists pulls before the last one that were let down to less than half.
fn preloads(curve: &Curve, falls: &[Fall], until: usize, top_n: f64) -> Vec<Preload> {
    let (mut found, mut most): (Vec<Preload>, Option<usize>) = (Vec::new(), None);
    for i in 0..=until {
        let force_n = curve.force_n[i];
        if most.is_none_or(|most| force_n > curve.force_n[most]) && force_n > 0.05 * top_n {
            most = Some(i);
        }
        if let Some(highest) = most.filter(|most| force_n < 0.5 * curve.force_n[*most]) {
            if !has_fall(falls, highest, i) {
                found.push(Preload {
                    at_s: curve.time_s[highest],
                    force_n: curve.force_n[highest],
                });
            }
            most = None;
        }
    }
    found
}
