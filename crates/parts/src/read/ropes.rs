//! Reads ropes.

use super::Reading;
use super::figures::{greatest_of, least_of, others, positive};
use super::series::Series;
use crate::part::{Body, Part, Rating, Rope};
use document::{Problem, Table, Value};
use quantity::Kind;
use std::ops::Range;
use std::sync::Arc;
use working::{Number, Source};

/// Reads every series of ropes of a file.
pub(crate) fn read(root: &Table<'_>, reading: &Reading<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    for table in root.list("ropes").iter().filter_map(Value::table) {
        let series = Series::read(&table, reading);
        for row in table.list("sizes").iter().filter_map(Value::table) {
            if let Some(part) = series.complete(rope(&series, &row)) {
                add(part, row.at());
            }
        }
    }
}

fn rope(series: &Series<'_>, row: &Table<'_>) -> Option<Part> {
    let table = series.table;
    let id = series.part_id(&row.text("size")?.value);
    let number = |what: &str, symbol: &str, kind, value, source: &Source| {
        Number::given(format!("{what} of {id}"), symbol, kind, value, source.clone())
    };
    let diameter_m = number(
        "diameter",
        "d",
        Kind::Length,
        positive(row, "size")?,
        &series.source,
    );
    let breaking = if row.has("breaking") {
        let figure = number(
            "breaking strength",
            "F",
            Kind::Force,
            positive(row, "breaking")?,
            &series.source,
        );
        let others = others(row, "others", "load", &figure, &series.reading.sources);
        Some(least_of(figure, others))
    } else {
        by_grade(series, &id, &diameter_m)
    };
    if breaking.is_none() {
        let says = format!("`{id}` has no strength");
        row.problem(
            Problem::new(row.at(), says)
                .instead("write `breaking` here, or `grade` and `breaking_factor` in the series"),
        );
    }
    let mass_kg_per_m = if row.has("mass") {
        let source = series.source_under("mass_from")?;
        Some(number(
            "mass per length",
            "m'",
            Kind::MassPerLength,
            positive(row, "mass")?,
            &source,
        ))
    } else {
        by_mass_factor(series, &id, &diameter_m)
    };
    let mut rope = Rope {
        construction: table.text("construction")?.value,
        core: table.text("core").map(|core| core.value),
        material: table.text("material")?.value,
        diameter_m,
        stiffness_n: None,
        mass_kg_per_m,
        expansion_per_k: None,
        settling: None,
        coated: table.flag("coated").unwrap_or(false),
        bends: Arc::default(),
        sheaves: None,
    };
    let tables = &series.reading.tables;
    tables.hand_to(&mut rope);
    rope.stiffness_n = if row.has("stiffness") {
        Some(number(
            "axial stiffness",
            "EA",
            Kind::Force,
            positive(row, "stiffness")?,
            &series.source,
        ))
    } else {
        tables.stiffness_n(format!("axial stiffness of {id}"), &rope)
    };
    Some(series.part(id, row, Body::Rope(rope), Rating::Breaking(breaking?)))
}

/// Computes the breaking strength F = K d2 R of EN 12385.
fn by_grade(series: &Series<'_>, id: &str, diameter_m: &Number) -> Option<Number> {
    let given = |what: &str, symbol: &str, kind, key| {
        let value = positive(series.table, key)?;
        Some(Number::given(
            format!("{what} of {id}"),
            symbol,
            kind,
            value,
            series.source.clone(),
        ))
    };
    let grade = given("grade", "R", Kind::Pressure, "grade")?;
    let factor = given("breaking factor", "K", Kind::Number, "breaking_factor")?;
    let what = format!("breaking strength of {id}");
    Some(Number::computed(
        what,
        "F",
        Kind::Force,
        &factor * diameter_m * diameter_m * &grade,
        series.source.clone(),
    ))
}

/// Computes the mass per length W d2 of EN 12385, W in kilograms per 100 m for a diameter of 1 mm.
fn by_mass_factor(series: &Series<'_>, id: &str, diameter_m: &Number) -> Option<Number> {
    // kg per 100 m and mm2 is 0.01 kg/m over 1e-6 m2: 1e4 kg/m3.
    const KG_PER_M3: f64 = 1e4;
    let what = format!("mass factor W of {id} (10000 kg/m3 each)");
    let in_si = |factor: f64, symbol: &str, source| {
        Number::given(what.as_str(), symbol, Kind::Density, factor * KG_PER_M3, source)
    };
    let factor = in_si(positive(series.table, "mass_factor")?, "W", series.source.clone());
    let other = |other: Table<'_>| {
        Some(in_si(
            positive(&other, "factor")?,
            "W2",
            series.reading.sources.cited(&other)?,
        ))
    };
    let others = series
        .table
        .list("mass_factor_others")
        .iter()
        .filter_map(Value::table)
        .filter_map(other)
        .collect();
    let factor = greatest_of(factor, others);
    let what = format!("mass per length of {id}");
    Some(Number::computed(
        what,
        "m'",
        Kind::MassPerLength,
        &factor * diameter_m * diameter_m,
        series.source.clone(),
    ))
}
