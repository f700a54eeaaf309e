//! Prints SI values in US or SI units, so that what is printed can be read back.
//!
//! Numbers have the asked count of significant figures and no trailing zeros, since a zero printed behind
//! the point claims knowledge. Two kinds go to a fixed step instead. A hang is cut and checked to a step, so
//! US lengths go to the sixteenth or thirty-second of an inch (small ones to their own sixty-fourth or to a thousandth,
//! where that step would misstate them: cable of 3/32 in is not 1/16 in) and SI lengths from 1 m on to the millimetre (at 3
//! figures). The zero of a thermometer is a matter of choice, so temperatures go to a tenth of a degree (at 3).

use std::str::FromStr;

use crate::definition::{
    CELSIUS_ZERO, DEGREE_RAD, FAHRENHEIT_K, FAHRENHEIT_ZERO, FOOT_M, HOUR_S, INCH_M, KIP_N, MILE_M,
    POUND_FORCE_N, POUND_KG, PSI_PA, STANDARD_GRAVITY_M_PER_S2,
};
use crate::kind::Kind;

/// Says in which units quantities are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Units {
    /// US customary units.
    Us,
    /// SI units.
    Si,
    /// US customary units with SI in brackets.
    Both,
    /// SI units with US customary units in brackets: what sentences are written in for who asks for SI; no document names it.
    SiThenUs,
}

/// Says that a text names no [`Units`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no units `{0}`; write `us`, `si` or `both`")]
pub struct UnknownUnits(pub String);

impl FromStr for Units {
    type Err = UnknownUnits;

    fn from_str(text: &str) -> Result<Self, UnknownUnits> {
        match text {
            "us" => Ok(Self::Us),
            "si" => Ok(Self::Si),
            "both" => Ok(Self::Both),
            _ => Err(UnknownUnits(text.to_owned())),
        }
    }
}

/// Says to which fraction of an inch US lengths are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InchFraction {
    /// Sixteenths.
    Sixteenths,
    /// Thirty-seconds.
    ThirtySeconds,
}

/// Says how quantities are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Style {
    /// The units.
    pub units: Units,
    /// Significant figures, taken as at least 1 and at most 9.
    pub figures: u8,
    /// The step of US lengths.
    pub inch_fraction: InchFraction,
}

impl Style {
    /// Prints US units with 3 figures and sixteenths.
    pub const fn us() -> Self {
        Self {
            units: Units::Us,
            figures: 3,
            inch_fraction: InchFraction::Sixteenths,
        }
    }

    /// Prints SI units with 3 figures.
    pub const fn si() -> Self {
        Self {
            units: Units::Si,
            ..Self::us()
        }
    }

    /// Prints US units with SI in brackets.
    pub const fn both() -> Self {
        Self {
            units: Units::Both,
            ..Self::us()
        }
    }

    /// Prints both, as sentences do that are read far from the tables around them: the units that are asked for first.
    #[must_use]
    pub const fn in_sentences(self) -> Self {
        let units = match self.units {
            Units::Us | Units::Both => Units::Both,
            Units::Si | Units::SiThenUs => Units::SiThenUs,
        };
        Self { units, ..self }
    }

    /// Prints one figure more, and lengths to the thirty-second of an inch: for what is copied from a catalogue, where
    /// 2266 lb must not read 2270 lb, and for workings, so that who follows the sums comes to the same result.
    #[must_use]
    pub const fn finer(self) -> Self {
        Self {
            figures: self.figures.saturating_add(1),
            inch_fraction: InchFraction::ThirtySeconds,
            ..self
        }
    }

    /// Prints enough figures to tell a value as well as it is known, `off` being how far it may be off in the same unit: 12345
    /// that may be off by 8 must not read 12300.
    #[must_use]
    pub fn as_sure_as(self, value: f64, off: f64) -> Self {
        let figures = ((value / off).abs().log10().ceil() + 1.0).clamp(f64::from(self.figures), 9.0);
        Self {
            figures: if figures.is_nan() {
                self.figures
            } else {
                figures as u8
            },
            ..self
        }
    }

    fn figures(self) -> usize {
        usize::from(self.figures.clamp(1, 9))
    }
}

/// Prints an SI value of a kind.
pub(crate) fn quantity(kind: Kind, si: f64, style: Style) -> String {
    if si.is_nan() {
        return "not a number".to_owned();
    }
    if si.is_infinite() {
        return "infinite".to_owned();
    }
    match style.units {
        Units::Us => us(kind, si, style),
        Units::Si => metric(kind, si, style),
        Units::Both => beside(us(kind, si, style), &metric(kind, si, style)),
        Units::SiThenUs => beside(metric(kind, si, style), &us(kind, si, style)),
    }
}

/// Sets the second in brackets behind the first, where it says something else.
fn beside(first: String, second: &str) -> String {
    if first == second {
        first
    } else {
        format!("{first} ({second})")
    }
}

/// A unit to print in while the rounded reading is below a limit.
type Step = (&'static str, f64, f64);

const ALWAYS: f64 = f64::INFINITY;

fn us(kind: Kind, si: f64, style: Style) -> String {
    let figures = style.figures();
    let steps: &[Step] = match kind {
        Kind::Length => return us_length(si, style),
        Kind::Temperature => return temperature(si, "degF", FAHRENHEIT_K, FAHRENHEIT_ZERO, figures),
        Kind::Expansion => return expansion(si, "/degF", 1.0 / FAHRENHEIT_K, figures),
        Kind::Force | Kind::AxialStiffness => &[("lb", POUND_FORCE_N, ALWAYS)],
        Kind::Mass => &[("lb", POUND_KG, ALWAYS)],
        Kind::MassPerLength => &[("lb/ft", POUND_KG / FOOT_M, ALWAYS)],
        Kind::TemperatureDifference => &[("degF", FAHRENHEIT_K, ALWAYS)],
        Kind::Pressure => &[
            ("psi", PSI_PA, 1e4),
            ("ksi", 1e3 * PSI_PA, 1e3),
            ("Mpsi", 1e6 * PSI_PA, ALWAYS),
        ],
        Kind::Speed => &[("mph", MILE_M / HOUR_S, ALWAYS)],
        Kind::Inertia => &[("lb ft2", POUND_KG * FOOT_M * FOOT_M, ALWAYS)],
        Kind::Stiffness => &[("lb/in", POUND_FORCE_N / INCH_M, ALWAYS)],
        Kind::Compliance => &[("in/kip", INCH_M / KIP_N, ALWAYS)],
        Kind::Torque | Kind::Energy => &[("ft lb", FOOT_M * POUND_FORCE_N, ALWAYS)],
        Kind::Area => &[("in2", INCH_M * INCH_M, ALWAYS)],
        Kind::BendingStiffness => &[("lb in2", POUND_FORCE_N * INCH_M * INCH_M, ALWAYS)],
        Kind::LinearForce => &[("lb/ft", POUND_FORCE_N / FOOT_M, ALWAYS)],
        // A pound at 1 g weighs a pound, as a working in US units has to show.
        Kind::Acceleration => &[("g", STANDARD_GRAVITY_M_PER_S2, ALWAYS)],
        Kind::Density => &[("lb/ft3", POUND_KG / (FOOT_M * FOOT_M * FOOT_M), ALWAYS)],
        Kind::Stretch => &[("in", INCH_M, ALWAYS)],
        Kind::SecondMoment => &[("in4", INCH_M * INCH_M * INCH_M * INCH_M, ALWAYS)],
        Kind::SectionModulus => &[("in3", INCH_M * INCH_M * INCH_M, ALWAYS)],
        Kind::Angle | Kind::Ratio | Kind::Time | Kind::Frequency | Kind::Number => {
            return metric(kind, si, style);
        }
    };
    stepped(si, steps, figures)
}

fn metric(kind: Kind, si: f64, style: Style) -> String {
    let figures = style.figures();
    let steps: &[Step] = match kind {
        Kind::Length => return metric_length(si, figures),
        Kind::Temperature => return temperature(si, "degC", 1.0, CELSIUS_ZERO, figures),
        Kind::Expansion => return expansion(si, "/K", 1.0, figures),
        Kind::Number => return significant(si, figures),
        Kind::Force | Kind::AxialStiffness => &[("N", 1.0, 1e3), ("kN", 1e3, ALWAYS)],
        Kind::Mass => &[("g", 1e-3, 1e3), ("kg", 1.0, ALWAYS)],
        Kind::MassPerLength => &[("kg/m", 1.0, ALWAYS)],
        Kind::Angle => &[("deg", DEGREE_RAD, ALWAYS)],
        Kind::TemperatureDifference => &[("K", 1.0, ALWAYS)],
        Kind::Pressure => &[
            ("Pa", 1.0, 1e3),
            ("kPa", 1e3, 1e3),
            ("MPa", 1e6, 1e3),
            ("GPa", 1e9, ALWAYS),
        ],
        Kind::Speed => &[("m/s", 1.0, ALWAYS)],
        Kind::Inertia => &[("kg m2", 1.0, ALWAYS)],
        Kind::Stiffness | Kind::LinearForce => &[("N/m", 1.0, 1e3), ("kN/m", 1e3, ALWAYS)],
        Kind::Compliance => &[("mm/kN", 1e-6, ALWAYS)],
        Kind::Torque => &[("N m", 1.0, 1e3), ("kN m", 1e3, ALWAYS)],
        Kind::Area => &[("mm2", 1e-6, 1e5), ("m2", 1.0, ALWAYS)],
        Kind::Ratio => &[("%", 0.01, ALWAYS)],
        Kind::BendingStiffness => &[("N m2", 1.0, 1e3), ("kN m2", 1e3, ALWAYS)],
        Kind::Time => &[("s", 1.0, ALWAYS)],
        Kind::Frequency => &[("Hz", 1.0, ALWAYS)],
        Kind::Energy => &[("J", 1.0, 1e3), ("kJ", 1e3, ALWAYS)],
        Kind::Acceleration => &[("m/s2", 1.0, ALWAYS)],
        Kind::Density => &[("kg/m3", 1.0, ALWAYS)],
        Kind::SecondMoment => &[("mm4", 1e-12, ALWAYS)],
        Kind::SectionModulus => &[("mm3", 1e-9, ALWAYS)],
        Kind::Stretch => &[("mm", 1e-3, 1e3), ("m", 1.0, ALWAYS)],
    };
    stepped(si, steps, figures)
}

/// Prints in the first unit whose rounded reading is below its limit.
///
/// The limits are whole powers of ten apart, so the rounded value stays rounded in the next unit, and
/// 999.6 N is `1 kN` both before and after it is read back.
fn stepped(si: f64, steps: &[Step], figures: usize) -> String {
    let mut si = si;
    for (unit, unit_si, below) in steps {
        let reading = rounded(si / unit_si, figures);
        if reading.abs() < *below {
            return format!("{} {unit}", significant(reading, figures));
        }
        si = reading * unit_si;
    }
    "infinite".to_owned() // the value overflows the last unit
}

/// Prints a small length that its step would misstate in the figures asked for: a size of whole sixty-fourths, as rope
/// and cable have, by its own fraction, anything else with thousandths. None where the step will do.
///
/// A length is small under an inch; where the step is the thirty-second, for sums to be followed, under a foot.
fn small_us_length(inches: f64, parts: u64, style: Style) -> Option<String> {
    const THOUSANDTHS: f64 = 1e3;
    let small = match style.inch_fraction {
        InchFraction::Sixteenths => 1.0,
        InchFraction::ThirtySeconds => 12.0,
    };
    let half_of_last_figure = 0.5 * 10f64.powi(1 - i32::from(style.figures.clamp(1, 9)));
    let is_misstated = |inches: f64| {
        let stepped = (inches * parts as f64).round() / parts as f64;
        (stepped - inches).abs() > half_of_last_figure * inches
    };
    if inches >= small {
        return None;
    }
    let sixty_fourths = inches * 64.0;
    if (sixty_fourths - sixty_fourths.round()).abs() < 1e-6 {
        let count = sixty_fourths.round() as u64;
        return (count > 0 && is_misstated(inches)).then(|| in_inches(count / 64, fraction(count % 64, 64)));
    }
    // Whether thousandths are due is told from them, so that what is read back is printed alike.
    let thousandths = (inches * THOUSANDTHS).round() / THOUSANDTHS;
    (thousandths > 0.0 && is_misstated(thousandths)).then(|| format!("{thousandths} in"))
}

/// Writes whole inches and a fraction of one.
fn in_inches(whole: u64, fraction: Option<String>) -> String {
    match (whole, fraction) {
        (whole, None) => format!("{whole} in"),
        (0, Some(fraction)) => format!("{fraction} in"),
        (whole, Some(fraction)) => format!("{whole}-{fraction} in"),
    }
}

fn us_length(m: f64, style: Style) -> String {
    const MOST_FEET: f64 = 1e6;
    let parts: u64 = match style.inch_fraction {
        InchFraction::Sixteenths => 16,
        InchFraction::ThirtySeconds => 32,
    };
    if let Some(small) = small_us_length(m.abs() / INCH_M, parts, style) {
        return format!("{}{small}", if m < 0.0 { "-" } else { "" });
    }
    let count = (m.abs() / INCH_M * parts as f64).round();
    if count >= MOST_FEET * 12.0 * parts as f64 {
        return format!("{} ft", significant(m / FOOT_M, style.figures()));
    }
    let count = count as u64;
    let (feet, inches, above) = (count / parts / 12, count / parts % 12, count % parts);
    let sign = if m < 0.0 && count > 0 { "-" } else { "" };
    if feet > 0 && inches == 0 && above == 0 {
        return format!("{sign}{feet} ft");
    }
    let inches = in_inches(inches, fraction(above, parts));
    if feet > 0 {
        format!("{sign}{feet} ft {inches}")
    } else {
        format!("{sign}{inches}")
    }
}

/// Writes a fraction in its lowest terms; `parts` is a power of two.
fn fraction(above: u64, parts: u64) -> Option<String> {
    let halvings = above.trailing_zeros();
    (above > 0).then(|| format!("{}/{}", above >> halvings, parts >> halvings))
}

fn metric_length(m: f64, figures: usize) -> String {
    let mm = rounded(m * 1e3, figures);
    if mm.abs() < 1e3 {
        return format!("{} mm", significant(mm, figures));
    }
    let at_least_1_m = m.abs().max(1.0).copysign(m);
    format!("{} m", to_step(at_least_1_m, figures, figures))
}

/// Prints a relative temperature, to a tenth of a degree at 3 figures.
fn temperature(k: f64, unit: &str, degree_k: f64, zero: f64, figures: usize) -> String {
    let decimals = figures.saturating_sub(2);
    let step = 10f64.powi(-i32::try_from(decimals).unwrap_or(0));
    let mut reading = k / degree_k - zero;
    if k >= 0.0 {
        reading = reading.max((-zero / step).ceil() * step); // a reading rounded below absolute zero is none
    }
    format!("{} {unit}", to_step(reading, decimals, figures))
}

/// Prints an expansion in millionths, as handbooks do.
fn expansion(per_k: f64, unit: &str, unit_si: f64, figures: usize) -> String {
    let millionths = significant(per_k / unit_si * 1e6, figures);
    if millionths == "0" || millionths.contains('e') {
        return format!("{} {unit}", significant(per_k / unit_si, figures));
    }
    format!("{millionths}e-6 {unit}")
}

/// Writes a number with so many significant figures, without trailing zeros and never as -0.
fn significant(value: f64, figures: usize) -> String {
    let value = rounded(value, figures);
    if value == 0.0 {
        return "0".to_owned();
    }
    let scientific = format!("{:.*e}", figures - 1, value);
    let Some((mantissa, exponent)) = scientific.split_once('e') else {
        return scientific;
    };
    let power: i32 = exponent.parse().unwrap_or(0);
    if (-5..7).contains(&power) {
        let steps = power.unsigned_abs() as usize;
        let decimals = if power < 0 {
            figures - 1 + steps
        } else {
            (figures - 1).saturating_sub(steps)
        };
        return without_trailing_zeros(&format!("{value:.decimals$}")).to_owned();
    }
    format!("{}e{exponent}", without_trailing_zeros(mantissa))
}

/// Writes a number with so many decimals, or above a million with significant figures.
fn to_step(value: f64, decimals: usize, figures: usize) -> String {
    const MOST: f64 = 1e6;
    if value.abs() >= MOST {
        return significant(value, figures);
    }
    let fixed = format!("{value:.decimals$}");
    match without_trailing_zeros(&fixed) {
        "-0" => "0".to_owned(),
        number => number.to_owned(),
    }
}

fn rounded(value: f64, figures: usize) -> f64 {
    format!("{:.*e}", figures - 1, value).parse().unwrap_or(value)
}

fn without_trailing_zeros(number: &str) -> &str {
    if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        number
    }
}
