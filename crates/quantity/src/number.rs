//! Reads the number that begins a quantity: decimals, exponents and fractions.

use crate::error::Problem;

/// A number without its sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Number {
    pub value: f64,
    /// Whether it was written with digits alone.
    pub whole: bool,
}

/// Takes the sign off folded text; the rest starts at the number.
pub(crate) fn sign(text: &str) -> (bool, &str) {
    match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    }
}

/// Reads an unsigned number; gives it and the text after it.
pub(crate) fn number(text: &str) -> Result<(Number, &str), Problem> {
    let word = split(text, |c| c.is_alphabetic() || c == '∞').0;
    if ["nan", "inf", "infinity", "∞"].contains(&word.to_lowercase().as_str()) {
        return Err(Problem::NotFinite);
    }
    let (token, rest) = split(text, |c| c.is_ascii_digit() || matches!(c, '.' | ',' | '_'));
    if !token.contains(|c: char| c.is_ascii_digit()) {
        return Err(Problem::NoNumber);
    }
    refuse_separators(token, rest)?;
    let (exponent, rest) = exponent(rest);
    let value = finite(&format!("{token}{exponent}"))?;
    let number = Number {
        value,
        whole: exponent.is_empty() && !token.contains('.'),
    };
    let (number, rest) = match fraction(number, rest) {
        Some(read) => read?,
        None => (number, rest),
    };
    refuse_second_number(text, number, rest)?;
    Ok((number, rest.trim_start()))
}

fn split(text: &str, belongs: impl Fn(char) -> bool) -> (&str, &str) {
    text.split_at(text.find(|c| !belongs(c)).unwrap_or(text.len()))
}

fn digits(text: &str) -> (&str, &str) {
    split(text, |c| c.is_ascii_digit())
}

/// Splits an exponent such as `e-6` off; an `e` without digits is left for the unit.
fn exponent(text: &str) -> (&str, &str) {
    let Some(after) = text.strip_prefix(['e', 'E']) else {
        return ("", text);
    };
    let (_, unsigned) = sign(after);
    let (power, rest) = digits(unsigned);
    let spaced = after.len() - unsigned.len() > 1;
    if power.is_empty() || spaced {
        ("", text)
    } else {
        (&text[..text.len() - rest.len()], rest)
    }
}

/// Gives a value that f64 holds without losing it to infinity or to zero.
fn finite(token: &str) -> Result<f64, Problem> {
    let value: f64 = token.parse().map_err(|_| Problem::BadNumber)?;
    let mantissa = token.split(['e', 'E']).next().unwrap_or(token);
    let is_zero = !mantissa.contains(|c: char| c.is_ascii_digit() && c != '0');
    if value.is_normal() || is_zero {
        Ok(value)
    } else {
        Err(Problem::OutOfRange)
    }
}

/// Reads what makes a fraction of the whole number before it: `/8`, `-3/8` or ` 3/8`.
fn fraction(number: Number, rest: &str) -> Option<Result<(Number, &str), Problem>> {
    if let Some((below, after)) = denominator(rest) {
        return Some(divide(number, number.whole, below).map(|value| (part(value), after)));
    }
    let gap = rest.strip_prefix('-').unwrap_or(rest.trim_start());
    let (above, after) = digits(gap);
    if gap.len() == rest.len() || above.is_empty() {
        return None;
    }
    let (below, after) = denominator(after)?;
    Some(mixed(number, above, below).map(|value| (part(value), after)))
}

fn part(value: f64) -> Number {
    Number { value, whole: false }
}

fn denominator(text: &str) -> Option<(&str, &str)> {
    let (below, after) = digits(text.strip_prefix('/')?);
    (!below.is_empty()).then_some((below, after))
}

fn mixed(whole: Number, above: &str, below: &str) -> Result<f64, Problem> {
    let above = Number {
        value: finite(above)?,
        whole: true,
    };
    let fraction = divide(above, whole.whole, below)?;
    if fraction >= 1.0 {
        return Err(Problem::BadFraction);
    }
    Ok(whole.value + fraction)
}

fn divide(above: Number, allowed: bool, below: &str) -> Result<f64, Problem> {
    let below = finite(below)?;
    if !allowed {
        return Err(Problem::BadFraction);
    }
    if below == 0.0 {
        return Err(Problem::ZeroDenominator);
    }
    Ok(above.value / below)
}

/// Refuses commas and underscores, and says how the number is written without.
fn refuse_separators(token: &str, rest: &str) -> Result<(), Problem> {
    if !token.contains([',', '_']) {
        return if token.matches('.').count() > 1 {
            Err(Problem::BadNumber)
        } else {
            Ok(())
        };
    }
    let (before, decimals) = token.split_once('.').unwrap_or((token, ""));
    if is_grouped(before) && !decimals.contains([',', '_', '.']) {
        let instead = format!("{}{rest}", token.replace([',', '_'], ""));
        return Err(Problem::Thousands { instead });
    }
    match token.rsplit_once(',') {
        Some((whole, decimals)) if all_digits(decimals) && is_grouped_by_points(whole) => {
            Err(Problem::DecimalComma {
                instead: format!("{}.{decimals}{rest}", whole.replace('.', "")),
            })
        }
        _ => Err(Problem::BadNumber),
    }
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|c| c.is_ascii_digit())
}

/// Whether digits stand in threes behind the first group, as in `1,240`; `0,125` is a decimal.
fn is_grouped(text: &str) -> bool {
    let mut groups = text.split([',', '_']);
    let first = groups.next().unwrap_or_default();
    let leads = all_digits(first) && first.len() <= 3 && !first.starts_with('0');
    let mut behind = groups.peekable();
    leads && behind.peek().is_some() && behind.all(|group| group.len() == 3 && all_digits(group))
}

fn is_grouped_by_points(text: &str) -> bool {
    all_digits(text) || is_grouped(&text.replace('.', ","))
}

/// Refuses a second number right behind the first, such as `1 240 lb`.
fn refuse_second_number(text: &str, number: Number, rest: &str) -> Result<(), Problem> {
    let next = rest.trim_start_matches([' ', '-', '+', '.', ',', '/']);
    let (group, after) = digits(next);
    if group.is_empty() {
        return Ok(());
    }
    let spaced = rest
        .strip_prefix(' ')
        .is_some_and(|behind| behind.len() == next.len());
    if spaced && number.whole && number.value > 0.0 && group.len() == 3 {
        let first = &text[..text.len() - rest.len()];
        return Err(Problem::Thousands {
            instead: format!("{first}{group}{after}"),
        });
    }
    Err(Problem::TwoNumbers)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str) -> (f64, &str) {
        let (number, rest) = number(text).unwrap();
        (number.value, rest)
    }

    #[test]
    fn reads_decimals_exponents_and_fractions() {
        assert_eq!(value("12 ft"), (12.0, "ft"));
        assert_eq!(value(".5in"), (0.5, "in"));
        assert_eq!(value("12e-6 /K"), (12e-6, "/K"));
        assert_eq!(value("1E3m"), (1000.0, "m"));
        assert_eq!(value("3/8 in"), (0.375, "in"));
        assert_eq!(value("6-3/8\""), (6.375, "\""));
        assert_eq!(value("6 3/8 in"), (6.375, "in"));
        assert_eq!(value("12 /K"), (12.0, "/K"));
    }

    #[test]
    fn refuses_what_could_mean_two_things() {
        assert_eq!(
            number("1,240.5 lb"),
            Err(Problem::Thousands {
                instead: "1240.5 lb".into()
            })
        );
        assert_eq!(
            number("1.240,5 lb"),
            Err(Problem::DecimalComma {
                instead: "1240.5 lb".into()
            })
        );
        assert_eq!(
            number("0,125 m"),
            Err(Problem::DecimalComma {
                instead: "0.125 m".into()
            })
        );
        assert_eq!(number("1e999 m"), Err(Problem::OutOfRange));
        assert_eq!(number("1e-999 m"), Err(Problem::OutOfRange));
        assert_eq!(number("6 9/8 in"), Err(Problem::BadFraction));
    }
}
