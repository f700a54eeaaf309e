//! Lines that span, flat, with things hung along them.
//!
//! Conventions: the subject is a line.
//! Assumes: its tension was found with its sag, and with lengths off by their tolerance.
//! Valid for: lines that say that they span.
//! Source: statics of a flat cable: a load in the middle of a span of dip d pulls with F l / 4 d; our judgement.
//! Checked by: the test below.

use crate::facts::Role;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "spans",
    title: "A span is known for what it is",
    statement: "A line that spans pulls its ends far more than what hangs on it weighs, the more the flatter it is, and a \
                little less length makes it much flatter. It is held against its tension with lengths off by their \
                tolerance; what it is tightened to must be measured. What runs along it and what clamps it hold it by \
                their own ratings, which are not judged here.",
    sources: &[
        SourceRef::Plain("statics of a flat cable", Seen::Mechanics),
        SourceRef::Plain("our judgement", Seen::Judgement),
    ],
    severity: Severity::Note,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let spans = judged.lines().filter(|(line, _)| line.role == Role::Spans);
    let told = spans.filter_map(|(line, _)| {
        let tension = says::force(line.tension_n.as_ref()?);
        let says = format!(
            "`{}` spans {} and pulls with {tension}; the flatter it is, the more a little less length makes it pull",
            line.name,
            says::line_angle(line.from_horizontal_rad)
        );
        let mend = "Measure its dip or its tension when it is up, and again after a day.";
        Some(RULE.note(format!("lines.{}", line.name), says, mend))
    });
    told.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_span_is_told_and_nothing_else_is() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.lines[0].role = Role::Spans;
        assert_eq!(samples::found(RULE.id, &facts).len(), 1);
    }
}
