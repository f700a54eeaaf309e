//! What is left of a rope's strength where it bends over something.
//!
//! Conventions: D is what it bends over, d the rope, metres; what is left is a share of the breaking strength.
//! Assumes: any bend counts in full, however small its angle ([bib:wrtb-bend]); rope at rest.
//! Valid for: D over d of 1 or more, and of no less than the first row of the table. Strand is refused.
//! Source: data/parts/tables.toml ([bib:bend-eff], the same in [bib:bend-eff2]); the worse row is our judgement.
//! Checked by: the tests below; tests/main/published.rs (each printed row), tests/main/laws.rs.

use crate::fit::size;
use crate::part::Rope;
use thiserror::Error;
use working::Number;

/// One printed row of a table of bends. It holds from its ratio up to that of the next row.
#[derive(Debug, Clone)]
pub struct BendRow {
    /// Diameter of what the rope bends over, over the diameter of the rope.
    pub ratio: f64,
    /// Share of the rope's breaking strength that is left.
    pub efficiency: Number,
}

/// Why nothing is said of a rope's strength at a bend.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BendRefusal {
    /// It is strand, which does not bend.
    #[error("{0} is strand, which does not bend over anything")]
    Strand(String),
    /// It bends over less than its own diameter.
    #[error("it bends over {over}, less than the rope's own diameter of {rope}")]
    TighterThanRope {
        /// What it bends over, printed.
        over: String,
        /// Its own diameter, printed.
        rope: String,
    },
    /// The table says nothing of a bend as tight as this.
    #[error("it bends over {ratio:.2} times its own diameter, and the table of bends starts at {least}")]
    BelowTable {
        /// D over d.
        ratio: f64,
        /// The first ratio of the table.
        least: f64,
    },
    /// It has no table of bends.
    #[error("there is no table of bends for it")]
    NoTable,
}

/// A diameter in inches divided by another comes out a few parts in 1e16 off a whole ratio.
const ROUNDING: f64 = 1e-9;

impl Rope {
    /// Gives the share of its strength that is left where it bends over a diameter, by the worse printed row.
    pub fn bend_efficiency(&self, over_m: &Number) -> Result<Number, BendRefusal> {
        if self.is_strand() {
            return Err(BendRefusal::Strand(self.construction.clone()));
        }
        let ratio = over_m.value() / self.diameter_m.value();
        let reaches = |printed: f64| ratio * (1.0 + ROUNDING) >= printed;
        if !reaches(1.0) {
            let (over, rope) = (size(over_m.value()), size(self.diameter_m.value()));
            return Err(BendRefusal::TighterThanRope { over, rope });
        }
        let first = self.bends.first().ok_or(BendRefusal::NoTable)?;
        let row = self.bends.iter().rev().find(|row| reaches(row.ratio));
        let row = row.ok_or(BendRefusal::BelowTable {
            ratio,
            least: first.ratio,
        })?;
        Ok(row.efficiency.clone().remark(format!(
            "D/d = {ratio:.3}: the row for {} holds; between printed rows the worse one does",
            row.ratio
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Kind;
    use std::sync::Arc;
    use working::Source;

    fn number(kind: Kind, si: f64) -> Number {
        Number::given("a figure", "x", kind, si, Source::stated("a test"))
    }

    fn rope(rows: &[(f64, f64)]) -> Rope {
        let row = |(ratio, left): &(f64, f64)| BendRow {
            ratio: *ratio,
            efficiency: number(Kind::Ratio, *left),
        };
        Rope {
            construction: "7x19".into(),
            core: None,
            material: "galvanised".into(),
            diameter_m: number(Kind::Length, 3.0 / 16.0 * 0.0254),
            stiffness_n: None,
            mass_kg_per_m: None,
            expansion_per_k: None,
            settling: None,
            coated: false,
            bends: rows.iter().map(row).collect::<Arc<[_]>>(),
            sheaves: None,
        }
    }

    fn at(rope: &Rope, ratio: f64) -> Result<f64, BendRefusal> {
        let over = number(Kind::Length, ratio * rope.diameter_m.value());
        rope.bend_efficiency(&over).map(|left| left.value())
    }

    #[test]
    fn between_rows_the_worse_row_holds_and_past_the_last_no_more_is_given() {
        let rope = rope(&[(1.0, 0.5), (2.0, 0.65), (4.0, 0.75)]);
        for (ratio, left) in [
            (1.0, 0.5),
            (1.999, 0.5),
            (2.0, 0.65),
            (3.0, 0.65),
            (4.0, 0.75),
            (99.0, 0.75),
        ] {
            assert_eq!(at(&rope, ratio), Ok(left), "D/d {ratio}");
        }
    }

    #[test]
    fn what_the_table_does_not_speak_of_is_refused_with_the_reason() {
        let full = rope(&[(1.0, 0.5)]);
        assert_eq!(
            at(&full, 2.0 / 3.0).unwrap_err().to_string(),
            "it bends over 1/8 in (3.17 mm), less than the rope's own diameter of 3/16 in (4.76 mm)"
        );
        assert!(at(&full, f64::NAN).is_err() && at(&full, -3.0).is_err());
        let late = rope(&[(5.0, 0.8)]);
        assert_eq!(
            at(&late, 4.0).unwrap_err().to_string(),
            "it bends over 4.00 times its own diameter, and the table of bends starts at 5"
        );
        assert_eq!(at(&rope(&[]), 10.0), Err(BendRefusal::NoTable));
        let strand = Rope {
            construction: "1x19".into(),
            ..full
        };
        assert_eq!(at(&strand, 40.0), Err(BendRefusal::Strand("1x19".into())));
    }
}
