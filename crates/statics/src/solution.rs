//! What a solve says: the outcome, and the numbers of an equilibrium.
//!
//! Conventions: as in docs/theory/conventions.md; vectors are indexed by the id named beside them.
//! Assumes: nothing.
//! Valid for: the topology it was made for.
//! Source: definitions only.
//! Checked by: tests/laws.rs, tests/hard_cases.rs.

use crate::beam::BeamResult;
use crate::ids::{FrameId, LineId};
use crate::state::State;
use crate::topology::Topology;
use nalgebra::Vector3;

/// Says how a solve ended. Numbers exist only where a stable equilibrium was found.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome<S = Solution> {
    /// Found and stable; `free_motions` and `unstable_as_drawn` say the rest.
    Found(S),
    /// Nothing holds these frames.
    NothingHolds(Unheld),
    /// A line runs over its sheave until something jams there.
    Jams(Jam),
}

impl<S> Outcome<S> {
    /// The equilibrium, where there is one.
    pub fn found(self) -> Option<S> {
        match self {
            Self::Found(solution) => Some(solution),
            Self::NothingHolds(_) | Self::Jams(_) => None,
        }
    }

    /// The equilibrium, where there is one, by reference.
    pub fn as_found(&self) -> Option<&S> {
        match self {
            Self::Found(solution) => Some(solution),
            Self::NothingHolds(_) | Self::Jams(_) => None,
        }
    }
}

/// Describes frames joined by lines, with a net force on them and no line to any fixed frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Unheld {
    /// The frames, in document order, of every such group.
    pub frames: Vec<FrameId>,
    /// Net force on the first such group, N.
    pub net_force_n: Vector3<f64>,
}

/// Describes a `via` line of which one segment shrinks to nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Jam {
    /// The line.
    pub line: LineId,
    /// Which segment of its path, counted from 0; it lies between attachments `segment` and `segment + 1`.
    pub segment: usize,
}

/// Describes what one line does in equilibrium.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LineResult {
    /// Tension along the straight line between the ends of its pieces, without what its own weight adds towards its
    /// upper end; of a line that sags, the pull in the middle of its weight, the greatest of its pieces, N. 0 when
    /// inactive, and when slack unless it sags.
    pub tension_n: f64,
    /// Distance along its path, m.
    pub length_m: f64,
    /// True when the distance along its path is not more than its unloaded length, or it is inactive. A line that sags
    /// may be slack in this sense and pull by its own weight.
    pub slack: bool,
    /// True when it is slack, pulls no more than its own weight and lifts nothing at its lower end: nothing hangs on it. A light
    /// load on a heavy rope makes it hang through, and slack, without being limp.
    pub limp: bool,
    /// Tension at its first and last end, its own weight included, N.
    pub end_tensions_n: [f64; 2],
    /// Greatest tension anywhere along it, its own weight included, N: at an end, or at a higher place on its way.
    pub greatest_tension_n: f64,
    /// Greatest depth below the straight line between the ends of a piece of it, measured upright, where its sag matters
    /// to its tension, m. None for a line that is as good as straight.
    pub sag_m: Option<f64>,
}

/// Says how a frame may move without any change of force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FreeMotionKind {
    /// A body turns about a line in space.
    Turns {
        /// Direction of that line, a unit vector; the larger of its components is positive.
        axis: Vector3<f64>,
        /// The point of that line nearest the body's centre of gravity, m.
        through_m: Vector3<f64>,
    },
    /// A junction or body moves without turning.
    Moves {
        /// Direction, a unit vector.
        direction: Vector3<f64>,
    },
}

/// Describes a motion that nothing resists; where several frames share it, the frame that moves most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeMotion {
    /// The frame that moves most.
    pub frame: FrameId,
    /// How it moves.
    pub kind: FreeMotionKind,
    /// True when other frames move with it.
    pub shared: bool,
}

/// Holds a stable equilibrium.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Where everything is.
    pub state: State,
    /// What each line does; by `LineId`.
    pub lines: Vec<LineResult>,
    /// Pull of each line on each attachment of its path, N; see [`Topology::path_range`]. Half of its own weight, at
    /// each of its two ends, is not in it.
    pub pulls_n: Vec<Vector3<f64>>,
    /// What goes on within each beam; by `BeamId`.
    pub beams: Vec<BeamResult>,
    /// Force that the rig puts on the building at each fixed frame and at each spring, N; by `FrameId`, zero for free
    /// frames. Weight of lines included, half at each end.
    pub on_building_n: Vec<Vector3<f64>>,
    /// Largest unbalanced force of any frame, moments divided by the body's size, N.
    pub residual_n: f64,
    /// What residual was accepted, N: the larger of 1e-9 of all weights and forces, and the rounding of
    /// the stiffest line.
    pub allowed_residual_n: f64,
    /// Newton steps taken, all stages together.
    pub iterations: u32,
    /// Factorisations of the stiffness matrix, all stages together.
    pub factorisations: u32,
    /// Motions that nothing resists.
    pub free_motions: Vec<FreeMotion>,
    /// Bodies whose pose as drawn (the guess) balances but would roll over.
    pub unstable_as_drawn: Vec<FrameId>,
    /// True when lines are straight whose sag matters, because no balance was found with them sagging.
    pub sag_left_out: bool,
    /// True when the search came to an unstable balance, the drawn one or another, and left it.
    pub left_unstable: bool,
}

impl Solution {
    /// Makes an empty one of the right size.
    pub(crate) fn blank(topology: &Topology, state: State) -> Self {
        Self {
            state,
            lines: vec![LineResult::default(); topology.line_count()],
            pulls_n: vec![Vector3::zeros(); topology.path_total()],
            beams: vec![BeamResult::NONE; topology.beam_count()],
            on_building_n: vec![Vector3::zeros(); topology.frame_count()],
            residual_n: f64::INFINITY,
            allowed_residual_n: 0.0,
            iterations: 0,
            factorisations: 0,
            free_motions: Vec::new(),
            unstable_as_drawn: Vec::new(),
            sag_left_out: false,
            left_unstable: false,
        }
    }

    /// Result of one line.
    pub fn line(&self, line: LineId) -> LineResult {
        self.lines[line.index()]
    }

    /// Pull of a line's tension on each attachment of its path, in order, N.
    pub fn pulls_of(&self, topology: &Topology, line: LineId) -> &[Vector3<f64>] {
        &self.pulls_n[topology.path_range(line)]
    }
}
