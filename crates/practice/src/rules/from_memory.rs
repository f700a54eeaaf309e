//! Figures that nobody has seen in print.
//!
//! Conventions: the subject is a line, a junction or a point.
//! Assumes: only the figures behind the governing part and the demand decide the verdict.
//! Valid for: subjects with a working load.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::judgement::LineJudgement;
use crate::rule::{Judged, Rule, SourceRef};
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "from-memory",
    title: "A governing figure was seen in print",
    statement: "Where the working load or the demand that decides rests on a figure given from memory, a person checks \
                it on paper first.",
    sources: &[SourceRef::Plain("no number without a source", Seen::Judgement)],
    severity: Severity::Caution,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let lines = judged.lines.iter().map(|line| {
        let numbers = governing(line).into_iter().chain(line.demand_n.as_ref());
        (
            format!("lines.{}", line.name),
            &line.name,
            numbers.collect::<Vec<_>>(),
        )
    });
    let junctions = judged.junctions.iter().map(|at| {
        let numbers = at.working_load_n.iter().chain(&at.demand_n);
        (
            format!("junctions.{}", at.name),
            &at.name,
            numbers.collect::<Vec<_>>(),
        )
    });
    let points = judged.points.iter().map(|at| {
        let numbers = at.working_load_n.iter().chain(&at.demand_n);
        (
            format!("points.{}", at.name),
            &at.name,
            numbers.collect::<Vec<_>>(),
        )
    });
    let mut findings = Vec::new();
    for (subject, name, numbers) in lines.chain(junctions).chain(points) {
        let figures = named(&numbers);
        if !figures.is_empty() {
            let says = format!(
                "what governs `{name}` rests on figures from memory: {}",
                figures.join("; ")
            );
            findings.push(RULE.caution(
                subject,
                says,
                "Check them against the maker's or the standard's own print.",
            ));
        }
    }
    findings
}

/// The working load of the part that governs a line; not those of the parts that do not.
fn governing(line: &LineJudgement) -> Option<&Number> {
    let loads = line.by_part.iter().map(|part| &part.working_load_n);
    loads.min_by(|a, b| a.value().total_cmp(&b.value()))
}

/// Names each figure once.
fn named(numbers: &[&Number]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for figure in numbers.iter().flat_map(|number| number.from_memory()) {
        let name = format!("{} ({})", figure.what(), figure.source().says);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};
    use parts::Rating;
    use quantity::Kind;
    use working::Source;

    fn remembered(pounds: f64) -> Rating {
        let source = Source::plain("a trade table", Seen::Memory);
        Rating::Breaking(Number::given(
            "least breaking strength",
            "F",
            Kind::Force,
            pounds * LB,
            source,
        ))
    }

    #[test]
    fn a_governing_figure_from_memory_is_a_caution_that_names_it() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let mut rope = samples::rope();
        rope.rating = remembered(4200.0);
        facts.lines[0] = samples::line(
            "nw",
            samples::makeup("leg", vec![samples::eye(0.9), rope, samples::eye(0.9)]),
            1.0,
        );
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found[0].severity, Severity::Caution);
        assert!(found[0].says.contains("least breaking strength (a trade table)"));
    }

    #[test]
    fn a_figure_from_memory_that_does_not_govern_is_none() {
        let mut facts = samples::rig();
        let mut link = samples::link(1.0, None);
        link.rating = remembered(100_000.0);
        let parts = vec![link, samples::eye(0.9), samples::rope(), samples::eye(0.9)];
        facts.lines[0] = samples::line("nw", samples::makeup("leg", parts), 1.0);
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
