//! What each kind of quantity is called, how it is written and what its dimension is.

use crate::error::ParseError;
use crate::print::{self, Style};
use crate::read;

/// Says which physical quantity a number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Length in m.
    Length,
    /// Force in N; a mass is read as its weight under standard gravity.
    Force,
    /// Mass in kg.
    Mass,
    /// Mass per length in kg/m.
    MassPerLength,
    /// Angle in rad.
    Angle,
    /// Temperature on the absolute scale, in K.
    Temperature,
    /// Pressure, stress or modulus in Pa.
    Pressure,
    /// Speed in m/s.
    Speed,
    /// Moment of inertia in kg m².
    Inertia,
    /// Force per length of travel in N/m.
    Stiffness,
    /// Length of travel per force in m/N.
    Compliance,
    /// Torque or bending moment in N m.
    Torque,
    /// Area in m².
    Area,
    /// Strain per temperature difference in 1/K.
    Expansion,
    /// Ratio as a fraction of one; the only kind with a unit that may also be bare.
    Ratio,
    /// Difference of two temperatures in K.
    TemperatureDifference,
    /// Bending or torsional stiffness (EI, GJ) in N m².
    BendingStiffness,
    /// Force spread over a length in N/m; a mass per length is read as its weight.
    LinearForce,
    /// Time in s.
    Time,
    /// Frequency in Hz.
    Frequency,
    /// Energy or work in J.
    Energy,
    /// Acceleration in m/s².
    Acceleration,
    /// Density in kg/m³.
    Density,
    /// Second moment of area in m⁴.
    SecondMoment,
    /// Section modulus in m³.
    SectionModulus,
    /// Small length such as a stretch or a sag in m; printed with decimals instead of fractions of an inch.
    Stretch,
    /// Axial stiffness of a line (EA, modulus times metal area) in N.
    AxialStiffness,
    /// Plain number, without unit.
    Number,
}

/// What there is to say about one kind.
struct About {
    name: &'static str,
    examples: [&'static str; 2],
    si_suffix: &'static str,
    dimension: [i8; 4],
}

const fn about(
    name: &'static str,
    examples: [&'static str; 2],
    si_suffix: &'static str,
    dimension: [i8; 4],
) -> About {
    About {
        name,
        examples,
        si_suffix,
        dimension,
    }
}

impl Kind {
    /// Lists every kind. Where a unit belongs to several, the first one here is named in errors.
    pub const ALL: [Self; 28] = [
        Self::Length,
        Self::Force,
        Self::Mass,
        Self::MassPerLength,
        Self::Angle,
        Self::Temperature,
        Self::Pressure,
        Self::Speed,
        Self::Inertia,
        Self::Stiffness,
        Self::Compliance,
        Self::Torque,
        Self::Area,
        Self::Expansion,
        Self::Ratio,
        Self::TemperatureDifference,
        Self::BendingStiffness,
        Self::LinearForce,
        Self::Time,
        Self::Frequency,
        Self::Energy,
        Self::Acceleration,
        Self::Density,
        Self::SecondMoment,
        Self::SectionModulus,
        Self::Stretch,
        Self::AxialStiffness,
        Self::Number,
    ];

    const fn about(self) -> About {
        match self {
            Self::Length => about("length", ["12 ft 6-3/8 in", "3.81 m"], "m", [1, 0, 0, 0]),
            Self::Force => about("force", ["520 lb", "2.2 kN"], "n", [1, 1, -2, 0]),
            Self::Mass => about("mass", ["520 lb", "236 kg"], "kg", [0, 1, 0, 0]),
            Self::MassPerLength => about(
                "mass per length",
                ["6.5 lb/100ft", "0.2 kg/m"],
                "kg_per_m",
                [-1, 1, 0, 0],
            ),
            Self::Angle => about("angle", ["30 deg", "0.5 rad"], "rad", [0, 0, 0, 0]),
            Self::Temperature => about("temperature", ["95 degF", "35 degC"], "k", [0, 0, 0, 1]),
            Self::Pressure => about("pressure", ["29 Mpsi", "200 GPa"], "pa", [-1, 1, -2, 0]),
            Self::Speed => about("speed", ["20 mph", "9 m/s"], "m_per_s", [1, 0, -1, 0]),
            Self::Inertia => about("inertia", ["275 lb ft2", "11.6 kg m2"], "kg_m2", [2, 1, 0, 0]),
            Self::Stiffness => about("stiffness", ["500 lb/in", "90 kN/m"], "n_per_m", [0, 1, -2, 0]),
            Self::Compliance => about("compliance", ["0.35 in/kip", "2 mm/kN"], "m_per_n", [0, -1, 2, 0]),
            Self::Torque => about("torque", ["7.5 ft lb", "10 N m"], "n_m", [2, 1, -2, 0]),
            Self::Area => about("area", ["0.8 in2", "520 mm2"], "m2", [2, 0, 0, 0]),
            Self::Expansion => about("expansion", ["6.5e-6 /degF", "12e-6 /K"], "per_k", [0, 0, 0, -1]),
            Self::Ratio => about("ratio", ["10 %", "0.1"], "fraction", [0, 0, 0, 0]),
            Self::TemperatureDifference => {
                about("temperature difference", ["36 degF", "20 K"], "k", [0, 0, 0, 1])
            }
            Self::BendingStiffness => about(
                "bending stiffness",
                ["1e7 lb in2", "28.9 kN m2"],
                "n_m2",
                [3, 1, -2, 0],
            ),
            Self::LinearForce => about(
                "force per length",
                ["2.7 lb/ft", "40 N/m"],
                "n_per_m",
                [0, 1, -2, 0],
            ),
            Self::Time => about("time", ["1.5 s", "2 min"], "s", [0, 0, 1, 0]),
            Self::Frequency => about("frequency", ["1.5 Hz", "2 kHz"], "hz", [0, 0, -1, 0]),
            Self::Energy => about("energy", ["40 ft lb", "54 J"], "j", [2, 1, -2, 0]),
            Self::Acceleration => about("acceleration", ["0.1 g", "1 m/s2"], "m_per_s2", [1, 0, -2, 0]),
            Self::Density => about(
                "density",
                ["490 lb/ft3", "7850 kg/m3"],
                "kg_per_m3",
                [-3, 1, 0, 0],
            ),
            Self::SecondMoment => about(
                "second moment of area",
                ["0.31 in4", "129000 mm4"],
                "m4",
                [4, 0, 0, 0],
            ),
            Self::SectionModulus => about("section modulus", ["0.33 in3", "5350 mm3"], "m3", [3, 0, 0, 0]),
            Self::Stretch => about("stretch", ["0.025 in", "0.6 mm"], "m", [1, 0, 0, 0]),
            Self::AxialStiffness => about("axial stiffness", ["270 kip", "1.2 MN"], "n", [1, 1, -2, 0]),
            Self::Number => about("bare number", ["4", "0.25"], "", [0, 0, 0, 0]),
        }
    }

    /// Names the kind in plain words, such as "length".
    pub const fn name(self) -> &'static str {
        self.about().name
    }

    /// Shows how the kind is written, in US units where there are such.
    pub const fn example(self) -> &'static str {
        self.about().examples[0]
    }

    /// Shows how the kind is written in US and in SI units.
    pub const fn examples(self) -> [&'static str; 2] {
        self.about().examples
    }

    /// Ends the name of a JSON key or a field that holds the SI value, such as "m" or "kg_per_m".
    ///
    /// Empty for [`Kind::Number`].
    pub const fn si_suffix(self) -> &'static str {
        self.about().si_suffix
    }

    /// Gives the exponents of metre, kilogram, second and kelvin.
    pub const fn dimension(self) -> [i8; 4] {
        self.about().dimension
    }

    /// Reads text as this kind and gives the SI value.
    pub fn parse_si(self, text: &str) -> Result<f64, ParseError> {
        read::quantity(self, text)
    }

    /// Prints an SI value of this kind.
    ///
    /// What is printed in one system of units parses back to the printed value.
    pub fn print(self, si_value: f64, style: Style) -> String {
        print::quantity(self, si_value, style)
    }

    /// Names the kind with its article, such as "an angle".
    pub(crate) fn with_article(self) -> String {
        let name = self.name();
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        format!("{article} {name}")
    }
}
