//! Rules, design factors and working loads.
//!
//! Takes plain [`Facts`] about a rig (what hangs, on which parts, with which forces) and a [`Practice`], and gives
//! the working load and the demand of every line and a list of [`Finding`]s. Each rule is one file in `rules/`.
//!
//! Data flows one way: `read` turns practice documents into [`Practice`]s; `working_load` turns a makeup and a
//! practice into what each part may carry; `demand` turns forces into what it is held against; `bending` does both for pipes; `judge` shows both
//! to every rule and sorts the findings; `manual` writes the rules down for people.

mod acceptance;
mod bending;
mod cautions;
mod demand;
mod facts;
mod finding;
mod governing;
mod judge;
mod judgement;
mod manual;
mod measure;
mod peaks;
mod pipes_past;
mod practice;
mod practices;
mod pull;
mod rating;
mod read;
mod remains;
mod rule;
mod rules;
#[cfg(test)]
mod samples;
mod says;
mod thrust;
mod utilisation;
mod working_load;

pub use bending::judge_pipe;
pub use cautions::cautions;
pub use facts::{
    Allowance, Along, BayFacts, Bend, BuiltInFacts, CarriedFacts, Catch, Disturbance, Disturbed, EndAt,
    Facts, ForceAway, GripTrial, GroupFacts, JunctionFacts, LineFacts, LoadFacts, OnTheWay, PeakFacts,
    PeakOf, PickFacts, PipeFacts, PointFacts, Remains, Role, Service, ShopAllowance, Slip, SpliceFacts,
    ThrustFacts, Trial, Under, WeightFrom, WindFacts,
};
pub use finding::{Finding, Severity};
pub use governing::{Governing, JudgedCase, governing};
pub use judge::{judge, judge_makeup};
pub use judgement::{
    BayJudgement, BuiltInJudgement, GroupJudgement, Held, Judgement, JunctionJudgement, LineJudgement,
    LineLoad, Measured, PartLoad, PickJudgement, PipeJudgement, PointJudgement, SpliceJudgement, Unrated,
};
pub use manual::manual;
pub use peaks::{share_at_peak, share_of_direction};
pub use practice::{DynamicFactor, Factors, Practice, Sharing, ShopPractice};
pub use practices::Practices;
pub use read::SHAPE;
pub use rule::{Rule, SourceRef, rules};
pub use rules::caught::by_energy as caught_by_energy;
pub use rules::pull_tests::of as judge_evidence;
pub use rules::start_stop::factor as start_stop_factor;
pub use rules::top_heavy::PUSHES;
pub use says::share as share_in_words;
pub use working_load::working_load;
