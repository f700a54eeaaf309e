//! From the verb to its answer.

use super::{
    check, completions, explain, letgo, line, man, new, parts, prove, reference, rules, schema, spread, trim,
};
use crate::answer::Answer;
use crate::cli::{Books, Verb};
use crate::reading::{Document, beside};
use crate::shelving::{Shelving, Trouble};
use crate::surroundings::Surroundings;
use std::borrow::Cow;
use std::path::Path;

/// Answers a verb.
pub fn run(verb: &Verb, surroundings: &Surroundings) -> Answer {
    match verb {
        Verb::Check(asked) => check::answer(asked, surroundings),
        Verb::Explain(asked) => explain::answer(asked, surroundings),
        Verb::Spread(asked) => spread::answer(asked, surroundings),
        Verb::Trim(asked) => trim::answer(asked, surroundings),
        Verb::Letgo(asked) => letgo::answer(asked, surroundings),
        Verb::Prove(asked) => prove::answer(asked, surroundings),
        Verb::Line(asked) => line::answer(asked, surroundings),
        Verb::Parts(asked) => parts::answer(asked, surroundings),
        Verb::Rules(asked) => rules::answer(asked, surroundings),
        Verb::New(asked) => new::answer(asked),
        Verb::Schema(asked) => schema::answer(asked),
        Verb::Completions(asked) => completions::answer(asked),
        Verb::Man(asked) => man::answer(asked),
        Verb::Reference(asked) => reference::answer(asked),
    }
}

/// Finds the books for a question about a folder; if they are wrong, what is wrong is the answer.
pub fn shelving(folder: &Path, books: &Books, surroundings: &Surroundings) -> Result<Shelving, Answer> {
    Shelving::find(folder, &surroundings.books, &books.books).map_err(|trouble| {
        let err = trouble
            .iter()
            .map(|trouble| told(trouble, surroundings))
            .collect();
        Answer::mistakes(err)
    })
}

/// Reads a document, and the books for it; if that can not be, what is wrong is the answer.
pub fn with_books(
    file: &Path,
    books: &Books,
    surroundings: &Surroundings,
) -> Result<(Document, Shelving), Answer> {
    let shelving = shelving(file.parent().unwrap_or(Path::new("")), books, surroundings)?;
    let document = Document::read(file).map_err(|wrong| Answer::unreadable(wrong.to_string()))?;
    Ok((document, shelving))
}

/// Reads a rig, and the books for it with the pull tests that it names; if that can not be, what is wrong is the answer.
pub fn rig_with_books(
    rig: &Path,
    books: &Books,
    surroundings: &Surroundings,
) -> Result<(Document, Shelving), Answer> {
    let (document, mut shelving) = with_books(rig, books, surroundings)?;
    if let Cow::Owned(shelf) = shelving.shelf.with_series_of(&document.text(), &beside(rig)) {
        shelving.shelf = shelf;
    }
    Ok((document, shelving))
}

/// Tells what keeps a book from being used.
pub fn told(trouble: &Trouble, surroundings: &Surroundings) -> String {
    match trouble {
        Trouble::Mistakes(mistakes) => mistakes.render(surroundings.width, surroundings.colour_of_mistakes),
        Trouble::Unread(says) => crate::answer::complaint(says),
    }
}

/// Writes JSON for people and programs.
pub fn json_text(value: &serde_json::Value) -> String {
    format!("{value:#}\n")
}
