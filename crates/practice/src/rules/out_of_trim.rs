//! Lengths to trim that do not reach the trim.
//!
//! Conventions: the subject is the pick's load; metres, how much too high a pick is.
//! Assumes: the caller found lengths that come as near as they can.
//! Valid for: rigs with lines to trim of which the others hold a pick off.
//! Source: our judgement: nothing is left out in silence.
//! Checked by: the test below; rig/tests/main/to_trim.rs.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "out-of-trim",
    title: "Lengths to trim reach the trim",
    statement: "Lengths that are to be found put every pick at its height within 5 mm (3/16 in). Where lines of stated \
                length, or places, do not let them, the rig hangs otherwise than drawn by as much as is said.",
    sources: &[SourceRef::Plain(
        "nothing is left out in silence",
        Seen::Judgement,
    )],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let each = judged.facts.out_of_trim_m.iter().map(|(pick, too_high_m)| {
        let way = if *too_high_m > 0.0 { "high" } else { "low" };
        let load = pick.split('.').next().unwrap_or_default();
        let says = format!(
            "no lengths of the lines to trim put `{load}` at its trim: `{pick}` hangs {} too {way}, and no pick is further off",
            says::apart(too_high_m.abs())
        );
        let mend = "Look at lines of stated length beside them, at points and at the trim; or state the lengths meant.";
        RULE.caution(format!("loads.{load}"), says, mend)
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_pick_that_is_not_reached_is_a_caution_with_its_height() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.out_of_trim_m = vec![("crate.nw".into(), 0.0508), ("crate.se".into(), -0.0254)];
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 2);
        assert!(
            found[0].says.contains("2 in (50.8 mm) too high"),
            "{}",
            found[0].says
        );
        assert!(
            found[1].says.contains("1 in (25.4 mm) too low"),
            "{}",
            found[1].says
        );
    }
}
