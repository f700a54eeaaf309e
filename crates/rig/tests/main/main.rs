//! From a rig document to a verdict, held against closed forms, published cases and itself.

// A check that can not build its rig has failed; a document is put together piece by piece.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::format_push_string,
    clippy::format_collect
)]

mod adjust;
mod bending;
mod cases;
mod caught;
mod demo;
mod in_time;
mod laws;
mod lets_go;
mod other_ways;
mod pipes;
mod published;
mod sharing;
mod spread;
mod to_trim;

use parts::Book;
use practice::Practices;
use rig::{Verdict, check};

const POUND_N: f64 = 0.453_592_37 * 9.806_65;

/// Checks a rig with the published books, and the demo book over them.
fn verdict(text: &str) -> Verdict {
    verdict_under(text, Practices::published())
}

/// Checks a rig under practices of one's own.
fn verdict_under(text: &str, practices: &Practices) -> Verdict {
    check(text, &book(), practices, Some("2026-03-14")).unwrap_or_else(|error| panic!("{error:?}"))
}

/// The published book with the demo book over it.
fn book() -> Book {
    let (demo, problems) = Book::read(
        "grips.toml",
        include_str!("../../../../examples/parts/grips.toml"),
    );
    assert!(problems.is_empty(), "{problems:?}");
    Book::published().overlaid(&demo)
}

/// Writes the frame of a rig document whose lines are given by stiffness alone.
fn document(points: &[(&str, [f64; 3])], loads: &str, lines: &[(&str, &str, &str, f64, f64)]) -> String {
    let mut text = String::from("title = \"test\"\npractice = \"static-overhead\"\n");
    for (name, [x, y, z]) in points {
        text += &format!("[points.{name}]\nat = [\"{x:?} m\", \"{y:?} m\", \"{z:?} m\"]\n");
    }
    text += loads;
    for (name, from, to, length_m, stiffness_n) in lines {
        text += &format!(
            "[lines.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\nlength = \"{length_m:?} m\"\nstiffness = \"{stiffness_n:?} N\"\n"
        );
    }
    text
}

fn assert_near(value: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value} is not {expected} within {tolerance}"
    );
}
