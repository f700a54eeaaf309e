//! Rules as plain text.

use super::page::Page;
use super::table::{Column, Table};
use app::{PracticePage, RulePage, Severity};

const COLUMNS: [Column; 3] = [
    Column::words("rule"),
    Column::words("at worst"),
    Column::words("").aside("#"),
];

const PRACTICES: [Column; 2] = [Column::words("practice"), Column::words("").aside("#")];

const FACTORS: [Column; 4] = [
    Column::words("who is below"),
    Column::words("part"),
    Column::number("design\nfactor"),
    Column::words("source").aside("source: #"),
];

/// Sets the list of rules, and below it the practices.
pub fn rule_list(rules: &[RulePage], practices: &[[String; 2]], page: &Page) -> String {
    let row = |rule: &RulePage| {
        vec![
            rule.id.clone(),
            severity(rule.severity).to_string(),
            rule.title.clone(),
        ]
    };
    let mut out = page.heading("Rules").trim_start().to_string();
    out.push_str(&Table::new(&COLUMNS, rules.iter().map(row).collect()).set(page.width));
    out.push_str(&page.heading("Practices"));
    let rows = practices.iter().map(|practice| practice.to_vec()).collect();
    out.push_str(&Table::new(&PRACTICES, rows).set(page.width));
    out + &page.short_cautions()
}

/// Sets one rule in full.
pub fn rule_page(rule: &RulePage, page: &Page) -> String {
    let mut out = page.paragraph(&format!("{}: {}", rule.id, rule.title), 0);
    out.push_str(&page.paragraph(&rule.statement, 2));
    out.push_str(&page.labelled("at worst:", severity(rule.severity), 2));
    out.push_str(&page.labelled("source:", &rule.source, 2));
    out + &page.short_cautions()
}

/// Sets one practice in full.
pub fn practice_page(practice: &PracticePage, page: &Page) -> String {
    let mut out = page.paragraph(&format!("{}: {}", practice.id, practice.title), 0);
    out.push_str(&page.paragraph(&practice.statement, 2));
    for sentence in &practice.says {
        out.push_str(&page.paragraph(sentence, 2));
    }
    let row = |factor: &app::PracticeFactor| {
        let number = factor.factor.to_string();
        vec![
            factor.below.clone(),
            factor.part.clone(),
            number,
            factor.source.clone(),
        ]
    };
    out.push_str(&page.heading("Design factors"));
    out.push_str(&Table::new(&FACTORS, practice.factors.iter().map(row).collect()).set(page.width));
    out + &page.short_cautions()
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Caution => "caution",
        Severity::Stop => "stop",
    }
}
