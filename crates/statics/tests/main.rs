//! All checks of `statics`: published cases, hard cases, laws, agreement with other libraries.

mod agreement;
mod hard_cases;
mod laws;
mod published;
mod random_rigs;
mod support;
