//! The command line of Plimsoll: reads files, environment and clock, asks `app`, and prints.
//!
//! # Rooms
//!
//! `cli` says what can be asked; each verb is a file in `verbs/`; `surroundings` is all that is taken from the
//! environment, terminal and clock; `shelving` finds the books and practices that hold for a file; `text` sets answers
//! as plain text; `long_run` shows how far a long run is and lets Ctrl-C end it; `answer` is what a verb gives back.

mod answer;
mod cli;
mod day;
mod long_run;
mod reading;
mod shelving;
mod surroundings;
mod text;
mod verbs;

use answer::{Answer, Exit};
use cli::Cli;
use surroundings::Surroundings;

fn main() -> std::process::ExitCode {
    let words: Vec<_> = std::env::args_os().collect();
    let cli = Cli::read(&words);
    // A panic is a defect of the program, never of the input: it must not look like exit status 1 or 2.
    let answer = std::panic::catch_unwind(|| match Surroundings::found(cli.today.clone()) {
        Ok(surroundings) => verbs::run(&cli.verb, &surroundings),
        Err(wrong) => Answer::unreadable(wrong.to_string()),
    });
    let failed = || Answer::failed("the program failed; this is a defect of the program, not of your files");
    answer
        .unwrap_or_else(|_| failed())
        .within(surroundings::width())
        .give()
        .unwrap_or(Exit::Failed)
        .into()
}
