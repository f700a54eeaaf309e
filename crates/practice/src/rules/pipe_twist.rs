//! Torque in a pipe.
//!
//! Conventions: the subject is a pipe; the place is along it from its start.
//! Assumes: the greatest moment, shear and torque act at one place, which is worse than where they do.
//! Valid for: round tube. Of a truss no rule for torque with bending is known, which is a caution.
//! Source: [bib:aisc-360] H3.1 and H3.2, from memory.
//! Checked by: the tests below, at the limits; tests in `bending.rs`.

use crate::bending::TWIST_SHARE;
use crate::facts::PipeFacts;
use crate::finding::{Finding, Severity};
use crate::judgement::PipeJudgement;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::says;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "pipe-twist",
    title: "No pipe is twisted more than it may be",
    statement: "What hangs or pulls beside the axis of a pipe twists it. The torque is at most what its section may carry. \
                Past a fifth of that it counts together with bending and shear: M over what may be carried, plus the \
                square of V and T each over what may be carried, is at most 1. Where nothing says what torque a pipe may \
                carry, or how a truss bears both, a person judges it.",
    sources: &[SourceRef::Cited(
        "aisc-360",
        "sections H3.1 and H3.2",
        Seen::Memory,
    )],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let twisted = judged.pipes().filter_map(|(facts, pipe)| {
        let torque = pipe.torque.demand.as_ref()?;
        judge_pipe(facts, pipe, torque)
    });
    twisted.collect()
}

const MEND: &str = "Hang things under its axis, or balance them across it.";

fn judge_pipe(facts: &PipeFacts, pipe: &PipeJudgement, torque: &Number) -> Option<Finding> {
    let subject = format!("pipes.{}", pipe.name);
    let name = &pipe.name;
    let at = says::along(facts.torque_n_m.as_ref());
    let Some(allowed) = &pipe.torque.allowed else {
        let says = format!(
            "`{name}` is twisted by {}{at}, and nothing says what torque {} may carry: it is not judged",
            says::figure(torque),
            says::section(pipe)
        );
        return Some(RULE.caution(subject, says, MEND));
    };
    if let Some((torque, allowed)) = passed(Some(torque), Some(allowed)) {
        let [torque, allowed] = says::past(torque, allowed);
        let says = format!(
            "`{name}` is held against a torque of {torque}{at}, more than the {allowed} that {} may carry",
            says::section(pipe)
        );
        return Some(RULE.stop(subject, says, MEND));
    }
    if let Some(together) = &pipe.together {
        // Written so that what is no number is too much.
        let fits = together.value() <= 1.0;
        return (!fits).then(|| {
            let says = format!(
                "`{name}` is used {:.0} % by bending, shear and a torque of {} together",
                100.0 * together.value(),
                says::figure(torque)
            );
            RULE.stop(
                subject,
                says,
                "Take load off, add a pick, or hang things under its axis.",
            )
        });
    }
    let is_tube = facts
        .section
        .as_ref()
        .and_then(|part| part.section())
        .is_some_and(|section| section.tube.is_some());
    let counts = torque.value() > TWIST_SHARE * allowed.value();
    (counts && !is_tube).then(|| {
        let says = format!(
            "`{name}` is twisted by {}{at}: how that goes together with its bending is not known, and not judged",
            says::figure(torque)
        );
        RULE.caution(subject, says, "Ask its maker, or hang things under its axis.")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn limits() -> [f64; 3] {
        let pipe = crate::judge(&samples::pipe_rig()).measured.pipes.swap_remove(0);
        [pipe.moment, pipe.shear, pipe.torque].map(|held| held.allowed.unwrap().value())
    }

    fn twisted(bending: f64, twist: f64) -> crate::Facts {
        let [moment, _, torque] = limits();
        let mut facts = samples::pipe_rig();
        facts.pipes[0].moment_n_m = Some(samples::moment_along(bending * moment));
        facts.pipes[0].shear_n = Some(samples::along(0.0));
        facts.pipes[0].torque_n_m = Some(samples::moment_along(twist * torque));
        facts
    }

    /// 0.91 + 0.3² = 1 is the limit with torque; up to a fifth of the torque bending counts alone.
    #[test]
    fn torque_and_bending_count_together_past_a_fifth() {
        for (bending, twist, expected) in [
            (0.99, 0.2, 0),
            (0.909, 0.3, 0),
            (0.911, 0.3, 1),
            (0.0, 0.999, 0),
            (0.0, 1.001, 1),
            (0.5, f64::NAN, 1),
        ] {
            let found = samples::found(RULE.id, &twisted(bending, twist));
            assert_eq!(found.len(), expected, "{bending} {twist}");
            assert!(found.iter().all(|finding| finding.severity == Severity::Stop));
        }
    }

    #[test]
    fn what_is_not_covered_is_said() {
        let mut facts = twisted(0.5, 0.5);
        facts.pipes[0].section = None;
        facts.pipes[0].stated = Some(samples::bending(1e3, 1e4, None));
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        assert!(samples::found(RULE.id, &facts)[0].says.contains("not judged"));
        facts.pipes[0].stated = Some(samples::bending(1e3, 1e4, Some(1e3)));
        assert!(samples::found(RULE.id, &facts).len() <= 1);
        facts.pipes[0].torque_n_m = Some(samples::moment_along(500.0));
        let found = samples::found(RULE.id, &facts);
        assert!(
            found[0].says.contains("goes together with its bending"),
            "{found:?}"
        );
        facts.pipes[0].torque_n_m = Some(samples::moment_along(100.0));
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
