//! Parts that are made up, or that a shop put in the place of published ones.
//!
//! Conventions: the subject is a makeup, a junction, a point or a pipe.
//! Assumes: the parts book marks both.
//! Valid for: every part in use.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use parts::{BendRow, Book, Origin, Part};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "unusual-parts",
    title: "Invented parts and a shop's own are named",
    statement: "A part that was made up for a demonstration exists nowhere; a verdict that uses it says so. A shop's part \
                that takes the place of a published one is named, and is a caution where it is rated better; so is a \
                shop's own table of bends.",
    sources: &[SourceRef::Plain("nothing is assumed in silence", Seen::Judgement)],
    severity: Severity::Caution,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        let mut seen: Vec<&str> = Vec::new();
        for piece in &made.makeup.pieces {
            if !seen.contains(&piece.part.id.as_str()) {
                seen.push(&piece.part.id);
                findings.extend(judge_part(&piece.part, &made.subject()));
            }
        }
    }
    let points = judged
        .facts
        .points
        .iter()
        .map(|at| (format!("points.{}", at.name), &at.part));
    let junctions = judged
        .facts
        .junctions
        .iter()
        .map(|at| (format!("junctions.{}", at.name), &at.part));
    for (subject, part) in junctions.chain(points) {
        findings.extend(part.iter().flat_map(|part| judge_part(part, &subject)));
    }
    for pipe in &judged.facts.pipes {
        let mut seen: Vec<&str> = Vec::new();
        for part in pipe
            .section
            .iter()
            .chain(pipe.picks.iter().filter_map(|pick| pick.part.as_ref()))
        {
            if !seen.contains(&part.id.as_str()) {
                seen.push(&part.id);
                findings.extend(judge_part(part, &format!("pipes.{}", pipe.name)));
            }
        }
    }
    findings
}

fn judge_part(part: &Part, subject: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    if part.invented {
        let says = format!(
            "`{}` is invented for a demonstration; no such part can be bought",
            part.id
        );
        findings.push(RULE.caution(
            subject,
            says,
            "Put a real part with its maker's rating in its place.",
        ));
    }
    if let Origin::Shop {
        file,
        replaces_published: true,
        better,
    } = &part.origin
    {
        let says = format!(
            "`{}` is the shop's own, from {file}, in the place of the published part",
            part.id
        );
        findings.push(if better.is_empty() {
            RULE.note(subject, says, "")
        } else {
            let says = format!("{says}, and better: {}", better.join("; "));
            let mend = "Have the document behind the shop's figure looked at.";
            RULE.caution(subject, says, mend)
        });
    }
    findings.extend(own_bends(part, subject));
    findings
}

/// Names a table of bends, or sheave ratios, of the shop's own.
fn own_bends(part: &Part, subject: &str) -> Option<Finding> {
    let rope = part.rope().filter(|rope| !rope.is_strand())?;
    let published = Book::published().bends();
    let same = |a: &BendRow, b: &BendRow| {
        a.ratio.to_bits() == b.ratio.to_bits()
            && a.efficiency.value().to_bits() == b.efficiency.value().to_bits()
    };
    let is_published =
        rope.bends.len() == published.len() && rope.bends.iter().zip(published).all(|(a, b)| same(a, b));
    (!is_published).then(|| {
        let says = format!(
            "what is left of `{}` at bends is by the shop's own table",
            part.id
        );
        RULE.caution(
            subject,
            says,
            "Have the document behind the shop's table looked at.",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use std::sync::Arc;

    #[test]
    fn an_invented_section_is_named_at_its_pipe() {
        let mut facts = samples::pipe_rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let mut section = facts.pipes[0].section.as_ref().unwrap().as_ref().clone();
        section.invented = true;
        facts.pipes[0].section = Some(Arc::new(section));
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].subject.as_str()), (1, "pipes.batten"));
    }

    #[test]
    fn both_are_named_where_they_are_used() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let mut link = samples::link(2000.0, Some(5.0));
        link.invented = true;
        link.origin = Origin::Shop {
            file: "shop.toml".into(),
            replaces_published: true,
            better: Vec::new(),
        };
        facts.points[0].part = Some(Arc::new(link.clone()));
        assert_eq!(samples::severities(RULE.id, &facts), ["caution", "note"]);
        if let Origin::Shop { better, .. } = &mut link.origin {
            better.push("rating of link-1/2 20000 lb, published 2000 lb".into());
        }
        facts.points[0].part = Some(Arc::new(link));
        assert_eq!(samples::severities(RULE.id, &facts), ["caution", "caution"]);
        let mut shackle = samples::shackle();
        shackle.invented = true;
        let parts = vec![
            shackle.clone(),
            samples::eye(0.9),
            samples::rope(),
            samples::eye(0.9),
            shackle,
        ];
        facts.points[0].part = None;
        facts.lines[0] = samples::line("nw", samples::makeup("leg", parts), 1.0);
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
    }
}
