//! What was found in a log, held against what is known of it.

use crate::logs::specimens::{Behaviour, Test};
use crate::logs::troubles::{Troubled, Troubles};
use crate::logs::writer::{Clock, Style};
use proving::log::{Asked, Log, Unit, read};
use proving::specimen::{AtLeast, Event, Kind, Known, Specimen, examine};

/// What is wrong with what was found; empty where all is right.
#[derive(Debug, Default)]
pub(crate) struct Score {
    pub(crate) wrong: Vec<String>,
    /// How far the peak is off, as a share of what is stated, and of the peak.
    pub(crate) peak_off: [f64; 2],
    pub(crate) events: usize,
    pub(crate) unknown: usize,
}

/// Reads and examines a log, and scores it.
pub(crate) fn score(bytes: &[u8], test: &Test, style: &Style, of: &Troubles, troubled: &Troubled) -> Score {
    let mut score = Score::default();
    let log = match read(bytes, &Asked::default()) {
        Ok(log) => log,
        Err(error) => {
            score.wrong.push(format!("not read: {error}"));
            return score;
        }
    };
    let found = examine(&log, &Known::default());
    let case = Case {
        test,
        style,
        of,
        troubled,
        log: &log,
        found: &found,
    };
    case.reading(&mut score);
    case.peak(&mut score);
    case.zero_and_noise(&mut score);
    case.events(&mut score);
    case.mode(&mut score);
    case.course(&mut score);
    score
}

struct Case<'a> {
    test: &'a Test,
    style: &'a Style,
    of: &'a Troubles,
    troubled: &'a Troubled,
    log: &'a Log,
    found: &'a Specimen,
}

impl Score {
    fn hold(&mut self, is_so: bool, what: impl FnOnce() -> String) {
        if !is_so {
            self.wrong.push(what());
        }
    }
}

impl Case<'_> {
    fn peak_n(&self) -> f64 {
        self.troubled.peak_n
    }

    /// What is not known better, N: noise and least steps.
    fn grain_n(&self) -> f64 {
        let hum = self.of.hum.map_or(0.0, |(_, size)| 0.3 * size);
        self.test.truth.peak_n * (self.of.noise + self.of.count + hum) + 1e-4 * self.test.truth.peak_n
    }

    /// What the force grows by from one reading to the next, N.
    fn grows_n(&self) -> f64 {
        self.test.stiffness_n_per_m * self.test.speed_m_per_s / self.test.rate_hz
    }

    /// Seconds by which a time may be off.
    fn late_s(&self) -> f64 {
        let step_s = 1.0 / self.test.rate_hz;
        let lost = match self.style.clock {
            Clock::Rate | Clock::WholeSeconds => {
                (self.of.missing + self.of.doubled + 45 * self.of.gaps) as f64
            }
            _ if self.of.is_reset => self.of.missing as f64,
            _ => 0.0,
        };
        (4.0 + lost) * step_s + 0.02 + 2.0 * self.of.lag_s
    }

    /// Unit, columns, readings, and that it is told what was mended.
    fn reading(&self, score: &mut Score) {
        let reading = &self.log.reading;
        let unit = Unit::read(self.style.force_unit, proving::log::Measure::Force).unwrap();
        score.hold(reading.force_unit == unit.name, || {
            format!("unit {} is not {}", reading.force_unit, unit.name)
        });
        score.hold(
            self.style.travel_unit.is_none() == self.log.travel_m.is_empty(),
            || "travel".into(),
        );
        let rate = reading.rate_hz / self.test.rate_hz;
        score.hold((rate - 1.0).abs() < 0.06, || {
            format!("rate {} for {}", reading.rate_hz, self.test.rate_hz)
        });
        let written = self.troubled.readings.len();
        let fewer = written.saturating_sub(self.of.doubled + 1 + usize::from(self.style.is_cut_off));
        score.hold((fewer..=written).contains(&reading.rows), || {
            format!("{} rows of {written}", reading.rows)
        });
        let says = |list: &[String], word: &str| list.iter().any(|line| line.contains(word));
        score.hold(
            !self.of.is_reset || says(&reading.repairs, "set back") || self.style.clock == Clock::Rate,
            || "reset not told".into(),
        );
        score.hold(!self.of.is_negative || says(&reading.repairs, "negative"), || {
            "turning not told".into()
        });
        score.hold(
            !self.style.repeats_header || written < 300 || says(&reading.ignored, "words"),
            || "words not told".into(),
        );
    }

    fn peak(&self, score: &mut Score) {
        let peak = &self.found.peak;
        // A zero that nobody saw is in the peak.
        let offset_n = if self.found.zero_is_taken_off {
            0.0
        } else {
            self.of.offset * self.test.truth.peak_n
        };
        let off_n = (peak.force_n - self.peak_n() - offset_n).abs();
        // Drift shows where the cell is seen at rest again, and else nowhere.
        let unseen = if self.test.breaks() {
            0.0
        } else {
            self.of.drift.abs()
        };
        // The last reading goes with the line that is cut off.
        let lost_n = if self.style.is_cut_off && self.test.behaviour == Behaviour::EndedEarly {
            self.grows_n()
        } else {
            0.0
        };
        let room_n = peak.uncertainty_n + (1e-6 + unseen) * self.peak_n() + lost_n;
        score.peak_off = [off_n / room_n, off_n / self.peak_n()];
        score.hold(off_n <= room_n, || {
            format!(
                "peak {:.1} for {:.1} within {:.1}",
                peak.force_n,
                self.peak_n() + offset_n,
                peak.uncertainty_n
            )
        });
        let drift_n = 2.0 * self.of.drift.abs() * self.peak_n();
        // Where the zero is not known, what the log begins with may be all offset.
        let zero_n = if self.found.zero_is_taken_off {
            0.0
        } else {
            0.05 * self.peak_n()
        };
        let most_n = 0.012 * self.peak_n() + 4.0 * self.grain_n() + 2.0 * self.grows_n() + drift_n + zero_n;
        score.hold(peak.uncertainty_n <= most_n, || {
            format!("uncertainty {:.1} over {most_n:.1}", peak.uncertainty_n)
        });
        let is_flat = !self.test.breaks() || self.of.clip.is_some();
        let late_s = (peak.at_s + self.starts_s() - self.test.truth.peak_s).abs();
        score.hold(is_flat || late_s <= self.late_s() + 0.1, || {
            format!("peak at {} for {}", peak.at_s, self.test.truth.peak_s)
        });
    }

    fn starts_s(&self) -> f64 {
        self.troubled.readings[0].time_s
    }

    fn zero_and_noise(&self, score: &mut Score) {
        let found = self.found;
        let truth_n = self.test.truth.peak_n;
        let zero_off_n = (found.zero_n.abs() - (self.of.offset * truth_n).abs()).abs();
        score.hold(
            self.of.is_begun_late || zero_off_n <= 2.0 * self.grain_n() + 0.004 * truth_n,
            || format!("zero {} for {}", found.zero_n, self.of.offset * truth_n),
        );
        let is_plain =
            self.of.hum.is_none() && self.of.lag_s == 0.0 && !self.of.rings && self.of.count <= self.of.noise;
        let noise = found.noise_n / (self.of.noise * truth_n);
        score.hold(
            self.of.noise < 1e-3 || !is_plain || (0.7..1.4).contains(&noise),
            || format!("noise {noise} of what it is"),
        );
        score.hold(found.spikes <= 2 * self.troubled.spikes + 1, || {
            format!("{} spikes for {}", found.spikes, self.troubled.spikes)
        });
        if let Some((hz, size)) = self.of.hum {
            let alias = (hz / self.test.rate_hz - (hz / self.test.rate_hz).round()).abs() * self.test.rate_hz;
            let is_steady = !matches!(self.test.behaviour, Behaviour::Pumps | Behaviour::QuickBreak);
            let is_seen = is_steady && size > 3.0 * self.of.noise && size > 2.0 * self.of.count;
            let is_right = found.hum.is_some_and(|(found_hz, found_n)| {
                (found_hz - alias).abs() < 0.1 * alias + 0.3
                    && found_n > 0.5 * size * truth_n
                    && found_n < 1.5 * size * truth_n
            });
            let is_even = self.style.clock != Clock::WholeSeconds
                && self.of.missing + self.of.gaps == 0
                && !self.of.is_reset;
            score.hold(!is_seen || !is_even || is_right, || {
                format!("hum {:?} for {alias} Hz {}", found.hum, size * truth_n)
            });
        }
    }

    /// Falls that can be seen: larger than 1 % of the peak and than noise allows.
    fn must_be_found(&self, event: &(Kind, f64, f64, f64)) -> bool {
        let (_, at_s, before_n, drop_n) = event;
        let clip_n = self.of.clip.map_or(f64::INFINITY, |clip| {
            (clip - self.of.offset) * self.test.truth.peak_n
        });
        let inside = *at_s - self.starts_s() > 3.0 / self.test.rate_hz;
        inside
            && *drop_n - (before_n - clip_n).max(0.0)
                > (0.01 * self.peak_n()).max(8.0 * self.grain_n()) + self.grows_n()
    }

    fn events(&self, score: &mut Score) {
        let (late_s, starts_s) = (self.late_s(), self.starts_s());
        let truth = &self.test.truth.events;
        let near = |found: &Event, at_s: f64| (found.at_s + starts_s - at_s).abs() <= late_s;
        for event in truth {
            let (kind, at_s, before_n, drop_n) = *event;
            let close: Vec<&Event> = self
                .found
                .events
                .iter()
                .filter(|found| near(found, at_s))
                .collect();
            if !self.must_be_found(event) {
                continue;
            }
            score.events += 1;
            score.hold(!close.is_empty(), || {
                format!("{kind:?} at {at_s:.3} s of {drop_n:.1} N not found")
            });
            let is_alone = truth
                .iter()
                .filter(|other| (other.1 - at_s).abs() < 2.0 * late_s + 0.3)
                .count()
                == 1;
            let [found] = close.as_slice() else { continue };
            score.unknown += usize::from(found.kind == Kind::Unknown);
            if !is_alone || self.of.clip.is_some() {
                continue;
            }
            score.hold(found.kind == kind || found.kind == Kind::Unknown, || {
                format!("{:?} at {at_s:.3} s is a {kind:?}", found.kind)
            });
            let meanwhile_n = self.grows_n() * (3.0 + (0.02 + 3.0 * self.of.lag_s) * self.test.rate_hz);
            let room_n = 0.1 * drop_n + 4.0 * self.grain_n() + meanwhile_n;
            score.hold((found.drop_n - drop_n).abs() <= room_n, || {
                format!("drop {:.1} for {drop_n:.1}", found.drop_n)
            });
            let offset_n = if self.found.zero_is_taken_off {
                0.0
            } else {
                self.of.offset * self.test.truth.peak_n
            };
            let drift_n = self.of.drift.abs() * self.test.truth.peak_n;
            score.hold(
                (found.before_n - before_n - offset_n).abs() <= room_n + drift_n,
                || format!("before {:.1} for {before_n:.1}", found.before_n),
            );
        }
        for found in &self.found.events {
            let is_true = truth.iter().any(|event| near(found, event.1));
            score.hold(is_true, || {
                format!(
                    "false {:?} at {:.3} s of {:.1} N",
                    found.kind,
                    found.at_s + starts_s,
                    found.drop_n
                )
            });
        }
    }

    fn mode(&self, score: &mut Score) {
        let found = self.found;
        let has_travel = !self.log.travel_m.is_empty();
        // Without causes the cause of the end is not known either.
        let has_unknown = found.events.iter().any(|event| event.kind == Kind::Unknown);
        // What noise hides says nothing.
        let is_hidden = self
            .test
            .truth
            .events
            .iter()
            .any(|event| !self.must_be_found(event));
        let is_right = is_hidden || self.test.modes.contains(&found.mode);
        score.hold(is_right || has_unknown || self.of.clip.is_some(), || {
            format!("{:?} is {:?}", found.mode, self.test.modes)
        });
        score.hold(
            is_right || has_travel || self.test.truth.events.len() > 1 || self.of.clip.is_some(),
            || format!("{:?} without travel is {:?}", found.mode, self.test.modes),
        );
        let is_at_least = self.test.is_at_least || self.of.clip.is_some();
        let is_slow = self.test.behaviour == Behaviour::PullOut && !has_travel;
        score.hold(found.at_least.is_some() == is_at_least || is_slow, || {
            format!("at least {:?}", found.at_least)
        });
        score.hold(
            self.of.clip.is_none() || found.at_least == Some(AtLeast::PastRange),
            || format!("clipped: {:?}", found.at_least),
        );
        let first = self.test.behaviour == Behaviour::FirstBreak && self.of.clip.is_none();
        let drop_is_seen = self
            .test
            .truth
            .events
            .first()
            .is_some_and(|event| self.must_be_found(event));
        score.hold(!first || !drop_is_seen || found.first_break == Some(0), || {
            format!("first break {:?}", found.first_break)
        });
    }

    /// Stiffness, work, rate, holds and preloads.
    fn course(&self, score: &mut Score) {
        let (found, test) = (self.found, self.test);
        let fuzz = 4.0 * self.of.travel_noise + self.of.travel_step_m;
        let whole_m = self.peak_n() / test.stiffness_n_per_m;
        let room = 0.04 + self.grain_n() / self.peak_n() + 2.0 * fuzz / whole_m;
        let is_hidden = test.truth.events.iter().any(|event| !self.must_be_found(event));
        let is_clean = self.of.clip.is_none() && test.behaviour != Behaviour::Pumps && !is_hidden;
        if let (Some(stiffness), true) = (found.stiffness_n_per_m, is_clean) {
            let ratio = stiffness / test.stiffness_n_per_m;
            score.hold((ratio - 1.0).abs() < room, || {
                format!("stiffness {ratio:.3} of what it is")
            });
        }
        score.hold(
            found.stiffness_n_per_m.is_some() || self.log.travel_m.is_empty() || !is_clean,
            || "no stiffness".into(),
        );
        let offset = if found.zero_is_taken_off {
            0.0
        } else {
            self.of.offset.abs()
        };
        if let (Some(work_j), true) = (
            found.work_j,
            is_clean && !self.of.is_begun_late && self.of.gaps == 0,
        ) {
            let ratio = work_j / test.work_j();
            let room = 0.03
                + 2.0 * (offset + self.of.drift.abs() + self.of.noise)
                + fuzz / whole_m
                + 2.0 * self.grows_n() / self.peak_n()
                // Where the force tops out, noise says where it is greatest.
                + if test.behaviour == Behaviour::PullOut { 0.05 } else { 0.0 };
            score.hold((ratio - 1.0).abs() < room, || {
                format!("work {ratio:.3} of what it is")
            });
        }
        let steady = matches!(
            test.behaviour,
            Behaviour::CleanBreak | Behaviour::SlowBreak | Behaviour::QuickBreak
        );
        if let (Some(rate), true) = (found.rate_n_per_s, steady && is_clean) {
            let ratio = rate / (test.speed_m_per_s * test.stiffness_n_per_m);
            score.hold(
                (ratio - 1.0).abs() < 0.08 + 3.0 * self.grain_n() / self.peak_n(),
                || format!("rate {ratio:.3} of what it is"),
            );
        }
        self.holds(score);
        score.hold(
            found.preloads.len() == test.preloads || self.of.clip.is_some(),
            || format!("{} preloads for {}", found.preloads.len(), test.preloads),
        );
    }

    fn holds(&self, score: &mut Score) {
        if self.of.clip.is_some() {
            return;
        }
        if self.test.behaviour == Behaviour::SlipInHold {
            score.hold(!self.found.holds.is_empty(), || "no hold".into());
            return;
        }
        let found: Vec<f64> = self.found.holds.iter().map(|hold| hold.seconds).collect();
        // A gap or a reset cuts a hold in two.
        let is_cut = self.of.gaps > 0 || self.of.is_reset;
        let total: f64 = found.iter().sum();
        let expected: f64 = self.test.holds_s.iter().sum();
        score.hold(found.len() == self.test.holds_s.len() || is_cut, || {
            format!("holds {found:?} for {:?}", self.test.holds_s)
        });
        let room_s = if is_cut {
            0.6 * expected
        } else {
            0.15 * expected + 2.5
        };
        score.hold((total - expected).abs() <= room_s, || {
            format!("held {total:.1} s for {expected:.1}")
        });
    }
}
