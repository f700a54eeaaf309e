//! What secondary lines catch.
//!
//! Conventions: the subject is a load; SI.
//! Assumes: all lines that carry the load let go at once; the load falls freely until the first secondary line pulls.
//! Valid for: loads with secondary lines, followed in time without damping.
//! Source: [bib:impact-factor] (energy); [bib:dguv-313-23] (how a secondary element is built).
//! Checked by: the tests below, against the formula by hand.

use crate::facts::{Catch, LoadFacts, OnTheWay, PeakFacts, PeakOf, Remains, Trial};
use crate::finding::{Finding, Severity};
use crate::measure::measure;
use crate::peaks::{lands, limit, nearly, path, pick_of, pulled_up, share_at_peak, strays, too_much};
use crate::pipes_past::{bent_too_far, nearly_bent, used_on_the_way};
use crate::remains::unsteady;
use crate::rule::{Judged, Rule, SourceRef};
use crate::rules::far_from_trim::TILTED_RAD;
use crate::rules::grip_remaining::{MOVED_M, past_limits, past_working_loads};
use crate::says;
use quantity::Kind;
use std::f64::consts::FRAC_PI_2;
use working::{Expression, Number, Seen, Source, sqrt};

pub(crate) static RULE: Rule = Rule {
    id: "caught",
    title: "Secondary lines catch what they are there to catch",
    statement: "If all lines that carry a load let go at once, or any one of them, or a point or junction at which one of its lines ends with others \
                or over which one runs, its secondary lines hold it, and what else hangs there with it. It is a stop where they do \
                not, where anything parts or that was not found, where a load comes down to the floor or further than its `may_move`, \
                where at the peak the building gets more than it allows, a pipe more than it may carry, or a line, junction or part more than half of what it breaks at, and \
                where at rest then a pipe bears more than it may or anything is pulled as it may not be, \
                or the load is steady only by balance: a push of a tenth or an error in its centre of gravity rolls it over; \
                a caution where a peak is more than a working load or than nine tenths of a limit, the building is pulled upward, the load \
                turns by more than 90 degrees or hangs tilted by more than 30 then, or it moves by more than 0.5 m (20 in) and `may_move` does not say whether it may; else a \
                note. The fall before they pull, the energy, and the peak by the \
                energy formula for one upright line are told beside the peak that was followed in time.",
    sources: &[
        SourceRef::Cited("impact-factor", "1 + sqrt(1 + 2 h / d)", Seen::Text),
        SourceRef::Cited("dguv-313-23", "how a secondary element is built", Seen::Text),
        SourceRef::Plain(
            "half of the breaking strength as the limit of a catch",
            Seen::Judgement,
        ),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// Derives the peak of a catch by one upright line, by energy: F = W (1 + sqrt(1 + 2 h k / W)).
pub fn by_energy(load: &LoadFacts, catch: &Catch) -> Number {
    let weight = &load.weight_n;
    let falls = Expression::from(2.0) * &catch.fall_m * &catch.stiffness_n_per_m / weight;
    let formula = Expression::from(weight) * (Expression::from(1.0) + sqrt(Expression::from(1.0) + falls));
    let what = format!(
        "peak in `{}` by energy, as if it caught `{}` alone and upright",
        catch.hardest, load.name
    );
    Number::computed(
        what,
        "F_E",
        Kind::Force,
        formula,
        Source::cited(
            "impact-factor",
            "W (1 + sqrt(1 + 2 h / d)) with d = W / k",
            Seen::Text,
        ),
    )
}

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    for load in &judged.facts.loads {
        let mut note: Option<Finding> = None;
        for catch in &load.caught {
            let found = judge_catch(load, catch, judged);
            // Of what is alike the first is enough, and of what holds the one that gets most.
            let (notes, new): (Vec<Finding>, Vec<Finding>) = found
                .into_iter()
                .partition(|finding| finding.severity == Severity::Note);
            for next in notes {
                match &mut note {
                    Some(known) if known.size >= next.size => {}
                    most => *most = Some(next),
                }
            }
            for finding in new {
                let is_same =
                    |known: &Finding| known.subject == finding.subject && known.part == finding.part;
                if findings
                    .iter()
                    .all(|known| !is_same(known) || known.severity < finding.severity)
                {
                    findings.push(finding);
                }
            }
        }
        findings.extend(note);
    }
    findings
}

fn judge_catch(load: &LoadFacts, catch: &Catch, judged: &Judged<'_>) -> Vec<Finding> {
    let subject = format!("loads.{}", load.name);
    let let_go = format!(
        "if {} {}, ",
        names(&catch.gone),
        verb(&catch.gone, "lets go", "let go")
    );
    let way = &catch.on_the_way;
    let mut findings: Vec<Finding> = ends(load, catch)
        .into_iter()
        .map(|(about, says, mend)| {
            RULE.stop(subject.clone(), format!("{let_go}{says}"), mend)
                .about(about)
        })
        .collect();
    if way.not_found.is_some() {
        return findings;
    }
    if let Some(says) = unrated(load, catch, judged) {
        let mend = "Give it a makeup of rated parts.";
        findings.push(
            RULE.stop(subject.clone(), format!("{let_go}{says}"), mend)
                .about("unrated"),
        );
    }
    let snatched = way
        .peaks
        .iter()
        .filter_map(|peak| snatched(peak, &let_go, way, judged));
    findings.extend(snatched);
    let mend = "Bring the secondary lines nearer to where the others held it, or use a stronger pipe.";
    findings.extend(bent_too_far(&RULE, way, &let_go, judged, mend));
    findings.extend(at_rest(load, catch, &let_go, judged));
    findings.extend(pulled_up(&RULE, way, &let_go, judged));
    findings.extend(nearly(&RULE, way, &let_go, judged, &findings));
    findings.extend(nearly_bent(&RULE, way, &let_go, judged));
    findings.extend(unspoken(load, catch, &let_go));
    let is_own = catch.of == load.name;
    // What is only near a limit, or only to be looked at, is caught.
    let is_aside =
        |finding: &Finding| ["upward", "nearly", "moves", "tilts"].contains(&finding.part.as_str());
    if is_own && findings.iter().all(is_aside) {
        let note = RULE.note(subject, told(load, catch, &let_go, judged), "");
        findings.insert(0, note.sized(most_used(way, judged)).about("caught"));
    }
    findings
}

fn names(of: &[String]) -> String {
    says::names(of.iter().map(String::as_str))
}

fn verb(of: &[String], one: &'static str, many: &'static str) -> &'static str {
    if of.len() == 1 { one } else { many }
}

/// How a catch ends badly: what it is about, what happens, and what would mend it.
type End = (&'static str, String, &'static str);

/// Says how a catch ends where it ends badly.
fn ends(load: &LoadFacts, catch: &Catch) -> Vec<End> {
    let (way, by) = (&catch.on_the_way, names(&catch.by));
    let parts = (!way.parts.is_empty()).then(|| {
        let says = format!(
            "{} {} before `{}` is caught",
            names(&way.parts),
            verb(&way.parts, "parts", "part"),
            catch.of
        );
        let mend =
            "Take slack out of the secondary lines, or make them and what they are fastened to stronger.";
        ("parts", says, mend)
    });
    let falls = way.falls.as_ref().map(|why| {
        let says = format!("{by} {} not hold `{}` ({why})", verb(&catch.by, "does", "do"), load.name);
        let mend = "Make secondary lines up with fixed ends, and fasten them to points and picks of their own, so that they hold the load by \
                    themselves.";
        ("falls", says, mend)
    });
    let unknown = way.not_found.as_ref().map(|why| {
        let says = format!(
            "what {by} {} was not found: {why}",
            verb(&catch.by, "gets", "get")
        );
        (
            "unknown",
            says,
            "Have a qualified person size them for the shock.",
        )
    });
    let goes = [("floor", lands(load, way)), ("far", strays(load, way))];
    let goes = goes.into_iter().filter_map(|(about, why)| {
        let mend =
            "Take slack out of the secondary lines, or fasten them so that the load stays where it may be.";
        Some((about, format!("`{}` {}", load.name, why?), mend))
    });
    // What falls goes as far as it may.
    let goes = goes.filter(|_| way.falls.is_none() && way.not_found.is_none());
    parts
        .into_iter()
        .chain(falls)
        .chain(unknown)
        .chain(goes)
        .collect()
}

/// Says that what catches has no working load.
fn unrated(load: &LoadFacts, catch: &Catch, judged: &Judged<'_>) -> Option<String> {
    let mut lines = judged.measured.lines.iter();
    let hardest = lines.find(|line| line.name == catch.hardest);
    let is_rated = hardest.is_some_and(|line| line.load.working_load_n.is_some());
    // Where nothing catches, what falls is told elsewhere.
    let catches = !catch.hardest.is_empty();
    (catches && !is_rated && catch.of == load.name && catch.on_the_way.falls.is_none()).then(|| {
        format!(
            "`{}` catches `{}`, and it has no working load, so it is not known whether it holds",
            catch.hardest, load.name
        )
    })
}

/// Says what is past a limit once the load has come to rest: a caution for a working load, as at the peak; else a stop.
fn at_rest(load: &LoadFacts, catch: &Catch, let_go: &str, judged: &Judged<'_>) -> Vec<Finding> {
    let Some(remains) = remains(load, catch) else {
        return Vec::new();
    };
    let facts = judged.facts.in_trial(remains);
    let measured = measure(&facts);
    let says = |says: String| format!("{let_go}at rest {says}");
    let heavy = past_working_loads(&measured).into_iter();
    let heavy = heavy.map(|(subject, past, mend)| RULE.caution(subject, says(past), mend));
    let past = past_limits(&facts, &measured, judged).into_iter();
    let past = past.map(|(subject, past, mend)| RULE.stop(subject, says(past), mend));
    let rolls = unsteady(remains).map(|why| {
        let says = says(format!("`{}` is steady only by balance: {why}", load.name));
        let mend = "Fasten the secondary lines above the centre of gravity, or far enough apart that the load stays as it is caught.";
        RULE.stop(format!("loads.{}", load.name), says, mend)
    });
    heavy.chain(past).chain(rolls).collect()
}

/// Gives how far a load is turned once it hangs again; nothing where that was not found.
fn turned_at_rest_rad(load: &LoadFacts, catch: &Catch) -> f64 {
    remains(load, catch).map_or(0.0, |remains| remains.turned_rad)
}

/// How a load hangs once it has come to rest; none where that was not found.
fn remains<'a>(load: &'a LoadFacts, catch: &Catch) -> Option<&'a Remains> {
    let mut tried = load.without_carrying.iter();
    match tried.find(|(gone, _)| *gone == catch.gone) {
        Some((_, Trial::Hangs(remains))) => Some(remains),
        _ => None,
    }
}

/// A tilt or a movement that is worth a caution where nobody said that it may be.
fn unspoken(load: &LoadFacts, catch: &Catch, let_go: &str) -> Vec<Finding> {
    let way = &catch.on_the_way;
    let subject = format!("loads.{}", load.name);
    let moves = (load.may_move_m.is_none() && way.moves_m.is_finite() && way.moves_m > MOVED_M).then(|| {
        let says = format!(
            "{let_go}`{}` moves {} on the way",
            load.name,
            says::metres(way.moves_m)
        );
        let mend = "Write how far it may move: `may_move = ...`.";
        RULE.caution(subject.clone(), says, mend).about("moves")
    });
    let (way_rad, rest_rad) = (way.tilt_rad, turned_at_rest_rad(load, catch));
    let turns_over = way_rad.is_finite() && way_rad > FRAC_PI_2;
    let tilts = (turns_over || rest_rad > TILTED_RAD).then(|| {
        let says = format!(
            "{let_go}`{}` tilts to {}: what is not fastened in it comes down",
            load.name,
            says::angle(if turns_over { way_rad } else { rest_rad })
        );
        let mend = "Fasten the secondary lines so that the load stays upright, or make sure that nothing in it comes loose.";
        RULE.caution(subject, says, mend).about("tilts")
    });
    moves.into_iter().chain(tilts).collect()
}

/// Gives the greatest share of a limit at the peaks.
fn most_used(way: &OnTheWay, judged: &Judged<'_>) -> f64 {
    let shares = way.peaks.iter().filter_map(|peak| {
        let (limit, _) = limit(peak, judged)?;
        Some(share_at_peak(peak.peak_n.value(), limit))
    });
    let pipes = used_on_the_way(way, judged.facts).into_iter();
    let pipes = pipes.filter_map(|pipe| Some(pipe.utilisation.as_ref()?.value()));
    shares
        .chain(pipes)
        .filter(|share| share.is_finite())
        .fold(0.0, f64::max)
}

/// Says that something gets more than it may: a stop for what the building allows, and past half of what it breaks at; else a caution.
fn snatched(peak: &PeakFacts, let_go: &str, way: &OnTheWay, judged: &Judged<'_>) -> Option<Finding> {
    let (says, peak_n) = too_much(peak, let_go, way, judged)?;
    let mend = "Take slack out of the secondary lines, or have a qualified person size them, and what they are fastened to, for the shock.";
    let breaking = breaking(peak, judged);
    let is_sure = breaking.is_some_and(|breaking| peak_n.value() <= SURE * breaking.value());
    Some(if is_sure {
        RULE.caution(path(peak), says, mend)
    } else {
        RULE.stop(path(peak), says, mend)
    })
}

/// A catch may use so much of what a part breaks at: more is a stop. Our judgement.
const SURE: f64 = 0.5;

/// What breaks at a peak; none where that is not known, or for the building.
fn breaking<'a>(peak: &PeakFacts, judged: &Judged<'a>) -> Option<&'a Number> {
    let measured = judged.measured;
    match peak.of {
        PeakOf::Line => measured
            .lines
            .iter()
            .find(|line| line.name == peak.name)?
            .load
            .breaking_n
            .as_ref(),
        PeakOf::Junction => measured
            .junctions
            .iter()
            .find(|junction| junction.name == peak.name)?
            .breaking_n
            .as_ref(),
        PeakOf::PartAtPick => pick_of(peak, measured)?.breaking_n.as_ref(),
        PeakOf::PartAtPoint => measured
            .points
            .iter()
            .find(|point| point.name == peak.name)?
            .breaking_n
            .as_ref(),
        PeakOf::DownAtPoint
        | PeakOf::SideAtPoint
        | PeakOf::UpAtPoint
        | PeakOf::DownOnGroup
        | PeakOf::SideOnGroup => None,
    }
}

/// Tells how a load is caught, with what the energy formula says beside.
fn told(load: &LoadFacts, catch: &Catch, let_go: &str, judged: &Judged<'_>) -> String {
    if catch.pulling.is_empty() {
        let by = names(&catch.by);
        return format!(
            "{let_go}the other lines still hold `{}`, and {by} {} not pull",
            load.name,
            verb(&catch.by, "does", "do")
        );
    }
    let by = names(&catch.pulling);
    let pulls = verb(&catch.pulling, "pulls", "pull");
    let of_line = |peak: &&PeakFacts| peak.of == PeakOf::Line && peak.name == catch.hardest;
    let Some(peak) = catch.on_the_way.peaks.iter().find(of_line) else {
        return format!("{let_go}{by} catch nothing of `{}`", load.name);
    };
    let share = limit(peak, judged).map_or_else(
        || ", which has no working load".to_string(),
        |(limit, _)| {
            format!(
                ", {:.0} % of its working load",
                100.0 * share_at_peak(peak.peak_n.value(), limit)
            )
        },
    );
    format!(
        "{let_go}`{}` falls {} before {by} {pulls}, and `{}` gets a peak of {} {:.2} s on{share} ({} by energy, for one upright line); the \
         load brings {}",
        load.name,
        says::metres(catch.fall_m.value()),
        catch.hardest,
        says::force(&peak.peak_n),
        peak.at_s.unwrap_or_default(),
        says::force(&by_energy(load, catch)),
        says::figure(&catch.energy_j),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::{Disturbance, Disturbed, Facts, OnTheWay, PeakFacts, PeakOf, Role};
    use crate::samples::{self, LB};

    fn number(kind: Kind, value: f64) -> Number {
        Number::given("given", "x", kind, value, Source::stated("test"))
    }

    /// A load caught by `ne`, which may carry 798 lbf and breaks at 3990, with a peak of so many pounds.
    fn rig(pounds: f64) -> Facts {
        let mut facts = samples::rig();
        facts.lines[1].role = Role::Secondary;
        let hardest = facts.lines[1].name.clone();
        facts.loads[0].caught = vec![Catch {
            gone: vec![facts.lines[0].name.clone()],
            of: facts.loads[0].name.clone(),
            by: vec![hardest.clone()],
            pulling: vec![hardest.clone()],
            fall_m: number(Kind::Length, 0.1),
            stiffness_n_per_m: number(Kind::Stiffness, 2e5),
            hardest: hardest.clone(),
            energy_j: number(Kind::Energy, 100.0),
            on_the_way: OnTheWay {
                moves_m: 0.2,
                drops_m: 0.1,
                tilt_rad: 0.0,
                lowest_m: 1.0,
                pipes: Vec::new(),
                peaks: vec![PeakFacts {
                    of: PeakOf::Line,
                    name: hardest,
                    peak_n: samples::force(pounds * LB),
                    at_s: Some(0.2),
                }],
                parts: Vec::new(),
                falls: None,
                not_found: None,
                at_worst: "without damping".into(),
                is_chaotic: false,
            },
        }];
        facts
    }

    #[test]
    fn a_load_that_goes_far_is_a_caution_where_nobody_said_that_it_may() {
        let moved = |moves_m: f64| {
            let mut facts = rig(100.0);
            facts.loads[0].caught[0].on_the_way.moves_m = moves_m;
            samples::severities(RULE.id, &facts)
        };
        assert_eq!(moved(0.5), ["note"]);
        assert_eq!(moved(0.51), ["caution", "note"]);
    }

    /// What another load's catch does to a load counts, and is no note about it.
    #[test]
    fn what_hangs_below_what_is_caught_counts() {
        let with = |lowest_m: f64| {
            let mut facts = rig(100.0);
            facts.loads[0].height_m = 2.0;
            let catch = &mut facts.loads[0].caught[0];
            catch.of = "another".into();
            catch.on_the_way.lowest_m = lowest_m;
            samples::severities(RULE.id, &facts)
        };
        assert!(with(1.0).is_empty());
        assert_eq!(with(-0.1), ["stop"]);
    }

    /// At rest after the catch: a pipe that bears more than its 630 ft lb is a stop, a line past its working load of 798 lbf a caution, and
    /// so is a load that hangs tilted by more than 30 degrees.
    #[test]
    fn what_hangs_then_is_within_its_limits() {
        let with = |change: &dyn Fn(&mut Remains)| {
            let mut facts = rig(100.0);
            let mut remains = samples::remains(vec![samples::line("ne", samples::plain(), 200.0)]);
            change(&mut remains);
            let gone = facts.loads[0].caught[0].gone.clone();
            facts.loads[0].without_carrying = vec![(gone, Trial::Hangs(Box::new(remains)))];
            samples::severities(RULE.id, &facts)
        };
        let bent = |remains: &mut Remains, foot_pounds: f64| {
            let mut pipe = samples::pipe();
            pipe.moment_n_m = Some(samples::moment_along(foot_pounds * samples::FT_LB));
            remains.pipes = vec![pipe];
        };
        assert_eq!(with(&|_| {}), ["note"]);
        assert_eq!(with(&|remains| bent(remains, 600.0)), ["note"]);
        assert_eq!(with(&|remains| bent(remains, 700.0)), ["stop"]);
        let heavy =
            |remains: &mut Remains| remains.lines = vec![samples::line("ne", samples::plain(), 799.0)];
        assert_eq!(with(&heavy), ["caution"]);
        assert_eq!(with(&|remains| remains.turned_rad = 0.6), ["caution", "note"]);
        let pushed = |share: f64| {
            with(&|remains| {
                let tilts_rad = 2.0;
                let by = Disturbed::Push { share };
                remains.disturbances = vec![Disturbance { by, tilts_rad }];
            })
        };
        assert_eq!(pushed(0.1), ["stop"]);
        assert_eq!(pushed(0.25), ["note"]);
    }

    /// P14 of tests/published/mechanics/cases.toml: 50 kg fall 1 m onto 160 kN/m, factor 26.565961.
    #[test]
    fn the_energy_formula_is_the_published_one() {
        let mut facts = rig(100.0);
        let load = &mut facts.loads[0];
        load.weight_n = number(Kind::Force, 490.3325);
        let mut catch = load.caught[0].clone();
        catch.fall_m = number(Kind::Length, 1.0);
        catch.stiffness_n_per_m = number(Kind::Stiffness, 160_000.0);
        let factor = by_energy(load, &catch).value() / 490.3325;
        assert!((factor - 26.565_961_282_648).abs() < 1e-6, "{factor}");
    }

    #[test]
    fn a_catch_is_a_note_a_caution_or_a_stop() {
        // 798 lbf is what `ne` may carry, 3990 what it breaks at.
        for (pounds, severities) in [
            (718.0, vec!["note"]),
            // Nearer than a tenth.
            (719.0, vec!["caution", "note"]),
            (797.0, vec!["caution", "note"]),
            (799.0, vec!["caution"]),
            (1994.0, vec!["caution"]),
            (1996.0, vec!["stop"]),
        ] {
            assert_eq!(samples::severities(RULE.id, &rig(pounds)), severities, "{pounds}");
        }
        let with = |change: &dyn Fn(&mut Catch)| {
            let mut facts = rig(100.0);
            facts.loads[0].may_move_m = Some(0.5);
            change(&mut facts.loads[0].caught[0]);
            samples::severities(RULE.id, &facts)
        };
        assert_eq!(with(&|_| {}), ["note"]);
        assert_eq!(
            with(&|catch| catch.on_the_way.parts = vec!["lines.ne".into()]),
            ["stop"]
        );
        assert_eq!(
            with(&|catch| catch.on_the_way.falls = Some("nothing is left".into())),
            ["stop"]
        );
        assert_eq!(with(&|catch| catch.on_the_way.lowest_m = -0.1), ["stop"]);
        assert_eq!(with(&|catch| catch.on_the_way.moves_m = 0.6), ["stop"]);
        assert_eq!(with(&|catch| catch.on_the_way.tilt_rad = 1.5), ["note"]);
        assert_eq!(
            with(&|catch| catch.on_the_way.tilt_rad = 1.6),
            ["caution", "note"]
        );
        // The pipe of the sample may carry 630 ft lb.
        let bent = |foot_pounds: f64| {
            let mut pipe = samples::pipe();
            pipe.moment_n_m = Some(samples::moment_along(foot_pounds * samples::FT_LB));
            vec![pipe]
        };
        for (foot_pounds, severities) in [
            (560.0, vec!["note"]),
            (620.0, vec!["caution", "note"]),
            (640.0, vec!["stop"]),
        ] {
            let found = with(&|catch| catch.on_the_way.pipes = bent(foot_pounds));
            assert_eq!(found, severities, "{foot_pounds}");
        }
        let unknown = with(&|catch| {
            catch.on_the_way.pipes = bent(10.0);
            catch.on_the_way.pipes[0].section = None;
        });
        assert_eq!(unknown, ["stop"], "nothing says what it may carry");
        // A link of 1000 lbf at a pick of the pipe that breaks at five times that: a stop past half of it.
        let clamped = |pounds: f64| {
            let mut facts = rig(100.0);
            let mut pipe = samples::pipe();
            pipe.picks[0].part = Some(std::sync::Arc::new(samples::link(1000.0, Some(5.0))));
            facts.pipes = vec![pipe];
            facts.loads[0].caught[0].on_the_way.peaks.push(PeakFacts {
                of: PeakOf::PartAtPick,
                name: "batten.a".into(),
                peak_n: samples::force(pounds * LB),
                at_s: Some(0.1),
            });
            let found = samples::found(RULE.id, &facts);
            (found[0].severity, found[0].subject.clone())
        };
        let at = |severity: Severity| (severity, "pipes.batten.picks.a".to_string());
        assert_eq!(clamped(899.0).0, Severity::Note);
        assert_eq!(clamped(999.0), at(Severity::Caution));
        assert_eq!(clamped(1001.0), at(Severity::Caution));
        assert_eq!(clamped(2501.0), at(Severity::Stop));
        let down = |pounds: f64| PeakFacts {
            of: PeakOf::DownAtPoint,
            name: "north".into(),
            peak_n: samples::force(pounds * LB),
            at_s: Some(0.1),
        };
        assert_eq!(
            with(&|catch| catch.on_the_way.peaks.push(down(501.0))),
            ["stop"],
            "the sample point allows 500 lbf"
        );
        // One finding hides no other.
        let both = |catch: &mut Catch| {
            catch.on_the_way.moves_m = 0.6;
            catch.on_the_way.peaks.push(down(501.0));
        };
        assert_eq!(with(&both), ["stop", "stop"]);
    }
}
