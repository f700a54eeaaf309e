//! The day of the calendar, from the clock or as stated.
//!
//! Conventions: days of the Gregorian calendar, UTC, written as in 2026-03-14.
//! Assumes: the clock counts from 1970-01-01 without leap seconds, as system clocks do.
//! Valid for: years 1970 to 9999. Otherwise: [`NoDay`].
//! Source: calendar rule of the Gregorian reform: a leap year every 4 years, not every 100, but every 400.
//! Checked by: tests below, against days whose count since 1970 is known.

use std::time::{SystemTime, UNIX_EPOCH};

/// A text is not a day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a day of the calendar; write it as in 2026-03-14")]
pub struct NoDay(pub String);

/// Gives the day that the clock shows; none if the clock stands before 1970.
pub fn today() -> Option<String> {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).ok()?;
    Some(day(since.as_secs() / 86_400))
}

/// Holds a stated day against the calendar.
pub fn stated(text: &str) -> Result<String, NoDay> {
    let wrong = || NoDay(text.to_string());
    let shaped = text.len() == 10
        && text.bytes().enumerate().all(|(i, byte)| match i {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    let number = |part: Option<&str>| part.and_then(|part| part.parse::<u64>().ok()).ok_or_else(wrong);
    let mut parts = text.split('-');
    let (year, month, day) = (
        number(parts.next())?,
        number(parts.next())?,
        number(parts.next())?,
    );
    let is_day =
        shaped && year >= 1970 && (1..=12).contains(&month) && (1..=days_of(year, month)).contains(&day);
    if is_day {
        Ok(text.to_string())
    } else {
        Err(wrong())
    }
}

/// Writes the day that is so many days after 1970-01-01.
fn day(days: u64) -> String {
    let (mut year, mut left) = (1970, days);
    while left >= days_of_year(year) {
        left -= days_of_year(year);
        year += 1;
    }
    let mut month = 1;
    while left >= days_of(year, month) {
        left -= days_of(year, month);
        month += 1;
    }
    format!("{year:04}-{month:02}-{:02}", left + 1)
}

fn is_leap(year: u64) -> bool {
    year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400)
}

fn days_of_year(year: u64) -> u64 {
    if is_leap(year) { 366 } else { 365 }
}

fn days_of(year: u64, month: u64) -> u64 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_counts_of_days_give_known_days() {
        // POSIX.1-2017, 4.16: seconds since the Epoch, 86 400 to a day; 10^9 s is 2001-09-09, 2^31 s is 2038-01-19.
        for (days, is) in [
            (0, "1970-01-01"),
            (1_000_000_000 / 86_400, "2001-09-09"),
            ((1 << 31) / 86_400, "2038-01-19"),
            (11_016, "2000-02-29"),
            (11_017, "2000-03-01"),
            (47_540, "2100-02-28"),
            (47_541, "2100-03-01"),
        ] {
            assert_eq!(day(days), is);
        }
    }

    #[test]
    fn a_stated_day_is_held_against_the_calendar() {
        for day in ["2026-03-14", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert_eq!(stated(day), Ok(day.to_string()));
        }
        for wrong in [
            "2026-02-29",
            "2100-02-29",
            "2026-13-01",
            "2026-3-14",
            "14.3.2026",
            "2026-03-14x",
            "",
            "1969-01-01",
        ] {
            assert_eq!(stated(wrong), Err(NoDay(wrong.to_string())));
        }
    }
}
