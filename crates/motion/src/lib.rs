//! What happens in time when something lets go: rigid loads with inertia on lines that only pull.
//!
//! A [`Scene`] is a rig in the words of `statics`, with what let go taken out of it and where everything was at rest before. [`follow`]
//! takes it through time: lines go slack and come taut, loads swing, parts that get too much part. [`follow_proved`] repeats the run at a
//! tenth of its tolerance and refuses where energy or peaks disagree.
//!
//! SI units, z up. Read beside `docs/theory/motion.md`.

mod bending;
mod bounce;
mod changes;
mod course;
mod dop853;
mod error;
mod flexible;
mod follow;
mod junctions;
mod masses;
mod model;
mod moment;
mod run;
mod signals;
mod tableau;

pub use bending::Bent;
pub use bounce::{bounce_rad_per_s, damping_n_s_per_m};
pub use course::{Sample, Swept, Travel};
pub use error::MotionError;
pub use flexible::{Flexible, flexible};
pub use follow::{
    Bounds, Motion, OnBuilding, Options, Proof, Pull, Scene, Weakness, follow, follow_proved, loose_junctions,
};
pub use masses::{GRAVITY_M_PER_S2, Masses};
pub use signals::Peak;
