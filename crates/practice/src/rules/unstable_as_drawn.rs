//! A load that balances as drawn but does not stay there.
//!
//! Conventions: the subject is a load; the pose is the one in the document, before it settles.
//! Assumes: the caller has held the rotations at trim, relaxed the rest and looked at the rotational stiffness, and at whether what came
//! out is elsewhere to a person's eye.
//! Valid for: loads with a stated trim.
//! Source: statics.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::far_from_trim::is_tipped;
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "unstable-as-drawn",
    title: "The pose as drawn is stable",
    statement: "A load that balances where it is drawn but does not stay there, as a pencil on its point, settles elsewhere. \
                If it rolls over, to a tilt of more than 30 degrees, or does not hang at all, that is a stop, and a \
                caution if it settles nearer. One that settles where it was drawn, to within half a degree of tilt, is none of these.",
    sources: &[SourceRef::Plain("stability of equilibrium", Seen::Mechanics)],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let loads = judged.facts.loads.iter().filter(|load| load.unstable_as_drawn);
    loads
        .map(|load| {
            let subject = format!("loads.{}", load.name);
            let mend = "Put the picks above the centre of gravity, or spread them.";
            match load.tilt_rad.filter(|_| load.falls.is_none()) {
                None => {
                    let says = format!("`{}` does not stay as drawn, and does not hang", load.name);
                    RULE.stop(subject, says, mend)
                }
                Some(tilt) => {
                    let tilt = says::angle(tilt);
                    let says = format!(
                        "`{}` does not stay as drawn: it settles at a tilt of {tilt}",
                        load.name
                    );
                    if is_tipped(load) {
                        RULE.stop(subject, says, mend)
                    } else {
                        RULE.caution(subject, says, mend)
                    }
                }
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn unstable(tilt_deg: Option<f64>) -> crate::Facts {
        let mut facts = samples::rig();
        facts.loads[0].unstable_as_drawn = true;
        facts.loads[0].tilt_rad = tilt_deg.map(f64::to_radians);
        facts
    }

    #[test]
    fn a_load_that_stays_as_drawn_is_fine() {
        assert!(samples::found(RULE.id, &samples::rig()).is_empty());
    }

    #[test]
    fn a_load_that_rolls_over_or_falls_is_a_stop() {
        for tilt in [Some(30.01), Some(180.0), None] {
            assert_eq!(
                samples::severities(RULE.id, &unstable(tilt)),
                ["stop"],
                "{tilt:?}"
            );
        }
        let mut facts = unstable(Some(0.0));
        facts.loads[0].falls = Some("nothing is above it".into());
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    #[test]
    fn a_load_that_settles_nearby_is_a_caution_with_its_tilt() {
        assert_eq!(samples::severities(RULE.id, &unstable(Some(29.99))), ["caution"]);
        let says = &samples::found(RULE.id, &unstable(Some(0.2)))[0].says;
        assert!(says.ends_with("it settles at a tilt of 0.2 degrees"), "{says}");
    }
}
