//! The angle at which a part in the building is pulled.
//!
//! Conventions: the subject is a point; angles in radians from the part's own axis and out of the plane of its eye.
//! Assumes: a bolt's shoulder sits flush and tight; a plain bolt is for pulls in line.
//! Valid for: eye bolts and shackles at points; others have no table by angle.
//! Source: [bib:wac-33905], [bib:side-load], [bib:wac-56110], [bib:eye-trade]; the 45 degrees are from memory.
//! Checked by: the tests below, at the limits; tests/main/published.rs (ex10).

use crate::facts::PointFacts;
use crate::finding::{Finding, Severity};
use crate::rating;
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use parts::{Body, Part};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pull-angle",
    title: "Eye bolts and shackles are pulled within their printed angles",
    statement: "The worse printed band of angles gives what is left of the rating; nothing is interpolated. Past the \
                last band it is refused: a shackle past 90 degrees, a shoulder eye bolt past 45, a plain one past 5. \
                A pull at an angle lies in the plane of the bolt's eye, within 5 degrees. Where the axis is not stated \
                the worst permitted band is taken; that, and a plane that is not stated, are cautions.",
    sources: &[
        SourceRef::Cited("wac-33905", "bands of angles", Seen::Text),
        SourceRef::Cited("side-load", "percentages", Seen::Text),
        SourceRef::Cited(
            "wac-56110",
            "shoulder flush, load in the plane of the eye",
            Seen::Text,
        ),
        SourceRef::Plain("shoulder eye bolts not past 45 degrees", Seen::Memory),
        SourceRef::Plain("5 degrees for `in line` and `in the plane`", Seen::Judgement),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

const OUT_OF_PLANE_RAD: f64 = rating::IN_LINE_RAD + 1e-6;

/// Tells whether the pull on the part at a point is past the last angle permitted.
pub(crate) fn is_refused(point: &PointFacts) -> bool {
    let (Some(part), Some(angle)) = (&point.part, point.off_axis_rad) else {
        return false;
    };
    limit(part).is_some_and(|limit| angle > limit + 1e-6)
}

/// The last angle permitted for a part; none for parts without a table by angle.
fn limit(part: &Part) -> Option<f64> {
    match &part.body {
        Body::EyeBolt(bolt) => {
            let last = bolt.by_angle.last().map_or(f64::INFINITY, |band| band.up_to_rad);
            Some(bolt.refused_past_rad.min(last))
        }
        Body::Shackle(shackle) => Some(
            shackle
                .side_load
                .last()
                .map_or(rating::IN_LINE_RAD, |band| band.up_to_rad),
        ),
        _ => None,
    }
}

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged.facts.points.iter().flat_map(judge_point).collect()
}

fn judge_point(point: &PointFacts) -> Vec<Finding> {
    let Some((part, limit)) = point.part.as_deref().and_then(|part| Some((part, limit(part)?))) else {
        return Vec::new();
    };
    let subject = format!("points.{}", point.name);
    let mut findings = Vec::new();
    match point.off_axis_rad {
        Some(angle) if is_refused(point) => {
            let (angle, limit) = (says::angle(angle), says::angle(limit));
            let says = format!(
                "`{}` at `{}` is pulled {angle} from its axis; past {limit} it is refused",
                part.id, point.name
            );
            findings.push(RULE.stop(
                subject.clone(),
                says,
                "Turn the part into the pull, or make the pull steeper.",
            ));
        }
        Some(_) => {}
        None => {
            let says = format!(
                "the axis of `{}` at `{}` is not stated; the worst printed band up to {} is taken",
                part.id,
                point.name,
                says::angle(limit)
            );
            findings.push(RULE.caution(subject.clone(), says, "Write the `axis` of the part."));
        }
    }
    if matches!(part.body, Body::EyeBolt(_)) {
        findings.extend(judge_plane(point, part, subject));
    }
    findings
}

fn judge_plane(point: &PointFacts, part: &Part, subject: String) -> Option<Finding> {
    // A pull in line has no side, whatever the plane.
    if point.off_axis_rad.is_some_and(|angle| angle <= OUT_OF_PLANE_RAD) {
        return None;
    }
    match point.out_of_plane_rad {
        Some(angle) if angle > OUT_OF_PLANE_RAD => {
            let angle = says::angle(angle);
            let says = format!(
                "`{}` at `{}` is pulled {angle} out of the plane of its eye",
                part.id, point.name
            );
            Some(RULE.stop(
                subject,
                says,
                "Shim the eye round into the plane of the pull with flat washers.",
            ))
        }
        Some(_) => None,
        None => {
            let says = format!(
                "the plane of the eye of `{}` at `{}` is not stated",
                part.id, point.name
            );
            Some(RULE.caution(
                subject,
                says,
                "Write its `plane`, and see that the pull lies in it.",
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Facts;
    use crate::samples;
    use std::sync::Arc;

    fn with(part: Part, axis_deg: Option<f64>, plane_deg: Option<f64>) -> Facts {
        let mut facts = samples::rig();
        facts.points[0].part = Some(Arc::new(part));
        facts.points[0].off_axis_rad = axis_deg.map(f64::to_radians);
        facts.points[0].out_of_plane_rad = plane_deg.map(f64::to_radians);
        facts
    }

    #[test]
    fn a_shoulder_eye_bolt_goes_to_45_degrees_and_no_further() {
        let at = |degrees| samples::severities(RULE.id, &with(samples::eye_bolt(), Some(degrees), Some(0.0)));
        assert!(at(45.0).is_empty());
        assert_eq!(at(45.1), ["stop"]);
        assert_eq!(at(90.0), ["stop"]);
        // Refused once, by this rule alone.
        assert!(samples::found("unrated", &with(samples::eye_bolt(), Some(60.0), Some(0.0))).is_empty());
    }

    #[test]
    fn a_plain_eye_bolt_goes_to_5_degrees() {
        let mut plain = samples::eye_bolt();
        if let Body::EyeBolt(bolt) = &mut plain.body {
            bolt.shoulder = false;
            bolt.refused_past_rad = 5_f64.to_radians();
        }
        let at = |degrees| samples::severities(RULE.id, &with(plain.clone(), Some(degrees), Some(0.0)));
        assert!(at(5.0).is_empty());
        assert_eq!(at(5.1), ["stop"]);
    }

    #[test]
    fn a_shackle_goes_to_90_degrees() {
        let at = |degrees| samples::severities(RULE.id, &with(samples::shackle(), Some(degrees), None));
        assert!(at(90.0).is_empty());
        assert_eq!(at(90.1), ["stop"]);
    }

    #[test]
    fn an_axis_or_plane_that_is_not_stated_is_a_caution() {
        assert_eq!(
            samples::severities(RULE.id, &with(samples::shackle(), None, None)),
            ["caution"]
        );
        assert_eq!(
            samples::severities(RULE.id, &with(samples::eye_bolt(), None, None)),
            ["caution", "caution"]
        );
        assert_eq!(
            samples::severities(RULE.id, &with(samples::eye_bolt(), Some(20.0), None)),
            ["caution"]
        );
        assert!(samples::severities(RULE.id, &with(samples::eye_bolt(), Some(3.0), None)).is_empty());
    }

    #[test]
    fn a_pull_out_of_the_plane_is_a_stop() {
        assert_eq!(
            samples::severities(RULE.id, &with(samples::eye_bolt(), Some(20.0), Some(5.1))),
            ["stop"]
        );
        assert!(samples::severities(RULE.id, &with(samples::eye_bolt(), Some(20.0), Some(5.0))).is_empty());
    }
}
