//! What one log shows.
//!
//! Conventions: SI; the unit of a number is in its name.
//! Assumes: what `proving` does.
//! Valid for: logs of one specimen.
//! Source: that of each figure is told where it is found, in `proving`.
//! Checked by: tests of the command line; proving, tests/logs.rs.

use crate::warnings::{Warning, warnings};
use proving::log::{Log, Reading};
use proving::specimen::{
    Event, Known, Preload, Specimen, estimated_stored_j, examine, keeps_rate, recoil_m_per_s,
};
use quantity::Style;
use schemars::JsonSchema;
use serde::Serialize;

/// What is known of a specimen besides its log. All may be missing.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct LogKnown {
    /// Breaking force of the rope as published, N.
    pub breaking_n: Option<f64>,
    /// Length of the rope between its ends, m.
    pub rope_length_m: Option<f64>,
    /// Mass of the rope, kg/m.
    pub rope_kg_per_m: Option<f64>,
    /// Stiffness of the machine, N/m.
    pub machine_n_per_m: Option<f64>,
    /// What the cell can measure, N.
    pub capacity_n: Option<f64>,
}

/// What one log shows.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LogAnswer {
    /// The version of the program.
    pub plimsoll: String,
    /// The log.
    pub log: String,
    /// How it was read.
    pub reading: Reading,
    /// The greatest force, N.
    pub peak_n: f64,
    /// How sure it is, N: three standard deviations of what the log shows (noise, zero, least step, what lies between readings). The calibration
    /// of the cell comes on top.
    pub peak_uncertainty_n: f64,
    /// What of that is the zero of the cell, N, unknown or moved.
    pub zero_uncertainty_n: f64,
    /// When, s from the first reading.
    pub peak_at_s: f64,
    /// Whether the strength is at least that, and may be more.
    pub peak_is_lower_bound: bool,
    /// Peak over the published breaking force of the rope.
    pub efficiency: Option<f64>,
    /// What the cell read with nothing on it, N.
    pub zero_offset_n: f64,
    /// Whether that was taken off all forces.
    pub zero_is_taken_off: bool,
    /// By how much the zero was off at the end, N.
    pub drift_n: Option<f64>,
    /// What it read at the end of a log that is let down, or pulled out, N, where that may be its zero, or what was still on it.
    pub rests_n: Option<f64>,
    /// Scatter of one reading, N: one standard deviation.
    pub noise_n: f64,
    /// The least step of the readings, N; 0 where there is none to be seen.
    pub count_n: f64,
    /// The least fall of the force that the log surely shows, N.
    pub least_fall_n: f64,
    /// How many spikes were left out.
    pub spikes: usize,
    /// What comes and goes evenly.
    pub hum: Option<Hum>,
    /// How fast the force grew below 80 % of the breaking force (of the peak where that is not known, or the force never came there), N/s.
    pub rate_below_80_percent_n_per_s: Option<f64>,
    /// How fast it grew from there to the peak, N/s.
    pub rate_above_80_percent_n_per_s: Option<f64>,
    /// The same as a share of the breaking force in a second; none where that is not known, or the force never came to 80 % of it.
    pub rate_above_80_percent: Option<f64>,
    /// Whether that is no more than the published 0.5 % in a second.
    pub rate_is_kept: Option<bool>,
    /// Stiffness with the machine in it, N/m.
    pub stiffness_n_per_m: Option<f64>,
    /// Stiffness without the machine, N/m.
    pub stiffness_alone_n_per_m: Option<f64>,
    /// Work put in up to the peak, J.
    pub work_j: Option<f64>,
    /// Elastic energy of specimen and machine at the peak, J.
    pub elastic_energy_j: Option<f64>,
    /// That of the specimen alone, J.
    pub elastic_energy_alone_j: Option<f64>,
    /// Where there is no travel: from and to which energy a rope of this length may store, J.
    pub elastic_energy_range_j: Option<[f64; 2]>,
    /// How fast an end comes back that lets go at the peak, m/s.
    pub recoil_m_per_s: Option<f64>,
    /// Sudden falls of the force, in order.
    pub events: Vec<Event>,
    /// The force at the first break, or fall of which the cause is not known, that the force grew past again, N.
    pub first_break_n: Option<f64>,
    /// Times at which the force was held.
    pub holds: Vec<HoldAnswer>,
    /// Pulls that were let down again before the last.
    pub preloads: Vec<Preload>,
    /// How it failed, as far as the log tells.
    pub mode: String,
    /// Whether it did not fail at its greatest force, so that it is no breaking strength.
    pub censored: bool,
    /// What to mind.
    pub warnings: Vec<Warning>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// So many falls after the greatest force tell what went on; a rope that is pulled out jerks on and on.
const AFTER_PEAK: usize = 3;

impl LogAnswer {
    /// Gives how many of the events tell what happened: those up to the greatest force, and few after it.
    #[must_use]
    pub fn events_that_tell(&self) -> usize {
        let after_s = self.peak_at_s + 1e-3;
        let until_peak = self
            .events
            .iter()
            .take_while(|event| event.at_s <= after_s)
            .count();
        // A line that says of one more is no shorter than that one.
        if self.events.len() > until_peak + AFTER_PEAK + 1 {
            until_peak + AFTER_PEAK
        } else {
            self.events.len()
        }
    }
}

/// What comes and goes evenly in a log.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Hum {
    /// How often in a second, as far as readings show it.
    pub hz: f64,
    /// How far to each side, N.
    pub size_n: f64,
}

/// A time at which the force was held.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct HoldAnswer {
    /// From when, s.
    pub from_s: f64,
    /// For how long, s.
    pub seconds: f64,
    /// The mean force, N.
    pub mean_n: f64,
    /// The least force, N.
    pub least_n: f64,
    /// How far the machine went meanwhile, m.
    pub travel_m: Option<f64>,
    /// Whether something slipped or broke meanwhile.
    pub has_events: bool,
}

/// Says what a log shows, in sentences with the units of `style` first.
#[must_use]
pub fn log_answer(name: &str, log: &Log, known: &LogKnown, style: Style) -> LogAnswer {
    let specimen = examine(
        log,
        &Known {
            breaking_n: known.breaking_n,
            capacity_n: known.capacity_n,
            machine_n_per_m: known.machine_n_per_m,
        },
    );
    let peak_n = specimen.peak.force_n;
    let of_breaking = |force_n: f64| known.breaking_n.map(|breaking_n| force_n / breaking_n);
    let asked_n = known.breaking_n.filter(|_| !specimen.is_below_80);
    let rate = specimen.rate_n_per_s.zip(asked_n);
    let energies = energies(&specimen, known);
    LogAnswer {
        plimsoll: env!("CARGO_PKG_VERSION").to_string(),
        log: name.to_string(),
        reading: log.reading.clone(),
        peak_n,
        peak_uncertainty_n: specimen.peak.uncertainty_n,
        zero_uncertainty_n: specimen.peak.zero_n,
        peak_at_s: specimen.peak.at_s,
        peak_is_lower_bound: specimen.at_least.is_some(),
        efficiency: of_breaking(peak_n),
        zero_offset_n: specimen.zero_n,
        zero_is_taken_off: specimen.zero_is_taken_off,
        drift_n: specimen.drift_n,
        rests_n: specimen.rests_n,
        noise_n: specimen.noise_n,
        count_n: specimen.count_n,
        least_fall_n: specimen.least_fall_n,
        spikes: specimen.spikes,
        hum: specimen.hum.map(|(hz, size_n)| Hum { hz, size_n }),
        rate_below_80_percent_n_per_s: specimen.rate_before_n_per_s,
        rate_above_80_percent_n_per_s: specimen.rate_n_per_s,
        rate_above_80_percent: rate.map(|(rate, breaking_n)| rate / breaking_n),
        rate_is_kept: rate.map(|(rate, breaking_n)| keeps_rate(rate, breaking_n)),
        stiffness_n_per_m: specimen.stiffness_n_per_m,
        stiffness_alone_n_per_m: specimen.stiffness_alone_n_per_m,
        work_j: specimen.work_j,
        elastic_energy_j: specimen.elastic_j,
        elastic_energy_alone_j: specimen.elastic_alone_j,
        elastic_energy_range_j: energies.range_j,
        recoil_m_per_s: energies.recoil_m_per_s,
        events: specimen.events.clone(),
        first_break_n: specimen.first_break.map(|at| specimen.events[at].before_n),
        holds: holds(&specimen),
        preloads: specimen.preloads.clone(),
        mode: specimen.mode.in_words().to_string(),
        censored: specimen.at_least.is_some(),
        warnings: warnings((log, &specimen), known, energies.range_j, style.in_sentences()),
        cautions: practice::cautions().iter().map(ToString::to_string).collect(),
    }
}

struct Energies {
    range_j: Option<[f64; 2]>,
    recoil_m_per_s: Option<f64>,
}

/// Says what is stored where the log itself does not, and how fast an end comes back.
fn energies(specimen: &Specimen, known: &LogKnown) -> Energies {
    let peak_n = specimen.peak.force_n;
    let rope = known.rope_length_m.zip(known.breaking_n);
    let range_j = rope
        .filter(|_| specimen.stiffness_n_per_m.is_none())
        .map(|(length_m, breaking_n)| estimated_stored_j(peak_n, length_m, breaking_n));
    let ea_n = specimen
        .stiffness_alone_n_per_m
        .zip(known.rope_length_m)
        .map(|(stiffness, length_m)| stiffness * length_m);
    let recoil_m_per_s = ea_n
        .zip(known.rope_kg_per_m)
        .map(|(ea_n, kg_per_m)| recoil_m_per_s(peak_n, ea_n, kg_per_m));
    Energies {
        range_j,
        recoil_m_per_s,
    }
}

fn holds(specimen: &Specimen) -> Vec<HoldAnswer> {
    let holds = specimen.holds.iter().map(|hold| HoldAnswer {
        from_s: hold.from_s,
        seconds: hold.seconds,
        mean_n: hold.mean_n,
        least_n: hold.least_n,
        travel_m: hold.travel_m,
        has_events: specimen.events.iter().any(|event| hold.has(event.at_s)),
    });
    holds.collect()
}
