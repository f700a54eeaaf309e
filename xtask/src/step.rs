//! One command of a task.

use anyhow::{Context, Result};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

/// A command ended with a status that is not due.
#[derive(Debug)]
pub struct Failed {
    command: String,
    status: Option<i32>,
}

impl std::error::Error for Failed {}

impl std::fmt::Display for Failed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.status {
            Some(status) => write!(f, "`{}` ended with status {status}", self.command),
            None => write!(f, "`{}` was killed", self.command),
        }
    }
}

/// Gives the exit status of a task that failed: that of its command, else 1.
pub fn status_of(error: &anyhow::Error) -> ExitCode {
    let status = error.downcast_ref::<Failed>().and_then(|failed| failed.status);
    ExitCode::from(
        status
            .and_then(|status| u8::try_from(status).ok())
            .filter(|status| *status > 0)
            .unwrap_or(1),
    )
}

/// Gives the root of the repository.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}

/// Gives the folder that cargo builds into.
pub fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), |set| root().join(set))
}

/// Prints a command, runs it at the root, and gives an error unless its status is 0.
pub fn run(program: &str, words: &[&str]) -> Result<()> {
    run_with(program, words, &[], &[0])
}

/// Runs a command with variables set; `due` are the statuses that are no failure.
pub fn run_with(program: &str, words: &[&str], variables: &[(&str, &str)], due: &[i32]) -> Result<()> {
    let set: Vec<String> = variables
        .iter()
        .map(|(name, value)| format!("{name}={value}"))
        .collect();
    let said: Vec<&str> = set
        .iter()
        .map(String::as_str)
        .chain([program])
        .chain(words.iter().copied())
        .collect();
    let command = said.join(" ");
    crate::say(&format!("\n$ {command}"));
    let status = Command::new(program)
        .args(words)
        .envs(variables.iter().copied())
        .current_dir(root())
        .status()
        .with_context(|| format!("`{program}` could not be started"))?;
    match status.code() {
        Some(code) if due.contains(&code) => Ok(()),
        code => Err(Failed {
            command,
            status: code,
        }
        .into()),
    }
}

/// Tells whether a cargo subcommand is installed.
pub fn has_cargo(subcommand: &str) -> bool {
    let found = Command::new("cargo")
        .args([subcommand, "--version"])
        .current_dir(root())
        .output();
    found.is_ok_and(|output| output.status.success())
}
