//! Laws: what is printed reads back as what was printed, and no text is a panic.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use quantity::{InchFraction, Kind, Problem, Style, Units};

/// Conversions there and back round f64 a few times.
const ROUNDING: f64 = 1e-14;

fn fixed(seed: u64, cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(seed),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn kind() -> impl Strategy<Value = Kind> {
    prop::sample::select(Kind::ALL.to_vec())
}

fn style() -> impl Strategy<Value = Style> {
    let units = prop::sample::select(vec![Units::Us, Units::Si]);
    let step = prop::sample::select(vec![InchFraction::Sixteenths, InchFraction::ThirtySeconds]);
    (units, 1u8..=9, step).prop_map(|(units, figures, inch_fraction)| Style {
        units,
        figures,
        inch_fraction,
    })
}

/// Values of every size, and many just beside the powers of ten where the unit changes.
fn value() -> impl Strategy<Value = f64> {
    let mantissa = prop_oneof![
        1.0..10.0,
        (1u32..100, 1u32..8).prop_map(|(n, digits)| 10.0 - f64::from(n) / 10f64.powi(digits.cast_signed())),
        (1u32..1000).prop_map(|n| f64::from(n) / 100.0),
    ];
    (mantissa, -20i32..20, any::<bool>()).prop_map(|(mantissa, power, negative)| {
        mantissa * 10f64.powi(power) * if negative { -1.0 } else { 1.0 }
    })
}

/// Half of the step to which a value is printed, in SI.
fn half_step(kind: Kind, si: f64, style: Style) -> f64 {
    let relative = 0.5 * 10f64.powi(1 - i32::from(style.figures));
    let by_figures = relative * si.abs();
    match (kind, style.units) {
        (Kind::Length, Units::Us) => {
            let parts = if style.inch_fraction == InchFraction::Sixteenths {
                16.0
            } else {
                32.0
            };
            let by_parts = 0.5 * 0.0254 / parts;
            if si.abs() < 1e6 * 0.3048 {
                by_parts
            } else {
                by_parts.max(by_figures)
            }
        }
        (Kind::Length, _) if (1.0..1e6).contains(&si.abs()) => 0.5 * 10f64.powi(-i32::from(style.figures)),
        (Kind::Temperature, units) => {
            let degree = if units == Units::Us { 5.0 / 9.0 } else { 1.0 };
            let step = degree * 10f64.powi(-i32::from(style.figures.saturating_sub(2)));
            // At absolute zero a reading is rounded up, which may take a whole step.
            let by_step = if si < step { step } else { 0.5 * step };
            if si < 0.5e6 {
                by_step
            } else {
                by_step.max(by_figures)
            }
        }
        _ => by_figures,
    }
}

proptest! {
    #![proptest_config(fixed(1959, 40_000))]

    #[test]
    fn what_is_printed_reads_back(kind in kind(), value in value(), style in style()) {
        let si = if kind == Kind::Temperature { value.abs() } else { value };
        let printed = kind.print(si, style);
        let back = kind.parse_si(&printed).unwrap();
        let allowed = half_step(kind, si, style) + ROUNDING * si.abs().max(300.0 * f64::from(kind == Kind::Temperature));
        prop_assert!((back - si).abs() <= allowed, "{} is {} from {}, allowed {}", printed, back, si, allowed);
        prop_assert_eq!(kind.print(back, style), printed);
    }

    #[test]
    fn both_is_us_with_si_in_brackets(kind in kind(), value in value(), style in style()) {
        let print = |units| kind.print(value, Style { units, ..style });
        let (us, si) = (print(Units::Us), print(Units::Si));
        let beside = |first: &str, second: &str| if first == second { first.to_string() } else { format!("{first} ({second})") };
        prop_assert_eq!(print(Units::Both), beside(&us, &si));
        prop_assert_eq!(print(Units::SiThenUs), beside(&si, &us));
    }

    #[test]
    fn minus_negates(kind in kind(), value in value(), style in style()) {
        if kind == Kind::Temperature {
            return Ok(()); // has a zero of its own
        }
        let printed = kind.print(value.abs(), style);
        let (plus, minus) = (kind.parse_si(&printed), kind.parse_si(&format!("-{printed}")));
        prop_assert_eq!(minus.unwrap(), -plus.unwrap());
    }

    #[test]
    fn any_value_prints(kind in kind(), bits in any::<u64>(), style in style()) {
        let printed = kind.print(f64::from_bits(bits), style);
        prop_assert!(!printed.is_empty() && !printed.contains("NaN") && !printed.contains("inf "), "{}", printed);
        prop_assert!(!printed.starts_with("-0 "), "{}", printed);
    }

    #[test]
    fn any_text_is_read_or_refused(kind in kind(), text in any::<String>()) {
        refused_or_finite(kind, &text)?;
    }

    #[test]
    fn any_text_of_our_signs_is_read_or_refused(
        kind in kind(),
        pieces in prop::collection::vec(prop::sample::select(PIECES.to_vec()), 0..9),
    ) {
        refused_or_finite(kind, &pieces.concat())?;
    }
}

const PIECES: [&str; 44] = [
    "0",
    "1",
    "12",
    "240",
    "999",
    ".",
    ",",
    "_",
    " ",
    "-",
    "+",
    "−",
    "–",
    "/",
    "e",
    "E",
    "e-6",
    "e999",
    "½",
    "⅜",
    "'",
    "\"",
    "′",
    "″",
    "ft",
    "in",
    "m",
    "lb",
    "kN",
    "kg",
    "ton",
    "short ton",
    "deg",
    "°",
    "C",
    "F",
    "K",
    "%",
    "2",
    "²",
    "^",
    "·",
    "100",
    "NaN",
];

fn refused_or_finite(kind: Kind, text: &str) -> Result<(), TestCaseError> {
    match kind.parse_si(text) {
        Ok(si) => prop_assert!(
            si.is_finite() && text.chars().any(char::is_numeric),
            "`{}` is {}",
            text,
            si
        ),
        Err(error) => prop_assert!(error.to_string().starts_with('`') || error.problem == Problem::Empty),
    }
    Ok(())
}
