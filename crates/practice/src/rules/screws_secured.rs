//! Screws that can turn out by themselves.
//!
//! Conventions: the subject is a makeup.
//! Assumes: what hangs still for long is shaken all the same.
//! Valid for: shackles and turnbuckles in makeups.
//! Source: [bib:wac-33905], [bib:wac-56110].
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use parts::Body;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "screws-secured",
    title: "Shackle pins and turnbuckles are kept from turning",
    statement: "In place for long, a shackle's screw pin is fully home and secured against turning, or of the bolt type \
                with nut and cotter; a turnbuckle is secured so that it can not unscrew.",
    sources: &[
        SourceRef::Cited("wac-33905", "screw pins", Seen::Text),
        SourceRef::Cited("wac-56110", "turnbuckles", Seen::Text),
    ],
    severity: Severity::Note,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for made in judged.makeups() {
        let mut screws: Vec<&str> = Vec::new();
        for piece in &made.makeup.pieces {
            let turns = matches!(piece.part.body, Body::Shackle(_) | Body::Turnbuckle(_));
            if turns && !screws.contains(&piece.part.id.as_str()) {
                screws.push(&piece.part.id);
            }
        }
        if !screws.is_empty() {
            let says = format!(
                "what can unscrew by itself in `{}`: {}",
                made.makeup.name,
                says::names(screws)
            );
            findings.push(RULE.note(
                made.subject(),
                says,
                "Secure them with wire or cotter, and look at them again.",
            ));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_makeup_with_shackles_is_reminded_once() {
        assert_eq!(samples::severities(RULE.id, &samples::rig()), ["note"]);
        let mut facts = samples::rig();
        let bare = samples::makeup(
            "bare",
            vec![samples::eye(0.9), samples::rope(), samples::eye(0.9)],
        );
        facts.lines = vec![samples::line("nw", bare, 1.0)];
        assert!(samples::found(RULE.id, &facts).is_empty());
    }
}
