//! What a jerk in one line bends in a pipe that floats.
//!
//! Conventions: SI; places are metres from the start of the pipe; forces are across it.
//! Assumes: nothing else holds the pipe at that instant; it is stiff, so that every mass on it resists as it is carried along: a force F at a
//! place s gives it F / m and turns it by F (s - c) / I about its centre c.
//! Valid for: straight pipes without hinges.
//! Source: d'Alembert's principle (mechanics books, from memory); that a flexible pipe bends less is left out.
//! Checked by: the tests below, by hand.

use crate::model::{LoadModel, Model};
use statics::AttachmentId;

/// Into how many lumps the spread weight of a piece of pipe is divided.
const LUMPS: u32 = 16;

/// The weights on a pipe, each with where it is.
#[derive(Debug)]
struct Floats {
    weights: Vec<(f64, f64)>,
}

/// What one newton across a pipe brings.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Bends {
    /// Bending moment, N m/N.
    pub(crate) moment_m: f64,
    /// Where that is greatest.
    pub(crate) at_m: f64,
    /// Shear, N/N.
    pub(crate) shear: f64,
}

/// Lists, for each place at which a line is fastened to a pipe, the line and what one newton there brings.
pub(crate) fn jerks(model: &Model, pipe: &str) -> Vec<(usize, Bends)> {
    let load = model.loads.get(pipe);
    let Some((load, floats)) = load.and_then(|load| Some((load, Floats::of(model, load)?))) else {
        return Vec::new();
    };
    let lines = model.lines_of(load).into_iter().filter_map(|line| {
        let (_, modelled) = model.lines.get_index(line)?;
        Some((line, model.topology.path(modelled.id)))
    });
    let places = lines.flat_map(|(line, path)| path.iter().map(move |at| (line, *at)));
    let bends = places.filter_map(|(line, at)| Some((line, floats.bends(Floats::along_m(model, load, at)?))));
    bends.collect()
}

impl Floats {
    /// Lists what a pipe weighs where; none for what is no pipe.
    fn of(model: &Model, load: &LoadModel) -> Option<Self> {
        let (pipe, parameters) = (load.pipe.as_ref()?, &model.parameters);
        let chain = &pipe.chain;
        let place = |frame: statics::FrameId| chain.frames.iter().position(|own| *own == frame);
        let mut weights: Vec<(f64, f64)> = chain
            .frames
            .iter()
            .zip(&chain.along_m)
            .map(|(frame, along_m)| (*along_m, parameters.weight_n[frame.index()]))
            .collect();
        for (beam, ends_m) in chain.beams.iter().zip(chain.along_m.windows(2)) {
            let length_m = (ends_m[1] - ends_m[0]) / f64::from(LUMPS);
            let each_n = parameters.beams[beam.index()].load_n_per_m.norm() * length_m;
            weights.extend((0..LUMPS).map(|lump| (ends_m[0] + (f64::from(lump) + 0.5) * length_m, each_n)));
        }
        for force in &parameters.forces[pipe.carried.clone()] {
            if let Some(at) = place(force.frame) {
                weights.push((chain.along_m[at] + force.offset_m.x, force.force_n.norm()));
            }
        }
        weights.retain(|(_, weight_n)| *weight_n > 0.0);
        Some(Floats { weights })
    }

    /// Gives where on a pipe something is fastened.
    fn along_m(model: &Model, load: &LoadModel, at: AttachmentId) -> Option<f64> {
        let chain = &load.pipe.as_ref()?.chain;
        let frame = model.topology.frame_of(at);
        let place = chain.frames.iter().position(|own| *own == frame)?;
        Some(chain.along_m[place] + model.parameters.attachment_offset_m[at.index()].x)
    }

    /// Gives what one newton at a place brings, at its greatest along the pipe.
    fn bends(&self, at_m: f64) -> Bends {
        let sum = |of: &dyn Fn(f64) -> f64| {
            self.weights
                .iter()
                .map(|(x, weight)| weight * of(*x))
                .sum::<f64>()
        };
        let weight_n = sum(&|_| 1.0);
        if weight_n <= 0.0 {
            return Bends::default();
        }
        let centre_m = sum(&|x| x) / weight_n;
        let inertia = sum(&|x| (x - centre_m).powi(2));
        let turn = if inertia > 0.0 {
            (at_m - centre_m) / inertia
        } else {
            0.0
        };
        let resists = |(x, weight): &(f64, f64)| weight * (1.0 / weight_n + turn * (x - centre_m));
        let mut most = Bends::default();
        for place_m in self.weights.iter().map(|(x, _)| *x).chain([at_m]) {
            let before = || self.weights.iter().filter(move |(x, _)| *x < place_m);
            let own_m = (place_m - at_m).max(0.0);
            let moment_m = (own_m - before().map(|at| resists(at) * (place_m - at.0)).sum::<f64>()).abs();
            // Shear on either side of what is there.
            let left = before().map(resists).sum::<f64>() - if place_m > at_m { 1.0 } else { 0.0 };
            let here = self
                .weights
                .iter()
                .filter(|(x, _)| *x == place_m)
                .map(resists)
                .sum::<f64>();
            let jump = if place_m == at_m { here - 1.0 } else { here };
            most.shear = most.shear.max(left.abs()).max((left + jump).abs());
            if moment_m > most.moment_m {
                (most.moment_m, most.at_m) = (moment_m, place_m);
            }
        }
        most
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(value: f64, expected: f64) {
        assert!(
            (value - expected).abs() < 2e-3 * expected,
            "{value} is not {expected}"
        );
    }

    /// A uniform bar of 8 m pulled at its middle: F L / 8, and half of the force as shear.
    #[test]
    fn a_uniform_bar_bends_by_an_eighth() {
        let lumps = 200;
        let weights = (0..lumps).map(|i| ((f64::from(i) + 0.5) * 8.0 / f64::from(lumps), 1.0));
        let bends = Floats {
            weights: weights.collect(),
        }
        .bends(4.0);
        near(bends.moment_m, 1.0);
        assert!(
            (bends.shear - 0.5).abs() < 0.01 && (bends.at_m - 4.0).abs() < 0.05,
            "{bends:?}"
        );
    }

    /// Two weights at the ends of a light bar of 4 m: a pull at its middle bends it by F L / 4, a pull at one weight not at all.
    #[test]
    fn weights_at_the_ends_bend_it_by_a_quarter() {
        let bar = Floats {
            weights: vec![(0.0, 100.0), (4.0, 100.0)],
        };
        near(bar.bends(2.0).moment_m, 1.0);
        assert!(bar.bends(0.0).moment_m < 1e-12);
        assert_eq!(Floats { weights: Vec::new() }.bends(1.0), Bends::default());
    }
}
