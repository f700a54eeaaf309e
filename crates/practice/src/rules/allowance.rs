//! What the building allows.
//!
//! Conventions: the subject is a point or a group of points; forces of the rig on the building, down and sideways.
//! Assumes: the building's engineer means static forces; ours are raised by the dynamic factor.
//! Valid for: points and groups; a pull upward is no force down and needs its own word from the engineer.
//! Source: the building's engineer, as the rig document says.
//! Checked by: the tests below, at the limits.

use crate::demand;
use crate::facts::Allowance;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use crate::utilisation::NOISE_N;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "allowance",
    title: "The building allows what it gets",
    statement: "Each point, and the points on one beam together, get no more than the building's engineer allows, down \
                and sideways. Each counts the greatest force that it may get, whatever the exact lengths. Where nothing is allowed \
                sideways, a hundredth of the force down is a caution: the lines are not quite plumb. No allowance, none for a direction that is pulled, or a pull upward, is a caution.",
    sources: &[SourceRef::Plain(
        "what the building's engineer allows, as the rig document says",
        Seen::Stated,
    )],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// A side force below this share of the force down is the solver's, or a plumb line's own, and needs no allowance.
const NEGLIGIBLE: f64 = 1e-3;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (facts, point) in judged.facts.points.iter().zip(&judged.measured.points) {
        let subject = format!("points.{}", point.name);
        let worst = facts.worst_up_n.as_ref();
        findings.extend(upward(
            &subject,
            point.up_n.as_ref(),
            facts.down_n.as_ref(),
            worst,
        ));
        findings.extend(judge_at(
            &subject,
            facts.allows.as_ref(),
            point.down_n.as_ref(),
            point.side_n.as_ref(),
            true,
        ));
    }
    for (facts, group) in judged.facts.groups.iter().zip(&judged.measured.groups) {
        let subject = format!("groups.{}", group.name);
        let worst = facts.worst_up_n.as_ref();
        findings.extend(upward(
            &subject,
            group.up_n.as_ref(),
            facts.down_n.as_ref(),
            worst,
        ));
        findings.extend(judge_at(
            &subject,
            facts.allows.as_ref(),
            group.down_n.as_ref(),
            group.side_n.as_ref(),
            false,
        ));
    }
    findings
}

/// A pull upward at its most, the dynamic factor included where it is known, and at the stated lengths.
fn upward(
    subject: &str,
    raised: Option<&Number>,
    down: Option<&Number>,
    worst: Option<&Number>,
) -> Option<Finding> {
    let found = demand::upward(down?, worst)?;
    let most_n = raised.unwrap_or(&found).value();
    let stated_n = -down?.value();
    let name = name_of(subject);
    let says = if most_n > stated_n * (1.0 + 1e-6) {
        let as_stated = if stated_n > NOISE_N {
            format!(
                "{} at the stated lengths, before any dynamic factor",
                says::newtons(stated_n)
            )
        } else {
            "not at the stated lengths".into()
        };
        format!(
            "`{name}` is pulled upward by up to {}, {as_stated}",
            says::newtons(most_n)
        )
    } else {
        format!("`{name}` is pulled upward by {}", says::newtons(most_n))
    };
    let mend = "Ask the building's engineer about a pull upward.";
    Some(RULE.caution(subject, says, mend).sized(most_n).about("upward"))
}

fn name_of(subject: &str) -> &str {
    subject.split_once('.').map_or(subject, |(_, name)| name)
}

/// `is_due` tells whether the absence of an allowance is worth a word.
fn judge_at(
    subject: &str,
    allows: Option<&Allowance>,
    down: Option<&Number>,
    side: Option<&Number>,
    is_due: bool,
) -> Vec<Finding> {
    let name = name_of(subject);
    let Some(allows) = allows else {
        let forces: Vec<String> = [
            down.map(says::force),
            side.map(|side| format!("{} sideways", says::force(side))),
        ]
        .into_iter()
        .flatten()
        .collect();
        let says = format!(
            "it is not said what the building allows at `{name}`, which gets {}",
            forces.join(" and ")
        );
        let mend = "Ask the building's engineer; write `allows = { down = ..., side = ..., by = ..., document = ... }`.";
        return is_due
            .then(|| RULE.caution(subject, says, mend))
            .into_iter()
            .collect();
    };
    let past = past(allows, down, side);
    let nearly_plumb = nearly_plumb(allows, down, side);
    let mut findings: Vec<Finding> = past
        .iter()
        .map(|says| RULE.stop(subject, format!("`{name}` {says}"), MEND))
        .collect();
    findings.extend(nearly_plumb.map(|says| {
        let mend = "Hang it plumb, or ask the engineer for so much sideways.";
        RULE.caution(subject, format!("`{name}` {says}"), mend)
    }));
    let down_value = down.map_or(0.0, Number::value);
    let side_matters = side.is_some_and(|side| side.value() > NEGLIGIBLE * down_value.abs());
    for (force, allowed, way, matters) in [
        (down, &allows.down_n, "down", down_value > 0.0),
        (side, &allows.side_n, "sideways", side_matters),
    ] {
        let Some(force) = force else { continue };
        match allowed {
            None if matters => {
                let says = format!(
                    "`{name}` gets {} {way}, for which no allowance is stated",
                    says::force(force)
                );
                findings.push(RULE.caution(
                    subject,
                    says,
                    "Ask the building's engineer for this direction too.",
                ));
            }
            _ => {}
        }
    }
    if is_due && allows.by.is_none() {
        let says = format!("it is not said who allows the forces at `{name}`");
        findings.push(RULE.caution(
            subject,
            says,
            "Write `by = ...` and `document = ...` in `allows`.",
        ));
    }
    findings
}

/// What mends a force that is more than is allowed.
pub(crate) const MEND: &str = "Hang less from it, spread the load, or ask the engineer again.";

/// Says which forces are more than is allowed, as in `gets 501 lb down; allowed is 500 lb`.
pub(crate) fn past(allows: &Allowance, down: Option<&Number>, side: Option<&Number>) -> Vec<String> {
    let by = allows
        .by
        .as_deref()
        .map(|by| format!(" by {by}"))
        .unwrap_or_default();
    let each = [(down, &allows.down_n, "down"), (side, &allows.side_n, "sideways")];
    let past = each.into_iter().filter_map(|(force, allowed, way)| {
        let (force, allowed) = (force?, allowed.as_ref()?);
        let nearly = |down: &Number| is_nearly_plumb(down.value(), force.value(), allowed.value());
        let plumb = way == "sideways" && down.is_some_and(nearly);
        (is_past(force, allowed) && !plumb).then(|| {
            let [force, allowed] = says::past(force, allowed);
            format!("gets {force} {way}; allowed{by} is {allowed}")
        })
    });
    past.collect()
}

/// A side force of less than this share of the force down is that of a line half a degree off plumb.
const PLUMB: f64 = 0.01;

/// Says what little comes sideways where nothing is allowed: whoever allows nothing means a plumb line.
fn nearly_plumb(allows: &Allowance, down: Option<&Number>, side: Option<&Number>) -> Option<String> {
    let (down, side, allowed) = (down?, side?, allows.side_n.as_ref()?);
    let little = is_past(side, allowed) && is_nearly_plumb(down.value(), side.value(), allowed.value());
    little.then(|| {
        let force = says::force(side);
        format!("gets {force} sideways, where nothing is allowed: its lines are not quite plumb")
    })
}

/// Tells whether a force where nothing is allowed is so little of another that it is of no account.
pub(crate) fn is_nearly_plumb(down_n: f64, side_n: f64, allowed_n: f64) -> bool {
    allowed_n <= NOISE_N && side_n <= PLUMB * down_n
}

/// Tells whether a force in one direction is allowed, or where none is, so little of the whole force that nobody speaks of it: a line
/// that is not quite plumb, or the weight of one that is pulled the other way.
pub(crate) fn is_allowed(of_n: f64, whole_n: f64, allowed_n: f64) -> bool {
    of_n <= allowed_n + NOISE_N || is_nearly_plumb(whole_n, of_n, allowed_n)
}

/// Tells whether a force is more than is allowed; one that is no number is.
fn is_past(force: &Number, allowed: &Number) -> bool {
    let fits = force.value() <= allowed.value() + NOISE_N;
    !fits
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::{GroupFacts, Service};
    use crate::samples::{self, LB};

    #[test]
    fn the_allowance_itself_is_allowed_and_more_is_a_stop() {
        let mut facts = samples::rig();
        for (down, side, expected) in [
            (500.0, 60.0, 0),
            (500.1, 60.0, 1),
            (500.0, 60.1, 1),
            (501.0, 61.0, 2),
        ] {
            facts.points[0].down_n = Some(samples::force(down * LB));
            facts.points[0].side_n = Some(samples::force(side * LB));
            assert_eq!(
                samples::severities(RULE.id, &facts),
                vec!["stop"; expected],
                "{down} {side}"
            );
        }
    }

    #[test]
    fn the_dynamic_factor_counts_at_the_building_too() {
        let mut facts = samples::rig();
        facts.points[0].down_n = Some(samples::force(450.0 * LB));
        facts.points[0].service = Service::Moving;
        facts.points[0].dynamic = Some(samples::given("dynamic factor", quantity::Kind::Number, 1.2));
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    #[test]
    fn the_worst_force_counts_at_a_point() {
        let mut facts = samples::rig();
        for (down, side, expected) in [
            (499.0, 59.0, 0),
            (501.0, 59.0, 1),
            (499.0, 61.0, 1),
            (501.0, 61.0, 2),
        ] {
            facts.points[0].worst_down_n = Some(samples::force(down * LB));
            facts.points[0].worst_side_n = Some(samples::force(side * LB));
            assert_eq!(
                samples::severities(RULE.id, &facts),
                vec!["stop"; expected],
                "{down} {side}"
            );
        }
        facts.practice.sharing = crate::Sharing::Elastic;
        assert!(samples::found(RULE.id, &facts).is_empty());
    }

    #[test]
    fn what_is_not_stated_is_a_caution() {
        let mut facts = samples::rig();
        facts.points[0].allows = None;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.points[0] = samples::point("north");
        facts.points[0].allows.as_mut().unwrap().side_n = None;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.points[0].side_n = Some(samples::force(0.0));
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.points[0].allows.as_mut().unwrap().by = None;
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
    }

    #[test]
    fn a_pull_upward_is_a_caution() {
        let mut facts = samples::rig();
        facts.points[0].down_n = Some(samples::force(-10.0 * LB));
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        facts.points[0].worst_down_n = Some(samples::force(10.0 * LB));
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
        let says = |facts: &crate::Facts| samples::found(RULE.id, facts)[0].says.clone();
        assert!(
            says(&facts).ends_with("upward by 10 lb (44.5 N)"),
            "{}",
            says(&facts)
        );
        facts.points[0].worst_up_n = Some(samples::force(30.0 * LB));
        assert!(
            says(&facts).contains("by up to 30 lb (133 N), 10 lb (44.5 N) at the stated lengths"),
            "{}",
            says(&facts)
        );
    }

    #[test]
    fn points_on_one_beam_are_also_summed() {
        let mut facts = samples::rig();
        facts.points = vec![samples::point("north"), samples::point("south")];
        facts.groups = vec![samples::beam(150.0)];
        let found = samples::found(RULE.id, &facts);
        assert_eq!((found.len(), found[0].subject.as_str()), (1, "groups.beam 3"));
        let group = crate::judge(&facts).measured.groups.swap_remove(0);
        assert!((group.utilisation.unwrap().value() - 200.0 / 150.0).abs() < 1e-12);
    }

    /// A beam that is allowed 300 lb, where the lengths as stated bring 200 lb and the worst ones more.
    #[test]
    fn the_worst_force_counts_on_a_beam_too() {
        let mut facts = samples::rig();
        facts.points = vec![samples::point("north"), samples::point("south")];
        let beam = |worst: f64| GroupFacts {
            worst_down_n: Some(samples::force(worst * LB)),
            ..samples::beam(300.0)
        };
        for (worst, expected) in [(299.9, 0), (300.1, 1), (526.0, 1)] {
            facts.groups = vec![beam(worst)];
            assert_eq!(
                samples::severities(RULE.id, &facts),
                vec!["stop"; expected],
                "{worst}"
            );
        }
        facts.groups = vec![beam(280.0)];
        facts.points[1].dynamic = Some(samples::given("dynamic factor", quantity::Kind::Number, 1.2));
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"], "280 x 1.2");
    }
}
