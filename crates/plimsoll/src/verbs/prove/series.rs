//! What does this series support?

use super::with_file;
use crate::answer::{Answer, Exit};
use crate::cli::{Books, UnitsAsked};
use crate::reading::beside;
use crate::surroundings::Surroundings;
use crate::text::series_page;
use crate::verbs::run::{json_text, with_books};
use app::{SeriesAsk, Severity};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Asks what a series supports.
#[derive(Debug, Args)]
pub struct Series {
    /// The series document; its logs lie beside it
    #[arg(value_name = "SERIES")]
    file: Option<PathBuf>,
    /// Shows how the limit and what it is held against come about
    #[arg(long)]
    working: bool,
    /// Draws the specimens with the limit and the claim into this SVG file
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
    /// Answers in JSON (see `plimsoll schema prove`)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsAsked,
    #[command(flatten)]
    books: Books,
}

/// Reads the series with its logs and tells what it supports.
pub fn answer(asked: &Series, surroundings: &Surroundings) -> Answer {
    let Some(file) = &asked.file else {
        return Answer::unreadable("name a series document, or ask about one log: `plimsoll prove log FILE`");
    };
    let (document, shelving) = match with_books(file, &asked.books, surroundings) {
        Ok(read) => read,
        Err(answer) => return answer,
    };
    let style = asked.units.style(shelving.units);
    let ask = SeriesAsk {
        working: asked.working,
        plot: asked.plot.is_some(),
        style,
    };
    let reply = match app::prove_series(&shelving.shelf, &document.text(), &beside(file), ask) {
        Ok(reply) => reply,
        Err(mistakes) => {
            return Answer::mistakes(mistakes.render(surroundings.width, surroundings.colour_of_mistakes));
        }
    };
    let page = surroundings.page(style);
    let out = if asked.json {
        json_text(&json!(reply.answer))
    } else {
        series_page(&reply.answer, &shelving.overlays, asked.working, &page)
    };
    let mut findings = reply.answer.findings.iter();
    let answer = Answer {
        exit: if findings.any(|finding| finding.severity == Severity::Stop) {
            Exit::Stop
        } else {
            Exit::Fit
        },
        ..Answer::of(out)
    };
    match &asked.plot {
        Some(plot) => with_file(answer, ("--plot", plot), &[file], reply.plot_svg.as_deref()),
        None => answer,
    }
}
