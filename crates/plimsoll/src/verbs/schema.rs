//! JSON Schemas of what goes in and what comes out.

use super::run::json_text;
use crate::answer::{Answer, did_you_mean};
use crate::text::columns;
use clap::Args;

/// Asks for a JSON Schema.
#[derive(Debug, Args)]
pub struct Schema {
    /// The document or answer it describes; without it, lists the names
    name: Option<String>,
}

/// Prints it.
pub fn answer(asked: &Schema) -> Answer {
    let Some(name) = &asked.name else {
        return Answer::of(list());
    };
    if let Some(schema) = app::schema(name) {
        return Answer::of(json_text(&schema));
    }
    let known = app::SCHEMAS.iter().map(|(name, _)| *name);
    Answer::unreadable(format!(
        "there is no schema `{name}`{}",
        did_you_mean(app::nearest(name, known))
    ))
}

fn list() -> String {
    columns(app::SCHEMAS.iter().map(|(name, of)| [*name, of]))
}
