//! The worst of all ways in which an event may go.
//!
//! Conventions: SI; a use is a peak over a working load or an allowance.
//! Assumes: working loads are those of the rig as it hangs before; a peak gets no dynamic factor, since it is what that stands for.
//! Valid for: events of plain rigs.
//! Source: [bib:dguv-313-23] (the weakest part of what catches rules); that the worst of damping and stiffness counts is our judgement.
//! Checked by: tests/main/in_time.rs.

use crate::balance::upward;
use crate::facts::tilt_of_rad;
use crate::geometry::array;
use crate::letgo::answer::{LetGoCase, LetGoLine, LetGoLoad, LetGoPoint, Outcome, Parting};
use crate::letgo::event::{Event, What};
use crate::letgo::run::{Came, Followed, Ran};
use crate::letgo::scene::{Scenery, Way};
use indexmap::IndexMap;
use motion::{OnBuilding, Peak, Swept, Travel};
use practice::Allowance;
use quantity::{Kind, Style};
use working::Number;

/// Less than this is slack, newtons.
const SLACK_N: f64 = 1e-6;

/// Says how grave a run is, and how much of what there is it uses.
pub(crate) fn gravity(scenery: &Scenery<'_>, ran: &Ran) -> (Outcome, f64) {
    let followed = match &ran.came {
        Came::NotFound(_) => return (Outcome::NotKnown, 0.0),
        Came::Followed(followed) => followed,
    };
    let used = used(scenery, followed);
    let most = used.iter().map(|(_, used)| *used).fold(0.0, f64::max);
    let parted = followed
        .motion
        .as_ref()
        .is_some_and(|motion| !motion.parted.is_empty());
    let outcome = match () {
        () if !followed.falls_at_once.is_empty() => Outcome::Falls,
        () if followed.refused.is_some() => Outcome::NotKnown,
        () if parted => Outcome::Cascade,
        () if most > 1.0 => Outcome::PastWorkingLoad,
        () => Outcome::Held,
    };
    // Where nothing is rated the hardest pull decides.
    let pulls = followed
        .motion
        .iter()
        .flat_map(|motion| &motion.lines)
        .map(|peak| peak.force_n);
    (
        outcome,
        if used.is_empty() {
            1e-12 * pulls.fold(0.0, f64::max)
        } else {
            most
        },
    )
}

/// Lists what a run uses of working loads and allowances, by path, where these are known.
fn used(scenery: &Scenery<'_>, followed: &Followed) -> Vec<(String, f64)> {
    let Some(motion) = &followed.motion else {
        return Vec::new();
    };
    let plain = scenery.plain;
    let (model, measured) = (plain.model, plain.measured);
    let mut used = Vec::new();
    let mut note = |path: String, peak_n: f64, limit: Option<&Number>| {
        if let Some(limit) = limit.filter(|limit| limit.value() > 0.0) {
            used.push((path, peak_n / limit.value()));
        }
    };
    for judged in &measured.lines {
        let Some((index, _, _)) = model.lines.get_full(&judged.name) else {
            continue;
        };
        if !followed.gone.contains(&index) {
            let peak_n = with_weight_n(scenery, index, motion.lines[index].force_n);
            note(
                format!("lines.{}", judged.name),
                peak_n,
                judged.load.working_load_n.as_ref(),
            );
        }
    }
    for judged in &measured.junctions {
        let Some(frame) = model.junctions.get(&judged.name) else {
            continue;
        };
        let pulls = model
            .lines_on(*frame)
            .into_iter()
            .map(|line| motion.lines[line].force_n);
        note(
            format!("junctions.{}", judged.name),
            pulls.fold(0.0, f64::max),
            judged.working_load_n.as_ref(),
        );
    }
    for (judged, facts) in measured.points.iter().zip(&plain.facts.points) {
        let Some(frame) = model.points.get(&judged.name) else {
            continue;
        };
        let on = motion.on_building[frame.index()];
        let path = format!("points.{}", judged.name);
        note(path.clone(), on.force.force_n, judged.working_load_n.as_ref());
        for (force_n, limit) in against(&on, facts.allows.as_ref()) {
            note(path.clone(), force_n, Some(limit));
        }
    }
    for (judged, facts) in measured.groups.iter().zip(&plain.facts.groups) {
        let on = facts
            .points
            .iter()
            .filter_map(|name| Some(motion.on_building[model.points.get(name)?.index()]));
        // The peaks need not come at one moment: together they are the most that it can be.
        let sum = on.fold(OnBuilding::default(), |sum, on| OnBuilding {
            down: added(sum.down, on.down),
            up: added(sum.up, on.up),
            side: added(sum.side, on.side),
            force: added(sum.force, on.force),
        });
        for (force_n, limit) in against(&sum, facts.allows.as_ref()) {
            note(format!("groups.{}", judged.name), force_n, Some(limit));
        }
    }
    used
}

fn added(a: Peak, b: Peak) -> Peak {
    Peak {
        force_n: a.force_n + b.force_n,
        at_s: a.at_s.max(b.at_s),
    }
}

/// Pairs what a point gets with what the building allows.
fn against<'a>(on: &OnBuilding, allows: Option<&'a Allowance>) -> impl Iterator<Item = (f64, &'a Number)> {
    let down = allows
        .and_then(|allows| allows.down_n.as_ref())
        .map(|limit| (on.down.force_n, limit));
    let side = allows
        .and_then(|allows| allows.side_n.as_ref())
        .map(|limit| (on.side.force_n, limit));
    down.into_iter().chain(side)
}

/// Adds to a tension what the line's own weight adds at its upper end.
fn with_weight_n(scenery: &Scenery<'_>, line: usize, tension_n: f64) -> f64 {
    let plain = scenery.plain;
    let Some((_, modelled)) = plain.model.lines.get_index(line) else {
        return tension_n;
    };
    if tension_n <= SLACK_N {
        return tension_n.max(0.0);
    }
    tension_n + 0.5 * modelled.weight_n.value() * upward(plain.model, plain.rest, line)
}

/// Puts an event together from all ways that were tried; `decides` is the one that was proved, and comes last.
pub(crate) fn case(scenery: &Scenery<'_>, event: &Event, ways: &[Ran], decides: &Ran) -> LetGoCase {
    let followed: Vec<&Followed> = ways.iter().chain([decides]).filter_map(Ran::followed).collect();
    let (outcome, _) = gravity(scenery, decides);
    let at_worst = scenery.in_words(&decides.way);
    let mut case = LetGoCase {
        lets_go: event.what.path(),
        parts: event.parts.clone(),
        alike: None,
        outcome,
        says: String::new(),
        at_worst,
        lines: lines(scenery, event, &followed, decides),
        loads: loads(scenery, &followed, decides),
        points: points(scenery, &followed),
        parted: Vec::new(),
        partings: Vec::new(),
        falls: Vec::new(),
        seconds: None,
        energy_drift: None,
        peaks_differ: None,
    };
    let fallen = case.loads.iter().filter(|(_, load)| load.falls);
    let paths = fallen.filter_map(|(name, _)| Some(scenery.plain.model.loads.get(name)?.path(name)));
    case.falls = paths.collect();
    if let Some((worst, motion)) = decides
        .followed()
        .and_then(|worst| Some((worst, worst.motion.as_ref()?)))
    {
        case.seconds = Some(motion.seconds);
        case.energy_drift = Some(motion.energy_drift);
        case.peaks_differ = worst.peaks_differ;
        let partings = motion
            .parted
            .iter()
            .map(|(which, at_s)| parting(scenery, *which, *at_s));
        case.partings = partings.collect();
        case.parted = case.partings.iter().map(|parting| parting.what.clone()).collect();
    }
    case.says = says(scenery, &case, &followed, decides);
    case
}

impl Ran {
    pub(crate) fn followed(&self) -> Option<&Followed> {
        match &self.came {
            Came::Followed(followed) => Some(followed),
            Came::NotFound(_) => None,
        }
    }
}

fn parting(scenery: &Scenery<'_>, which: usize, at_s: f64) -> Parting {
    let part = &scenery.may_part[which];
    Parting {
        what: part.path.clone(),
        at_s,
        breaking_n: part.breaking_n,
    }
}

fn lines(
    scenery: &Scenery<'_>,
    event: &Event,
    followed: &[&Followed],
    decides: &Ran,
) -> IndexMap<String, LetGoLine> {
    let plain = scenery.plain;
    let mut told = IndexMap::new();
    for (index, (name, judged)) in plain.model.lines.keys().zip(&plain.measured.lines).enumerate() {
        let there = || followed.iter().filter(|followed| !followed.gone.contains(&index));
        let peaks = there().filter_map(|followed| Some(followed.motion.as_ref()?.lines[index]));
        let peaks: Vec<Peak> = peaks.collect();
        if event.lines.contains(&index) || peaks.is_empty() {
            continue;
        }
        let tension_n = plain.rest.line(plain.model.lines[index].id).tension_n;
        let was_slack = plain.rest.line(plain.model.lines[index].id).slack;
        let before_n = with_weight_n(scenery, index, tension_n);
        let greatest = peaks.iter().copied().fold(Peak::default(), |most, peak| {
            if peak.force_n > most.force_n { peak } else { most }
        });
        let rests = there().filter_map(|followed| Some(followed.after.as_ref()?.lines[index].tension_n));
        let rests_n = with_weight_n(scenery, index, rests.fold(0.0, f64::max));
        let raised_n = |force_n: f64| {
            let peak_n = with_weight_n(scenery, index, force_n).max(rests_n);
            // A pipe is stiff while it moves; as it bends, what comes on a line all of a sudden pulls it twice as far at the most.
            let bends = on_pipe(scenery, index);
            if bends {
                peak_n.max(before_n).max(2.0 * rests_n - before_n)
            } else {
                peak_n
            }
        };
        let peak_n = raised_n(greatest.force_n);
        let least_n = peaks
            .iter()
            .map(|peak| peak.force_n)
            .fold(f64::INFINITY, f64::min);
        let after = decides.followed().filter(|worst| !worst.gone.contains(&index));
        let after = after
            .and_then(|worst| worst.after.as_ref())
            .map(|after| after.lines[index]);
        let parted = decides
            .followed()
            .is_some_and(|worst| took(scenery, worst, index));
        let after = after.filter(|_| !parted);
        let working_load_n = judged.load.working_load_n.as_ref().map(Number::value);
        let line = LetGoLine {
            before_n,
            peak_n,
            peak_at_s: greatest.at_s,
            peak_range_n: [raised_n(least_n), peak_n],
            ratio: (before_n > SLACK_N && !was_slack).then(|| peak_n / before_n),
            after_n: after.map(|after| with_weight_n(scenery, index, after.tension_n)),
            slack: after.is_some_and(|after| after.slack),
            working_load_n,
            breaking_n: judged.load.breaking_n.as_ref().map(Number::value),
            use_at_peak: working_load_n.map(|limit| peak_n / limit),
        };
        told.insert(name.clone(), line);
    }
    told
}

/// Tells whether a line holds a pipe.
fn on_pipe(scenery: &Scenery<'_>, line: usize) -> bool {
    let model = scenery.plain.model;
    let mut pipes = model.loads.values().filter(|load| load.pipe.is_some());
    pipes.any(|load| model.lines_of(load).contains(&line))
}

/// Tells whether a line went with something that parted.
fn took(scenery: &Scenery<'_>, followed: &Followed, line: usize) -> bool {
    let parted = followed.motion.iter().flat_map(|motion| &motion.parted);
    parted.into_iter().any(|(which, _)| {
        scenery.may_part[*which]
            .takes
            .iter()
            .any(|taken| taken.index() == line)
    })
}

fn loads(scenery: &Scenery<'_>, followed: &[&Followed], decides: &Ran) -> IndexMap<String, LetGoLoad> {
    let model = scenery.plain.model;
    let mut told = IndexMap::new();
    for (index, (name, modelled)) in model.loads.iter().enumerate() {
        let falls = followed.iter().any(|followed| followed.falls.contains(&index));
        let motions: Vec<&motion::Motion> = followed
            .iter()
            .filter_map(|followed| followed.motion.as_ref())
            .collect();
        let travels: Vec<Travel> = motions
            .iter()
            .filter_map(|motion| motion.travel[modelled.frame.index()])
            .collect();
        let most = |of: &dyn Fn(&Travel) -> f64| travels.iter().map(of).reduce(f64::max).filter(|_| !falls);
        let swept: Vec<Swept> = motions
            .iter()
            .flat_map(|motion| scenery.places.iter().zip(&motion.swept))
            .filter(|((load, _, _), _)| *load == index)
            .map(|(_, swept)| *swept)
            .chain(
                followed
                    .iter()
                    .flat_map(|followed| at_rest_then(scenery, followed, index)),
            )
            .collect();
        let tilts_then = followed
            .iter()
            .filter_map(|followed| tilt_of_rad(modelled, &followed.after.as_ref()?.state));
        let tilts_then = tilts_then.reduce(f64::max).filter(|_| !falls);
        let room = swept.iter().copied().reduce(|room, next| Swept {
            least_m: room.least_m.inf(&next.least_m),
            most_m: room.most_m.sup(&next.most_m),
            furthest_m: room.furthest_m.max(next.furthest_m),
        });
        let room = room.filter(|_| !falls);
        let tilt = |travel: &Travel| {
            if modelled.pipe.is_some() {
                travel.slope_rad
            } else {
                travel.tilt_rad
            }
        };
        let after = decides
            .followed()
            .and_then(|worst| worst.after.as_ref())
            .filter(|_| !falls);
        told.insert(
            name.clone(),
            LetGoLoad {
                falls,
                drop_m: most(&|travel| travel.drop_m),
                swing_m: most(&|travel| travel.swing_m),
                tilt_deg: most(&tilt)
                    .into_iter()
                    .chain(tilts_then)
                    .reduce(f64::max)
                    .map(f64::to_degrees),
                after_at_m: after.map(|after| array(after.state.position_m[modelled.frame.index()])),
                after_tilt_deg: after
                    .and_then(|after| tilt_of_rad(modelled, &after.state))
                    .map(f64::to_degrees),
                moves_m: room.map(|room| room.furthest_m),
                lowest_centre_m: travels
                    .iter()
                    .map(|travel| travel.lowest_centre_m)
                    .reduce(f64::min)
                    .filter(|_| !falls),
                lowest_m: room.map(|room| room.least_m.z),
                swept_least_m: room.map(|room| array(room.least_m)),
                swept_most_m: room.map(|room| array(room.most_m)),
            },
        );
    }
    told
}

/// Gives the way of the known places of a load from where they are to where they then rest. A pipe that bends or folds there goes where a
/// stiff one would not.
fn at_rest_then(scenery: &Scenery<'_>, followed: &Followed, load: usize) -> Vec<Swept> {
    let Some(after) = &followed.after else {
        return Vec::new();
    };
    let (plain, model) = (scenery.plain, scenery.plain.model);
    let places = scenery.places.iter().filter(|(own, _, _)| *own == load);
    let ways = places.map(|(_, frame, offset_m)| {
        let [was, is] = [&plain.rest.state, &after.state].map(|state| {
            let origin_m = state.frame_at_m(&model.topology, &model.parameters, *frame);
            origin_m + state.rotation[frame.index()] * offset_m
        });
        Swept {
            least_m: was.inf(&is),
            most_m: was.sup(&is),
            furthest_m: (is - was).norm(),
        }
    });
    ways.collect()
}

fn points(scenery: &Scenery<'_>, followed: &[&Followed]) -> IndexMap<String, LetGoPoint> {
    let plain = scenery.plain;
    let mut told = IndexMap::new();
    for ((name, frame), (judged, facts)) in plain
        .model
        .points
        .iter()
        .zip(plain.measured.points.iter().zip(&plain.facts.points))
    {
        let all = followed.iter().filter_map(|followed| followed.motion.as_ref());
        let worst = all
            .map(|motion| motion.on_building[frame.index()])
            .reduce(|worst, next| OnBuilding {
                force: greater(worst.force, next.force),
                down: greater(worst.down, next.down),
                up: greater(worst.up, next.up),
                side: greater(worst.side, next.side),
            });
        let Some(worst) = worst else { continue };
        let of_part = judged
            .working_load_n
            .as_ref()
            .map(|limit| worst.force.force_n / limit.value());
        let of_allowance =
            against(&worst, facts.allows.as_ref()).map(|(force_n, limit)| force_n / limit.value());
        told.insert(
            name.clone(),
            LetGoPoint {
                peak_n: worst.force.force_n,
                peak_at_s: worst.force.at_s,
                down_n: worst.down.force_n,
                // Less is the rounding of what rests there.
                up_n: if worst.up.force_n > 0.01 {
                    worst.up.force_n
                } else {
                    0.0
                },
                side_n: worst.side.force_n,
                use_at_peak: of_part.into_iter().chain(of_allowance).reduce(f64::max),
            },
        );
    }
    told
}

fn greater(a: Peak, b: Peak) -> Peak {
    if b.force_n > a.force_n { b } else { a }
}

/// Says what becomes of the rig, in a sentence.
fn says(scenery: &Scenery<'_>, case: &LetGoCase, followed: &[&Followed], decides: &Ran) -> String {
    let said = match case.outcome {
        Outcome::NotKnown => match &decides.came {
            Came::NotFound(why) => format!("it was not found what happens: {why}"),
            Came::Followed(followed) => {
                let why = followed.refused.as_deref().unwrap_or_default();
                format!("everything comes to hang again, but what happens on the way was not found: {why}")
            }
        },
        Outcome::Falls => {
            let worst = decides.followed();
            let why = worst.map(|worst| worst.why.clone()).unwrap_or_default();
            let rest = worst.and_then(|worst| worst.refused.as_ref());
            let rest = rest
                .map(|why| format!("; what the rest does was not found: {why}"))
                .unwrap_or_default();
            let grips = if decides.way.without_grips {
                "with other adjustable grips gone as well, "
            } else {
                ""
            };
            format!(
                "{grips}{} {}: {why}{rest}",
                names(&case.falls),
                verb(&case.falls, "falls", "fall")
            )
        }
        Outcome::Cascade => {
            let ends = if case.falls.is_empty() {
                "what is left then holds".to_string()
            } else {
                format!(
                    "then {} {}",
                    names(&case.falls),
                    verb(&case.falls, "falls", "fall")
                )
            };
            format!(
                "{} {}; {ends}",
                names(&case.parted),
                verb(&case.parted, "parts", "part in turn")
            )
        }
        Outcome::PastWorkingLoad => {
            format!(
                "everything still hangs, but not all of it within its limits: {}",
                moves(scenery, case, followed)
            )
        }
        Outcome::Held => format!("everything still hangs: {}", moves(scenery, case, followed)),
    };
    let unrated = case
        .lines
        .iter()
        .filter(|(_, line)| line.working_load_n.is_none() && line.peak_n > SLACK_N);
    let unrated: Vec<String> = unrated.map(|(name, _)| format!("lines.{name}")).collect();
    if unrated.is_empty() || case.outcome == Outcome::Falls {
        return said;
    }
    format!(
        "{said}; {} {} no working load, so it is not known whether {}",
        names(&unrated),
        verb(&unrated, "has", "have"),
        verb(&unrated, "it holds", "they hold")
    )
}

/// Says what is used most, and how far what moves most goes.
fn moves(scenery: &Scenery<'_>, case: &LetGoCase, followed: &[&Followed]) -> String {
    let all = followed.iter().flat_map(|followed| used(scenery, followed));
    let most = all.reduce(|most, next| if next.1 > most.1 { next } else { most });
    let most = most.map(|(path, used)| match used {
        used if used.is_infinite() => format!("`{path}` gets what it may not carry at all"),
        used => format!("`{path}` gets {:.0} % of what it may carry", 100.0 * used),
    });
    let parts = most
        .into_iter()
        .chain(moved(case))
        .chain(too_far(scenery, case))
        .chain(lands(scenery, case));
    let parts: Vec<String> = parts.collect();
    if parts.is_empty() {
        "nothing moves".into()
    } else {
        parts.join("; ")
    }
}

/// Names some paths.
fn names(paths: &[String]) -> String {
    let quoted: Vec<String> = paths.iter().map(|path| format!("`{path}`")).collect();
    match quoted.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => quoted.concat(),
    }
}

fn verb(of: &[String], one: &'static str, many: &'static str) -> &'static str {
    if of.len() == 1 { one } else { many }
}

/// Says which loads move further than they may.
fn too_far(scenery: &Scenery<'_>, case: &LetGoCase) -> Option<String> {
    let facts = scenery.plain.facts.loads.iter();
    let far = facts.filter(|facts| {
        let moves_m = case.loads.get(&facts.name).and_then(|load| load.moves_m);
        facts
            .may_move_m
            .zip(moves_m)
            .is_some_and(|(most_m, moves_m)| moves_m > most_m)
    });
    let names: Vec<String> = far.map(|facts| format!("`{}`", facts.name)).collect();
    (!names.is_empty()).then(|| format!("that is further than `may_move` of {} says", names.join(", ")))
}

/// Says which loads would meet the floor.
fn lands(scenery: &Scenery<'_>, case: &LetGoCase) -> Option<String> {
    let facts = scenery.plain.facts.loads.iter();
    let lands = facts.filter(|facts| {
        let lowest_m = case.loads.get(&facts.name).and_then(|load| load.lowest_m);
        facts.height_m >= 0.0 && lowest_m.is_some_and(|lowest_m| lowest_m < 0.0)
    });
    let names: Vec<String> = lands.map(|facts| format!("`{}`", facts.name)).collect();
    (!names.is_empty()).then(|| {
        format!(
            "{} would meet the floor at z = 0, of which the motion knows nothing",
            names.join(", ")
        )
    })
}

/// Says where the load goes that goes furthest.
fn moved(case: &LetGoCase) -> Option<String> {
    let (name, load) = case
        .loads
        .iter()
        .filter(|(_, load)| load.moves_m.is_some())
        .max_by(|a, b| a.1.moves_m.unwrap_or(0.0).total_cmp(&b.1.moves_m.unwrap_or(0.0)))?;
    // Less than a tenth of a millimetre is no movement.
    let length = |length_m: f64| Kind::Length.print((1e4 * length_m).round() / 1e4 + 0.0, Style::both());
    Some(format!(
        "`{name}` moves {} at most, drops {} and tilts to {:.0}°",
        length(load.moves_m?),
        length(load.drop_m?),
        load.tilt_deg?
    ))
}

/// Lists the ways in which an event is to be tried: each that the rig has, and with adjustable grips gone as well where that differs.
pub(crate) fn ways(scenery: &Scenery<'_>, event: &Event) -> Vec<Way> {
    let slips = event.longer_m.map(|(line, _)| line);
    let more = |grip: &usize| !event.lines.contains(grip) && Some(*grip) != slips;
    let differs = event.what != What::Grips && scenery.grips.iter().any(more);
    let without = scenery.ways.iter().map(|way| Way {
        without_grips: true,
        ..*way
    });
    scenery
        .ways
        .iter()
        .copied()
        .chain(without.filter(|_| differs))
        .collect()
}
