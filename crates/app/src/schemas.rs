//! The schemas of what goes in and what comes out.

use crate::line::LineAnswer;
use crate::mistakes::Mistake;
use crate::parts_page::{PartPage, PartSummary};
use crate::rules_page::RulePage;
use rig::Verdict;
use serde_json::Value;

/// The names that [`schema`] knows, with what each is the schema of.
pub const SCHEMAS: &[(&str, &str)] = &[
    ("rig", "the rig document"),
    ("shop", "the shop document"),
    ("parts-book", "the parts book"),
    ("practices", "the practices document"),
    ("check", "what `check --json` answers for one rig"),
    ("mistakes", "what `check --json` answers for a file with mistakes"),
    ("line", "what `line --json` answers"),
    ("parts", "what `parts --json` answers"),
    ("part", "what `parts show --json` answers"),
    ("rules", "what `rules --json` answers"),
];

/// The names that [`reference`] knows, with the title of each page.
pub const REFERENCES: &[(&str, &str)] = &[
    ("rig", "The rig document"),
    ("shop", "The shop document"),
    ("parts-book", "The parts book"),
    ("practices", "The practices document"),
    ("rules", "The rules"),
];

/// Writes a reference page in Markdown by name, without its title.
pub fn reference(name: &str) -> Option<String> {
    Some(match name {
        "rig" => document::reference(&rig::RIG),
        "shop" => document::reference(&rig::SHOP),
        "parts-book" => document::reference(&parts::BOOK),
        "practices" => document::reference(&practice::SHAPE),
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
        "check" => output(schemars::schema_for!(Verdict)),
        "mistakes" => output(schemars::schema_for!(Vec<Mistake>)),
        "line" => output(schemars::schema_for!(LineAnswer)),
        "parts" => output(schemars::schema_for!(Vec<PartSummary>)),
        "part" => output(schemars::schema_for!(PartPage)),
        "rules" => output(schemars::schema_for!(Vec<RulePage>)),
        _ => return None,
    })
}

fn output(schema: schemars::Schema) -> Value {
    schema.to_value()
}
