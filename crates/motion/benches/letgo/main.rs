//! How long a let-go takes; beside it references/peers.py times a general-purpose physics engine on the same model.

#![allow(clippy::unwrap_used, missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use motion::Options;
use std::hint::black_box;

#[path = "../../tests/support.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod support;

criterion_group!(letgo, four_lines, ring);
criterion_main!(letgo);

/// A plate of 150 kg on four lines of 3 m, of which one lets go.
fn four_lines(c: &mut Criterion) {
    let mut rig = support::plate_on_four(0.0);
    let line = rig.topology.lines().nth(1).unwrap();
    rig.cut(line);
    for (seconds, name) in [(1.5, "four-line let-go, 1.5 s"), (10.0, "four-line let-go, 10 s")] {
        let options = Options {
            seconds,
            tolerance: 1e-5,
            trace_every_s: None,
        };
        c.bench_function(name, |b| {
            b.iter(|| black_box(motion::follow(&rig.scene(), &options)).unwrap().steps);
        });
    }
}

/// The same plate on four lines from a ring, of which one lets go: at each moment the ring is where its lines balance.
fn ring(c: &mut Criterion) {
    let mut rig = support::plate_on_ring(0.0);
    let line = rig.topology.lines().nth(2).unwrap();
    rig.cut(line);
    let options = Options {
        seconds: 1.5,
        tolerance: 1e-5,
        trace_every_s: None,
    };
    c.bench_function("let-go on a ring, 1.5 s", |b| {
        b.iter(|| black_box(motion::follow(&rig.scene(), &options)).unwrap().steps);
    });
}
