//! Trusses that are hung or loaded between their panel points.
//!
//! Conventions: the subject is a pipe; distances are along it, from the nearest panel point.
//! Assumes: panel points are where the section and the rig say.
//! Valid for: sections with a stated distance between panel points. What is spread along a truss is not judged.
//! Source: [bib:truss-table] (tables hold for loads at node points); the distance that passes is our judgement.
//! Checked by: the tests below, at the limit.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-panel-points",
    title: "A truss is hung and loaded at its panel points",
    statement: "What its maker lets a truss carry holds for forces at its panel points, where its braces meet its chords; \
                between them a chord bends by itself, which nothing here counts. A line or a load more than 50 mm (2 in) \
                along the truss from a panel point needs its maker's word.",
    sources: &[
        SourceRef::Cited("truss-table", "loads at node points", Seen::Text),
        SourceRef::Plain("the 50 mm", Seen::Judgement),
    ],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

/// About the width of a chord or a clamp, metres.
const AT_POINT_M: f64 = 0.05;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for pipe in &judged.facts.pipes {
        let picks = pipe
            .picks
            .iter()
            .map(|pick| (format!("hung at `{}`", pick.name), pick.at_m, pick.from_panel_m));
        let carried = pipe
            .carried
            .iter()
            .map(|of| (format!("loaded by `{}`", of.what), of.at_m, of.from_panel_m));
        let off: Vec<String> = picks
            .chain(carried)
            .filter_map(|(what, at_m, from_m)| {
                let from_m = from_m?;
                // Written so that a distance that is no number is told.
                let near = from_m.abs() <= AT_POINT_M;
                let (at, from) = (says::metres(at_m), says::metres(from_m.abs()));
                (!near).then(|| format!("{what} {at} along it, {from} from a panel point"))
            })
            .collect();
        if !off.is_empty() {
            let says = format!(
                "`{}` is {}",
                pipe.name,
                says::list(off.iter().map(String::as_str))
            );
            let mend = "Move these to panel points, or get its maker's word for each.";
            findings.push(RULE.caution(format!("pipes.{}", pipe.name), says, mend));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::CarriedFacts;
    use crate::samples;

    #[test]
    fn what_is_off_the_panel_points_is_told_once() {
        let mut facts = samples::pipe_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        for (from_m, expected) in [(0.0, 0), (0.05, 0), (-0.051, 1), (f64::NAN, 1)] {
            facts.pipes[0].picks[0].from_panel_m = Some(from_m);
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{from_m}");
        }
        facts.pipes[0].picks[0].from_panel_m = Some(0.2);
        facts.pipes[0].carried = vec![CarriedFacts {
            what: "lamp".into(),
            at_m: 1.5,
            from_panel_m: Some(0.25),
        }];
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Caution));
        let says = &found[0].says;
        assert!(
            says.contains("hung at `a`") && says.contains("loaded by `lamp`"),
            "{says}"
        );
    }
}
