//! Lines whose tension is set by hand.
//!
//! Conventions: the subject is a line; its least angle from the horizontal, radians.
//! Assumes: the caller found that no weight bounds the tension, since another line pulls against this one.
//! Valid for: opposed guys, tie-downs and nearly flat spans, slack or tight.
//! Source: statics; that such a tension is measured is common practice.
//! Checked by: the tests below.

use crate::facts::LineFacts;
use crate::finding::{Finding, Severity};
use crate::rule::{COMMON_PRACTICE, Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "set-by-adjustment",
    title: "A tension that adjustment sets is measured",
    statement: "Where lines pull against each other, as opposed guys, tie-downs and a nearly flat span do, a tension is \
                set by how tight they are adjusted and not by weight. No figure here bounds it, nor what it brings to \
                other lines, junctions and points. Only the tension at the stated lengths is compared with the working \
                load; what is really there is measured with a load cell, and it is stated who sets it.",
    sources: &[
        SourceRef::Plain("a tension that no weight determines", Seen::Mechanics),
        COMMON_PRACTICE,
    ],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let set = judged.facts.lines.iter().filter(|line| line.set_by_adjustment);
    set.map(|line| {
        let says = format!(
            "`{}` runs {}; its tension is set by how it is adjusted, not by weight, and no figure here bounds it: {}",
            line.name,
            says::line_angle(line.from_horizontal_rad),
            compared(line)
        );
        let mend = "Measure it with a load cell as it is set, and state who sets it and to how much.";
        RULE.caution(format!("lines.{}", line.name), says, mend)
    })
    .collect()
}

fn compared(line: &LineFacts) -> String {
    if let Some(worst) = line.worst_share_n.as_ref().filter(|_| line.within_tolerances) {
        return format!(
            "it is held against the {} that lengths within their tolerances bring, and may be pulled to more",
            says::force(worst)
        );
    }
    match &line.tension_n {
        Some(tension) if !line.slack => format!(
            "only the {} that it has at the stated lengths is compared with its working load",
            says::force(tension)
        ),
        Some(_) => "it is slack at the stated lengths, so nothing is compared with its working load".into(),
        None => "nothing is compared with its working load".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};

    #[test]
    fn a_tension_set_by_hand_is_a_caution_with_its_angle_and_what_is_compared() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.lines[0].set_by_adjustment = true;
        facts.lines[0].from_horizontal_rad = 2_f64.to_radians();
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Caution));
        let says = &found[0].says;
        for due in [
            "`nw`",
            "at 2.0 degrees from the horizontal",
            "no figure here bounds it",
            "only the 115 lb",
        ] {
            assert!(says.contains(due), "{due}: {says}");
        }
        assert!(found[0].mend.contains("load cell"));
    }

    #[test]
    fn a_slack_one_is_said_to_be_slack() {
        let mut facts = samples::rig();
        facts.lines[0].set_by_adjustment = true;
        facts.lines[0].slack = true;
        assert!(samples::found(RULE.id, &facts)[0].says.contains("it is slack"));
        facts.lines[0].tension_n = None;
        assert!(
            samples::found(RULE.id, &facts)[0]
                .says
                .ends_with("nothing is compared with its working load")
        );
    }

    /// The elastic tension is still held against the working load of 798 lbf.
    #[test]
    fn the_elastic_tension_alone_is_compared() {
        let mut facts = samples::rig();
        for (pounds, expected) in [(797.0, 0), (799.0, 1)] {
            facts.lines[0] = samples::line("nw", samples::plain(), pounds);
            facts.lines[0].set_by_adjustment = true;
            assert_eq!(samples::found("working-load", &facts).len(), expected, "{pounds}");
            let demand = crate::judge(&facts)
                .measured
                .lines
                .swap_remove(0)
                .demand_n
                .unwrap();
            assert!((demand.value() / LB - pounds).abs() < 1e-9);
        }
    }
}
