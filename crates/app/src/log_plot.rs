//! A log as a figure: force against time, and against travel.

use drawing::{Axis, Curve, Ends, Figure, Level, Mark, Panel, Sign};
use proving::log::Log;
use quantity::{Kind, Style, Units};
use series::{EventKind, LogAnswer};

/// So many slices of a curve; each keeps its least and its greatest force.
const SLICES: usize = 1200;
/// So many events are marked at the most, the greatest ones.
const MARKS: usize = 20;

/// A unit of an axis.
struct Scale {
    name: &'static str,
    /// What one of it is in SI.
    one: f64,
}

/// Draws a log with its events.
pub(crate) fn log_plot(log: &Log, answer: &LogAnswer, units: Units) -> Figure {
    let (force, travel) = scales(answer.peak_n, units);
    let zero_n = if answer.zero_is_taken_off {
        answer.zero_offset_n
    } else {
        0.0
    };
    let force_of = |index: usize| (f64::from(log.force_n[index]) - zero_n) / force.one;
    let count = log.force_n.len();
    let shown = shown(answer);
    let mut panels = vec![Panel {
        across: Axis::of("time, s", Ends::AsFar),
        up: Axis::of(format!("force, {}", force.name), Ends::FromNought),
        curves: vec![thinned(count, |index| [log.times.at(index), force_of(index)])],
        marks: marks(answer, &shown, &force, |at_s| at_s),
        levels: levels(answer, &force),
    }];
    if !log.travel_m.is_empty() {
        let travel_of = |index: usize| f64::from(log.travel_m[index]) / travel.one;
        panels.push(Panel {
            across: Axis::of(format!("travel, {}", travel.name), Ends::AsFar),
            up: Axis::of(format!("force, {}", force.name), Ends::FromNought),
            curves: vec![thinned(count, |index| [travel_of(index), force_of(index)])],
            marks: marks(answer, &shown, &force, |at_s| travel_of(index_at(log, at_s))),
            levels: Vec::new(),
        });
    }
    Figure {
        title: format!("Pull test: {}", answer.log),
        panels,
        notes: notes(answer, &shown, units),
    }
}

fn scales(peak_n: f64, units: Units) -> (Scale, Scale) {
    let (name, one) = force_unit(peak_n, units);
    let travel = match units {
        Units::Us => "in",
        Units::Si | Units::Both | Units::SiThenUs => "mm",
    };
    let travel_m = Kind::Length.parse_si(&format!("1 {travel}")).unwrap_or(1.0);
    (
        Scale { name, one },
        Scale {
            name: travel,
            one: travel_m,
        },
    )
}

/// Gives the unit in which forces are drawn, and what one of it is, N.
pub(crate) fn force_unit(greatest_n: f64, units: Units) -> (&'static str, f64) {
    let (name, unit) = match units {
        Units::Us => ("lb", "lbf"),
        Units::Si | Units::Both | Units::SiThenUs if greatest_n < 1000.0 => ("N", "N"),
        Units::Si | Units::Both | Units::SiThenUs => ("kN", "kN"),
    };
    (name, Kind::Force.parse_si(&format!("1 {unit}")).unwrap_or(1.0))
}

/// Picks the events that are marked, in order: of those that tell what happened the largest.
fn shown(answer: &LogAnswer) -> Vec<usize> {
    let events = &answer.events;
    let mut order: Vec<usize> = (0..answer.events_that_tell()).collect();
    order.sort_by(|a, b| events[*b].drop_n.total_cmp(&events[*a].drop_n));
    order.truncate(MARKS);
    order.sort_unstable();
    order
}

fn marks(answer: &LogAnswer, shown: &[usize], force: &Scale, across: impl Fn(f64) -> f64) -> Vec<Mark> {
    let events = shown.iter().map(|index| {
        let event = &answer.events[*index];
        Mark {
            at: [across(event.at_s), event.before_n / force.one],
            within: None,
            sign: match event.kind {
                EventKind::Slip => Sign::Ring,
                EventKind::Break => Sign::Cross,
                EventKind::Unknown => Sign::Disc,
            },
            label: (index + 1).to_string(),
        }
    });
    events.collect()
}

fn levels(answer: &LogAnswer, force: &Scale) -> Vec<Level> {
    let words = if answer.peak_is_lower_bound {
        "at least"
    } else {
        "peak"
    };
    vec![Level {
        at: answer.peak_n / force.one,
        label: words.to_string(),
        is_dashed: true,
    }]
}

fn notes(answer: &LogAnswer, shown: &[usize], units: Units) -> Vec<String> {
    let style = Style { units, ..Style::us() };
    let force = |force_n: f64| Kind::Force.print(force_n, style);
    let words = if answer.peak_is_lower_bound {
        "at least "
    } else {
        ""
    };
    let mut notes = vec![format!(
        "Peak {words}{} +- {} at {:.2} s; {}. Signs: ring slip, cross break, disc not known which.",
        force(answer.peak_n),
        force(answer.peak_uncertainty_n),
        answer.peak_at_s,
        answer.mode
    )];
    let events = shown.iter().map(|index| {
        let event = &answer.events[*index];
        let kind = event.kind.in_words();
        let by = event
            .slip_m
            .map(|slip_m| format!(", slips {}", Kind::Stretch.print(slip_m, style)))
            .unwrap_or_default();
        format!(
            "{}  {kind} at {:.2} s: {} falls by {}{by}",
            index + 1,
            event.at_s,
            force(event.before_n),
            force(event.drop_n)
        )
    });
    notes.extend(events);
    if shown.len() < answer.events.len() {
        notes.push(format!(
            "and {} more, after the peak or smaller",
            answer.events.len() - shown.len()
        ));
    }
    notes
}

/// Gives the reading at a time.
fn index_at(log: &Log, at_s: f64) -> usize {
    let (mut from, mut to) = (0, log.times.len());
    while from < to {
        let middle = usize::midpoint(from, to);
        if log.times.at(middle) < at_s {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    from.min(log.times.len().saturating_sub(1))
}

/// Keeps the least and the greatest force of each slice, in the order in which they came.
fn thinned(count: usize, at: impl Fn(usize) -> [f64; 2]) -> Curve {
    let each = count.div_ceil(SLICES).max(1);
    let mut places = Vec::new();
    for from in (0..count).step_by(each) {
        let slice = from..(from + each).min(count);
        let by_force = |a: &usize, b: &usize| at(*a)[1].total_cmp(&at(*b)[1]);
        let ends = [slice.clone().min_by(by_force), slice.max_by(by_force)];
        let mut ends: Vec<usize> = ends.into_iter().flatten().collect();
        ends.sort_unstable();
        ends.dedup();
        places.extend(ends.into_iter().map(&at));
    }
    Curve(places)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thinning_keeps_what_stands_out() {
        let Curve(places) = thinned(1_000_000, |index| {
            [index as f64, if index == 123_456 { 9.0 } else { 1.0 }]
        });
        assert!(places.len() <= 2 * SLICES);
        assert!(places.contains(&[123_456.0, 9.0]));
        let Curve(few) = thinned(3, |index| [index as f64, 0.0]);
        assert_eq!(few.len(), 3);
    }
}
