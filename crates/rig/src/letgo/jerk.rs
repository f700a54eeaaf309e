//! What a jerk in one line bends in a pipe that floats.
//!
//! Conventions: SI; places are metres from the start of the pipe; forces are across it.
//! Assumes: nothing else holds the pipe at that instant; it is stiff, so that every mass on it resists as it is carried along: a force F at a
//! place s gives it F / m and turns it by F (s - c) / I about its centre c.
//! Valid for: straight pipes without hinges.
//! Source: d'Alembert's principle, work stored in bending M^2 / 2 EI (mechanics books, from memory).
//! Checked by: the tests below, by hand.

use crate::model::{LoadModel, Model};
use statics::AttachmentId;

/// Into how many lumps the spread weight of a piece of pipe is divided.
const LUMPS: u32 = 16;

/// The weights on a pipe, each with where it is, and how stiff each of its pieces is: where it begins and ends, and its EI, N m².
#[derive(Debug)]
struct Floats {
    weights: Vec<(f64, f64)>,
    stiff: Vec<([f64; 2], f64)>,
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
    /// Bending moment where a joule is stored as it is bent so, N m/√J; none where it does not bend.
    pub(crate) by_energy: Option<f64>,
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
        let pieces = chain.beams.iter().zip(chain.along_m.windows(2));
        let stiff = pieces
            .filter(|(_, ends_m)| ends_m[1] > ends_m[0])
            .map(|(beam, ends_m)| {
                let beam = &parameters.beams[beam.index()];
                (
                    [ends_m[0], ends_m[1]],
                    beam.length_m * beam.turn_n_m.y.max(beam.turn_n_m.z),
                )
            });
        Some(Floats {
            weights,
            stiff: stiff.collect(),
        })
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
        let Some(resists) = self.resists(at_m) else {
            return Bends::default();
        };
        let moment_m = |place_m: f64| {
            let before = resists.iter().filter(|(x, _)| *x < place_m);
            (place_m - at_m).max(0.0) - before.map(|(x, n)| n * (place_m - x)).sum::<f64>()
        };
        let mut most = Bends::default();
        for place_m in self.weights.iter().map(|(x, _)| *x).chain([at_m]) {
            // Shear on either side of what is there.
            let sum = |of: &dyn Fn(f64) -> bool| -> f64 {
                resists.iter().filter(|(x, _)| of(*x)).map(|(_, n)| n).sum()
            };
            let left = sum(&|x| x < place_m) - if place_m > at_m { 1.0 } else { 0.0 };
            let here = sum(&|x| x == place_m);
            let jump = if place_m == at_m { here - 1.0 } else { here };
            most.shear = most.shear.max(left.abs()).max((left + jump).abs());
            if moment_m(place_m).abs() > most.moment_m {
                (most.moment_m, most.at_m) = (moment_m(place_m).abs(), place_m);
            }
        }
        let stored_j = self.stored_j(&moment_m);
        most.by_energy = (stored_j > 0.0).then(|| most.moment_m / stored_j.sqrt());
        most
    }

    /// Lists what of one newton at a place each weight resists with, and where that is; none where nothing weighs anything.
    fn resists(&self, at_m: f64) -> Option<Vec<(f64, f64)>> {
        let sum = |of: &dyn Fn(f64) -> f64| {
            self.weights
                .iter()
                .map(|(x, weight)| weight * of(*x))
                .sum::<f64>()
        };
        let weight_n = sum(&|_| 1.0);
        if weight_n <= 0.0 {
            return None;
        }
        let centre_m = sum(&|x| x) / weight_n;
        let inertia = sum(&|x| (x - centre_m).powi(2));
        let turn = if inertia > 0.0 {
            (at_m - centre_m) / inertia
        } else {
            0.0
        };
        let share = |x: f64, weight: f64| weight * (1.0 / weight_n + turn * (x - centre_m));
        Some(
            self.weights
                .iter()
                .map(|(x, weight)| (*x, share(*x, *weight)))
                .collect(),
        )
    }

    /// Gives the work that is stored where a pipe is bent so, joules: moments are straight between places of an even division.
    fn stored_j(&self, moment_m: &impl Fn(f64) -> f64) -> f64 {
        let of_piece = |([first_m, last_m], ei_n_m2): &([f64; 2], f64)| {
            let part_m = (last_m - first_m) / f64::from(LUMPS);
            let at = |part: u32| moment_m(first_m + f64::from(part) * part_m);
            let parts = (0..LUMPS).map(|part| [at(part), at(part + 1)]);
            let squares: f64 = parts.map(|[a, b]| (a * a + a * b + b * b) / 3.0).sum();
            0.5 * squares * part_m / ei_n_m2
        };
        self.stiff.iter().map(of_piece).sum()
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
            stiff: vec![([0.0, 4.0], 3.0), ([4.0, 8.0], 3.0)],
        }
        .bends(4.0);
        near(bends.moment_m, 1.0);
        // M falls from M₀ = F L / 8 as the square of what is left to the end: ∫ M² / 2 EI dx = M₀² L / 10 EI (by hand).
        near(bends.by_energy.expect("it bends"), (10.0 * 3.0 / 8.0_f64).sqrt());
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
            stiff: Vec::new(),
        };
        near(bar.bends(2.0).moment_m, 1.0);
        assert!(bar.bends(0.0).moment_m < 1e-12);
        assert_eq!(bar.bends(2.0).by_energy, None);
        let nothing = Floats {
            weights: Vec::new(),
            stiff: Vec::new(),
        };
        assert_eq!(nothing.bends(1.0), Bends::default());
    }
}
