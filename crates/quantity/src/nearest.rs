//! Finds the unit that was probably meant.

use crate::kind::Kind;
use crate::unit;

/// Gives the accepted spelling that differs in case alone.
pub(crate) fn in_case(kind: Kind, spelling: &str) -> Option<&'static str> {
    spellings(kind).find(|known| known.eq_ignore_ascii_case(spelling))
}

/// Gives the accepted spelling with the fewest slips between, if that is less than half its letters.
pub(crate) fn in_spelling(kind: Kind, spelling: &str) -> Option<&'static str> {
    let letters: Vec<char> = spelling.chars().take(LONGEST + 1).collect();
    if letters.len() > LONGEST {
        return None;
    }
    spellings(kind)
        .map(|known| (slips(&letters, &known.chars().collect::<Vec<_>>()), known))
        .filter(|(count, known)| 2 * count < letters.len().max(known.len()))
        .min_by_key(|(count, _)| *count)
        .map(|(_, known)| known)
}

/// No unit is longer; a longer text is not a slip of the pen.
const LONGEST: usize = 24;

fn spellings(kind: Kind) -> impl Iterator<Item = &'static str> {
    unit::accepted(kind).flat_map(|unit| unit.spellings.iter().copied())
}

/// Counts the letters to add, drop, change or swap with their neighbour (optimal string alignment).
///
/// Source: L. Boytsov, "Indexing methods for approximate dictionary searching", ACM JEA 16 (2011), 1.1. From memory.
fn slips(a: &[char], b: &[char]) -> usize {
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            rows[i][j] = if i == 0 || j == 0 {
                i + j
            } else {
                let changed = usize::from(a[i - 1] != b[j - 1]);
                let mut least = (rows[i - 1][j] + 1)
                    .min(rows[i][j - 1] + 1)
                    .min(rows[i - 1][j - 1] + changed);
                if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                    least = least.min(rows[i - 2][j - 2] + 1);
                }
                least
            };
        }
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_slips() {
        let count = |a: &str, b: &str| slips(&a.chars().collect::<Vec<_>>(), &b.chars().collect::<Vec<_>>());
        assert_eq!(count("", "kip"), 3);
        assert_eq!(count("fet", "ft"), 1);
        assert_eq!(count("kpi", "kip"), 1);
        assert_eq!(count("poumd", "pounds"), 2);
    }

    #[test]
    fn suggests_only_what_is_near() {
        assert_eq!(in_spelling(Kind::Length, "fet"), Some("ft"));
        assert_eq!(in_spelling(Kind::Length, "x"), None);
        assert_eq!(in_case(Kind::Force, "mN"), Some("MN"));
    }
}
