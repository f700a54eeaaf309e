//! Which rules are there, and what does one say?

use practice::Severity;
use schemars::JsonSchema;
use serde::Serialize;

/// One rule, in full.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct RulePage {
    /// Its id, as findings name it.
    pub id: String,
    /// What it is about, in a few words.
    pub title: String,
    /// What it asks.
    pub statement: String,
    /// The most that a finding of it can weigh.
    pub severity: Severity,
    /// Where it comes from.
    pub source: String,
}

/// Lists every rule.
pub fn rules() -> Vec<RulePage> {
    practice::rules().iter().map(|rule| page(rule)).collect()
}

/// Gives one rule; if there is none of that id, the nearest id.
pub fn rule(id: &str) -> Result<RulePage, Option<String>> {
    let found = practice::rules().iter().find(|rule| rule.id == id);
    found.map(|rule| page(rule)).ok_or_else(|| {
        document::nearest(id, practice::rules().iter().map(|rule| rule.id)).map(str::to_string)
    })
}

fn page(rule: &practice::Rule) -> RulePage {
    RulePage {
        id: rule.id.to_string(),
        title: rule.title.to_string(),
        statement: rule.statement.to_string(),
        severity: rule.severity,
        source: rule.source(),
    }
}
