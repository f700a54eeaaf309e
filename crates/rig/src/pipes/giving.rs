//! Pipes that are built in at both ends, where the building gives way along them.
//!
//! Between two places that do not come nearer a pipe that bends hangs like a rope, and bends less for it; heat presses it. A wall
//! that gives a millimetre takes that away. So the pipe is also solved with one end free to slide along it.
//!
//! Conventions: SI.
//! Assumes: nothing between no give at all and no hold at all is worse than both.
//! Valid for: equilibria; a pipe that hangs on that pull alone is left out here.
//! Source: beams between ends that are held along them or not; our judgement, that no such hold is counted on.
//! Checked by: tests/main/pipes.rs, against beams built in at both ends.

use crate::corners::Corner;
use crate::found::{Change, Trial};
use crate::model::Model;
use statics::{BeamId, FrameKind, Solution};

/// Solves a rig with each pipe that is built in at both ends free to slide at one of them.
pub(crate) fn giving_ends(model: &Model, found: &Solution, change: &Change) -> Vec<Corner> {
    let is_fixed = |frame| model.topology.kind(frame) == FrameKind::Fixed;
    let both = model.loads.iter().filter_map(|(name, load)| {
        let chain = &load.pipe.as_ref()?.chain;
        let (first, last) = (*chain.frames.first()?, *chain.frames.last()?);
        let piece = *chain.beams.last()?;
        (is_fixed(first) && is_fixed(last)).then_some((name.as_str(), piece))
    });
    let (names, sliding): (Vec<&str>, Vec<BeamId>) = both.unzip();
    if sliding.is_empty() {
        return Vec::new();
    }
    let change = Change {
        sliding,
        ..change.clone()
    };
    let mut trial = Trial::new(model, found);
    let slid = trial.with(found, &change).ok().cloned();
    let corner = slid.map(|solution| Corner {
        lines: Vec::new(),
        solution,
        variant: 0,
        when: format!("an end of {} free to slide along it", names.join(", ")),
    });
    corner.into_iter().collect()
}
