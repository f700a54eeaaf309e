//! How a rig is set right: what one unit of adjustment does, what a rig weighs by what is read on it, and which steps bring
//! it where it is wanted.
//!
//! `adjuster` says how each line can be adjusted; `reweighed` puts other weights on a model; `bench` solves the rig with other
//! lengths and weights; `effects` is the table of what one unit does. `readings` is the document of what was read; `unknowns`
//! says what it is to tell, `pulls` where the search begins, `estimate` fits the rig to it, `uncertainty` says how far off that
//! may be, and `contradiction` which readings do not agree; `from_readings` tells all that. `as_wanted` finds the lengths that
//! would do, `integers` the fewest whole steps, `plan` what they are to reach, `order` in which order they are made and `steps`
//! what each does; `set_right` tells that. `now` is the rig in one state, `answer` the answer, and `trim` the whole way.

mod adjuster;
mod answer;
mod as_wanted;
mod bench;
mod contradiction;
mod effects;
mod estimate;
mod from_readings;
mod integers;
mod now;
mod order;
mod plan;
mod pulls;
mod readings;
mod reweighed;
mod set_right;
mod steps;
mod trim;
mod uncertainty;
mod unknowns;

pub use answer::{
    AdjusterAnswer, Among, EffectAnswer, EstimateAnswer, Figure, HoldsMeanwhile, LineEffect, LineNow,
    LoadEffect, LoadNow, PickNow, PlanAnswer, ReadingAnswer, Remark, RigNow, StepAnswer, TrimAnswer,
    WeightAnswer,
};
pub use readings::{READINGS, Readings, read_readings};
pub use trim::{Goal, TrimError, trim};

pub(crate) use reweighed::Reweighed;
