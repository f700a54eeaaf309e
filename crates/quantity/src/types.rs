//! One type per kind, so that a force cannot stand where a length is due.

use std::str::FromStr;

use crate::definition::STANDARD_GRAVITY_M_PER_S2;
use crate::error::ParseError;
use crate::kind::Kind;
use crate::print::Style;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $kind:ident, $from:ident, $unit:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name {
            $unit: f64,
        }

        impl $name {
            /// Says which kind this is.
            pub const KIND: Kind = Kind::$kind;

            /// Makes one from its SI value.
            pub const fn $from($unit: f64) -> Self {
                Self { $unit }
            }

            /// Gives the SI value.
            pub const fn $unit(self) -> f64 {
                self.$unit
            }

            /// Prints it.
            pub fn show(self, style: Style) -> String {
                Self::KIND.print(self.$unit, style)
            }
        }

        impl FromStr for $name {
            type Err = ParseError;

            fn from_str(text: &str) -> Result<Self, ParseError> {
                Self::KIND.parse_si(text).map(Self::$from)
            }
        }
    };
}

quantity!(/// Length, held in m.
    Length, Length, from_m, m);
quantity!(/// Force, held in N.
    Force, Force, from_n, n);
quantity!(/// Mass, held in kg.
    Mass, Mass, from_kg, kg);
quantity!(/// Mass per length, held in kg/m.
    MassPerLength, MassPerLength, from_kg_per_m, kg_per_m);
quantity!(/// Angle, held in rad.
    Angle, Angle, from_rad, rad);
quantity!(/// Temperature on the absolute scale, held in K.
    Temperature, Temperature, from_k, k);
quantity!(/// Pressure, stress or modulus, held in Pa.
    Pressure, Pressure, from_pa, pa);
quantity!(/// Speed, held in m/s.
    Speed, Speed, from_m_per_s, m_per_s);
quantity!(/// Moment of inertia, held in kg m².
    Inertia, Inertia, from_kg_m2, kg_m2);
quantity!(/// Force per length of travel, held in N/m.
    Stiffness, Stiffness, from_n_per_m, n_per_m);
quantity!(/// Length of travel per force, held in m/N.
    Compliance, Compliance, from_m_per_n, m_per_n);
quantity!(/// Torque or bending moment, held in N m.
    Torque, Torque, from_n_m, n_m);
quantity!(/// Area, held in m².
    Area, Area, from_m2, m2);
quantity!(/// Strain per temperature difference, held in 1/K.
    Expansion, Expansion, from_per_k, per_k);
quantity!(/// Ratio, held as a fraction of one.
    Ratio, Ratio, from_fraction, fraction);

impl Mass {
    /// Gives the weight under standard gravity.
    pub const fn weight(self) -> Force {
        Force::from_n(self.kg * STANDARD_GRAVITY_M_PER_S2)
    }
}

impl Angle {
    /// Gives the angle in degrees.
    pub const fn deg(self) -> f64 {
        self.rad.to_degrees()
    }
}
