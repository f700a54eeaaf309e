//! What do these pull tests show?

mod log;
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
    Log(log::Log),
}

/// Answers.
pub fn answer(asked: &Prove, surroundings: &Surroundings) -> Answer {
    match &asked.what {
        Some(What::Log(asked)) => log::answer(asked, surroundings),
        None => series::answer(&asked.series, surroundings),
    }
}

/// Writes a drawing; what is wrong with that is told beside the answer.
fn with_plot(answer: Answer, file: &Path, inputs: &[&Path], svg: Option<&str>) -> Answer {
    let Some(svg) = svg else { return answer };
    let same = |input: &&Path| match (fs_err::canonicalize(file), fs_err::canonicalize(input)) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    };
    if inputs.iter().any(same) {
        return Answer::unreadable(format!(
            "--plot: {} is what is read; name another file",
            file.display()
        ));
    }
    match fs_err::write(file, svg) {
        Ok(()) => answer,
        Err(wrong) => Answer {
            err: answer.err.clone() + &complaint(wrong.to_string()),
            exit: crate::answer::Exit::Unreadable,
            ..answer
        },
    }
}
