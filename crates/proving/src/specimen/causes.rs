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
    /// By how much it fell, N.
    pub drop_n: f64,
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
    let drop_n = fall.before_n - fall.after_n;
    let mut event = Event {
        kind: Kind::Unknown,
        at_s: curve.time_s[fall.from],
        before_n: fall.before_n,
        drop_n,
        slip_m: None,
        stiffness_left: None,
    };
    // What is held sags, and its slope is not that of a pull.
    let [from_s, to_s] = [fall.from, fall.to].map(|at| curve.time_s[at]);
    let place = |time_s: f64| curve.time_s.partition_point(|own_s| *own_s < time_s);
    let held = holds.iter().map(|hold| [hold.from_s, hold.from_s + hold.seconds]);
    let held_until = held.clone().filter(|[_, ends_s]| *ends_s < from_s);
    let held_from = held.filter(|[begins_s, _]| *begins_s > to_s);
    let begins = curve
        .stretch_from(fall.from)
        .max(at.checked_sub(1).map_or(0, |before| falls[before].to))
        .max(held_until.map(|[_, ends_s]| place(ends_s)).last().unwrap_or(0));
    let ends = curve
        .stretch_to(fall.to)
        .min(falls.get(at + 1).map_or(usize::MAX, |next| next.from + 1))
        .min(held_from.map(|[begins_s, _]| place(begins_s)).next().unwrap_or(usize::MAX));
    if curve.travel_m.is_empty() {
        return event;
    }
    let near_n = NEAR * top_n;
    let point = |i: usize| (curve.travel_m[i], curve.force_n[i]);
    let mut from = fall.from;
    while from > begins
        && curve.force_n[from - 1] > fall.before_n - near_n
        && curve.travel_m[from - 1] <= curve.travel_m[from]
    {
        from -= 1;
    }
    let mut to = fall.to;
    while to + 1 < ends
        && curve.force_n[to + 1] < (fall.after_n + near_n + drop_n).min(most_n)
        && curve.travel_m[to + 1] >= curve.travel_m[to]
    {
        to += 1;
    }
    let before = Line::fit((from..=fall.from).map(point))
        .filter(|line| fall.from - from + 1 >= LEAST_POINTS && line.slope > 0.0);
    let after = Line::fit((fall.to..=to).map(point)).filter(|_| to - fall.to + 1 >= LEAST_POINTS);
    let Some(before) = before else { return event };
    let Some(after) = after.filter(|after| after.slope > 0.2 * before.slope) else {
        return event;
    };
    let left = after.slope / before.slope;
    let off =
        left * unsure(curve, &after, fall.to..to + 1).hypot(unsure(curve, &before, from..fall.from + 1));
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
        let slip_m = place_m(&after, fall.to) - place_m(&before, fall.from);
        event.slip_m = Some(if slip_m > 0.0 {
            slip_m
        } else {
            drop_n / before.slope
        });
    }
    event
}

/// Says how sure a slope is, as a share of it. Travel that is read in steps says something new only where it changes.
fn unsure(curve: &Curve, line: &Line, readings: std::ops::Range<usize>) -> f64 {
    let count = readings.len() as f64;
    let changes = curve.travel_m[readings]
        .windows(2)
        .filter(|pair| pair[0] != pair[1])
        .count() as f64;
    let share = line.slope_error / line.slope;
    if changes < 2.0 {
        f64::INFINITY
    } else {
        share * (count / (changes + 1.0)).sqrt()
    }
}
