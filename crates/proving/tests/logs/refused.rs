//! Logs that can not be used, and the reasons that are given.

use proving::log::{Asked, LogError, read};
use proving::specimen::{Kind, Known, examine};
use std::fmt::Write as _;

fn refused(text: impl AsRef<[u8]>) -> LogError {
    read(text.as_ref(), &Asked::default()).unwrap_err()
}

/// Rows of a ramp in a template with `{t}`, `{f}` and `{x}`.
fn rows(template: &str) -> String {
    (0..40)
        .map(|row| {
            let row = f64::from(row);
            template
                .replace("{t}", &format!("{:.1}", 0.1 * row))
                .replace("{f}", &format!("{:.3}", 0.3 * row))
                .replace("{x}", &format!("{:.3}", 0.2 * row))
                + "\n"
        })
        .collect()
}

#[test]
fn what_holds_no_readings_is_refused() {
    assert!(matches!(refused(""), LogError::Empty));
    assert!(matches!(refused("\u{FEFF}"), LogError::Empty));
    assert!(matches!(refused(" \r\n\n\t\n"), LogError::Empty));
    assert!(matches!(
        refused(b"PK\x03\x04\x14\x00\x06\x00".as_slice()),
        LogError::NoText { .. }
    ));
    let bytes: Vec<u8> = (0..4000_u32).map(|at| (at * 7919 % 251) as u8).collect();
    assert!(matches!(refused(bytes), LogError::NoText { .. }));
    assert!(matches!(
        refused("Larkspur Library\nNothing was measured.\n"),
        LogError::NoRows
    ));
    assert!(matches!(refused("Time (s),Force (kN)\n"), LogError::NoRows));
    assert!(matches!(
        refused("Time (s),Force (kN)\n0,1\n1,2\n"),
        LogError::TooFew { rows: 2, .. }
    ));
    let nothing = "Time (s),Force (kN)\n".to_string() + &rows("{t},NaN");
    assert!(matches!(refused(nothing), LogError::NoForce { .. }));
}

#[test]
fn columns_that_are_not_known_are_asked_for() {
    assert!(matches!(
        refused("Force (kN)\n".to_string() + &rows("{f}")),
        LogError::NoTime
    ));
    assert!(matches!(
        refused("Time (s),Temperature (°C)\n".to_string() + &rows("{t},{f}")),
        LogError::NoForce { .. }
    ));
    assert!(matches!(refused(rows("{t},{f},{x}")), LogError::NoForce { .. }));
    let two = "Time (s),Load 1 (kN),Load 2 (kN)\n".to_string() + &rows("{t},{f},{x}");
    assert!(matches!(refused(&two), LogError::ManyForces { .. }));
    let said = Asked {
        force_column: Some(3),
        ..Asked::default()
    };
    assert_eq!(
        read(two.as_bytes(), &said).unwrap().reading.force_column,
        "3 (Load 2)"
    );
    let nowhere = Asked {
        force_column: Some(9),
        ..Asked::default()
    };
    assert!(matches!(
        read(two.as_bytes(), &nowhere).unwrap_err(),
        LogError::NoColumn { column: 9, width: 3 }
    ));
    let stands = "Time (s),Force (kN)\n".to_string() + &rows("5.0,{f}");
    assert!(matches!(refused(stands), LogError::TimeStands));
    let nothing = "Time (s),Force (kN)\n".to_string() + &rows("{t},0.000");
    assert!(matches!(refused(nothing), LogError::ForceStands));
}

#[test]
fn units_are_never_guessed() {
    assert!(matches!(
        refused("Time (s),Force\n".to_string() + &rows("{t},{f}")),
        LogError::NoUnit { .. }
    ));
    // A capacity says nothing of the readings.
    let capacity = "Load cell: 50 kN\nPreload 500 lbf\nTime (s),Force\n".to_string() + &rows("{t},{f}");
    assert!(matches!(refused(capacity), LogError::NoUnit { .. }));
    for unit in ["ton", "tons", "units", "V", "%", "mN"] {
        let text = format!("Time (s),Force ({unit})\n") + &rows("{t},{f}");
        assert!(matches!(refused(text), LogError::UnknownUnit { .. }), "{unit}");
    }
    let header = "Force unit: lbf\nTime (s),Force (kN)\n".to_string() + &rows("{t},{f}");
    assert!(matches!(refused(header), LogError::MixedUnits { .. }));
    let preamble = "Force unit: lbf\nForce unit: kN\nTime (s),Force\n".to_string() + &rows("{t},{f}");
    assert!(matches!(refused(preamble), LogError::NoUnit { .. }));
    let values = "Time (s),Force\n".to_string() + &rows("{t},{f} kN") + "9.0,12.0 lbf\n9.1,12.1 lbf\n";
    assert!(matches!(refused(values), LogError::MixedUnits { .. }));
    let other = "Time (s),Force (kN)\n".to_string() + &rows("{t},{f} lbf");
    assert!(matches!(refused(other), LogError::MixedUnits { .. }));
    let asked = Asked {
        force_unit: proving::log::Unit::read("lbf", proving::log::Measure::Force),
        ..Asked::default()
    };
    let written = "Time (s),Force (kN)\n".to_string() + &rows("{t},{f}");
    assert!(matches!(
        read(written.as_bytes(), &asked).unwrap_err(),
        LogError::OtherUnit { .. }
    ));
    let comma = "Time,Force\n".to_string() + &rows("{t},{f}").replace('.', ",");
    assert!(matches!(refused(comma), LogError::CommaForBoth));
    let either = (0..40).fold(String::new(), |text, row| {
        text + &format!("{},{}\n", row / 10, row % 10)
    });
    assert!(matches!(
        refused("Series 4\n".to_string() + &either),
        LogError::CommaForEither
    ));
    // One name that is a force is that of one column.
    assert!(matches!(
        refused("Kraft\nkgf\n".to_string() + &either),
        LogError::NoTime
    ));
}

/// Ways of naming that are read all the same: the unit, and the columns of force and travel.
#[test]
fn names_are_read_however_they_are_put() {
    for (text, unit, force, travel) in [
        (
            "Prüfzeit [s];Standardkraft [N];Traversenweg [mm]\n",
            "N",
            "2",
            "3",
        ),
        ("time_s;TensionForce_kN;crosshead_mm\n", "kN", "2", "3"),
        ("Time;Load;Displacement\nsec;lbf;in\n", "lbf", "2", "3"),
        ("(s);(kN);(mm)\n", "kN", "2", "3"),
        ("s;kN;mm\n", "kN", "2", "3"),
        ("Units: s, kN, mm\nTime;Load;Extension\n", "kN", "2", "3"),
        ("Force: daN\nTravel: mm\nTime (s);Force;Travel\n", "daN", "2", "3"),
        (
            "Load cell capacity: 100 kN\nTime (s);Load (Ch 2) [lbf];Position (mm)\n",
            "lbf",
            "2",
            "3",
        ),
        ("s;N;mm\nZeit;Zugkraft;Kolbenweg\n", "N", "2", "3"),
        ("Time (s);Force (kN);Extensometer (mm)\n", "kN", "2", "3"),
        ("# Time [s];Force [kN];Stroke [mm]\n", "kN", "2", "3"),
    ] {
        let log = read(
            (text.to_string() + &rows("{t};{f};{x}")).as_bytes(),
            &Asked::default(),
        );
        let reading = log.unwrap_or_else(|error| panic!("{text}: {error}")).reading;
        assert_eq!(reading.force_unit, unit, "{text}");
        assert!(
            reading.force_column.starts_with(force),
            "{text}: {}",
            reading.force_column
        );
        assert!(
            reading.travel_column.starts_with(travel),
            "{text}: {}",
            reading.travel_column
        );
    }
    let wide =
        "Elapsed time (s)   Load cell (kN)   Ram position (mm)\n".to_string() + &rows("{t}   {f}   {x}");
    assert_eq!(
        read(wide.as_bytes(), &Asked::default())
            .unwrap()
            .reading
            .force_unit,
        "kN"
    );
}

/// Travel that is not taken with each reading, a block of rows that stands twice, and an instrument past its range.
#[test]
fn odd_rows_are_mended_and_told() {
    let some: String = rows("{t},{f},{x}")
        .lines()
        .enumerate()
        .map(|(at, line)| {
            let cut = if at % 4 == 0 {
                line.len()
            } else {
                line.rfind(',').unwrap() + 1
            };
            line[..cut].to_string() + "\n"
        })
        .collect();
    let header = "Time (s),Force (kN),Travel (mm)\n";
    let log = read((header.to_string() + &some).as_bytes(), &Asked::default()).unwrap();
    assert_eq!(log.force_n.len(), 40);
    assert!(
        (f64::from(log.travel_m[2]) - 0.4e-3).abs() < 1e-6,
        "{}",
        log.travel_m[2]
    );
    let all = rows("{t},{f},{x}");
    let block: Vec<&str> = all.lines().collect();
    let twice = header.to_string() + &block[..30].join("\n") + "\n" + &block[20..].join("\n") + "\n";
    let log = read(twice.as_bytes(), &Asked::default()).unwrap();
    assert_eq!(
        (log.force_n.len(), log.after_gap.len()),
        (40, 0),
        "{:?}",
        log.reading
    );
    let over = header.to_string() + &all + "4.0,OVL,8.0\n4.1,OVL,8.2\n";
    let log = read(over.as_bytes(), &Asked::default()).unwrap();
    assert_eq!(log.over, [40, 41]);
}

/// A second heading in another unit is not passed over.
#[test]
fn a_log_that_changes_its_unit_is_refused() {
    let all = rows("{t},{f},{x}");
    let block: Vec<&str> = all.lines().collect();
    let with = |heading: &str| {
        let text = format!(
            "Time (s),Force (kN),Travel (mm)\n{}\n{heading}\n{}\n",
            block[..20].join("\n"),
            block[20..].join("\n")
        );
        read(text.as_bytes(), &Asked::default()).map(|log| log.force_n.len())
    };
    assert_eq!(with("Time (s),Force (kN),Travel (mm)").ok(), Some(40));
    let refused = with("Time (s),Force (lbf),Travel (mm)").unwrap_err().to_string();
    assert!(refused.contains("kN") && refused.contains("lbf"), "{refused}");
}

/// Points before decimals in one column and commas in another: one of them would be a thousand times too large.
#[test]
fn two_signs_before_decimals_are_refused() {
    let mixed = |template: &str| {
        let text: String = (100..200)
            .map(|row| {
                let time = format!("{:.3}", 0.01 * f64::from(row));
                let force = format!("{:.2}", 0.07 * f64::from(row)).replace('.', ",");
                template.replace("{t}", &time).replace("{f}", &force) + "\n"
            })
            .collect();
        refused("Time (s);Force (kN)\n".to_string() + &text)
    };
    assert!(
        matches!(mixed("{t};{f}"), LogError::BothSigns),
        "{}",
        mixed("{t};{f}")
    );
    assert!(matches!(mixed("\"{t}\";\"{f}\""), LogError::BothSigns));
}

/// Minutes and metres are both written so, two units are none, and a share of a second is not one second.
#[test]
fn units_of_time_that_may_be_several_are_asked_for() {
    let with = |unit: &str| format!("Time ({unit});Force (kN)\n") + &rows("{t};{f}");
    for unit in ["m", "s) (ms", "0.01 s", "s/ms"] {
        let error = refused(with(unit));
        assert!(matches!(error, LogError::UnknownTime { .. }), "{unit}: {error}");
        let asked = Asked {
            time_unit: proving::log::Unit::read("min", proving::log::Measure::Time),
            ..Asked::default()
        };
        let log = read(with(unit).as_bytes(), &asked).unwrap();
        assert!((log.reading.rate_hz - 1.0 / 6.0).abs() < 1e-9, "{unit}");
    }
    assert!(read(with("min").as_bytes(), &Asked::default()).is_ok());
    assert!(read(with("elapsed").as_bytes(), &Asked::default()).is_ok());
}

/// Two logs in one file, the second with travel before force.
#[test]
fn a_second_heading_in_another_order_is_refused() {
    let first = "Time (s),Force (kN),Travel (mm)\n".to_string() + &rows("{t},{f},{x}");
    let second = |heading: &str| first.clone() + heading + "\n" + &rows("{t},{x},{f}");
    let error = refused(second("Time (s),Travel (mm),Force (kN)"));
    assert!(matches!(error, LogError::ColumnsMove { line: 42, .. }), "{error}");
    let same = read(
        second("Time (s),Force (kN),Travel (mm)").as_bytes(),
        &Asked::default(),
    );
    assert!(same.is_ok());
    let marked = read(
        second("Load on,at noon,travel stopped").as_bytes(),
        &Asked::default(),
    );
    assert!(marked.is_ok(), "{:?}", marked.err());
}

/// Of three columns of force it is said which is the sum of the others; none is taken.
#[test]
fn a_sum_of_forces_is_told() {
    let halves = "Time (s),Load A (kN),Load B (kN),Sum (kN)\n".to_string()
        + &(0..40).fold(String::new(), |text, row| {
            let (a, b) = (0.1 * f64::from(row), 0.09 * f64::from(row));
            text + &format!("{row},{a:.3},{b:.3},{:.3}\n", a + b)
        });
    let error = refused(halves).to_string();
    assert!(error.contains("4 (Sum) is the sum of the others"), "{error}");
    let none = "Time (s),Load A (kN),Load B (kN),Load C (kN)\n".to_string() + &rows("{t},{f},{x},{f}");
    assert!(!refused(none).to_string().contains("sum"));
}

/// Readings that are asked for by the second are taken in place of times that stand in the log, and that is said.
#[test]
fn a_rate_in_place_of_times_is_told() {
    let text = "Time (s),Force (kN)\n".to_string() + &rows("{t},{f}");
    let asked = Asked {
        rate_hz: Some(50.0),
        ..Asked::default()
    };
    let reading = read(text.as_bytes(), &asked).unwrap().reading;
    assert!((reading.rate_hz - 50.0).abs() < 1e-3);
    assert!(
        reading.ignored[0].contains("1 (Time): the 50 readings a second"),
        "{:?}",
        reading.ignored
    );
}

/// The newest reading may stand first, with a clock of seconds or of the day, over midnight too.
#[test]
fn a_log_with_the_newest_first_is_turned_round() {
    let clock = |row: u32| {
        let second = 86_390 + row / 2;
        let (hour, minute) = (second / 3600 % 24, second / 60 % 60);
        format!("{hour:02}:{minute:02}:{:02}.{}", second % 60, 5 * (row % 2))
    };
    let number = |row: u32| format!("{:.1}", 0.5 * f64::from(row));
    for time in [&number as &dyn Fn(u32) -> String, &clock] {
        let line = |row: u32| {
            let force = if row == 37 {
                "OVL".to_string()
            } else {
                format!("{:.3}", 0.25 * f64::from(row))
            };
            format!("{},{force}\n", time(row))
        };
        let newest_first: String = (0..40).rev().map(line).collect();
        let text = "Time,Force (kN)\n".to_string() + &newest_first;
        let log = read(text.as_bytes(), &Asked::default()).unwrap();
        assert!((log.reading.rate_hz - 2.0).abs() < 1e-9, "{:?}", log.reading);
        let forces: Vec<f32> = log.force_n.clone();
        assert!(
            (f64::from(forces[0]), f64::from(forces[39])) == (0.0, 9750.0),
            "{forces:?}"
        );
        assert_eq!(
            (log.over.as_slice(), forces[37], log.after_gap.len()),
            (&[37][..], 9000.0, 0)
        );
        assert!(
            log.reading.repairs[0].contains("newest"),
            "{:?}",
            log.reading.repairs
        );
    }
}

/// A break that takes half a second while the machine goes on is one, and so is a slip; a machine that stands meanwhile lets nothing break. By hand:
/// 2 kN/mm until 6 kN, then 1.4 or 2 kN/mm from 1.1 kN further down.
#[test]
fn what_gives_way_slowly_is_an_event() {
    let found = |slope: f64, stands: bool| {
        let mut text = "Time (s),Force (kN),Travel (mm)\n".to_string();
        for at in 0..700_u32 {
            let t_s = f64::from(at) / 100.0;
            let pulled = (t_s - 0.5).max(0.0);
            let force = match pulled {
                x if x < 3.0 => 2.0 * x,
                x if x < 3.5 => 6.0 - 1.1 * (x - 3.0) / 0.5,
                x if x < 6.0 => 4.9 + slope * (x - 3.5),
                _ => 0.0,
            };
            let travel = if stands && pulled > 3.0 {
                (pulled - 0.5).max(3.0)
            } else {
                pulled
            };
            writeln!(text, "{t_s:.2},{force:.4},{travel:.4}").unwrap();
        }
        let log = read(text.as_bytes(), &Asked::default()).unwrap();
        let specimen = examine(&log, &Known::default());
        let first = specimen.first_break.map(|at| specimen.events[at].before_n);
        (specimen.events.len(), specimen.events[0].kind, first)
    };
    let (count, kind, first_n) = found(1.4, false);
    assert_eq!((count, kind), (2, Kind::Break));
    assert!((first_n.unwrap() - 6000.0).abs() < 60.0, "{first_n:?}");
    let (count, kind, first_n) = found(2.0, false);
    assert_eq!((count, kind, first_n), (2, Kind::Slip, None));
    assert_eq!(found(2.0, true).0, 1);
}

/// What is no unit of a force by itself: two words of one, a scale beside it, and what is no force at all.
#[test]
fn scales_and_torques_are_no_units() {
    let with = |name: &str| format!("Time (s);{name}\n") + &rows("{t};{f}");
    for name in [
        "Force [k N]",
        "Force x1000 [N]",
        "F/1000 [N]",
        "Force *100 [N]",
        "Force [kN]*10",
        "Force(N)x1000",
        "Load (x1000) N",
        "Force [10^3 N]",
    ] {
        let error = refused(with(name));
        assert!(matches!(error, LogError::UnknownUnit { .. }), "{name}: {error}");
    }
    for name in [
        "Torque [ft-lb]",
        "Torque ft-lb",
        "Energy (in-lb)",
        "Peak load (kN)",
        "Setpoint [kN]",
    ] {
        let error = refused(with(name));
        assert!(
            matches!(error, LogError::NoForce { .. } | LogError::UnknownUnit { .. }),
            "{name}: {error}"
        );
    }
    // A channel by number is no scale.
    for name in ["Force Ch 10 [kN]", "Load cell 100 kN [kN]", "Force 1 (kN)"] {
        assert!(read(with(name).as_bytes(), &Asked::default()).is_ok(), "{name}");
    }
    let scaled = "Scale factor: 10\nTime (s);Force (kN)\n".to_string() + &rows("{t};{f}");
    let reading = read(scaled.as_bytes(), &Asked::default()).unwrap().reading;
    assert!(
        reading.ignored[0].contains("nothing is multiplied"),
        "{:?}",
        reading.ignored
    );
}

/// A force as it was read and one that a filter smoothed are two: which counts is asked.
#[test]
fn filtered_forces_are_asked_about() {
    let two = "Time (s);Force filtered (kN);Force raw (kN)\n".to_string() + &rows("{t};{f};{x}");
    assert!(matches!(refused(two), LogError::ManyForces { .. }));
    let counts = "Time (s);Force (kN);Force raw (counts)\n".to_string() + &rows("{t};{f};{x}");
    assert!(read(counts.as_bytes(), &Asked::default()).is_ok());
    let alone = "Time (s);Force filtered (kN)\n".to_string() + &rows("{t};{f}");
    let reading = read(alone.as_bytes(), &Asked::default()).unwrap().reading;
    assert!(
        reading.assumed[0].contains("takes the top off"),
        "{:?}",
        reading.assumed
    );
}

/// `min` is a unit where a line is about units.
#[test]
fn minutes_are_read_from_the_lines_above() {
    let text = "Time unit: min\nTime;Force (kN)\n".to_string() + &rows("{t};{f}");
    let log = read(text.as_bytes(), &Asked::default()).unwrap();
    assert!(
        (log.reading.rate_hz - 1.0 / 6.0).abs() < 1e-6,
        "{:?}",
        log.reading
    );
}
