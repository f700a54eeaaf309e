//! Writes the made-up pull tests of the demo series: `cargo run -p proving --example made_up_pulls NAME > examples/pulls/NAME.csv`.
//!
//! Nothing was pulled. Springs in a row, with slips and strands that break, come from the model of `proving`; scatter of the cell is a row of numbers
//! that is the same every time.

use proving::model::{Gives, Made, Step, make_up};
use std::fmt::Write as _;

/// Readings in a second.
const RATE_HZ: f64 = 10.0;

/// A made-up specimen: what gives way at which force, N.
type Pull = (&'static str, &'static [(f64, Gives)]);

const PULLS: [Pull; 6] = [
    (
        "loop-a",
        &[
            (3900.0, Gives::Slips(0.0012)),
            (4700.0, Gives::Slips(0.0008)),
            (5640.0, Gives::PullsOut(9e4)),
        ],
    ),
    (
        "loop-b",
        &[(4400.0, Gives::Slips(0.0015)), (5910.0, Gives::PullsOut(1.1e5))],
    ),
    (
        "loop-c",
        &[
            (3600.0, Gives::Slips(0.001)),
            (4100.0, Gives::Slips(0.0011)),
            (5380.0, Gives::PullsOut(8e4)),
        ],
    ),
    ("screw-a", &[(5020.0, Gives::Strands(1)), (5160.0, Gives::Breaks)]),
    (
        "screw-b",
        &[
            (3300.0, Gives::Slips(0.0006)),
            (4890.0, Gives::Strands(1)),
            (4910.0, Gives::Strands(2)),
            (3900.0, Gives::Breaks),
        ],
    ),
    ("screw-c", &[(5230.0, Gives::Breaks)]),
];

/// Gives the log of a pull; none where there is no such pull.
pub fn log(name: &str) -> Option<String> {
    let index = PULLS.iter().position(|(known, _)| *known == name)?;
    let (_, gives) = PULLS[index];
    let (moments, _) = make_up(
        &Made {
            stiffness_n_per_m: 5e5,
            machine_n_per_m: 4e6,
            strands: 6,
            bedding_m: 0.0015,
            gives: gives.to_vec(),
            steps: vec![Step::Stands(5.0), Step::Goes(215.0, 1e-4), Step::Stands(3.0)],
        },
        RATE_HZ,
    );
    let mut scatter = Scatter(17 + index as u64);
    let end = moments
        .iter()
        .rposition(|moment| moment.force_n > 0.0)
        .unwrap_or(0)
        + 60;
    let moments = moments.iter().take(end.min(moments.len()));
    let in_us = name.starts_with("screw");
    let mut text = if in_us {
        format!(
            "Larkspur Library workshop, invented for a demonstration\nSpecimen,{name}\nTime (s),Load (lbf),Crosshead (in)\n"
        )
    } else {
        format!(
            "Larkspur Library workshop, invented for a demonstration\nSpecimen;{name}\nTime [s];Force [kN];Travel [mm]\n"
        )
    };
    for moment in moments {
        let force_n = moment.force_n + 12.0 + 6.0 * scatter.next();
        let _ = if in_us {
            writeln!(
                text,
                "{:.1},{:.1},{:.4}",
                moment.time_s,
                force_n / 4.448_221_615_260_5,
                moment.travel_m / 0.0254
            )
        } else {
            writeln!(
                text,
                "{}",
                format!(
                    "{:.1};{:.3};{:.2}",
                    moment.time_s,
                    force_n / 1e3,
                    moment.travel_m * 1e3
                )
                .replace('.', ",")
            )
        };
    }
    Some(text)
}

/// Numbers that scatter evenly around nought, about one in size (a linear congruential row, after Knuth; from memory).
struct Scatter(u64);

impl Scatter {
    fn next(&mut self) -> f64 {
        let mut sum = 0.0;
        for _ in 0..4 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            sum += (self.0 >> 11) as f64 / (1_u64 << 53) as f64 - 0.5;
        }
        sum * 3.0_f64.sqrt()
    }
}

#[allow(clippy::print_stdout, clippy::print_stderr, reason = "that is what it is for")]
#[allow(dead_code, reason = "its test has no use for it")]
fn main() {
    let name = std::env::args().nth(1).unwrap_or_default();
    if let Some(text) = log(&name) {
        print!("{text}");
    } else {
        let names: Vec<&str> = PULLS.iter().map(|(name, _)| *name).collect();
        eprintln!("name one of {}", names.join(", "));
    }
}
