//! How is this rig set right?

use crate::check::{CheckFailure, Text};
use crate::shelf::Shelf;
use quantity::Kind;
use rig::{CheckError, Goal, TrimAnswer, TrimError};

/// What a rig is to be set to, as it is asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct TrimQuestion<'a> {
    /// How far each pick may be off its height at trim, as in `1/4 in`; none takes 1/4 in, or 5 mm.
    pub level: Option<&'a str>,
    /// How far tensions may be off what is even, as a share of their mean, as in `5 %`; none where that does not matter.
    pub even: Option<&'a str>,
    /// Whether steps without a figure of their own are 5 mm and not 1/4 in.
    pub metric: bool,
    /// The day on which it is asked, as in `2026-03-14`.
    pub today: Option<&'a str>,
}

/// Why there is no answer.
#[derive(Debug, Clone, thiserror::Error)]
pub enum TrimFailure {
    /// The question is wrong; what is wrong with it, all at once.
    #[error("{}", .0.join("\n"))]
    Question(Vec<String>),
    /// A file has mistakes, or the program failed.
    #[error(transparent)]
    File(#[from] CheckFailure),
}

/// Says what adjusting the lines of a rig does and, with readings or a goal, how to set it right.
pub fn trim(
    shelf: &Shelf,
    text: &Text<'_>,
    readings: Option<&Text<'_>>,
    question: &TrimQuestion<'_>,
) -> Result<TrimAnswer, TrimFailure> {
    let goal = goal(question).map_err(TrimFailure::Question)?;
    let read = readings.map(|readings| readings.text);
    let answer = rig::trim(
        text.text,
        read,
        &goal,
        &shelf.book,
        &shelf.practices,
        question.today,
    );
    answer.map_err(|error| {
        let failure = match (error, readings) {
            (TrimError::Rig(CheckError::Document(problems)), _) => {
                CheckFailure::Mistakes(text.mistakes(problems))
            }
            (TrimError::Readings(problems), Some(readings)) => {
                CheckFailure::Mistakes(readings.mistakes(problems))
            }
            (other, _) => CheckFailure::Program {
                file: text.file.to_string(),
                says: other.to_string(),
            },
        };
        failure.into()
    })
}

fn goal(question: &TrimQuestion<'_>) -> Result<Goal, Vec<String>> {
    let mut wrong = Vec::new();
    let mut read = |kind: Kind, what: &str, text: Option<&str>| {
        let value = match document::quantity(kind, text?) {
            Ok(value) => value,
            Err(error) => {
                wrong.push(error.to_string());
                return None;
            }
        };
        if value <= 0.0 {
            wrong.push(format!("{what} is not more than zero: no rig is set exactly"));
        }
        Some(value)
    };
    let goal = Goal {
        level_m: read(Kind::Length, "the goal of level", question.level),
        even: read(Kind::Ratio, "the goal of even shares", question.even),
        metric: question.metric,
    };
    if wrong.is_empty() { Ok(goal) } else { Err(wrong) }
}
