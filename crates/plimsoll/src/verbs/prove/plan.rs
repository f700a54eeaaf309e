//! What does a series that is still to be pulled ask for?

use super::with_file;
use crate::answer::Answer;
use crate::cli::{Books, UnitsAsked};
use crate::surroundings::Surroundings;
use crate::text::{plan_page, test_sheet};
use crate::verbs::run::{json_text, with_books};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Asks for a plan.
#[derive(Debug, Args)]
pub struct Plan {
    /// The series document; it needs no specimens yet
    #[arg(value_name = "SERIES")]
    file: PathBuf,
    /// How many specimens of each kind the sheet has room for
    #[arg(long, value_name = "COUNT", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=60))]
    specimens: u8,
    /// Writes the sheet to fill in while they are pulled into this file, as plain text
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Answers in JSON (see `plimsoll schema prove-plan`)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Reads the document and tells what its series asks for.
pub fn answer(asked: &Plan, surroundings: &Surroundings) -> Answer {
    let (document, shelving) = match with_books(&asked.file, &asked.books, surroundings) {
        Ok(read) => read,
        Err(answer) => return answer,
    };
    let style = asked.units.style(shelving.units);
    let plan = match app::prove_plan(&shelving.shelf, &document.text(), style) {
        Ok(plan) => plan,
        Err(mistakes) => {
            return Answer::mistakes(mistakes.render(surroundings.width, surroundings.colour_of_mistakes));
        }
    };
    let page = surroundings.page(style);
    let out = if asked.json {
        json_text(&json!(plan))
    } else {
        plan_page(&plan, &shelving.overlays, &page)
    };
    let answer = Answer::of(out);
    match &asked.sheet {
        Some(sheet) => {
            let text = test_sheet(&plan, asked.specimens, page.style);
            with_file(answer, ("--sheet", sheet), &[&asked.file], Some(&text))
        }
        None => answer,
    }
}
