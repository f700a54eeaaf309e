//! Pull-test logs as instruments write them.
//!
//! `text` makes bytes of any encoding readable; `dialect` finds what stands between columns and how `number`s and `clock`s are written;
//! `heading` reads names and `units`, and `columns` says which column is what; `rows` reads the rest piece by piece, and `quick` what is plain of it; `gathered` puts rows in
//! order and says what was mended; `read` makes a [`Log`] of all of it.

mod clock;
mod columns;
mod dialect;
mod error;
mod gathered;
mod heading;
mod number;
mod quick;
mod read;
mod rows;
mod text;
mod times;
mod units;

pub use error::LogError;
pub use read::{Asked, Log, Reading, read};
pub use times::Times;
pub use units::{Measure, Unit};
