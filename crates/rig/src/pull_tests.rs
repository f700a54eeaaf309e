//! What series of pull tests show of the makeups of a rig.
//!
//! Conventions: SI; a series is told by the path that the rig document names it by.
//! Assumes: lines of a makeup are made up as the specimens were: the same part on the same rope, by the same hands and tools.
//! Valid for: makeups that name a series.
//! Source: that tests stand beside a rating and never raise it is our judgement.
//! Checked by: the tests of the command line (tests/main/prove.rs).

use crate::document::{MadeUp, ProvedBy};
use crate::shape::RIG;
use document::{Placed, Problem, Table};
use indexmap::IndexSet;
use parts::{Bears, Book, Evidence, Makeup};
use practice::share_in_words;
use quantity::{Kind, Style};
use schemars::JsonSchema;
use serde::Serialize;

/// What a series of pull tests shows of a makeup.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PullTests {
    /// The makeup.
    pub makeup: String,
    /// The title of the series, and the kind in it.
    pub series: String,
    /// Whether nothing was pulled: the series is made up for a demonstration.
    pub invented: bool,
    /// The part on trial.
    pub part: String,
    /// The rope that it was on.
    pub rope: String,
    /// How many failed and count.
    pub failed: usize,
    /// The least that one failed at, set-aside ones among them, N.
    pub least_n: Option<f64>,
    /// The lower limit, N; none where so few, or such, tests give none. Below nought where they support nothing.
    pub limit_n: Option<f64>,
    /// The share of lines above that limit.
    pub share: f64,
    /// How often such a limit is right.
    pub confidence: f64,
    /// What the part is to hold: the claim, or its maker's rating times the factor that its maker states, N.
    pub required_n: f64,
    /// What that means.
    pub says: String,
}

/// Reads which series show something of a makeup.
pub(crate) fn proved_by(t: &Table<'_>) -> Vec<ProvedBy> {
    let list = t.list("proved_by");
    let each = list.iter().filter_map(|item| {
        let t = item.table()?;
        Some(ProvedBy {
            series: t.text("series")?,
            kind: t.text("kind"),
        })
    });
    each.collect()
}

/// Lists the series of pull tests that a rig names, by path, each once. Of a text with mistakes those that can be read.
#[must_use]
pub fn series_named(text: &str) -> Vec<String> {
    // Nothing else of the rig is of use yet.
    let named = |t: &Table<'_>| -> IndexSet<String> {
        let makeups = t.names("makeups");
        let tables = makeups.iter().filter_map(|(_, makeup)| makeup.table());
        let all = tables.flat_map(|t| proved_by(&t));
        all.map(|named| named.series.value).collect()
    };
    document::read(text, &RIG, named).value.into_iter().collect()
}

/// Finds what the series show that a makeup names; what is wrong is added to the problems.
pub(crate) fn evidence(
    made_up: &MadeUp,
    makeup: &Makeup,
    book: &Book,
    problems: &mut Vec<Problem>,
) -> Vec<Evidence> {
    let each = made_up.proved_by.iter().filter_map(|named| {
        let shown = shown(named, makeup, book);
        shown.map_err(|problem| problems.push(problem)).ok()
    });
    each.collect()
}

fn shown(named: &ProvedBy, makeup: &Makeup, book: &Book) -> Result<Evidence, Problem> {
    let path = &named.series;
    let problem = |says: String| Problem::new(path.at.clone(), says);
    let kinds = match book.series(&path.value) {
        None => return Err(problem(format!("the series `{}` was not opened", path.value))),
        Some(Err(why)) => {
            return Err(problem(format!(
                "the series `{}` can not be used: {why}",
                path.value
            )));
        }
        Some(Ok(kinds)) => kinds,
    };
    let names = || kinds.keys().map(String::as_str);
    let evidence = match &named.kind {
        Some(kind) => kinds.get(&kind.value).ok_or_else(|| {
            let says = format!("`{}` has no kind `{}` with a claim", path.value, kind.value);
            Problem::new(kind.at.clone(), says).nearest(&kind.value, names())
        })?,
        None if kinds.len() == 1 => &kinds[0],
        None => {
            let says = format!("`{}` has {} kinds with a claim", path.value, kinds.len());
            return Err(match kinds.first() {
                Some((first, _)) => {
                    problem(says).instead(format!("say which one, as in `kind = \"{first}\"`"))
                }
                None => problem(says).instead("write a `claim` into the series, or name none"),
            });
        }
    };
    let at = named.kind.as_ref().unwrap_or(path);
    is_of(evidence, makeup, at)?;
    Ok(evidence.clone())
}

/// Refuses tests of another part, or on another rope.
fn is_of(evidence: &Evidence, makeup: &Makeup, at: &Placed<String>) -> Result<(), Problem> {
    let refuse = |says: String| {
        let problem = Problem::new(at.at.clone(), says);
        Err(problem.instead(
            "tests tell of lines that are made up alike: the same part on the same rope, in the same way",
        ))
    };
    if makeup.pieces.iter().all(|piece| piece.part.id != evidence.part) {
        return refuse(format!(
            "the series tested `{}`, which is not in makeup `{}`",
            evidence.part, makeup.name
        ));
    }
    let mut tested = makeup
        .pieces
        .iter()
        .filter(|piece| piece.part.id == evidence.part);
    let differs = tested.find_map(|piece| piece.made.differs_from(&evidence.made));
    if let Some(differs) = differs {
        return refuse(format!(
            "the series tested `{}` made up otherwise than in makeup `{}`: {differs}",
            evidence.part, makeup.name
        ));
    }
    match makeup.rope() {
        Some((rope, _)) if rope.id != evidence.rope => refuse(format!(
            "the series tested `{}` on `{}`, and the rope of makeup `{}` is `{}`",
            evidence.part, evidence.rope, makeup.name, rope.id
        )),
        _ => Ok(()),
    }
}

/// Says what tests show of a makeup.
pub(crate) fn told(makeup: &Makeup) -> Vec<PullTests> {
    let each = makeup.evidence.iter().map(|evidence| {
        let [share, confidence] = evidence.level;
        PullTests {
            makeup: makeup.name.clone(),
            series: evidence.series.clone(),
            invented: evidence.invented,
            part: evidence.part.clone(),
            rope: evidence.rope.clone(),
            failed: evidence.count,
            least_n: evidence.least_n(),
            limit_n: evidence.limit_n.as_ref().map(working::Number::value),
            share,
            confidence,
            required_n: evidence.required_n.value(),
            says: says(evidence),
        }
    });
    each.collect()
}

fn says(evidence: &Evidence) -> String {
    let force = |force_n: f64| Kind::Force.print(force_n, Style::both());
    let [share, confidence] = evidence.level.map(share_in_words);
    let failed = match (evidence.count, evidence.least_n()) {
        (0, _) | (_, None) => "none failed".to_string(),
        (count, Some(least_n)) => format!("{count} failed, the least at {}", force(least_n)),
    };
    let held = match evidence.held {
        0 => String::new(),
        held => format!(", {held} did not fail and held what it is to hold"),
    };
    let limit = match &evidence.limit_n {
        None => "so few give no lower limit".to_string(),
        Some(limit_n) => format!(
            "lower limit for {share} of such lines, with a confidence of {confidence}: {}",
            match limit_n.value() {
                limit_n if limit_n > 0.0 => force(limit_n),
                _ => "none above nought".to_string(),
            }
        ),
    };
    let (required_n, factor) = (evidence.required_n.value(), evidence.design_factor.value());
    let held_against = format!(
        "it is to hold {}, {} times {} ({})",
        force(required_n),
        Kind::Number.print(factor, Style::both()),
        force(required_n / factor),
        evidence.from
    );
    let means = match evidence.bears() {
        Bears::Out => "the tests bear that out",
        Bears::NotShown => "these tests do not show that",
        Bears::Against => "the tests speak against it",
    };
    let doubts = match evidence.doubts.len() {
        0 => String::new(),
        1 => "; there is a doubt about them".to_string(),
        many => format!("; there are {many} doubts about them"),
    };
    let invented = if evidence.invented {
        " (invented: nothing was pulled)"
    } else {
        ""
    };
    format!(
        "`{}` on `{}` in \"{}\"{invented}: {failed}{held}; {limit}; {held_against}: {means}{doubts}",
        evidence.part, evidence.rope, evidence.series
    )
}
