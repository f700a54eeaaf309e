//! What pipes get on the way when something lets go, and how much of what they may carry that is.
//!
//! Conventions: SI; a pipe is told as it is bent at its worst on the way.
//! Assumes: a pipe is followed as a stiff one, so what bends it on the way is what bends it at rest in the end, raised by the greatest ratio
//! of a line's peak to what that line has at rest in the end, and at the least what a sudden change brings. No dynamic factor on top.
//! Valid for: pipes that come to rest again. Thrust and pull along them are left to the rules at rest.
//! Source: our judgement (docs/theory/motion.md).
//! Checked by: the tests below; tests/main/in_time.rs.

use crate::letgo::answer::{LetGoPipe, LetGoSplice};
use crate::letgo::gets::{SLACK_N, with_weight_n};
use crate::letgo::run::Followed;
use crate::letgo::scene::Scenery;
use crate::pipes::Snatch;
use indexmap::IndexMap;
use motion::Peak;
use practice::{Along, Facts, PipeFacts, PipeJudgement, Service, SpliceFacts, judge_pipe};
use quantity::Kind;
use working::{Expression, Number, Source};

/// A line that in the end has less than this share of what lines on the same pipe then have on average counts as having that: a jerk in a
/// line that hardly holds is many times what it holds, and says little of what bends the pipe.
const LEAST_SHARE: f64 = 0.5;

/// Tells what every pipe gets, in the order of the facts; none for one that nothing holds.
pub(crate) fn pipes(
    scenery: &Scenery<'_>,
    followed: &Followed,
    lines: &[Option<Peak>],
) -> Vec<Option<LetGoPipe>> {
    let facts = scenery.plain.facts.pipes.iter().zip(&followed.pipes);
    let told = facts.map(|(facts, snatch)| {
        let ratio = ratio(scenery, followed, lines, &facts.name);
        let pipe = raised(facts, snatch.as_ref()?, ratio);
        Some(judged(pipe, facts, scenery.plain.facts))
    });
    told.collect()
}

/// Gives the greatest ratio of a peak of a line on a pipe to what that line has at rest in the end.
fn ratio(scenery: &Scenery<'_>, followed: &Followed, lines: &[Option<Peak>], pipe: &str) -> f64 {
    let model = scenery.plain.model;
    let (Some(load), Some(after)) = (model.loads.get(pipe), &followed.after) else {
        return 1.0;
    };
    let of = model.lines_of(load).into_iter();
    // A line that hangs slack holds its own weight, and nothing of the pipe.
    let both = of.filter_map(|line| {
        let rests = &after.lines[line];
        let rests_n = if rests.slack { 0.0 } else { rests.tension_n };
        Some([lines[line]?.force_n, with_weight_n(scenery, line, rests_n)])
    });
    greatest_ratio(&both.collect::<Vec<_>>())
}

/// The same of the peak of each line and what it then has at rest, newtons.
fn greatest_ratio(of: &[[f64; 2]]) -> f64 {
    let pulling: Vec<f64> = of
        .iter()
        .map(|[_, rests_n]| *rests_n)
        .filter(|rests_n| *rests_n > SLACK_N)
        .collect();
    if pulling.is_empty() {
        return 1.0;
    }
    let least_n = LEAST_SHARE * pulling.iter().sum::<f64>() / pulling.len() as f64;
    let ratios = of.iter().map(|[peak_n, rests_n]| peak_n / rests_n.max(least_n));
    ratios.fold(1.0, f64::max)
}

/// Raises what bends a pipe at rest to what bends it on the way.
fn raised(facts: &PipeFacts, snatch: &Snatch, ratio: f64) -> LetGoPipe {
    let (moment_n_m, moment_at_m) = snatch.moment.raised(ratio);
    let (shear_n, shear_at_m) = snatch.shear.raised(ratio);
    let (torque_n_m, torque_at_m) = snatch.torque.raised(ratio);
    let splices = facts.splices.iter().zip(&snatch.splices);
    let splices = splices.map(|(facts, [moment, shear])| {
        let splice = LetGoSplice {
            moment_n_m: moment.raised(ratio).0,
            shear_n: shear.raised(ratio).0,
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
    let judged: PipeJudgement = judge_pipe(&at_peak(known, &pipe, ""), facts);
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
/// It counts as still: what its motion brings is in these numbers.
pub(crate) fn at_peak(known: &PipeFacts, pipe: &LetGoPipe, after: &str) -> PipeFacts {
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
        dynamic: None,
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
    let how = "the greatest of: peak over tension at rest of its lines, at least half of what they have on average; what a sudden change \
               brings, twice the change at every place (our judgement)";
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

    /// By hand: 300 over 100 is 3; a line with 10 counts as half of the mean of 55, so its 110 is 4 and not 11.
    #[test]
    fn a_line_that_hardly_holds_does_not_raise_what_bends_a_pipe_by_itself() {
        assert_eq!(greatest_ratio(&[[300.0, 100.0], [120.0, 100.0]]), 3.0);
        assert_eq!(greatest_ratio(&[[100.0, 100.0], [110.0, 10.0]]), 110.0 / 27.5);
        assert_eq!(
            greatest_ratio(&[[50.0, 0.0]]),
            1.0,
            "nothing then holds it by lines"
        );
        assert_eq!(greatest_ratio(&[[90.0, 100.0]]), 1.0);
    }
}
