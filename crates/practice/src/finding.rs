//! The outcome of one rule on one subject.

use serde::Serialize;

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Needs a person's judgement before anything hangs.
    Caution,
    /// Must not hang like this.
    Stop,
}

/// The outcome of one rule on one subject.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Finding {
    /// The id of the rule.
    pub rule: String,
    /// How much it weighs.
    pub severity: Severity,
    /// What it is about, as a path into the rig document, such as `lines.nw`.
    pub subject: String,
    /// What was found, in a sentence with its numbers.
    pub says: String,
    /// What would mend it; empty where nothing can be said.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub mend: String,
    /// Where the rule comes from.
    pub source: String,
    /// The case or stage in which it was found; none for the plain rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
    /// How much there is of what it finds, to be compared with what the same rule finds in another case; none where how near
    /// its subject is to its limit tells.
    #[serde(skip)]
    pub size: Option<f64>,
    /// What of its subject it is about, where one rule finds several things; else empty.
    #[serde(skip)]
    pub part: String,
}

impl Finding {
    /// Says how much there is of what it finds.
    pub(crate) fn sized(self, size: f64) -> Self {
        Self {
            size: Some(size),
            ..self
        }
    }

    /// Says what of its subject it is about.
    pub(crate) fn about(self, part: impl Into<String>) -> Self {
        Self {
            part: part.into(),
            ..self
        }
    }
}
