//! What the writer of a series document said. SI units.

use crate::shape::{DECIMALS, SERIES};
use document::{Placed, Problem, Reading, Table};
use indexmap::IndexMap;
use parts::Listed;
use proving::Level;

/// A series as it is written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// Its title.
    pub title: String,
    /// What stands about who, when and where, in words.
    pub about: Vec<(&'static str, String)>,
    /// How warm it was, K.
    pub temperature_k: Option<f64>,
    /// What pulled.
    pub machine: Machine,
    /// What measured.
    pub cell: Cell,
    /// The share and the confidence of limits.
    pub level: Option<Level>,
    /// Whether nothing was pulled.
    pub invented: bool,
    /// What was tested.
    pub kinds: IndexMap<String, Kind>,
}

/// What pulled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Machine {
    /// What it is.
    pub what: Option<String>,
    /// The most that it may pull, N.
    pub capacity_n: Option<f64>,
    /// How far it can pull, m.
    pub stroke_m: Option<f64>,
    /// Its stiffness, N/m.
    pub stiffness_n_per_m: Option<f64>,
    /// The diameter of its pins, m.
    pub pin_m: Option<f64>,
}

/// What measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cell {
    /// What it is.
    pub what: Option<String>,
    /// What it can measure, N.
    pub capacity_n: Option<f64>,
    /// How far it may be off, as a share.
    pub uncertainty: Option<f64>,
    /// The day of its last calibration.
    pub calibrated: Option<String>,
    /// The certificate.
    pub document: Option<String>,
}

/// Lines that are made up alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Kind {
    /// Their parts.
    pub parts: Listed,
    /// The part on trial.
    pub tests: Placed<String>,
    /// Rope between the ends, m.
    pub rope_length_m: Option<f64>,
    /// The breaking force of the rope, N, and who says so.
    pub breaking: Option<(f64, String)>,
    /// What the rope itself broke at on average, N, of how many, and who says so.
    pub own: Option<(f64, u32, String)>,
    /// A working load, N, and a design factor.
    pub claim: Option<(f64, f64)>,
    /// Scatter at the least, as a share of the mean.
    pub least_scatter: Option<f64>,
    /// What is expected before any is pulled.
    pub expects: Option<Expects>,
    /// The specimens; none yet in a plan.
    pub specimens: IndexMap<String, Specimen>,
}

/// A guess of what is still to be pulled.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Expects {
    /// The mean strength, N.
    pub mean_n: Option<f64>,
    /// The standard deviation, as a share of the mean.
    pub scatter: Option<f64>,
}

/// One that was pulled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Specimen {
    /// Its log.
    pub log: Option<Placed<String>>,
    /// The units of its force, travel and time.
    pub units: [Option<String>; 3],
    /// The columns of time, force and travel.
    pub columns: [Option<usize>; 3],
    /// The sign before decimals.
    pub decimal: Option<char>,
    /// Readings in a second.
    pub rate_hz: Option<f64>,
    /// The greatest force as it was read, N.
    pub peak_n: Option<f64>,
    /// The force at the first break as it was told, N.
    pub first_break_n: Option<f64>,
    /// How it failed.
    pub saw: Option<String>,
    /// Photographs.
    pub photographs: Vec<String>,
    /// Why it does not count.
    pub set_aside: Option<String>,
    /// Why it failed under the claim.
    pub explained: Option<String>,
    /// Anything else.
    pub notes: Option<String>,
}

/// More kinds than these are another document.
const MOST_KINDS: usize = 2;

/// Reads a series document.
#[must_use]
pub fn read_series(text: &str) -> Reading<Series> {
    document::read(text, &SERIES, series)
}

fn words(t: &Table<'_>, key: &str) -> Option<String> {
    t.text(key).map(|text| text.value)
}

fn series(t: &Table<'_>) -> Series {
    let about = ["made_by", "pulled_by", "pulled_on", "place"];
    let about = about.iter().filter_map(|key| Some((*key, words(t, key)?)));
    let kinds = t.names("kinds").into_iter();
    let kinds: IndexMap<String, Kind> = kinds
        .filter_map(|(name, value)| Some((name.value, kind(&value.table()?)?)))
        .collect();
    if kinds.len() > MOST_KINDS {
        let says = format!("there are {} kinds", kinds.len());
        t.problem(
            Problem::new(0..0, says)
                .instead("two kinds are compared; write further ones into a document of their own"),
        );
    }
    Series {
        title: words(t, "title").unwrap_or_default(),
        about: about.collect(),
        temperature_k: t.si("temperature").map(|si| si.value),
        machine: t.table("machine").map(|t| machine(&t)).unwrap_or_default(),
        cell: t.table("cell").map(|t| cell(&t)).unwrap_or_default(),
        level: level(t),
        invented: t.flag("invented").unwrap_or_default(),
        kinds,
    }
}

/// The shares that limits may be for, and how sure they may be: less is no limit where people are below.
const SHARES: std::ops::RangeInclusive<f64> = 0.9..=0.9999;
const CONFIDENCES: std::ops::RangeInclusive<f64> = 0.75..=0.9999;

fn level(t: &Table<'_>) -> Option<Level> {
    let share = |key: &str, default: f64, range: std::ops::RangeInclusive<f64>| {
        let Some(si) = t.si(key) else { return default };
        if range.contains(&si.value) {
            return si.value;
        }
        let problem = Problem::new(si.at, format!("`{key}` is out of range"));
        let least = 100.0 * range.start();
        t.problem(problem.instead(format!(
            "from `{least} %` to `99.99 %`; a share of 99 % and a confidence of 95 % are usual"
        )));
        default
    };
    let level = Level {
        reliability: share("share", 0.99, SHARES),
        confidence: share("confidence", 0.95, CONFIDENCES),
    };
    (t.has("share") || t.has("confidence")).then_some(level)
}

fn machine(t: &Table<'_>) -> Machine {
    Machine {
        what: words(t, "what"),
        capacity_n: t.positive("capacity"),
        stroke_m: t.positive("stroke"),
        stiffness_n_per_m: t.positive("stiffness"),
        pin_m: t.positive("pin"),
    }
}

fn cell(t: &Table<'_>) -> Cell {
    Cell {
        what: words(t, "what"),
        capacity_n: t.positive("capacity"),
        uncertainty: cell_uncertainty(t),
        calibrated: words(t, "calibrated"),
        document: words(t, "document"),
    }
}

/// A cell that may be off by more than this share shows nothing that anybody could rate by: our judgement.
const MOST_OFF: f64 = 0.25;

fn cell_uncertainty(t: &Table<'_>) -> Option<f64> {
    let own = t.si("uncertainty")?;
    if (0.0..=MOST_OFF).contains(&own.value) {
        return Some(own.value);
    }
    let problem = Problem::new(own.at, "`uncertainty` of the cell is out of range");
    t.problem(problem.instead(
        "how far it may be off, as a share of what it reads, from its certificate: `0.5 %`, and no more than `25 %`",
    ));
    None
}

fn kind(t: &Table<'_>) -> Option<Kind> {
    let breaking = t.table("breaking");
    let own = t.table("own_strength");
    let claim = t.table("claim");
    let specimens = t.names("specimens").into_iter();
    let specimens: IndexMap<String, Specimen> = specimens
        .filter_map(|(name, value)| Some((name.value, specimen(&value.table()?))))
        .collect();
    Some(Kind {
        parts: parts::read_listed(t, "parts")?,
        tests: t.text("tests")?,
        rope_length_m: t.positive("rope_length"),
        breaking: breaking.and_then(|t| Some((t.positive("force")?, words(&t, "by")?))),
        own: own.and_then(|t| Some((t.positive("mean")?, t.count("tests")?, words(&t, "by")?))),
        claim: claim.and_then(|t| {
            let factor = t.at_least("design_factor", 1.0, "it holds the working load at the least");
            Some((t.positive("working_load")?, factor?))
        }),
        least_scatter: t.not_negative("least_scatter"),
        expects: t.table("expects").map(|t| Expects {
            mean_n: t.positive("mean"),
            scatter: t.positive("scatter"),
        }),
        specimens,
    })
}

fn specimen(t: &Table<'_>) -> Specimen {
    let column = |key: &str| t.count(key).map(|count| count as usize);
    let read = Specimen {
        log: t.text("log"),
        units: ["unit", "travel_unit", "time_unit"].map(|key| words(t, key)),
        columns: ["time_column", "force_column", "travel_column"].map(column),
        decimal: words(t, "decimal").map(|word| if word == DECIMALS[1] { ',' } else { '.' }),
        rate_hz: t.positive("rate"),
        peak_n: t.positive("peak"),
        first_break_n: t.positive("first_break"),
        saw: words(t, "saw"),
        photographs: {
            let list = t.list("photographs");
            list.iter().filter_map(|item| Some(item.text()?.value)).collect()
        },
        set_aside: words(t, "set_aside"),
        explained: words(t, "explained"),
        notes: words(t, "notes"),
    };
    match (t.has("log"), t.has("peak")) {
        (false, false) => t.problem(
            Problem::new(t.at(), "the specimen has neither `log` nor `peak`")
                .instead("name its log, or write the greatest force as it was read: `peak = \"2.2 kN\"`"),
        ),
        (true, true) => t.problem(
            Problem::new(t.at(), "the specimen has both `log` and `peak`")
                .instead("keep the log; the peak is found in it"),
        ),
        _ => {}
    }
    read
}
