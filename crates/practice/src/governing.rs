//! Which case of a rig decides.
//!
//! Conventions: the first case is the plain rig, which has no name; subjects are paths such as `lines.nw`.
//! Assumes: every case was judged by the same rules; a case may lack what is not there yet in it.
//! Valid for: any number of cases. What differs by no more than rounding is a tie, and the earlier case has it.
//! Source: our judgement: the worst governs, and the reader is told which it is.
//! Checked by: the tests below; crates/rig/tests/main/cases.rs (a case more never makes a verdict milder).

use crate::facts::Facts;
use crate::finding::Finding;
use crate::judge::order_of_subjects;
use crate::judgement::{Judgement, Measured};
use crate::rule::rules;
use indexmap::IndexMap;
use std::cmp::Reverse;
use std::collections::HashMap;
use working::Number;

/// One case of a rig, judged.
#[derive(Debug, Clone, Copy)]
pub struct JudgedCase<'a> {
    /// Its name; none for the plain rig.
    pub name: Option<&'a str>,
    /// What the rules were told.
    pub facts: &'a Facts,
    /// What they came to.
    pub judgement: &'a Judgement,
}

/// What decides over all cases.
#[derive(Debug, Clone, Default)]
pub struct Governing {
    /// For each rule and subject the findings of the case that decides, in the order of [`Judgement::findings`].
    pub findings: Vec<Finding>,
    /// For each line, pipe, point, group and junction, the case of its greatest use, by its place in the list.
    pub by_subject: HashMap<String, usize>,
}

impl Governing {
    /// Gives the place of the case that decides on a subject; the plain rig where nothing else does.
    pub fn of(&self, subject: &str) -> usize {
        self.by_subject.get(subject).copied().unwrap_or(0)
    }
}

/// What differs by no more than this share is the same, found from another start.
const SAME: f64 = 1e-6;

/// Finds which case decides on each subject. The plain rig comes first.
pub fn governing(cases: &[JudgedCase<'_>]) -> Governing {
    let nearness: Vec<HashMap<String, Nearness>> = cases
        .iter()
        .map(|case| nearness(&case.judgement.measured))
        .collect();
    let at = |case: usize, subject: &str| {
        let known = nearness.get(case).and_then(|known| known.get(subject));
        known.copied().unwrap_or_default()
    };
    let mut by_subject = HashMap::new();
    for subject in nearness.iter().flat_map(HashMap::keys) {
        let most = (0..cases.len()).reduce(|most, next| {
            if at(next, subject).is_past(at(most, subject)) {
                next
            } else {
                most
            }
        });
        by_subject.insert(subject.clone(), most.unwrap_or(0));
    }
    Governing {
        findings: worst(cases, &at),
        by_subject,
    }
}

/// How near a subject is to its limit: by its use or, where no use is known, by its demand.
#[derive(Debug, Clone, Copy, Default)]
struct Nearness {
    utilisation: Option<f64>,
    demand: Option<f64>,
}

impl Nearness {
    /// Tells whether it is nearer than another, by more than rounding.
    fn is_past(self, other: Self) -> bool {
        let more = |a: f64, b: f64| a > b + SAME * b.abs();
        let by_demand = || {
            self.demand
                .is_some_and(|a| other.demand.is_none_or(|b| more(a, b)))
        };
        match (self.utilisation, other.utilisation) {
            // What pulls upward uses nothing of what is allowed downward.
            (Some(a), Some(b)) => more(a, b) || !more(b, a) && by_demand(),
            (Some(_), None) => true,
            (None, Some(_)) => false,
            (None, None) => by_demand(),
        }
    }
}

fn nearness(measured: &Measured) -> HashMap<String, Nearness> {
    let value = |number: &Option<Number>| number.as_ref().map(Number::value);
    let near = |utilisation: &Option<Number>, demand: &Option<Number>| Nearness {
        utilisation: value(utilisation),
        demand: value(demand).map(f64::abs),
    };
    let lines = measured
        .lines
        .iter()
        .map(|at| (format!("lines.{}", at.name), near(&at.utilisation, &at.demand_n)));
    let points = measured
        .points
        .iter()
        .map(|at| (format!("points.{}", at.name), near(&at.utilisation, &at.demand_n)));
    let groups = measured
        .groups
        .iter()
        .map(|at| (format!("groups.{}", at.name), near(&at.utilisation, &at.down_n)));
    let junctions = measured.junctions.iter().map(|at| {
        (
            format!("junctions.{}", at.name),
            near(&at.utilisation, &at.demand_n),
        )
    });
    let pipes = measured.pipes.iter().map(|at| {
        (
            format!("pipes.{}", at.name),
            near(&at.utilisation, &at.moment.demand),
        )
    });
    lines
        .chain(pipes)
        .chain(points)
        .chain(groups)
        .chain(junctions)
        .collect()
}

/// Gives what findings of different cases have in common.
fn key(finding: &Finding) -> (&str, &str, &str) {
    (&finding.rule, &finding.subject, &finding.part)
}

/// Takes, for each rule, subject and part of it, the findings of the case with the most severe one; of several, those of the
/// case that has most of it, or is nearest to the limit there.
fn worst(cases: &[JudgedCase<'_>], at: &impl Fn(usize, &str) -> Nearness) -> Vec<Finding> {
    let mut decides: IndexMap<(&str, &str, &str), (&Finding, usize)> = IndexMap::new();
    for (index, case) in cases.iter().enumerate() {
        for finding in &case.judgement.findings {
            let (known, from) = *decides.entry(key(finding)).or_insert((finding, index));
            let is_nearer = || match (finding.size, known.size) {
                (Some(size), Some(known)) => size > known + SAME * known.abs(),
                _ => at(index, &finding.subject).is_past(at(from, &finding.subject)),
            };
            let is_worse = finding.severity > known.severity
                || finding.severity == known.severity && index != from && is_nearer();
            if is_worse {
                decides.insert(key(finding), (finding, index));
            }
        }
    }
    let order = cases
        .first()
        .map(|plain| order_of_subjects(plain.facts))
        .unwrap_or_default();
    let rules: HashMap<&str, usize> = rules().iter().enumerate().map(|(i, rule)| (rule.id, i)).collect();
    let mut found: Vec<Finding> = Vec::new();
    for (this, (_, index)) in decides {
        let Some(case) = cases.get(index) else { continue };
        let told = case.judgement.findings.iter();
        let same = told.filter(|finding| key(finding) == this);
        found.extend(same.map(|finding| Finding {
            case: case.name.map(str::to_string),
            ..finding.clone()
        }));
    }
    // Stable, so what one rule says of one subject stays in its order.
    found.sort_by_key(|finding| {
        (
            Reverse(finding.severity),
            order.get(&finding.subject).copied().unwrap_or(order.len()),
            rules.get(finding.rule.as_str()).copied(),
        )
    });
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Severity;
    use crate::judge;
    use crate::samples;

    fn case<'a>(name: Option<&'a str>, facts: &'a Facts, judgement: &'a Judgement) -> JudgedCase<'a> {
        JudgedCase {
            name,
            facts,
            judgement,
        }
    }

    fn pulled(pounds: f64) -> Facts {
        let mut facts = samples::rig();
        facts.lines[0] = samples::line("nw", samples::plain(), pounds);
        facts
    }

    #[test]
    fn the_greatest_use_and_the_worst_finding_decide_and_a_tie_is_plain() {
        let all = [115.0, 1000.0, 2000.0, 2000.0, 50.0].map(pulled);
        let judged = all.each_ref().map(judge);
        let names = [None, Some("one"), Some("two"), Some("again"), Some("less")];
        let cases: Vec<JudgedCase<'_>> = (0..all.len())
            .map(|i| case(names[i], &all[i], &judged[i]))
            .collect();
        let found = governing(&cases);
        assert_eq!(found.of("lines.nw"), 2);
        assert_eq!(found.of("lines.ne"), 0, "all alike: plain");
        let stop = found
            .findings
            .iter()
            .find(|f| f.rule == "working-load" && f.subject == "lines.nw")
            .unwrap();
        assert_eq!(
            (stop.severity, stop.case.as_deref()),
            (Severity::Stop, Some("two"))
        );
        assert!(
            found
                .findings
                .iter()
                .filter(|f| f.subject != "lines.nw")
                .all(|f| f.case.is_none())
        );
    }

    /// A point that gets more than its 500 lbf is a stop, whatever else is nearer to a limit; one that is pulled upward is
    /// a caution only.
    #[test]
    fn a_stop_in_any_case_outweighs_a_caution() {
        let at = |pounds: f64| {
            let mut facts = samples::rig();
            facts.points[0].down_n = Some(samples::force(pounds * samples::LB));
            facts
        };
        for pounds in [[-1.0, 600.0, -2.0], [600.0, -1.0, -2.0], [-1.0, -2.0, 600.0]] {
            let all = pounds.map(at);
            let judged = all.each_ref().map(judge);
            let names = [None, Some("one"), Some("two")];
            let cases: Vec<JudgedCase<'_>> = (0..3).map(|i| case(names[i], &all[i], &judged[i])).collect();
            let findings = governing(&cases).findings;
            let stops: Vec<&Finding> = findings
                .iter()
                .filter(|f| f.rule == "allowance" && f.part.is_empty())
                .collect();
            assert_eq!(stops.len(), 1, "{stops:?}");
            let stopped = pounds.iter().position(|at| *at == 600.0).unwrap();
            assert_eq!(
                (stops[0].severity, stops[0].case.as_deref()),
                (Severity::Stop, names[stopped])
            );
            assert_eq!(findings[0].severity, Severity::Stop, "stops first");
        }
    }

    /// One case by itself comes to what the rules came to, in their order.
    #[test]
    fn the_plain_rig_alone_is_as_it_was_judged() {
        for facts in [
            samples::rig(),
            samples::grip_rig(),
            samples::sole_grip_rig(),
            pulled(5000.0),
        ] {
            let judgement = judge(&facts);
            assert_eq!(
                governing(&[case(None, &facts, &judgement)]).findings,
                judgement.findings
            );
        }
    }
}
