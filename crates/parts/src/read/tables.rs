//! Reads the tables that belong to no single part.

use super::figures::{positive, share, texts};
use super::sources::Sources;
use crate::tables::{BendPoint, ExpansionRow, SettlingRow, SheaveRatio, StretchRow, Tables};
use document::{Problem, Table, Value};
use quantity::Kind;
use working::{Number, Seen, Source};

/// Reads the tables of a file.
pub(crate) fn read(root: &Table<'_>, sources: &Sources) -> Tables {
    Tables {
        bend: root
            .table("bend")
            .map(|table| bend(&table, sources))
            .unwrap_or_default(),
        stretch: rows(root, "stretch", sources, stretch),
        settling: rows(root, "settling", sources, settling),
        sheaves: rows(root, "sheaves", sources, sheaves),
        expansion: rows(root, "expansion", sources, expansion),
    }
}

fn rows<T>(
    root: &Table<'_>,
    key: &str,
    sources: &Sources,
    row: fn(&Table<'_>, &Source) -> Option<T>,
) -> Vec<T> {
    let tables = root.list(key);
    let each = |table: Table<'_>| row(&table, &sources.cited(&table)?);
    tables.iter().filter_map(Value::table).filter_map(each).collect()
}

fn bend(table: &Table<'_>, sources: &Sources) -> Vec<BendPoint> {
    let Some(source) = sources.cited(table) else {
        return Vec::new();
    };
    let point = |point: Table<'_>| {
        let number = |what, symbol, kind, value| Number::given(what, symbol, kind, value, source.clone());
        Some(BendPoint {
            ratio: number(
                "printed bend ratio",
                "D/d",
                Kind::Number,
                positive(&point, "ratio")?,
            ),
            efficiency: number(
                "printed share left at a bend",
                "e",
                Kind::Ratio,
                share(&point, "efficiency")?,
            ),
        })
    };
    let points: Vec<BendPoint> = table
        .list("points")
        .iter()
        .filter_map(Value::table)
        .filter_map(point)
        .enumerate()
        .map(numbered)
        .collect();
    if !points
        .iter()
        .map(|point| point.ratio.value())
        .is_sorted_by(|a, b| a < b)
    {
        let at = table.value("points").map(|value| value.at()).unwrap_or_default();
        table.problem(
            Problem::new(at, "the ratios of the table of bends do not rise").instead("write the least first"),
        );
    }
    points
}

/// Gives each point its own symbols, so that a formula with two of them can be read.
fn numbered((index, point): (usize, BendPoint)) -> BendPoint {
    let renamed = |number: &Number| {
        let symbol = format!("{}[{}]", number.symbol(), index + 1);
        Number::given(
            number.what(),
            symbol,
            number.kind(),
            number.value(),
            number.source().clone(),
        )
    };
    BendPoint {
        ratio: renamed(&point.ratio),
        efficiency: renamed(&point.efficiency),
    }
}

fn stretch(table: &Table<'_>, source: &Source) -> Option<StretchRow> {
    Some(StretchRow {
        construction: table.text("construction")?.value,
        core: table.text("core").map(|core| core.value),
        materials: texts(table, "materials"),
        stiffness_over_d2_pa: stiffness_over_d2(table, source)?,
    })
}

/// Gives EA over diameter squared: 100 / G psi, or modulus times area over diameter squared.
fn stiffness_over_d2(table: &Table<'_>, source: &Source) -> Option<Number> {
    const WHAT: &str = "axial stiffness over diameter squared";
    if table.has("percent_factor") {
        let factor = positive(table, "percent_factor")?;
        let psi = Kind::Pressure.parse_si("1 psi").ok()?;
        let seen = if source.seen == Seen::Text {
            Seen::Computed
        } else {
            source.seen
        };
        let source = Source {
            seen,
            ..source.clone()
        };
        let number = Number::given(WHAT, "EA/d2", Kind::Pressure, 100.0 / factor * psi, source);
        return Some(number.remark(format!(
            "100 / G psi with G = {factor:e} as printed (percent, lb, inches)"
        )));
    }
    if !(table.has("modulus") && table.has("area_factor")) {
        let says = "a row of stretch has neither `percent_factor` nor `modulus` with `area_factor`";
        table.problem(Problem::new(table.at(), says).instead("write one or the other"));
        return None;
    }
    let modulus = positive(table, "modulus")?;
    let mut modulus = Number::given("modulus", "E", Kind::Pressure, modulus, source.clone());
    if let Some(high) = positive(table, "modulus_to") {
        let high = Kind::Pressure.print(high, quantity::Style::both());
        modulus = modulus.remark(format!("published up to {high}; the low end is used"));
    }
    let area = positive(table, "area_factor")?;
    let area = Number::given(
        "metallic area over diameter squared",
        "A/d2",
        Kind::Number,
        area,
        source.clone(),
    );
    Some(Number::computed(
        WHAT,
        "EA/d2",
        Kind::Pressure,
        &modulus * &area,
        Source::mechanics("stiffness is modulus times area"),
    ))
}

fn settling(table: &Table<'_>, source: &Source) -> Option<SettlingRow> {
    let most = share(table, "most")?;
    let number = Number::given("settling of a new rope", "z", Kind::Ratio, most, source.clone());
    let least = table.si("least")?.value;
    Some(SettlingRow {
        constructions: texts(table, "constructions"),
        core: table.text("core").map(|core| core.value),
        most: number.remark(format!("published as {} to {} %", least * 100.0, most * 100.0)),
    })
}

fn sheaves(table: &Table<'_>, source: &Source) -> Option<SheaveRatio> {
    let number = |what, key| {
        Some(Number::given(
            what,
            "D/d",
            Kind::Number,
            positive(table, key)?,
            source.clone(),
        ))
    };
    Some(SheaveRatio {
        construction: table.text("construction")?.value,
        least: number("least sheave ratio", "least")?,
        suggested: number("suggested sheave ratio", "suggested")?,
    })
}

fn expansion(table: &Table<'_>, source: &Source) -> Option<ExpansionRow> {
    let per_k = positive(table, "per_degree")?;
    Some(ExpansionRow {
        materials: texts(table, "materials"),
        per_k: Number::given("growth by heat", "a_T", Kind::Expansion, per_k, source.clone()),
    })
}
