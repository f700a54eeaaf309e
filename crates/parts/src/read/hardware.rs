//! Reads thimbles, shackles, eye bolts, turnbuckles and links.

use super::Reading;
use super::figures::{positive, positive_list, share};
use super::series::{Factor, Series};
use crate::part::{AngleBand, Body, EyeBolt, Link, Part, Rating, Shackle, Thimble, Turnbuckle};
use crate::thread::coarse_pitch_m;
use document::{Problem, Table, Value};
use quantity::{Kind, Style};
use std::ops::Range;
use working::{Number, Source};

type ReadPart = fn(&Series<'_>, &Shared, &Table<'_>, String) -> Option<Part>;

const KINDS: [(&str, ReadPart); 5] = [
    ("thimbles", thimble),
    ("shackles", shackle),
    ("eyebolts", eyebolt),
    ("turnbuckles", turnbuckle),
    ("links", link),
];

/// What the sizes of a series share; what its kind does not have is empty.
struct Shared {
    factor: Option<Factor>,
    side_load: Vec<AngleBand>,
    angles_rad: Vec<f64>,
}

/// Reads every series of hardware of a file.
pub(crate) fn read(root: &Table<'_>, reading: &Reading<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    for (key, read_part) in KINDS {
        for table in root.list(key).iter().filter_map(Value::table) {
            read_series(&Series::read(&table, reading), read_part, add);
        }
    }
}

fn read_series(series: &Series<'_>, read_part: ReadPart, add: &mut impl FnMut(Part, Range<usize>)) {
    let shared = Shared {
        factor: series.factor(),
        side_load: side_load(series),
        angles_rad: angles(series),
    };
    for row in series.table.list("sizes").iter().filter_map(Value::table) {
        let Some(size) = row.text("size") else { continue };
        let part = read_part(series, &shared, &row, series.part_id(&size.value));
        if let Some(part) = series.complete(part) {
            add(part, row.at());
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

fn thimble(series: &Series<'_>, _: &Shared, row: &Table<'_>, id: String) -> Option<Part> {
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

/// Reads the shares under side load of a series of shackles.
fn side_load(series: &Series<'_>) -> Vec<AngleBand> {
    let Some(source) = series.source_under("side_load_from") else {
        return Vec::new();
    };
    let band = |band: Table<'_>| {
        let up_to_rad = band.si("up_to")?.value;
        let what = format!(
            "share of the rating of {} under side load up to {}",
            series.id,
            degrees(up_to_rad)
        );
        let allows = Number::given(what, "s", Kind::Ratio, share(&band, "allows")?, source.clone());
        Some(AngleBand { up_to_rad, allows })
    };
    let bands: Vec<AngleBand> = series
        .table
        .list("side_load")
        .iter()
        .filter_map(Value::table)
        .filter_map(band)
        .collect();
    report_order(series.table, "side_load", bands.iter().map(|band| band.up_to_rad));
    bands
}

fn shackle(series: &Series<'_>, shared: &Shared, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row, shared.factor.as_ref())?;
    let pin_diameter_m = given(row, "pin", format!("pin diameter of {id}"), "D", &series.source);
    let body = Body::Shackle(Shackle {
        pin_diameter_m,
        side_load: shared.side_load.clone(),
    });
    Some(series.part(id, row, body, rating))
}

/// Reads where the bands of a series of eye bolts end.
fn angles(series: &Series<'_>) -> Vec<f64> {
    let angles: Vec<f64> = series
        .table
        .list("angles")
        .iter()
        .filter_map(|a| Some(a.si()?.value))
        .collect();
    report_order(series.table, "angles", angles.iter().copied());
    angles
}

fn eyebolt(series: &Series<'_>, shared: &Shared, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row, shared.factor.as_ref())?;
    let angles = &shared.angles_rad;
    let loads = loads_by_angle(series, row, &id, angles, &rating);
    if loads.is_empty() && !angles.is_empty() {
        let says = format!("`{id}` has no loads for the angles of its series");
        let instead = "write `loads` here, or `shares` in the series, one for each of `angles`";
        row.problem(Problem::new(row.at(), says).instead(instead));
    }
    if loads.len() > angles.len() {
        let says = format!(
            "`{id}` has more loads by angle ({}) than its series has angles ({})",
            loads.len(),
            angles.len()
        );
        row.problem(Problem::new(row.at(), says).instead("write one angle in `angles` for each load"));
    }
    let band = |(up_to_rad, allows): (&f64, Number)| AngleBand {
        up_to_rad: *up_to_rad,
        allows,
    };
    let body = Body::EyeBolt(EyeBolt {
        shoulder: series.table.flag("shoulder")?,
        by_angle: angles.iter().zip(loads).map(band).collect(),
        refused_past_rad: series.table.si("refused_past")?.value,
    });
    Some(series.part(id, row, body, rating))
}

/// Reads the loads by angle of one size, or makes them from the shares of the series.
fn loads_by_angle(
    series: &Series<'_>,
    row: &Table<'_>,
    id: &str,
    angles_rad: &[f64],
    rating: &Rating,
) -> Vec<Number> {
    let up_to = |i: usize| angles_rad.get(i).copied().map_or_else(String::new, degrees);
    let what = |i: usize| format!("rating of {id} up to {} from its shank", up_to(i));
    if row.has("loads") {
        let given = |(i, load)| Number::given(what(i), "WLL_a", Kind::Force, load, series.source.clone());
        return positive_list(row, "loads", f64::INFINITY)
            .into_iter()
            .enumerate()
            .map(given)
            .collect();
    }
    let Rating::WorkingLoad { load, .. } = rating else {
        return Vec::new();
    };
    let share_of = |(i, share)| {
        let share = Number::given(
            format!("share of the rating up to {}", up_to(i)),
            "s",
            Kind::Ratio,
            share,
            series.source.clone(),
        );
        Number::computed(
            what(i),
            "WLL_a",
            Kind::Force,
            load * &share,
            series.source.clone(),
        )
    };
    positive_list(series.table, "shares", 1.0)
        .into_iter()
        .enumerate()
        .map(share_of)
        .collect()
}

fn degrees(angle_rad: f64) -> String {
    Kind::Angle.print(angle_rad, Style::si())
}

fn turnbuckle(series: &Series<'_>, shared: &Shared, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row, shared.factor.as_ref())?;
    let source = series.source_under("take_up_from")?;
    let take_up_m = given(row, "take_up", format!("take-up of {id}"), "a", &source);
    let body = Body::Turnbuckle(Turnbuckle {
        ends: series.table.text("ends")?.value,
        take_up_m,
        pitch_m: Kind::Length
            .parse_si(&row.text("size")?.value)
            .ok()
            .and_then(|diameter_m| coarse_pitch_m(&id, diameter_m)),
    });
    Some(series.part(id, row, body, rating))
}

fn link(series: &Series<'_>, shared: &Shared, row: &Table<'_>, id: String) -> Option<Part> {
    let rating = series.working_load(&id, row, shared.factor.as_ref())?;
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
    let says = format!("the angles of `{key}` are out of order");
    table.problem(Problem::new(at, says).instead("write the least angle first"));
}
