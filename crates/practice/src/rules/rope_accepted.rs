//! Each end takes the rope it is put on.
//!
//! Conventions: the subject is a makeup.
//! Assumes: an end without a list of ropes takes any; an adjustable grip takes only the exact ropes it is rated on.
//! Valid for: terminations, clips, adjustable grips; thimbles by rope size.
//! Source: [bib:b3026-2010]; [bib:univ-prod] (thimbles); the rest is common practice.
//! Checked by: the tests below.

use crate::acceptance::refusal;
use crate::finding::{Finding, Severity};
use crate::rating;
use crate::rule::{COMMON_PRACTICE, Judged, Made, Rule, SourceRef};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "rope-accepted",
    title: "Each end takes the rope it is put on",
    statement: "A termination or clips take the constructions, materials and sizes of rope that they are made for; an \
                adjustable grip only the exact rope that its maker rates it on, and coated rope never unless the maker \
                says so; a thimble only its own size. A line with a part that refuses its rope has no working load.",
    sources: &[
        SourceRef::Cited("b3026-2010", "26-3.1.1(c), as the maker recommends", Seen::Text),
        SourceRef::Cited("univ-prod", "a thimble of the cable's own size", Seen::Text),
        COMMON_PRACTICE,
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged.makeups().iter().flat_map(judge_makeup).collect()
}

fn judge_makeup(made: &Made<'_>) -> Vec<Finding> {
    let Some(rope) = made.rope() else {
        return Vec::new();
    };
    let refused = made
        .pieces()
        .filter_map(|(_, place, piece)| Some((place, &piece.part, refusal(&piece.part, rope)?)));
    refused
        .map(|(place, part, why)| {
            let says = format!(
                "`{}` ({place} of `{}`) does not take its rope: {why}",
                part.id, made.makeup.name
            );
            let mend = format!(
                "Use a part that is made for {}, or another rope.",
                rating::rope_in_words(rope)
            );
            RULE.stop(made.subject(), says, mend)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use parts::{Body, EndForm, Part};

    /// What each list refuses is tested with [`parts::Accepts`]; here, that the rule asks it.
    #[test]
    fn an_end_refuses_what_is_not_on_its_list() {
        let mut part = samples::end(EndForm::Eye, true, 0.95);
        let rope = samples::rope();
        assert_eq!(refusal(&part, rope.rope().unwrap()), None);
        if let Body::End(end) = &mut part.body {
            end.accepts.constructions = vec!["6x19".into()];
        }
        assert!(refusal(&part, rope.rope().unwrap()).unwrap().contains("6x19"));
        let clips = samples::clips(true);
        assert_eq!(refusal(&clips, rope.rope().unwrap()), None);
        assert!(
            refusal(
                &clips,
                samples::rope_of("7x19", "galvanised", 0.25, 7000.0)
                    .rope()
                    .unwrap()
            )
            .is_some()
        );
    }

    #[test]
    fn an_adjustable_grip_takes_its_exact_rope_alone() {
        let grip = samples::grip(420.0, Some(5.0));
        let takes = |rope: &Part| refusal(&grip, rope.rope().unwrap()).is_none();
        assert!(takes(&samples::rope()));
        assert!(!takes(&samples::rope_of("7x7", "galvanised", 0.1875, 3700.0)));
        assert!(!takes(&samples::rope_of("7x19", "stainless-304", 0.1875, 3700.0)));
        assert!(!takes(&samples::rope_of("7x19", "galvanised", 0.25, 7000.0)));
        let mut coated = samples::rope();
        if let Body::Rope(rope) = &mut coated.body {
            rope.coated = true;
        }
        assert!(!takes(&coated));
    }

    #[test]
    fn a_thimble_takes_its_own_size() {
        let rope = samples::rope();
        assert_eq!(refusal(&samples::thimble(0.1875), rope.rope().unwrap()), None);
        assert!(refusal(&samples::thimble(0.25), rope.rope().unwrap()).is_some());
    }

    #[test]
    fn a_refused_rope_is_a_stop() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let parts = vec![
            samples::eye(0.9),
            samples::rope_of("1x19", "galvanised", 0.1875, 4700.0),
            samples::grip(1.0, Some(5.0)),
        ];
        facts.lines[0] = samples::line("nw", samples::makeup("leg", parts), 1.0);
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }
}
