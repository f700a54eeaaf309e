//! A load that starts and stops is heavier for that long.
//!
//! Conventions: the subject is a load; an acceleration upward as it starts to rise, or as it stops going down.
//! Assumes: the load follows its lines without bouncing on them; a sudden start bounces up to twice as much, which `dynamic` may say.
//! Valid for: loads that state how fast they start and stop.
//! Source: Newton's second law, F = W (1 + a / g); [bib:cal-8497] (raise the load for its motion).
//! Checked by: the tests below, against W + W a / g by hand.

use crate::facts::LoadFacts;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use quantity::{Kind, STANDARD_GRAVITY_M_PER_S2};
use working::{Expression, Number, Seen, Source};

pub(crate) static RULE: Rule = Rule {
    id: "start-stop",
    title: "The dynamic factor covers starts and stops",
    statement: "A load that starts or stops with an acceleration a pulls with 1 + a/g of its weight, and its `dynamic` is at least that: \
                where `accelerates` says more than `dynamic` covers, that is a stop. A start so sudden that the load bounces on its \
                lines brings up to twice as much on top of its weight, which this does not cover.",
    sources: &[
        SourceRef::Plain("mechanics: Newton's second law", Seen::Judgement),
        SourceRef::Cited("cal-8497", "acceleration allowance", Seen::Text),
    ],
    severity: Severity::Stop,
    needs_rig: true,
    judge,
};

/// Derives the factor that an acceleration brings; none where nobody stated one.
pub fn factor(load: &LoadFacts) -> Option<Number> {
    let acceleration = load.accelerates_m_per_s2.as_ref()?;
    let source = Source::plain("standard gravity, exact by convention", Seen::Judgement);
    let gravity = Number::given(
        "standard gravity",
        "g",
        Kind::Acceleration,
        STANDARD_GRAVITY_M_PER_S2,
        source,
    );
    let formula = Expression::from(1.0) + Expression::from(acceleration) / &gravity;
    let what = format!("factor on the weight of `{}` as it starts and stops", load.name);
    Some(Number::computed(
        what,
        "f",
        Kind::Number,
        formula,
        Source::mechanics("Newton's second law, F = W (1 + a / g)"),
    ))
}

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged.facts.loads.iter().filter_map(judge_load).collect()
}

fn judge_load(load: &LoadFacts) -> Option<Finding> {
    let needed = factor(load)?;
    let stated = load.dynamic.as_ref().map_or(1.0, Number::value);
    let covers = stated >= needed.value() * (1.0 - 1e-9);
    let acceleration = load
        .accelerates_m_per_s2
        .as_ref()
        .map(crate::says::figure)
        .unwrap_or_default();
    let subject = format!("loads.{}", load.name);
    if covers {
        let says = format!(
            "`{}` starts and stops with {acceleration}, which pulls {} times its weight; its dynamic factor of {stated} covers that",
            load.name,
            told(needed.value(), None)
        );
        return Some(RULE.note(subject, says, ""));
    }
    let dynamic = match &load.dynamic {
        Some(_) => format!("its dynamic factor is {stated}"),
        None => "no dynamic factor is stated".into(),
    };
    let says = format!(
        "`{}` starts and stops with {acceleration}, which pulls {} times its weight; {dynamic}",
        load.name,
        told(needed.value(), Some(stated))
    );
    Some(RULE.stop(
        subject,
        says,
        format!(
            "Write `dynamic = {:.2}` or more, or let it start and stop more gently.",
            ceiled(needed.value())
        ),
    ))
}

/// Writes a factor to hundredths, or with as many digits as tell it from the one that falls short of it.
fn told(factor: f64, short: Option<f64>) -> String {
    let written = |digits: usize| format!("{factor:.digits$}");
    let apart = |digits: &usize| short.is_none_or(|short| written(*digits) != format!("{short:.digits$}"));
    written((2..9).find(apart).unwrap_or(9))
}

/// Rounds up to hundredths, so that what is told is enough.
fn ceiled(factor: f64) -> f64 {
    (100.0 * factor - 1e-9).ceil() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    /// 2 m/s²: 1 + 2 / 9.80665 = 1.2039.
    #[test]
    fn a_dynamic_factor_covers_the_acceleration_or_is_a_stop() {
        let mut facts = samples::rig();
        let stated = |kind, value| Number::given("stated", "x", kind, value, Source::stated("test"));
        facts.loads[0].accelerates_m_per_s2 = Some(stated(Kind::Acceleration, 2.0));
        let factor = factor(&facts.loads[0]).unwrap();
        assert!(
            (factor.value() - 1.203_943_242_595).abs() < 1e-9,
            "{}",
            factor.value()
        );
        assert_eq!(
            samples::severities(RULE.id, &facts),
            ["stop"],
            "a load that states no factor has 1"
        );
        for (dynamic, severity) in [(1.25, "note"), (1.2040, "note"), (1.2039, "stop")] {
            facts.loads[0].dynamic = Some(stated(Kind::Number, dynamic));
            assert_eq!(samples::severities(RULE.id, &facts), [severity], "{dynamic}");
        }
        let says = |facts: &crate::Facts| samples::found(RULE.id, facts)[0].says.clone();
        assert!(says(&facts).contains("pulls 1.20394 times"), "{}", says(&facts));
        facts.loads[0].dynamic = Some(stated(Kind::Number, 1.25));
        assert!(says(&facts).contains("pulls 1.20 times"), "{}", says(&facts));
        facts.loads[0].dynamic = Some(stated(Kind::Number, 1.1));
        assert!(says(&facts).contains("pulls 1.20 times"), "{}", says(&facts));
        let mend = &samples::found(RULE.id, &facts)[0].mend;
        assert!(mend.contains("1.21"), "{mend}");
    }
}
