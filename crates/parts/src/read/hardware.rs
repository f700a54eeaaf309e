//! Reads thimbles, shackles, eye bolts, turnbuckles and links.

use super::Reading;
use super::figures::{positive, positive_list, share};
use super::series::Series;
use crate::part::{AngleBand, Body, EyeBolt, Link, Part, Rating, Shackle, Thimble, Turnbuckle};
use document::{Problem, Table, Value};
use quantity::Kind;
use std::ops::Range;
use working::{Number, Source};

type ReadPart = fn(&Series<'_>, &Table<'_>, String) -> Option<Part>;

const KINDS: [(&str, ReadPart); 5] = [
    ("thimbles", thimble),
    ("shackles", shackle),
    ("eyebolts", eyebolt),
    ("turnbuckles", turnbuckle),
    ("links", link),
];

/// Reads every series of hardware of a file.
pub(crate) fn read(root: &Table<'_>, reading: &Reading<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    for (key, read_part) in KINDS {
        for table in root.list(key).iter().filter_map(Value::table) {
            let Some(series) = Series::read(&table, reading) else {
                continue;
            };
            for row in table.list("sizes").iter().filter_map(Value::table) {
                let Some(size) = row.text("size") else { continue };
                if let Some(part) = read_part(&series, &row, series.part_id(&size.value)) {
                    add(part, row.at());
                }
            }
        }
    }
}

fn given(row: &Table<'_>, key: &str, what: String, symbol: &str, source: &Source) -> Option<Number> {
    Some(Number::given(
        what,
        symbol,
        Kind::Length,
        positive(row, key)?,
        source.clone(),
    ))
}

fn thimble(series: &Series<'_>, row: &Table<'_>, id: String) -> Option<Part> {
    let inside_width_m = given(
        row,
        "inside_width",
        format!("inside width of {id}"),
        "D",
        &series.source,
    );
    let body = Body::Thimble(Thimble {
        rope_diameter_m: positive(row, "size")?,
        inside_width_m,
    });
    Some(series.part(id, row, body, Rating::ByRope))
}

fn shackle(series: &Series<'_>, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row)?;
    let source = series.source_under("side_load_from")?;
    let bands = series.table.list("side_load");
    let side_load: Vec<AngleBand> = bands
        .iter()
        .filter_map(Value::table)
        .filter_map(|band| {
            let what = format!("share of the rating of {id} under side load");
            let allows = Number::given(what, "s", Kind::Ratio, share(&band, "allows")?, source.clone());
            Some(AngleBand {
                up_to_rad: band.si("up_to")?.value,
                allows,
            })
        })
        .collect();
    report_order(
        series.table,
        "side_load",
        side_load.iter().map(|band| band.up_to_rad),
    );
    let pin_diameter_m = given(row, "pin", format!("pin diameter of {id}"), "D", &series.source);
    Some(series.part(
        id,
        row,
        Body::Shackle(Shackle {
            pin_diameter_m,
            side_load,
        }),
        rating,
    ))
}

fn eyebolt(series: &Series<'_>, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row)?;
    let angles: Vec<f64> = series
        .table
        .list("angles")
        .iter()
        .filter_map(|a| Some(a.si()?.value))
        .collect();
    report_order(series.table, "angles", angles.iter().copied());
    let loads = loads_by_angle(series, row, &id, &rating);
    if loads.len() > angles.len() {
        let says = format!(
            "`{id}` has {} loads by angle, but the series has {} angles",
            loads.len(),
            angles.len()
        );
        row.problem(Problem::new(row.at(), says).instead("write one angle in `angles` for each load"));
    }
    let band = |(up_to_rad, allows)| AngleBand { up_to_rad, allows };
    let body = Body::EyeBolt(EyeBolt {
        shoulder: series.table.flag("shoulder")?,
        by_angle: angles.into_iter().zip(loads).map(band).collect(),
        refused_past_rad: series.table.si("refused_past")?.value,
    });
    Some(series.part(id, row, body, rating))
}

/// Reads the loads by angle of one size, or makes them from the shares of the series.
fn loads_by_angle(series: &Series<'_>, row: &Table<'_>, id: &str, rating: &Rating) -> Vec<Number> {
    let what = format!("rating of {id} at an angle");
    if row.has("loads") {
        let given = |load| Number::given(what.as_str(), "WLL_a", Kind::Force, load, series.source.clone());
        return positive_list(row, "loads", f64::INFINITY)
            .into_iter()
            .map(given)
            .collect();
    }
    let Rating::WorkingLoad { load, .. } = rating else {
        return Vec::new();
    };
    let share_of = |share| {
        let share = Number::given(
            "share of the rating at an angle",
            "s",
            Kind::Ratio,
            share,
            series.source.clone(),
        );
        Number::computed(
            what.as_str(),
            "WLL_a",
            Kind::Force,
            load * &share,
            series.source.clone(),
        )
    };
    positive_list(series.table, "shares", 1.0)
        .into_iter()
        .map(share_of)
        .collect()
}

fn turnbuckle(series: &Series<'_>, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row)?;
    let source = series.source_under("take_up_from")?;
    let take_up_m = given(row, "take_up", format!("take-up of {id}"), "a", &source);
    let body = Body::Turnbuckle(Turnbuckle {
        ends: series.table.text("ends")?.value,
        take_up_m,
    });
    Some(series.part(id, row, body, rating))
}

fn link(series: &Series<'_>, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row)?;
    let what = format!("stock diameter of {id}");
    let stock_diameter_m = given(row, "stock", what.clone(), "D", &series.source).or_else(|| {
        // A link that is called by its stock.
        let size = Kind::Length.parse_si(&row.text("size")?.value).ok()?;
        Some(Number::given(
            what,
            "D",
            Kind::Length,
            size,
            series.source.clone(),
        ))
    });
    let body = Body::Link(Link {
        form: series.table.text("form")?.value,
        stock_diameter_m,
    });
    Some(series.part(id, row, body, rating))
}

/// Reports bands that are not written least angle first, because the first that fits is taken.
fn report_order(table: &Table<'_>, key: &str, angles: impl Iterator<Item = f64>) {
    if angles.is_sorted() {
        return;
    }
    let at = table.value(key).map(|value| value.at()).unwrap_or_default();
    // Once is enough for a series, however many sizes it has.
    let says = format!("the angles of `{key}` are out of order");
    table.problem(Problem::new(at, says).instead("write the least angle first"));
}
