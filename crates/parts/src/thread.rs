//! The pitch of coarse screw threads by nominal diameter.
//!
//! Conventions: SI; threads per inch as the standard lists them.
//! Assumes: turnbuckles have coarse threads of the nominal diameter by which they are called, right hand at one end and left
//! hand at the other.
//! Valid for: the nominal diameters of the table; no other has a pitch here.
//! Source: ASME B1.1, unified coarse series (UNC), as two trade tables of threads reprint it; the standard was not seen.
//! Checked by: the tests below, against the pitches that follow from 3/8-16 and the like.

use crate::fit::same_size;
use quantity::Kind;
use working::{Number, Seen, Source};

/// Nominal diameter in inches, threads per inch.
const UNC: [(f64, f64); 16] = [
    (0.25, 20.0),
    (0.3125, 18.0),
    (0.375, 16.0),
    (0.4375, 14.0),
    (0.5, 13.0),
    (0.5625, 12.0),
    (0.625, 11.0),
    (0.75, 10.0),
    (0.875, 9.0),
    (1.0, 8.0),
    (1.125, 7.0),
    (1.25, 7.0),
    (1.375, 6.0),
    (1.5, 6.0),
    (1.75, 5.0),
    (2.0, 4.5),
];

/// One inch, metres, by definition.
const INCH_M: f64 = 0.0254;

/// Gives the pitch of the coarse thread of a nominal diameter; none where there is none.
pub(crate) fn coarse_pitch_m(id: &str, diameter_m: f64) -> Option<Number> {
    let (_, per_inch) = UNC
        .iter()
        .find(|(diameter_in, _)| same_size(diameter_in * INCH_M, diameter_m))?;
    let says =
        format!("ASME B1.1, unified coarse thread, {per_inch} threads per inch, as trade tables reprint it");
    Some(Number::given(
        format!("pitch of the thread of {id}"),
        "p",
        Kind::Stretch,
        INCH_M / per_inch,
        Source::plain(says, Seen::Text),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A 3/8-16 screw moves 1/16 in a turn and a 1/2-13 one 1/13 in; there is no coarse thread of 1/3 in.
    #[test]
    fn a_turn_moves_a_screw_by_its_pitch() {
        let pitch = |inches: f64| coarse_pitch_m("x", inches * INCH_M).map(|pitch| pitch.value());
        assert_eq!(pitch(0.375), Some(0.0254 / 16.0));
        assert_eq!(pitch(0.5), Some(0.0254 / 13.0));
        assert_eq!(pitch(1.0 / 3.0), None);
    }
}
