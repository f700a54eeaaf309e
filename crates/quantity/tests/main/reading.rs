//! Every way of writing that is promised is read, and means what it says.

use quantity::{Angle, Force, Kind, Length, Mass, STANDARD_GRAVITY_M_PER_S2, Style, Units};

/// A few roundings of f64 between a literal product here and the order of operations there.
const ROUNDING: f64 = 1e-14;

const LB_N: f64 = 0.453_592_37 * 9.80665;
const INCH_M: f64 = 0.0254;

#[track_caller]
fn is(kind: Kind, text: &str, expected: f64) {
    let si = kind.parse_si(text).unwrap_or(f64::NAN);
    assert!(
        (si - expected).abs() <= ROUNDING * expected.abs(),
        "`{text}` is {si}, not {expected}"
    );
}

#[test]
fn every_example_is_read() {
    for kind in Kind::ALL {
        for example in kind.examples() {
            assert!(kind.parse_si(example).is_ok(), "{:?}", kind.parse_si(example));
        }
        assert_eq!(kind.example(), kind.examples()[0]);
    }
}

#[test]
fn lengths() {
    for text in [
        "12 ft 6-3/8 in",
        "12'-6 3/8\"",
        "12' 6-3/8\"",
        "12'6⅜\"",
        "12′ 6 3/8″",
        "12’-6⅜”",
        "12ft 6.375in",
        "12 FT 6-3/8 IN",
        "12 feet 6 3/8 inches",
        "12' - 6-3/8''",
        "  12 ft  6-3/8 in ",
        "12 ft\t6⅜ in",
        "150.375 in",
        "+12 ft 6–3/8 in",
    ] {
        is(Kind::Length, text, 150.375 * INCH_M);
    }
    for text in ["-12 ft 6-3/8 in", "−12'-6 3/8\"", "- 12' 6-3/8\""] {
        is(Kind::Length, text, -150.375 * INCH_M);
    }
    is(Kind::Length, "6-3/8 in", 6.375 * INCH_M);
    is(Kind::Length, "3/16 in", 0.1875 * INCH_M);
    is(Kind::Length, ".5 in", 0.5 * INCH_M);
    is(Kind::Length, "-4 in", -4.0 * INCH_M);
    is(Kind::Length, "-½ in", -0.5 * INCH_M);
    is(Kind::Length, "0 ft 0 in", 0.0);
    is(Kind::Length, "3 ft 3/8 in", 36.375 * INCH_M);
    is(Kind::Length, "3 yd", 108.0 * INCH_M);
    is(Kind::Length, "3.81 m", 3.81);
    is(Kind::Length, "380 mm", 0.38);
    is(Kind::Length, "38cm", 0.38);
    is(Kind::Length, "1.5E3 mm", 1.5);
}

#[test]
fn forces_and_the_weights_of_masses() {
    is(Kind::Force, "520 lb", 520.0 * LB_N);
    is(Kind::Force, "520 lbf", 520.0 * LB_N);
    is(Kind::Force, "520 LBS", 520.0 * LB_N);
    is(Kind::Force, "2.2 kN", 2200.0);
    is(Kind::Force, "150 N", 150.0);
    is(Kind::Force, "12 daN", 120.0);
    is(Kind::Force, "1.2 kip", 1200.0 * LB_N);
    is(Kind::Force, "1.2 MN", 1.2e6);
    is(Kind::Force, "310 kg", 310.0 * 9.80665);
    is(Kind::Force, "1 short ton", 2000.0 * LB_N);
    is(Kind::Force, "2 long tons", 4480.0 * LB_N);
    is(Kind::Force, "1.5 tonne", 1500.0 * 9.80665);
    is(Kind::Force, "1.5 t", 1500.0 * 9.80665);
    is(Kind::LinearForce, "0.2 kg/m", 0.2 * 9.80665);
    let mass: Mass = "310 kg".parse().unwrap();
    let weight: Force = "310 kg".parse().unwrap();
    assert_eq!(mass.weight(), weight);
    assert_eq!(Mass::from_kg(1.0).weight().n(), STANDARD_GRAVITY_M_PER_S2);
}

#[test]
fn one_unit_written_in_many_ways() {
    for text in [
        "11.6 kg m2",
        "11.6 kg·m²",
        "11.6 kg m^2",
        "11.6 kg*m2",
        "11.6 kg-m2",
        "11.6kgm²",
    ] {
        is(Kind::Inertia, text, 11.6);
    }
    for text in ["6.5 lb/100ft", "6.5 lb/100 ft", "6.5 lb / 100 ft", "0.065 lb/ft"] {
        is(Kind::MassPerLength, text, 0.065 * 0.453_592_37 / 0.3048);
    }
    for text in ["7.5 ft lb", "7.5 ft-lb", "7.5 ft·lbf", "7.5 lb-ft", "90 in lb"] {
        is(Kind::Torque, text, 7.5 * 12.0 * INCH_M * LB_N);
    }
    for text in ["10 N m", "10 Nm", "10 N·m", "0.01 kN m"] {
        is(Kind::Torque, text, 10.0);
    }
    for text in ["35 degC", "35 °C", "35°C", "35 C", "95 degF", "95 °F", "308.15 K"] {
        is(Kind::Temperature, text, 308.15);
    }
    for text in ["12e-6 /K", "12E-6/K", "12e-6 /degC", "12e-6 /°C", "0.000012 / K"] {
        is(Kind::Expansion, text, 12e-6);
    }
    is(Kind::Expansion, "5e-6 /degF", 9e-6);
    is(Kind::Expansion, "1/K", 1.0);
    for text in ["30 deg", "30°", "30 degrees"] {
        is(Kind::Angle, text, std::f64::consts::FRAC_PI_6);
    }
    for text in ["200 GPa", "200e3 N/mm2", "200000 MPa", "200 kN/mm²"] {
        is(Kind::Pressure, text, 200e9);
    }
}

#[test]
fn the_other_kinds() {
    is(Kind::Stiffness, "90 kN/m", 9e4);
    is(Kind::Stiffness, "90 N/mm", 9e4);
    is(Kind::Stiffness, "500 lb/in", 500.0 * LB_N / INCH_M);
    is(Kind::Compliance, "2 mm/kN", 2e-6);
    is(Kind::Compliance, "1 in/kip", INCH_M / (1000.0 * LB_N));
    is(Kind::Area, "1 ft2", 144.0 * INCH_M * INCH_M);
    is(Kind::Area, "520 mm²", 520e-6);
    is(Kind::BendingStiffness, "28.9 kN m2", 28.9e3);
    is(Kind::Speed, "36 km/h", 10.0);
    is(Kind::Speed, "1 kn", 1852.0 / 3600.0);
    is(Kind::TemperatureDifference, "36 degF", 20.0);
    is(Kind::Ratio, "10 %", 0.1);
    is(Kind::Ratio, "10%", 0.1);
    is(Kind::Ratio, "0.1", 0.1);
    is(Kind::Ratio, "1/8", 0.125);
    is(Kind::Number, "-3", -3.0);
    is(Kind::Temperature, "-459.67 degF", 0.0);
    is(Kind::Temperature, "-40 degC", 233.15);
    let angle: Angle = "180 deg".parse().unwrap();
    assert_eq!((angle.rad(), angle.deg()), (std::f64::consts::PI, 180.0));
}

#[test]
fn prints_as_riggers_write() {
    let both = |kind: Kind, text: &str| kind.print(kind.parse_si(text).unwrap(), Style::both());
    assert_eq!(both(Kind::Force, "520 lb"), "520 lb (2.31 kN)");
    assert_eq!(both(Kind::Force, "1237.4 lb"), "1240 lb (5.5 kN)");
    assert_eq!(both(Kind::Force, "-0.5 lb"), "-0.5 lb (-2.22 N)");
    assert_eq!(both(Kind::Force, "-0 lb"), "0 lb (0 N)");
    assert_eq!(both(Kind::Mass, "1 lb"), "1 lb (454 g)");
    assert_eq!(
        both(Kind::MassPerLength, "6.5 lb/100ft"),
        "0.065 lb/ft (0.0967 kg/m)"
    );
    assert_eq!(both(Kind::Angle, "30 deg"), "30 deg");
    assert_eq!(both(Kind::Temperature, "35 degC"), "95 degF (35 degC)");
    assert_eq!(both(Kind::Temperature, "0 K"), "-459.6 degF (-273.1 degC)");
    assert_eq!(both(Kind::Temperature, "451.04 degF"), "451 degF (232.8 degC)");
    assert_eq!(both(Kind::Pressure, "29 Mpsi"), "29 Mpsi (200 GPa)");
    assert_eq!(both(Kind::Torque, "7.5 ft lb"), "7.5 ft lb (10.2 N m)");
    assert_eq!(both(Kind::Expansion, "12e-6 /K"), "6.67e-6 /degF (12e-6 /K)");
    assert_eq!(both(Kind::Ratio, "1/8"), "12.5 %");
    assert_eq!(both(Kind::Speed, "20 mph"), "20 mph (8.94 m/s)");
    assert_eq!(both(Kind::Compliance, "2 mm/kN"), "0.35 in/kip (2 mm/kN)");
    assert_eq!(both(Kind::Number, "4"), "4");
    assert_eq!(both(Kind::Force, "999.6 N"), "225 lb (1 kN)");
    assert_eq!(both(Kind::Force, "1e12 N"), "2.25e11 lb (1e9 kN)");
}

#[test]
fn prints_lengths_to_a_step() {
    let both = |text: &str| Kind::Length.print(Kind::Length.parse_si(text).unwrap(), Style::both());
    assert_eq!(both("12 ft 6-3/8 in"), "12 ft 6-3/8 in (3.82 m)");
    assert_eq!(both("12.345 m"), "40 ft 6 in (12.345 m)");
    assert_eq!(both("3/16 in"), "3/16 in (4.76 mm)");
    assert_eq!(both("-4 in"), "-4 in (-102 mm)");
    assert_eq!(both("-3 ft 1/2 in"), "-3 ft 1/2 in (-927 mm)");
    assert_eq!(both("11.99 in"), "1 ft (305 mm)");
    assert_eq!(both("35.99 in"), "3 ft (914 mm)");
    assert_eq!(both("34 ft"), "34 ft (10.363 m)");
    assert_eq!(both("-0.01 in"), "-0.01 in (-0.254 mm)");
    assert_eq!(both("0.0001 in"), "0 in (0.00254 mm)");
    for size in [
        "3/64 in", "5/64 in", "3/32 in", "7/64 in", "5/32 in", "11/32 in", "3/16 in",
    ] {
        assert_eq!(both(size).split(" (").next(), Some(size));
    }
    assert_eq!(both("5 mm"), "0.197 in (5 mm)");
    assert_eq!(both("1-1/32 in"), "1-1/16 in (26.2 mm)");
    assert_eq!(both("999.7 mm"), "3 ft 3-3/8 in (1 m)");
    let fine = Style {
        inch_fraction: quantity::InchFraction::ThirtySeconds,
        ..Style::us()
    };
    assert_eq!(Length::from_m(INCH_M / 32.0).show(fine), "1/32 in");
    assert_eq!(Length::from_m(INCH_M * 2.0 / 32.0).show(fine), "1/16 in");
}

/// A value just below the limit of a unit is rounded once, in that unit, before it changes to the next.
/// Products in a working come out as printed: a pound at 1 g weighs a pound, and a size has its figures.
#[test]
fn prints_finer_for_workings() {
    let finer = Style::us().finer();
    let pound_kg = 0.453_592_37; // by definition
    assert_eq!(Kind::Mass.print(0.2605 * pound_kg, finer), "0.2605 lb");
    assert_eq!(Kind::Acceleration.print(9.806_65, finer), "1 g");
    assert_eq!(
        Kind::Force.print(0.2605 * pound_kg * 9.806_65, finer),
        "0.2605 lb"
    );
    is(Kind::Acceleration, "1 g", 9.806_65);
    for printed in [
        "3/64 in",
        "1-1/8 in",
        "2-3/64 in",
        "0.131 in",
        "3.142 in",
        "8.005 in",
        "11.9 in",
        "1 ft 1/32 in",
        "7 ft 3-5/32 in",
    ] {
        let m = Kind::Length.parse_si(printed).unwrap();
        assert_eq!(Kind::Length.print(m, finer), printed);
    }
    // 8.003 in is 8 in to four figures, and 100.01 mm is 3-15/16 in.
    assert_eq!(Kind::Length.print(8.003 * 0.0254, finer), "8 in");
    assert_eq!(Kind::Length.print(0.100_01, finer), "3-15/16 in");
}

#[test]
fn prints_the_same_on_both_sides_of_a_change_of_unit() {
    let one_figure = Style {
        figures: 1,
        ..Style::si()
    };
    assert_eq!(Kind::Force.print(950.0, one_figure), "1 kN");
    assert_eq!(Kind::Length.print(0.95, one_figure), "1 m");
}

#[test]
fn zero_has_no_sign() {
    assert_eq!(Kind::Temperature.print(273.14, Style::si()), "0 degC");
    for (kind, text) in [
        (Kind::Length, "-0 ft 0 in"),
        (Kind::Force, "-0 lb"),
        (Kind::Ratio, "-0"),
        (Kind::Number, "−0.0"),
    ] {
        assert!(kind.parse_si(text).is_ok_and(f64::is_sign_positive), "{text}");
    }
}

#[test]
fn prints_no_number_as_words() {
    for kind in Kind::ALL {
        for style in [Style::us(), Style::si(), Style::both()] {
            assert_eq!(kind.print(f64::NAN, style), "not a number");
            assert_eq!(kind.print(f64::INFINITY, style), "infinite");
            assert_eq!(kind.print(f64::NEG_INFINITY, style), "infinite");
            assert!(!kind.print(-0.0, style).starts_with('-') || kind == Kind::Temperature);
        }
    }
}

#[test]
fn units_have_names() {
    assert_eq!("us".parse(), Ok(Units::Us));
    assert_eq!("si".parse(), Ok(Units::Si));
    assert_eq!("both".parse(), Ok(Units::Both));
    assert_eq!(
        "US".parse::<Units>().unwrap_err().to_string(),
        "no units `US`; write `us`, `si` or `both`"
    );
}
