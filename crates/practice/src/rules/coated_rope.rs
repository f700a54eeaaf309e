//! Coated rope over people.
//!
//! Conventions: the subject is a line.
//! Assumes: a coating hides the wires and the ends.
//! Valid for: lines with anyone below.
//! Source: [bib:dguv-320], 4.3.1.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::working_load::only_rope;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "coated-rope",
    title: "Rope over people can be looked at",
    statement: "Rope and its ends can be inspected by eye. Coated rope hides its wires; over people it needs evidence that \
                it suits.",
    sources: &[SourceRef::Cited(
        "dguv-320",
        "there for moving people",
        Seen::Text,
    )],
    severity: Severity::Caution,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let coated = judged.lines().filter(|(line, _)| {
        let rope = line
            .makeup
            .as_deref()
            .and_then(|makeup| makeup.pieces.get(only_rope(makeup)?)?.part.rope());
        line.under.is_overhead() && rope.is_some_and(|rope| rope.coated)
    });
    coated
        .map(|(line, _)| {
            let says = format!(
                "the rope of `{}` is coated and hangs with {}",
                line.name,
                line.under.words()
            );
            RULE.caution(
                format!("lines.{}", line.name),
                says,
                "Use bare rope, or have evidence that this one suits.",
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Under;
    use crate::samples;
    use parts::Body;

    #[test]
    fn coated_rope_over_people_is_a_caution() {
        let mut rope = samples::rope();
        if let Body::Rope(body) = &mut rope.body {
            body.coated = true;
        }
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.lines[0] = samples::line(
            "nw",
            samples::makeup("leg", vec![samples::eye(0.9), rope, samples::eye(0.9)]),
            10.0,
        );
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.lines[0].under = Under::Nobody;
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
