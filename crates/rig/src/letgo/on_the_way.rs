//! What happens on the way when adjustable grips let go, in the words of the rules.
//!
//! Conventions: SI; trials are told by the names of the lines that are gone.
//! Assumes: all grips at once and each alone are what matters in time; of other sets only the rest is looked at.
//! Valid for: rigs that hang, loads with anyone below.
//! Source: docs/theory/motion.md.
//! Checked by: tests/main/in_time.rs.

use crate::defaults::Defaults;
use crate::letgo::answer::{LetGoCase, Outcome};
use crate::letgo::catch::{catches, tell_catches};
use crate::letgo::event::{Event, What, events};
use crate::letgo::pipes::at_peak;
use crate::letgo::scene::{Scenery, Standing, Ways};
use crate::letgo::sweep::sweep;
use crate::model::Model;
use practice::{Facts, OnTheWay, PeakFacts, PeakOf, PipeFacts, Slip, Trial};
use quantity::Kind;
use working::{Number, Source};

/// Says of every load what happens on the way when its adjustable grips let go or slip, and when its secondary lines catch it.
pub(crate) fn follow_in_time(facts: &mut Facts, standing: Standing<'_>, defaults: &mut Defaults) {
    let (model, sets) = (standing.model, sets(facts));
    let catches = catches(standing.rig, model, facts);
    let mut asked: Vec<Event> = sets
        .iter()
        .map(|gone| Event::of_lines(model, What::Grips, gone))
        .collect();
    let slips: Vec<Event> = if sets.is_empty() {
        Vec::new()
    } else {
        let events = events(standing.rig, model, facts).into_iter();
        events.filter(|event| event.longer_m.is_some()).collect()
    };
    asked.extend(slips.iter().cloned());
    asked.extend(catches.iter().map(|catch| catch.event.clone()));
    if asked.is_empty() {
        return;
    }
    let mut told = match Scenery::new(standing, (Ways::All, None), defaults) {
        Ok(scenery) => sweep(&scenery, &asked, &|_, _| {})
            .0
            .into_iter()
            .map(Ok)
            .collect(),
        Err(error) => vec![Err(error.to_string()); asked.len()],
    };
    let caught = told.split_off(sets.len() + slips.len());
    let slipped = told.split_off(sets.len());
    tell_trials(facts, standing, &sets, &told);
    tell_slips(facts, standing, &slips, &slipped);
    tell_catches(facts, standing, &catches, &caught);
}

/// What came of an event, or why nothing did.
pub(crate) type Told = Result<LetGoCase, String>;

/// Says of every trial of adjustable grips that is followed what happens on the way.
fn tell_trials(facts: &mut Facts, standing: Standing<'_>, sets: &[Vec<String>], told: &[Told]) {
    for load in &mut facts.loads {
        for trial in &mut load.without_grips {
            let Trial::Hangs(remains) = &mut trial.outcome else {
                continue;
            };
            let known = sets.iter().zip(told).find(|(gone, _)| **gone == trial.gone);
            let way = known.map(|(gone, case)| on_the_way(standing, case, gone, &load.name));
            remains.moves_m = way.as_ref().map(|way| way.moves_m);
            trial.on_the_way = way;
        }
    }
}

/// Says of every load with anyone below what slips do to it and to what it hangs on.
fn tell_slips(facts: &mut Facts, standing: Standing<'_>, slips: &[Event], told: &[Told]) {
    for load in facts
        .loads
        .iter_mut()
        .filter(|load| load.under.is_overhead() && !load.without_grips.is_empty())
    {
        for (event, case) in slips.iter().zip(told) {
            let Some((line, tail_m)) = event.longer_m else {
                continue;
            };
            let Some((name, _)) = standing.model.lines.get_index(line) else {
                continue;
            };
            let bears = load.without_grips.iter().any(|trial| trial.gone.contains(name));
            if bears {
                load.slips.push(Slip {
                    line: name.clone(),
                    tail_m,
                    is_least: is_least(standing.model, line, tail_m),
                    on_the_way: on_the_way(standing, case, std::slice::from_ref(name), &load.name),
                });
            }
        }
    }
}

/// Tells whether a tail is no longer than the maker of the grip asks at the least.
fn is_least(model: &Model, line: usize, tail_m: f64) -> bool {
    let line = model.lines.get_index(line).map(|(_, line)| line);
    let pieces = line
        .into_iter()
        .flat_map(|line| &line.makeup)
        .flat_map(|makeup| &makeup.pieces);
    let mut least_m = pieces.filter_map(|piece| piece.part.grip()?.least_tail_m.as_ref().map(Number::value));
    least_m.any(|least_m| tail_m <= least_m * (1.0 + 1e-9))
}

/// Lists the sets of lines that are followed: those with adjustable grips that bear on a load with anyone below, all at once and each alone.
fn sets(facts: &Facts) -> Vec<Vec<String>> {
    let mut sets: Vec<Vec<String>> = Vec::new();
    for load in facts.loads.iter().filter(|load| load.under.is_overhead()) {
        let all = load
            .without_grips
            .iter()
            .map(|trial| trial.gone.len())
            .max()
            .unwrap_or(0);
        let followed = load
            .without_grips
            .iter()
            .filter(|trial| [1, all].contains(&trial.gone.len()));
        for trial in followed {
            if !sets.contains(&trial.gone) {
                sets.push(trial.gone.clone());
            }
        }
    }
    sets
}

/// A motion of which nothing is known but why.
pub(crate) fn not_found(why: String) -> OnTheWay {
    OnTheWay {
        moves_m: 0.0,
        drops_m: 0.0,
        tilt_rad: 0.0,
        lowest_m: f64::INFINITY,
        pipes: Vec::new(),
        peaks: Vec::new(),
        parts: Vec::new(),
        falls: None,
        not_found: Some(why),
        at_worst: String::new(),
        is_chaotic: false,
    }
}

/// Says a case in the words of the rules, as one load has it.
pub(crate) fn on_the_way(standing: Standing<'_>, case: &Told, gone: &[String], load: &str) -> OnTheWay {
    let case = match case {
        Ok(case) => case,
        Err(why) => return not_found(why.clone()),
    };
    if case.outcome == Outcome::NotKnown {
        return not_found(case.says.clone());
    }
    let told = case.loads.get(load);
    OnTheWay {
        moves_m: told.and_then(|told| told.moves_m).unwrap_or(f64::INFINITY),
        drops_m: told.and_then(|told| told.drop_m).unwrap_or(f64::INFINITY),
        tilt_rad: told
            .and_then(|told| told.tilt_deg)
            .map_or(f64::INFINITY, f64::to_radians),
        lowest_m: told.and_then(|told| told.lowest_m).unwrap_or(f64::INFINITY),
        peaks: peaks(standing, case, gone),
        pipes: pipes(standing, case, gone),
        parts: case.parted.clone(),
        falls: told.filter(|told| told.falls).map(|_| case.says.clone()),
        not_found: None,
        at_worst: match case.agrees_for_less() {
            None => case.at_worst.clone(),
            Some(proved_s) => format!(
                "{}; after {proved_s:.2} s such motion is chaotic, and another may pull up to twice as hard",
                case.at_worst
            ),
        },
        is_chaotic: case.agrees_for_less().is_some(),
    }
}

/// Lists the pipes as they are bent on the way.
fn pipes(standing: Standing<'_>, case: &LetGoCase, gone: &[String]) -> Vec<PipeFacts> {
    let after = after(case, gone);
    let known = standing.facts.pipes.iter();
    let practice = &standing.facts.practice;
    let told =
        known.filter_map(|known| Some(at_peak((known, practice), case.pipes.get(&known.name)?, &after)));
    told.collect()
}

/// Says after what something is.
fn after(case: &LetGoCase, gone: &[String]) -> String {
    let does = if case.lets_go.ends_with(" slips") {
        "slips"
    } else {
        "lets go"
    };
    format!("after {} {does}", gone.join(", "))
}

/// Lists what everything gets at its peak.
fn peaks(standing: Standing<'_>, case: &LetGoCase, gone: &[String]) -> Vec<PeakFacts> {
    let after = after(case, gone);
    let peak = |of: PeakOf, name: &str, what: String, (peak_n, at_s): (f64, Option<f64>)| {
        let how = format!(
            "followed in time, the greatest of all ways that were tried; at its worst {}",
            case.at_worst
        );
        let how = match at_s {
            Some(at_s) => format!("{how}, {at_s:.2} s on"),
            None => format!("{how}: sum of the peaks of its points, which need not come at one moment"),
        };
        let what = format!("greatest {what} {after}");
        PeakFacts {
            of,
            name: name.to_string(),
            peak_n: Number::given(what, symbol(of), Kind::Force, peak_n, Source::mechanics(how)),
            at_s,
        }
    };
    let mut peaks = Vec::new();
    for (name, line) in &case.lines {
        let what = format!("tension of `{name}`");
        peaks.push(peak(
            PeakOf::Line,
            name,
            what,
            (line.peak_n, Some(line.peak_at_s)),
        ));
    }
    for (name, frame) in &standing.model.junctions {
        let pulls = standing.model.lines_on(*frame).into_iter().filter_map(|line| {
            let (name, _) = standing.model.lines.get_index(line)?;
            case.lines.get(name)
        });
        let greatest = pulls.reduce(|most, next| if next.peak_n > most.peak_n { next } else { most });
        if let Some(line) = greatest {
            let what = format!("pull of a line on `{name}`");
            peaks.push(peak(
                PeakOf::Junction,
                name,
                what,
                (line.peak_n, Some(line.peak_at_s)),
            ));
        }
    }
    for (name, clamp) in &case.clamps {
        let what = format!("force on the part at `{name}`");
        peaks.push(peak(
            PeakOf::PartAtPick,
            name,
            what,
            (clamp.peak_n, Some(clamp.peak_at_s)),
        ));
    }
    for (name, point) in &case.points {
        let each = [
            (PeakOf::PartAtPoint, "force", point.peak_n, point.peak_at_s),
            (PeakOf::DownAtPoint, "force down", point.down_n, point.down_at_s),
            (
                PeakOf::SideAtPoint,
                "force sideways",
                point.side_n,
                point.side_at_s,
            ),
            (PeakOf::UpAtPoint, "pull upward", point.up_n, point.up_at_s),
        ];
        let each = each.into_iter();
        peaks.extend(each.map(|(of, what, peak_n, at_s)| {
            peak(of, name, format!("{what} on `{name}`"), (peak_n, Some(at_s)))
        }));
    }
    for (name, group) in &case.groups {
        let each = [
            (PeakOf::DownOnGroup, "down", group.down_n),
            (PeakOf::SideOnGroup, "sideways", group.side_n),
        ];
        let each = each.into_iter();
        peaks.extend(each.map(|(of, way, most_n)| {
            peak(
                of,
                name,
                format!("force {way} on the beam `{name}`"),
                (most_n, None),
            )
        }));
    }
    peaks
}

fn symbol(of: PeakOf) -> &'static str {
    match of {
        PeakOf::Line | PeakOf::Junction => "T_peak",
        _ => "F_peak",
    }
}
