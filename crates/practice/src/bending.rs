//! What pipes are held against in bending, shear and torque, and what they may carry.
//!
//! Conventions: SI; sizes without a sign; places are metres along the pipe from its start.
//! Assumes: the greatest moment, shear and torque act at one place, which is worse than where they do.
//! Valid for: pipes that hang; bending about level axes. A thrust along a pipe is in thrust.rs, a pull in pull.rs.
//! Source: [bib:aisc-360] H3.2 (torque with bending and shear, round tube), from memory; the part's own rating.
//! Checked by: the tests below; tests in `rules/pipe_*.rs`.

use crate::demand;
use crate::facts::{Along, BayFacts, BuiltInFacts, Facts, PickFacts, PipeFacts, SpliceFacts};
use crate::judgement::{
    BayJudgement, BuiltInJudgement, Held, PickJudgement, PipeJudgement, SpliceJudgement, Unrated,
};
use crate::measure::{breaking, rate, refuses};
use crate::pull;
use crate::rating;
use crate::thrust;
use crate::utilisation::{self, share};
use parts::{Bending, Rating};
use quantity::Kind;
use working::{Expression, Number, Seen, Source, greatest};

/// Up to this share of the torque that it may carry, a round tube is judged in bending alone: [bib:aisc-360] H3.2.
pub(crate) const TWIST_SHARE: f64 = 0.2;

/// Up to this share of the thrust or the pull that it may bear, a pipe is judged without it; our judgement.
const ALONG_SHARE: f64 = 0.01;

/// Less than this is the rounding of a search for equilibrium, and no torque, N m.
const NOISE_N_M: f64 = 0.01;

/// Measures a pipe; of `facts` the practice alone counts.
pub fn judge_pipe(pipe: &PipeFacts, facts: &Facts) -> PipeJudgement {
    let (allowed, unrated) = match carries(pipe) {
        Ok(bending) => (Some(bending), None),
        Err(why) => (None, Some(unrated(pipe, why))),
    };
    let held = |what: &str, along: Option<&Along>, allowed: Option<Number>| Held {
        demand: along.and_then(|along| demand::along(what, pipe, along, &facts.practice)),
        allowed,
    };
    let moment = held(
        "bending moment",
        pipe.moment_n_m.as_ref(),
        allowed.map(|of| of.moment_n_m.clone()),
    );
    let shear = held(
        "shear",
        pipe.shear_n.as_ref(),
        allowed.map(|of| of.shear_n.clone()),
    );
    let twists = |along: &&Along| {
        // Written so that a torque that is no number twists.
        let most = along.worst.as_ref().map_or(along.greatest.value(), |worst| {
            worst.value().max(along.greatest.value())
        });
        let still = most <= NOISE_N_M;
        !still
    };
    let torque = held(
        "torque",
        pipe.torque_n_m.as_ref().filter(twists),
        allowed.and_then(|of| of.torque_n_m.clone()),
    );
    let together = together(pipe, &moment, &shear, &torque);
    let thrust = held(
        "thrust",
        pipe.thrust.as_ref().map(|thrust| &thrust.along),
        pipe.thrust.as_ref().map(|thrust| thrust::allowed(pipe, thrust)),
    );
    let pressed = with_bending("thrust", pipe, (&thrust, &moment), together.as_ref());
    let pull = held("pull", pipe.pull_n.as_ref(), pull::allowed(pipe));
    let pulled = with_bending("pull", pipe, (&pull, &moment), together.as_ref());
    let splices: Vec<SpliceJudgement> = pipe
        .splices
        .iter()
        .map(|splice| judge_splice(splice, pipe, facts))
        .collect();
    let picks: Vec<PickJudgement> = pipe
        .picks
        .iter()
        .map(|pick| judge_pick(pick, pipe, facts))
        .collect();
    let mut judged = PipeJudgement {
        name: pipe.name.clone(),
        governing_part: pipe.section.as_ref().map(|part| part.id.clone()),
        bays: pipe.bays.iter().map(|bay| judge_bay(bay, pipe, facts)).collect(),
        moment,
        shear,
        torque,
        together,
        thrust,
        pressed,
        pull,
        pulled,
        splices,
        picks,
        built_in: pipe
            .built_in
            .iter()
            .map(|end| judge_built_in(end, pipe, facts))
            .collect(),
        utilisation: None,
        governs: None,
        unrated,
    };
    (judged.utilisation, judged.governs) = utilisation::governing(uses(&judged));
    judged
}

/// Lists how far each limit of strength is used, with the words for it; sag is none.
fn uses(pipe: &PipeJudgement) -> Vec<(Number, String)> {
    let mut uses = Vec::new();
    for (what, held) in [
        ("bending moment", &pipe.moment),
        ("shear", &pipe.shear),
        ("torque", &pipe.torque),
        ("thrust", &pipe.thrust),
        ("pull along it", &pipe.pull),
    ] {
        uses.extend(used(what, held, "what it may carry"));
    }
    for (what, share) in [
        ("bending, shear and torque together", &pipe.together),
        ("bending and thrust together", &pipe.pressed),
        ("bending and pull together", &pipe.pulled),
    ] {
        uses.extend(share.clone().map(|share| (share, what.to_string())));
    }
    for splice in &pipe.splices {
        let limit = format!("what its splice `{}` may carry", splice.name);
        uses.extend(used("bending moment", &splice.moment, &limit));
        uses.extend(used("shear", &splice.shear, &limit));
    }
    for pick in &pipe.picks {
        let part = pick.governing_part.as_deref().unwrap_or_default();
        let says = format!("force on `{part}` at `{}` against its working load", pick.name);
        uses.extend(pick.utilisation.clone().map(|share| (share, says)));
    }
    uses
}

/// Gives what a pipe may carry; the error says why that is not known.
fn carries(pipe: &PipeFacts) -> Result<&Bending, String> {
    let Some(part) = &pipe.section else {
        return pipe
            .stated
            .as_ref()
            .ok_or_else(|| "it is given by its stiffness alone, and nothing says what it may carry".into());
    };
    match &part.rating {
        Rating::Bending(bending) => Ok(bending),
        Rating::Unrated(why) => Err(why.clone()),
        _ => Err(format!(
            "it is of the kind {}, and no pipe, tube or truss",
            part.kind()
        )),
    }
}

fn unrated(pipe: &PipeFacts, why: String) -> Unrated {
    Unrated {
        part: pipe
            .section
            .as_ref()
            .map(|part| part.id.clone())
            .unwrap_or_default(),
        place: "pipe".into(),
        why,
    }
}

/// Names a share of what is allowed, if both are known.
fn used(what: &str, held: &Held, limit: &str) -> Option<(Number, String)> {
    let share = share(
        &format!("use of {limit}, {what}"),
        &format!("{what} over {limit}"),
        held.demand.as_ref()?,
        held.allowed.as_ref()?,
    );
    Some((share, format!("{what} against {limit}")))
}

/// Gives the use of a round tube by bending, shear and torque together: M/Ma + (V/Va + T/Ta)² where torque counts.
///
/// None where the torque is at most [`TWIST_SHARE`] of what it may carry, or for a truss, of which no rule is known.
fn together(pipe: &PipeFacts, moment: &Held, shear: &Held, torque: &Held) -> Option<Number> {
    pipe.section.as_ref()?.section()?.tube.as_ref()?;
    let over = |held: &Held| Some(held.demand.as_ref()? / held.allowed.as_ref()?);
    let (bending, shear, twist) = (over(moment)?, over(shear)?, over(torque)?);
    // Written so that a torque that is no number counts.
    let alone = twist.value() <= TWIST_SHARE;
    let across: Expression = shear + twist;
    let formula = bending + across.clone() * across;
    let source = Source::cited(
        "aisc-360",
        "equation H3-6, without force along the pipe",
        Seen::Memory,
    );
    (!alone).then(|| {
        let what = "use by bending, shear and torque together";
        Number::computed(what, "u", Kind::Ratio, formula, source)
    })
}

/// Gives the use of a round tube of known yield by thrust, or pull, and bending together: P/Pa + M/Ma, or with torque what counts
/// together there in place of M/Ma. None up to [`ALONG_SHARE`].
fn with_bending(
    what: &str,
    pipe: &PipeFacts,
    (along, moment): (&Held, &Held),
    together: Option<&Number>,
) -> Option<Number> {
    pipe.section
        .as_ref()?
        .section()?
        .tube
        .as_ref()?
        .yield_pa
        .as_ref()?;
    let over = |held: &Held| Some(held.demand.as_ref()? / held.allowed.as_ref()?);
    let along = over(along)?;
    // Written so that a force that is no number counts.
    let is_little = along.value() <= ALONG_SHARE;
    if is_little {
        return None;
    }
    let bent = match together {
        Some(together) => Expression::from(together),
        None => over(moment)?,
    };
    let source = Source::cited(
        "aisc-360",
        "section H1, with all of M/Ma, which is on the safe side",
        Seen::Memory,
    );
    let what = format!("use by bending and {what} together");
    Some(Number::computed(what, "u", Kind::Ratio, along + bent, source))
}

fn judge_bay(bay: &BayFacts, pipe: &PipeFacts, facts: &Facts) -> BayJudgement {
    let span_m = if bay.overhang {
        let source = Source::plain(
            "an overhang counts as twice its length: common practice, no source",
            Seen::CommonPractice,
        );
        let formula = Expression::from(2.0) * &bay.length_m;
        Number::computed("span an overhang counts as", "L", Kind::Length, formula, source)
    } else {
        bay.length_m.clone()
    };
    let section = pipe.section.as_ref().and_then(|part| part.section());
    let ratio = match section.and_then(|section| section.deflection_ratio.as_ref()) {
        Some(makers) => {
            let source = Source::plain("the stricter of practice and maker", Seen::Judgement);
            let both = greatest([&facts.practice.deflection_ratio, makers]);
            Number::computed("least span over deflection", "r", Kind::Number, both, source)
        }
        None => facts.practice.deflection_ratio.clone(),
    };
    let allowed = Number::computed(
        "deflection that it may have",
        "f_a",
        Kind::Stretch,
        &span_m / &ratio,
        Source::mechanics("span over the least span over deflection"),
    );
    BayJudgement {
        name: bay.name.clone(),
        deflection_m: Held {
            demand: bay.deflection_m.clone(),
            allowed: Some(allowed),
        },
        span_m,
        ratio,
    }
}

fn judge_splice(splice: &SpliceFacts, pipe: &PipeFacts, facts: &Facts) -> SpliceJudgement {
    let held = |what: &str, number: Option<&Number>, allowed: Option<Number>| {
        let what = format!("{what} at the splice `{}`", splice.name);
        Held {
            demand: number.and_then(|number| demand::on_pipe(&what, pipe, number, None, &facts.practice)),
            allowed,
        }
    };
    let allows = splice.allows.as_ref();
    SpliceJudgement {
        name: splice.name.clone(),
        moment: held(
            "bending moment",
            splice.moment_n_m.as_ref(),
            allows.map(|of| of.moment_n_m.clone()),
        ),
        shear: held(
            "shear",
            splice.shear_n.as_ref(),
            allows.map(|of| of.shear_n.clone()),
        ),
    }
}

fn judge_built_in(end: &BuiltInFacts, pipe: &PipeFacts, facts: &Facts) -> BuiltInJudgement {
    let held = |what: &str, stated: &Number, worst: Option<&Number>| {
        let what = format!("{what} of `{}` on the building at its {}", pipe.name, end.end);
        demand::on_pipe(&what, pipe, stated, worst, &facts.practice)
    };
    BuiltInJudgement {
        force_n: held("force", &end.force_n, end.worst_force_n.as_ref()),
        moment_n_m: held("moment", &end.moment_n_m, end.worst_moment_n_m.as_ref()),
    }
}

fn judge_pick(pick: &PickFacts, pipe: &PipeFacts, facts: &Facts) -> PickJudgement {
    let what = format!("force on the pipe at `{}`", pick.name);
    let demand_n = pick.reaction_n.as_ref().and_then(|reaction| {
        demand::on_pipe(
            &what,
            pipe,
            reaction,
            pick.worst_reaction_n.as_ref(),
            &facts.practice,
        )
    });
    let (rated, unrated) = pick.part.as_ref().map_or((None, None), |part| {
        let rated = match facts.practice.factors(pipe.under) {
            Some(factors) => rating::at_junction(part, factors),
            None => Err(refuses(&facts.practice, pipe.under)),
        };
        rate(part, "pick", rated)
    });
    let working_load_n = rated.as_ref().map(|rated| rated.working_load_n.clone());
    PickJudgement {
        name: pick.name.clone(),
        utilisation: utilisation::of_working_load(demand_n.as_ref(), working_load_n.as_ref()),
        working_load_n,
        breaking_n: breaking(rated.as_ref(), pick.part.as_deref()),
        rating_n: rated.and_then(|rated| rated.rating_n),
        governing_part: pick.part.as_ref().map(|part| part.id.clone()),
        demand_n,
        unrated,
    }
}

#[cfg(test)]
mod tests {
    use crate::judge;
    use crate::judgement::PipeJudgement;
    use crate::samples::{self, LB};
    use std::sync::Arc;

    fn judged(change: impl FnOnce(&mut crate::PipeFacts)) -> PipeJudgement {
        let mut facts = samples::pipe_rig();
        change(&mut facts.pipes[0]);
        judge(&facts).measured.pipes.swap_remove(0)
    }

    fn near(found: Option<&working::Number>, expected: f64) {
        let found = found.unwrap().value();
        assert!((found / expected - 1.0).abs() < 1e-9, "{found} is not {expected}");
    }

    #[test]
    fn the_nearest_limit_governs_a_pipe() {
        let pipe = judged(|_| {});
        let moment = pipe.moment.allowed.as_ref().unwrap().value();
        near(pipe.utilisation.as_ref(), 300.0 * samples::FT_LB / moment);
        assert_eq!(
            pipe.governs.as_deref(),
            Some("bending moment against what it may carry")
        );
        let pipe = judged(|pipe| pipe.shear_n = Some(samples::along(3000.0 * LB)));
        let shear = pipe.shear.allowed.as_ref().unwrap().value();
        near(pipe.utilisation.as_ref(), 3000.0 * LB / shear);
        assert_eq!(pipe.governs.as_deref(), Some("shear against what it may carry"));
        let pipe = judged(|pipe| pipe.picks[0].part = Some(Arc::new(samples::link(101.0, Some(5.0)))));
        near(pipe.utilisation.as_ref(), 100.0 / 101.0);
        assert_eq!(
            pipe.governs.as_deref(),
            Some("force on `link-1/2` at `a` against its working load")
        );
    }

    #[test]
    fn what_inexact_lengths_can_bring_and_the_dynamic_factor_count() {
        let pipe = judged(|pipe| {
            let worst = samples::torque(400.0 * samples::FT_LB);
            pipe.moment_n_m.as_mut().unwrap().worst = Some(worst);
            pipe.dynamic = Some(samples::given("dynamic factor", quantity::Kind::Number, 1.25));
        });
        near(pipe.moment.demand.as_ref(), 1.25 * 400.0 * samples::FT_LB);
        near(pipe.picks[0].demand_n.as_ref(), 1.25 * 100.0 * LB);
        assert!(pipe.moment.demand.unwrap().unsound().is_empty());
    }

    /// A factor that is due and not stated leaves no demand; the rule on loads that move stops that.
    #[test]
    fn without_a_dynamic_factor_that_is_due_there_is_no_demand() {
        let pipe = judged(|pipe| pipe.service = crate::Service::Moving);
        assert!(pipe.moment.demand.is_none() && pipe.utilisation.is_none());
    }

    /// H3-6 by hand: 0.5 + (0.25 + 0.3)² = 0.8025.
    #[test]
    fn torque_counts_past_a_fifth_of_what_may_be_carried() {
        let share = |bending: f64, shear: f64, twist: f64| {
            let allowed = judged(|_| {});
            let of = |held: &crate::Held| held.allowed.as_ref().unwrap().value();
            let (moment, force, torque) = (of(&allowed.moment), of(&allowed.shear), of(&allowed.torque));
            judged(|pipe| {
                pipe.moment_n_m = Some(samples::moment_along(bending * moment));
                pipe.shear_n = Some(samples::along(shear * force));
                pipe.torque_n_m = Some(samples::moment_along(twist * torque));
            })
        };
        let pipe = share(0.5, 0.25, 0.3);
        near(pipe.together.as_ref(), 0.8025);
        near(pipe.utilisation.as_ref(), 0.8025);
        assert!(pipe.together.unwrap().unsound().is_empty());
        assert!(share(0.5, 0.25, 0.199).together.is_none());
        assert!(share(0.5, 0.25, f64::NAN).together.is_some());
    }

    #[test]
    fn a_part_that_is_no_section_carries_nothing() {
        let pipe = judged(|pipe| pipe.section = Some(Arc::new(samples::link(100.0, None))));
        assert!(pipe.unrated.unwrap().why.contains("of the kind link"));
        assert!(pipe.moment.allowed.is_none() && pipe.utilisation.is_none());
    }
}
