//! Where a pipe is joined.
//!
//! Conventions: the subject is a pipe; the place is along it from its start.
//! Assumes: moment and shear are those at the joint, raised by the dynamic factor.
//! Valid for: splices, couplings and spigots that the rig names.
//! Source: our judgement: a joint carries no more than somebody states.
//! Checked by: the tests below, at the limit.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-splice",
    title: "No splice of a pipe bears more than it may",
    statement: "Where a pipe is joined, moment and shear are at most what the joint may carry, which somebody has to state: \
                a joint is not taken to be as strong as the pipe. Splices that the rig does not name are not known.",
    sources: &[SourceRef::Plain("no number without a source", Seen::Judgement)],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

const MEND: &str = "Move the splice to where the pipe bends less, next to a pick, or use a stronger one.";

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (facts, pipe) in judged.pipes() {
        let subject = || format!("pipes.{}", pipe.name);
        for (of, splice) in facts.splices.iter().zip(&pipe.splices) {
            let at = format!(
                "the splice `{}` of `{}`, {} along it,",
                splice.name,
                pipe.name,
                says::metres(of.at_m)
            );
            if of.allows.is_none() {
                let says = format!("nothing says what {at} may carry");
                let mend = "Write the moment and the shear that its maker states.";
                findings.push(RULE.stop(subject(), says, mend));
            }
            for (what, held) in [("bending moment", &splice.moment), ("shear", &splice.shear)] {
                if let Some((demand, allowed)) = passed(held.demand.as_ref(), held.allowed.as_ref()) {
                    let [demand, allowed] = says::past(demand, allowed);
                    let says = format!(
                        "{at} is held against a {what} of {demand}, more than the {allowed} it may carry"
                    );
                    findings.push(RULE.stop(subject(), says, MEND));
                }
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_splice_is_held_against_its_own_limits() {
        for (moment, shear, expected) in [
            (100.0, 1000.0, 0),
            (100.1, 1000.0, 1),
            (100.0, 1001.0, 1),
            (101.0, 1001.0, 2),
            (f64::NAN, 1.0, 1),
        ] {
            let mut facts = samples::pipe_rig();
            facts.pipes[0].splices = vec![samples::splice(moment, shear, Some((100.0, 1000.0)))];
            let found = samples::found(RULE.id, &facts);
            assert_eq!(found.len(), expected, "{moment} {shear}");
            assert!(found.iter().all(|finding| finding.severity == Severity::Stop));
        }
    }

    #[test]
    fn a_splice_of_which_nothing_is_stated_is_stopped() {
        let mut facts = samples::pipe_rig();
        facts.pipes[0].splices = vec![samples::splice(1.0, 1.0, None)];
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 1);
        assert!(found[0].says.contains("nothing says what the splice `middle`"));
    }
}
