//! What is left of a rope's strength where it bends over something.
//!
//! Conventions: D is what it bends over, d the rope, both in metres; the efficiency is a share of the strength.
//! Assumes: steel rope at rest; the loss does not need a half turn, so any bend counts in full ([bib:wrtb-bend]).
//! Valid for: D over d of 1 or more; less is refused, not extrapolated. Strand is refused by a rule of its own.
//! Source: [bib:bend-eff], the same table in [bib:bend-eff2]; for 6x19 and 6x37, and by common practice for 7x7 and 7x19.
//! Checked by: the tests below against each printed row.

use quantity::Kind;
use working::{Number, Seen, Source};

/// Printed rows, D over d and percent left. A ratio between two rows takes the worse one; nothing is interpolated.
pub(crate) const TABLE: [(f64, f64); 10] = [
    (40.0, 95.0),
    (30.0, 93.0),
    (20.0, 91.0),
    (15.0, 89.0),
    (10.0, 86.0),
    (8.0, 83.0),
    (6.0, 79.0),
    (4.0, 75.0),
    (2.0, 65.0),
    (1.0, 50.0),
];

/// A diameter given in inches and divided by another comes out a few parts in 1e16 off a whole ratio.
const ROUNDING: f64 = 1e-9;

/// Gives the share of a rope's strength that is left where it bends over a diameter; the error says why there is none.
pub(crate) fn efficiency(over_m: &Number, rope_m: &Number) -> Result<Number, String> {
    let ratio = over_m.value() / rope_m.value();
    let row = TABLE
        .iter()
        .find(|(printed, _)| ratio * (1.0 + ROUNDING) >= *printed);
    let Some((printed, percent)) = row else {
        let (over, rope) = (crate::says::length(over_m), crate::says::length(rope_m));
        return Err(format!(
            "it bends over {over}, less than the rope's own diameter of {rope}"
        ));
    };
    let source = Source::cited("bend-eff", &format!("row D/d = {printed}"), Seen::Text);
    Ok(Number::given(
        "share of the strength left at the bend",
        "b",
        Kind::Ratio,
        percent / 100.0,
        source,
    )
    .remark(format!(
        "D/d = {ratio:.3}; between printed rows the worse one holds"
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(si: f64) -> Number {
        Number::given("diameter", "D", Kind::Length, si, Source::stated("test"))
    }

    /// Every printed row, [bib:bend-eff], read as text.
    #[test]
    fn each_printed_row_gives_its_printed_share() {
        for (ratio, percent) in TABLE {
            let left = efficiency(&length(ratio * 0.004_762_5), &length(0.004_762_5)).unwrap();
            assert_eq!(left.value(), percent / 100.0, "D/d {ratio}");
        }
    }

    #[test]
    fn between_rows_the_worse_row_holds() {
        let at = |ratio: f64| efficiency(&length(ratio), &length(1.0)).map(|left| left.value());
        assert_eq!(at(9.999), Ok(0.83));
        assert_eq!(at(1.5), Ok(0.50));
        assert_eq!(at(100.0), Ok(0.95));
        assert!(
            at(0.99)
                .unwrap_err()
                .contains("less than the rope's own diameter")
        );
    }

    #[test]
    fn no_bend_is_free_and_a_tighter_bend_never_leaves_more() {
        assert!(TABLE.iter().all(|(_, percent)| *percent < 100.0));
        assert!(
            TABLE
                .windows(2)
                .all(|pair| pair[0].0 > pair[1].0 && pair[0].1 > pair[1].1)
        );
    }
}
