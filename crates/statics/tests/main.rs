//! All checks of `statics`: published cases, hard cases, laws, agreement with other libraries.

// A check that cannot build its rig has failed.
#![allow(clippy::unwrap_used, clippy::panic)]

mod agreement;
mod agreement_of_structures;
mod changes;
mod hard_cases;
mod laws;
mod pipe_laws;
mod pipes;
mod published;
mod random_pipes;
mod random_rigs;
mod recount;
mod sensitivity;
mod sharing;
mod structures;
mod support;
mod unbalanced;
