//! Figures that nobody has seen in print.
//!
//! Conventions: the subject is a line, a junction, a point or a pipe; of a pipe the limit that governs it.
//! Assumes: only the figures behind the governing part and the demand decide the verdict, and of those only the ones
//! without which it would change by a hundredth of the working load or more.
//! Valid for: subjects with a working load, and points without a part; what is unrated is stopped for that.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::judgement::{LineJudgement, PipeJudgement};
use crate::rule::{Judged, Rule, SourceRef};
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "from-memory",
    title: "A governing figure was seen in print",
    statement: "Where the working load or the demand that decides rests on a figure given from memory, a person checks \
                it on paper first. A figure that changes what is compared by less than a hundredth of the working load, or of what the \
                building allows at a point without a part, is passed over.",
    sources: &[SourceRef::Plain("no number without a source", Seen::Judgement)],
    severity: Severity::Caution,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let lines = judged
        .measured
        .lines
        .iter()
        .filter(|line| line.load.working_load_n.is_some());
    let lines = lines.map(|line| ("lines", &line.name, governing(line), &line.demand_n));
    let junctions = judged.measured.junctions.iter().filter(|at| at.unrated.is_none());
    let junctions = junctions.map(|at| {
        let working_load = at.working_load_n.as_ref();
        ("junctions", &at.name, working_load, &at.demand_n)
    });
    let points = judged.measured.points.iter().filter(|at| at.unrated.is_none());
    let points = points.map(|at| ("points", &at.name, at.working_load_n.as_ref(), &at.demand_n));
    // Of a pipe, the use of the limit that governs it rests on both; 1 is the limit.
    let pipes = judged.measured.pipes.iter();
    let pipes = pipes.map(|pipe| ("pipes", &pipe.name, nearest_limit(pipe), &NOTHING));
    let allowed = |room: &str, name: &str| {
        let point = judged
            .facts
            .points
            .iter()
            .find(|at| room == "points" && at.name == name)?;
        point.allows.as_ref()?.down_n.as_ref()
    };
    let mut findings = Vec::new();
    for (room, name, working_load, demand) in lines.chain(junctions).chain(points).chain(pipes) {
        let figures = named(working_load, demand.as_ref(), allowed(room, name));
        if !figures.is_empty() {
            let says = format!(
                "what governs `{name}` rests on figures from memory: {}",
                figures.join("; ")
            );
            let mend = "Check them against the maker's or the standard's own print.";
            findings.push(RULE.caution(format!("{room}.{name}"), says, mend));
        }
    }
    findings
}

const NOTHING: Option<Number> = None;

/// The greatest use of one limit of a pipe, without the others, which do not decide.
fn nearest_limit(pipe: &PipeJudgement) -> Option<&Number> {
    let greatest = pipe.utilisation.as_ref()?;
    let each = greatest.inputs().into_iter();
    let of_limits = each.filter(|number| number.symbol() == greatest.symbol());
    let most = of_limits.max_by(|a, b| a.value().total_cmp(&b.value()));
    most.or(Some(greatest))
}

/// The working load of the part that governs a line; not those of the parts that do not.
fn governing(line: &LineJudgement) -> Option<&Number> {
    let loads = line.load.by_part.iter().map(|part| &part.working_load_n);
    loads.min_by(|a, b| a.value().total_cmp(&b.value()))
}

/// A figure that changes a number by less than this share of the working load does not decide: the weight of thin
/// rope, say.
const MATTERS: f64 = 0.01;

/// Names each figure that matters once.
fn named(working_load: Option<&Number>, demand: Option<&Number>, allowed: Option<&Number>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for number in working_load.into_iter().chain(demand) {
        let scale = working_load.or(allowed).unwrap_or(number).value();
        for figure in number
            .from_memory()
            .into_iter()
            .filter(|figure| matters(number, figure, scale))
        {
            let name = format!("{} ({})", figure.what(), figure.source().says);
            if !names.contains(&name) {
                names.push(name);
            }
        }
    }
    names
}

/// Tells whether a number would be noticeably another without a figure. What can not be told matters.
fn matters(number: &Number, figure: &Number, scale: f64) -> bool {
    let change = (number.value() - number.value_without(figure)).abs();
    change.is_nan() || change >= MATTERS * scale.abs()
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

    /// A line without a working load is stopped for that; which remembered figure would govern is no matter.
    #[test]
    fn nothing_governs_an_unrated_line() {
        let mut facts = samples::rig();
        let mut rope = samples::rope();
        rope.rating = remembered(4200.0);
        let parts = vec![samples::eye(0.9), rope, samples::grip(440.0, None)];
        facts.lines[0] = samples::line("nw", samples::makeup("leg", parts), 1.0);
        assert!(samples::found(RULE.id, &facts).is_empty());
    }

    /// The shear and the torque that a pipe may carry are remembered, its moment is not.
    #[test]
    fn of_a_pipe_only_the_limit_that_governs_counts() {
        let mut facts = samples::pipe_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.pipes[0].shear_n = Some(samples::along(3000.0 * LB));
        let found = samples::found(RULE.id, &facts);
        assert_eq!(
            (found.len(), found[0].subject.as_str(), found[0].severity),
            (1, "pipes.batten", Severity::Caution)
        );
        assert!(
            found[0].says.contains("shear that pipe-1-1/2-sch40 may carry"),
            "{}",
            found[0].says
        );
    }

    #[test]
    fn a_figure_from_memory_that_changes_nothing_is_none() {
        let source = Source::plain("a trade table", Seen::Memory);
        let weight =
            |share: f64| Number::given("weight of the rope", "w", Kind::Force, share * LB, source.clone());
        let mut facts = samples::rig();
        let tension = facts.lines[0].tension_n.clone().unwrap();
        // The line of the sample works at 4200 lbf x 0.9 / 5 or more: 1 lbf is nothing to it, 100 lbf is much.
        for (share, expected) in [(1.0, 0), (100.0, 1)] {
            let formula = &tension + &weight(share);
            let total = Number::computed("tension", "T", Kind::Force, formula, Source::mechanics("sum"));
            facts.lines[0].tension_n = Some(total);
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{share}");
        }
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
