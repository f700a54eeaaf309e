//! Hooks that a rope or a fitting can come out of.
//!
//! Conventions: the subject is a makeup, a junction or a point.
//! Assumes: a part that is called a hook is open unless it is called locking; a latch alone locks nothing.
//! Valid for: turnbuckles by their ends, links by their form, and other hardware and ends by their name.
//! Source: [bib:dguv-313-11]; no hook ends over people is common practice.
//! Checked by: the tests below; tests/main/trade.rs.

use crate::facts::Under;
use crate::finding::{Finding, Severity};
use crate::rule::{COMMON_PRACTICE, Judged, Rule, SourceRef};
use parts::{Body, Part};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "open-hooks",
    title: "No open hook over people",
    statement: "Over people every joint is positive and secured against coming loose, so no part there is an open hook: \
                no turnbuckle with a hook end, no hook as a link. Over nobody it is a note.",
    sources: &[
        SourceRef::Cited("dguv-313-11", "every joint over people is positive", Seen::Text),
        COMMON_PRACTICE,
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let facts = judged.facts;
    let mut findings = Vec::new();
    for made in judged.makeups() {
        let lines = facts.lines.iter();
        let of_makeup = lines.filter(|line| {
            line.makeup
                .as_ref()
                .is_some_and(|its| its.name == made.makeup.name)
        });
        let under = of_makeup.map(|line| line.under).max().unwrap_or(Under::Public);
        let mut seen: Vec<&str> = Vec::new();
        for piece in &made.makeup.pieces {
            if !seen.contains(&piece.part.id.as_str()) {
                seen.push(&piece.part.id);
                let place = format!("in `{}`", made.makeup.name);
                findings.extend(judge_part(&piece.part, &place, made.subject(), under));
            }
        }
    }
    let junctions = facts
        .junctions
        .iter()
        .map(|at| ("junctions", &at.name, &at.part, at.under));
    let points = facts
        .points
        .iter()
        .map(|at| ("points", &at.name, &at.part, at.under));
    for (room, name, part, under) in junctions.chain(points) {
        let place = format!("at `{name}`");
        let part = part.iter();
        findings.extend(part.filter_map(|part| judge_part(part, &place, format!("{room}.{name}"), under)));
    }
    findings
}

fn judge_part(part: &Part, place: &str, subject: String, under: Under) -> Option<Finding> {
    if !is_open_hook(part) {
        return None;
    }
    let says = format!("`{}` {place} has an open hook, with {}", part.id, under.words());
    Some(if under.is_overhead() {
        let mend = "Use jaw or eye ends, or another part that can not come loose, and secure it.";
        RULE.stop(subject, says, mend)
    } else {
        let mend = "Keep everybody out from below, and mouse the hook.";
        RULE.note(subject, says, mend)
    })
}

fn is_open_hook(part: &Part) -> bool {
    let words = match &part.body {
        Body::Turnbuckle(turnbuckle) => format!("{} {}", part.name, turnbuckle.ends),
        Body::Link(link) => format!("{} {}", part.name, link.form),
        Body::Shackle(_) | Body::EyeBolt(_) | Body::End(_) | Body::Grip(_) => part.name.clone(),
        Body::Rope(_) | Body::Clips(_) | Body::Thimble(_) | Body::Section(_) => return false,
    }
    .to_lowercase();
    let mut words = words.split(|letter: char| !letter.is_alphabetic());
    words.clone().any(|word| word == "hook" || word == "hooks") && !words.any(|word| word == "locking")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Facts;
    use crate::samples;
    use parts::Turnbuckle;
    use std::sync::Arc;

    fn turnbuckle(ends: &str) -> Part {
        let body = Body::Turnbuckle(Turnbuckle {
            ends: ends.into(),
            take_up_m: None,
            pitch_m: None,
        });
        samples::part("turnbuckle-1/2", body, samples::rated(1500.0, Some(5.0)))
    }

    fn hook(form: &str) -> Part {
        let mut part = samples::link(1000.0, Some(5.0));
        if let Body::Link(link) = &mut part.body {
            link.form = form.into();
        }
        part
    }

    fn with(part: Part, under: Under) -> Facts {
        let mut facts = samples::rig();
        let parts = vec![part, samples::eye(0.95), samples::rope(), samples::eye(0.95)];
        facts.lines[0] = samples::line("nw", samples::makeup("hooked", parts), 100.0);
        samples::set_all_under(&mut facts, under);
        facts
    }

    #[test]
    fn a_hook_end_over_people_is_a_stop_and_over_nobody_a_note() {
        for (under, expected) in [
            (Under::Public, "stop"),
            (Under::Crew, "stop"),
            (Under::Nobody, "note"),
        ] {
            for part in [
                turnbuckle("hook"),
                turnbuckle("Hook and eye"),
                hook("S-hook"),
                hook("hook with latch"),
            ] {
                assert_eq!(
                    samples::severities(RULE.id, &with(part, under)),
                    [expected],
                    "{under:?}"
                );
            }
        }
    }

    #[test]
    fn what_is_no_open_hook_is_fine() {
        for part in [
            turnbuckle("jaw and eye"),
            hook("ring"),
            hook("self-locking hook"),
            samples::shackle(),
        ] {
            assert!(samples::found(RULE.id, &with(part, Under::Public)).is_empty());
        }
    }

    #[test]
    fn a_hook_at_a_point_or_a_junction_is_one_too() {
        let mut facts = samples::rig();
        facts.points[0].part = Some(Arc::new(hook("beam hook")));
        facts.junctions = vec![samples::junction(Some(turnbuckle("hook")))];
        let subjects: Vec<String> = samples::found(RULE.id, &facts)
            .into_iter()
            .map(|f| f.subject)
            .collect();
        assert_eq!(subjects, ["junctions.ring", "points.north"]);
    }

    /// One makeup over nobody and over crew: the worst place that it is used at counts.
    #[test]
    fn the_worst_place_that_a_makeup_is_used_at_counts() {
        let mut facts = with(turnbuckle("hook"), Under::Nobody);
        facts.lines[1] = facts.lines[0].clone();
        facts.lines[1].under = Under::Crew;
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
