//! How an answer is set.

use app::{Severity, Style, VerdictWord, paragraph};

/// How an answer is set: units, width, colour.
#[derive(Debug, Clone, Copy)]
pub struct Page {
    /// How quantities are printed.
    pub style: Style,
    /// The width, in columns.
    pub width: usize,
    /// Whether words may be coloured.
    pub colour: bool,
}

/// ANSI colours, as SGR parameters: bold red, bold yellow, bold green, bold.
const RED: &str = "1;31";
const YELLOW: &str = "1;33";
const GREEN: &str = "1;32";
const BOLD: &str = "1";

impl Page {
    /// Sets the word of a verdict.
    pub fn word(&self, word: VerdictWord) -> String {
        let colour = match word {
            VerdictWord::Stop => RED,
            VerdictWord::Caution => YELLOW,
            VerdictWord::Fit => GREEN,
        };
        self.painted(capitals(word), colour)
    }

    /// Sets the word of a severity.
    pub fn severity(&self, severity: Severity) -> String {
        match severity {
            Severity::Stop => self.painted("STOP", RED),
            Severity::Caution => self.painted("CAUTION", YELLOW),
            Severity::Note => "NOTE".into(),
        }
    }

    /// Sets a paragraph that begins with the word of a verdict.
    pub fn after_word(&self, word: VerdictWord, text: &str) -> String {
        after(capitals(word), &self.word(word), text, self.width)
    }

    /// Sets a paragraph that begins with the word of a severity.
    pub fn after_severity(&self, severity: Severity, text: &str) -> String {
        let plain = Page {
            colour: false,
            ..*self
        }
        .severity(severity);
        after(&plain, &self.severity(severity), text, self.width)
    }

    /// Sets a heading.
    pub fn heading(&self, text: &str) -> String {
        let set = paragraph(text, self.width, "", 0);
        format!("\n{}\n", self.painted(set.trim_end(), BOLD))
    }

    /// Sets a paragraph at an indent.
    pub fn paragraph(&self, text: &str, indent: usize) -> String {
        paragraph(text, self.width, &" ".repeat(indent), indent)
    }

    /// Sets a paragraph with a label before its first line.
    pub fn labelled(&self, label: &str, text: &str, indent: usize) -> String {
        paragraph(
            text,
            self.width,
            &format!("{}{label} ", " ".repeat(indent)),
            indent + 2,
        )
    }

    /// Sets a list of sentences.
    pub fn bullets(&self, sentences: &[String]) -> String {
        sentences
            .iter()
            .map(|sentence| paragraph(sentence, self.width, "- ", 2))
            .collect()
    }

    /// Sets the usual cautions, for the end of a page that carries none of its own.
    pub fn cautions(&self) -> String {
        self.first_cautions(usize::MAX)
    }

    /// Sets the first two of the usual cautions, who decides and what comes first, for the end of a page of reference,
    /// which judges nothing.
    pub fn short_cautions(&self) -> String {
        self.first_cautions(2)
    }

    fn first_cautions(&self, count: usize) -> String {
        let each = app::cautions().iter().take(count).map(ToString::to_string);
        self.heading("Cautions") + &self.bullets(&each.collect::<Vec<String>>())
    }

    fn painted(&self, text: &str, sgr: &str) -> String {
        if self.colour {
            format!("\u{1b}[{sgr}m{text}\u{1b}[0m")
        } else {
            text.to_string()
        }
    }
}

/// Sets a paragraph by the width of its plain first word, which then is painted.
fn after(plain: &str, painted: &str, text: &str, width: usize) -> String {
    paragraph(text, width, &format!("{plain}  "), plain.len() + 2).replacen(plain, painted, 1)
}

/// Gives the word of a verdict in capitals.
pub fn capitals(word: VerdictWord) -> &'static str {
    match word {
        VerdictWord::Fit => "FIT",
        VerdictWord::Caution => "CAUTION",
        VerdictWord::Stop => "STOP",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_colour_there_is_no_escape_and_with_it_the_words_are_the_same() {
        let plain = Page {
            style: Style::us(),
            width: 80,
            colour: false,
        };
        let painted = Page {
            colour: true,
            ..plain
        };
        for word in [VerdictWord::Fit, VerdictWord::Caution, VerdictWord::Stop] {
            assert_eq!(plain.word(word), capitals(word));
            assert!(painted.word(word).contains(capitals(word)) && painted.word(word).contains('\u{1b}'));
        }
    }
}
