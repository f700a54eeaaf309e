//! Eyes and what they bear on.
//!
//! Conventions: the subject is a makeup; D is the pin, d the rope, both in metres.
//! Assumes: an eye bears on the next part away from the rope, or on the stated pin or bar.
//! Valid for: eyes of pressed or spliced ends, and eyes closed by clips.
//! Source: [bib:en13414-len], [bib:en13414-t4], [bib:univ-prod], [bib:clips-trade2].
//! Checked by: the tests below, at the limits.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Made, Rule, SourceRef};
use crate::says;
use crate::working_load::{borne_on, is_soft_eye, pin_of};
use parts::{Body, EndForm, Part};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "eyes",
    title: "An eye has a thimble, and no eye goes over a pin smaller than the rope",
    statement: "An eye that bears on a fitting, and every eye that clips close, has a thimble. A soft eye may bear on \
                a bar at least twice the rope's diameter. No eye goes over a pin smaller than the rope: with a thimble \
                that is a caution, without one a stop. Where the bar under a soft eye is not stated that is a caution.",
    sources: &[
        SourceRef::Cited("en13414-len", "with a fitting a thimble is required", Seen::Text),
        SourceRef::Cited("en13414-t4", "bearing point at least 2 d", Seen::Text),
        SourceRef::Cited(
            "univ-prod",
            "a thimble in every swaged or clipped eye",
            Seen::Text,
        ),
        SourceRef::Cited(
            "clips-trade2",
            "no eye over a pin smaller than the rope",
            Seen::Text,
        ),
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

const LEAST_SOFT: f64 = 2.0;
const LEAST: f64 = 1.0;
/// Diameters in inches, divided, come out a few parts in 1e16 off a whole ratio.
const ROUNDING: f64 = 1e-9;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        for (index, place, piece) in made.pieces().filter(|(_, _, piece)| is_eye(&piece.part)) {
            findings.extend(judge_eye(&made, index, place, &piece.part));
        }
    }
    findings
}

fn is_eye(part: &Part) -> bool {
    match &part.body {
        Body::End(end) => end.form == EndForm::Eye,
        Body::Clips(_) => true,
        _ => false,
    }
}

fn judge_eye(made: &Made<'_>, index: usize, place: &str, part: &Part) -> Option<Finding> {
    let (rope, rope_at) = (made.rope()?, made.rope_at?);
    let which = format!("the eye of `{}` ({place} of `{}`)", part.id, made.makeup.name);
    let pin = pin_of(made.makeup, index, rope_at);
    let ratio = pin
        .as_ref()
        .map(|pin| pin.value() / rope.diameter_m.value() * (1.0 + ROUNDING));
    let over = pin
        .as_ref()
        .map(|pin| format!("{which} bears on a pin or bar of {}", says::length(pin)))
        .unwrap_or_default();
    let size = says::length(&rope.diameter_m);
    if !is_soft_eye(made.makeup, index) {
        let is_thin = ratio.is_some_and(|ratio| ratio < LEAST);
        let says = format!("{over}, thinner than the rope's own {size}");
        return is_thin.then(|| RULE.caution(made.subject(), says, "Use a thicker pin."));
    }
    let mend = "Put a thimble of the rope's size into the eye.";
    if let Some(fitting) = borne_on(made.makeup, index, rope_at) {
        let says = format!("{which} bears on `{}` without a thimble", fitting.part.id);
        return Some(RULE.stop(made.subject(), says, mend));
    }
    if matches!(part.body, Body::Clips(_)) {
        return Some(RULE.stop(made.subject(), format!("{which} has no thimble"), mend));
    }
    match ratio {
        Some(ratio) if ratio < LEAST_SOFT => {
            let says = format!("{over} without a thimble; twice the rope's {size} is due");
            Some(RULE.stop(
                made.subject(),
                says,
                "Put in a thimble, or let it bear on something thicker.",
            ))
        }
        Some(_) => None,
        None => {
            let says = format!("{which} has no thimble, and it is not stated what it bears on");
            Some(RULE.caution(
                made.subject(),
                says,
                "Put in a thimble, or state the diameter of the pin or bar.",
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, IN};

    fn found(parts: Vec<Part>, pin_in: Option<f64>) -> Vec<String> {
        let mut makeup = samples::makeup("leg", parts);
        makeup.pieces[0].made.pin_diameter_m = pin_in.map(|pin| pin * IN);
        let mut facts = samples::rig();
        facts.lines.truncate(1);
        facts.lines[0] = samples::line("nw", makeup, 100.0);
        samples::severities(RULE.id, &facts)
    }

    fn soft(pin_in: Option<f64>) -> Vec<String> {
        found(
            vec![
                samples::end(EndForm::Eye, false, 0.9),
                samples::rope(),
                samples::eye(0.9),
            ],
            pin_in,
        )
    }

    #[test]
    fn a_soft_eye_bears_on_twice_the_rope_or_has_a_thimble() {
        assert!(soft(Some(0.375)).is_empty());
        assert_eq!(soft(Some(0.374)), ["stop"]);
        assert_eq!(soft(None), ["caution"]);
        let with_thimble = vec![
            samples::thimble(0.1875),
            samples::end(EndForm::Eye, false, 0.9),
            samples::rope(),
            samples::eye(0.9),
        ];
        assert!(found(with_thimble, None).is_empty());
    }

    #[test]
    fn a_soft_eye_on_a_fitting_is_a_stop_however_thick_its_pin() {
        let parts = vec![
            samples::shackle(),
            samples::end(EndForm::Eye, false, 0.9),
            samples::rope(),
            samples::eye(0.9),
        ];
        assert_eq!(found(parts, None), ["stop"]);
    }

    #[test]
    fn a_thimbled_eye_over_a_thin_pin_is_a_caution() {
        let thimbled = |pin| found(vec![samples::eye(0.9), samples::rope(), samples::eye(0.9)], pin);
        assert!(thimbled(Some(0.1875)).is_empty());
        assert_eq!(thimbled(Some(0.187)), ["caution"]);
    }

    #[test]
    fn clips_without_a_thimble_are_a_stop() {
        assert_eq!(
            found(
                vec![samples::clips(true), samples::rope(), samples::eye(0.9)],
                Some(1.0)
            ),
            ["stop"]
        );
    }

    /// Each leg of the eye carries half: over a pin of 2 d, 2 x 4200 lbf x 0.65 = 5460 lbf, more than the end leaves.
    #[test]
    fn the_bend_of_a_soft_eye_leaves_twice_the_bent_strength() {
        let mut makeup = samples::makeup(
            "leg",
            vec![
                samples::end(EndForm::Eye, false, 0.9),
                samples::rope(),
                samples::eye(0.9),
            ],
        );
        makeup.pieces[0].made.pin_diameter_m = Some(0.375 * IN);
        let practice = crate::Practices::published().get("static-overhead").unwrap();
        let load = crate::working_load(&makeup, &[], &practice, crate::Under::Crew);
        let over = load
            .by_part
            .iter()
            .find(|part| part.place.contains("over its pin"))
            .unwrap();
        assert!((over.working_load_n.value() / samples::LB - 5460.0 / 5.0).abs() < 1e-6);
        assert!((load.working_load_n.unwrap().value() / samples::LB - 756.0).abs() < 1e-6);
    }
}
