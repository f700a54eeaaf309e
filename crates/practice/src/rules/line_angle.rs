//! Flat lines.
//!
//! Conventions: the subject is a line; its least angle from the horizontal, radians.
//! Assumes: a flat line's tension grows fast with small errors of place and length.
//! Valid for: lines that carry; lines that tie down or are slack may run as they like.
//! Source: common practice; the load tables that were read end at 30 degrees ([bib:crane-plan]).
//! Checked by: the tests below, at the limit.

use crate::facts::Role;
use crate::finding::{Finding, Severity};
use crate::rule::{COMMON_PRACTICE, Judged, Rule};
use crate::says;

pub(crate) static RULE: Rule = Rule {
    id: "line-angle",
    title: "Lines that carry are not flatter than 30 degrees",
    statement: "A line that carries is rigged at 30 degrees or more from the horizontal (60 or less from the vertical).",
    sources: &[COMMON_PRACTICE],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

/// A line solved at exactly 30 degrees may come out a little less.
const LEAST_RAD: f64 = std::f64::consts::PI / 6.0 - 1e-6;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let flat = judged.lines().filter(|(line, _)| {
        line.role == Role::Carries
            && !line.slack
            && line.tension_n.is_some()
            && line.from_horizontal_rad < LEAST_RAD
    });
    flat.map(|(line, _)| {
        let says = format!(
            "`{}` runs {}; 30 degrees from the horizontal is the least",
            line.name,
            says::line_angle(line.from_horizontal_rad)
        );
        let mend = "Bring the points closer together or the load lower, so that the line is steeper.";
        RULE.caution(format!("lines.{}", line.name), says, mend)
            .sized(-line.from_horizontal_rad)
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn thirty_degrees_is_allowed_and_less_is_a_caution() {
        for (degrees, expected) in [(30.0, 0), (29.9, 1), (5.0, 1), (90.0, 0)] {
            let mut facts = samples::rig();
            facts.lines[0].from_horizontal_rad = f64::to_radians(degrees);
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{degrees}");
        }
    }
}
