//! A makeup is one rope with an end on each side.
//!
//! Conventions: the subject is a makeup, read top to bottom.
//! Assumes: the parts stand in the order in which they hang.
//! Valid for: every makeup.
//! Source: mechanics.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Made, Rule, SourceRef};
use crate::working_load::is_end;
use parts::{Body, Piece};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "makeup-ends",
    title: "A makeup is one rope with an end on each side",
    statement: "A makeup has exactly one rope. Next to it, thimbles aside, there is on each side an end that holds it: \
                a termination, clips or an adjustable grip.",
    sources: &[SourceRef::Plain(
        "what is not held does not carry",
        Seen::Mechanics,
    )],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged.makeups().iter().flat_map(judge_makeup).collect()
}

fn judge_makeup(made: &Made<'_>) -> Vec<Finding> {
    let name = &made.makeup.name;
    let Some(rope_at) = made.rope_at else {
        let ropes = made
            .makeup
            .pieces
            .iter()
            .filter(|piece| piece.part.rope().is_some())
            .count();
        let says = format!("`{name}` has {ropes} ropes; a makeup has exactly one");
        return vec![RULE.stop(made.subject(), says, "List exactly one rope among its parts.")];
    };
    let upper = made.makeup.pieces[..rope_at]
        .iter()
        .rev()
        .find(|piece| is_no_thimble(piece));
    let lower = made.makeup.pieces[rope_at + 1..]
        .iter()
        .find(|piece| is_no_thimble(piece));
    let sides = [("upper", upper), ("lower", lower)].into_iter();
    sides
        .filter(|(_, next)| !next.is_some_and(|piece| is_end(&piece.part)))
        .map(|(side, next)| {
            let instead = next.map_or(String::new(), |piece| format!("; `{}` is no end", piece.part.id));
            let says = format!("nothing in `{name}` holds the rope at its {side} end{instead}");
            RULE.stop(
                made.subject(),
                says,
                "List a termination, clips or an adjustable grip next to the rope.",
            )
        })
        .collect()
}

fn is_no_thimble(piece: &Piece) -> bool {
    !matches!(piece.part.body, Body::Thimble(_))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use parts::Part;

    fn found(parts: Vec<Part>) -> Vec<String> {
        let mut facts = samples::rig();
        facts.lines.truncate(1);
        facts.lines[0] = samples::line("nw", samples::makeup("leg", parts), 100.0);
        samples::severities(RULE.id, &facts)
    }

    #[test]
    fn one_rope_and_an_end_on_each_side_are_due() {
        let (eye, rope, shackle) = (|| samples::eye(0.9), samples::rope, samples::shackle);
        assert!(found(vec![shackle(), eye(), rope(), eye(), shackle()]).is_empty());
        assert!(
            found(vec![
                eye(),
                samples::thimble(0.1875),
                rope(),
                samples::grip(400.0, Some(5.0))
            ])
            .is_empty()
        );
        assert_eq!(found(vec![shackle(), rope(), eye()]), ["stop"]);
        assert_eq!(found(vec![rope()]), ["stop", "stop"]);
        assert_eq!(found(vec![eye(), eye()]), ["stop"]);
        assert_eq!(found(vec![eye(), rope(), rope(), eye()]), ["stop"]);
        assert_eq!(found(vec![eye(), rope(), shackle(), eye()]), ["stop"]);
    }

    #[test]
    fn lines_of_one_makeup_give_one_finding() {
        let mut facts = samples::rig();
        for line in &mut facts.lines {
            line.makeup = Some(std::sync::Arc::new(samples::makeup(
                "leg",
                vec![samples::rope(), samples::eye(0.9)],
            )));
        }
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].subject.as_str()), (1, "makeups.leg"));
    }
}
