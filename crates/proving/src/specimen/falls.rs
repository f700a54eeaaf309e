//! Sudden falls of the force.
//!
//! Conventions: SI; places in a curve.
//! Assumes: a slip or a break is over within two readings or 40 ms, whichever is longer, or within 0.3 s where nothing is left of the force. What
//! falls on at the same rate is let down.
//! Valid for: any curve; with fewer than three readings on a side the nearest reading stands for it.
//! Source: a step between the lines before and after, where they are nearest to one another, that is more than six times as large as it is unsure
//! (our judgement). Where the force only turns, these lines meet.
//! Checked by: tests/published.rs (C27), tests/logs.rs.

use crate::specimen::curve::Curve;
use crate::specimen::hidden::{self, hidden_falls};
use crate::specimen::line::{Line, median};

/// A sudden fall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fall {
    /// The last reading before it, and the first after it.
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) before_n: f64,
    pub(crate) after_n: f64,
    /// By how much the pull made up for it between these readings.
    pub(crate) meanwhile_n: f64,
}

impl Fall {
    /// By how much it fell from the one reading to the other.
    pub(crate) fn seen_n(&self) -> f64 {
        self.before_n - self.after_n
    }

    /// By how much it would have fallen had the machine stood still.
    pub(crate) fn drop_n(&self) -> f64 {
        self.seen_n() + self.meanwhile_n
    }
}

/// Tells whether a fall lies within some readings, or ends at the first of them.
pub(crate) fn has_fall(falls: &[Fall], from: usize, to: usize) -> bool {
    falls.iter().any(|fall| fall.from < to && fall.to > from)
}

/// A fall less than this share of the greatest force is none.
const LEAST: f64 = 0.0075;
/// A fall of this share of it is one whatever hums.
const MOST_LEAST: f64 = 0.0098;
/// So many times as large as a hum a fall is none of it.
const HUM_LEAVES: f64 = 1.6;
/// A fall from less than this share of the greatest force is none.
const LOWEST: f64 = 0.05;
/// Less than this share of the greatest force is nothing.
const NOTHING: f64 = 0.15;
const TREND_S: f64 = 0.25;
const QUICK_S: f64 = 0.04;
/// What breaks at the end is gone within this.
const COLLAPSE_S: f64 = 0.3;
/// Readings so near to a fall show it by themselves.
const NEAR_S: f64 = 0.03;
const RINGS_S: f64 = 0.15;
/// What falls as much so many times more is let down.
const STEPS_ON: usize = 3;
/// A turn is known to so many readings.
const TURNS: f64 = 3.0;
/// How many times as large as what is unsure.
const SURE: f64 = 6.0;
/// The same of two readings, where they are slow.
const SURE_OF_READINGS: f64 = 4.5;

/// A fall so many times as large as the scatter of what is looked at is found nineteen times in twenty: of quick readings, and of those a tenth of a
/// second apart or more (by made-up logs, tests/logs.rs).
const SHOWS: [f64; 2] = [8.0, 12.0];
/// The share of the greatest force from which a fall is surely one.
const SHOWS_FROM: f64 = 0.01;

/// Gives the least fall that a log surely shows, N: noise, coarse steps and slow readings hide what is less.
pub(crate) fn least_fall_n(curve: &Curve) -> f64 {
    let (_, top_n) = curve.top();
    let is_slow = curve.step_s >= 0.999 * hidden::SLOW_S;
    let uneven_n = if is_slow { uneven_n(curve, top_n) } else { 0.0 };
    (SHOWS_FROM * top_n)
        .max(SHOWS[usize::from(is_slow)] * curve.sigma_n)
        .max(uneven_n)
}

/// Gives how unevenly the force grows from reading to reading, N, as of a hand pump: eight steps of ten lie within that, and a fall of less is lost
/// among them.
fn uneven_n(curve: &Curve, top_n: f64) -> f64 {
    let (top, _) = curve.top();
    let mut steps_n: Vec<f64> = curve.force_n[..=top]
        .windows(2)
        .filter(|pair| pair[0] > 2.0 * LOWEST * top_n)
        .map(|pair| pair[1] - pair[0])
        .collect();
    steps_n.sort_by(f64::total_cmp);
    let at = |share: f64| steps_n.get((share * steps_n.len() as f64) as usize).copied();
    at(0.9).zip(at(0.1)).map_or(0.0, |(high, low)| high - low)
}

/// Finds all sudden falls, in order.
pub(crate) fn falls(curve: &Curve) -> Vec<Fall> {
    let (_, top_n) = curve.top();
    let finder = Finder {
        curve,
        top_n,
        trend: ((TREND_S / curve.step_s).round() as usize).clamp(4, 60),
        quick: ((QUICK_S / curve.step_s).ceil() as usize).max(2),
    };
    let mut found: Vec<Fall> = Vec::new();
    let mut at = 1;
    while at < curve.force_n.len() {
        match finder.fall_at(at, found.last()) {
            Some(fall) => {
                at = fall.to + 1;
                found.push(fall);
            }
            None => at += 1,
        }
    }
    let slow = slow_falls(curve, top_n, &found);
    found.extend(slow);
    let hidden = hidden_falls(curve, &found);
    found.extend(hidden);
    found.sort_by_key(|fall| fall.from);
    leave_out_after_end(top_n, &mut found);
    found
}

/// What falls from less than this share of the greatest force is no end of it.
const END_FROM: f64 = 0.3;

/// Leaves out what seems to fall once nothing is left of the force, and none comes back: it is noise.
fn leave_out_after_end(top_n: f64, found: &mut Vec<Fall>) {
    let is_end = |fall: &Fall| fall.after_n < LOWEST * top_n && fall.before_n > END_FROM * top_n;
    if let Some(end) = found.iter().rposition(is_end) {
        found.truncate(end + 1);
    }
}

/// A slow fall is one by this share of the greatest force at the least.
const LEAST_SLOW: f64 = 0.03;
/// It is over within this, seconds.
const SLOW_S: f64 = 5.0;

/// Finds falls that take long, as of a fitting that creeps or of a display that is slow to follow: the force falls while the machine goes on, and
/// grows past what it was afterwards. Only travel tells them from a machine that goes back, or stands.
fn slow_falls(curve: &Curve, top_n: f64, quick: &[Fall]) -> Vec<Fall> {
    let mut found: Vec<Fall> = Vec::new();
    if curve.travel_m.is_empty() {
        return found;
    }
    let least_n = (LEAST_SLOW * top_n).max(12.0 * curve.sigma_n);
    let (force_n, travel_m) = (&curve.force_n, &curve.travel_m);
    let (mut from, mut to) = (0, 0);
    for at in 1..force_n.len() {
        if force_n[at] > force_n[from] {
            let fall = Fall {
                from,
                to,
                before_n: force_n[from],
                after_n: force_n[to],
                meanwhile_n: 0.0,
            };
            if to > from && fall.seen_n() > least_n && goes_on(curve, from, to) {
                let touches = |other: &Fall| other.from <= to + 2 && other.to + 2 >= from;
                if !quick.iter().any(touches) {
                    found.push(fall);
                }
            }
            (from, to) = (at, at);
        } else if force_n[at] < force_n[to] && travel_m[at] >= travel_m[to] {
            to = at;
        }
    }
    found
}

/// Tells whether the machine goes on in every part of a stretch, as fast as it did before, and no gap is in it.
fn goes_on(curve: &Curve, from: usize, to: usize) -> bool {
    const PARTS: usize = 4;
    let seconds = curve.time_s[to] - curve.time_s[from];
    let before = from.saturating_sub(to - from);
    if to - from < PARTS || seconds > SLOW_S || before == from || curve.stretch_from(to) > before {
        return false;
    }
    let speed = |a: usize, b: usize| {
        (curve.travel_m[b] - curve.travel_m[a]) / (curve.time_s[b] - curve.time_s[a]).max(1e-9)
    };
    let usual = speed(before, from);
    usual > 0.0
        && (0..PARTS).all(|part| {
            let [a, b] = [part, part + 1].map(|part| from + (to - from) * part / PARTS);
            speed(a, b) > 0.5 * usual
        })
}

struct Finder<'a> {
    curve: &'a Curve,
    top_n: f64,
    /// Readings of a trend.
    trend: usize,
    /// Readings within which a fall is over.
    quick: usize,
}

/// The force on one side of a fall.
struct Side {
    line: Option<Line>,
    /// What stands for it where there is no line.
    near_n: f64,
    readings: usize,
}

impl Side {
    fn at(&self, time_s: f64) -> f64 {
        self.line.map_or(self.near_n, |line| line.at(time_s))
    }

    /// How fast the force grows, N/s; 0 where that is not known.
    fn slope(&self) -> f64 {
        self.line.map_or(0.0, |line| line.slope)
    }

    /// How sure it is at a time, over the scatter of one reading.
    fn error_at(&self, time_s: f64) -> f64 {
        let few = 1.0 / (self.readings.max(1) as f64).sqrt();
        self.line.map_or(few, |line| line.error_at(time_s))
    }
}

impl Finder<'_> {
    /// Finds a fall of which this is the first reading.
    fn fall_at(&self, at: usize, last: Option<&Fall>) -> Option<Fall> {
        let (force_n, time_s) = (&self.curve.force_n, &self.curve.time_s);
        let begins = self.curve.stretch_from(at).max(last.map_or(0, |last| last.to));
        if at <= begins {
            return None;
        }
        // What is left after the end, and dies out, is no fall of its own.
        let is_over = |fall: &Fall| {
            let since_n = force_n[fall.to..at]
                .iter()
                .copied()
                .fold(f64::NEG_INFINITY, f64::max);
            fall.after_n < NOTHING * self.top_n && since_n < NOTHING * self.top_n
        };
        // Quick to say no, nearly always.
        // What is left of a hum once it is taken off may look like a fall.
        let hum_n = self.curve.hum.map_or(0.0, |hum| HUM_LEAVES * hum.size_n);
        let least_n = (LEAST * self.top_n)
            .max(3.0 * self.curve.sigma_n)
            .max(hum_n.min(MOST_LEAST * self.top_n));
        if force_n[at - 1] - force_n[at] < 0.25 * least_n || force_n[at - 1] < LOWEST * self.top_n {
            return None;
        }
        if last.is_some_and(is_over) {
            return None;
        }
        let ends = self.curve.stretch_to(at);
        let to = self.bottom(at, ends);
        let (before, after) = (self.before(begins, at), self.after(to, ends, least_n));
        let (from_s, to_s) = (time_s[at - 1], time_s[to]);
        let step_n = (before.at(from_s) - after.at(from_s)).min(before.at(to_s) - after.at(to_s));
        let unsure_n = SURE * self.curve.sigma_n * before.error_at(from_s).hypot(after.error_at(to_s));
        let fell_n = force_n[at - 1] - force_n[to];
        let nothing_n = NOTHING * self.top_n;
        let is_gone = after.at(to_s) < nothing_n && before.at(from_s) > 2.0 * nothing_n;
        // Where the force turns it is not known between which readings.
        let turns_n = if is_gone {
            0.0
        } else {
            TURNS * (after.slope() - before.slope()).abs() * self.curve.step_s
        };
        let is_step = step_n >= least_n.max(unsure_n).max(turns_n)
            && self.is_done_here(at, (to, ends), step_n, [&before, &after]);
        let goes_on = self.falls_on(at, to, fell_n, ends)
            || !is_gone && -after.slope() * (to_s - from_s) > 0.4 * fell_n;
        if !is_step || goes_on && !self.is_at_once(at, to, fell_n) {
            return None;
        }
        let before_n = before.at(from_s);
        // What it grew by meanwhile is no part of the fall.
        let meanwhile_n = if is_gone {
            0.0
        } else {
            let slope = 0.5 * (before.slope().max(0.0) + after.slope().max(0.0));
            self.grows_n(begins, at, to).unwrap_or(slope * (to_s - from_s))
        };
        let is_noise = self.curve.step_s >= QUICK_S
            && (fell_n < SURE_OF_READINGS * self.curve.sigma_n || fell_n + meanwhile_n < least_n);
        if is_noise {
            return None;
        }
        let after_n = after.at(to_s);
        if self.is_unloaded(at, to, before_n - after_n, begins) || self.rings(at, after_n, last) {
            return None;
        }
        Some(Fall {
            from: at - 1,
            to,
            before_n,
            after_n,
            meanwhile_n,
        })
    }

    /// Whether most of a step is between the readings next to it: else two lines that fit badly make it up.
    fn is_done_here(&self, at: usize, (to, ends): (usize, usize), step_n: f64, sides: [&Side; 2]) -> bool {
        let curve = self.curve;
        let few = ((NEAR_S / curve.step_s) as usize)
            .clamp(1, 8)
            .min(at)
            .min(ends - to);
        let mean_n = |of: &[f64]| of.iter().sum::<f64>() / few as f64;
        // What it rises by from the middle of a few to the nearest, and meanwhile.
        let rises_n = |side: &Side, seconds: f64| (side.slope() * seconds).max(0.0);
        let half_s = 0.5 * (few - 1) as f64 * curve.step_s;
        let meanwhile_s = curve.time_s[to] - curve.time_s[at - 1];
        let [before_n, after_n] = [
            mean_n(&curve.force_n[at - few..at]),
            mean_n(&curve.force_n[to..to + few]),
        ];
        let here_n = before_n - after_n + rises_n(sides[0], half_s) + rises_n(sides[1], half_s + meanwhile_s);
        here_n > 0.65 * step_n
    }

    fn before(&self, begins: usize, at: usize) -> Side {
        let few = || {
            let from = begins.max(at.saturating_sub(4));
            self.side(from, at, self.curve.force_n[at - 1], 1)
        };
        let near_n = self.curve.force_n[at - 1];
        self.curve.trend(begins, at - 1).map_or_else(few, |line| Side {
            line: Some(line),
            near_n,
            readings: 1,
        })
    }

    /// Looks on until the force falls again.
    fn after(&self, to: usize, ends: usize, least_n: f64) -> Side {
        let force_n = &self.curve.force_n;
        let until = (to + self.trend).min(ends);
        let falls_n: Vec<f64> = force_n[to..until]
            .windows(2)
            .map(|pair| pair[0] - pair[1])
            .collect();
        let usual_n = median(&mut falls_n.iter().map(|by_n| by_n.abs()).collect::<Vec<f64>>());
        let sudden_n = (0.5 * least_n).max(3.0 * usual_n).max(6.0 * self.curve.sigma_n);
        let nothing_n = NOTHING * self.top_n;
        let is_gone = force_n[to..until].iter().all(|force_n| *force_n < nothing_n);
        let sudden_n = if is_gone { f64::INFINITY } else { sudden_n };
        let stop = falls_n
            .iter()
            .position(|by_n| *by_n > sudden_n)
            .map_or(until, |next| to + next + 1);
        let look_s = if is_gone { TREND_S } else { 0.02 };
        let many = ((look_s / self.curve.step_s).round() as usize).clamp(1, stop - to);
        self.side(to, stop, median(&mut force_n[to..to + many].to_vec()), many)
    }

    /// Of what bends no line is taken.
    fn side(&self, from: usize, to: usize, near_n: f64, readings: usize) -> Side {
        let points = |to: usize| (from..to).map(move |i| (self.curve.time_s[i], self.curve.force_n[i]));
        let is_straight = |line: &Line| line.scatter < 2.5 * self.curve.sigma_n.max(1e-4 * self.top_n);
        let whole = Line::fit(points(to)).filter(|_| to - from >= 3);
        let near = || Line::fit(points(to.min(from + 5))).filter(|_| to - from >= 3);
        let line = whole.filter(is_straight).or_else(|| near().filter(is_straight));
        Side {
            line,
            near_n,
            readings,
        }
    }

    /// The reading at which a fall that begins here is over.
    fn bottom(&self, at: usize, ends: usize) -> usize {
        let force_n = &self.curve.force_n;
        let is_slow = self.curve.step_s >= QUICK_S;
        let goes_on = |to: usize| {
            let (fell_n, falls_n) = (force_n[at - 1] - force_n[to], force_n[to] - force_n[to + 1]);
            // Of slow readings the first may lie half-way; what falls on as far as it did is another fall.
            let ends_there = force_n[to + 1] < 0.05 * self.top_n && falls_n > 0.05 * self.top_n;
            if is_slow {
                fell_n < 0.5 * falls_n || ends_there && fell_n > 2.0 * NOTHING * self.top_n
            } else {
                falls_n > 0.15 * fell_n
            }
        };
        let over = |until: usize| {
            let mut to = at;
            while to + 1 < until.min(ends) && goes_on(to) {
                to += 1;
            }
            to
        };
        let quick = over(at + self.quick);
        if is_slow {
            return quick;
        }
        self.collapse(at, quick, ends).unwrap_or(quick)
    }

    /// Follows a fall on to where nothing is left, if that is soon.
    fn collapse(&self, at: usize, quick: usize, ends: usize) -> Option<usize> {
        let force_n = &self.curve.force_n;
        let until = (at + (COLLAPSE_S / self.curve.step_s) as usize).min(ends);
        let mut to = quick;
        while to + 1 < until {
            let mean_n = (force_n[at - 1] - force_n[to]) / (to + 1 - at) as f64;
            if force_n[to] - force_n[to + 1] < 0.15 * mean_n {
                break;
            }
            to += 1;
        }
        let is_gone = force_n[to] < NOTHING * self.top_n && force_n[at - 1] > 2.0 * NOTHING * self.top_n;
        let is_let_down = at >= 2 + self.quick && {
            let before_n = force_n[at - 1 - self.quick] - force_n[at - 1];
            before_n * (to + 1 - at) as f64 > 0.4 * (force_n[at - 1] - force_n[to]) * self.quick as f64
        };
        (is_gone && !is_let_down).then_some(to)
    }

    /// Whether most of a fall of several readings is done within two.
    fn is_at_once(&self, at: usize, to: usize, fell_n: f64) -> bool {
        let force_n = &self.curve.force_n;
        to - at >= 3 && (at..to).any(|i| force_n[i - 1] - force_n[i + 1] > 0.6 * fell_n)
    }

    /// Whether the force falls as much again and again, before or after: it is let down, and no part of it gave way.
    fn falls_on(&self, at: usize, to: usize, fell_n: f64, ends: usize) -> bool {
        let force_n = &self.curve.force_n;
        let (taken, begins) = (to + 1 - at, self.curve.stretch_from(at));
        let same = |by_n: f64| by_n > 0.4 * fell_n && by_n < 2.5 * fell_n;
        let back = (1..=STEPS_ON).take_while(|step| {
            let last = at - 1;
            (step * taken + begins <= last)
                && same(force_n[last - step * taken] - force_n[last - (step - 1) * taken])
        });
        let on = (1..=STEPS_ON).take_while(|step| {
            let next = to + step * taken;
            next < ends && same(force_n[next - taken] - force_n[next])
        });
        back.count() + on.count() >= STEPS_ON
    }

    /// Whether travel runs back by what such a fall takes.
    fn is_unloaded(&self, at: usize, to: usize, drop_n: f64, begins: usize) -> bool {
        let travel_m = &self.curve.travel_m;
        if travel_m.is_empty() {
            return false;
        }
        let back_m = travel_m[at - 1] - travel_m[to];
        let stiffness = self.stiffness_n_per_m(begins, at);
        back_m > 0.0 && stiffness > 0.0 && back_m * stiffness > 0.4 * drop_n
    }

    /// Stiffness before a reading, N/m; 0 where that is not known.
    fn stiffness_n_per_m(&self, begins: usize, at: usize) -> f64 {
        let from = begins.max(at.saturating_sub(2 * self.trend));
        let points = (from..at).map(|i| (self.curve.travel_m[i], self.curve.force_n[i]));
        Line::fit(points).map_or(0.0, |line| line.slope)
    }

    /// Gives by how much the force would have grown during a fall by how far the machine went meanwhile; none without travel, or so
    /// quick that travel hardly shows it.
    fn grows_n(&self, begins: usize, at: usize, to: usize) -> Option<f64> {
        if self.curve.step_s < QUICK_S {
            return None;
        }
        let went_m = self.curve.travel_m.get(to)? - self.curve.travel_m.get(at - 1)?;
        let stiffness = Some(self.stiffness_n_per_m(begins, at)).filter(|stiffness| *stiffness > 0.0)?;
        Some(stiffness * went_m.max(0.0))
    }

    /// Whether it is what a fall before still rings.
    fn rings(&self, at: usize, after_n: f64, last: Option<&Fall>) -> bool {
        let Some(last) = last else { return false };
        let since_s = self.curve.time_s[at] - self.curve.time_s[last.to];
        let is_slow = self.curve.step_s > 0.3 * RINGS_S;
        if since_s > RINGS_S || is_slow {
            return false;
        }
        let lowest_n = self.curve.force_n[last.to..at]
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min);
        let dip_n = (last.after_n - lowest_n).max(0.0);
        after_n > lowest_n - (LEAST * self.top_n).max(0.3 * dip_n) - 2.0 * self.curve.sigma_n
    }
}
