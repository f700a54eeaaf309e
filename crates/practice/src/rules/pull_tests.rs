//! What pull tests say against a rating.
//!
//! Conventions: the subject is a makeup; forces in newtons.
//! Assumes: the series was pulled on lines that are made up as this one.
//! Valid for: makeups with evidence. Tests never raise a rating, and never rate what has none.
//! Source: our judgement; US Army TB 55-1900-232-10 lets a failed sample be followed by two more (as a procedure, not as an excuse).
//! Checked by: the tests below.

use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use parts::Evidence;
use quantity::{Kind, Style};
use working::Seen;

/// From so many specimens on, a lower limit reduces the working load.
pub(crate) const ENOUGH: usize = 10;

pub(crate) static RULE: Rule = Rule {
    id: "pull-tests",
    title: "Pull tests bear the rating out",
    statement: "No specimen of a makeup failed under the rating of the part that was tested times its design factor, unless somebody wrote down \
                why and what was done about it. A lower limit of its tests that is below that reduces the working load from ten specimens on, and is \
                a caution with fewer. Tests never raise a rating, and never rate a part that has none. A claim that asks for less than the maker does, limits for less than is usual, and what does not \
                go together in what is told of the tests, are cautions. They are slow pulls of new specimens: they say \
                nothing of vibration, creep, weather and time.",
    sources: &[SourceRef::Plain(
        "what few tests show is a limit with a confidence, and no rating",
        Seen::Judgement,
    )],
    severity: Severity::Stop,
    needs_rig: false,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let makeups = judged.makeups();
    let each = makeups.iter().flat_map(|made| {
        let subject = format!("makeups.{}", made.makeup.name);
        made.makeup
            .evidence
            .iter()
            .flat_map(move |evidence| of(evidence, &subject, Style::both()))
    });
    each.collect()
}

/// Prints a force.
type Print<'a> = &'a dyn Fn(f64) -> String;

/// Judges evidence by itself, about a subject; forces are printed in both units, those of `style` first.
pub fn of(evidence: &Evidence, subject: &str, style: Style) -> Vec<Finding> {
    let force = |force_n: f64| Kind::Force.print(force_n, style.in_sentences());
    let required_n = evidence.required_n.value();
    let low = evidence
        .failed
        .iter()
        .filter(|specimen| specimen.strength_n < required_n);
    let mut findings: Vec<Finding> = low
        .map(|specimen| {
            let says = format!(
                "specimen `{}` of \"{}\" failed at {}, less than the {} that `{}` is to hold",
                specimen.name,
                evidence.series,
                force(specimen.strength_n),
                force(required_n),
                evidence.part
            );
            let about = format!("{} failed", specimen.name);
            match &specimen.explained {
                None => RULE.stop(
                    subject,
                    says,
                    "Find out why, and write it down with what was done about it (`explained`); until then use nothing made up like it.",
                ),
                Some(why) => RULE.caution(
                    subject,
                    format!("{says}; explained: {why}"),
                    "Have a qualified person agree with the explanation.",
                ),
            }
            .about(about)
        })
        .collect();
    findings.extend(limit(evidence, subject, &force));
    findings.extend(asks_little(evidence, subject));
    findings.extend(claims_more(evidence, subject, &force));
    findings.extend(claims_less(evidence, subject, &force));
    findings.extend(unrated(evidence, subject));
    findings.extend(slipped(evidence, subject, &force));
    findings.extend(doubted(evidence, subject));
    findings.extend(invented(evidence, subject));
    findings
}

/// The share and the confidence that limits are for as a rule: our judgement, after what design standards ask of strengths that are tested.
const USUAL: [f64; 2] = [0.99, 0.95];

/// Says that limits are for less than is usual.
fn asks_little(evidence: &Evidence, subject: &str) -> Option<Finding> {
    let is_little = evidence
        .level
        .iter()
        .zip(USUAL)
        .any(|(own, usual)| *own < usual - 1e-12);
    let [share, confidence] = evidence.level.map(says::share);
    let [usual_share, usual_confidence] = USUAL.map(says::share);
    let says = format!(
        "the limits of \"{}\" are for {share} of all such lines with a confidence of {confidence}, less than the usual {usual_share} and \
         {usual_confidence} (our judgement)",
        evidence.series
    );
    let mend = "Leave `share` and `confidence` out, or have a qualified person agree.";
    is_little.then(|| RULE.caution(subject, says, mend).about("level"))
}

/// No tests raise a rating.
fn claims_more(evidence: &Evidence, subject: &str, force: Print<'_>) -> Option<Finding> {
    let claimed_n = evidence.claims_more_n?;
    let says = format!(
        "\"{}\" claims a working load of {} for `{}`, more than its maker rates it for; tests never raise a rating",
        evidence.series,
        force(claimed_n),
        evidence.part
    );
    Some(
        RULE.stop(subject, says, "Claim no more than the rating.")
            .about("claims more"),
    )
}

/// What is shown at less than the maker asks for does not bear the rating out.
fn claims_less(evidence: &Evidence, subject: &str, force: Print<'_>) -> Option<Finding> {
    let less = evidence.claims_less?;
    let asks = format!(
        "{} is to be held by the claim, {} by the rating and the factor of the maker",
        force(less.required_n),
        force(less.maker_n)
    );
    let part = &evidence.part;
    let says = if less.design_factor < less.maker_factor {
        format!(
            "the claim for `{part}` in \"{}\" is examined at a design factor of {}, lower than the {} of its maker: {asks}",
            evidence.series, less.design_factor, less.maker_factor
        )
    } else {
        format!(
            "the claim for `{part}` in \"{}\" asks for less than its maker does, and tests that support it do not bear the rating out: {asks}",
            evidence.series
        )
    };
    let mend = "Claim at the design factor of the maker or a greater one; leave the claim out to examine the rating.";
    Some(RULE.caution(subject, says, mend).about("claims less"))
}

/// What does not go together proves nothing until somebody finds out which of it is wrong.
fn doubted(evidence: &Evidence, subject: &str) -> Option<Finding> {
    let first = evidence.doubts.first()?;
    let more = match evidence.doubts.len() - 1 {
        0 => String::new(),
        more => format!("; and {more} more (`plimsoll prove` tells all of it)"),
    };
    let says = format!(
        "there are doubts about the tests in \"{}\": {first}{more}",
        evidence.series
    );
    let mend =
        "Find out which of it is wrong, and write it down rightly; until then do not lean on these tests.";
    Some(RULE.caution(subject, says, mend).about("doubts"))
}

/// No tests rate what its maker does not.
fn unrated(evidence: &Evidence, subject: &str) -> Option<Finding> {
    let says = format!(
        "the maker of `{}` does not rate it on `{}`; tests never rate a part that has no rating, whatever \"{}\" shows",
        evidence.part, evidence.rope, evidence.series
    );
    let mend = "Use it on a rope for which its maker rates it.";
    evidence
        .is_unrated
        .then(|| RULE.stop(subject, says, mend).about("unrated"))
}

/// What slips does not hold where it was set.
fn slipped(evidence: &Evidence, subject: &str, force: Print<'_>) -> Option<Finding> {
    let each = evidence.slipped.iter();
    let each: Vec<String> = each
        .map(|(name, force_n)| format!("`{name}` at {}", force(*force_n)))
        .collect();
    let says = format!(
        "the rope slipped in specimens of \"{}\" below the {} that `{}` is to hold: {}",
        evidence.series,
        force(evidence.required_n.value()),
        evidence.part,
        each.join(", ")
    );
    let mend = "Find out why it slipped; a fitting in which the rope slips is not made up right, or not for this rope.";
    (!each.is_empty()).then(|| RULE.caution(subject, says, mend).about("slipped"))
}

/// What is made up for a demonstration proves nothing.
fn invented(evidence: &Evidence, subject: &str) -> Option<Finding> {
    let says = format!(
        "the series \"{}\" is invented: nothing was pulled",
        evidence.series
    );
    let mend = "Pull samples of your own; use the series for practice only.";
    evidence
        .invented
        .then(|| RULE.caution(subject, says, mend).about("invented"))
}

fn limit(evidence: &Evidence, subject: &str, force: Print<'_>) -> Option<Finding> {
    let limit_n = evidence.limit_n.as_ref()?.value();
    let required_n = evidence.required_n.value();
    if limit_n >= required_n {
        return None;
    }
    let [share, confidence] = evidence.level.map(says::share);
    let says = format!(
        "{} pull tests in \"{}\" show no more than {} for {share} of all such lines with a confidence of {confidence}, {} the {} that `{}` is \
         to hold",
        evidence.limit_of,
        evidence.series,
        force(limit_n.max(0.0)),
        if force(limit_n) == force(required_n) {
            "a hair less than"
        } else {
            "less than"
        },
        force(required_n),
        evidence.part
    );
    let (cause, mend) = cause(evidence, (limit_n, required_n), force);
    let (does, mend) = if evidence.limit_of >= ENOUGH {
        (
            "the working load is reduced by that",
            mend.unwrap_or("Use it for less, or find what scatters."),
        )
    } else {
        (
            "fewer than ten reduce no working load",
            mend.unwrap_or("Pull more specimens (`plimsoll prove` says how many may do)."),
        )
    };
    let cause = cause.map(|cause| format!("; {cause}")).unwrap_or_default();
    Some(
        RULE.caution(subject, format!("{says}{cause}; {does}"), mend)
            .about("limit"),
    )
}

/// Says why a limit is below what is asked for, and what mends that where it is not what mends few tests.
fn cause(
    evidence: &Evidence,
    (limit_n, required_n): (f64, f64),
    force: Print<'_>,
) -> (Option<String>, Option<&'static str>) {
    let (cell, zero_n) = (evidence.cell.unwrap_or(0.0), evidence.zero_n);
    let without_n = limit_n / (1.0 - cell);
    let mean_n = evidence.mean_n.map(|mean_n| (1.0 - cell) * mean_n - zero_n);
    if limit_n + zero_n >= required_n {
        let why = format!(
            "that is for the {} that the zero of the cell may be off by, without which it were {}, and enough",
            force(zero_n),
            force(limit_n + zero_n)
        );
        let mend = "Let the cell stand unloaded before each pull and after it, and log that; more specimens do not help.";
        return (Some(why), Some(mend));
    }
    if without_n >= required_n {
        let why = format!(
            "that is for the {} that the cell may be off, without which it were {}, and enough",
            says::share(cell),
            force(without_n)
        );
        let mend = "Have the cell calibrated better, or pull with one that is known better; more specimens help less.";
        return (Some(why), Some(mend));
    }
    if let Some(mean_n) = mean_n.filter(|mean_n| *mean_n <= required_n) {
        let off = if cell > 0.0 || zero_n > 0.0 {
            ", less what the cell may be off,"
        } else {
            ""
        };
        let why = format!(
            "their mean{off} is {}, no more than that: no number of tests helps",
            force(mean_n)
        );
        return (Some(why), Some("Use it for less."));
    }
    let few = "that is mostly the price of few tests".to_string();
    ((evidence.limit_of < ENOUGH).then_some(few), None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};
    use parts::FailedSpecimen;
    use std::sync::Arc;
    use working::{Number, Source};

    fn number(kind: Kind, value: f64) -> Number {
        Number::given("given", "x", kind, value, Source::stated("test"))
    }

    /// A part that is to hold 1000 lbf five times over, and tests of it in pounds.
    fn found(pounds: &[f64], limit: Option<f64>, explained: Option<&str>) -> Vec<Severity> {
        let mut facts = samples::rig();
        let mut makeup = (**facts.lines[0].makeup.as_ref().unwrap()).clone();
        let failed = pounds.iter().enumerate().map(|(i, pounds)| FailedSpecimen {
            name: format!("s{i}"),
            strength_n: pounds * LB,
            explained: explained.map(String::from),
        });
        makeup.evidence = vec![Evidence {
            series: "grips".into(),
            part: "grip".into(),
            rope: "rope".into(),
            made: parts::Made::default(),
            invented: false,
            from: "rating".into(),
            claims_more_n: None,
            claims_less: None,
            is_unrated: false,
            slipped: Vec::new(),
            is_unsure: false,
            stopped_low: 0,
            required_n: samples::force(5000.0 * LB),
            design_factor: number(Kind::Number, 5.0),
            failed: failed.collect(),
            count: pounds.len(),
            held: 0,
            mean_n: None,
            cell: None,
            zero_n: 0.0,
            doubts: Vec::new(),
            limit_of: pounds.len(),
            limit_n: limit.map(|pounds| samples::force(pounds * LB)),
            level: [0.99, 0.95],
        }];
        facts.lines[0].makeup = Some(Arc::new(makeup));
        let found = samples::found(RULE.id, &facts);
        found.iter().map(|finding| finding.severity).collect()
    }

    #[test]
    fn a_specimen_that_failed_low_is_a_stop_until_it_is_explained() {
        assert_eq!(found(&[5001.0; 3], None, None), []);
        assert_eq!(found(&[5001.0, 4999.0], None, None), [Severity::Stop]);
        assert_eq!(
            found(&[5001.0, 4999.0], None, Some("wrong die")),
            [Severity::Caution]
        );
    }

    #[test]
    fn a_low_limit_is_a_caution_and_a_high_one_is_nothing() {
        assert_eq!(found(&[6000.0; 3], Some(4000.0), None), [Severity::Caution]);
        assert_eq!(found(&[6000.0; 12], Some(4000.0), None), [Severity::Caution]);
        assert_eq!(found(&[6000.0; 12], Some(5000.0), None), []);
        assert_eq!(says::share(0.99), "99 %");
        assert_eq!(says::share(0.9999), "99.99 %");
    }
}
