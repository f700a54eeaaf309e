//! The rows of a log, piece by piece.
//!
//! Conventions: forces in N and travel in m as single precision, whose 24 bits are more than any load cell's; time in s as double.
//! Assumes: rows are written as in the beginning.
//! Valid for: any bytes; what is no row is counted, and the first of its kind shown.
//! Source: definitions.
//! Checked by: tests/logs.rs; fuzz/fuzz_targets/log.rs.

use crate::log::clock::{DAY_S, clock, day};
use crate::log::dialect::{Dialect, Separator};
use crate::log::number::{number, trimmed};

/// How the time of a row is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Timed {
    /// A number, and what one of it is in seconds.
    Number { column: usize, factor: f64 },
    /// A clock, and the column of the date if that is another one.
    Clock { column: usize, day: Option<usize> },
    /// So many readings a second.
    Rate(f64),
}

/// What is taken from each row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Plan {
    pub(crate) dialect: Dialect,
    pub(crate) timed: Timed,
    /// Where the force stands, and what one of it is in newtons.
    pub(crate) force: (usize, f64),
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
    /// Whether a date was read.
    pub(crate) has_day: bool,
}

/// What an instrument writes past its range.
const OVER: [&str; 8] = [
    "ovl", "ol", "over", "overload", "ovf", "overflow", "+ovl", "ovrld",
];
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
    let mut places = Vec::new();
    let mut start = 0;
    let ends = memchr::memchr_iter(end, bytes).chain((bytes.last() != Some(&end)).then_some(bytes.len()));
    for stop in ends {
        if start < stop || start < bytes.len() {
            piece.lines += 1;
            row(&mut piece, &bytes[start..stop], plan, &mut places);
        }
        start = stop + 1;
    }
    piece
}

fn row(piece: &mut Piece, line: &[u8], plan: &Plan, places: &mut Vec<std::ops::Range<usize>>) {
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    match plan.dialect.separator {
        Separator::Sign(sign) if memchr::memchr(b'"', line).is_none() => {
            places.clear();
            let mut start = 0;
            for at in memchr::memchr_iter(sign, line) {
                places.push(start..at);
                start = at + 1;
            }
            places.push(start..line.len());
        }
        separator => separator.split(line, places),
    }
    let writing = plan.dialect.writing;
    let at = |column: usize| places.get(column).map(|place| &line[place.clone()]);
    let (force, factor) = plan.force;
    let Some(force) = at(force) else {
        if !trimmed(line).is_empty() {
            let odd = if line.iter().any(u8::is_ascii_alphabetic) {
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
            .and_then(|field| number(field, writing))
            .map(|value| value * factor),
        Timed::Clock { column, day: dated } => at(column).and_then(clock).and_then(|told| {
            let day = match dated {
                Some(column) => Some(day(at(column)?)?),
                None => told.day,
            };
            piece.has_day |= day.is_some();
            Some(told.seconds + day.unwrap_or(0) as f64 * DAY_S)
        }),
        Timed::Rate(rate_hz) => Some(1.0 / rate_hz),
    };
    let travel = plan.travel.map(|(column, factor)| {
        at(column)
            .and_then(|field| number(field, writing))
            .map(|value| value * factor)
    });
    let force_n = number(force, writing).map(|value| value * factor);
    let is_over = force_n.is_none() && is_over(force);
    match (time_s, force_n, travel) {
        (Some(time_s), force_n, travel) if (force_n.is_some() || is_over) && travel != Some(None) => {
            if is_over {
                piece.over.push(piece.time_s.len());
            }
            // What is past the range is at least what it was before.
            let before = piece.force_n.last().copied().unwrap_or(0.0);
            piece.time_s.push(time_s);
            piece
                .force_n
                .push(force_n.map_or(before, |force_n| force_n as f32));
            piece
                .travel_m
                .extend(travel.flatten().map(|travel| travel as f32));
        }
        _ if is_words(line) && time_s.is_none() => piece.words.see(piece.lines, line),
        _ => piece.missing.see(piece.lines, line),
    }
}

fn is_over(field: &[u8]) -> bool {
    let word = String::from_utf8_lossy(trimmed(field)).to_lowercase();
    OVER.contains(&word.as_str()) || word.len() > 2 && word.bytes().all(|byte| byte == b'#')
}

fn is_words(line: &[u8]) -> bool {
    line.iter().filter(|byte| byte.is_ascii_alphabetic()).count() > 2
}
