//! Whether a load still hangs where it may once some lines are gone.
//!
//! Conventions: metres and radians; heights above the floor at z = 0; tilts are about a level axis.
//! Assumes: the load has come to rest; how far it moves counts the way there where that was followed.
//! Valid for: trials. A tilt or a movement that is no number counts as too much.
//! Source: our judgement on the tilt; what it may move is stated in the rig document.
//! Checked by: the tests below; tests in `rules/grip_sole_support.rs` and `rules/secondary.rs`.

use crate::facts::{Disturbed, GripTrial, LoadFacts, Remains, Trial};
use crate::rules::far_from_trim::TILTED_RAD;
use crate::rules::top_heavy::{PUSHES, in_words, rolled_by};
use crate::says;

/// What becomes of a load that no longer hangs where it may.
pub(crate) struct Loss {
    /// What it does, as in `falls`.
    pub does: &'static str,
    /// Why, or how far.
    pub why: String,
}

/// Says what becomes of a load in a trial; none if it still hangs where it may.
pub(crate) fn loss(load: &LoadFacts, trial: &Trial) -> Option<Loss> {
    let remains = match trial {
        Trial::Falls(why) => {
            let (does, why) = ("falls", why.clone());
            return Some(Loss { does, why });
        }
        Trial::NotFound(why) => {
            let (does, why) = ("is not known to hang", why.clone());
            return Some(Loss { does, why });
        }
        Trial::Hangs(remains) => remains,
    };
    let floor = below_floor(load, remains).map(|why| ("comes down to the floor", why));
    let tipped = || tipped(remains).map(|why| ("turns over", why));
    let unsteady = || unsteady(remains).map(|why| ("does not stay as it comes to hang", why));
    let far = || moved_too_far(load, remains).map(|why| ("moves further than it may", why));
    let (does, why) = floor.or_else(tipped).or_else(unsteady).or_else(far)?;
    Some(Loss { does, why })
}

/// Says what becomes of a load without some adjustable grips, with its secondary lines or without them: these are there to catch, and make up
/// for no grip. None if it still hangs where it may; with it whether that is without its secondary lines alone.
pub(crate) fn lost(load: &LoadFacts, trial: &GripTrial) -> Option<(Loss, bool)> {
    let by_grips = loss(load, &trial.outcome).map(|loss| (loss, false));
    let by_both = || Some((loss(load, trial.without_secondary.as_ref()?)?, true));
    by_grips.or_else(by_both)
}

/// Says what then rolls a load over. What is steady only by balance is not: what lets go is itself a push.
pub(crate) fn unsteady(remains: &Remains) -> Option<String> {
    let by = rolled_by(&remains.disturbances)?;
    let rolls = match by {
        Disturbed::Push { share } => share <= PUSHES[0],
        Disturbed::Shift => true,
    };
    rolls.then(|| format!("{} then rolls it over", in_words(by)))
}

fn tipped(remains: &Remains) -> Option<String> {
    let near = remains.turned_rad <= TILTED_RAD;
    (!near).then(|| format!("it then hangs tilted by {}", says::angle(remains.tilt_rad)))
}

fn below_floor(load: &LoadFacts, remains: &Remains) -> Option<String> {
    let was_above = load.height_m >= 0.0;
    (was_above && remains.height_m < 0.0).then(|| {
        let below = says::metres(-remains.height_m);
        format!("its lowest known place would hang {below} below the floor at z = 0")
    })
}

/// What lines give when they take over is no movement that anybody speaks of, metres.
pub(crate) const STRETCH_M: f64 = 1e-3;

fn moved_too_far(load: &LoadFacts, remains: &Remains) -> Option<String> {
    let most_m = load.may_move_m?;
    // Written so that a movement that is no number is too far.
    let is_near = |moved_m: f64| moved_m <= most_m + STRETCH_M;
    let (moved_m, when) = match remains.moves_m.filter(|moves_m| !is_near(*moves_m)) {
        Some(moves_m) => (moves_m, " on the way"),
        None => (remains.moved_m, ""),
    };
    (!is_near(moved_m)).then(|| {
        let (moved, most) = (says::metres(moved_m), says::metres(most_m));
        format!("{moved} in all{when}; `may_move` allows {most}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Disturbance;
    use crate::samples;

    #[test]
    fn a_load_is_lost_that_falls_tips_lands_or_moves_too_far() {
        let mut load = samples::load();
        load.may_move_m = Some(0.5);
        let does = |change: &dyn Fn(&mut Remains)| {
            let mut remains = samples::remains(Vec::new());
            change(&mut remains);
            loss(&load, &Trial::Hangs(Box::new(remains))).map(|loss| loss.does)
        };
        assert_eq!(does(&|_| {}), None);
        assert_eq!(does(&|remains| remains.turned_rad = 29.9_f64.to_radians()), None);
        assert_eq!(
            does(&|remains| remains.turned_rad = 30.1_f64.to_radians()),
            Some("turns over")
        );
        assert_eq!(does(&|remains| remains.turned_rad = f64::NAN), Some("turns over"));
        assert_eq!(
            does(&|remains| remains.height_m = -0.01),
            Some("comes down to the floor")
        );
        assert_eq!(
            does(&|remains| remains.moved_m = 0.51),
            Some("moves further than it may")
        );
        assert_eq!(
            does(&|remains| remains.moved_m = f64::NAN),
            Some("moves further than it may")
        );
        assert_eq!(
            does(&|remains| remains.moves_m = Some(0.51)),
            Some("moves further than it may")
        );
        let disturbed =
            |by, tilts_rad| does(&|remains| remains.disturbances = vec![Disturbance { by, tilts_rad }]);
        let unsteady = Some("does not stay as it comes to hang");
        assert_eq!(disturbed(Disturbed::Push { share: 0.1 }, 0.6), unsteady);
        assert_eq!(disturbed(Disturbed::Push { share: 0.25 }, 0.6), None);
        assert_eq!(disturbed(Disturbed::Shift, 0.6), unsteady);
        let falls = loss(&load, &Trial::Falls("nothing is left".into()));
        assert_eq!(falls.map(|loss| loss.does), Some("falls"));
    }

    /// A rig that is drawn from the ceiling down has no floor at z = 0 to come down to.
    #[test]
    fn a_load_drawn_below_the_floor_does_not_come_down_to_it() {
        let mut load = samples::load();
        load.height_m = -5.0;
        let mut remains = samples::remains(Vec::new());
        remains.height_m = -5.2;
        assert!(loss(&load, &Trial::Hangs(Box::new(remains))).is_none());
    }
}
