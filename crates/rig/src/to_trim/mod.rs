//! The unloaded lengths that put everything that hangs where it is wanted.
//!
//! `lengths` finds them for the lines of a rig document that are to trim; `search` is the search, which helps to set a rig right
//! too; `aim` says what is wanted, `programme` finds the best changes of length, and `stride` goes there.

mod aim;
mod lengths;
mod programme;
mod search;
mod stride;

pub(crate) use aim::Aim;
pub(crate) use lengths::{Trimmed, to_trim};
pub(crate) use programme::Programme;
pub(crate) use search::{ROUNDS, Round, Search, least_of_n};
