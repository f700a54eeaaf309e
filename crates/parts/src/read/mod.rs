//! Makes parts of a parts book file.

mod ends;
mod figures;
mod grips;
mod hardware;
mod ropes;
mod sections;
mod series;
mod sources;
mod tables;

use crate::book::Book;
use crate::part::{Origin, Part};
use crate::shape::BOOK;
use crate::tables::Tables;
use document::{Problem, Table};
use indexmap::map::Entry;
use sources::Sources;
use std::ops::Range;
use std::sync::Arc;

/// What every part of a file is read with.
pub(crate) struct Reading<'a> {
    sources: Sources,
    origin: &'a Origin,
    /// The tables of this file, laid over those of the book beneath it.
    tables: Tables,
}

/// Reads a file into a book and gives every mistake in it.
pub(crate) fn read_into(book: &mut Book, beneath: &Tables, text: &str, origin: &Origin) -> Vec<Problem> {
    document::read(text, &BOOK, |root| build(root, book, beneath, origin)).problems
}

fn build(root: &Table<'_>, book: &mut Book, beneath: &Tables, origin: &Origin) {
    let sources = Sources::read(root);
    let own = tables::read(root, &sources);
    book.tables = book.tables.overlaid(&own);
    let reading = Reading {
        tables: beneath.overlaid(&own),
        sources,
        origin,
    };
    let mut add = |part: Part, at: Range<usize>| match book.parts.entry(part.id.clone()) {
        Entry::Vacant(place) => {
            place.insert(Arc::new(part));
        }
        Entry::Occupied(_) => {
            let says = format!("there is a part `{}` already", part.id);
            root.problem(Problem::new(at, says).instead("give it another id or size, or leave one out"));
        }
    };
    ropes::read(root, &reading, &mut add);
    ends::read(root, &reading, &mut add);
    ends::read_clips(root, &reading, &mut add);
    grips::read(root, &reading, &mut add);
    hardware::read(root, &reading, &mut add);
    sections::read(root, &reading, &mut add);
}
