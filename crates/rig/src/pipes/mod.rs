//! Pipes: loads that bend. Battens, pipes and trusses, given by a section of the parts book or by their stiffness.
//!
//! A pipe is a load of the rig like any other (it has weight, picks and a trim), and so every rule on loads holds for it.
//! `document` says what a writer states besides and `read` takes it from the text; `chain` makes of it a chain of bodies
//! and beams, with the `figures` of its section; `bent` says what goes on within it, `snatched` what does as
//! something lets go; `verdict` tells that as plain data.

mod bent;
mod chain;
mod document;
mod ends;
mod figures;
mod giving;
mod read;
mod shape;
mod snatched;
mod verdict;

pub use verdict::{AlongVerdict, BayVerdict, BuiltInVerdict, PipePickVerdict, PipeVerdict};

pub use document::{BendingAllowed, Carried, Given, Pipe, PipePick, Splice, Spread};

pub(crate) use chain::Chain;
pub(crate) use ends::{ENDS, on_building};
pub(crate) use figures::{figures, own_weight_n};
pub(crate) use giving::giving_ends;
pub(crate) use read::{not_on_pipe, off_pipe, pipe};
pub(crate) use shape::PIPE;
pub(crate) use snatched::{Snatch, Snatched, snatch, strands};
pub(crate) use verdict::{deepest, numbers, pipe_verdict};
