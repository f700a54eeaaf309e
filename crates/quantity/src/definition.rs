//! The exact definitions from which every factor of the table of units is made.
//!
//! No factor is a rounded product: each is an expression of the values below.

/// Standard acceleration of gravity, exact.
///
/// Source: 3rd General Conference on Weights and Measures (CGPM), 1901, declaration on the unit of mass and
/// on the definition of weight: 980.665 cm/s². Also NIST SP 811 (2008), appendix B.8. From memory.
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.80665;

/// International inch, a twelfth of the foot of 0.3048 m.
///
/// Source: international yard and pound agreement, 1959 (US Federal Register 59-5442: yard = 0.9144 m). From memory.
pub(crate) const INCH_M: f64 = 0.0254;
pub(crate) const FOOT_M: f64 = 0.3048;
pub(crate) const YARD_M: f64 = 0.9144;
pub(crate) const MILE_M: f64 = 5280.0 * FOOT_M;

/// International avoirdupois pound.
///
/// Source: international yard and pound agreement, 1959. From memory.
pub(crate) const POUND_KG: f64 = 0.453_592_37;
pub(crate) const OUNCE_KG: f64 = POUND_KG / 16.0;
/// Short (US) ton of 2000 lb and long (Imperial) ton of 2240 lb. Source: NIST SP 811 (2008), B.8. From memory.
pub(crate) const SHORT_TON_KG: f64 = 2000.0 * POUND_KG;
pub(crate) const LONG_TON_KG: f64 = 2240.0 * POUND_KG;
/// Tonne. Source: SI Brochure, 9th edition (2019), table 8. From memory.
pub(crate) const TONNE_KG: f64 = 1000.0;

/// Pound-force: the weight of a pound under standard gravity. Source: NIST SP 811 (2008), B.8. From memory.
pub(crate) const POUND_FORCE_N: f64 = POUND_KG * STANDARD_GRAVITY_M_PER_S2;
/// Kip: 1000 pounds-force.
pub(crate) const KIP_N: f64 = 1000.0 * POUND_FORCE_N;

/// Pound-force per square inch.
pub(crate) const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);
/// Pound-force per square foot.
pub(crate) const PSF_PA: f64 = POUND_FORCE_N / (FOOT_M * FOOT_M);

/// Knot: a nautical mile of 1852 m in an hour.
///
/// Source: First International Extraordinary Hydrographic Conference, Monaco, 1929; SI Brochure, 9th edition. From memory.
pub(crate) const KNOT_M_PER_S: f64 = 1852.0 / HOUR_S;
pub(crate) const HOUR_S: f64 = 3600.0;

/// Degree of angle.
pub(crate) const DEGREE_RAD: f64 = std::f64::consts::PI / 180.0;

/// Celsius zero in kelvin. Source: 10th CGPM, 1954, and SI Brochure, 9th edition, 2.3.1. From memory.
pub(crate) const CELSIUS_ZERO: f64 = 273.15;
/// Absolute zero lies this many Fahrenheit degrees below their zero: 273.15 · 9/5 - 32.
pub(crate) const FAHRENHEIT_ZERO: f64 = 459.67;
/// A Fahrenheit degree in kelvin. Source: NIST SP 811 (2008), B.8. From memory.
pub(crate) const FAHRENHEIT_K: f64 = 5.0 / 9.0;
