//! From pull-test logs, and what is known of the specimens besides, to what a series of tests supports.
//!
//! `log` says what one log shows and `warnings` what to mind about it. `document` is a series as it is written, `shape` what it may hold;
//! `specimen` says what one did, `kind` what those of one kind support, `compare` holds two kinds against each other, and `series` puts it
//! together; `plan` says what one that is still to be pulled asks for; `answer` is what comes out.

mod answer;
mod compare;
mod document;
mod doubts;
mod kind;
mod log;
mod plan;
mod series;
mod shape;
mod specimen;
mod twins;
mod warnings;

pub use answer::{
    ClaimAnswer, Comparison, Efficiency, Furthest, KindAnswer, LimitAnswer, ModeAnswer, SeriesAnswer,
    SpecimenAnswer, SummaryAnswer, Supported, WeibullAnswer,
};
pub use document::{Cell, Expects, Kind, Machine, Series, Specimen, read_series};
pub use log::{HoldAnswer, Hum, LogAnswer, LogKnown, log_answer};
pub use plan::{KindPlan, Need, Pin, PlanRow, Stored, TestPlan, plan};
pub use proving::log::Reading as LogReading;
pub use proving::specimen::{Event as EventAnswer, Kind as EventKind, Preload as PreloadAnswer};
pub use series::{Open, Proved, prove};
pub use shape::{SEEN, SERIES};
pub use warnings::{Warning, WarningCode};
