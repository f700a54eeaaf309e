//! What a pipe may be pressed along its length: buckling and yield, as a column.
//!
//! Conventions: SI; pressed is positive.
//! Assumes: nothing holds the pressed length sideways on its way; its ends stay on their line.
//! Valid for: straight, sound pipes. Of a truss, or where no yield strength is known, buckling as a whole alone.
//! Source: Euler's load, and 0.877 of it over 1.67 as in [bib:aisc-360] E3, for what a pipe is never straight; with yield by
//! Rankine's formula, which is on the safe side of E3 at every length (from memory).
//! Checked by: the tests below, by hand and against E3.

use crate::facts::{PipeFacts, ThrustFacts};
use working::{Expression, Number, Seen, Source};

use quantity::Kind;

/// Thrust over Euler's load up to which crookedness does not matter: EN 1993-1-1, 5.2.1 (from memory).
pub(crate) const CLOSE: f64 = 0.1;

/// Gives the load at which a perfect elastic pipe buckles, newtons.
pub(crate) fn euler(thrust: &ThrustFacts) -> Number {
    let pi = Number::given(
        "circle constant",
        "pi",
        Kind::Number,
        std::f64::consts::PI,
        Source::mechanics("circumference over diameter"),
    );
    let length = Expression::from(&thrust.times) * &thrust.length_m;
    Number::computed(
        "load at which it buckles if it were perfect",
        "P_e",
        Kind::Force,
        &pi * &pi * &thrust.stiffness_n_m2 / (length.clone() * length),
        Source::mechanics("Euler: pi^2 EI over the square of the length that counts"),
    )
}

/// Gives what a pipe may be pressed, newtons.
pub(crate) fn allowed(pipe: &PipeFacts, thrust: &ThrustFacts) -> Number {
    let by_code = |what: &str, symbol: &str, value: f64, place: &str| {
        let source = Source::cited("aisc-360", place, Seen::Memory);
        Number::given(what, symbol, Kind::Number, value, source)
    };
    let crooked = by_code(
        "share of that for pipes that are not perfect",
        "c",
        0.877,
        "section E3",
    );
    let factor = by_code("safety factor on buckling", "Omega", 1.67, "section E1");
    let buckles = &crooked * &euler(thrust);
    let tube = pipe
        .section
        .as_ref()
        .and_then(|part| part.section()?.tube.as_ref());
    let load = match tube.and_then(|tube| Some((tube, tube.yield_pa.as_ref()?))) {
        Some((tube, yield_pa)) => {
            let yields = Number::computed(
                "load at which it yields",
                "P_y",
                Kind::Force,
                yield_pa * &tube.strength_area_m2,
                Source::mechanics("yield strength over all of its section"),
            );
            Expression::from(1.0)
                / (Expression::from(1.0) / buckles + Expression::from(1.0) / Expression::from(&yields))
        }
        None => buckles,
    };
    Number::computed(
        "thrust that it may bear",
        "P_a",
        Kind::Force,
        load / Expression::from(&factor),
        Source::plain(
            "Rankine's formula for buckling and yield, over the safety factor",
            Seen::Memory,
        ),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    /// AISC 360, E3 (from memory), over 1.67.
    fn e3(yields_n: f64, euler_n: f64) -> f64 {
        let ratio = yields_n / euler_n;
        let nominal = if ratio <= 2.25 {
            0.658_f64.powf(ratio) * yields_n
        } else {
            0.877 * euler_n
        };
        nominal / 1.67
    }

    /// 1-1/2 in schedule 40, 29,000 ksi x 0.310 in4: at 5.9 m pi^2 EI / L^2, and never more than E3 lets it.
    #[test]
    fn never_more_than_the_code_and_nearly_that_where_it_is_slender() {
        let pipe = samples::pipe();
        for length_m in [0.2, 0.5, 1.0, 2.0, 4.0, 5.9, 12.0, 30.0] {
            let thrust = samples::thrust(1000.0, length_m, 1.0, &pipe);
            let (found, euler_n) = (allowed(&pipe, &thrust), euler(&thrust).value());
            let by_hand =
                std::f64::consts::PI.powi(2) * thrust.stiffness_n_m2.value() / (length_m * length_m);
            assert!((euler_n / by_hand - 1.0).abs() < 1e-12);
            assert!(found.unsound().is_empty());
            let tube = pipe
                .section
                .as_ref()
                .unwrap()
                .section()
                .unwrap()
                .tube
                .clone()
                .unwrap();
            let yields_n = tube.yield_pa.unwrap().value() * tube.strength_area_m2.value();
            let code_n = e3(yields_n, euler_n);
            assert!(found.value() <= code_n, "{length_m}: {} {code_n}", found.value());
            assert!(
                found.value() > 0.66 * code_n,
                "{length_m}: {} {code_n}",
                found.value()
            );
            if yields_n > 30.0 * euler_n {
                assert!(found.value() > 0.96 * code_n);
            }
        }
    }

    /// A length that counts twice may bear a quarter, where it buckles by bending alone.
    #[test]
    fn an_end_that_is_free_counts_double() {
        let mut pipe = samples::pipe();
        let once = samples::thrust(1000.0, 3.0, 1.0, &pipe);
        let twice = samples::thrust(1000.0, 3.0, 2.0, &pipe);
        pipe.section = None;
        assert!((allowed(&pipe, &once).value() / allowed(&pipe, &twice).value() - 4.0).abs() < 1e-12);
    }
}
