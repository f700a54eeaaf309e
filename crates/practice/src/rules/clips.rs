//! Clips are set as their table says.
//!
//! Conventions: the subject is a makeup; lengths in metres, torque in newton metres.
//! Assumes: the table figures of the part are for its rope size; torque is on clean, dry threads.
//! Valid for: U-bolt and double-saddle clips.
//! Source: [bib:osha-1918], [bib:nav-14026-clips], [bib:wac-33915], [bib:clips-trade], [bib:b3026-2010].
//! Checked by: the tests below; tests/main/published.rs (ex03, ex11).

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Made, Rule, SourceRef};
use crate::says;
use parts::{Body, Clips, Piece, Rope};
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "clips",
    title: "Clips are set as their table says",
    statement: "Clips are at least as many and as far apart, the rope is turned back at least as far and the nuts are \
                set to the torque, as the table for the rope's size says; saddles bear on the live part. What is set \
                otherwise is a stop, what is not stated a caution. Clips of cast iron and clips on strand are a stop; \
                on coated rope they are a caution. Torque is set again after the first load.",
    sources: &[
        SourceRef::Cited("osha-1918", "number and spacing", Seen::Text),
        SourceRef::Cited(
            "wac-33915",
            "saddle on the live part, torque again after loading",
            Seen::Text,
        ),
        SourceRef::Cited("clips-trade", "turnback and torque", Seen::Text),
        SourceRef::Cited("b3026-2010", "26-3.1.2(a), forged saddles", Seen::Text),
        SourceRef::Cited("en13411-5s", "not on strand", Seen::Text),
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

/// Torque may be this share off the table's figure: a hand torque wrench is good to about a twentieth.
const TORQUE_TOLERANCE: f64 = 0.10;
/// Lengths made to a figure in inches and stated in millimetres may fall short by this share.
const ROUNDING: f64 = 5e-3;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        for (_, place, piece) in made.pieces() {
            if let Body::Clips(clips) = &piece.part.body {
                findings.extend(judge_clips(&made, place, piece, clips));
            }
        }
    }
    findings
}

fn judge_clips(made: &Made<'_>, place: &str, piece: &Piece, clips: &Clips) -> Vec<Finding> {
    let which = format!("`{}` ({place} of `{}`)", piece.part.id, made.makeup.name);
    let (wrong, unsaid) = compare(piece, clips);
    let mut findings = Vec::new();
    let mut stop = |says: String, mend: &str| findings.push(RULE.stop(made.subject(), says, mend));
    if !clips.forged {
        stop(
            format!("{which} are cast; cast clips are not for hanging loads"),
            "Use clips with forged saddles.",
        );
    }
    if made.rope().is_some_and(Rope::is_strand) {
        stop(
            format!("{which} are on strand, which clips are not for"),
            "Use a swaged or poured end.",
        );
    }
    if !wrong.is_empty() {
        stop(
            format!("{which} are set wrongly: {}", wrong.join("; ")),
            "Set them as the table says.",
        );
    }
    if made.rope().is_some_and(|rope| rope.coated) {
        let says = format!("{which} are on coated rope");
        findings.push(RULE.caution(
            made.subject(),
            says,
            "Ask the makers of both; strip the coating under the clips.",
        ));
    }
    if !unsaid.is_empty() {
        let says = format!("of {which} these are not stated: {}", says::list(unsaid));
        findings.push(RULE.caution(
            made.subject(),
            says,
            "State how they are set, as measured on the finished end.",
        ));
    }
    findings
}

/// Compares how clips are set with their table: what is wrong, and what is not stated.
fn compare(piece: &Piece, clips: &Clips) -> (Vec<String>, Vec<&'static str>) {
    let (made, mut wrong, mut unsaid) = (&piece.made, Vec::new(), Vec::new());
    match made.count {
        Some(count) if f64::from(count) < clips.least_count.value() => {
            wrong.push(format!(
                "{count} clips, at least {} are due",
                clips.least_count.value()
            ));
        }
        Some(_) => {}
        None => unsaid.push("their number"),
    }
    let mut at_least = |stated: Option<f64>, due: Option<f64>, what: &'static str| match (stated, due) {
        (Some(stated), Some(due)) if stated < due * (1.0 - ROUNDING) => {
            wrong.push(format!(
                "{what} {}, at least {} is due",
                says::metres(stated),
                says::metres(due)
            ));
        }
        (None, Some(_)) => unsaid.push(what),
        _ => {}
    };
    at_least(made.spacing_m, Some(clips.spacing_m.value()), "spacing");
    at_least(
        made.turnback_m,
        clips.turnback_m.as_ref().map(working::Number::value),
        "turnback",
    );
    match (
        made.torque_n_m,
        clips.torque_n_m.as_ref().map(working::Number::value),
    ) {
        (Some(stated), Some(due)) if (stated - due).abs() > TORQUE_TOLERANCE * due => {
            wrong.push(format!(
                "torque {}, {} is due",
                says::newton_metres(stated),
                says::newton_metres(due)
            ));
        }
        (None, Some(_)) => unsaid.push("torque"),
        _ => {}
    }
    match made.saddle_on_live {
        Some(true) => {}
        Some(false) => wrong.push("the saddles bear on the dead end".into()),
        None => unsaid.push("which part the saddles bear on"),
    }
    (wrong, unsaid)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, IN};
    use parts::Made;

    fn set() -> Made {
        Made {
            count: Some(3),
            spacing_m: Some(1.125 * IN),
            turnback_m: Some(3.75 * IN),
            torque_n_m: Some(10.2),
            saddle_on_live: Some(true),
            ..Made::default()
        }
    }

    fn found(forged: bool, rope: parts::Part, change: impl FnOnce(&mut Made)) -> Vec<Finding> {
        let parts = vec![
            samples::eye(0.95),
            rope,
            samples::thimble(0.1875),
            samples::clips(forged),
        ];
        let mut makeup = samples::makeup("leg", parts);
        makeup.pieces[3].made = set();
        change(&mut makeup.pieces[3].made);
        let mut facts = samples::rig();
        facts.lines.truncate(1);
        facts.lines[0] = samples::line("nw", makeup, 100.0);
        samples::found(RULE.id, &facts)
    }

    fn says(change: impl FnOnce(&mut Made)) -> String {
        let found = found(true, samples::rope(), change);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Stop));
        found[0].says.clone()
    }

    #[test]
    fn clips_set_by_the_table_are_in_order() {
        assert!(found(true, samples::rope(), |_| ()).is_empty());
        assert!(found(true, samples::rope(), |made| made.count = Some(4)).is_empty());
        assert!(found(true, samples::rope(), |made| made.torque_n_m = Some(11.0)).is_empty());
    }

    #[test]
    fn each_wrong_setting_is_a_stop_with_the_figure_that_is_due() {
        assert!(says(|made| made.count = Some(2)).contains("2 clips, at least 3 are due"));
        assert!(says(|made| made.spacing_m = Some(1.0 * IN)).contains("spacing"));
        assert!(says(|made| made.turnback_m = Some(3.0 * IN)).contains("turnback"));
        assert!(says(|made| made.torque_n_m = Some(5.0)).contains("torque"));
        assert!(says(|made| made.saddle_on_live = Some(false)).contains("dead end"));
    }

    #[test]
    fn what_is_not_stated_is_one_caution() {
        let found = found(true, samples::rope(), |made| *made = Made::default());
        assert_eq!((found.len(), found[0].severity), (1, Severity::Caution));
        assert!(found[0].says.contains("their number, spacing, turnback, torque"));
    }

    #[test]
    fn cast_clips_and_clips_on_strand_are_stops() {
        assert_eq!(found(false, samples::rope(), |_| ())[0].severity, Severity::Stop);
        let strand = samples::rope_of("1x19", "galvanised", 0.1875, 4700.0);
        assert_eq!(found(true, strand, |_| ())[0].severity, Severity::Stop);
    }
}
