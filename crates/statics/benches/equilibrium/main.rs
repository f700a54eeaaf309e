//! How long a solve takes: hangs, pipes, spreads of many samples, and nets; beside them references/peers.py times other
//! libraries on the same rigs.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, missing_docs)]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use rigs::{Case, eight_leg_hang, four_leg_hang, heavy_span, net, pipe_on_twelve_lines};
use spread::{Spread, Varied};
use statics::{Options, Solution, Workspace, solve_again};
use std::hint::black_box;

mod rigs;
mod spread;

criterion_group!(equilibrium, hangs, spans, pipes, spreads, nets, dense_and_sparse);
criterion_main!(equilibrium);

fn hangs(c: &mut Criterion) {
    cold_and_warm(c, "four-leg hang", &four_leg_hang());
    cold_and_warm(c, "eight-leg hang", &eight_leg_hang());
}

/// A span has nothing to search for: what a heavy one takes more than a light one is what its catenary takes.
fn spans(c: &mut Criterion) {
    cold_and_warm(c, "span between two points, light", &heavy_span(0.0));
    cold_and_warm(c, "span between two points, heavy", &heavy_span(30.0));
}

fn pipes(c: &mut Criterion) {
    for pieces in [2, 4, 8, 16] {
        let name = format!("pipe on twelve lines, {pieces} pieces a bay");
        cold_and_warm(c, &name, &pipe_on_twelve_lines(pieces));
    }
}

/// Solves from the drawn pose, and again after one length has changed by 3 mm.
fn cold_and_warm(c: &mut Criterion, name: &str, case: &Case) {
    let mut workspace = Workspace::new(&case.topology);
    let first = case.solve(&mut workspace);
    said(name, &first);
    c.bench_function(&format!("{name}, cold"), |b| {
        b.iter(|| black_box(case.solve(&mut workspace)).residual_n);
    });
    let mut changed = case.parameters.clone();
    let mut solution = first;
    let mut longer = false;
    let trim = case.parameters.lines[0].unloaded_length_m;
    let mut warm = || {
        longer = !longer;
        changed.lines[0].unloaded_length_m = trim + if longer { 0.003 } else { 0.0 };
        let options = Options::warm();
        let outcome = solve_again(&case.topology, &changed, &options, &mut workspace, &mut solution);
        black_box(outcome.is_ok())
    };
    c.bench_function(&format!("{name}, one length changed by 3 mm"), |b| {
        b.iter(&mut warm);
    });
    said("  warm", &solution);
}

fn said(name: &str, found: &Solution) {
    let greatest_n = found.lines.iter().map(|line| line.tension_n).fold(0.0, f64::max);
    println!(
        "{name}: {} steps, {} factorisations, greatest tension {greatest_n:.3} N",
        found.iterations, found.factorisations
    );
}

/// Ten thousand samples of the four-leg hang on two threads.
fn spreads(c: &mut Criterion) {
    let mut group = c.benchmark_group("spread of 10,000 samples of the four-leg hang, two threads");
    group.sample_size(20);
    let spread = Spread::new(four_leg_hang(), 10_000, 2);
    for (name, varied) in [
        ("lengths", Varied::Lengths),
        ("lengths, weight and centre", Varied::LengthsWeightCentre),
    ] {
        let greatest = spread.solve(varied);
        println!("spread, {name}: greatest tension {greatest:.3} N");
        group.bench_function(name, |b| b.iter(|| black_box(spread.solve(varied))));
    }
    group.finish();
}

/// How the time grows with the number of nodes.
fn nets(c: &mut Criterion) {
    let mut group = c.benchmark_group("net");
    for (side, samples) in [(10, 30), (20, 30), (32, 20), (100, 10)] {
        let case = net(side);
        let mut workspace = Workspace::new(&case.topology);
        said(
            &format!("net of {} nodes", side * side),
            &case.solve(&mut workspace),
        );
        group.sample_size(samples);
        group.bench_with_input(BenchmarkId::new("nodes", side * side), &case, |b, case| {
            b.iter(|| black_box(case.solve(&mut workspace)).residual_n);
        });
    }
    group.finish();
}

/// Where the sparse factorisation overtakes the dense one.
fn dense_and_sparse(c: &mut Criterion) {
    let mut group = c.benchmark_group("small net");
    for side in [3, 4, 5, 6, 7] {
        let case = net(side);
        for (name, dense_freedoms) in [("dense", usize::MAX), ("sparse", 0)] {
            let mut workspace = Workspace::with_dense_freedoms(&case.topology, dense_freedoms);
            let freedoms = case.topology.freedom_count();
            group.bench_function(BenchmarkId::new(name, freedoms), |b| {
                b.iter(|| black_box(case.solve(&mut workspace)).residual_n);
            });
        }
    }
    group.finish();
}
