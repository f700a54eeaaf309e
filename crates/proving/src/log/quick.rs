//! Rows of plain numbers, read in one pass: nearly all rows of nearly all logs.
//!
//! Conventions: as in `rows`, of which this is the quick way; what is anything but plain is left to it.
//! Assumes: one sign between columns, and time as a number.
//! Valid for: blanks, a sign, digits and one decimal sign, no more of them than a double holds exactly.
//! Source: definitions.
//! Checked by: the tests below, against `rows`; fuzz/fuzz_targets/log.rs.

use crate::log::dialect::Separator;
use crate::log::number::{EXACT_DIGITS, POWERS};
use crate::log::rows::{Piece, Plan, Timed};

/// What stands where, of time, force and travel.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Quick {
    sign: u8,
    decimal: u8,
    /// The columns that are read, the first first, and whether each is the time, the force or the travel.
    columns: [(usize, usize); 3],
    /// How many of these there are.
    count: usize,
    /// What one of each is.
    factors: [f64; 3],
}

impl Quick {
    /// None where rows are to be read in another way.
    pub(crate) fn of(plan: &Plan) -> Option<Quick> {
        let Separator::Sign(sign) = plan.dialect.separator else {
            return None;
        };
        let Timed::Number { column, factor } = plan.timed else {
            return None;
        };
        let (travel, travel_factor) = plan.travel.unwrap_or((usize::MAX, 0.0));
        let mut columns = [(column, 0), (plan.force.0, 1), (travel, 2)];
        columns.sort_unstable();
        let are_apart = columns[0].0 < columns[1].0 && columns[1].0 < columns[2].0;
        (plan.force_word.is_empty() && are_apart).then_some(Quick {
            sign,
            decimal: plan.dialect.writing.decimal,
            columns,
            count: if plan.travel.is_some() { 3 } else { 2 },
            factors: [factor, plan.force.1, travel_factor],
        })
    }

    /// Reads a row; false, and nothing is read, where it is not plain.
    #[inline]
    pub(crate) fn row(&self, piece: &mut Piece, line: &[u8]) -> bool {
        let mut values = [0.0; 3];
        let (mut at, mut column) = (0, 0);
        for (wanted, what) in &self.columns[..self.count] {
            while column < *wanted {
                let Some(ends) = self.passed(line, at) else {
                    return false;
                };
                (at, column) = (ends + 1, column + 1);
            }
            let Some((value, ends)) = self.value(line, at) else {
                return false;
            };
            values[*what] = value;
            // The next column begins after the sign, if there is one.
            (at, column) = (ends + 1, column + 1);
        }
        let [time, force, travel] = self.factors;
        piece.time_s.push(values[0] * time);
        piece.force_n.push((values[1] * force) as f32);
        if self.count == 3 {
            piece.travel_m.push((values[2] * travel) as f32);
        }
        true
    }

    /// Finds the sign after a field that is not read.
    fn passed(&self, line: &[u8], from: usize) -> Option<usize> {
        let rest = line.get(from..)?;
        let ends = rest.iter().position(|byte| *byte == self.sign || *byte == b'"')?;
        (rest[ends] == self.sign).then_some(from + ends)
    }

    /// Reads a number, and gives where it ends: at a sign, or with the line.
    #[inline]
    fn value(&self, line: &[u8], from: usize) -> Option<(f64, usize)> {
        let mut at = from;
        while line.get(at) == Some(&b' ') {
            at += 1;
        }
        let is_negative = line.get(at) == Some(&b'-');
        at += usize::from(is_negative);
        let (first, mut whole, mut part) = (at, 0_u64, usize::MAX);
        while let Some(byte) = line.get(at) {
            let digit = byte.wrapping_sub(b'0');
            if digit < 10 {
                whole = whole.wrapping_mul(10).wrapping_add(u64::from(digit));
            } else if *byte == self.sign {
                break;
            } else if *byte == self.decimal && part == usize::MAX {
                part = at + 1;
            } else {
                return None;
            }
            at += 1;
        }
        let signs = usize::from(part != usize::MAX);
        let digits = (at - first).checked_sub(signs)?;
        if digits == 0 || digits > EXACT_DIGITS {
            return None;
        }
        let value = if signs == 0 {
            whole as f64
        } else {
            whole as f64 / POWERS[at - part]
        };
        Some((if is_negative { -value } else { value }, at))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::dialect::Dialect;
    use crate::log::number::Writing;
    use crate::log::rows::slow_row;
    use proptest::prelude::*;

    fn plan(separator: u8, decimal: u8, columns: [usize; 3], has_travel: bool) -> Plan {
        let writing = Writing {
            decimal,
            groups: true,
        };
        Plan {
            dialect: Dialect {
                separator: Separator::Sign(separator),
                writing,
            },
            timed: Timed::Number {
                column: columns[0],
                factor: 0.001,
            },
            force: (columns[1], 4.448),
            force_word: String::new(),
            travel: has_travel.then_some((columns[2], 0.0254)),
        }
    }

    const FIELDS: [&str; 24] = [
        "",
        "1",
        "-2.5",
        " 3,25",
        "0.001",
        "0,125",
        "12e3",
        "\"4\"",
        "x",
        "7 kN",
        ".5",
        "5.",
        ",5",
        "-",
        "+3",
        "--1",
        "123456789012345",
        "1234567890123456",
        "1.2.3",
        "  -7",
        "42 ",
        "1'234",
        "0",
        "-0,0",
    ];

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        /// What the quick way reads the other reads as well, to the last bit.
        #[test]
        fn plain_rows_are_read_as_all_others(
            fields in prop::collection::vec(prop::sample::select(FIELDS.to_vec()), 0..6),
            columns in Just(vec![0_usize, 1, 2, 3]).prop_shuffle(),
            has_travel in any::<bool>(),
            is_comma in any::<bool>(),
        ) {
            let line = fields.join(";").into_bytes();
            let plan = plan(b';', if is_comma { b',' } else { b'.' }, [columns[0], columns[1], columns[2]], has_travel);
            let quick = Quick::of(&plan).unwrap();
            let (mut own, mut all) = (Piece::default(), Piece::default());
            if quick.row(&mut own, &line) {
                slow_row(&mut all, &line, &plan, &mut Vec::new());
                prop_assert_eq!(own.time_s, all.time_s);
                prop_assert_eq!(own.force_n, all.force_n);
                prop_assert_eq!(own.travel_m, all.travel_m);
            } else {
                prop_assert!(own.time_s.is_empty() && own.force_n.is_empty() && own.travel_m.is_empty());
            }
        }
    }

    #[test]
    fn plain_rows_are_read_quickly() {
        let plan = plan(b';', b',', [1, 3, 0], true);
        let quick = Quick::of(&plan).unwrap();
        let mut piece = Piece::default();
        for (line, is_read) in [
            (&b"1,5;250; no;-12,25;OK"[..], true),
            (b"1,5;250;;-12,25", true),
            (b"1,5;250;;-12,25 kN", false),
            (b"1,5;250", false),
            (b"1.5;250;;3", false),
            (b"1,5;;;3", false),
            (b"", false),
        ] {
            assert_eq!(
                quick.row(&mut piece, line),
                is_read,
                "{}",
                String::from_utf8_lossy(line)
            );
        }
        assert_eq!(piece.time_s, [0.25, 0.25]);
        assert_eq!(piece.force_n[0], (-12.25_f64 * 4.448) as f32);
        assert_eq!(piece.travel_m[0], (1.5_f64 * 0.0254) as f32);
    }
}
