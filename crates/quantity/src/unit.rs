//! The table of units: how each is spelled, and what it is in SI.
//!
//! Source: the definitions in [`crate::definition`]; every factor is checked against the crate `uom` below.
//!
//! Spellings are in the folded form that [`crate::read`] makes: `kg m2` stands for `kg·m²`, `ft lb` for
//! `ft-lb`, `lb/100ft` for `lb / 100 ft`, `degC` for `°C`.

use crate::definition::{
    CELSIUS_ZERO, DEGREE_RAD, FAHRENHEIT_K, FAHRENHEIT_ZERO, FOOT_M, HOUR_S, INCH_M, KIP_N, KNOT_M_PER_S,
    LONG_TON_KG, MILE_M, OUNCE_KG, POUND_FORCE_N, POUND_KG, PSF_PA, PSI_PA, SHORT_TON_KG,
    STANDARD_GRAVITY_M_PER_S2, TONNE_KG, YARD_M,
};
use crate::kind::Kind;

/// One unit of one kind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Unit {
    /// The first spelling is the one that messages use.
    pub spellings: &'static [&'static str],
    /// SI value of one unit.
    pub si: f64,
    /// Added to a reading before it is scaled; only the two relative temperature scales have one.
    offset: f64,
    /// Whether upper and lower case mean the same.
    any_case: bool,
}

impl Unit {
    pub fn to_si(self, reading: f64) -> f64 {
        (reading + self.offset) * self.si
    }

    pub fn is_spelled(self, text: &str) -> bool {
        self.spellings
            .iter()
            .any(|s| *s == text || (self.any_case && s.eq_ignore_ascii_case(text)))
    }
}

/// A unit whose symbol changes its meaning with its case.
const fn exact(spellings: &'static [&'static str], si: f64) -> Unit {
    Unit {
        spellings,
        si,
        offset: 0.0,
        any_case: false,
    }
}

/// A unit that is read in any case.
const fn plain(spellings: &'static [&'static str], si: f64) -> Unit {
    Unit {
        spellings,
        si,
        offset: 0.0,
        any_case: true,
    }
}

const fn degrees(spellings: &'static [&'static str], si: f64, offset: f64) -> Unit {
    Unit {
        spellings,
        si,
        offset,
        any_case: false,
    }
}

pub(crate) const FOOT: Unit = plain(&["ft", "foot", "feet", "'"], FOOT_M);
pub(crate) const INCH: Unit = plain(&["in", "inch", "inches", "\""], INCH_M);

const LENGTH: &[Unit] = &[
    FOOT,
    INCH,
    plain(&["yd", "yard", "yards"], YARD_M),
    exact(&["m", "metre", "metres", "meter", "meters"], 1.0),
    exact(&["cm"], 0.01),
    exact(&["mm"], 0.001),
    exact(&["km"], 1000.0),
];
const FORCE: &[Unit] = &[
    plain(&["lb", "lbs", "lbf", "pound", "pounds"], POUND_FORCE_N),
    plain(&["kip", "kips"], KIP_N),
    exact(&["N", "newton", "newtons"], 1.0),
    exact(&["daN"], 10.0),
    exact(&["kN"], 1e3),
    exact(&["MN"], 1e6),
    exact(&["kgf"], STANDARD_GRAVITY_M_PER_S2),
];
const MASS: &[Unit] = &[
    plain(&["lb", "lbs", "pound", "pounds"], POUND_KG),
    plain(&["oz", "ounce", "ounces"], OUNCE_KG),
    plain(&["short ton", "short tons"], SHORT_TON_KG),
    plain(&["long ton", "long tons"], LONG_TON_KG),
    exact(&["kg", "kilogram", "kilograms"], 1.0),
    exact(&["g", "gram", "grams"], 0.001),
    exact(&["tonne", "tonnes", "t", "metric ton", "metric tons"], TONNE_KG),
];
const MASS_PER_LENGTH: &[Unit] = &[
    plain(&["lb/ft"], POUND_KG / FOOT_M),
    plain(&["lb/100ft"], POUND_KG / (100.0 * FOOT_M)),
    plain(&["lb/in"], POUND_KG / INCH_M),
    exact(&["kg/m"], 1.0),
    exact(&["kg/100m"], 0.01),
    exact(&["g/m"], 0.001),
];
const ANGLE: &[Unit] = &[
    plain(&["deg", "degree", "degrees"], DEGREE_RAD),
    exact(&["rad"], 1.0),
    exact(&["mrad"], 0.001),
];
const TEMPERATURE: &[Unit] = &[
    degrees(&["degF", "F"], FAHRENHEIT_K, FAHRENHEIT_ZERO),
    degrees(&["degC", "C"], 1.0, CELSIUS_ZERO),
    exact(&["K"], 1.0),
];
const TEMPERATURE_DIFFERENCE: &[Unit] = &[
    exact(&["degF", "F"], FAHRENHEIT_K),
    exact(&["degC", "C"], 1.0),
    exact(&["K"], 1.0),
];
const PRESSURE: &[Unit] = &[
    plain(&["psi", "lb/in2"], PSI_PA),
    plain(&["ksi"], 1e3 * PSI_PA),
    exact(&["Mpsi"], 1e6 * PSI_PA),
    plain(&["psf", "lb/ft2"], PSF_PA),
    exact(&["Pa", "N/m2"], 1.0),
    exact(&["kPa", "kN/m2"], 1e3),
    exact(&["MPa", "N/mm2"], 1e6),
    exact(&["GPa", "kN/mm2"], 1e9),
];
const SPEED: &[Unit] = &[
    plain(&["mph"], MILE_M / HOUR_S),
    plain(&["ft/s"], FOOT_M),
    exact(&["m/s"], 1.0),
    exact(&["km/h"], 1000.0 / HOUR_S),
    exact(&["kn", "knot", "knots"], KNOT_M_PER_S),
];
const INERTIA: &[Unit] = &[
    plain(&["lb ft2", "lbft2"], POUND_KG * FOOT_M * FOOT_M),
    plain(&["lb in2", "lbin2"], POUND_KG * INCH_M * INCH_M),
    exact(&["kg m2", "kgm2"], 1.0),
];
const STIFFNESS: &[Unit] = &[
    plain(&["lb/in", "lbf/in"], POUND_FORCE_N / INCH_M),
    plain(&["lb/ft", "lbf/ft"], POUND_FORCE_N / FOOT_M),
    plain(&["kip/in"], KIP_N / INCH_M),
    exact(&["N/m"], 1.0),
    exact(&["kN/m"], 1e3),
    exact(&["MN/m"], 1e6),
    exact(&["N/mm"], 1e3),
    exact(&["kN/mm"], 1e6),
];
const COMPLIANCE: &[Unit] = &[
    plain(&["in/kip"], INCH_M / KIP_N),
    plain(&["in/lb", "in/lbf"], INCH_M / POUND_FORCE_N),
    exact(&["mm/kN"], 1e-6),
    exact(&["mm/N"], 1e-3),
    exact(&["m/N"], 1.0),
    exact(&["m/kN"], 1e-3),
];
const TORQUE: &[Unit] = &[
    plain(
        &["ft lb", "ftlb", "lb ft", "ft lbf", "lbf ft"],
        FOOT_M * POUND_FORCE_N,
    ),
    plain(
        &["in lb", "inlb", "lb in", "in lbf", "lbf in"],
        INCH_M * POUND_FORCE_N,
    ),
    plain(&["ft kip", "kip ft"], FOOT_M * KIP_N),
    exact(&["N m", "Nm"], 1.0),
    exact(&["kN m", "kNm"], 1e3),
];
const AREA: &[Unit] = &[
    plain(&["in2", "sq in"], INCH_M * INCH_M),
    plain(&["ft2", "sq ft"], FOOT_M * FOOT_M),
    exact(&["mm2"], 1e-6),
    exact(&["cm2"], 1e-4),
    exact(&["m2"], 1.0),
];
const EXPANSION: &[Unit] = &[
    exact(&["/degF"], 1.0 / FAHRENHEIT_K),
    exact(&["/K"], 1.0),
    exact(&["/degC"], 1.0),
];
const RATIO: &[Unit] = &[plain(&["%", "percent"], 0.01)];
const BENDING_STIFFNESS: &[Unit] = &[
    plain(&["lb in2", "lbf in2"], POUND_FORCE_N * INCH_M * INCH_M),
    plain(&["lb ft2", "lbf ft2"], POUND_FORCE_N * FOOT_M * FOOT_M),
    plain(&["kip in2"], KIP_N * INCH_M * INCH_M),
    exact(&["N m2", "Nm2"], 1.0),
    exact(&["kN m2", "kNm2"], 1e3),
    exact(&["N mm2"], 1e-6),
];
const LINEAR_FORCE: &[Unit] = &[
    plain(&["lb/ft", "lbf/ft", "plf"], POUND_FORCE_N / FOOT_M),
    plain(&["lb/in", "lbf/in"], POUND_FORCE_N / INCH_M),
    exact(&["N/m"], 1.0),
    exact(&["kN/m"], 1e3),
    exact(&["N/mm"], 1e3),
];
const TIME: &[Unit] = &[
    exact(&["s", "second", "seconds"], 1.0),
    exact(&["ms"], 0.001),
    exact(&["min", "minute", "minutes"], 60.0),
    exact(&["h", "hour", "hours"], HOUR_S),
];
const FREQUENCY: &[Unit] = &[exact(&["Hz", "/s"], 1.0), exact(&["kHz"], 1e3)];
const ENERGY: &[Unit] = &[
    plain(&["ft lb", "ftlb", "ft lbf"], FOOT_M * POUND_FORCE_N),
    exact(&["J", "N m", "Nm"], 1.0),
    exact(&["kJ", "kN m", "kNm"], 1e3),
];
const ACCELERATION: &[Unit] = &[
    exact(&["g"], STANDARD_GRAVITY_M_PER_S2),
    plain(&["ft/s2"], FOOT_M),
    exact(&["m/s2"], 1.0),
];
const DENSITY: &[Unit] = &[
    plain(&["lb/ft3"], POUND_KG / (FOOT_M * FOOT_M * FOOT_M)),
    exact(&["kg/m3"], 1.0),
];
const SECOND_MOMENT: &[Unit] = &[
    plain(&["in4"], INCH_M * INCH_M * INCH_M * INCH_M),
    exact(&["mm4"], 1e-12),
    exact(&["cm4"], 1e-8),
    exact(&["m4"], 1.0),
];
const SECTION_MODULUS: &[Unit] = &[
    plain(&["in3"], INCH_M * INCH_M * INCH_M),
    exact(&["mm3"], 1e-9),
    exact(&["cm3"], 1e-6),
    exact(&["m3"], 1.0),
];

/// Gives the units that belong to the kind itself.
pub(crate) const fn own(kind: Kind) -> &'static [Unit] {
    match kind {
        Kind::Length | Kind::Stretch => LENGTH,
        Kind::Force | Kind::AxialStiffness => FORCE,
        Kind::Mass => MASS,
        Kind::MassPerLength => MASS_PER_LENGTH,
        Kind::Angle => ANGLE,
        Kind::Temperature => TEMPERATURE,
        Kind::Pressure => PRESSURE,
        Kind::Speed => SPEED,
        Kind::Inertia => INERTIA,
        Kind::Stiffness => STIFFNESS,
        Kind::Compliance => COMPLIANCE,
        Kind::Torque => TORQUE,
        Kind::Area => AREA,
        Kind::Expansion => EXPANSION,
        Kind::Ratio => RATIO,
        Kind::TemperatureDifference => TEMPERATURE_DIFFERENCE,
        Kind::BendingStiffness => BENDING_STIFFNESS,
        Kind::LinearForce => LINEAR_FORCE,
        Kind::Time => TIME,
        Kind::Frequency => FREQUENCY,
        Kind::Energy => ENERGY,
        Kind::Acceleration => ACCELERATION,
        Kind::Density => DENSITY,
        Kind::SecondMoment => SECOND_MOMENT,
        Kind::SectionModulus => SECTION_MODULUS,
        Kind::Number => &[],
    }
}

/// Gives every unit a kind may be written in: its own, and for forces those of the mass that weighs so much.
pub(crate) fn accepted(kind: Kind) -> impl Iterator<Item = Unit> {
    let weighed = match kind {
        Kind::Force => own(Kind::Mass),
        Kind::LinearForce => own(Kind::MassPerLength),
        _ => &[],
    };
    let as_weight = |unit: &Unit| Unit {
        si: unit.si * STANDARD_GRAVITY_M_PER_S2,
        ..*unit
    };
    own(kind).iter().copied().chain(weighed.iter().map(as_weight))
}

/// Finds the unit of a kind by its folded spelling.
pub(crate) fn find(kind: Kind, spelling: &str) -> Option<Unit> {
    accepted(kind).find(|unit| unit.is_spelled(spelling))
}

/// Finds the kind, other than the one that is due, to which a spelling belongs.
pub(crate) fn belongs_to(spelling: &str) -> Option<Kind> {
    Kind::ALL
        .into_iter()
        .find(|kind| own(*kind).iter().any(|unit| unit.is_spelled(spelling)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::f64 as uom_f64;
    use uom::si::temperature_interval as interval;
    use uom::si::{
        acceleration, angle, energy, force, frequency, length, mass, pressure, ratio, time, velocity,
    };

    /// uom gives the pound and the pound-force with 7 figures.
    const UOM_FIGURES: f64 = 2e-7;

    macro_rules! si {
        ($quantity:ident, $module:ident, $unit:ident) => {
            uom_f64::$quantity::new::<$module::$unit>(1.0).value
        };
    }

    fn symbol(kind: Kind, symbol: &str) -> f64 {
        let is_mass = matches!(
            kind,
            Kind::Mass | Kind::MassPerLength | Kind::Inertia | Kind::Density
        );
        match symbol {
            "lb" if is_mass => si!(Mass, mass, pound),
            "lb" => si!(Force, force, pound_force),
            "oz" => si!(Mass, mass, ounce),
            "short ton" => si!(Mass, mass, ton_short),
            "long ton" => si!(Mass, mass, ton_long),
            "tonne" => si!(Mass, mass, ton),
            "kg" => si!(Mass, mass, kilogram),
            "g" if kind == Kind::Acceleration => si!(Acceleration, acceleration, standard_gravity),
            "g" => si!(Mass, mass, gram),
            "kip" => si!(Force, force, kip),
            "kgf" => si!(Force, force, kilogram_force),
            "N" => si!(Force, force, newton),
            "daN" => si!(Force, force, decanewton),
            "kN" => si!(Force, force, kilonewton),
            "MN" => si!(Force, force, meganewton),
            "in" => si!(Length, length, inch),
            "ft" => si!(Length, length, foot),
            "yd" => si!(Length, length, yard),
            "m" => si!(Length, length, meter),
            "cm" => si!(Length, length, centimeter),
            "mm" => si!(Length, length, millimeter),
            "km" => si!(Length, length, kilometer),
            "psi" => si!(Pressure, pressure, psi),
            "ksi" => si!(Pressure, pressure, kip_per_square_inch),
            "Mpsi" => 1e3 * si!(Pressure, pressure, kip_per_square_inch),
            "psf" => si!(Pressure, pressure, pound_force_per_square_foot),
            "Pa" => si!(Pressure, pressure, pascal),
            "kPa" => si!(Pressure, pressure, kilopascal),
            "MPa" => si!(Pressure, pressure, megapascal),
            "GPa" => si!(Pressure, pressure, gigapascal),
            "mph" => si!(Velocity, velocity, mile_per_hour),
            "kn" => si!(Velocity, velocity, knot),
            "deg" => si!(Angle, angle, degree),
            "rad" => si!(Angle, angle, radian),
            "mrad" => 1e-3 * si!(Angle, angle, radian),
            "s" => si!(Time, time, second),
            "ms" => si!(Time, time, millisecond),
            "min" => si!(Time, time, minute),
            "h" => si!(Time, time, hour),
            "Hz" => si!(Frequency, frequency, hertz),
            "kHz" => si!(Frequency, frequency, kilohertz),
            "J" => si!(Energy, energy, joule),
            "kJ" => si!(Energy, energy, kilojoule),
            "K" | "degC" | "" => 1.0,
            "degF" => si!(TemperatureInterval, interval, degree_fahrenheit),
            "%" => si!(Ratio, ratio, percent),
            other => panic!("`{other}` has no value from uom"),
        }
    }

    /// Builds the value of `lb/100ft` or `kg m2` from what uom says of its parts.
    fn from_uom(kind: Kind, spelling: &str) -> f64 {
        let factor = |piece: &str| {
            let name = piece.trim_end_matches(|c: char| c.is_ascii_digit());
            let power = piece[name.len()..].parse().unwrap_or(1);
            symbol(kind, name).powi(power)
        };
        let product = |text: &str| match text {
            "short ton" | "long ton" => factor(text),
            _ => text.split(' ').map(factor).product::<f64>(),
        };
        let (above, below) = spelling.split_once('/').unwrap_or((spelling, ""));
        match below.strip_prefix("100") {
            Some(below) => product(above) / (100.0 * product(below)),
            None => product(above) / product(below),
        }
    }

    #[test]
    fn every_factor_is_that_of_uom() {
        for kind in Kind::ALL {
            for unit in own(kind) {
                let expected = from_uom(kind, unit.spellings[0]);
                let off = (unit.si / expected - 1.0).abs();
                assert!(
                    off < UOM_FIGURES,
                    "{kind:?} {}: {} not {expected}",
                    unit.spellings[0],
                    unit.si
                );
            }
        }
    }

    #[test]
    fn temperatures_are_those_of_uom() {
        use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit};
        for reading in [-40.0, 0.0, 32.0, 95.0, 212.0] {
            let celsius = uom_f64::ThermodynamicTemperature::new::<degree_celsius>(reading).value;
            let fahrenheit = uom_f64::ThermodynamicTemperature::new::<degree_fahrenheit>(reading).value;
            // A few roundings of numbers below 1000.
            let near = |spelling: &str, k: f64| {
                let unit = find(Kind::Temperature, spelling).unwrap();
                assert!(
                    (unit.to_si(reading) - k).abs() < 1e-12 * 1000.0,
                    "{reading} {spelling}"
                );
            };
            near("degC", celsius);
            near("degF", fahrenheit);
        }
    }

    /// A spelling given twice in one kind would hide the second unit.
    #[test]
    fn every_spelling_finds_its_own_unit() {
        for kind in Kind::ALL {
            for unit in own(kind) {
                for spelling in unit.spellings {
                    assert_eq!(
                        find(kind, spelling).map(|found| found.si),
                        Some(unit.si),
                        "{kind:?} {spelling}"
                    );
                }
            }
        }
    }

    /// Reading US units in any case must not turn one unit into another.
    #[test]
    fn no_two_units_of_a_kind_differ_in_case_alone_unless_both_are_exact() {
        for kind in Kind::ALL {
            let units: Vec<Unit> = accepted(kind).collect();
            for unit in units.iter().filter(|unit| unit.any_case) {
                for other in units.iter().filter(|other| other.spellings != unit.spellings) {
                    for spelling in other.spellings {
                        let same = unit.is_spelled(spelling) && !unit.spellings.contains(spelling);
                        assert!(!same, "{kind:?}: `{spelling}` is also {:?}", unit.spellings);
                    }
                }
            }
        }
    }
}
