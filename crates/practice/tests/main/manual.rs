//! The manual in `docs/` is the one that the rules give, and every rule is fit to be read.

use practice::{Severity, cautions, manual, rules};

#[test]
fn the_manual_in_docs_is_up_to_date() {
    let written = include_str!("../../../../docs/rules.md");
    assert!(
        written.ends_with(&manual()),
        "docs/rules.md is not what the rules say; `cargo xtask generate` writes it"
    );
}

#[test]
fn every_rule_has_a_name_of_its_own_a_statement_and_a_source() {
    let mut ids: Vec<&str> = rules().iter().map(|rule| rule.id).collect();
    ids.sort_unstable();
    let count = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), count, "two rules have one name");
    for rule in rules() {
        assert!(
            rule.id.chars().all(|c| c.is_ascii_lowercase() || c == '-'),
            "{}",
            rule.id
        );
        assert!(
            rule.statement.ends_with('.') && rule.statement.len() > 60,
            "{}",
            rule.id
        );
        assert!(
            !rule.sources.is_empty() && !rule.source().is_empty(),
            "{}",
            rule.id
        );
    }
}

/// A source that is cited by key is one that the bibliography has.
#[test]
fn every_cited_document_is_in_the_bibliography() {
    for rule in rules() {
        for source in rule.sources.iter().map(|source| source.source()) {
            if let Some(key) = &source.key {
                assert!(working::bibliography().contains_key(key), "{}: {key}", rule.id);
            }
        }
    }
}

/// In Europe a bare "grip" is a U-bolt clip.
#[test]
fn a_grip_is_always_an_adjustable_grip_where_a_person_reads_it() {
    let text = manual().to_lowercase();
    for (at, _) in text.match_indices("grip") {
        // Names of rules are identifiers, not words.
        let before = &text[..at];
        let is_id = text[at..].starts_with("grip-");
        assert!(
            is_id || before.ends_with("adjustable "),
            "...{}",
            &text[at.saturating_sub(60)..at + 10]
        );
    }
}

#[test]
fn cautions_say_who_decides_and_that_people_are_not_hung() {
    let all = cautions().join(" ");
    for due in [
        "qualified person",
        "maker's instructions",
        "local codes",
        "people",
        "Inspect",
    ] {
        assert!(all.contains(due), "{due}");
    }
}

/// A rule never gives more than the worst it says; the rules' own tests make each of them speak.
#[test]
fn no_rule_says_worse_than_it_announces() {
    let mut facts = crate::samples::sole_grip_rig();
    facts.loads[0].weight_from = None;
    facts.loads[0].moved_m = Some(3.0);
    facts.loads[0].tilt_rad = Some(3.0);
    facts.loads[0].unstable_as_drawn = true;
    facts.loads[0].without_secondary = Some(crate::Trial::Falls("nothing is left".into()));
    facts.lines[0].role = crate::Role::Secondary;
    facts.lines[0].set_by_adjustment = true;
    facts.points[0].allows = None;
    facts.points[0].part = Some(std::sync::Arc::new(crate::samples::rope()));
    facts.junctions = vec![crate::samples::junction(Some(crate::samples::eye_bolt()))];
    let findings = crate::judge(&facts).findings;
    assert!(findings.iter().any(|finding| finding.severity == Severity::Stop));
    for finding in findings {
        let rule = rules().iter().find(|rule| rule.id == finding.rule).unwrap();
        assert!(finding.severity <= rule.severity, "{}", rule.id);
    }
}
