//! Loads that only a stated force keeps where they are.
//!
//! Conventions: the subject is a load; metres and radians from its trim, as in far_from_trim.rs.
//! Assumes: a stated force may be away, whatever it is: a lift, a wind, a person who holds.
//! Valid for: loads that hang with all stated forces.
//! Source: our judgement, with the limits of far_from_trim.rs.
//! Checked by: the tests below, at the limits.

use crate::facts::{ForceAway, LoadFacts};
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::far_from_trim::{ELSEWHERE_M, MOVED_M, TILTED_RAD, is_tipped};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "forces-away",
    title: "No load is held in place by a force that may be away",
    statement: "A stated force may be away: the hand that holds, the wind that lifts. Each load is looked at without each of \
                them, and without all. One that then falls, tilts by more than 30 degrees, or ends more than 2 m (6 ft 7 in) \
                from its trim, is a stop; one that ends more than 0.5 m (20 in) from it a caution; where it does so with \
                the forces as well another rule says so.",
    sources: &[SourceRef::Plain(
        "a force that helps may be away",
        Seen::Judgement,
    )],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let hang = judged.facts.loads.iter().filter(|load| load.falls.is_none());
    hang.filter_map(|load| {
        load.forces_away
            .iter()
            .filter_map(|away| judge_away(load, away))
            .reduce(worse)
    })
    .collect()
}

fn worse(most: Finding, next: Finding) -> Finding {
    let rank = |finding: &Finding| finding.severity == Severity::Stop;
    if rank(&next) && !rank(&most) { next } else { most }
}

fn judge_away(load: &LoadFacts, away: &ForceAway) -> Option<Finding> {
    let moved_m = load.moved_m.unwrap_or(0.0);
    let name = &load.name;
    let then = if let Some(why) = &away.falls {
        format!("`{name}` does not hang without {}: {why}", away.without)
    } else if !is_tipped(load) && is_past(away.tilt_rad, TILTED_RAD) {
        format!(
            "without {} `{name}` tilts by {}",
            away.without,
            says::angle(away.tilt_rad)
        )
    } else if moved_m <= MOVED_M && is_past(away.moved_m, MOVED_M)
        || moved_m <= ELSEWHERE_M && is_past(away.moved_m, ELSEWHERE_M)
    {
        format!(
            "without {} `{name}` ends {} from its trim",
            away.without,
            says::metres(away.moved_m)
        )
    } else {
        return None;
    };
    let is_near = away.falls.is_none() && away.tilt_rad <= TILTED_RAD && away.moved_m <= ELSEWHERE_M;
    let mend = "Hold it by lines; leave the force out if nothing is to hang on it.";
    let subject = format!("loads.{name}");
    Some(if is_near {
        RULE.caution(subject, then, mend)
    } else {
        RULE.stop(subject, then, mend)
    })
}

/// Written so that what is no number is past a limit.
fn is_past(value: f64, limit: f64) -> bool {
    let is_within = value <= limit;
    !is_within
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn found(away: ForceAway, moved_m: f64) -> Vec<String> {
        let mut facts = samples::rig();
        facts.loads[0].moved_m = Some(moved_m);
        facts.loads[0].forces_away = vec![away];
        samples::severities(RULE.id, &facts)
    }

    fn away(moved_m: f64, tilt_deg: f64) -> ForceAway {
        ForceAway {
            without: "lift".into(),
            falls: None,
            moved_m,
            tilt_rad: tilt_deg.to_radians(),
        }
    }

    #[test]
    fn the_limits_are_those_of_hanging_near_the_trim() {
        assert!(found(away(0.5, 29.99), 0.0).is_empty());
        assert_eq!(found(away(0.501, 0.0), 0.0), ["caution"]);
        assert_eq!(found(away(0.0, 30.01), 0.0), ["stop"]);
        assert_eq!(found(away(2.001, 0.0), 0.0), ["stop"]);
        assert_eq!(found(away(f64::NAN, 0.0), 0.0), ["stop"]);
        // Where it is as far off with the force, another rule says so.
        assert!(found(away(0.6, 0.0), 0.6).is_empty());
        assert_eq!(found(away(2.1, 0.0), 0.6), ["stop"]);
        assert!(found(away(2.1, 0.0), 2.2).is_empty());
    }

    #[test]
    fn one_that_falls_is_a_stop() {
        let falls = ForceAway {
            falls: Some("no line holds it".into()),
            ..away(0.0, 0.0)
        };
        assert_eq!(found(falls, 0.0), ["stop"]);
    }
}
