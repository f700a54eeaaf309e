//! Slips and breaks, told apart where the data allow.
//!
//! Conventions: SI.
//! Assumes: after a slip the force grows with travel as it did; after a break of some of several equal strands it grows less. What gives way at
//! once with the end is part of the break.
//! Valid for: logs with travel, and loading on either side; else the cause is not known.
//! Source: springs side by side: of m strands one less leaves (m - 1) / m of the stiffness (by hand, check C27).
//! Checked by: tests/published.rs (C27), tests/logs.rs.

use crate::specimen::course::Hold;
use crate::specimen::curve::Curve;
use crate::specimen::falls::Fall;
use crate::specimen::line::Line;
use schemars::JsonSchema;
use serde::Serialize;

/// What a sudden fall of the force is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Something slipped and held again.
    Slip,
    /// Something broke.
    Break,
    /// The log does not tell.
    Unknown,
}

impl Kind {
    /// Says it in words.
    #[must_use]
    pub fn in_words(self) -> &'static str {
        match self {
            Kind::Slip => "slip",
            Kind::Break => "break",
            Kind::Unknown => "slip or break",
        }
    }
}

/// A sudden fall of the force.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Event {
    /// What it is.
    pub kind: Kind,
    /// When, s from the first reading.
    pub at_s: f64,
    /// Force before, N.
    pub before_n: f64,
    /// By how much it fell, N, or would have fallen from reading to reading had the machine stood still meanwhile.
    pub drop_n: f64,
    /// By how much it fell from one reading to the next, N: less, where the machine went on. Less than nothing where that hides it.
    pub seen_drop_n: f64,
    /// By how much it slipped, m; of slips in logs with travel.
    pub slip_m: Option<f64>,
    /// Stiffness after it over stiffness before; none where that is not known.
    pub stiffness_left: Option<f64>,
}

/// A slope that is less than this share of what it was tells a break; one that is more than the other a slip.
const BREAK_BELOW: f64 = 0.94;
const SLIP_ABOVE: f64 = 0.92;
/// After a slip the slope is what it was: one that is likely less than this share of it may be a wire or two that broke.
const AS_IT_WAS: f64 = 0.985;
/// The force within which slopes are taken, as a share of the greatest.
const NEAR: f64 = 0.12;
const LEAST_POINTS: usize = 3;
/// So near to the greatest force a cell that is past its range begins to show less.
const CLIPS: f64 = 0.002;
/// How many times a standard error has to be free of that.
const SURE: f64 = 3.0;
/// And of what would make it a break of little.
const LIKELY: f64 = 1.5;
/// A fall to less than this share of the greatest force is the end.
const END: f64 = 0.15;
/// What gives way so soon before the end belongs to it, seconds, or readings where these are slower.
const WITH_END_S: f64 = 0.3;

/// Says of each fall what it is. Past its range a cell shows no slope.
pub(crate) fn events(curve: &Curve, falls: &[Fall], holds: &[Hold], is_clipped: bool) -> Vec<Event> {
    let (_, top_n) = curve.top();
    let most_n = if is_clipped {
        (1.0 - CLIPS) * top_n - 4.0 * curve.sigma_n
    } else {
        f64::INFINITY
    };
    let mut events: Vec<Event> = (0..falls.len())
        .map(|at| event(curve, (falls, at), holds, [top_n, most_n]))
        .collect();
    // Back from the end, as long as nothing was loaded again in between.
    let Some(last) = falls.last().filter(|last| last.after_n < END * top_n) else {
        return events;
    };
    let mut until = *last;
    for at in (0..falls.len()).rev() {
        let fall = falls[at];
        let since_s = curve.time_s[until.from] - curve.time_s[fall.to];
        let is_with = until.from <= fall.to + 2 || since_s <= WITH_END_S;
        let is_last = at + 1 == falls.len();
        if !is_last && (!is_with || curve.force_n[until.from] > fall.before_n) {
            break;
        }
        if events[at].kind == Kind::Unknown || is_last {
            events[at].kind = Kind::Break;
            events[at].slip_m = None;
        }
        until = fall;
    }
    events
}

fn event(curve: &Curve, (falls, at): (&[Fall], usize), holds: &[Hold], [top_n, most_n]: [f64; 2]) -> Event {
    let fall = falls[at];
    let drop_n = fall.drop_n();
    let mut event = Event {
        kind: Kind::Unknown,
        at_s: curve.time_s[fall.from],
        before_n: fall.before_n,
        drop_n,
        seen_drop_n: fall.seen_n(),
        slip_m: None,
        stiffness_left: None,
    };
    if curve.travel_m.is_empty() {
        return event;
    }
    let [Some(before), Some(after)] = [
        slope_before(curve, (falls, at), holds, NEAR * top_n),
        slope_after(curve, (falls, at), holds, [NEAR * top_n, most_n]),
    ] else {
        return event;
    };
    if after.line.slope <= 0.2 * before.line.slope {
        return event;
    }
    let left = after.line.slope / before.line.slope;
    let off = left * after.off.hypot(before.off);
    event.stiffness_left = Some(left);
    event.kind = match () {
        () if left + SURE * off < BREAK_BELOW => Kind::Break,
        () if left - SURE * off > SLIP_ABOVE && left + LIKELY * off > AS_IT_WAS => Kind::Slip,
        () => Kind::Unknown,
    };
    if event.kind == Kind::Slip {
        // By how much the line after it lies further along travel, at the force between.
        let force_n = 0.5 * (fall.before_n + fall.after_n);
        let place_m = |line: &Line, near: usize| {
            curve.travel_m[near] + (force_n - line.at(curve.travel_m[near])) / line.slope
        };
        let slip_m = place_m(&after.line, fall.to) - place_m(&before.line, fall.from);
        event.slip_m = Some(if slip_m > 0.0 {
            slip_m
        } else {
            drop_n / before.line.slope
        });
    }
    event
}

/// Force along travel.
struct Slope {
    line: Line,
    /// How sure its slope is, as a share of it.
    off: f64,
}

impl Slope {
    fn of(curve: &Curve, readings: std::ops::Range<usize>) -> Option<Slope> {
        let enough = readings.len() >= LEAST_POINTS;
        let line = Line::fit(readings.clone().map(|i| (curve.travel_m[i], curve.force_n[i])));
        let line = line.filter(|line| enough && line.slope > 0.0)?;
        let off = unsure(curve, &line, readings);
        Some(Slope { line, off })
    }
}

/// Gives the slope before a fall. What is held sags, and its slope is not that of a pull: of what lies before a hold and what lies after it that
/// is taken which is known better.
fn slope_before(curve: &Curve, (falls, at): (&[Fall], usize), holds: &[Hold], near_n: f64) -> Option<Slope> {
    let fall = falls[at];
    let begins = curve
        .stretch_from(fall.from)
        .max(at.checked_sub(1).map_or(0, |before| falls[before].to));
    let back_m = scatters_back_m(curve);
    let of = |begins: usize, last: usize| {
        let least_n = curve.force_n[last].min(fall.before_n) - near_n;
        let mut least_m = curve.travel_m[last];
        let goes_on = |from: &usize| {
            let travel_m = curve.travel_m[from - 1];
            let is_on = curve.force_n[from - 1] > least_n && travel_m <= least_m + back_m;
            least_m = least_m.min(travel_m);
            is_on
        };
        let from = (begins + 1..=last)
            .rev()
            .take_while(goes_on)
            .last()
            .map_or(last, |from| from - 1);
        Slope::of(curve, from..last + 1)
    };
    let from_s = curve.time_s[fall.from];
    let held = holds
        .iter()
        .rev()
        .find(|hold| hold.from_s + hold.seconds < from_s);
    let Some(held) = held else {
        return of(begins, fall.from);
    };
    let [held_from, held_to] =
        [held.from_s, held.from_s + held.seconds].map(|time_s| curve.reading_at(time_s));
    let since = of(begins.max(held_to.min(fall.from)), fall.from);
    let until = (held_from > begins).then(|| of(begins, held_from)).flatten();
    since
        .into_iter()
        .chain(until)
        .min_by(|a, b| a.off.total_cmp(&b.off))
}

/// Gives the slope after a fall, until it is held or falls again, and up to some force at the most.
fn slope_after(
    curve: &Curve,
    (falls, at): (&[Fall], usize),
    holds: &[Hold],
    [near_n, most_n]: [f64; 2],
) -> Option<Slope> {
    let fall = falls[at];
    let to_s = curve.time_s[fall.to];
    let held = holds.iter().find(|hold| hold.from_s > to_s);
    let held_from = held.map(|hold| curve.reading_at(hold.from_s));
    let ends = curve
        .stretch_to(fall.to)
        .min(falls.get(at + 1).map_or(usize::MAX, |next| next.from + 1))
        .min(held_from.unwrap_or(usize::MAX));
    let most_n = (fall.before_n + near_n).min(most_n);
    let (mut most_m, back_m) = (curve.travel_m[fall.to], scatters_back_m(curve));
    let goes_on = |to: &usize| {
        let is_on = curve.force_n[*to] < most_n && curve.travel_m[*to] >= most_m - back_m;
        most_m = most_m.max(curve.travel_m[*to]);
        is_on
    };
    let to = (fall.to + 1..ends).take_while(goes_on).last().unwrap_or(fall.to);
    Slope::of(curve, fall.to..to + 1)
}

/// So many times its scatter travel seems to go back without going back: from a reading that is far up to one that is far down.
const SCATTERS_BACK: f64 = 8.0;

fn scatters_back_m(curve: &Curve) -> f64 {
    SCATTERS_BACK * curve.travel_sigma_m
}

/// Says how sure a slope is, as a share of it. Travel that is read in steps says something new only where it changes; and few readings that lie on a
/// line by chance are no surer than their scatter.
fn unsure(curve: &Curve, line: &Line, readings: std::ops::Range<usize>) -> f64 {
    let count = readings.len() as f64;
    let changes = curve.travel_m[readings]
        .windows(2)
        .filter(|pair| pair[0] != pair[1])
        .count() as f64;
    let scatter_n = curve
        .noise_n
        .min(curve.sigma_n)
        .hypot(line.slope * curve.travel_sigma_m);
    let share = line.slope_error.max(scatter_n * line.slope_error_of_one()) / line.slope;
    // Where travel scatters a line through it is less steep than it should be, by what scatters over all that is there.
    let flatter = count * (curve.travel_sigma_m * line.slope_error_of_one()).powi(2);
    if changes < 2.0 {
        f64::INFINITY
    } else {
        (share * (count / (changes + 1.0)).sqrt()).hypot(flatter)
    }
}
