//! One specimen: its log or its typed peak, and what is out of service after it.
//!
//! Conventions: SI.
//! Assumes: whoever saw how it failed knows more than its log.
//! Valid for: any specimen.
//! Source: a part that was loaded past its rating is out of service until its maker says otherwise (common practice, no source).
//! Checked by: tests/series.rs.

use crate::answer::SpecimenAnswer;
use crate::document::{Cell, Machine, Specimen};
use crate::doubts::{contradicts, doubts};
use crate::kind::rated;
use crate::log::{LogAnswer, LogKnown, log_answer};
use crate::warnings::WarningCode;
use parts::{Makeup, Part, Rating};
use proving::log::{Asked, Log, Measure, Unit};
use quantity::{Kind, Style};

/// What was seen of one that held at least what it got.
pub(crate) const HELD: [&str; 2] = ["did not fail", "test gear failed"];

/// What is known of all specimens of a kind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Of<'a> {
    pub(crate) makeup: &'a Makeup,
    pub(crate) tests: &'a str,
    pub(crate) machine: &'a Machine,
    pub(crate) cell: &'a Cell,
    pub(crate) rope_length_m: Option<f64>,
    pub(crate) breaking_n: Option<f64>,
    /// How quantities are printed in sentences.
    pub(crate) style: Style,
}

/// Says how a log is to be read; an error names the unit that is none.
pub(crate) fn asked(specimen: &Specimen) -> Result<Asked, String> {
    let [force, travel, time] = &specimen.units;
    let unit = |text: &Option<String>, measure: Measure| match text {
        None => Ok(None),
        Some(text) => Unit::read(text, measure)
            .map(Some)
            .ok_or_else(|| format!("`{text}` is not one unit that is known")),
    };
    let [time_column, force_column, travel_column] = specimen.columns;
    Ok(Asked {
        force_unit: unit(force, Measure::Force)?,
        travel_unit: unit(travel, Measure::Travel)?,
        time_unit: unit(time, Measure::Time)?,
        time_column,
        force_column,
        travel_column,
        decimal: specimen.decimal,
        rate_hz: specimen.rate_hz,
    })
}

/// Says what one specimen did.
pub(crate) fn answer(specimen: &Specimen, log: Option<(&str, &Log)>, of: Of<'_>) -> SpecimenAnswer {
    let known = LogKnown {
        breaking_n: of.breaking_n,
        rope_length_m: of.rope_length_m,
        rope_kg_per_m: of
            .makeup
            .rope()
            .and_then(|(_, rope)| Some(rope.mass_kg_per_m.as_ref()?.value())),
        machine_n_per_m: of.machine.stiffness_n_per_m,
        capacity_n: of.cell.capacity_n,
    };
    let log = log.map(|(name, log)| log_answer(name, log, &known, of.style));
    let peak_n = log
        .as_ref()
        .map(|log| log.peak_n)
        .or(specimen.peak_n)
        .unwrap_or(0.0);
    let first_break_n = log
        .as_ref()
        .and_then(|log| log.first_break_n)
        .into_iter()
        .chain(specimen.first_break_n)
        .reduce(f64::min);
    let strength_n = first_break_n.map_or(peak_n, |first_n| first_n.min(peak_n));
    let at_least = match (&specimen.saw, &log) {
        (Some(saw), _) if HELD.contains(&saw.as_str()) => true,
        // Whoever saw it fail knows more than the log, but not how much force there was past the range of the cell.
        (Some(_), Some(log)) => log
            .warnings
            .iter()
            .any(|warning| warning.code == WarningCode::Clipped),
        (Some(_), None) => false,
        (None, log) => log.as_ref().is_some_and(|log| log.peak_is_lower_bound),
    };
    let is_at_least = first_break_n.is_none() && at_least;
    let (mode, mode_from) = match (&specimen.saw, &log) {
        (Some(saw), _) => (saw.clone(), "seen"),
        (None, Some(log)) => (log.mode.clone(), "log"),
        (None, None) => ("not told".to_string(), ""),
    };
    let cell_n = of.cell.uncertainty.map(|share| share * strength_n);
    let own_n = log.as_ref().map(|log| log.peak_uncertainty_n);
    let uncertainty_n = match (own_n, cell_n) {
        (Some(own_n), Some(cell_n)) => Some(own_n.hypot(cell_n)),
        (own_n, cell_n) => own_n.or(cell_n),
    };
    SpecimenAnswer {
        strength_n,
        uncertainty_n,
        peak_n,
        first_break_n,
        slipped_n: log.as_ref().and_then(|log| {
            let slips = log.events.iter().filter(|event| event.slip_m.is_some());
            slips.map(|event| event.before_n).reduce(f64::min)
        }),
        is_at_least,
        is_unsure: is_at_least && specimen.saw.is_none(),
        mode,
        mode_from: mode_from.to_string(),
        set_aside: specimen.set_aside.clone(),
        explained: specimen.explained.clone(),
        out_of_service: out_of_service(of, peak_n, log.as_ref(), is_at_least),
        doubts: doubts(specimen, log.as_ref(), peak_n, of),
        contradicts: contradicts(specimen, peak_n, of),
        zero_n: log.as_ref().map_or(0.0, |log| {
            log.zero_uncertainty_n + log.rests_n.unwrap_or(0.0).abs()
        }),
        photographs: specimen.photographs.clone(),
        notes: specimen.notes.clone(),
        log,
    }
}

/// Lists what may not be used again: what failed, and what was loaded past its rating.
fn out_of_service(of: Of<'_>, peak_n: f64, log: Option<&LogAnswer>, is_at_least: bool) -> Vec<String> {
    let force = |force_n: f64| Kind::Force.print(force_n, of.style.in_sentences());
    let has_slipped = log.is_some_and(|log| log.events.iter().any(|event| event.slip_m.is_some()));
    let mut told: Vec<String> = Vec::new();
    for piece in &of.makeup.pieces {
        let part = &*piece.part;
        let why = if part.id == of.tests && !is_at_least {
            Some("it, or the rope in it, failed".to_string())
        } else if let Some(rating_n) = rating_n(part, of.makeup).filter(|rating_n| peak_n > *rating_n) {
            Some(format!(
                "loaded to {}, more than its rating of {}",
                force(peak_n),
                force(rating_n)
            ))
        } else if part.grip().is_some() && has_slipped {
            Some("the rope slipped in it".to_string())
        } else {
            None
        };
        let why = why.map(|why| format!("{why}{}", again(part)));
        let known = |says: &String| says.starts_with(&format!("`{}`", part.id));
        if let Some(why) = why.filter(|_| !told.iter().any(known)) {
            told.push(format!("`{}`: {why}", part.id));
        }
    }
    if let Some((rope, _)) = of.makeup.rope() {
        told.push(format!(
            "`{}` of this specimen, with the ends made on it: pulled for a test",
            rope.id
        ));
    }
    told
}

/// Says what the maker of an adjustable grip says of using it again.
fn again(part: &Part) -> String {
    match part.grip() {
        None => String::new(),
        Some(grip) => match &grip.reuse {
            Some(says) => format!("; its maker says: {says}"),
            None if grip.reusable => {
                "; its maker lets it be used again after release, and says nothing of this".into()
            }
            None => "; its maker does not let it be used again once released".into(),
        },
    }
}

/// Gives what a maker allows a part on the rope of a makeup, N.
fn rating_n(part: &Part, makeup: &Makeup) -> Option<f64> {
    if let Some((rating, _)) = rated(part, makeup) {
        return Some(rating.value());
    }
    match &part.rating {
        Rating::WorkingLoad { load, .. } => Some(load.value()),
        _ => None,
    }
}
