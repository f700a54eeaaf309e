//! Where a number of a rig comes from.

use super::run::{json_text, rig_with_books};
use crate::answer::{Answer, complaint};
use crate::cli::{Books, UnitsAsked};
use crate::long_run::awaited;
use crate::surroundings::Surroundings;
use crate::text::Page;
use app::{Ask, CheckFailure, Verdict};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Asks where a number comes from.
#[derive(Debug, Args)]
pub struct Explain {
    /// The rig document; `-` reads standard input
    rig: PathBuf,
    /// The number, as in `lines.nw.working_load`, or the beginning of several; without it, lists all
    path: Option<String>,
    /// Answers in JSON: the derivations by path, or a list of paths
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Answers with the tree of the number, or the list of paths.
pub fn answer(asked: &Explain, surroundings: &Surroundings) -> Answer {
    match verdict(asked, surroundings) {
        Ok((verdict, shop)) => {
            let page = surroundings.page(asked.units.style(shop));
            told(asked, &verdict, &page)
        }
        Err(answer) => answer,
    }
}

/// Checks the rig.
fn verdict(asked: &Explain, surroundings: &Surroundings) -> Result<(Verdict, Option<app::Units>), Answer> {
    let (document, shelving) = rig_with_books(&asked.rig, &asked.books, surroundings)?;
    let ask = Ask {
        today: Some(&surroundings.today),
        working: asked.json,
    };
    let check = || app::check(&shelving.shelf, &document.text(), &ask);
    match awaited("checking", check) {
        Ok(verdict) => Ok((verdict, shelving.units)),
        Err(CheckFailure::Mistakes(mistakes)) => {
            let err = mistakes.render(surroundings.width, surroundings.colour_of_mistakes);
            Err(Answer::mistakes(err))
        }
        Err(failure @ CheckFailure::Program { .. }) => Err(Answer::failed(failure.to_string())),
    }
}

/// Tells what is asked of a verdict.
fn told(asked: &Explain, verdict: &Verdict, page: &Page) -> Answer {
    let Some(path) = &asked.path else {
        let paths: Vec<&str> = app::paths(verdict).collect();
        return Answer::of(if asked.json {
            json_text(&json!(paths))
        } else {
            paths.join("\n") + "\n"
        });
    };
    match app::explain(verdict, path, page.style, page.width) {
        Ok(_) if asked.json => Answer::of(json_text(&under(verdict, path))),
        Ok(tree) => Answer::of(tree + &page.cautions()),
        Err(unexplained) => {
            let list = format!("`plimsoll explain {}` lists every number\n", asked.rig.display());
            Answer::mistakes(complaint(unexplained.to_string()) + &list)
        }
    }
}

/// Gives the derivations at a path and under it.
fn under(verdict: &Verdict, path: &str) -> serde_json::Value {
    let chosen = app::paths_under(verdict, path).into_iter();
    chosen
        .filter_map(|key| Some((key.to_string(), json!(verdict.working.get(key)?))))
        .collect()
}
