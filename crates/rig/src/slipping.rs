//! What friction at sheaves does to the lines that run over them: the range between both directions of slip.
//!
//! Conventions: SI; lines by document order.
//! Assumes: a line slips over all of its sheaves in one direction.
//! Valid for: equilibria. Of up to four lines every combination of directions is tried, of more all forward and all back.
//! Source: `statics::slipping`.
//! Checked by: tests/main/sharing.rs.

use crate::document::{End, Rig};
use crate::found::Change;
use crate::model::Model;
use statics::{LineId, Slips, Solution, Workspace, slipping};

/// Lines of which every combination of directions is tried.
const MOST_COMBINED: usize = 4;

/// Solves a rig with its running lines about to slip, each way, and says which way in words; none where no balance is found.
pub(crate) fn slips(
    rig: &Rig,
    model: &Model,
    found: &Solution,
    change: &Change,
) -> Vec<(String, Option<Solution>)> {
    let lines: Vec<LineId> = model
        .topology
        .lines()
        .filter(|line| change.keeps(line.index()) && runs_over_friction(rig, line.index()))
        .filter(|line| !found.line(*line).limp)
        .collect();
    if lines.is_empty() {
        return Vec::new();
    }
    let ratios = ratios(rig, model);
    let mut workspace = Workspace::new(&model.topology);
    let parameters = crate::found::changed(model, change);
    let combinations: Vec<usize> = if lines.len() <= MOST_COMBINED {
        (0..1 << lines.len()).collect()
    } else {
        vec![0, usize::MAX]
    };
    let each = combinations.into_iter().map(|combination| {
        let way = |line: LineId| match lines.iter().position(|known| *known == line) {
            Some(place) if combination >> place & 1 == 0 => Slips::Forward,
            Some(_) => Slips::Back,
            None => Slips::Freely,
        };
        let solution = slipping(&model.topology, &parameters, &ratios, way, found, &mut workspace).ok();
        (words(model, &lines, way), solution)
    });
    each.collect()
}

/// Gives the ratio of slip at each place of each path.
fn ratios(rig: &Rig, model: &Model) -> Vec<f64> {
    let mut ratios = Vec::new();
    for line in model.lines.values() {
        ratios.extend(line.path.iter().map(|end| friction(rig, end).unwrap_or(1.0)));
    }
    ratios
}

fn friction(rig: &Rig, end: &End) -> Option<f64> {
    match end {
        End::Point(name) => rig.points.get(name)?.friction,
        End::Junction(name) => rig.junctions.get(name)?.friction,
        End::Pick(..) => None,
    }
}

/// Tells whether a line runs over a place with friction.
pub(crate) fn runs_over_friction(rig: &Rig, line: usize) -> bool {
    let via = rig.lines.get_index(line).map(|(_, line)| line.via.as_slice());
    via.unwrap_or_default()
        .iter()
        .any(|end| friction(rig, end).is_some_and(|ratio| ratio > 1.0))
}

fn words(model: &Model, lines: &[LineId], way: impl Fn(LineId) -> Slips) -> String {
    let each = lines.iter().filter_map(|line| {
        let (name, modelled) = model.lines.get_index(line.index())?;
        let towards = match way(*line) {
            Slips::Forward => modelled.path.last()?,
            _ => modelled.path.first()?,
        };
        Some(format!("{name} about to slip towards {towards}"))
    });
    each.collect::<Vec<_>>().join(", ")
}
