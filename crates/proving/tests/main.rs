//! The statistics of breaking strengths against published values and an independent library; pull-test logs against what is known of them.

#![allow(clippy::unwrap_used, reason = "a test that can not be set up has failed")]

mod library;
mod logs;
#[path = "../examples/made_up_pulls.rs"]
mod made_up_pulls;
mod planning;
mod published;

/// The logs of the demo series are what the model makes of them.
#[test]
fn the_logs_of_the_demo_series_are_those_of_the_model() {
    let kept = [
        ("loop-a", include_str!("../../../examples/pulls/loop-a.csv")),
        ("loop-b", include_str!("../../../examples/pulls/loop-b.csv")),
        ("loop-c", include_str!("../../../examples/pulls/loop-c.csv")),
        ("screw-a", include_str!("../../../examples/pulls/screw-a.csv")),
        ("screw-b", include_str!("../../../examples/pulls/screw-b.csv")),
        ("screw-c", include_str!("../../../examples/pulls/screw-c.csv")),
    ];
    for (name, text) in kept {
        assert!(made_up_pulls::log(name).unwrap() == text, "{name}");
    }
}
