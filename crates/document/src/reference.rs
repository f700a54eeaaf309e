//! The reference page of a document, made from its shape.

use crate::shape::{Need, Shape, Takes};
use std::fmt::Write as _;

/// Writes one Markdown section for each table of the document, the outermost first.
pub fn reference(shape: &'static Shape) -> String {
    let mut tables = vec![("the document itself".to_string(), shape)];
    let mut next = 0;
    while next < tables.len() {
        let (path, shape) = tables[next].clone();
        let base = if next == 0 {
            String::new()
        } else {
            format!("{path}.")
        };
        for key in shape.keys {
            if let Some((suffix, inner)) = inner_table(&key.takes)
                && !tables.iter().any(|(_, known)| std::ptr::eq(*known, inner))
            {
                tables.push((format!("{base}{}{suffix}", key.name), inner));
            }
        }
        next += 1;
    }
    tables.iter().map(|(path, shape)| section(path, shape)).collect()
}

fn section(path: &str, shape: &Shape) -> String {
    let mut out = format!(
        "## {}: `{path}`\n\n{}\n\n| key | takes | meaning |\n|---|---|---|\n",
        shape.name, shape.doc
    );
    if path == "the document itself" {
        out = out.replace(&format!("`{path}`"), path);
    }
    for key in shape.keys {
        let need = match key.need {
            Need::Required => " **Required.**",
            Need::Optional => "",
            Need::NotYet(_) => " *Not usable yet.*",
        };
        // Writing to a String can not fail.
        let _ = writeln!(
            out,
            "| `{}` | {} | {}{need} |",
            key.name,
            key.takes.due().replace('|', "\\|"),
            key.doc
        );
    }
    out.push('\n');
    out
}

fn inner_table(takes: &Takes) -> Option<(&'static str, &'static Shape)> {
    match takes {
        Takes::Table(shape) => Some(("", shape)),
        Takes::Names(inner) => inner_table(inner).map(|(_, shape)| (".NAME", shape)),
        Takes::List(inner) | Takes::Triple(inner) => inner_table(inner).map(|(_, shape)| ("[]", shape)),
        Takes::TextOr(inner) | Takes::QuantityOr(_, inner) | Takes::WordOr(_, inner) => inner_table(inner),
        _ => None,
    }
}
