//! Logs made up with every trouble that instruments have, and scored against what is known of them.
//!
//! `specimens` says what happened (by `proving::model`), `troubles` what instruments and people did to the readings, `writer` how they were
//! written; `score` holds what was found against it. Tolerances are ours: what a reader of a report would call right.

mod chance;
mod refused;
mod score;
mod single;
mod specimens;
mod troubles;
mod writer;

pub(crate) use chance::Chance;
use score::{Score, score};
use specimens::{BEHAVIOURS, Behaviour, specimen};
use troubles::{Troubles, trouble};
use writer::{CLOCKS, Clock, Encoding, FORCE_UNITS, LANGUAGES, Preamble, Style, TRAVEL_UNITS, UNITS, Units};

const RATES_HZ: [f64; 9] = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];

/// Scores of many logs.
#[derive(Default)]
struct Tally {
    logs: usize,
    events: usize,
    unknown: usize,
    worst: [f64; 2],
    wrong: Vec<String>,
}

impl Tally {
    fn add(&mut self, name: &str, score: Score) {
        self.logs += 1;
        self.events += score.events;
        self.unknown += score.unknown;
        for (worst, off) in self.worst.iter_mut().zip(score.peak_off) {
            *worst = worst.max(off);
        }
        if !score.wrong.is_empty() {
            self.wrong
                .push(format!("{name}\n    {}", score.wrong.join("\n    ")));
        }
    }

    #[allow(
        clippy::print_stdout,
        reason = "how well it does is of interest where all is right, too"
    )]
    fn assert_right(self, what: &str) {
        println!(
            "{what}: {} logs, {} events ({} of unknown cause), peak off by {:.3} of what is stated and {:.5} of itself at most",
            self.logs, self.events, self.unknown, self.worst[0], self.worst[1]
        );
        assert!(
            self.wrong.is_empty(),
            "{} of {} logs:\n{}",
            self.wrong.len(),
            self.logs,
            self.wrong.join("\n")
        );
    }
}

/// Makes one log up, reads it, and scores it.
fn one(behaviour: Behaviour, rate_hz: f64, style: &Style, of: &Troubles, chance: &mut Chance) -> Score {
    let test = specimen(behaviour, chance, rate_hz);
    let troubled = trouble(&test, of, chance);
    let bytes = style.write(&troubled.readings, rate_hz);
    score(&bytes, &test, style, of, &troubled)
}

/// What is common to all readings of instruments: a little noise.
fn usual() -> Troubles {
    Troubles {
        noise: 0.0005,
        ..Troubles::default()
    }
}

/// Every behaviour at every rate, plainly written.
#[test]
fn every_behaviour_is_found_at_every_rate() {
    let mut tally = Tally::default();
    let mut chance = Chance(1);
    for behaviour in BEHAVIOURS {
        for rate_hz in RATES_HZ {
            for travel_unit in [Some("mm"), None] {
                let style = Style {
                    travel_unit,
                    ..Style::default()
                };
                let score = one(behaviour, rate_hz, &style, &usual(), &mut chance);
                tally.add(
                    &format!("{behaviour:?} {rate_hz} Hz, travel {travel_unit:?}"),
                    score,
                );
            }
        }
    }
    tally.assert_right("behaviours");
}

/// Lists every single way of writing.
#[allow(clippy::too_many_lines, reason = "a list")]
fn styles() -> Vec<Style> {
    let plain = Style::default;
    let semicolon = || Style {
        separator: ";",
        decimal: ',',
        ..plain()
    };
    let newtons = || Style {
        force_unit: "N",
        separator: ";",
        ..plain()
    };
    let mut all = vec![
        semicolon(),
        Style {
            separator: "\t",
            ..plain()
        },
        Style {
            separator: "\t",
            ..semicolon()
        },
        Style {
            separator: "|",
            ..plain()
        },
        Style {
            separator: ", ",
            ..plain()
        },
        Style {
            separator: " ",
            clock: Clock::HourMinuteSecond,
            ..plain()
        },
        Style {
            separator: "   ",
            ..plain()
        },
        Style {
            line_end: "\r\n",
            ..plain()
        },
        Style {
            line_end: "\r",
            ..plain()
        },
        Style {
            encoding: Encoding::Utf8Mark,
            ..plain()
        },
        Style {
            encoding: Encoding::Utf16,
            ..plain()
        },
        Style {
            encoding: Encoding::Latin1,
            preamble: Preamble::Long,
            has_temperature: true,
            ..plain()
        },
        Style {
            decimal: ',',
            is_quoted: true,
            ..plain()
        },
        Style {
            thousands: ",",
            is_quoted: true,
            force_unit: "N",
            ..plain()
        },
        Style {
            has_index: true,
            ..plain()
        },
        Style {
            has_temperature: true,
            ..plain()
        },
        Style {
            has_second_sensor: true,
            ..plain()
        },
        Style {
            has_status: true,
            ..plain()
        },
        Style {
            has_comments: true,
            ..plain()
        },
        Style {
            is_travel_first: true,
            ..plain()
        },
        Style {
            is_quoted: true,
            ..plain()
        },
        Style {
            trails: true,
            ..plain()
        },
        Style {
            empty_lines: true,
            ..plain()
        },
        Style {
            repeats_header: true,
            ..plain()
        },
        Style {
            exponents: true,
            ..plain()
        },
        Style {
            exponents: true,
            ..semicolon()
        },
        Style {
            is_cut_off: true,
            ..plain()
        },
        Style {
            preamble: Preamble::Short,
            ..plain()
        },
        Style {
            preamble: Preamble::Long,
            ..plain()
        },
        Style {
            preamble: Preamble::Long,
            ..semicolon()
        },
    ];
    all.extend([",", "'", "\u{A0}", "\u{202F}"].map(|thousands| Style {
        thousands,
        ..newtons()
    }));
    all.extend([".", "'", " ", "\u{A0}"].map(|thousands| Style {
        thousands,
        force_unit: "N",
        ..semicolon()
    }));
    all.extend(CLOCKS.map(|clock| Style { clock, ..plain() }));
    all.extend(CLOCKS.map(|clock| Style { clock, ..semicolon() }));
    all.extend(FORCE_UNITS.map(|force_unit| Style {
        force_unit,
        ..plain()
    }));
    all.extend(TRAVEL_UNITS.map(|unit| Style {
        travel_unit: Some(unit),
        ..plain()
    }));
    all.extend(UNITS.map(|units| Style { units, ..plain() }));
    all.extend(UNITS.map(|units| Style {
        units,
        has_index: true,
        has_temperature: true,
        has_status: true,
        ..semicolon()
    }));
    all.extend(LANGUAGES.map(|language| Style {
        language,
        ..semicolon()
    }));
    all
}

/// Every single way of writing, of a specimen that slips and breaks.
#[test]
fn every_way_of_writing_is_read() {
    let mut tally = Tally::default();
    let mut chance = Chance(2);
    for style in styles() {
        for rate_hz in [20.0, 100.0] {
            let score = one(Behaviour::SlipThenBreak, rate_hz, &style, &usual(), &mut chance);
            tally.add(&format!("{style:?} {rate_hz} Hz"), score);
        }
    }
    tally.assert_right("ways of writing");
}

/// Lists every single trouble.
fn single_troubles() -> Vec<Troubles> {
    let noise = |noise: f64| Troubles {
        noise,
        ..Troubles::default()
    };
    let mut all: Vec<Troubles> = [0.0, 0.0002, 0.001, 0.003, 0.01].map(noise).to_vec();
    all.extend([1e-4, 1e-3, 5e-3].map(|count| Troubles { count, ..usual() }));
    all.extend([1e-3, 5e-3].map(|count| Troubles { count, ..noise(0.0) }));
    all.extend([50.0, 60.0, 57.3].map(|hz| Troubles {
        hum: Some((hz, 0.006)),
        ..usual()
    }));
    all.extend([1, 5].map(|spikes| Troubles { spikes, ..usual() }));
    all.extend([-0.03, 0.01, 0.04].map(|offset| Troubles { offset, ..usual() }));
    all.extend([-0.005, 0.005].map(|drift| Troubles { drift, ..usual() }));
    all.extend([
        Troubles {
            is_negative: true,
            ..usual()
        },
        Troubles {
            is_negative: true,
            offset: 0.03,
            spikes: 3,
            ..usual()
        },
        Troubles {
            doubled: 6,
            ..usual()
        },
        Troubles {
            missing: 6,
            ..usual()
        },
        Troubles { gaps: 2, ..usual() },
        Troubles {
            is_reset: true,
            ..usual()
        },
        Troubles {
            clip: Some(0.9),
            ..usual()
        },
        Troubles {
            clip: Some(0.9),
            ..noise(0.0)
        },
        Troubles {
            travel_step_m: 0.000_2,
            ..usual()
        },
        Troubles {
            travel_noise: 0.000_02,
            ..usual()
        },
        Troubles {
            is_begun_late: true,
            ..usual()
        },
    ]);
    all
}

#[test]
fn every_single_trouble_is_seen_through() {
    let mut tally = Tally::default();
    let mut chance = Chance(3);
    for of in single_troubles() {
        for behaviour in [
            Behaviour::SlipThenBreak,
            Behaviour::FirstBreak,
            Behaviour::PullOut,
            Behaviour::HoldThenBreak,
        ] {
            for rate_hz in [10.0, 130.0, 1000.0] {
                let is_clipped_plateau = of.clip.is_some() && behaviour == Behaviour::PullOut;
                let is_hum_lost = of.hum.is_some() && !hum_shows(&of, rate_hz);
                if is_clipped_plateau || is_hum_lost {
                    continue;
                }
                let score = one(behaviour, rate_hz, &Style::default(), &of, &mut chance);
                tally.add(&format!("{behaviour:?} {rate_hz} Hz {of:?}"), score);
            }
        }
    }
    for of in [
        Troubles {
            lag_s: 0.004,
            ..usual()
        },
        Troubles {
            rings: true,
            ..usual()
        },
    ] {
        for behaviour in BEHAVIOURS {
            let score = one(behaviour, 1000.0, &Style::default(), &of, &mut chance);
            tally.add(&format!("{behaviour:?} {of:?}"), score);
        }
    }
    tally.assert_right("single troubles");
}

/// Hum that readings turn into one slow swing, or none, can not be told from the force.
fn hum_shows(of: &Troubles, rate_hz: f64) -> bool {
    of.hum
        .is_none_or(|(hz, _)| (hz / rate_hz - (hz / rate_hz).round()).abs() * rate_hz > 2.5)
}

/// Many troubles at once.
fn any_troubles(chance: &mut Chance, rate_hz: f64) -> Troubles {
    let noise = chance.pick(&[0.0, 0.0002, 0.001, 0.003]);
    let hum = Some((chance.pick(&[50.0, 60.0]), chance.pick(&[0.002, 0.006])));
    let mut of = Troubles {
        noise,
        count: chance.pick(&[0.0, 0.0, 1e-4, 1e-3]),
        hum: hum.filter(|_| chance.happens(0.2)),
        spikes: chance.pick(&[0, 0, 1, 3]),
        offset: chance.pick(&[0.0, 0.0, 0.01, -0.03]),
        drift: chance.pick(&[0.0, 0.0, 0.003]),
        is_negative: chance.happens(0.2),
        doubled: chance.pick(&[0, 0, 3]),
        missing: chance.pick(&[0, 0, 3]),
        gaps: chance.pick(&[0, 0, 0, 1]),
        is_reset: chance.happens(0.1),
        travel_noise: chance.pick(&[0.0, 0.000_01]),
        travel_step_m: chance.pick(&[0.0, 0.0, 0.000_1]),
        ..Troubles::default()
    };
    if rate_hz > 400.0 {
        of.lag_s = chance.pick(&[0.0, 0.0, 0.002]);
        of.rings = chance.happens(0.2);
    }
    if !hum_shows(&of, rate_hz) {
        of.hum = None;
    }
    of
}

fn scored_at_random(seed: u64, many: usize) -> Tally {
    let mut tally = Tally::default();
    for at in 0..many {
        let mut chance = Chance(seed + at as u64 * 7919);
        let behaviour = chance.pick(&BEHAVIOURS);
        let rate_hz = chance.pick(&RATES_HZ);
        let style = Style::any(&mut chance);
        let mut of = any_troubles(&mut chance, rate_hz);
        // A set clock shows only where time stands in the log, and over midnight it is one of both.
        if !matches!(style.clock, Clock::Seconds | Clock::Milliseconds | Clock::Minutes) {
            of.is_reset = false;
        }
        // Such clocks do not show a gap.
        if matches!(style.clock, Clock::WholeSeconds | Clock::Rate) {
            of.gaps = 0;
        }
        // Strokes that few readings show are no different from slips where it is noisy as well.
        if behaviour == Behaviour::Pumps {
            of.noise = of.noise.min(0.001);
        }
        let score = one(behaviour, rate_hz, &style, &of, &mut chance);
        tally.add(
            &format!("log {at}: {behaviour:?} {rate_hz} Hz {of:?} {style:?}"),
            score,
        );
    }
    tally
}

#[test]
fn troubles_at_random_are_seen_through() {
    scored_at_random(40, 300).assert_right("at random");
}

/// The same log in no unit is refused, and asked about.
#[test]
fn a_unit_that_stands_nowhere_is_asked_for() {
    let mut chance = Chance(5);
    for language in LANGUAGES {
        for preamble in [Preamble::None, Preamble::Short, Preamble::Long] {
            let style = Style {
                units: Units::Nowhere,
                language,
                preamble,
                ..Style::default()
            };
            let score = one(Behaviour::CleanBreak, 20.0, &style, &usual(), &mut chance);
            assert!(score.wrong[0].contains("--unit"), "{style:?}: {:?}", score.wrong);
        }
    }
}
