//! One file for each verb: its arguments and how it answers.

pub mod check;
pub mod completions;
pub mod explain;
pub mod letgo;
pub mod line;
pub mod man;
pub mod new;
pub mod parts;
pub mod prove;
pub mod reference;
pub mod rules;
pub mod schema;
pub mod spread;
pub mod trim;

mod run;

pub use run::run;
