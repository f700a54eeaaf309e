//! The parts book: what is in it and how a part is found.

use crate::bend::BendRow;
use crate::part::{Body, Origin, Part};
use crate::read::read_into;
use crate::tables::{SheaveRatio, Tables};
use document::Problem;
use indexmap::IndexMap;
use std::sync::{Arc, OnceLock};

/// Parts by id, and the tables that belong to no single part.
#[derive(Debug, Clone, Default)]
pub struct Book {
    pub(crate) parts: IndexMap<String, Arc<Part>>,
    pub(crate) tables: Tables,
}

/// The files of the published book; the tables come first because ropes are made with them.
pub(crate) const PUBLISHED: [(&str, &str); 9] = [
    ("tables.toml", include_str!("../../../data/parts/tables.toml")),
    ("ropes.toml", include_str!("../../../data/parts/ropes.toml")),
    ("ends.toml", include_str!("../../../data/parts/ends.toml")),
    ("clips.toml", include_str!("../../../data/parts/clips.toml")),
    ("thimbles.toml", include_str!("../../../data/parts/thimbles.toml")),
    ("shackles.toml", include_str!("../../../data/parts/shackles.toml")),
    ("eyebolts.toml", include_str!("../../../data/parts/eyebolts.toml")),
    (
        "turnbuckles.toml",
        include_str!("../../../data/parts/turnbuckles.toml"),
    ),
    ("links.toml", include_str!("../../../data/parts/links.toml")),
];

impl Book {
    /// Gives the book that is part of the program. It is read once.
    pub fn published() -> &'static Book {
        static PUBLISHED_BOOK: OnceLock<Book> = OnceLock::new();
        // The files are part of the program and a test reads them without a problem.
        PUBLISHED_BOOK.get_or_init(|| read_published().0)
    }

    /// Reads a shop's own book, with every mistake in it. A part that is wrongly written is left out.
    ///
    /// `file` is the name the parts are traced back to. Lay the result over another book with [`Book::overlaid`].
    pub fn read(file: &str, text: &str) -> (Book, Vec<Problem>) {
        let mut book = Book::default();
        let origin = Origin::Shop {
            file: file.to_string(),
            replaces_published: false,
            better: Vec::new(),
        };
        let problems = read_into(&mut book, &Book::published().tables, text, &origin);
        (book, problems)
    }

    /// Lays a shop's book over this one: what has the same id is replaced, and says so.
    ///
    /// A table of bends or a row of sheaves in the shop's book then holds for every rope of its kind, published ones
    /// too, and is cited wherever it counts. A row of stretch holds for the shop's own ropes.
    #[must_use]
    pub fn overlaid(&self, shop: &Book) -> Book {
        let mut book = self.clone();
        for (id, part) in &shop.parts {
            let published = Book::published().get(id);
            let laid = published.map_or_else(|| part.clone(), |published| marked(part, &published));
            book.parts.insert(id.clone(), laid);
        }
        book.tables = self.tables.overlaid(&shop.tables);
        book.hand_out(&shop.tables);
        book
    }

    /// Finds a part by its id.
    pub fn get(&self, id: &str) -> Option<Arc<Part>> {
        self.parts.get(id).cloned()
    }

    /// Lists the ids, in the order of the book.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.parts.keys().map(String::as_str)
    }

    /// Lists the parts, in the order of the book.
    pub fn parts(&self) -> impl Iterator<Item = &Arc<Part>> {
        self.parts.values()
    }

    /// Finds the parts that have every one of these words in their id, name, kind, construction or material.
    pub fn search(&self, words: &str) -> Vec<Arc<Part>> {
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        self.parts()
            .filter(|part| words.iter().all(|word| text_of(part).contains(word)))
            .cloned()
            .collect()
    }

    /// Finds the id that was probably meant.
    pub fn nearest(&self, id: &str) -> Option<&str> {
        document::nearest(id, self.ids())
    }

    /// Gives the table of bends, least ratio first.
    pub fn bends(&self) -> &[BendRow] {
        &self.tables.bends
    }

    /// Lists the constructions that may run over sheaves, each with its ratios. The first row for one holds.
    pub fn sheaves(&self) -> impl Iterator<Item = (&str, &SheaveRatio)> {
        let rows = self.tables.sheaves.iter();
        rows.map(|row| (row.construction.as_str(), &row.ratio))
    }

    /// Hands tables that were laid over this book to every rope in it.
    fn hand_out(&mut self, tables: &Tables) {
        if tables.bends.is_empty() && tables.sheaves.is_empty() {
            return;
        }
        for part in self.parts.values_mut().filter(|part| part.rope().is_some()) {
            if let Body::Rope(rope) = &mut Arc::make_mut(part).body {
                tables.hand_to(rope);
            }
        }
    }
}

/// Reads the published files; the problems are those of each file.
pub(crate) fn read_published() -> (Book, Vec<(&'static str, Vec<Problem>)>) {
    let mut book = Book::default();
    let mut problems = Vec::new();
    for (file, text) in PUBLISHED {
        let tables = book.tables.clone();
        problems.push((file, read_into(&mut book, &tables, text, &Origin::Published)));
    }
    (book, problems)
}

/// Marks a shop's part as one that replaces a published one, and says in what it is rated better.
fn marked(part: &Part, published: &Part) -> Arc<Part> {
    let mut part = part.clone();
    let than = part.better_than(published);
    if let Origin::Shop {
        replaces_published,
        better,
        ..
    } = &mut part.origin
    {
        *replaces_published = true;
        *better = than;
    }
    Arc::new(part)
}

fn text_of(part: &Part) -> String {
    let more = match &part.body {
        Body::Rope(rope) => format!("{} {}", rope.construction, rope.material),
        Body::Link(link) => link.form.clone(),
        Body::Turnbuckle(turnbuckle) => turnbuckle.ends.clone(),
        _ => String::new(),
    };
    format!("{} {} {} {more}", part.id, part.name, part.kind()).to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_files_read_without_a_problem() {
        for (file, problems) in read_published().1 {
            let text = PUBLISHED
                .iter()
                .find(|(name, _)| *name == file)
                .map_or("", |(_, text)| text);
            assert!(
                problems.is_empty(),
                "{}",
                document::render(file, text, &problems, 110, false)
            );
        }
    }
}
