//! What the lines before the rows say: names of columns, their units, how often readings were taken.
//!
//! Conventions: columns by their place, from nought.
//! Assumes: names stand in the nearest line above the rows that has words in as many columns; a line of units stands next to it.
//! Valid for: names in English and, for the commonest words, German, French and Spanish.
//! Source: our judgement.
//! Checked by: the tests below; tests/logs.rs.

use crate::log::dialect::{Dialect, Field, Rows, Separator, field};
use crate::log::number::{number, trimmed};
use crate::log::units::{Measure, Unit};

/// What is known of a column.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Column {
    pub(crate) name: String,
    /// As it is written; empty where it is not.
    pub(crate) unit: String,
}

/// What the lines before the rows say.
#[derive(Debug, Clone, Default)]
pub(crate) struct Heading {
    pub(crate) columns: Vec<Column>,
    /// Units that a line for all of the log names.
    pub(crate) force_unit: Option<Unit>,
    pub(crate) travel_unit: Option<Unit>,
    /// Readings a second.
    pub(crate) rate_hz: Option<f64>,
}

/// What a column is there for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    Time,
    Day,
    Force,
    Travel,
}

const TIME: [&str; 17] = [
    "time",
    "t",
    "elapsed",
    "timestamp",
    "zeit",
    "temps",
    "tiempo",
    "uhrzeit",
    "clock",
    "heure",
    "hora",
    "sec",
    "seconds",
    "testtime",
    "laufzeit",
    "messzeit",
    "ms",
];
const DAY: [&str; 5] = ["date", "datum", "fecha", "day", "tag"];
const FORCE: [&str; 18] = [
    "force",
    "load",
    "loadcell",
    "kraft",
    "last",
    "charge",
    "fuerza",
    "carga",
    "tension",
    "pull",
    "f",
    "zugkraft",
    "cell",
    "effort",
    "fz",
    "standardkraft",
    "messkraft",
    "weight",
];
const TRAVEL: [&str; 22] = [
    "travel",
    "displacement",
    "extension",
    "stroke",
    "position",
    "crosshead",
    "weg",
    "hub",
    "verschiebung",
    "deplacement",
    "déplacement",
    "desplazamiento",
    "elongation",
    "x",
    "distance",
    "ram",
    "lvdt",
    "course",
    "traverse",
    "traversenweg",
    "recorrido",
    "disp",
];
/// What is told of a quantity, and is not it.
const ABOUT: [&str; 22] = [
    "peak",
    "max",
    "min",
    "maximum",
    "minimum",
    "set",
    "setpoint",
    "target",
    "soll",
    "sollwert",
    "limit",
    "command",
    "rate",
    "mean",
    "avg",
    "capacity",
    "error",
    "temperature",
    "temp",
    "strain",
    "stress",
    "status",
];

/// Reads the lines before the rows.
pub(crate) fn heading(lines: &[&[u8]], rows: &Rows) -> Heading {
    let mut heading = Heading {
        columns: vec![Column::default(); rows.width],
        ..Heading::default()
    };
    let before = &lines[..rows.first];
    let mut has_names = false;
    for line in before
        .iter()
        .rev()
        .filter(|line| !trimmed(line).is_empty())
        .take(6)
    {
        let cells = cells(line, rows.dialect);
        let has_letter = |cell: &String| cell.chars().any(char::is_alphabetic);
        let fits = cells.len() == rows.width || cells.len() + 1 == rows.width && cells.len() > 1;
        if has_names || !fits || !cells.iter().any(has_letter) {
            continue;
        }
        if is_units(&cells) {
            for (column, cell) in heading.columns.iter_mut().zip(&cells) {
                column.unit.clone_from(cell);
            }
            continue;
        }
        has_names = true;
        for (column, cell) in heading.columns.iter_mut().zip(&cells) {
            let (name, unit) = name_and_unit(cell);
            column.name = name;
            if column.unit.is_empty() {
                column.unit = unit;
            }
        }
    }
    for line in before {
        remark(&mut heading, &String::from_utf8_lossy(line), rows.dialect);
    }
    heading
}

/// Gives the cells of a line of words. Between blanks a unit in brackets belongs to the word before it.
fn cells(line: &[u8], dialect: Dialect) -> Vec<String> {
    let mut places = Vec::new();
    dialect.separator.split(line, &mut places);
    let text = |place: &std::ops::Range<usize>| {
        let cell = trimmed(&line[place.clone()]);
        String::from_utf8_lossy(cell.strip_prefix(b"#").unwrap_or(cell))
            .trim()
            .to_string()
    };
    let cells: Vec<String> = places.iter().map(text).collect();
    if dialect.separator != Separator::Blanks {
        return cells;
    }
    let mut joined: Vec<String> = Vec::new();
    for cell in cells.into_iter().filter(|cell| !cell.is_empty()) {
        match joined.last_mut() {
            Some(last)
                if cell.starts_with(['(', '['])
                    || last.contains(['(', '[']) && !last.contains([')', ']']) =>
            {
                last.push(' ');
                last.push_str(&cell);
            }
            _ => joined.push(cell),
        }
    }
    joined
}

/// Tells whether all of a line are units, or nothing.
fn is_units(cells: &[String]) -> bool {
    let bare = |cell: &String| cell.trim_matches(['[', ']', '(', ')', ' ']).to_lowercase();
    let other = [
        "",
        "-",
        "%",
        "°c",
        "°",
        "#",
        "v",
        "mv/v",
        "1",
        "hh:mm:ss",
        "hh:mm:ss.000",
        "h:m:s",
        "n/a",
    ];
    let is_unit =
        |cell: &String| Unit::any(cell, &[Measure::Force, Measure::Travel, Measure::Time]).is_some();
    cells.iter().any(is_unit)
        && cells
            .iter()
            .all(|cell| is_unit(cell) || other.contains(&bare(cell).as_str()))
}

/// Takes the unit off a name: in brackets, after a slash, or as the last word of it.
fn name_and_unit(cell: &str) -> (String, String) {
    for (open, close) in [('[', ']'), ('(', ')')] {
        if let Some((name, rest)) = cell.split_once(open)
            && let Some((unit, _)) = rest.split_once(close)
        {
            return (name.trim().to_string(), unit.trim().to_string());
        }
    }
    let measures = [Measure::Force, Measure::Travel, Measure::Time];
    for sign in ['/', ',', '_', ' ', ':'] {
        if let Some((name, unit)) = cell.rsplit_once(sign)
            && Unit::any(unit, &measures).is_some()
        {
            let name = name.trim().trim_end_matches([',', '/', ':']);
            let name = name.strip_suffix(" in").unwrap_or(name);
            return (name.trim().to_string(), unit.trim().to_string());
        }
    }
    (cell.trim().to_string(), String::new())
}

/// The words of a name, in lower case.
fn words(name: &str) -> Vec<String> {
    let spaced: String = name
        .chars()
        .map(|c| if c.is_alphabetic() { c } else { ' ' })
        .collect();
    spaced.split_whitespace().map(str::to_lowercase).collect()
}

/// Keeps what a line says of all of the log.
fn remark(heading: &mut Heading, line: &str, dialect: Dialect) {
    let lower = line.to_lowercase();
    let words = words(&lower);
    let says = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let tokens: Vec<&str> = line
        .split([':', ';', ',', '=', '\t', ' ', '"', '|'])
        .map(str::trim)
        .filter(|token| !token.is_empty())
        .collect();
    if says(&[
        "unit",
        "units",
        "einheit",
        "einheiten",
        "unité",
        "unités",
        "unidad",
        "unidades",
    ]) {
        let of = |measure: Measure| {
            tokens
                .iter()
                .filter_map(|token| Unit::read(token, measure))
                .next_back()
        };
        if says(&FORCE) {
            heading.force_unit = of(Measure::Force).or(heading.force_unit);
        } else if says(&TRAVEL) {
            heading.travel_unit = of(Measure::Travel).or(heading.travel_unit);
        }
    }
    if says(&[
        "rate",
        "frequency",
        "sampling",
        "messrate",
        "abtastrate",
        "fréquence",
        "frecuencia",
        "interval",
        "hz",
    ]) {
        heading.rate_hz = rate_hz(&tokens, dialect).or(heading.rate_hz);
    }
}

/// Finds a rate, or an interval, among words.
fn rate_hz(tokens: &[&str], dialect: Dialect) -> Option<f64> {
    let mut last = None;
    for token in tokens {
        let at = token.find(|c: char| c.is_alphabetic()).unwrap_or(token.len());
        let (value, unit) = token.split_at(at);
        let value = number(value.as_bytes(), dialect.writing).or_else(|| value.parse().ok());
        let unit = unit.to_lowercase();
        let (value, unit) = match (value, unit.is_empty()) {
            (Some(value), true) => {
                last = Some(value);
                continue;
            }
            (Some(value), false) => (Some(value), unit),
            (None, _) => (last, token.to_lowercase()),
        };
        let rate = match unit.as_str() {
            "hz" | "/s" | "s/s" | "samples/s" => value,
            "khz" => value.map(|value| 1000.0 * value),
            "s" | "sec" => value.map(|value| 1.0 / value),
            "ms" => value.map(|value| 1000.0 / value),
            _ => None,
        };
        if rate.is_some_and(|rate| rate.is_finite() && rate > 0.0) {
            return rate;
        }
    }
    None
}

impl Column {
    /// Says what a column is there for by its name, and how surely: 2 by a word that is nothing else, 1 by a letter or a unit.
    pub(crate) fn role(&self) -> Option<(Role, u8)> {
        let words = words(&self.name);
        if words.iter().any(|word| ABOUT.contains(&word.as_str())) {
            return None;
        }
        let says = |list: &[&str]| {
            words
                .iter()
                .filter(|word| list.contains(&word.as_str()))
                .map(|word| if word.len() > 1 { 2 } else { 1 })
                .max()
        };
        let named = [
            (Role::Force, says(&FORCE)),
            (Role::Travel, says(&TRAVEL)),
            (Role::Day, says(&DAY)),
            (Role::Time, says(&TIME)),
        ];
        let best = named
            .into_iter()
            .filter_map(|(role, sure)| Some((role, sure?)))
            .reduce(|best, next| if next.1 > best.1 { next } else { best });
        best.or_else(|| {
            let unit = |measure: Measure| Unit::read(&self.unit, measure).is_some();
            // What has a name of something else is something else.
            match () {
                () if !words.is_empty()
                    && !words.iter().all(|word| {
                        ["channel", "ch", "ai", "input", "kanal", "value"].contains(&word.as_str())
                    }) =>
                {
                    None
                }
                () if unit(Measure::Force) => Some((Role::Force, 1)),
                () if unit(Measure::Time) => Some((Role::Time, 1)),
                () if unit(Measure::Travel) => Some((Role::Travel, 1)),
                () => None,
            }
        })
    }

    /// Tells whether its name says that it counts rows.
    pub(crate) fn counts_rows(&self) -> bool {
        let name = self.name.trim().to_lowercase();
        [
            "#", "no", "no.", "nr", "nr.", "n", "index", "idx", "row", "sample", "samples", "point", "id",
            "scan", "count", "lfd. nr.", "messwert", "record",
        ]
        .contains(&name.as_str())
    }
}

/// Says what a field is in most of some rows, column by column.
pub(crate) fn kinds(lines: &[&[u8]], rows: &Rows) -> Vec<Field> {
    let mut places = Vec::new();
    let mut counts = vec![[0_usize; 5]; rows.width];
    let those = [
        Field::Number,
        Field::Clock,
        Field::Day,
        Field::Missing,
        Field::Text,
    ];
    for line in lines[rows.first..]
        .iter()
        .filter(|line| !trimmed(line).is_empty())
        .take(rows.count)
    {
        rows.dialect.separator.split(line, &mut places);
        for (counts, place) in counts.iter_mut().zip(&places) {
            let kind = field(&line[place.clone()], rows.dialect.writing);
            if let Some(at) = those.iter().position(|own| *own == kind) {
                counts[at] += 1;
            }
        }
    }
    let most = |counts: &[usize; 5]| {
        let told =
            (0..5).filter(|at| those[*at] != Field::Missing || counts.iter().sum::<usize>() == counts[3]);
        told.max_by_key(|at| counts[*at])
            .map_or(Field::Text, |at| those[at])
    };
    counts.iter().map(most).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::dialect::dialect;

    fn read(text: &str) -> Heading {
        let lines: Vec<&[u8]> = text.lines().map(str::as_bytes).collect();
        let rows = dialect(&lines, None).unwrap();
        heading(&lines, &rows)
    }

    fn columns(text: &str) -> Vec<(String, String)> {
        read(text)
            .columns
            .into_iter()
            .map(|column| (column.name, column.unit))
            .collect()
    }

    fn own(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        pairs
            .iter()
            .map(|(a, b)| ((*a).to_string(), (*b).to_string()))
            .collect()
    }

    #[test]
    fn names_and_units_are_told_apart() {
        assert_eq!(
            columns("Time (s),Load [kN]\n0,1\n1,2\n"),
            own(&[("Time", "s"), ("Load", "kN")])
        );
        assert_eq!(
            columns("Zeit;Kraft\ns;daN\n0,1;1,5\n0,2;2,5\n"),
            own(&[("Zeit", "s"), ("Kraft", "daN")])
        );
        assert_eq!(
            columns("time_s,force_lbf\n0,1\n1,2\n"),
            own(&[("time", "s"), ("force", "lbf")])
        );
        assert_eq!(
            columns("t / s\tF / kN\n0.0\t1.0\n0.1\t2.0\n"),
            own(&[("t", "s"), ("F", "kN")])
        );
        assert_eq!(
            columns("Time (s) Force (kN)\n0.0 1.0\n0.1 2.0\n"),
            own(&[("Time", "s"), ("Force", "kN")])
        );
        assert_eq!(
            columns("Kraft in kN;Weg in mm\n1;2\n2;3\n"),
            own(&[("Kraft", "kN"), ("Weg", "mm")])
        );
    }

    #[test]
    fn what_stands_for_all_of_the_log_is_kept() {
        let heading = read(
            "Operator: M. Okafor\nSample rate: 50 Hz\nForce unit: lbf\nLoad cell: 50 kN\nNo,Force,Travel\n1,2,3\n2,3,4\n3,4,5\n",
        );
        assert_eq!(heading.rate_hz, Some(50.0));
        assert_eq!(heading.force_unit.map(|unit| unit.name), Some("lbf"));
        assert_eq!(read("Interval;20 ms\nF;x\n1;2\n2;3\n3;4\n").rate_hz, Some(50.0));
    }

    #[test]
    fn columns_are_there_for_something() {
        let role = |name: &str, unit: &str| {
            Column {
                name: name.into(),
                unit: unit.into(),
            }
            .role()
        };
        assert_eq!(role("Load cell 1", "kN"), Some((Role::Force, 2)));
        assert_eq!(role("F", "kN"), Some((Role::Force, 1)));
        assert_eq!(role("Peak load", "kN"), None);
        assert_eq!(role("Temperature", "°C"), None);
        assert_eq!(role("", "kN"), Some((Role::Force, 1)));
        assert_eq!(role("Crosshead position", "mm"), Some((Role::Travel, 2)));
        assert_eq!(role("Strain gauge", "kN"), None);
    }
}
