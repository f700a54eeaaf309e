//! The documents that figures and formulas are cited from: `data/bibliography.toml`.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// One document.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Title, edition and date.
    pub title: String,
    /// What kind of document it is (government text, standard text, trade page, ...).
    pub kind: String,
    /// Which part of it was read; empty if it is cited from memory.
    #[serde(default)]
    pub read: String,
    /// Where it can be read, if that is a public document.
    #[serde(default)]
    pub address: String,
}

/// Gives every document by its key.
pub fn bibliography() -> &'static BTreeMap<String, Entry> {
    static BIBLIOGRAPHY: OnceLock<BTreeMap<String, Entry>> = OnceLock::new();
    // The text is part of the program and a test reads it, so it parses; an empty map only loses titles.
    BIBLIOGRAPHY.get_or_init(|| toml::from_str(TEXT).unwrap_or_default())
}

const TEXT: &str = include_str!("../../../data/bibliography.toml");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bibliography_reads_and_every_entry_has_a_title() {
        let entries: BTreeMap<String, Entry> = toml::from_str(TEXT).unwrap();
        assert!(entries.len() > 50);
        assert!(
            entries
                .values()
                .all(|entry| !entry.title.is_empty() && !entry.kind.is_empty())
        );
    }
}
