//! What the building gets where the ends of a pipe are built in.
//!
//! Conventions: SI, z up; forces and moments of the pipe on the building, world axes.
//! Assumes: an end that is built in does not move or turn.
//! Valid for: equilibria.
//! Source: balance of the place where the pipe ends.
//! Checked by: tests/main/pipes.rs, tests/main/cases.rs.

use crate::model::{LoadModel, Model};
use statics::{FrameKind, Solution, Vector3};

/// What one end brings to the building.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OnBuilding {
    /// Newtons.
    pub(crate) force_n: Vector3<f64>,
    /// Newton metres.
    pub(crate) moment_n_m: Vector3<f64>,
}

/// The ends of a pipe, in words.
pub(crate) const ENDS: [&str; 2] = ["start", "end"];

/// Gives what the building gets of a pipe at its start, or at its end; none where it is not built in there.
pub(crate) fn on_building(
    model: &Model,
    solution: &Solution,
    load: &LoadModel,
    end: usize,
) -> Option<OnBuilding> {
    let chain = &load.pipe.as_ref()?.chain;
    let (frame, beam) = if end == 0 {
        (chain.frames.first()?, chain.beams.first()?)
    } else {
        (chain.frames.last()?, chain.beams.last()?)
    };
    if model.topology.kind(*frame) != FrameKind::Fixed {
        return None;
    }
    let result = &solution.beams[beam.index()];
    let half_m = 0.5 * result.length_m;
    // The later part on the earlier: at the start the pipe is the later part, and the building the earlier.
    let (from_middle_m, way) = if end == 0 { (-half_m, 1.0) } else { (half_m, -1.0) };
    Some(OnBuilding {
        force_n: solution.on_building_n[frame.index()],
        moment_n_m: result.rotation * result.moment_at(from_middle_m) * way,
    })
}
