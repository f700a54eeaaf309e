//! What lines, points and junctions are held against.
//!
//! Conventions: SI; a demand is a force in newtons that is compared with a working load or an allowance.
//! Assumes: a dynamic factor raises every force of the loads that bear on the subject; design factors come on top.
//! Valid for: subjects whose forces were found. None where a dynamic factor is due and not stated.
//! Source: [bib:cal-8497] (raise the load, keep the factor); [bib:dguv-313-14] (size lines for the largest load of any).
//! Checked by: tests/main/published.rs (ex08), tests/main/laws.rs.

use crate::facts::{Bend, EndAt, Facts, JunctionFacts, LineFacts, PointFacts, Service};
use crate::practice::{Practice, Sharing};
use quantity::Kind;
use working::{Expression, Number, Seen, Source, greatest, sum};

/// Gives what a line is held against: its governing share with the dynamic factor.
pub(crate) fn of_line(line: &LineFacts, practice: &Practice) -> Option<Number> {
    let share = governing_share(line, practice)?;
    with_dynamic(
        "force the line is held against",
        share,
        line.service,
        line.dynamic.as_ref(),
        practice,
    )
}

/// What a line is held against in a trial in which it has this tension.
pub(crate) fn in_trial(line: &LineFacts, tension: &Number, practice: &Practice) -> Option<Number> {
    let what = "force the line is held against in the trial";
    with_dynamic(
        what,
        tension.clone(),
        line.service,
        line.dynamic.as_ref(),
        practice,
    )
}

/// The greatest share of a line, by the practice: at the stated lengths, or the worse with fewer lines carrying.
fn governing_share(line: &LineFacts, practice: &Practice) -> Option<Number> {
    let tension = line.tension_n.as_ref()?;
    let Some(worst) = line
        .worst_share_n
        .as_ref()
        .filter(|_| practice.sharing == Sharing::Worst)
    else {
        return Some(tension.clone());
    };
    let source = Source::cited(
        "dguv-313-14",
        "each line for the largest load that any one carries",
        Seen::Text,
    );
    let what = "greatest share of the line, whatever the exact lengths";
    Some(Number::computed(
        what,
        "T_s",
        Kind::Force,
        greatest([tension, worst]),
        source,
    ))
}

/// What the part at a point is held against.
pub(crate) fn at_point(point: &PointFacts, facts: &Facts) -> Option<Number> {
    let force = sum_with(
        point.force_n.as_ref()?,
        facts,
        &|bends| over(bends, &point.name),
        &ends_at(&point.name),
        None,
    );
    let what = format!("force the part at `{}` is held against", point.name);
    with_dynamic(
        &what,
        force,
        point.service,
        point.dynamic.as_ref(),
        &facts.practice,
    )
}

/// The force down on the building that its allowance is held against.
pub(crate) fn down(point: &PointFacts, facts: &Facts) -> Option<Number> {
    let force = sum_with(
        point.down_n.as_ref()?,
        facts,
        &|bends| over(bends, &point.name),
        &ends_at(&point.name),
        None,
    );
    let what = format!("force down at `{}`", point.name);
    with_dynamic(
        &what,
        force,
        point.service,
        point.dynamic.as_ref(),
        &facts.practice,
    )
}

/// The force sideways on the building that its allowance is held against.
pub(crate) fn side(point: &PointFacts, facts: &Facts) -> Option<Number> {
    let side = point.side_n.as_ref()?;
    let force = sum_with(
        side,
        facts,
        &|bends| over(bends, &point.name),
        &ends_at(&point.name),
        Some(sideways),
    );
    let what = format!("force sideways at `{}`", point.name);
    with_dynamic(
        &what,
        force,
        point.service,
        point.dynamic.as_ref(),
        &facts.practice,
    )
}

/// A force on a group of points, raised by the greatest dynamic factor of its points.
///
/// The shares are those at the stated lengths: lines of one load that take less elsewhere take more here, but the
/// greatest shares of all of them never come together.
pub(crate) fn on_group(
    what: &str,
    force: &Number,
    points: &[&PointFacts],
    practice: &Practice,
) -> Option<Number> {
    let service = points
        .iter()
        .map(|point| point.service)
        .find(|service| *service != Service::Still);
    let factors = points.iter().filter_map(|point| point.dynamic.as_ref());
    let dynamic = factors.max_by(|a, b| a.value().total_cmp(&b.value()));
    with_dynamic(
        what,
        force.clone(),
        service.unwrap_or(Service::Still),
        dynamic,
        practice,
    )
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

/// Adds to a force what its lines may bring beyond their shares at the stated lengths.
///
/// Each line keeps its direction, so its pull grows by at most the difference; `part` is how much of that counts.
fn sum_with(
    force: &Number,
    facts: &Facts,
    passes: &dyn Fn(&[Bend]) -> usize,
    ends: &dyn Fn(&EndAt) -> bool,
    part: Option<fn(&LineFacts) -> Number>,
) -> Number {
    let mut terms = vec![Expression::from(force)];
    for line in &facts.lines {
        // A line that runs over a point pulls on it from both sides.
        let pulls = line.ends.iter().filter(|end| ends(end)).count() + 2 * passes(&line.bends);
        let (Some(tension), Some(worst)) = (&line.tension_n, &line.worst_share_n) else {
            continue;
        };
        if pulls == 0 || worst.value() <= tension.value() || facts.practice.sharing == Sharing::Elastic {
            continue;
        }
        let more = (worst - tension) * pulls as f64;
        terms.push(match part {
            Some(part) => more * part(line),
            None => more,
        });
    }
    if terms.len() == 1 {
        return force.clone();
    }
    let source = Source::mechanics("each line pulls in its own direction, by at most its greatest share");
    let what = format!("{}, with the greatest shares of its lines", force.what());
    Number::computed(
        what,
        format!("{}_s", force.symbol()),
        Kind::Force,
        sum(terms),
        source,
    )
}

fn sideways(line: &LineFacts) -> Number {
    let what = format!("cosine of the least angle of `{}` from the horizontal", line.name);
    let source = Source::mechanics("the pose found");
    Number::given(what, "c", Kind::Number, line.from_horizontal_rad.cos(), source)
}

fn ends_at(point: &str) -> impl Fn(&EndAt) -> bool {
    move |end| matches!(end, EndAt::Point(name) if name == point)
}

fn over(bends: &[Bend], name: &str) -> usize {
    bends.iter().filter(|bend| bend.over == name).count()
}

/// Raises a force by the dynamic factor; none where one is due and not stated, or where it is less than 1.
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
    Some(Number::computed(what, "D", Kind::Force, factor * &force, source))
}
