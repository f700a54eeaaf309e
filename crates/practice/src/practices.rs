//! The published practices and a shop's own, by name.

use crate::practice::Practice;
use crate::read;
use document::Problem;
use indexmap::IndexMap;
use std::sync::OnceLock;

/// Practices by name, in the order in which they were written.
#[derive(Debug, Clone, Default)]
pub struct Practices(IndexMap<String, Practice>);

/// The published practices; part of the program.
const PUBLISHED: [(&str, &str); 4] = [
    (
        "static-overhead.toml",
        include_str!("../../../data/practices/static-overhead.toml"),
    ),
    (
        "static-clear-below.toml",
        include_str!("../../../data/practices/static-clear-below.toml"),
    ),
    (
        "moving-overhead.toml",
        include_str!("../../../data/practices/moving-overhead.toml"),
    ),
    (
        "static-overhead-german.toml",
        include_str!("../../../data/practices/static-overhead-german.toml"),
    ),
];

impl Practices {
    /// Gives the published practices.
    pub fn published() -> &'static Practices {
        static ALL: OnceLock<Practices> = OnceLock::new();
        ALL.get_or_init(|| {
            let each = PUBLISHED.iter().flat_map(|(_, text)| read::published(text).value);
            Practices(each.map(|practice| (practice.id.clone(), practice)).collect())
        })
    }

    /// Reads a shop's own practices, each based on a published one or on one further up in the same file.
    ///
    /// Of a document with a mistake in it nothing is taken, since a misspelt key may have been meant to be stricter; the
    /// problems say what would be right.
    pub fn read(file: &str, text: &str) -> (Practices, Vec<Problem>) {
        let reading = read::shop(file, text, Practices::published());
        if !reading.problems.is_empty() {
            return (Practices::default(), reading.problems);
        }
        let each = reading
            .value
            .into_iter()
            .map(|practice| (practice.id.clone(), practice));
        (Practices(each.collect()), Vec::new())
    }

    /// Lays a shop's practices over these.
    #[must_use]
    pub fn overlaid(&self, shop: Practices) -> Practices {
        let mut all = self.clone();
        all.0.extend(shop.0);
        all
    }

    /// Gives a practice by its name.
    pub fn get(&self, id: &str) -> Option<Practice> {
        self.0.get(id).cloned()
    }

    /// Lists the names.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// Lists the practices.
    pub fn iter(&self) -> impl Iterator<Item = &Practice> {
        self.0.values()
    }

    /// Gives the name that was probably meant.
    pub fn nearest(&self, word: &str) -> Option<&str> {
        document::nearest(word, self.ids())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_published_practice_reads_without_a_problem() {
        for (file, text) in PUBLISHED {
            let reading = read::published(text);
            assert!(
                reading.problems.is_empty(),
                "{}",
                document::render(file, text, &reading.problems, 100, false)
            );
            assert_eq!(reading.value.len(), 1, "{file}");
            assert_eq!(format!("{}.toml", reading.value[0].id), file);
        }
    }

    #[test]
    fn a_misspelt_name_finds_the_nearest() {
        assert_eq!(
            Practices::published().nearest("static-overhed"),
            Some("static-overhead")
        );
        assert_eq!(Practices::published().nearest("rodeo"), None);
        assert!(Practices::published().get("rodeo").is_none());
    }
}
