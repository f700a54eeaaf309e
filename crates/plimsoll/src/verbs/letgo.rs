//! What happens when a part of this rig lets go?

use super::run::{json_text, rig_with_books};
use crate::answer::{Answer, Exit, complaint};
use crate::cli::{Books, UnitsAsked};
use crate::long_run::LongRun;
use crate::surroundings::Surroundings;
use crate::text::letgo_page;
use app::{CheckFailure, Kind, LetGoAsk, LetGoFailure, Which};
use clap::Args;
use serde_json::json;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// Asks what happens when a part of a rig lets go.
#[derive(Debug, Args)]
pub struct Letgo {
    /// The rig document; `-` reads standard input
    rig: PathBuf,
    /// Lets only this line go: any part of it, and if it has an adjustable grip, lets that slip
    #[arg(long, value_name = "NAME", group = "which")]
    line: Option<String>,
    /// Lets only this point go
    #[arg(long, value_name = "NAME", group = "which")]
    point: Option<String>,
    /// Lets only this junction go
    #[arg(long, value_name = "NAME", group = "which")]
    junction: Option<String>,
    /// Takes this damping alone, as a share of critical damping of the bounce (`0.3 %` or 0.003), at the stated
    /// stiffness; else several of both are tried, no damping among them, and the worst counts
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true, value_parser = ratio)]
    damping: Option<f64>,
    /// For how long motions are followed; else for one swing of the longest pendulum
    #[arg(long, value_name = "SECONDS", allow_hyphen_values = true, value_parser = seconds)]
    seconds: Option<f64>,
    /// Writes the time history of what one line, point or junction does, in the run that decides, into this CSV file
    #[arg(long, value_name = "FILE", requires = "which")]
    trace: Option<PathBuf>,
    /// How often the time history is written
    #[arg(long, value_name = "SECONDS", default_value = "0.001", requires = "trace", allow_hyphen_values = true, value_parser = seconds)]
    every: f64,
    /// Answers in JSON (see `plimsoll schema letgo`)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Reads a share, as in `0.3 %` or 0.003.
fn ratio(text: &str) -> Result<f64, String> {
    bare_or_with_unit(Kind::Ratio, text, "write a share such as `0.3 %` or 0.003")
}

/// Reads a time, as in `2.5` or `2.5 s`.
fn seconds(text: &str) -> Result<f64, String> {
    bare_or_with_unit(Kind::Time, text, "write seconds such as 2.5 or `2.5 s`")
}

fn bare_or_with_unit(kind: Kind, text: &str, instead: &str) -> Result<f64, String> {
    let bare = text.trim().parse();
    bare.or_else(|_| kind.parse_si(text))
        .map_err(|_| instead.to_string())
}

/// Follows the rig and tells what came of it.
pub fn answer(asked: &Letgo, surroundings: &Surroundings) -> Answer {
    let (document, shelving) = match rig_with_books(&asked.rig, &asked.books, surroundings) {
        Ok(read) => read,
        Err(answer) => return answer,
    };
    if let Some(file) = &asked.trace
        && let Some(wrong) = no_place(file, &asked.rig)
    {
        return Answer::unreadable(wrong);
    }
    let which = which(asked);
    let ask = LetGoAsk {
        today: Some(&surroundings.today),
        which: which.as_ref(),
        damping_ratio: asked.damping,
        seconds: asked.seconds,
        trace_every_s: asked.trace.as_ref().map(|_| asked.every),
    };
    let run = Mutex::new(LongRun::watch(0, "runs"));
    let show = |done: usize, of: usize| {
        // Whoever comes while another shows how far it is need not.
        if let Ok(run) = run.try_lock() {
            run.shows(done, of);
        }
    };
    let found = app::letgo(&shelving.shelf, &document.text(), &ask, &show);
    if let Ok(run) = run.into_inner() {
        run.end();
    }
    let found = match found {
        Ok(found) => found,
        Err(failure) => return unanswered(failure, surroundings),
    };
    let page = surroundings.page(asked.units.style(shelving.units));
    let out = if asked.json {
        json_text(&json!(found.answer))
    } else {
        letgo_page(&found.answer, &shelving.overlays, &page)
    };
    let exit = if found.answer.why_not.is_empty() {
        Exit::Fit
    } else {
        Exit::Stop
    };
    let mut answer = Answer {
        exit,
        ..Answer::of(out)
    };
    if let Some(file) = &asked.trace {
        match found.trace_csv.map(|csv| fs_err::write(file, csv)) {
            Some(Ok(())) => {}
            Some(Err(wrong)) => return Answer::unreadable(wrong.to_string()),
            None => {
                answer.err = complaint(format!(
                    "in the run that decides nothing moves, or what does was not found, so there is no time history; {} was not written",
                    file.display()
                ));
                answer.exit = Exit::Unreadable;
            }
        }
    }
    answer
}

/// Says why a time history is not written to a file: it would take the place of the rig, or the name is none.
fn no_place(file: &Path, rig: &Path) -> Option<String> {
    if file == Path::new("-") {
        return Some("--trace takes the name of a file; standard output holds the answer alone".into());
    }
    let same = fs_err::canonicalize(file)
        .ok()
        .zip(fs_err::canonicalize(rig).ok())
        .is_some_and(|(a, b)| a == b);
    same.then(|| {
        format!(
            "--trace {} would overwrite the rig; name another file",
            file.display()
        )
    })
}

fn which(asked: &Letgo) -> Option<Which> {
    let line = asked.line.clone().map(Which::Line);
    let point = || asked.point.clone().map(Which::Point);
    let junction = || asked.junction.clone().map(Which::Junction);
    line.or_else(point).or_else(junction)
}

fn unanswered(failure: LetGoFailure, surroundings: &Surroundings) -> Answer {
    match failure {
        LetGoFailure::Check(CheckFailure::Mistakes(mistakes)) => {
            Answer::mistakes(mistakes.render(surroundings.width, surroundings.colour_of_mistakes))
        }
        LetGoFailure::Check(failure @ CheckFailure::Program { .. }) => Answer::failed(failure.to_string()),
        LetGoFailure::Trace(_) => Answer::failed(failure.to_string()),
        LetGoFailure::Number(_) | LetGoFailure::NoSuch(_) => Answer::unreadable(failure.to_string()),
    }
}
