//! How pipes bend as they move: the slowest shapes in which each does so by itself.
//!
//! Conventions: SI; shapes are scaled so that the mass that moves in each is 1 kg; directions in world axes as everything is at the start.
//! Assumes: Bernoulli's beam with small deflections from where it is at the start, seen from axes that move with it as if it were stiff; inertia
//! of what is off its axis is left out. Shapes past the sixth in a plane, or quicker than 100 Hz, are left out: there it is stiff.
//! Valid for: straight pipes without hinges that hang free; others are stiff.
//! Source: cubic elements with consistent masses (handbooks of finite elements, from memory); a frame that floats, of which the shapes are those
//! of the free beam, so that they move neither its centre nor its mean direction (from memory).
//! Checked by: the tests below, against the free-free beam; tests/laws.rs (energy); crates/rig, tests/main/bending.rs, against an independent beam.

use crate::masses::{AtStart, GRAVITY_M_PER_S2, Masses};
use nalgebra::{Cholesky, DMatrix, DVector, SymmetricEigen, Vector3};
use statics::{BeamId, FrameId, FrameKind, Parameters, State, Topology};

/// Elements of a pipe, and of each of its pieces, at the least.
const ELEMENTS: usize = 16;
const OF_EACH: usize = 2;
/// Shapes in each plane at the most.
const SHAPES: usize = 6;
/// Quicker shapes are left out, rad/s.
const QUICKEST_RAD_PER_S: f64 = std::f64::consts::TAU * 100.0;

/// How one pipe bends.
#[derive(Debug, Clone, PartialEq)]
pub struct Flexible {
    pub(crate) frames: Vec<FrameId>,
    pub(crate) modes: Vec<Mode>,
    first_m: Vector3<f64>,
    axis: Vector3<f64>,
    nodes_m: Vec<f64>,
}

/// A shape in which a pipe bends.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mode {
    /// The square of how fast it swings by itself, 1/s².
    pub(crate) square: f64,
    /// Where it goes.
    toward: Vector3<f64>,
    /// Deflection and slope at each node.
    at_nodes: Vec<[f64; 2]>,
}

/// Finds how the pipes of a rig bend that hang free.
#[must_use]
pub fn flexible(
    topology: &Topology,
    parameters: &Parameters,
    masses: &Masses,
    start: &State,
) -> Vec<Flexible> {
    let rig = AtStart {
        topology,
        parameters,
        masses,
        start,
    };
    let joined = topology.joined();
    let bodies = topology
        .frames()
        .filter(|frame| topology.kind(*frame) == FrameKind::Body && joined[frame.index()] == frame.index());
    bodies
        .filter_map(|first| {
            let frames = topology
                .frames()
                .filter(|frame| joined[frame.index()] == first.index());
            of_chain(&rig, frames.collect())
        })
        .collect()
}

/// Finds how a chain of frames bends; none where it has hinges, is built in, or is no chain.
fn of_chain(rig: &AtStart<'_>, frames: Vec<FrameId>) -> Option<Flexible> {
    let topology = rig.topology;
    let beams: Vec<BeamId> = topology
        .beams()
        .filter(|beam| topology.ends(*beam).iter().any(|end| frames.contains(end)))
        .collect();
    let is_plain = |beam: &BeamId| {
        let given = &rig.parameters.beams[beam.index()];
        given.length_m > 0.0
            && given.turn_n_m.y > 0.0
            && given.turn_n_m.z > 0.0
            && topology.ends(*beam).iter().all(|end| frames.contains(end))
    };
    if beams.is_empty() || beams.len() + 1 != frames.len() || !beams.iter().all(is_plain) {
        return None;
    }
    let at = |frame: FrameId| rig.start.frame_at_m(topology, rig.parameters, frame);
    let ends: Vec<[Vector3<f64>; 2]> = beams.iter().map(|beam| topology.ends(*beam).map(at)).collect();
    let along = rig.start.rotation[frames[0].index()] * Vector3::x();
    let mut order: Vec<(f64, FrameId)> = frames
        .iter()
        .map(|frame| (at(*frame).dot(&along), *frame))
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (first_m, last_m) = (at(order[0].1), at(order[order.len() - 1].1));
    let axis = (last_m - first_m).try_normalize(1e-9)?;
    let mut pieces: Vec<Piece> = beams
        .iter()
        .zip(&ends)
        .map(|(beam, ends)| {
            let given = &rig.parameters.beams[beam.index()];
            let [a, b] = [0, 1].map(|end| (ends[end] - first_m).dot(&axis));
            Piece {
                ends_m: [a.min(b), a.max(b)],
                bending_n_m2: [given.turn_n_m.y, given.turn_n_m.z].map(|turn| turn * given.length_m),
                mass_kg_per_m: given.load_n_per_m.norm() / GRAVITY_M_PER_S2,
            }
        })
        .collect();
    pieces.sort_by(|a, b| a.ends_m[0].total_cmp(&b.ends_m[0]));
    let lumps: Vec<(f64, f64)> = rig
        .lumps(&frames)
        .into_iter()
        .map(|(mass_kg, at_m)| ((at_m - first_m).dot(&axis), mass_kg))
        .collect();
    let beam = Elements::new(&pieces);
    // Bending about y goes along z, and about z along y.
    let turn = rig.start.rotation[order[0].1.index()];
    let planes = [(0, turn * Vector3::z()), (1, turn * Vector3::y())];
    let modes = planes.iter().flat_map(|(about, toward)| {
        let toward = (toward - axis * axis.dot(toward)).normalize();
        beam.shapes(&pieces, &lumps, *about)
            .into_iter()
            .map(move |(square, at_nodes)| Mode {
                square,
                toward,
                at_nodes,
            })
    });
    Some(Flexible {
        modes: modes.collect(),
        frames,
        first_m,
        axis,
        nodes_m: beam.nodes_m,
    })
}

impl Flexible {
    /// Tells whether it is the pipe of which a frame is a part.
    #[must_use]
    pub fn has(&self, frame: FrameId) -> bool {
        self.frames.contains(&frame)
    }

    /// Gives how far a place, as it is at the start, goes in each shape, m for one of it.
    pub(crate) fn at(&self, place_m: Vector3<f64>) -> Vec<Vector3<f64>> {
        let x = (place_m - self.first_m).dot(&self.axis);
        let (element, row) = row(&self.nodes_m, x);
        let far = |mode: &Mode| {
            let [a, b] = [0, 1].map(|end| mode.at_nodes[element + end]);
            row[0] * a[0] + row[1] * a[1] + row[2] * b[0] + row[3] * b[1]
        };
        self.modes.iter().map(|mode| mode.toward * far(mode)).collect()
    }
}

/// A piece of a pipe.
struct Piece {
    ends_m: [f64; 2],
    /// EI about y and z, N m².
    bending_n_m2: [f64; 2],
    mass_kg_per_m: f64,
}

/// A pipe divided into elements.
struct Elements {
    nodes_m: Vec<f64>,
    /// Which piece each element is of.
    of_piece: Vec<usize>,
}

impl Elements {
    fn new(pieces: &[Piece]) -> Self {
        let length_m: f64 = pieces.iter().map(|piece| piece.ends_m[1] - piece.ends_m[0]).sum();
        let (mut nodes_m, mut of_piece) = (vec![pieces[0].ends_m[0]], Vec::new());
        for (index, piece) in pieces.iter().enumerate() {
            let [from, to] = piece.ends_m;
            let count = ((to - from) / length_m * ELEMENTS as f64)
                .ceil()
                .max(OF_EACH as f64) as usize;
            for element in 1..=count {
                nodes_m.push(from + (to - from) * element as f64 / count as f64);
                of_piece.push(index);
            }
        }
        Elements { nodes_m, of_piece }
    }

    /// Finds the slowest shapes in one plane: the square of how fast, and deflection and slope at the nodes.
    fn shapes(&self, pieces: &[Piece], lumps: &[(f64, f64)], about: usize) -> Vec<(f64, Vec<[f64; 2]>)> {
        let size = 2 * self.nodes_m.len();
        let (mut stiff, mut mass) = (DMatrix::zeros(size, size), DMatrix::zeros(size, size));
        for (element, piece) in self.of_piece.iter().enumerate() {
            let piece = &pieces[*piece];
            let h = self.nodes_m[element + 1] - self.nodes_m[element];
            add(&mut stiff, element, &bending(h), piece.bending_n_m2[about]);
            add(&mut mass, element, &inertia(h), piece.mass_kg_per_m);
        }
        for (x, mass_kg) in lumps {
            let (element, row) = row(&self.nodes_m, *x);
            for (i, a) in row.iter().enumerate() {
                for (j, b) in row.iter().enumerate() {
                    mass[(2 * element + i, 2 * element + j)] += mass_kg * a * b;
                }
            }
        }
        // A pipe of which only what it carries has mass has some of its own all the same.
        let total_kg = mass.diagonal().sum();
        for i in 0..size {
            mass[(i, i)] += 1e-9 * total_kg;
        }
        let Some(cholesky) = Cholesky::new(mass) else {
            return Vec::new();
        };
        let l = cholesky.l();
        let Some(left) = l.solve_lower_triangular(&stiff) else {
            return Vec::new();
        };
        let Some(both) = l.solve_lower_triangular(&left.transpose()) else {
            return Vec::new();
        };
        let eigen = SymmetricEigen::new((&both + both.transpose()) * 0.5);
        let mut order: Vec<usize> = (0..size).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        // The first two move it as if it were stiff.
        let slow = order.into_iter().skip(2).take(SHAPES);
        let slow = slow.filter(|at| eigen.eigenvalues[*at] < QUICKEST_RAD_PER_S * QUICKEST_RAD_PER_S);
        slow.filter_map(|at| {
            let shape: DVector<f64> =
                l.tr_solve_lower_triangular(&eigen.eigenvectors.column(at).into_owned())?;
            let at_nodes = (0..self.nodes_m.len()).map(|node| [shape[2 * node], shape[2 * node + 1]]);
            Some((eigen.eigenvalues[at], at_nodes.collect()))
        })
        .collect()
    }
}

/// Gives the element that a place is in, and how deflections and slopes of its ends make the deflection there; past the ends it goes on straight.
fn row(nodes_m: &[f64], x: f64) -> (usize, [f64; 4]) {
    let last = nodes_m.len() - 2;
    let element = nodes_m[1..=last].iter().filter(|node| **node <= x).count();
    let h = nodes_m[element + 1] - nodes_m[element];
    let s = ((x - nodes_m[element]) / h).clamp(0.0, 1.0);
    let past = x - nodes_m[element] - s * h;
    let (s2, s3) = (s * s, s * s * s);
    let mut row = [
        1.0 - 3.0 * s2 + 2.0 * s3,
        h * (s - 2.0 * s2 + s3),
        3.0 * s2 - 2.0 * s3,
        h * (s3 - s2),
    ];
    // Of an end its slope.
    row[1] += if s == 0.0 { past } else { 0.0 };
    row[3] += if s == 1.0 { past } else { 0.0 };
    (element, row)
}

fn add(to: &mut DMatrix<f64>, element: usize, of: &[[f64; 4]; 4], by: f64) {
    for (i, row) in of.iter().enumerate() {
        for (j, value) in row.iter().enumerate() {
            to[(2 * element + i, 2 * element + j)] += by * value;
        }
    }
}

fn bending(h: f64) -> [[f64; 4]; 4] {
    let (a, b, c) = (12.0 / h.powi(3), 6.0 / h.powi(2), 4.0 / h);
    [
        [a, b, -a, b],
        [b, c, -b, 0.5 * c],
        [-a, -b, a, -b],
        [b, 0.5 * c, -b, c],
    ]
}

fn inertia(h: f64) -> [[f64; 4]; 4] {
    let by = h / 420.0;
    [
        [156.0, 22.0 * h, 54.0, -13.0 * h],
        [22.0 * h, 4.0 * h * h, 13.0 * h, -3.0 * h * h],
        [54.0, 13.0 * h, 156.0, -22.0 * h],
        [-13.0 * h, -3.0 * h * h, -22.0 * h, 4.0 * h * h],
    ]
    .map(|row| row.map(|value| value * by))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A free beam swings at (4.730041)² and (7.853205)² times sqrt(EI / m L⁴) (handbooks, from memory).
    #[test]
    fn a_free_beam_swings_as_in_handbooks() {
        let pieces = [Piece {
            ends_m: [0.0, 3.0],
            bending_n_m2: [2e3, 5e3],
            mass_kg_per_m: 4.0,
        }];
        let beam = Elements::new(&pieces);
        for (about, ei) in [(0, 2e3_f64), (1, 5e3)] {
            let unit = (ei / 4.0 / 81.0).sqrt();
            let found: Vec<f64> = beam
                .shapes(&pieces, &[], about)
                .iter()
                .map(|(square, _)| square.sqrt() / unit)
                .collect();
            assert!((found[0] / 4.730_041_f64.powi(2) - 1.0).abs() < 1e-4, "{found:?}");
            assert!((found[1] / 7.853_205_f64.powi(2) - 1.0).abs() < 1e-3, "{found:?}");
        }
        // Mass 1 kg in each: of the first the end goes 2 / sqrt(m L), and the deflections of all of it sum up to nothing.
        let (_, first) = &beam.shapes(&pieces, &[], 0)[0];
        assert!(
            (first[0][0].abs() - 2.0 / 12.0_f64.sqrt()).abs() < 1e-3,
            "{first:?}"
        );
    }

    /// Two heavy weights at the ends of a light beam: they swing on it at sqrt(k / (m / 2)) hardly at all, since each stands still as the beam
    /// swings between them: as one on supports, pi² sqrt(EI / m L⁴).
    #[test]
    fn heavy_ends_stand_still() {
        let pieces = [Piece {
            ends_m: [0.0, 3.0],
            bending_n_m2: [2e4, 2e4],
            mass_kg_per_m: 4.0,
        }];
        let beam = Elements::new(&pieces);
        let shapes = beam.shapes(&pieces, &[(0.0, 1e5), (3.0, 1e5)], 0);
        let unit = (2e4_f64 / 4.0 / 81.0).sqrt();
        assert!((shapes[0].0.sqrt() / unit / std::f64::consts::PI.powi(2) - 1.0).abs() < 1e-3);
    }
}
