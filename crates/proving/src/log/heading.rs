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
    pub(crate) time_unit: Option<Unit>,
    /// Whether they name two units of force.
    pub(crate) is_mixed: bool,
    /// Readings a second.
    pub(crate) rate_hz: Option<f64>,
    /// What a line says of a factor.
    pub(crate) scale: Option<String>,
}

/// What a column is there for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    Time,
    Day,
    Force,
    Travel,
}

/// English, German, French, Spanish, and where they are near, Italian, Portuguese, Dutch and the Nordic tongues.
const TIME: &[&str] = &[
    "time",
    "t",
    "elapsed",
    "timestamp",
    "datetime",
    "clock",
    "sec",
    "secs",
    "seconds",
    "ms",
    "zeit",
    "uhrzeit",
    "zeitstempel",
    "laufzeit",
    "messzeit",
    "prüfzeit",
    "pruefzeit",
    "testtime",
    "temps",
    "heure",
    "horodatage",
    "durée",
    "duree",
    "tiempo",
    "hora",
    "tempo",
    "ora",
    "tijd",
    "tid",
];
const DAY: &[&str] = &["date", "datum", "fecha", "day", "tag", "jour", "dato"];
const FORCE: &[&str] = &[
    "force",
    "forces",
    "load",
    "loads",
    "loadcell",
    "tension",
    "pull",
    "f",
    "cell",
    "weight",
    "fz",
    "lc",
    "tensile",
    "kraft",
    "kräfte",
    "zugkraft",
    "last",
    "prüfkraft",
    "pruefkraft",
    "standardkraft",
    "messkraft",
    "normkraft",
    "zuglast",
    "belastung",
    "zug",
    "charge",
    "effort",
    "traction",
    "fuerza",
    "carga",
    "esfuerzo",
    "tracción",
    "traccion",
    "forza",
    "carico",
    "força",
    "forca",
    "kracht",
    "trekkracht",
    "belasting",
    "siła",
];
const TRAVEL: &[&str] = &[
    "travel",
    "displacement",
    "displ",
    "disp",
    "extension",
    "ext",
    "stroke",
    "position",
    "pos",
    "crosshead",
    "elongation",
    "x",
    "s",
    "distance",
    "ram",
    "lvdt",
    "actuator",
    "extensometer",
    "stretch",
    "weg",
    "hub",
    "verschiebung",
    "verlängerung",
    "verlaengerung",
    "dehnung",
    "traverse",
    "traversenweg",
    "standardweg",
    "maschinenweg",
    "kolbenweg",
    "deplacement",
    "déplacement",
    "course",
    "allongement",
    "desplazamiento",
    "carrera",
    "recorrido",
    "alargamiento",
    "posición",
    "posicion",
    "corsa",
    "spostamento",
    "allungamento",
    "deslocamento",
    "curso",
    "verplaatsing",
    "väg",
    "vandring",
];
/// Words that end so are of the same kind, as German puts words together.
const ENDINGS: &[(&str, Role)] = &[
    ("kraft", Role::Force),
    ("weg", Role::Travel),
    ("zeit", Role::Time),
    ("last", Role::Force),
];
/// What tells the way of the machine, which is what work is done along.
const MACHINE: &[&str] = &[
    "crosshead",
    "stroke",
    "ram",
    "actuator",
    "machine",
    "traverse",
    "traversenweg",
    "maschinenweg",
    "kolbenweg",
    "travel",
    "weg",
    "hub",
    "course",
    "carrera",
    "recorrido",
    "position",
];
/// What is told of a quantity, and is not it.
const ABOUT: &[&str] = &[
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
    "cmd",
    "demand",
    "rate",
    "speed",
    "velocity",
    "mean",
    "avg",
    "average",
    "capacity",
    "error",
    "temperature",
    "temp",
    "strain",
    "stress",
    "status",
    "state",
    "pressure",
    "druck",
    "pression",
    "presión",
    "presion",
    "voltage",
    "torque",
    "moment",
    "energy",
    "work",
    "power",
    "tare",
    "frequency",
    "geschwindigkeit",
    "vitesse",
    "velocidad",
    "spannung",
    "percent",
    "comment",
    "pretension",
    "preload",
    "vorkraft",
    "precharge",
    "précharge",
    "precarga",
];
/// What says that a line is about units.
const UNIT: &[&str] = &[
    "unit",
    "units",
    "einheit",
    "einheiten",
    "unité",
    "unités",
    "unite",
    "unites",
    "unidad",
    "unidades",
    "unità",
    "unita",
    "eenheid",
    "enhet",
];
/// What says that a line is about a factor.
const SCALE: &[&str] = &[
    "scale",
    "scaling",
    "multiplier",
    "skalierung",
    "skalierungsfaktor",
    "facteur",
    "escala",
];
/// Words that add nothing to a name and its unit.
const SMALL: &[&str] = &[
    "in", "the", "all", "of", "values", "value", "are", "is", "channel", "ch", "signal", "kanal", "canal",
    "voie", "der", "die", "de", "du", "en", "werte", "la",
];
/// What stands in a line of units besides units.
const NO_UNIT: &[&str] = &[
    "",
    "-",
    "--",
    "%",
    "°c",
    "°f",
    "c",
    "°",
    "deg",
    "#",
    "v",
    "mv",
    "mv/v",
    "ma",
    "bar",
    "psi",
    "mpa",
    "kpa",
    "hz",
    "mm/min",
    "mm/s",
    "kn/s",
    "n/s",
    "1",
    "n/a",
    "none",
    "text",
    "no",
    "µm/m",
    "ue",
    "date",
    "date/time",
    "k",
];

/// Lines above the rows among which names are looked for.
const NAMES_WITHIN: usize = 8;

/// Reads the lines before the rows.
pub(crate) fn heading(lines: &[&[u8]], rows: &Rows) -> Heading {
    let mut heading = Heading {
        columns: vec![Column::default(); rows.width],
        ..Heading::default()
    };
    let before = &lines[..rows.first];
    // Blanks part a day and its clock, which have one name.
    let kinds = kinds(lines, rows);
    let has_parted_clock = rows.dialect.separator == Separator::Blanks
        && matches!(kinds.as_slice(), [Field::Day, Field::Clock, ..]);
    let names = name_columns(&mut heading, before, rows, has_parted_clock);
    for (at, line) in before.iter().enumerate() {
        let is_names = names == Some(at);
        remark(
            &mut heading,
            &String::from_utf8_lossy(line),
            is_names,
            rows.dialect,
        );
    }
    heading
}

/// Finds names and units of columns in the lines above the rows, the nearest first; gives the line of the names.
fn name_columns(
    heading: &mut Heading,
    before: &[&[u8]],
    rows: &Rows,
    has_parted_clock: bool,
) -> Option<usize> {
    let has_letter = |cell: &String| cell.chars().any(char::is_alphabetic);
    let (mut names, mut has_units) = (None, false);
    let near = before
        .iter()
        .enumerate()
        .rev()
        .filter(|(_, line)| !trimmed(line).is_empty())
        .take(NAMES_WITHIN);
    for (at, line) in near {
        let mut cells = cells(line, rows);
        if has_parted_clock && cells.len() + 1 == rows.width {
            cells.insert(0, String::new());
        }
        let fits = cells.len() == rows.width || cells.len() + 1 == rows.width && cells.len() > 1;
        if !fits || !cells.iter().any(has_letter) {
            continue;
        }
        if is_units(&cells) {
            let is_free = !has_units && heading.columns.iter().all(|column| column.unit.is_empty());
            for (column, cell) in heading.columns.iter_mut().zip(&cells) {
                if is_free {
                    column.unit.clone_from(cell);
                } else if differ(&column.unit, cell) {
                    // Two units at one column: neither is sure.
                    column.unit = format!("{} / {cell}", column.unit);
                }
            }
            has_units = true;
        } else if names.is_none() {
            names = Some(at);
            for (column, cell) in heading.columns.iter_mut().zip(&cells) {
                let (name, unit) = name_and_unit(cell);
                column.name = name;
                if column.unit.is_empty() {
                    column.unit = unit;
                } else if differ(&column.unit, &unit) {
                    column.unit = format!("{unit} / {}", column.unit);
                }
            }
        }
    }
    names
}

/// Gives the cells of a line of words.
fn cells(line: &[u8], rows: &Rows) -> Vec<String> {
    let mut places = Vec::new();
    rows.dialect.separator.split(line, &mut places);
    let text = |place: &std::ops::Range<usize>| {
        let cell = trimmed(&line[place.clone()]);
        let cell = cell
            .strip_prefix(b"#")
            .or_else(|| cell.strip_prefix(b"%"))
            .unwrap_or(cell);
        String::from_utf8_lossy(trimmed(cell)).to_string()
    };
    let mut cells: Vec<String> = places.iter().map(text).collect();
    if rows.dialect.separator != Separator::Blanks {
        // What ends with a separator has one field more, with nothing in it.
        while cells.len() > rows.width && cells.last().is_some_and(String::is_empty) {
            cells.pop();
        }
        return cells;
    }
    let joined = joined_by_brackets(cells);
    if joined.len() <= rows.width {
        return joined;
    }
    // Names of several words stand further apart than their words.
    let wide = String::from_utf8_lossy(line).replace('\t', "  ");
    wide.split("  ")
        .map(|cell| cell.trim().to_string())
        .filter(|cell| !cell.is_empty())
        .collect()
}

/// Joins words that stand between blanks: a unit in brackets belongs to the word before it.
fn joined_by_brackets(cells: Vec<String>) -> Vec<String> {
    let mut joined: Vec<String> = Vec::new();
    for cell in cells.into_iter().filter(|cell| !cell.is_empty()) {
        match joined.last_mut() {
            Some(last)
                if cell.starts_with(['(', '[']) && !last.contains(['(', '['])
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

/// Tells whether a line is one of units: some are, and nothing in it is a name.
fn is_units(cells: &[String]) -> bool {
    let bare = |cell: &String| {
        cell.trim_matches(['[', ']', '(', ')', '{', '}', '<', '>', ' '])
            .to_lowercase()
    };
    let is_unit =
        |cell: &String| Unit::any(cell, &[Measure::Force, Measure::Travel, Measure::Time]).is_some();
    // How a clock is written, as in hh:mm:ss.
    let is_clock = |cell: &String| bare(cell).chars().all(|c| "hmsdyf0t:./- ".contains(c));
    let is_other = |cell: &String| {
        NO_UNIT.contains(&bare(cell).as_str()) || cell.starts_with(['[', '(']) || is_clock(cell)
    };
    cells.iter().any(is_unit) && cells.iter().all(|cell| is_unit(cell) || is_other(cell))
}

/// Tells whether a line is the name or the unit of a force, and nothing else.
pub(crate) fn names_force(line: &str) -> bool {
    let (name, unit) = name_and_unit(line.trim());
    let is_force = Column { name, unit }
        .role()
        .is_some_and(|(role, _)| role == Role::Force);
    is_force && words(line).len() <= 3
}

/// Tells what each cell of a heading is there for; none for a line that is no heading, since it names less than two.
pub(crate) fn roles_in(cells: &[String]) -> Option<Vec<Option<Role>>> {
    let role = |cell: &String| {
        let (name, unit) = name_and_unit(cell);
        Column { name, unit }.role().map(|(role, _)| role)
    };
    let roles: Vec<Option<Role>> = cells.iter().map(role).collect();
    let has = |role: Role| roles.contains(&Some(role));
    let is_heading = has(Role::Force) && (has(Role::Time) || has(Role::Travel));
    (is_heading && !is_units(cells)).then_some(roles)
}

/// Gives the unit of force that a heading names; none where it names none.
pub(crate) fn force_unit_in(cell: &str) -> Option<Unit> {
    Unit::read(&name_and_unit(cell).1, Measure::Force)
}

/// Tells whether two texts are units of one measure, and not the same.
fn differ(a: &str, b: &str) -> bool {
    [Measure::Force, Measure::Travel, Measure::Time]
        .iter()
        .any(|measure| {
            let units = [a, b].map(|text| Unit::read(text, *measure));
            matches!(units, [Some(a), Some(b)] if a.name != b.name)
        })
}

/// Takes the unit off a name. What is left of the name may be another unit of the same measure: then neither is sure.
fn name_and_unit(cell: &str) -> (String, String) {
    let (name, unit) = name_and_one_unit(cell);
    let words = name.split(|c: char| c.is_whitespace() || "()[]{}<>/,;:|=".contains(c));
    match words
        .filter(|word| !word.is_empty())
        .find(|word| differ(word, &unit))
    {
        Some(other) => {
            let unit = format!("{other} / {unit}");
            (name, unit)
        }
        None => match scale_in(cell) {
            Some(scale) if !unit.is_empty() => (name, format!("{unit} {scale}")),
            _ => (name, unit),
        },
    }
}

/// Finds a power of ten by which a column is scaled, as in `x1000` or `/10`: how the unit is meant is then not sure.
fn scale_in(cell: &str) -> Option<&str> {
    let signs = ['x', 'X', '*', '×', '·', '/', '÷'];
    cell.match_indices(signs).find_map(|(at, sign)| {
        let rest = cell[at + sign.len()..].trim_start();
        let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let is_power =
            digits > 1 && rest.starts_with('1') && rest[1..digits].bytes().all(|digit| digit == b'0');
        // A letter before it makes it a word, as in `max 10`.
        let is_word = sign.eq_ignore_ascii_case("x") && cell[..at].ends_with(char::is_alphabetic);
        (is_power && !is_word).then_some(&cell[at..])
    })
}

/// Takes the unit off a name: in brackets, after a sign, or as the last word of it.
fn name_and_one_unit(cell: &str) -> (String, String) {
    let measures = [Measure::Force, Measure::Travel, Measure::Time];
    let is_unit = |text: &str| Unit::any(text, &measures).is_some();
    let brackets = [('[', ']'), ('(', ')'), ('{', '}'), ('<', '>')];
    let inside = || {
        brackets.iter().filter_map(|(open, close)| {
            let (name, rest) = cell.rsplit_once(*open)?;
            let (unit, after) = rest.split_once(*close).unwrap_or((rest, ""));
            Some((
                format!("{} {}", name.trim(), after.trim()).trim().to_string(),
                unit.trim().to_string(),
            ))
        })
    };
    if let Some(found) = inside().find(|(_, unit)| is_unit(unit) || is_muddled(unit)) {
        return found;
    }
    for sign in ['/', ',', '_', ' ', ':', '-', '.', '|', '='] {
        // What stands within brackets is no part of the name.
        if let Some((name, unit)) = cell.rsplit_once(sign)
            && is_unit(unit)
            && !unit.contains([']', ')', '}', '>'])
        {
            let name = name
                .trim()
                .trim_end_matches([',', '/', ':', '-', '|', '=', '.'])
                .trim();
            let name = name.strip_suffix(" in").unwrap_or(name);
            return (name.trim().to_string(), unit.trim().to_string());
        }
    }
    if let Some(found) = inside().next() {
        return found;
    }
    // A unit alone names what it measures.
    let alone = is_unit(cell) && cell.trim().len() > 1;
    if alone {
        (String::new(), cell.trim().to_string())
    } else {
        (cell.trim().to_string(), String::new())
    }
}

/// Tells whether brackets name two units of one measure, or a unit with a number: it is not known which, or how many times.
fn is_muddled(unit: &str) -> bool {
    let tokens: Vec<&str> = unit
        .split(|c: char| c.is_whitespace() || "/|,;*·×".contains(c))
        .filter(|token| !token.is_empty())
        .collect();
    let has_number = tokens
        .iter()
        .any(|token| token.contains(|c: char| c.is_ascii_digit()));
    [Measure::Force, Measure::Travel, Measure::Time]
        .iter()
        .any(|measure| {
            let mut units: Vec<&str> = tokens
                .iter()
                .filter_map(|token| Some(Unit::read(token, *measure)?.name))
                .collect();
            units.sort_unstable();
            units.dedup();
            units.len() > 1 || units.len() == 1 && has_number
        })
}

/// The words of a name, in lower case; where a small letter stands before a large one a word begins.
fn words(name: &str) -> Vec<String> {
    let (mut spaced, mut was_small) = (String::with_capacity(name.len() + 8), false);
    for c in name.chars() {
        if c.is_uppercase() && was_small || !c.is_alphabetic() {
            spaced.push(' ');
        }
        if c.is_alphabetic() {
            spaced.push(c);
        }
        was_small = c.is_lowercase();
    }
    spaced.split_whitespace().map(str::to_lowercase).collect()
}

/// Tells whether a word is one of some, or ends as German puts them together.
fn is_of(word: &str, list: &[&str], role: Role) -> bool {
    list.contains(&word)
        || ENDINGS
            .iter()
            .any(|(ending, own)| *own == role && word.len() > ending.len() && word.ends_with(ending))
}

/// Keeps what a line says of all of the log.
fn remark(heading: &mut Heading, line: &str, is_names: bool, dialect: Dialect) {
    let words = words(line);
    let says = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let tokens: Vec<&str> = line
        .split([
            ':', ';', ',', '=', '\t', ' ', '"', '|', '[', ']', '(', ')', '\u{A0}',
        ])
        .map(str::trim)
        .filter(|token| !token.is_empty())
        .collect();
    // `min` is a unit where units are spoken of.
    let is_about = |word: &String| ABOUT.contains(&word.as_str()) && !(word == "min" && says(UNIT));
    if !words.iter().any(is_about) {
        units_for_all(heading, &words, &tokens, is_names);
    }
    let has_factor = tokens
        .iter()
        .any(|token| number(token.as_bytes(), dialect.writing).is_some_and(|value| value != 1.0));
    if !is_names && has_factor && says(SCALE) {
        heading.scale = Some(line.trim().chars().take(60).collect());
    }
    let asks_rate = says(&[
        "rate",
        "frequency",
        "sampling",
        "period",
        "samples",
        "messrate",
        "abtastrate",
        "messfrequenz",
        "fréquence",
        "frequence",
        "frecuencia",
        "interval",
        "intervall",
        "intervalle",
        "intervalo",
        "cadence",
        "muestreo",
        "hz",
        "samplerate",
    ]);
    let of_something_else = says(&["filter", "cutoff", "corner", "mains"]);
    if asks_rate && !of_something_else {
        heading.rate_hz = rate_hz(&tokens, dialect).or(heading.rate_hz);
    }
}

/// Keeps a unit that a line names for all of the log: it is about units, or it names a quantity and its unit and nothing else.
fn units_for_all(heading: &mut Heading, words: &[String], tokens: &[&str], is_names: bool) {
    let is_role = |word: &String, role: Role| {
        let list = match role {
            Role::Force => FORCE,
            Role::Travel => TRAVEL,
            Role::Time => TIME,
            Role::Day => DAY,
        };
        word.len() > 1 && is_of(word, list, role)
    };
    let names = |role: Role| words.iter().any(|word| is_role(word, role));
    let is_about_units = words.iter().any(|word| UNIT.contains(&word.as_str()));
    let measures = [Measure::Force, Measure::Travel, Measure::Time];
    let is_unit = |token: &&str| Unit::any(token, &measures).is_some();
    let is_name = |word: &String| {
        let is_quantity = [Role::Force, Role::Travel, Role::Time]
            .iter()
            .any(|role| is_role(word, *role));
        is_quantity || SMALL.contains(&word.as_str())
    };
    let is_bare = tokens
        .iter()
        .all(|token| is_unit(token) || self::words(token).iter().all(is_name));
    let has_number = tokens
        .iter()
        .any(|token| token.starts_with(|c: char| c.is_ascii_digit()));
    if !is_about_units && (!is_bare || has_number) {
        return;
    }
    let named = [Role::Force, Role::Travel, Role::Time].map(names);
    let is_for_all = is_about_units && !named.contains(&true);
    let mut keep = |at: usize, measure: Measure, into: fn(&mut Heading) -> &mut Option<Unit>| {
        let is_alone = named[at] && named.iter().filter(|is_named| **is_named).count() == 1;
        // A `t` among names is a time, and no ton.
        let is_time = |token: &str| token == "t" && (is_names || !is_about_units);
        let mut found: Vec<Unit> = tokens
            .iter()
            .filter(|token| !is_time(token))
            .filter_map(|token| Unit::read(token, measure))
            .collect();
        found.dedup_by(|a, b| a.name == b.name);
        let [unit] = found.as_slice() else { return };
        if is_alone || is_for_all {
            let has = into(heading);
            let differs = has.is_some_and(|has| has.name != unit.name);
            *has = Some(*unit);
            heading.is_mixed |= differs && measure == Measure::Force;
        }
    };
    keep(0, Measure::Force, |heading| &mut heading.force_unit);
    keep(1, Measure::Travel, |heading| &mut heading.travel_unit);
    keep(2, Measure::Time, |heading| &mut heading.time_unit);
}

/// Finds a rate, or an interval, among words: a number and its unit, in either order, or a number alone where readings are spoken of.
fn rate_hz(tokens: &[&str], dialect: Dialect) -> Option<f64> {
    let (mut numbers, mut units) = (Vec::new(), Vec::new());
    for token in tokens {
        let at = token
            .find(|c: char| c.is_alphabetic() || c == '/')
            .unwrap_or(token.len());
        let (value, unit) = token.split_at(at);
        let value = number(value.as_bytes(), dialect.writing).or_else(|| value.parse().ok());
        numbers.extend(value.map(|value| (value, units.len())));
        units.extend(Some(unit.to_lowercase()).filter(|unit| !unit.is_empty()));
    }
    let to_hz = |value: f64, unit: &str| match unit {
        "hz" | "/s" | "s/s" | "sps" | "samples/s" | "samples/sec" => Some(value),
        "khz" => Some(1000.0 * value),
        "s" | "sec" | "seconds" => Some(1.0 / value),
        "ms" => Some(1000.0 / value),
        "us" | "µs" => Some(1e6 / value),
        _ => None,
    };
    let is_rate = |rate: &f64| rate.is_finite() && *rate > 0.0 && *rate <= 1e7;
    // The unit right after a number, then one before it.
    let after = numbers
        .iter()
        .find_map(|(value, at)| to_hz(*value, units.get(*at)?).filter(is_rate));
    let [(value, _)] = numbers.as_slice() else {
        return after;
    };
    let before = || units.iter().find_map(|unit| to_hz(*value, unit)).filter(is_rate);
    let of_readings = [
        "sample",
        "samples",
        "sampling",
        "messrate",
        "abtastrate",
        "samplerate",
        "messfrequenz",
        "muestreo",
    ];
    let is_of_readings = units.iter().any(|unit| of_readings.contains(&unit.as_str()));
    let is_interval = units
        .iter()
        .any(|unit| ["interval", "period", "time"].contains(&unit.as_str()));
    let has_other_unit = numbers.iter().any(|(_, at)| units.get(*at).is_some());
    let bare = Some(*value)
        .filter(is_rate)
        .filter(|_| is_of_readings && !is_interval && !has_other_unit);
    after.or_else(before).or(bare)
}

impl Column {
    /// Says what a column is there for by its name, and how surely: 2 by a word that is nothing else, 1 by a letter or a unit.
    pub(crate) fn role(&self) -> Option<(Role, u8)> {
        let words = words(&self.name);
        if self.is_about() {
            return None;
        }
        let says = |list: &[&str], role: Role| {
            words
                .iter()
                .filter(|word| is_of(word, list, role))
                .map(|word| if word.len() > 1 { 2 } else { 1 })
                .max()
        };
        let named = [
            (Role::Force, says(FORCE, Role::Force)),
            (Role::Travel, says(TRAVEL, Role::Travel)),
            (Role::Day, says(DAY, Role::Day)),
            (Role::Time, says(TIME, Role::Time)),
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
                        [
                            "channel", "ch", "ai", "input", "kanal", "canal", "voie", "value", "sensor",
                            "signal", "reading",
                        ]
                        .contains(&word.as_str())
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

    /// Tells whether its name says that it is told of a quantity, and is not it; raw values are in counts or volts unless a unit says otherwise.
    pub(crate) fn is_about(&self) -> bool {
        let is_raw = |word: &String| word == "raw" && Unit::read(&self.unit, Measure::Force).is_none();
        words(&self.name)
            .iter()
            .any(|word| ABOUT.contains(&word.as_str()) || is_raw(word))
    }

    /// Tells whether a filter took the top off what it holds.
    pub(crate) fn is_filtered(&self) -> bool {
        let of = [
            "filt",
            "filtered",
            "filter",
            "smoothed",
            "smooth",
            "damped",
            "averaged",
            "gefiltert",
            "filtrée",
            "filtrado",
        ];
        words(&self.name).iter().any(|word| of.contains(&word.as_str()))
    }

    /// Tells whether it is how far the machine went, rather than what a part lengthens.
    pub(crate) fn is_machine(&self) -> bool {
        words(&self.name)
            .iter()
            .any(|word| is_of(word, MACHINE, Role::Travel))
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
        for text in [
            "t;Force kN (N)\n1;2\n2;3\n",
            "t;Force [kN] (lbf)\n1;2\n2;3\n",
            "t;Force (kN)\ns;lbf\n1;2\n2;3\n",
            "t;Force kN lbf\n1;2\n2;3\n",
        ] {
            let unit = columns(text)[1].1.clone();
            assert!(Unit::read(&unit, Measure::Force).is_none(), "{text}: {unit}");
        }
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
