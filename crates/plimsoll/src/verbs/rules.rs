//! The rules and the practices.

use super::run::{json_text, shelving};
use crate::answer::{Answer, did_you_mean};
use crate::cli::Books;
use crate::surroundings::Surroundings;
use crate::text::{Page, rule_list, rule_page};
use clap::Args;
use serde_json::json;
use std::path::Path;

/// Asks for rules.
#[derive(Debug, Args)]
pub struct Rules {
    /// The rule to show in full; without it, lists rules and practices
    id: Option<String>,
    /// Answers in JSON (see `plimsoll schema rules`); one rule is the one item of a list
    #[arg(long)]
    json: bool,
}

/// Answers; the practices are those of the working folder.
pub fn answer(asked: &Rules, surroundings: &Surroundings) -> Answer {
    let page = Page {
        style: app::Style::us(),
        width: surroundings.width,
        colour: surroundings.colour,
    };
    if let Some(id) = &asked.id {
        return match app::rule(id) {
            Ok(rule) if asked.json => Answer::of(json_text(&json!([rule]))),
            Ok(rule) => Answer::of(rule_page(&rule, &page)),
            Err(near) => Answer::unreadable(format!(
                "there is no rule `{id}`{}",
                did_you_mean(near.as_deref())
            )),
        };
    }
    let rules = app::rules();
    if asked.json {
        return Answer::of(json_text(&json!(rules)));
    }
    match shelving(Path::new(""), &Books::default(), surroundings) {
        Ok(shelving) => Answer::of(rule_list(&rules, &shelving.shelf.practice_titles(), &page)),
        Err(answer) => answer,
    }
}
