//! The rig with other lengths and weights than those of its document, solved.
//!
//! Conventions: SI; lines and loads by document order; lengths as how much longer than in the document.
//! Assumes: what is adjusted changes a line's length and not its stiffness, which differs by the share of its length alone.
//! Valid for: rigs that hang as stated; the search starts from there.
//! Source: `statics`.
//! Checked by: tests/main/adjust.rs (against the verdict on a rig document with that length).

use super::reweighed::Reweighed;
use crate::check::end_tensions_n;
use crate::document::Rig;
use crate::facts::tilt_of_rad;
use crate::found::{Change, Fall, Trial, changed};
use crate::geometry::vector;
use crate::model::Model;
use statics::{Greatest, Parameters, Sharing, Solution, Vector3};

/// What the rig is: weights and centres of its loads, lengths of its lines.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Actual {
    /// By load.
    pub(crate) weights: Vec<Reweighed>,
    /// How much longer each line is than in the document, metres.
    pub(crate) longer_m: Vec<f64>,
}

impl Actual {
    /// Gives the same with lines longer by so much.
    pub(crate) fn with_longer(&self, longer_m: &[f64]) -> Self {
        let sum = self.longer_m.iter().zip(longer_m).map(|(a, b)| a + b);
        Actual {
            longer_m: sum.collect(),
            ..self.clone()
        }
    }
}

/// A rig on which lengths and weights are tried.
pub(crate) struct Bench<'a> {
    pub(crate) rig: &'a Rig,
    pub(crate) model: &'a Model,
    pub(crate) stated: Actual,
    from: &'a Solution,
    forces_away: bool,
    trial: Trial<'a>,
}

impl<'a> Bench<'a> {
    /// Prepares trials that start from the rig as stated.
    pub(crate) fn new(rig: &'a Rig, model: &'a Model, from: &'a Solution, forces_away: bool) -> Self {
        let loads = rig.loads.values().zip(model.loads.values()).enumerate();
        let weights = loads
            .map(|(i, (document, modelled))| Reweighed::stated(i, document, modelled, &model.parameters));
        Bench {
            rig,
            model,
            stated: Actual {
                weights: weights.collect(),
                longer_m: vec![0.0; model.lines.len()],
            },
            from,
            forces_away,
            trial: Trial::new(model, from),
        }
    }

    /// Gives where the rig rests as stated.
    pub(crate) fn stated_rest(&self) -> &'a Solution {
        self.from
    }

    /// Solves the rig; `gone` is a line that is not there.
    pub(crate) fn rest(&mut self, actual: &Actual, gone: Option<usize>) -> Result<Solution, Fall> {
        self.rest_from(actual, gone, self.from)
    }

    /// Solves the rig from a pose that is near.
    pub(crate) fn rest_from(
        &mut self,
        actual: &Actual,
        gone: Option<usize>,
        from: &Solution,
    ) -> Result<Solution, Fall> {
        let change = Change {
            lines: gone.into_iter().collect(),
            ..self.change(actual)
        };
        self.trial.with(from, &change).cloned()
    }

    /// Gives the numbers of the rig.
    pub(crate) fn parameters(&self, actual: &Actual) -> Parameters {
        changed(self.model, &self.change(actual))
    }

    /// Gives the most that statics lets each line come to where the rig rests so, whatever the exact lengths, newtons: infinite where
    /// nothing bounds it. Of `lines` alone, others are infinite as well.
    pub(crate) fn greatest_n(
        &self,
        (actual, gone): (&Actual, Option<usize>),
        rest: &Solution,
        lines: &[usize],
    ) -> Vec<f64> {
        let mut parameters = self.parameters(actual);
        if let Some(gone) = gone {
            parameters.lines[gone].active = false;
        }
        let mut most_n = vec![f64::INFINITY; self.model.lines.len()];
        for (of, piece) in Sharing::pieces(&self.model.topology, &parameters, rest, |_| true) {
            for line in of.iter().filter(|line| lines.contains(&line.index())) {
                let alone = |other| f64::from(u8::from(other == *line));
                if let Some(Greatest::Bounded { value_n, .. }) =
                    piece.as_ref().map(|piece| piece.greatest(rest, alone))
                {
                    // The greatest along it is told, and what hangs of its own weight below counts on top.
                    let own_n = self.tensions_n(rest, line.index())[0] - rest.line(*line).tension_n;
                    most_n[line.index()] = value_n + own_n.max(0.0);
                }
            }
        }
        most_n
    }

    fn change(&self, actual: &Actual) -> Change {
        let longer = actual.longer_m.iter().copied().enumerate();
        let weights = actual.weights.iter().zip(&self.stated.weights);
        Change {
            longer_m: longer.filter(|(_, by_m)| *by_m != 0.0).collect(),
            forces: if self.forces_away {
                (0..self.model.stated_forces.len()).collect()
            } else {
                Vec::new()
            },
            reweighed: weights
                .filter(|(is, was)| is != was)
                .map(|(is, was)| (*is, *was))
                .collect(),
            ..Change::default()
        }
    }

    /// Gives the tension of a line at its upper and lower end, newtons.
    pub(crate) fn tensions_n(&self, solution: &Solution, line: usize) -> [f64; 2] {
        let Some((_, modelled)) = self.model.lines.get_index(line) else {
            return [0.0; 2];
        };
        end_tensions_n(self.model, solution, modelled)
    }

    /// Gives the height of the origin of a load over z = 0, metres.
    pub(crate) fn height_m(&self, solution: &Solution, load: usize) -> f64 {
        self.own_height_m(solution, load, &Vector3::zeros())
    }

    /// Gives the height of a pick over z = 0, metres.
    pub(crate) fn pick_height_m(&self, solution: &Solution, load: usize, pick: usize) -> f64 {
        let own = self
            .rig
            .loads
            .get_index(load)
            .and_then(|(_, load)| load.picks.get_index(pick));
        own.map_or(f64::NAN, |(_, own)| {
            self.own_height_m(solution, load, &vector(*own))
        })
    }

    fn own_height_m(&self, solution: &Solution, load: usize, own_m: &Vector3<f64>) -> f64 {
        let modelled = self.model.loads.get_index(load);
        modelled.map_or(f64::NAN, |(_, modelled)| {
            self.model.place_m(modelled, &solution.state, own_m).z
        })
    }

    /// Gives the height of a pick with its load at trim, metres.
    pub(crate) fn trim_height_m(&self, load: usize, pick: usize) -> f64 {
        let document = self.rig.loads.get_index(load);
        let own = document.and_then(|(_, load)| Some(load.trim.at_m[2] + load.picks.get_index(pick)?.1[2]));
        own.unwrap_or(f64::NAN)
    }

    /// Gives the angle of a load's own upright axis to the vertical, or of a pipe to the horizontal, radians.
    pub(crate) fn tilt_rad(&self, solution: &Solution, load: usize) -> f64 {
        let modelled = self.model.loads.get_index(load);
        modelled
            .and_then(|(_, modelled)| tilt_of_rad(modelled, &solution.state))
            .unwrap_or(f64::NAN)
    }

    /// Lists every pick as load and pick.
    pub(crate) fn picks(&self) -> Vec<(usize, usize)> {
        let loads = self.rig.loads.values().enumerate();
        loads
            .flat_map(|(load, document)| (0..document.picks.len()).map(move |pick| (load, pick)))
            .collect()
    }

    /// Names a load.
    pub(crate) fn load_name(&self, load: usize) -> String {
        let named = self.rig.loads.get_index(load);
        named.map(|(name, _)| name.clone()).unwrap_or_default()
    }

    /// Names a line.
    pub(crate) fn line_name(&self, line: usize) -> String {
        let named = self.rig.lines.get_index(line);
        named.map(|(name, _)| name.clone()).unwrap_or_default()
    }

    /// Names a pick as `load.pick`.
    pub(crate) fn pick_name(&self, load: usize, pick: usize) -> String {
        let document = self.rig.loads.get_index(load);
        let name =
            document.and_then(|(name, load)| Some(format!("{name}.{}", load.picks.get_index(pick)?.0)));
        name.unwrap_or_default()
    }
}
