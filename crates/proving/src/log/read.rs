//! From a file to a log, and how it was read.
//!
//! Conventions: SI; columns are told as people count them, from one.
//! Assumes: pull is positive. A log of which the force goes down from where it begins is one of an instrument that has pull negative.
//! Valid for: any bytes. Memory: 12 bytes a reading, and some megabytes.
//! Source: our judgement, where nothing else is said.
//! Checked by: tests/logs.rs (troubles of real logs); fuzz/fuzz_targets/log.rs.

use crate::log::columns::plan;
use crate::log::dialect::{Unsure, dialect};
use crate::log::error::LogError;
use crate::log::gathered::{ClockRuns, Gathered};
use crate::log::heading::{heading, names_force};
use crate::log::number::{number_and_word, trimmed};
use crate::log::rows::{Piece, Plan, Timed, rows};
use crate::log::text::{Text, words};
use crate::log::times::Times;
use crate::log::units::Unit;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;
use std::io::Read;

/// What is said about a log from outside of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asked {
    /// The unit of the force.
    pub force_unit: Option<Unit>,
    /// The unit of the travel.
    pub travel_unit: Option<Unit>,
    /// The unit of the time.
    pub time_unit: Option<Unit>,
    /// The column of the time, counted from one.
    pub time_column: Option<usize>,
    /// The column of the force.
    pub force_column: Option<usize>,
    /// The column of the travel.
    pub travel_column: Option<usize>,
    /// The sign before decimals.
    pub decimal: Option<char>,
    /// Readings a second.
    pub rate_hz: Option<f64>,
}

/// How a log was read.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Reading {
    /// The encoding, in words.
    pub encoding: String,
    /// What stands between columns, in words.
    pub separator: String,
    /// The sign before decimals.
    pub decimal: char,
    /// Lines before the first row.
    pub heading_lines: usize,
    /// The column of the time, as in `1 (Time)`; empty where there is none.
    pub time_column: String,
    /// The column of the force.
    pub force_column: String,
    /// The column of the travel; empty where there is none.
    pub travel_column: String,
    /// The unit of the force in the log.
    pub force_unit: String,
    /// The unit of the travel in the log; empty where there is none.
    pub travel_unit: String,
    /// Readings.
    pub rows: usize,
    /// Readings a second: one over the middle of all steps.
    pub rate_hz: f64,
    /// What was mended.
    pub repairs: Vec<String>,
    /// What was left out.
    pub ignored: Vec<String>,
    /// What was assumed since nothing said it.
    pub assumed: Vec<String>,
}

/// The readings of a pull test.
#[derive(Debug, Clone)]
pub struct Log {
    /// When, from the first.
    pub times: Times,
    /// Force, N, pull positive.
    pub force_n: Vec<f32>,
    /// Travel, m; none where it was not taken.
    pub travel_m: Vec<f32>,
    /// Readings at which the instrument said that it was past its range.
    pub over: Vec<usize>,
    /// Readings before which some are missing, or the clock was set.
    pub after_gap: Vec<usize>,
    /// Whether it ends in the middle of a line.
    pub is_cut_off: bool,
    /// How it was read.
    pub reading: Reading,
}

/// So much is read to find out how a log is written.
const HEAD: usize = 1 << 20;
/// So much is read at once from there.
const PIECE: usize = 8 << 20;
/// So many lines of it are looked at.
const HEAD_LINES: usize = 20_000;
/// A longer line is none of a log.
const LONGEST_LINE: usize = 1 << 15;
/// So many lines before the last tell how its decimals are written.
const LAST_LINES: usize = 20;
/// With fewer lines all are looked at.
const LEAST_LINES: usize = 16;

/// Reads a log.
///
/// # Errors
///
/// [`LogError`] says why it can not be used, and what would be right.
pub fn read(reader: impl Read, asked: &Asked) -> Result<Log, LogError> {
    let mut text = Text::new(reader)?;
    let mut bytes = Vec::new();
    let mut more = text.fill(&mut bytes, HEAD)?;
    if bytes.iter().all(u8::is_ascii_whitespace) && !more {
        return Err(LogError::Empty);
    }
    no_text(&bytes)?;
    let end = if memchr::memchr(b'\n', &bytes).is_none() && memchr::memchr(b'\r', &bytes).is_some() {
        b'\r'
    } else {
        b'\n'
    };
    let mut head = Head::read(&bytes, end, asked)?;
    if !text.encoding.is_empty() {
        head.reading.encoding = text.encoding.to_string();
    }
    bytes.drain(..head.starts);
    let mut gathered = Gathered::new(head.clock);
    let mut before: Vec<Piece> = Vec::new();
    let is_cut_off = loop {
        let whole = memchr::memrchr(end, &bytes).map_or(0, |at| at + 1);
        let is_cut_off = !more && is_cut(&bytes, whole, end, &head.plan);
        let cut = if more || is_cut_off { whole } else { bytes.len() };
        // While one part is read as numbers, the one before it is put in order.
        let (now, ()) = rayon::join(
            || pieces(&bytes[..cut], end, &head.plan),
            || gathered.add_all(before, head.plan.timed),
        );
        before = now;
        bytes.drain(..cut);
        if !more {
            break is_cut_off;
        }
        // A line longer than all that is none.
        if bytes.len() > PIECE {
            bytes.clear();
        }
        let most = bytes.len() + PIECE;
        more = text.fill(&mut bytes, most)?;
    };
    gathered.add_all(before, head.plan.timed);
    if is_cut_off {
        head.reading
            .ignored
            .push("the last line, which is cut off in the middle".into());
    }
    let force_unit = head.reading.force_unit.clone();
    gathered.log(head.reading, &force_unit, is_cut_off)
}

/// Tells whether what stands after the last whole line is a line cut off in the middle: it has fewer fields than the one before it, an open
/// quote, no unit where there was one, or a last field that is shorter after its decimal sign.
fn is_cut(bytes: &[u8], whole: usize, end: u8, plan: &Plan) -> bool {
    let last = bytes[whole..].strip_suffix(b"\r").unwrap_or(&bytes[whole..]);
    if last.iter().all(u8::is_ascii_whitespace) || whole == 0 {
        return false;
    }
    let from = memchr::memrchr(end, &bytes[..whole - 1]).map_or(0, |at| at + 1);
    let before = bytes[from..whole - 1]
        .strip_suffix(b"\r")
        .unwrap_or(&bytes[from..whole - 1]);
    let (mut own, mut usual) = (Vec::new(), Vec::new());
    plan.dialect.separator.split(last, &mut own);
    plan.dialect.separator.split(before, &mut usual);
    let decimal = plan.dialect.writing.decimal;
    let after = |line: &[u8], field: Option<&std::ops::Range<usize>>| {
        let field = &line[field.cloned().unwrap_or(0..0)];
        field
            .iter()
            .position(|byte| *byte == decimal)
            .map_or(0, |at| field.len() - at)
    };
    let quotes = memchr::memchr_iter(b'"', last).count();
    // Who writes by hand writes as many decimals as there are.
    let column = own.len().saturating_sub(1);
    let mut places = Vec::new();
    let mut decimals = bytes[..whole]
        .rsplit(|byte| *byte == end)
        .filter(|line| !trimmed(line).is_empty())
        .take(LAST_LINES)
        .map(|line| {
            plan.dialect
                .separator
                .split(line.strip_suffix(b"\r").unwrap_or(line), &mut places);
            after(line.strip_suffix(b"\r").unwrap_or(line), places.get(column))
        });
    let first = decimals.next();
    let is_even = decimals.all(|many| Some(many) == first);
    let has_unit = |line: &[u8], place: Option<&std::ops::Range<usize>>| {
        place.is_some_and(|place| number_and_word(&line[place.clone()], plan.dialect.writing).is_some())
    };
    let lacks_unit = has_unit(before, usual.get(column)) && !has_unit(last, own.last());
    own.len() < usual.len()
        || quotes % 2 == 1
        || lacks_unit
        || is_even && after(last, own.last()) < after(before, usual.get(column))
}

/// Refuses what is no text.
fn no_text(bytes: &[u8]) -> Result<(), LogError> {
    let what = match bytes {
        [b'P', b'K', 3, 4, ..] => Some("a packed file, such as a spreadsheet"),
        [0xD0, 0xCF, 0x11, 0xE0, ..] => Some("an old spreadsheet"),
        [b'%', b'P', b'D', b'F', ..] => Some("a PDF"),
        [0x1F, 0x8B, ..] => Some("a packed file"),
        _ => {
            let odd = bytes
                .iter()
                .take(4096)
                .filter(|byte| {
                    **byte == 0 || (**byte < 32 && !matches!(**byte, b'\n' | b'\r' | b'\t' | 12 | 26 | 27))
                })
                .count();
            (20 * odd > bytes.len().min(4096)).then_some("bytes that stand for no letters")
        }
    };
    what.map_or(Ok(()), |what| Err(LogError::NoText { what }))
}

/// Reads rows from bytes on all cores.
fn pieces(bytes: &[u8], end: u8, plan: &Plan) -> Vec<Piece> {
    let parts = rayon::current_num_threads().max(1) * 2;
    let about = bytes.len() / parts + 1;
    let (mut slices, mut rest) = (Vec::new(), bytes);
    while !rest.is_empty() {
        let from = about.min(rest.len());
        let cut = memchr::memchr(end, &rest[from..]).map_or(rest.len(), |at| from + at + 1);
        let (now, later) = rest.split_at(cut);
        slices.push(now);
        rest = later;
    }
    slices
        .into_par_iter()
        .map(|slice| rows(slice, end, plan))
        .collect()
}

/// What is known from the beginning of a log.
struct Head {
    plan: Plan,
    reading: Reading,
    /// Where the first row starts.
    starts: usize,
    clock: ClockRuns,
}

impl Head {
    fn read(bytes: &[u8], end: u8, asked: &Asked) -> Result<Self, LogError> {
        let mut lines: Vec<&[u8]> = bytes
            .split(|byte| *byte == end)
            .take(HEAD_LINES)
            .map(|line| line.strip_suffix(b"\r").unwrap_or(line))
            .map(|line| {
                if line.len() > LONGEST_LINE {
                    &line[..0]
                } else {
                    line
                }
            })
            .collect();
        // The last of them may be cut off.
        if lines.len() > LEAST_LINES {
            lines.pop();
        }
        let one_column = |unsure: Unsure| {
            let is_name = |line: &&&[u8]| line.iter().any(u8::is_ascii_alphabetic);
            let name = lines.iter().take(LEAST_LINES).rev().find(is_name);
            match name {
                Some(line) if unsure == Unsure::CommaForEither && names_force(&words(line).1) => {
                    dialect(&lines, Some(','))
                }
                _ => Err(unsure),
            }
        };
        let written = dialect(&lines, asked.decimal)
            .or_else(one_column)
            .map_err(|unsure| match unsure {
                Unsure::NoRows => LogError::NoRows,
                Unsure::Sign(sign) => LogError::Sign {
                    sign: char::from(sign),
                },
                Unsure::CommaForBoth => LogError::CommaForBoth,
                Unsure::CommaForEither => LogError::CommaForEither,
                Unsure::BothSigns => LogError::BothSigns,
            })?;
        let starts = bytes
            .split_inclusive(|byte| *byte == end)
            .take(written.first)
            .map(<[u8]>::len)
            .sum();
        let (encoding, head_words) = words(&bytes[..starts]);
        let head_lines: Vec<&[u8]> = head_words
            .as_bytes()
            .split(|byte| *byte == end)
            .map(|line| line.strip_suffix(b"\r").unwrap_or(line))
            .collect();
        let named: Vec<&[u8]> = head_lines
            .iter()
            .copied()
            .take(written.first)
            .chain(lines[written.first..].iter().copied())
            .collect();
        let heading = heading(&named, &written);
        let mut reading = Reading {
            encoding: encoding.to_string(),
            separator: written.dialect.separator.in_words().to_string(),
            decimal: char::from(written.dialect.writing.decimal),
            heading_lines: written.first,
            ..Reading::default()
        };
        let plan = plan(&lines, &written, &heading, asked, &mut reading)?;
        let seen = rows(&bytes[starts..], end, &plan);
        let clock = match plan.timed {
            Timed::Rate(_) => ClockRuns::default(),
            _ => ClockRuns {
                is_coarse: is_coarse(&seen),
                is_back: is_back(&seen),
            },
        };
        Ok(Head {
            plan,
            reading,
            starts,
            clock,
        })
    }
}

/// Tells whether a clock runs down from reading to reading, but for one in twenty.
fn is_back(seen: &Piece) -> bool {
    let steps = || seen.time_s.windows(2).map(|pair| pair[1] - pair[0]);
    let (down, up) = (
        steps().filter(|step| *step < 0.0).count(),
        steps().filter(|step| *step > 0.0).count(),
    );
    down > 20 * up && 20 * down > seen.time_s.len()
}

/// Tells whether a clock is coarser than the readings: many have the time of the one before them, and not all of these say the same.
fn is_coarse(seen: &Piece) -> bool {
    let pairs = || {
        seen.time_s
            .windows(2)
            .zip(seen.force_n.windows(2))
            .filter(|(times, _)| times[0] == times[1])
    };
    let (same, differ) = (
        pairs().count(),
        pairs().filter(|(_, forces)| forces[0] != forces[1]).count(),
    );
    5 * same > seen.time_s.len() && (10 * same > 6 * seen.time_s.len() || differ > 2)
}
