//! Numbers as instruments write them.
//!
//! Conventions: bytes in, `f64` out.
//! Assumes: nothing; what is no number is told so.
//! Valid for: digits with one sign between whole and part, signs that group thousands by three, an exponent.
//! Source: definitions. The closest double where there are no more than 15 digits and small powers of ten, which are exact; else as Rust
//! parses it.
//! Checked by: the tests below; fuzz/fuzz_targets/log.rs.

/// How numbers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Writing {
    /// The sign between whole and part.
    pub(crate) decimal: u8,
    /// Whether the other of point and comma may group thousands.
    pub(crate) groups: bool,
}

/// Powers of ten that are exact in a double.
pub(crate) const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
    1e19, 1e20, 1e21, 1e22,
];
/// More digits than this are not exact in a double.
pub(crate) const EXACT_DIGITS: usize = 15;
/// What stands after a number and is longer is no unit.
const LONGEST_WORD: usize = 12;

/// Takes blanks and quotes off both ends.
pub(crate) fn trimmed(mut field: &[u8]) -> &[u8] {
    let is_edge = |byte: u8| matches!(byte, b' ' | b'\t' | b'\r' | b'"' | b'\'' | 0xA0);
    while let [first, rest @ ..] = field {
        // Blanks that do not break, in UTF-8.
        if let [0xC2, 0xA0, rest @ ..] | [0xE2, 0x80, 0xAF, rest @ ..] = field {
            field = rest;
        } else if is_edge(*first) {
            field = rest;
        } else {
            break;
        }
    }
    while let [rest @ .., last] = field {
        if let [rest @ .., 0xC2, 0xA0] | [rest @ .., 0xE2, 0x80, 0xAF] = field {
            field = rest;
        } else if is_edge(*last) {
            field = rest;
        } else {
            break;
        }
    }
    field
}

/// Reads a number; none for what is none.
pub(crate) fn number(field: &[u8], writing: Writing) -> Option<f64> {
    plain(field, writing.decimal).or_else(|| grouped(trimmed(field), writing))
}

/// Reads a number with a word after it, such as a unit, and gives both; none where there is no number or no word.
pub(crate) fn number_and_word(field: &[u8], writing: Writing) -> Option<(f64, &[u8])> {
    let field = trimmed(field);
    let at = field
        .iter()
        .rposition(|byte| byte.is_ascii_digit() || *byte == writing.decimal)?
        + 1;
    let (value, word) = (&field[..at], trimmed(&field[at..]));
    let is_word = word.len() <= LONGEST_WORD
        && word
            .first()
            .is_some_and(|byte| byte.is_ascii_alphabetic() || *byte >= 0x80);
    is_word
        .then(|| number(value, writing))
        .flatten()
        .map(|value| (value, word))
}

/// The quick way: a sign, digits, one decimal sign, digits, and nothing else.
#[inline]
fn plain(field: &[u8], decimal: u8) -> Option<f64> {
    let (mut bytes, mut negative) = (field, false);
    while let [b' ', rest @ ..] = bytes {
        bytes = rest;
    }
    if let [sign @ (b'-' | b'+'), rest @ ..] = bytes {
        negative = *sign == b'-';
        bytes = rest;
    }
    // More digits than are exact take the slow way.
    if bytes.len() > EXACT_DIGITS + 1 {
        return None;
    }
    let (mut whole, mut part) = (0_u64, None);
    for (at, byte) in bytes.iter().enumerate() {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            whole = whole * 10 + u64::from(digit);
        } else if *byte == decimal && part.is_none() {
            part = Some(at + 1);
        } else {
            return None;
        }
    }
    let after = part.map_or(0, |part| bytes.len() - part);
    let any = bytes.len() > usize::from(part.is_some());
    let value = whole as f64 / POWERS.get(after)?;
    any.then_some(if negative { -value } else { value })
}

/// The slow way: thousands, exponents, many digits, a real minus sign.
fn grouped(field: &[u8], writing: Writing) -> Option<f64> {
    let (negative, mut bytes) = match field {
        [0xE2, 0x88, 0x92, rest @ ..] | [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        all => (false, all),
    };
    while let [b' ', rest @ ..] = bytes {
        bytes = rest;
    }
    if !bytes.iter().any(u8::is_ascii_digit) || bytes.len() > 64 {
        return None;
    }
    let (number, exponent) = match bytes.iter().position(|byte| matches!(byte, b'e' | b'E')) {
        Some(at) => (&bytes[..at], Some(&bytes[at + 1..])),
        None => (bytes, None),
    };
    let decimal = number.iter().position(|byte| *byte == writing.decimal);
    let (whole, part) = match decimal {
        Some(at) => (&number[..at], &number[at + 1..]),
        None => (number, &[][..]),
    };
    let mut text = String::with_capacity(bytes.len() + 2);
    text.extend(negative.then_some('-'));
    text.push_str(&without_groups(whole, writing)?);
    if !part.iter().all(u8::is_ascii_digit) {
        return None;
    }
    text.push('.');
    text.extend(part.iter().map(|byte| char::from(*byte)));
    if let Some(exponent) = exponent {
        let digits = exponent
            .strip_prefix(b"-")
            .or_else(|| exponent.strip_prefix(b"+"))
            .unwrap_or(exponent);
        if digits.is_empty() || digits.len() > 3 || !digits.iter().all(u8::is_ascii_digit) {
            return None;
        }
        text.push('e');
        text.extend(exponent.iter().map(|byte| char::from(*byte)));
    }
    text.parse().ok().filter(|value: &f64| value.is_finite())
}

/// Takes out what groups a whole number by thousands; none where it does not group by three.
fn without_groups(whole: &[u8], writing: Writing) -> Option<String> {
    if whole.iter().all(u8::is_ascii_digit) {
        return Some(whole.iter().map(|byte| char::from(*byte)).collect());
    }
    let other = if writing.decimal == b'.' { ',' } else { '.' };
    // Signs of an older encoding: a blank that does not break, and a raised comma.
    let text = match std::str::from_utf8(whole) {
        Ok(text) => text.to_string(),
        Err(_) => whole
            .iter()
            .map(|byte| if *byte == 0x92 { '’' } else { char::from(*byte) })
            .collect(),
    };
    let is_sign = |c: char| {
        c == '\''
            || c == '’'
            || c == ' '
            || c == '\u{A0}'
            || c == '\u{202F}'
            || c == '\u{2009}'
            || c == '_'
            || c == other && writing.groups
    };
    let sign = text
        .chars()
        .find(|c| !c.is_ascii_digit())
        .filter(|c| is_sign(*c))?;
    let groups: Vec<&str> = text.split(sign).collect();
    let digits = |group: &&str| group.chars().all(|c| c.is_ascii_digit());
    let first = groups.first()?;
    let is_grouped = (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups[1..].iter().all(|group| group.len() == 3);
    (is_grouped && groups.iter().all(digits)).then(|| groups.concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    const POINT: Writing = Writing {
        decimal: b'.',
        groups: true,
    };
    const COMMA: Writing = Writing {
        decimal: b',',
        groups: true,
    };

    fn read(text: &str, writing: Writing) -> Option<f64> {
        number(text.as_bytes(), writing)
    }

    #[test]
    fn numbers_are_read_however_they_are_written() {
        assert_eq!(read(" -12.50", POINT), Some(-12.5));
        assert_eq!(read("12,5", COMMA), Some(12.5));
        assert_eq!(read("1.234,5", COMMA), Some(1234.5));
        assert_eq!(read("1,234.5", POINT), Some(1234.5));
        assert_eq!(read("\"1'234\"", POINT), Some(1234.0));
        assert_eq!(read("1 234,5", COMMA), Some(1234.5));
        assert_eq!(read("1\u{A0}234,5", COMMA), Some(1234.5));
        assert_eq!(read("\u{2212}3.5", POINT), Some(-3.5));
        assert_eq!(read("1.5E+03", POINT), Some(1500.0));
        assert_eq!(
            read("0.1234567890123456789", POINT),
            Some(0.123_456_789_012_345_68)
        );
        assert_eq!(read(".5", POINT), Some(0.5));
        assert_eq!(read("5.", POINT), Some(5.0));
    }

    #[test]
    fn a_word_after_a_number_is_told_from_it() {
        let both = |text: &'static str| number_and_word(text.as_bytes(), COMMA);
        assert_eq!(both("12,3 kN"), Some((12.3, &b"kN"[..])));
        assert_eq!(both("1.250N"), Some((1250.0, &b"N"[..])));
        assert_eq!(both("1 250,5\u{A0}kN"), Some((1250.5, &b"kN"[..])));
        assert_eq!(both("12,3"), None);
        assert_eq!(both("about 12,3 kN"), None);
        assert_eq!(both("10:30"), None);
        assert_eq!(number(b"1\xA0250", POINT), Some(1250.0));
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in [
            "", " ", "-", ".", "1.2.3", "12,34", "1,23,456", "0,123", "kN", "12 kN", "nan", "inf", "1e",
            "1e9999", "0x10", "5 2",
        ] {
            assert_eq!(read(text, POINT), None, "{text}");
        }
        let strict = Writing {
            decimal: b'.',
            groups: false,
        };
        assert_eq!(read("1,234", strict), None);
    }
}
