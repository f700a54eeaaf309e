//! All that is taken from the environment, the terminal and the clock.

use crate::day::{self, NoDay};
use crate::text::Page;
use app::Style;
use std::env;
use std::io::IsTerminal;
use std::path::PathBuf;

/// The widest that answers are set.
const WIDEST: usize = 100;
/// The width where nothing is known of the terminal.
const USUAL: usize = 80;
/// The narrowest that answers are set; a phone has about 40 columns.
const NARROWEST: usize = 32;

/// What a verb is run in.
#[derive(Debug, Clone)]
pub struct Surroundings {
    /// The day on which the question is asked.
    pub today: String,
    /// The width of answers, in columns.
    pub width: usize,
    /// Whether standard output takes colour.
    pub colour: bool,
    /// Whether standard error takes colour.
    pub colour_of_mistakes: bool,
    /// Books named by the environment, `PLIMSOLL_BOOK`.
    pub books: Vec<PathBuf>,
}

impl Surroundings {
    /// Gives how an answer is set.
    pub fn page(&self, style: Style) -> Page {
        Page {
            style,
            width: self.width,
            colour: self.colour,
        }
    }
}

/// The surroundings can not be made out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unclear {
    /// The day stated is none.
    #[error(transparent)]
    Day(#[from] NoDay),
    /// The clock of the machine is wrong.
    #[error("the clock stands before 1970; set it, or state the day: PLIMSOLL_TODAY=2026-03-14")]
    Clock,
}

impl Surroundings {
    /// Finds them; a stated day goes before that of the clock.
    pub fn found(stated_day: Option<String>) -> Result<Self, Unclear> {
        let may_colour = env::var_os("NO_COLOR").is_none_or(|set| set.is_empty())
            && env::var_os("TERM").is_none_or(|term| term != "dumb");
        let books = env::var_os("PLIMSOLL_BOOK");
        Ok(Surroundings {
            today: match stated_day {
                Some(stated) => day::stated(&stated)?,
                None => day::today().ok_or(Unclear::Clock)?,
            },
            width: width(),
            colour: may_colour && std::io::stdout().is_terminal(),
            colour_of_mistakes: may_colour && std::io::stderr().is_terminal(),
            books: books
                .iter()
                .flat_map(env::split_paths)
                .filter(|path| !path.as_os_str().is_empty())
                .collect(),
        })
    }
}

/// Finds the width of answers.
pub fn width() -> usize {
    within(env::var("COLUMNS").ok().as_deref())
}

/// Settles the width from what the terminal says of itself.
fn within(columns: Option<&str>) -> usize {
    let stated = columns
        .and_then(|columns| columns.trim().parse().ok())
        .filter(|columns| *columns > 0);
    stated.unwrap_or(USUAL).clamp(NARROWEST, WIDEST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_width_is_that_of_the_terminal_within_bounds() {
        let cases = [
            (None, 80),
            (Some("40"), 40),
            (Some("96"), 96),
            (Some("240"), 100),
            (Some("3"), 32),
        ];
        for (columns, is) in cases {
            assert_eq!(within(columns), is, "{columns:?}");
        }
        assert_eq!(within(Some("wide")), 80);
        assert_eq!(within(Some("0")), 80);
    }
}
