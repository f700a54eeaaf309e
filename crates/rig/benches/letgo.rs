//! How long the sweep of a rig takes, and a check that hangs on what happens in time.

#![allow(clippy::unwrap_used, missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use parts::Book;
use practice::Practices;
use rig::{LetGoQuestion, check, letgo};
use std::hint::black_box;

criterion_group!(sweeps, sweep, check_in_time);
criterion_main!(sweeps);

const RIGS: [(&str, &str); 3] = [
    ("flock", include_str!("../../../examples/flock.toml")),
    ("reflector", include_str!("../../../examples/reflector.toml")),
    ("lamp", include_str!("../../../examples/lamp.toml")),
];

fn book() -> Book {
    let (demo, _) = Book::read("grips.toml", include_str!("../../../examples/parts/grips.toml"));
    Book::published().overlaid(&demo)
}

/// Everything of a demo rig lets go, in every way.
fn sweep(c: &mut Criterion) {
    let (book, practices) = (book(), Practices::published());
    let mut group = c.benchmark_group("sweep");
    group.sample_size(10);
    for (name, text) in RIGS {
        group.bench_function(name, |b| {
            b.iter(|| {
                let found = letgo(
                    text,
                    &book,
                    practices,
                    None,
                    &LetGoQuestion::default(),
                    &|_, _| {},
                );
                black_box(found).unwrap().0.cases.len()
            });
        });
    }
}

/// With grips over people, with a secondary line, and with neither.
fn check_in_time(c: &mut Criterion) {
    let (book, practices) = (book(), Practices::published());
    for (name, text) in RIGS {
        c.bench_function(&format!("check {name}"), |b| {
            b.iter(|| {
                black_box(check(text, &book, practices, None))
                    .unwrap()
                    .findings
                    .len()
            });
        });
    }
}
