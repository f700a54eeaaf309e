//! Pull-test logs as instruments write them.
//!
//! `text` makes bytes of any encoding readable; `dialect` finds what stands between columns and how `number`s and `clock`s are written;
//! `heading` reads names and `units`; `rows` reads the rest piece by piece; `read` puts it together as a [`Log`], and says how it was read.

mod clock;
mod dialect;
mod error;
mod heading;
mod number;
mod read;
mod rows;
mod text;
mod times;
mod units;

pub use error::LogError;
pub use read::{Asked, Log, Reading, read};
pub use times::Times;
pub use units::{Measure, Unit};
