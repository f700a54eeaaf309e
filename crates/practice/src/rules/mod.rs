//! One rule, one file; the order of [`ALL`] is that of findings on one subject and of the manual.

use crate::rule::Rule;

pub(crate) mod allowance;
mod assumed_length;
mod bends;
pub(crate) mod caught;
mod clips;
mod coated_rope;
mod eye_bolt_in_line;
mod eyes;
pub(crate) mod far_from_trim;
mod floor;
mod forces_away;
mod free_motion;
mod from_memory;
mod grip_document;
mod grip_on_the_way;
pub(crate) mod grip_remaining;
mod grip_reminders;
mod grip_service;
pub(crate) mod grip_sole_support;
mod grip_tail;
mod included_angle;
mod junction_part;
mod line_angle;
mod makeup_ends;
mod moving_load;
mod nothing_holds;
mod open_hooks;
mod out_of_trim;
mod people_suspended;
mod pipe_built_in;
mod pipe_deflection;
pub(crate) mod pipe_moment;
mod pipe_panel_points;
mod pipe_pick_lifts;
mod pipe_pull;
mod pipe_reminders;
pub(crate) mod pipe_shear;
pub(crate) mod pipe_splice;
mod pipe_thrust;
pub(crate) mod pipe_twist;
pub(crate) mod pipe_unrated;
mod practice_in_force;
mod public_below;
mod pull_angle;
pub(crate) mod pull_tests;
mod rope_accepted;
mod screws_secured;
mod secondary;
mod set_by_adjustment;
mod sharing;
mod simplified;
mod slack;
mod spans;
pub(crate) mod start_stop;
mod temperature;
pub(crate) mod top_heavy;
mod unrated;
mod unstable_as_drawn;
mod unusual_parts;
mod weight_source;
mod who_is_below;
mod wind;
pub(crate) mod working_load;

/// Every rule: what is in scope, whether it hangs, what it may carry, how it is made up, what it hangs from, and
/// what a reader must know besides.
pub(crate) static ALL: [&Rule; 63] = [
    &people_suspended::RULE,
    &practice_in_force::RULE,
    &who_is_below::RULE,
    &moving_load::RULE,
    &start_stop::RULE,
    &weight_source::RULE,
    &nothing_holds::RULE,
    &simplified::RULE,
    &unstable_as_drawn::RULE,
    &top_heavy::RULE,
    &far_from_trim::RULE,
    &out_of_trim::RULE,
    &forces_away::RULE,
    &floor::RULE,
    &free_motion::RULE,
    &sharing::RULE,
    &set_by_adjustment::RULE,
    &working_load::RULE,
    &unrated::RULE,
    &public_below::RULE,
    &pipe_moment::RULE,
    &pipe_shear::RULE,
    &pipe_twist::RULE,
    &pipe_thrust::RULE,
    &pipe_pull::RULE,
    &pipe_unrated::RULE,
    &pipe_splice::RULE,
    &pipe_built_in::RULE,
    &temperature::RULE,
    &pipe_pick_lifts::RULE,
    &pipe_panel_points::RULE,
    &pipe_deflection::RULE,
    &slack::RULE,
    &secondary::RULE,
    &caught::RULE,
    &spans::RULE,
    &line_angle::RULE,
    &included_angle::RULE,
    &junction_part::RULE,
    &makeup_ends::RULE,
    &rope_accepted::RULE,
    &open_hooks::RULE,
    &clips::RULE,
    &eyes::RULE,
    &bends::RULE,
    &coated_rope::RULE,
    &grip_document::RULE,
    &grip_service::RULE,
    &grip_sole_support::RULE,
    &grip_remaining::RULE,
    &grip_on_the_way::RULE,
    &grip_tail::RULE,
    &grip_reminders::RULE,
    &pull_tests::RULE,
    &pull_angle::RULE,
    &eye_bolt_in_line::RULE,
    &allowance::RULE,
    &wind::RULE,
    &from_memory::RULE,
    &unusual_parts::RULE,
    &assumed_length::RULE,
    &screws_secured::RULE,
    &pipe_reminders::RULE,
];
