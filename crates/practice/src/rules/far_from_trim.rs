//! A load that hangs far from where it is meant to.
//!
//! Conventions: the subject is a load; metres and radians from its trim to where it ends.
//! Assumes: the trim is where a person wants it.
//! Valid for: loads that hang.
//! Source: our judgement on both limits.
//! Checked by: the tests below, at both limits.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "far-from-trim",
    title: "A load hangs near its trim",
    statement: "A load that ends more than 0.5 m (20 in) or 30 degrees from its trim hangs otherwise than meant.",
    sources: &[SourceRef::Plain(
        "limits chosen so that no plain slip in a length goes unseen",
        Seen::Judgement,
    )],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

const MOVED_M: f64 = 0.5;
const TURNED_RAD: f64 = std::f64::consts::PI / 6.0;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for load in judged.facts.loads.iter().filter(|load| load.falls.is_none()) {
        let moved = load.moved_m.filter(|moved| *moved > MOVED_M).map(says::metres);
        let turned = load
            .turned_rad
            .filter(|turned| *turned > TURNED_RAD)
            .map(says::angle);
        let how: Vec<String> = moved
            .into_iter()
            .chain(turned.map(|turned| format!("turned by {turned}")))
            .collect();
        if !how.is_empty() {
            let says = format!("`{}` ends {} from its trim", load.name, how.join(" and "));
            let mend = "Look at the drawn pose; correct the lengths, the picks or the trim.";
            findings.push(RULE.caution(format!("loads.{}", load.name), says, mend));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn found(moved_m: f64, turned_deg: f64) -> usize {
        let mut facts = samples::rig();
        facts.loads[0].moved_m = Some(moved_m);
        facts.loads[0].turned_rad = Some(turned_deg.to_radians());
        samples::found(RULE.id, &facts).len()
    }

    #[test]
    fn the_limits_are_half_a_metre_and_thirty_degrees() {
        assert_eq!(found(0.5, 29.99), 0);
        assert_eq!(found(0.501, 0.0), 1);
        assert_eq!(found(0.0, 30.1), 1);
        assert_eq!(found(0.6, 40.0), 1);
    }
}
