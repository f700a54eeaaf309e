//! A pose in which forces need not balance: what would bring balance, and how long lines are that pull so much.
//!
//! Newton's method, with the tensions of some lines as what is chosen: at a pose any tension can be had, by the length that
//! a line then has. What is out of balance, and each length, move the rig by the stiffness at that pose. A search for
//! lengths goes on from there without the rig being at rest on the way, so that no line need be slack on the way either.
//!
//! Conventions: as in sensitivity.rs; a step is where Newton's method would go, and may be long.
//! Assumes: the set of lines that are taut, and that sag, at the pose.
//! Valid for: any pose; where the stiffness is not positive it is raised, and the step is then shorter.
//! Source: Newton's method; the lengths from Hooke's law and catenary.rs.
//! Checked by: tests/unbalanced.rs, against fresh solves and sensitivities.

use crate::error::{Quantity, StaticsError};
use crate::ids::LineId;
use crate::model::ModelLine;
use crate::parameters::Parameters;
use crate::sagging::{Sagging, sag_matters};
use crate::search::let_sag;
use crate::sensitivity::{Change, by_length, respond, write};
use crate::state::State;
use crate::topology::Topology;
use crate::workspace::Workspace;
use nalgebra::Vector3;

/// Holds what would bring a pose into balance.
#[derive(Debug, Clone, PartialEq)]
pub struct Toward {
    /// What each line pulls at the pose, N; by `LineId`.
    pub tension_n: Vec<f64>,
    /// Newton's step to balance with all lengths as they are.
    pub balance: Change,
    /// By `LineId`: change for each metre that is added to the line's unloaded length.
    pub by_length: Vec<Change>,
}

/// Works out what lines pull at `state`, what would bring balance, and what a metre more of each line would change.
///
/// # Errors
///
/// As [`crate::solve`] for numbers that cannot be; [`StaticsError::OnlyUnstable`] where no stiffness, however much raised,
/// can be used.
pub fn toward_balance(
    topology: &Topology,
    parameters: &Parameters,
    state: &State,
    workspace: &mut Workspace,
) -> Result<Toward, StaticsError> {
    parameters.check(topology)?;
    state.check(topology)?;
    if !workspace.fits(topology) {
        *workspace = Workspace::new(topology);
    }
    let work = workspace;
    work.sag_left_out = false;
    work.hold_rotations(topology, |_| false);
    work.model.prepare(topology, parameters, state);
    work.pose.take(topology, parameters, state);
    work.pose.measure(topology, &work.model);
    if let_sag(topology, work) {
        work.pose.measure(topology, &work.model);
    }
    factorise(topology, work)?;
    work.true_gradient(topology);
    for (step, gradient) in work.step.iter_mut().zip(&work.gradient) {
        *step = -gradient;
    }
    respond(work);
    let mut balance = Change::none(topology);
    write(topology, parameters, work, None, &mut balance);
    let each = work.model.lines.iter().zip(&work.pose.sagging).enumerate();
    let tension_n = each.map(|(i, (line, hung))| {
        if line.sags {
            hung.tension_n()
        } else {
            work.pose.tension_n(&work.model, i)
        }
    });
    Ok(Toward {
        tension_n: tension_n.collect(),
        balance,
        by_length: topology
            .lines()
            .map(|line| by_length(topology, parameters, work, line))
            .collect(),
    })
}

/// Stiffness that holds motions that next to nothing resists, as a share of a pendulum's. What resists as much as a pendulum is
/// felt to a thousandth of a thousandth of a thousandth, see `respond`; a load that turns freely is not sent round and round.
const HOLDS: f64 = 1e-3;

/// Factorises the stiffness, with free motions held; where it is not positive, raised as far as it must be and as much again.
fn factorise(topology: &Topology, work: &mut Workspace) -> Result<(), StaticsError> {
    work.true_stiffness(topology);
    let mut shift = work
        .model
        .free_stiffness()
        .max(HOLDS * work.model.pendulum_stiffness());
    if work.stiffness.factorise(shift) {
        return Ok(());
    }
    while shift < 1e3 * (work.model.stiffest + work.model.pendulum_stiffness()) {
        shift *= 4.0;
        if work.stiffness.factorise(shift) && work.stiffness.factorise(2.0 * shift) {
            return Ok(());
        }
    }
    Err(StaticsError::OnlyUnstable {
        frame: crate::ids::FrameId(0),
        iterations: 0,
    })
}

/// By how much of its way a line may hang through to pull as little as is asked.
const MOST_LONGER: f64 = 0.25;

/// Gives the unloaded length at which a line pulls `tension_n` with everything at `state`, m.
///
/// EA and the weight of a metre stay what they are. Where so little pull takes more rope than a quarter of its way besides, it
/// is as long as that.
///
/// # Errors
///
/// As [`crate::solve`] for numbers that cannot be, and for a tension that is not positive.
pub fn unloaded_length_m(
    topology: &Topology,
    parameters: &Parameters,
    state: &State,
    line: LineId,
    tension_n: f64,
) -> Result<f64, StaticsError> {
    parameters.check(topology)?;
    state.check(topology)?;
    if !(tension_n > 0.0 && tension_n.is_finite()) {
        return Err(StaticsError::BadLine {
            line,
            quantity: Quantity::Tension,
            value: tension_n,
        });
    }
    let given = &parameters.lines[line.index()];
    let places = state.path_at_m(topology, parameters, line);
    let spans: Vec<Vector3<f64>> = places.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let segments: Vec<f64> = spans.iter().map(Vector3::norm).collect();
    let directions: Vec<_> = spans
        .iter()
        .map(|span| span.try_normalize(0.0).unwrap_or_default())
        .collect();
    let way_m: f64 = segments.iter().sum();
    let straight_m = way_m / (1.0 + tension_n / given.stiffness_n);
    let weight_n_per_m = given.weight_n / given.unloaded_length_m;
    let of_length = |unloaded_m: f64| ModelLine::of(given.stiffness_n, unloaded_m, weight_n_per_m);
    if !sag_matters(&of_length(straight_m), tension_n, &directions, &segments) {
        return Ok(straight_m);
    }
    let pull_n = |unloaded_m: f64| {
        let mut hung = Sagging::default();
        hung.measure(&of_length(unloaded_m), &places);
        hung.tension_n()
    };
    Ok(falls_to(pull_n, tension_n, straight_m, MOST_LONGER * way_m))
}

/// Finds where a falling function comes down to a value: from a place where it is above, by doubling steps up to the greatest,
/// and then by halves.
fn falls_to(function: impl Fn(f64) -> f64, value: f64, from: f64, most: f64) -> f64 {
    let mut above = 0.0;
    let mut below = 1e-6 * most;
    while function(from + below) > value {
        above = below;
        if below >= most {
            return from + most;
        }
        below = (4.0 * below).min(most);
    }
    for _ in 0..60 {
        let middle = 0.5 * (above + below);
        if function(from + middle) > value {
            above = middle;
        } else {
            below = middle;
        }
    }
    from + 0.5 * (above + below)
}
