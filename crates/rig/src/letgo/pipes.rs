//! What pipes get on the way when something lets go, and how much of what they may carry that is.
//!
//! Conventions: SI; a pipe is told as it is bent at its worst on the way, or at rest in the end. No dynamic factor on top.
//! Assumes: pipes that bend as they move are bent by what `motion` finds within them. One that is built in at both ends is followed as a stiff one:
//! it is bent by what bends it at rest in the end, raised by the greatest ratio of a peak of its lines to what these have at rest in the end, and
//! at the least by twice the sudden change.
//! Valid for: pipes that come to rest again. Thrust and pull along them are left to the rules at rest.
//! Source: docs/theory/motion.md; for stiff pipes our judgement.
//! Checked by: tests/main/bending.rs, tests/main/in_time.rs.

use crate::letgo::answer::{LetGoPipe, LetGoSplice};
use crate::letgo::gets::with_weight_n;
use crate::letgo::run::Followed;
use crate::letgo::scene::Scenery;
use crate::pipes::{Snatch, Snatched};
use indexmap::IndexMap;
use motion::{Bent, Peak};
use practice::{Along, Facts, PipeFacts, PipeJudgement, Practice, Service, SpliceFacts, judge_pipe};
use quantity::Kind;
use working::{Number, Source};

/// Tells what every pipe gets, in the order of the facts; none for one that nothing holds.
pub(crate) fn pipes(
    scenery: &Scenery<'_>,
    followed: &Followed,
    lines: &[Option<Peak>],
) -> Vec<Option<LetGoPipe>> {
    let facts = scenery.plain.facts.pipes.iter().zip(&followed.pipes);
    let told = facts.map(|(facts, snatch)| {
        let snatch = snatch.as_ref()?;
        let pipe = match bent(scenery, followed, &facts.name) {
            Some(bent) => as_it_bends(facts, snatch, bent),
            None => as_stiff(facts, snatch, ratio(scenery, (followed, lines), &facts.name)),
        };
        Some(judged(pipe, facts, scenery.plain.facts))
    });
    told.collect()
}

/// Finds what bent a pipe as it moved; none where it was followed as a stiff one.
fn bent<'a>(scenery: &Scenery<'_>, followed: &'a Followed, pipe: &str) -> Option<&'a Bent> {
    let load = scenery.plain.model.loads.get(pipe)?;
    let mut all = followed.motion.as_ref()?.bent.iter();
    all.find(|bent| load.frames().contains(&bent.frame))
}

/// Tells a pipe as it bent on the way, or at rest in the end where that is more.
fn as_it_bends(facts: &PipeFacts, snatch: &Snatch, bent: &Bent) -> LetGoPipe {
    let greatest = |of: &[f64], rest: &Snatched| {
        let each = bent.along_m.iter().zip(of).map(|(at_m, size)| (*size, *at_m));
        each.fold((rest.rest, rest.rest_at_m), |most, next| {
            if next.0 > most.0 { next } else { most }
        })
    };
    let at = |along_m: f64, of: &[f64]| {
        let near = bent.along_m.iter().zip(of);
        let near = near.min_by(|a, b| (a.0 - along_m).abs().total_cmp(&(b.0 - along_m).abs()));
        near.map_or(0.0, |(_, size)| *size)
    };
    let splices = facts.splices.iter().zip(&snatch.splices);
    let splices = splices.map(|(facts, [moment, shear])| {
        let splice = LetGoSplice {
            moment_n_m: at(moment.rest_at_m, &bent.moment_n_m).max(moment.rest),
            shear_n: at(shear.rest_at_m, &bent.shear_n).max(shear.rest),
        };
        (facts.name.clone(), splice)
    });
    let torque = if snatch.torque == Snatched::default() {
        // What is next to nothing at rest is rounding on the way as well.
        (0.0, 0.0)
    } else {
        greatest(&bent.torque_n_m, &snatch.torque)
    };
    told(
        snatch,
        [
            greatest(&bent.moment_n_m, &snatch.moment),
            greatest(&bent.shear_n, &snatch.shear),
            torque,
        ],
        splices.collect(),
    )
}

/// Tells a pipe that was followed as a stiff one.
fn as_stiff(facts: &PipeFacts, snatch: &Snatch, ratio: f64) -> LetGoPipe {
    let splices = facts.splices.iter().zip(&snatch.splices);
    let splices = splices.map(|(facts, [moment, shear])| {
        let splice = LetGoSplice {
            moment_n_m: moment.raised(ratio).0,
            shear_n: shear.raised(ratio).0,
        };
        (facts.name.clone(), splice)
    });
    let raised = [&snatch.moment, &snatch.shear, &snatch.torque].map(|of| of.raised(ratio));
    told(snatch, raised, splices.collect())
}

fn told(snatch: &Snatch, most: [(f64, f64); 3], splices: IndexMap<String, LetGoSplice>) -> LetGoPipe {
    let [
        (moment_n_m, moment_at_m),
        (shear_n, shear_at_m),
        (torque_n_m, torque_at_m),
    ] = most;
    LetGoPipe {
        moment_n_m,
        moment_at_m,
        moment_at_rest_n_m: snatch.moment.rest,
        shear_n,
        shear_at_m,
        shear_at_rest_n: snatch.shear.rest,
        torque_n_m,
        torque_at_m,
        torque_at_rest_n_m: snatch.torque.rest,
        splices,
        moment_allowed_n_m: None,
        shear_allowed_n: None,
        use_at_peak: None,
        governs: None,
    }
}

/// Gives the greatest ratio of a peak of a line that holds a pipe to what that line has at rest in the end, 1 at the least.
fn ratio(scenery: &Scenery<'_>, (followed, lines): (&Followed, &[Option<Peak>]), pipe: &str) -> f64 {
    let model = scenery.plain.model;
    let (Some(load), Some(after)) = (model.loads.get(pipe), &followed.after) else {
        return 1.0;
    };
    let of = model.lines_of(load).into_iter().filter_map(|line| {
        let rests = &after.lines[line];
        // A line that hangs slack holds its own weight, and nothing of the pipe.
        let rests_n = if rests.slack { 0.0 } else { rests.tension_n };
        Some(lines[line]?.force_n / with_weight_n(scenery, line, rests_n).max(f64::MIN_POSITIVE))
    });
    of.fold(1.0, f64::max)
}

/// Says how much of what a pipe may carry is used.
fn judged(pipe: LetGoPipe, known: &PipeFacts, facts: &Facts) -> LetGoPipe {
    let judged: PipeJudgement = judge_pipe(&at_peak((known, &facts.practice), &pipe, ""), facts);
    let value = |number: &Option<Number>| number.as_ref().map(Number::value);
    LetGoPipe {
        moment_allowed_n_m: value(&judged.moment.allowed),
        shear_allowed_n: value(&judged.shear.allowed),
        use_at_peak: value(&judged.utilisation),
        governs: judged.governs,
        ..pipe
    }
}

/// Takes the worse of two, thing by thing.
pub(crate) fn worse(a: LetGoPipe, b: LetGoPipe, known: &PipeFacts, facts: &Facts) -> LetGoPipe {
    let mut worst = a;
    if b.moment_n_m > worst.moment_n_m {
        worst.moment_n_m = b.moment_n_m;
        worst.moment_at_m = b.moment_at_m;
        worst.moment_at_rest_n_m = b.moment_at_rest_n_m;
    }
    if b.shear_n > worst.shear_n {
        worst.shear_n = b.shear_n;
        worst.shear_at_m = b.shear_at_m;
        worst.shear_at_rest_n = b.shear_at_rest_n;
    }
    if b.torque_n_m > worst.torque_n_m {
        worst.torque_n_m = b.torque_n_m;
        worst.torque_at_m = b.torque_at_m;
        worst.torque_at_rest_n_m = b.torque_at_rest_n_m;
    }
    for (name, splice) in b.splices {
        let most = worst.splices.entry(name).or_insert(splice);
        most.moment_n_m = most.moment_n_m.max(splice.moment_n_m);
        most.shear_n = most.shear_n.max(splice.shear_n);
    }
    judged(worst, known, facts)
}

/// Tells a pipe in the words of the rules as it is bent on the way; `after` says after what.
///
/// It counts as still: what its motion brings is in these numbers, and where the practice asks for a factor all the same that is 1.
pub(crate) fn at_peak(
    (known, practice): (&PipeFacts, &Practice),
    pipe: &LetGoPipe,
    after: &str,
) -> PipeFacts {
    let name = &known.name;
    let along = |what: &str, symbol: &str, kind: Kind, peak: f64, at_m: f64| Along {
        greatest: given(&format!("{what} in `{name}`"), (symbol, kind), peak, after),
        at_m,
        worst: None,
    };
    let splices = known.splices.iter().filter_map(|splice| {
        let told = pipe.splices.get(&splice.name)?;
        let number = |what: &str, symbol: &str, kind: Kind, value: f64| {
            given(
                &format!("{what} at `{}` of `{name}`", splice.name),
                (symbol, kind),
                value,
                after,
            )
        };
        Some(SpliceFacts {
            moment_n_m: Some(number("bending moment", "M_peak", Kind::Torque, told.moment_n_m)),
            shear_n: Some(number("shear", "V_peak", Kind::Force, told.shear_n)),
            pull_n: None,
            ..splice.clone()
        })
    });
    PipeFacts {
        service: Service::Still,
        dynamic: practice.asks_dynamic_factor(Service::Still).then(|| {
            let how = "what its motion brings is in what bends it on the way";
            Number::given(
                "dynamic factor on the way",
                "f_d",
                Kind::Number,
                1.0,
                Source::mechanics(how),
            )
        }),
        moment_n_m: Some(along(
            "bending moment",
            "M_peak",
            Kind::Torque,
            pipe.moment_n_m,
            pipe.moment_at_m,
        )),
        shear_n: Some(along(
            "shear",
            "V_peak",
            Kind::Force,
            pipe.shear_n,
            pipe.shear_at_m,
        )),
        torque_n_m: (pipe.torque_n_m > 0.0).then(|| {
            along(
                "torque",
                "M_x_peak",
                Kind::Torque,
                pipe.torque_n_m,
                pipe.torque_at_m,
            )
        }),
        splices: splices.collect(),
        thrust: None,
        pull_n: None,
        bays: Vec::new(),
        built_in: Vec::new(),
        picks: Vec::new(),
        carried: Vec::new(),
        ..known.clone()
    }
}

fn given(what: &str, (symbol, kind): (&str, Kind), value: f64, after: &str) -> Number {
    let how = "all that acts on the part beyond a place while it moves and bends, inertia included, or at rest in the end where that is more";
    Number::given(
        format!("greatest {what} on the way {after}"),
        symbol,
        kind,
        value,
        Source::mechanics(how),
    )
}

/// Puts what pipes get at their worst in all ways together, by name.
pub(crate) fn worst_of<'a>(
    scenery: &Scenery<'_>,
    all: impl Iterator<Item = &'a Vec<Option<LetGoPipe>>> + Clone,
) -> IndexMap<String, LetGoPipe> {
    let facts = scenery.plain.facts;
    let told = facts.pipes.iter().enumerate().filter_map(|(index, known)| {
        let each = all.clone().filter_map(|pipes| pipes.get(index)?.clone());
        let worst = each.reduce(|worst, next| worse(worst, next, known, facts))?;
        Some((known.name.clone(), worst))
    });
    told.collect()
}
