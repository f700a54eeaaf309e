//! Each case as plain data: what `check` answers of it, in SI units with the unit in the key's name.

use super::variable::{OnPlace, Parted, PartedEnd};
use crate::verdict::{Equilibrium, LineVerdict, LoadVerdict, Verdict, VerdictWord};
use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Serialize;
use working::Number;

/// What a case is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CaseKind {
    /// The rig as stated.
    Plain,
    /// A named load case.
    Case,
    /// A stage of raising or striking.
    Stage,
}

/// What `check` answers about one case.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CaseVerdict {
    /// What it is.
    pub kind: CaseKind,
    /// Its own verdict in one word.
    pub verdict: VerdictWord,
    /// What decides it, in a sentence.
    pub decides: String,
    /// Whether and how it hangs.
    pub equilibrium: Equilibrium,
    /// Where the loads are, by name; in a stage, those that hang.
    pub loads: IndexMap<String, LoadVerdict>,
    /// What the lines carry, by name; in a stage, those that are on.
    pub lines: IndexMap<String, CaseLine>,
    /// What the points get, unfactored, by name; empty if it does not hang.
    pub points: IndexMap<String, CaseOnBuilding>,
    /// What the points on one beam bring to it together, unfactored, by name; empty if it does not hang.
    pub groups: IndexMap<String, CaseOnBuilding>,
    /// What the building gets where pipes are built in, unfactored, by pipe and end.
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub built_in: IndexMap<String, CaseBuiltIn>,
}

/// What the building gets where a pipe is built in, in a case, without any factor.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CaseBuiltIn {
    /// The force.
    #[serde(flatten)]
    pub force: CaseOnBuilding,
    /// The size of the moment with no stated force, newton metres.
    pub dead_moment_nm: f64,
    /// The size of what the case brings to it besides, newton metres.
    pub variable_moment_nm: f64,
}

/// What a line carries in a case.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CaseLine {
    /// The greatest tension along it, newtons.
    pub tension_n: Option<f64>,
    /// Whether it is slack.
    pub slack: bool,
    /// Its unloaded length, metres.
    pub unloaded_length_m: f64,
    /// What it is held against under the practice, newtons.
    pub demand_n: Option<f64>,
    /// Demand over working load.
    #[serde(rename = "use")]
    pub utilisation: Option<f64>,
}

/// What a place of the building gets in a case, without any factor.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CaseOnBuilding {
    /// All of it.
    #[serde(flatten)]
    pub all: CaseForces,
    /// What hangs there with no stated force: in a stage, in that stage.
    pub dead: CaseForces,
    /// All that the case brings besides: stated forces, added weights, wind, heat.
    pub variable: CaseForces,
}

/// A force on the building.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct CaseForces {
    /// The force that the rig puts on the building, newtons.
    pub force_n: [f64; 3],
    /// The force down, newtons.
    pub down_n: f64,
    /// The force sideways, newtons.
    pub side_n: f64,
}

impl From<&LineVerdict> for CaseLine {
    fn from(line: &LineVerdict) -> Self {
        CaseLine {
            tension_n: line.tension_n,
            slack: line.slack,
            unloaded_length_m: line.unloaded_length_m,
            demand_n: line.demand_n,
            utilisation: line.utilisation,
        }
    }
}

impl From<&OnPlace> for CaseForces {
    fn from(on: &OnPlace) -> Self {
        CaseForces {
            force_n: on.force_n(),
            down_n: on.down_n.value(),
            side_n: on.side_n.value(),
        }
    }
}

impl From<&Parted> for CaseOnBuilding {
    fn from(parted: &Parted) -> Self {
        CaseOnBuilding {
            all: (&parted.all).into(),
            dead: (&parted.dead).into(),
            variable: (&parted.variable).into(),
        }
    }
}

impl From<&PartedEnd> for CaseBuiltIn {
    fn from(end: &PartedEnd) -> Self {
        CaseBuiltIn {
            force: (&end.force).into(),
            dead_moment_nm: end.dead_moment_n_m.value(),
            variable_moment_nm: end.variable_moment_n_m.value(),
        }
    }
}

/// What the points, the groups and the built-in ends of a case get.
#[derive(Debug, Default)]
pub(crate) struct OnBuilding {
    pub(crate) points: IndexMap<String, Parted>,
    pub(crate) groups: IndexMap<String, Parted>,
    pub(crate) built_in: IndexMap<String, PartedEnd>,
}

impl OnBuilding {
    /// Lists the numbers by their paths.
    pub(crate) fn numbers(&self) -> impl Iterator<Item = (String, &Number)> {
        let points = self
            .points
            .iter()
            .map(|(name, parted)| (format!("points.{name}"), parted));
        let groups = self
            .groups
            .iter()
            .map(|(name, parted)| (format!("groups.{name}"), parted));
        let ends = self.built_in.iter();
        let moments = ends.clone().flat_map(|(name, end)| {
            [
                (format!("pipes.{name}.dead_moment"), &end.dead_moment_n_m),
                (format!("pipes.{name}.variable_moment"), &end.variable_moment_n_m),
            ]
        });
        let ends = ends.map(|(name, end)| (format!("pipes.{name}"), &end.force));
        let all = points.chain(groups).chain(ends);
        let forces = all.flat_map(|(path, parted)| {
            [
                (format!("{path}.dead_down"), &parted.dead.down_n),
                (format!("{path}.dead_side"), &parted.dead.side_n),
                (format!("{path}.variable_down"), &parted.variable.down_n),
                (format!("{path}.variable_side"), &parted.variable.side_n),
            ]
        });
        forces.chain(moments)
    }
}

/// Tells a case by the verdict on it alone.
pub(crate) fn case_verdict(kind: CaseKind, alone: &Verdict, on: &OnBuilding) -> CaseVerdict {
    let places =
        |of: &IndexMap<String, Parted>| of.iter().map(|(name, on)| (name.clone(), on.into())).collect();
    CaseVerdict {
        kind,
        verdict: alone.verdict,
        decides: alone.decides.clone(),
        equilibrium: alone.equilibrium.clone(),
        loads: alone.loads.clone(),
        lines: alone
            .lines
            .iter()
            .map(|(name, line)| (name.clone(), line.into()))
            .collect(),
        points: places(&on.points),
        groups: places(&on.groups),
        built_in: on
            .built_in
            .iter()
            .map(|(name, end)| (name.clone(), end.into()))
            .collect(),
    }
}
