//! What secondary lines catch.
//!
//! Conventions: the subject is a load; SI.
//! Assumes: all lines that carry the load let go at once; the load falls freely until the first secondary line pulls.
//! Valid for: loads with secondary lines, followed in time without damping.
//! Source: [bib:impact-factor] (energy); [bib:dguv-313-23] (how a secondary element is built).
//! Checked by: the tests below, against the formula by hand.

use crate::facts::{Catch, LoadFacts, OnTheWay, PeakFacts, PeakOf};
use crate::finding::{Finding, Severity};
use crate::peaks::{lands, limit, nearly, path, pick_of, pulled_up, share_at_peak, strays, too_much};
use crate::pipes_past::{bent_too_far, nearly_bent, used_on_the_way};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use quantity::Kind;
use working::{Expression, Number, Seen, Source, sqrt};

pub(crate) static RULE: Rule = Rule {
    id: "caught",
    title: "Secondary lines catch what they are there to catch",
    statement: "If all lines that carry a load let go at once, or any one of them, its secondary lines hold it. It is a stop where they do \
                not, where anything parts or that was not found, where the load comes down to the floor or further than its `may_move`, and \
                where at the peak the building gets more than it allows, a pipe more than it may carry, or a line, junction or part more than \
                half of what it breaks at; \
                a caution where that is more than a working load, or the building is pulled upward, or a peak is more than nine tenths of a limit; else a note. The fall before they pull, the energy, and the peak by the \
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
        for (at, catch) in load.caught.iter().enumerate() {
            let found = judge_catch(load, catch, judged);
            // Of what is alike the first is enough, and of what holds only all lines at once is told.
            let new = found
                .into_iter()
                .filter(|finding| at == 0 || finding.severity > Severity::Note);
            for finding in new {
                if findings
                    .iter()
                    .all(|known| known.subject != finding.subject || known.severity < finding.severity)
                {
                    findings.push(finding);
                }
            }
        }
    }
    findings
}

fn judge_catch(load: &LoadFacts, catch: &Catch, judged: &Judged<'_>) -> Vec<Finding> {
    let subject = format!("loads.{}", load.name);
    let names = |of: &[String]| says::names(of.iter().map(String::as_str));
    let verb = |of: &[String], one: &'static str, many: &'static str| if of.len() == 1 { one } else { many };
    let let_go = format!(
        "if {} {}, ",
        names(&catch.gone),
        verb(&catch.gone, "lets go", "let go")
    );
    let by = names(&catch.by);
    let way = &catch.on_the_way;
    let stop = |says: String, mend: &str| vec![RULE.stop(subject.clone(), says, mend)];
    if !way.parts.is_empty() {
        let parts = names(&way.parts);
        let says = format!(
            "{let_go}{parts} {} before `{}` is caught",
            verb(&way.parts, "parts", "part"),
            load.name
        );
        return stop(
            says,
            "Take slack out of the secondary lines, or make them and what they are fastened to stronger.",
        );
    }
    if let Some(why) = &way.falls {
        let says = format!(
            "{let_go}{by} {} not hold `{}` ({why})",
            verb(&catch.by, "does", "do"),
            load.name
        );
        return stop(
            says,
            "Make secondary lines up with fixed ends, and fasten them so that they hold the load by themselves.",
        );
    }
    if let Some(why) = &way.not_found {
        let says = format!(
            "{let_go}what {by} {} was not found: {why}",
            verb(&catch.by, "gets", "get")
        );
        return stop(says, "Have a qualified person size them for the shock.");
    }
    if let Some(why) = lands(load, way).or_else(|| strays(load, way)) {
        let says = format!("{let_go}`{}` {why}", load.name);
        return stop(
            says,
            "Take slack out of the secondary lines, or fasten them so that the load stays where it may be.",
        );
    }
    let hardest = judged
        .measured
        .lines
        .iter()
        .find(|line| line.name == catch.hardest);
    if hardest.is_none_or(|line| line.load.working_load_n.is_none()) {
        let says = format!(
            "{let_go}`{}` catches `{}`, and it has no working load, so it is not known whether it holds",
            catch.hardest, load.name
        );
        return stop(says, "Give it a makeup of rated parts.");
    }
    let mut findings: Vec<Finding> = way
        .peaks
        .iter()
        .filter_map(|peak| snatched(peak, &let_go, way, judged))
        .collect();
    let mend = "Bring the secondary lines nearer to where the others held it, or use a stronger pipe.";
    findings.extend(bent_too_far(&RULE, way, &let_go, judged, mend));
    if findings.is_empty() {
        let note = RULE.note(subject, told(load, catch, &let_go, judged), "");
        findings.push(note.sized(most_used(way, judged)).about("caught"));
    }
    findings.extend(pulled_up(&RULE, way, &let_go, judged));
    findings.extend(nearly(&RULE, way, &let_go, judged, &findings));
    findings.extend(nearly_bent(&RULE, way, &let_go, judged));
    findings
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
    let by = says::names(catch.by.iter().map(String::as_str));
    let pulls = if catch.by.len() == 1 { "pulls" } else { "pull" };
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
    use crate::facts::{Facts, OnTheWay, PeakFacts, PeakOf, Role};
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
            by: vec![hardest.clone()],
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
            },
        }];
        facts
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
    }
}
