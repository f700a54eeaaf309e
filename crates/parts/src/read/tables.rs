//! Reads the tables that belong to no single part.

use super::figures::{positive, share, texts};
use super::sources::Sources;
use crate::bend::BendRow;
use crate::tables::{ExpansionRow, SettlingRow, SettlingStretch, SheaveRatio, SheaveRow, StretchRow, Tables};
use document::{Problem, Table, Value};
use quantity::Kind;
use std::sync::Arc;
use working::{Number, Seen, Source};

/// Reads the tables of a file.
pub(crate) fn read(root: &Table<'_>, sources: &Sources) -> Tables {
    Tables {
        bends: root
            .table("bend")
            .map(|table| bends(&table, sources))
            .unwrap_or_default(),
        stretch: rows(root, "stretch", sources, stretch),
        sheaves: rows(root, "sheaves", sources, sheaves),
        expansion: rows(root, "expansion", sources, expansion),
        settling: rows(root, "settling", sources, settling),
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

/// Reads a table of bends. The one it is laid over holds on if it is wrongly written.
fn bends(table: &Table<'_>, sources: &Sources) -> Arc<[BendRow]> {
    let Some(source) = sources.cited(table) else {
        return Arc::default();
    };
    let points = table.list("points");
    let rows: Vec<BendRow> = points
        .iter()
        .filter_map(Value::table)
        .filter_map(|point| bend(&point, &source))
        .collect();
    let rises = |a: &BendRow, b: &BendRow| a.ratio < b.ratio && a.efficiency.value() <= b.efficiency.value();
    if rows.is_sorted_by(rises) {
        return rows.into();
    }
    let at = table.value("points").map(|value| value.at()).unwrap_or_default();
    table.problem(
        Problem::new(
            at,
            "the table of bends does not rise: a wider bend leaves no less",
        )
        .instead("write the least ratio first"),
    );
    Arc::default()
}

fn bend(point: &Table<'_>, source: &Source) -> Option<BendRow> {
    let (ratio, left) = (positive(point, "ratio")?, share(point, "efficiency")?);
    let what = format!("share of the strength left at a bend of D/d {ratio}");
    Some(BendRow {
        ratio,
        efficiency: Number::given(what, "b", Kind::Ratio, left, source.clone()),
    })
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

fn expansion(table: &Table<'_>, source: &Source) -> Option<ExpansionRow> {
    let value = positive(table, "expansion")?;
    let what = "thermal expansion of the rope";
    Some(ExpansionRow {
        materials: texts(table, "materials"),
        expansion_per_k: Number::given(what, "alpha", Kind::Expansion, value, source.clone()),
    })
}

fn settling(table: &Table<'_>, source: &Source) -> Option<SettlingRow> {
    let given = |what, key| {
        let value = share(table, key)?;
        Some(Number::given(what, "e", Kind::Ratio, value, source.clone()))
    };
    let least = given("least settling of the rope when first loaded", "from");
    let most = given("greatest settling of the rope when first loaded", "to")?;
    if least.as_ref().is_some_and(|least| least.value() > most.value()) {
        let at = table.si("to").map(|si| si.at).unwrap_or_default();
        table.problem(Problem::new(at, "`to` is below `from`").instead("write the low end under `from`"));
        return None;
    }
    Some(SettlingRow {
        constructions: texts(table, "constructions"),
        core: table.text("core").map(|core| core.value),
        stretch: SettlingStretch { least, most },
    })
}

fn sheaves(table: &Table<'_>, source: &Source) -> Option<SheaveRow> {
    let number = |what, key| {
        let value = positive(table, key)?;
        Some(Number::given(what, "D/d", Kind::Number, value, source.clone()))
    };
    Some(SheaveRow {
        construction: table.text("construction")?.value,
        ratio: SheaveRatio {
            least: number("least sheave ratio", "least")?,
            suggested: number("suggested sheave ratio", "suggested")?,
        },
    })
}
