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
