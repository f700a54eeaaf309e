//! What secondary lines catch.
//!
//! Conventions: the subject is a load; SI.
//! Assumes: all lines that carry the load let go at once; the load falls freely until the first secondary line pulls.
//! Valid for: loads with secondary lines, followed in time without damping.
//! Source: [bib:impact-factor] (energy); [bib:dguv-313-23] (how a secondary element is built).
//! Checked by: the tests below, against the formula by hand.

use crate::facts::{Catch, LoadFacts};
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use quantity::Kind;
use working::{Expression, Number, Seen, Source, sqrt};

pub(crate) static RULE: Rule = Rule {
    id: "caught",
    title: "Secondary lines catch what they are there to catch",
    statement: "If all lines that carry a load let go, its secondary lines hold it: a stop where they do not, where one of them or what it \
                hangs on gets more at the peak than it breaks at, or where that was not found; a caution where the peak is more than a \
                working load, since a qualified person has to size it then; else a note. The fall before they pull, the energy, and the peak \
                by the energy formula for one upright line are told beside the peak that was followed in time.",
    sources: &[
        SourceRef::Cited("impact-factor", "1 + sqrt(1 + 2 h / d)", Seen::Text),
        SourceRef::Cited("dguv-313-23", "how a secondary element is built", Seen::Text),
        SourceRef::Plain("breaking strength as the limit of a catch", Seen::Judgement),
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
    let loads = judged.facts.loads.iter();
    loads
        .filter_map(|load| judge_catch(load, load.caught.as_ref()?, judged))
        .collect()
}

fn judge_catch(load: &LoadFacts, catch: &Catch, judged: &Judged<'_>) -> Option<Finding> {
    let subject = format!("loads.{}", load.name);
    let names = |of: &[String]| says::names(of.iter().map(String::as_str));
    let verb = |of: &[String], one: &str, many: &str| {
        if of.len() == 1 {
            one.to_string()
        } else {
            many.to_string()
        }
    };
    let let_go = format!(
        "if {} {}, ",
        names(&catch.gone),
        verb(&catch.gone, "lets go", "let go")
    );
    let by = names(&catch.by);
    let (holds, gets, pulls) = (
        verb(&catch.by, "does", "do"),
        verb(&catch.by, "gets", "get"),
        verb(&catch.by, "pulls", "pull"),
    );
    if let Some(why) = &catch.falls {
        let says = format!("{let_go}{by} {holds} not hold `{}` ({why})", load.name);
        return Some(RULE.stop(
            subject,
            says,
            "Fasten secondary lines so that they hold the load by themselves.",
        ));
    }
    let way = &catch.on_the_way;
    if let Some(why) = &way.not_found {
        let says = format!("{let_go}what {by} {gets} was not found: {why}");
        return Some(RULE.stop(subject, says, "Have a qualified person size them for the shock."));
    }
    let line = judged
        .measured
        .lines
        .iter()
        .find(|line| line.name == catch.hardest)?;
    let peak = way
        .peaks
        .iter()
        .find(|peak| peak.name == catch.hardest && peak.of == crate::facts::PeakOf::Line)?;
    let told = format!(
        "{let_go}`{}` falls {} before {by} {pulls}, and `{}` gets a peak of {} {:.2} s on ({} by energy, for one upright line); the load \
         brings {}",
        load.name,
        says::metres(catch.fall_m.value()),
        catch.hardest,
        says::force(&peak.peak_n),
        peak.at_s,
        says::force(&by_energy(load, catch)),
        says::figure(&catch.energy_j),
    );
    if !way.parts.is_empty() {
        let says = format!("{told}; {} part", names(&way.parts));
        return Some(RULE.stop(
            subject,
            says,
            "Take slack out of the secondary lines, or make them stronger.",
        ));
    }
    let Some(limit) = line.load.working_load_n.as_ref() else {
        let says = format!("{told}; it has no working load, so it is not known whether it holds");
        return Some(RULE.stop(subject, says, "Give it a makeup of rated parts."));
    };
    let share = peak.peak_n.value() / limit.value();
    if share <= 1.0 {
        let says = format!(
            "{told}, and the peak is {:.0} % of the working load",
            100.0 * share
        );
        return Some(RULE.note(subject, says, ""));
    }
    let breaks = line.load.breaking_n.as_ref();
    let breaks = breaks.map_or_else(|| "what is not known".into(), says::force);
    let says = format!("{told}, and the peak is {share:.1} times the working load; it breaks at {breaks}");
    let mend = "Take slack out of the secondary lines, or have a qualified person size them, and what they are fastened to, for the shock.";
    Some(RULE.caution(subject, says, mend))
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
        facts.loads[0].caught = Some(Catch {
            gone: vec![facts.lines[0].name.clone()],
            by: vec![hardest.clone()],
            falls: None,
            fall_m: number(Kind::Length, 0.1),
            stiffness_n_per_m: number(Kind::Stiffness, 2e5),
            hardest: hardest.clone(),
            energy_j: number(Kind::Energy, 100.0),
            on_the_way: OnTheWay {
                moves_m: 0.2,
                drops_m: 0.1,
                tilt_rad: 0.0,
                peaks: vec![PeakFacts {
                    of: PeakOf::Line,
                    name: hardest,
                    peak_n: samples::force(pounds * LB),
                    at_s: 0.2,
                }],
                parts: Vec::new(),
                not_found: None,
                at_worst: "without damping".into(),
            },
        });
        facts
    }

    /// P14 of tests/published/mechanics/cases.toml: 50 kg fall 1 m onto 160 kN/m, factor 26.565961.
    #[test]
    fn the_energy_formula_is_the_published_one() {
        let mut facts = rig(100.0);
        let load = &mut facts.loads[0];
        load.weight_n = number(Kind::Force, 490.3325);
        let mut catch = load.caught.clone().unwrap();
        catch.fall_m = number(Kind::Length, 1.0);
        catch.stiffness_n_per_m = number(Kind::Stiffness, 160_000.0);
        let factor = by_energy(load, &catch).value() / 490.3325;
        assert!((factor - 26.565_961_282_648).abs() < 1e-6, "{factor}");
    }

    #[test]
    fn a_catch_is_a_note_a_caution_or_a_stop() {
        for (pounds, severity) in [(797.0, "note"), (799.0, "caution")] {
            assert_eq!(samples::severities(RULE.id, &rig(pounds)), [severity], "{pounds}");
        }
        let mut parts = rig(799.0);
        parts.loads[0].caught.as_mut().unwrap().on_the_way.parts = vec!["lines.ne".into()];
        assert_eq!(samples::severities(RULE.id, &parts), ["stop"]);
        let mut falls = rig(100.0);
        falls.loads[0].caught.as_mut().unwrap().falls = Some("nothing is left".into());
        assert_eq!(samples::severities(RULE.id, &falls), ["stop"]);
    }
}
