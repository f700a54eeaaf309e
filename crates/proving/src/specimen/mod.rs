//! What one specimen did, from its log.
//!
//! `curve` makes a log fit to look at (`scatter` tells its noise, `spikes` leaves out what is no force); `falls` finds sudden falls, and `hidden` those between slow readings; `causes` tells slips from breaks; `peak` finds the greatest force and how sure
//! it is; `course` what goes on besides (rate, holds, preloads, stiffness, work); `mode` says how it failed; `energy` what is stored. All of it together is a
//! [`Specimen`].

mod causes;
mod course;
mod curve;
mod energy;
mod falls;
mod hidden;
mod line;
mod mode;
mod peak;
mod scatter;
mod spikes;

pub use causes::{Event, Kind};
pub use course::{Hold, Preload};
pub use energy::{
    RATE_PAST_80_PER_S, estimated_recoil_m_per_s, estimated_stored_j, falls_from_m, in_a_row_n_per_m,
    keeps_rate, recoil_m_per_s, stored_j, without_machine_n_per_m,
};
pub use mode::{AtLeast, Mode};
pub use peak::Peak;

use crate::log::Log;
use causes::events;
use course::Course;
use curve::Curve;
use falls::{falls, least_fall_n};

/// What is known of a specimen from outside of its log. All may be missing.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// Breaking force of the rope as published, N.
    pub breaking_n: Option<f64>,
    /// What the cell can measure, N.
    pub capacity_n: Option<f64>,
    /// Stiffness of the machine, N/m.
    pub machine_n_per_m: Option<f64>,
}

/// What one specimen did.
#[derive(Debug, Clone, PartialEq)]
pub struct Specimen {
    /// The greatest force.
    pub peak: Peak,
    /// Why the strength is at least that, and may be more; none where it failed at it.
    pub at_least: Option<AtLeast>,
    /// What the cell reads with nothing on it, N.
    pub zero_n: f64,
    /// Whether that was taken off.
    pub zero_is_taken_off: bool,
    /// How much further it is at the end, N; none where that is not known.
    pub drift_n: Option<f64>,
    /// What it reads at the end of a log that is let down, or pulled out, N, where that may be its zero, or what is still on it.
    pub rests_n: Option<f64>,
    /// Scatter of one reading, N: one standard deviation.
    pub noise_n: f64,
    /// The least step of the readings, N; 0 where there is none.
    pub count_n: f64,
    /// The least fall of the force that the log surely shows, N.
    pub least_fall_n: f64,
    /// How many spikes were left out.
    pub spikes: usize,
    /// What comes and goes evenly: how often a second, and by how much, N.
    pub hum: Option<(f64, f64)>,
    /// Slips and breaks, in order.
    pub events: Vec<Event>,
    /// The first break, or fall of which the cause is not known, below the peak: its place among the events.
    pub first_break: Option<usize>,
    /// Stiffness with the machine in it, N/m; none without travel.
    pub stiffness_n_per_m: Option<f64>,
    /// Stiffness of the specimen alone; none where that of the machine is not known.
    pub stiffness_alone_n_per_m: Option<f64>,
    /// Work put in up to the peak, J.
    pub work_j: Option<f64>,
    /// Elastic energy at the peak, machine and all, J.
    pub elastic_j: Option<f64>,
    /// Its share in the specimen, J.
    pub elastic_alone_j: Option<f64>,
    /// Whether the force never came to 80 % of the breaking force of the rope.
    pub is_below_80: bool,
    /// How fast the force grew from 80 % of the breaking force (of the peak where that is not known, or the force never came there) to the peak, N/s.
    pub rate_n_per_s: Option<f64>,
    /// How fast it grew below that, N/s.
    pub rate_before_n_per_s: Option<f64>,
    /// Times at which the force was held.
    pub holds: Vec<Hold>,
    /// Times it was pulled and let down before.
    pub preloads: Vec<Preload>,
    /// How it failed.
    pub mode: Mode,
}

/// Finds what one specimen did.
#[must_use]
pub fn examine(log: &Log, known: &Known) -> Specimen {
    let mut curve = Curve::of(log);
    let falls = falls(&curve);
    let clips = mode::clips(log, &curve, known);
    let course = Course::of(&curve, &falls, known);
    let events = events(&curve, &falls, &course.holds, clips);
    let mode = mode::mode(&curve, &falls, &events, &course);
    curve.find_drift(mode, &course);
    let peak = peak::peak(&curve, &falls, &course);
    let at_least = match (&mode, clips) {
        (_, true) => Some(AtLeast::PastRange),
        (Mode::EndedEarly, _) => Some(AtLeast::EndedEarly),
        (Mode::InGap, _) => Some(AtLeast::InGap),
        (Mode::NoFailure, _) => Some(AtLeast::NotFailed),
        _ => None,
    };
    let first_break = events.iter().position(|event| {
        event.kind != Kind::Slip && event.before_n < 0.98 * peak.force_n && event.at_s < peak.at_s
    });
    let stiffness = course.stiffness_n_per_m;
    let alone = stiffness
        .zip(known.machine_n_per_m)
        .and_then(|(both, machine)| without_machine_n_per_m(both, machine));
    let elastic_j = stiffness.map(|stiffness| stored_j(peak.force_n, stiffness));
    Specimen {
        peak,
        at_least,
        zero_n: curve.zero.offset_n,
        zero_is_taken_off: curve.zero.is_known,
        drift_n: curve.zero.drift_n,
        rests_n: curve.zero.rests_n,
        noise_n: curve.noise_n,
        count_n: curve.count_n,
        least_fall_n: least_fall_n(&curve),
        spikes: curve.spikes,
        hum: curve.hum.map(|hum| (hum.hz, hum.size_n)),
        first_break,
        events,
        stiffness_n_per_m: stiffness,
        stiffness_alone_n_per_m: alone,
        work_j: course.work_j,
        elastic_j,
        elastic_alone_j: alone.map(|alone| stored_j(peak.force_n, alone)),
        is_below_80: course.is_below_80,
        rate_n_per_s: course.rate_n_per_s,
        rate_before_n_per_s: course.rate_before_n_per_s,
        holds: course.holds,
        preloads: course.preloads,
        mode,
    }
}
