//! Clocks as instruments write them.
//!
//! Conventions: seconds; of a day where only that is written.
//! Assumes: hours run to 24 or to 12 with `AM` and `PM`; dates are year first, or by points and slashes, of which only that the day changed
//! is used.
//! Valid for: h:m:s with parts of a second by point, comma or a third colon, m:s, and dates before it.
//! Source: ISO 8601 for dates that begin with a year (from memory).
//! Checked by: the tests below.

use crate::log::number::trimmed;

/// A day in seconds.
pub(crate) const DAY_S: f64 = 86_400.0;

/// What a field of a clock says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Told {
    /// Seconds, of the day if there is a date.
    pub(crate) seconds: f64,
    /// A number of the day that grows by one each day, if a date is written.
    pub(crate) day: Option<i64>,
}

/// Reads a clock, with a date before it or not; none for what is none.
pub(crate) fn clock(field: &[u8]) -> Option<Told> {
    let text = trimmed(field);
    let first = text.iter().position(|byte| *byte == b':')?;
    let start = text[..first]
        .iter()
        .rposition(|byte| !byte.is_ascii_digit())
        .map_or(0, |at| at + 1);
    let (before, time) = text.split_at(start);
    let day = match trimmed(before) {
        b"" => None,
        date => Some(day(date.strip_suffix(b"T").unwrap_or(date))?),
    };
    Some(Told {
        seconds: of_day(time)?,
        day,
    })
}

/// Reads h:m:s or m:s, seconds.
fn of_day(text: &[u8]) -> Option<f64> {
    let text = without_zone(std::str::from_utf8(text).ok()?.trim_end());
    let upper = text.to_ascii_uppercase();
    let (text, half) = match (upper.strip_suffix("PM"), upper.strip_suffix("AM")) {
        (Some(text), _) => (text, Some(12.0)),
        (_, Some(text)) => (text, Some(0.0)),
        _ => (upper.as_str(), None),
    };
    let fields: Vec<&str> = text.trim().split(':').collect();
    let whole = |field: &str| -> Option<f64> {
        let is_digits =
            !field.is_empty() && field.len() <= 4 && field.bytes().all(|byte| byte.is_ascii_digit());
        is_digits.then(|| field.parse().ok())?
    };
    let seconds = |field: &str| -> Option<f64> {
        let field = field.replace(',', ".");
        let is_number = field.starts_with(|c: char| c.is_ascii_digit())
            && field.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        is_number
            .then(|| field.parse().ok())?
            .filter(|value: &f64| *value < 61.0)
    };
    let minutes = |field: &str| whole(field).filter(|value| *value < 60.0);
    let hours = |field: &str| -> Option<f64> {
        let hours = whole(field)?;
        match half {
            Some(half) if (1.0..=12.0).contains(&hours) => Some(hours % 12.0 + half),
            Some(_) => None,
            None => Some(hours),
        }
    };
    match fields.as_slice() {
        [m, s] if half.is_none() => Some(60.0 * whole(m)? + seconds(s)?),
        [h, m, s] => Some(3600.0 * hours(h)? + 60.0 * minutes(m)? + seconds(s)?),
        // A third colon before thousandths.
        [h, m, s, part] => {
            let thousandths = whole(part)? / 10_f64.powi(i32::try_from(part.len()).ok()?);
            Some(3600.0 * hours(h)? + 60.0 * minutes(m)? + seconds(s)? + thousandths)
        }
        _ => None,
    }
}

/// Takes a time zone off the end, which is the same for all of a log: `Z`, `+02:00`, `-0500`, `CEST`.
fn without_zone(text: &str) -> &str {
    let is_offset = |zone: &str| {
        let digits = zone.bytes().filter(u8::is_ascii_digit).count();
        matches!(digits, 2 | 4) && zone.bytes().all(|byte| byte.is_ascii_digit() || byte == b':')
    };
    if let Some(at) = text.rfind(['+', '-'])
        && is_offset(&text[at + 1..])
    {
        return text[..at].trim_end();
    }
    let word = text.trim_end_matches(|c: char| c.is_ascii_uppercase());
    let zone = &text[word.len()..];
    let is_half = matches!(zone, "AM" | "PM");
    if is_half || zone.len() > 5 {
        text
    } else {
        word.trim_end()
    }
}

/// Gives the number of a day; none for what is no date. Where day and month can not be told apart the day is taken to come first, of which
/// nothing is used but that it changes.
pub(crate) fn day(field: &[u8]) -> Option<i64> {
    let text = std::str::from_utf8(trimmed(field)).ok()?.trim();
    let fields: Vec<&str> = text.split(['-', '.', '/']).collect();
    let [a, b, c] = fields.as_slice() else { return None };
    let number = |field: &str| -> Option<i64> {
        let is_digits = (1..=4).contains(&field.len()) && field.bytes().all(|byte| byte.is_ascii_digit());
        is_digits.then(|| field.parse().ok())?
    };
    let (a, b, c) = (number(a)?, number(b)?, number(c)?);
    let (year, month, day) = match () {
        () if a > 31 => (a, b, c),
        () if b > 12 => (c, a, b),
        () => (c, b, a),
    };
    let is_date = (1..=12).contains(&month) && (1..=31).contains(&day);
    is_date.then(|| {
        // Days since a day long ago: years begin in March, so that the odd day comes last.
        let (year, month) = if month > 2 {
            (year, month - 3)
        } else {
            (year - 1, month + 9)
        };
        365 * year + year.div_euclid(4) - year.div_euclid(100)
            + year.div_euclid(400)
            + (153 * month + 2) / 5
            + day
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seconds(text: &str) -> Option<f64> {
        clock(text.as_bytes()).map(|told| told.seconds)
    }

    #[test]
    fn clocks_are_read_however_they_are_written() {
        assert_eq!(seconds("00:01:02.5"), Some(62.5));
        assert_eq!(seconds("14:23:11,250"), Some(51_791.25));
        assert_eq!(seconds("1:02.5"), Some(62.5));
        assert_eq!(seconds("12:00:05 AM"), Some(5.0));
        assert_eq!(seconds("1:00:05 pm"), Some(46_805.0));
        assert_eq!(seconds("10:00:01:500"), Some(36_001.5));
        assert_eq!(seconds("2026-05-03T10:00:01Z"), Some(36_001.0));
        for zone in ["+02:00", "-0500", " CEST", " UTC", "+01"] {
            assert_eq!(
                seconds(&format!("2026-05-03T10:00:01.5{zone}")),
                Some(36_001.5),
                "{zone}"
            );
        }
        assert_eq!(seconds("25.5"), None);
        assert_eq!(seconds("10:75:00"), None);
        assert_eq!(seconds("Note: 5"), None);
    }

    #[test]
    fn days_follow_one_another() {
        let days = |a: &str, b: &str| day(b.as_bytes()).zip(day(a.as_bytes())).map(|(b, a)| b - a);
        assert_eq!(days("2026-02-28", "2026-03-01"), Some(1));
        assert_eq!(days("2028-02-28", "2028-03-01"), Some(2));
        assert_eq!(days("31.12.2026", "01.01.2027"), Some(1));
        assert_eq!(days("12/31/2026", "1/1/2027"), Some(1));
        assert_eq!(day(b"12.5.3.1"), None);
        assert_eq!(day(b"2026-13-45"), None);
    }
}
