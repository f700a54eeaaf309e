//! Loads whose centre of gravity stands above what holds them.
//!
//! Conventions: the subject is a load; the angle in radians by which it may tilt, in the direction in which that is
//! least, until its centre of gravity stands over the outermost pick there.
//! Assumes: picks that carry hold like a table holds what stands on it; lines nearly plumb.
//! Valid for: loads that hang; one that rolls over by itself is stopped by rules of their own.
//! Source: statics for the angle; our judgement on the limits.
//! Checked by: the tests below, at the limits; the angle in the tests of `rig`.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "top-heavy",
    title: "A load does not roll over at a push",
    statement: "A load whose centre of gravity stands above its picks rolls over once it is tilted so far that the centre \
                stands over the outermost of them. Less than 10 degrees until then is a stop, less than 45 a caution.",
    sources: &[
        SourceRef::Plain("angle to the outermost pick", Seen::Mechanics),
        SourceRef::Plain("limits", Seen::Judgement),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

const STOP_RAD: f64 = 10.0 * std::f64::consts::PI / 180.0;
const CAUTION_RAD: f64 = 45.0 * std::f64::consts::PI / 180.0;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let loads = judged.facts.loads.iter();
    let heavy = loads.filter_map(|load| Some((load, load.tips_at_rad.filter(|angle| *angle < CAUTION_RAD)?)));
    let each = heavy.map(|(load, angle)| {
        let subject = format!("loads.{}", load.name);
        let says = format!(
            "the centre of gravity of `{}` stands above its picks: it rolls over once tilted by {}",
            load.name,
            says::angle(angle)
        );
        let mend = "Put the picks above the centre of gravity, or spread them.";
        if angle < STOP_RAD {
            RULE.stop(subject, says, mend)
        } else {
            RULE.caution(subject, says, mend)
        }
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn ten_degrees_is_a_stop_and_forty_five_a_caution() {
        let mut facts = samples::rig();
        for (degrees, expected) in [
            (9.9, Some("stop")),
            (10.1, Some("caution")),
            (44.9, Some("caution")),
            (45.1, None),
        ] {
            facts.loads[0].tips_at_rad = Some(f64::to_radians(degrees));
            let found = samples::severities(RULE.id, &facts);
            assert_eq!(found.first().map(String::as_str), expected, "{degrees}");
        }
        facts.loads[0].tips_at_rad = None;
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
