//! More than the working load.
//!
//! Conventions: the subject is a line, a junction, a point or a pipe with a part at its pick; use is demand over working load.
//! Assumes: demand and working load are those of this crate.
//! Valid for: subjects that have both; what lacks one is stopped by `unrated` or `moving-load`.
//! Source: [bib:osha-251], (a)(2), from memory: rigging is not loaded beyond its working load; [bib:wrtb-t4].
//! Checked by: the tests below, at the limit; tests/main/laws.rs.

use crate::finding::{Finding, Severity};
use crate::judgement::LineJudgement;
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "working-load",
    title: "Nothing carries more than its working load",
    statement: "What a line, a junction or the part at a point or at a pick of a pipe is held against is at most its working load. A \
                line is held against its greatest share, with lines of inexact lengths, secondary lines slack and stated \
                forces absent (see `sharing`), a part and a junction against the greatest that lines bring to them, each \
                raised by the dynamic factor. The working load of a line is the least of: the rope where each end holds it and where it bends, over the \
                design factor; and each maker's rating, scaled down where the practice asks a higher factor than the \
                maker's. Reductions at different places do not multiply, and no rating is ever exceeded.",
    sources: &[
        SourceRef::Cited("osha-251", "(a)(2)", Seen::Memory),
        SourceRef::Cited("wrtb-t4", "the weakest place governs", Seen::Text),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (facts, line) in judged.lines() {
        if let Some((demand, working_load)) =
            passed(line.demand_n.as_ref(), line.load.working_load_n.as_ref())
        {
            let [demand, working_load] = says::past(demand, working_load);
            let says = format!(
                "`{}` is held against {demand}, more than its working load of {working_load}{}; it runs {}",
                line.name,
                governed(line),
                says::line_angle(facts.from_horizontal_rad)
            );
            let mend = "Use stronger parts, more or steeper lines, or less weight.";
            findings.push(RULE.stop(format!("lines.{}", line.name), says, mend));
        }
    }
    let junctions = judged.measured.junctions.iter().map(|at| {
        (
            format!("junctions.{}", at.name),
            &at.name,
            &at.demand_n,
            &at.working_load_n,
            &at.governing_part,
        )
    });
    let points = judged.measured.points.iter().map(|at| {
        (
            format!("points.{}", at.name),
            &at.name,
            &at.demand_n,
            &at.working_load_n,
            &at.governing_part,
        )
    });
    let picks = judged.measured.pipes.iter().flat_map(|pipe| {
        pipe.picks.iter().map(|at| {
            (
                format!("pipes.{}", pipe.name),
                &at.name,
                &at.demand_n,
                &at.working_load_n,
                &at.governing_part,
            )
        })
    });
    for (subject, name, demand, working_load, part) in junctions.chain(points).chain(picks) {
        if let Some((demand, working_load)) = passed(demand.as_ref(), working_load.as_ref()) {
            let part = part.as_deref().unwrap_or_default();
            let [demand, working_load] = says::past(demand, working_load);
            let says = format!(
                "`{part}` at `{name}` is held against {demand}, more than its working load of {working_load}"
            );
            findings.push(RULE.stop(subject, says, "Use a stronger part, or bring less to it."));
        }
    }
    findings
}

pub(crate) fn passed<'a>(
    demand: Option<&'a Number>,
    working_load: Option<&'a Number>,
) -> Option<(&'a Number, &'a Number)> {
    let (demand, working_load) = (demand?, working_load?);
    // Written so that a demand that is no number passes as too much.
    let fits = demand.value() <= working_load.value();
    (!fits).then_some((demand, working_load))
}

fn governed(line: &LineJudgement) -> String {
    let weakest = line
        .load
        .by_part
        .iter()
        .min_by(|a, b| a.working_load_n.value().total_cmp(&b.working_load_n.value()));
    weakest
        .map(|part| format!(", which `{}` ({}) governs", part.part, part.place))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};

    /// 4200 lbf x 0.95 / 5 = 798 lbf.
    #[test]
    fn the_limit_itself_is_allowed_and_a_little_more_is_not() {
        let mut facts = samples::rig();
        for (pounds, expected) in [(797.9, 0), (798.1, 1)] {
            facts.lines[0] = samples::line("nw", samples::plain(), pounds);
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{pounds} lbf");
        }
        let says = &samples::found(RULE.id, &facts)[0].says;
        assert!(
            says.contains("798 lb (3.55 kN)") && says.contains("`eye-sleeve-3/16` (upper end)"),
            "{says}"
        );
        assert!(
            says.contains("60.0 degrees from the horizontal (30.0 degrees from the vertical)"),
            "{says}"
        );
    }

    /// Three figures would print both as 798 lb.
    #[test]
    fn what_is_past_the_limit_is_printed_past_it() {
        let mut facts = samples::rig();
        facts.lines[0] = samples::line("nw", samples::plain(), 798.001);
        let says = &samples::found(RULE.id, &facts)[0].says;
        assert!(
            says.contains("798.001 lb") && says.contains("load of 798 lb"),
            "{says}"
        );
    }

    #[test]
    fn a_junction_is_held_against_its_greatest_line() {
        let mut facts = samples::rig();
        facts.junctions = vec![samples::junction(Some(samples::link(301.0, Some(5.0))))];
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.junctions = vec![samples::junction(Some(samples::link(299.0, Some(5.0))))];
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    #[test]
    fn a_part_at_a_point_is_held_against_the_force_there() {
        let mut facts = samples::rig();
        facts.points[0].part = Some(std::sync::Arc::new(samples::link(112.5, Some(5.0))));
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.points[0].force_n = Some(samples::force(113.0 * LB));
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    #[test]
    fn a_part_at_a_pick_of_a_pipe_is_held_against_what_the_pick_gets() {
        let mut facts = samples::pipe_rig();
        for (pounds, expected) in [(100.1, 0), (99.9, 1)] {
            let link = samples::link(pounds, Some(5.0));
            facts.pipes[0].picks[0].part = Some(std::sync::Arc::new(link));
            let found = samples::found(RULE.id, &facts);
            assert_eq!(found.len(), expected, "{pounds}");
            assert!(found.iter().all(|finding| finding.subject == "pipes.batten"));
        }
    }

    #[test]
    fn a_part_at_a_point_is_held_against_the_worst_force_there() {
        let mut facts = samples::rig();
        facts.points[0].part = Some(std::sync::Arc::new(samples::link(500.0, Some(5.0))));
        for (worst, expected) in [(100.0, 0), (499.9, 0), (500.1, 1)] {
            facts.points[0].worst_force_n = Some(samples::force(worst * LB));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{worst}");
            let demand = crate::judge(&facts)
                .measured
                .points
                .swap_remove(0)
                .demand_n
                .unwrap();
            assert!((demand.value() / LB - worst.max(112.0)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_demand_that_is_no_number_is_too_much() {
        let mut facts = samples::rig();
        facts.lines[0].tension_n = Some(samples::force(f64::NAN));
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
