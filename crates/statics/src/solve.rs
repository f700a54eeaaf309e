//! From guess to outcome.
//!
//! Order of questions: is there anything that nothing holds; would the drawn pose roll over; where do forces
//! balance with straight lines, and with those sagging for which it matters; is that balance stable (else leave it, downhill); may anything move freely.
//!
//! Conventions: see docs/theory/conventions.md.
//! Assumes: rigid bodies, pipes of straight pieces, elastic lines that carry tension only, frictionless sheaves.
//! Valid for: any topology; otherwise [`StaticsError`].
//! Source: see the modules that answer each question, and docs/theory/equilibrium.md.
//! Checked by: tests/published.rs, tests/laws.rs, tests/hard_cases.rs, tests/agreement.rs.

use crate::drawn_pose::{PUSH_RAD, rolls_over};
use crate::error::StaticsError;
use crate::ids::FrameId;
use crate::options::Options;
use crate::parameters::Parameters;
use crate::results;
use crate::search::{Found, leave_sag_out, let_sag, search, search_downhill, search_sagging};
use crate::solution::{Jam, Outcome, Solution};
use crate::stability::{Firmness, firmness, free_motions, most_moved};
use crate::state::State;
use crate::topology::{FrameKind, Topology};
use crate::workspace::Workspace;

/// Mixed Newton steps before the slower method takes over; trials on hard hangs settle in 8 to 12.
const QUICK_STEPS: u32 = 14;

/// Unstable balances that are left before giving up.
const MOST_LEFT: u32 = 8;

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
    if !workspace.fits(topology) {
        *workspace = Workspace::new(topology);
    }
    let work = workspace;
    work.iterations = 0;
    work.sag_left_out = false;
    work.max_iterations = options.max_iterations;
    work.stiffness.factorisations = 0;
    work.hold_rotations(topology, |_| false);
    work.model.prepare(topology, parameters, &solution.state);
    if let Some(unheld) = work.model.unheld(topology) {
        return Ok(Outcome::NothingHolds(unheld));
    }
    work.pose.take(topology, parameters, &solution.state);
    for other in [&mut work.other, &mut work.start, &mut work.straight] {
        other.forget_sagging();
    }
    let unstable_as_drawn = if options.judge_drawn_pose {
        rolls_over(topology, work)
    } else {
        Vec::new()
    };
    let mut found = search(topology, work, QUICK_STEPS);
    let mut unstable = 0;
    let loose = loop {
        match settle_firmly(topology, work, found, &mut unstable) {
            Ok(Settled::Firm { loose }) => break loose,
            Ok(Settled::Jams(jam)) => return Ok(Outcome::Jams(jam)),
            Err(_) if work.model.lines.iter().any(|line| line.sags) => {
                leave_sag_out(topology, work);
                found = Found::Balance;
            }
            Err(error) => return Err(error),
        }
    };
    results::write(topology, parameters, work, solution);
    solution.free_motions.clear();
    if loose && options.find_free_motions {
        solution.free_motions = free_motions(topology, work);
    }
    solution.sag_left_out = work.sag_left_out;
    solution.left_unstable = unstable > 0 || !unstable_as_drawn.is_empty();
    solution.unstable_as_drawn = unstable_as_drawn;
    solution.iterations = work.iterations;
    solution.factorisations = work.stiffness.factorisations;
    Ok(Outcome::Found(()))
}

/// Says how a balance was settled.
enum Settled {
    /// It holds; loose if some motion may meet no resistance.
    Firm { loose: bool },
    /// A line runs until it jams.
    Jams(Jam),
}

/// Lets lines sag for which it matters, and leaves unstable balances, until one holds.
fn settle_firmly(
    topology: &Topology,
    work: &mut Workspace,
    mut found: Found,
    unstable: &mut u32,
) -> Result<Settled, StaticsError> {
    loop {
        while found == Found::Balance && let_sag(topology, work) {
            found = search_sagging(topology, work);
        }
        if let Found::Jam(jam) = found {
            return Ok(Settled::Jams(jam));
        }
        if found == Found::Nothing && !all_but_balanced(topology, work) {
            return Err(not_converged(topology, work));
        }
        match firmness(topology, work) {
            Firmness::Falls(direction) => {
                *unstable += 1;
                if *unstable > MOST_LEFT {
                    let frame = most_moved(topology, &direction).unwrap_or(FrameId(0));
                    return Err(StaticsError::OnlyUnstable {
                        frame,
                        iterations: work.iterations,
                    });
                }
                leave(topology, work, &direction, *unstable);
                found = search_downhill(topology, work, QUICK_STEPS);
            }
            _ if found == Found::Nothing => return Err(not_converged(topology, work)),
            Firmness::Firm => return Ok(Settled::Firm { loose: false }),
            Firmness::Loose => return Ok(Settled::Firm { loose: true }),
        }
    }
}

/// Pushes the pose off an unstable balance: to one side, then to the other, each time further.
fn leave(topology: &Topology, work: &mut Workspace, direction: &[f64], time: u32) {
    let reach = topology
        .frames()
        .filter(|f| topology.kind(*f) != FrameKind::Fixed)
        .map(|f| {
            let at = 3 * topology.first_block(f);
            let part = &direction[at..at + topology.kind(f).freedoms()];
            part.iter().map(|x| x * x).sum::<f64>().sqrt() / work.model.size_m[f.index()]
        })
        .fold(0.0, f64::max);
    let largest = direction
        .iter()
        .fold(0.0_f64, |best, x| if x.abs() > best.abs() { *x } else { best });
    let side = if (largest < 0.0) == (time % 2 == 1) {
        -1.0
    } else {
        1.0
    };
    let factor = side * PUSH_RAD * f64::from(time) / reach.max(f64::MIN_POSITIVE);
    work.pose.move_by(topology, &work.model, direction, factor);
}

/// Whether a search that found no balance stopped next to one. Beside an unstable balance what is gained by
/// leaving it is lost in rounding, and a walk downhill stalls.
fn all_but_balanced(topology: &Topology, work: &mut Workspace) -> bool {
    work.true_gradient(topology);
    work.residual_n() <= 1e-6 * work.model.force_scale_n
}

fn not_converged(topology: &Topology, work: &mut Workspace) -> StaticsError {
    work.true_gradient(topology);
    let residual_n = work.residual_n();
    let frame = most_moved(topology, &work.gradient).unwrap_or(FrameId(0));
    let allowed_n = work.allowed_n(topology);
    StaticsError::NotConverged {
        frame,
        iterations: work.iterations,
        residual_n,
        allowed_n,
    }
}
