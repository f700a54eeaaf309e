//! Reads adjustable grips.

use super::Reading;
use super::figures::{positive, texts};
use super::series::{factor, id};
use super::sources::Document;
use crate::part::{Accepted, Body, Grip, GripForm, Locking, Part, Rating};
use document::{Table, Value};
use quantity::Kind;
use std::ops::Range;
use working::{Number, Source};

/// Reads every adjustable grip of a file.
pub(crate) fn read(root: &Table<'_>, reading: &Reading<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    for table in root.list("grips").iter().filter_map(Value::table) {
        if let Some(part) = grip(&table, reading) {
            add(part, table.at());
        }
    }
}

fn grip(table: &Table<'_>, reading: &Reading<'_>) -> Option<Part> {
    let id = id(table)?;
    let document = reading.sources.document(table, "document");
    let source = Source::stated(document.map_or_else(|| "stated without a document".into(), |d| d.at("")));
    let makers = document.and_then(Document::dated);
    let given = |what: &str, symbol: &str, kind, key| {
        let value = positive(table, key)?;
        Some(Number::given(
            format!("{what} of {id}"),
            symbol,
            kind,
            value,
            source.clone(),
        ))
    };
    let body = Grip {
        form: form(&table.text("form")?.value)?,
        locking: locking(&table.text("locking")?.value)?,
        accepts: table
            .list("ropes")
            .iter()
            .filter_map(Value::table)
            .filter_map(|rope| accepted(&rope, &id, &source))
            .collect(),
        static_only: table.flag("static_only").unwrap_or(true),
        least_tail_m: given("least tail", "t", Kind::Length, "least_tail"),
        reusable: table.flag("reusable").unwrap_or(false),
        reuse: table.text("reuse").map(|text| text.value),
        released_by: table.text("released_by")?.value,
        permits_sole_support_overhead: table.flag("permits_sole_support_overhead").unwrap_or(false),
        // Only a document with revision and date permits anything.
        adjust_under_load: makers.is_some() && table.flag("adjust_under_load").unwrap_or(false),
        document: makers.cloned(),
    };
    let rating = match (document, makers) {
        (_, Some(_)) => Rating::ByRope,
        (Some(_), None) => Rating::Unrated("its maker's document is named without revision and date".into()),
        (None, None) => Rating::Unrated("no document of its maker is named".into()),
    };
    Some(Part {
        name: table.text("name")?.value,
        length_m: given("length", "l", Kind::Length, "length"),
        mass_kg: given("mass", "m", Kind::Mass, "mass"),
        invented: table.flag("invented").unwrap_or(false),
        origin: reading.origin.clone(),
        notes: texts(table, "notes"),
        body: Body::Grip(body),
        rating,
        id,
    })
}

fn accepted(rope: &Table<'_>, id: &str, source: &Source) -> Option<Accepted> {
    let construction = rope.text("construction")?.value;
    let size = rope.text("diameter")?.value;
    let on = format!("{id} on {construction} {size}");
    let working_load_n = Number::given(
        format!("rating of {on}"),
        "WLL",
        Kind::Force,
        positive(rope, "working_load")?,
        source.clone(),
    );
    let design_factor = if rope.has("design_factor") {
        Some(Number::given(
            format!("design factor of {on}"),
            "n",
            Kind::Number,
            factor(rope)?,
            source.clone(),
        ))
    } else {
        None
    };
    Some(Accepted {
        construction,
        materials: texts(rope, "materials"),
        diameter_m: positive(rope, "diameter")?,
        working_load_n,
        design_factor,
    })
}

fn form(word: &str) -> Option<GripForm> {
    Some(match word {
        "returns" => GripForm::Returns,
        "ends" => GripForm::Ends,
        _ => return None,
    })
}

fn locking(word: &str) -> Option<Locking> {
    Some(match word {
        "self-locking" => Locking::SelfLocking,
        "screw-locked" => Locking::ScrewLocked,
        _ => return None,
    })
}
