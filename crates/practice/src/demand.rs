//! What lines, points, junctions and pipes are held against.
//!
//! Conventions: SI; a demand is a force, or in a pipe a moment, that is compared with a working load or an allowance.
//! Assumes: a dynamic factor raises every force of the loads that bear on the subject; design factors come on top.
//! Valid for: subjects whose forces were found. None where a dynamic factor is due and not stated.
//! Source: [bib:cal-8497] (raise the load, keep the factor); [bib:dguv-313-14] (size lines for the largest load of any).
//! Checked by: tests/main/published.rs (ex08), tests/main/laws.rs.

use crate::facts::{
    Along, Bend, EndAt, Facts, GroupFacts, JunctionFacts, LineFacts, PipeFacts, PointFacts, Service,
};
use crate::practice::{Practice, Sharing};
use crate::utilisation::NOISE_N;
use quantity::Kind;
use working::{Expression, Number, Seen, Source, greatest};

/// Gives what a line is held against: its governing share with the dynamic factor.
pub(crate) fn of_line(line: &LineFacts, practice: &Practice) -> Option<Number> {
    let share = governing(line.tension_n.as_ref()?, line.worst_share_n.as_ref(), practice);
    with_dynamic(
        "force the line is held against",
        share,
        line.service,
        line.dynamic.as_ref(),
        practice,
    )
}

/// What the part at a point is held against.
pub(crate) fn at_point(point: &PointFacts, practice: &Practice) -> Option<Number> {
    let what = format!("force the part at `{}` is held against", point.name);
    let force = governing(point.force_n.as_ref()?, point.worst_force_n.as_ref(), practice);
    with_dynamic(&what, force, point.service, point.dynamic.as_ref(), practice)
}

/// The force down on the building that its allowance is held against.
pub(crate) fn down(point: &PointFacts, practice: &Practice) -> Option<Number> {
    let what = format!("force down at `{}`", point.name);
    let force = governing(point.down_n.as_ref()?, point.worst_down_n.as_ref(), practice);
    with_dynamic(&what, force, point.service, point.dynamic.as_ref(), practice)
}

/// The force up on the building that its engineer is asked about; none where nothing pulls it up.
pub(crate) fn up(point: &PointFacts, practice: &Practice) -> Option<Number> {
    let what = format!("force up at `{}`", point.name);
    let force = upward(point.down_n.as_ref()?, point.worst_up_n.as_ref())?;
    with_dynamic(&what, force, point.service, point.dynamic.as_ref(), practice)
}

/// The same on all points of a group.
pub(crate) fn up_on_group(group: &GroupFacts, facts: &Facts) -> Option<Number> {
    let what = format!("force up of `{}` together", group.name);
    let force = upward(group.down_n.as_ref()?, group.worst_up_n.as_ref())?;
    on_group(&what, group, &force, None, facts)
}

/// The greatest force up, whatever the exact lengths; none where there is none.
pub(crate) fn upward(down: &Number, worst_up: Option<&Number>) -> Option<Number> {
    let law = Source::mechanics("up is down turned round");
    let stated = Number::computed(
        "force up",
        "F_up",
        Kind::Force,
        Expression::from(-1.0) * down,
        law,
    );
    let force = match worst_up {
        Some(worst) => Number::computed(
            "greatest force up, whatever the exact lengths",
            "F_up",
            Kind::Force,
            greatest([&stated, worst]),
            Source::plain("the greater of both", Seen::Judgement),
        ),
        None => stated,
    };
    (force.value() > NOISE_N).then_some(force)
}

/// The force sideways on the building that its allowance is held against.
pub(crate) fn side(point: &PointFacts, practice: &Practice) -> Option<Number> {
    let what = format!("force sideways at `{}`", point.name);
    let force = governing(point.side_n.as_ref()?, point.worst_side_n.as_ref(), practice);
    with_dynamic(&what, force, point.service, point.dynamic.as_ref(), practice)
}

/// The force down on all points of a group, which the beam's allowance is held against.
pub(crate) fn down_on_group(group: &GroupFacts, facts: &Facts) -> Option<Number> {
    let what = format!("force down of `{}` together", group.name);
    on_group(
        &what,
        group,
        group.down_n.as_ref()?,
        group.worst_down_n.as_ref(),
        facts,
    )
}

/// The force sideways on all points of a group, which the beam's allowance is held against.
pub(crate) fn side_on_group(group: &GroupFacts, facts: &Facts) -> Option<Number> {
    let what = format!("force sideways of `{}` together", group.name);
    on_group(
        &what,
        group,
        group.side_n.as_ref()?,
        group.worst_side_n.as_ref(),
        facts,
    )
}

/// What a pipe is held against where something is greatest along it.
pub(crate) fn along(what: &str, pipe: &PipeFacts, along: &Along, practice: &Practice) -> Option<Number> {
    let what = format!("{what} `{}` is held against", pipe.name);
    on_pipe(&what, pipe, &along.greatest, along.worst.as_ref(), practice)
}

/// What a pipe is held against at one place.
pub(crate) fn on_pipe(
    what: &str,
    pipe: &PipeFacts,
    stated: &Number,
    worst: Option<&Number>,
    practice: &Practice,
) -> Option<Number> {
    let size = governing(stated, worst, practice);
    with_dynamic(what, size, pipe.service, pipe.dynamic.as_ref(), practice)
}

/// Raises a governing force on a group by the greatest dynamic factor of its points.
fn on_group(
    what: &str,
    group: &GroupFacts,
    stated: &Number,
    worst: Option<&Number>,
    facts: &Facts,
) -> Option<Number> {
    let points = || {
        facts
            .points
            .iter()
            .filter(|point| group.points.contains(&point.name))
    };
    let service = points()
        .map(|point| point.service)
        .find(|service| *service != Service::Still);
    let factors = points().filter_map(|point| point.dynamic.as_ref());
    let dynamic = factors.max_by(|a, b| a.value().total_cmp(&b.value()));
    let force = governing(stated, worst, &facts.practice);
    with_dynamic(
        what,
        force,
        service.unwrap_or(Service::Still),
        dynamic,
        &facts.practice,
    )
}

/// The greater of a force, or a moment, at the stated lengths and the worst, by the practice.
fn governing(stated: &Number, worst: Option<&Number>, practice: &Practice) -> Number {
    let Some(worst) = worst.filter(|_| practice.sharing == Sharing::Worst) else {
        return stated.clone();
    };
    let source = Source::cited(
        "dguv-313-14",
        "each part for the largest load that any line brings",
        Seen::Text,
    );
    let what = format!("greatest {}, whatever the exact lengths", stated.what());
    let symbol = format!("{}_s", stated.symbol());
    Number::computed(what, symbol, stated.kind(), greatest([stated, worst]), source)
}

/// What the part at a junction is held against.
pub(crate) fn at_junction(junction: &JunctionFacts, facts: &Facts) -> Option<Number> {
    let mut of = vec![Expression::from(junction.greatest_n.as_ref()?)];
    if facts.practice.sharing == Sharing::Worst {
        let here = |end: &EndAt| matches!(end, EndAt::Junction(name) if *name == junction.name);
        let lines = facts
            .lines
            .iter()
            .filter(|line| line.ends.iter().any(here) || over(&line.bends, &junction.name) > 0);
        of.extend(
            lines
                .filter_map(|line| line.worst_share_n.as_ref())
                .map(Expression::from),
        );
    }
    let source = Source::cited(
        "dguv-313-14",
        "each part for the largest load that any line brings",
        Seen::Text,
    );
    let force = Number::computed(
        "greatest pull of a line on it",
        "T",
        Kind::Force,
        greatest(of),
        source,
    );
    let what = format!("force `{}` is held against", junction.name);
    with_dynamic(
        &what,
        force,
        junction.service,
        junction.dynamic.as_ref(),
        &facts.practice,
    )
}

fn over(bends: &[Bend], name: &str) -> usize {
    bends.iter().filter(|bend| bend.over == name).count()
}

/// Raises a force or a moment by the dynamic factor; none where one is due and not stated, or where it is less than 1.
fn with_dynamic(
    what: &str,
    force: Number,
    service: Service,
    dynamic: Option<&Number>,
    practice: &Practice,
) -> Option<Number> {
    let Some(factor) = dynamic else {
        return (!practice.asks_dynamic_factor(service)).then_some(force);
    };
    if factor.value().is_nan() || factor.value() < 1.0 {
        return None;
    }
    let source = Source::cited(
        "cal-8497",
        "raise the load for its motion and keep the design factor on that",
        Seen::Text,
    );
    Some(Number::computed(what, "D", force.kind(), factor * &force, source))
}
