//! Logs of which one thing is asked each. All are ramps with something in them; what they hold is by construction.

use proving::log::{Asked, Log, read};
use proving::specimen::{Known, Mode, Specimen, examine};
use std::f64::consts::TAU;
use std::fmt::Write as _;

fn seen(text: &str) -> (Log, Specimen) {
    let log = read(text.as_bytes(), &Asked::default()).unwrap();
    let specimen = examine(&log, &Known::default());
    (log, specimen)
}

/// Writes readings of a force by time, kN, after a quiet second, with a little noise that repeats.
fn log(heading: &str, rate_hz: f64, seconds: f64, force_kn: impl Fn(f64) -> f64) -> String {
    let mut text = format!("{heading}\n");
    for row in 0..(seconds * rate_hz) as u32 {
        let t = f64::from(row) / rate_hz;
        let noise = 0.002 * (f64::from(row * 7919 % 1009) / 1009.0 - 0.5);
        let force = if t < 12.0 { 0.0 } else { force_kn(t - 12.0) };
        writeln!(text, "{t:.3},{:.4}", force + noise).unwrap();
    }
    text
}

/// Read twice a second a slip of 1.1 % shows as a step in how the force grows, and no reading is less than the one before it.
#[test]
fn falls_between_slow_readings_are_found() {
    let force = |t: f64| match t {
        t if t < 20.2 => 0.3 * t,
        t if t < 40.0 => 0.3 * t - 0.13,
        _ => 0.0,
    };
    let (log, specimen) = seen(&log("Time (s),Force (kN)", 2.0, 55.0, force));
    let falls_before = log
        .force_n
        .windows(2)
        .filter(|pair| pair[1] < pair[0] - 10.0)
        .count();
    assert_eq!(falls_before, 1, "the end alone");
    let [slip, _] = specimen.events.as_slice() else {
        panic!("{:?}", specimen.events)
    };
    assert!(
        (slip.drop_n - 130.0).abs() < 10.0 && (slip.at_s - 32.0).abs() < 0.6,
        "{slip:?}"
    );
}

/// A rope that jerks through its fitting until the log ends carries less than it did: its greatest force is its strength, with no travel to say so.
#[test]
fn a_rope_that_never_carries_as_much_again_is_pulled_out() {
    let force = |t: f64| {
        if t < 40.0 {
            0.15 * t
        } else {
            2.8 + 0.15 * (t % 0.8)
        }
    };
    let (_, specimen) = seen(&log("Time (s),Force (kN)", 50.0, 90.0, force));
    assert_eq!(specimen.mode, Mode::PullOut);
    assert!(specimen.at_least.is_none());
    assert!((specimen.peak.force_n - 6000.0).abs() < 3.0 + specimen.peak.uncertainty_n);
    // Where the log ends soon, it may still have come back.
    let soon = seen(&log("Time (s),Force (kN)", 50.0, 53.0, |t| {
        0.15 * t - if t < 40.0 { 0.0 } else { 2.0 }
    }))
    .1;
    assert_ne!(soon.mode, Mode::PullOut);
}

/// A hum that is eight readings long is none of the falls that it makes.
#[test]
fn a_slow_hum_is_no_fall() {
    let force = |t: f64| match t {
        t if t < 60.0 => 0.15 * t + 0.04 * (TAU * 12.5 * t).sin(),
        _ => 0.0,
    };
    let (_, specimen) = seen(&log("Time (s),Force (kN)", 100.0, 75.0, force));
    assert_eq!(specimen.events.len(), 1, "{:?}", specimen.events);
    let (hz, _) = specimen.hum.unwrap();
    assert!((hz - 12.5).abs() < 0.05, "{hz}");
}

/// A column that is called `t` holds the time and makes no ton of the force beside it; nor does its unit below.
#[test]
fn a_time_is_no_ton() {
    let force = |t: f64| 0.15 * t;
    let plain = log("t,Force", 10.0, 40.0, force);
    let asked = read(plain.as_bytes(), &Asked::default()).unwrap_err();
    assert!(matches!(asked, proving::log::LogError::NoUnit { .. }), "{asked}");
    let (with_unit, _) = seen(&log("t,Pull\ns,N", 10.0, 40.0, force));
    assert_eq!(with_unit.reading.force_unit, "N");
}

/// Some instruments write nines past their range: no force leads up to them, and none is told.
#[test]
fn nines_are_no_force() {
    let force = |t: f64| match t {
        t if t < 40.0 => 0.15 * t,
        t if t < 42.0 => 9.999,
        _ => 0.0,
    };
    let text = log("Time (s),Force (kN)", 20.0, 60.0, force);
    // Without the noise, as an instrument writes them.
    let lines: Vec<String> = text
        .lines()
        .map(|line| match line.split_once(',') {
            Some((t, force)) if force.starts_with("9.99") || force.starts_with("10.0") => {
                format!("{t},9.999")
            }
            _ => line.to_string(),
        })
        .collect();
    let (log, specimen) = seen(&lines.join("\n"));
    assert_eq!(log.over.len(), 40, "{:?}", log.reading.repairs);
    assert_eq!(specimen.at_least, Some(proving::specimen::AtLeast::PastRange));
    assert!(
        (specimen.peak.force_n - 5990.0).abs() < 20.0,
        "{:?}",
        specimen.peak
    );
}

/// Whole numbers with steps of a hundred are no seconds.
#[test]
fn thousandths_without_a_unit_are_told_from_seconds() {
    let text: String = (0..400).fold("Time,Force (kN)\n".to_string(), |text, row| {
        text + &format!("{},{:.3}\n", 100 * row, 0.01 * f64::from(row))
    });
    let (log, _) = seen(&text);
    assert!((log.reading.rate_hz - 10.0).abs() < 1e-6, "{:?}", log.reading);
    assert!(
        log.reading
            .assumed
            .iter()
            .any(|says| says.contains("thousandths"))
    );
}

/// A day and a clock between blanks have one name, and the names after it stand over what follows.
#[test]
fn names_stand_over_their_columns_beside_a_clock_in_two_parts() {
    let text: String = (0..400).fold(
        "Tijd hh:mm:ss  Trekkracht t  Weg cm\n".to_string(),
        |text, row| {
            let (seconds, force) = (row / 10, 0.001 * f64::from(row));
            text + &format!(
                "2026-03-14 23:59:{seconds:02}.{}20  {force:.5}  {:.4}\n",
                row % 10,
                4.0 * force
            )
        },
    );
    let (log, _) = seen(&text);
    assert_eq!(
        [
            &log.reading.force_unit,
            &log.reading.travel_unit,
            &log.reading.force_column
        ],
        ["tf", "cm", "3 (Trekkracht)"]
    );
}

/// Blanks group thousands between tabs, and part no columns there.
#[test]
fn blanks_between_tabs_group_thousands() {
    let text: String = (0..350).fold("No.\tZeit\tKraft\tis\n\tms\tkN\t\n".to_string(), |text, row| {
        let (whole, part) = (50 * row / 1000, 50 * row % 1000);
        let time = if whole == 0 {
            format!("{part},0")
        } else {
            format!("{whole} {part:03},0")
        };
        text + &format!("{row}\t{time}\t{:.3}\tOK\n", 0.05 * f64::from(row)).replace('.', ",")
    });
    let (log, _) = seen(&text);
    assert_eq!(
        [
            &log.reading.separator,
            &log.reading.time_column,
            &log.reading.force_column
        ],
        ["tab", "2 (Zeit)", "3 (Kraft)"]
    );
    assert!((log.reading.rate_hz - 20.0).abs() < 1e-6, "{:?}", log.reading);
}

/// Of a cell that counts in steps of 0.1 kN, pulled by 0.02 kN in a second, half a second shows no step: the rate is told over longer.
#[test]
fn a_rate_is_told_over_more_than_a_step_of_the_cell() {
    let text = (0..7000_u32).fold("Time (s),Force (kN)\n".to_string(), |text, row| {
        let t = f64::from(row) / 10.0;
        let force = if t < 650.0 {
            0.02 * (t - 12.0).max(0.0)
        } else {
            0.0
        };
        text + &format!("{t:.1},{force:.1}\n")
    });
    let (_, specimen) = seen(&text);
    assert!((specimen.count_n - 100.0).abs() < 0.1, "{}", specimen.count_n);
    for rate in [specimen.rate_n_per_s, specimen.rate_before_n_per_s] {
        assert!((rate.unwrap() - 20.0).abs() < 1.0, "{rate:?}");
    }
    // What grows by a step or two in all is not told.
    let soon = (0..400_u32).fold("Time (s),Force (kN)\n".to_string(), |text, row| {
        let force = if row < 200 { 0.0 } else { 0.2 };
        text + &format!("{:.1},{force:.1}\n", f64::from(row) / 10.0)
    });
    assert_eq!(seen(&soon).1.rate_n_per_s, None);
}

/// What a log is said to show it shows: falls as large as the least that is told are found, at any rate, noise and step of a cell.
#[test]
fn falls_that_a_log_surely_shows_are_found() {
    let (mut found, mut all, mut chance) = (0, 0, super::Chance(77));
    for rate_hz in [5.0, 10.0, 50.0, 200.0, 1000.0] {
        for (noise, count) in [(0.0005, 0.0), (0.003, 0.0), (0.01, 0.0), (0.0005, 0.02)] {
            for _ in 0..4 {
                let falls_s = chance.between(18.0, 30.0);
                let mut at_most = |fall_kn: f64| {
                    let mut text = "Time (s),Force (kN)\n".to_string();
                    for row in 0..(55.0 * rate_hz) as u32 {
                        let t = f64::from(row) / rate_hz;
                        let fell = if t > falls_s { fall_kn } else { 0.0 };
                        let force = if t < 44.0 {
                            0.25 * (t - 4.0).max(0.0) - fell
                        } else {
                            0.0
                        };
                        let mut force = force + 10.0 * noise * chance.normal();
                        if count > 0.0 {
                            force = (force / (10.0 * count)).round() * 10.0 * count;
                        }
                        writeln!(text, "{t:.4},{force:.5}").unwrap();
                    }
                    seen(&text).1
                };
                let least_n = at_most(0.0).least_fall_n;
                let specimen = at_most(1.05e-3 * least_n);
                let is_it = |event: &&proving::specimen::Event| (event.at_s - falls_s).abs() < 0.6;
                found += usize::from(specimen.events.iter().any(|event| is_it(&event)));
                all += 1;
            }
        }
    }
    assert!(20 * found >= 19 * all, "{found} of {all}");
}

/// A display that is read more often than it changes says each value several times, the greatest too: no cell at the end of its range.
#[test]
fn a_display_that_repeats_its_value_is_not_at_its_end() {
    let shown = |t: f64| 0.25 * ((2.0 * t).floor() / 2.0 - 4.0).max(0.0);
    let text = (0..600_u32).fold("Time (s),Force (kN),Travel (mm)\n".to_string(), |text, row| {
        let t = f64::from(row) / 10.0;
        let force = if t < 44.0 { shown(t) } else { 0.0 };
        text + &format!("{t:.1},{force:.3},{t:.1}\n")
    });
    let (_, specimen) = seen(&text);
    assert_eq!((specimen.at_least, specimen.mode), (None, Mode::CleanBreak));
    // One that is at its end says it for longer than any value before.
    let clipped = text.lines().fold(String::new(), |text, line| {
        let force = line.split(',').nth(1).and_then(|force| force.parse::<f64>().ok());
        let at_most = force.map(|force| force.min(8.5));
        text + &at_most.map_or(line.to_string(), |force| {
            let fields: Vec<&str> = line.split(',').collect();
            format!("{},{force:.3},{}", fields[0], fields[2])
        }) + "\n"
    });
    assert_eq!(
        seen(&clipped).1.at_least,
        Some(proving::specimen::AtLeast::PastRange)
    );
}

/// What shakes a cell, or its wires, as the specimen breaks is neither its strength nor a fall.
#[test]
fn a_burst_of_noise_at_the_break_is_no_force() {
    let mut chance = super::Chance(5);
    for (rate_hz, size_kn) in [(20.0, 6.0), (50.0, 2.0), (50.0, 6.0), (500.0, 6.0)] {
        let breaks_s = 51.98;
        let mut text = "Time (s),Force (kN)\n".to_string();
        for row in 0..(60.0 * rate_hz) as u32 {
            let t = f64::from(row) / rate_hz;
            let force = if t < breaks_s {
                0.2 * (t - 12.0).max(0.0)
            } else {
                0.0
            };
            let shakes = if (breaks_s..breaks_s + 0.5).contains(&t) {
                size_kn
            } else {
                0.002
            };
            writeln!(text, "{t:.3},{:.4}", force + shakes * chance.normal()).unwrap();
        }
        let (_, specimen) = seen(&text);
        assert_eq!(specimen.mode, Mode::CleanBreak, "{:?}", specimen.events);
        assert_eq!(specimen.events.len(), 1, "{:?}", specimen.events);
        let off_n = (specimen.peak.force_n - 7996.0).abs();
        assert!(off_n < specimen.peak.uncertainty_n + 4.0, "{:?}", specimen.peak);
    }
}

/// Two readings that stand out may be followed by two more that stand out otherwise.
#[test]
fn spikes_side_by_side_are_no_force() {
    for beside in [[3.0, 3.0, 9.5, 9.5], [6.5, 6.5, 0.0, 0.0], [2.0, 0.0, 9.0, 2.15]] {
        let force = |t: f64| match ((t - 20.0) * 20.0).round() {
            row if (0.0..4.0).contains(&row) => beside[row as usize],
            _ if t < 40.0 => 0.1 * t,
            _ => 0.0,
        };
        let (_, specimen) = seen(&log("Time (s),Force (kN)", 20.0, 60.0, force));
        assert_eq!(specimen.events.len(), 1, "{:?}", specimen.events);
        assert!(
            (specimen.peak.force_n - 4000.0).abs() < 10.0,
            "{:?}",
            specimen.peak
        );
        assert!(specimen.spikes > 0);
    }
}

/// A number that breaks off before its unit is none, however much of it is there.
#[test]
fn a_last_line_without_its_unit_is_cut_off() {
    let text = (0..200).fold("Time;Force\n".to_string(), |text, row| {
        text + &format!("{} s;{} N\n", row, 5000 + 37 * row)
    });
    let (log, specimen) = seen(&(text + "200 s;1"));
    assert!(log.is_cut_off);
    assert_eq!((log.force_n.len(), specimen.events.len()), (200, 0));
}

/// A hum that is read twice in a round goes to and fro from reading to reading.
#[test]
fn a_hum_at_half_the_rate_is_no_fall() {
    let force = |t: f64| match t {
        t if t < 60.0 => 0.1 * t,
        _ => 0.0,
    };
    let text = (0..1500_u32).fold("Time (s),Force (kN)\n".to_string(), |text, row| {
        let t = f64::from(row) / 20.0;
        let hum = if row % 2 == 0 { 0.03 } else { -0.03 };
        text + &format!("{t:.2},{:.4}\n", force((t - 5.0).max(0.0)) + hum)
    });
    let (_, specimen) = seen(&text);
    assert_eq!(specimen.events.len(), 1, "{:?}", specimen.events);
    let (hz, size_n) = specimen.hum.unwrap();
    assert!(
        (hz - 10.0).abs() < 0.01 && (size_n - 42.4).abs() < 13.0,
        "{hz} {size_n}"
    );
    assert!(
        (specimen.peak.force_n - 6000.0).abs() < 35.0,
        "{:?}",
        specimen.peak
    );
}

/// What slips while it is held, holds on, and is let down, has not failed: with no travel the machine is known to stand by what is held.
#[test]
fn a_slip_in_a_hold_is_no_pull_out() {
    let force = |t: f64| match t {
        t if t < 20.0 => 0.5 * t,
        t if t < 32.0 => 9.9,
        t if t < 45.0 => 9.1,
        t if t < 49.0 => 9.1 - 2.2 * (t - 45.0),
        _ => 0.0,
    };
    let (_, specimen) = seen(&log("Time (s),Force (kN)", 100.0, 75.0, force));
    assert_eq!(specimen.mode, Mode::NoFailure, "{:?}", specimen.events);
    assert_eq!(specimen.at_least, Some(proving::specimen::AtLeast::NotFailed));
}

/// Travel that scatters goes back now and then, though the machine does not. By hand: 2 kN/mm before and after, and 0.2 mm slipped.
#[test]
fn a_slip_is_told_where_travel_scatters() {
    let mut chance = super::Chance(11);
    let mut told = 0;
    for _ in 0..20 {
        let text = (0..700_u32).fold("Time (s),Force (kN),Travel (mm)\n".to_string(), |text, row| {
            let t = f64::from(row) / 10.0;
            let pulled = 0.1 * (t - 10.0).clamp(0.0, 50.0);
            let slipped = if pulled > 2.0 { 0.2 } else { 0.0 };
            let force = if t < 60.0 { 2.0 * (pulled - slipped) } else { 0.0 };
            let travel = pulled + 0.012 * chance.normal();
            text + &format!("{t:.1},{:.4},{travel:.4}\n", force + 0.002 * chance.normal())
        });
        let (_, specimen) = seen(&text);
        let first = specimen.events[0];
        assert_ne!(first.kind, proving::specimen::Kind::Break, "{first:?}");
        if first.kind == proving::specimen::Kind::Slip {
            told += 1;
            assert!((first.slip_m.unwrap() - 2e-4).abs() < 2e-5, "{first:?}");
        }
    }
    assert!(told >= 15, "{told} of 20");
}

/// A rope that slides out and takes less and less, and then the machine goes back: it was pulled out, by a little or by much.
#[test]
fn what_slides_out_before_the_machine_goes_back_is_pulled_out() {
    for falls_to in [0.95, 0.7, 0.5] {
        let text = (0..1300_u32).fold("Time (s),Force (kN),Travel (mm)\n".to_string(), |text, row| {
            let t = f64::from(row) / 10.0;
            let up = ((t - 5.0) / 60.0).clamp(0.0, 1.0);
            let slid = ((t - 65.0) / 25.0).clamp(0.0, 1.0);
            let back = ((t - 95.0) / 30.0).clamp(0.0, 1.0);
            let force = 20.0 * up * (1.0 - (1.0 - falls_to) * slid) * (1.0 - back);
            let travel = 40.0 * up + 10.0 * slid - 30.0 * back;
            text + &format!("{t:.1},{:.4},{travel:.3}\n", force + 0.002 * (t * 91.0).sin())
        });
        let (_, specimen) = seen(&text);
        assert_eq!(
            (specimen.mode, specimen.at_least),
            (Mode::PullOut, None),
            "{falls_to}"
        );
    }
}

/// A cell at its end, twice, with a slip between.
#[test]
fn a_cell_that_is_at_its_end_again_is_told() {
    let force = |t: f64| {
        let pulled = if t < 30.0 { 0.2 * t } else { 0.2 * t - 1.5 };
        let pulled = if t < 52.0 { pulled } else { 0.0 };
        pulled.min(5.0)
    };
    let mut chance = super::Chance(3);
    let text = (0..7000_u32).fold("Time (s),Force (kN)\n".to_string(), |text, row| {
        let t = f64::from(row) / 100.0;
        let scatter = 0.001 * chance.normal();
        let force = force((t - 5.0).max(0.0));
        let read = if force < 5.0 { force + scatter } else { 5.0 };
        text + &format!("{t:.2},{:.4}\n", read.min(5.0))
    });
    assert_eq!(
        seen(&text).1.at_least,
        Some(proving::specimen::AtLeast::PastRange)
    );
}

/// A few readings that only rise end early.
#[test]
fn a_short_log_that_rises_ends_early() {
    for rows in [10, 15, 20, 40] {
        let text = (0..rows).fold("Time (s),Force (kN)\n".to_string(), |text, row| {
            text + &format!("{row},{:.2}\n", 0.5 + f64::from(row))
        });
        let (_, specimen) = seen(&text);
        assert_eq!(specimen.mode, Mode::EndedEarly, "{rows}");
    }
}

/// What the cell reads once all is let down may be its zero: surely so where the machine went on, and else that is told.
#[test]
fn a_zero_that_moved_is_told_of_what_was_let_down() {
    let at = |slack_mm: f64| {
        let text = (0..1200_u32).fold("Time (s),Force (kN),Travel (mm)\n".to_string(), |text, row| {
            let t = f64::from(row) / 10.0;
            let pulled = ((t - 5.0) / 2.0).clamp(0.0, 20.0) - ((t - 60.0) / 2.0).clamp(0.0, 20.0 + slack_mm);
            let force = pulled.max(0.0) + 0.6 * (t / 120.0);
            text + &format!("{t:.1},{:.4},{pulled:.3}\n", force + 0.002 * (t * 91.0).sin())
        });
        seen(&text).1
    };
    let slack = at(3.0);
    assert!(
        slack.drift_n.is_some_and(|drift_n| drift_n > 400.0),
        "{:?}",
        slack.drift_n
    );
    let true_n = 20_000.0;
    assert!(
        (slack.peak.force_n - true_n).abs() < slack.peak.uncertainty_n,
        "{:?}",
        slack.peak
    );
    let stops = at(0.0);
    assert_eq!(stops.drift_n, None);
    assert!(
        stops.rests_n.is_some_and(|rests_n| rests_n > 400.0),
        "{:?}",
        stops.rests_n
    );
}
