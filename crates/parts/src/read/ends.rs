//! Reads ends and clips.

use super::Reading;
use super::figures::{greatest_of, least_of, others, positive, share, texts};
use super::series::Series;
use crate::part::{Accepts, Body, Clips, End, EndForm, Part, Rating};
use document::{Problem, Table, Value};
use quantity::Kind;
use std::ops::Range;
use working::{Number, Source};

/// Reads every series of ends of a file.
pub(crate) fn read(root: &Table<'_>, reading: &Reading<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    for table in root.list("ends").iter().filter_map(Value::table) {
        read_series(&Series::read(&table, reading), add);
    }
}

fn read_series(series: &Series<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    let table = series.table;
    let form = table.text("form").and_then(|word| form(&word.value));
    let thimbled = table.flag("thimbled").unwrap_or(false);
    let efficiency = efficiency(series);
    let accepts = accepts(table);
    for size in table.list("sizes") {
        let (Some(written), Some(diameter)) = (size.text(), size.si()) else {
            continue;
        };
        if diameter.value <= 0.0 {
            size.problem(
                "a rope size is not above 0",
                "write a diameter such as `\"3/16 in\"`",
            );
            continue;
        }
        let part = form.zip(efficiency.clone()).map(|(form, efficiency)| {
            let accepts = of_size(&accepts, diameter.value);
            let body = Body::End(End {
                form,
                thimbled,
                accepts,
            });
            series.part(
                series.part_id(&written.value),
                table,
                body,
                Rating::Efficiency(efficiency),
            )
        });
        if let Some(part) = series.complete(part) {
            add(part, size.at());
        }
    }
}

/// Reads the efficiency: the least of several sources, the low end of a range, the range told.
fn efficiency(series: &Series<'_>) -> Option<Number> {
    let what = format!("efficiency of {}", series.id);
    let low = share(series.table, "efficiency")?;
    let mut figure = Number::given(what, "e", Kind::Ratio, low, series.source.clone());
    if series.table.has("efficiency_to") {
        let high = share(series.table, "efficiency_to")?;
        if high < low {
            let at = series
                .table
                .si("efficiency_to")
                .map(|si| si.at)
                .unwrap_or_default();
            let says = "`efficiency_to` is below `efficiency`";
            series.table.problem(
                Problem::new(at, says).instead("`efficiency` is the low end of the range, which rules"),
            );
        }
        figure = figure.remark(format!(
            "published as {} to {} %; the low end rules",
            low * 100.0,
            high * 100.0
        ));
    }
    let others = others(
        series.table,
        "others",
        "efficiency",
        &figure,
        &series.reading.sources,
    );
    Some(least_of(figure, others))
}

/// Reads every series of clips of a file.
pub(crate) fn read_clips(root: &Table<'_>, reading: &Reading<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    for table in root.list("clips").iter().filter_map(Value::table) {
        let series = Series::read(&table, reading);
        for row in table.list("sizes").iter().filter_map(Value::table) {
            if let Some(part) = series.complete(clips(&series, &row)) {
                add(part, row.at());
            }
        }
    }
}

fn clips(series: &Series<'_>, row: &Table<'_>) -> Option<Part> {
    let table = series.table;
    let id = series.part_id(&row.text("size")?.value);
    let rope_diameter_m = positive(row, "size")?;
    let setting = series.source_under("setting_from")?;
    let printed_count = Number::given(
        format!("least count of {id} in the table"),
        "n",
        Kind::Number,
        f64::from(row.count("count")?),
        setting.clone(),
    );
    let least_count = least_count(series, &id, printed_count.clone())?;
    let torque_n_m = positive(row, "torque").map(|torque| {
        Number::given(
            format!("torque of {id}"),
            "M",
            Kind::Torque,
            torque,
            setting.clone(),
        )
    });
    let body = Body::Clips(Clips {
        forged: table.flag("forged")?,
        rope_diameter_m,
        spacing_m: spacing(series, &id, rope_diameter_m)?,
        turnback_m: turnback(series, &id, row, &printed_count, &least_count, &setting),
        least_count,
        torque_n_m,
        accepts: of_size(&accepts(table), rope_diameter_m),
    });
    let rating = match (table.text("unrated"), table.has("efficiency")) {
        (Some(why), _) => Rating::Unrated(why.value),
        (None, true) => Rating::Efficiency(efficiency(series)?),
        (None, false) => Rating::Unrated("no efficiency is stated for it".into()),
    };
    Some(series.part(id, row, body, rating))
}

fn least_count(series: &Series<'_>, id: &str, printed: Number) -> Option<Number> {
    let Some(floor) = series.table.count("count_floor") else {
        return Some(printed);
    };
    let source = series.source_under("count_floor_from")?;
    let floor = Number::given(
        format!("least count of {id}"),
        "n2",
        Kind::Number,
        f64::from(floor),
        source,
    );
    Some(greatest_of(printed, vec![floor]))
}

fn spacing(series: &Series<'_>, id: &str, rope_diameter_m: f64) -> Option<Number> {
    let source = series.source_under("spacing_from")?;
    let ratio = positive(series.table, "spacing")?;
    let ratio = Number::given(
        format!("spacing of {id} in rope diameters"),
        "s/d",
        Kind::Number,
        ratio,
        source.clone(),
    );
    let size = Source::mechanics("the size it is called by");
    let diameter = Number::given("rope diameter", "d", Kind::Length, rope_diameter_m, size);
    Some(Number::computed(
        format!("least spacing of {id}"),
        "s",
        Kind::Length,
        &ratio * &diameter,
        source,
    ))
}

/// Gives the turnback; longer in proportion where more clips are asked than the table counts.
fn turnback(
    series: &Series<'_>,
    id: &str,
    row: &Table<'_>,
    printed_count: &Number,
    least_count: &Number,
    setting: &Source,
) -> Option<Number> {
    let printed = positive(row, "turnback")?;
    let what = format!("turnback of {id}");
    if least_count.value() <= printed_count.value() {
        return Some(Number::given(what, "t", Kind::Length, printed, setting.clone()));
    }
    let printed = Number::given(
        format!("{what} in the table"),
        "t1",
        Kind::Length,
        printed,
        setting.clone(),
    );
    let source = series.source_under("lengthening_from")?;
    Some(Number::computed(
        what,
        "t",
        Kind::Length,
        &printed * least_count / printed_count,
        source,
    ))
}

/// Reads which ropes are taken, whatever their diameter.
fn accepts(table: &Table<'_>) -> Accepts {
    Accepts {
        constructions: texts(table, "constructions"),
        cores: texts(table, "cores"),
        materials: texts(table, "materials"),
        ..Accepts::default()
    }
}

fn of_size(accepts: &Accepts, diameter_m: f64) -> Accepts {
    Accepts {
        diameter_from_m: Some(diameter_m),
        diameter_to_m: Some(diameter_m),
        ..accepts.clone()
    }
}

fn form(word: &str) -> Option<EndForm> {
    Some(match word {
        "eye" => EndForm::Eye,
        "body" => EndForm::Body,
        "stop" => EndForm::Stop,
        _ => return None,
    })
}
