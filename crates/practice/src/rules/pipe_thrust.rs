//! Thrust along a pipe.
//!
//! Conventions: the subject is a pipe; pressed is positive.
//! Assumes: what it is held against and what it may bear are those of this crate.
//! Valid for: pipes that lines press along their length: spreader bars under bridles, arms that are guyed.
//! Source: [bib:aisc-360] E3 and H1, from memory; EN 1993-1-1, 5.2.1, from memory.
//! Checked by: the tests below, at the limits; tests in `thrust.rs`.

use crate::facts::PipeFacts;
use crate::finding::{Finding, Severity};
use crate::judgement::PipeJudgement;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::working_load::passed;
use crate::says;
use crate::thrust::{CLOSE, euler};
use quantity::{Kind, Style};
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "pipe-thrust",
    title: "No pipe is pressed along its length more than it may be",
    statement: "Lines that slant press a pipe along its length, and a slender one buckles all at once, long before it bends. \
                The thrust is at most what it may bear as a column: 0.877 of Euler's load over the length that is pressed, \
                twice that length where one end is built in and the other is not, and together with yield where that is \
                known, over 1.67. Thrust counts together with bending: P and M, each over what it may bear, add up to 1 at \
                most, from a hundredth of the thrust on. Past a tenth of Euler's load a pipe that is given by its stiffness, or a truss, is a caution, since how \
                it yields is not known.",
    sources: &[
        SourceRef::Cited("aisc-360", "sections E3 and H1", Seen::Memory),
        SourceRef::Plain("a tenth of Euler's load as in EN 1993-1-1, 5.2.1", Seen::Memory),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

const MEND: &str = "Hang it from steeper lines, hold it sideways on its way, or use a stiffer section.";

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let pressed = judged.pipes().filter_map(|(facts, pipe)| {
        let thrust = pipe.thrust.demand.as_ref()?;
        judge_pipe(facts, pipe, thrust)
    });
    pressed.collect()
}

fn judge_pipe(facts: &PipeFacts, pipe: &PipeJudgement, thrust: &Number) -> Option<Finding> {
    let (subject, name) = (format!("pipes.{}", pipe.name), &pipe.name);
    let told = facts.thrust.as_ref()?;
    let length = Kind::Length.print(told.length_m.value(), Style::both());
    if let Some((thrust, allowed)) = passed(Some(thrust), pipe.thrust.allowed.as_ref()) {
        let [thrust, allowed] = says::past(thrust, allowed);
        let says = format!(
            "`{name}` is pressed along {length} of its length by {thrust}, more than the {allowed} that it may bear before it \
             buckles"
        );
        return Some(RULE.stop(subject, says, MEND));
    }
    if let Some(together) = &pipe.pressed {
        // Written so that what is no number is too much.
        let fits = together.value() <= 1.0;
        return (!fits).then(|| {
            let says = format!(
                "`{name}` is used {:.0} % by bending and a thrust of {} along it together",
                100.0 * together.value(),
                says::figure(thrust)
            );
            RULE.stop(subject, says, MEND)
        });
    }
    let is_close = thrust.value() > CLOSE * euler(told).value();
    is_close.then(|| {
        let says = format!(
            "`{name}` is pressed along {length} of its length by {}, {:.0} % of what would buckle it if it were perfect: how \
             that goes together with its bending is not known, and not judged",
            says::figure(thrust),
            100.0 * thrust.value() / euler(told).value()
        );
        RULE.caution(subject, says, "Ask its maker or an engineer, or hang it from steeper lines.")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn pressed(thrust_n: f64, bending: f64) -> crate::Facts {
        let mut facts = samples::pipe_rig();
        let moment = crate::judge(&facts).measured.pipes[0]
            .moment
            .allowed
            .as_ref()
            .unwrap()
            .value();
        let pipe = &mut facts.pipes[0];
        pipe.moment_n_m = Some(samples::moment_along(bending * moment));
        pipe.thrust = Some(samples::thrust(thrust_n, 4.0, 1.0, pipe));
        facts
    }

    fn limit() -> f64 {
        crate::judge(&pressed(1.0, 0.0)).measured.pipes[0]
            .thrust
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
            (f64::NAN, 0.0, 1),
        ] {
            let found = samples::found(RULE.id, &pressed(share * limit(), bending));
            assert_eq!(found.len(), expected, "{share} {bending}: {found:?}");
            assert!(found.iter().all(|finding| finding.severity == Severity::Stop));
        }
        let says = &samples::found(RULE.id, &pressed(1.1 * limit(), 0.0))[0].says;
        assert!(says.contains("13 ft") && says.contains("buckles"), "{says}");
    }

    #[test]
    fn how_one_of_unknown_yield_goes_together_with_bending_is_a_caution() {
        let mut facts = pressed(0.9 * limit(), 0.2);
        facts.pipes[0].section = None;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        let mut facts = pressed(0.05 * limit(), 0.2);
        facts.pipes[0].section = None;
        assert!(samples::found(RULE.id, &facts).is_empty());
    }

    #[test]
    fn thrust_is_in_the_use_of_the_pipe() {
        let facts = pressed(0.5 * limit(), 0.3);
        let pipe = crate::judge(&facts).measured.pipes.swap_remove(0);
        assert!((pipe.utilisation.unwrap().value() - 0.8).abs() < 1e-9);
        assert_eq!(pipe.governs.as_deref(), Some("bending and thrust together"));
    }
}
