//! What lines are joined by.
//!
//! Conventions: the subject is a junction or a point; lines that run over it pull on it twice.
//! Assumes: a quick link is rated for two pulls in line; shackles and rings take the legs of a bridle in their bow.
//! Valid for: junctions with three pulls or more, and points with lines to several sides.
//! Source: common practice.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rating::IN_LINE_RAD;
use crate::rule::{COMMON_PRACTICE, Judged, Rule};
use parts::Body;

pub(crate) static RULE: Rule = Rule {
    id: "junction-part",
    title: "Three lines meet in a part that is made for it",
    statement: "A quick link is rated for two pulls in line. Where three lines or more meet in one, its rating does not \
                speak of it; a shackle or a ring is made for that.",
    sources: &[COMMON_PRACTICE],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let junctions = judged.facts.junctions.iter().filter(|at| at.pulls > 2);
    let at_junctions = junctions.filter_map(|at| {
        let part = at.part.as_deref()?;
        let Body::Link(link) = &part.body else { return None };
        (link.form == "quick link").then(|| {
            let says = format!(
                "{} lines pull on `{}` at `{}`, which is rated for two pulls in line",
                at.pulls, part.id, at.name
            );
            let mend = "Join them by a shackle or a ring, or by what its maker allows for this.";
            RULE.caution(format!("junctions.{}", at.name), says, mend)
        })
    });
    let points = judged
        .facts
        .points
        .iter()
        .filter(|at| at.included_rad.is_some_and(|angle| angle > IN_LINE_RAD));
    let at_points = points.filter_map(|at| {
        let part = at.part.as_deref()?;
        let Body::Link(link) = &part.body else { return None };
        (link.form == "quick link").then(|| {
            let says = format!(
                "lines pull to several sides on `{}` at `{}`, which is rated for two pulls in line",
                part.id, at.name
            );
            let mend = "Join them by a shackle or a ring, or by what its maker allows for this.";
            RULE.caution(format!("points.{}", at.name), says, mend)
        })
    });
    at_junctions.chain(at_points).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn three_lines_on_a_quick_link_are_a_caution_and_on_a_ring_not() {
        for (form, pulls, expected) in [("quick link", 3, 1), ("quick link", 2, 0), ("ring", 3, 0)] {
            let mut facts = samples::rig();
            let mut link = samples::link(2000.0, Some(5.0));
            if let Body::Link(body) = &mut link.body {
                body.form = form.into();
            }
            facts.junctions = vec![samples::junction(Some(link))];
            facts.junctions[0].pulls = pulls;
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{form} {pulls}");
        }
    }

    #[test]
    fn two_lines_from_a_quick_link_at_a_point_are_a_caution() {
        let mut facts = samples::rig();
        let mut link = samples::link(2000.0, Some(5.0));
        if let Body::Link(body) = &mut link.body {
            body.form = "quick link".into();
        }
        facts.points[0].part = Some(std::sync::Arc::new(link));
        for (included_deg, expected) in [(None, 0), (Some(4.0), 0), (Some(28.0), 1)] {
            facts.points[0].included_rad = included_deg.map(f64::to_radians);
            assert_eq!(
                samples::found(RULE.id, &facts).len(),
                expected,
                "{included_deg:?}"
            );
        }
    }
}
