//! The schemas of what goes in and what comes out.

use crate::line::LineAnswer;
use crate::mistakes::Mistake;
use crate::parts_page::{PartPage, PartSummary};
use crate::rules_page::{PracticePage, RulePage};
use rig::{LetGoAnswer, SpreadAnswer, TrimAnswer, Verdict};
use serde_json::Value;
use series::{LogAnswer, SeriesAnswer, TestPlan};

/// The names that [`schema`] knows, with what each is the schema of.
pub const SCHEMAS: &[(&str, &str)] = &[
    ("rig", "the rig document"),
    ("shop", "the shop document"),
    ("parts-book", "the parts book"),
    ("practices", "the practices document"),
    ("readings", "the readings document"),
    ("series", "the series document"),
    ("check", "what `check --json` answers for one rig"),
    ("mistakes", "what `check --json` answers for a file with mistakes"),
    ("spread", "what `spread --json` answers"),
    ("letgo", "what `letgo --json` answers"),
    ("prove", "what `prove --json` answers for a series"),
    ("prove-log", "what `prove log --json` answers"),
    ("prove-plan", "what `prove plan --json` answers"),
    ("line", "what `line --json` answers"),
    ("trim", "what `trim --json` answers"),
    ("parts", "what `parts --json` answers"),
    ("part", "what `parts show --json` answers"),
    ("rules", "what `rules --json` answers"),
    ("practice", "what `rules --json` answers for a practice"),
];

/// The names that [`reference()`] knows, with the title of each page.
pub const REFERENCES: &[(&str, &str)] = &[
    ("rig", "The rig document"),
    ("shop", "The shop document"),
    ("parts-book", "The parts book"),
    ("practices", "The practices document"),
    ("readings", "The readings document"),
    ("series", "The series document"),
    ("rules", "The rules"),
];

/// Writes a reference page in Markdown by name, without its title.
pub fn reference(name: &str) -> Option<String> {
    Some(match name {
        "rig" => document::reference(&rig::RIG),
        "shop" => document::reference(&rig::SHOP),
        "parts-book" => document::reference(&parts::BOOK),
        "practices" => document::reference(&practice::SHAPE),
        "readings" => document::reference(&rig::READINGS),
        "series" => document::reference(&series::SERIES),
        "rules" => practice::manual(),
        _ => return None,
    })
}

/// Gives a JSON Schema by name.
pub fn schema(name: &str) -> Option<Value> {
    Some(match name {
        "rig" => document::schema(&rig::RIG),
        "shop" => document::schema(&rig::SHOP),
        "parts-book" => document::schema(&parts::BOOK),
        "practices" => document::schema(&practice::SHAPE),
        "readings" => document::schema(&rig::READINGS),
        "series" => document::schema(&series::SERIES),
        "check" => answer::<Verdict>(),
        "mistakes" => answer::<Vec<Mistake>>(),
        "spread" => answer::<SpreadAnswer>(),
        "letgo" => answer::<LetGoAnswer>(),
        "prove" => answer::<SeriesAnswer>(),
        "prove-log" => answer::<LogAnswer>(),
        "prove-plan" => answer::<TestPlan>(),
        "line" => answer::<LineAnswer>(),
        "trim" => answer::<TrimAnswer>(),
        "parts" => answer::<Vec<PartSummary>>(),
        "part" => answer::<PartPage>(),
        "rules" => answer::<Vec<RulePage>>(),
        "practice" => answer::<PracticePage>(),
        _ => return None,
    })
}

/// Describes an answer as it is written: a key that may be left out is not required.
fn answer<T: schemars::JsonSchema>() -> Value {
    let settings = schemars::generate::SchemaSettings::draft2020_12().for_serialize();
    settings.into_generator().into_root_schema_for::<T>().to_value()
}
