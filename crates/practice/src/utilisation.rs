//! How much of what is allowed is used.
//!
//! Conventions: a share; 1 is the limit itself. What governs is said in words.
//! Assumes: a working load and an allowance are limits alike, so the greatest share is the nearest to its limit.
//! Valid for: limits above nothing; where a share is no finite number there is none at all, and a rule stops it.
//! Source: our judgement, that a reader asks for the nearest limit.
//! Checked by: the tests below.

use crate::facts::Allowance;
use quantity::Kind;
use std::cmp::Ordering;
use working::{Number, Seen, Source, greatest};

/// Less than this is the rounding of a search for equilibrium, and no force, newtons.
pub(crate) const NOISE_N: f64 = 0.01;

/// The greatest share, and which limit it is of.
pub(crate) type Governing = (Option<Number>, Option<String>);

/// Demand over working load; none unless there are both.
pub(crate) fn of_working_load(demand: Option<&Number>, working_load: Option<&Number>) -> Option<Number> {
    let how = "demand over working load";
    Some(share("use of the working load", how, demand?, working_load?))
}

/// Each force over what the building allows in its direction, with its name. A pull upward uses none of it.
pub(crate) fn of_allowance(
    allows: Option<&Allowance>,
    [down, up]: [Option<&Number>; 2],
    side: Option<&Number>,
) -> Vec<(Number, String)> {
    let Some(allows) = allows else { return Vec::new() };
    let down_n = down.map_or(0.0, Number::value);
    let is_none = allows
        .down_n
        .as_ref()
        .is_some_and(|allowed| allowed.value() <= 0.0);
    let is_pulled_up = up.is_some_and(|up| up.value() > down_n);
    // A share of the rest would say that there is room where a rule says that there is none.
    if is_pulled_up || is_none && down_n > NOISE_N {
        return Vec::new();
    }
    let down = down.filter(|down| !is_upward(down));
    let each = [("down", down, &allows.down_n), ("sideways", side, &allows.side_n)];
    let stated = each
        .into_iter()
        .filter_map(|(way, force, allowed)| Some((way, force?, allowed.as_ref()?)));
    // Of nothing there is no share; whether there is anything, a rule says.
    stated
        .filter(|(_, _, allowed)| allowed.value() > 0.0)
        .map(|(way, force, allowed)| {
            let what = format!("use of the building's allowance, {way}");
            let share = share(&what, "force over allowance", force, allowed);
            (share, format!("force {way} against the building's allowance"))
        })
        .collect()
}

/// Takes the greatest of several shares.
pub(crate) fn governing(shares: Vec<(Number, String)>) -> Governing {
    if shares.iter().any(|(share, _)| !share.value().is_finite()) {
        return (None, None);
    }
    let compare = |(a, _): &&(Number, String), (b, _): &&(Number, String)| a.value().total_cmp(&b.value());
    let Some((_, governs)) = shares.iter().max_by(compare) else {
        return (None, None);
    };
    let governs = Some(governs.clone());
    if let [(only, _)] = shares.as_slice() {
        return (Some(only.clone()), governs);
    }
    let source = Source::plain("the nearest limit governs", Seen::Judgement);
    let of = shares.iter().map(|(share, _)| share);
    let number = Number::computed(
        "greatest use of any limit",
        "u",
        Kind::Ratio,
        greatest(of),
        source,
    );
    (Some(number), governs)
}

pub(crate) fn share(what: &str, how: &str, force: &Number, limit: &Number) -> Number {
    Number::computed(what, "u", Kind::Ratio, force / limit, Source::mechanics(how))
}

fn is_upward(force: &Number) -> bool {
    force.value().partial_cmp(&0.0) == Some(Ordering::Less)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge;
    use crate::samples::{self, LB};
    use std::sync::Arc;

    /// The sample point gets 100 lbf of 500 down and 50 of 60 sideways.
    #[test]
    fn the_nearest_limit_governs_a_point() {
        let mut facts = samples::rig();
        let of = |facts: &crate::Facts| {
            let point = judge(facts).measured.points.swap_remove(0);
            (point.utilisation.map(|share| share.value()), point.governs)
        };
        let close = |found: Option<f64>, expected: f64| (found.unwrap() - expected).abs() < 1e-12;
        let (share, governs) = of(&facts);
        assert!(close(share, 50.0 / 60.0), "{share:?}");
        assert_eq!(
            governs.as_deref(),
            Some("force sideways against the building's allowance")
        );
        facts.points[0].worst_down_n = Some(samples::force(450.0 * LB));
        let (share, governs) = of(&facts);
        assert!(close(share, 0.9), "{share:?}");
        assert_eq!(
            governs.as_deref(),
            Some("force down against the building's allowance")
        );
        // 112 lbf on a link that may carry 115.
        facts.points[0].part = Some(Arc::new(samples::link(115.0, Some(5.0))));
        let (share, governs) = of(&facts);
        assert!(close(share, 112.0 / 115.0), "{share:?}");
        assert_eq!(
            governs.as_deref(),
            Some("force on `link-1/2` against its working load")
        );
        facts.points[0].allows = None;
        facts.points[0].part = None;
        assert_eq!(of(&facts), (None, None));
    }

    #[test]
    fn a_pull_upward_or_an_allowance_of_nothing_uses_no_share() {
        let allows = |down: f64| Allowance {
            down_n: Some(samples::force(down)),
            side_n: None,
            by: None,
            document: None,
        };
        let of = |down: f64, allowed: f64| {
            governing(of_allowance(
                Some(&allows(allowed)),
                [Some(&samples::force(down)), None],
                None,
            ))
        };
        assert!(of(10.0, 20.0).0.is_some());
        assert!(of(-10.0, 20.0).0.is_none());
        assert!(of(10.0, 0.0).0.is_none());
        assert!(of(f64::NAN, 20.0).0.is_none());
    }
}
