//! How long a solve takes: cold and warm hangs, and nets.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use rigs::{four_leg_hang, net};
use statics::{Options, Workspace, solve_again};
use std::hint::black_box;

mod rigs;

fn benches(c: &mut Criterion) {
    let case = four_leg_hang();
    let mut workspace = Workspace::new(&case.topology);
    let first = case.solve(&mut workspace);
    println!(
        "four-leg hang: {} steps, {} factorisations",
        first.iterations, first.factorisations
    );
    c.bench_function("four-leg hang, cold", |b| {
        b.iter(|| black_box(case.solve(&mut workspace)).residual_n);
    });

    let mut changed = case.parameters.clone();
    let mut solution = case.solve(&mut workspace);
    let mut longer = false;
    c.bench_function("four-leg hang, one length changed by 3 mm", |b| {
        b.iter(|| {
            longer = !longer;
            let trim = case.parameters.lines[0].unloaded_length_m;
            changed.lines[0].unloaded_length_m = trim + if longer { 0.003 } else { 0.0 };
            let outcome = solve_again(
                &case.topology,
                &changed,
                &Options::warm(),
                &mut workspace,
                &mut solution,
            );
            black_box(outcome.is_ok())
        });
    });
    println!(
        "warm: {} steps, {} factorisations",
        solution.iterations, solution.factorisations
    );

    for (side, samples) in [
        (2, 50),
        (3, 50),
        (4, 50),
        (5, 50),
        (6, 50),
        (8, 50),
        (20, 30),
        (100, 10),
    ] {
        let case = net(side);
        for (name, dense_freedoms) in [("dense", usize::MAX), ("sparse", 0)] {
            if side > 8 && name == "dense" {
                continue;
            }
            let mut workspace = Workspace::with_dense_freedoms(&case.topology, dense_freedoms);
            let found = case.solve(&mut workspace);
            println!(
                "net {side}x{side}, {name}: {} freedoms, {} steps, {} factorisations",
                case.topology.freedom_count(),
                found.iterations,
                found.factorisations
            );
            let mut group = c.benchmark_group("net");
            group.sample_size(samples);
            group.bench_function(format!("{side}x{side} {name}"), |b| {
                b.iter(|| black_box(case.solve(&mut workspace)).residual_n);
            });
            group.finish();
        }
    }
}

criterion_group!(equilibrium, benches);
criterion_main!(equilibrium);
