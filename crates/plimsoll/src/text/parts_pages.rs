//! Parts as plain text.

use super::page::Page;
use super::table::{Column, Table};
use app::{PartFigure, PartPage, PartSummary};

const COLUMNS: [Column; 4] = [
    Column::words("part"),
    Column::words("kind"),
    Column::words("rating").aside("#"),
    Column::words("book").aside("#"),
];

/// Sets a list of parts.
pub fn part_list(parts: &[PartSummary], page: &Page) -> String {
    let book = |part: &PartSummary| {
        let invented = if part.invented {
            "invented for a demonstration"
        } else {
            ""
        };
        let book = if part.book == "published" {
            ""
        } else {
            part.book.as_str()
        };
        [book, invented]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let rows = parts
        .iter()
        .map(|part| {
            vec![
                part.id.clone(),
                part.kind.clone(),
                part.rating.clone(),
                book(part),
            ]
        })
        .collect();
    Table::new(&COLUMNS, rows).set(page.width) + &page.short_cautions()
}

/// Sets everything known of one part.
pub fn part_page(part: &PartPage, page: &Page) -> String {
    let PartSummary {
        id,
        kind,
        name,
        rating,
        book,
        invented,
    } = &part.summary;
    let mut out = page.paragraph(&format!("{id}: {name}"), 0);
    out.push_str(&page.paragraph(&format!("{kind}; {rating}"), 2));
    out.push_str(&page.paragraph(&format!("book: {book}"), 2));
    if *invented {
        out.push_str(&page.paragraph("invented for a demonstration; no such part can be bought", 2));
    }
    for sentence in &part.says {
        out.push_str(&page.paragraph(sentence, 2));
    }
    out.push_str(&page.heading("Figures"));
    for figure in &part.figures {
        out.push_str(&tell(figure, page, 2));
    }
    if !part.notes.is_empty() {
        out.push_str(&page.heading("Notes"));
        out.push_str(&page.bullets(&part.notes));
    }
    out + &page.short_cautions()
}

fn tell(figure: &PartFigure, page: &Page, indent: usize) -> String {
    let mut out = page.paragraph(&format!("{}: {}", figure.what, figure.reads), indent);
    out.push_str(&page.labelled("source:", &figure.source, indent + 2));
    for remark in &figure.remarks {
        out.push_str(&page.labelled("note:", remark, indent + 2));
    }
    for from in &figure.from {
        out.push_str(&tell(from, page, indent + 2));
    }
    out
}
