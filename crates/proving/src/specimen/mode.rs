//! How a specimen failed, as far as its log tells.
//!
//! Conventions: SI.
//! Assumes: a force that falls to nothing at once was a break; one that tops out and falls while the machine goes on is a pull-out.
//! Valid for: what the log shows; whoever saw the specimen knows more.
//! Source: our judgement.
//! Checked by: tests/published.rs (C27), tests/logs.rs.

use crate::log::Log;
use crate::specimen::Known;
use crate::specimen::causes::{Event, Kind};
use crate::specimen::curve::Curve;
use crate::specimen::falls::Fall;
use crate::specimen::line::median;

/// How a specimen failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// It slips on, the force tops out and falls, and nothing breaks.
    PullOut,
    /// All at once.
    CleanBreak,
    /// Part by part.
    StrandByStrand,
    /// It slipped before it broke.
    SlipThenBreak,
    /// It was let down whole.
    NoFailure,
    /// The log ends before anything happens.
    EndedEarly,
}

/// Why a strength is at least what was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtLeast {
    /// The cell or its amplifier was past its range.
    PastRange,
    /// The log ends while the force grows.
    EndedEarly,
    /// It did not fail.
    NotFailed,
}

impl Mode {
    /// Says it in words.
    #[must_use]
    pub fn in_words(self) -> &'static str {
        match self {
            Mode::PullOut => "pull-out",
            Mode::CleanBreak => "clean break",
            Mode::StrandByStrand => "strand by strand",
            Mode::SlipThenBreak => "slip then break",
            Mode::NoFailure => "no failure",
            Mode::EndedEarly => "ended early",
        }
    }
}

/// Less than this share of the greatest force is nothing.
const NOTHING: f64 = 0.15;
/// From less than this share of it a last fall is no break of what held it.
const TOPPED_OUT: f64 = 0.7;

pub(crate) fn mode(curve: &Curve, falls: &[Fall], events: &[Event]) -> Mode {
    let (top, top_n) = curve.top();
    let last = falls.last().zip(events.last());
    let count = |kind: Kind| events.iter().filter(|event| event.kind == kind).count();
    if let Some((fall, _)) = last.filter(|(fall, _)| fall.after_n < NOTHING * top_n) {
        let breaks = count(Kind::Break) - 1;
        return match () {
            () if breaks > 0 => Mode::StrandByStrand,
            () if fall.before_n < TOPPED_OUT * top_n => Mode::PullOut,
            () if count(Kind::Slip) > 0 => Mode::SlipThenBreak,
            () => Mode::CleanBreak,
        };
    }
    let ends_n = median(&mut curve.force_n[curve.force_n.len().saturating_sub(5)..].to_vec());
    if ends_n > 0.9 * top_n {
        // A hold at the top that the log ends with is no failure either, and no more is known.
        return Mode::EndedEarly;
    }
    let after_top = events
        .iter()
        .any(|event| event.at_s >= curve.time_s[top] - curve.step_s);
    let goes_on = match (curve.travel_m.get(top), curve.travel_m.last()) {
        (Some(top_m), Some(ends_m)) => ends_m > top_m,
        // Without travel what falls without an event was let down.
        _ => after_top,
    };
    match () {
        () if goes_on => Mode::PullOut,
        () if ends_n > 0.5 * top_n => Mode::EndedEarly,
        () => Mode::NoFailure,
    }
}

/// Tells whether the cell was past its range: it said so, it is at what it can measure, or it stands still while all else goes on.
pub(crate) fn clips(log: &Log, curve: &Curve, known: &Known) -> bool {
    let greatest = log.force_n.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    let is_at_capacity = known
        .capacity_n
        .is_some_and(|capacity_n| f64::from(greatest) >= 0.999 * capacity_n);
    if !log.over.is_empty() || is_at_capacity {
        return true;
    }
    let (mut run, mut longest, mut ends) = (0_usize, 0_usize, 0_usize);
    for (at, force_n) in log.force_n.iter().enumerate() {
        run = if *force_n >= greatest { run + 1 } else { 0 };
        if run > longest {
            (longest, ends) = (run, at);
        }
    }
    if longest < 4 {
        return false;
    }
    let first = ends + 1 - longest;
    // By how much it would have grown meanwhile, by how it grew before.
    let before = first.saturating_sub(longest.clamp(4, 1000));
    let seconds = |from: usize, to: usize| log.times.at(to) - log.times.at(from);
    let rate =
        (f64::from(log.force_n[first]) - f64::from(log.force_n[before])) / seconds(before, first).max(1e-9);
    let misses_n = rate * seconds(first, ends);
    let is_noisy = curve.noise_n > 0.6 * curve.count_n.min(curve.noise_n * 10.0) && curve.noise_n > 0.0;
    let goes_on = log
        .travel_m
        .get(first)
        .zip(log.travel_m.get(ends))
        .is_some_and(|(first, ends)| ends > first);
    misses_n > 3.0 * curve.count_n.max(curve.noise_n) && (is_noisy || goes_on)
}

impl Curve {
    /// Compares the zero with what the cell reads once the specimen is gone.
    pub(crate) fn find_drift(&mut self, mode: Mode) {
        let is_gone = matches!(
            mode,
            Mode::CleanBreak | Mode::StrandByStrand | Mode::SlipThenBreak
        );
        let many = (20 / self.of_each).max(5);
        if !is_gone || !self.zero.is_known || self.force_n.len() < 2 * many {
            return;
        }
        let (_, top_n) = self.top();
        let mut last: Vec<f64> = self.force_n[self.force_n.len() - many..].to_vec();
        let ends_n = median(&mut last);
        let is_still = last
            .iter()
            .all(|force_n| (force_n - ends_n).abs() < 0.01 * top_n + 5.0 * self.sigma_n);
        if is_still && ends_n.abs() < 0.05 * top_n {
            self.zero.drift_n = Some(ends_n);
        }
    }
}
