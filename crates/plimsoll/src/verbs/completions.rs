//! Completions for a shell.

use crate::answer::Answer;
use crate::cli::Cli;
use clap::{Args, CommandFactory};
use clap_complete::Shell;

/// Asks for completions.
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell they are for
    shell: Shell,
}

/// Prints them.
pub fn answer(asked: &Completions) -> Answer {
    let mut out = Vec::new();
    clap_complete::generate(asked.shell, &mut Cli::command(), "plimsoll", &mut out);
    Answer::of(String::from_utf8_lossy(&out))
}
