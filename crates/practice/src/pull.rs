//! What a pipe may be pulled along its length.
//!
//! Conventions: SI; pulled is positive.
//! Assumes: all of its section bears the pull: no holes, threads or joints.
//! Valid for: round tube of known yield strength. Of a truss, or where that is not known, there is no limit.
//! Source: yield over all of the section, over 1.67: [bib:aisc-360] D2, from memory.
//! Checked by: the test below, by hand.

use crate::facts::PipeFacts;
use quantity::Kind;
use working::{Number, Seen, Source};

/// Gives what a pipe may be pulled, newtons.
pub(crate) fn allowed(pipe: &PipeFacts) -> Option<Number> {
    let section = pipe.section.as_ref()?.section()?;
    let tube = section.tube.as_ref()?;
    let factor = Number::given(
        "safety factor on yield",
        "Omega",
        Kind::Number,
        1.67,
        Source::cited("aisc-360", "section D2", Seen::Memory),
    );
    Some(Number::computed(
        "pull that it may bear",
        "P_t",
        Kind::Force,
        tube.yield_pa.as_ref()? * &tube.strength_area_m2 / &factor,
        Source::cited("aisc-360", "section D2", Seen::Memory),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, IN, LB};

    /// 1-1/2 in schedule 40: Fy A / 1.67 with A = pi (D - t) t, 1.900 in by 0.93 of 0.145 in.
    #[test]
    fn yield_over_all_of_its_section() {
        let pipe = samples::pipe();
        let found = allowed(&pipe).unwrap();
        let tube = pipe
            .section
            .as_ref()
            .unwrap()
            .section()
            .unwrap()
            .tube
            .as_ref()
            .unwrap();
        let ksi = tube.yield_pa.as_ref().unwrap().value() / (1000.0 * LB / (IN * IN));
        let wall_in = 0.93 * 0.145;
        let by_hand = ksi * 1000.0 * LB * std::f64::consts::PI * (1.900 - wall_in) * wall_in / 1.67;
        assert!(
            (found.value() / by_hand - 1.0).abs() < 1e-9,
            "{} {by_hand}",
            found.value()
        );
        assert!(found.unsound().is_empty());
    }
}
