//! No working load.
//!
//! Conventions: the subject is a line, a junction, or a point or a pipe with a part. A pipe itself has `pipe-unrated`.
//! Assumes: what has no rating with a source carries nothing that can be relied on.
//! Valid for: lines in any role; junctions; parts at points (without one, the building's allowance holds alone).
//! Source: our judgement; [bib:b3026-2010] (marked and rated hardware).
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::judgement::Unrated;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::{bends, pull_angle};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "unrated",
    title: "Everything that carries has a working load",
    statement: "A rating has a source and the design factor behind it. A part without one, or of which the practice \
                asks a factor that its maker does not state, is unrated; so is a line with such a part, a line given \
                by stiffness alone, a bend over something of unknown diameter, a line with an end, clips or a thimble that \
                refuse its rope, and a junction without a part. At a point or a junction stands a shackle or a link, at a \
                point also an eye bolt or a turnbuckle; no other part has a working load there. At a pick of a pipe a part stands as \
                at a junction.",
    sources: &[SourceRef::Plain("no number without a source", Seen::Judgement)],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

const MEND: &str = "Use a part with a rating from its maker, with the design factor behind it.";
const MEND_LINE: &str =
    "Use parts whose makers rate them for this and for its rope, and write what is missing.";

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    // Whom the practice refuses below has a rule of its own, which says it once.
    let is_covered = |under| judged.facts.practice.factors(under).is_some();
    for (facts, line) in judged.lines().filter(|(facts, _)| is_covered(facts.under)) {
        let unsaid = line
            .load
            .unrated
            .iter()
            .filter(|unrated| !bends::says_why(facts, &unrated.place));
        let why: Vec<String> = unsaid.map(in_words).collect();
        if !why.is_empty() {
            let says = format!("`{}` has no working load: {}", line.name, why.join("; "));
            findings.push(RULE.stop(format!("lines.{}", line.name), says, MEND_LINE));
        }
    }
    for (facts, junction) in judged.facts.junctions.iter().zip(&judged.measured.junctions) {
        if let Some(unrated) = junction.unrated.as_ref().filter(|_| is_covered(facts.under)) {
            let says = format!("`{}` has no working load: {}", junction.name, in_words(unrated));
            findings.push(RULE.stop(format!("junctions.{}", junction.name), says, MEND));
        }
    }
    for (facts, point) in judged.facts.points.iter().zip(&judged.measured.points) {
        // A pull past the printed angles has a rule of its own too.
        let is_said = pull_angle::is_refused(facts) || !is_covered(facts.under);
        if let Some(unrated) = point.unrated.as_ref().filter(|_| !is_said) {
            let says = format!(
                "the part at `{}` has no working load: {}",
                point.name,
                in_words(unrated)
            );
            findings.push(RULE.stop(format!("points.{}", point.name), says, MEND));
        }
    }
    for (facts, pipe) in judged.pipes().filter(|(facts, _)| is_covered(facts.under)) {
        for pick in &pipe.picks {
            if let Some(unrated) = &pick.unrated {
                let says = format!(
                    "the part at `{}` of `{}` has no working load: {}",
                    pick.name,
                    facts.name,
                    in_words(unrated)
                );
                findings.push(RULE.stop(format!("pipes.{}", pipe.name), says, MEND));
            }
        }
    }
    findings
}

fn in_words(unrated: &Unrated) -> String {
    if unrated.part.is_empty() {
        unrated.why.clone()
    } else {
        format!("`{}` ({}): {}", unrated.part, unrated.place, unrated.why)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Bend;
    use crate::samples;

    #[test]
    fn a_line_of_rated_parts_is_fine_and_one_by_stiffness_is_not() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.lines[0].makeup = None;
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Stop));
        assert!(found[0].says.contains("stiffness alone"));
    }

    #[test]
    fn a_maker_who_states_no_factor_leaves_the_part_unrated() {
        let mut shackle = samples::shackle();
        shackle.rating = samples::rated(2000.0, None);
        let mut facts = samples::rig();
        let parts = vec![shackle, samples::eye(0.95), samples::rope(), samples::eye(0.95)];
        facts.lines[0] = samples::line("nw", samples::makeup("leg", parts), 100.0);
        assert!(
            samples::found(RULE.id, &facts)[0]
                .says
                .contains("states no design factor")
        );
    }

    #[test]
    fn a_bend_over_an_unknown_diameter_leaves_the_line_unrated() {
        let mut facts = samples::rig();
        facts.lines[0].bends = vec![Bend {
            over: "sheave".into(),
            diameter_m: None,
            deflection_rad: 1.0,
        }];
        assert!(
            samples::found(RULE.id, &facts)[0]
                .says
                .contains("diameter of sheave is not stated")
        );
        facts.lines[0].bends[0].diameter_m = Some(samples::length(0.1));
        assert!(samples::found(RULE.id, &facts).is_empty());
    }

    /// What a rigger reads where an adjustable grip refuses its rope: the part, its place, and what would be right.
    #[test]
    fn a_refused_rope_is_told_in_one_sentence() {
        let mut facts = samples::rig();
        let rope = samples::rope_of("7x7", "galvanised", 0.1875, 3700.0);
        let parts = vec![samples::eye(0.95), rope, samples::grip(440.0, Some(5.0))];
        facts.lines[0] = samples::line("nw", samples::makeup("leg", parts), 100.0);
        assert_eq!(
            samples::found(RULE.id, &facts)[0].says,
            "`nw` has no working load: `grip-screw-3/16` (lower end): it is not rated on 7x7 rope; it takes 7x19"
        );
    }

    #[test]
    fn a_junction_needs_a_rated_part() {
        let mut facts = samples::rig();
        facts.junctions = vec![samples::junction(None)];
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
        facts.junctions = vec![samples::junction(Some(samples::link(2000.0, Some(5.0))))];
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.junctions = vec![samples::junction(Some(samples::link(2000.0, None)))];
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    #[test]
    fn a_part_at_a_pick_of_a_pipe_needs_a_rating() {
        let mut facts = samples::pipe_rig();
        for (part, expected) in [
            (samples::link(2000.0, Some(5.0)), 0),
            (samples::link(2000.0, None), 1),
            (samples::rope(), 1),
        ] {
            facts.pipes[0].picks[2].part = Some(std::sync::Arc::new(part));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected);
        }
        assert!(
            samples::found(RULE.id, &facts)[0]
                .says
                .contains("the part at `c` of `batten`")
        );
    }

    /// A turnbuckle is rated in line: pulled at an angle from its axis, or from several sides, it has no working load.
    #[test]
    fn a_turnbuckle_is_pulled_in_line() {
        let mut turnbuckle = samples::link(2000.0, Some(5.0));
        turnbuckle.body = parts::Body::Turnbuckle(parts::Turnbuckle {
            ends: "jaw and jaw".into(),
            take_up_m: None,
            pitch_m: None,
        });
        let mut facts = samples::rig();
        facts.points[0].part = Some(std::sync::Arc::new(turnbuckle.clone()));
        for (off_axis_deg, expected) in [(None, 0), (Some(5.0), 0), (Some(5.1), 1)] {
            facts.points[0].off_axis_rad = off_axis_deg.map(f64::to_radians);
            assert_eq!(
                samples::found(RULE.id, &facts).len(),
                expected,
                "{off_axis_deg:?}"
            );
        }
        let mut facts = samples::rig();
        facts.junctions = vec![samples::junction(Some(turnbuckle))];
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    /// A rope, an end, clips, an adjustable grip and a thimble hang nothing by themselves, whatever they are rated.
    #[test]
    fn only_hardware_stands_at_a_point_or_a_junction() {
        let stands = [samples::shackle(), samples::link(2000.0, Some(5.0))];
        let refused = [
            samples::rope(),
            samples::eye(0.95),
            samples::clips(true),
            samples::grip(840.0, Some(5.0)),
            samples::thimble(0.1875),
        ];
        let at_both = |part: parts::Part| {
            let mut facts = samples::rig();
            facts.points[0].part = Some(std::sync::Arc::new(part.clone()));
            facts.points[0].off_axis_rad = Some(0.0);
            facts.junctions = vec![samples::junction(Some(part))];
            facts
        };
        for part in stands {
            assert!(
                samples::found(RULE.id, &at_both(part.clone())).is_empty(),
                "{}",
                part.id
            );
        }
        for part in refused {
            let facts = at_both(part.clone());
            assert_eq!(
                samples::severities(RULE.id, &facts),
                ["stop", "stop"],
                "{}",
                part.id
            );
            let judgement = crate::judge(&facts);
            assert!(
                judgement.measured.points[0].working_load_n.is_none()
                    && judgement.measured.junctions[0].working_load_n.is_none()
            );
            assert!(
                samples::found(RULE.id, &facts)[0]
                    .says
                    .contains("no part that can stand there")
            );
        }
    }
}
