//! Where the figures of a file are from.

use crate::part::MakersDocument;
use document::{Placed, Problem, Table};
use std::collections::BTreeMap;
use working::{Seen, Source, bibliography};

/// The documents that a file names itself.
#[derive(Debug, Default)]
pub(crate) struct Sources(BTreeMap<String, Document>);

/// A document that a file names itself.
#[derive(Debug, Clone)]
pub(crate) enum Document {
    /// By its title alone.
    Titled(String),
    /// With the revision and date a rating needs.
    Dated(MakersDocument),
}

impl Sources {
    /// Reads the documents of a file.
    pub fn read(root: &Table<'_>) -> Self {
        let mut documents = BTreeMap::new();
        for (name, value) in root.names("documents") {
            let document = match value.table() {
                // A document that is wrongly written still has its name, so that citing it is not a second mistake.
                Some(table) => dated(&table).or_else(|| Some(Document::Titled(name.value.clone()))),
                None => value.text().map(|title| Document::Titled(title.value)),
            };
            if bibliography().contains_key(&name.value) {
                let says = format!("`{}` is a document of the bibliography already", name.value);
                root.problem(Problem::new(name.at, says).instead("give it another name"));
            } else if let Some(document) = document {
                documents.insert(name.value, document);
            }
        }
        Sources(documents)
    }

    /// Finds a document that the file names itself; one that it does not name is a mistake.
    pub fn document(&self, table: &Table<'_>, key: &str) -> Option<&Document> {
        let name = table.text(key)?;
        let found = self.0.get(&name.value);
        if found.is_none() {
            unknown(
                table,
                &name,
                "`[documents]` of this file",
                self.0.keys().map(String::as_str),
            );
        }
        found
    }

    /// Reads the `source`, `place` and `seen` of a table. None if they are wrong; that is reported.
    pub fn cited(&self, table: &Table<'_>) -> Option<Source> {
        let name = table.text("source")?;
        let place = table.text("place").map(|place| place.value).unwrap_or_default();
        let seen = table.text("seen").and_then(|word| seen(&word.value));
        if let Some(document) = self.0.get(&name.value) {
            return Some(Source::plain(document.at(&place), seen.unwrap_or(Seen::Stated)));
        }
        if !bibliography().contains_key(&name.value) {
            let known = self.0.keys().chain(bibliography().keys()).map(String::as_str);
            unknown(
                table,
                &name,
                "the bibliography or in `[documents]` of this file",
                known,
            );
            return None;
        }
        if seen.is_none() && !table.has("seen") {
            let says = "a document of the bibliography is cited without `seen`";
            let instead = "say how far the figure was checked: `seen = \"text\"` if it was read there";
            table.problem(Problem::new(name.at, says).instead(instead));
        }
        Some(Source::cited(&name.value, &place, seen?))
    }

    /// Reads the citation under a key; without the key the other source holds.
    pub fn cited_under(&self, table: &Table<'_>, key: &str, otherwise: &Source) -> Option<Source> {
        if !table.has(key) {
            return Some(otherwise.clone());
        }
        self.cited(&table.table(key)?)
    }
}

impl Document {
    /// Gives the maker's document, if revision and date are stated.
    pub fn dated(&self) -> Option<&MakersDocument> {
        match self {
            Document::Titled(_) => None,
            Document::Dated(document) => Some(document),
        }
    }

    /// Says the document and a place in it.
    pub fn at(&self, place: &str) -> String {
        let says = match self {
            Document::Titled(title) => title.clone(),
            Document::Dated(d) => format!("{}, revision {}, {}", d.title, d.revision, d.date),
        };
        if place.is_empty() {
            says
        } else {
            format!("{says}, {place}")
        }
    }
}

fn dated(table: &Table<'_>) -> Option<Document> {
    let text = |key| table.text(key).map(|text| text.value);
    Some(Document::Dated(MakersDocument {
        title: text("title")?,
        revision: text("revision")?,
        date: text("date")?,
    }))
}

fn unknown<'a>(
    table: &Table<'_>,
    name: &Placed<String>,
    r#where: &str,
    known: impl Iterator<Item = &'a str>,
) {
    let says = format!("there is no document `{}` in {}", name.value, r#where);
    let problem = Problem::new(name.at.clone(), says);
    let instead = if let Some(near) = document::nearest(&name.value, known) {
        format!("did you mean `{near}`?")
    } else {
        let key = key(&name.value);
        format!(
            "name it: `[documents.{key}]` with `title`, `revision` and `date`, or `{key} = \"title\"` under \
             `[documents]`"
        )
    };
    table.problem(problem.instead(instead));
}

/// Writes a name as a key of TOML: in quotes unless it may be bare.
fn key(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || "-_".contains(c);
    if !name.is_empty() && name.chars().all(bare) {
        return name.to_string();
    }
    format!("{name:?}")
}

fn seen(word: &str) -> Option<Seen> {
    Some(match word {
        "text" => Seen::Text,
        "computed" => Seen::Computed,
        "memory" => Seen::Memory,
        "common practice" => Seen::CommonPractice,
        "judgement" => Seen::Judgement,
        "stated" => Seen::Stated,
        _ => return None,
    })
}
