//! The answer about one line as plain text.

use super::figures::{force, utilisation};
use super::findings::findings;
use super::page::Page;
use super::table::{Column, Table};
use super::verdict::overlays_sentence;
use app::LineAnswer;

const COLUMNS: [Column; 5] = [
    Column::words("part"),
    Column::words("place"),
    Column::number("working\nload"),
    Column::number("rating"),
    Column::words("unrated because").aside("unrated: #"),
];

/// Sets the answer: verdict first, then the parts, the findings, what was assumed and the cautions.
pub fn line_answer(answer: &LineAnswer, overlays: &[String], working: bool, page: &Page) -> String {
    let mut out = page.after_word(answer.verdict, &sum(answer, page));
    out.push_str(&page.labelled("practice:", &answer.practice, 2));
    out.push_str(&overlays_sentence(overlays, page));
    out.push_str(&page.heading("Parts"));
    out.push_str(&parts(answer, page));
    out.push_str(&page.heading("Findings"));
    out.push_str(&findings(&answer.findings, page));
    if working && let Some(tree) = app::explain_line(answer, page.style, page.width) {
        out.push_str(&page.heading("Working"));
        out.push_str(&tree);
    }
    out.push_str(&page.heading("Assumed, because nobody said"));
    out.push_str(&page.bullets(&answer.defaults));
    out.push_str(&page.heading("Cautions"));
    out.push_str(&page.bullets(&answer.cautions));
    out
}

fn sum(answer: &LineAnswer, page: &Page) -> String {
    let demand = force(answer.demand_n, page.style);
    let Some(working_load_n) = answer.working_load_n else {
        return format!("demand {demand}; the line has no working load");
    };
    let working_load = force(Some(working_load_n), page.style);
    let part = answer.governing_part.as_deref().unwrap_or("its weakest part");
    let used = utilisation(answer.utilisation, page.style);
    format!("demand {demand}, working load {working_load}: use {used}; {part} decides")
}

fn parts(answer: &LineAnswer, page: &Page) -> String {
    let row = |part: &_| {
        let app::LinePart {
            part,
            place,
            working_load_n,
            rating_n,
            unrated,
        } = part;
        let rating = rating_n
            .map(|rating_n| force(Some(rating_n), page.style))
            .unwrap_or_default();
        vec![
            part.clone(),
            place.clone(),
            force(*working_load_n, page.style),
            rating,
            unrated.clone(),
        ]
    };
    Table::new(&COLUMNS, answer.parts.iter().map(row).collect()).set(page.width)
}
