//! What is left carries the load when adjustable grips are gone.
//!
//! Conventions: the subject is a line that remains in a trial; its tension there, raised by its dynamic factor.
//! Assumes: the load comes to hang in its new place without a shock; a shock is the let-go's to answer.
//! Valid for: loads with crew or public below.
//! Source: [bib:dguv-313-23] (the weakest part of the chain that catches rules); the limit is our judgement.
//! Checked by: the tests below, at the limit.

use crate::demand;
use crate::facts::{LoadFacts, Trial};
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "grip-remaining",
    title: "What remains without adjustable grips is within its working load",
    statement: "With anyone below, and all adjustable grips gone or each alone, no line that remains passes its working \
                load once the load has come to rest. How far the load moves is a note.",
    sources: &[
        SourceRef::Cited("dguv-313-23", "the weakest part rules", Seen::Text),
        SourceRef::Plain("the working load as the limit", Seen::Judgement),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let overhead = judged.facts.loads.iter().filter(|load| load.under.is_overhead());
    overhead.flat_map(|load| judge_load(load, judged)).collect()
}

fn judge_load(load: &LoadFacts, judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let (mut without, mut furthest_m) = (Vec::new(), 0.0_f64);
    for trial in &load.without_grips {
        let Trial::Hangs { moved_m, tensions_n } = &trial.outcome else {
            continue;
        };
        let gone = trial.gone.iter().map(String::as_str);
        let let_go = says::grips_let_go(gone.clone());
        let remain = tensions_n.iter();
        findings.extend(remain.filter_map(|(name, tension)| judge_line(name, tension, &let_go, judged)));
        without.push(format!("without {}", says::names(gone)));
        furthest_m = furthest_m.max(*moved_m);
    }
    if !without.is_empty() {
        let says = format!(
            "if adjustable grips let go, `{}` still hangs {}, at most {} from where it hung",
            load.name,
            without.join(", or "),
            says::metres(furthest_m)
        );
        findings.push(RULE.note(format!("loads.{}", load.name), says, ""));
    }
    findings
}

fn judge_line(name: &str, tension: &Number, let_go: &str, judged: &Judged<'_>) -> Option<Finding> {
    let (facts, line) = judged.line(name)?;
    let working_load = line.load.working_load_n.as_ref()?;
    // Without a dynamic factor that is due there is no demand; that is a stop by a rule of its own.
    let demand = demand::in_trial(facts, tension, &judged.facts.practice)?;
    let fits = demand.value() <= working_load.value();
    (!fits).then(|| {
        let [demand, working_load] = says::past(&demand, working_load);
        let says = format!(
            "{let_go}, `{name}` is held against {demand}, more than its working load of {working_load}"
        );
        RULE.stop(
            format!("lines.{name}"),
            says,
            "Make the other lines stronger, or add one.",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};

    fn found(pounds: f64) -> Vec<String> {
        let mut facts = samples::grip_rig();
        facts.loads[0].without_grips[0].outcome = Trial::Hangs {
            moved_m: 0.2,
            tensions_n: vec![("ne".into(), samples::force(pounds * LB))],
        };
        samples::severities(RULE.id, &facts)
    }

    /// The line that remains: 4200 lbf x 0.95 / 5 = 798 lbf.
    #[test]
    fn a_remaining_line_past_its_working_load_is_a_stop() {
        assert_eq!(found(797.9), ["note"]);
        assert_eq!(found(798.1), ["stop", "note"]);
    }

    #[test]
    fn the_note_says_once_what_it_still_hangs_without() {
        let mut facts = samples::grip_rig();
        facts.loads[0].without_grips.push(crate::GripTrial {
            gone: vec!["nw".into(), "sw".into()],
            outcome: Trial::Hangs {
                moved_m: 0.3,
                tensions_n: Vec::new(),
            },
        });
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 1);
        assert_eq!(
            found[0].says,
            "if adjustable grips let go, `flock` still hangs without `nw`, or without `nw` and `sw`, at most \
             11-13/16 in (300 mm) from where it hung"
        );
    }

    #[test]
    fn every_remaining_line_is_looked_at_not_only_the_one_pulled_hardest() {
        let mut facts = samples::grip_rig();
        let mut third = samples::line("third", samples::plain(), 10.0);
        third.makeup = Some(std::sync::Arc::new(samples::makeup(
            "weak",
            vec![
                samples::eye(0.95),
                samples::rope_of("7x19", "galvanised", 0.0625, 480.0),
                samples::eye(0.95),
            ],
        )));
        facts.lines.push(third);
        facts.loads[0].without_grips[0].outcome = Trial::Hangs {
            moved_m: 0.2,
            tensions_n: vec![
                ("ne".into(), samples::force(200.0 * LB)),
                ("third".into(), samples::force(95.0 * LB)),
            ],
        };
        let found = samples::found(RULE.id, &facts);
        assert_eq!(
            (found[0].severity, found[0].subject.as_str()),
            (Severity::Stop, "lines.third")
        );
    }
}
