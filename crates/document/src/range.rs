//! The sizes that a document may give each kind of quantity.
//!
//! A hang is made of things that people lift, so a figure outside of these bounds is a slip of the pen; and within
//! them no sum of the mechanics leaves the numbers that a computer holds.

use quantity::{Kind, Style};

/// What a quantity may be besides zero, by its size: the sign does not count. SI units.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Range {
    least: f64,
    most: f64,
    /// What the greatest is more than.
    why: &'static str,
}

const fn range(least: f64, most: f64, why: &'static str) -> Range {
    Range { least, most, why }
}

/// The greatest number of things of one sort.
pub(crate) const MOST_COUNT: u32 = 1_000_000;

/// Gives the range of a kind. Each is far wider than any hang: bounds are no rule of the trade, which practices state.
pub(crate) const fn of(kind: Kind) -> Range {
    match kind {
        Kind::Length | Kind::Stretch => range(1e-7, 1e4, "no building is 10 km high"),
        Kind::Force => range(1e-6, 1e9, "no crane lifts a quarter of it"),
        Kind::Mass => range(1e-7, 1e8, "it is the mass of a great ship"),
        Kind::MassPerLength => range(1e-7, 1e5, "it is that of a bar of steel 3 m thick"),
        Kind::AxialStiffness => range(1.0, 1e15, "it is the EA of a steel bar 80 m thick"),
        Kind::Stiffness => range(1e-3, 1e15, "it is the stiffness of rock"),
        Kind::Compliance => range(1e-15, 1e3, "nothing that holds a load gives so"),
        Kind::LinearForce => range(1e-6, 1e9, "no crane lifts a metre of it"),
        Kind::Angle => range(0.0, 100.0, "it is 16 turns"),
        Kind::Temperature => range(1.0, 5e3, "steel boils below it"),
        Kind::TemperatureDifference => range(0.0, 5e3, "steel boils below it"),
        Kind::Pressure => range(1e-3, 1e13, "it is more than the modulus of diamond"),
        Kind::Speed => range(0.0, 1e3, "sound is slower"),
        Kind::Inertia => range(1e-12, 1e16, "it is that of a great ship"),
        Kind::Torque => range(1e-9, 1e13, "no building bears it"),
        Kind::BendingStiffness => range(1e-9, 1e15, "it is the EI of a great bridge"),
        Kind::Area => range(1e-12, 1e8, "it is that of a town"),
        Kind::SectionModulus => range(1e-18, 1e6, "it is that of a tower"),
        Kind::SecondMoment => range(1e-24, 1e6, "it is that of a tower"),
        Kind::Expansion => range(0.0, 1e-1, "nothing solid expands so"),
        Kind::Ratio => range(0.0, 1e3, "it is a thousand times the whole"),
        Kind::Time => range(0.0, 1e10, "it is 300 years"),
        Kind::Frequency => range(0.0, 1e9, "nothing that hangs swings so fast"),
        Kind::Energy => range(0.0, 1e13, "no building bears it"),
        Kind::Acceleration => range(0.0, 1e4, "it is a thousand times gravity"),
        Kind::Density => range(1e-3, 1e5, "nothing is so dense"),
        Kind::Number => range(0.0, 1e6, "factors and directions are small numbers"),
    }
}

impl Range {
    pub(crate) fn holds(self, si: f64) -> bool {
        si == 0.0 || (self.least..=self.most).contains(&si.abs())
    }

    /// Says which side of the range a value is off.
    pub(crate) fn says(self, si: f64) -> String {
        if si.abs() > self.most {
            format!("is too large to be meant: {}", self.why)
        } else {
            "is too small to be meant".into()
        }
    }

    /// Says what a value that is off may be instead.
    pub(crate) fn allowed(self, kind: Kind, si: f64) -> String {
        let both = Style::both();
        if si.abs() > self.most {
            return format!("at most {} is allowed", kind.print(self.most, both));
        }
        // The step of lengths would print the least as none.
        let small = if kind == Kind::Length { Kind::Stretch } else { kind };
        format!("0, or at least {}, is allowed", small.print(self.least, both))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_holds_its_examples_and_zero() {
        for kind in Kind::ALL {
            let range = of(kind);
            assert!(range.holds(0.0) && range.least < range.most, "{kind:?}");
            for example in kind.examples() {
                let si = kind.parse_si(example).unwrap();
                assert!(range.holds(si) && range.holds(-si), "{kind:?} {example}");
            }
            assert!(!range.holds(1e200) && !range.holds(-1e200), "{kind:?}");
        }
    }
}
