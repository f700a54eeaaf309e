//! What happens on the way when adjustable grips let go, in the words of the rules.
//!
//! Conventions: SI; trials are told by the names of the lines that are gone.
//! Assumes: all grips at once and each alone are what matters in time; of other sets only the rest is looked at.
//! Valid for: rigs that hang, loads with anyone below.
//! Source: docs/theory/motion.md.
//! Checked by: tests/main/in_time.rs.

use crate::defaults::Defaults;
use crate::letgo::answer::{LetGoCase, Outcome};
use crate::letgo::event::{Event, events};
use crate::letgo::scene::{Scenery, Standing, Ways};
use crate::letgo::sweep::sweep;
use practice::{Facts, OnTheWay, PeakFacts, PeakOf, Slip, Trial};
use quantity::Kind;
use working::{Number, Source};

/// Says of every trial of adjustable grips that is followed what happens on the way.
pub(crate) fn follow_grips(facts: &mut Facts, standing: Standing<'_>) {
    let sets = sets(facts);
    if sets.is_empty() {
        return;
    }
    let mut asked: Vec<Event> = sets
        .iter()
        .map(|gone| Event::of_lines(standing.model, gone))
        .collect();
    let slips = events(standing.rig, standing.model);
    let slips: Vec<Event> = slips
        .into_iter()
        .filter(|event| event.longer_m.is_some())
        .collect();
    asked.extend(slips.iter().cloned());
    let told: Vec<(Vec<String>, Result<LetGoCase, String>)> =
        match Scenery::new(standing, (Ways::All, None), &mut Defaults::default()) {
            Ok(scenery) => {
                let (mut cases, _) = sweep(&scenery, &asked, &|_, _| {});
                let slipped = cases.split_off(sets.len());
                tell_slips(facts, standing, &slips, &slipped);
                sets.into_iter().zip(cases.into_iter().map(Ok)).collect()
            }
            Err(error) => sets
                .into_iter()
                .map(|gone| (gone, Err(error.to_string())))
                .collect(),
        };
    for load in &mut facts.loads {
        for trial in &mut load.without_grips {
            let known = told.iter().find(|(gone, _)| *gone == trial.gone);
            let is_at_rest = matches!(trial.outcome, Trial::Hangs(_));
            trial.on_the_way = known.filter(|_| is_at_rest).map(|(gone, case)| match case {
                Ok(case) => on_the_way(standing, case, gone, &load.name),
                Err(why) => not_found(why.clone()),
            });
            if let (Trial::Hangs(remains), Some(way)) = (&mut trial.outcome, &trial.on_the_way) {
                remains.moves_m = Some(way.moves_m);
            }
        }
    }
}

/// Says of every load with anyone below what slips do to it and to what it hangs on.
fn tell_slips(facts: &mut Facts, standing: Standing<'_>, slips: &[Event], cases: &[LetGoCase]) {
    for load in facts
        .loads
        .iter_mut()
        .filter(|load| load.under.is_overhead() && !load.without_grips.is_empty())
    {
        for (event, case) in slips.iter().zip(cases) {
            let Some((line, tail_m)) = event.longer_m else {
                continue;
            };
            let Some((name, _)) = standing.model.lines.get_index(line) else {
                continue;
            };
            let bears = load.without_grips.iter().any(|trial| trial.gone.contains(name));
            if bears {
                let on_the_way = on_the_way(standing, case, std::slice::from_ref(name), &load.name);
                load.slips.push(Slip {
                    line: name.clone(),
                    tail_m,
                    on_the_way,
                });
            }
        }
    }
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
        peaks: Vec::new(),
        parts: Vec::new(),
        falls: None,
        not_found: Some(why),
        at_worst: String::new(),
    }
}

/// Says a case in the words of the rules, as one load has it.
pub(crate) fn on_the_way(standing: Standing<'_>, case: &LetGoCase, gone: &[String], load: &str) -> OnTheWay {
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
        parts: case.parted.clone(),
        falls: told.filter(|told| told.falls).map(|_| case.says.clone()),
        not_found: None,
        at_worst: case.at_worst.clone(),
    }
}

/// Lists what everything gets at its peak.
fn peaks(standing: Standing<'_>, case: &LetGoCase, gone: &[String]) -> Vec<PeakFacts> {
    let does = if case.lets_go.ends_with(" slips") {
        "slips"
    } else {
        "lets go"
    };
    let after = format!("after {} {does}", gone.join(", "));
    let peak = |of: PeakOf, name: &str, what: String, (peak_n, at_s): (f64, Option<f64>)| {
        let how = "followed in time at the worst damping and stiffness of those tried";
        let how = match at_s {
            Some(at_s) => format!("{how}, {at_s:.2} s on"),
            None => format!("{how}: sum of the peaks of its points, which need not come at one moment"),
        };
        let what = format!("greatest {what} {after}");
        PeakFacts {
            of,
            name: name.to_string(),
            peak_n: Number::given(what, "T_peak", Kind::Force, peak_n, Source::mechanics(how)),
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
