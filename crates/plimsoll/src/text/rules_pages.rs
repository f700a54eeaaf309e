//! Rules as plain text.

use super::page::Page;
use super::table::{Column, Table};
use app::{RulePage, Severity};

const COLUMNS: [Column; 3] = [
    Column::words("rule"),
    Column::words("at worst"),
    Column::words("about").aside("#"),
];

const PRACTICES: [Column; 2] = [Column::words("practice"), Column::words("about").aside("#")];

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
    out
}

/// Sets one rule in full.
pub fn rule_page(rule: &RulePage, page: &Page) -> String {
    let mut out = page.paragraph(&format!("{}: {}", rule.id, rule.title), 0);
    out.push_str(&page.paragraph(&rule.statement, 2));
    out.push_str(&page.labelled("at worst:", severity(rule.severity), 2));
    out.push_str(&page.labelled("source:", &rule.source, 2));
    out
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Caution => "caution",
        Severity::Stop => "stop",
    }
}
