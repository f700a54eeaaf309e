//! Pipes that are built into the building.
//!
//! Conventions: the subject is a pipe; forces in newtons, moments in newton metres.
//! Assumes: an end that is built in does not move or turn.
//! Valid for: pipes that say that an end is built in, once an equilibrium is found.
//! Source: our judgement: the building is its engineer's to judge.
//! Checked by: the test below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "pipe-built-in",
    title: "An engineer has judged where a pipe is built in",
    statement: "Where a pipe is built into the building, the building must hold its force and its moment without giving. \
                The rig document has no allowance for that, so it is for the building's engineer to judge; an end that \
                gives a little brings more to the lines.",
    sources: &[SourceRef::Plain(
        "the building is its engineer's to judge",
        Seen::Judgement,
    )],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let pipes = judged.facts.pipes.iter();
    let ends = pipes.flat_map(|pipe| pipe.built_in.iter().map(move |end| (pipe, end)));
    ends.map(|(pipe, end)| {
        let says = format!(
            "`{}` is built in at its {}, where the building gets {} and a moment of {}; what it allows there is not stated",
            pipe.name,
            end.end,
            says::force(&end.force_n),
            says::newton_metres(end.moment_n_m.value())
        );
        let mend = "Have the building's engineer judge force and moment there, in writing.";
        RULE.caution(format!("pipes.{}", pipe.name), says, mend)
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::BuiltInFacts;
    use crate::samples;
    use quantity::Kind;
    use working::{Number, Source};

    #[test]
    fn an_end_that_is_built_in_is_a_caution() {
        let mut facts = samples::pipe_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let number = |kind, value| Number::given("of it", "x", kind, value, Source::mechanics("a test"));
        facts.pipes[0].built_in.push(BuiltInFacts {
            end: "start".into(),
            force_n: number(Kind::Force, 300.0),
            moment_n_m: number(Kind::Torque, 120.0),
        });
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 1);
        assert!(
            found[0].says.contains("300 N") && found[0].says.contains("120 N m"),
            "{}",
            found[0].says
        );
    }
}
