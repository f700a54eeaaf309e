//! Loads that roll over at a push.
//!
//! Conventions: the subject is a load; a push is a share of its weight, sideways at its centre of gravity; radians.
//! Assumes: people bump into loads, doors make draughts, drawings miss centres of gravity.
//! Valid for: loads that hang; one that rolls over by itself is stopped by rules of their own.
//! Source: statics for the tilt; our judgement on the pushes and the limit.
//! Checked by: the tests below, at the limits; tests/main/lets_go.rs of `rig` for the tilt.

use crate::facts::{LoadFacts, Push};
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::far_from_trim::TILTED_RAD;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "top-heavy",
    title: "A load does not roll over at a push",
    statement: "A push sideways of a tenth of its weight, at its centre of gravity, tilts no load by more than 30 degrees; \
                one that does is a stop, and a push of a quarter of it that does is a caution. Loads whose centre of \
                gravity hangs below all that holds them come back by themselves and are not tried.",
    sources: &[
        SourceRef::Plain("equilibrium with the push", Seen::Mechanics),
        SourceRef::Plain("pushes and limit", Seen::Judgement),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// The pushes that are tried, as shares of the weight: one that is a stop, one that is a caution.
pub const PUSHES: [f64; 2] = [0.1, 0.25];

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged.facts.loads.iter().filter_map(judge_load).collect()
}

fn judge_load(load: &LoadFacts) -> Option<Finding> {
    let rolls = |push: &&Push| {
        let near = push.tilts_rad <= TILTED_RAD;
        !near
    };
    let least = load
        .pushes
        .iter()
        .filter(rolls)
        .min_by(|a, b| a.share.total_cmp(&b.share))?;
    let subject = format!("loads.{}", load.name);
    let says = format!(
        "a push of {:.0} % of its weight rolls `{}` over: its centre of gravity stands above what holds it",
        100.0 * least.share,
        load.name
    );
    let mend = "Put the picks above the centre of gravity, or spread them.";
    Some(if least.share <= PUSHES[0] {
        RULE.stop(subject, says, mend)
    } else {
        RULE.caution(subject, says, mend)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn the_least_push_that_rolls_it_over_counts() {
        let severity = |tilts_deg: [f64; 2]| {
            let mut facts = samples::rig();
            let pushes = PUSHES.iter().zip(tilts_deg);
            facts.loads[0].pushes = pushes
                .map(|(share, tilts)| Push {
                    share: *share,
                    tilts_rad: tilts.to_radians(),
                })
                .collect();
            samples::severities(RULE.id, &facts)
        };
        assert!(severity([29.9, 29.9]).is_empty());
        assert_eq!(severity([5.0, 30.1]), ["caution"]);
        assert_eq!(severity([30.1, 30.1]), ["stop"]);
        assert_eq!(severity([f64::INFINITY, 0.0]), ["stop"]);
        assert_eq!(severity([f64::NAN, 0.0]), ["stop"]);
        assert!(samples::found(RULE.id, &samples::rig()).is_empty());
    }
}
