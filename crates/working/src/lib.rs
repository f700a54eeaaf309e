//! Derivations: a number that knows how it came about.
//!
//! A [`Number`] is either given (with its source) or computed from other numbers by an [`Expression`]. The
//! expression is evaluated to get the value and printed to show the working, so what is shown is what was
//! computed. Every number in a verdict is one of these, down to the catalogue figures.

mod bibliography;
mod expression;
mod number;
mod print;
mod record;
mod source;

pub use bibliography::{Entry, bibliography};
pub use expression::{Expression, greatest, least, ln, sqrt, sum};
pub use number::Number;
pub use print::{explain, line};
pub use record::Record;
pub use source::{Seen, Source};
