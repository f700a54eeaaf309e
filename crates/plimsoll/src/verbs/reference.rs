//! The generated reference pages of `docs/`: written, or held against what is there.

use super::run::json_text;
use crate::answer::{Answer, Exit};
use crate::cli::Cli;
use clap::{Args, Command, CommandFactory};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Asks for the reference pages.
#[derive(Debug, Args)]
pub struct Reference {
    /// The folder they go to
    folder: PathBuf,
    /// Writes nothing; exit status 1 if a page differs from what is there
    #[arg(long)]
    check: bool,
}

/// Where the page on each document goes.
const PAGES: [(&str, &str); 7] = [
    ("rig", "rig-document.md"),
    ("shop", "shop-document.md"),
    ("parts-book", "parts-document.md"),
    ("practices", "practices-document.md"),
    ("readings", "readings-document.md"),
    ("series", "series-document.md"),
    ("rules", "rules.md"),
];

/// Writes the pages, or names those that differ.
pub fn answer(asked: &Reference) -> Answer {
    let mut differs = Vec::new();
    for (file, text) in pages() {
        let path = asked.folder.join(file);
        if fs_err::read_to_string(&path).is_ok_and(|there| there == text) {
            continue;
        }
        if asked.check {
            differs.push(path.display().to_string());
        } else if let Err(error) = write(&path, &text) {
            return Answer::failed(error.to_string());
        }
    }
    if differs.is_empty() {
        return Answer::of("");
    }
    let err = format!(
        "out of date (`cargo xtask generate` writes them): {}\n",
        differs.join(", ")
    );
    Answer {
        err,
        exit: Exit::Stop,
        ..Answer::of("")
    }
}

fn write(path: &Path, text: &str) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        fs_err::create_dir_all(folder)?;
    }
    fs_err::write(path, text)
}

/// Lists the pages by file.
fn pages() -> Vec<(PathBuf, String)> {
    let mut pages = vec![(PathBuf::from("cli.md"), command_line())];
    for (name, file) in PAGES {
        let title = app::REFERENCES
            .iter()
            .find(|(known, _)| *known == name)
            .map_or(name, |(_, title)| title);
        let body = app::reference(name).unwrap_or_default();
        pages.push((file.into(), page(title, &body)));
    }
    for (name, _) in app::SCHEMAS {
        let schema = app::schema(name)
            .map(|schema| json_text(&schema))
            .unwrap_or_default();
        pages.push((PathBuf::from("schemas").join(format!("{name}.json")), schema));
    }
    pages
}

const GENERATED: &str = "<!-- Written by `cargo xtask generate`; do not edit. -->";

/// Puts a title over a page; one that has a title of its own is complete and says itself where it comes from.
fn page(title: &str, body: &str) -> String {
    if body.starts_with("# ") {
        return body.to_string();
    }
    format!("# {title}\n\n{GENERATED}\n\n{}\n", body.trim())
}

fn command_line() -> String {
    let mut program = Cli::command().term_width(100);
    program.build();
    let mut body = verb("plimsoll", &mut program, "##");
    let verbs: Vec<Command> = program
        .get_subcommands()
        .filter(|verb| is_shown(verb))
        .cloned()
        .collect();
    for mut command in verbs {
        body.push_str(&verb(
            &format!("plimsoll {}", command.get_name()),
            &mut command,
            "##",
        ));
        let inner: Vec<Command> = command
            .get_subcommands()
            .filter(|verb| is_shown(verb))
            .cloned()
            .collect();
        for mut inner in inner {
            let name = format!("plimsoll {} {}", command.get_name(), inner.get_name());
            body.push_str(&verb(&name, &mut inner, "###"));
        }
    }
    page("The command line", &body)
}

fn is_shown(verb: &Command) -> bool {
    !verb.is_hide_set() && verb.get_name() != "help"
}

fn verb(name: &str, command: &mut Command, level: &str) -> String {
    let mut out = String::new();
    let help = command.render_long_help().to_string();
    let lines: Vec<&str> = help.lines().map(str::trim_end).collect();
    // Writing to a String can not fail.
    let _ = write!(out, "{level} `{name}`\n\n```text\n{}\n```\n\n", lines.join("\n"));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_of_app_has_a_page() {
        let pages: Vec<&str> = PAGES.iter().map(|(name, _)| *name).collect();
        let known: Vec<&str> = app::REFERENCES.iter().map(|(name, _)| *name).collect();
        assert_eq!(pages, known);
    }
}
