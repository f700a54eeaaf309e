//! Sudden falls of the force.
//!
//! Conventions: SI; places in a curve.
//! Assumes: a slip or a break is over within two readings or 40 ms, whichever is longer, and what falls on at the same rate is unloaded.
//! Valid for: curves with four readings or more before a fall.
//! Source: a fall against the trend of what came before, more than five times as large as that is unsure (our judgement).
//! Checked by: the tests below; tests/logs.rs.

use crate::specimen::curve::Curve;
use crate::specimen::line::{Line, median};

/// A sudden fall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fall {
    /// The last reading before it, and the first after it.
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) before_n: f64,
    pub(crate) after_n: f64,
}

/// A fall less than this share of the greatest force is none.
const LEAST: f64 = 0.005;
/// A fall from less than this share of the greatest force is none.
const LOWEST: f64 = 0.03;
const TREND_S: f64 = 0.25;
const QUICK_S: f64 = 0.04;
const RINGS_S: f64 = 0.15;
/// What falls as much so many times more is let down.
const STEPS_ON: usize = 3;
/// How many times as large as what is unsure.
const SURE: f64 = 5.0;

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
    found
}

struct Finder<'a> {
    curve: &'a Curve,
    top_n: f64,
    /// Readings of a trend.
    trend: usize,
    /// Readings within which a fall is over.
    quick: usize,
}

impl Finder<'_> {
    /// Finds a fall of which this is the first reading.
    fn fall_at(&self, at: usize, last: Option<&Fall>) -> Option<Fall> {
        let force_n = &self.curve.force_n;
        let begins = self.curve.stretch_from(at).max(last.map_or(0, |last| last.to));
        if at <= begins {
            return None;
        }
        let (here_n, before_n) = (force_n[at], force_n[at - 1]);
        // Quick to say no, nearly always.
        let least_n = (LEAST * self.top_n).max(3.0 * self.curve.sigma_n);
        if before_n - here_n < 0.25 * least_n || before_n < LOWEST * self.top_n {
            return None;
        }
        let (trend_n, error) = self.trend_n(begins, at);
        let ends = self.curve.stretch_to(at);
        let to = self.bottom(at, ends);
        let after_n = self.after_n(to, ends);
        let drop_n = trend_n - after_n;
        let unsure_n =
            SURE * self.curve.sigma_n * (error * error + 1.0 / self.after_count(to, ends) as f64).sqrt();
        if drop_n < least_n.max(unsure_n) {
            return None;
        }
        let is_end = self.is_end(to, after_n, ends);
        (!self.falls_on(at, to, drop_n, ends) || is_end)
            .then_some(())
            .filter(|()| !self.is_unloaded(at, to, drop_n, begins))
            .filter(|()| !self.rings(at, after_n, last))?;
        Some(Fall {
            from: at - 1,
            to,
            before_n: trend_n,
            after_n,
        })
    }

    /// Gives what the force would be here by the trend before, and how sure that is over the scatter of one reading.
    fn trend_n(&self, begins: usize, at: usize) -> (f64, f64) {
        let (force_n, time_s) = (&self.curve.force_n, &self.curve.time_s);
        let from = begins.max(at.saturating_sub(self.trend));
        let last_n = force_n[at - 1];
        if at - from < 3 {
            return (last_n, 1.0);
        }
        let points = (from..at).map(|i| (time_s[i], force_n[i]));
        // Told where the fall begins: what it would have risen to until the next reading is nothing that was there.
        Line::fit(points).map_or((last_n, 1.0), |line| {
            (line.at(time_s[at - 1]), line.error_at(time_s[at - 1]))
        })
    }

    /// The reading at which a fall that begins here is over.
    fn bottom(&self, at: usize, ends: usize) -> usize {
        let force_n = &self.curve.force_n;
        let until = (at + self.quick).min(ends);
        let is_slow = self.curve.step_s >= QUICK_S;
        let mut to = at;
        while to + 1 < until {
            let (fell_n, falls_n) = (force_n[at - 1] - force_n[to], force_n[to] - force_n[to + 1]);
            // Of slow readings the first may lie half-way; what falls on as far as it did is another fall.
            let goes_on = if is_slow {
                fell_n < 0.5 * falls_n
            } else {
                falls_n > 0.15 * fell_n
            };
            if !goes_on {
                break;
            }
            to += 1;
        }
        to
    }

    /// How many readings tell the force after a fall: what rings is looked at for longer.
    fn after_count(&self, to: usize, ends: usize) -> usize {
        let many = ((0.02 / self.curve.step_s).round() as usize).max(1);
        many.min(ends - to).max(1)
    }

    fn after_n(&self, to: usize, ends: usize) -> f64 {
        let count = self.after_count(to, ends);
        median(&mut self.curve.force_n[to..to + count].to_vec())
    }

    /// Whether nothing is left of the force.
    fn is_end(&self, to: usize, after_n: f64, ends: usize) -> bool {
        let stays = self.curve.force_n[to..ends.min(to + 10)]
            .iter()
            .all(|force_n| *force_n < 0.15 * self.top_n);
        after_n < 0.15 * self.top_n && stays
    }

    /// Whether the force falls as much again and again, before or after: it is let down, and no part of it gave way.
    fn falls_on(&self, at: usize, to: usize, drop_n: f64, ends: usize) -> bool {
        let force_n = &self.curve.force_n;
        let (taken, begins) = (to + 1 - at, self.curve.stretch_from(at));
        let same = |by_n: f64| by_n > 0.4 * drop_n && by_n < 2.5 * drop_n;
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
        let from = begins.max(at.saturating_sub(2 * self.trend));
        let points = (from..at).map(|i| (travel_m[i], self.curve.force_n[i]));
        let stiffness = Line::fit(points).map_or(0.0, |line| line.slope);
        back_m > 0.0 && stiffness > 0.0 && back_m * stiffness > 0.4 * drop_n
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
