//! Logs of one pull that are told as two.
//!
//! Conventions: N, s.
//! Assumes: two pulls differ by more than a few parts in ten thousand at most moments.
//! Valid for: logs of any unit and rate; a few rows may be left out.
//! Source: our judgement.
//! Checked by: tests/series.rs.

use proving::log::Log;

/// So many times of a log tell it from others.
const TIMES: usize = 200;
/// Readings of two pulls are seldom so near, as a share of the greatest; and so large a share of them never is.
const NEAR: f64 = 2e-4;
const MOST_NEAR: f64 = 0.9;
/// What is less than this share of the greatest is alike in all logs: nothing.
const NOTHING: f64 = 0.05;
/// So near are the ends of logs of one pull, as a share of how long they are.
const SAME_END: f64 = 1e-3;

/// What a log reads at some times, evenly from its beginning to its end.
pub(crate) struct Shape {
    seconds: f64,
    force_n: Vec<f64>,
}

impl Shape {
    pub(crate) fn of(log: &Log) -> Self {
        let seconds = log.times.last().unwrap_or(0.0);
        let force_n = |step: usize| {
            let at_s = seconds * step as f64 / (TIMES - 1) as f64;
            let after = log.times.first_from(at_s).min(log.times.len() - 1);
            let before = after.saturating_sub(1);
            let [from_s, to_s] = [before, after].map(|at| log.times.at(at));
            let [from_n, to_n] = [before, after].map(|at| f64::from(log.force_n[at]));
            let share = if to_s > from_s {
                (at_s - from_s) / (to_s - from_s)
            } else {
                0.0
            };
            from_n + share * (to_n - from_n)
        };
        Shape {
            seconds,
            force_n: (0..TIMES).map(force_n).collect(),
        }
    }

    /// Tells whether both are of one pull.
    pub(crate) fn is_of_one_pull(&self, other: &Shape) -> bool {
        let most_n = self.force_n.iter().copied().fold(0.0, f64::max);
        let pairs = self.force_n.iter().zip(&other.force_n);
        let loaded = || pairs.clone().filter(|(a, b)| a.max(**b) > NOTHING * most_n);
        let near = loaded().filter(|(a, b)| (**a - **b).abs() < NEAR * most_n);
        (self.seconds - other.seconds).abs() < SAME_END * self.seconds
            && near.count() as f64 > MOST_NEAR * loaded().count() as f64
    }
}
