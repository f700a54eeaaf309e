//! The rows of a log, piece by piece.
//!
//! Conventions: forces in N and travel in m as single precision, whose 24 bits are more than any load cell's; time in s as double.
//! Assumes: rows are written as in the beginning.
//! Valid for: any bytes; what is no row is counted, and the first of its kind shown.
//! Source: definitions.
//! Checked by: tests/logs.rs; fuzz/fuzz_targets/log.rs.

use crate::log::clock::{DAY_S, clock, day};
use crate::log::dialect::Dialect;
use crate::log::heading::{Role, force_unit_in, roles_in};
use crate::log::number::{number, number_and_word, trimmed};
use crate::log::quick::Quick;
use crate::log::units::{Measure, Unit};

/// How the time of a row is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Timed {
    /// A number, and what one of it is in seconds.
    Number { column: usize, factor: f64 },
    /// A clock, the column of the date if that is another one, and that of parts of a second with what one of them is.
    Clock {
        column: usize,
        day: Option<usize>,
        part: Option<(usize, f64)>,
    },
    /// So many readings a second.
    Rate(f64),
}

/// What is taken from each row.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plan {
    pub(crate) dialect: Dialect,
    pub(crate) timed: Timed,
    /// Where the force stands, and what one of it is in newtons.
    pub(crate) force: (usize, f64),
    /// What stands after each force; empty where nothing does.
    pub(crate) force_word: String,
    /// Where the travel stands, and what one of it is in metres.
    pub(crate) travel: Option<(usize, f64)>,
}

/// A line that is no row.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Odd {
    pub(crate) count: usize,
    /// The first: by lines of its piece, and what it says.
    pub(crate) first: Option<(usize, String)>,
}

/// Some rows.
#[derive(Debug, Default)]
pub(crate) struct Piece {
    pub(crate) lines: usize,
    pub(crate) time_s: Vec<f64>,
    pub(crate) force_n: Vec<f32>,
    pub(crate) travel_m: Vec<f32>,
    /// Rows at which the instrument said that it was past its range.
    pub(crate) over: Vec<usize>,
    /// Rows without a force or a time.
    pub(crate) missing: Odd,
    /// Lines with too few fields.
    pub(crate) short: Odd,
    /// Lines of words.
    pub(crate) words: Odd,
    /// Headings that name the columns in another order.
    pub(crate) moved: Odd,
    /// What stands after a force that is not what should.
    pub(crate) other_word: Option<String>,
    /// Whether a date was read.
    pub(crate) has_day: bool,
}

/// What an instrument writes past its range.
const OVER: [&str; 16] = [
    "ovl",
    "ol",
    "over",
    "overload",
    "ovf",
    "overflow",
    "+ovl",
    "-ovl",
    "ovrld",
    "o.l",
    "o.l.",
    "inf",
    "+inf",
    "-inf",
    "overrange",
    "over range",
];
/// Instruments write a number as large as this, in any unit, where they are past their range.
const NO_FORCE: f64 = 1e30;
/// No more of a line than this is shown.
const SHOWN: usize = 60;

impl Odd {
    fn see(&mut self, line: usize, text: &[u8]) {
        self.count += 1;
        if self.first.is_none() {
            let text = String::from_utf8_lossy(&text[..text.len().min(4 * SHOWN)]);
            let shown: String = text.chars().filter(|c| !c.is_control()).take(SHOWN).collect();
            self.first = Some((line, shown));
        }
    }

    /// Adds what came after so many lines.
    pub(crate) fn add(&mut self, next: Odd, lines: usize) {
        self.count += next.count;
        if self.first.is_none() {
            self.first = next.first.map(|(line, text)| (lines + line, text));
        }
    }
}

/// Reads rows from bytes that end with a line, or the file.
pub(crate) fn rows(bytes: &[u8], end: u8, plan: &Plan) -> Piece {
    let mut piece = Piece::default();
    let about = bytes.len() / 24 + 1;
    piece.time_s.reserve(about);
    piece.force_n.reserve(about);
    if plan.travel.is_some() {
        piece.travel_m.reserve(about);
    }
    let (mut places, quick) = (Vec::new(), Quick::of(plan));
    let mut start = 0;
    let ends = memchr::memchr_iter(end, bytes).chain((bytes.last() != Some(&end)).then_some(bytes.len()));
    for stop in ends {
        if start < stop || start < bytes.len() {
            piece.lines += 1;
            let line = &bytes[start..stop];
            let line = line.strip_suffix(b"\r").unwrap_or(line);
            if !quick.is_some_and(|quick| quick.row(&mut piece, line)) {
                slow_row(&mut piece, line, plan, &mut places);
            }
        }
        start = stop + 1;
    }
    piece
}

/// Reads a row however it is written.
pub(crate) fn slow_row(
    piece: &mut Piece,
    line: &[u8],
    plan: &Plan,
    places: &mut Vec<std::ops::Range<usize>>,
) {
    plan.dialect.separator.split(line, places);
    let writing = plan.dialect.writing;
    let at = |column: usize| places.get(column).map(|place| &line[place.clone()]);
    let (column, factor) = plan.force;
    let Some(force) = at(column) else {
        if !trimmed(line).is_empty() {
            let odd = if is_words(line) {
                &mut piece.words
            } else {
                &mut piece.short
            };
            odd.see(piece.lines, line);
        }
        return;
    };
    let time_s = match plan.timed {
        Timed::Number { column, factor } => at(column)
            .and_then(|field| number(field, writing).or_else(|| Some(number_and_word(field, writing)?.0)))
            .map(|value| value * factor),
        Timed::Clock {
            column,
            day: dated,
            part,
        } => at(column).and_then(clock).and_then(|told| {
            let day = match dated {
                Some(column) => Some(day(at(column)?)?),
                None => told.day,
            };
            piece.has_day |= day.is_some();
            let part_s = match part {
                Some((column, factor)) => factor * number(at(column)?, writing)?,
                None => 0.0,
            };
            Some(told.seconds + part_s + day.unwrap_or(0) as f64 * DAY_S)
        }),
        Timed::Rate(rate_hz) => Some(1.0 / rate_hz),
    };
    let force_n = number(force, writing)
        .or_else(|| with_word(piece, force, plan))
        .map(|value| value * factor);
    let is_over = match force_n {
        Some(force_n) => force_n.abs() > NO_FORCE,
        None => is_over(force),
    };
    match time_s {
        Some(time_s) if force_n.is_some() || is_over => {
            if is_over {
                piece.over.push(piece.time_s.len());
            }
            // What is past the range is at least what it was before.
            let before = piece.force_n.last().copied().unwrap_or(0.0);
            piece.time_s.push(time_s);
            piece.force_n.push(
                force_n
                    .filter(|_| !is_over)
                    .map_or(before, |force_n| force_n as f32),
            );
            // A travel that is not there is no number until those beside it are known.
            piece.travel_m.extend(plan.travel.map(|(column, factor)| {
                let value = at(column).and_then(|field| {
                    number(field, writing).or_else(|| Some(number_and_word(field, writing)?.0))
                });
                value.map_or(f32::NAN, |value| (value * factor) as f32)
            }));
        }
        _ if is_words(line) && (time_s.is_none() || matches!(plan.timed, Timed::Rate(_))) => {
            piece.words.see(piece.lines, line);
            if moves_columns(line, places, plan) {
                piece.moved.see(piece.lines, line);
            }
            // A second heading may be of another unit.
            let other = force_unit_in(&String::from_utf8_lossy(force));
            let other = other.filter(|unit| (unit.factor / plan.force.1.abs() - 1.0).abs() > 1e-9);
            if let Some(unit) = other {
                piece.other_word.get_or_insert_with(|| unit.name.to_string());
            }
        }
        _ => piece.missing.see(piece.lines, line),
    }
}

/// Tells whether a line is a heading that has something else where the first one has what is read.
fn moves_columns(line: &[u8], places: &[std::ops::Range<usize>], plan: &Plan) -> bool {
    let cell =
        |place: &std::ops::Range<usize>| String::from_utf8_lossy(trimmed(&line[place.clone()])).into_owned();
    let cells: Vec<String> = places.iter().map(cell).collect();
    let Some(roles) = roles_in(&cells) else {
        return false;
    };
    let time = match plan.timed {
        Timed::Number { column, .. } | Timed::Clock { column, .. } => Some(column),
        Timed::Rate(_) => None,
    };
    let is_other = |column: usize, right: &[Role]| {
        let role = roles.get(column).copied().flatten();
        role.is_some_and(|role| !right.contains(&role))
    };
    let has_moved_time = time.is_some_and(|column| is_other(column, &[Role::Time, Role::Day]));
    let has_moved_travel = plan
        .travel
        .is_some_and(|(column, _)| is_other(column, &[Role::Travel]));
    is_other(plan.force.0, &[Role::Force]) || has_moved_time && has_moved_travel
}

/// Reads a force with its unit after it, which must be that of all.
fn with_word(piece: &mut Piece, field: &[u8], plan: &Plan) -> Option<f64> {
    let (value, word) = number_and_word(field, plan.dialect.writing)?;
    if word == plan.force_word.as_bytes() {
        return Some(value);
    }
    let unit = |word: &str| Unit::read(word, Measure::Force).map(|unit| unit.name);
    let text = String::from_utf8_lossy(word);
    let own = unit(&text)?;
    if unit(&plan.force_word) == Some(own) {
        return Some(value);
    }
    piece.other_word.get_or_insert_with(|| text.into_owned());
    None
}

fn is_over(field: &[u8]) -> bool {
    let word = String::from_utf8_lossy(trimmed(field)).to_lowercase();
    OVER.contains(&word.as_str()) || word.len() > 2 && word.bytes().all(|byte| byte == b'#')
}

fn is_words(line: &[u8]) -> bool {
    line.iter().filter(|byte| byte.is_ascii_alphabetic()).count() > 2
}
