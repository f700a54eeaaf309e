//! The rules and the practices.

use super::run::{json_text, shelving};
use crate::answer::{Answer, did_you_mean};
use crate::cli::Books;
use crate::surroundings::Surroundings;
use crate::text::{Page, practice_page, rule_list, rule_page};
use app::Shelf;
use clap::Args;
use serde_json::json;
use std::path::Path;

/// Asks for rules.
#[derive(Debug, Args)]
pub struct Rules {
    /// The rule or practice to show in full; without it, lists rules and practices
    id: Option<String>,
    /// Answers in JSON (see `plimsoll schema rules` and `practice`); one rule is the one item of a list
    #[arg(long)]
    json: bool,
}

/// Answers; the practices are those of the working folder.
pub fn answer(asked: &Rules, surroundings: &Surroundings) -> Answer {
    let page = surroundings.page(app::Style::us());
    let shelving = match shelving(Path::new(""), &Books::default(), surroundings) {
        Ok(shelving) => shelving,
        Err(answer) => return answer,
    };
    match &asked.id {
        Some(id) => one(id, asked.json, &shelving.shelf, &page),
        None if asked.json => Answer::of(json_text(&json!(app::rules()))),
        None => Answer::of(rule_list(&app::rules(), &shelving.shelf.practice_titles(), &page)),
    }
}

fn one(id: &str, json: bool, shelf: &Shelf, page: &Page) -> Answer {
    match (app::rule(id), app::practice(shelf, id)) {
        (Ok(rule), _) if json => Answer::of(json_text(&json!([rule]))),
        (Ok(rule), _) => Answer::of(rule_page(&rule, page)),
        (_, Ok(practice)) if json => Answer::of(json_text(&json!(practice))),
        (_, Ok(practice)) => Answer::of(practice_page(&practice, page)),
        (Err(rule), Err(practice)) => {
            let near = did_you_mean(rule.or(practice).as_deref());
            Answer::unreadable(format!("there is no rule or practice `{id}`{near}"))
        }
    }
}
