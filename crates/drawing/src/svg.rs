//! The little of SVG that figures need.
//!
//! Conventions: pixels, y down; coordinates with two decimals.
//! Source: SVG 1.1 (W3C Recommendation, from memory).
//! Checked by: the tests of `figure`.

use std::fmt::Write as _;

/// Which side of its place a text is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A drawing that grows.
pub(crate) struct Sheet {
    body: String,
    width: f64,
    height: f64,
}

impl Sheet {
    pub(crate) fn new(width: f64, height: f64) -> Self {
        Sheet {
            body: String::new(),
            width,
            height,
        }
    }

    /// Draws through places.
    pub(crate) fn path(&mut self, places: &[[f64; 2]], class: &str) {
        let Some(([x, y], rest)) = places.split_first() else {
            return;
        };
        let mut d = format!("M{x:.2} {y:.2}");
        for [x, y] in rest {
            let _ = write!(d, "L{x:.2} {y:.2}");
        }
        let _ = writeln!(self.body, "<path class=\"{class}\" d=\"{d}\"/>");
    }

    pub(crate) fn circle(&mut self, [x, y]: [f64; 2], radius: f64, class: &str) {
        let _ = writeln!(
            self.body,
            "<circle class=\"{class}\" cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius:.2}\"/>"
        );
    }

    pub(crate) fn rectangle(&mut self, [x, y]: [f64; 2], [width, height]: [f64; 2], class: &str) {
        let _ = writeln!(
            self.body,
            "<rect class=\"{class}\" x=\"{x:.2}\" y=\"{y:.2}\" width=\"{width:.2}\" height=\"{height:.2}\"/>"
        );
    }

    pub(crate) fn text(&mut self, [x, y]: [f64; 2], anchor: Anchor, class: &str, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let _ = writeln!(
            self.body,
            "<text class=\"{class}\" x=\"{x:.2}\" y=\"{y:.2}\" text-anchor=\"{anchor}\">{}</text>",
            escaped(text)
        );
    }

    /// Writes a text that reads upward.
    pub(crate) fn text_up(&mut self, [x, y]: [f64; 2], class: &str, text: &str) {
        let _ = writeln!(
            self.body,
            "<text class=\"{class}\" transform=\"translate({x:.2} {y:.2}) rotate(-90)\" text-anchor=\"middle\">{}</text>",
            escaped(text)
        );
    }

    /// Puts a title and a style around it.
    pub(crate) fn finish(self, title: &str, style: &str) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{w:.0}\" height=\"{h:.0}\" viewBox=\"0 0 {w:.0} {h:.0}\">\n\
             <title>{}</title>\n<style>{style}</style>\n<rect class=\"sheet\" width=\"{w:.0}\" height=\"{h:.0}\"/>\n{}</svg>\n",
            escaped(title),
            self.body,
            w = self.width,
            h = self.height,
        )
    }
}

/// Writes a text so that nothing in it is read as markup; what XML has no place for is left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{fffe}' | '\u{ffff}' => {}
            letter if letter.is_control() => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_is_read_as_markup() {
        assert_eq!(escaped("<a & \"b\">\u{7}"), "&lt;a &amp; &quot;b&quot;&gt; ");
    }
}
