//! Who may be below.
//!
//! Conventions: the subject is a load, or a line that no load bears on.
//! Assumes: whoever is stated to be below is the most that is ever there.
//! Valid for: every load; it says once what leaves all its lines without a working load.
//! Source: the practice in force.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "who-is-below",
    title: "Nobody is below whom the practice does not allow there",
    statement: "A practice names who may be below and keeps a design factor for each. Whom it does not name may not be.",
    sources: &[SourceRef::Plain("the practice in force", Seen::Stated)],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let facts = judged.facts;
    let loads = facts.loads.iter();
    let loads = loads.map(|load| (format!("loads.{}", load.name), &load.name, load.under));
    // A line that no load bears on, as when a makeup is asked about by itself, speaks for itself.
    let lines = facts.lines.iter().filter(|line| line.loads.is_empty());
    let lines = lines.map(|line| (format!("lines.{}", line.name), &line.name, line.under));
    let mut findings = Vec::new();
    for (subject, name, under) in loads.chain(lines) {
        if facts.practice.factors(under).is_none() {
            let allowed = says::list(facts.practice.below.keys().map(|under| under.words()));
            let (under, practice) = (under.words(), &facts.practice.id);
            let says = format!("`{name}` hangs with {under}; the practice `{practice}` is for {allowed}");
            let mend = "Keep them out from below, or use a practice that is for them.";
            findings.push(RULE.stop(subject, says, mend));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use crate::{Practices, Under};

    #[test]
    fn clear_below_refuses_crew_and_public() {
        let mut facts = samples::rig();
        facts.practice = Practices::published().get("static-clear-below").unwrap();
        for (under, expected) in [(Under::Nobody, 0), (Under::Crew, 1), (Under::Public, 1)] {
            samples::set_all_under(&mut facts, under);
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{under:?}");
        }
    }

    /// Its lines have no working load then, which is not said again of each.
    #[test]
    fn one_stop_says_it_for_all_the_lines_of_a_load() {
        let mut facts = samples::rig();
        facts.practice = Practices::published().get("static-clear-below").unwrap();
        facts.junctions = vec![samples::junction(Some(samples::shackle()))];
        facts.points[0].part = Some(std::sync::Arc::new(samples::shackle()));
        let judgement = crate::judge(&facts);
        assert!(
            judgement
                .measured
                .lines
                .iter()
                .all(|line| line.load.working_load_n.is_none())
        );
        let stops = judgement.findings.iter().filter(|f| f.severity == Severity::Stop);
        assert_eq!(stops.map(|f| f.rule.as_str()).collect::<Vec<_>>(), [RULE.id]);
    }

    #[test]
    fn a_line_without_a_load_is_not_passed_by() {
        let mut facts = samples::rig();
        facts.practice = Practices::published().get("static-clear-below").unwrap();
        facts.loads.clear();
        facts.lines.iter_mut().for_each(|line| line.loads.clear());
        assert_eq!(samples::severities(RULE.id, &facts), ["stop", "stop"]);
    }
}
