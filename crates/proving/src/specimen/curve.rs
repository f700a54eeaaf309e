//! A log made fit to look for what happened in it: spikes out, noise and hum known, zero found, and no more readings than that needs.
//!
//! Conventions: SI; a stretch lies between two gaps.
//! Assumes: what is far from both its neighbours, which agree, is a spike: a true break never comes back in one reading or two.
//! Valid for: eight readings or more.
//! Source: 1.4826 times the median of second differences from their median, over the root of six (the middle deviation of a normal scatter);
//! sinusoids by least squares; the rest is our judgement.
//! Checked by: the tests below; tests/logs.rs.

use crate::log::Log;
use crate::specimen::line::{Line, median};
use std::f64::consts::TAU;

/// Readings a second that are looked at; more are put together, by their middle.
const LOOKED_AT_HZ: f64 = 200.0;
/// No more readings than this are looked at.
const MOST: usize = 500_000;
/// So many differences tell the noise.
const DIFFERENCES: usize = 100_000;
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
/// From a median of differences to a standard deviation of what was taken from one another.
const TO_SIGMA: f64 = 1.4826;

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
                self.sigma_n * 1.25 / (quiet as f64).sqrt()
            } else {
                0.0
            },
            drift_n: None,
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

/// No more than this, or one reading in so many, are spikes: what stands out more often is how the force goes.
const SPIKES: usize = 20;
const ONE_IN: usize = 100;
/// A force that is below nought by more than this share of the range is none.
const PUSHES: f64 = -0.1;

/// Leaves out one reading or two that are far from both neighbours, which agree; tells how many such spikes there were.
fn leave_spikes_out(raw: &mut [f32], after_gap: &[usize]) -> usize {
    let (noise_n, count_n) = noise(raw);
    let most = raw
        .iter()
        .fold((f32::INFINITY, f32::NEG_INFINITY), |(least, most), f| {
            (least.min(*f), most.max(*f))
        });
    let range_n = f64::from(most.1 - most.0);
    let least_n = (8.0 * noise_n).max(4.0 * count_n).max(0.002 * range_n.min(1e12));
    let mut left_out = Vec::new();
    let mut spikes = leave_bursts_out(raw, after_gap, (least_n, range_n), &mut left_out);
    let mut gaps = after_gap.iter().copied().peekable();
    let mut at = 1;
    while at + 1 < raw.len() {
        while gaps.peek().is_some_and(|gap| *gap + 1 < at) {
            gaps.next();
        }
        let touches_gap = gaps.peek().is_some_and(|gap| *gap >= at && *gap <= at + 2);
        let before = f64::from(raw[at - 1]);
        if (f64::from(raw[at]) - before).abs() > 0.5 * least_n {
            // A rope does not push, and does not pull more for a moment.
            let pushes = f64::from(raw[at]) < PUSHES * range_n;
            let is_odd = pushes || f64::from(raw[at]) > before;
            let wide = (1..=if pushes { 4 } else { 2 }).find(|wide| {
                let after = raw.get(at + wide).copied().map_or(before, f64::from);
                // What is on either side of a gap may be all the same.
                (!touches_gap || (after - before).abs() < least_n)
                    && is_spike(raw, at, *wide, (least_n, noise_n, is_odd))
            });
            if let Some(wide) = wide {
                let after = f64::from(raw[at + wide]);
                for (k, f) in raw[at..at + wide].iter_mut().enumerate() {
                    left_out.push((at + k, *f));
                    *f = (before + (after - before) * (k + 1) as f64 / (wide + 1) as f64) as f32;
                }
                spikes += 1;
                at += wide;
            }
        }
        at += 1;
    }
    spikes += leave_excursions_out(raw, after_gap, (least_n, range_n), &mut left_out);
    for wild in wild_ends(raw, least_n) {
        left_out.push((wild, raw[wild]));
        raw[wild] = if wild == 0 { raw[1] } else { raw[wild - 1] };
        spikes += 1;
    }
    if spikes > SPIKES.max(raw.len() / ONE_IN) {
        for (at, force_n) in left_out {
            raw[at] = force_n;
        }
        return 0;
    }
    spikes
}

/// What jumps so many times further than the force ever grew before, from one reading to the next, was no pull.
const JUMPS: f64 = 4.0;
/// So many times for one reading that drops out and is back at the next: few pulls are so uneven.
const JUMPS_OF_ONE: f64 = 2.0;
/// So many readings long such an excursion may be, upward and downward.
const EXCURSIONS: [usize; 2] = [4, 12];
/// Downward by less than this share of all it may be a slip.
const DROPS_OUT: f64 = 0.1;
/// It is back where it comes so near, as a share of all.
const IS_BACK: f64 = 0.02;

/// Leaves out what jumps up and falls at once, also below where it was, as at a break; and what drops out and jumps back. Gives how many there were.
fn leave_excursions_out(
    raw: &mut [f32],
    after_gap: &[usize],
    (least_n, range_n): (f64, f64),
    left_out: &mut Vec<(usize, f32)>,
) -> usize {
    let at_n = |raw: &[f32], at: usize| f64::from(raw[at]);
    let (mut found, mut most_n, mut at) = (0, 0.0_f64, 1);
    let mut gaps = after_gap.iter().copied().peekable();
    while at < raw.len() {
        while gaps.next_if(|gap| *gap < at).is_some() {}
        let step_n = at_n(raw, at) - at_n(raw, at - 1);
        let jumps_n = least_n.max(JUMPS * most_n);
        let is_up = step_n > 0.0;
        let is_jump = if is_up {
            step_n > jumps_n
        } else {
            -step_n > least_n.max(JUMPS_OF_ONE * most_n).max(DROPS_OUT * range_n)
        };
        let long = EXCURSIONS[usize::from(!is_up)];
        let wide = is_jump.then(|| {
            let before_n = at_n(raw, at - 1);
            let meets_gap = gaps.peek().is_some_and(|gap| *gap <= at + long);
            (1..=long).find(|wide| {
                let Some(after_n) = raw.get(at + wide).map(|force_n| f64::from(*force_n)) else {
                    return false;
                };
                let is_near = (after_n - before_n).abs() < IS_BACK * range_n;
                let back_n = after_n - at_n(raw, at + wide - 1);
                let jumps_back = back_n
                    > if *wide == 1 {
                        least_n.max(JUMPS_OF_ONE * most_n)
                    } else {
                        jumps_n
                    };
                !meets_gap
                    && if is_up {
                        after_n < before_n + 0.3 * step_n
                    } else {
                        is_near && jumps_back
                    }
            })
        });
        match wide.flatten() {
            Some(wide) => {
                let before = raw[at - 1];
                for (k, force_n) in raw[at..at + wide].iter_mut().enumerate() {
                    left_out.push((at + k, *force_n));
                    *force_n = before;
                }
                found += 1;
                // What comes next may go the other way at once.
                at += wide - 1;
            }
            None => most_n = most_n.max(step_n),
        }
        at += 1;
    }
    found
}

/// Readings that turn and jump up so many times, no further apart than so many readings, for so many at the most, are a burst of noise. What rings
/// turns less often.
const LEAST_TURNS: usize = 3;
const JUMPS_WITHIN: usize = 12;
const LONGEST_BURST: usize = 2000;
/// From this share of all on it is known how fast the force grows.
const HAS_GROWN: f64 = 0.15;

/// Leaves out bursts of noise, as when what breaks shakes the cell or its wires: from there on it is what it is after them. Gives how many there were.
fn leave_bursts_out(
    raw: &mut [f32],
    after_gap: &[usize],
    (least_n, range_n): (f64, f64),
    left_out: &mut Vec<(usize, f32)>,
) -> usize {
    let (mut found, mut most_n, mut at) = (0, 0.0_f64, 1);
    while at < raw.len() {
        let step_n = f64::from(raw[at] - raw[at - 1]);
        let jumps_n = least_n.max(JUMPS * most_n);
        let burst = (step_n.abs() > jumps_n)
            .then(|| burst(raw, at, (jumps_n, range_n)))
            .flatten()
            .filter(|(ends, _)| !after_gap.iter().any(|gap| (at..=*ends).contains(gap)));
        if let Some((ends, after)) = burst {
            left_out.extend((at..ends).map(|at| (at, raw[at])));
            raw[at..ends].fill(after);
            found += 1;
            at = ends;
        } else {
            most_n = most_n.max(step_n);
        }
        at += 1;
    }
    found
}

/// Finds a burst of noise that begins here: readings that jump up again and again by more than the force ever grew, past where it was. Gives
/// where it ends, and the force there.
fn burst(raw: &[f32], at: usize, (jumps_n, range_n): (f64, f64)) -> Option<(usize, f32)> {
    let before = f64::from(raw[at - 1]);
    // How fast it can grow is known once it has grown.
    if before - f64::from(raw[0]) < HAS_GROWN * range_n {
        return None;
    }
    let (mut ends, mut jumps, mut turns) = (at + 1, 1, 0);
    let most = raw.len().min(at + LONGEST_BURST);
    while let Some(next) = (ends..most.min(ends + JUMPS_WITHIN))
        .find(|next| f64::from(raw[*next] - raw[next - 1]).abs() > jumps_n)
    {
        jumps += 1;
        turns += usize::from(raw[next] > raw[next - 1] && raw[next - 1] < raw[next - 2]);
        ends = next + 1;
    }
    let (least, greatest) = raw[at..ends]
        .iter()
        .fold((f32::INFINITY, f32::NEG_INFINITY), |(least, most), f| {
            (least.min(*f), most.max(*f))
        });
    let near_n = IS_BACK * range_n;
    let is_no_force = f64::from(greatest) > before + near_n || f64::from(least) < PUSHES * range_n;
    let is_dense = 2 * jumps >= ends - at && 6 * turns >= ends - at;
    if turns < LEAST_TURNS || !is_dense || !is_no_force || ends == raw.len() {
        return None;
    }
    let after = median(
        &mut raw[ends..]
            .iter()
            .take(5)
            .map(|force_n| f64::from(*force_n))
            .collect::<Vec<f64>>(),
    );
    (after < before + near_n).then_some((ends, after as f32))
}

/// Lists the first reading, and the last, where they stand far off what is steady beside them; the last one only where it is higher, since a
/// log may end with a break.
fn wild_ends(raw: &[f32], least_n: f64) -> Vec<usize> {
    let count = raw.len();
    if count < 8 {
        return Vec::new();
    }
    let off_n = |end: usize, beside: [usize; 3]| {
        let [a, b, c] = beside.map(|at| f64::from(raw[at]));
        let steep_n = (a - b).abs().max((b - c).abs());
        let off_n = f64::from(raw[end]) - a;
        (off_n.abs() > least_n.max(STEEP * steep_n)).then_some(off_n)
    };
    let first = off_n(0, [1, 2, 3]).map(|_| 0);
    let last = off_n(count - 1, [count - 2, count - 3, count - 4]).filter(|off_n| *off_n > 0.0);
    first.into_iter().chain(last.map(|_| count - 1)).collect()
}

/// A reading at an end that is so many times further off than its neighbours are from one another is none.
const STEEP: f64 = 8.0;

/// Tells whether one reading or two from here are far off the line between those beside them, while the force after them is what it would have
/// been without. A top that is sharp is none: what lies beside it is as steep; nor is a slip, after which the force goes on from further down.
fn is_spike(raw: &[f32], at: usize, wide: usize, (least_n, noise_n, is_odd): (f64, f64, bool)) -> bool {
    let Some(after) = raw.get(at + wide) else {
        return false;
    };
    let (before, after) = (f64::from(raw[at - 1]), f64::from(*after));
    let step = |from: usize, to: usize| {
        raw.get(from)
            .zip(raw.get(to))
            .map_or(0.0, |(a, b)| f64::from(b - a))
    };
    // Of one step and of half of two the smaller: there may be another spike beside.
    let smaller = |a: f64, b: f64| if a.abs() < b.abs() { a } else { b };
    let end = at + wide;
    let steps = [
        smaller(
            step(at.saturating_sub(2), at - 1),
            0.5 * step(at.saturating_sub(3), at - 1),
        ),
        smaller(step(end, end + 1), 0.5 * step(end, end + 2)),
    ];
    let steep_n = steps[0].abs().min(steps[1].abs());
    let off =
        |k: usize| f64::from(raw[at + k]) - before - (after - before) * (k + 1) as f64 / (wide + 1) as f64;
    let offs: Vec<f64> = (0..wide).map(off).collect();
    let most_n = offs.iter().map(|off| off.abs()).fold(0.0, f64::max);
    let meanwhile = (wide + 1) as f64;
    let room_n = 0.25 * most_n + 3.0 * noise_n;
    let mean = 0.5 * (steps[0] + steps[1]);
    // What no specimen does may be several spikes side by side.
    let alike = if is_odd { 0.1 } else { 0.5 };
    let turns_n = (steps[0] - steps[1]).abs() * meanwhile;
    most_n > least_n.max(4.0 * steep_n)
        && offs.iter().all(|off| off * offs[0].signum() > alike * most_n)
        && (after - before - mean * meanwhile).abs() < room_n
        && turns_n < 2.0 * room_n
}

/// Gives the scatter of one reading, and the least step between readings.
fn noise(raw: &[f32]) -> (f64, f64) {
    of_bends(raw.len(), |at| f64::from(raw[at]))
}

fn noise_of(force_n: &[f64]) -> (f64, f64) {
    of_bends(force_n.len(), |at| force_n[at])
}

/// Gives the middle between the value that a quarter of all pass and the one that three quarters do: of values that go to and fro evenly their median
/// would be one end.
fn middle_of_quarters(values: &mut [f64]) -> f64 {
    let Some(last) = values.len().checked_sub(1) else {
        return 0.0;
    };
    let [low, high] =
        [last / 4, last - last / 4].map(|at| *values.select_nth_unstable_by(at, f64::total_cmp).1);
    0.5 * (low + high)
}

/// Tells scatter by how far readings lie off the middle of their neighbours: a steady rise, however steep, is none.
fn of_bends(count: usize, at: impl Fn(usize) -> f64) -> (f64, f64) {
    let stride = (count / DIFFERENCES).max(1);
    let places = || (1..count.saturating_sub(1)).step_by(stride);
    let greatest = places().map(|i| (at(i) - at(i - 1)).abs()).fold(0.0, f64::max);
    let steps = places().map(|i| (at(i) - at(i - 1)).abs());
    let least = steps
        .filter(|step| *step > 1e-7 * greatest)
        .fold(f64::INFINITY, f64::min);
    let mut bends: Vec<f64> = places().map(|i| at(i - 1) - 2.0 * at(i) + at(i + 1)).collect();
    let middle = middle_of_quarters(&mut bends);
    for bend in &mut bends {
        *bend = (*bend - middle).abs();
    }
    let sigma = TO_SIGMA * median(&mut bends) / 6.0_f64.sqrt();
    (sigma, if least.is_finite() { least } else { 0.0 })
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
    let mut from = 0;
    let mut some = Vec::with_capacity(of_each);
    while from < raw.len() {
        if gaps.next_if(|gap| *gap <= from).is_some() {
            curve.after_gap.push(curve.force_n.len());
        }
        let next_gap = gaps.peek().copied().unwrap_or(raw.len());
        let to = (from + of_each).min(next_gap).min(raw.len());
        some.clear();
        some.extend(raw[from..to].iter().map(|f| f64::from(*f)));
        curve.force_n.push(median(&mut some));
        let middle = from + (to - from - 1) / 2;
        let times = [log.times.at(from), log.times.at(to - 1)];
        curve.time_s.push(0.5 * (times[0] + times[1]));
        if !log.travel_m.is_empty() {
            let odd = (to - from) % 2 == 1;
            let (a, b) = (
                f64::from(log.travel_m[middle]),
                f64::from(log.travel_m[(middle + 1).min(to - 1)]),
            );
            curve.travel_m.push(if odd { a } else { 0.5 * (a + b) });
        }
        from = to;
    }
    curve.after_gap.dedup();
    curve
}
