//! The program as a person runs it.

mod books;
mod check;
mod corpora;
mod generated;
mod mistakes;
mod questions;
mod support;
mod widths;
