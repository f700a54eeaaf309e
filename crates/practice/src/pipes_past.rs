//! Whether pipes bear what comes to them once something let go.
//!
//! Conventions: the subject is a pipe; what bends it is told by whoever found it, at rest or on the way.
//! Assumes: thrust and pull along a pipe are judged where it hangs as stated.
//! Valid for: trials at rest, and motions that were found.
//! Source: the rules on pipes.
//! Checked by: the tests of the rules that use it.

use crate::facts::{Facts, OnTheWay};
use crate::finding::{Finding, Severity};
use crate::judgement::{Measured, PipeJudgement};
use crate::measure::measure_pipes;
use crate::rule::{Judged, Rule};
use crate::rules::{pipe_moment, pipe_shear, pipe_splice, pipe_twist, pipe_unrated};
use working::Number;

/// Lists what pipes bear past what they may, by the rules on pipes: all that these stop.
pub(crate) fn pipes_past(facts: &Facts, measured: &Measured) -> Vec<Finding> {
    let then = Judged { facts, measured };
    let rules = [
        &pipe_moment::RULE,
        &pipe_shear::RULE,
        &pipe_twist::RULE,
        &pipe_splice::RULE,
    ];
    stops(&rules, &then)
}

fn stops(rules: &[&Rule], judged: &Judged<'_>) -> Vec<Finding> {
    let all = rules.iter().flat_map(|rule| (rule.judge)(judged));
    all.filter(|finding| finding.severity == Severity::Stop).collect()
}

/// Gives how much of what it may carry each pipe uses on the way, with what governs.
pub(crate) fn used_on_the_way(way: &OnTheWay, facts: &Facts) -> Vec<PipeJudgement> {
    measure_pipes(&way.pipes, facts).pipes
}

/// Says that pipes bear more on the way than they may, or that nothing says what they may bear: stops of the rule that asks.
pub(crate) fn bent_too_far(
    rule: &Rule,
    way: &OnTheWay,
    let_go: &str,
    judged: &Judged<'_>,
    mend: &str,
) -> Vec<Finding> {
    if way.pipes.is_empty() {
        return Vec::new();
    }
    let facts = Facts {
        pipes: way.pipes.clone(),
        ..judged.facts.clone()
    };
    let measured = measure_pipes(&way.pipes, &facts);
    let unknown = stops(
        &[&pipe_unrated::RULE],
        &Judged {
            facts: &facts,
            measured: &measured,
        },
    );
    let past = pipes_past(&facts, &measured).into_iter().chain(unknown);
    let told = past.map(|found| {
        let says = format!("{let_go}{}, on the way there ({})", found.says, way.at_worst);
        Finding {
            size: found.size,
            ..rule.stop(found.subject, says, mend)
        }
    });
    told.collect()
}

/// What bends a pipe on the way that comes within this of its limit may be past it: as for any other peak.
const NEAR: f64 = 0.9;

/// Says which pipes bear no more on the way than they may, but nearly: cautions.
pub(crate) fn nearly_bent(rule: &Rule, way: &OnTheWay, let_go: &str, judged: &Judged<'_>) -> Vec<Finding> {
    let pipes = used_on_the_way(way, judged.facts);
    let near = pipes.iter().filter_map(|pipe| {
        let share = pipe.utilisation.as_ref().map(Number::value)?;
        (share > NEAR && share <= 1.0).then(|| {
            let says = format!(
                "{let_go}`{}` is used {:.0} % on the way there ({}), and no such peak is known to a tenth ({})",
                pipe.name,
                100.0 * share,
                pipe.governs.as_deref().unwrap_or_default(),
                way.at_worst
            );
            let mend = "Keep peaks below nine tenths of what may be carried.";
            rule.caution(format!("pipes.{}", pipe.name), says, mend)
                .sized(share)
                .about("nearly")
        })
    });
    near.collect()
}
