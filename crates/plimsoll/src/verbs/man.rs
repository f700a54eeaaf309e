//! Manual pages.

use crate::answer::{Answer, did_you_mean};
use crate::cli::Cli;
use clap::{Args, CommandFactory};
use clap_mangen::Man as Page;

/// Asks for a manual page.
#[derive(Debug, Args)]
pub struct Man {
    /// The verb it is about; without it, the page of the program
    verb: Option<String>,
}

/// Prints it, as a manual viewer takes it.
pub fn answer(asked: &Man) -> Answer {
    let mut program = Cli::command();
    program.build();
    let command = match &asked.verb {
        None => program,
        Some(verb) => match program.find_subcommand(verb).cloned() {
            Some(command) => command,
            None => return unknown(verb, &program),
        },
    };
    let mut out = Vec::new();
    match Page::new(command).render(&mut out) {
        Ok(()) => Answer::of(String::from_utf8_lossy(&out)),
        Err(error) => Answer::failed(error.to_string()),
    }
}

fn unknown(verb: &str, program: &clap::Command) -> Answer {
    let known = program
        .get_subcommands()
        .filter(|verb| !verb.is_hide_set())
        .map(clap::Command::get_name);
    Answer::unreadable(format!(
        "there is no verb `{verb}`{}",
        did_you_mean(app::nearest(verb, known))
    ))
}
