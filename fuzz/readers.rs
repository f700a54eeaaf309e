//! Every reader of outside input, each taking bytes that may be anything. None may panic on any of them.
//!
//! The fuzz targets call these, and so does the test that replays the corpora.

use quantity::{Kind, Style};

/// A reader that takes anything.
pub type Reader = fn(&[u8]);

/// The readers by the name of their fuzz target.
#[allow(dead_code, reason = "a fuzz target calls its reader by name")]
pub const READERS: [(&str, Reader); 8] = [
    ("quantity", quantity),
    ("rig", rig),
    ("parts_book", parts_book),
    ("practices", practices),
    ("shop", shop),
    ("readings", readings),
    ("log", log),
    ("series", series),
];

/// Reads a text as every kind of quantity; what reads must print and read back.
pub fn quantity(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    for kind in Kind::ALL {
        match kind.parse_si(text) {
            Ok(si) => {
                assert!(si.is_finite(), "{kind:?} reads {text:?} as {si}");
                let _ = (kind.print(si, Style::us()), kind.print(si, Style::both()));
            }
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
}

/// Reads a rig document and shows what is wrong with it.
pub fn rig(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    show(text, &rig::read(text).problems);
}

/// Reads a parts book and lays it over the published one.
pub fn parts_book(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let (book, problems) = parts::Book::read("fuzz.toml", text);
    show(text, &problems);
    let laid = parts::Book::published().overlaid(&book);
    assert!(laid.ids().count() >= parts::Book::published().ids().count());
}

/// Reads practices and lays them over the published ones.
pub fn practices(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let (practices, problems) = practice::Practices::read("fuzz.toml", text);
    show(text, &problems);
    let _ = practice::Practices::published().overlaid(practices);
}

/// Reads a shop document.
pub fn shop(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    show(text, &rig::read_shop(text).problems);
}

/// Reads a readings document.
pub fn readings(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    show(text, &rig::read_readings(text).problems);
}

/// Reads a pull-test log as it is, and with the unit of the force told; what reads is examined.
pub fn log(bytes: &[u8]) {
    use proving::log::{Asked, Measure, Unit, read};
    use proving::specimen::{Known, examine};
    let known = Known {
        breaking_n: Some(2e4),
        capacity_n: Some(5e4),
        machine_n_per_m: Some(4e6),
    };
    for force_unit in [None, Unit::read("kN", Measure::Force)] {
        let asked = Asked {
            force_unit,
            ..Asked::default()
        };
        match read(bytes, &asked) {
            Ok(log) => {
                assert_eq!(log.times.len(), log.force_n.len());
                assert!(log.travel_m.is_empty() || log.travel_m.len() == log.force_n.len());
                let specimen = examine(&log, &known);
                assert!(!specimen.peak.force_n.is_nan());
            }
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
}

/// Reads a series document whose logs can not be opened, and what it supports.
pub fn series(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let read = series::read_series(text);
    show(text, &read.problems);
    if read.problems.is_empty() {
        let open = |_: &str| Err(std::io::Error::from(std::io::ErrorKind::NotFound));
        if let Err(problems) = series::prove(&read.value, parts::Book::published(), &open, Style::us()) {
            show(text, &problems);
        }
    }
}

fn show(text: &str, problems: &[document::Problem]) {
    for problem in problems {
        let _ = problem.line_and_column(text);
    }
    let _ = document::render("fuzz.toml", text, problems, 80, false);
}
