//! What does not go together in what is told of specimens, rope and cell.
//!
//! Conventions: SI.
//! Assumes: either of what was seen and what was logged may be wrong: both are told, and neither is changed.
//! Valid for: any series.
//! Source: our judgement.
//! Checked by: tests/series.rs; tests of the command line.

use crate::document::Specimen;
use crate::log::LogAnswer;
use crate::specimen::{HELD, Of};
use quantity::{Kind, Style};

/// Ropes break at up to so many times their published breaking force: our judgement.
pub(crate) const ROPES_BEAT: f64 = 1.2;
/// A cell keeps for so many years what its calibration says of it: our judgement; many are calibrated each year.
const CALIBRATED_YEARS: u32 = 2;

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
    let force = |force_n: f64| Kind::Force.print(force_n, of.style.in_sentences());
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
    let most_n = of.breaking_n.map(|breaking_n| ROPES_BEAT * breaking_n);
    let beats = most_n.filter(|most_n| peak_n > *most_n).map(|most_n| {
        format!(
            "its greatest force of {} is more than {}, {ROPES_BEAT} times the published breaking force of the rope, which ropes do not beat by so \
             much (our judgement): look at the unit, the rope and the breaking force",
            force(peak_n),
            force(most_n)
        )
    });
    [
        seen,
        beats,
        past("cell", of.cell.capacity_n),
        past("machine", of.machine.capacity_n),
        first,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Tells whether how strong it was can not be right as it is told: past what cell or machine go to, or first broken above its greatest force.
pub(crate) fn contradicts(specimen: &Specimen, peak_n: f64, of: Of<'_>) -> bool {
    let is_past = |capacity_n: Option<f64>| capacity_n.is_some_and(|capacity_n| peak_n > capacity_n);
    let breaks_above = specimen
        .first_break_n
        .is_some_and(|first_n| first_n > peak_n * (1.0 + 1e-9));
    is_past(of.cell.capacity_n) || is_past(of.machine.capacity_n) || breaks_above
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

/// No made-up lines scatter by less than this share of their mean: our judgement.
const TOO_ALIKE: f64 = 1e-3;

/// Says that strengths scatter less than any do.
pub(crate) fn too_alike(cv: Option<f64>) -> Option<String> {
    cv.filter(|cv| *cv < TOO_ALIKE).map(|cv| {
        format!(
            "they scatter by {:.3} % of their mean, less than made-up lines do (our judgement): copies of one another, rounding, or a cell at its end; a \
             limit by such scatter shows nothing",
            100.0 * cv
        )
    })
}

/// Says that lines break at more than their rope did by itself.
pub(crate) fn stronger_than_rope(mean_n: f64, own_n: f64, style: Style) -> Option<String> {
    let force = |force_n: f64| Kind::Force.print(force_n, style.in_sentences());
    (mean_n > own_n * (1.0 + 1e-9)).then(|| {
        format!(
            "they failed at {} on average, and the rope itself at {} (`own_strength`): no end makes a rope stronger, so one of both is wrong, or of \
             another rope, or scatter is mistaken for strength",
            force(mean_n),
            force(own_n)
        )
    })
}

/// Says that a cell was calibrated after the pulls, or too long before; days as in `2026-05-11`.
pub(crate) fn calibrated(calibrated: Option<&str>, pulled_on: Option<&str>) -> Option<String> {
    let (calibrated, pulled_on) = calibrated.zip(pulled_on)?;
    if calibrated > pulled_on {
        return Some(format!(
            "the cell was calibrated on {calibrated}, after the pulls of {pulled_on}: its certificate tells of them only if nothing was set anew"
        ));
    }
    let (year, day) = calibrated.split_at_checked(4)?;
    let last = format!("{:04}{day}", year.parse::<u32>().ok()? + CALIBRATED_YEARS);
    (pulled_on > last.as_str()).then(|| {
        format!(
            "the cell was calibrated on {calibrated}, more than {CALIBRATED_YEARS} years before the pulls of {pulled_on}: how far it was off by then is \
             not known (our judgement)"
        )
    })
}
