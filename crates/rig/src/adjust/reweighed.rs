//! Other weights and centres of gravity of loads than those of the rig document.
//!
//! Conventions: SI; the centre in the load's own axes, of a pipe from its middle along its axis.
//! Assumes: what a pipe weighs more or less than stated is spread along all of it, evenly and in proportion to the place.
//! Valid for: any model.
//! Source: weight and first moment of a load, `W` and `W c`.
//! Checked by: tests/main/adjust.rs (a rig with other weights, put together from its document, is the same rig).

use crate::document::Load;
use crate::geometry::vector;
use crate::model::{LoadModel, Model};
use statics::{Parameters, Vector3};

/// What a load weighs and where its centre of gravity is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reweighed {
    /// The load, by index.
    pub(crate) load: usize,
    /// Newtons.
    pub(crate) weight_n: f64,
    /// Own axes, metres.
    pub(crate) centre_m: Vector3<f64>,
}

impl Reweighed {
    /// Gives weight and centre as the rig document states them.
    pub(crate) fn stated(
        index: usize,
        document: &Load,
        modelled: &LoadModel,
        parameters: &Parameters,
    ) -> Self {
        let weight_n = modelled.weight_n.value();
        let centre_m = if modelled.pipe.is_none() {
            parameters.centre_m[modelled.frame.index()]
        } else {
            let factor = 1.0 + document.margin.unwrap_or(0.0);
            let items = document.items.iter().map(|item| (item, factor));
            let added = document.added.iter().map(|item| (item, 1.0));
            let weighed = items.chain(added);
            let moment: Vector3<f64> = weighed
                .map(|(item, factor)| vector(item.at_m) * (factor * f64::from(item.count) * item.weight_n))
                .sum();
            moment / weight_n
        };
        Reweighed {
            load: index,
            weight_n,
            centre_m,
        }
    }

    /// Puts them on the numbers of a model, which are as `stated` before.
    pub(crate) fn put(&self, stated: &Reweighed, model: &Model, parameters: &mut Parameters) {
        let Some((_, modelled)) = model.loads.get_index(self.load) else {
            return;
        };
        let Some(pipe) = &modelled.pipe else {
            let frame = modelled.frame.index();
            parameters.weight_n[frame] = self.weight_n;
            parameters.centre_m[frame] = self.centre_m;
            return;
        };
        let chain = &pipe.chain;
        let (half_m, length_m) = (0.5 * chain.length_m, chain.length_m);
        let pieces = chain
            .beams
            .iter()
            .zip(chain.along_m.windows(2))
            .zip(&chain.hinges);
        let pieces: Vec<_> = pieces
            .filter(|(_, is_hinge)| !**is_hinge)
            .map(|((beam, ends), _)| (*beam, 0.5 * (ends[0] + ends[1]) - half_m, ends[1] - ends[0]))
            .collect();
        let even = (self.weight_n - stated.weight_n) / length_m;
        let turned = self.weight_n * self.centre_m.x - stated.weight_n * stated.centre_m.x;
        let square: f64 = pieces.iter().map(|(_, x, l)| x * x * l).sum();
        for (beam, x, _) in pieces {
            parameters.beams[beam.index()].load_n_per_m.z -= even + turned / square * x;
        }
    }
}
