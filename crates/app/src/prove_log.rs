//! What does this pull-test log show?

use crate::log_plot::log_plot;
use proving::log::{Asked, LogError, Measure, Unit, read};
use quantity::{Kind, Style};
use series::{LogAnswer, LogKnown, log_answer};
use std::io::Read;

/// What is asked about a log; everything may be left out.
#[derive(Debug, Clone)]
pub struct LogAsk {
    /// The unit of the force, as in `kN`.
    pub unit: Option<String>,
    /// The unit of the travel, as in `mm`.
    pub travel_unit: Option<String>,
    /// The unit of the time, as in `ms`.
    pub time_unit: Option<String>,
    /// The published breaking force of the rope, as in `23 kN`.
    pub breaking: Option<String>,
    /// The length of the rope between its ends, as in `1.2 m`.
    pub rope_length: Option<String>,
    /// The mass of the rope per length, as in `0.135 kg/m`.
    pub rope_mass: Option<String>,
    /// The stiffness of the machine, as in `9 kN/mm`.
    pub machine: Option<String>,
    /// What the cell can measure, as in `50 kN`.
    pub capacity: Option<String>,
    /// The columns of time, force and travel, from one.
    pub columns: [Option<usize>; 3],
    /// The sign before decimals: `point` or `comma`.
    pub decimal: Option<String>,
    /// Readings a second, of a log without time.
    pub rate_hz: Option<f64>,
    /// Whether a plot is wanted.
    pub plot: bool,
    /// How quantities are printed, in sentences and in the plot.
    pub style: Style,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct LogReply {
    /// The answer.
    pub answer: LogAnswer,
    /// The plot as SVG, if it was asked for.
    pub plot_svg: Option<String>,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum LogFailure {
    /// A figure of the question can not be read.
    #[error("{0}")]
    Question(String),
    /// The log can not be used.
    #[error("{name}: {error}")]
    Log {
        /// The log.
        name: String,
        /// Why.
        error: LogError,
    },
}

/// Reads a log and says what it shows.
///
/// # Errors
///
/// [`LogFailure`] says what is wrong, and what would be right.
pub fn prove_log(name: &str, reader: impl Read, ask: &LogAsk) -> Result<LogReply, LogFailure> {
    let (asked, known) = (asked(ask)?, known(ask)?);
    let log = read(reader, &asked).map_err(|error| LogFailure::Log {
        name: name.to_string(),
        error,
    })?;
    let answer = log_answer(name, &log, &known, ask.style);
    let plot_svg = ask
        .plot
        .then(|| drawing::svg(&log_plot(&log, &answer, ask.style.units)));
    Ok(LogReply { answer, plot_svg })
}

fn asked(ask: &LogAsk) -> Result<Asked, LogFailure> {
    let [time_column, force_column, travel_column] = ask.columns;
    let rate_is_right = ask
        .rate_hz
        .is_none_or(|rate_hz| rate_hz.is_finite() && rate_hz > 0.0);
    if !rate_is_right {
        return Err(LogFailure::Question(
            "--rate is how often a second it was read: more than 0".into(),
        ));
    }
    Ok(Asked {
        force_unit: unit(
            "--unit",
            ask.unit.as_deref(),
            Measure::Force,
            "kN, N, daN, lbf, kip, kgf, tf or MN",
        )?,
        travel_unit: unit(
            "--travel-unit",
            ask.travel_unit.as_deref(),
            Measure::Travel,
            "mm, cm, m, in or ft",
        )?,
        time_unit: unit(
            "--time-unit",
            ask.time_unit.as_deref(),
            Measure::Time,
            "s, ms, us, min or h",
        )?,
        time_column,
        force_column,
        travel_column,
        decimal: decimal(ask.decimal.as_deref())?,
        rate_hz: ask.rate_hz,
    })
}

fn unit(option: &str, text: Option<&str>, measure: Measure, right: &str) -> Result<Option<Unit>, LogFailure> {
    let Some(text) = text else { return Ok(None) };
    let wrong = || {
        LogFailure::Question(format!(
            "{option}: `{text}` is not one unit that is known; write {right}"
        ))
    };
    Unit::read(text, measure).map(Some).ok_or_else(wrong)
}

fn decimal(text: Option<&str>) -> Result<Option<char>, LogFailure> {
    match text {
        None => Ok(None),
        Some("point" | ".") => Ok(Some('.')),
        Some("comma" | ",") => Ok(Some(',')),
        Some(other) => Err(LogFailure::Question(format!(
            "--decimal: `{other}` is no sign before decimals; write point or comma"
        ))),
    }
}

fn known(ask: &LogAsk) -> Result<LogKnown, LogFailure> {
    let read = |option: &str, text: &Option<String>, kind: Kind| {
        let Some(text) = text else { return Ok(None) };
        let value = kind
            .parse_si(text)
            .map_err(|error| LogFailure::Question(format!("{option}: {error}")))?;
        if value > 0.0 {
            Ok(Some(value))
        } else {
            Err(LogFailure::Question(format!(
                "{option}: `{text}` is not more than nothing"
            )))
        }
    };
    Ok(LogKnown {
        breaking_n: read("--breaking", &ask.breaking, Kind::Force)?,
        rope_length_m: read("--rope-length", &ask.rope_length, Kind::Length)?,
        rope_kg_per_m: read("--rope-mass", &ask.rope_mass, Kind::MassPerLength)?,
        machine_n_per_m: read("--machine-stiffness", &ask.machine, Kind::Stiffness)?,
        capacity_n: read("--capacity", &ask.capacity, Kind::Force)?,
    })
}
