//! What comes of a let-go as plain data, in SI units with the unit in the key's name.

use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Serialize;

/// What becomes of a rig when something lets go, from mild to grave.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    /// Everything hangs again, and nothing got more than its working load.
    Held,
    /// Everything hangs again, but something got more than its working load on the way.
    #[serde(rename = "past working load")]
    PastWorkingLoad,
    /// Something else got more than it breaks at, and let go as well.
    Cascade,
    /// It was not found what becomes of it.
    #[serde(rename = "not known")]
    NotKnown,
    /// A load is no longer held.
    Falls,
}

impl Outcome {
    /// Names it, as in a heading.
    pub fn words(self) -> &'static str {
        match self {
            Outcome::Held => "held",
            Outcome::PastWorkingLoad => "past working load",
            Outcome::Cascade => "cascade",
            Outcome::Falls => "falls",
            Outcome::NotKnown => "not known",
        }
    }
}

/// What `letgo` answers about one rig.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LetGoAnswer {
    /// The version of the program.
    pub plimsoll: String,
    /// The title of the rig.
    pub rig: String,
    /// The practice in force.
    pub practice: String,
    /// Why nothing was tried: the rig does not hang as it is. Empty if it does.
    pub why_not: String,
    /// For how long each motion was followed at the least, s.
    pub seconds: f64,
    /// The ratios of damping that were tried, to critical damping of the bounce of what hangs before anything lets go.
    pub damping_ratios: Vec<f64>,
    /// The stiffnesses that were tried, over those stated.
    pub stiffnesses: Vec<f64>,
    /// The ways that were tried, each with a ratio of damping and a stiffness of these; with all adjustable grips gone as well where that
    /// differs; and without stated forces, each alone and all, since they may be away.
    pub ways: Vec<LetGoWay>,
    /// The case with the gravest outcome, and of those alike the one that uses most of what it has.
    pub worst: Option<String>,
    /// The lines with adjustable grips that only set an angle or a height: without any of them and without all, everything stays held.
    pub positioning_only: Vec<String>,
    /// What lets go, each thing by itself.
    pub cases: Vec<LetGoCase>,
    /// Who may be below, by load: `nobody below`, `crew below`, `the public below`.
    pub under: IndexMap<String, String>,
    /// What was assumed because nobody said.
    pub defaults: Vec<String>,
    /// What the mechanics leave out here.
    pub simplified: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// A way in which lines may be.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LetGoWay {
    /// Ratio of damping to critical damping.
    pub damping_ratio: f64,
    /// Stiffness over that stated.
    pub stiffness: f64,
    /// The stated forces that are away, by name; none if all are there.
    pub away: Option<String>,
    /// Whether centres of gravity are a little off.
    pub off_centre: bool,
    /// Whether it is followed for longer than the others.
    pub longer: bool,
}

/// What becomes of a rig when one thing lets go.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LetGoCase {
    /// What lets go, as a path into the rig document.
    pub lets_go: String,
    /// Whether the figures are the least that comes: some way that may be worse was not found.
    pub is_least: bool,
    /// The parts of which any one may be what lets go, top to bottom.
    pub parts: Vec<String>,
    /// The case before it that is the same event; none if it is the first.
    pub alike: Option<String>,
    /// What becomes of the rig, at its worst.
    pub outcome: Outcome,
    /// The same in words.
    pub says: String,
    /// In which way it was at its worst, in words: with which damping and stiffness, and whether adjustable grips were gone as well.
    pub at_worst: String,
    /// What gets most of what it may carry at its peak, as a path into the rig document; none where nothing is rated or allowed.
    pub most_used: Option<String>,
    /// How much of it: 1 is all; none as above, or where nothing may be carried at all.
    pub use_at_peak: Option<f64>,
    /// The lines that remain, by name.
    pub lines: IndexMap<String, LetGoLine>,
    /// The loads, by name.
    pub loads: IndexMap<String, LetGoLoad>,
    /// The points, by name.
    pub points: IndexMap<String, LetGoPoint>,
    /// The junctions that have a working load, by name.
    pub junctions: IndexMap<String, LetGoJunction>,
    /// The points on one beam together, by name.
    pub groups: IndexMap<String, LetGoGroup>,
    /// The parts that clamp lines to pipes and have a working load, by pipe and pick, as in `batten.north`.
    pub clamps: IndexMap<String, LetGoClamp>,
    /// The pipes that are still held, by name.
    pub pipes: IndexMap<String, LetGoPipe>,
    /// What parts on the way at its worst, in order.
    pub parted: Vec<String>,
    /// The same with when.
    pub partings: Vec<Parting>,
    /// The loads that nothing holds any more.
    pub falls: Vec<String>,
    /// The loads that go further than their `may_move` says.
    pub too_far: Vec<String>,
    /// The loads that would meet the floor at z = 0, of which the motion knows nothing.
    pub lands: Vec<String>,
    /// What becomes of the rig while all other adjustable grips hold, where it is worst without them; none else.
    pub with_grips: Option<Outcome>,
    /// For how long the run that decides was followed, s: longer than the others where what pulls in the end had not pulled yet; none where
    /// nothing was followed.
    pub followed_s: Option<f64>,
    /// For how long the run that decides is proved, s: less than it was followed where motion is chaotic, so that two runs agree for so long
    /// only, and what comes later is one of many things that may come; none where nothing was followed.
    pub seconds: Option<f64>,
    /// The greatest error of the balance of energy of the run that decides, over the greatest energy of movement; none where nothing
    /// was followed.
    pub energy_drift: Option<f64>,
    /// The greatest difference of a peak from a run at a tenth of the tolerance, over the greatest peak; none as above.
    pub peaks_differ: Option<f64>,
}

impl LetGoCase {
    /// Gives for how long two runs agree where that is less than they were followed, s: then it is chaotic what comes later.
    #[must_use]
    pub fn agrees_for_less(&self) -> Option<f64> {
        self.seconds.filter(|seconds| {
            self.followed_s
                .is_some_and(|followed_s| *seconds < 0.999 * followed_s)
        })
    }
}

/// Something that parts on the way.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Parting {
    /// What, as a path into the rig document.
    pub what: String,
    /// When, s from the moment of letting go.
    pub at_s: f64,
    /// What it breaks at, N.
    pub breaking_n: f64,
}

/// What a line gets when something lets go.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LetGoLine {
    /// Its tension before, N.
    pub before_n: f64,
    /// Its greatest tension in any of the ways that were tried, N; the first instant counts.
    pub peak_n: f64,
    /// When that was, s.
    pub peak_at_s: f64,
    /// When it first pulls in the run that decides, s: 0 if it pulls from the start; none if it never does.
    pub pulls_from_s: Option<f64>,
    /// The least and the greatest of its peak in these ways, N.
    pub peak_range_n: [f64; 2],
    /// Peak over tension before; none if it was slack.
    pub ratio: Option<f64>,
    /// Its tension once everything hangs still again, at its worst; none if it then falls or has parted, N.
    pub after_n: Option<f64>,
    /// Whether it is slack then.
    pub slack: bool,
    /// What it may carry, N; none if it is unrated.
    pub working_load_n: Option<f64>,
    /// What it breaks at, N; none if that is not known.
    pub breaking_n: Option<f64>,
    /// Peak over working load.
    pub use_at_peak: Option<f64>,
}

/// Where a load goes when something lets go.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LetGoLoad {
    /// Whether nothing holds it any more; then nothing else is told.
    pub falls: bool,
    /// The greatest fall of its centre of mass, m.
    pub drop_m: Option<f64>,
    /// The greatest movement of its centre of mass in the plane, m.
    pub swing_m: Option<f64>,
    /// The greatest tilt on the way, degrees: of its own upright axis to the vertical; of a pipe to the horizontal.
    pub tilt_deg: Option<f64>,
    /// Where its origin then comes to rest, m.
    pub after_at_m: Option<[f64; 3]>,
    /// How it is tilted there, degrees.
    pub after_tilt_deg: Option<f64>,
    /// How far any known place of it goes from where it was, m.
    pub moves_m: Option<f64>,
    /// The least height of its centre of mass, m.
    pub lowest_centre_m: Option<f64>,
    /// The least height of any known place of it, m.
    pub lowest_m: Option<f64>,
    /// The room that its known places go through: the corner of least x, y and z, m.
    pub swept_least_m: Option<[f64; 3]>,
    /// The corner of greatest x, y and z, m.
    pub swept_most_m: Option<[f64; 3]>,
    /// What it needs clear beside where it hangs: how far its known places go beyond it toward -x, toward -y and down, m.
    pub clear_least_m: Option<[f64; 3]>,
    /// The same toward +x, toward +y and up, m.
    pub clear_most_m: Option<[f64; 3]>,
}

/// What a point of the building gets when something lets go.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LetGoPoint {
    /// The greatest size of the force on it, N.
    pub peak_n: f64,
    /// When that was, s.
    pub peak_at_s: f64,
    /// The greatest force down, N.
    pub down_n: f64,
    /// When that was, s.
    pub down_at_s: f64,
    /// The greatest force up, N; 0 if it is never pulled up.
    pub up_n: f64,
    /// When that was, s.
    pub up_at_s: f64,
    /// The greatest force sideways, N.
    pub side_n: f64,
    /// When that was, s.
    pub side_at_s: f64,
    /// The greatest of: force over the working load of its part; force down, and sideways, over what the building allows. None where none
    /// of these is known, or where nothing is allowed.
    pub use_at_peak: Option<f64>,
}

/// What a junction gets when something lets go.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LetGoJunction {
    /// The greatest pull of a line on it, N.
    pub peak_n: f64,
    /// When that was, s.
    pub peak_at_s: f64,
    /// What its part may carry, N.
    pub working_load_n: f64,
    /// Peak over working load; none where it may carry nothing.
    pub use_at_peak: Option<f64>,
}

/// What bends a pipe when something lets go, on the way or at rest in the end.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LetGoPipe {
    /// The greatest bending moment, N m.
    pub moment_n_m: f64,
    /// Where that is, m from its start.
    pub moment_at_m: f64,
    /// The greatest bending moment at rest in the end, in the same way, N m.
    pub moment_at_rest_n_m: f64,
    /// The greatest shear, N.
    pub shear_n: f64,
    /// Where that is, m from its start.
    pub shear_at_m: f64,
    /// The greatest shear at rest in the end, in the same way, N.
    pub shear_at_rest_n: f64,
    /// The greatest torque, N m; 0 where nothing twists it.
    pub torque_n_m: f64,
    /// Where that is, m from its start.
    pub torque_at_m: f64,
    /// The greatest torque at rest in the end, in the same way, N m.
    pub torque_at_rest_n_m: f64,
    /// Its splices and hinges, by name.
    pub splices: IndexMap<String, LetGoSplice>,
    /// The bending moment that it may carry, N m; none where nobody said.
    pub moment_allowed_n_m: Option<f64>,
    /// The shear that it may carry, N; none where nobody said.
    pub shear_allowed_n: Option<f64>,
    /// The greatest use of what it and its splices may carry; none where that is not known.
    pub use_at_peak: Option<f64>,
    /// Which of these that is, in words.
    pub governs: Option<String>,
}

/// What a part that clamps lines to a pipe gets when something lets go.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct LetGoClamp {
    /// The most that its lines bring to it together, N: the sum of their peaks, which need not come at one moment, as far as they pull
    /// the same way.
    pub peak_n: f64,
    /// When its line that is pulled hardest has its peak, s.
    pub peak_at_s: f64,
    /// What it may carry, N.
    pub working_load_n: f64,
    /// Peak over working load; none where it may carry nothing.
    pub use_at_peak: Option<f64>,
}

/// What a splice of a pipe gets when something lets go.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct LetGoSplice {
    /// The bending moment there, N m.
    pub moment_n_m: f64,
    /// The shear there, N.
    pub shear_n: f64,
}

/// What points on one beam get together when something lets go: the sums of the peaks of each, which need not come at one moment.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LetGoGroup {
    /// The most force down, N.
    pub down_n: f64,
    /// The most force up, N; 0 if none of them is ever pulled up.
    pub up_n: f64,
    /// The most force sideways, N.
    pub side_n: f64,
    /// The greater of force down, and sideways, over what the building allows; none where that is not known, or nothing is allowed.
    pub use_at_peak: Option<f64>,
}
