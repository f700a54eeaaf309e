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
use crate::specimen::course::{Course, Hold};
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
    /// It broke after falls of which the log does not tell the cause.
    FallsThenBreak,
    /// It was let down whole.
    NoFailure,
    /// The log ends before anything happens.
    EndedEarly,
    /// The force went while nothing was read.
    InGap,
}

/// Why a strength is at least what was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtLeast {
    /// The cell or its amplifier was past its range.
    PastRange,
    /// The log ends while the force grows.
    EndedEarly,
    /// What happened fell into a gap of the readings.
    InGap,
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
            Mode::FallsThenBreak => "break after falls of unknown cause",
            Mode::NoFailure => "no failure",
            Mode::EndedEarly => "ended early",
            Mode::InGap => "gone in a gap of the readings",
        }
    }
}

/// Less than this share of the greatest force is nothing.
const NOTHING: f64 = 0.15;
/// What is left on a cell once the specimen is gone is drift, up to this share of the peak.
const GONE_RESTS: f64 = 0.25;
/// A machine that goes on by what would change the force by this share of the peak shows that nothing is on it.
const SLACK: f64 = 0.05;
/// The same where it was let down, or came out: more may still hang on it.
const LET_DOWN_RESTS: f64 = 0.1;
/// A pull is so many times as much as readings scatter.
const PULLED: f64 = 10.0;
/// From less than this share of it a last fall is no break of what held it.
const TOPPED_OUT: f64 = 0.7;

pub(crate) fn mode(curve: &Curve, falls: &[Fall], events: &[Event], course: &Course) -> Mode {
    let holds = &course.holds;
    let (top, top_n) = curve.top();
    // What stands out of the scatter by so little was no pull.
    if top_n < PULLED * curve.sigma_n {
        return Mode::NoFailure;
    }
    let after: Vec<&Fall> = falls.iter().filter(|fall| fall.to > top).collect();
    let dropped_n: f64 = after.iter().map(|fall| fall.seen_n()).sum();
    if let Some(fall) = falls.last().filter(|fall| fall.after_n < NOTHING * top_n) {
        // What went away between the top and the last fall without a fall was pulled out.
        let dropped_before_n = dropped_n - fall.seen_n();
        let is_pulled_out =
            fall.before_n < TOPPED_OUT * top_n && dropped_before_n < 0.5 * (top_n - fall.before_n);
        return if is_pulled_out {
            Mode::PullOut
        } else {
            broken(events)
        };
    }
    if goes_in_gap(curve, top_n) {
        return Mode::InGap;
    }
    // Of the last few those from the top on: a short log may rise until it ends.
    let last = curve.force_n.len().saturating_sub(5).max(top);
    let ends_n = median(&mut curve.force_n[last..].to_vec());
    let is_held = holds.last().is_some_and(|hold| {
        curve
            .time_s
            .last()
            .is_some_and(|ends_s| hold.from_s + hold.seconds > ends_s - 1.0 - 2.0 * curve.step_s)
    });
    let went_n = top_n - ends_n - dropped_n;
    let is_broken = events.iter().any(|event| event.kind == Kind::Break);
    match () {
        () if yields_n(curve, top, events, course)
            .is_some_and(|yields_n| yields_n - dropped_n + top_n - ends_n > YIELDS * top_n) =>
        {
            Mode::PullOut
        }
        () if !is_broken && never_comes_back(curve, &after, events, course) => Mode::PullOut,
        () if !is_broken && comes_out(curve, (top, top_n), falls, course) => Mode::PullOut,
        // What broke in part and is still loaded has not come to its end.
        () if went_n < 0.1 * top_n && is_broken => Mode::EndedEarly,
        () if went_n < 0.1 * top_n && is_held => Mode::NoFailure,
        () if went_n < 0.1 * top_n => Mode::EndedEarly,
        () if is_let_down(curve, course, (top, ends_n)) => Mode::NoFailure,
        () => Mode::PullOut,
    }
}

/// Tells whether the force was there before a gap, and nothing of it was after it.
fn goes_in_gap(curve: &Curve, top_n: f64) -> bool {
    curve.after_gap.last().is_some_and(|gap| {
        let before_n = curve.force_n[gap.saturating_sub(1)];
        let mut after = curve.force_n[*gap..].iter();
        before_n > 2.0 * NOTHING * top_n && after.all(|force_n| *force_n < NOTHING * top_n)
    })
}

/// Where the machine goes on and so much of the greatest force does not come, the specimen comes out.
const YIELDS: f64 = 0.15;

/// Tells whether the force fell by much at once, and has not come back though the machine went on, or was there long enough to.
fn never_comes_back(curve: &Curve, after: &[&Fall], events: &[Event], course: &Course) -> bool {
    let (_, top_n) = curve.top();
    let largest = after.iter().max_by(|a, b| a.seen_n().total_cmp(&b.seen_n()));
    let Some(fall) = largest.filter(|fall| fall.seen_n() > YIELDS * top_n) else {
        return false;
    };
    let by_time_n = || {
        let ends_s = curve.time_s.last()?;
        Some(course.rate_n_per_s? * (ends_s - curve.time_s[fall.to]))
    };
    let would_grow_n = if curve.travel_m.is_empty() {
        by_time_n()
    } else {
        yields_n(curve, fall.to, events, course)
    };
    let ends = curve.force_n.len().saturating_sub(5).max(fall.to);
    let grew_n = median(&mut curve.force_n[ends..].to_vec()) - fall.after_n;
    would_grow_n.is_some_and(|would_grow_n| would_grow_n - grew_n > YIELDS * top_n)
}

/// The force falls by this share of the greatest at the least as the specimen comes out.
const COMES_OUT: f64 = 0.02;

/// Tells whether the force fell off as the machine went on, before it went back: by how far it went it would have grown by much.
fn comes_out(curve: &Curve, (top, top_n): (usize, f64), falls: &[Fall], course: &Course) -> bool {
    let (Some(from_m), Some(stiffness)) = (curve.travel_m.get(top), course.stiffness_n_per_m) else {
        return false;
    };
    let each = curve.travel_m.iter().enumerate().skip(top);
    let furthest = each.fold((top, *from_m), |most, (at, travel_m)| {
        if *travel_m > most.1 { (at, *travel_m) } else { most }
    });
    let (at, most_m) = furthest;
    let fell_n: f64 = falls
        .iter()
        .filter(|fall| fall.from >= top && fall.to <= at)
        .map(Fall::seen_n)
        .sum();
    let slid_n = top_n - curve.force_n[at] - fell_n;
    let would_grow_n = stiffness * (most_m - from_m - SCATTERS * curve.travel_sigma_m).max(0.0);
    slid_n > COMES_OUT * top_n + 3.0 * curve.sigma_n && would_grow_n + slid_n > YIELDS * top_n
}

/// So many times its scatter travel seems to go on without going.
const SCATTERS: f64 = 8.0;

/// Gives by how much the force would have grown from a reading on as the machine went, N; none without travel, or where it went back.
fn yields_n(curve: &Curve, from: usize, events: &[Event], course: &Course) -> Option<f64> {
    let (from_m, ends_m) = (curve.travel_m.get(from)?, curve.travel_m.last()?);
    let most_m = curve.travel_m[from..]
        .iter()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    let goes_on = ends_m > from_m && most_m - ends_m < 0.02 * (most_m - from_m);
    // What broke leaves it softer.
    let left: f64 = events.iter().filter_map(|event| event.stiffness_left).product();
    Some(course.stiffness_n_per_m? * left.min(1.0) * (ends_m - from_m)).filter(|_| goes_on)
}

/// Says how something broke of which nothing was left.
fn broken(events: &[Event]) -> Mode {
    let count = |kind: Kind| events.iter().filter(|event| event.kind == kind).count();
    match () {
        () if count(Kind::Break) > 1 => Mode::StrandByStrand,
        () if count(Kind::Unknown) > 0 => Mode::FallsThenBreak,
        () if count(Kind::Slip) > 0 => Mode::SlipThenBreak,
        () => Mode::CleanBreak,
    }
}

/// Tells whether the force went because the machine went back: by travel, or where there is none, since it is gone in no more time than it took
/// to come.
fn is_let_down(curve: &Curve, course: &Course, (top, ends_n): (usize, f64)) -> bool {
    if let (Some(top_m), Some(ends_m)) = (curve.travel_m.get(top), curve.travel_m.last()) {
        let most_m = curve.travel_m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least_m = curve.travel_m.iter().copied().fold(f64::INFINITY, f64::min);
        return *ends_m < *top_m - 0.02 * (most_m - least_m);
    }
    let top_n = curve.force_n[top];
    let below = |share: f64| move |force_n: &f64| *force_n < share * top_n;
    let rises = curve.force_n[..top].iter().rposition(below(0.1)).unwrap_or(0);
    // Where it was held last, also after a slip, it was held by a machine that stood.
    let is_of_top =
        |hold: &&Hold| hold.from_s + hold.seconds > curve.time_s[top] && hold.mean_n > (1.0 - YIELDS) * top_n;
    let held = course.holds.last().filter(is_of_top);
    let high_n = 0.9 * held.map_or(top_n, |hold| hold.mean_n);
    let last_high = curve
        .force_n
        .iter()
        .rposition(|force_n| *force_n > high_n)
        .unwrap_or(top);
    let gone = curve.force_n[last_high..]
        .iter()
        .position(below(0.1))
        .map(|at| last_high + at);
    let seconds = |from: usize, to: usize| curve.time_s[to] - curve.time_s[from];
    ends_n < 0.1 * top_n && gone.is_some_and(|gone| seconds(last_high, gone) < 1.2 * seconds(rises, top))
}

/// So many times a cell that is at its end is asked about.
const MOST_RUNS: usize = 200;
/// So many readings at the greatest value are no chance.
const LEAST_CLIPPED: usize = 4;
/// And so many times as many as others stay at one value.
const CLIPS_FOR: usize = 2;
/// So many readings before tell for how long values stay.
const LOOKED_AT: usize = 200_000;
/// Values from this share of the greatest are asked.
const STAYS_FROM: f32 = 0.3;

/// Gives for how many readings the values on the way up to the greatest stay the same, nine of ten of them at the most: a display that changes twice a
/// second and is read ten times says each of them five times.
fn stays_for(force_n: &[f32], greatest: f32) -> usize {
    let mut runs: Vec<usize> = force_n
        .chunk_by(|a, b| a == b)
        .filter(|run| (STAYS_FROM * greatest..greatest).contains(&run[0]))
        .map(<[f32]>::len)
        .collect();
    let at = runs.len() * 9 / 10;
    if runs.is_empty() {
        return 1;
    }
    *runs.select_nth_unstable(at).1
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
    let mut first = 0;
    let runs = log
        .force_n
        .chunk_by(|a, b| (*a >= greatest) == (*b >= greatest))
        .filter_map(|run| {
            let from = first;
            first += run.len();
            (run[0] >= greatest && run.len() >= LEAST_CLIPPED).then_some(from..=first - 1)
        });
    runs.take(MOST_RUNS)
        .any(|run| stands_while_all_goes_on(log, curve, &run))
}

/// Tells whether readings that are all at the greatest value would have grown meanwhile, by how they grew before.
fn stands_while_all_goes_on(log: &Log, curve: &Curve, run: &std::ops::RangeInclusive<usize>) -> bool {
    let (first, ends) = (*run.start(), *run.end());
    let long = ends + 1 - first;
    let until = &log.force_n[(ends + 1).saturating_sub(LOOKED_AT)..=ends];
    if long < LEAST_CLIPPED || long < CLIPS_FOR * stays_for(until, log.force_n[first]) {
        return false;
    }
    let seconds = |from: usize, to: usize| log.times.at(to) - log.times.at(from);
    // What slipped not long before is no growth: the steepest of what led there, near and far.
    let rate = [long, long / 4, long / 16]
        .map(|many| first.saturating_sub(many.clamp(LEAST_CLIPPED, 1000)))
        .map(|from| f64::from(log.force_n[first] - log.force_n[from]) / seconds(from, first).max(1e-9))
        .into_iter()
        .fold(0.0, f64::max);
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
    /// Compares the zero with what the cell reads once nothing is on it any more, which is surely so once the specimen is gone, or the machine went
    /// further back than the force shows.
    pub(crate) fn find_drift(&mut self, mode: Mode, course: &Course) {
        let is_gone = matches!(
            mode,
            Mode::CleanBreak | Mode::StrandByStrand | Mode::SlipThenBreak | Mode::FallsThenBreak
        );
        let may_be_gone = matches!(mode, Mode::NoFailure | Mode::PullOut);
        if !(is_gone || may_be_gone) || !self.zero.is_known {
            return;
        }
        let most = if is_gone { GONE_RESTS } else { LET_DOWN_RESTS };
        // A log may end soon after the break.
        let rests_n = [20, 10, 5]
            .iter()
            .find_map(|many| self.rests_at((many / self.of_each).max(5), most));
        if is_gone || rests_n.is_some_and(|rests_n| self.is_slack(rests_n, course)) {
            self.zero.drift_n = rests_n;
        } else {
            self.zero.rests_n = rests_n;
        }
    }

    /// Tells whether the machine went on while the force rested at what it is at the end: nothing is on it.
    fn is_slack(&self, rests_n: f64, course: &Course) -> bool {
        let (_, top_n) = self.top();
        let is_off = |force_n: &f64| (force_n - rests_n).abs() > 0.01 * top_n + 5.0 * self.sigma_n;
        let rests_from = self.force_n.iter().rposition(is_off).map_or(0, |at| at + 1);
        let went_m = self.travel_m.last().zip(self.travel_m.get(rests_from));
        let would_change_n = went_m
            .zip(course.stiffness_n_per_m)
            .map_or(0.0, |((to_m, from_m), stiffness)| {
                stiffness * (to_m - from_m).abs()
            });
        would_change_n > SLACK * top_n
    }

    /// Gives the force at which so many last readings are still; none where they are not, or it is more than a share of the peak.
    fn rests_at(&self, many: usize, most: f64) -> Option<f64> {
        if self.force_n.len() < 2 * many {
            return None;
        }
        let (_, top_n) = self.top();
        let mut last: Vec<f64> = self.force_n[self.force_n.len() - many..].to_vec();
        let ends_n = median(&mut last);
        let is_still = last
            .iter()
            .all(|force_n| (force_n - ends_n).abs() < 0.01 * top_n + 5.0 * self.sigma_n);
        (is_still && ends_n.abs() < most * top_n).then_some(ends_n)
    }
}
