//! What happens when a part of this rig lets go?

use crate::check::{CheckFailure, Text, failure};
use crate::shelf::Shelf;
use rig::{History, LetGoAnswer, LetGoError, LetGoQuestion, Which};

/// How the question is asked.
#[derive(Debug, Clone, Copy)]
pub struct LetGoAsk<'a> {
    /// The day on which it is asked, as in `2026-03-14`.
    pub today: Option<&'a str>,
    /// What lets go; everything, each by itself, if none.
    pub which: Option<&'a Which>,
    /// The one ratio of damping to take, from 0 to 1.
    pub damping_ratio: Option<f64>,
    /// For how long motions are followed, s.
    pub seconds: Option<f64>,
    /// How often the time history of the first case is kept, s; not at all if none.
    pub trace_every_s: Option<f64>,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct LetGoReply {
    /// The answer.
    pub answer: LetGoAnswer,
    /// The time history of the first case as CSV, if it was asked for and something moves.
    pub trace_csv: Option<String>,
}

/// Why there is no answer.
#[derive(Debug, Clone, thiserror::Error)]
pub enum LetGoFailure {
    /// A number is out of its range.
    #[error("{0}")]
    Number(String),
    /// There is nothing of that name.
    #[error("{0}")]
    NoSuch(String),
    /// The rig can not be checked.
    #[error(transparent)]
    Check(#[from] CheckFailure),
    /// The time history could not be written as CSV.
    #[error("the time history: {0}")]
    Trace(String),
}

/// The longest motion that is followed, seconds.
pub const MOST_SECONDS: f64 = 60.0;

/// Follows what happens when parts of a rig let go. `done` is told how many runs of how many are done.
pub fn letgo(
    shelf: &Shelf,
    text: &Text<'_>,
    ask: &LetGoAsk<'_>,
    done: &(dyn Fn(usize, usize) + Sync),
) -> Result<LetGoReply, LetGoFailure> {
    let question = question(ask)?;
    let found = rig::letgo(
        text.text,
        &shelf.book,
        &shelf.practices,
        ask.today,
        &question,
        done,
    );
    let (answer, history) = found.map_err(|error| match error {
        LetGoError::Check(error) => LetGoFailure::Check(failure(text, error)),
        LetGoError::NoSuch {
            section,
            name,
            ref known,
        } => {
            let nearest = document::nearest(&name, known.iter().map(String::as_str));
            let instead = match nearest {
                Some(near) => format!("did you mean `{near}`?"),
                None if known.is_empty() => "there is none at all".into(),
                None => format!("there are {}", known.join(", ")),
            };
            LetGoFailure::NoSuch(format!(
                "there is no {section} `{name}` that something hangs on; {instead}"
            ))
        }
    })?;
    let trace_csv = history
        .as_ref()
        .map(csv_text)
        .transpose()
        .map_err(LetGoFailure::Trace)?;
    Ok(LetGoReply { answer, trace_csv })
}

fn question(ask: &LetGoAsk<'_>) -> Result<LetGoQuestion, LetGoFailure> {
    let within = |what: &str, value: Option<f64>, least: f64, most: f64| match value {
        Some(value) if !(value >= least && value <= most) => Err(LetGoFailure::Number(format!(
            "{what} is {value}; it is from {least} to {most}"
        ))),
        _ => Ok(()),
    };
    within(
        "--damping, a share of critical damping,",
        ask.damping_ratio,
        0.0,
        0.5,
    )?;
    within("--seconds", ask.seconds, 0.01, MOST_SECONDS)?;
    within("--every", ask.trace_every_s, 1e-5, 1.0)?;
    Ok(LetGoQuestion {
        which: ask.which.cloned(),
        damping_ratio: ask.damping_ratio,
        seconds: ask.seconds,
        trace_every_s: ask.trace_every_s,
    })
}

/// Writes a time history as CSV.
fn csv_text(history: &History) -> Result<String, String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let wrong = |error: csv::Error| error.to_string();
    writer.write_record(&history.columns).map_err(wrong)?;
    for row in &history.rows {
        // A millionth of a millimetre or of a newton is more than is known.
        let cells = row.iter().map(|value| format!("{:.6}", value + 0.0));
        writer.write_record(cells).map_err(wrong)?;
    }
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|error| error.to_string())
}
