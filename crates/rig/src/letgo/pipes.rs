//! What pipes get on the way when something lets go, and how much of what they may carry that is.
//!
//! Conventions: SI; a pipe is told as it is bent at its worst on the way.
//! Assumes: where masses are when a line pulls hardest is not looked into: what bends a pipe on the way is what bends it at rest in the end, raised by the greatest ratio
//! of a line's peak to what that line has at rest in the end, and at the least what a sudden change brings. Lines that jerk and then hold
//! little bend it as it floats, on top of that; any that jerks does so by itself at the least. More than the energy let go can not be stored
//! in it as it bends, so that and what bends it at rest is the most, past what a sudden change brings. No dynamic factor on top.
//! Valid for: pipes that come to rest again. Thrust and pull along them are left to the rules at rest.
//! Source: our judgement (docs/theory/motion.md).
//! Checked by: the tests below; tests/main/in_time.rs.

use crate::letgo::answer::{LetGoPipe, LetGoSplice};
use crate::letgo::gets::{SLACK_N, with_weight_n};
use crate::letgo::jerk::Bends;
use crate::letgo::run::Followed;
use crate::letgo::scene::{STIFFNESS, Scenery};
use crate::model::LoadModel;
use crate::pipes::{Snatch, Snatched};
use indexmap::IndexMap;
use motion::Peak;
use practice::{Along, Facts, PipeFacts, PipeJudgement, Practice, Service, SpliceFacts, judge_pipe};
use quantity::Kind;
use statics::{BeamResult, FrameId};
use std::ops::Range;
use working::{Expression, Number, Source};

/// A line that in the end has less than this share of what lines on the same pipe then have on average holds little of it: what its jerk bends
/// is found by itself.
const LEAST_SHARE: f64 = 0.5;

/// Tells what every pipe gets, in the order of the facts; none for one that nothing holds.
pub(crate) fn pipes(
    scenery: &Scenery<'_>,
    followed: &Followed,
    lines: &[Option<Peak>],
) -> Vec<Option<LetGoPipe>> {
    if scenery.plain.facts.pipes.is_empty() {
        return Vec::new();
    }
    let energy_j = energy_j(scenery, followed);
    let facts = scenery.plain.facts.pipes.iter().zip(&followed.pipes);
    let told = facts.zip(&scenery.jerks).map(|((facts, snatch), jerks)| {
        let raise = Raise {
            by_energy_n_m: energy_j.and_then(|energy_j| by_energy_n_m(energy_j, followed, jerks)),
            ..raise(scenery, (followed, lines), &facts.name, jerks)
        };
        let pipe = raised(facts, snatch.as_ref()?, &raise);
        Some(judged(pipe, facts, scenery.plain.facts))
    });
    told.collect()
}

/// What comes to a pipe on the way.
#[derive(Debug, Default)]
struct Raise {
    /// The greatest ratio of a peak of a line that then holds the pipe to what that line has at rest in the end.
    ratio: f64,
    /// What comes on top where lines jerk that then hold little of it.
    more: Jerk,
    /// What a line brings by itself that jerks, as if nothing else held the pipe.
    alone: Jerk,
    /// The moment that is the most on top of that at rest, by the energy let go, N m; none where that is not known.
    by_energy_n_m: Option<f64>,
}

/// What jerks bring: bending moment, N m, where that is, m, and shear, N.
#[derive(Debug, Default, Clone, Copy)]
struct Jerk {
    moment_n_m: f64,
    at_m: f64,
    shear_n: f64,
}

/// Gives the moment by which all the energy let go would bend a pipe as it floats, N m; none where it does not bend.
fn by_energy_n_m(energy_j: f64, followed: &Followed, jerks: &[(usize, Bends)]) -> Option<f64> {
    let stiffest = jerks
        .iter()
        .filter(|(line, _)| !followed.gone.contains(line))
        .map(|(_, bends)| bends.by_energy)
        .reduce(|most, next| Some(most?.max(next?)))??;
    Some(stiffest * energy_j.sqrt())
}

/// Gives the most that may go into bending, joules: what weights and stated forces do on the way, and what lines and pipes stored before;
/// none where something falls.
fn energy_j(scenery: &Scenery<'_>, followed: &Followed) -> Option<f64> {
    let (model, rest) = (scenery.plain.model, scenery.plain.rest);
    let motion = followed.motion.as_ref()?;
    if !followed.falls.is_empty() {
        return None;
    }
    let parameters = &model.parameters;
    let travel = |frame: FrameId| motion.travel[frame.index()];
    let drop_m = |load: &LoadModel| travel(load.frame).map_or(0.0, |travel| travel.drop_m);
    let loads = model.loads.values();
    let weights_j = loads.clone().map(|load| load.weight_n.value() * drop_m(load));
    let most_m = loads.clone().map(drop_m).fold(0.0, f64::max);
    let rings_j = model
        .junctions
        .values()
        .map(|ring| parameters.weight_n[ring.index()] * most_m);
    // What a pipe carries at a place is stated as a force, and is of its weight.
    let carried: Vec<Range<usize>> = loads
        .filter_map(|load| Some(load.pipe.as_ref()?.carried.clone()))
        .collect();
    let stated = parameters
        .forces
        .iter()
        .enumerate()
        .filter(|(index, _)| !carried.iter().any(|range| range.contains(index)));
    let stated_j = stated.map(|(_, force)| {
        let by_m = travel(force.frame).map_or(most_m, |travel| travel.drop_m + travel.swing_m);
        force.force_n.norm() * by_m
    });
    let lines_j = model.topology.lines().map(|line| {
        let (of, tension_n) = (&parameters.lines[line.index()], rest.line(line).tension_n);
        0.5 * tension_n * tension_n * of.unloaded_length_m / (of.stiffness_n * (1.0 - STIFFNESS))
    });
    let bent_j = rest.beams.iter().map(bent_j);
    let all_j = weights_j
        .chain(rings_j)
        .chain(stated_j)
        .chain(lines_j)
        .chain(bent_j);
    Some(all_j.sum())
}

/// Gives what is stored in a piece of pipe that is bent, joules: M² is of the fourth degree along it, for which Boole's rule is exact.
fn bent_j(beam: &BeamResult) -> f64 {
    let [ei_y, ei_z] = beam.bending_n_m2;
    if ei_y <= 0.0 || ei_z <= 0.0 {
        return 0.0;
    }
    let at = |share: f64| {
        let moment = beam.moment_at(share * beam.length_m);
        moment.y * moment.y / ei_y + moment.z * moment.z / ei_z
    };
    let [ends, quarters] = [0.5, 0.25].map(|share| at(-share) + at(share));
    0.5 * beam.length_m * (7.0 * ends + 32.0 * quarters + 12.0 * at(0.0)) / 90.0
}

/// A line that gets so many times what it has at rest jerks.
const JERKS: f64 = 2.0;

/// Finds what comes to a pipe on the way, where `jerks` says what jerks at its lines bend.
fn raise(
    scenery: &Scenery<'_>,
    (followed, lines): (&Followed, &[Option<Peak>]),
    pipe: &str,
    jerks: &[(usize, Bends)],
) -> Raise {
    let model = scenery.plain.model;
    let mut raise = Raise {
        ratio: 1.0,
        ..Raise::default()
    };
    let (Some(load), Some(after)) = (model.loads.get(pipe), &followed.after) else {
        return raise;
    };
    // A line that hangs slack holds its own weight, and nothing of the pipe.
    let of = model.lines_of(load).into_iter().filter_map(|line| {
        let rests = &after.lines[line];
        let rests_n = if rests.slack { 0.0 } else { rests.tension_n };
        let rests_n = with_weight_n(scenery, line, rests_n);
        Some((line, [lines[line]?.force_n, rests_n]))
    });
    let of: Vec<(usize, [f64; 2])> = of.collect();
    let least_n = least_n(of.iter().map(|(_, [_, rests_n])| *rests_n));
    for (line, [peak_n, rests_n]) in of {
        let is_little = rests_n < least_n;
        if !is_little {
            raise.ratio = raise.ratio.max(peak_n / rests_n.max(f64::MIN_POSITIVE));
        }
        let here = jerks
            .iter()
            .filter(|(own, _)| *own == line && peak_n > JERKS * rests_n);
        for (_, bends) in here {
            if is_little {
                raise.more = raise.more.and(Jerk::of(peak_n - rests_n, bends));
            }
            raise.alone = raise.alone.greater(Jerk::of(peak_n, bends));
        }
    }
    raise
}

impl Jerk {
    fn of(force_n: f64, bends: &Bends) -> Jerk {
        Jerk {
            moment_n_m: force_n * bends.moment_m,
            at_m: bends.at_m,
            shear_n: force_n * bends.shear,
        }
    }

    fn and(self, other: Jerk) -> Jerk {
        Jerk {
            moment_n_m: self.moment_n_m + other.moment_n_m,
            at_m: self.greater(other).at_m,
            shear_n: self.shear_n + other.shear_n,
        }
    }

    fn greater(self, other: Jerk) -> Jerk {
        let most = if other.moment_n_m > self.moment_n_m {
            other
        } else {
            self
        };
        Jerk {
            shear_n: self.shear_n.max(other.shear_n),
            ..most
        }
    }
}

/// Gives what a line has at rest that holds little of a pipe, from what all of its lines have, newtons.
fn least_n(rests_n: impl Iterator<Item = f64>) -> f64 {
    let pulling: Vec<f64> = rests_n.filter(|rests_n| *rests_n > SLACK_N).collect();
    if pulling.is_empty() {
        return 0.0;
    }
    LEAST_SHARE * pulling.iter().sum::<f64>() / pulling.len() as f64
}

/// Raises what bends a pipe at rest to what bends it on the way.
fn raised(facts: &PipeFacts, snatch: &Snatch, raise: &Raise) -> LetGoPipe {
    let ratio = raise.ratio;
    let (more, alone) = (raise.more, raise.alone);
    let jerks_at_m = more.greater(alone).at_m;
    // What jerks bring may be anywhere along it.
    let with_jerk = |(most, at_m): (f64, f64), [more, alone]: [f64; 2]| {
        let at_m = if more.max(alone) > most { jerks_at_m } else { at_m };
        ((most + more).max(alone), at_m)
    };
    let moments = [more.moment_n_m, alone.moment_n_m];
    let bends = |of: &Snatched| {
        let (most, at_m) = with_jerk(of.raised(ratio), moments);
        // Nor can it be bent by more than the energy let go bends it.
        let by_energy = raise.by_energy_n_m.map_or(f64::INFINITY, |more| of.rest + more);
        (most.min(of.sudden.max(by_energy)), at_m)
    };
    let (moment_n_m, moment_at_m) = bends(&snatch.moment);
    let shears = [more.shear_n, alone.shear_n];
    let (shear_n, shear_at_m) = with_jerk(snatch.shear.raised(ratio), shears);
    let (torque_n_m, torque_at_m) = snatch.torque.raised(ratio);
    let splices = facts.splices.iter().zip(&snatch.splices);
    let splices = splices.map(|(facts, [moment, shear])| {
        let splice = LetGoSplice {
            moment_n_m: bends(moment).0,
            shear_n: with_jerk(shear.raised(ratio), shears).0,
        };
        (facts.name.clone(), splice)
    });
    LetGoPipe {
        raised_by: ratio,
        moment_n_m,
        moment_at_m,
        moment_at_rest_n_m: snatch.moment.rest,
        shear_n,
        shear_at_m,
        shear_at_rest_n: snatch.shear.rest,
        torque_n_m,
        torque_at_m,
        torque_at_rest_n_m: snatch.torque.rest,
        splices: splices.collect(),
        moment_allowed_n_m: None,
        shear_allowed_n: None,
        use_at_peak: None,
        governs: None,
    }
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
    worst.raised_by = worst.raised_by.max(b.raised_by);
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
    let along = |what: &str, symbol: &str, kind: Kind, [peak, rest, at_m]: [f64; 3]| Along {
        greatest: raised_number(
            &format!("{what} in `{name}`"),
            (symbol, kind),
            [peak, rest],
            after,
        ),
        at_m,
        worst: None,
    };
    let torque = [pipe.torque_n_m, pipe.torque_at_rest_n_m, pipe.torque_at_m];
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
            "M",
            Kind::Torque,
            [pipe.moment_n_m, pipe.moment_at_rest_n_m, pipe.moment_at_m],
        )),
        shear_n: Some(along(
            "shear",
            "V",
            Kind::Force,
            [pipe.shear_n, pipe.shear_at_rest_n, pipe.shear_at_m],
        )),
        torque_n_m: (pipe.torque_n_m > 0.0).then(|| along("torque", "M_x", Kind::Torque, torque)),
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

/// Derives what is greatest on the way from what it is at rest in the end.
fn raised_number(what: &str, (symbol, kind): (&str, Kind), [peak, rest]: [f64; 2], after: &str) -> Number {
    if rest <= 0.0 {
        return given(what, (symbol, kind), peak, after);
    }
    let at_rest = Number::given(
        format!("greatest {what} at rest {after}"),
        format!("{symbol}_rest"),
        kind,
        rest,
        Source::mechanics("equilibrium found by iteration, in the way that was worst"),
    );
    let how = "the greatest of: peak over tension at rest of its lines, with what lines that jerk bend as it floats, as far as the energy let \
               go can bend it; what a sudden change brings, twice the change at every place (our judgement)";
    let factor = Number::given(
        format!("factor on {what} on the way {after}"),
        "f",
        Kind::Number,
        peak / rest,
        Source::mechanics(how),
    );
    Number::computed(
        format!("greatest {what} on the way {after}"),
        format!("{symbol}_peak"),
        kind,
        Expression::from(&factor) * &at_rest,
        Source::mechanics("what bends it at rest in the end, raised for the way there"),
    )
}

fn given(what: &str, (symbol, kind): (&str, Kind), value: f64, after: &str) -> Number {
    let how = "what bends it at rest in the end, raised for the way there (our judgement)";
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

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: half of the mean of 100 and 10 is 27.5; what is slack is not of the mean.
    #[test]
    fn a_line_that_hardly_holds_is_told_from_those_that_do() {
        assert_eq!(least_n([100.0, 10.0].into_iter()), 27.5);
        assert_eq!(least_n([100.0, 100.0, 0.0].into_iter()), 50.0);
        assert_eq!(least_n([0.0].into_iter()), 0.0);
    }
}
