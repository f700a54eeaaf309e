//! The rule manual, generated from the rules and the published practices.

use crate::cautions::cautions;
use crate::finding::Severity;
use crate::practice::{Factors, Practice};
use crate::practices::Practices;
use crate::rule::{Rule, rules};
use parts::{Book, SheaveRatio};
use quantity::{Kind, Style};
use std::fmt::Write as _;

/// Writes the rule manual in Markdown; `docs/rules.md` is this text.
pub fn manual() -> String {
    let mut out = String::from(HEAD);
    for caution in cautions() {
        line(&mut out, &format!("- {caution}"));
    }
    out.push_str(RULES);
    for rule in rules() {
        line(
            &mut out,
            &format!(
                "| [`{0}`](#{0}) | {1} | {2} |",
                rule.id,
                rule.title,
                severity(rule.severity)
            ),
        );
    }
    for rule in rules() {
        section(&mut out, rule);
    }
    out.push_str(PRACTICES);
    for practice in Practices::published().iter() {
        practice_section(&mut out, practice);
    }
    out.push_str(BENDS);
    for row in Book::published().bends() {
        let left = Kind::Ratio.print(row.efficiency.value(), Style::us());
        line(
            &mut out,
            &format!("| {} | {left} | {} |", row.ratio, row.efficiency.source()),
        );
    }
    out.push_str(SHEAVES);
    for (construction, SheaveRatio { least, suggested }) in Book::published().sheaves() {
        let (least_ratio, suggested) = (least.value(), suggested.value());
        let source = least.source();
        line(
            &mut out,
            &format!("| {construction} | {least_ratio} | {suggested} | {source} |"),
        );
    }
    out
}

const HEAD: &str = "\
# Rules, practices and design factors

This page is generated from the rules themselves (`practice::manual`); a test holds it to them. A finding is a
`stop` (must not hang like this), a `caution` (needs a person's judgement first) or a `note`. Every source says how
far it was checked: *from memory* and *our judgement* mean that no document was held against it.

## Cautions

";

const RULES: &str = "
## Rules

| rule | what it says | at worst |
|---|---|---|
";

const PRACTICES: &str = "
## Published practices

A rig names the practice in force. A shop may write its own, based on one of these and as strict or stricter; a looser
one gives its reason, which is then a caution in every verdict. Whom a practice does not name may not be below.
";

const BENDS: &str = "
## Strength left at a bend

D is what the rope bends over, d the rope. Between two rows the worse one holds; under 1, and for strand, there is none.
A shop's parts book may have a table of its own.

| D/d | left | source |
|---|---|---|
";

const SHEAVES: &str = "
## Sheaves

Least and suggested D/d of rope that runs while a load moves.

| construction | least | suggested | source |
|---|---|---|---|
";

fn section(out: &mut String, rule: &Rule) {
    line(
        out,
        &format!("\n### {}\n\n**{}.** {}\n", rule.id, rule.title, rule.statement),
    );
    line(out, &format!("At worst a {}. Source:", severity(rule.severity)));
    line(out, "");
    for source in rule.sources {
        line(out, &format!("- {}", source.source()));
    }
}

fn practice_section(out: &mut String, practice: &Practice) {
    line(
        out,
        &format!(
            "\n### {}\n\n**{}.** {}\n",
            practice.id, practice.title, practice.statement
        ),
    );
    for sentence in practice.sentences() {
        line(out, &format!("{sentence}\n"));
    }
    line(
        out,
        "| who is below | part | factor | source |\n|---|---|---|---|",
    );
    for (under, factors) in &practice.below {
        factor_rows(out, under.words(), factors);
    }
}

fn factor_rows(out: &mut String, who: &str, factors: &Factors) {
    for (part, factor) in factors.each() {
        let part = part.replace('_', " ");
        line(
            out,
            &format!("| {who} | {part} | {} | {} |", factor.value(), factor.source()),
        );
    }
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Caution => "caution",
        Severity::Stop => "stop",
    }
}

fn line(out: &mut String, text: &str) {
    // Writing to a String can not fail.
    let _ = writeln!(out, "{text}");
}
