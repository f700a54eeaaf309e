//! What do tolerances and uncertainties do to this rig?

use super::run::{json_text, rig_with_books};
use crate::answer::{Answer, Exit};
use crate::cli::{Books, UnitsAsked};
use crate::long_run::LongRun;
use crate::surroundings::Surroundings;
use crate::text::spread_page;
use app::{CheckFailure, SpreadAnswer, SpreadAsk, SpreadFailure, VerdictWord};
use clap::{Args, value_parser};
use serde_json::json;
use std::path::PathBuf;

/// Asks what lengths, weights, centres, stiffnesses and points that are not quite as stated do to a rig.
#[derive(Debug, Args)]
pub struct Spread {
    /// The rig document; `-` reads standard input
    rig: PathBuf,
    /// How many samples, at most a million; Ctrl-C ends early with those that are done
    #[arg(long, default_value_t = 10_000, value_name = "COUNT",
          value_parser = value_parser!(u32).range(1..=i64::from(app::MOST_SAMPLES)))]
    samples: u32,
    /// The seed: the same seed gives the same samples, on any machine and number of threads
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Lets every point give that states no `gives`, as in "1 mm/kN"
    #[arg(long, value_name = "GIVE", allow_hyphen_values = true)]
    give: Option<String>,
    /// Answers in JSON (see `plimsoll schema spread`)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Samples the rig and tells what came out.
pub fn answer(asked: &Spread, surroundings: &Surroundings) -> Answer {
    let (document, shelving) = match rig_with_books(&asked.rig, &asked.books, surroundings) {
        Ok(read) => read,
        Err(answer) => return answer,
    };
    let ask = SpreadAsk {
        today: Some(&surroundings.today),
        samples: asked.samples,
        seed: asked.seed,
        give: asked.give.as_deref(),
    };
    let run = LongRun::begin(asked.samples as usize, "samples");
    let found = app::spread(&shelving.shelf, &document.text(), &ask, &|done| run.goes_on(done));
    run.end();
    let found = match found {
        Ok(found) => found,
        Err(failure) => return unanswered(failure, surroundings),
    };
    let page = surroundings.page(asked.units.style(shelving.units));
    let out = if asked.json {
        json_text(&json!(found))
    } else {
        spread_page(&found, &shelving.overlays, &page)
    };
    Answer {
        exit: exit(&found),
        ..Answer::of(out)
    }
}

fn exit(found: &SpreadAnswer) -> Exit {
    if found.verdict == VerdictWord::Stop {
        Exit::Stop
    } else {
        Exit::Fit
    }
}

fn unanswered(failure: SpreadFailure, surroundings: &Surroundings) -> Answer {
    match failure {
        SpreadFailure::Check(CheckFailure::Mistakes(mistakes)) => {
            Answer::mistakes(mistakes.render(surroundings.width, surroundings.colour_of_mistakes))
        }
        SpreadFailure::Check(failure @ CheckFailure::Program { .. }) => Answer::failed(failure.to_string()),
        SpreadFailure::Give(_) => Answer::unreadable(failure.to_string()),
    }
}
