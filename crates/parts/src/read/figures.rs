//! Reads figures that have to be positive, and weighs what several sources say of one thing.

use super::sources::Sources;
use document::{Problem, Table, Value};
use quantity::{Kind, Style};
use working::{Expression, Number, Seen, Source, greatest, least};

/// Reads a figure above 0; anything else is a mistake.
pub(crate) fn positive(table: &Table<'_>, key: &str) -> Option<f64> {
    let si = table.si(key)?;
    if si.value > 0.0 {
        return Some(si.value);
    }
    table.problem(
        Problem::new(si.at, format!("`{key}` is not above 0")).instead("leave it out if it is not known"),
    );
    None
}

/// Reads a share above 0 and not above 1.
pub(crate) fn share(table: &Table<'_>, key: &str) -> Option<f64> {
    let value = positive(table, key)?;
    if value <= 1.0 {
        return Some(value);
    }
    let at = table.si(key).map(|si| si.at).unwrap_or_default();
    let says = format!("`{key}` is more than the whole");
    table.problem(Problem::new(at, says).instead("a share is at most `\"100 %\"`"));
    None
}

/// Reads the figures of a list, each above 0 (and not above 1 for shares).
pub(crate) fn positive_list(table: &Table<'_>, key: &str, most: f64) -> Vec<f64> {
    let fits = |item: &Value<'_>| {
        let value = item.si()?.value;
        if value > 0.0 && value <= most {
            return Some(value);
        }
        item.problem(
            format!("a value of `{key}` is out of range"),
            "write a value above 0, a share at most `\"100 %\"`",
        );
        None
    };
    table.list(key).iter().filter_map(fits).collect()
}

/// Lists the texts of a list.
pub(crate) fn texts(table: &Table<'_>, key: &str) -> Vec<String> {
    table
        .list(key)
        .iter()
        .filter_map(|item| item.text().map(|text| text.value))
        .collect()
}

/// Reads what other sources say of a figure: the list under `list`, the figure of each under `key`.
pub(crate) fn others(
    table: &Table<'_>,
    list: &str,
    key: &str,
    of: &Number,
    sources: &Sources,
) -> Vec<Number> {
    let tables = table.list(list);
    let each = tables
        .iter()
        .filter_map(Value::table)
        .enumerate()
        .filter_map(|(index, other)| {
            let value = if of.kind() == Kind::Ratio {
                share(&other, key)
            } else {
                positive(&other, key)
            }?;
            let source = sources.cited(&other)?;
            Some(Number::given(
                of.what(),
                format!("{}{}", of.symbol(), index + 2),
                of.kind(),
                value,
                source,
            ))
        });
    each.collect()
}

/// Takes the least of what several sources say of one thing, and keeps all of them in the working.
///
/// A figure that is only remembered and would not be the least is told as a remark: it decides nothing, so nothing
/// should seem to rest on it.
pub(crate) fn least_of(figure: Number, others: Vec<Number>) -> Number {
    weighed(
        figure,
        others,
        |mine, other| other >= mine,
        least,
        "the lowest figure rules where sources speak of one product",
    )
}

/// Takes the greatest of what several sources say of one thing, as [`least_of`] takes the least.
pub(crate) fn greatest_of(figure: Number, others: Vec<Number>) -> Number {
    weighed(
        figure,
        others,
        |mine, other| other <= mine,
        greatest,
        "the greater figure rules where more is the safer side",
    )
}

fn weighed(
    figure: Number,
    others: Vec<Number>,
    yields: impl Fn(f64, f64) -> bool,
    combine: impl Fn(Vec<Number>) -> Expression,
    rule: &str,
) -> Number {
    let (told, weighed): (Vec<_>, Vec<_>) = others
        .into_iter()
        .partition(|other| other.source().seen == Seen::Memory && yields(figure.value(), other.value()));
    let tell = |number: Number, other: &Number| {
        let value = other.kind().print(other.value(), Style::both());
        number.remark(format!("set aside: {value} by {}", other.source()))
    };
    let number = if weighed.is_empty() {
        figure
    } else {
        let (what, symbol, kind) = (
            figure.what().to_string(),
            figure.symbol().to_string(),
            figure.kind(),
        );
        let first = Number::given(
            what.as_str(),
            format!("{symbol}1"),
            kind,
            figure.value(),
            figure.source().clone(),
        );
        let all = [vec![first], weighed].concat();
        Number::computed(
            what,
            symbol,
            kind,
            combine(all),
            Source::plain(rule, Seen::Judgement),
        )
    };
    told.iter().fold(number, tell)
}
