//! What a series of pull tests supports, as plain data.

use crate::log::LogAnswer;
use indexmap::IndexMap;
use practice::Finding;
use schemars::JsonSchema;
use serde::Serialize;
use working::{Number, Record};

/// What a series supports.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SeriesAnswer {
    /// The version of the program.
    pub plimsoll: String,
    /// The title of the series.
    pub series: String,
    /// Whether nothing was pulled: it is made up for a demonstration.
    pub invented: bool,
    /// Who, when, where and with what, as it is written.
    pub about: Vec<String>,
    /// The share of all such lines that limits are for.
    pub share: f64,
    /// How often such limits are right.
    pub confidence: f64,
    /// What was tested, by name.
    pub kinds: IndexMap<String, KindAnswer>,
    /// The first kind against the second; none where there is one alone.
    pub comparison: Option<Comparison>,
    /// What is found against the claims, stops first.
    pub findings: Vec<Finding>,
    /// What the tests say nothing of, and what is missing in the document.
    pub remarks: Vec<String>,
    /// What was assumed because nobody said.
    pub defaults: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// What the tests of one kind support.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct KindAnswer {
    /// The parts, from end to end.
    pub parts: Vec<String>,
    /// The part on trial.
    pub tests: String,
    /// The published breaking force of the rope, N.
    pub breaking_n: Option<f64>,
    /// The claim; none where there is none.
    pub claim: Option<ClaimAnswer>,
    /// The specimens, in order.
    pub specimens: IndexMap<String, SpecimenAnswer>,
    /// Specimens that failed and count.
    pub failed: usize,
    /// Specimens that held at least what they got, and count.
    pub stopped: usize,
    /// Specimens set aside.
    pub set_aside: usize,
    /// Mean and scatter of those that failed; none without any.
    pub summary: Option<SummaryAnswer>,
    /// The same with the set-aside ones that failed; none where there are none.
    pub summary_with_set_aside: Option<SummaryAnswer>,
    /// The lower limit with them, of values that scatter normally, N; none where there are none, or too few.
    pub limit_with_set_aside_n: Option<f64>,
    /// How far the cell may be off, as a share; taken off every limit. None where that is not known.
    pub cell_uncertainty: Option<f64>,
    /// How far its zero may be off, N; taken off every limit.
    pub zero_uncertainty_n: f64,
    /// Lower limits.
    pub limits: Vec<LimitAnswer>,
    /// What a Weibull distribution makes of failed and stopped ones; none where it does not fit, or fewer than three strengths differ.
    pub weibull: Option<WeibullAnswer>,
    /// The value that is furthest from the mean; none for fewer than three.
    pub furthest: Option<Furthest>,
    /// By failure mode.
    pub modes: Vec<ModeAnswer>,
    /// The share of the published breaking force that is left.
    pub efficiency: Option<Efficiency>,
    /// What is said about the claim.
    pub supported: Supported,
    /// The confidence that the tests reach for the share and the claim; none where so few give none.
    pub confidence_reached: Option<f64>,
    /// The share of lines that hold the claim, by how many held it for sure alone, at the confidence.
    pub share_that_held: Option<f64>,
    /// The largest working load that the lower limit carries at the design factor, N.
    pub largest_working_load_n: Option<f64>,
    /// How many specimens in all would do if mean and scatter stay as they are; none where none would, or that is not known.
    pub specimens_needed: Option<usize>,
    /// How many must hold the claim, and none fail below it, where nothing is assumed of how strengths scatter; none where it is more than ten thousand.
    pub all_must_hold: Option<u64>,
    /// What does not go together in what is told of all of them; what does not in what is told of one stands there.
    pub doubts: Vec<String>,
    /// What this number of tests means, in plain words.
    pub judgement: String,
    /// Derivations, by name; only if asked for.
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub working: IndexMap<String, Record>,
    /// The numbers behind them.
    #[serde(skip)]
    #[schemars(skip)]
    pub numbers: IndexMap<String, Number>,
}

/// The claim that is examined.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ClaimAnswer {
    /// The working load, N.
    pub working_load_n: f64,
    /// The design factor.
    pub design_factor: f64,
    /// Their product, N.
    pub required_n: f64,
    /// Where they come from.
    pub from: String,
}

/// One specimen.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SpecimenAnswer {
    /// What counts as its strength, N: the first break where there is one below the peak.
    pub strength_n: f64,
    /// How far that may be off, N, the cell's share in it.
    pub uncertainty_n: Option<f64>,
    /// What of that the zero of its cell may be off by, N, in all such logs alike.
    pub zero_n: f64,
    /// The greatest force, N.
    pub peak_n: f64,
    /// The force at the first break, N.
    pub first_break_n: Option<f64>,
    /// The least force at which the rope slipped, N, by its log; none where it does not tell of any.
    pub slipped_n: Option<f64>,
    /// Whether it held at least that, and did not fail.
    pub is_at_least: bool,
    /// Whether only its log says that it did not fail: nobody saw it.
    pub is_unsure: bool,
    /// How it failed, as it was seen; else as its log tells.
    pub mode: String,
    /// How that is known: `seen` or `log`; empty where it is not.
    pub mode_from: String,
    /// Why it is set aside; none where it counts.
    pub set_aside: Option<String>,
    /// Why it failed under the claim.
    pub explained: Option<String>,
    /// What does not go together in what is told of it.
    pub doubts: Vec<String>,
    /// Whether its strength itself is one of two things of which one is wrong.
    pub contradicts: bool,
    /// What is out of service after it, and why.
    pub out_of_service: Vec<String>,
    /// Photographs.
    pub photographs: Vec<String>,
    /// Anything else.
    pub notes: Option<String>,
    /// What its log shows; none where its peak was typed.
    pub log: Option<LogAnswer>,
}

impl SpecimenAnswer {
    /// Tells whether it failed and counts.
    #[must_use]
    pub fn is_failure(&self) -> bool {
        self.set_aside.is_none() && !self.is_at_least
    }

    /// Tells whether it counts, and nobody saw that it did not fail: a rope that is pulled out slowly looks the same in a log.
    #[must_use]
    pub fn leaves_open(&self) -> bool {
        self.set_aside.is_none() && self.is_unsure
    }
}

/// Mean and scatter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SummaryAnswer {
    /// How many.
    pub n: usize,
    /// Their mean, N.
    pub mean_n: f64,
    /// Between which the true mean lies, N, at the confidence.
    pub mean_interval_n: Option<[f64; 2]>,
    /// Their standard deviation, N; none for a single one.
    pub sd_n: Option<f64>,
    /// Between which the true one lies, N, at the confidence.
    pub sd_interval_n: Option<[f64; 2]>,
    /// Standard deviation over mean.
    pub cv: Option<f64>,
    /// The least, N.
    pub least_n: f64,
    /// The greatest, N.
    pub greatest_n: f64,
}

/// A lower limit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LimitAnswer {
    /// By which method: `normal`, `weibull` or `any shape`.
    pub method: String,
    /// Of how many tests; without a shape those count that were stopped and held what is claimed for sure.
    pub of: usize,
    /// The limit, N; below nought where so few tests support nothing.
    pub limit_n: f64,
    /// By how many standard deviations it is below the mean.
    pub factor: Option<f64>,
    /// The same limit over the published breaking force.
    pub efficiency: Option<f64>,
}

/// A fitted Weibull distribution.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct WeibullAnswer {
    /// Its shape.
    pub shape: f64,
    /// Its scale, N.
    pub scale_n: f64,
    /// The force that the share passes if the fit were exact, N: no limit, and too kind for few tests.
    pub fitted_n: f64,
}

/// The value that is furthest from the mean.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Furthest {
    /// Which specimen.
    pub specimen: String,
    /// How many standard deviations from the mean.
    pub g: f64,
    /// What chance alone passes once in twenty times (Grubbs, both sides).
    pub critical: f64,
    /// What that means.
    pub says: String,
}

/// What failed in one way.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ModeAnswer {
    /// The way.
    pub mode: String,
    /// How many.
    pub n: usize,
    /// Their mean, N.
    pub mean_n: f64,
    /// Their standard deviation, N.
    pub sd_n: Option<f64>,
}

/// The share of a rope's strength that is left.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Efficiency {
    /// Mean over the published breaking force.
    pub mean: f64,
    /// The least over it.
    pub least: f64,
    /// Mean over what the rope itself broke at; none where that is not known.
    pub of_own: Option<f64>,
}

/// What is said about a claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Supported {
    /// There is no claim.
    #[serde(rename = "no claim")]
    NoClaim,
    /// The lower limit is no less than what is claimed, and nothing failed below.
    Yes,
    /// It is less: the tests do not show it.
    #[serde(rename = "not shown")]
    NotShown,
    /// Something failed below what is claimed.
    No,
}

/// One kind against another.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// The kinds.
    pub kinds: [String; 2],
    /// Difference of the means, N.
    pub difference_n: f64,
    /// Between which the true one lies, N, at the confidence.
    pub interval_n: Option<[f64; 2]>,
    /// Welch's t.
    pub t: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// How often chance alone does as much.
    pub p: f64,
    /// The same by ranks; none where there are too many.
    pub rank_p: Option<f64>,
    /// The least that so few can give by ranks.
    pub least_rank_p: Option<f64>,
    /// Ratio of the means, and between which the true one lies.
    pub ratio: Option<(f64, [f64; 2])>,
    /// What that means, in plain words.
    pub says: String,
}
