//! What goes on in a test besides what gives way: rate, stiffness, work, holds, preloads.
//!
//! Conventions: SI.
//! Assumes: nothing where events are: they are left out.
//! Valid for: any curve; what there is too little of is none.
//! Source: least squares and medians; trapezoids for work.
//! Checked by: tests/published.rs (C27, C28), tests/logs.rs.

use crate::specimen::Known;
use crate::specimen::curve::Curve;
use crate::specimen::falls::{Fall, has_fall};
use crate::specimen::line::{Line, median};
use schemars::JsonSchema;
use serde::Serialize;

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

impl Hold {
    /// Tells whether a time is within it.
    #[must_use]
    pub fn has(&self, at_s: f64) -> bool {
        at_s >= self.from_s && at_s <= self.from_s + self.seconds
    }
}

/// A pull that was let down again before the last one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
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
    /// Whether the force never came to 80 % of the breaking force.
    pub(crate) is_below_80: bool,
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
/// A pump gives a stroke or two in this.
const STROKES_S: f64 = 4.0;
/// Readings further apart than this show a stroke by few of them.
const SLOW_S: f64 = 0.02;
/// At the beginning of a hold the force sags by no more than this share of it, for no longer, s.
const SAGS: f64 = 0.05;
const SAGS_S: f64 = 4.0;

impl Course {
    pub(crate) fn of(curve: &Curve, falls: &[Fall], known: &Known) -> Course {
        let (top, top_n) = curve.top();
        let last_rise = last_rise(curve, top, top_n);
        let is_below_80 = known
            .breaking_n
            .is_some_and(|breaking_n| top_n < FROM * breaking_n);
        let from_n = FROM * known.breaking_n.filter(|_| !is_below_80).unwrap_or(top_n);
        let passes = (last_rise..=top).find(|i| curve.force_n[*i] >= from_n);
        let rate = |from: usize, to: usize| rate_n_per_s(curve, falls, from, to);
        let (rate_n_per_s, rate_before_n_per_s) = (
            passes.and_then(|from| rate(from, top)),
            rate(last_rise, passes.unwrap_or(top)),
        );
        let loads_n_per_s = rate_n_per_s.or(rate_before_n_per_s).filter(|rate| *rate > 0.0);
        let holds = holds(curve, falls, top_n, loads_n_per_s);
        Course {
            is_below_80,
            stiffness_n_per_m: stiffness_n_per_m(curve, falls, &holds, (last_rise, top)),
            work_j: work_j(curve, top),
            rate_n_per_s,
            rate_before_n_per_s,
            holds,
            preloads: preloads(curve, falls, last_rise, top_n),
        }
    }

    /// Gives how fast the force grows just before a reading, N/s, as fast as the last second or less of it shows; 0 where it does not.
    pub(crate) fn rate_at_top_n_per_s(&self, curve: &Curve, at: usize) -> f64 {
        let slope = |seconds: f64| {
            let many = ((seconds / curve.step_s) as usize).clamp(3, 100);
            let from = at.saturating_sub(many).max(curve.stretch_from(at));
            let line = Line::fit((from..=at).map(|i| (curve.time_s[i], curve.force_n[i])));
            line.map_or(0.0, |line| line.slope)
        };
        // Of slow readings the greatest step of the last strokes, but for what is noise.
        let begins = at
            .saturating_sub((STROKES_S / curve.step_s) as usize)
            .max(curve.stretch_from(at));
        let mut steps_n: Vec<f64> = (begins + 1..=at)
            .map(|i| curve.force_n[i] - curve.force_n[i - 1])
            .collect();
        steps_n.sort_by(f64::total_cmp);
        let is_slow = curve.step_s >= SLOW_S;
        let greatest_n = steps_n.last().filter(|_| is_slow);
        let step_n = greatest_n.map_or(0.0, |greatest_n| greatest_n - 3.0 * curve.sigma_n);
        let steady = self.rate_n_per_s.unwrap_or(0.0);
        [slope(1.0), slope(0.1), step_n / curve.step_s, steady]
            .into_iter()
            .fold(0.0, f64::max)
    }
}

/// Finds where the pull that leads to the top begins: the last time before it that less than a twentieth of it was there.
fn last_rise(curve: &Curve, top: usize, top_n: f64) -> usize {
    (0..=top)
        .rev()
        .find(|i| curve.force_n[*i] < 0.05 * top_n)
        .unwrap_or(0)
}

/// A rate is told over as many readings as it takes to grow by so many of their steps.
const STEPS_GROWN: f64 = 5.0;

/// Gives how fast the force grows between two readings, N/s: the middle of many slopes, each over half a second, or over longer where readings are so
/// coarse that half a second shows few of their steps; none where all of it shows no more.
fn rate_n_per_s(curve: &Curve, falls: &[Fall], from: usize, to: usize) -> Option<f64> {
    let most = to.saturating_sub(from).max(1);
    let mut wide = ((0.5 / curve.step_s).round() as usize).clamp(2, 100).min(most);
    loop {
        let rate = rate_over(curve, falls, (from, to), wide)?;
        let grown_n = rate.abs() * wide as f64 * curve.step_s;
        if grown_n >= STEPS_GROWN * curve.count_n {
            return Some(rate);
        }
        if wide == most {
            return None;
        }
        wide = (2 * wide).min(most);
    }
}

/// Gives the middle of the slopes over so many readings, N/s; none where something fell in all of them.
fn rate_over(curve: &Curve, falls: &[Fall], (from, to): (usize, usize), wide: usize) -> Option<f64> {
    let stride = (to.saturating_sub(from) / 2000).max(wide / 50).max(1);
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
fn stiffness_n_per_m(
    curve: &Curve,
    falls: &[Fall],
    holds: &[Hold],
    (from, top): (usize, usize),
) -> Option<f64> {
    let top_n = curve.force_n[top];
    let is_held = |time_s: f64| {
        holds
            .iter()
            .any(|hold| time_s > hold.from_s && time_s < hold.from_s + hold.seconds)
    };
    if curve.travel_m.is_empty() {
        return None;
    }
    let inside = |i: usize| (STIFF[0] * top_n..=STIFF[1] * top_n).contains(&curve.force_n[i]);
    let mut best: Option<(usize, usize)> = None;
    let mut now: Option<(usize, usize)> = None;
    for i in from..=top {
        let is_new = now.is_none_or(|(first, _)| has_fall(falls, first, i) || curve.stretch_from(i) > first);
        now = match (inside(i) && !is_held(curve.time_s[i]), is_new) {
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

/// Finds where the force is held: it neither grows nor falls, as far as one second tells.
fn holds(curve: &Curve, falls: &[Fall], top_n: f64, loads_n_per_s: Option<f64>) -> Vec<Hold> {
    // As many readings as tell so small a slope, within a second to three.
    let needed = (12.0 * (3.0 * curve.sigma_n / (HELD_PER_S * top_n * curve.step_s)).powi(2)).cbrt();
    let wide = (needed as usize)
        .clamp(
            (1.0 / curve.step_s).round() as usize,
            (HELD_S / curve.step_s) as usize,
        )
        .max(3);
    let step = (wide / 4).max(1);
    let count = curve.force_n.len();
    let least_n_per_s = HELD_PER_S * top_n;
    let grows_n_per_s = loads_n_per_s.map_or(least_n_per_s, |loads| least_n_per_s.min(0.3 * loads));
    let is_held = |at: usize| {
        let Some(line) = Line::fit((at..=at + wide).map(|i| (curve.time_s[i], curve.force_n[i]))) else {
            return false;
        };
        let unsure = 3.0 * curve.sigma_n * line.slope_error_of_one();
        let [falls_most, grows_most] = [(least_n_per_s, 3.0), (grows_n_per_s, 1.6)]
            .map(|(most, times)| unsure.min(times * most).max(most));
        let is_flat = (-falls_most..grows_most).contains(&line.slope);
        is_flat
            && curve.force_n[at + wide / 2] > HELD_FROM * top_n
            && !has_fall(falls, at, at + wide)
            && curve.stretch_from(at + wide) <= at
    };
    let (mut found, mut from): (Vec<Hold>, Option<usize>) = (Vec::new(), None);
    let mut last = 0;
    for at in (0..count.saturating_sub(wide)).step_by(step) {
        match (is_held(at), from) {
            (true, None) => from = Some(at),
            (false, Some(first)) => {
                keep(&mut found, hold(curve, falls, (first, last), wide));
                from = None;
            }
            _ => {}
        }
        last = at + wide;
    }
    keep(
        &mut found,
        from.and_then(|first| hold(curve, falls, (first, last), wide)),
    );
    found
}

/// Keeps a hold; one that begins in the one before it goes on from there.
fn keep(found: &mut Vec<Hold>, next: Option<Hold>) {
    let Some(next) = next else { return };
    if found
        .last()
        .is_some_and(|last| next.from_s < last.from_s + last.seconds)
    {
        found.pop();
    }
    found.push(next);
}

/// Makes a hold of some readings. It begins where the force was greatest before: at first it sags more than it is held.
fn hold(curve: &Curve, falls: &[Fall], (first, last): (usize, usize), wide: usize) -> Option<Hold> {
    let least_s = HELD_S.max(1.5 * wide as f64 * curve.step_s);
    let back = ((SAGS_S / curve.step_s) as usize).min(first - curve.stretch_from(first));
    let highest = (first - back..=first).max_by(|a, b| curve.force_n[*a].total_cmp(&curve.force_n[*b]))?;
    let sags =
        curve.force_n[highest] < (1.0 + SAGS) * curve.force_n[first] && !has_fall(falls, highest, first);
    let first = if sags { highest } else { first };
    let seconds = curve.time_s[last] - curve.time_s[first];
    let forces = &curve.force_n[first..=last];
    (seconds >= least_s && !is_pulled_on(curve, first, last)).then(|| Hold {
        from_s: curve.time_s[first],
        seconds,
        least_n: forces.iter().copied().fold(f64::INFINITY, f64::min),
        mean_n: forces.iter().sum::<f64>() / forces.len() as f64,
        travel_m: (!curve.travel_m.is_empty()).then(|| curve.travel_m[last] - curve.travel_m[first]),
    })
}

/// A machine that goes so fast, as a share of how fast it pulled before, does not hold.
const PULLS_ON: f64 = 0.5;

/// Tells whether the machine goes on pulling about as fast as it did before some readings, while the specimen gives way.
fn is_pulled_on(curve: &Curve, first: usize, last: usize) -> bool {
    if curve.travel_m.is_empty() {
        return false;
    }
    let half_n = 0.5 * curve.force_n[first];
    let Some(begins) = curve.force_n[..first]
        .iter()
        .rposition(|force_n| *force_n < half_n)
    else {
        return false;
    };
    let speed = |from: usize, to: usize| {
        (curve.travel_m[to] - curve.travel_m[from]) / (curve.time_s[to] - curve.time_s[from]).max(1e-9)
    };
    let before = speed(begins, first);
    before > 0.0 && speed(first, last) > PULLS_ON * before
}

/// Lists pulls before the last one that were let down to less than half, without a fall.
fn preloads(curve: &Curve, falls: &[Fall], until: usize, top_n: f64) -> Vec<Preload> {
    let (mut found, mut most, mut least): (Vec<Preload>, Option<usize>, f64) =
        (Vec::new(), None, f64::INFINITY);
    for i in 0..=until {
        let force_n = curve.force_n[i];
        least = least.min(force_n);
        let is_pull = || force_n > (least.max(0.0) + 0.05 * top_n + 8.0 * curve.sigma_n).max(1.5 * least);
        let is_higher = most.map_or_else(is_pull, |most| force_n > curve.force_n[most]);
        if is_higher {
            most = Some(i);
        }
        if let Some(highest) = most.filter(|most| force_n < 0.5 * curve.force_n[*most]) {
            if !has_fall(falls, highest, i) {
                found.push(Preload {
                    at_s: curve.time_s[highest],
                    force_n: curve.force_n[highest],
                });
            }
            (most, least) = (None, force_n);
        }
    }
    found
}
