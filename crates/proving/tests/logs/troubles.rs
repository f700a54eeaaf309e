//! What instruments and people do to readings before they are written.

use crate::logs::chance::Chance;
use crate::logs::specimens::Test;
use std::f64::consts::TAU;

/// One reading as an instrument has it. N, m, s.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reading {
    pub(crate) time_s: f64,
    pub(crate) force_n: f64,
    pub(crate) travel_m: f64,
    /// What the clock shows: the time, unless it was set.
    pub(crate) clock_s: f64,
}

/// What is done to readings. Shares are of the peak.
#[allow(clippy::struct_excessive_bools, reason = "each is a trouble of its own")]
#[derive(Debug, Clone, Default)]
pub(crate) struct Troubles {
    pub(crate) noise: f64,
    pub(crate) travel_noise: f64,
    /// Least step of the force.
    pub(crate) count: f64,
    /// Frequency and size.
    pub(crate) hum: Option<(f64, f64)>,
    pub(crate) spikes: usize,
    pub(crate) offset: f64,
    pub(crate) drift: f64,
    pub(crate) is_negative: bool,
    pub(crate) doubled: usize,
    pub(crate) missing: usize,
    pub(crate) gaps: usize,
    pub(crate) is_reset: bool,
    /// No more than this is read.
    pub(crate) clip: Option<f64>,
    /// Least step of the travel, m.
    pub(crate) travel_step_m: f64,
    /// How slow the amplifier is, s.
    pub(crate) lag_s: f64,
    pub(crate) rings: bool,
    /// Seconds at rest that are not in the log.
    pub(crate) is_begun_late: bool,
}

/// What comes of it.
#[derive(Debug, Clone)]
pub(crate) struct Troubled {
    pub(crate) readings: Vec<Reading>,
    pub(crate) peak_n: f64,
    pub(crate) spikes: usize,
}

/// Does all of it to the readings of a test.
pub(crate) fn trouble(test: &Test, of: &Troubles, chance: &mut Chance) -> Troubled {
    let peak_n = test.truth.peak_n;
    let mut readings: Vec<Reading> = test
        .read
        .iter()
        .map(|moment| Reading {
            time_s: moment.time_s,
            force_n: moment.force_n,
            travel_m: moment.travel_m,
            clock_s: moment.time_s,
        })
        .collect();
    lag(&mut readings, of.lag_s, test.rate_hz);
    let lagged_n = if of.lag_s > 0.0 {
        readings.iter().map(|reading| reading.force_n).fold(0.0, f64::max)
    } else {
        peak_n
    };
    let whole_s = readings.last().unwrap().time_s;
    let clean: Vec<f64> = readings.iter().map(|reading| reading.force_n).collect();
    for reading in &mut readings {
        if of.rings {
            reading.force_n += ringing(test, reading.time_s);
        }
        if let Some((hz, size)) = of.hum {
            reading.force_n += size * peak_n * (TAU * hz * reading.time_s + 0.7).sin();
        }
        reading.force_n +=
            peak_n * (of.noise * chance.normal() + of.offset + of.drift * reading.time_s / whole_s);
        reading.travel_m += of.travel_noise * chance.normal();
        if of.travel_step_m > 0.0 {
            reading.travel_m = (reading.travel_m / of.travel_step_m).round() * of.travel_step_m;
        }
    }
    let spikes = spike(&mut readings, test, of, chance, &clean);
    for reading in &mut readings {
        if of.is_negative {
            reading.force_n = -reading.force_n;
        }
        if let Some(clip) = of.clip {
            reading.force_n = reading.force_n.clamp(-clip * peak_n, clip * peak_n);
        }
        if of.count > 0.0 {
            reading.force_n = (reading.force_n / (of.count * peak_n)).round() * of.count * peak_n;
        }
    }
    lose(&mut readings, test, of, chance);
    let seen_n = of
        .clip
        .map_or(lagged_n, |clip| lagged_n.min((clip - of.offset) * peak_n));
    Troubled {
        readings,
        peak_n: seen_n,
        spikes,
    }
}

/// What an amplifier makes of it that follows slowly.
fn lag(readings: &mut [Reading], lag_s: f64, rate_hz: f64) {
    if lag_s <= 0.0 {
        return;
    }
    let share = 1.0 - (-1.0 / (rate_hz * lag_s)).exp();
    let mut shown_n = readings[0].force_n;
    for reading in readings {
        shown_n += share * (reading.force_n - shown_n);
        reading.force_n = shown_n;
    }
}

/// What swings after each fall, N.
fn ringing(test: &Test, time_s: f64) -> f64 {
    test.truth
        .events
        .iter()
        .map(|(_, at_s, _, drop_n)| (time_s - at_s, drop_n))
        .filter(|(since_s, _)| *since_s > 0.0)
        .map(|(since_s, drop_n)| -0.25 * drop_n * (-since_s / 0.025).exp() * (TAU * 30.0 * since_s).sin())
        .sum()
}

/// Puts spikes of one or two readings where nothing else happens; tells how many.
fn spike(readings: &mut [Reading], test: &Test, of: &Troubles, chance: &mut Chance, clean: &[f64]) -> usize {
    let mut spikes = 0;
    for _ in 0..of.spikes {
        let at = chance.below(readings.len() - 4) + 2;
        let peak_n = test.truth.peak_n;
        let to_n = match chance.below(4) {
            0 => of.offset * peak_n,
            1 => 1.6 * peak_n,
            _ => clean[at] + chance.pick(&[-1.0, 1.0]) * chance.between(0.05, 0.5) * peak_n,
        };
        let is_large = (to_n - readings[at].force_n).abs() > (12.0 * of.noise).max(0.03) * peak_n;
        if test.is_busy(at, 12) || !is_large {
            continue;
        }
        for reading in &mut readings[at..=at + chance.below(2)] {
            reading.force_n = to_n;
        }
        spikes += 1;
    }
    spikes
}

/// Loses and doubles rows and sets the clock, where nothing else happens.
fn lose(readings: &mut Vec<Reading>, test: &Test, of: &Troubles, chance: &mut Chance) {
    let mut is_lost = vec![false; readings.len()];
    for _ in 0..of.missing {
        let at = chance.below(readings.len());
        is_lost[at] = !test.is_busy(at, 6);
    }
    for _ in 0..of.gaps {
        let wide = 8 + chance.below(30);
        let at = readings.len() / 4 + chance.below(readings.len() / 2);
        let is_free = (at..at + wide).all(|at| at < is_lost.len() && !test.is_busy(at, 12));
        if is_free {
            is_lost[at..at + wide].fill(true);
        }
    }
    if of.is_begun_late {
        let first = readings
            .iter()
            .position(|reading| reading.time_s > 0.0 && reading.travel_m > 0.0)
            .unwrap_or(0);
        is_lost[..first].fill(true);
    }
    if of.is_reset {
        let from = readings.len() / 3 + chance.below(readings.len() / 4);
        let set_s = readings[from].time_s;
        for reading in &mut readings[from..] {
            reading.clock_s -= set_s;
        }
    }
    let mut kept: Vec<Reading> = readings
        .iter()
        .zip(&is_lost)
        .filter(|(_, is_lost)| !**is_lost)
        .map(|(reading, _)| *reading)
        .collect();
    for _ in 0..of.doubled {
        let at = chance.below(kept.len());
        kept.insert(at, kept[at]);
    }
    *readings = kept;
}
