//! Loads that roll over when they are disturbed.
//!
//! Conventions: the subject is a load; a push is a share of all that bears down on it, sideways at the centre of that; a
//! tilt is the change of elevation of a known place seen from the centre of gravity.
//! Assumes: people bump into loads, doors make draughts, drawings miss centres of gravity.
//! Valid for: loads that hang; one that rolls over by itself is stopped by rules of their own.
//! Source: statics for the tilt; our judgement on the disturbances and the limit.
//! Checked by: the tests below, at the limits; tests/main/lets_go.rs of `rig` for the tilt.

use crate::facts::{Disturbance, Disturbed, LoadFacts};
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::far_from_trim::TILTED_RAD;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "top-heavy",
    title: "A load does not roll over when it is disturbed",
    statement: "A push sideways of a tenth of all that bears down on a load, at the centre of that, rolls no load over; one \
                that does is a stop, and a push of a quarter of it that does is a caution. So is an error in its centre \
                of gravity of a hundredth of its size (5 mm at least) that rolls it over: nothing keeps it as drawn. What \
                rolls over has a known place whose elevation, seen from its centre of gravity, changes by more than 30 \
                degrees; a pipe that rolls about its own axis has none. Loads that hang well below all that holds them are not tried.",
    sources: &[
        SourceRef::Plain("equilibrium with the disturbance", Seen::Mechanics),
        SourceRef::Plain("disturbances and limit", Seen::Judgement),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// The pushes that are tried, as shares of what bears down on a load: one that is a stop, one that is a caution.
pub const PUSHES: [f64; 2] = [0.1, 0.25];

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged.facts.loads.iter().filter_map(judge_load).collect()
}

/// Says by what a load is rolled over, the least push first; none if by nothing that is tried.
pub(crate) fn rolled_by(disturbances: &[Disturbance]) -> Option<Disturbed> {
    let rolls = |disturbance: &&Disturbance| {
        let stays = disturbance.tilts_rad <= TILTED_RAD;
        !stays
    };
    let size = |by: &Disturbed| match by {
        Disturbed::Push { share } => *share,
        // Between the two pushes: a caution as well, and the better word for what hardly needs a push.
        Disturbed::Shift => f64::midpoint(PUSHES[0], PUSHES[1]),
    };
    let rolled = disturbances
        .iter()
        .filter(rolls)
        .map(|disturbance| disturbance.by);
    rolled.min_by(|a, b| size(a).total_cmp(&size(b)))
}

/// Says what rolls a load over, as in `a push of 10 % of what bears down on it`.
pub(crate) fn in_words(by: Disturbed) -> String {
    match by {
        Disturbed::Push { share } => format!("a push of {:.0} % of what bears down on it", 100.0 * share),
        Disturbed::Shift => "an error of a hundredth of its size in its centre of gravity".into(),
    }
}

fn judge_load(load: &LoadFacts) -> Option<Finding> {
    let by = rolled_by(&load.disturbances)?;
    let subject = format!("loads.{}", load.name);
    let says = format!("{} rolls `{}` over", in_words(by), load.name);
    let mend = "Put the picks above the centre of gravity, or spread them; write where the centre is.";
    Some(match by {
        Disturbed::Push { share } if share <= PUSHES[0] => RULE.stop(subject, says, mend),
        _ => RULE.caution(subject, says, mend),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn the_least_disturbance_that_rolls_it_over_counts() {
        let severity = |tilts_rad: [f64; 3]| {
            let mut facts = samples::rig();
            let [small, large] = PUSHES.map(|share| Disturbed::Push { share });
            let each = [small, large, Disturbed::Shift].into_iter().zip(tilts_rad);
            facts.loads[0].disturbances = each
                .map(|(by, tilts_rad)| Disturbance { by, tilts_rad })
                .collect();
            samples::severities(RULE.id, &facts)
        };
        assert!(severity([0.5, 0.5, 0.5]).is_empty());
        assert_eq!(severity([0.1, 0.53, 0.0]), ["caution"]);
        assert_eq!(severity([0.1, 0.2, 0.53]), ["caution"]);
        assert_eq!(severity([0.53, 0.53, 0.53]), ["stop"]);
        assert_eq!(severity([f64::INFINITY, 0.0, 0.0]), ["stop"]);
        assert_eq!(severity([f64::NAN, 0.0, 0.0]), ["stop"]);
        assert!(samples::found(RULE.id, &samples::rig()).is_empty());
    }
}
