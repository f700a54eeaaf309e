//! What goes on within a pipe, as plain data: SI units with the unit in the key's name.

use indexmap::IndexMap;
use practice::{
    Along, BayFacts, BayJudgement, BuiltInFacts, BuiltInJudgement, Held, PipeFacts, PipeJudgement,
};
use schemars::JsonSchema;
use serde::Serialize;
use working::Number;

/// How a pipe bends, and what it may.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PipeVerdict {
    /// From start to end, metres.
    pub length_m: f64,
    /// Its section in the parts book; none if it is given by its stiffness.
    pub section: Option<String>,
    /// Bending moment, newton metres.
    pub moment_nm: AlongVerdict,
    /// Shear, newtons.
    pub shear_n: AlongVerdict,
    /// Torque, newton metres; nothing where nothing twists it.
    pub torque_nm: AlongVerdict,
    /// Thrust along it, newtons; nothing where nothing presses it.
    pub thrust_n: AlongVerdict,
    /// Pull along it, newtons; nothing where nothing pulls it.
    pub pull_n: AlongVerdict,
    /// Deflection of the bay that deflects most for its span, metres. The limit is one of sag, not of strength.
    pub deflection_m: AlongVerdict,
    /// Its bays and overhangs, from its start.
    pub bays: Vec<BayVerdict>,
    /// Its picks, by name.
    pub picks: IndexMap<String, PipePickVerdict>,
    /// What the building gets where an end is built in, by that end.
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub built_in: IndexMap<String, BuiltInVerdict>,
    /// The greatest use of what it, its joints and the clamps named at its picks may carry.
    #[serde(rename = "use")]
    pub utilisation: Option<f64>,
    /// Which limit that is of, in words.
    pub governs: Option<String>,
    /// The case that these figures are of; none for the plain rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
}

/// Something where it is greatest along a pipe.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
pub struct AlongVerdict {
    /// The greatest at the lengths found.
    pub most: Option<f64>,
    /// Where that is, metres from the start of the pipe.
    pub at_m: Option<f64>,
    /// What it is held against under the practice.
    pub demand: Option<f64>,
    /// What is allowed.
    pub allowed: Option<f64>,
}

/// A bay of a pipe, or an overhang.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct BayVerdict {
    /// Where it is, in words.
    pub name: String,
    /// Its length, metres.
    pub length_m: f64,
    /// The span that it counts as, metres; an overhang counts double.
    pub span_m: f64,
    /// How far it is off the straight line through the picks beside it, metres.
    pub deflection_m: Option<f64>,
    /// Where that is, metres from the start of the pipe.
    pub at_m: f64,
    /// How far it may be, metres.
    pub allowed_m: Option<f64>,
    /// The case in which it is the furthest off; none for the plain rig.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
}

/// A place where lines hold a pipe.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PipePickVerdict {
    /// Where it is, metres from the start of the pipe.
    pub along_m: f64,
    /// The size of the force of its lines on the pipe, newtons.
    pub reaction_n: Option<f64>,
    /// Whether it is meant to carry and has lifted off.
    pub slack: bool,
}

/// What the building gets where a pipe is built in.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct BuiltInVerdict {
    /// The size of the force at the stated lengths, newtons.
    pub force_n: f64,
    /// How much of it is down, upward below zero, newtons.
    pub down_n: f64,
    /// How much of it is sideways, newtons.
    pub side_n: f64,
    /// The size of the moment at the stated lengths, newton metres.
    pub moment_nm: f64,
    /// The force at its worst, dynamic factor included, newtons.
    pub demand_force_n: Option<f64>,
    /// The moment at its worst, dynamic factor included, newton metres.
    pub demand_moment_nm: Option<f64>,
    /// In which case the force, and the moment, is that; empty for a rig without cases.
    #[serde(skip_serializing_if = "IndexMap::is_empty")]
    pub cases: IndexMap<String, String>,
}

/// Tells how a pipe bends.
pub(crate) fn pipe_verdict(length_m: f64, told: &PipeFacts, judged: &PipeJudgement) -> PipeVerdict {
    let picks = told.picks.iter().map(|pick| {
        let verdict = PipePickVerdict {
            along_m: pick.at_m,
            reaction_n: value(pick.reaction_n.as_ref()),
            slack: pick.slack,
        };
        (pick.name.clone(), verdict)
    });
    let bays: Vec<BayVerdict> = told
        .bays
        .iter()
        .zip(&judged.bays)
        .map(|(t, j)| bay(t, j))
        .collect();
    PipeVerdict {
        length_m,
        section: told.section.as_ref().map(|part| part.id.clone()),
        moment_nm: along(told.moment_n_m.as_ref(), &judged.moment),
        shear_n: along(told.shear_n.as_ref(), &judged.shear),
        torque_nm: along(told.torque_n_m.as_ref(), &judged.torque),
        thrust_n: along(told.thrust.as_ref().map(|thrust| &thrust.along), &judged.thrust),
        pull_n: along(told.pull_n.as_ref(), &judged.pull),
        deflection_m: deepest(&bays),
        bays,
        picks: picks.collect(),
        built_in: told.built_in.iter().zip(&judged.built_in).map(built_in).collect(),
        utilisation: value(judged.utilisation.as_ref()),
        governs: judged.governs.clone(),
        case: None,
    }
}

fn built_in((told, held): (&BuiltInFacts, &BuiltInJudgement)) -> (String, BuiltInVerdict) {
    let verdict = BuiltInVerdict {
        force_n: told.force_n.value(),
        down_n: told.down_n,
        side_n: told.side_n,
        moment_nm: told.moment_n_m.value(),
        demand_force_n: value(held.force_n.as_ref()),
        demand_moment_nm: value(held.moment_n_m.as_ref()),
        cases: IndexMap::new(),
    };
    (told.end.clone(), verdict)
}

fn along(told: Option<&Along>, held: &Held) -> AlongVerdict {
    AlongVerdict {
        most: told.map(|along| along.greatest.value()),
        at_m: told.map(|along| along.at_m),
        demand: value(held.demand.as_ref()),
        allowed: value(held.allowed.as_ref()),
    }
}

/// Gives the deflection of the bay that deflects most for its span.
pub(crate) fn deepest(bays: &[BayVerdict]) -> AlongVerdict {
    let share = |bay: &BayVerdict| bay.deflection_m.unwrap_or(0.0) / bay.span_m;
    let most = bays
        .iter()
        .reduce(|most, next| if share(next) > share(most) { next } else { most });
    most.map_or_else(AlongVerdict::default, |bay| AlongVerdict {
        most: bay.deflection_m,
        at_m: bay.deflection_m.map(|_| bay.at_m),
        demand: bay.deflection_m,
        allowed: bay.allowed_m,
    })
}

fn bay(told: &BayFacts, judged: &BayJudgement) -> BayVerdict {
    BayVerdict {
        name: told.name.clone(),
        length_m: told.length_m.value(),
        span_m: judged.span_m.value(),
        deflection_m: value(told.deflection_m.as_ref()),
        at_m: told.at_m,
        allowed_m: value(judged.deflection_m.allowed.as_ref()),
        case: None,
    }
}

fn value(number: Option<&Number>) -> Option<f64> {
    number.map(Number::value)
}

/// Lists the numbers of a pipe by path.
pub(crate) fn numbers(told: &PipeFacts, judged: &PipeJudgement) -> Vec<(String, Number)> {
    let path = format!("pipes.{}", told.name);
    let mut found = Vec::new();
    let mut keep = |key: &str, number: Option<&Number>| {
        if let Some(number) = number {
            found.push((format!("{path}.{key}"), number.clone()));
        }
    };
    let greatest = |along: &Option<Along>| along.as_ref().map(|along| along.greatest.clone());
    let kinds = [
        ("moment", greatest(&told.moment_n_m), &judged.moment),
        ("shear", greatest(&told.shear_n), &judged.shear),
        ("torque", greatest(&told.torque_n_m), &judged.torque),
        (
            "thrust",
            told.thrust.as_ref().map(|thrust| thrust.along.greatest.clone()),
            &judged.thrust,
        ),
        ("pull", greatest(&told.pull_n), &judged.pull),
    ];
    for (key, greatest, held) in kinds {
        keep(key, greatest.as_ref());
        keep(&format!("demand_{key}"), held.demand.as_ref());
        keep(&format!("allowed_{key}"), held.allowed.as_ref());
    }
    for (i, (told, judged)) in told.bays.iter().zip(&judged.bays).enumerate() {
        keep(&format!("bay_{}_deflection", i + 1), told.deflection_m.as_ref());
        keep(
            &format!("bay_{}_allowed", i + 1),
            judged.deflection_m.allowed.as_ref(),
        );
    }
    for (i, splice) in told.splices.iter().enumerate() {
        keep(&format!("splice_{}_moment", i + 1), splice.moment_n_m.as_ref());
        keep(&format!("splice_{}_shear", i + 1), splice.shear_n.as_ref());
    }
    for (end, held) in told.built_in.iter().zip(&judged.built_in) {
        keep(&format!("{}_force", end.end), Some(&end.force_n));
        keep(&format!("{}_moment", end.end), Some(&end.moment_n_m));
        keep(&format!("{}_demand_force", end.end), held.force_n.as_ref());
        keep(&format!("{}_demand_moment", end.end), held.moment_n_m.as_ref());
    }
    for pick in &told.picks {
        keep(&format!("{}_reaction", pick.name), pick.reaction_n.as_ref());
    }
    keep("use", judged.utilisation.as_ref());
    found
}
