//! Named load cases, and stages of raising and striking: the same rig under something else, or not all of it yet.
//!
//! `document` says what a writer may state and `read` takes it from the text; `apply` makes of a rig and a case the rig
//! that is in it, with `wind` and `temperature` as two of the things that act; `variable` parts what the building gets
//! into what hangs and what comes and goes; `verdict` tells each case as plain data; `merge` lets the worst govern.

mod apply;
mod document;
mod merge;
mod read;
mod shape;
mod temperature;
mod variable;
mod verdict;
mod wind;

pub use document::{Acting, Case, CaseForce, CaseWeight, Face, Faced, Speed, Stage, Wind};
pub use verdict::{CaseBuiltIn, CaseForces, CaseKind, CaseLine, CaseOnBuilding, CaseVerdict};

pub(crate) use apply::{AsChanged, in_case, in_stage};
pub(crate) use merge::{CaseJudged, InCase, merged};
pub(crate) use read::{cases_and_stages, faces};
pub(crate) use shape::{CASE, FACE, STAGE};
pub(crate) use temperature::warmed;
pub(crate) use wind::Blown;
