//! Rules, design factors and working loads.
//!
//! Takes plain [`Facts`] about a rig (what hangs, on which parts, with which forces) and a [`Practice`], and gives
//! the working load and the demand of every line and a list of [`Finding`]s. Each rule is one file in `rules/`.

mod facts;
mod finding;

pub use facts::{
    Allowance, Bend, EndAt, Facts, GripTrial, GroupFacts, JunctionFacts, LineFacts, LoadFacts, PointFacts, Role,
    Service, ShopAllowance, Trial, Under, WeightFrom,
};
pub use finding::{Finding, Severity};
