//! More bending moment than a pipe may carry.
//!
//! Conventions: the subject is a pipe; the place is along it from its start.
//! Assumes: what it is held against and what it may carry are those of this crate.
//! Valid for: pipes with a section or a stated moment; without one `pipe-unrated` stops them.
//! Source: [bib:aisc-f9] (round tube of steel); the maker's own figure; that aluminium goes alike is our judgement.
//! Checked by: the tests below, at the limit.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-moment",
    title: "No pipe bends more than it may",
    statement: "The greatest bending moment along a pipe, whatever the exact lengths (see `sharing`) and raised by the \
                dynamic factor, is at most what its section may carry: what its maker states or, of a round tube, the \
                yield strength times the plastic modulus of its design wall over a safety factor, whichever is less. A \
                pipe is part of a structure and no lifting gear, so that factor is on yield, and a practice's design \
                factors on breaking strength are not put on top. A pipe of unknown grade counts as of the lowest common one.",
    sources: &[
        SourceRef::Cited("aisc-f9", "equation F8-1 over the safety factor", Seen::Computed),
        SourceRef::Plain(
            "aluminium tube alike, and no design factor on top",
            Seen::Judgement,
        ),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (facts, pipe) in judged.pipes() {
        if let Some((demand, allowed)) = passed(pipe.moment.demand.as_ref(), pipe.moment.allowed.as_ref()) {
            let share = demand.value() / allowed.value();
            let [demand, allowed] = says::past(demand, allowed);
            let says = format!(
                "`{}` is held against a bending moment of {demand}{}, more than the {allowed} that {} may carry",
                pipe.name,
                says::along(facts.moment_n_m.as_ref()),
                says::section(pipe)
            );
            let mend = "Bring its picks nearer to what it carries, add a pick, take load off, or use a stronger section.";
            findings.push(RULE.stop(format!("pipes.{}", pipe.name), says, mend).sized(share));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, FT_LB};

    /// 1-1/2 in schedule 40: 30 ksi x 0.4218 in3 / 1.67 / 12, which tests of the parts book count by hand.
    #[test]
    fn the_limit_itself_is_allowed_and_a_little_more_is_not() {
        let mut facts = samples::pipe_rig();
        let limit = crate::judge(&facts).measured.pipes[0]
            .moment
            .allowed
            .as_ref()
            .unwrap()
            .value();
        for (share, expected) in [(0.999, 0), (1.0, 0), (1.001, 1)] {
            facts.pipes[0].moment_n_m = Some(samples::moment_along(share * limit));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{share}");
        }
        let found = samples::found(RULE.id, &facts);
        assert_eq!(
            (found[0].severity, found[0].subject.as_str()),
            (Severity::Stop, "pipes.batten")
        );
        let says = &found[0].says;
        assert!(
            says.contains("ft lb") && says.contains("`pipe-1-1/2-sch40`") && says.contains("5 ft"),
            "{says}"
        );
    }

    #[test]
    fn the_dynamic_factor_is_in_what_a_pipe_is_held_against() {
        let mut facts = samples::pipe_rig();
        facts.pipes[0].moment_n_m = Some(samples::moment_along(600.0 * FT_LB));
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.pipes[0].dynamic = Some(samples::given("dynamic factor", quantity::Kind::Number, 1.25));
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    #[test]
    fn a_moment_that_is_no_number_is_too_much() {
        let mut facts = samples::pipe_rig();
        facts.pipes[0].moment_n_m = Some(samples::moment_along(f64::NAN));
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
