//! Which parts are there, and what is known of one?

use crate::part_words::{figures, says};
use crate::shelf::Shelf;
use parts::{Origin, Part, Rating};
use quantity::Style;
use schemars::JsonSchema;
use serde::Serialize;
use working::{Number, line};

/// One part in a list.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PartSummary {
    /// Its id, as makeups name it.
    pub id: String,
    /// Its kind, such as `shackle`.
    pub kind: String,
    /// What it is, in words.
    pub name: String,
    /// What its rating is and on what it stands, in a few words.
    pub rating: String,
    /// Where it stands: `published`, or the shop's file.
    pub book: String,
    /// Whether it was made up for a demonstration.
    pub invented: bool,
}

/// One figure of a part.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PartFigure {
    /// What the figure is.
    pub what: String,
    /// The figure, and its working where it was computed.
    pub reads: String,
    /// The value in the SI unit of its kind.
    pub value: f64,
    /// The kind of quantity.
    pub quantity: String,
    /// Where it comes from.
    pub source: String,
    /// What a reader must know besides.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<String>,
    /// The figures it was computed from.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub from: Vec<PartFigure>,
}

/// Everything known of one part.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PartPage {
    /// As in a list.
    #[serde(flatten)]
    pub summary: PartSummary,
    /// What it is made of, what it takes and how it is used, in sentences.
    pub says: Vec<String>,
    /// Its figures with their sources.
    pub figures: Vec<PartFigure>,
    /// What a reader must know besides.
    pub notes: Vec<String>,
}

/// Lists the parts that have all of these words in their id, kind or name; with no words, all.
pub fn parts(shelf: &Shelf, words: &str, style: Style) -> Vec<PartSummary> {
    shelf
        .book
        .search(words)
        .iter()
        .map(|part| summary(part, style))
        .collect()
}

/// Gives everything known of one part; if there is none of that id, the nearest id.
pub fn part(shelf: &Shelf, id: &str, style: Style) -> Result<PartPage, Option<String>> {
    let part = shelf
        .book
        .get(id)
        .ok_or_else(|| shelf.book.nearest(id).map(ToString::to_string))?;
    Ok(PartPage {
        summary: summary(&part, style),
        says: says(&part, style),
        figures: figures(&part)
            .into_iter()
            .map(|number| figure(number, style))
            .collect(),
        notes: part.notes.clone(),
    })
}

fn summary(part: &Part, style: Style) -> PartSummary {
    PartSummary {
        id: part.id.clone(),
        kind: part.kind().to_string(),
        name: part.name.clone(),
        rating: rating(part, style),
        book: match &part.origin {
            Origin::Published => "published".into(),
            Origin::Shop {
                file,
                replaces_published: true,
                ..
            } => format!("{file} (replaces the published entry)"),
            Origin::Shop { file, .. } => file.clone(),
        },
        invented: part.invented,
    }
}

fn rating(part: &Part, style: Style) -> String {
    let print = |number: &Number| number.kind().print(number.value(), style.finer());
    match &part.rating {
        Rating::WorkingLoad {
            load,
            design_factor: Some(factor),
        } => {
            format!(
                "{} working load at a design factor of {}",
                print(load),
                print(factor)
            )
        }
        Rating::WorkingLoad {
            load,
            design_factor: None,
        } => {
            format!("{} working load, design factor not stated", print(load))
        }
        Rating::Breaking(strength) => format!("{} breaking strength", print(strength)),
        Rating::Efficiency(share) => format!("{} of the rope's strength", print(share)),
        Rating::Bending(bending) => format!(
            "{} bending moment, {} shear",
            print(&bending.moment_n_m),
            print(&bending.shear_n)
        ),
        Rating::ByRope => "by rope".into(),
        Rating::Unrated(why) => format!("unrated: {why}"),
    }
}

fn figure(number: &Number, style: Style) -> PartFigure {
    PartFigure {
        what: number.what().to_string(),
        reads: line(number, style.finer()),
        value: number.value(),
        quantity: number.kind().name().to_string(),
        source: number.source().to_string(),
        remarks: number.remarks().to_vec(),
        from: number
            .inputs()
            .into_iter()
            .map(|input| figure(input, style))
            .collect(),
    }
}
