//! Readings that no force is: one or two that stand out, jumps up that fall at once, drop-outs, and bursts of noise.
//!
//! Conventions: N; places of readings in the log.
//! Assumes: what is far from both its neighbours, which agree, is a spike: a true break never comes back in one reading or two. A pull grows from one reading
//! to the next no more than some times as much as it ever did.
//! Valid for: any log. Where more than one reading in a hundred stands out nothing is left out.
//! Source: our judgement.
//! Checked by: tests/logs.rs, tests/logs/single.rs.

use crate::specimen::line::median;
use crate::specimen::scatter::noise;
use rayon::prelude::*;

/// No more than this, or one reading in so many, are spikes: what stands out more often is how the force goes.
const SPIKES: usize = 20;
const ONE_IN: usize = 100;
/// A force that is below nought by more than this share of the range is none.
const PUSHES: f64 = -0.1;
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
/// Readings that turn and jump up so many times, no further apart than so many readings, for so many at the most, are a burst of noise. What rings
/// turns less often.
const LEAST_TURNS: usize = 3;
const JUMPS_WITHIN: usize = 12;
const LONGEST_BURST: usize = 2000;
/// From this share of all on it is known how fast the force grows.
const HAS_GROWN: f64 = 0.15;
/// A reading at an end that is so many times further off than its neighbours are from one another is none.
const STEEP: f64 = 8.0;
/// Steps of less than this share of the least spike neither are one nor tell how fast the force grows.
const STEPS: f64 = 0.25;

/// Leaves out readings that no force is; tells how many such spikes and bursts there were.
pub(crate) fn leave_spikes_out(raw: &mut [f32], after_gap: &[usize]) -> usize {
    let (noise_n, count_n) = noise(raw);
    let (least, most) = raw
        .iter()
        .fold((f32::INFINITY, f32::NEG_INFINITY), |(least, most), f| {
            (least.min(*f), most.max(*f))
        });
    let range_n = f64::from(most - least);
    let mut spikes = Spikes {
        raw,
        after_gap,
        noise_n,
        range_n,
        least_n: (8.0 * noise_n).max(4.0 * count_n).max(0.002 * range_n.min(1e12)),
        left_out: Vec::new(),
    };
    let ways = [
        Spikes::leave_bursts_out,
        Spikes::leave_alone_out,
        Spikes::leave_excursions_out,
    ];
    let (mut found, mut steps) = (0, spikes.steps());
    for leave_out in ways {
        let now = leave_out(&mut spikes, &steps);
        found += now;
        if now > 0 {
            steps = spikes.steps();
        }
    }
    let wild = spikes.wild_ends();
    for at in &wild {
        let beside = spikes.raw[if *at == 0 { 1 } else { at - 1 }];
        spikes.replace(*at..at + 1, |_| beside);
    }
    found += wild.len();
    if found > SPIKES.max(spikes.raw.len() / ONE_IN) {
        spikes.put_back();
        return 0;
    }
    found
}

/// The readings, and what has been left out of them so far.
struct Spikes<'a> {
    raw: &'a mut [f32],
    after_gap: &'a [usize],
    noise_n: f64,
    /// From the least reading to the greatest.
    range_n: f64,
    /// What stands out by less is none.
    least_n: f64,
    /// Places and what stood there.
    left_out: Vec<(usize, f32)>,
}

impl Spikes<'_> {
    fn at_n(&self, at: usize) -> f64 {
        f64::from(self.raw[at])
    }

    fn step_n(&self, at: usize) -> f64 {
        self.at_n(at) - self.at_n(at - 1)
    }

    /// Lists the readings that are far from the one before them.
    fn steps(&self) -> Vec<usize> {
        let least = (STEPS * self.least_n) as f32;
        let raw = &*self.raw;
        raw.par_windows(2)
            .enumerate()
            .filter(|(_, pair)| (pair[1] - pair[0]).abs() > least)
            .map(|(before, _)| before + 1)
            .collect()
    }

    /// Whether a gap lies before one of some readings.
    fn meets_gap(&self, readings: std::ops::RangeInclusive<usize>) -> bool {
        let next = self.after_gap.partition_point(|gap| gap < readings.start());
        self.after_gap.get(next).is_some_and(|gap| gap <= readings.end())
    }

    fn replace(&mut self, readings: std::ops::Range<usize>, by: impl Fn(usize) -> f32) {
        for (k, at) in readings.enumerate() {
            self.left_out.push((at, self.raw[at]));
            self.raw[at] = by(k);
        }
    }

    /// Puts back what was left out, the last first.
    fn put_back(&mut self) {
        for (at, force_n) in self.left_out.drain(..).rev() {
            self.raw[at] = force_n;
        }
    }

    /// Leaves out bursts of noise, as when what breaks shakes the cell or its wires: from there on it is what it is after them.
    fn leave_bursts_out(&mut self, steps: &[usize]) -> usize {
        let (mut found, mut most_n, mut next) = (0, 0.0_f64, 0);
        for at in steps.iter().copied() {
            if at < next {
                continue;
            }
            let step_n = self.step_n(at);
            let jumps_n = self.least_n.max(JUMPS * most_n);
            let burst = (step_n.abs() > jumps_n)
                .then(|| self.burst(at, jumps_n))
                .flatten();
            if let Some((ends, after)) = burst.filter(|(ends, _)| !self.meets_gap(at..=*ends)) {
                self.replace(at..ends, |_| after);
                found += 1;
                next = ends + 1;
            } else {
                most_n = most_n.max(step_n);
            }
        }
        found
    }

    /// Finds a burst of noise that begins here: readings that jump up again and again by more than the force ever grew, past where it was or below
    /// nought. Gives where it ends, and the force there.
    fn burst(&self, at: usize, jumps_n: f64) -> Option<(usize, f32)> {
        let before_n = self.at_n(at - 1);
        // How fast it can grow is known once it has grown.
        if before_n - self.at_n(0) < HAS_GROWN * self.range_n {
            return None;
        }
        let (mut ends, mut jumps, mut turns) = (at + 1, 1, 0);
        let most = self.raw.len().min(at + LONGEST_BURST);
        let within = |ends: usize| ends..most.min(ends + JUMPS_WITHIN);
        while let Some(next) = within(ends).find(|next| self.step_n(*next).abs() > jumps_n) {
            jumps += 1;
            turns += usize::from(self.step_n(next) > 0.0 && self.step_n(next - 1) < 0.0);
            ends = next + 1;
        }
        let burst = self.raw[at..ends].iter().copied().map(f64::from);
        let greatest_n = burst.clone().fold(f64::NEG_INFINITY, f64::max);
        let least_n = burst.fold(f64::INFINITY, f64::min);
        let near_n = IS_BACK * self.range_n;
        let is_no_force = greatest_n > before_n + near_n || least_n < PUSHES * self.range_n;
        let is_dense = 2 * jumps >= ends - at && 6 * turns >= ends - at;
        if turns < LEAST_TURNS || !is_dense || !is_no_force || ends == self.raw.len() {
            return None;
        }
        let rest = self.raw[ends..].iter().take(5).copied().map(f64::from);
        let after_n = median(&mut rest.collect::<Vec<f64>>());
        (after_n < before_n + near_n).then_some((ends, after_n as f32))
    }

    /// Leaves out one reading or two, or up to four below nought, that stand alone: what lies between those beside them stands for them.
    fn leave_alone_out(&mut self, steps: &[usize]) -> usize {
        let (mut found, mut next) = (0, 0);
        for at in steps.iter().copied() {
            let before_n = self.at_n(at - 1);
            if at < next || (self.at_n(at) - before_n).abs() <= 0.5 * self.least_n {
                continue;
            }
            // A rope does not push, and does not pull more for a moment.
            let pushes = self.at_n(at) < PUSHES * self.range_n;
            let is_odd = pushes || self.at_n(at) > before_n;
            let touches_gap = self.meets_gap(at..=at + 2);
            let wide = (1..=if pushes { 4 } else { 2 }).find(|wide| {
                let after_n = self.raw.get(at + wide).copied().map_or(before_n, f64::from);
                // What is on either side of a gap may be all the same.
                (!touches_gap || (after_n - before_n).abs() < self.least_n)
                    && self.is_spike(at, *wide, is_odd)
            });
            if let Some(wide) = wide {
                let after_n = self.at_n(at + wide);
                let between = |k: usize| before_n + (after_n - before_n) * (k + 1) as f64 / (wide + 1) as f64;
                self.replace(at..at + wide, |k| between(k) as f32);
                found += 1;
                next = at + wide + 1;
            }
        }
        found
    }

    /// Tells whether one reading or two from here are far off the line between those beside them, while the force after them is what it would have
    /// been without. A top that is sharp is none: what lies beside it is as steep; nor is a slip, after which the force goes on from further down.
    fn is_spike(&self, at: usize, wide: usize, is_odd: bool) -> bool {
        let raw = &*self.raw;
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
        let off = |k: usize| {
            f64::from(raw[at + k]) - before - (after - before) * (k + 1) as f64 / (wide + 1) as f64
        };
        let offs: Vec<f64> = (0..wide).map(off).collect();
        let most_n = offs.iter().map(|off| off.abs()).fold(0.0, f64::max);
        let meanwhile = (wide + 1) as f64;
        let room_n = 0.25 * most_n + 3.0 * self.noise_n;
        let mean = 0.5 * (steps[0] + steps[1]);
        // What no specimen does may be several spikes side by side.
        let alike = if is_odd { 0.1 } else { 0.5 };
        let turns_n = (steps[0] - steps[1]).abs() * meanwhile;
        most_n > self.least_n.max(4.0 * steep_n)
            && offs.iter().all(|off| off * offs[0].signum() > alike * most_n)
            && (after - before - mean * meanwhile).abs() < room_n
            && turns_n < 2.0 * room_n
    }

    /// Leaves out what jumps up and falls at once, also below where it was, as at a break; and what drops out and jumps back.
    fn leave_excursions_out(&mut self, steps: &[usize]) -> usize {
        let (mut found, mut most_n, mut next) = (0, 0.0_f64, 0);
        for at in steps.iter().copied() {
            if at < next {
                continue;
            }
            if let Some(wide) = self.excursion(at, most_n) {
                let before = self.raw[at - 1];
                self.replace(at..at + wide, |_| before);
                found += 1;
                // What comes next may go the other way at once.
                next = at + wide;
            } else {
                most_n = most_n.max(self.step_n(at));
            }
        }
        found
    }

    /// Gives how many readings long an excursion is that begins here.
    fn excursion(&self, at: usize, most_n: f64) -> Option<usize> {
        let (before_n, step_n) = (self.at_n(at - 1), self.step_n(at));
        let jumps_n = self.least_n.max(JUMPS * most_n);
        let jumps_of_one_n = self.least_n.max(JUMPS_OF_ONE * most_n);
        let is_up = step_n > 0.0;
        let is_jump = if is_up {
            step_n > jumps_n
        } else {
            -step_n > jumps_of_one_n.max(DROPS_OUT * self.range_n)
        };
        let long = EXCURSIONS[usize::from(!is_up)];
        if !is_jump || self.meets_gap(at..=at + long) {
            return None;
        }
        (1..=long).find(|wide| {
            let end = at + wide;
            if end >= self.raw.len() {
                return false;
            }
            let after_n = self.at_n(end);
            let least_back_n = if *wide == 1 { jumps_of_one_n } else { jumps_n };
            if is_up {
                after_n < before_n + 0.3 * step_n
            } else {
                // On its way back it may stand out the other way.
                let jumps_back = (at + 1..=end).any(|at| self.step_n(at) > least_back_n);
                (after_n - before_n).abs() < IS_BACK * self.range_n && jumps_back
            }
        })
    }

    /// Lists the first reading, and the last, where they stand far off what is steady beside them; the last one only where it is higher, since a
    /// log may end with a break.
    fn wild_ends(&self) -> Vec<usize> {
        let raw = &*self.raw;
        let count = raw.len();
        if count < 8 {
            return Vec::new();
        }
        let off_n = |end: usize, beside: [usize; 3]| {
            let [a, b, c] = beside.map(|at| f64::from(raw[at]));
            let steep_n = (a - b).abs().max((b - c).abs());
            let off_n = f64::from(raw[end]) - a;
            (off_n.abs() > self.least_n.max(STEEP * steep_n)).then_some(off_n)
        };
        let first = off_n(0, [1, 2, 3]).map(|_| 0);
        let last = off_n(count - 1, [count - 2, count - 3, count - 4]).filter(|off_n| *off_n > 0.0);
        first.into_iter().chain(last.map(|_| count - 1)).collect()
    }
}
