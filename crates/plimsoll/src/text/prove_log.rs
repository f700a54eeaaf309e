//! What one log shows, as plain text.

use super::figures::{force, small};
use super::page::Page;
use super::table::{Column, Table};
use app::{EventAnswer, Kind, LogAnswer, LogReading, Style};

const EVENTS: [Column; 7] = [
    Column::number("event"),
    Column::number("at"),
    Column::words("what"),
    Column::number("force\nbefore"),
    Column::number("falls\nby"),
    Column::number("slips\nby"),
    Column::number("stiffness\nleft"),
];

const HOLDS: [Column; 5] = [
    Column::number("held from"),
    Column::number("for"),
    Column::number("mean\nforce"),
    Column::number("least\nforce"),
    Column::number("machine\nwent"),
];

/// Sets an answer.
pub fn log_page(answer: &LogAnswer, page: &Page) -> String {
    let style = page.style;
    let at_least = if answer.peak_is_lower_bound {
        "at least "
    } else {
        ""
    };
    let headline = format!(
        "{}: {at_least}{} +- {} at {}; {}",
        answer.log,
        sure(answer.peak_n, answer.peak_uncertainty_n, style),
        force(Some(answer.peak_uncertainty_n), style),
        seconds(answer.peak_at_s),
        answer.mode
    );
    let mut out = page.paragraph(&headline, 0);
    for (label, says) in lines(answer, style) {
        out.push_str(&page.labelled(&format!("{label}:"), &says, 2));
    }
    if !answer.events.is_empty() {
        out.push_str(&page.heading("Events: sudden falls of the force"));
        let shown = answer.events_that_tell();
        let rows = answer
            .events
            .iter()
            .take(shown)
            .enumerate()
            .map(|(index, event)| {
                vec![
                    (index + 1).to_string(),
                    seconds(event.at_s),
                    event.kind.in_words().to_string(),
                    force(Some(event.before_n), style),
                    force(Some(event.drop_n), style),
                    event
                        .slip_m
                        .map(|slip_m| small(slip_m, style))
                        .unwrap_or_default(),
                    event
                        .stiffness_left
                        .map(|left| format!("{:.0} %", 100.0 * left))
                        .unwrap_or_default(),
                ]
            });
        out.push_str(&Table::new(&EVENTS, rows.collect()).set(page.width));
        if let Some(says) = more(&answer.events[shown..], style) {
            out.push_str(&page.paragraph(&says, 2));
        }
    }
    if !answer.holds.is_empty() {
        out.push_str(&page.heading("Held"));
        let rows = answer.holds.iter().map(|hold| {
            vec![
                seconds(hold.from_s),
                seconds(hold.seconds),
                force(Some(hold.mean_n), style),
                force(Some(hold.least_n), style),
                hold.travel_m
                    .map(|travel_m| small(travel_m, style))
                    .unwrap_or_default(),
            ]
        });
        out.push_str(&Table::new(&HOLDS, rows.collect()).set(page.width));
    }
    if !answer.warnings.is_empty() {
        out.push_str(&page.heading("To mind"));
        let says: Vec<String> = answer
            .warnings
            .iter()
            .map(|warning| warning.says.clone())
            .collect();
        out.push_str(&page.bullets(&says));
    }
    out.push_str(&page.heading("How the log was read"));
    out.push_str(&page.bullets(&how_read(&answer.reading)));
    out.push_str(&page.cautions());
    out
}

/// Says of the events that a page does not show.
fn more(events: &[EventAnswer], style: Style) -> Option<String> {
    let drops = || events.iter().map(|event| event.drop_n);
    let [least_n, most_n] = [drops().reduce(f64::min)?, drops().reduce(f64::max)?];
    Some(format!(
        "and {} more after the greatest force, by {} to {}; --json lists them all",
        events.len(),
        force(Some(least_n), style),
        force(Some(most_n), style)
    ))
}

/// Writes a force as well as it is known.
fn sure(force_n: f64, off_n: f64, style: Style) -> String {
    force(Some(force_n), style.as_sure_as(force_n, off_n))
}

fn seconds(time_s: f64) -> String {
    format!("{time_s:.2} s")
}

/// Lists what is told in a line each.
fn lines(answer: &LogAnswer, style: Style) -> Vec<(&'static str, String)> {
    let energy = |energy_j: f64| Kind::Energy.print(energy_j, style);
    let stiffness = |n_per_m: f64| Kind::Stiffness.print(n_per_m, style);
    let rate = |n_per_s: f64| format!("{} in a second", force(Some(n_per_s), style));
    let mut lines = Vec::new();
    let mut add = |label: &'static str, says: Option<String>| {
        if let Some(says) = says {
            lines.push((label, says));
        }
    };
    add(
        "of the breaking force of the rope",
        answer.efficiency.map(|share| format!("{:.1} %", 100.0 * share)),
    );
    add(
        "first break",
        answer.first_break_n.map(|first_n| force(Some(first_n), style)),
    );
    let kept = answer
        .rate_is_kept
        .map(|kept| if kept { ", within" } else { ", more than" });
    let of_breaking = answer
        .rate_above_80_percent
        .map(|share| format!(" ({:.2} % of the breaking force", 100.0 * share));
    let of_breaking = of_breaking
        .zip(kept)
        .map(|(share, kept)| format!("{share}{kept} the 0.5 % asked for)"));
    add(
        "force grew before 80 % by",
        answer.rate_below_80_percent_n_per_s.map(rate),
    );
    add(
        "and from there by",
        answer
            .rate_above_80_percent_n_per_s
            .map(|n_per_s| rate(n_per_s) + of_breaking.as_deref().unwrap_or(" (past 80 % of the peak)")),
    );
    let alone = answer
        .stiffness_alone_n_per_m
        .map(|alone| format!("; {} without it", stiffness(alone)));
    add(
        "stiffness with the machine",
        answer
            .stiffness_n_per_m
            .map(|both| stiffness(both) + &alone.unwrap_or_default()),
    );
    add("work up to the peak", answer.work_j.map(energy));
    let alone = answer
        .elastic_energy_alone_j
        .map(|alone| format!("; {} of it in the specimen", energy(alone)));
    add(
        "elastic energy at the peak, machine and all",
        answer
            .elastic_energy_j
            .map(|both| energy(both) + &alone.unwrap_or_default()),
    );
    add(
        "elastic energy of the rope at the peak, estimated",
        answer
            .elastic_energy_range_j
            .map(|[least, most]| format!("{} to {}", energy(least), energy(most))),
    );
    add(
        "an end that lets go comes back at about",
        answer.recoil_m_per_s.map(|speed| Kind::Speed.print(speed, style)),
    );
    let taken = if answer.zero_is_taken_off {
        "taken off"
    } else {
        "not known well, not taken off"
    };
    let zero = format!("{} ({taken})", force(Some(answer.zero_offset_n), style));
    add("zero of the cell", Some(zero));
    let count =
        (answer.count_n > 0.0).then(|| format!("; least step {}", force(Some(answer.count_n), style)));
    add(
        "scatter of one reading",
        Some(force(Some(answer.noise_n), style) + &count.unwrap_or_default()),
    );
    add(
        "least fall that surely shows",
        Some(force(Some(answer.least_fall_n), style)),
    );
    let preloads: Vec<String> = answer
        .preloads
        .iter()
        .map(|preload| {
            format!(
                "{} at {}",
                force(Some(preload.force_n), style),
                seconds(preload.at_s)
            )
        })
        .collect();
    add(
        "pulled before to",
        (!preloads.is_empty()).then(|| preloads.join(", ")),
    );
    lines
}

fn how_read(reading: &LogReading) -> Vec<String> {
    let column = |what: &str, column: &str, unit: &str| {
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(", in {unit}")
        };
        (!column.is_empty()).then(|| format!("{what}: column {column}{unit}"))
    };
    let first = format!(
        "{} readings, {:.4} a second; {}, columns parted by {}, decimals by `{}`, {} lines before the first reading",
        reading.rows,
        reading.rate_hz,
        reading.encoding,
        reading.separator,
        reading.decimal,
        reading.heading_lines
    );
    let columns = [
        column("time", &reading.time_column, ""),
        column("force", &reading.force_column, &reading.force_unit),
        column("travel", &reading.travel_column, &reading.travel_unit),
    ];
    let labelled = |label: &'static str, all: &[String]| -> Vec<String> {
        all.iter().map(|says| format!("{label}: {says}")).collect()
    };
    std::iter::once(first)
        .chain(columns.into_iter().flatten())
        .chain(labelled("mended", &reading.repairs))
        .chain(labelled("left out", &reading.ignored))
        .chain(labelled("assumed", &reading.assumed))
        .collect()
}
