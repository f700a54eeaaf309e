//! Pipes that are built into the building.
//!
//! Conventions: the subject is a pipe; forces in newtons, moments in newton metres.
//! Assumes: an end that is built in does not move or turn.
//! Valid for: pipes that say that an end is built in, once an equilibrium is found.
//! Source: our judgement: the building is its engineer's to judge.
//! Checked by: the test below.

use crate::facts::BuiltInFacts;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "pipe-built-in",
    title: "An engineer has judged where a pipe is built in",
    statement: "Where a pipe is built into the building, the building must hold its force and its moment without giving. \
                The rig document has no allowance for that, so it is for the building's engineer to judge, by the greatest \
                that lengths within their tolerances and movement bring; an end that gives a little brings more to the \
                lines.",
    sources: &[SourceRef::Plain(
        "the building is its engineer's to judge",
        Seen::Judgement,
    )],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let pipes = judged.pipes();
    let ends = pipes.flat_map(|(pipe, held)| {
        pipe.built_in
            .iter()
            .zip(&held.built_in)
            .map(move |end| (pipe, end))
    });
    // Force and moment are told apart, since each may be the greatest in a case of its own.
    ends.flat_map(|(pipe, (end, held))| {
        let tell = |what: &str, gets: String, size: f64| {
            let says = format!(
                "`{}` is built in at its {}, where the building gets {gets}; what it allows there is not stated",
                pipe.name, end.end
            );
            let mend = "Have the building's engineer judge force and moment there, in writing.";
            RULE.caution(format!("pipes.{}", pipe.name), says, mend)
                .sized(size)
                .about(format!("{what} at its {}", end.end))
        };
        let force = at_worst(&end.force_n, held.force_n.as_ref(), says::newtons);
        let moment = at_worst(&end.moment_n_m, held.moment_n_m.as_ref(), says::newton_metres);
        let size = |held: &Option<Number>, stated: &Number| held.as_ref().unwrap_or(stated).value();
        [
            tell("force", format!("{force}{}", along(end)), size(&held.force_n, &end.force_n)),
            tell("moment", format!("a moment of {moment}"), size(&held.moment_n_m, &end.moment_n_m)),
        ]
    })
    .collect()
}

/// Writes the most there is of something, and what there is at the stated lengths if that is less.
fn at_worst(stated: &Number, most: Option<&Number>, print: fn(f64) -> String) -> String {
    let here = print(stated.value());
    match most.map(|most| print(most.value())) {
        Some(most) if most != here => {
            format!("up to {most} ({here} at the stated lengths, before any dynamic factor)")
        }
        Some(_) => here,
        None => format!("{here} (before a dynamic factor, which is due and not stated)"),
    }
}

/// Says which way the force acts at the stated lengths.
fn along(end: &BuiltInFacts) -> String {
    let way = if end.down_n < 0.0 { "upward" } else { "down" };
    // What is a hundredth of the whole is a matter of rounding or of how the pipe bends.
    let told = [(end.down_n.abs(), way), (end.side_n, "sideways")].into_iter();
    let told = told.filter(|(force_n, _)| *force_n > 0.01 * end.force_n.value());
    let told: Vec<String> = told
        .map(|(force_n, way)| format!("{} {way}", says::newtons(force_n)))
        .collect();
    format!("; at the stated lengths the force is {}", told.join(" and "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use quantity::Kind;
    use working::Source;

    #[test]
    fn an_end_that_is_built_in_is_a_caution() {
        let mut facts = samples::pipe_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let number = |kind, value| Number::given("of it", "x", kind, value, Source::mechanics("a test"));
        facts.pipes[0].built_in.push(BuiltInFacts {
            end: "start".into(),
            force_n: number(Kind::Force, 300.0),
            moment_n_m: number(Kind::Torque, 120.0),
            down_n: 299.0,
            side_n: 24.5,
            worst_force_n: None,
            worst_moment_n_m: Some(number(Kind::Torque, 480.0)),
        });
        let found = samples::found(RULE.id, &facts);
        let [force, moment] = found.as_slice() else {
            panic!("{found:?}")
        };
        assert!(force.says.contains("300 N"), "{}", force.says);
        assert!(
            moment
                .says
                .contains("up to 354 ft lb (480 N m) (88.5 ft lb (120 N m) at"),
            "{}",
            moment.says
        );
    }
}
