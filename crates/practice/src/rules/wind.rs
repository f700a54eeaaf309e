//! A wind on the rig.
//!
//! Conventions: the subject is the case that states the wind; pressures in pascals, forces in newtons.
//! Assumes: a steady push along the wind on the faces that loads state.
//! Valid for: every rig with wind: none is judged without this caution.
//! Source: our judgement; what codes take for signboards as read in a summary of EN 1991-1-4.
//! Checked by: the tests below.

use crate::facts::WindFacts;
use crate::finding::{Finding, Severity};
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::Seen;

pub(crate) static RULE: Rule = Rule {
    id: "wind",
    title: "An engineer has judged what hangs in the wind",
    statement: "What hangs outdoors is for an engineer to judge. A case with wind holds the rig against a steady push \
                along the wind, and no more: gusts, flutter, lift, the pull of a cloth that bellies out between its \
                fastenings, wind on lines and the coefficients of the code in force are not in it. The codes' \
                coefficients are often higher: EN 1991-1-4 takes 1.80 for signboards, where a flat plate in a steady \
                stream has 1.28.",
    sources: &[
        SourceRef::Plain("a steady push is not the wind", Seen::Judgement),
        SourceRef::Cited("en1991-1-4-sum", "7.4.3, signboards", Seen::Text),
    ],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    judged.facts.winds.iter().map(judge_wind).collect()
}

fn judge_wind(wind: &WindFacts) -> Finding {
    let mut told = vec![format!(
        "in `{}` a wind presses with {}; gusts, flutter, lift, the pull of a cloth that bellies out, wind on lines and \
         the coefficients of codes are not in that",
        wind.case,
        says::wind_pressure(&wind.pressure_pa)
    )];
    if !wind.without_faces.is_empty() {
        let loads = says::names(wind.without_faces.iter().map(String::as_str));
        told.push(format!("no face is stated for {loads}, so no wind acts there"));
    }
    let mut remembered: Vec<String> = Vec::new();
    for figure in wind.pushes_n.iter().flat_map(|push| push.from_memory()) {
        let named = format!("{} {}", figure.what(), figure.value());
        if !remembered.contains(&named) {
            remembered.push(named);
        }
    }
    if !remembered.is_empty() {
        told.push(format!("from memory: {}", remembered.join(", ")));
    }
    RULE.caution(
        format!("cases.{}", wind.case),
        told.join("; "),
        "Have an engineer judge what hangs outdoors by the code in force, say how much wind it may see, and take it down \
         before there is more.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use quantity::Kind;
    use working::{Number, Source};

    #[test]
    fn a_wind_is_a_caution_whatever_it_presses() {
        let mut facts = samples::rig();
        assert!(samples::found(RULE.id, &facts).is_empty());
        let coefficient = Number::given(
            "coefficient",
            "C",
            Kind::Number,
            1.8,
            Source::plain("a book", Seen::Memory),
        );
        facts.winds = vec![WindFacts {
            case: "breeze".into(),
            pressure_pa: samples::given("pressure", Kind::Pressure, 1e-3),
            pushes_n: vec![coefficient],
            without_faces: vec!["flock".into()],
        }];
        let found = samples::found(RULE.id, &facts);
        assert_eq!(found.len(), 1);
        assert_eq!(
            (found[0].severity, found[0].subject.as_str()),
            (Severity::Caution, "cases.breeze")
        );
        for told in ["no face is stated for `flock`", "from memory: coefficient 1.8"] {
            assert!(found[0].says.contains(told), "{}", found[0].says);
        }
    }
}
