//! More shear than a pipe may carry.
//!
//! Conventions: the subject is a pipe; the place is along it from its start.
//! Assumes: what it is held against and what it may carry are those of this crate.
//! Valid for: pipes with a section or a stated shear; without one `pipe-unrated` stops them.
//! Source: [bib:aisc-360] G5, from memory; the maker's own figure.
//! Checked by: the tests below, at the limit.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-shear",
    title: "No pipe is sheared more than it may be",
    statement: "The greatest shear across a pipe, counted like its moment (see `pipe-moment`), is at most what its \
                section may carry: what its maker states or, of a round tube, six tenths of the yield strength over half \
                of the area and a safety factor, whichever is less. Bending and shear of a round tube are judged each \
                alone; with torque see `pipe-twist`. A truss of which its maker asks that both be taken together needs a \
                person to do so.",
    sources: &[SourceRef::Cited(
        "aisc-360",
        "section G5 over the safety factor",
        Seen::Memory,
    )],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (facts, pipe) in judged.pipes() {
        if let Some((demand, allowed)) = passed(pipe.shear.demand.as_ref(), pipe.shear.allowed.as_ref()) {
            let share = demand.value() / allowed.value();
            let [demand, allowed] = says::past(demand, allowed);
            let says = format!(
                "`{}` is held against a shear of {demand}{}, more than the {allowed} that {} may carry",
                pipe.name,
                says::along(facts.shear_n.as_ref()),
                says::section(pipe)
            );
            let mend = "Spread what it carries, add a pick, or use a stronger section.";
            findings.push(RULE.stop(format!("pipes.{}", pipe.name), says, mend).sized(share));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn the_limit_itself_is_allowed_and_a_little_more_is_not() {
        let mut facts = samples::pipe_rig();
        let limit = crate::judge(&facts).measured.pipes[0]
            .shear
            .allowed
            .as_ref()
            .unwrap()
            .value();
        for (share, expected) in [(1.0, 0), (1.001, 1), (f64::NAN, 1)] {
            facts.pipes[0].shear_n = Some(samples::along(share * limit));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{share}");
        }
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
