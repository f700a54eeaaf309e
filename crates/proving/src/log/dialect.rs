//! How a log is written: what stands between its columns, and how its numbers are.
//!
//! Conventions: bytes; a row is a line with numbers.
//! Assumes: one way of writing for the whole log; what most lines of its beginning fit is it.
//! Valid for: comma, semicolon, tab, bar and blanks between columns; point and comma as the decimal sign; thousands grouped by the other, by
//! blanks or apostrophes.
//! Source: how tables are written (RFC 4180 for quotes, from memory).
//! Checked by: the tests below; tests/logs.rs.

use crate::log::clock::{clock, day};
use crate::log::number::{Writing, number, number_and_word, trimmed};
use crate::log::units::{Measure, Unit};
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
    /// The comma stands between two columns, or before the decimals of one.
    CommaForEither,
    /// Points stand in one column and commas in another, and both may stand before decimals.
    BothSigns,
}

/// Blanks group thousands too: where a sign splits as well, they have to explain so many times as much.
const BLANKS_NEED: f64 = 1.2;
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
    if value(text, writing).is_some() {
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

/// Reads a number, with its unit after it or not.
pub(crate) fn value(text: &[u8], writing: Writing) -> Option<f64> {
    number(text, writing).or_else(|| {
        let (value, word) = number_and_word(text, writing)?;
        let unit = std::str::from_utf8(word).ok()?;
        Unit::any(unit, &[Measure::Force, Measure::Travel, Measure::Time]).map(|_| value)
    })
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
    let head = &lines[..lines.len().min(LOOKED_AT)];
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
            if said.is_some_and(|said| said != char::from(decimal)) {
                continue;
            }
            let tried = [false, true].map(|groups| {
                let writing = Writing { decimal, groups };
                rows(head, Dialect { separator, writing })
            });
            let is_none_decimal = |found: &Rows| {
                said == Some(',') && separator == Separator::Sign(b',') && all_whole(&tokens(head, found))
            };
            for found in tried
                .into_iter()
                .flatten()
                .filter(|found| !is_none_decimal(found))
            {
                if best.as_ref().is_none_or(|best| found.is_better(best)) {
                    best = Some(found);
                }
            }
        }
    }
    let mut best = best.ok_or(Unsure::NoRows)?;
    best.first = first(head, &best);
    let best = if said.is_some() {
        best.dialect.writing.groups = true;
        best
    } else {
        sure_of_sign(lines, best)?
    };
    match names_against_commas(head, &best) {
        Some(_) if said.is_some() => Ok(best),
        Some(unsure) => Err(unsure),
        None => Ok(best),
    }
}

/// Finds the first line that is written as most rows are: a line of words may stand between it and the others.
fn first(lines: &[&[u8]], rows: &Rows) -> usize {
    let mut places = Vec::new();
    let mut kinds = |line: &[u8]| -> Vec<Field> {
        rows.dialect.separator.split(line, &mut places);
        places
            .iter()
            .map(|place| field(&line[place.clone()], rows.dialect.writing))
            .collect()
    };
    let usual = kinds(lines[rows.first]);
    let is_alike =
        |(own, usual): (&Field, &Field)| own == usual || *own == Field::Missing || *usual == Field::Missing;
    let mut is_row = |line: &[u8]| {
        let own = kinds(line);
        let numbers = own.iter().filter(|kind| **kind == Field::Number).count();
        numbers > 0 && own.len() == usual.len() && own.iter().zip(&usual).all(is_alike)
    };
    (0..rows.first)
        .find(|at| is_row(lines[*at]))
        .unwrap_or(rows.first)
}

impl Rows {
    /// More rows with more of what can be told, then more columns.
    fn is_better(&self, other: &Rows) -> bool {
        let worth = |rows: &Rows| rows.count as f64 * rows.told;
        let (ours, theirs) = (worth(self), worth(other));
        // A blank may stand within a column, between day and clock or thousands: where a sign splits as well, it is what splits.
        let is_blank_within = self.dialect.separator == Separator::Blanks && other.width > 1;
        let more = if is_blank_within { BLANKS_NEED } else { 1.001 };
        ours > theirs * more || ours > theirs * 0.999 && self.width > other.width && !is_blank_within
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
        // What parts columns stands within none of them, but in quotes.
        let has_other = |place: &Range<usize>| {
            let field = trimmed(&line[place.clone()]);
            let is_quoted = line[place.clone()].contains(&b'"');
            !is_quoted && field.iter().any(|byte| matches!(byte, b'\t' | b';'))
        };
        let is_comma = dialect.separator == Separator::Sign(b',');
        let is_row = count(Field::Number) > 0
            && 2 * told >= kinds.len() - count(Field::Missing)
            && count(Field::Text) <= told
            && !(is_comma && places.iter().any(has_other));
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
    let separator = rows.dialect.separator;
    let tokens = tokens(lines, &rows);
    let has = |sign: u8| tokens.iter().flatten().any(|token| token.contains(&sign));
    let with = |decimal: u8| Rows {
        dialect: Dialect {
            separator,
            // What is surely no decimal sign may still come and group thousands.
            writing: Writing {
                decimal,
                groups: true,
            },
        },
        ..rows.clone()
    };
    let sign = match (has(b'.'), has(b',')) {
        (true, false) => b'.',
        (false, true) => b',',
        (false, false) => return Ok(with(b'.')),
        (true, true) => return decimal_of_both(&tokens).map(with),
    };
    let other = if sign == b'.' { b',' } else { b'.' };
    if !all_by_three(&tokens, sign) {
        return Ok(with(sign));
    }
    match sign {
        // Decimals are written wherever they are; what has no sign below a thousand groups thousands.
        _ if is_seen_to_group(&tokens, sign) => Ok(with(other)),
        // A point is a decimal point unless something speaks against it.
        b'.' => Ok(with(sign)),
        _ => Err(Unsure::Sign(sign)),
    }
}

/// Finds the decimal sign where both are written: the later one in a number that has both; else the one that does not stand before three digits
/// alone, if the other is seen to group thousands.
fn decimal_of_both(tokens: &[Vec<&[u8]>]) -> Result<u8, Unsure> {
    let both = |token: &&&[u8]| token.contains(&b'.') && token.contains(&b',');
    let later = |token: &&[u8]| {
        let mut signs = token.iter().rev().copied();
        signs.find(|byte| matches!(byte, b'.' | b','))
    };
    if let Some(sign) = tokens.iter().flatten().find(both).and_then(later) {
        return Ok(sign);
    }
    let groups = [b'.', b','].map(|sign| all_by_three(tokens, sign) && is_seen_to_group(tokens, sign));
    match groups {
        [false, true] => Ok(b'.'),
        [true, false] => Ok(b','),
        _ => Err(Unsure::BothSigns),
    }
}

/// Tells whether a sign is seen to group thousands: it stands in a number more than once, or in a column that has numbers below a thousand without it.
fn is_seen_to_group(tokens: &[Vec<&[u8]>], sign: u8) -> bool {
    let stands_often = |token: &&[u8]| memchr::memchr_iter(sign, token).count() > 1;
    let is_small =
        |token: &&[u8]| !token.contains(&sign) && token.iter().any(|byte| (b'1'..=b'9').contains(byte));
    tokens.iter().any(|column| {
        let has_sign = column.iter().any(|token| token.contains(&sign));
        has_sign && column.iter().any(|token| is_small(token) || stands_often(token))
    })
}

/// Lists the numbers of each column of all rows that are there.
fn tokens<'a>(lines: &[&'a [u8]], rows: &Rows) -> Vec<Vec<&'a [u8]>> {
    let mut places = Vec::new();
    let mut columns: Vec<Vec<&[u8]>> = vec![Vec::new(); rows.width];
    for line in &lines[rows.first..] {
        rows.dialect.separator.split(line, &mut places);
        if places.len() != rows.width {
            continue;
        }
        for (column, place) in columns.iter_mut().zip(&places) {
            let text = trimmed(&line[place.clone()]);
            let is_number = |decimal: u8| {
                value(
                    text,
                    Writing {
                        decimal,
                        groups: true,
                    },
                )
                .is_some()
            };
            if is_number(b'.') || is_number(b',') {
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
        let digits = token.iter().rposition(u8::is_ascii_digit).map_or(0, |at| at + 1);
        let mut groups = token[..digits].split(|byte| *byte == sign);
        let first = groups.next().unwrap_or_default();
        let first = first
            .strip_prefix(b"-")
            .or_else(|| first.strip_prefix(b"+"))
            .unwrap_or(first);
        (1..=3).contains(&first.len()) && first[0] != b'0' && groups.all(|group| group.len() == 3)
    };
    with().next().is_some() && with().all(|token| by_three(&token))
}

/// Tells whether no number of any column has a sign in it.
fn all_whole(tokens: &[Vec<&[u8]>]) -> bool {
    let has_sign = |token: &&[u8]| token.contains(&b'.') || token.contains(&b',');
    !tokens.iter().flatten().any(has_sign)
}

/// Tells whether commas that stand between whole numbers may stand before decimals: there are more fields than names, or two without names.
fn names_against_commas(lines: &[&[u8]], rows: &Rows) -> Option<Unsure> {
    if rows.dialect.separator != Separator::Sign(b',') {
        return None;
    }
    let tokens = tokens(lines, rows);
    if !all_whole(&tokens) {
        return None;
    }
    let mut places = Vec::new();
    let named = lines[..rows.first]
        .iter()
        .rev()
        .find(|line| line.iter().any(u8::is_ascii_alphabetic));
    let names = named.map_or(0, |line| {
        rows.dialect.separator.split(line, &mut places);
        places.len()
    });
    match tokens.iter().filter(|column| !column.is_empty()).count() {
        2 if names < 2 => Some(Unsure::CommaForEither),
        full if names > 1 && full > names && full <= 2 * names => Some(Unsure::CommaForBoth),
        _ => None,
    }
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
        let clock = "2026-05-11 12:00:00\t1.5\t0.2\n2026-05-11 12:00:01\t1.6\t0.3\n";
        assert_eq!(of(clock), Ok((sign(b'\t'), b'.', 3)));
        assert_eq!(of(&clock.replace('\t', ";")), Ok((sign(b';'), b'.', 3)));
        assert_eq!(of(&clock.replace('\t', "  ")), Ok((Separator::Blanks, b'.', 4)));
        assert_eq!(found("only words\nand more\n"), Err(Unsure::NoRows));
        // Comments here and there, and decimals by comma.
        let remarks = "F\tis\tnote\n0,50 kN\tOK\t\n0,61 kN\tOK\tit creaks\n0,72 kN\tOK\t\n0,83 kN\tOK\tagain\n0,94 kN\tOK\t\n";
        assert_eq!(of(remarks), Ok((sign(b'\t'), b',', 3)));
    }

    #[test]
    fn thousands_are_told_from_decimals_by_what_is_below_them() {
        let groups = |text: &str| found(text).map(|(_, decimal, groups, _)| (decimal, groups));
        assert_eq!(groups("1;998\n2;999\n3;1,000\n4;1,001\n"), Ok((b'.', true)));
        assert_eq!(groups("1;1,234.5\n2;1,235.5\n"), Ok((b'.', true)));
        assert_eq!(groups("1;0,998\n2;0,999\n3;1,000\n"), Ok((b',', true)));
        assert_eq!(groups("1;1,234\n2;1,236\n3;1,239\n"), Err(Unsure::Sign(b',')));
        assert_eq!(groups("1;1.234\n2;1.236\n3;1.239\n"), Ok((b'.', true)));
        assert_eq!(groups("1;1.234.567\n2;1.234.569\n"), Ok((b',', true)));
        // Both signs: one has to be seen to group.
        assert_eq!(groups("0.5;998\n0.6;1,001\n"), Ok((b'.', true)));
        assert_eq!(groups("0,5;998\n0,6;1.001\n"), Ok((b',', true)));
        for text in [
            "1.000;0,5\n1.010;0,6\n",
            "0.010;1,25\n0.020;1,35\n",
            "1,000;2.001\n1,010;2.002\n",
            "0.5;1,001\n0.6;1,002\n",
        ] {
            assert_eq!(groups(text), Err(Unsure::BothSigns), "{text}");
        }
    }

    #[test]
    fn a_comma_that_is_both_is_refused() {
        assert_eq!(found("t,F\n0,10,1,25\n0,20,1,30\n"), Err(Unsure::CommaForBoth));
        // One column with decimals, or two of whole numbers: whoever reads it has to say.
        let either = "Kraft\nkgf\n-8,3\n-3,4\n12,0\n";
        assert_eq!(found(either), Err(Unsure::CommaForEither));
        let lines: Vec<&[u8]> = either.lines().map(str::as_bytes).collect();
        let said = |sign: char| dialect(&lines, Some(sign)).map(|rows| rows.width);
        assert_eq!([said(','), said('.')], [Ok(1), Ok(2)]);
    }
}
