//! How is this rig set right?

use super::run::{json_text, rig_with_books};
use crate::answer::{Answer, Exit, complaint};
use crate::cli::{Books, UnitsAsked};
use crate::reading::Document;
use crate::surroundings::Surroundings;
use crate::text::trim_page;
use app::{CheckFailure, TrimFailure, TrimQuestion, VerdictWord};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Asks how a rig is set right.
#[derive(Debug, Args)]
pub struct Trim {
    /// The rig document; `-` reads standard input
    rig: PathBuf,
    /// What was read on the rig as it hangs: load cells, heights, weighings (see `plimsoll schema readings`)
    #[arg(long, value_name = "FILE")]
    readings: Option<PathBuf>,
    /// How far each pick may be off its height at trim; default 1/4 in, or 5 mm. Without readings, asks for the steps that
    /// bring the rig as stated there
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    level: Option<String>,
    /// Evens the tensions of the lines that can be adjusted as well, to within this share of their mean, as in `--even=10%`;
    /// `--even` alone takes 5 %
    #[arg(
        long,
        value_name = "SHARE",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = "5 %",
        allow_hyphen_values = true
    )]
    pub(crate) even: Option<String>,
    /// Answers in JSON (see `plimsoll schema trim`)
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Answers with the table, and with what the readings say and the steps where they are asked for.
pub fn answer(asked: &Trim, surroundings: &Surroundings) -> Answer {
    found(asked, surroundings).unwrap_or_else(|answer| answer)
}

fn found(asked: &Trim, surroundings: &Surroundings) -> Result<Answer, Answer> {
    let (rig, shelving) = rig_with_books(&asked.rig, &asked.books, surroundings)?;
    let read = |path: &PathBuf| Document::read(path).map_err(|wrong| Answer::unreadable(wrong.to_string()));
    let readings = asked.readings.as_ref().map(read).transpose()?;
    let style = asked.units.style(shelving.units);
    let question = TrimQuestion {
        level: asked.level.as_deref(),
        even: asked.even.as_deref(),
        metric: style.units == app::Units::Si,
        today: Some(&surroundings.today),
    };
    let readings = readings.as_ref().map(Document::text);
    let answer = app::trim(&shelving.shelf, &rig.text(), readings.as_ref(), &question);
    let answer = answer.map_err(|failure| match failure {
        TrimFailure::Question(wrong) => Answer::mistakes(wrong.iter().map(complaint).collect()),
        TrimFailure::File(CheckFailure::Mistakes(mistakes)) => {
            Answer::mistakes(mistakes.render(surroundings.width, surroundings.colour_of_mistakes))
        }
        TrimFailure::File(failure @ CheckFailure::Program { .. }) => Answer::failed(failure.to_string()),
    })?;
    let page = surroundings.page(style);
    let out = if asked.json {
        json_text(&json!(answer))
    } else {
        trim_page(&answer, &shelving.overlays, &page)
    };
    let exit = if answer.verdict == VerdictWord::Stop {
        Exit::Stop
    } else {
        Exit::Fit
    };
    Ok(Answer {
        exit,
        ..Answer::of(out)
    })
}
