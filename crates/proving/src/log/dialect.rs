//! How a log is written: what stands between its columns, and how its numbers are.
//!
//! Conventions: bytes; a row is a line with numbers.
//! Assumes: one way of writing for the whole log; what most lines of its beginning fit is it.
//! Valid for: comma, semicolon, tab, bar and blanks between columns; point and comma as the decimal sign; thousands grouped by the other, by
//! blanks or apostrophes.
//! Source: how tables are written (RFC 4180 for quotes, from memory).
//! Checked by: the tests below; tests/logs.rs.

use crate::log::clock::{clock, day};
use crate::log::number::{Writing, number, trimmed};
use std::ops::Range;

/// What stands between columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Separator {
    /// One sign.
    Sign(u8),
    /// Any number of blanks and tabs.
    Blanks,
}

/// How a log is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Dialect {
    pub(crate) separator: Separator,
    pub(crate) writing: Writing,
}

/// What a field is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Field {
    Number,
    Clock,
    Day,
    /// Nothing, or a word that stands for nothing.
    Missing,
    Text,
}

/// Why it is not known how a log is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unsure {
    /// No line has numbers.
    NoRows,
    /// A sign may stand for thousands or for decimals.
    Sign(u8),
    /// The comma stands between columns and for decimals.
    CommaForBoth,
}

/// Lines of the beginning that are looked at.
const LOOKED_AT: usize = 400;

/// Words that stand for no value.
const MISSING: [&str; 12] = [
    "nan", "na", "n/a", "-", "--", "---", "----", "null", "none", "#n/a", "*", ".",
];

impl Separator {
    /// Gives the places of the fields of a line.
    pub(crate) fn split(self, line: &[u8], into: &mut Vec<Range<usize>>) {
        into.clear();
        match self {
            Separator::Blanks => {
                let mut at = 0;
                while at < line.len() {
                    let is_blank = |byte: &u8| matches!(byte, b' ' | b'\t' | b'\r');
                    let start = line[at..]
                        .iter()
                        .position(|byte| !is_blank(byte))
                        .map_or(line.len(), |skip| at + skip);
                    let end = line[start..]
                        .iter()
                        .position(is_blank)
                        .map_or(line.len(), |skip| start + skip);
                    if end > start {
                        into.push(start..end);
                    }
                    at = end;
                }
            }
            Separator::Sign(sign) => {
                let (mut start, mut is_quoted) = (0, false);
                for (at, byte) in line.iter().enumerate() {
                    if *byte == b'"' {
                        is_quoted = !is_quoted;
                    } else if *byte == sign && !is_quoted {
                        into.push(start..at);
                        start = at + 1;
                    }
                }
                into.push(start..line.len());
            }
        }
    }

    /// Says it in words.
    pub(crate) fn in_words(self) -> &'static str {
        match self {
            Separator::Sign(b',') => "comma",
            Separator::Sign(b';') => "semicolon",
            Separator::Sign(b'\t') => "tab",
            Separator::Sign(b'|') => "bar",
            Separator::Sign(_) => "sign",
            Separator::Blanks => "blanks",
        }
    }
}

/// Says what a field is.
pub(crate) fn field(text: &[u8], writing: Writing) -> Field {
    let text = trimmed(text);
    if text.is_empty() {
        return Field::Missing;
    }
    if number(text, writing).is_some() {
        return Field::Number;
    }
    if clock(text).is_some() {
        return Field::Clock;
    }
    if day(text).is_some() {
        return Field::Day;
    }
    let word = String::from_utf8_lossy(text).to_lowercase();
    if MISSING.contains(&word.as_str()) {
        Field::Missing
    } else {
        Field::Text
    }
}

/// The rows of a log as one way of writing has them.
#[derive(Debug, Clone)]
pub(crate) struct Rows {
    pub(crate) dialect: Dialect,
    /// The first of them among the lines that were looked at.
    pub(crate) first: usize,
    /// How many follow one another with as many fields.
    pub(crate) count: usize,
    /// Fields of each.
    pub(crate) width: usize,
    /// How many of these are numbers or clocks, of all.
    told: f64,
}

/// Finds how a log is written from its first lines; `decimal` is the sign before decimals, where somebody said so.
pub(crate) fn dialect(lines: &[&[u8]], said: Option<char>) -> Result<Rows, Unsure> {
    let lines = &lines[..lines.len().min(LOOKED_AT)];
    let separators = [
        Separator::Sign(b'\t'),
        Separator::Sign(b';'),
        Separator::Sign(b'|'),
        Separator::Sign(b','),
        Separator::Blanks,
    ];
    let mut best: Option<Rows> = None;
    for separator in separators {
        for decimal in [b'.', b','] {
            // Between columns a comma is no decimal sign.
            let is_both = separator == Separator::Sign(b',') && decimal == b',';
            if is_both || said.is_some_and(|said| said != char::from(decimal)) {
                continue;
            }
            let tried = [false, true].map(|groups| {
                let writing = Writing { decimal, groups };
                rows(lines, Dialect { separator, writing })
            });
            for found in tried.into_iter().flatten() {
                if best.as_ref().is_none_or(|best| found.is_better(best)) {
                    best = Some(found);
                }
            }
        }
    }
    let best = best.ok_or(Unsure::NoRows)?;
    let best = if said.is_some() {
        best
    } else {
        sure_of_sign(lines, best)?
    };
    if is_comma_for_both(lines, &best) {
        return Err(Unsure::CommaForBoth);
    }
    Ok(best)
}

impl Rows {
    /// More rows with more of what can be told, then more columns.
    fn is_better(&self, other: &Rows) -> bool {
        let worth = |rows: &Rows| rows.count as f64 * rows.told;
        let (ours, theirs) = (worth(self), worth(other));
        ours > theirs * 1.001 || ours > theirs * 0.999 && self.width > other.width
    }
}

/// Finds the longest run of rows in one way of writing.
fn rows(lines: &[&[u8]], dialect: Dialect) -> Option<Rows> {
    let mut places = Vec::new();
    let mut best: Option<Rows> = None;
    let mut now: Option<Rows> = None;
    for (at, line) in lines.iter().enumerate() {
        if trimmed(line).is_empty() {
            continue;
        }
        dialect.separator.split(line, &mut places);
        let kinds: Vec<Field> = places
            .iter()
            .map(|place| field(&line[place.clone()], dialect.writing))
            .collect();
        let count = |kind: Field| kinds.iter().filter(|own| **own == kind).count();
        let told = count(Field::Number) + count(Field::Clock) + count(Field::Day);
        let is_row = count(Field::Number) > 0
            && 2 * told >= kinds.len() - count(Field::Missing)
            && count(Field::Text) < told;
        if !is_row {
            now = None;
            continue;
        }
        let share = told as f64 / (told + count(Field::Text)) as f64;
        match &mut now {
            Some(rows) if rows.width == kinds.len() => {
                rows.told = (rows.told * rows.count as f64 + share) / (rows.count + 1) as f64;
                rows.count += 1;
            }
            _ => {
                now = Some(Rows {
                    dialect,
                    first: at,
                    count: 1,
                    width: kinds.len(),
                    told: share,
                });
            }
        }
        if let Some(rows) = &now
            && best
                .as_ref()
                .is_none_or(|best| rows.count as f64 * rows.told > best.count as f64 * best.told)
        {
            best = Some(rows.clone());
        }
    }
    best
}

/// Makes sure that a sign which may stand for thousands or for decimals stands for one of them.
fn sure_of_sign(lines: &[&[u8]], rows: Rows) -> Result<Rows, Unsure> {
    let Dialect { separator, writing } = rows.dialect;
    let tokens = tokens(lines, &rows);
    // Written with the other sign as well, it is known which is which.
    let has = |sign: u8| tokens.iter().flatten().any(|token| token.contains(&sign));
    let (point, comma) = (has(b'.'), has(b','));
    let sign = match (point, comma) {
        (true, false) => b'.',
        (false, true) => b',',
        _ => return Ok(rows),
    };
    // A comma between columns is neither.
    if separator == Separator::Sign(b',') && sign == b'.'
        || sign == b'.' && writing.decimal == b'.' && !all_by_three(&tokens, sign)
    {
        return Ok(rows);
    }
    let as_decimal = Writing {
        decimal: sign,
        groups: false,
    };
    let other = if sign == b'.' { b',' } else { b'.' };
    let as_groups = Writing {
        decimal: other,
        groups: true,
    };
    let with = |writing: Writing| Rows {
        dialect: Dialect { separator, writing },
        ..rows.clone()
    };
    if !all_by_three(&tokens, sign) {
        return Ok(with(as_decimal));
    }
    // All have three digits after it: what goes on smoothly is right.
    let [decimal, groups] = [as_decimal, as_groups].map(|writing| roughness(&tokens, writing));
    match (decimal, groups) {
        (Some(decimal), Some(groups)) if decimal > 2.0 * groups => Ok(with(as_groups)),
        (Some(decimal), Some(groups)) if groups > 2.0 * decimal => Ok(with(as_decimal)),
        (Some(_), None) => Ok(with(as_decimal)),
        (None, Some(_)) => Ok(with(as_groups)),
        // A point is a decimal point unless something speaks against it.
        _ if sign == b'.' => Ok(with(as_decimal)),
        _ => Err(Unsure::Sign(sign)),
    }
}

/// Lists the numbers of each column of some rows.
fn tokens<'a>(lines: &[&'a [u8]], rows: &Rows) -> Vec<Vec<&'a [u8]>> {
    let mut places = Vec::new();
    let mut columns: Vec<Vec<&[u8]>> = vec![Vec::new(); rows.width];
    for line in lines[rows.first..]
        .iter()
        .filter(|line| !trimmed(line).is_empty())
        .take(rows.count)
    {
        rows.dialect.separator.split(line, &mut places);
        for (column, place) in columns.iter_mut().zip(&places) {
            let text = trimmed(&line[place.clone()]);
            if [false, true].iter().any(|groups| {
                [b'.', b','].iter().any(|decimal| {
                    number(
                        text,
                        Writing {
                            decimal: *decimal,
                            groups: *groups,
                        },
                    )
                    .is_some()
                })
            }) {
                column.push(text);
            }
        }
    }
    columns
}

/// Tells whether all that have a sign have three digits after it and one to three before it, of which the first is no nought.
fn all_by_three(tokens: &[Vec<&[u8]>], sign: u8) -> bool {
    let with = || tokens.iter().flatten().filter(|token| token.contains(&sign));
    let by_three = |token: &&&[u8]| {
        let mut groups = token.split(|byte| *byte == sign);
        let first = groups.next().unwrap_or_default();
        let first = first
            .strip_prefix(b"-")
            .or_else(|| first.strip_prefix(b"+"))
            .unwrap_or(first);
        (1..=3).contains(&first.len()) && first[0] != b'0' && groups.all(|group| group.len() == 3)
    };
    with().next().is_some() && with().all(|token| by_three(&token))
}

/// Says how rough columns are: the greatest step over the range, the worst of all; none where that says nothing.
fn roughness(tokens: &[Vec<&[u8]>], writing: Writing) -> Option<f64> {
    let each = tokens.iter().filter_map(|column| {
        let values: Option<Vec<f64>> = column.iter().map(|token| number(token, writing)).collect();
        let values = values?;
        let (least, most) = values
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), v| {
                (l.min(*v), m.max(*v))
            });
        let step = values
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).abs())
            .fold(0.0, f64::max);
        (most > least).then(|| step / (most - least))
    });
    each.reduce(f64::max)
}

/// Tells whether a comma stands between columns and for decimals too: all whole, and twice as many fields as names.
fn is_comma_for_both(lines: &[&[u8]], rows: &Rows) -> bool {
    if rows.dialect.separator != Separator::Sign(b',') || !rows.width.is_multiple_of(2) {
        return false;
    }
    let tokens = tokens(lines, rows);
    if tokens.iter().flatten().any(|token| token.contains(&b'.')) {
        return false;
    }
    let mut places = Vec::new();
    let named = lines[..rows.first]
        .iter()
        .rev()
        .find(|line| !trimmed(line).is_empty());
    named.is_some_and(|line| {
        rows.dialect.separator.split(line, &mut places);
        2 * places.len() == rows.width
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Result<(Separator, u8, bool, usize), Unsure> {
        let lines: Vec<&[u8]> = text.lines().map(str::as_bytes).collect();
        dialect(&lines, None).map(|rows| {
            let Dialect { separator, writing } = rows.dialect;
            (separator, writing.decimal, writing.groups, rows.width)
        })
    }

    #[test]
    fn columns_and_signs_are_told_apart() {
        let sign = Separator::Sign;
        let of = |text: &str| found(text).map(|(separator, decimal, _, width)| (separator, decimal, width));
        assert_eq!(of("t,F\n0.0,1.5\n0.1,1.6\n"), Ok((sign(b','), b'.', 2)));
        assert_eq!(of("t;F\n0,0;1,5\n0,1;1,6\n"), Ok((sign(b';'), b',', 2)));
        assert_eq!(of("t\tF\n0,0\t1,52\n0,1\t1,61\n"), Ok((sign(b'\t'), b',', 2)));
        assert_eq!(of("0.0  1.5\n0.1  1.6\n"), Ok((Separator::Blanks, b'.', 2)));
        assert_eq!(of("t;F\n0;5\n1;6\n"), Ok((sign(b';'), b'.', 2)));
        assert_eq!(of("t,F,is\n0.0,1.5,OK\n0.1,1.6,OK\n"), Ok((sign(b','), b'.', 3)));
        assert_eq!(found("only words\nand more\n"), Err(Unsure::NoRows));
    }

    #[test]
    fn thousands_are_told_from_decimals_by_what_goes_on_smoothly() {
        let groups = |text: &str| found(text).map(|(_, decimal, groups, _)| (decimal, groups));
        assert_eq!(groups("1;998\n2;999\n3;1,000\n4;1,001\n"), Ok((b'.', true)));
        assert_eq!(groups("1;1,234.5\n2;1,235.5\n"), Ok((b'.', true)));
        assert_eq!(groups("1;0,998\n2;0,999\n3;1,000\n"), Ok((b',', false)));
        assert_eq!(groups("1;1,234\n2;1,236\n3;1,239\n"), Err(Unsure::Sign(b',')));
        assert_eq!(groups("1;1.234\n2;1.236\n3;1.239\n"), Ok((b'.', false)));
    }

    #[test]
    fn a_comma_that_is_both_is_refused() {
        assert_eq!(found("t,F\n0,10,1,25\n0,20,1,30\n"), Err(Unsure::CommaForBoth));
    }
}
