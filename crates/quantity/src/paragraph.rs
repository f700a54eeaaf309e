//! Sets text in lines, which never end between a number and its unit.

/// Sets a paragraph in lines of `width` columns: the first begins with `first`, the others with `rest` spaces.
///
/// No line ends inside a quantity such as `12 ft 6-3/8 in`; a piece longer than a line has a line of its own.
pub fn paragraph(text: &str, width: usize, first: &str, rest: usize) -> String {
    let mut out = String::from(first);
    let mut used = first.chars().count();
    let mut fresh = true;
    for piece in pieces(text) {
        let length = piece.chars().count();
        if !fresh && used + 1 + length > width {
            out.push('\n');
            out.push_str(&" ".repeat(rest));
            used = rest;
            fresh = true;
        }
        if !fresh {
            out.push(' ');
            used += 1;
        }
        out.push_str(&piece);
        used += length;
        fresh = false;
    }
    out.push('\n');
    out
}

/// Splits a text where a line may end: between words, but not inside a quantity such as `12 ft 6-3/8 in`.
fn pieces(text: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    let mut before: Option<Word> = None;
    for word in text.split_whitespace() {
        let kind = Word::of(word, before);
        match pieces.last_mut() {
            Some(last) if before.is_some_and(|before| before.holds(kind)) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => pieces.push(word.to_string()),
        }
        before = Some(kind);
    }
    pieces
}

/// What a word is to the quantity it may stand in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Word {
    Number,
    Feet,
    Unit,
    SecondUnit,
    Other,
}

impl Word {
    fn of(word: &str, before: Option<Word>) -> Self {
        let bare = word.trim_start_matches(['(', '`', '"', '=', '~']);
        let digits = bare.strip_prefix('-').unwrap_or(bare);
        // What ends a sentence or a bracket ends the quantity as well.
        let is_number = digits.starts_with(|c: char| c.is_ascii_digit())
            && bare.chars().all(|c| c.is_ascii_digit() || "-/.,e+".contains(c))
            && !bare.ends_with([',', '.']);
        match before {
            Some(Word::Number) if bare == "ft" => Word::Feet,
            Some(Word::Number) if !is_number => Word::Unit,
            Some(Word::Unit | Word::Feet)
                if ["lb", "m", "m2", "in2", "ft2"]
                    .contains(&bare.trim_end_matches([',', '.', ')', ';', ':'])) =>
            {
                Word::SecondUnit
            }
            _ if is_number => Word::Number,
            _ => Word::Other,
        }
    }

    /// Tells whether a line may not end between this word and the next.
    fn holds(self, next: Word) -> bool {
        matches!(
            (self, next),
            (Word::Number, Word::Unit | Word::Feet | Word::SecondUnit)
                | (Word::Feet, Word::Number)
                | (Word::Unit | Word::Feet, Word::SecondUnit)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantity_is_one_piece() {
        let cases = [
            (
                "carries 520 lb (2.31 kN) here",
                vec!["carries", "520 lb", "(2.31 kN)", "here"],
            ),
            ("12 ft 6-3/8 in above", vec!["12 ft 6-3/8 in", "above"]),
            (
                "torque 25 ft lb, not 30",
                vec!["torque", "25 ft lb,", "not", "30"],
            ),
            ("it uses 63 % of it", vec!["it", "uses", "63 %", "of", "it"]),
            ("letter of 3 March", vec!["letter", "of", "3 March"]),
            ("-1.5 kN m up", vec!["-1.5 kN m", "up"]),
            (
                "rope-7x19-galv-3/16 decides",
                vec!["rope-7x19-galv-3/16", "decides"],
            ),
            ("12 ft. 3 in", vec!["12 ft.", "3 in"]),
        ];
        for (text, is) in cases {
            assert_eq!(pieces(text), is);
        }
    }

    #[test]
    fn lines_keep_to_the_width_and_no_word_is_lost() {
        let text = "The line northwest carries 52.5 lb (234 N) of the 399 lb (1.77 kN) that it may carry over people.";
        for width in 20..90 {
            let set = paragraph(text, width, "- ", 2);
            assert!(
                set.lines().all(|line| line.chars().count() <= width),
                "{width}:\n{set}"
            );
            assert!(
                !set.lines()
                    .any(|line| line.ends_with(|c: char| c.is_ascii_digit())),
                "{width}:\n{set}"
            );
            let words: Vec<&str> = set.split_whitespace().skip(1).collect();
            assert_eq!(words.join(" "), text);
        }
    }
}
