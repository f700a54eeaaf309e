//! A log made fit to look for what happened in it: spikes out, noise and hum known, zero found, and no more readings than that needs.
//!
//! Conventions: SI; a stretch lies between two gaps.
//! Assumes: a hum keeps its frequency from beginning to end; what is still at the beginning is nothing on the cell.
//! Valid for: eight readings or more.
//! Source: sinusoids by least squares; the rest is our judgement.
//! Checked by: the tests below; tests/logs.rs.

use crate::log::Log;
use crate::specimen::line::{Line, median};
use crate::specimen::scatter::{TO_SIGMA, middle_of_quarters, noise, noise_of};
use crate::specimen::spikes::leave_spikes_out;
use rayon::prelude::*;
use std::f64::consts::TAU;

/// Readings a second that are looked at; more are put together, by their middle.
const LOOKED_AT_HZ: f64 = 200.0;
/// No more readings than this are looked at.
const MOST: usize = 500_000;
/// Readings that are still at the end.
const ENDS_NEED: usize = 10;
/// Readings at rest by which a zero is known.
const ZERO_NEEDS: usize = 20;
/// So many readings tell a hum at the most.
const MOST_HUM: usize = 2048;
/// So many frequencies to each side tell what is usual.
const BESIDE: usize = 24;
/// A trend is told by what went before for so long, and by so many readings.
const TREND_S: f64 = 0.25;
const LEAST_TREND: usize = 5;
const MOST_TREND: usize = 60;
/// A hum so many times as large as the scatter is one.
const LARGE_HUM: f64 = 2.0;
/// A log made fit to look at.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    pub(crate) time_s: Vec<f64>,
    /// Force over the zero that was taken off.
    pub(crate) force_n: Vec<f64>,
    /// Empty where there is none.
    pub(crate) travel_m: Vec<f64>,
    /// The first of each stretch but the first.
    pub(crate) after_gap: Vec<usize>,
    /// The middle of all steps.
    pub(crate) step_s: f64,
    /// Scatter of one of these, hum taken off.
    pub(crate) sigma_n: f64,
    /// Scatter of the travel at one of these; 0 where there is no travel.
    pub(crate) travel_sigma_m: f64,
    /// Scatter of one reading of the log.
    pub(crate) noise_n: f64,
    /// The least step of the readings; 0 where they have none.
    pub(crate) count_n: f64,
    pub(crate) spikes: usize,
    pub(crate) hum: Option<Hum>,
    pub(crate) zero: Zero,
    /// How many readings of the log make one.
    pub(crate) of_each: usize,
}

/// What comes and goes evenly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hum {
    pub(crate) hz: f64,
    pub(crate) size_n: f64,
}

/// What the cell reads with nothing on it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Zero {
    pub(crate) offset_n: f64,
    /// Whether it was taken off.
    pub(crate) is_known: bool,
    /// How sure it is, one standard deviation.
    pub(crate) error_n: f64,
    /// How much further it is at the end; none where that is not known.
    pub(crate) drift_n: Option<f64>,
    /// What it reads at the end where it may be nothing, or not all is let down.
    pub(crate) rests_n: Option<f64>,
    /// How many readings it is known by.
    pub(crate) readings: usize,
    /// What it reads at the end, where that is still; nothing is taken off.
    pub(crate) ends_n: Option<f64>,
}

impl Curve {
    pub(crate) fn of(log: &Log) -> Curve {
        let mut raw: Vec<f32> = log.force_n.clone();
        let spikes = leave_spikes_out(&mut raw, &log.after_gap);
        let (noise_n, count_n) = noise(&raw);
        let each = (log.reading.rate_hz / LOOKED_AT_HZ).round().max(1.0) as usize;
        let of_each = each.max(raw.len().div_ceil(MOST));
        let mut curve = put_together(log, &raw, of_each);
        curve.spikes = spikes;
        curve.noise_n = noise_n;
        curve.count_n = count_n;
        curve.step_s = of_each as f64 / log.reading.rate_hz;
        curve.take_hum_off();
        curve.leave_small_spikes_out(of_each);
        let (sigma_n, _) = noise_of(&curve.force_n);
        curve.sigma_n = sigma_n
            .max(count_n / 12.0_f64.sqrt() / (of_each as f64).sqrt())
            .max(1e-9);
        curve.travel_sigma_m = noise_of(&curve.travel_m).0;
        curve.take_zero_off(&raw);
        curve
    }

    /// Leaves out what stood out of a hum by too little, and stands out without it.
    fn leave_small_spikes_out(&mut self, of_each: usize) {
        if self.hum.is_none() || of_each > 1 {
            return;
        }
        let mut force: Vec<f32> = self.force_n.iter().map(|force_n| *force_n as f32).collect();
        let before = force.clone();
        self.spikes += leave_spikes_out(&mut force, &self.after_gap);
        for (force_n, (was, is)) in self.force_n.iter_mut().zip(before.iter().zip(&force)) {
            if was != is {
                *force_n = f64::from(*is);
            }
        }
    }

    /// Gives the greatest force, roughly, and where.
    pub(crate) fn top(&self) -> (usize, f64) {
        let each = self.force_n.iter().copied().enumerate();
        each.fold(
            (0, f64::NEG_INFINITY),
            |top, next| if next.1 > top.1 { next } else { top },
        )
    }

    /// The first reading that is no earlier than a time.
    pub(crate) fn reading_at(&self, time_s: f64) -> usize {
        self.time_s.partition_point(|own_s| *own_s < time_s)
    }

    /// The first reading of the stretch that one is in.
    pub(crate) fn stretch_from(&self, at: usize) -> usize {
        let before = self.after_gap.partition_point(|gap| *gap <= at);
        before.checked_sub(1).map_or(0, |gap| self.after_gap[gap])
    }

    /// The end of the stretch that one is in.
    pub(crate) fn stretch_to(&self, at: usize) -> usize {
        let next = self.after_gap.partition_point(|gap| *gap <= at);
        self.after_gap.get(next).copied().unwrap_or(self.force_n.len())
    }

    /// Gives the line through the readings before one and with it, as many as lie on it; none through less than a few.
    pub(crate) fn trend(&self, begins: usize, last: usize) -> Option<Line> {
        let most = ((TREND_S / self.step_s).round() as usize).clamp(2 * LEAST_TREND, MOST_TREND);
        let from = |many: usize| (last + 1).saturating_sub(many).max(begins);
        let line = |many: usize| Line::fit((from(many)..=last).map(|i| (self.time_s[i], self.force_n[i])));
        let mut many = LEAST_TREND;
        let bends = |line: &Line| line.scatter > 2.5 * self.sigma_n.max(1e-5 * self.force_n[last].abs());
        let mut found = line(many).filter(|line| last + 1 - from(many) >= LEAST_TREND && !bends(line))?;
        while many < most && from(many) > begins {
            many = (many + many / 2).min(most);
            let Some(longer) = line(many) else { break };
            // Where it bends, what lies near counts.
            let usual_n = self.sigma_n.max(1e-5 * self.force_n[last].abs());
            let end_s = self.time_s[last];
            let leaves_n = (longer.at(end_s) - found.at(end_s)).abs();
            let is_bent = longer.scatter > 1.4 * usual_n.max(found.scatter.min(2.0 * usual_n));
            if is_bent || leaves_n > 1.7 * usual_n * found.error_at(end_s) {
                break;
            }
            found = longer;
        }
        let misses_n = (found.at(self.time_s[last]) - self.force_n[last]).abs();
        (misses_n < 3.5 * self.sigma_n.max(1e-4 * self.force_n[last].abs())).then_some(found)
    }

    /// Takes off what comes and goes evenly, if there is such.
    fn take_hum_off(&mut self) {
        // At rest it is purest; what shakes the machine is there under load alone.
        let (top, _) = self.top();
        let before_top = (top + 1).saturating_sub(MOST_HUM).max(self.stretch_from(top));
        let at_rest = self.stretch_from(self.force_n.len() / 2);
        let without = [at_rest, before_top]
            .into_iter()
            .find_map(|from| self.without_hum(self.hum_hz(from)?));
        if let Some((hum, force_n)) = without {
            self.hum = Some(hum);
            self.force_n = force_n;
        }
    }

    /// Gives the force without what comes and goes so often; none where that does not help.
    fn without_hum(&self, hz: f64) -> Option<(Hum, Vec<f64>)> {
        let half = ((0.25 / self.step_s) as usize)
            .max((3.0 / hz / self.step_s) as usize)
            .max(8);
        let (mut taken, mut sizes) = (self.force_n.clone(), Vec::new());
        let mut from = 0;
        while from < self.force_n.len() {
            let to = self.stretch_to(from).min(from + 2 * half);
            if to - from >= 8 {
                let [a, b] = self.wave(from, to, hz);
                let mut squares = 0.0;
                for (at, taken) in taken.iter_mut().enumerate().take(to).skip(from) {
                    let (sin, cos) = (TAU * hz * self.time_s[at]).sin_cos();
                    let wave = a * sin + b * cos;
                    *taken -= wave;
                    squares += wave * wave;
                }
                // By what is there of it: read twice in a round it shows in part.
                sizes.push((2.0 * squares / (to - from) as f64).sqrt());
            }
            from = to;
        }
        let before = noise_of(&self.force_n).0;
        let after = noise_of(&taken).0;
        // Only where that helps. Of a slow hum differences show little, though it is large.
        let size_n = median(&mut sizes);
        let helps = after < 0.7 * before || after < 0.97 * before && size_n > LARGE_HUM * after;
        helps.then_some((Hum { hz, size_n }, taken))
    }

    /// Lists steps from reading to reading about their middle. What is far out is an event or a break, and no hum: it counts as four times what
    /// is usual.
    fn usual_steps_n(&self, from: usize, to: usize) -> Vec<f64> {
        let steps = (from + 1..to).map(|at| self.force_n[at] - self.force_n[at - 1]);
        let mut steps: Vec<f64> = steps.collect();
        let middle = middle_of_quarters(&mut steps.clone());
        let mut off: Vec<f64> = steps.iter().map(|step| (step - middle).abs()).collect();
        let most = 4.0 * TO_SIGMA * median(&mut off);
        for step in &mut steps {
            *step = (*step - middle).clamp(-most, most);
        }
        steps
    }

    /// Fits a sinusoid, with a straight line under it, to differences, which a fall in between hardly moves.
    fn wave(&self, from: usize, to: usize, hz: f64) -> [f64; 2] {
        let steps = self.usual_steps_n(from, to);
        let (mut ss, mut sc, mut cc, mut sy, mut cy) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (step, at) in steps.iter().zip(from + 1..to) {
            let wave = |at: usize| (TAU * hz * self.time_s[at]).sin_cos();
            let ((s1, c1), (s0, c0)) = (wave(at), wave(at - 1));
            let (s, c) = (s1 - s0, c1 - c0);
            ss += s * s;
            sc += s * c;
            cc += c * c;
            sy += s * step;
            cy += c * step;
        }
        let det = ss * cc - sc * sc;
        // Read twice in a round, one of the two is nought at every reading.
        if det <= 1e-9 * ss.max(cc).powi(2) {
            return match (ss > 0.0 || cc > 0.0, ss > cc) {
                (true, true) => [sy / ss, 0.0],
                (true, false) => [0.0, cy / cc],
                (false, _) => [0.0, 0.0],
            };
        }
        [(sy * cc - cy * sc) / det, (cy * ss - sy * sc) / det]
    }

    /// Finds the frequency that stands out of all others, by the differences of some seconds from a reading on.
    fn hum_hz(&self, from: usize) -> Option<f64> {
        let count = self.force_n.len().min(MOST_HUM);
        if count < 64 {
            return None;
        }
        let from = from.min(self.force_n.len() - count);
        let to = self.stretch_to(from).min(from + count);
        if to - from < 64 {
            return None;
        }
        let steps = self.usual_steps_n(from, to);
        let bins = steps.len() / 2;
        // A window keeps what is strong from spreading over all.
        let windowed: Vec<f64> = steps
            .iter()
            .enumerate()
            .map(|(at, step)| step * (0.5 - 0.5 * (TAU * at as f64 / steps.len() as f64).cos()))
            .collect();
        let power = |bin: f64| {
            let (turn_sin, turn_cos) = (TAU * bin / steps.len() as f64).sin_cos();
            let (mut re, mut im, mut cos, mut sin) = (0.0, 0.0, 1.0, 0.0);
            for step in &windowed {
                re += step * cos;
                im += step * sin;
                (cos, sin) = (cos * turn_cos - sin * turn_sin, sin * turn_cos + cos * turn_sin);
            }
            // Differences make what is quick larger.
            let rise = 2.0 * (0.5 * TAU * bin / steps.len() as f64).sin();
            (re * re + im * im) / (rise * rise).max(1e-12)
        };
        let from_bin = (2.0 * self.step_s * steps.len() as f64).ceil().max(4.0) as usize;
        let powers: Vec<f64> = (from_bin..=bins).map(|bin| power(bin as f64)).collect();
        // What stands out of those beside it: strokes of a pump are large where they are slow.
        let usual = |at: usize| {
            let beside = at.saturating_sub(BESIDE)..(at + BESIDE + 1).min(powers.len());
            median(&mut powers[beside].to_vec())
        };
        let stands_out: Vec<f64> = (0..powers.len())
            .map(|at| powers[at] / usual(at).max(1e-300))
            .collect();
        let best = (0..powers.len()).max_by(|a, b| stands_out[*a].total_cmp(&stands_out[*b]))?;
        if stands_out[best] < 40.0 {
            return None;
        }
        // The top lies between two of them.
        let (mut low, mut high) = ((from_bin + best) as f64 - 1.0, (from_bin + best) as f64 + 1.0);
        for _ in 0..40 {
            let (a, b) = (low + 0.382 * (high - low), low + 0.618 * (high - low));
            if power(a) > power(b) { high = b } else { low = a }
        }
        let step_s = (self.time_s[to - 1] - self.time_s[from]) / (to - 1 - from) as f64;
        Some(0.5 * (low + high) / (steps.len() as f64 * step_s))
    }

    /// Goes back from where the force has surely left rest to where it begins to: a slow pull does so for long. What rises from the first
    /// reading on is no rest.
    fn rests_until(&self, begins_n: f64, most_n: f64, left: usize) -> usize {
        let near_n = 1.5 * self.sigma_n.max(0.5 * self.count_n).max(3e-4 * most_n);
        let is_near = |at: &usize| {
            let mut few = self.force_n[at.saturating_sub(4)..=*at].to_vec();
            (median(&mut few) - begins_n).abs() <= near_n
        };
        let last = (0..left).rev().find(is_near).unwrap_or(0);
        if last < 10 { last } else { last - last / 5 }
    }

    /// Gives the force at which the last readings are still.
    fn ends_n(&self, off_n: f64) -> Option<f64> {
        let from = self.force_n.len().saturating_sub(ENDS_NEED);
        let last = &self.force_n[from.max(self.stretch_from(self.force_n.len().saturating_sub(1)))..];
        let ends_n = median(&mut last.to_vec());
        let is_still =
            last.len() == ENDS_NEED && last.iter().all(|force_n| (force_n - ends_n).abs() <= off_n);
        is_still.then_some(ends_n)
    }

    /// Finds what the cell reads with nothing on it, and takes it off.
    fn take_zero_off(&mut self, raw: &[f32]) {
        let (_, top_n) = self.top();
        let first: Vec<f64> = self.force_n.iter().copied().take(9).collect();
        let begins_n = median(&mut first.clone());
        let most_n = top_n - begins_n;
        let off_n = (5.0 * self.sigma_n).max(0.003 * most_n);
        let leaves = self
            .force_n
            .windows(3)
            .position(|three| three.iter().all(|force_n| (force_n - begins_n).abs() > off_n));
        let quiet = self.rests_until(begins_n, most_n, leaves.unwrap_or(0));
        let readings = (quiet * self.of_each).min(raw.len());
        let rest = Line::fit(
            self.time_s[..quiet]
                .iter()
                .copied()
                .zip(self.force_n[..quiet].iter().copied()),
        );
        let rises_n = rest.map_or(0.0, |line| {
            line.slope * (self.time_s[quiet.saturating_sub(1)] - self.time_s[0])
        });
        let mut at_rest: Vec<f64> = self.force_n[..quiet].to_vec();
        let offset_n = if quiet > 0 { median(&mut at_rest) } else { begins_n };
        // The first readings of a slow rise stand within the threshold too.
        let is_flat =
            rises_n.abs() <= (3.0 * self.sigma_n / (quiet.max(1) as f64).sqrt()).max(0.0015 * most_n);
        let is_small = offset_n.abs() <= 0.05 * (top_n - offset_n).abs();
        let ends_n = self.ends_n(off_n);
        // A cell that was not set to nought reads as much again once nothing is on it.
        let is_back = ends_n.is_some_and(|ends_n| (ends_n - offset_n).abs() <= off_n);
        let is_known = readings >= ZERO_NEEDS && is_flat && (is_small || is_back);
        self.zero = Zero {
            offset_n,
            is_known,
            error_n: if is_known {
                (self.sigma_n * 1.25 / (quiet as f64).sqrt()).hypot(0.5 * rises_n)
            } else {
                0.0
            },
            drift_n: None,
            rests_n: None,
            readings,
            ends_n,
        };
        if is_known {
            for force_n in &mut self.force_n {
                *force_n -= offset_n;
            }
        }
    }
}

/// Puts so many readings together by their middle, none across a gap.
fn put_together(log: &Log, raw: &[f32], of_each: usize) -> Curve {
    let mut curve = Curve {
        time_s: Vec::new(),
        force_n: Vec::new(),
        travel_m: Vec::new(),
        after_gap: Vec::new(),
        step_s: 0.0,
        sigma_n: 0.0,
        travel_sigma_m: 0.0,
        noise_n: 0.0,
        count_n: 0.0,
        spikes: 0,
        hum: None,
        zero: Zero::default(),
        of_each,
    };
    let mut gaps = log.after_gap.iter().copied().peekable();
    let mut groups: Vec<std::ops::Range<usize>> = Vec::with_capacity(raw.len() / of_each + 1);
    let mut from = 0;
    while from < raw.len() {
        if gaps.next_if(|gap| *gap <= from).is_some() {
            curve.after_gap.push(groups.len());
        }
        let next_gap = gaps.peek().copied().unwrap_or(raw.len());
        let to = (from + of_each).min(next_gap).min(raw.len());
        groups.push(from..to);
        from = to;
    }
    let force_n = |group: &std::ops::Range<usize>| {
        median(
            &mut raw[group.clone()]
                .iter()
                .map(|f| f64::from(*f))
                .collect::<Vec<f64>>(),
        )
    };
    curve.force_n = groups.par_iter().map(force_n).collect();
    let time_s =
        |group: &std::ops::Range<usize>| 0.5 * (log.times.at(group.start) + log.times.at(group.end - 1));
    curve.time_s = groups.iter().map(time_s).collect();
    if !log.travel_m.is_empty() {
        let travel_m = |group: &std::ops::Range<usize>| {
            let middle = group.start + (group.len() - 1) / 2;
            let next = if group.len() % 2 == 1 { middle } else { middle + 1 };
            0.5 * (f64::from(log.travel_m[middle]) + f64::from(log.travel_m[next]))
        };
        curve.travel_m = groups.iter().map(travel_m).collect();
    }
    curve.after_gap.dedup();
    curve
}
