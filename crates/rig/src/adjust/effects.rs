//! The table of what one unit of adjustment does.
//!
//! Conventions: one unit taken up, so that the line is shorter; SI.
//! Assumes: what `bench` assumes.
//! Valid for: rigs that hang; a line without which nothing changes has only zeros.
//! Source: the rig solved again with that line shorter by one unit, and by a small step for the slope.
//! Checked by: tests/main/adjust.rs (against verdicts on changed documents, and P20 of tests/published/mechanics).

use super::adjuster::Adjuster;
use super::answer::{EffectAnswer, LineEffect, LoadEffect};
use super::bench::{Actual, Bench};
use indexmap::IndexMap;
use statics::{LineId, Solution};

/// Step for slopes, metres: far over the rounding of a solve and far under any unit.
pub(crate) const SLOPE_M: f64 = 2e-5;

/// Finds what one unit of each line does.
pub(crate) fn effects(
    bench: &mut Bench<'_>,
    actual: &Actual,
    before: &Solution,
    adjusters: &[Adjuster],
) -> IndexMap<String, EffectAnswer> {
    let each = adjusters.iter().enumerate().map(|(line, adjuster)| {
        let effect = effect(bench, actual, before, line, adjuster.unit_m);
        (bench.line_name(line), effect)
    });
    each.collect()
}

fn effect(
    bench: &mut Bench<'_>,
    actual: &Actual,
    before: &Solution,
    line: usize,
    unit_m: f64,
) -> EffectAnswer {
    let mut shorter = |by_m: f64| {
        let mut longer_m = vec![0.0; actual.longer_m.len()];
        longer_m[line] = -by_m;
        bench.rest_from(&actual.with_longer(&longer_m), None, before)
    };
    let none = EffectAnswer {
        shorter_m: unit_m,
        why_not: String::new(),
        lines: IndexMap::new(),
        loads: IndexMap::new(),
        picks_m: IndexMap::new(),
    };
    let (then, near) = match (shorter(unit_m), shorter(SLOPE_M)) {
        (Ok(then), Ok(near)) => (then, near),
        (Err(fall), _) | (_, Err(fall)) => {
            return EffectAnswer {
                why_not: fall.why,
                ..none
            };
        }
    };
    let tension_n = |solution: &Solution, line: usize| bench.tensions_n(solution, line)[0];
    let lines = (0..bench.rig.lines.len()).map(|other| {
        let was_n = tension_n(before, other);
        let is_n = tension_n(&then, other);
        let effect = LineEffect {
            tension_n: is_n,
            change_n: is_n - was_n,
            slope_n_per_m: (tension_n(&near, other) - was_n) / SLOPE_M,
            slack: then.line(LineId(other as u32)).limp,
        };
        (bench.line_name(other), effect)
    });
    let loads = (0..bench.rig.loads.len()).map(|load| {
        let was_m = bench.height_m(before, load);
        let effect = LoadEffect {
            rises_m: bench.height_m(&then, load) - was_m,
            slope_m_per_m: (bench.height_m(&near, load) - was_m) / SLOPE_M,
            tilt_deg: bench.tilt_rad(&then, load).to_degrees(),
        };
        (bench.load_name(load), effect)
    });
    let picks = bench.picks().into_iter().map(|(load, pick)| {
        let rises_m = bench.pick_height_m(&then, load, pick) - bench.pick_height_m(before, load, pick);
        (bench.pick_name(load, pick), rises_m)
    });
    EffectAnswer {
        lines: lines.collect(),
        loads: loads.collect(),
        picks_m: picks.collect(),
        ..none
    }
}
