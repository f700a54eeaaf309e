//! What lengths that are off by their tolerance do to lines that hold a pipe.
//!
//! A pipe bends, so no line of many takes all that statics would let it: what it takes hangs on how far lengths are off
//! and how stiff pipe and lines are. For each line the rig is solved with that line too short by its tolerance and each
//! other line too long or too short, whichever brings more to it; which that is comes from solves with one length changed
//! at a time.
//!
//! Conventions: SI; lines by document order.
//! Assumes: which way each length counts is the same over the whole tolerance.
//! Valid for: equilibria; a corner that does not hang is left out.
//! Source: worst-case tolerance analysis; the tolerance of a line that says none as of wire rope slings, half a per cent of
//! the length and at least two diameters (from memory).
//! Checked by: tests/main/pipes.rs.

use crate::defaults::Defaults;
use crate::document::Rig;
use crate::found::{Change, Trial};
use crate::model::Model;
use quantity::{Kind, Style};
use statics::{FrameId, LineId, Solution};

/// A rig with lengths as unkind to one line as their tolerances allow.
#[derive(Debug)]
pub(crate) struct Corner {
    pub(crate) line: usize,
    pub(crate) solution: Solution,
    /// Which lengths are off, in words.
    pub(crate) when: String,
}

/// Change of length that tells which way a length counts, metres.
const STEP_M: f64 = 1e-5;
/// Tolerance of a line that says none: a share of its length, and so many diameters at the least.
const SHARE: f64 = 0.005;
const DIAMETERS: f64 = 2.0;

/// Gives how far the length of a line may be off, metres.
pub(crate) fn tolerance_m(rig: &Rig, model: &Model, line: usize) -> f64 {
    let stated = rig.lines.get_index(line).and_then(|(_, line)| line.tolerance_m);
    stated.unwrap_or_else(|| {
        let modelled = model.lines.get_index(line).map(|(_, line)| line);
        let diameter_m = modelled
            .and_then(|line| line.makeup.as_ref())
            .and_then(|makeup| Some(makeup.rope()?.1.diameter_m.value()));
        let length_m = modelled.map_or(0.0, |line| line.length_m.value());
        f64::max(SHARE * length_m, DIAMETERS * diameter_m.unwrap_or(0.0))
    })
}

/// Notes which tolerances were taken, of the lines that hold a pipe.
pub(crate) fn assumed_tolerances(rig: &Rig, model: &Model, defaults: &mut Defaults) {
    for line in lines_on_pipes(model) {
        if let Some((name, document)) = rig.lines.get_index(line)
            && document.tolerance_m.is_none()
        {
            let what = "length tolerance 0.5 % and at least two rope diameters, as of wire rope slings (from memory)";
            defaults.assume(what, format!("lines.{name}"));
        }
    }
}

/// Lists the lines that touch a pipe.
pub(crate) fn lines_on_pipes(model: &Model) -> Vec<usize> {
    let of_pipes: Vec<FrameId> = model
        .loads
        .values()
        .filter(|load| load.pipe.is_some())
        .flat_map(|load| load.frames().to_vec())
        .collect();
    let touches = |line: &LineId| {
        let path = model.topology.path(*line).iter();
        path.map(|a| model.topology.frame_of(*a))
            .any(|frame| of_pipes.contains(&frame))
    };
    model
        .topology
        .lines()
        .filter(touches)
        .map(LineId::index)
        .collect()
}

/// Solves the corners of some lines that share a load.
pub(crate) fn corners(
    rig: &Rig,
    model: &Model,
    found: &Solution,
    change: &Change,
    lines: &[LineId],
) -> Vec<Corner> {
    let mut trial = Trial::new(model, found);
    let mut with = |longer_m: Vec<(usize, f64)>| {
        let change = Change {
            longer_m,
            ..change.clone()
        };
        trial.with(found, &change).ok().cloned()
    };
    let each = lines.iter().map(|line| with(vec![(line.index(), STEP_M)]));
    let changed: Vec<Option<Solution>> = each.collect();
    let corner = |line: &LineId| {
        let off: Vec<(usize, f64)> = lines
            .iter()
            .zip(&changed)
            .map(|(other, there)| {
                let tolerance_m = tolerance_m(rig, model, other.index());
                let gains = there
                    .as_ref()
                    .is_none_or(|there| there.line(*line).tension_n >= found.line(*line).tension_n);
                let sign = if other != line && gains { 1.0 } else { -1.0 };
                (other.index(), sign * tolerance_m)
            })
            .collect();
        let solution = with(off.clone())?;
        Some(Corner {
            line: line.index(),
            solution,
            when: words(model, &off),
        })
    };
    lines.iter().filter_map(corner).collect()
}

/// Says which lengths are off.
fn words(model: &Model, off: &[(usize, f64)]) -> String {
    let told = off.iter().filter_map(|(line, by_m)| {
        let (name, _) = model.lines.get_index(*line)?;
        let size = Kind::Stretch.print(by_m.abs(), Style::both());
        let way = if *by_m > 0.0 { "too long" } else { "too short" };
        Some(format!("{name} {size} {way}"))
    });
    told.collect::<Vec<_>>().join(", ")
}
