//! The program as a person runs it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that can not go on says so"
)]

mod books;
mod check;
mod corpora;
mod generated;
mod letgo;
mod mistakes;
mod prove;
mod questions;
mod readme;
mod spread;
mod support;
mod trim;
mod widths;
