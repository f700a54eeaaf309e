//! What must hold for any rig.

use crate::{assert_near, verdict};
use parts::Book;
use practice::Practices;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};

const FLOCK: &str = include_str!("../../../../examples/flock.toml");

/// New names in the same order change no number.
#[test]
fn renaming_changes_nothing() {
    let renamed = FLOCK
        .replace("northwest", "aaa")
        .replace("flock", "zzz")
        .replace("ring", "knot");
    let (before, after) = (verdict(FLOCK), verdict(&renamed));
    for ((_, a), (_, b)) in before.lines.iter().zip(&after.lines) {
        assert_eq!(
            (a.tension_n, a.worst_share_n, a.working_load_n),
            (b.tension_n, b.worst_share_n, b.working_load_n)
        );
    }
}

/// Turning the building by half a turn about the vertical turns the forces with it.
#[test]
fn half_a_turn_of_everything_turns_the_forces() {
    let turned = FLOCK
        .replace("at     = [\"-5 ft\", \"3 ft\"", "at     = [\"5 ft\", \"-3 ft\"")
        .replace("at     = [\"5 ft\", \"3 ft\"", "at     = [\"-5 ft\", \"-3 ft\"")
        .replace("at     = [\"0 ft\", \"-3 ft\"", "at     = [\"0 ft\", \"3 ft\"")
        .replace("near   = [\"0 ft\", \"-3 ft\"", "near   = [\"0 ft\", \"3 ft\"")
        .replace("heading = \"0 deg\"", "heading = \"180 deg\"");
    assert_ne!(turned, FLOCK);
    let (before, after) = (verdict(FLOCK), verdict(&turned));
    for (name, line) in &before.lines {
        assert_near(
            after.lines[name].tension_n.unwrap(),
            line.tension_n.unwrap(),
            1e-6,
            name,
        );
    }
}

/// A margin on the weight raises every demand in proportion, rope weight aside.
#[test]
fn demand_grows_with_the_weight() {
    let heavier = FLOCK.replace("margin      = \"5 %\"", "margin      = \"50 %\"");
    let (before, after) = (verdict(FLOCK), verdict(&heavier));
    for (name, line) in &before.lines {
        assert!(after.lines[name].demand_n > line.demand_n, "{name}");
        assert_eq!(after.lines[name].working_load_n, line.working_load_n, "{name}");
    }
}

proptest! {
    #![proptest_config(Config { rng_seed: RngSeed::Fixed(40), failure_persistence: None, cases: 400, ..Config::default() })]

    /// A rig file with pieces of it cut out, doubled or swapped is answered, and never with a panic.
    #[test]
    fn a_damaged_rig_file_is_answered(cuts in prop::collection::vec((0usize..FLOCK.len(), 0usize..40, any::<bool>()), 1..4)) {
        let mut text = FLOCK.to_string();
        for (at, length, double) in cuts {
            let start = (0..=at.min(text.len())).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0);
            let end = (start + length).min(text.len());
            let end = (end..=text.len()).find(|i| text.is_char_boundary(*i)).unwrap_or(text.len());
            let piece = text[start..end].to_string();
            text.replace_range(start..end, if double { piece.repeat(2) } else { String::new() }.as_str());
        }
        let answer = rig::check(&text, Book::published(), Practices::published(), None);
        prop_assert!(matches!(answer, Ok(_) | Err(rig::CheckError::Document(_))), "{answer:?}");
    }
}

/// A load under one plumb line with a slack line beside its middle settles where it was drawn, whatever the search takes it for; the same
/// with its weight above its pick, as a pencil on its point, does not.
#[test]
fn what_settles_where_it_was_drawn_is_not_unstable_as_drawn() {
    let rig = |centre: &str| {
        format!(
            "title = \"ball\"\npractice = \"static-overhead\"\n[points.p]\nat = [\"0 ft\", \"0 ft\", \"20 ft\"]\n[points.s]\nat = [\"0.05 ft\", \"0 ft\", \"20 ft\"]\n\
             [loads.a]\nweight = \"60 lb\"\nweight_from = \"weighed\"\nmargin = \"0 %\"\ncentre = [\"0 ft\", \"0 ft\", \"{centre}\"]\n\
             picks = {{ t = [\"0 ft\", \"0 ft\", \"0 ft\"], s = [\"0.05 ft\", \"0 ft\", \"0 ft\"] }}\ntrim = {{ at = [\"0 ft\", \"0 ft\", \"10 ft\"] }}\n\
             under = \"nobody\"\nservice = \"still\"\n\
             [lines.main]\nfrom = \"p\"\nto = \"a.t\"\nlength = \"10 ft\"\nmakeup = \"m\"\n\
             [lines.sec]\nfrom = \"s\"\nto = \"a.s\"\nlength = \"10 ft 1/4 in\"\nmakeup = \"h\"\nrole = \"secondary\"\n\
             [makeups.m]\nparts = [\"eye-sleeve-3/16\", \"rope-7x19-galv-3/16\", \"eye-sleeve-3/16\"]\n\
             [makeups.h]\nparts = [\"eye-sleeve-3/8\", \"rope-7x19-galv-3/8\", \"eye-sleeve-3/8\"]\n"
        )
    };
    let found = |centre: &str| {
        let verdict = crate::verdict(&rig(centre));
        let told = verdict
            .findings
            .iter()
            .filter(|finding| finding.rule == "unstable-as-drawn");
        (told.count(), verdict.equilibrium.unstable_as_drawn.len())
    };
    assert_eq!(found("-1 ft"), (0, 0));
    assert_eq!(found("1 ft"), (1, 1));
}
