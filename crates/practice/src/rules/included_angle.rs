//! Lines that spread too far from one another.
//!
//! Conventions: the subject is a point, a junction or a load; the widest angle between two lines on it, radians.
//! Assumes: the lines pull in the bow of a shackle or on a ring, not on a pin.
//! Valid for: points, junctions and picks with two lines or more.
//! Source: [bib:side-load]; 120 degrees leaves both legs at 30 degrees from the horizontal.
//! Checked by: the tests below, at the limit.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "included-angle",
    title: "The legs of a bridle include at most 120 degrees",
    statement: "Two lines that pull to the same side, up or down, on one shackle, ring or pick, or on one point, include an angle of at most 120 degrees.",
    sources: &[SourceRef::Cited(
        "side-load",
        "included angle in a bow shackle",
        Seen::Text,
    )],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// Legs solved at exactly 120 degrees may come out a little more.
const MOST_RAD: f64 = 120.0 * std::f64::consts::PI / 180.0 + 1e-6;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let points = judged
        .facts
        .points
        .iter()
        .map(|at| (format!("points.{}", at.name), &at.name, at.included_rad));
    let junctions = judged
        .facts
        .junctions
        .iter()
        .map(|at| (format!("junctions.{}", at.name), &at.name, at.included_rad));
    let picks = judged.facts.loads.iter().filter_map(|load| {
        let (pick, included) = load.included.as_ref()?;
        Some((format!("loads.{}", load.name), pick, Some(*included)))
    });
    let mut findings = Vec::new();
    for (subject, name, included) in picks.chain(junctions).chain(points) {
        if let Some(included) = included.filter(|included| *included > MOST_RAD) {
            let says = format!(
                "two lines at `{name}` include {}, more than 120 degrees",
                says::angle(included)
            );
            let mend = "Make the legs steeper, or take them to separate points.";
            findings.push(RULE.stop(subject, says, mend).sized(included));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_hundred_and_twenty_degrees_is_allowed_and_more_is_not() {
        for (degrees, expected) in [(60.0, 0), (120.0, 0), (120.1, 2)] {
            let mut facts = samples::rig();
            facts.points[0].included_rad = Some(f64::to_radians(degrees));
            facts.junctions = vec![samples::junction(Some(samples::link(2000.0, Some(5.0))))];
            facts.junctions[0].included_rad = Some(f64::to_radians(degrees));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{degrees}");
            facts = samples::rig();
            facts.loads[0].included = Some(("nw".into(), f64::to_radians(degrees)));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected / 2, "{degrees}");
        }
    }
}
