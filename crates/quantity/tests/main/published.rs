//! Factors as handbooks print them.
//!
//! Source: NIST Special Publication 811 (2008), appendix B.8 and B.9, to the seven figures given there. From memory.

use quantity::Kind;

/// Seven figures are off by half a unit in the last at most, which is 5e-7 of a number that begins with 1.
const SEVEN_FIGURES: f64 = 5e-7;

#[test]
fn factors_are_those_of_nist_sp_811() {
    let table = [
        (Kind::Length, "1 ft", 3.048e-1),
        (Kind::Length, "1 in", 2.54e-2),
        (Kind::Length, "1 yd", 9.144e-1),
        (Kind::Mass, "1 lb", 4.535_924e-1),
        (Kind::Mass, "1 oz", 2.834_952e-2),
        (Kind::Mass, "1 short ton", 9.071_847e2),
        (Kind::Mass, "1 long ton", 1.016_047e3),
        (Kind::Force, "1 lbf", 4.448_222),
        (Kind::Force, "1 kip", 4.448_222e3),
        (Kind::Force, "1 kgf", 9.806_65),
        (Kind::Force, "1 short ton", 8.896_443e3),
        (Kind::MassPerLength, "1 lb/ft", 1.488_164),
        (Kind::MassPerLength, "1 lb/in", 1.785_797e1),
        (Kind::Stiffness, "1 lb/in", 1.751_268e2),
        (Kind::Stiffness, "1 lb/ft", 1.459_390e1),
        (Kind::Torque, "1 ft lb", 1.355_818),
        (Kind::Torque, "1 in lb", 1.129_848e-1),
        (Kind::Pressure, "1 psi", 6.894_757e3),
        (Kind::Pressure, "1 ksi", 6.894_757e6),
        (Kind::Pressure, "1 psf", 4.788_026e1),
        (Kind::Speed, "1 mph", 4.470_4e-1),
        (Kind::Speed, "1 kn", 5.144_444e-1),
        (Kind::Speed, "1 km/h", 2.777_778e-1),
        (Kind::Inertia, "1 lb ft2", 4.214_011e-2),
        (Kind::Inertia, "1 lb in2", 2.926_397e-4),
        (Kind::Density, "1 lb/ft3", 1.601_846e1),
        (Kind::Area, "1 in2", 6.451_6e-4),
        (Kind::Area, "1 ft2", 9.290_304e-2),
        (Kind::SecondMoment, "1 in4", 4.162_314e-7),
        (Kind::SectionModulus, "1 in3", 1.638_706e-5),
        (Kind::Angle, "1 deg", 1.745_329e-2),
        (Kind::Temperature, "32 degF", 273.15),
        (Kind::Temperature, "212 degF", 373.15),
    ];
    for (kind, text, expected) in table {
        let si = kind.parse_si(text).unwrap();
        assert!(
            (si / expected - 1.0).abs() <= SEVEN_FIGURES,
            "{text} as {kind:?} is {si}, not {expected}"
        );
    }
}
