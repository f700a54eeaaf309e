//! Loads that are drawn below the floor.
//!
//! Conventions: the subject is a load; heights in metres above z = 0.
//! Assumes: the floor is at z = 0, which every verdict lists as assumed.
//! Valid for: loads; the lowest known place is a pick, an item or the origin, so the load itself may reach lower.
//! Source: our judgement.
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "floor",
    title: "A load hangs above the floor",
    statement: "Heights count from the floor at z = 0. A load with a place below that stands on the floor or is drawn from \
                elsewhere, and what depends on its height is not known.",
    sources: &[SourceRef::Plain("nothing hangs below the floor", Seen::Judgement)],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let below = judged.facts.loads.iter().filter(|load| load.height_m < 0.0);
    let each = below.map(|load| {
        let below = says::metres(-load.height_m);
        let says = format!("`{}` has a place {below} below the floor at z = 0", load.name);
        let mend = "Draw heights from the floor, or correct the lengths.";
        RULE.caution(format!("loads.{}", load.name), says, mend)
            .sized(-load.height_m)
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_place_below_the_floor_is_a_caution() {
        let mut facts = samples::rig();
        for (height_m, expected) in [(0.0, 0), (-0.01, 1), (f64::INFINITY, 0)] {
            facts.loads[0].height_m = height_m;
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{height_m}");
        }
    }
}
