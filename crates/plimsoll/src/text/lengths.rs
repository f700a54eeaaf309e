//! How long lines to trim must be.

use super::figures::length;
use super::page::Page;
use super::table::{Column, Table};
use app::{Kind, Verdict};

const LENGTHS: [Column; 4] = [
    Column::words("line"),
    Column::number("unloaded,\nbearing to bearing"),
    Column::number("rope\nin it"),
    Column::words("note").aside("#"),
];

/// Sets the lengths of the lines to trim.
pub fn lengths(verdict: &Verdict, page: &Page) -> String {
    let lines = verdict.lines.iter().filter(|(_, line)| line.to_trim);
    let rows = lines.map(|(name, line)| {
        let settles = line.settles_m.map(|settles_m| {
            let most = Kind::Stretch.print(settles_m, page.style);
            format!(
                "a new rope settles by up to {most}: make it shorter by that, or take it up after loading"
            )
        });
        vec![
            name.clone(),
            length(line.unloaded_length_m, page.style),
            line.rope_length_m
                .map_or("-".into(), |rope_m| length(rope_m, page.style)),
            settles.unwrap_or_default(),
        ]
    });
    Table::new(&LENGTHS, rows.collect()).set(page.width)
}
