//! The parts book: what is in it and what is known of one part.

use super::run::{json_text, shelving};
use crate::answer::{Answer, did_you_mean};
use crate::cli::{Books, UnitsAsked};
use crate::surroundings::Surroundings;
use crate::text::{Page, part_list, part_page};
use app::Shelf;
use clap::{Args, Subcommand};
use serde_json::json;
use std::path::Path;

/// Asks for parts.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub struct Parts {
    #[command(subcommand)]
    one: Option<One>,
    /// Words that a part has in its id, kind, name, construction or material; without any, lists all
    #[arg(value_name = "WORD")]
    words: Vec<String>,
    #[command(flatten)]
    how: How,
}

/// Asks for one part.
#[derive(Debug, Subcommand)]
enum One {
    /// Shows one part with all of its figures and their sources.
    Show {
        /// Its id
        id: String,
        #[command(flatten)]
        how: How,
    },
}

#[derive(Debug, Args)]
struct How {
    /// Answers in JSON (see `plimsoll schema parts` and `part`)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Answers from the books of the working folder.
pub fn answer(asked: &Parts, surroundings: &Surroundings) -> Answer {
    let how = match &asked.one {
        Some(One::Show { how, .. }) => how,
        None => &asked.how,
    };
    let shelving = match shelving(Path::new(""), &how.books, surroundings) {
        Ok(shelving) => shelving,
        Err(answer) => return answer,
    };
    let page = surroundings.page(how.units.style(shelving.units));
    match &asked.one {
        Some(One::Show { id, .. }) => show(id, how, &shelving.shelf, &page),
        None => list(&asked.words, how, &shelving.shelf, &page),
    }
}

fn show(id: &str, how: &How, shelf: &Shelf, page: &Page) -> Answer {
    match app::part(shelf, id, page.style) {
        Ok(part) if how.json => Answer::of(json_text(&json!(part))),
        Ok(part) => Answer::of(part_page(&part, page)),
        Err(near) => {
            let says = format!(
                "the parts book has no part `{id}`{}",
                did_you_mean(near.as_deref())
            );
            Answer::unreadable(says)
        }
    }
}

fn list(words: &[String], how: &How, shelf: &Shelf, page: &Page) -> Answer {
    let found = app::parts(shelf, &words.join(" "), page.style);
    if how.json {
        return Answer::of(json_text(&json!(found)));
    }
    if found.is_empty() {
        let err = format!(
            "no part has all of these words: {}\ntry fewer words; adjustable grips stand in a shop's own book\n",
            words.join(" ")
        );
        return Answer {
            err,
            ..Answer::of("")
        };
    }
    Answer::of(part_list(&found, page))
}
