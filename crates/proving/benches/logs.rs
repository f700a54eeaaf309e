//! How long it takes to read a log of a million readings, and to find what happened in it; beside it references/peers.py times a general-purpose
//! data library on the same log.

#![allow(clippy::unwrap_used, missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use proving::log::{Asked, read};
use proving::specimen::{Known, examine};
use std::fmt::Write as _;
use std::hint::black_box;

criterion_group! {
    name = logs;
    config = Criterion::default().sample_size(20);
    targets = a_million_readings
}
criterion_main!(logs);

const READINGS: u32 = 1_000_000;

/// A thousand readings in a second, as in references/_logs.py: up to 20 kN with two slips, then a break; a little that goes to and fro.
fn text() -> String {
    let mut text = String::with_capacity(30 * READINGS as usize);
    text.push_str("Time [s],Force [N],Travel [mm]\n");
    for at in 0..READINGS {
        let share = f64::from(at) / f64::from(READINGS);
        let slipped_n = if share < 0.5 { 0.0 } else { 400.0 } + if share < 0.7 { 0.0 } else { 400.0 };
        let pulled_n = if share < 0.9 {
            20_000.0 * share / 0.9 - slipped_n
        } else {
            0.0
        };
        let force_n = pulled_n.max(0.0) + 5.0 * (1.7 * f64::from(at)).sin();
        writeln!(
            text,
            "{:.3},{force_n:.1},{:.4}",
            f64::from(at) / 1000.0,
            100.0 * share
        )
        .unwrap();
    }
    text
}

fn a_million_readings(c: &mut Criterion) {
    let text = text();
    let asked = Asked::default();
    let log = read(text.as_bytes(), &asked).unwrap();
    let known = Known::default();
    let found = examine(&log, &known);
    // What is timed is right: the peak, two slips and the break.
    assert!(
        (found.peak.force_n - 19_200.0).abs() < 2.0 * found.peak.uncertainty_n,
        "{:?}",
        found.peak
    );
    assert_eq!(found.events.len(), 3, "{:?}", found.events);
    c.bench_function("log of a million readings, read", |b| {
        b.iter(|| black_box(read(text.as_bytes(), &asked)).unwrap().force_n.len());
    });
    c.bench_function("log of a million readings, read and examined", |b| {
        b.iter(|| {
            black_box(examine(&read(text.as_bytes(), &asked).unwrap(), &known))
                .events
                .len()
        });
    });
}
