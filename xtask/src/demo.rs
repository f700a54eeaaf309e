//! Builds the program and asks it about the demo rigs.

use crate::step::{self, root, run_with, target};
use anyhow::{Context, Result, bail};

/// The rig whose verdict is shown in full.
const FIRST: &str = "examples/flock.toml";
/// The rig on four lines of which more than two can hardly be counted on.
const SPREADS: &str = "examples/lanterns.toml";

/// Pull tests of two kinds of grip.
const PULLED: &str = "examples/pulls/grips.toml";

/// The rig that is set right, and what was read on it.
const CANOPY: [&str; 4] = [
    "trim",
    "examples/canopy.toml",
    "--readings",
    "examples/readings/canopy.toml",
];

/// Runs the main job: one verdict in full, the derivation of one number, what tolerances do to a rig on four lines, a rig
/// set right, what pull tests show, one line for each of the others.
pub fn run() -> Result<()> {
    step::run("cargo", &["build", "--release", "--package", "plimsoll"])?;
    let program = target()
        .join("release")
        .join(format!("plimsoll{}", std::env::consts::EXE_SUFFIX));
    let program = program.to_str().context("the path of the program is not text")?;
    let rigs = rigs()?;
    if !rigs.iter().any(|rig| rig == FIRST) {
        bail!("{FIRST} is missing");
    }
    ask(program, &["check", FIRST])?;
    ask(program, &["explain", FIRST, "lines.northwest.working_load"])?;
    ask(program, &["spread", SPREADS])?;
    ask(program, &CANOPY)?;
    ask(program, &["prove", PULLED])?;
    let all: Vec<&str> = ["check", "--brief"]
        .into_iter()
        .chain(rigs.iter().map(String::as_str))
        .collect();
    ask(program, &all)
}

/// Asks the program; a stop (1) is an answer.
fn ask(program: &str, words: &[&str]) -> Result<()> {
    run_with(program, words, &[], &[0, 1])
}

/// Lists the demo rigs.
fn rigs() -> Result<Vec<String>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(root().join("examples")).context("examples")? {
        let path = entry?.path();
        let name = path
            .file_name()
            .and_then(|name| name.to_str())
            .unwrap_or_default()
            .to_string();
        if path.extension().is_some_and(|end| end == "toml") && name != "shop.toml" {
            found.push(format!("examples/{name}"));
        }
    }
    found.sort();
    Ok(found)
}
