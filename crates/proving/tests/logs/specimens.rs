//! Made-up specimens of every kind, and what is known of them.

use crate::logs::chance::Chance;
use proving::model::{Gives, Made, Moment, Step, Truth, make_up};
use proving::specimen::{Kind, Mode, in_a_row_n_per_m};

/// What a specimen does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Behaviour {
    CleanBreak,
    SlowBreak,
    QuickBreak,
    StrandByStrand,
    FirstBreak,
    Slips,
    SlipThenBreak,
    PullOut,
    NoFailure,
    EndedEarly,
    StopAfterHold,
    HoldThenBreak,
    SlipInHold,
    Preloads,
    Pumps,
}

pub(crate) const BEHAVIOURS: [Behaviour; 15] = [
    Behaviour::CleanBreak,
    Behaviour::SlowBreak,
    Behaviour::QuickBreak,
    Behaviour::StrandByStrand,
    Behaviour::FirstBreak,
    Behaviour::Slips,
    Behaviour::SlipThenBreak,
    Behaviour::PullOut,
    Behaviour::NoFailure,
    Behaviour::EndedEarly,
    Behaviour::StopAfterHold,
    Behaviour::HoldThenBreak,
    Behaviour::SlipInHold,
    Behaviour::Preloads,
    Behaviour::Pumps,
];

/// A test of which all is known.
#[derive(Debug, Clone)]
pub(crate) struct Test {
    pub(crate) behaviour: Behaviour,
    pub(crate) rate_hz: f64,
    pub(crate) read: Vec<Moment>,
    pub(crate) truth: Truth,
    /// Modes that the log allows.
    pub(crate) modes: Vec<Mode>,
    pub(crate) is_at_least: bool,
    /// Seconds of each hold.
    pub(crate) holds_s: Vec<f64>,
    pub(crate) preloads: usize,
    pub(crate) stiffness_n_per_m: f64,
    pub(crate) speed_m_per_s: f64,
}

const ENDLESS_N: f64 = 1e12;

/// Makes one up.
pub(crate) fn specimen(behaviour: Behaviour, chance: &mut Chance, rate_hz: f64) -> Test {
    let peak_n = 5_000.0 * 40_f64.powf(chance.share());
    let specimen_n_per_m = peak_n / chance.between(0.006, 0.02);
    let machine_n_per_m = chance.pick(&[1e12, 5.0 * specimen_n_per_m, 1.5 * specimen_n_per_m]);
    let stiffness_n_per_m = in_a_row_n_per_m(specimen_n_per_m, machine_n_per_m);
    let bedding_m = chance.pick(&[0.0, 0.06, 0.12]) * peak_n / stiffness_n_per_m;
    let seconds = pull_s(behaviour, chance, rate_hz);
    let speed_m_per_s = (peak_n / stiffness_n_per_m + bedding_m) / seconds;
    let all = Pull {
        peak_n,
        speed: speed_m_per_s,
        slip_m: chance.between(0.03, 0.08) * peak_n / stiffness_n_per_m,
        hold_s: chance.between(8.0, 20.0),
        length_m: peak_n / stiffness_n_per_m,
        seconds,
    };
    let Does {
        gives,
        pulls,
        modes,
        is_at_least,
        holds_s,
        preloads,
    } = all.does(behaviour);
    let mut steps = vec![Step::Stands(40.0 / rate_hz.min(20.0))];
    steps.extend(pulls);
    let made = Made {
        stiffness_n_per_m: specimen_n_per_m,
        machine_n_per_m,
        strands: 6,
        bedding_m,
        gives,
        steps,
    };
    let (read, truth) = make_up(&made, rate_hz);
    Test {
        behaviour,
        rate_hz,
        read,
        truth,
        modes,
        is_at_least,
        holds_s,
        preloads,
        stiffness_n_per_m,
        speed_m_per_s,
    }
}

/// How long a pull takes: no shorter than a hundred readings, no longer than some thousands.
fn pull_s(behaviour: Behaviour, chance: &mut Chance, rate_hz: f64) -> f64 {
    let seconds = match behaviour {
        Behaviour::SlowBreak => chance.between(150.0, 300.0),
        Behaviour::QuickBreak => chance.between(1.0, 4.0),
        _ => chance.between(10.0, 40.0),
    };
    seconds.min(8_000.0 / rate_hz).max(100.0 / rate_hz)
}

struct Pull {
    peak_n: f64,
    speed: f64,
    slip_m: f64,
    hold_s: f64,
    length_m: f64,
    seconds: f64,
}

struct Does {
    gives: Vec<(f64, Gives)>,
    pulls: Vec<Step>,
    modes: Vec<Mode>,
    is_at_least: bool,
    holds_s: Vec<f64>,
    preloads: usize,
}

impl Pull {
    #[allow(clippy::too_many_lines, reason = "a list")]
    fn does(&self, behaviour: Behaviour) -> Does {
        let to = |share: f64| Step::Pulls(self.speed, share * self.peak_n);
        let on = || Step::Pulls(self.speed, ENDLESS_N);
        let at = |share: f64, gives: Gives| (share * self.peak_n, gives);
        let slips = |share: f64| at(share, Gives::Slips(self.slip_m));
        let breaks = |share: f64| at(share, Gives::Breaks);
        let down = Step::LetsDown(2.0 * self.speed, 0.02 * self.peak_n);
        let rests = Step::Stands(3.0);
        let hold = Step::Holds(self.hold_s, 0.03);
        let plain = |gives: Vec<(f64, Gives)>, pulls: Vec<Step>, mode: Mode| Does {
            gives,
            pulls,
            modes: vec![mode],
            is_at_least: false,
            holds_s: Vec::new(),
            preloads: 0,
        };
        match behaviour {
            Behaviour::CleanBreak | Behaviour::SlowBreak | Behaviour::QuickBreak => {
                plain(vec![breaks(1.0)], vec![on(), rests], Mode::CleanBreak)
            }
            Behaviour::StrandByStrand => plain(
                vec![
                    at(1.0, Gives::Strands(1)),
                    at(0.96, Gives::Strands(1)),
                    at(0.85, Gives::Strands(1)),
                    breaks(0.6),
                ],
                vec![on(), rests],
                Mode::StrandByStrand,
            ),
            Behaviour::FirstBreak => plain(
                vec![at(0.7, Gives::Strands(1)), breaks(1.0)],
                vec![on(), rests],
                Mode::StrandByStrand,
            ),
            Behaviour::Slips => Does {
                is_at_least: true,
                ..plain(
                    vec![slips(0.4), slips(0.65), slips(0.85)],
                    vec![to(1.0), down, rests],
                    Mode::NoFailure,
                )
            },
            Behaviour::SlipThenBreak => plain(
                vec![slips(0.5), slips(0.8), breaks(1.0)],
                vec![on(), rests],
                Mode::SlipThenBreak,
            ),
            Behaviour::PullOut => {
                let less = 0.2 * self.peak_n / self.length_m;
                let goes = Step::Goes(0.5 * self.seconds, 5.0 * self.speed);
                plain(
                    vec![slips(0.6), at(1.0, Gives::PullsOut(less))],
                    vec![to(0.999), goes],
                    Mode::PullOut,
                )
            }
            Behaviour::NoFailure => Does {
                is_at_least: true,
                holds_s: vec![self.hold_s],
                ..plain(vec![], vec![to(1.0), hold, down, rests], Mode::NoFailure)
            },
            Behaviour::EndedEarly => Does {
                is_at_least: true,
                ..plain(vec![slips(0.5)], vec![to(1.0)], Mode::EndedEarly)
            },
            Behaviour::StopAfterHold => Does {
                is_at_least: true,
                holds_s: vec![self.hold_s],
                modes: vec![Mode::NoFailure, Mode::EndedEarly],
                ..plain(vec![], vec![to(1.0), hold], Mode::EndedEarly)
            },
            Behaviour::HoldThenBreak => Does {
                holds_s: vec![self.hold_s],
                ..plain(
                    vec![breaks(1.0)],
                    vec![to(0.6), hold, on(), rests],
                    Mode::CleanBreak,
                )
            },
            Behaviour::SlipInHold => Does {
                is_at_least: true,
                holds_s: vec![self.hold_s],
                ..plain(
                    vec![],
                    vec![
                        to(1.0),
                        Step::Holds(self.hold_s, 0.02),
                        Step::Slips(self.slip_m),
                        Step::Holds(self.hold_s, 0.01),
                        down,
                        rests,
                    ],
                    Mode::NoFailure,
                )
            },
            Behaviour::Preloads => Does {
                preloads: 2,
                ..plain(
                    vec![breaks(1.0)],
                    vec![to(0.3), down, to(0.4), down, on(), rests],
                    Mode::CleanBreak,
                )
            },
            Behaviour::Pumps => {
                let strokes = (0.8 * self.seconds).max(12.0);
                let pumps = Step::Pumps(3 * strokes as u32, self.length_m / strokes, 0.01);
                plain(vec![breaks(1.0)], vec![pumps, rests], Mode::CleanBreak)
            }
        }
    }
}

impl Test {
    /// Whether something broke at the end.
    pub(crate) fn breaks(&self) -> bool {
        self.truth
            .events
            .last()
            .is_some_and(|(kind, _, before_n, drop_n)| *kind == Kind::Break && *drop_n > 0.99 * before_n)
    }

    /// Readings near which no trouble may be put that would hide what happens: events and the peak.
    pub(crate) fn is_busy(&self, at: usize, around: usize) -> bool {
        let near = |time_s: f64| (time_s * self.rate_hz - at as f64).abs() < around as f64;
        near(self.truth.peak_s) || self.truth.events.iter().any(|(_, time_s, ..)| near(*time_s))
    }

    /// Work put in up to the peak, J, by the clean curve.
    pub(crate) fn work_j(&self) -> f64 {
        let until = self
            .read
            .iter()
            .take_while(|moment| moment.time_s <= self.truth.peak_s)
            .count();
        self.read[..until]
            .windows(2)
            .map(|pair| 0.5 * (pair[0].force_n + pair[1].force_n) * (pair[1].travel_m - pair[0].travel_m))
            .sum()
    }
}
