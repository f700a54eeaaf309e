//! Pull along a pipe.
//!
//! Conventions: the subject is a pipe; pulled is positive.
//! Assumes: what it is held against and what it may bear are those of this crate.
//! Valid for: pipes that lines pull along their length: between lines that splay, or between two built-in ends.
//! Source: [bib:aisc-360] D2 and H1, from memory.
//! Checked by: the tests below, at the limits; the test in `pull.rs`.

use crate::facts::PipeFacts;
use crate::finding::{Finding, Severity};
use crate::judgement::PipeJudgement;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::says;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "pipe-pull",
    title: "No pipe is pulled along its length more than it may be",
    statement: "Lines that splay pull a pipe along its length. A tube of known yield strength may be pulled by yield over all \
                of its section, over 1.67, and counts together with bending: P and M, each over what it may bear, add up to 1 \
                at most, from a hundredth of the pull on. Of a truss, or a pipe that is given by its stiffness, past a tenth \
                of the shear that it may carry it is a caution, and so is a splice that is pulled apart by so much, or that \
                states nothing.",
    sources: &[
        SourceRef::Cited("aisc-360", "sections D2 and H1", Seen::Memory),
        SourceRef::Plain(
            "a tenth of the shear: what may be next to nothing beside bending",
            Seen::Judgement,
        ),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// A pull of no more than this share of the shear that may be carried is next to nothing, where nothing else is known.
const LITTLE: f64 = 0.1;

const MEND: &str = "Hang it from lines that are more upright, or use a stronger section.";

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let pulled = judged.pipes().filter(|(_, pipe)| pipe.pull.demand.is_some());
    pulled
        .flat_map(|(facts, pipe)| {
            judge_pipe(facts, pipe)
                .into_iter()
                .chain(judge_splices(facts, pipe))
        })
        .collect()
}

fn judge_pipe(facts: &PipeFacts, pipe: &PipeJudgement) -> Option<Finding> {
    let (subject, name) = (format!("pipes.{}", pipe.name), &pipe.name);
    let pull = pipe.pull.demand.as_ref()?;
    let at = says::along(facts.pull_n.as_ref());
    if let Some((pull, allowed)) = passed(Some(pull), pipe.pull.allowed.as_ref()) {
        let [pull, allowed] = says::past(pull, allowed);
        let says = format!(
            "`{name}` is pulled along its length by {pull}{at}, more than the {allowed} that it may bear"
        );
        return Some(RULE.stop(subject, says, MEND));
    }
    if let Some(together) = &pipe.pulled {
        // Written so that what is no number is too much.
        let fits = together.value() <= 1.0;
        return (!fits).then(|| {
            let says = format!(
                "`{name}` is used {:.0} % by bending and a pull of {} along it together",
                100.0 * together.value(),
                says::figure(pull)
            );
            RULE.stop(subject, says, MEND)
        });
    }
    (pipe.pull.allowed.is_none() && !is_little(pull, pipe.shear.allowed.as_ref())).then(|| {
        let says = format!(
            "`{name}` is pulled along its length by {}{at}: how that goes together with its bending is not known, and not \
             judged",
            says::figure(pull)
        );
        RULE.caution(subject, says, "Ask its maker or an engineer, or hang it from lines that are more upright.")
    })
}

fn judge_splices(facts: &PipeFacts, pipe: &PipeJudgement) -> Vec<Finding> {
    let pulled = facts.splices.iter().filter_map(|splice| {
        let pull = splice.pull_n.as_ref()?;
        let shear = splice.allows.as_ref().map(|allows| &allows.shear_n);
        // Any pull at all is of rounding, or of the pipe's own weight as it bends.
        let counts = pipe.pull.demand.as_ref().is_some_and(|most| pull.value() > LITTLE * most.value());
        (counts && !is_little(pull, shear)).then(|| {
            let says = format!(
                "the splice `{}` of `{}`, {} along it, is pulled apart by {}, and nothing says what it may bear that way: it \
                 is not judged",
                splice.name,
                pipe.name,
                says::metres(splice.at_m),
                says::figure(pull)
            );
            RULE.caution(
                format!("pipes.{}", pipe.name),
                says,
                "Ask its maker what it may be pulled, or hang the pipe from lines that are more upright.",
            )
        })
    });
    pulled.collect()
}

/// Tells whether a pull is next to nothing. Written so that one that is no number is not.
fn is_little(pull: &Number, shear: Option<&Number>) -> bool {
    shear.is_some_and(|shear| pull.value() <= LITTLE * shear.value())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn pulled(pull_n: f64, bending: f64) -> crate::Facts {
        let mut facts = samples::pipe_rig();
        let moment = crate::judge(&facts).measured.pipes[0]
            .moment
            .allowed
            .as_ref()
            .unwrap()
            .value();
        let pipe = &mut facts.pipes[0];
        pipe.moment_n_m = Some(samples::moment_along(bending * moment));
        pipe.pull_n = Some(samples::along(pull_n));
        facts
    }

    fn limit() -> f64 {
        crate::judge(&pulled(1.0, 0.0)).measured.pipes[0]
            .pull
            .allowed
            .as_ref()
            .unwrap()
            .value()
    }

    #[test]
    fn the_limit_itself_is_allowed_and_a_little_more_is_not() {
        for (share, bending, expected) in [
            (0.999, 0.0, 0),
            (1.001, 0.0, 1),
            (0.5, 0.499, 0),
            (0.5, 0.501, 1),
            (0.009, 0.999, 0),
            (f64::NAN, 0.0, 1),
        ] {
            let found = samples::found(RULE.id, &pulled(share * limit(), bending));
            assert_eq!(found.len(), expected, "{share} {bending}: {found:?}");
            assert!(found.iter().all(|finding| finding.severity == Severity::Stop));
        }
        let pipe = crate::judge(&pulled(0.5 * limit(), 0.3))
            .measured
            .pipes
            .swap_remove(0);
        assert!((pipe.utilisation.unwrap().value() - 0.8).abs() < 1e-9);
        assert_eq!(pipe.governs.as_deref(), Some("bending and pull together"));
    }

    #[test]
    fn one_of_unknown_yield_is_a_caution_past_a_tenth_of_its_shear() {
        for (pull_n, expected) in [(999.0, 0), (1001.0, 1)] {
            let mut facts = pulled(pull_n, 0.2);
            facts.pipes[0].section = None;
            facts.pipes[0].stated = Some(samples::bending(1e3, 1e4, None));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{pull_n}");
        }
    }

    #[test]
    fn a_splice_that_is_pulled_apart_is_a_caution() {
        for (pull_n, expected) in [(99.0, 0), (101.0, 1), (f64::NAN, 0)] {
            let mut facts = pulled(200.0, 0.2);
            let mut splice = samples::splice(1.0, 1.0, Some((100.0, 1000.0)));
            splice.pull_n = Some(samples::along(pull_n).greatest);
            facts.pipes[0].splices = vec![splice];
            let found = samples::found(RULE.id, &facts);
            assert_eq!(found.len(), expected, "{pull_n}: {found:?}");
        }
    }
}
