//! Which rules and practices are there, and what does one say?

use crate::shelf::Shelf;
use practice::{Practice, Severity};
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

/// One practice, in full.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PracticePage {
    /// Its id, as rigs name it.
    pub id: String,
    /// What it is, in a few words.
    pub title: String,
    /// What it is for and what it asks.
    pub statement: String,
    /// What it covers, in sentences; a shop's says what it is based on and in what it is looser.
    pub says: Vec<String>,
    /// Its design factors. Who has none may not be below.
    pub factors: Vec<PracticeFactor>,
}

/// One design factor of a practice.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PracticeFactor {
    /// Who is below.
    pub below: String,
    /// The kind of part.
    pub part: String,
    /// Breaking strength over working load.
    pub factor: f64,
    /// Where it comes from.
    pub source: String,
}

/// Gives one practice of the shelf; if there is none of that id, the nearest id.
pub fn practice(shelf: &Shelf, id: &str) -> Result<PracticePage, Option<String>> {
    let practices = &shelf.practices;
    practices
        .get(id)
        .map(|practice| practice_page(&practice))
        .ok_or_else(|| document::nearest(id, practices.ids()).map(str::to_string))
}

fn practice_page(practice: &Practice) -> PracticePage {
    let factors = practice.below.iter().flat_map(|(under, factors)| {
        factors.each().map(|(part, factor)| PracticeFactor {
            below: under.words().to_string(),
            part: part.replace('_', " "),
            factor: factor.value(),
            source: factor.source().to_string(),
        })
    });
    PracticePage {
        id: practice.id.clone(),
        title: practice.title.clone(),
        statement: practice.statement.clone(),
        says: practice.sentences(),
        factors: factors.collect(),
    }
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
