//! Units as instruments write them, and their factors.
//!
//! Conventions: factors to N, m and s.
//! Assumes: a mass unit at a force stands for the weight of that mass under standard gravity, as on the dial of a load cell.
//! Valid for: spellings in the list; a bare `ton` is none, since three different ones are called so.
//! Source: factors of `quantity` (exact by definition of the pound, the inch and standard gravity).
//! Checked by: the tests below; check C30 (tests/published.rs).

use quantity::Kind;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Force.
    Force,
    /// Travel of the machine, or what the specimen lengthens.
    Travel,
    /// Time.
    Time,
}

/// A unit of a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// How it is written here.
    pub name: &'static str,
    /// What one of it is in N, m or s.
    pub factor: f64,
    /// What it measures.
    pub measure: Measure,
}

/// Name here, its name in `quantity`, how many of those, and what instruments write, in lower case.
type Spelled = (&'static str, &'static str, f64, &'static [&'static str]);

const FORCE: &[Spelled] = &[
    ("N", "N", 1.0, &["n", "newton", "newtons"]),
    ("daN", "daN", 1.0, &["dan", "decanewton", "decanewtons"]),
    ("kN", "kN", 1.0, &["kn", "kilonewton", "kilonewtons"]),
    ("MN", "MN", 1.0, &["mn", "meganewton", "meganewtons"]),
    (
        "lbf",
        "lbf",
        1.0,
        &[
            "lbf",
            "lb",
            "lbs",
            "pound",
            "pounds",
            "lbsf",
            "lb-f",
            "lb f",
            "pounds-force",
            "pound-force",
        ],
    ),
    ("kip", "kip", 1.0, &["kip", "kips", "klbf", "klb", "klbs", "kipf"]),
    (
        "kgf",
        "kgf",
        1.0,
        &[
            "kgf",
            "kg",
            "kp",
            "kilopond",
            "kilograms",
            "kilogram",
            "kg-f",
            "kg f",
            "kgs",
        ],
    ),
    (
        "tf",
        "kgf",
        1000.0,
        &[
            "t",
            "tf",
            "tonne",
            "tonnes",
            "t-f",
            "metric ton",
            "metric tons",
            "mp",
        ],
    ),
];
const TRAVEL: &[Spelled] = &[
    (
        "mm",
        "mm",
        1.0,
        &["mm", "millimeter", "millimeters", "millimetre", "millimetres"],
    ),
    (
        "cm",
        "cm",
        1.0,
        &["cm", "centimeter", "centimeters", "centimetre", "centimetres"],
    ),
    ("m", "m", 1.0, &["m", "meter", "meters", "metre", "metres"]),
    ("in", "in", 1.0, &["in", "inch", "inches", "\"", "ins", "in."]),
    ("ft", "ft", 1.0, &["ft", "foot", "feet"]),
    ("um", "mm", 0.001, &["um", "µm", "μm", "micron", "microns"]),
];
/// Seconds are seconds everywhere.
const TIME: &[(&str, f64, &[&str])] = &[
    (
        "s",
        1.0,
        &[
            "s", "sec", "secs", "second", "seconds", "sek", "sekunden", "seg", "segundos", "secondes",
        ],
    ),
    (
        "ms",
        1e-3,
        &["ms", "msec", "millisecond", "milliseconds", "millisekunden"],
    ),
    ("us", 1e-6, &["us", "µs", "μs", "usec", "microseconds"]),
    ("min", 60.0, &["min", "mins", "minute", "minutes", "minuten"]),
    ("h", 3600.0, &["h", "hr", "hrs", "hour", "hours"]),
];

impl Unit {
    /// Reads a unit of a measure; none for what is none, or says too little.
    #[must_use]
    pub fn read(text: &str, measure: Measure) -> Option<Unit> {
        let text = text
            .trim()
            .trim_matches(['[', ']', '(', ')', '{', '}', '<', '>'])
            .trim();
        let lower = text.to_lowercase();
        let (list, kind) = match measure {
            Measure::Force => (FORCE, Kind::Force),
            Measure::Travel => (TRAVEL, Kind::Length),
            Measure::Time => {
                let (name, factor, _) = TIME
                    .iter()
                    .find(|(_, _, spelled)| spelled.contains(&lower.as_str()))?;
                return Some(Unit {
                    name,
                    factor: *factor,
                    measure,
                });
            }
        };
        // A small m before N is a thousandth, and of no use at a pull test: not taken for millions.
        // A large T may be a ton of one kind or another.
        if text.starts_with('m') && lower == "mn" || text == "T" {
            return None;
        }
        let (name, in_quantity, many, _) = list
            .iter()
            .find(|(_, _, _, spelled)| spelled.contains(&lower.as_str()))?;
        let one = kind.parse_si(&format!("1 {in_quantity}")).ok()?;
        Some(Unit {
            name,
            factor: many * one,
            measure,
        })
    }

    /// Reads a unit of any measure that is asked for, the first that fits.
    #[must_use]
    pub fn any(text: &str, measures: &[Measure]) -> Option<Unit> {
        measures.iter().find_map(|measure| Unit::read(text, *measure))
    }

    /// Lists the names of units of time, for people who are asked for one.
    #[must_use]
    pub fn times() -> Vec<&'static str> {
        TIME.iter().map(|(name, ..)| *name).collect()
    }

    /// Lists the names of units of force, for people who are asked for one.
    #[must_use]
    pub fn forces() -> Vec<&'static str> {
        FORCE.iter().map(|(name, ..)| *name).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn factor(text: &str) -> Option<f64> {
        Unit::read(text, Measure::Force).map(|unit| unit.factor)
    }

    #[test]
    fn units_are_read_as_instruments_write_them() {
        assert_eq!(factor("[kN]"), Some(1000.0));
        assert_eq!(factor("(LBF)"), factor("lb"));
        assert_eq!(factor("kg"), Some(9.80665));
        assert_eq!(factor("t"), Some(9806.65));
        assert_eq!(factor("daN"), Some(10.0));
        // Three different ones are called so; and a thousandth of a newton is none at a pull test.
        assert_eq!(factor("ton"), None);
        assert_eq!(factor("tons"), None);
        assert_eq!(factor("mN"), None);
        assert_eq!(factor("T"), None);
        assert_eq!(factor("MN"), Some(1e6));
        assert_eq!(
            Unit::read("in", Measure::Travel).map(|unit| unit.factor),
            Some(0.0254)
        );
    }
}
