//! What do tolerances and uncertainties do to this rig?

use crate::check::{CheckFailure, Text, failure};
use crate::shelf::Shelf;
use quantity::Kind;
use rig::{SpreadAnswer, SpreadQuestion};

/// How the question is asked.
#[derive(Debug, Clone, Copy)]
pub struct SpreadAsk<'a> {
    /// The day on which it is asked, as in `2026-03-14`.
    pub today: Option<&'a str>,
    /// How many samples, at most [`rig::MOST_SAMPLES`].
    pub samples: u32,
    /// The seed.
    pub seed: u64,
    /// What points without a stated give are taken to give, as in `1 mm/kN`; none if nothing.
    pub give: Option<&'a str>,
}

/// Why there is no answer.
#[derive(Debug, Clone, thiserror::Error)]
pub enum SpreadFailure {
    /// The give can not be read.
    #[error("--give: {0}")]
    Give(String),
    /// The rig can not be checked.
    #[error(transparent)]
    Check(#[from] CheckFailure),
}

/// Samples one rig. `goes_on` is told now and then how many samples are done, and says whether to go on.
pub fn spread(
    shelf: &Shelf,
    text: &Text<'_>,
    ask: &SpreadAsk<'_>,
    goes_on: &dyn Fn(usize) -> bool,
) -> Result<SpreadAnswer, SpreadFailure> {
    let question = SpreadQuestion {
        samples: ask.samples,
        seed: ask.seed,
        points_give_m_per_n: ask.give.map(give_m_per_n).transpose()?,
    };
    let answer = rig::spread(
        text.text,
        &shelf.book,
        &shelf.practices,
        ask.today,
        &question,
        goes_on,
    );
    Ok(answer.map_err(|error| failure(text, error))?)
}

fn give_m_per_n(text: &str) -> Result<f64, SpreadFailure> {
    match Kind::Compliance.parse_si(text) {
        Ok(gives) if rig::GIVES_M_PER_N.contains(&gives) => Ok(gives),
        Ok(gives) if gives > 0.0 => {
            let says = "a point that holds something up gives between `0.0001 mm/kN` and `1000 mm/kN`";
            Err(SpreadFailure::Give(says.into()))
        }
        Ok(_) => {
            let says = "what points give is more than zero, such as `1 mm/kN`; leave it out for points that do not give";
            Err(SpreadFailure::Give(says.into()))
        }
        Err(wrong) => Err(SpreadFailure::Give(wrong.to_string())),
    }
}
