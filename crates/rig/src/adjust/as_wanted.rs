//! The lengths that would bring a rig where it is wanted, were there no whole units.
//!
//! Conventions: SI; lengths as how much longer than in the document.
//! Assumes: what `bench` assumes; lines that can not be adjusted stay as long as they are. No line need be taut to begin with.
//! Valid for: rigs that hang; none where the search does not settle.
//! Source: the search of to_trim, begun where the rig rests; the criterion as in docs/theory/trim.md.
//! Checked by: tests/main/adjust.rs.

use super::adjuster::Adjuster;
use super::bench::{Actual, Bench};
use super::plan::{carries, least_n};
use crate::model::Model;
use crate::to_trim::{Aim, ROUNDS, Round, Search};
use nalgebra::DVector;
use statics::Solution;

/// Finds how much longer than in the document every line is then; none where the search does not settle.
pub(crate) fn as_wanted(
    bench: &Bench<'_>,
    actual: &Actual,
    rest: &Solution,
    adjusters: &[Adjuster],
) -> Option<Vec<f64>> {
    let lines: Vec<usize> = (0..adjusters.len())
        .filter(|line| adjusters[*line].is_there() && carries(bench, *line))
        .collect();
    if lines.is_empty() {
        return None;
    }
    // A little more than the least, so that it is not missed by rounding.
    let least_n = lines.iter().map(|line| 1.1 * least_n(bench, actual, *line));
    let least_n = DVector::from_iterator(lines.len(), least_n);
    let aim = Aim::new(bench.model, lines);
    let mut trial = bench.model.clone();
    trial.parameters = bench.parameters(actual);
    let begun = aim
        .lines
        .iter()
        .map(|line| trial.parameters.lines[*line].unloaded_length_m);
    let begun_m = begun.collect();
    let mut search = Search::begun(rest.state.clone(), begun_m, least_n);
    let put = |trial: &mut Model, lengths_m: &[f64]| {
        for (line, length_m) in aim.lines.iter().zip(lengths_m) {
            trial.parameters.lines[*line].unloaded_length_m = *length_m;
        }
    };
    for _ in 0..ROUNDS {
        if !matches!(search.round(&aim, &trial), Some(Round::Goes)) {
            break;
        }
        put(&mut trial, &search.lengths_m);
    }
    let (_, lengths_m) = search.found()?;
    put(&mut trial, lengths_m);
    let longer = trial.parameters.lines.iter().zip(&bench.model.parameters.lines);
    Some(
        longer
            .map(|(is, was)| is.unloaded_length_m - was.unloaded_length_m)
            .collect(),
    )
}
