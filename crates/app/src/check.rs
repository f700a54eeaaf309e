//! Is this rig fit to hang?

use crate::mistakes::Mistakes;
use crate::shelf::Shelf;
use document::Problem;
use rayon::prelude::*;
use rig::{CheckError, Verdict};
use working::Record;

/// A text and the name of the file it came from.
#[derive(Debug, Clone, Copy)]
pub struct Text<'a> {
    /// The file, as the user named it.
    pub file: &'a str,
    /// Its text.
    pub text: &'a str,
}

impl Text<'_> {
    pub(crate) fn mistakes(&self, problems: Vec<Problem>) -> Mistakes {
        Mistakes {
            file: self.file.to_string(),
            text: self.text.to_string(),
            problems,
        }
    }
}

/// How a question is asked.
#[derive(Debug, Clone, Copy, Default)]
pub struct Ask<'a> {
    /// The day on which it is asked, as in `2026-03-14`.
    pub today: Option<&'a str>,
    /// Whether the derivation of every number is wanted.
    pub working: bool,
}

/// Why there is no verdict.
#[derive(Debug, Clone, thiserror::Error)]
pub enum CheckFailure {
    /// The file has mistakes.
    #[error("{} has {} mistakes", .0.file, .0.problems.len())]
    Mistakes(Mistakes),
    /// The program failed on a rig that is written rightly.
    #[error("{file}: {says}")]
    Program {
        /// The file, as the user named it.
        file: String,
        /// How it failed.
        says: String,
    },
}

/// Checks one rig.
pub fn check(shelf: &Shelf, text: &Text<'_>, ask: &Ask<'_>) -> Result<Verdict, CheckFailure> {
    let verdict = rig::check(text.text, &shelf.book, &shelf.practices, ask.today);
    let mut verdict = verdict.map_err(|error| failure(text, error))?;
    if ask.working {
        verdict.working = verdict
            .numbers
            .iter()
            .map(|(path, number)| (path.clone(), Record::from(number)))
            .collect();
    }
    Ok(verdict)
}

/// Says of a text why there is no answer.
pub(crate) fn failure(text: &Text<'_>, error: CheckError) -> CheckFailure {
    match error {
        CheckError::Document(problems) => CheckFailure::Mistakes(text.mistakes(problems)),
        other => CheckFailure::Program {
            file: text.file.to_string(),
            says: other.to_string(),
        },
    }
}

/// Checks many rigs side by side; answers in the order of the texts.
pub fn check_all(shelf: &Shelf, texts: &[Text<'_>], ask: &Ask<'_>) -> Vec<Result<Verdict, CheckFailure>> {
    texts.par_iter().map(|text| check(shelf, text, ask)).collect()
}
