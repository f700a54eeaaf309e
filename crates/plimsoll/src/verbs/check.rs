//! May these rigs hang like this?

use super::run::{json_text, told};
use crate::answer::{Answer, Exit, complaint};
use crate::cli::{Books, UnitsAsked};
use crate::long_run::awaited;
use crate::reading::{Document, beside, name};
use crate::shelving::{Shelving, Trouble};
use crate::surroundings::Surroundings;
use crate::text::{brief, summary, verdict_page, working_of_lines};
use app::{Ask, CheckFailure, Mistakes, Verdict, VerdictWord};
use clap::Args;
use rayon::prelude::*;
use serde_json::{Value, json};
use std::collections::HashMap;
use std::path::{Path, PathBuf};

/// Asks whether rigs may hang.
#[derive(Debug, Args)]
pub struct Check {
    /// The rig documents; `-` reads standard input
    #[arg(required = true, value_name = "RIG")]
    rigs: Vec<PathBuf>,
    /// Answers in JSON (see `plimsoll schema check`): one rig gives an object, several a list in the order of the
    /// files, each with its `file`. A file with mistakes gives `file` and `mistakes`; one that could not be read or
    /// checked gives `file` and `failure`
    #[arg(long)]
    json: bool,
    /// Adds the derivations: of the lines in text, of every number in JSON
    #[arg(long)]
    working: bool,
    /// Prints one line for each rig: the verdict and what decides it
    #[arg(long, conflicts_with_all = ["json", "working"])]
    brief: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// What became of one file.
enum Outcome {
    Verdict(Box<Verdict>),
    Mistakes(Mistakes),
    /// The books it is to be checked with can not be used.
    NoBooks,
    Unread(String),
    Failed(String),
}

/// The books of each folder that has rigs in question.
type Folders = HashMap<PathBuf, Result<Shelving, Vec<Trouble>>>;

/// Checks the rigs side by side and answers in the order of the files, with the worst exit status.
pub fn answer(asked: &Check, surroundings: &Surroundings) -> Answer {
    let mut folders = Folders::new();
    for rig in &asked.rigs {
        folders
            .entry(folder(rig).to_path_buf())
            .or_insert_with_key(|folder| Shelving::find(folder, &surroundings.books, &asked.books.books));
    }
    let ask = Ask {
        today: Some(&surroundings.today),
        working: asked.working && asked.json,
    };
    let outcomes = || -> Vec<Outcome> {
        let rigs = asked.rigs.par_iter();
        rigs.map(|rig| outcome(rig, &folders, &ask)).collect()
    };
    let outcomes = awaited("checking", outcomes);
    let out = if asked.json {
        in_json(asked, &folders, &outcomes)
    } else {
        in_text(asked, &folders, &outcomes, surroundings)
    };
    let exit = outcomes.iter().map(Outcome::exit).max().unwrap_or(Exit::Fit);
    Answer {
        out,
        err: complaints(asked, &folders, &outcomes, surroundings),
        exit,
    }
}

fn folder(rig: &Path) -> &Path {
    rig.parent().unwrap_or(Path::new(""))
}

fn outcome(rig: &Path, folders: &Folders, ask: &Ask<'_>) -> Outcome {
    let document = match Document::read(rig) {
        Ok(document) => document,
        Err(wrong) => return Outcome::Unread(wrong.to_string()),
    };
    let Some(Ok(shelving)) = folders.get(folder(rig)) else {
        return Outcome::NoBooks;
    };
    let shelf = shelving.shelf.with_series_of(&document.text(), &beside(rig));
    match app::check(&shelf, &document.text(), ask) {
        Ok(verdict) => Outcome::Verdict(Box::new(verdict)),
        Err(CheckFailure::Mistakes(mistakes)) => Outcome::Mistakes(mistakes),
        Err(failure @ CheckFailure::Program { .. }) => Outcome::Failed(failure.to_string()),
    }
}

impl Outcome {
    fn exit(&self) -> Exit {
        match self {
            Outcome::Verdict(verdict) if verdict.verdict == VerdictWord::Stop => Exit::Stop,
            Outcome::Verdict(_) => Exit::Fit,
            Outcome::Mistakes(_) | Outcome::NoBooks | Outcome::Unread(_) => Exit::Unreadable,
            Outcome::Failed(_) => Exit::Failed,
        }
    }

    fn verdict(&self) -> Option<&Verdict> {
        match self {
            Outcome::Verdict(verdict) => Some(verdict),
            _ => None,
        }
    }
}

fn in_json(asked: &Check, folders: &Folders, outcomes: &[Outcome]) -> String {
    let rigs = asked.rigs.iter().zip(outcomes);
    match (asked.rigs.as_slice(), outcomes) {
        ([_], [Outcome::Verdict(verdict)]) => json_text(&json!(verdict)),
        ([rig], [outcome]) => json_text(&entry(rig, folders, outcome)),
        _ => json_text(&rigs.map(|(rig, outcome)| entry(rig, folders, outcome)).collect()),
    }
}

/// Says in JSON what became of one of several files.
fn entry(rig: &Path, folders: &Folders, outcome: &Outcome) -> Value {
    let file = name(rig);
    match outcome {
        Outcome::Verdict(verdict) => {
            let mut entry = json!({ "file": file });
            if let (Value::Object(entry), Value::Object(verdict)) = (&mut entry, json!(verdict)) {
                entry.extend(verdict);
            }
            entry
        }
        Outcome::Mistakes(mistakes) => json!({ "file": file, "mistakes": mistakes.list() }),
        Outcome::NoBooks => {
            let trouble = folders.get(folder(rig)).and_then(|found| found.as_ref().err());
            let (mut mistakes, mut failures) = (Vec::new(), Vec::new());
            for trouble in trouble.into_iter().flatten() {
                match trouble {
                    Trouble::Mistakes(of) => mistakes.extend(of.list()),
                    Trouble::Unread(says) => failures.push(says.clone()),
                }
            }
            if failures.is_empty() {
                json!({ "file": file, "mistakes": mistakes })
            } else {
                json!({ "file": file, "mistakes": mistakes, "failure": failures.join("\n") })
            }
        }
        Outcome::Unread(says) | Outcome::Failed(says) => json!({ "file": file, "failure": says }),
    }
}

fn in_text(asked: &Check, folders: &Folders, outcomes: &[Outcome], surroundings: &Surroundings) -> String {
    let several = asked.rigs.len() > 1;
    let told = asked.rigs.iter().zip(outcomes).filter_map(|(rig, outcome)| {
        let (verdict, Ok(shelving)) = (outcome.verdict()?, folders.get(folder(rig))?) else {
            return None;
        };
        let style = asked.units.style(shelving.units);
        let page = surroundings.page(style);
        if asked.brief {
            return Some(brief(&name(rig), verdict, &page));
        }
        let heading = several.then(|| name(rig));
        let mut text = verdict_page(heading.as_deref(), verdict, &shelving.overlays, &page);
        if asked.working {
            text.push_str(&working_of_lines(verdict, &page));
        }
        Some(text)
    });
    let told: Vec<String> = told.collect();
    let mut out = told.join(if asked.brief { "" } else { "\n" });
    if several {
        if !told.is_empty() && !asked.brief {
            out.push('\n');
        }
        let words: Vec<Option<VerdictWord>> = outcomes
            .iter()
            .map(|outcome| outcome.verdict().map(|verdict| verdict.verdict))
            .collect();
        out.push_str(&summary(&words));
    }
    out
}

/// Tells what is wrong with the files and the books; what is wrong with a book of several rigs is told once.
fn complaints(asked: &Check, folders: &Folders, outcomes: &[Outcome], surroundings: &Surroundings) -> String {
    let mut complaints: Vec<String> = Vec::new();
    for (rig, outcome) in asked.rigs.iter().zip(outcomes) {
        match outcome {
            Outcome::Verdict(_) => {}
            Outcome::Mistakes(mistakes) => {
                complaints.push(mistakes.render(surroundings.width, surroundings.colour_of_mistakes));
            }
            Outcome::Unread(says) | Outcome::Failed(says) => complaints.push(complaint(says)),
            Outcome::NoBooks => {
                let trouble = folders.get(folder(rig)).and_then(|found| found.as_ref().err());
                for told in trouble
                    .into_iter()
                    .flatten()
                    .map(|trouble| told(trouble, surroundings))
                {
                    if !complaints.contains(&told) {
                        complaints.push(told);
                    }
                }
                complaints.push(complaint(format!(
                    "{}: not checked, for what is wrong with its books",
                    name(rig)
                )));
            }
        }
    }
    complaints.concat()
}
