//! A mistake in a document, and how it is shown.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use std::ops::Range;

/// One mistake: where it stands, what is wrong, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The bytes of the text that are wrong.
    pub at: Range<usize>,
    /// What is wrong.
    pub says: String,
    /// What would be right.
    pub instead: Option<String>,
}

impl Problem {
    /// Notes a mistake at a place.
    pub fn new(at: Range<usize>, says: impl Into<String>) -> Self {
        Problem {
            at,
            says: says.into(),
            instead: None,
        }
    }

    /// Adds what would be right.
    #[must_use]
    pub fn instead(mut self, instead: impl Into<String>) -> Self {
        self.instead = Some(instead.into());
        self
    }

    /// Adds the nearest of the known words, or the list of them where none is near and the list is short.
    #[must_use]
    pub fn nearest<'a>(self, word: &str, known: impl IntoIterator<Item = &'a str>) -> Self {
        let known: Vec<&str> = known.into_iter().collect();
        match nearest(word, known.iter().copied()) {
            Some(near) => self.instead(format!("did you mean `{near}`?")),
            None if known.is_empty() => self.instead("none is defined in this document"),
            None if known.len() <= 24 => self.instead(format!(
                "known: {}",
                known
                    .iter()
                    .map(|k| format!("`{k}`"))
                    .collect::<Vec<_>>()
                    .join(", ")
            )),
            None => self,
        }
    }

    /// Gives line and column of the mistake, both counted from 1 and the column in characters.
    pub fn line_and_column(&self, text: &str) -> (usize, usize) {
        let upto = floor_char_boundary(text, self.at.start);
        let before = &text[..upto];
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        (
            before.matches('\n').count() + 1,
            before[line_start..].chars().count() + 1,
        )
    }
}

/// Finds the word among those known that was probably meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    known
        .into_iter()
        .map(|candidate| {
            (
                strsim::damerau_levenshtein(&lower, &candidate.to_lowercase()),
                candidate,
            )
        })
        .filter(|(distance, candidate)| *distance <= 1 + candidate.len().min(word.len()) / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Draws the mistakes of one text in the order in which they stand, each under its line.
///
/// `width` is the width of the terminal in columns; `colour` adds escape sequences for colour.
pub fn render(file: &str, text: &str, problems: &[Problem], width: usize, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    }
    .term_width(width);
    let mut ordered: Vec<&Problem> = problems.iter().collect();
    ordered.sort_by_key(|problem| problem.at.start);
    let mut out = String::new();
    for problem in ordered {
        let snippet = Snippet::source(text)
            .path(file)
            .annotation(AnnotationKind::Primary.span(visible_span(text, &problem.at)));
        let says = broken(&problem.says, width.saturating_sub(ERROR));
        let mut group = Level::ERROR.primary_title(says).element(snippet);
        if let Some(instead) = &problem.instead {
            let gutter = problem.line_and_column(text).0.to_string().len();
            group = group.element(Level::HELP.message(broken(instead, width.saturating_sub(gutter + HELP))));
        }
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    out
}

/// How wide `error: ` is, and ` = help: ` behind the number of a line.
const ERROR: usize = 7;
const HELP: usize = 9;

/// Breaks each line of a message that is wider than so many columns.
fn broken(message: &str, width: usize) -> String {
    let set = |line: &str| {
        if line.chars().count() > width {
            quantity::paragraph(line, width, "", 0).trim_end().to_string()
        } else {
            line.to_string()
        }
    };
    let lines: Vec<String> = message.lines().map(set).collect();
    lines.join("\n")
}

/// Trims a span to whole characters of the text, and to its first line so that a table shows its heading.
fn visible_span(text: &str, at: &Range<usize>) -> Range<usize> {
    let start = floor_char_boundary(text, at.start);
    let end = floor_char_boundary(text, at.end.max(at.start));
    let line_end = text[start..].find('\n').map_or(text.len(), |i| start + i);
    start..end.clamp(start, line_end.max(start))
}

fn floor_char_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
