//! The verdict as plain data: what `check` answers, in SI units with the unit in the key's name.

use crate::cases::{CaseVerdict, InCase};
use crate::pipes::PipeVerdict;
use crate::pull_tests::PullTests;
use indexmap::IndexMap;
use practice::{Finding, Severity};
use schemars::JsonSchema;
use serde::Serialize;
use working::{Number, Record};

/// The verdict in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum VerdictWord {
    /// No rule is broken.
    Fit,
    /// A person's judgement is needed before anything hangs.
    Caution,
    /// It must not hang like this.
    Stop,
}

impl VerdictWord {
    /// Gives the verdict that findings come to: the word of the one that weighs most.
    pub fn of(findings: &[Finding]) -> Self {
        match findings.iter().map(|finding| finding.severity).max() {
            Some(Severity::Stop) => VerdictWord::Stop,
            Some(Severity::Caution) => VerdictWord::Caution,
            Some(Severity::Note) | None => VerdictWord::Fit,
        }
    }
}

/// What `check` answers about one rig.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Verdict {
    /// The version of the program.
    pub plimsoll: String,
    /// The title of the rig.
    pub rig: String,
    /// The practice in force.
    pub practice: String,
    /// The verdict in one word.
    pub verdict: VerdictWord,
    /// What decides it, in a sentence.
    pub decides: String,
    /// Whether and how it hangs.
    pub equilibrium: Equilibrium,
    /// The loads, by name.
    pub loads: IndexMap<String, LoadVerdict>,
    /// The junctions, by name.
    pub junctions: IndexMap<String, JunctionVerdict>,
    /// The points, by name.
    pub points: IndexMap<String, PointVerdict>,
    /// The groups of points on one beam, by name.
    pub groups: IndexMap<String, GroupVerdict>,
    /// The pipes among the loads, by name: how they bend.
    pub pipes: IndexMap<String, PipeVerdict>,
    /// The lines, by name.
    pub lines: IndexMap<String, LineVerdict>,
    /// What series of pull tests show of the makeups, beside the makers' ratings.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pull_tests: Vec<PullTests>,
    /// What the rules found, stops first.
    pub findings: Vec<Finding>,
    /// What was assumed because nobody said.
    pub defaults: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
    /// Each case and stage by itself, the rig as stated first as `plain`; only for rigs that have cases or stages. What
    /// stands above is then of the case of the greatest use, which it names; the loads above are those of `plain`.
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub cases: IndexMap<String, CaseVerdict>,
    /// The derivation of every number, by its path; only if asked for.
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub working: IndexMap<String, Record>,
    /// The numbers themselves, for those who unfold them.
    #[serde(skip)]
    #[schemars(skip)]
    pub numbers: IndexMap<String, Number>,
}

/// Whether and how a rig hangs.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
pub struct Equilibrium {
    /// Whether it hangs.
    pub found: bool,
    /// Whether it comes back when it is pushed; motions that nothing resists are listed apart.
    pub stable: bool,
    /// Why it does not hang; empty if it does.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why_not: String,
    /// The greatest force left unbalanced on any load or junction, newtons.
    pub residual_n: Option<f64>,
    /// What residual was accepted, newtons.
    pub allowed_residual_n: Option<f64>,
    /// Steps that the search took.
    pub iterations: u32,
    /// How loads and junctions may turn or swing freely.
    pub free_motions: Vec<String>,
    /// The loads that balance as drawn but would roll over.
    pub unstable_as_drawn: Vec<String>,
    /// Whether the search came to an unstable balance and left it.
    pub left_unstable: bool,
}

/// Where a load ends up.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LoadVerdict {
    /// Weight with all items and margin, newtons.
    pub weight_n: f64,
    /// Place of its own origin, metres; of a pipe that of its middle.
    pub at_m: Option<[f64; 3]>,
    /// Turns its own axes to the axes of the building; w is not negative.
    pub quaternion_wxyz: Option<[f64; 4]>,
    /// Angle of its own z axis to the vertical, or of a pipe to the horizontal, degrees.
    pub tilt_deg: Option<f64>,
    /// How far its origin is from its trim, metres.
    pub from_trim_m: Option<f64>,
    /// How far it is turned from its trim, tilt and heading together, degrees.
    pub turned_deg: Option<f64>,
    /// Its picks, by name.
    pub picks: IndexMap<String, PickVerdict>,
}

/// Where a pick ends up.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PickVerdict {
    /// Place, metres.
    pub at_m: Option<[f64; 3]>,
}

/// Where a junction ends up.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct JunctionVerdict {
    /// Place, metres.
    pub at_m: Option<[f64; 3]>,
    /// What its part may carry, newtons.
    pub working_load_n: Option<f64>,
    /// What its part is held against, newtons.
    pub demand_n: Option<f64>,
    /// Demand over working load.
    #[serde(rename = "use")]
    pub utilisation: Option<f64>,
    /// The case in which it is so, that of the greatest use; none for the plain rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
}

/// What a point of the building gets.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PointVerdict {
    /// The force that the rig puts on the building, newtons.
    pub force_n: Option<[f64; 3]>,
    /// The force down, newtons.
    pub down_n: Option<f64>,
    /// The force sideways, newtons.
    pub side_n: Option<f64>,
    /// The force down that the building's allowance is held against: whatever the exact lengths, and with the dynamic
    /// factor, newtons.
    pub demand_down_n: Option<f64>,
    /// As `demand_down_n`, up; none where nothing pulls it up.
    pub demand_up_n: Option<f64>,
    /// As `demand_down_n`, sideways.
    pub demand_side_n: Option<f64>,
    /// What the building allows down, newtons.
    pub allowed_down_n: Option<f64>,
    /// What the building allows sideways, newtons.
    pub allowed_side_n: Option<f64>,
    /// What its part is held against, newtons.
    pub demand_n: Option<f64>,
    /// What its part may carry at this angle, newtons.
    pub working_load_n: Option<f64>,
    /// The greatest of these demands over what is allowed or may be carried.
    #[serde(rename = "use")]
    pub utilisation: Option<f64>,
    /// Which of them that is, in words.
    pub governs: Option<String>,
    /// The case in which it is so, that of the greatest use; none for the plain rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
}

/// What the points on one beam bring to it together.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct GroupVerdict {
    /// The force down that the beam's allowance is held against, newtons.
    pub demand_down_n: Option<f64>,
    /// As `demand_down_n`, up; none where nothing pulls it up.
    pub demand_up_n: Option<f64>,
    /// As `demand_down_n`, sideways.
    pub demand_side_n: Option<f64>,
    /// What the beam allows down, newtons.
    pub allowed_down_n: Option<f64>,
    /// What the beam allows sideways, newtons.
    pub allowed_side_n: Option<f64>,
    /// The greater of the demands over what is allowed.
    #[serde(rename = "use")]
    pub utilisation: Option<f64>,
    /// The case in which it is so, that of the greatest use; none for the plain rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
}

/// What a line carries and may carry.
#[expect(clippy::struct_excessive_bools, reason = "facts that do not hang together")]
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LineVerdict {
    /// The greatest tension along it, newtons.
    pub tension_n: Option<f64>,
    /// The tension at its upper end as written (`from`), newtons.
    pub tension_from_n: Option<f64>,
    /// The tension at its lower end as written (`to`), newtons.
    pub tension_to_n: Option<f64>,
    /// Whether it is slack.
    pub slack: bool,
    /// How far it hangs below straight, measured upright, where that matters to its tension, metres.
    pub sag_m: Option<f64>,
    /// Distance along its path, metres.
    pub length_m: Option<f64>,
    /// Its unloaded length in the plain rig, bearing to bearing, metres: what it is made to.
    pub unloaded_length_m: f64,
    /// Whether that was found to put everything at its trim.
    pub to_trim: bool,
    /// How much of it is rope, metres; none where the length of some of its hardware is not known.
    pub rope_length_m: Option<f64>,
    /// By how much the rope may become longer for good when it is first loaded, metres; none where nothing is published.
    pub settles_m: Option<f64>,
    /// The least tension at an end of it and the greatest along it, as it slips over sheaves with friction one way and the other,
    /// newtons; none where it runs over none.
    pub slip_range_n: Option<[f64; 2]>,
    /// Least angle from the horizontal, degrees.
    pub from_horizontal_deg: f64,
    /// The greatest tension that inexact lengths, slack secondary lines and absent helping forces can bring, newtons;
    /// none where that is no more than the tension.
    pub worst_share_n: Option<f64>,
    /// Whether its tension is set by adjustment alone, so that nothing bounds it.
    pub set_by_adjustment: bool,
    /// Whether the worst share is with lengths off by no more than their tolerances; else they may be off by anything.
    pub within_tolerances: bool,
    /// What it is held against under the practice, newtons.
    pub demand_n: Option<f64>,
    /// What it may carry under the practice, newtons.
    pub working_load_n: Option<f64>,
    /// The least maker's rating among its parts, newtons.
    pub rating_n: Option<f64>,
    /// The part that decides its working load.
    pub governing_part: Option<String>,
    /// Demand over working load.
    #[serde(rename = "use")]
    pub utilisation: Option<f64>,
    /// The case in which it is so, that of the greatest use; none for the plain rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
}

macro_rules! in_case {
    ($($of:ident),*) => {
        $(impl InCase for $of {
            fn case(&mut self) -> &mut Option<String> {
                &mut self.case
            }
        })*
    };
}

in_case!(
    LineVerdict,
    PipeVerdict,
    PointVerdict,
    GroupVerdict,
    JunctionVerdict
);
