//! What was assumed because nobody said: listed with every verdict, alike assumptions together.

use indexmap::IndexMap;
use practice::WeightFrom;

/// How far a weight may be off where nobody says, by where it comes from.
const WEIGHED: f64 = 0.01;
const BY_MAKER: f64 = 0.03;
const ESTIMATED: f64 = 0.10;

/// Collects assumptions.
#[derive(Debug, Clone, Default)]
pub(crate) struct Defaults(IndexMap<String, Vec<String>>);

impl Defaults {
    /// Notes that `what` was assumed for `subject`.
    pub(crate) fn assume(&mut self, what: impl Into<String>, subject: impl Into<String>) {
        let subjects = self.0.entry(what.into()).or_default();
        let subject = subject.into();
        if !subjects.contains(&subject) {
            subjects.push(subject);
        }
    }

    /// Says what is assumed here and not in others.
    pub(crate) fn beyond(&self, others: &Defaults) -> Vec<String> {
        let mut own = Defaults::default();
        for (what, subjects) in &self.0 {
            let known = others.0.get(what);
            for subject in subjects {
                if known.is_none_or(|known| !known.contains(subject)) {
                    own.assume(what.clone(), subject.clone());
                }
            }
        }
        own.sentences()
    }

    /// Says each assumption in one sentence.
    pub(crate) fn sentences(&self) -> Vec<String> {
        self.0
            .iter()
            .map(
                |(what, subjects)| match subjects.iter().filter(|s| !s.is_empty()).count() {
                    0 => what.clone(),
                    _ => format!("{what}: {}", subjects.join(", ")),
                },
            )
            .collect()
    }
}

/// Gives how far a weight may be off where nobody says, as a share of it, and why.
pub(crate) fn usual_weight_spread(from: Option<WeightFrom>) -> (f64, &'static str) {
    match from {
        Some(WeightFrom::Weighed) => (
            WEIGHED,
            "weight 1 % either way, since it is weighed (our judgement)",
        ),
        Some(WeightFrom::Maker) => (
            BY_MAKER,
            "weight 3 % either way, since it is its maker's (our judgement)",
        ),
        Some(WeightFrom::Estimated) => (
            ESTIMATED,
            "weight 10 % either way, since it is estimated (our judgement)",
        ),
        None => (
            ESTIMATED,
            "weight 10 % either way, as of an estimate, since nobody said where it comes from (our judgement)",
        ),
    }
}
