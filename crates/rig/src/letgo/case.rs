//! The worst of all ways in which an event may go.
//!
//! Conventions: SI; a use is a peak over a working load or an allowance.
//! Assumes: the ways that were tried bound what may happen.
//! Valid for: events of plain rigs.
//! Source: that the worst of damping and stiffness counts is our judgement.
//! Checked by: tests/main/in_time.rs.

use crate::facts::tilt_of_rad;
use crate::geometry::array;
use crate::letgo::answer::{
    LetGoCase, LetGoClamp, LetGoGroup, LetGoJunction, LetGoLine, LetGoLoad, LetGoPoint, Outcome, Parting,
};
use crate::letgo::event::{Event, What};
use crate::letgo::gets::{Gets, SLACK_N, before_n, gets, may_part, of_allowance, used, with_weight_n};
use crate::letgo::pipes::worst_of;
use crate::letgo::run::{Came, Followed, Ran};
use crate::letgo::scene::{Scenery, Way};
use indexmap::IndexMap;
use motion::{OnBuilding, Peak, Swept, Travel};
use practice::share_at_peak;
use quantity::{Kind, Style};
use statics::{FrameId, State, Vector3};
use working::Number;

/// How grave a run is: what becomes of the rig, how much of what may be carried is used, and the hardest pull, newtons.
pub(crate) type Gravity = (Outcome, f64, f64);

/// Says how grave a run is.
pub(crate) fn gravity(scenery: &Scenery<'_>, ran: &Ran) -> Gravity {
    let followed = match &ran.came {
        Came::NotFound(_) => return (Outcome::NotKnown, 0.0, 0.0),
        Came::Followed(followed) => followed,
    };
    let gets = gets(scenery, followed);
    let may_part = gets.as_ref().and_then(|gets| may_part(scenery, followed, gets));
    let used = gets.map(|gets| used(scenery, &gets)).unwrap_or_default();
    let most = used.iter().map(|(_, used)| *used).fold(0.0, f64::max);
    let parted = followed
        .motion
        .as_ref()
        .is_some_and(|motion| !motion.parted.is_empty());
    let outcome = match () {
        () if !followed.falls_at_once.is_empty() => Outcome::Falls,
        () if followed.refused.is_some() || may_part.is_some() => Outcome::NotKnown,
        () if parted => Outcome::Cascade,
        () if most > 1.0 => Outcome::PastWorkingLoad,
        () => Outcome::Held,
    };
    // Where nothing is rated, or nothing allowed, the hardest pull decides.
    let pulls = followed
        .motion
        .iter()
        .flat_map(|motion| &motion.lines)
        .map(|peak| peak.force_n);
    (outcome, most, pulls.fold(0.0, f64::max))
}

/// Puts an event together from all ways that were tried; `decides` is the worst of them.
pub(crate) fn case(scenery: &Scenery<'_>, event: &Event, ways: &[Ran], decides: &Ran) -> LetGoCase {
    let followed: Vec<&Followed> = ways.iter().filter_map(Ran::followed).collect();
    let all: Vec<Gets> = followed
        .iter()
        .filter_map(|followed| gets(scenery, followed))
        .collect();
    let (outcome, _, _) = gravity(scenery, decides);
    let most = most_used(scenery, &all);
    let at_worst = scenery.in_words(&decides.way);
    let mut case = LetGoCase {
        lets_go: event.what.path(),
        is_least: ways.iter().any(is_not_found),
        parts: event.parts.clone(),
        alike: None,
        outcome,
        says: String::new(),
        at_worst,
        use_at_peak: most.as_ref().map(|(_, share)| *share),
        most_used: most.map(|(path, _)| path),
        lines: lines(scenery, event, (&followed, &all), decides),
        loads: loads(scenery, &followed, decides),
        points: points(scenery, &all),
        junctions: junctions(scenery, &all),
        groups: groups(scenery, &all),
        clamps: clamps(scenery, &all),
        pipes: worst_of(scenery, all.iter().map(|gets| &gets.pipes)),
        parted: Vec::new(),
        partings: Vec::new(),
        falls: Vec::new(),
        lands: Vec::new(),
        too_far: Vec::new(),
        with_grips: with_grips(scenery, ways, decides),
        followed_s: None,
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
        case.followed_s = Some(motion.seconds);
        case.seconds = worst.proved_s;
        case.energy_drift = Some(motion.energy_drift);
        case.peaks_differ = worst.peaks_differ;
        let partings = motion
            .parted
            .iter()
            .map(|(which, at_s)| parting(scenery, *which, *at_s));
        case.partings = partings.collect();
        case.parted = case.partings.iter().map(|parting| parting.what.clone()).collect();
    }
    case.lands = lands(scenery, &case);
    if !case.lands.is_empty() && case.outcome == Outcome::Held {
        case.outcome = Outcome::PastWorkingLoad;
    }
    case.too_far = too_far(scenery, &case);
    case.says = says(scenery, &case, decides);
    case
}

/// Tells whether it was not found what happens in a way, or on the way.
fn is_not_found(ran: &Ran) -> bool {
    ran.followed().is_none_or(|followed| followed.refused.is_some())
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
    (followed, gets): (&[&Followed], &[Gets]),
    decides: &Ran,
) -> IndexMap<String, LetGoLine> {
    let plain = scenery.plain;
    let mut told = IndexMap::new();
    for (index, (name, judged)) in plain.model.lines.keys().zip(&plain.measured.lines).enumerate() {
        let peaks: Vec<Peak> = gets.iter().filter_map(|gets| gets.lines[index]).collect();
        let Some(greatest) = peaks.iter().copied().reduce(greater) else {
            continue;
        };
        if event.lines.contains(&index) {
            continue;
        }
        let least_n = peaks
            .iter()
            .map(|peak| peak.force_n)
            .fold(greatest.force_n, f64::min);
        // What rests in a way that was not followed counts as well.
        let there = followed.iter().filter(|followed| !followed.gone.contains(&index));
        let rests = there.filter_map(|followed| Some(followed.after.as_ref()?.lines[index].tension_n));
        let peak_n = with_weight_n(scenery, index, rests.fold(0.0, f64::max)).max(greatest.force_n);
        let before_n = before_n(scenery, index);
        let was_slack = plain.rest.line(plain.model.lines[index].id).slack;
        let worst = decides.followed().filter(|worst| !worst.gone.contains(&index));
        let after = worst
            .filter(|worst| !took(scenery, worst, index))
            .and_then(|worst| Some(worst.after.as_ref()?.lines[index]));
        let working_load = judged.load.working_load_n.as_ref();
        let line = LetGoLine {
            before_n,
            peak_n,
            peak_at_s: greatest.at_s,
            pulls_from_s: worst.and_then(|worst| worst.motion.as_ref()?.pulls_from_s[index]),
            peak_range_n: [least_n, peak_n],
            ratio: (before_n > SLACK_N && !was_slack).then(|| peak_n / before_n),
            after_n: after.map(|after| with_weight_n(scenery, index, after.tension_n)),
            slack: after.is_some_and(|after| after.slack),
            working_load_n: working_load.map(Number::value),
            breaking_n: judged.load.breaking_n.as_ref().map(Number::value),
            use_at_peak: working_load.map(|limit| share_at_peak(peak_n, limit)),
        };
        told.insert(name.clone(), line);
    }
    told
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
        // Where nothing was followed, the way to where it then rests is known alone, and what it needs clear is more.
        let clear = room
            .filter(|_| !motions.is_empty())
            .map(|room| clear_m(scenery, index, &room));
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
                clear_least_m: clear.map(|[least_m, _]| array(least_m)),
                clear_most_m: clear.map(|[_, most_m]| array(most_m)),
            },
        );
    }
    told
}

/// Gives how far the room that a load goes through reaches beyond where it hangs before: toward less and toward more of x, y and z, metres.
fn clear_m(scenery: &Scenery<'_>, load: usize, room: &Swept) -> [Vector3<f64>; 2] {
    let places = scenery.places.iter().filter(|(own, _, _)| *own == load);
    let mut hangs_m =
        places.map(|(_, frame, offset_m)| place_m(scenery, &scenery.plain.rest.state, *frame, offset_m));
    let Some(first_m) = hangs_m.next() else {
        return [Vector3::zeros(); 2];
    };
    let (least_m, most_m) = hangs_m.fold((first_m, first_m), |(least_m, most_m), at_m| {
        (least_m.inf(&at_m), most_m.sup(&at_m))
    });
    let none = Vector3::zeros();
    [
        (least_m - room.least_m).sup(&none),
        (room.most_m - most_m).sup(&none),
    ]
}

fn place_m(scenery: &Scenery<'_>, state: &State, frame: FrameId, offset_m: &Vector3<f64>) -> Vector3<f64> {
    let model = scenery.plain.model;
    state.frame_at_m(&model.topology, &model.parameters, frame) + state.rotation[frame.index()] * offset_m
}

/// Gives the way of the known places of a load from where they are to where they then rest, for a pipe, which as it bends or folds there goes
/// where a stiff one would not, and for what was not followed. Where a load was followed, its way is known; and where it hangs by one line it
/// may be turned about that any way at rest.
fn at_rest_then(scenery: &Scenery<'_>, followed: &Followed, load: usize) -> Vec<Swept> {
    let is_pipe = scenery
        .plain
        .model
        .loads
        .get_index(load)
        .is_some_and(|(_, load)| load.pipe.is_some());
    let Some(after) = followed
        .after
        .as_ref()
        .filter(|_| is_pipe || followed.motion.is_none())
    else {
        return Vec::new();
    };
    let places = scenery.places.iter().filter(|(own, _, _)| *own == load);
    let ways = places.map(|(_, frame, offset_m)| {
        let [was, is] =
            [&scenery.plain.rest.state, &after.state].map(|state| place_m(scenery, state, *frame, offset_m));
        Swept {
            least_m: was.inf(&is),
            most_m: was.sup(&is),
            furthest_m: (is - was).norm(),
        }
    });
    ways.collect()
}

fn points(scenery: &Scenery<'_>, gets: &[Gets]) -> IndexMap<String, LetGoPoint> {
    let plain = scenery.plain;
    let points = plain.measured.points.iter().zip(&plain.facts.points).enumerate();
    let told = points.filter_map(|(index, (judged, facts))| {
        let worst = gets.iter().map(|gets| gets.points[index]).reduce(worse)?;
        let working_load = judged.working_load_n.as_ref();
        let of_part = working_load.map(|limit| share_at_peak(worst.force.force_n, limit));
        let before_n = facts.force_n.as_ref().map_or(0.0, Number::value);
        let of_allowance = of_allowance(&worst, facts.allows.as_ref(), before_n);
        let point = LetGoPoint {
            peak_n: worst.force.force_n,
            peak_at_s: worst.force.at_s,
            down_n: worst.down.force_n,
            down_at_s: worst.down.at_s,
            up_n: upward_n(&worst),
            up_at_s: worst.up.at_s,
            side_n: worst.side.force_n,
            side_at_s: worst.side.at_s,
            use_at_peak: of_part.into_iter().chain(of_allowance).reduce(f64::max),
        };
        Some((facts.name.clone(), point))
    });
    told.collect()
}

fn junctions(scenery: &Scenery<'_>, gets: &[Gets]) -> IndexMap<String, LetGoJunction> {
    let plain = scenery.plain;
    let told = plain.measured.junctions.iter().filter_map(|judged| {
        let limit = judged.working_load_n.as_ref()?;
        let lines = plain.model.lines_on(*plain.model.junctions.get(&judged.name)?);
        let pulls = gets
            .iter()
            .flat_map(|gets| lines.iter().filter_map(|line| gets.lines[*line]));
        let worst = pulls.reduce(greater)?;
        let junction = LetGoJunction {
            peak_n: worst.force_n,
            peak_at_s: worst.at_s,
            working_load_n: limit.value(),
            use_at_peak: Some(share_at_peak(worst.force_n, limit)),
        };
        Some((judged.name.clone(), junction))
    });
    told.collect()
}

fn clamps(scenery: &Scenery<'_>, gets: &[Gets]) -> IndexMap<String, LetGoClamp> {
    let mut told: IndexMap<String, LetGoClamp> = IndexMap::new();
    for clamp in gets.iter().flat_map(|gets| &gets.clamps) {
        let Some(limit) = clamp.limit(scenery.plain.measured) else {
            continue;
        };
        let next = LetGoClamp {
            peak_n: clamp.peak.force_n,
            peak_at_s: clamp.peak.at_s,
            working_load_n: limit.value(),
            use_at_peak: Some(share_at_peak(clamp.peak.force_n, limit)),
        };
        let name = format!("{}.{}", clamp.at.0, clamp.at.1);
        let most = told.entry(name).or_insert(next);
        if next.peak_n > most.peak_n {
            *most = next;
        }
    }
    told
}

fn groups(scenery: &Scenery<'_>, gets: &[Gets]) -> IndexMap<String, LetGoGroup> {
    let groups = scenery.plain.facts.groups.iter().enumerate();
    let told = groups.filter_map(|(index, facts)| {
        let worst = gets.iter().map(|gets| gets.groups[index]).reduce(worse)?;
        let group = LetGoGroup {
            down_n: worst.down.force_n,
            up_n: upward_n(&worst),
            side_n: worst.side.force_n,
            use_at_peak: of_allowance(&worst, facts.allows.as_ref(), 0.0),
        };
        Some((facts.name.clone(), group))
    });
    told.collect()
}

/// Less up than this is the rounding of what rests there, newtons.
const UP_N: f64 = 0.01;

fn upward_n(on: &OnBuilding) -> f64 {
    if on.up.force_n > UP_N { on.up.force_n } else { 0.0 }
}

fn worse(worst: OnBuilding, next: OnBuilding) -> OnBuilding {
    OnBuilding {
        force: greater(worst.force, next.force),
        down: greater(worst.down, next.down),
        up: greater(worst.up, next.up),
        side: greater(worst.side, next.side),
    }
}

fn greater(a: Peak, b: Peak) -> Peak {
    if b.force_n > a.force_n { b } else { a }
}

/// Says what becomes of the rig, in a sentence.
fn says(scenery: &Scenery<'_>, case: &LetGoCase, decides: &Ran) -> String {
    let grips = case.with_grips.map(|outcome| {
        format!(
            "with all other adjustable grips gone as well (while they hold: {}), ",
            outcome.words()
        )
    });
    let grips = grips.unwrap_or_default();
    let said = match case.outcome {
        Outcome::NotKnown => match &decides.came {
            Came::NotFound(why) => format!("it was not found what happens: {why}"),
            Came::Followed(followed) => {
                let gets = || gets(scenery, followed);
                let may_part = || gets().and_then(|gets| may_part(scenery, followed, &gets));
                let why = followed.refused.clone().or_else(may_part).unwrap_or_default();
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
            format!(
                "{} {}: {why}{rest}",
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
            let but = landing(case).unwrap_or_else(|| "not all of it within its limits".into());
            format!("everything is still held, but {but}: {}", moves(case))
        }
        Outcome::Held => format!("everything still hangs: {}", moves(case)),
    };
    let said = format!("{grips}{said}");
    let unrated = case
        .lines
        .iter()
        .filter(|(_, line)| line.working_load_n.is_none() && line.peak_n > SLACK_N);
    let lines: Vec<String> = unrated.map(|(name, _)| format!("lines.{name}")).collect();
    let unrated = case
        .pipes
        .iter()
        .filter(|(_, pipe)| pipe.moment_allowed_n_m.is_none());
    let pipes: Vec<String> = unrated.map(|(name, _)| format!("pipes.{name}")).collect();
    if case.outcome == Outcome::Falls {
        return said;
    }
    let unknown = |of: &[String], why: String| {
        let holds = verb(of, "it holds", "they hold");
        (!of.is_empty()).then(|| format!("{why}, so it is not known whether {holds}"))
    };
    let no_load = format!(
        "{} {} no working load",
        names(&lines),
        verb(&lines, "has", "have")
    );
    let no_limit = format!("nothing says what {} may carry in bending", names(&pipes));
    let least = case
        .is_least
        .then(|| "forces, ways and room told here are the least that comes".to_string());
    let parts = [
        Some(said),
        least,
        unknown(&lines, no_load),
        unknown(&pipes, no_limit),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    parts.join("; ")
}

/// Finds what gets most of what it may carry in any way, and how much of it.
fn most_used(scenery: &Scenery<'_>, gets: &[Gets]) -> Option<(String, f64)> {
    let all = gets.iter().flat_map(|gets| used(scenery, gets));
    all.reduce(|most, next| if next.1 > most.1 { next } else { most })
}

/// Says what is used most, and how far what moves most goes.
fn moves(case: &LetGoCase) -> String {
    let most = case.most_used.as_ref().zip(case.use_at_peak);
    let most = most.map(|(path, used)| match used {
        used if used.is_infinite() => format!("`{path}` gets what it may not carry at all"),
        used => {
            // Of a pipe it may be a splice that decides.
            let pipe = path.strip_prefix("pipes.").and_then(|name| case.pipes.get(name));
            let by = pipe.and_then(|pipe| pipe.governs.as_ref());
            let by = by.map(|by| format!(" ({by})")).unwrap_or_default();
            let past = if used > 1.0 && used < 1.005 {
                "a little over "
            } else {
                ""
            };
            format!(
                "`{path}` gets {past}{:.0} % of what it may carry{by}",
                100.0 * used
            )
        }
    });
    let far = (!case.too_far.is_empty())
        .then(|| format!("that is further than `may_move` of {} says", names(&case.too_far)));
    let parts = most.into_iter().chain(moved(case)).chain(far);
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

/// What lines give when they take over is no movement that anybody speaks of, metres.
pub(crate) const NEAR_M: f64 = 1e-3;

/// Lists the loads that move further than they may.
fn too_far(scenery: &Scenery<'_>, case: &LetGoCase) -> Vec<String> {
    let facts = scenery.plain.facts.loads.iter();
    let far = facts.filter(|facts| {
        let moves_m = case.loads.get(&facts.name).and_then(|load| load.moves_m);
        facts
            .may_move_m
            .zip(moves_m)
            .is_some_and(|(most_m, moves_m)| moves_m > most_m + NEAR_M)
    });
    far.map(|facts| facts.name.clone()).collect()
}

/// Lists the loads that would meet the floor.
fn lands(scenery: &Scenery<'_>, case: &LetGoCase) -> Vec<String> {
    let facts = scenery.plain.facts.loads.iter();
    let lands = facts.filter(|facts| {
        let lowest_m = case.loads.get(&facts.name).and_then(|load| load.lowest_m);
        facts.height_m >= 0.0 && lowest_m.is_some_and(|lowest_m| lowest_m < 0.0)
    });
    lands.map(|facts| facts.name.clone()).collect()
}

/// Says which loads would meet the floor.
fn landing(case: &LetGoCase) -> Option<String> {
    let verb = if case.lands.len() == 1 { "comes" } else { "come" };
    (!case.lands.is_empty()).then(|| {
        format!(
            "{} {verb} down to the floor at z = 0, of which the motion knows nothing",
            names(&case.lands)
        )
    })
}

/// Gives what becomes of the rig at its worst while all other adjustable grips hold, where it is worst without them.
fn with_grips(scenery: &Scenery<'_>, ways: &[Ran], decides: &Ran) -> Option<Outcome> {
    let holding = ways.iter().filter(|ran| !ran.way.without_grips);
    let outcomes = holding.map(|ran| gravity(scenery, ran).0);
    outcomes.max().filter(|_| decides.way.without_grips)
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
        "`{name}` moves {} at most, its centre drops {} and it tilts to {:.0}°",
        length(load.moves_m?),
        length(load.drop_m?),
        load.tilt_deg?
    ))
}

/// A grip may catch again anywhere along its tail: at these shares of it too, since a longer slip may miss what a shorter one meets.
const PART_SLIPS: [f64; 7] = [0.875, 0.75, 0.625, 0.5, 0.375, 0.25, 0.125];

/// Lists the ways in which an event is to be tried: each that the rig has, and with adjustable grips gone as well where that differs.
pub(crate) fn ways(scenery: &Scenery<'_>, event: &Event) -> Vec<Way> {
    let slips = event.longer_m.map(|(line, _)| line);
    let more = |grip: &usize| !event.lines.contains(grip) && Some(*grip) != slips;
    let differs = event.what != What::Grips && scenery.grips.iter().any(more);
    let without = scenery.ways.iter().map(|way| Way {
        without_grips: true,
        ..*way
    });
    let slips = event.longer_m.into_iter().flat_map(|(_, tail_m)| {
        // Without damping if that is tried, since it is worst as a rule.
        let least = scenery
            .ways
            .iter()
            .map(|way| way.ratio)
            .fold(f64::INFINITY, f64::min);
        let near = scenery
            .ways
            .iter()
            .filter(move |way| way.at == 0 && way.ratio <= least);
        near.flat_map(move |way| {
            PART_SLIPS.map(|share| Way {
                slips_m: Some(share * tail_m),
                ..*way
            })
        })
    });
    let plain = scenery.ways.iter().copied();
    plain.chain(without.filter(|_| differs)).chain(slips).collect()
}
