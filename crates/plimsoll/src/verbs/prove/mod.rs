//! What do these pull tests show?

mod log;
mod plan;
mod series;

use crate::answer::{Answer, complaint};
use crate::surroundings::Surroundings;
use clap::{Args, Subcommand};
use std::path::Path;

/// Asks what pull tests show.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, arg_required_else_help = true)]
pub struct Prove {
    #[command(subcommand)]
    what: Option<What>,
    #[command(flatten)]
    series: series::Series,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Reads the log of one pull test and says what happened in it.
    ///
    /// How the log is read (columns, units, times) is found out and told; where the unit of the force is not sure it asks for it.
    Log(Box<log::Log>),
    /// Plans a series that is still to be pulled: how many, with what, behind what, and the sheet to fill in.
    Plan(plan::Plan),
}

/// Answers.
pub fn answer(asked: &Prove, surroundings: &Surroundings) -> Answer {
    match &asked.what {
        Some(What::Log(asked)) => log::answer(asked, surroundings),
        Some(What::Plan(asked)) => plan::answer(asked, surroundings),
        None => series::answer(&asked.series, surroundings),
    }
}

/// Writes a file that an option names; what is wrong with that is told beside the answer.
fn with_file(answer: Answer, (option, file): (&str, &Path), inputs: &[&Path], text: Option<&str>) -> Answer {
    let Some(text) = text else { return answer };
    let same = |input: &&Path| match (fs_err::canonicalize(file), fs_err::canonicalize(input)) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    };
    if inputs.iter().any(same) {
        return Answer::unreadable(format!(
            "{option}: {} is what is read; name another file",
            file.display()
        ));
    }
    match fs_err::write(file, text) {
        Ok(()) => answer,
        Err(wrong) => Answer {
            err: answer.err.clone() + &complaint(wrong.to_string()),
            exit: crate::answer::Exit::Unreadable,
            ..answer
        },
    }
}
