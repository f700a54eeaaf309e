//! Where everything is.
//!
//! Conventions: world axes, z up; rotations turn body axes to world axes; indexed by `FrameId`.
//! Assumes: nothing.
//! Valid for: finite positions. Otherwise: [`StaticsError`].
//! Source: definitions only.
//! Checked by: tests/laws.rs.

use crate::error::{Quantity, StaticsError};
use crate::ids::{AttachmentId, FrameId, LineId};
use crate::parameters::Parameters;
use crate::topology::{FrameKind, Topology};
use nalgebra::{UnitQuaternion, Vector3};

/// Holds the place of every frame's own origin and how every body is turned.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Place of each frame's origin, m; by `FrameId`. Of a fixed frame, the parameters count instead.
    pub position_m: Vec<Vector3<f64>>,
    /// Turns body axes to world axes; by `FrameId`. On a fixed frame it is how a pipe is built in there, and stays.
    pub rotation: Vec<UnitQuaternion<f64>>,
}

impl State {
    /// Puts every frame at the origin, not turned.
    pub fn at_origin(topology: &Topology) -> Self {
        let frames = topology.frame_count();
        Self {
            position_m: vec![Vector3::zeros(); frames],
            rotation: vec![UnitQuaternion::identity(); frames],
        }
    }

    /// Place of a frame's origin, m.
    pub fn frame_at_m(&self, topology: &Topology, parameters: &Parameters, frame: FrameId) -> Vector3<f64> {
        match topology.kind(frame) {
            FrameKind::Fixed => parameters.fixed_at_m[frame.index()],
            FrameKind::Junction | FrameKind::Body => self.position_m[frame.index()],
        }
    }

    /// Place of an attachment, m.
    pub fn attachment_at_m(
        &self,
        topology: &Topology,
        parameters: &Parameters,
        attachment: AttachmentId,
    ) -> Vector3<f64> {
        let frame = topology.frame_of(attachment);
        let origin = self.frame_at_m(topology, parameters, frame);
        match topology.kind(frame) {
            FrameKind::Fixed | FrameKind::Junction => origin,
            FrameKind::Body => {
                origin + self.rotation[frame.index()] * parameters.attachment_offset_m[attachment.index()]
            }
        }
    }

    /// Places of what a line touches, in order along its path, m.
    pub fn path_at_m(&self, topology: &Topology, parameters: &Parameters, line: LineId) -> Vec<Vector3<f64>> {
        let at = |attachment: &AttachmentId| self.attachment_at_m(topology, parameters, *attachment);
        topology.path(line).iter().map(at).collect()
    }

    /// Pull of unit tension of a line on each attachment of its path: towards the places beside it.
    pub fn unit_pulls(
        &self,
        topology: &Topology,
        parameters: &Parameters,
        line: LineId,
    ) -> Vec<Vector3<f64>> {
        let at = self.path_at_m(topology, parameters, line);
        let mut pulls = vec![Vector3::zeros(); at.len()];
        for i in 1..at.len() {
            let along = at[i] - at[i - 1];
            if along.norm() > 0.0 {
                pulls[i - 1] += along / along.norm();
                pulls[i] -= along / along.norm();
            }
        }
        pulls
    }

    /// Place of a body's centre of gravity, or of any other frame's origin, m.
    pub fn centre_at_m(&self, topology: &Topology, parameters: &Parameters, frame: FrameId) -> Vector3<f64> {
        let origin = self.frame_at_m(topology, parameters, frame);
        match topology.kind(frame) {
            FrameKind::Fixed | FrameKind::Junction => origin,
            FrameKind::Body => origin + self.rotation[frame.index()] * parameters.centre_m[frame.index()],
        }
    }

    /// Checks counts and numbers against the topology.
    pub fn check(&self, topology: &Topology) -> Result<(), StaticsError> {
        let needed = topology.frame_count();
        for (quantity, given) in [
            (Quantity::GuessPosition, self.position_m.len()),
            (Quantity::GuessRotation, self.rotation.len()),
        ] {
            if given != needed {
                return Err(StaticsError::WrongCount {
                    quantity,
                    given,
                    needed,
                });
            }
        }
        for frame in topology
            .frames()
            .filter(|f| topology.kind(*f) != FrameKind::Fixed)
        {
            if let Some(value) = self.position_m[frame.index()].iter().find(|x| !x.is_finite()) {
                return Err(StaticsError::BadFrame {
                    frame,
                    quantity: Quantity::GuessPosition,
                    value: *value,
                });
            }
            if let Some(value) = self.rotation[frame.index()]
                .coords
                .iter()
                .find(|x| !x.is_finite())
            {
                return Err(StaticsError::BadFrame {
                    frame,
                    quantity: Quantity::GuessRotation,
                    value: *value,
                });
            }
        }
        Ok(())
    }
}

/// Gives how far the highest of some places is above the mean height of the way along them, and how long that way is, m.
pub fn highest_above_mean_m(places: impl IntoIterator<Item = Vector3<f64>>) -> (f64, f64) {
    let (mut way_m, mut moment_m2, mut highest_m) = (0.0, 0.0, f64::NEG_INFINITY);
    let mut before: Option<Vector3<f64>> = None;
    for place in places {
        if let Some(before) = before {
            let length_m = (place - before).norm();
            way_m += length_m;
            moment_m2 += length_m * 0.5 * (place.z + before.z);
        }
        highest_m = f64::max(highest_m, place.z);
        before = Some(place);
    }
    if way_m > 0.0 {
        (highest_m - moment_m2 / way_m, way_m)
    } else {
        (0.0, 0.0)
    }
}
