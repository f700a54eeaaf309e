//! Each case as plain data: what `check` answers of it, in SI units with the unit in the key's name.

use super::variable::{OnPlace, Parted};
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

/// What the points and groups of a case get.
#[derive(Debug, Default)]
pub(crate) struct OnBuilding {
    pub(crate) points: IndexMap<String, Parted>,
    pub(crate) groups: IndexMap<String, Parted>,
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
        let all = points.chain(groups);
        all.flat_map(|(path, parted)| {
            [
                (format!("{path}.dead_down"), &parted.dead.down_n),
                (format!("{path}.dead_side"), &parted.dead.side_n),
                (format!("{path}.variable_down"), &parted.variable.down_n),
                (format!("{path}.variable_side"), &parted.variable.side_n),
            ]
        })
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
    }
}
