//! What to mind about one log.
//!
//! Conventions: SI.
//! Assumes: nothing.
//! Valid for: any log.
//! Source: ISO 3108 as told elsewhere (rate past 80 %); else our judgement.
//! Checked by: tests of the command line.

use crate::log::LogKnown;
use proving::log::Log;
use proving::specimen::{AtLeast, Event, Kind, Mode, Specimen, keeps_rate};
use quantity::{Kind as Of, Style};
use schemars::JsonSchema;
use serde::Serialize;

/// What a warning is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WarningCode {
    /// The cell or its amplifier was past its range.
    Clipped,
    /// The log ends while the force grows.
    EndedEarly,
    /// The specimen did not fail.
    NotFailed,
    /// The file ends in the middle of a line.
    CutOff,
    /// The zero is not known, or moved.
    Zero,
    /// The peak is not known well.
    UnsurePeak,
    /// The force grew faster than the published test allows.
    TooFast,
    /// It can not be told whether the force grew too fast.
    RateNotKnown,
    /// The stiffness of the machine can not be right.
    MachineStiffness,
    /// Readings are missing, or the clock was set.
    Gaps,
    /// Something gave way before the greatest force.
    FirstBreak,
    /// The log does not tell slips from breaks.
    CauseNotKnown,
    /// The log is too noisy, coarse or slow to show small falls.
    SmallFalls,
    /// The force went at once, and came again.
    LoadedAgain,
    /// Something that comes and goes evenly lies over the force.
    Hum,
    /// Readings that stand out were left out.
    Spikes,
    /// What comes back when it lets go.
    Recoil,
    /// The force fell while it was held.
    FellInHold,
}

/// What to mind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Warning {
    /// What it is about.
    pub code: WarningCode,
    /// What it says.
    pub says: String,
}

/// A peak that is known no better than this share is not known well.
const UNSURE: f64 = 0.01;
/// A log that begins with more than this share of the peak was begun under load, or the cell was not set to nought.
const BEGUN_UNDER_LOAD: f64 = 0.05;
/// A log that hides falls of more than this share of the peak is worth a word.
const HIDES: f64 = 0.02;
/// A force of this share of the peak that went to less than the other share at once is gone, and comes again no sooner than this.
const WENT: f64 = 0.3;
const NOTHING: f64 = 0.05;
const AGAIN_S: f64 = 1.0;
/// A zero that moves by more than this share of the greatest force is worth a word.
const DRIFT: f64 = 0.005;

/// Lists what to mind about a log.
pub(crate) fn warnings(
    (log, specimen): (&Log, &Specimen),
    known: &LogKnown,
    stored_range_j: Option<[f64; 2]>,
    style: Style,
) -> Vec<Warning> {
    let rate = match (specimen.rate_n_per_s, known.breaking_n) {
        (None, _) => Some(rate_not_known(
            "how fast the force grew toward the peak can not be told from the log",
        )),
        (Some(_), None) => Some(rate_not_known(
            "without the breaking force of the rope it can not be told whether the force grew too fast past 80 % of it; say it (--breaking; in a series \
             `breaking`)",
        )),
        (Some(rate), Some(_)) if specimen.is_below_80 => rate_below(rate, specimen.peak.force_n),
        (Some(rate), Some(breaking_n)) => rate_past_80(rate, breaking_n),
    };
    let all = [
        at_least(specimen),
        cut_off(log),
        zero(specimen, style),
        unsure(specimen, style),
        rate,
        machine(specimen, known.machine_n_per_m, style),
        gaps(log),
        first_break(specimen, style),
        causes(log, specimen),
        small_falls(specimen, style),
        loaded_again(specimen, style),
        over_it(specimen, style),
        spikes(specimen),
        in_holds(specimen, style),
        Some(recoil(specimen, stored_range_j, style)),
    ];
    all.into_iter().flatten().collect()
}

fn warning(code: WarningCode, says: impl Into<String>) -> Warning {
    Warning {
        code,
        says: says.into(),
    }
}

fn force(force_n: f64, style: Style) -> String {
    Of::Force.print(force_n, style)
}

fn at_least(specimen: &Specimen) -> Option<Warning> {
    let (code, why) = match specimen.at_least? {
        AtLeast::PastRange => (
            WarningCode::Clipped,
            "the cell, or what reads it, was at the end of its range: the force may have been greater; pull the next specimen with a cell of \
             greater range",
        ),
        AtLeast::EndedEarly => (
            WarningCode::EndedEarly,
            "the log ends while the force still grows: the strength is at least this",
        ),
        AtLeast::InGap => (
            WarningCode::Gaps,
            "the force was there before a gap in the readings and gone after it: how it went, and how far it had grown, is not known; the strength is \
             at least this",
        ),
        AtLeast::NotFailed => (
            WarningCode::NotFailed,
            "the specimen did not fail, and was held, or let down, whole: the strength is at least this, and it is no breaking strength; out of service with it \
             unless its maker says otherwise",
        ),
    };
    Some(warning(code, why))
}

fn cut_off(log: &Log) -> Option<Warning> {
    log.is_cut_off.then(|| {
        warning(
            WarningCode::CutOff,
            "the file ends in the middle of a line: more may have happened than it shows",
        )
    })
}

fn zero(specimen: &Specimen, style: Style) -> Option<Warning> {
    let peak_n = specimen.peak.force_n;
    if !specimen.zero_is_taken_off && specimen.zero_n.abs() > BEGUN_UNDER_LOAD * peak_n {
        return Some(warning(
            WarningCode::Zero,
            format!(
                "the log begins with {} on the cell, and nothing shows that this was its zero: either it was begun under load, or the cell was not set \
                 to nought and the peak is that much less. Let it stand unloaded for some seconds before each pull",
                force(specimen.zero_n, style)
            ),
        ));
    }
    if !specimen.zero_is_taken_off {
        return Some(warning(
            WarningCode::Zero,
            "there is no quiet stretch before the pull, so the zero of the cell is not known; what the log begins with is in the uncertainty. Let it \
             stand unloaded for some seconds before each pull",
        ));
    }
    let is_left_on = matches!(specimen.mode, Mode::PullOut | Mode::EndedEarly);
    if specimen.drift_n.is_none() && is_left_on {
        return Some(warning(
            WarningCode::Zero,
            "the log ends with force on the cell, so whether its zero moved during the pull is not known, and in no figure here: let it read on \
             until nothing is on it",
        ));
    }
    if let Some(rests_n) = specimen.rests_n.filter(|rests_n| rests_n.abs() > DRIFT * peak_n) {
        return Some(warning(
            WarningCode::Zero,
            format!(
                "the log ends with {} on the cell: if nothing was on it any more, its zero moved by that, and the peak is off by up to as much; a series \
                 takes that off. Let it stand unloaded for some seconds after each pull",
                force(rests_n, style)
            ),
        ));
    }
    let drift_n = specimen
        .drift_n
        .filter(|drift_n| drift_n.abs() > DRIFT * peak_n)?;
    Some(warning(
        WarningCode::Zero,
        format!(
            "with nothing on it any more the cell reads {} off from where it began; the peak is unsure by up to that",
            force(drift_n.abs(), style)
        ),
    ))
}

fn unsure(specimen: &Specimen, style: Style) -> Option<Warning> {
    let peak = &specimen.peak;
    (peak.uncertainty_n > UNSURE * peak.force_n).then(|| {
        warning(
            WarningCode::UnsurePeak,
            format!(
                "the peak is only known to {} ({})",
                force(peak.uncertainty_n, style),
                if peak.zero_n > 0.5 * peak.uncertainty_n {
                    "mostly since the zero of the cell is not known, or moved"
                } else {
                    "noise, coarse steps, or readings too far apart for how fast it was pulled"
                }
            ),
        )
    })
}

fn rate_not_known(says: &str) -> Warning {
    warning(WarningCode::RateNotKnown, says)
}

fn rate_past_80(rate_n_per_s: f64, breaking_n: f64) -> Option<Warning> {
    (!keeps_rate(rate_n_per_s, breaking_n)).then(|| {
        warning(
            WarningCode::TooFast,
            format!(
                "past 80 % the force grew by {:.2} % of the breaking force in a second; the test of ropes allows 0.5 % (ISO 3108, as told \
                 elsewhere): a quick pull may show more than a slow one",
                100.0 * rate_n_per_s / breaking_n
            ),
        )
    })
}

/// What failed below where the test of ropes begins to ask is held to the same share of what it failed at.
fn rate_below(rate_n_per_s: f64, peak_n: f64) -> Option<Warning> {
    (!keeps_rate(rate_n_per_s, peak_n)).then(|| {
        warning(
            WarningCode::TooFast,
            format!(
                "past 80 % of its peak the force grew by {:.2} % of the peak in a second; slow is 0.5 % (our judgement: it failed below 80 % of the \
                 breaking force of the rope, where the test of ropes, ISO 3108 as told elsewhere, does not ask yet): a quick pull may show more than \
                 a slow one",
                100.0 * rate_n_per_s / peak_n
            ),
        )
    })
}

/// What is stiffer than all of it together can not be in it.
fn machine(specimen: &Specimen, machine_n_per_m: Option<f64>, style: Style) -> Option<Warning> {
    let (machine, both) = machine_n_per_m.zip(specimen.stiffness_n_per_m)?;
    let stiffness = |n_per_m: f64| Of::Stiffness.print(n_per_m, style);
    specimen.stiffness_alone_n_per_m.is_none().then(|| {
        warning(
            WarningCode::MachineStiffness,
            format!(
                "the stiffness of the machine as stated, {}, is no more than the {} measured of machine and specimen together: one of both is wrong, and \
                 nothing is told of the specimen without the machine",
                stiffness(machine),
                stiffness(both)
            ),
        )
    })
}

fn gaps(log: &Log) -> Option<Warning> {
    let count = log.after_gap.len();
    (count > 0).then(|| {
        warning(
            WarningCode::Gaps,
            format!(
                "readings are missing, or the clock was set, at {count} {}: what happened there is not known",
                if count == 1 { "place" } else { "places" }
            ),
        )
    })
}

fn first_break(specimen: &Specimen, style: Style) -> Option<Warning> {
    let first = specimen.events.get(specimen.first_break?)?;
    Some(warning(
        WarningCode::FirstBreak,
        format!(
            "something gave way at {} already, {:.0} % of the peak: where people are below, that is the strength to go by",
            force(first.before_n, style),
            100.0 * first.before_n / specimen.peak.force_n
        ),
    ))
}

fn causes(log: &Log, specimen: &Specimen) -> Option<Warning> {
    let unknown = specimen
        .events
        .iter()
        .filter(|event| event.kind == Kind::Unknown)
        .count();
    let why = if log.travel_m.is_empty() {
        "there is no travel in the log"
    } else {
        "there is too little loading around them"
    };
    let what = if unknown == 1 {
        "one fall of the force is"
    } else {
        "falls of the force are"
    };
    (unknown > 0).then(|| {
        warning(
            WarningCode::CauseNotKnown,
            format!("whether {what} a slip or a break can not be told: {why}; say what you saw and heard"),
        )
    })
}

fn small_falls(specimen: &Specimen, style: Style) -> Option<Warning> {
    (specimen.least_fall_n > HIDES * specimen.peak.force_n).then(|| {
        warning(
            WarningCode::SmallFalls,
            format!(
                "falls of less than {} ({:.1} % of the peak) do not show surely in this log (noise, coarse steps, or readings too far apart): that it tells                  of none does not mean that nothing slipped or broke",
                force(specimen.least_fall_n, style),
                100.0 * specimen.least_fall_n / specimen.peak.force_n
            ),
        )
    })
}

/// What went at once and left nothing has failed; what is pulled afterwards may be another specimen.
fn loaded_again(specimen: &Specimen, style: Style) -> Option<Warning> {
    let peak_n = specimen.peak.force_n;
    let is_gone = |event: &&Event| {
        event.before_n > WENT * peak_n && event.before_n - event.seen_drop_n < NOTHING * peak_n
    };
    let gone = specimen.events.iter().find(is_gone)?;
    let comes_again = specimen.peak.at_s > gone.at_s + AGAIN_S
        || specimen
            .events
            .iter()
            .any(|event| event.at_s > gone.at_s + AGAIN_S && event.before_n > WENT * peak_n);
    comes_again.then(|| {
        warning(
            WarningCode::LoadedAgain,
            format!(
                "nothing was left of {} at {:.2} s, and it was pulled again after that: if two tests stand in this log, part them; if not, say what let go                  first",
                force(gone.before_n, style),
                gone.at_s
            ),
        )
    })
}

fn over_it(specimen: &Specimen, style: Style) -> Option<Warning> {
    let (hz, size_n) = specimen.hum?;
    Some(warning(
        WarningCode::Hum,
        format!(
            "a hum of {} to each side lies over the force ({hz:.1} a second as the readings show it): it was taken out to look for events, \
             and is in no peak",
            force(size_n, style)
        ),
    ))
}

fn spikes(specimen: &Specimen) -> Option<Warning> {
    let count = specimen.spikes;
    let says = if count == 1 {
        "one reading, or a few side by side, that stand far from what is beside them were left out"
            .to_string()
    } else {
        format!("{count} times readings that stand far from what is beside them were left out")
    };
    (count > 0).then(|| {
        warning(
            WarningCode::Spikes,
            format!("{says}: no force comes and goes so fast"),
        )
    })
}

fn in_holds(specimen: &Specimen, style: Style) -> Option<Warning> {
    let fell = specimen.holds.iter().find_map(|hold| {
        let mut events = specimen.events.iter();
        events
            .find(|event| hold.has(event.at_s))
            .map(|event| (hold, event))
    });
    let (hold, event) = fell?;
    Some(warning(
        WarningCode::FellInHold,
        format!(
            "while {} was held the force fell by {} at once: as a proof test this is failed and to be looked at, even if it was pumped up again",
            force(hold.mean_n, style),
            force(event.drop_n, style)
        ),
    ))
}

fn recoil(specimen: &Specimen, range_j: Option<[f64; 2]>, style: Style) -> Warning {
    let stored = specimen.elastic_j.map(|stored_j| {
        let stored = Of::Energy.print(stored_j, style);
        format!(
            "{stored} were stored in specimen and machine at the peak, and come free at once if it lets go; "
        )
    });
    let range = range_j.map(|range_j| {
        let [least, most] = range_j.map(|stored_j| Of::Energy.print(stored_j, style));
        format!(
            "about {least} to {most} were stored in the rope at the peak, without the machine (an estimate); "
        )
    });
    Warning {
        code: WarningCode::Recoil,
        says: format!(
            "{}ends and broken wires come back faster than anyone can step aside: pull behind a guard, with nobody in line",
            stored.or(range).unwrap_or_default()
        ),
    }
}
