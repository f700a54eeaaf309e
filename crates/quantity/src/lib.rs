//! Physical quantities as riggers write them: read, held in SI, printed in US or SI units.
//!
//! Reading is strict, because a misread number is worse than a refused one: a unit is always due (a
//! [`Ratio`] alone may be bare), a ton must say which ton, and commas are refused with what to write instead.
//!
//! ```
//! use quantity::{Force, Length, Style};
//! let drop: Length = "12 ft 6-3/8 in".parse()?;
//! assert_eq!(drop.show(Style::si()), "3.82 m");
//! let flock: Force = "236 kg".parse()?; // the weight of that mass
//! assert_eq!(flock.show(Style::both()), "520 lb (2.31 kN)");
//! # Ok::<(), quantity::ParseError>(())
//! ```
//!
//! # How a quantity is written
//!
//! | what | how |
//! |---|---|
//! | sign | `-` or the Unicode minus before everything; `-12 ft 6 in` is all negative |
//! | number | `12`, `2.2`, `12e-6`, `3/8`, `6-3/8`, `6 3/8`, `6⅜` |
//! | feet and inches | `12 ft 6-3/8 in`, `12'-6 3/8"`: whole feet, less than 12 inches |
//! | unit | `kg m2`, `kg·m²`, `ft lb`, `ft-lb`, `lb/100 ft`, `°C`; a space before it is optional |
//! | case | US units and words in any case (`IN`, `Lb`); SI symbols, `kn` and `Mpsi` exactly, so `mN` is never `MN` |
//!
//! # Rooms
//!
//! `definition` holds the exact definitions, `unit` the table of units, `kind` what each quantity is called,
//! `number` and `read` turn text into SI values, `nearest` finds the unit that was meant, `error` says what
//! was wrong, `print` turns SI values into text, `paragraph` sets text that holds quantities in lines, and `types`
//! makes one type per kind.

mod definition;
mod error;
mod kind;
mod nearest;
mod number;
mod paragraph;
mod print;
mod read;
mod types;
mod unit;

pub use definition::STANDARD_GRAVITY_M_PER_S2;
pub use error::{ParseError, Problem};
pub use kind::Kind;
pub use paragraph::paragraph;
pub use print::{InchFraction, Style, Units, UnknownUnits};
pub use types::{
    Angle, Area, Compliance, Expansion, Force, Inertia, Length, Mass, MassPerLength, Pressure, Ratio, Speed,
    Stiffness, Temperature, Torque,
};
