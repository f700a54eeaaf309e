//! No load over people hangs by adjustable grips alone.
//!
//! Conventions: the subject is a load; a trial is the load without some lines that have adjustable grips.
//! Assumes: all of them may let go together, since all were set by one hand; so one never makes another redundant, nor does a secondary line.
//! Valid for: loads with crew or public below, where trials that were not made count as failed; else a note.
//! Source: [bib:dguv-313-11], [bib:dguv-313-13] (positive joints, one fault); the rest is common practice.
//! Checked by: the tests below; tests/main/laws.rs.

use crate::facts::{Facts, GripTrial, LoadFacts, ShopAllowance, Trial, Under};
use crate::finding::{Finding, Severity};
use crate::remains::{Loss, lost};
use crate::rule::{COMMON_PRACTICE, Judged, Rule, SourceRef};
use crate::rules::grip_service::has_grip;
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "grip-sole-support",
    title: "No load over people hangs by adjustable grips alone",
    statement: "With anyone below, a load still hangs when all lines with adjustable grips are gone, and when any of them are: it does not fall, nor come to rest tilted by more than 30 degrees from how it hung, nor on the floor, nor \
                in a balance that a push of a tenth or an error in its centre of gravity ends, nor further away than \
                its `may_move`. Secondary lines do not count there: they are there to catch, and make up for no adjustable grip. If it does, that is a stop, unless the shop allows it in writing (the weight \
                of all that the adjustable grips hold, the height of its highest place, who is below, who approved it, why, and \
                until when) and the maker's document permits it; then it is a caution. With nobody below it is a note.",
    sources: &[
        SourceRef::Cited("dguv-313-11", "every joint over people is positive", Seen::Text),
        SourceRef::Cited("dguv-313-13", "a second, independent securing", Seen::Text),
        COMMON_PRACTICE,
        SourceRef::Plain(
            "30 degrees of tilt, as for a load that has rolled over",
            Seen::Judgement,
        ),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let facts = judged.facts;
    let judge_load = |load: &LoadFacts| {
        if load.under.is_overhead() {
            judge_load(load, facts)
        } else {
            over_nobody(load).into_iter().collect()
        }
    };
    facts.loads.iter().flat_map(judge_load).collect()
}

fn over_nobody(load: &LoadFacts) -> Option<Finding> {
    let says = load.without_grips.iter().find_map(|trial| fall(load, trial))?;
    let mend = "Keep everybody out from below for as long as it hangs.";
    Some(RULE.note(format!("loads.{}", load.name), says, mend))
}

/// Says that a load falls, turns over, comes down or moves too far in a trial; none if it hangs where it may.
fn fall(load: &LoadFacts, trial: &GripTrial) -> Option<String> {
    let (Loss { does, why }, by_both) = lost(load, trial)?;
    let under = match load.under {
        Under::Nobody => "nobody",
        Under::Crew => "crew",
        Under::Public => "the public",
    };
    let let_go = says::grips_let_go(trial.gone.iter().map(String::as_str));
    let says = format!("`{}` {does} {let_go}, with {under} below ({why})", load.name);
    if by_both {
        return Some(format!(
            "{says}, but for its secondary lines: a secondary line is there to catch, and does not make up for an adjustable grip"
        ));
    }
    Some(says)
}

/// Judges the trials of one load with anyone below.
pub(crate) fn judge_load(load: &LoadFacts, facts: &Facts) -> Vec<Finding> {
    let bears = |name: &String| {
        facts
            .lines
            .iter()
            .any(|line| line.name == *name && has_grip(line))
    };
    let on_load = facts
        .lines
        .iter()
        .filter(|line| line.loads.contains(&load.name) && has_grip(line));
    let gripped: Vec<&str> = on_load.map(|line| line.name.as_str()).collect();
    let is_untried = |gone: &[&str]| {
        !load
            .without_grips
            .iter()
            .any(|trial| gone.iter().all(|name| trial.gone.iter().any(|line| line == name)))
    };
    let mut findings = Vec::new();
    if !gripped.is_empty() && load.falls.is_none() && is_untried(&gripped) {
        let says = format!(
            "it was not tried whether `{}` hangs without its lines with adjustable grips, {}",
            load.name,
            says::names(gripped.iter().copied())
        );
        findings.push(RULE.stop(
            format!("loads.{}", load.name),
            says,
            "Hang it by other ends as well.",
        ));
    }
    // A fall says most, and the fewest grips that bring it.
    let mut trials: Vec<&GripTrial> = load.without_grips.iter().collect();
    let hangs = |trial: &GripTrial| !matches!(trial.outcome, Trial::Falls(_));
    trials.sort_by_key(|trial| (hangs(trial), trial.gone.len()));
    let lost = trials.into_iter().filter(|trial| trial.gone.iter().any(bears));
    let lost = lost.filter_map(|trial| Some(judge_fall(load, trial, fall(load, trial)?, facts)));
    // One is enough: what decides, and of those alike the first.
    findings.extend(lost.reduce(|worst, next| {
        if next.severity > worst.severity {
            next
        } else {
            worst
        }
    }));
    findings
}

fn judge_fall(load: &LoadFacts, trial: &GripTrial, says: String, facts: &Facts) -> Finding {
    let subject = format!("loads.{}", load.name);
    let mut short = Vec::new();
    for allowance in &facts.allowances {
        match refusal(allowance, load, trial, facts) {
            None => {
                let says = format!(
                    "{says}; the shop allows it as `{}`, approved by {} until {}: {}",
                    allowance.name, allowance.approved_by, allowance.until, allowance.why
                );
                return RULE.caution(
                    subject,
                    says,
                    "Add a line with another end as soon as one can be fastened.",
                );
            }
            Some(why) if trial.gone.iter().any(|line| allowance.lines.contains(line)) => {
                short.push(format!(
                    "the shop's allowance `{}` does not cover it: {why}",
                    allowance.name
                ));
            }
            Some(_) => {}
        }
    }
    let says = std::iter::once(says).chain(short).collect::<Vec<_>>().join("; ");
    RULE.stop(
        subject,
        says,
        "Add a line with another end that holds the load by itself, or replace the adjustable grip.",
    )
}

/// Says why a shop's allowance does not cover a trial; none if it does.
fn refusal(allowance: &ShopAllowance, load: &LoadFacts, trial: &GripTrial, facts: &Facts) -> Option<String> {
    if let Some(line) = trial.gone.iter().find(|line| !allowance.lines.contains(line)) {
        return Some(format!("it is not for `{line}`"));
    }
    let weight_n = weight_lost(&trial.gone, facts);
    if weight_n > allowance.weight_n {
        let (weight, most) = (says::newtons(weight_n), says::newtons(allowance.weight_n));
        return Some(format!(
            "what hangs by these adjustable grips weighs {weight}, it is for at most {most}"
        ));
    }
    if load.height_m < 0.0 {
        let below = says::metres(-load.height_m);
        return Some(format!(
            "the load is drawn {below} below the floor at z = 0, so its height is not known"
        ));
    }
    // Heights are solved to less than a tenth of a millimetre.
    if load.top_m > allowance.height_m + 1e-4 {
        let (height, most) = (says::metres(load.top_m), says::metres(allowance.height_m));
        return Some(format!("the load reaches {height} up, it is for at most {most}"));
    }
    if load.under > allowance.under {
        return Some(format!("it is for at most {}", allowance.under.words()));
    }
    if allowance.approved_by.trim().is_empty() || allowance.why.trim().is_empty() {
        return Some("it does not say who approved it and why".into());
    }
    match &facts.today {
        None => {
            return Some(format!(
                "it ends on {}, and the day of this verdict is not known",
                allowance.until
            ));
        }
        // Days as in 2026-03-14 sort as text.
        Some(today) if *today > allowance.until => return Some(format!("it ended on {}", allowance.until)),
        Some(_) => {}
    }
    not_permitted(trial, facts).map(|part| format!("the maker's document does not permit `{part}` for this"))
}

/// Less than this a load moves that does not hang by what is gone, metres.
const STAYS_M: f64 = 0.01;

/// Adds up the loads that are lost or moved when some lines are gone, newtons: these hang by them.
fn weight_lost(gone: &[String], facts: &Facts) -> f64 {
    let lost = |load: &&LoadFacts| {
        let trials = load.without_grips.iter().filter(|trial| trial.gone == gone);
        let stays = |trial: &GripTrial| match &trial.outcome {
            Trial::Hangs(remains) => remains.furthest_m() <= STAYS_M && lost(load, trial).is_none(),
            Trial::Falls(_) | Trial::NotFound(_) => false,
        };
        trials.map(stays).any(|stays| !stays)
    };
    facts
        .loads
        .iter()
        .filter(lost)
        .map(|load| load.weight_n.value())
        .sum()
}

/// Finds an adjustable grip in the lines gone that its maker does not permit as the only support overhead.
fn not_permitted(trial: &GripTrial, facts: &Facts) -> Option<String> {
    let gone = facts.lines.iter().filter(|line| trial.gone.contains(&line.name));
    let parts = gone
        .filter_map(|line| line.makeup.as_deref())
        .flat_map(|makeup| &makeup.pieces)
        .map(|piece| &piece.part);
    parts
        .filter(|part| {
            part.grip()
                .is_some_and(|grip| !grip.permits_sole_support_overhead || grip.document.is_none())
        })
        .map(|part| part.id.clone())
        .next()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};

    fn allowed() -> Facts {
        let mut facts = samples::sole_grip_rig();
        let mut grip = samples::grip(840.0, Some(5.0));
        samples::edit_grip(&mut grip, |grip| grip.permits_sole_support_overhead = true);
        facts.lines[0] = samples::line("nw", samples::gripped(grip), 115.0);
        facts.allowances = vec![samples::shop_allowance()];
        facts
    }

    #[test]
    fn a_load_that_falls_without_its_grip_is_a_stop_over_people() {
        assert!(samples::found(RULE.id, &samples::grip_rig()).is_empty());
        let mut facts = samples::sole_grip_rig();
        for (under, expected) in [
            (Under::Nobody, "note"),
            (Under::Crew, "stop"),
            (Under::Public, "stop"),
        ] {
            samples::set_all_under(&mut facts, under);
            assert_eq!(samples::severities(RULE.id, &facts), [expected], "{under:?}");
        }
        assert_eq!(
            samples::found(RULE.id, &facts)[0].says,
            "`flock` falls once the adjustable grip of `nw` lets go, with the public below (one line is left, \
             beside its centre)"
        );
    }

    #[test]
    fn a_trial_that_was_not_made_counts_as_failed() {
        let mut facts = samples::grip_rig();
        facts.loads[0].without_grips.clear();
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    #[test]
    fn one_grip_does_not_make_another_redundant() {
        let mut facts = samples::grip_rig();
        facts.lines[1] = samples::line("ne", samples::gripped(samples::grip(840.0, Some(5.0))), 115.0);
        let hangs = facts.loads[0].without_grips[0].clone();
        facts.loads[0].without_grips.push(GripTrial {
            gone: vec!["ne".into()],
            ..hangs
        });
        // Each alone was tried and holds, both together were not.
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
        facts.loads[0].without_grips.push(GripTrial {
            gone: vec!["nw".into(), "ne".into()],
            outcome: Trial::Falls("nothing is left".into()),
            without_secondary: None,
            on_the_way: None,
        });
        assert_eq!(samples::severities(RULE.id, &facts), ["stop"]);
    }

    /// A secondary line holds it once the grip is gone, which is no more than a catch.
    #[test]
    fn a_secondary_line_does_not_make_up_for_a_grip() {
        let mut facts = samples::grip_rig();
        let trial = &mut facts.loads[0].without_grips[0];
        trial.without_secondary = Some(samples::hangs(115.0));
        assert!(samples::found(RULE.id, &facts).is_empty());
        facts.loads[0].without_grips[0].without_secondary = Some(Trial::Falls("nothing is left".into()));
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found[0].severity, Severity::Stop);
        assert!(
            found[0]
                .says
                .contains("a secondary line is there to catch, and does not make up for an adjustable grip"),
            "{}",
            found[0].says
        );
        assert!(
            samples::found("grip-remaining", &facts).is_empty(),
            "it does not hang there either"
        );
    }

    #[test]
    fn a_written_allowance_that_covers_it_leaves_a_caution() {
        assert_eq!(samples::severities(RULE.id, &allowed()), ["caution"]);
    }

    #[test]
    fn an_allowance_that_falls_short_anywhere_leaves_a_stop_that_says_where() {
        let check = |change: &dyn Fn(&mut Facts), says: &str| {
            let mut facts = allowed();
            change(&mut facts);
            let found = samples::found(RULE.id, &facts);
            assert_eq!(found[0].severity, Severity::Stop, "{says}");
            assert!(found[0].says.contains(says), "{} / {says}", found[0].says);
        };
        check(
            &|facts| facts.allowances[0].weight_n = 199.0 * LB,
            "at most 199 lb",
        );
        check(&|facts| facts.allowances[0].height_m = 3.9, "reaches");
        check(&|facts| facts.loads[0].top_m = 4.1, "reaches");
        check(&|facts| facts.loads[0].height_m = -0.1, "is not known");
        check(
            &|facts| {
                let mut below = samples::load();
                below.name = "sign".into();
                below.without_grips.clone_from(&facts.loads[0].without_grips);
                facts.loads.push(below);
            },
            "weighs 400 lb",
        );
        check(
            &|facts| samples::set_all_under(facts, Under::Public),
            "at most crew below",
        );
        check(
            &|facts| facts.today = Some("2026-07-01".into()),
            "ended on 2026-06-30",
        );
        check(&|facts| facts.today = None, "is not known");
        check(
            &|facts| facts.allowances[0].approved_by = " ".into(),
            "who approved it",
        );
        check(
            &|facts| facts.allowances[0].why = String::new(),
            "who approved it",
        );
        check(
            &|facts| facts.allowances[0].lines = vec!["other".into()],
            "`flock` falls",
        );
        check(
            &|facts| {
                facts.lines[0] =
                    samples::line("nw", samples::gripped(samples::grip(840.0, Some(5.0))), 115.0);
            },
            "maker's document does not permit",
        );
    }

    #[test]
    fn the_last_day_of_an_allowance_still_counts() {
        let mut facts = allowed();
        facts.today = Some("2026-06-30".into());
        assert_eq!(samples::severities(RULE.id, &facts), ["caution"]);
    }
}
