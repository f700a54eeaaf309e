//! The tail beyond an adjustable grip.
//!
//! Conventions: the subject is a makeup; the tail is the rope beyond the grip, metres.
//! Assumes: the least tail is the maker's figure; there is no general one.
//! Valid for: every adjustable grip.
//! Source: common practice; [bib:wac-33915] (the maker sets the tail).
//! Checked by: the tests below, at the limit.

use crate::finding::{Finding, Severity};
use crate::rule::{COMMON_PRACTICE, Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "grip-tail",
    title: "The tail shows beyond an adjustable grip",
    statement: "The tail beyond an adjustable grip is at least as long as its maker says: shorter is a stop, not stated a \
                caution. Where the maker gives no figure the tail must be seen to come right through the adjustable grip.",
    sources: &[
        SourceRef::Cited(
            "wac-33915",
            "the maker sets the tail, there of wedge sockets",
            Seen::Text,
        ),
        COMMON_PRACTICE,
    ],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

/// A tail cut to inches and stated in millimetres may fall short by this share.
const ROUNDING: f64 = 5e-3;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        for (_, place, piece) in made.pieces() {
            let Some(grip) = piece.part.grip() else { continue };
            let which = format!(
                "the adjustable grip `{}` ({place} of `{}`)",
                piece.part.id, made.makeup.name
            );
            findings.extend(match (&grip.least_tail_m, piece.made.tail_m) {
                (Some(least), Some(tail)) if tail < least.value() * (1.0 - ROUNDING) => {
                    let (tail, least) = (says::metres(tail), says::length(least));
                    let says = format!("the tail beyond {which} is {tail}; its maker asks at least {least}");
                    Some(RULE.stop(
                        made.subject(),
                        says,
                        "Use a longer rope, so that the tail is long enough.",
                    ))
                }
                (Some(least), None) => {
                    let says = format!(
                        "the tail beyond {which} is not stated; its maker asks {}",
                        says::length(least)
                    );
                    Some(RULE.caution(made.subject(), says, "Measure it and write `tail = ...`."))
                }
                (None, _) => {
                    let says = format!(
                        "the maker of {which} gives no least tail; see that the rope comes right through"
                    );
                    Some(RULE.note(
                        made.subject(),
                        says,
                        "Mark the rope where it leaves, so that a slip shows.",
                    ))
                }
                (Some(_), Some(_)) => None,
            });
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, IN};

    fn found(least_in: Option<f64>, tail_in: Option<f64>) -> Vec<String> {
        let mut grip = samples::grip(420.0, Some(5.0));
        samples::edit_grip(&mut grip, |grip| {
            grip.least_tail_m = least_in.map(|least| samples::length(least * IN));
        });
        let mut makeup = samples::gripped(grip);
        makeup.pieces[3].made.tail_m = tail_in.map(|tail| tail * IN);
        let mut facts = samples::grip_rig();
        facts.lines[0] = samples::line("nw", makeup, 115.0);
        samples::severities(RULE.id, &facts)
    }

    #[test]
    fn the_tail_is_the_makers_figure() {
        assert!(found(Some(2.0), Some(2.0)).is_empty());
        assert_eq!(found(Some(2.0), Some(1.9)), ["stop"]);
        assert_eq!(found(Some(2.0), None), ["caution"]);
        assert_eq!(found(None, None), ["note"]);
        assert_eq!(found(None, Some(1.0)), ["note"]);
    }
}
