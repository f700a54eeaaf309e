//! Reads a written quantity and gives its SI value.

use crate::error::{ParseError, Problem};
use crate::kind::Kind;
use crate::nearest;
use crate::number::{self, Number};
use crate::unit::{self, FOOT, INCH, Unit};

/// Reads text as one kind and gives its SI value.
pub(crate) fn quantity(kind: Kind, text: &str) -> Result<f64, ParseError> {
    let error = |problem| ParseError {
        kind,
        text: text.trim().to_owned(),
        problem,
    };
    value(kind, folded(text).trim()).map_err(error)
}

fn value(kind: Kind, text: &str) -> Result<f64, Problem> {
    if text.is_empty() {
        return Err(Problem::Empty);
    }
    let (negative, unsigned) = number::sign(text);
    let (number, rest) = number::number(unsigned).map_err(|problem| signed(problem, negative))?;
    let sign = if negative { -1.0 } else { 1.0 };
    let si = match behind_feet(rest) {
        Some(inches) if kind == Kind::Length => sign * feet_and_inches(number, inches)?,
        Some(_) => {
            return Err(Problem::OtherKind {
                found: Kind::Length,
                meant: None,
            });
        }
        None => one_unit(kind, sign * number.value, rest)?,
    };
    Ok(si + 0.0) // a written -0 is 0
}

/// Puts the sign back into the text that an error proposes.
fn signed(problem: Problem, negative: bool) -> Problem {
    match problem {
        Problem::Thousands { instead } if negative => Problem::Thousands {
            instead: format!("-{instead}"),
        },
        Problem::DecimalComma { instead } if negative => Problem::DecimalComma {
            instead: format!("-{instead}"),
        },
        other => other,
    }
}

fn one_unit(kind: Kind, reading: f64, rest: &str) -> Result<f64, Problem> {
    if rest.is_empty() {
        return match kind {
            Kind::Ratio | Kind::Number => Ok(reading),
            _ => Err(Problem::Bare),
        };
    }
    let spelling = spelling(rest);
    let unit = unit::find(kind, &spelling).ok_or_else(|| unknown(kind, rest, &spelling))?;
    let si = scaled(unit, reading)?;
    if kind == Kind::Temperature && si < 0.0 {
        Err(Problem::BelowAbsoluteZero)
    } else {
        Ok(si)
    }
}

fn scaled(unit: Unit, reading: f64) -> Result<f64, Problem> {
    let held = (reading * unit.si).is_normal() || reading == 0.0;
    if held {
        Ok(unit.to_si(reading))
    } else {
        Err(Problem::OutOfRange)
    }
}

fn unknown(kind: Kind, written: &str, spelling: &str) -> Problem {
    if ["ton", "tons", "tonf"].contains(&spelling.to_lowercase().as_str()) {
        return Problem::BareTon;
    }
    let meant = nearest::in_case(kind, spelling);
    match unit::belongs_to(spelling) {
        Some(found) => Problem::OtherKind { found, meant },
        None if is_followed_by_number(written) => Problem::TwoUnits,
        None => Problem::UnknownUnit {
            unit: written.to_owned(),
            nearest: meant.or_else(|| nearest::in_spelling(kind, spelling)),
        },
    }
}

/// Whether a unit and a second number are written, as in `m 20 cm`.
fn is_followed_by_number(written: &str) -> bool {
    written.split_once(' ').is_some_and(|(unit, behind)| {
        unit::belongs_to(unit).is_some() && behind.trim_start().starts_with(|c: char| c.is_ascii_digit())
    })
}

/// Gives the text behind `ft` when a number follows there, which can only be inches.
fn behind_feet(rest: &str) -> Option<&str> {
    let end = rest.find(|c: char| !c.is_alphabetic() && c != '\'')?;
    let (unit, behind) = rest.split_at(end);
    let begins_number = behind
        .trim_start_matches([' ', '-', '+', '.'])
        .starts_with(|c: char| c.is_ascii_digit());
    let is_one_unit = unit::belongs_to(&spelling(rest)).is_some(); // as `ft2` is
    (FOOT.is_spelled(unit) && begins_number && !is_one_unit).then_some(behind)
}

/// Reads the inches behind feet and gives both in metres.
///
/// A hyphen joins when it has a space on both sides or on none; ` -6 in` would be a negative number of inches.
fn feet_and_inches(feet: Number, behind: &str) -> Result<f64, Problem> {
    let joined = behind.trim_start();
    let (hyphen, inches) = number::sign(joined);
    let lopsided = hyphen && (joined.len() < behind.len()) != joined[1..].starts_with(' ');
    if lopsided || joined.starts_with('+') {
        return Err(Problem::SignInside);
    }
    let (inches, unit) = number::number(inches)?;
    if unit.is_empty() {
        return Err(Problem::InchesBare);
    }
    if !INCH.is_spelled(unit) {
        return Err(Problem::NotInches {
            unit: unit.to_owned(),
        });
    }
    if !feet.whole {
        return Err(Problem::FeetNotWhole);
    }
    if inches.value >= 12.0 {
        return Err(Problem::InchesTooMany);
    }
    Ok((12.0 * feet.value + inches.value) * INCH.si)
}

/// Brings the many signs for one thing together, without making digits of anything else.
fn folded(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2212}' | '\u{2010}' | '\u{2011}' | '\u{2013}' => folded.push('-'),
            '\'' | '\u{2032}' | '\u{2019}' if folded.ends_with('\'') => {
                folded.pop();
                folded.push('"');
            }
            '\u{2032}' | '\u{2019}' => folded.push('\''),
            '\u{2033}' | '\u{201d}' => folded.push('"'),
            '\u{2044}' => folded.push('/'),
            '°' | 'º' => folded.push_str("deg"),
            _ if c.is_whitespace() => folded.push(' '),
            _ => match vulgar_fraction(c) {
                Some(fraction) => {
                    if folded.ends_with(|c: char| c.is_ascii_digit()) {
                        folded.push(' ');
                    }
                    folded.push_str(fraction);
                    folded.push(' ');
                }
                None => folded.push(c),
            },
        }
    }
    folded
}

fn vulgar_fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

/// Brings a unit to the form of the table: `kg·m²` to `kg m2`, `ft-lb` to `ft lb`, `lb / 100 ft` to `lb/100ft`.
fn spelling(unit: &str) -> String {
    const JOINERS: [char; 5] = ['·', '⋅', '×', '*', '-'];
    if unit.starts_with(JOINERS) || unit.ends_with(JOINERS) {
        return unit.to_owned();
    }
    let mut spelling = String::with_capacity(unit.len());
    for piece in unit
        .split(|c: char| c == ' ' || JOINERS.contains(&c))
        .filter(|piece| !piece.is_empty())
    {
        let tight = spelling.ends_with(|c: char| c == '/' || c.is_ascii_digit()) || piece.starts_with('/');
        if !tight && !spelling.is_empty() {
            spelling.push(' ');
        }
        spelling.extend(piece.chars().filter_map(|c| match c {
            '^' => None,
            '²' => Some('2'),
            '³' => Some('3'),
            '⁴' => Some('4'),
            _ => Some(c),
        }));
    }
    spelling
}
