//! What `spread` answers, as plain data in SI units with the unit in the key's name.

use super::causes::Causes;
use super::chance::Chance;
use super::inputs::Group;
use super::percentiles::Spreading;
use crate::verdict::VerdictWord;
use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Serialize;

/// What tolerances and uncertainties do to a rig.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SpreadAnswer {
    /// The version of the program.
    pub plimsoll: String,
    /// The title of the rig.
    pub rig: String,
    /// The practice in force.
    pub practice: String,
    /// The verdict of `check` on the plain rig, in one word.
    pub verdict: VerdictWord,
    /// What decides that verdict, in a sentence.
    pub decides: String,
    /// Why nothing was sampled; empty if samples were solved.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why_not: String,
    /// The cases and stages of the rig, none of which is in the samples.
    pub without_cases: Vec<String>,
    /// The seed: the same seed gives the same samples.
    pub seed: u64,
    /// What points without a stated give were taken to give, metres per newton; none if they do not give.
    pub points_give_m_per_n: Option<f64>,
    /// How many samples there are, and how they came out.
    pub samples: SampleCount,
    /// What was off in the samples, and by how much.
    pub inputs: Vec<InputSpread>,
    /// The lines, by name.
    pub lines: IndexMap<String, LineSpread>,
    /// The chance that some line or other passes its working load; none where that can be told of none.
    pub any_over_working_load: Option<Chance>,
    /// The chance that some line or other is slack that is not slack as stated.
    pub any_slack: Option<Chance>,
    /// The points, by name.
    pub points: IndexMap<String, PointSpread>,
    /// The loads, by name.
    pub loads: IndexMap<String, LoadSpread>,
    /// What matters for all lines together; none with few samples.
    pub causes: Option<Causes>,
    /// How far these numbers can be trusted, in sentences.
    pub trust: Vec<String>,
    /// What was assumed because nobody said.
    pub defaults: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// How many samples there are, and how they came out.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SampleCount {
    /// So many were asked for.
    pub asked: u64,
    /// So many were drawn; fewer than asked for if the run was ended early.
    pub drawn: u64,
    /// So many hang; all that is said below is of these.
    pub hang: u64,
    /// In so many of these the search came to a balance that would roll over, and found another.
    pub hang_elsewhere: u64,
    /// In so many something falls.
    pub fall: u64,
    /// In so many a line runs until it jams.
    pub jam: u64,
    /// In so many no rest was found.
    pub no_rest: u64,
    /// The chance that a sample does not hang.
    pub does_not_hang: Chance,
}

/// Something that was off in the samples.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct InputSpread {
    /// What kind of thing it is.
    pub group: Group,
    /// Whose it is, as a path into the rig document.
    pub of: String,
    /// What it is, in words.
    pub says: String,
    /// How it is spread.
    pub law: InputLaw,
    /// The bound of an even law; two standard deviations of a normal one. In metres where it ends in `_m`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_m: Option<f64>,
    /// As `by_m`, as a fraction of what is stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_share: Option<f64>,
    /// Whether nobody said so.
    pub assumed: bool,
}

/// How something is spread around what is stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum InputLaw {
    /// As likely anywhere within its bound.
    Even,
    /// Normal.
    Normal,
}

/// What comes to a line.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LineSpread {
    /// The greatest tension along it, newtons.
    pub tension_n: Spreading,
    /// Whether it is slack as stated, as secondary lines are meant to be.
    pub slack_as_stated: bool,
    /// The chance that it is slack.
    pub slack: Chance,
    /// What it may carry under the practice, newtons; none if it has no working load.
    pub working_load_n: Option<f64>,
    /// The factor on its tension because its loads move; none if one is due and not stated.
    pub dynamic: Option<f64>,
    /// The chance that its tension, with that factor, is more than its working load.
    pub over_working_load: Option<Chance>,
    /// The greatest share by exact lengths that `check` finds, newtons; none where that is no more than the tension.
    pub worst_share_n: Option<f64>,
    /// Whether that is with lengths off by no more than their tolerances; else they may be off by anything.
    pub within_tolerances: bool,
    /// The chance that its tension is more than that.
    pub over_worst_share: Option<Chance>,
    /// Whether its tension is set by adjustment alone, so that nothing bounds it.
    pub set_by_adjustment: bool,
    /// What the rule of thumb counts on that credits two legs only; none where it does not apply.
    pub two_legs: Option<TwoLegs>,
    /// What its tension hangs on; none with few samples, or where it never changes.
    pub causes: Option<Causes>,
}

/// The rule of thumb that of three legs or more two carry everything.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TwoLegs {
    /// The load or junction, as a path into the rig document.
    pub of: String,
    /// How many lines pull up on it.
    pub legs: usize,
    /// What the line carries if half of everything is on it, newtons.
    pub share_n: f64,
    /// The chance that its tension is more than that.
    pub over: Chance,
}

/// What comes to a point.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PointSpread {
    /// The force down on the building, newtons; negative where it is pulled up.
    pub down_n: Spreading,
    /// The force sideways on the building, newtons.
    pub side_n: Spreading,
    /// What the building allows down, newtons.
    pub allowed_down_n: Option<f64>,
    /// What the building allows sideways, newtons.
    pub allowed_side_n: Option<f64>,
    /// The factor on its force because the loads move; none if one is due and not stated.
    pub dynamic: Option<f64>,
    /// The chance that its force, with that factor, is more than what is allowed down or sideways, or is up; none where it is
    /// up as stated, which no allowance is for.
    pub over_allowed: Option<Chance>,
}

/// Where a load comes to hang.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LoadSpread {
    /// Height of its own origin above z = 0, of a pipe that of its middle, metres.
    pub height_m: Spreading,
    /// Angle of its own z axis to the vertical, or of a pipe to the horizontal, degrees.
    pub tilt_deg: Spreading,
    /// How much higher one of its picks is than another, at the most, beyond what they are in its own axes, metres.
    pub out_of_level_m: Spreading,
}
