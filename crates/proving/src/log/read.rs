//! From a file to a log, and how it was read.
//!
//! Conventions: SI; columns are told as people count them, from one.
//! Assumes: pull is positive. A log of which the force goes down from where it begins is one of an instrument that has pull negative.
//! Valid for: any bytes. Memory: 12 bytes a reading, and some megabytes.
//! Source: our judgement, where nothing else is said.
//! Checked by: tests/logs.rs (troubles of real logs); fuzz/fuzz_targets/log.rs.

use crate::log::clock::DAY_S;
use crate::log::dialect::{Field, Rows, Unsure, dialect};
use crate::log::error::LogError;
use crate::log::heading::{Column, Heading, Role, heading, kinds};
use crate::log::rows::{Odd, Piece, Plan, Timed, rows};
use crate::log::text::{Text, words};
use crate::log::times::Times;
use crate::log::units::{Measure, Unit};
use rayon::prelude::*;
use std::io::Read;

/// What is said about a log from outside of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asked {
    /// The unit of the force.
    pub force_unit: Option<Unit>,
    /// The unit of the travel.
    pub travel_unit: Option<Unit>,
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
#[derive(Debug, Clone, Default, PartialEq)]
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
/// With fewer readings nothing can be told.
const LEAST_ROWS: usize = 8;
/// A step longer than so many is a gap.
const GAP: f64 = 5.0;

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
    let mut gathered = Gathered::new(head.is_coarse);
    let mut before: Vec<Piece> = Vec::new();
    loop {
        let cut = if more {
            memchr::memrchr(end, &bytes).map_or(0, |at| at + 1)
        } else {
            bytes.len()
        };
        gathered.is_cut_off = !more && !bytes.is_empty() && bytes.last() != Some(&end);
        // While one part is read as numbers, the one before it is put in order.
        let (now, ()) = rayon::join(
            || pieces(&bytes[..cut], end, &head.plan),
            || gathered.add_all(before, head.plan.timed),
        );
        before = now;
        bytes.drain(..cut);
        if !more {
            break;
        }
        // A line longer than all that is none.
        if bytes.len() > PIECE {
            bytes.clear();
        }
        let most = bytes.len() + PIECE;
        more = text.fill(&mut bytes, most)?;
    }
    gathered.add_all(before, head.plan.timed);
    gathered.log(head)
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
    /// Whether several readings have one time, since the clock is coarser than they are.
    is_coarse: bool,
}

impl Head {
    fn read(bytes: &[u8], end: u8, asked: &Asked) -> Result<Self, LogError> {
        let lines: Vec<&[u8]> = bytes
            .split(|byte| *byte == end)
            .take(2000)
            .map(|line| line.strip_suffix(b"\r").unwrap_or(line))
            .collect();
        let rows = dialect(&lines, asked.decimal).map_err(|unsure| match unsure {
            Unsure::NoRows => LogError::NoRows,
            Unsure::Sign(sign) => LogError::Sign {
                sign: char::from(sign),
            },
            Unsure::CommaForBoth => LogError::CommaForBoth,
        })?;
        let starts = bytes
            .split_inclusive(|byte| *byte == end)
            .take(rows.first)
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
            .take(rows.first)
            .chain(lines[rows.first..].iter().copied())
            .collect();
        let heading = heading(&named, &rows);
        let mut reading = Reading {
            encoding: encoding.to_string(),
            separator: rows.dialect.separator.in_words().to_string(),
            decimal: char::from(rows.dialect.writing.decimal),
            heading_lines: rows.first,
            ..Reading::default()
        };
        let plan = plan(&lines, &rows, &heading, asked, &mut reading)?;
        let seen = crate::log::rows::rows(&bytes[starts..bytes.len().min(starts + (1 << 16))], end, &plan);
        let same = |pair: &[f64]| pair[0] == pair[1];
        let pairs = seen.time_s.windows(2).zip(seen.force_n.windows(2));
        let stands = pairs
            .filter(|(times, forces)| same(times) && forces[0] != forces[1])
            .count();
        let is_coarse = !matches!(plan.timed, Timed::Rate(_)) && 5 * stands > seen.time_s.len();
        Ok(Head {
            plan,
            reading,
            starts,
            is_coarse,
        })
    }
}

/// Says what is taken from each row.
fn plan(
    lines: &[&[u8]],
    rows: &Rows,
    heading: &Heading,
    asked: &Asked,
    reading: &mut Reading,
) -> Result<Plan, LogError> {
    let kinds = kinds(lines, rows);
    let chosen = Chosen {
        lines,
        rows,
        heading,
        kinds: &kinds,
    };
    let own = |column: Option<usize>| match column {
        Some(column) if (1..=rows.width).contains(&column) => Ok(Some(column - 1)),
        Some(column) => Err(LogError::NoColumn {
            column,
            width: rows.width,
        }),
        None => Ok(None),
    };
    let (time, force, travel) = (
        own(asked.time_column)?,
        own(asked.force_column)?,
        own(asked.travel_column)?,
    );
    let time = match asked.rate_hz {
        Some(_) => None,
        None => time.or_else(|| chosen.time()),
    };
    let force = match force {
        Some(force) => force,
        None => chosen.force(time, travel)?,
    };
    let travel = travel.or_else(|| chosen.travel(time, force));
    let unit = force_unit(heading, force, asked)?;
    reading.force_unit = unit.name.to_string();
    reading.force_column = chosen.in_words(force);
    let travel = travel.and_then(|column| {
        let of_column = Unit::read(&heading.columns[column].unit, Measure::Travel);
        let found = asked.travel_unit.or(of_column).or(heading.travel_unit);
        if found.is_none() {
            reading.ignored.push(format!(
                "column {}: the log does not say its unit (say it: --travel-unit mm)",
                chosen.in_words(column)
            ));
        }
        let unit = found?;
        reading.travel_unit = unit.name.to_string();
        reading.travel_column = chosen.in_words(column);
        Some((column, unit.factor))
    });
    let timed = chosen.timed(time, asked, reading)?;
    Ok(Plan {
        dialect: rows.dialect,
        timed,
        force: (force, unit.factor),
        travel,
    })
}

/// Finds the unit of the force. Never guessed.
fn force_unit(heading: &Heading, force: usize, asked: &Asked) -> Result<Unit, LogError> {
    let column = &heading.columns[force];
    let of_column = Unit::read(&column.unit, Measure::Force);
    let units = Unit::forces();
    let name = if column.name.is_empty() {
        format!("{}", force + 1)
    } else {
        column.name.clone()
    };
    let written = of_column.or(heading.force_unit);
    match (asked.force_unit, written) {
        (Some(asked), Some(written)) if asked.name != written.name => Err(LogError::OtherUnit {
            written: written.name.to_string(),
            asked: asked.name.to_string(),
        }),
        (Some(asked), _) => Ok(asked),
        (None, Some(written)) if of_column.is_some() || column.unit.is_empty() => Ok(written),
        (None, _) if !column.unit.is_empty() => Err(LogError::UnknownUnit {
            unit: column.unit.clone(),
            column: name,
            units,
        }),
        _ => Err(LogError::NoUnit { column: name, units }),
    }
}

/// The beginning of a log, from which columns are chosen.
struct Chosen<'a> {
    lines: &'a [&'a [u8]],
    rows: &'a Rows,
    heading: &'a Heading,
    kinds: &'a [Field],
}

impl Chosen<'_> {
    fn in_words(&self, column: usize) -> String {
        let name = &self.heading.columns[column].name;
        if name.is_empty() {
            format!("{}", column + 1)
        } else {
            format!("{} ({name})", column + 1)
        }
    }

    fn column(&self, column: usize) -> &Column {
        &self.heading.columns[column]
    }

    fn numbers(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.rows.width).filter(|column| self.kinds[*column] == Field::Number)
    }

    /// Columns with a role, the surest only.
    fn with(&self, role: Role) -> Vec<usize> {
        let sure = |column: &usize| {
            self.column(*column)
                .role()
                .filter(|(own, _)| *own == role)
                .map(|(_, sure)| sure)
        };
        let surest = self.numbers().filter_map(|column| sure(&column)).max();
        self.numbers()
            .filter(|column| sure(column).is_some() && sure(column) == surest)
            .collect()
    }

    fn time(&self) -> Option<usize> {
        let clock = (0..self.rows.width).find(|column| self.kinds[*column] == Field::Clock);
        let named = self.with(Role::Time).first().copied();
        // A number of seconds is better than a clock that has no parts of them.
        let unnamed = || {
            let first = self.numbers().find(|column| {
                self.column(*column).name.is_empty() && self.column(*column).unit.is_empty()
            })?;
            (self.numbers().count() >= 2 && self.rises(first) && !self.is_count(first)).then_some(first)
        };
        let no_names = self.heading.columns.iter().all(|column| column.name.is_empty());
        named
            .or(clock)
            .or_else(|| if no_names { unnamed() } else { None })
    }

    fn values(&self, column: usize) -> Vec<f64> {
        let mut places = Vec::new();
        let lines = self.lines[self.rows.first..].iter().take(self.rows.count);
        let value = |line: &&[u8]| {
            self.rows.dialect.separator.split(line, &mut places);
            crate::log::number::number(&line[places.get(column)?.clone()], self.rows.dialect.writing)
        };
        lines.filter_map(value).collect()
    }

    /// Whether a column rises from row to row.
    fn rises(&self, column: usize) -> bool {
        let values = self.values(column);
        values.len() > 2 && values.windows(2).all(|pair| pair[1] >= pair[0]) && values.first() < values.last()
    }

    /// Whether a column counts rows.
    fn is_count(&self, column: usize) -> bool {
        let values = self.values(column);
        values.len() > 2
            && values.windows(2).all(|pair| pair[1] - pair[0] == 1.0)
            && values.iter().all(|value| value.fract() == 0.0)
    }

    fn force(&self, time: Option<usize>, travel: Option<usize>) -> Result<usize, LogError> {
        let named = self.with(Role::Force);
        let list = |columns: &[usize]| {
            columns
                .iter()
                .map(|column| self.in_words(*column))
                .collect::<Vec<_>>()
                .join(", ")
        };
        match named.as_slice() {
            [force] => return Ok(*force),
            [_, ..] => {
                // Of two that are named alike, the one with a unit of force.
                let with_unit: Vec<usize> = named
                    .iter()
                    .copied()
                    .filter(|column| Unit::read(&self.column(*column).unit, Measure::Force).is_some())
                    .collect();
                return match with_unit.as_slice() {
                    [force] => Ok(*force),
                    _ => Err(LogError::ManyForces {
                        columns: list(&named),
                    }),
                };
            }
            [] => {}
        }
        let is_free = |column: &usize| {
            let role = self.column(*column).role();
            Some(*column) != time
                && Some(*column) != travel
                && role.is_none()
                && !self.column(*column).counts_rows()
        };
        let has_names = |column: &usize| !self.column(*column).name.is_empty();
        let left: Vec<usize> = self
            .numbers()
            .filter(is_free)
            .filter(|column| !(self.is_count(*column) && self.rows.width > 1))
            .collect();
        match left.as_slice() {
            [force]
                if !has_names(force) || Unit::read(&self.column(*force).unit, Measure::Force).is_some() =>
            {
                Ok(*force)
            }
            _ => Err(LogError::NoForce {
                columns: list(&self.numbers().collect::<Vec<_>>()),
            }),
        }
    }

    fn travel(&self, time: Option<usize>, force: usize) -> Option<usize> {
        let named = self.with(Role::Travel);
        named
            .into_iter()
            .find(|column| *column != force && Some(*column) != time)
    }

    fn timed(&self, time: Option<usize>, asked: &Asked, reading: &mut Reading) -> Result<Timed, LogError> {
        let Some(column) = time else {
            return match (asked.rate_hz, self.heading.rate_hz) {
                (Some(rate_hz), _) => Ok(Timed::Rate(rate_hz)),
                (None, Some(rate_hz)) => {
                    reading.assumed.push(format!("no column has the time: readings follow one another at the {rate_hz} Hz that the heading names"));
                    Ok(Timed::Rate(rate_hz))
                }
                (None, None) => Err(LogError::NoTime),
            };
        };
        reading.time_column = self.in_words(column);
        if self.kinds[column] == Field::Clock {
            let day = (0..self.rows.width).find(|other| self.kinds[*other] == Field::Day);
            return Ok(Timed::Clock { column, day });
        }
        let unit = Unit::read(&self.column(column).unit, Measure::Time)
            .or_else(|| Unit::read(&self.column(column).name, Measure::Time));
        let most = self.values(column).into_iter().fold(0.0, f64::max);
        let factor = match unit {
            Some(unit) => unit.factor,
            // Counted since 1970, in thousandths.
            None if most > 1e11 => 1e-3,
            None => {
                reading.assumed.push("time without a unit is in seconds".into());
                1.0
            }
        };
        Ok(Timed::Number { column, factor })
    }
}

/// All rows, as they are gathered.
struct Gathered {
    times: Times,
    force_n: Vec<f32>,
    travel_m: Vec<f32>,
    over: Vec<usize>,
    resets: Vec<usize>,
    first_s: Option<f64>,
    /// What is added to what the clock says.
    offset_s: f64,
    /// The middle of the last steps, roughly.
    step_s: f64,
    doubled: usize,
    back: usize,
    midnights: usize,
    lines: usize,
    missing: Odd,
    short: Odd,
    words: Odd,
    is_coarse: bool,
    is_cut_off: bool,
}

impl Gathered {
    fn new(is_coarse: bool) -> Self {
        Gathered {
            times: Times::default(),
            force_n: Vec::new(),
            travel_m: Vec::new(),
            over: Vec::new(),
            resets: Vec::new(),
            first_s: None,
            offset_s: 0.0,
            step_s: 0.0,
            doubled: 0,
            back: 0,
            midnights: 0,
            lines: 0,
            missing: Odd::default(),
            short: Odd::default(),
            words: Odd::default(),
            is_coarse,
            is_cut_off: false,
        }
    }

    fn add_all(&mut self, pieces: Vec<Piece>, timed: Timed) {
        for piece in pieces {
            self.add(piece, timed);
        }
    }

    fn add(&mut self, piece: Piece, timed: Timed) {
        let is_clock = matches!(timed, Timed::Clock { .. }) && !piece.has_day;
        let is_rate = matches!(timed, Timed::Rate(_));
        let mut over = piece.over.iter().copied().peekable();
        let mut last = self.times.last();
        for (row, (time_s, force_n)) in piece.time_s.iter().zip(&piece.force_n).enumerate() {
            let travel_m = piece.travel_m.get(row).copied();
            let is_over = over.next_if_eq(&row).is_some();
            let force_n = match self.force_n.last() {
                Some(last_n) if is_over => last_n.max(*force_n),
                _ => *force_n,
            };
            let last_s = last;
            let said_s = if is_rate {
                last_s.map_or(0.0, |last_s| last_s + time_s)
            } else {
                *time_s
            };
            let first_s = *self.first_s.get_or_insert(said_s);
            let mut now_s = if is_rate {
                said_s
            } else {
                said_s - first_s + self.offset_s
            };
            if let Some(last_s) = last_s {
                if is_clock && now_s < last_s - 0.5 * DAY_S {
                    self.offset_s += DAY_S;
                    self.midnights += 1;
                    now_s += DAY_S;
                }
                let is_same = now_s == last_s || (now_s - last_s).abs() < 1e-9;
                let same_values =
                    self.force_n.last() == Some(&force_n) && self.travel_m.last().copied() == travel_m;
                if is_same && same_values && !self.is_coarse && !is_over {
                    self.doubled += 1;
                    continue;
                }
                if now_s < last_s - 1e-9 {
                    if now_s > last_s - 3.0 * self.step_s.max(1e-9) {
                        // A little back: one reading out of order.
                        self.back += 1;
                        now_s = last_s;
                    } else {
                        // Set anew: it goes on where it was, and nobody knows how long it stood.
                        self.resets.push(self.times.len());
                        self.offset_s += last_s + self.step_s - now_s;
                        now_s = last_s + self.step_s;
                    }
                } else if now_s > last_s {
                    let step_s = now_s - last_s;
                    self.step_s = if self.step_s == 0.0 {
                        step_s
                    } else {
                        self.step_s + 0.05 * (step_s.min(2.0 * self.step_s) - self.step_s)
                    };
                }
            }
            if is_over {
                self.over.push(self.times.len());
            }
            self.times.push(now_s);
            last = Some(now_s);
            self.force_n.push(force_n);
            self.travel_m.extend(travel_m);
        }
        let lines = self.lines;
        self.missing.add(piece.missing, lines);
        self.short.add(piece.short, lines);
        self.words.add(piece.words, lines);
        self.lines += piece.lines;
    }

    /// Makes a log of it, and says what was mended.
    fn log(mut self, head: Head) -> Result<Log, LogError> {
        let mut reading = head.reading;
        self.leave_out_cut_off(&mut reading);
        let rows = self.times.len();
        if rows < LEAST_ROWS {
            return if rows == 0 {
                Err(LogError::NoRows)
            } else {
                Err(LogError::TooFew {
                    rows,
                    needed: LEAST_ROWS,
                })
            };
        }
        if self.is_coarse {
            self.times = spread(&self.times);
            reading.repairs.push(
                "the clock is coarser than the readings: those of one time are spread evenly until the next"
                    .into(),
            );
        }
        let step_s = middle_step_s(&self.times);
        if step_s <= 0.0 {
            return Err(LogError::TimeStands);
        }
        let gaps: Vec<usize> = (1..rows)
            .filter(|at| self.times.at(*at) - self.times.at(*at - 1) > GAP * step_s)
            .collect();
        let starts = reading.heading_lines;
        self.say(&mut reading, &gaps, starts);
        let mut after_gap: Vec<usize> = gaps.into_iter().chain(self.resets.iter().copied()).collect();
        after_gap.sort_unstable();
        after_gap.dedup();
        if pulls_negative(&self.force_n) {
            for force_n in &mut self.force_n {
                *force_n = -*force_n;
            }
            reading
                .repairs
                .push("pull is negative in the log: forces are turned round".into());
        }
        reading.rows = rows;
        reading.rate_hz = 1.0 / step_s;
        Ok(Log {
            times: self.times,
            force_n: self.force_n,
            travel_m: self.travel_m,
            over: self.over,
            after_gap,
            is_cut_off: self.is_cut_off,
            reading,
        })
    }

    /// A last line without an end may be cut in the middle of a number: it is left out.
    fn leave_out_cut_off(&mut self, reading: &mut Reading) {
        if !self.is_cut_off || self.times.len() < LEAST_ROWS {
            return;
        }
        let [before, last] = [2, 1].map(|back| self.force_n[self.force_n.len() - back]);
        let step = (self.force_n[self.force_n.len() - 3] - before).abs();
        // A whole number without its last digits is far from what was before.
        let is_far = (last - before).abs() > 20.0 * step + 0.05 * before.abs();
        if is_far {
            self.times.pop();
            self.force_n.pop();
            if !self.travel_m.is_empty() {
                self.travel_m.pop();
            }
            reading
                .ignored
                .push("the last line, which is cut off in the middle".into());
        }
    }

    fn say(&self, reading: &mut Reading, gaps: &[usize], starts: usize) {
        let mut repair = |count: usize, one: &str, many: &str| match count {
            0 => {}
            1 => reading.repairs.push(format!("1 {one}")),
            count => reading.repairs.push(format!("{count} {many}")),
        };
        repair(self.doubled, "doubled row left out", "doubled rows left out");
        repair(
            self.midnights,
            "midnight passed: a day added",
            "midnights passed: days added",
        );
        repair(
            self.back,
            "reading with a time a little before the one before it, taken as the same time",
            "readings with a time a little before the one before them, taken as the same time",
        );
        repair(
            self.resets.len(),
            "time the clock was set back: it goes on where it was, and how long it stood is not known",
            "times the clock was set back: it goes on where it was, and how long it stood is not known",
        );
        if let Some(first) = gaps.first() {
            let longest = gaps
                .iter()
                .map(|at| self.times.at(*at) - self.times.at(*at - 1))
                .fold(0.0, f64::max);
            reading.repairs.push(format!(
                "{} in the readings, the first after {:.3} s, the longest of {longest:.3} s: nothing is filled in",
                if gaps.len() == 1 { "1 gap".to_string() } else { format!("{} gaps", gaps.len()) },
                self.times.at(*first - 1)
            ));
        }
        let mut ignore = |odd: &Odd, what: &str| {
            if let Some((line, text)) = &odd.first {
                let rows = if odd.count == 1 {
                    "1 line".to_string()
                } else {
                    format!("{} lines", odd.count)
                };
                reading.ignored.push(format!(
                    "{rows} {what}, the first of them line {}: `{text}`",
                    starts + line
                ));
            }
        };
        ignore(&self.words, "of words");
        ignore(&self.short, "with too few fields");
        ignore(&self.missing, "without a force or a time");
    }
}

/// Gives the middle of all steps, or of many of them, seconds.
fn middle_step_s(times: &Times) -> f64 {
    let stride = (times.len() / 200_001).max(1);
    let mut steps: Vec<f64> = (1..times.len())
        .step_by(stride)
        .map(|at| times.at(at) - times.at(at - 1))
        .filter(|step_s| *step_s > 0.0)
        .collect();
    if steps.is_empty() {
        return 0.0;
    }
    let middle = steps.len() / 2;
    *steps.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Spreads readings of one time evenly until the next time.
fn spread(times: &Times) -> Times {
    let mut spread = Times::default();
    let (mut at, count) = (0, times.len());
    let mut before_s = 0.0;
    while at < count {
        let now_s = times.at(at);
        let next = (at..count)
            .find(|other| times.at(*other) > now_s)
            .unwrap_or(count);
        let until_s = if next < count {
            times.at(next)
        } else {
            now_s + before_s
        };
        before_s = until_s - now_s;
        for row in at..next {
            spread.push(now_s + (until_s - now_s) * (row - at) as f64 / (next - at) as f64);
        }
        at = next;
    }
    spread
}

/// Tells whether an instrument has pull negative: from where it begins, force goes further down than up, and not in one reading alone.
fn pulls_negative(force_n: &[f32]) -> bool {
    let mut begins: Vec<f32> = force_n.iter().take(21).copied().collect();
    let middle = begins.len() / 2;
    let begins = *begins.select_nth_unstable_by(middle, f32::total_cmp).1;
    let three = force_n.windows(3);
    let (down, up) = three.fold((f32::INFINITY, f32::NEG_INFINITY), |(down, up), three| {
        let (least, most) = (
            three[0].min(three[1]).min(three[2]),
            three[0].max(three[1]).max(three[2]),
        );
        (down.min(most), up.max(least))
    });
    begins - down > 2.0 * (up - begins).max(0.0) && down < 0.0
}
