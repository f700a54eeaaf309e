//! Whether a motion is still to come where it ends.
//!
//! Conventions: SI.
//! Assumes: what is left comes to hang where the balance downhill of where it was is.
//! Valid for: motions in which nothing parted.
//! Source: what counts as little is our judgement.
//! Checked by: tests/main/caught.rs.

use crate::found::changed;
use crate::letgo::gets::stiff_pipe_of;
use crate::letgo::run::Left;
use crate::letgo::scene::Scenery;
use motion::Motion;
use statics::{FrameId, LineId, Parameters, Solution, State, Vector3};

/// What pulls less in the end than this share of all weight need not have pulled on the way.
const LITTLE: f64 = 0.01;
/// A place that is within this share of the furthest it went when a motion ends may be about to go further.
const STILL_GOES: f64 = 1e-3;
/// A load that went less far than this share of the way to where it then hangs has not been there. Lines that sag are straight on the way, so
/// that a little less is no sign of it.
const THERE: f64 = 0.8;
/// Less than this is no way to speak of, metres.
const NO_WAY_M: f64 = 0.01;

impl Left<'_> {
    /// Tells whether a motion is still to come where it ends: what pulls in the end has not pulled, a load has not been as far as it then
    /// hangs, or it is as far as it was and may go further.
    pub(super) fn goes_on(&self, scenery: &Scenery<'_>, motion: &Motion) -> bool {
        if !motion.parted.is_empty() {
            return false;
        }
        let places = scenery.places.iter().zip(&motion.swept);
        let mut places = places.filter(|((load, frame, _), _)| {
            let is_pipe = self
                .model
                .loads
                .get_index(*load)
                .is_some_and(|(_, load)| load.pipe.is_some());
            !is_pipe && !self.change.fallen.contains(frame)
        });
        let goes = |((_, frame, offset_m), swept): (&(usize, FrameId, Vector3<f64>), &motion::Swept)| {
            let rests_m = self
                .after
                .as_ref()
                .map(|after| self.aside_m(&after.state, *frame, *offset_m));
            let ends_m = (self.place_m(&motion.end, *frame, *offset_m)
                - self.place_m(&self.at.rest.state, *frame, *offset_m))
            .norm();
            let most_m = swept.furthest_m;
            let is_short = rests_m.is_some_and(|rests_m| rests_m > NO_WAY_M && most_m < THERE * rests_m);
            is_short || most_m > NO_WAY_M && ends_m > (1.0 - STILL_GOES) * most_m
        };
        self.awaited(motion).is_some() || places.any(goes)
    }

    /// Gives where a place of a load is, metres.
    fn place_m(&self, state: &State, frame: FrameId, offset_m: Vector3<f64>) -> Vector3<f64> {
        let origin_m = state.frame_at_m(&self.model.topology, &self.model.parameters, frame);
        origin_m + state.rotation[frame.index()] * offset_m
    }

    /// Gives how far a place of a load is at the least from where it was, whichever way the load is turned about the plumb line through its
    /// centre, metres: where it hangs by one line it may be turned any way.
    fn aside_m(&self, state: &State, frame: FrameId, offset_m: Vector3<f64>) -> f64 {
        let (topology, parameters) = (&self.model.topology, &self.model.parameters);
        let centre_m = state.centre_at_m(topology, parameters, frame);
        let from_centre_m = |at_m: Vector3<f64>| ((at_m - centre_m).xy().norm(), at_m.z);
        let (was, is) = (
            from_centre_m(self.place_m(&self.at.rest.state, frame, offset_m)),
            from_centre_m(self.place_m(state, frame, offset_m)),
        );
        (is.0 - was.0).hypot(is.1 - was.1)
    }

    /// Finds a line that pulls in the end, and never did on the way.
    pub(super) fn awaited(&self, motion: &Motion) -> Option<usize> {
        let after = self.after.as_ref().filter(|_| motion.parted.is_empty())?;
        let parameters = changed(&self.model, &self.change);
        let weight_n = all_weight_n(&parameters);
        let mut lines = self.model.topology.lines().zip(&motion.pulls_from_s);
        let never = |(line, from_s): &(LineId, &Option<f64>)| {
            let is_heavy = after.lines[line.index()].tension_n > LITTLE * weight_n;
            // What only sags under its own weight pulls on nothing.
            from_s.is_none() && is_heavy && self.stretch_m(&parameters, after, *line) > 0.0
        };
        lines.find(never).map(|(line, _)| line.index())
    }

    /// Gives how much longer the way of a line is than itself, as if it were straight, metres.
    fn stretch_m(&self, parameters: &Parameters, after: &Solution, line: LineId) -> f64 {
        let path = self.model.topology.path(line).iter();
        let at_m: Vec<Vector3<f64>> = path.map(|at| self.model.at_m(&after.state, *at)).collect();
        let way_m: f64 = at_m.windows(2).map(|ends| (ends[1] - ends[0]).norm()).sum();
        way_m - parameters.lines[line.index()].unloaded_length_m
    }
}

/// Gives what everything weighs together, newtons.
fn all_weight_n(parameters: &Parameters) -> f64 {
    let beams = parameters.beams.iter();
    let spread_n: f64 = beams.map(|beam| beam.load_n_per_m.norm() * beam.length_m).sum();
    let forces_n: f64 = parameters.forces.iter().map(|force| force.force_n.norm()).sum();
    parameters.weight_n.iter().sum::<f64>() + spread_n + forces_n
}

/// Says that a line that pulls in the end did not yet pull.
pub(super) fn too_short(scenery: &Scenery<'_>, line: usize, seconds: f64) -> String {
    let model = scenery.plain.model;
    let name = model.lines.get_index(line).map(|(name, _)| name.as_str());
    let stiff = stiff_pipe_of(scenery, line);
    let stiff =
        stiff.map(|pipe| format!(" (pipe `{pipe}` bends there, and is only followed as a stiff one)"));
    format!(
        "in {seconds:.1} s everything did not come to where it then hangs: line `{}` pulls there, and did not yet pull{}",
        name.unwrap_or_default(),
        stiff.unwrap_or_default(),
    )
}
