//! The statistics of breaking strengths against published values and an independent library; pull-test logs against what is known of them.

#![allow(clippy::unwrap_used, reason = "a test that can not be set up has failed")]

mod library;
mod logs;
mod published;
