//! Cases hotter or colder than ropes and ends are rated for.
//!
//! Conventions: the subject is the rig; kelvin.
//! Assumes: the lines have the temperature of the case.
//! Valid for: cases that state a temperature.
//! Source: the limits usual for slings of wire rope with fibre core, from memory; ends have their makers' own.
//! Checked by: the test below, at the limits.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use quantity::{Kind, Style};
use working::Seen;

/// -40 degC and 82 degC (180 degF).
const COLD_K: f64 = 233.15;
const HOT_K: f64 = 355.15;

pub(crate) static RULE: Rule = Rule {
    id: "temperature",
    title: "Ropes and ends are rated for the temperature",
    statement: "Ratings hold between -40 degC (-40 degF) and 82 degC (180 degF). Hotter or colder than that, ropes with fibre \
                cores, pressed sleeves, synthetic parts and many steels carry less, and their makers' limits govern; no \
                working load here is lowered for it.",
    sources: &[SourceRef::Plain(
        "limits of use of wire rope slings with fibre core, as in ASME B30.9",
        Seen::Memory,
    )],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let outside = judged
        .facts
        .temperature_k
        .filter(|k| !(COLD_K - 1e-6..=HOT_K + 1e-6).contains(k));
    let told = outside.map(|k| {
        let says = format!(
            "the lines have {}, and ratings are for -40 to 82 degC (-40 to 180 degF)",
            Kind::Temperature.print(k, Style::both())
        );
        let mend = "Ask the makers of rope, ends and hardware what they may carry at that temperature.";
        RULE.caution("rig", says, mend).sized((k - 293.15).abs())
    });
    told.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn what_is_hotter_or_colder_than_ratings_hold_is_a_caution() {
        let mut facts = samples::rig();
        for (celsius, expected) in [
            (None, 0),
            (Some(-41.0), 1),
            (Some(-40.0), 0),
            (Some(82.0), 0),
            (Some(83.0), 1),
        ] {
            facts.temperature_k = celsius.map(|c| c + 273.15);
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{celsius:?}");
        }
    }
}
