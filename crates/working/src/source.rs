//! Where a number or a formula comes from.

use crate::bibliography::bibliography;
use serde::Serialize;
use std::fmt;

/// Where a number or a formula comes from, and how far that was checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The document, edition and place, in words.
    pub says: String,
    /// The key of the document in `data/bibliography.toml`, if it is one of those.
    pub key: Option<String>,
    /// How far the source was checked.
    pub seen: Seen,
}

/// How far a source was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Seen {
    /// The figure was read in the document.
    Text,
    /// The figure was computed from figures or formulas that were read.
    Computed,
    /// The figure is remembered; nobody has held the document against it.
    Memory,
    /// A habit of the trade without a document.
    CommonPractice,
    /// Our own judgement, said so.
    Judgement,
    /// Stated by the person who wrote the rig file or the shop's own book.
    Stated,
    /// Follows from mechanics or geometry alone.
    Mechanics,
}

impl Source {
    /// Cites a document of the bibliography, with the place in it (a table, a clause; may be empty).
    ///
    /// A key that is not in the bibliography stands for itself, so that nothing is lost.
    pub fn cited(key: &str, place: &str, seen: Seen) -> Self {
        let title = bibliography().get(key).map_or(key, |entry| entry.title.as_str());
        let says = if place.is_empty() {
            title.to_string()
        } else {
            format!("{title}, {place}")
        };
        Source {
            says,
            key: Some(key.to_string()),
            seen,
        }
    }

    /// Names a source that is not in the bibliography.
    pub fn plain(says: impl Into<String>, seen: Seen) -> Self {
        Source {
            says: says.into(),
            key: None,
            seen,
        }
    }

    /// Names a place in the user's own files.
    pub fn stated(says: impl Into<String>) -> Self {
        Source::plain(says, Seen::Stated)
    }

    /// Names a law of mechanics or geometry.
    pub fn mechanics(says: impl Into<String>) -> Self {
        Source::plain(says, Seen::Mechanics)
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.seen {
            Seen::Text | Seen::Stated | Seen::Mechanics => f.write_str(&self.says),
            Seen::CommonPractice if self.says.contains("common practice") => f.write_str(&self.says),
            _ => write!(f, "{} ({})", self.says, self.seen),
        }
    }
}

impl fmt::Display for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Seen::Text => "seen in print",
            Seen::Computed => "computed from figures seen in print",
            Seen::Memory => "from memory",
            Seen::CommonPractice => "common practice, no source",
            Seen::Judgement => "our judgement",
            Seen::Stated => "stated",
            Seen::Mechanics => "mechanics",
        })
    }
}
