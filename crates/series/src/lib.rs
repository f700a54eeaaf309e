//! From pull-test logs, and what is known of the specimens besides, to what a series of tests supports.
//!
//! `log` says what one log shows; `warnings` what to mind about it.

mod log;
mod warnings;

pub use log::{
    EventAnswer, EventKind, HoldAnswer, Hum, LogAnswer, LogKnown, LogReading, PreloadAnswer, log_answer,
};
pub use warnings::{Warning, WarningCode};
