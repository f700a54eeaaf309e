//! A load that balances as drawn but would roll over.
//!
//! Conventions: the subject is a load; the pose is the one in the document, before it settles.
//! Assumes: the caller has held the rotations at trim, relaxed the rest and looked at the rotational stiffness.
//! Valid for: loads with a stated trim.
//! Source: statics.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "unstable-as-drawn",
    title: "The pose as drawn is stable",
    statement: "A load that balances where it is drawn but turns over at the first touch does not stay there.",
    sources: &[SourceRef::Plain("stability of equilibrium", Seen::Mechanics)],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let loads = judged.facts.loads.iter().filter(|load| load.unstable_as_drawn);
    loads
        .map(|load| {
            let says = format!(
                "`{}` balances as drawn, but would roll over at the first touch",
                load.name
            );
            let mend = "Put the picks above the centre of gravity, or spread them.";
            RULE.stop(format!("loads.{}", load.name), says, mend)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn an_unstable_pose_is_a_stop() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].unstable_as_drawn = true;
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
