//! Pipes in few words: chains of bodies and beams, and what goes on at any place along them.

use crate::support::Rig;
use statics::{AttachmentId, BeamId, BeamParameters, FrameId, Solution, UnitQuaternion, Vector3};

/// Describes a pipe that is equally stiff in all planes. Places along it are unloaded metres from its start.
#[derive(Clone)]
pub struct Pipe {
    pub start_m: Vector3<f64>,
    pub end_m: Vector3<f64>,
    pub length_m: f64,
    pub axial_stiffness_n: f64,
    pub bending_stiffness_n_m2: f64,
    pub torsional_stiffness_n_m2: f64,
    pub weight_n_per_m: f64,
    pub point_loads: Vec<(f64, Vector3<f64>)>,
    /// From, to, force per metre.
    pub part_loads: Vec<(f64, f64, Vector3<f64>)>,
    pub hinges_m: Vec<f64>,
}

/// Places nearer than this are one, m.
const SAME_M: f64 = 1e-9;

/// Holds where a pipe's nodes and pieces ended up in a rig.
pub struct Chain {
    pub nodes: Vec<(f64, FrameId)>,
    pub pieces: Vec<Piece>,
}

/// Holds one piece: where it begins and ends along the pipe, its frames and its beam.
#[derive(Clone, Copy)]
pub struct Piece {
    pub from_m: f64,
    pub to_m: f64,
    pub ends: [FrameId; 2],
    pub beam: BeamId,
}

impl Pipe {
    fn axis(&self) -> Vector3<f64> {
        (self.end_m - self.start_m).normalize()
    }

    /// Where something changes, `marks_m` among it, in order.
    fn stops(&self, marks_m: &[f64]) -> Vec<f64> {
        let mut stops = vec![0.0, self.length_m];
        stops.extend(marks_m);
        stops.extend(&self.hinges_m);
        stops.extend(self.point_loads.iter().map(|(along, _)| along));
        stops.extend(self.part_loads.iter().flat_map(|(from, to, _)| [from, to]));
        stops.sort_by(f64::total_cmp);
        stops.dedup_by(|a, b| (*a - *b).abs() < SAME_M);
        stops
    }

    /// Load on each metre between two neighbouring stops.
    fn load_n_per_m(&self, from_m: f64, to_m: f64) -> Vector3<f64> {
        let middle = 0.5 * (from_m + to_m);
        let over = self
            .part_loads
            .iter()
            .filter(|(a, b, _)| *a < middle && middle < *b);
        over.map(|(_, _, load)| load).sum::<Vector3<f64>>() - Vector3::z() * self.weight_n_per_m
    }

    /// Puts the pipe into a rig, with nodes where something changes and at `marks_m`, and between two such nodes as many
    /// equal pieces as make none longer than `piece_m`.
    pub fn put_into(&self, rig: &mut Rig, marks_m: &[f64], piece_m: f64) -> Chain {
        let turn = UnitQuaternion::rotation_between(&Vector3::x(), &self.axis());
        let mut chain = Chain {
            nodes: Vec::new(),
            pieces: Vec::new(),
        };
        let stops = self.stops(marks_m);
        self.add_node(rig, turn.unwrap(), &mut chain, stops[0]);
        for pair in stops.windows(2) {
            let count = ((pair[1] - pair[0]) / piece_m - 1e-6).ceil().max(1.0) as usize;
            let load = self.load_n_per_m(pair[0], pair[1]);
            for i in 1..=count {
                let along = pair[0] + (pair[1] - pair[0]) * i as f64 / count as f64;
                let (from_m, first) = chain.nodes[chain.nodes.len() - 1];
                let last = self.add_node(rig, turn.unwrap(), &mut chain, along);
                let of = self.beam(along - from_m, load);
                let beam = rig.beam([first, last], of);
                let (to_m, ends) = (along, [first, last]);
                chain.pieces.push(Piece {
                    from_m,
                    to_m,
                    ends,
                    beam,
                });
            }
            self.add_hinge(rig, turn.unwrap(), &mut chain, pair[1]);
        }
        for (along, force) in &self.point_loads {
            rig.force(chain.node_at(*along), [0.0; 3], (*force).into());
        }
        chain
    }

    fn beam(&self, length_m: f64, load_n_per_m: Vector3<f64>) -> BeamParameters {
        let (ei, gj) = (self.bending_stiffness_n_m2, self.torsional_stiffness_n_m2);
        BeamParameters {
            load_n_per_m,
            ..BeamParameters::prismatic(length_m, self.axial_stiffness_n, ei, ei, gj)
        }
    }

    fn add_node(&self, rig: &mut Rig, turn: UnitQuaternion<f64>, chain: &mut Chain, along_m: f64) -> FrameId {
        let at = self.start_m + self.axis() * along_m;
        let node = rig.body(at.into(), [0.0; 3], 0.0);
        rig.turned(node, turn);
        chain.nodes.push((along_m, node));
        node
    }

    /// A hinge is two nodes at one place; its stiffness against parting leaves some hundredths of a micrometre open.
    fn add_hinge(&self, rig: &mut Rig, turn: UnitQuaternion<f64>, chain: &mut Chain, at_m: f64) {
        if self.hinges_m.iter().any(|hinge| (hinge - at_m).abs() < SAME_M) {
            let (_, before) = chain.nodes[chain.nodes.len() - 1];
            let after = self.add_node(rig, turn, chain, at_m);
            rig.beam(
                [before, after],
                BeamParameters::hinge(1e10, self.torsional_stiffness_n_m2),
            );
        }
    }
}

impl Chain {
    /// The node at a place, before a hinge.
    pub fn node_at(&self, along_m: f64) -> FrameId {
        let same = |(at, _): &&(f64, FrameId)| (at - along_m).abs() < SAME_M;
        self.nodes.iter().find(same).unwrap().1
    }

    /// A pick on the pipe's axis at a node.
    pub fn pick(&self, rig: &mut Rig, along_m: f64) -> AttachmentId {
        rig.pick(self.node_at(along_m), [0.0; 3])
    }

    /// The piece that holds a place; at a node the one before it.
    pub fn piece_at(&self, along_m: f64) -> &Piece {
        let found = self.pieces.iter().find(|piece| along_m <= piece.to_m + SAME_M);
        found.unwrap()
    }

    /// Where the axis is at a place, bent between its nodes as its piece is.
    pub fn place_m(&self, found: &Solution, along_m: f64) -> Vector3<f64> {
        self.piece_at(along_m).place_m(found, along_m)
    }

    /// Moment of the later part on the earlier, world axes.
    pub fn moment_n_m(&self, found: &Solution, along_m: f64) -> Vector3<f64> {
        self.piece_at(along_m).moment_n_m(found, along_m)
    }

    /// The greatest of a measure of a piece and a place along it, and where; looked for at `steps` places of each piece
    /// and then more closely around the best.
    pub fn greatest(&self, measure: impl Fn(&Piece, f64) -> f64) -> (f64, f64) {
        const STEPS: u32 = 8;
        let mut best = (f64::NEG_INFINITY, 0.0);
        for piece in &self.pieces {
            let step = (piece.to_m - piece.from_m) / f64::from(STEPS);
            for i in 0..=STEPS {
                let along = piece.from_m + step * f64::from(i);
                let value = measure(piece, along);
                if value > best.0 {
                    best = (value, along);
                    let (low, high) = ((along - step).max(piece.from_m), (along + step).min(piece.to_m));
                    best = best_of(best, highest(|at| measure(piece, at), low, high));
                }
            }
        }
        best
    }
}

fn best_of(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    if b.0 > a.0 { b } else { a }
}

/// Golden section search for the highest place between two.
fn highest(value: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> (f64, f64) {
    let ratio = 0.5 * (5.0_f64.sqrt() - 1.0);
    for _ in 0..40 {
        let (left, right) = (high - ratio * (high - low), low + ratio * (high - low));
        if value(left) > value(right) {
            high = right;
        } else {
            low = left;
        }
    }
    let at = 0.5 * (low + high);
    (value(at), at)
}

impl Piece {
    fn past_middle_m(&self, along_m: f64) -> f64 {
        along_m - 0.5 * (self.from_m + self.to_m)
    }

    pub fn place_m(&self, found: &Solution, along_m: f64) -> Vector3<f64> {
        let [first, last] = self.ends.map(|frame| found.state.position_m[frame.index()]);
        let result = &found.beams[self.beam.index()];
        let share = (along_m - self.from_m) / (self.to_m - self.from_m);
        let off = result.offset_at(self.past_middle_m(along_m));
        first + (last - first) * share + result.rotation * off
    }

    /// Direction of the bent axis.
    pub fn direction(&self, found: &Solution, along_m: f64) -> Vector3<f64> {
        let result = &found.beams[self.beam.index()];
        result.rotation * result.direction_at(self.past_middle_m(along_m))
    }

    pub fn force_n(&self, found: &Solution, along_m: f64) -> Vector3<f64> {
        let result = &found.beams[self.beam.index()];
        result.rotation * result.force_at(self.past_middle_m(along_m))
    }

    pub fn moment_n_m(&self, found: &Solution, along_m: f64) -> Vector3<f64> {
        let result = &found.beams[self.beam.index()];
        result.rotation * result.moment_at(self.past_middle_m(along_m))
    }
}
