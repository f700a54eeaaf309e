//! What can be wrong with a written quantity, and what to write instead.

use crate::kind::Kind;
use crate::unit;

/// Says why a text is not the quantity that was due, and how to write one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}", message(*.kind, .text, .problem))]
pub struct ParseError {
    /// The kind that was due.
    pub kind: Kind,
    /// The text as it was written.
    pub text: String,
    /// What is wrong with it.
    pub problem: Problem,
}

/// Says what is wrong with a written quantity; the words read on from the text they are about.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Problem {
    /// There is no text.
    #[error("nothing is written")]
    Empty,
    /// There is a number but no unit.
    #[error(" is a bare number")]
    Bare,
    /// The text does not begin with a number.
    #[error(" does not begin with a number")]
    NoNumber,
    /// The digits do not make a number.
    #[error(": the number cannot be read")]
    BadNumber,
    /// The number is infinite or not a number.
    #[error(" is not a finite number")]
    NotFinite,
    /// The number is too large or too near to zero to be held.
    #[error(" is too large or too small to calculate with")]
    OutOfRange,
    /// Thousands are set apart by a comma, space or underscore.
    #[error(": thousands are written without a separator and decimals with a point; write `{instead}`")]
    Thousands {
        /// The same text without separators.
        instead: String,
    },
    /// A comma stands where a point is due.
    #[error(": decimals are written with a point; write `{instead}`")]
    DecimalComma {
        /// The same text with a point.
        instead: String,
    },
    /// A fraction has a zero below its line.
    #[error(": a fraction cannot have 0 below its line")]
    ZeroDenominator,
    /// A fraction follows a decimal, or is not less than one after a whole number.
    #[error(": a fraction is written `3/8` or, behind a whole number and less than one, `6-3/8`")]
    BadFraction,
    /// A second quantity follows the first, and they are not feet and inches.
    #[error(": only feet and inches are written together; write one number and one unit")]
    TwoUnits,
    /// A second number follows the first without a unit between.
    #[error(" has two numbers without a unit between")]
    TwoNumbers,
    /// Feet and inches are joined with feet that are not whole.
    #[error(": feet before inches must be a whole number")]
    FeetNotWhole,
    /// Feet and inches are joined with twelve or more inches.
    #[error(": inches behind feet must be less than 12")]
    InchesTooMany,
    /// The inches behind feet have no sign of being inches.
    #[error(": the number behind the feet has no unit; write `in` behind it")]
    InchesBare,
    /// Something other than inches follows feet.
    #[error(": only inches can follow feet, not `{unit}`")]
    NotInches {
        /// The unit that follows.
        unit: String,
    },
    /// A sign stands between feet and inches.
    #[error(": a sign belongs before the feet; feet and inches are joined by a space, or by `-` without one")]
    SignInside,
    /// The unit belongs to another kind.
    #[error(" is {}", .found.with_article())]
    OtherKind {
        /// The kind that was written.
        found: Kind,
        /// A unit of the due kind that differs in case alone, as `kN` does from `kn`.
        meant: Option<&'static str>,
    },
    /// The unit is not known.
    #[error(": no unit `{unit}`")]
    UnknownUnit {
        /// The unit as it was read.
        unit: String,
        /// The unit of the due kind that is nearest to it.
        nearest: Option<&'static str>,
    },
    /// There is a ton that may be any of three.
    #[error(
        ": a ton may be three things; write `short ton` (2000 lb), `long ton` (2240 lb) or `tonne` (1000 kg)"
    )]
    BareTon,
    /// The temperature is below absolute zero.
    #[error(" is below absolute zero")]
    BelowAbsoluteZero,
}

fn message(kind: Kind, text: &str, problem: &Problem) -> String {
    let text = shortened(text);
    let due = format!("{} is due, such as {}", kind.with_article(), examples(kind));
    match problem {
        Problem::Empty => format!("{problem}; {due}"),
        Problem::OtherKind {
            meant: Some(meant), ..
        }
        | Problem::UnknownUnit {
            nearest: Some(meant), ..
        } => {
            format!(
                "`{text}`{problem}; did you mean `{meant}`? {}",
                due.replacen('a', "A", 1)
            )
        }
        Problem::UnknownUnit { .. } if kind != Kind::Number => {
            format!("`{text}`{problem}; {due} (units: {})", units(kind))
        }
        Problem::Bare | Problem::NoNumber | Problem::OtherKind { .. } | Problem::UnknownUnit { .. } => {
            format!("`{text}`{problem}; {due}")
        }
        _ => format!("`{text}`{problem}"),
    }
}

fn examples(kind: Kind) -> String {
    let [first, second] = kind.examples();
    format!("`{first}` or `{second}`")
}

fn units(kind: Kind) -> String {
    let mut names: Vec<&str> = Vec::new();
    for name in unit::accepted(kind).filter_map(|unit| unit.spellings.first().copied()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

/// Keeps a message readable when a whole paragraph stands where a quantity is due.
fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    let line: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        format!("{line}…")
    } else {
        line
    }
}
