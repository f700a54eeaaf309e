//! The answer on how to set a rig right, as plain data in SI units with the unit in the key's name.

use crate::verdict::VerdictWord;
use indexmap::IndexMap;
use practice::Severity;
use schemars::JsonSchema;
use serde::Serialize;

/// What `trim` answers about one rig.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TrimAnswer {
    /// The version of the program.
    pub plimsoll: String,
    /// The title of the rig.
    pub rig: String,
    /// The practice in force.
    pub practice: String,
    /// The worst of what `check` says of the rig and of the remarks here.
    pub verdict: VerdictWord,
    /// What `check` says of the rig, in one word.
    pub check: VerdictWord,
    /// What decides that, in a sentence.
    pub check_decides: String,
    /// What is to be reached, in a sentence; none if no adjustment was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub goal: Option<String>,
    /// How each line can be adjusted, by name.
    pub adjusters: IndexMap<String, AdjusterAnswer>,
    /// The rig as it hangs before anything is adjusted: as stated, or as the readings have it. None if it does not hang.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub now: Option<RigNow>,
    /// What taking up one unit does, by the line that is made shorter.
    pub effects: IndexMap<String, EffectAnswer>,
    /// What the readings say of the rig; none without readings, or if nothing fits them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub estimate: Option<EstimateAnswer>,
    /// Which adjustments reach the goal, in the order in which to make them; none if none was asked for or found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan: Option<PlanAnswer>,
    /// What has to be known besides, stops first.
    pub remarks: Vec<Remark>,
    /// What was assumed because nobody said.
    pub defaults: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// Something that has to be known before anybody adjusts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Remark {
    /// How much it weighs.
    pub severity: Severity,
    /// What it is about, as a path into the rig document or `readings`.
    pub subject: String,
    /// What it is.
    pub says: String,
}

/// A value with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Figure {
    /// The value, in the unit that the key of the figure ends in.
    pub value: f64,
    /// Its standard uncertainty in the same unit, where readings were given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standard_uncertainty: Option<f64>,
}

/// How a line can be adjusted.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AdjusterAnswer {
    /// What adjusts it: `turnbuckle`, `grip`, `stated` (by the rig document alone) or `nothing`.
    pub by: String,
    /// The part, by id.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// One unit: a turn of a turnbuckle, else a step; the figures for a line that can not be adjusted are for a nominal one,
    /// metres.
    pub unit_m: f64,
    /// How far the ends of a turnbuckle move in one turn, metres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub per_turn_m: Option<f64>,
    /// How much is left to take up, metres; none where that is not known.
    pub left_to_take_up_m: Option<f64>,
    /// How much is left to let out, metres; none where that is not known.
    pub left_to_let_out_m: Option<f64>,
    /// Whether it may be set while its line carries.
    pub under_load: bool,
}

/// The rig in one state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RigNow {
    /// The lines, by name.
    pub lines: IndexMap<String, LineNow>,
    /// The loads, by name.
    pub loads: IndexMap<String, LoadNow>,
    /// The picks, as `load.pick`.
    pub picks: IndexMap<String, PickNow>,
}

/// A line in one state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LineNow {
    /// The tension at its upper end, newtons.
    pub tension_n: Figure,
    /// Whether it is slack.
    pub slack: bool,
    /// What it may carry under the practice, newtons.
    pub working_load_n: Option<f64>,
}

/// A load in one state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LoadNow {
    /// Height of its origin over z = 0, of a pipe that of its middle, metres.
    pub height_m: Figure,
    /// Angle of its own z axis to the vertical, or of a pipe to the horizontal, degrees.
    pub tilt_deg: f64,
}

/// A pick in one state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PickNow {
    /// Height over z = 0, metres.
    pub height_m: Figure,
    /// How much higher than with its load at trim, metres.
    pub over_trim_m: f64,
}

/// What taking up one unit of a line does.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EffectAnswer {
    /// How much shorter the line is made, metres.
    pub shorter_m: f64,
    /// Why nothing can be said; empty otherwise.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why_not: String,
    /// What it does to each line, by name.
    pub lines: IndexMap<String, LineEffect>,
    /// What it does to each load, by name.
    pub loads: IndexMap<String, LoadEffect>,
    /// By how much it lifts each pick, as `load.pick`, metres.
    pub picks_m: IndexMap<String, f64>,
}

/// What taking up one unit does to a line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct LineEffect {
    /// The tension then, newtons.
    pub tension_n: f64,
    /// By how much it is more than before, newtons.
    pub change_n: f64,
    /// The slope at the start, newtons for each metre that the line is made shorter.
    pub slope_n_per_m: f64,
    /// Whether it is slack then.
    pub slack: bool,
}

/// What taking up one unit does to a load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct LoadEffect {
    /// By how much its origin rises, metres.
    pub rises_m: f64,
    /// The slope of that at the start, metres for each metre that the line is made shorter.
    pub slope_m_per_m: f64,
    /// Its tilt then, degrees.
    pub tilt_deg: f64,
}

/// What readings say of a rig.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EstimateAnswer {
    /// The loads, by name.
    pub loads: IndexMap<String, WeightAnswer>,
    /// How much longer each line is than the rig document has it, by name, metres.
    pub longer_m: IndexMap<String, Figure>,
    /// The lines of which that is hardly better known than by their tolerances.
    pub lengths_not_told: Vec<String>,
    /// The readings, in the order of the document.
    pub readings: Vec<ReadingAnswer>,
    /// The weighted sum of squares of all residuals.
    pub chi_squared: f64,
    /// What more than that comes by chance once in a hundred.
    pub chi_squared_limit: Option<f64>,
    /// How many readings more than are needed there are; a share of one counts.
    pub redundancy: f64,
    /// Whether the readings agree with one another.
    pub agree: bool,
    /// The readings without any one of which the others agree; empty if all agree, or no single one explains it.
    pub suspects: Vec<String>,
    /// The reading that was left out of everything here, because without it alone the others agree.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left_out: Option<String>,
    /// What the readings do not tell.
    pub not_told: Vec<String>,
}

/// What readings say of the weight of a load.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WeightAnswer {
    /// Weight, newtons; none if the readings do not tell it, and it is then taken as stated.
    pub weight_n: Option<Figure>,
    /// Weight by the rig document, with all items and margin, newtons.
    pub stated_n: f64,
    /// Centre of gravity, own axes, metres; none along an axis that the readings do not tell.
    pub centre_m: [Option<Figure>; 3],
    /// Centre of gravity by the rig document, own axes, metres.
    pub stated_centre_m: [f64; 3],
}

/// What became of one reading.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadingAnswer {
    /// What was read.
    pub what: String,
    /// The unit of the figures here: `N` or `m`.
    pub unit: String,
    /// What was read.
    pub reads: f64,
    /// Its standard uncertainty, half of what is stated.
    pub standard_uncertainty: f64,
    /// What the rig fitted to all readings has there.
    pub fitted: f64,
    /// Residual over its own standard deviation; none where no other reading checks this one.
    pub normalised_residual: Option<f64>,
    /// How far the others check it: 0 not at all, 1 fully.
    pub redundancy: f64,
    /// The error that would be found four times out of five; none where no other reading checks this one.
    pub least_error_found: Option<f64>,
    /// What the others have there; only where readings do not agree.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_the_others: Option<Figure>,
}

/// Which adjustments reach the goal.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlanAnswer {
    /// Whether they reach it.
    pub reached: bool,
    /// What they reach: the greatest height of a pick off trim, metres.
    pub off_trim_m: f64,
    /// The standard uncertainty of that, metres; none where nothing was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub off_trim_uncertainty_m: Option<f64>,
    /// The greatest difference of a tension from what would be even, as a share of their mean; only for `--even`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uneven: Option<f64>,
    /// The steps, in the order in which to make them.
    pub steps: Vec<StepAnswer>,
    /// What to see to when all steps are made, in order.
    pub afterwards: Vec<String>,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StepAnswer {
    /// The line that is adjusted.
    pub line: String,
    /// How many units are taken up; let out if below zero.
    pub units: i32,
    /// How much shorter the line is made; longer if below zero, metres.
    pub shorter_m: f64,
    /// How many turns of its turnbuckle that is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turns: Option<f64>,
    /// What has to be done before, where its adjuster may not be set under load.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unload_first: Option<String>,
    /// What holds the rig meanwhile, should the line go slack.
    pub meanwhile: HoldsMeanwhile,
    /// The rig after the step.
    pub after: RigNow,
    /// The greatest use of a line or point on the way, with uncertainty.
    pub greatest_use: Option<Among>,
}

/// What is used most.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Among {
    /// A path into the rig document.
    pub subject: String,
    /// Which force of it: `tension`, `force down` or `force sideways`.
    pub what: String,
    /// Its force, with twice its standard uncertainty, over what it may carry.
    #[serde(rename = "use")]
    pub utilisation: f64,
}

/// What holds the rig should the line that is adjusted go slack.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HoldsMeanwhile {
    /// Whether the other lines hold it.
    pub holds: bool,
    /// Why not; empty if they do.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why_not: String,
    /// The other taut lines as the rig then hangs, with their tensions, newtons.
    pub lines_n: IndexMap<String, f64>,
}
