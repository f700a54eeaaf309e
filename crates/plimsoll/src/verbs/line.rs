//! One line without a rig.

use super::run::{json_text, shelving};
use crate::answer::{Answer, Exit, complaint};
use crate::cli::{Books, UnitsAsked};
use crate::surroundings::Surroundings;
use crate::text::line_answer;
use app::{LineQuestion, VerdictWord};
use clap::Args;
use serde_json::json;
use std::path::Path;

/// Asks whether a makeup may carry a demand.
#[derive(Debug, Args)]
pub struct Line {
    /// The parts from top to bottom, by their ids in the parts book
    #[arg(required = true, value_name = "PART")]
    parts: Vec<String>,
    /// What the line has to carry, as in "520 lb"
    #[arg(long, value_name = "FORCE", allow_hyphen_values = true)]
    demand: String,
    /// Who may be below: public, crew or nobody
    #[arg(long, value_name = "WHO")]
    under: String,
    /// Diameter of the pin or bar that the eyes bear on, as in "1/2 in"
    #[arg(long, value_name = "DIAMETER", allow_hyphen_values = true)]
    pin: Option<String>,
    /// The practice in force; else `static-overhead`, or `static-clear-below` with nobody below
    #[arg(long)]
    practice: Option<String>,
    /// What the load does: still or moving
    #[arg(long)]
    service: Option<String>,
    /// The factor on the demand when the load moves
    #[arg(long, value_name = "FACTOR", allow_negative_numbers = true)]
    dynamic: Option<f64>,
    /// Answers in JSON (see `plimsoll schema line`)
    #[arg(long)]
    json: bool,
    /// Adds the derivation of the working load
    #[arg(long)]
    working: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Answers from the books of the working folder.
pub fn answer(asked: &Line, surroundings: &Surroundings) -> Answer {
    let shelving = match shelving(Path::new(""), &asked.books, surroundings) {
        Ok(shelving) => shelving,
        Err(answer) => return answer,
    };
    let question = LineQuestion {
        parts: asked.parts.clone(),
        demand: asked.demand.clone(),
        under: asked.under.clone(),
        practice: asked.practice.clone(),
        service: asked.service.clone(),
        dynamic: asked.dynamic,
        pin: asked.pin.clone(),
        working: asked.working,
    };
    let found = match app::line(&shelving.shelf, &question, Some(&surroundings.today)) {
        Ok(found) => found,
        Err(wrong) => {
            let err = wrong.0.iter().map(complaint).collect();
            return Answer::mistakes(err);
        }
    };
    let page = surroundings.page(asked.units.style(shelving.units));
    let out = if asked.json {
        json_text(&json!(found))
    } else {
        line_answer(&found, &shelving.overlays, asked.working, &page)
    };
    let exit = if found.verdict == VerdictWord::Stop {
        Exit::Stop
    } else {
        Exit::Fit
    };
    Answer {
        exit,
        ..Answer::of(out)
    }
}
