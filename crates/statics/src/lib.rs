//! Equilibrium of rigid loads, junctions and tension-only lines in three dimensions.
//!
//! A [`Topology`] says what is connected to what and never changes. [`Parameters`] hold every number: places,
//! weights, forces, lines. A [`State`] says where everything is. [`solve`] takes them, with a guess and a
//! reusable [`Workspace`], to an [`Outcome`]: a stable equilibrium with its tensions, or why there is none.
//! [`solve_again`] does the same after a change of parameters without allocating.
//!
//! SI units, z up, gravity along -z. Read beside `docs/theory/conventions.md` and
//! `docs/theory/equilibrium.md`.
//!
//! ```
//! use statics::{Options, Outcome, Parameters, State, TopologyBuilder, Vector3, Workspace, solve};
//!
//! let mut rig = TopologyBuilder::new();
//! let (point, ring) = (rig.fixed(), rig.junction());
//! let path = [rig.attachment(point), rig.attachment(ring)];
//! let line = rig.line(&path);
//! let topology = rig.build()?;
//!
//! let mut parameters = Parameters::blank(&topology);
//! parameters.weight_n[ring.index()] = 500.0;
//! parameters.lines[line.index()].stiffness_n = 1.0e6;
//! parameters.lines[line.index()].unloaded_length_m = 3.0;
//!
//! let mut guess = State::at_origin(&topology);
//! guess.position_m[ring.index()] = Vector3::new(0.1, 0.0, -2.9);
//! let mut workspace = Workspace::new(&topology);
//! if let Outcome::Found(found) = solve(&topology, &parameters, &guess, &Options::default(), &mut workspace)? {
//!     assert!((found.line(line).tension_n - 500.0).abs() < 1e-6);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod assemble;
mod beam;
mod catenary;
mod convex;
mod dense;
mod descent;
mod drawn_pose;
mod error;
mod ids;
mod model;
mod newton;
mod options;
mod parameters;
mod pattern;
mod pose;
mod results;
mod sagging;
mod search;
mod sensitivity;
mod sharing;
mod slip;
mod solution;
mod solve;
mod sparse;
mod stability;
mod state;
mod stiffness;
mod topology;
mod unbalanced;
mod workspace;

pub use beam::{BeamParameters, BeamResult};
pub use dense::Dense;
pub use error::{Quantity, StaticsError, TopologyError};
pub use ids::{AttachmentId, BeamId, FrameId, LineId};
pub use nalgebra::{UnitQuaternion, Vector3};
pub use options::Options;
pub use parameters::{AppliedForce, LineParameters, Parameters, Spring};
pub use sensitivity::{Change, Sensitivities, sensitivities};
pub use sharing::{Greatest, Sharing};
pub use slip::{Slips, slipping};
pub use solution::{FreeMotion, FreeMotionKind, Jam, LineResult, Outcome, Solution, Unheld};
pub use solve::{solve, solve_again};
pub use state::{State, highest_above_mean_m};
pub use topology::{FrameKind, Topology, TopologyBuilder};
pub use unbalanced::{Toward, toward_balance, unloaded_length_m};
pub use workspace::Workspace;
