//! How long lines to trim must be.

use super::figures::length;
use super::page::Page;
use super::table::{Column, Table};
use app::{CaseKind, Kind, Verdict};

const LENGTHS: [Column; 4] = [
    Column::words("line"),
    Column::number("unloaded,\nbearing to bearing"),
    Column::number("rope\nin it"),
    Column::words("note").aside("#"),
];

/// Lengths in a stage that differ by more than this are told, metres.
const ELSEWHERE_M: f64 = 1e-3;

/// Sets the lengths of the lines to trim: those of the rig as it is to hang, and of stages in which loads hang elsewhere.
pub fn lengths(verdict: &Verdict, page: &Page) -> String {
    let lines = verdict.lines.iter().filter(|(_, line)| line.to_trim);
    let rows = lines.map(|(name, line)| {
        let settles = line.settles_m.map(|settles_m| {
            let most = Kind::Stretch.print(settles_m, page.style);
            format!(
                "a new rope settles by up to {most}: make it shorter by that, or take it up after loading"
            )
        });
        let elsewhere = verdict.cases.iter().filter_map(|(stage, case)| {
            let there_m = case.lines.get(name)?.unloaded_length_m;
            let differs = (there_m - line.unloaded_length_m).abs() > ELSEWHERE_M;
            let is_stage = case.kind == CaseKind::Stage;
            (is_stage && differs).then(|| format!("in stage `{stage}` {}", length(there_m, page.style)))
        });
        let notes: Vec<String> = elsewhere.chain(settles).collect();
        vec![
            name.clone(),
            length(line.unloaded_length_m, page.style),
            line.rope_length_m
                .map_or("-".into(), |rope_m| length(rope_m, page.style)),
            notes.join("; "),
        ]
    });
    Table::new(&LENGTHS, rows.collect()).set(page.width)
}
