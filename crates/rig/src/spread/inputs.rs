//! What of a rig may be off, and by how much.
//!
//! Conventions: SI; in the order lengths, weights, centres, stiffnesses, points that give, each in document order.
//! Assumes: every input is off by itself. Ropes of one reel are more alike than that, and so share better.
//! Valid for: a rig that was read without problems. A length never comes below half of what is stated.
//! Source: an even law where a bound is all that is known: JCGM 100:2008 (GUM), 4.3.7; a normal law where much adds up,
//! with the stated figure as two standard deviations: 4.3.4 (both from memory). Where the figures that are taken when
//! nobody says come from: docs/theory/spread.md.
//! Checked by: tests/main/spread.rs, against closed forms.

use super::draw::Law;
use crate::corners::{TOLERANCE, tolerance_m};
use crate::defaults::{Defaults, usual_weight_spread};
use crate::document::{Load, Rig};
use crate::geometry::vector;
use crate::model::{LoadModel, Model};
use crate::steadiness::{LEAST_SHIFT_M, SHIFT};
use quantity::Kind;
use schemars::JsonSchema;
use serde::Serialize;
use statics::{FrameId, Parameters};

/// What kind of thing is off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Group {
    /// How long lines are.
    Lengths,
    /// How much loads weigh.
    Weight,
    /// Where loads have their centre of gravity.
    Centre,
    /// How stiff lines are.
    Stiffness,
    /// How much points give.
    Give,
}

impl Group {
    pub(crate) const ALL: [Group; 5] = [
        Group::Lengths,
        Group::Weight,
        Group::Centre,
        Group::Stiffness,
        Group::Give,
    ];
}

/// Something that may be off.
#[derive(Debug, Clone)]
pub(crate) struct Input {
    pub(crate) group: Group,
    /// As a path into the rig document.
    pub(crate) of: String,
    /// What it is, in words.
    pub(crate) what: String,
    pub(crate) law: Law,
    /// Whether nobody said how far it may be off.
    pub(crate) assumed: bool,
    acts: Acts,
}

/// What an input acts on.
#[derive(Debug, Clone)]
enum Acts {
    /// The length of a line, in metres.
    Length(usize),
    /// The weight of a load, as a share of it.
    Weight(usize),
    /// A coordinate of the centre of gravity of a body, in metres.
    Centre(FrameId, usize),
    /// The stiffness of a line, as a share of it.
    Stiffness(usize),
    /// How much a spring of the building gives, as a share of it.
    Give(usize),
}

/// Least share of its stated length that a line keeps.
const LEAST_LENGTH: f64 = 0.5;
/// How far stiffness, and what points give, may be off where nobody says.
const STIFFNESS: f64 = 0.20;
const GIVES: f64 = 0.50;
const AXES: [&str; 3] = ["x", "y", "z"];

/// Lists what may be off.
pub(crate) fn inputs(rig: &Rig, model: &Model, defaults: &mut Defaults) -> Vec<Input> {
    let mut listing = Listing {
        rig,
        model,
        defaults,
        found: Vec::new(),
    };
    listing.lengths();
    listing.weights();
    listing.centres();
    listing.stiffnesses();
    listing.gives();
    listing.found
}

struct Listing<'a> {
    rig: &'a Rig,
    model: &'a Model,
    defaults: &'a mut Defaults,
    found: Vec<Input>,
}

impl Listing<'_> {
    fn lengths(&mut self) {
        for (line, (name, document)) in self.rig.lines.iter().enumerate() {
            let of = format!("lines.{name}");
            if document.tolerance_m.is_none() {
                self.defaults.assume(TOLERANCE, of.clone());
            }
            let length_m = self.model.parameters.lines[line].unloaded_length_m;
            let mut bound = tolerance_m(self.rig, self.model, line);
            if bound > LEAST_LENGTH * length_m {
                bound = LEAST_LENGTH * length_m;
                let what = "the tolerance is more than half of the length, and taken as half of it";
                self.defaults.assume(what, of.clone());
            }
            let gathers = document.gathers == Some(true);
            self.found.push(Input {
                group: Group::Lengths,
                of,
                what: format!("how long `{name}` is"),
                law: if gathers {
                    two_deviations(bound)
                } else {
                    Law::Even { bound }
                },
                assumed: document.tolerance_m.is_none(),
                acts: Acts::Length(line),
            });
        }
    }

    fn weights(&mut self) {
        for (load, (name, document)) in self.rig.loads.iter().enumerate() {
            let Some((_, modelled)) = self.model.loads.get_index(load) else {
                continue;
            };
            let of = modelled.path(name);
            let share = document.weight_spread.unwrap_or_else(|| {
                let (share, what) = usual_weight_spread(document.weight_from);
                self.defaults.assume(what, of.clone());
                share
            });
            self.found.push(Input {
                group: Group::Weight,
                of,
                what: format!("how much `{name}` weighs"),
                law: two_deviations(share),
                assumed: document.weight_spread.is_none(),
                acts: Acts::Weight(load),
            });
        }
    }

    fn centres(&mut self) {
        for ((name, document), modelled) in self.rig.loads.iter().zip(self.model.loads.values()) {
            if modelled.pipe.is_some() {
                let what = "weights spread along a pipe as stated: its centre is not off";
                self.defaults.assume(what, modelled.path(name));
                continue;
            }
            let of = modelled.path(name);
            if document.centre_spread_m.is_none() {
                let what = "centre of gravity off by a hundredth of how far it reaches from it that way, at least 5 mm (our judgement)";
                self.defaults.assume(what, of.clone());
            }
            for (axis, letter) in AXES.iter().enumerate() {
                let bound = document
                    .centre_spread_m
                    .unwrap_or_else(|| LEAST_SHIFT_M.max(SHIFT * self.reach_m(document, modelled, axis)));
                self.found.push(Input {
                    group: Group::Centre,
                    of: of.clone(),
                    what: format!("where along its own {letter} `{name}` has its centre of gravity"),
                    law: Law::Even { bound },
                    assumed: document.centre_spread_m.is_none(),
                    acts: Acts::Centre(modelled.frame, axis),
                });
            }
        }
    }

    /// Gives how far a load reaches from its centre of gravity along one of its own axes, metres.
    fn reach_m(&self, document: &Load, modelled: &LoadModel, axis: usize) -> f64 {
        let centre_m = self.model.parameters.centre_m[modelled.frame.index()];
        let items = document.items.iter().map(|item| item.at_m);
        let places = document.picks.values().copied().chain(items).chain([[0.0; 3]]);
        let far = places.map(|at| (vector(at) - centre_m)[axis].abs());
        far.fold(0.0, f64::max)
    }

    fn stiffnesses(&mut self) {
        for (line, (name, document)) in self.rig.lines.iter().enumerate() {
            let of = format!("lines.{name}");
            let share = document.stiffness_spread.unwrap_or_else(|| {
                let what =
                    "stiffness 20 % either way, by how far published figures for one construction lie apart";
                self.defaults.assume(what, of.clone());
                STIFFNESS
            });
            self.found.push(Input {
                group: Group::Stiffness,
                of,
                what: format!("how stiff `{name}` is"),
                law: Law::Even { bound: share },
                assumed: document.stiffness_spread.is_none(),
                acts: Acts::Stiffness(line),
            });
        }
    }

    fn gives(&mut self) {
        let springy = self
            .rig
            .points
            .iter()
            .filter(|(_, point)| point.gives_m_per_n.is_some());
        for (spring, (name, document)) in springy.enumerate() {
            let of = format!("points.{name}");
            let share = document.gives_spread.unwrap_or_else(|| {
                let what = "what points give 50 % either way (our judgement)";
                self.defaults.assume(what, of.clone());
                GIVES
            });
            self.found.push(Input {
                group: Group::Give,
                of,
                what: format!("how much `{name}` gives"),
                law: Law::Even { bound: share },
                assumed: document.gives_spread.is_none(),
                acts: Acts::Give(spring),
            });
        }
    }
}

/// Takes a stated figure as two standard deviations.
fn two_deviations(stated: f64) -> Law {
    Law::Normal {
        deviation: 0.5 * stated,
    }
}

impl Input {
    /// Gives what its law is measured in.
    pub(crate) fn kind(&self) -> Kind {
        match self.acts {
            Acts::Length(_) | Acts::Centre(..) => Kind::Stretch,
            Acts::Weight(_) | Acts::Stiffness(_) | Acts::Give(_) => Kind::Ratio,
        }
    }

    /// Lets it be off by this in the parameters of a sample.
    pub(crate) fn act(&self, model: &Model, parameters: &mut Parameters, off: f64) {
        let stated = &model.parameters;
        match self.acts {
            Acts::Length(line) => {
                let length_m = stated.lines[line].unloaded_length_m;
                // A normal law has no bound.
                parameters.lines[line].unloaded_length_m = (length_m + off).max(LEAST_LENGTH * length_m);
            }
            Acts::Weight(load) => {
                if let Some((_, load)) = model.loads.get_index(load) {
                    weigh(load, stated, parameters, (1.0 + off).max(0.0));
                }
            }
            Acts::Centre(frame, axis) => {
                parameters.centre_m[frame.index()][axis] = stated.centre_m[frame.index()][axis] + off;
            }
            Acts::Stiffness(line) => {
                parameters.lines[line].stiffness_n = stated.lines[line].stiffness_n * (1.0 + off);
            }
            Acts::Give(spring) => {
                let stiffness_n_per_m = stated.springs[spring].stiffness_n_per_m;
                parameters.springs[spring].stiffness_n_per_m = stiffness_n_per_m / (1.0 + off);
            }
        }
    }
}

/// Lets a load, with all that it carries, weigh so many times what is stated.
fn weigh(load: &LoadModel, stated: &Parameters, parameters: &mut Parameters, times: f64) {
    let Some(pipe) = &load.pipe else {
        let frame = load.frame.index();
        parameters.weight_n[frame] = times * stated.weight_n[frame];
        return;
    };
    for beam in &pipe.chain.beams {
        let beam = beam.index();
        parameters.beams[beam].load_n_per_m = times * stated.beams[beam].load_n_per_m;
    }
    for force in pipe.carried.clone() {
        parameters.forces[force].force_n = times * stated.forces[force].force_n;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use practice::WeightFrom;

    #[test]
    fn weights_are_off_by_where_they_come_from() {
        let shares = [
            (Some(WeightFrom::Weighed), 0.01),
            (Some(WeightFrom::Maker), 0.03),
            (Some(WeightFrom::Estimated), 0.1),
            (None, 0.1),
        ];
        for (from, share) in shares {
            let (found, says) = usual_weight_spread(from);
            assert_eq!(found, share);
            assert!(
                says.starts_with(&format!("weight {:.0} % either way", 100.0 * share)),
                "{says}"
            );
        }
        // Two standard deviations leave out 2.275 % above (any table of the normal law).
        assert!((two_deviations(0.1).quantile(1.0 - 0.022_750) - 0.1).abs() < 1e-5);
    }
}
