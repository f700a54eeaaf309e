//! What does not go together in what is told of one specimen.
//!
//! Conventions: SI.
//! Assumes: either of what was seen and what was logged may be wrong: both are told, and neither is changed.
//! Valid for: any specimen.
//! Source: our judgement.
//! Checked by: tests of the command line.

use crate::document::Specimen;
use crate::log::LogAnswer;
use crate::specimen::{HELD, Of};
use quantity::{Kind, Style};

/// Ways to fail, as logs tell them, in which nothing is left at the end.
const GONE: [&str; 4] = [
    "clean break",
    "strand by strand",
    "slip then break",
    "break after falls of unknown cause",
];
/// And in which it carries on, or is whole.
const NO_FAILURE: &str = "no failure";

/// Lists what does not go together.
pub(crate) fn doubts(specimen: &Specimen, log: Option<&LogAnswer>, peak_n: f64, of: Of<'_>) -> Vec<String> {
    let force = |force_n: f64| Kind::Force.print(force_n, Style::both());
    let seen = log
        .zip(specimen.saw.as_deref())
        .and_then(|(log, saw)| against_log(saw, &log.mode));
    let past = |what: &str, capacity_n: Option<f64>| {
        let capacity_n = capacity_n.filter(|capacity_n| peak_n > *capacity_n)?;
        Some(format!(
            "its greatest force of {} is more than the {} that the {what} goes to: one of both is wrong",
            force(peak_n),
            force(capacity_n)
        ))
    };
    let first_n = specimen
        .first_break_n
        .filter(|first_n| *first_n > peak_n * (1.0 + 1e-9));
    let first = first_n.map(|first_n| {
        format!(
            "its first break at {} is above its greatest force of {}: one of both is wrong",
            force(first_n),
            force(peak_n)
        )
    });
    [
        seen,
        past("cell", of.cell.capacity_n),
        past("machine", of.machine.capacity_n),
        first,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Says where what was seen and what the log tells do not go together.
fn against_log(saw: &str, mode: &str) -> Option<String> {
    let (is_held, is_gone) = (HELD.contains(&saw), GONE.contains(&mode));
    let differs = match saw {
        _ if is_held => is_gone || mode == "pull-out",
        _ if mode == NO_FAILURE => true,
        "pulled out" => mode == "strand by strand",
        _ => false,
    };
    if differs {
        return Some(format!(
            "`{saw}` was seen, and its log tells otherwise ({mode}): look at both again, and whether it is the log of this specimen"
        ));
    }
    (!is_held && mode == "ended early").then(|| {
        format!("`{saw}` was seen, and its log ends before that: what it carried then is not known, and its greatest force in the log counts")
    })
}
