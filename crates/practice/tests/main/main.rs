//! Tests of the rules as a whole: published examples, laws, practice documents, and the manual.

#![allow(clippy::unwrap_used, reason = "a test that can not be set up has failed")]

// The samples speak of `crate`; here that is what the crate gives to everybody.
use practice::{
    Allowance, Along, BayFacts, EndAt, Facts, Finding, GripTrial, GroupFacts, JunctionFacts, LineFacts,
    LoadFacts, PickFacts, PipeFacts, PointFacts, Practices, Remains, Role, Service, ShopAllowance,
    SpliceFacts, ThrustFacts, Trial, Under, WeightFrom, judge, judge_makeup,
};

mod documents;
mod laws;
mod manual;
mod published;
#[allow(dead_code, reason = "the tests beside the rules use the rest")]
#[path = "../../src/samples.rs"]
mod samples;
mod trade;
