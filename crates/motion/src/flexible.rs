//! How pipes bend as they move: the slowest shapes in which each does so by itself.
//!
//! Conventions: SI; shapes are scaled so that the mass that moves in each is 1 kg; directions in world axes as everything is at the start.
//! Assumes: Bernoulli's beam with small deflections from where it is at the start, seen from axes that move with it as if it were stiff; inertia
//! of what is off its axis is left out. Shapes past the seventh in a plane, or quicker than 160 Hz, are left out: there it is stiff. A hinge folds by
//! small angles.
//! Valid for: straight pipes that hang free or are built in at one end; others are stiff.
//! Source: cubic elements with consistent masses (handbooks of finite elements, from memory); a frame that floats, of which the shapes are those
//! of the free beam, so that they move neither its centre nor its mean direction (from memory); of one that is built in those of a cantilever.
//! Checked by: the tests below, against the free-free beam; tests/laws.rs (energy); crates/rig, tests/main/bending.rs, against an independent beam.

use crate::masses::{AtStart, GRAVITY_M_PER_S2, Masses};
use nalgebra::{Cholesky, DMatrix, DVector, SymmetricEigen, Vector3};
use statics::{BeamId, FrameId, FrameKind, Parameters, State, Topology};

/// Elements of a pipe, and of each of its pieces, at the least.
const ELEMENTS: usize = 16;
const OF_EACH: usize = 2;
/// Shapes in each plane at the most.
const SHAPES: usize = 7;
/// Quicker shapes are left out, rad/s.
const QUICKEST_RAD_PER_S: f64 = std::f64::consts::TAU * 160.0;

/// Rigid movements are made so much quicker than what is left out, so that they are none of the slow shapes, rad²/s².
const RIGID_PER_S2: f64 = 100.0 * QUICKEST_RAD_PER_S * QUICKEST_RAD_PER_S;

/// How one pipe bends.
#[derive(Debug, Clone, PartialEq)]
pub struct Flexible {
    pub(crate) frames: Vec<FrameId>,
    pub(crate) modes: Vec<Mode>,
    /// Where it begins, m, and the direction along it, as everything is at the start.
    pub(crate) first_m: Vector3<f64>,
    pub(crate) axis: Vector3<f64>,
    /// Where its frames and its built-in end are along it, in order, m; the two sides of a hinge once.
    pub(crate) along_m: Vec<f64>,
    /// Which end is built into the building.
    pub(crate) built_in: Option<End>,
    /// Of each hinge, by how much it is folded in each shape, rad for one of it.
    pub(crate) hinges: Vec<Vec<f64>>,
    nodes_m: Vec<f64>,
}

/// An end of a pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum End {
    First,
    Last,
}

/// A shape in which a pipe bends.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mode {
    /// The square of how fast it swings by itself, 1/s².
    pub(crate) square: f64,
    /// Where it goes.
    pub(crate) toward: Vector3<f64>,
    /// Deflection and slope at both ends of each element: at a hinge slopes differ.
    of_elements: Vec<[f64; 4]>,
}

/// Finds how the pipes of a rig bend that are built in at one end at the most.
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

/// What a pipe is made of, along its axis.
struct Line {
    pieces: Vec<Piece>,
    hinges_m: Vec<f64>,
    built_in: Option<End>,
    along_m: Vec<f64>,
}

/// Finds how a chain of frames bends; none where it is built in at both ends, or is no chain.
fn of_chain(rig: &AtStart<'_>, frames: Vec<FrameId>) -> Option<Flexible> {
    let at = |frame: FrameId| rig.start.frame_at_m(rig.topology, rig.parameters, frame);
    let turn = rig.start.rotation[frames[0].index()];
    let along = turn * Vector3::x();
    let beams: Vec<BeamId> = rig.beams_on(&frames).collect();
    let mut ends_m: Vec<Vector3<f64>> = beams
        .iter()
        .flat_map(|beam| rig.topology.ends(*beam).map(at))
        .collect();
    ends_m.sort_by(|a, b| a.dot(&along).total_cmp(&b.dot(&along)));
    let (first_m, last_m) = (*ends_m.first()?, *ends_m.last()?);
    let axis = (last_m - first_m).try_normalize(1e-9)?;
    let place = |at_m: Vector3<f64>| (at_m - first_m).dot(&axis);
    let line = line(rig, &frames, &beams, place)?;
    let lumps: Vec<(f64, f64)> = rig
        .lumps(&frames)
        .into_iter()
        .map(|(mass_kg, at_m)| (place(at_m), mass_kg))
        .collect();
    let beam = Elements::new(&line);
    // Bending about y goes along z, and about z along y.
    let planes = [(0, turn * Vector3::z()), (1, turn * Vector3::y())];
    let modes = planes.iter().flat_map(|(about, toward)| {
        let toward = (toward - axis * axis.dot(toward)).normalize();
        beam.shapes(&line.pieces, &lumps, *about)
            .into_iter()
            .map(move |(square, of_elements)| Mode {
                square,
                toward,
                of_elements,
            })
    });
    let modes: Vec<Mode> = modes.collect();
    let folds = |hinge_m: &f64| {
        let (after, _) = row(&beam.nodes_m, hinge_m + AT_NODE_M);
        let before = after.saturating_sub(1);
        let of_mode = |mode: &Mode| mode.of_elements[after][1] - mode.of_elements[before][3];
        modes.iter().map(of_mode).collect()
    };
    Some(Flexible {
        hinges: line.hinges_m.iter().map(folds).collect(),
        modes,
        frames,
        first_m,
        axis,
        along_m: line.along_m,
        built_in: line.built_in,
        nodes_m: beam.nodes_m,
    })
}

/// Lays the pieces, hinges and ends of a chain along its axis.
fn line(
    rig: &AtStart<'_>,
    frames: &[FrameId],
    beams: &[BeamId],
    place: impl Fn(Vector3<f64>) -> f64,
) -> Option<Line> {
    let at = |frame: FrameId| place(rig.start.frame_at_m(rig.topology, rig.parameters, frame));
    let (mut pieces, mut hinges_m, mut fixed_m) = (Vec::new(), Vec::new(), Vec::new());
    for beam in beams {
        let given = &rig.parameters.beams[beam.index()];
        let ends = rig.topology.ends(*beam);
        let [a, b] = ends.map(at);
        fixed_m.extend(ends.into_iter().filter(|end| !frames.contains(end)).map(at));
        let bending_n_m2 = [given.turn_n_m.y, given.turn_n_m.z].map(|turn| turn * given.length_m);
        match given.length_m {
            0.0 => hinges_m.push(0.5 * (a + b)),
            _ if bending_n_m2.iter().all(|ei| *ei > 0.0) => pieces.push(Piece {
                ends_m: [a.min(b), a.max(b)],
                bending_n_m2,
                mass_kg_per_m: given.load_n_per_m.norm() / GRAVITY_M_PER_S2,
            }),
            _ => return None,
        }
    }
    pieces.sort_by(|a, b| a.ends_m[0].total_cmp(&b.ends_m[0]));
    let last_m = pieces.last()?.ends_m[1];
    let built_in = match fixed_m.as_slice() {
        [] => None,
        [at_m] => Some(if 2.0 * at_m < last_m {
            End::First
        } else {
            End::Last
        }),
        _ => return None,
    };
    let along_m = pieces.iter().map(|piece| piece.ends_m[0]).chain([last_m]);
    Some(Line {
        along_m: along_m.collect(),
        pieces,
        hinges_m,
        built_in,
    })
}

impl Flexible {
    /// Tells whether it is the pipe of which a frame is a part.
    #[must_use]
    pub fn has(&self, frame: FrameId) -> bool {
        self.frames.contains(&frame)
    }

    /// Gives how far along it a place is, as it is at the start, m.
    pub(crate) fn along(&self, place_m: Vector3<f64>) -> f64 {
        (place_m - self.first_m).dot(&self.axis)
    }

    /// Gives how far a place, as it is at the start, goes in each shape, m for one of it.
    pub(crate) fn at(&self, place_m: Vector3<f64>) -> Vec<Vector3<f64>> {
        let (element, row) = row(&self.nodes_m, self.along(place_m));
        let far = |mode: &Mode| -> f64 { (0..4).map(|i| row[i] * mode.of_elements[element][i]).sum() };
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

/// A pipe divided into elements, each with its freedoms: deflection and slope at both ends; none where it is built in.
struct Elements {
    nodes_m: Vec<f64>,
    /// Which piece each element is of.
    of_piece: Vec<usize>,
    freedoms: Vec<[Option<usize>; 4]>,
    count: usize,
    is_built_in: bool,
}

/// Hinges this near to a node are in it, metres.
const AT_NODE_M: f64 = 1e-6;

impl Elements {
    fn new(line: &Line) -> Self {
        let pieces = &line.pieces;
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
        let (mut next, last) = (0, nodes_m.len() - 1);
        let mut free = |is_free: bool| {
            is_free.then(|| {
                next += 1;
                next - 1
            })
        };
        let mut freedoms = vec![[None; 4]; last];
        for (node, at_m) in nodes_m.iter().enumerate() {
            let is_free = match line.built_in {
                Some(End::First) => node > 0,
                Some(End::Last) => node < last,
                None => true,
            };
            let (goes, turns) = (free(is_free), free(is_free));
            let is_hinge = line
                .hinges_m
                .iter()
                .any(|hinge_m| (hinge_m - at_m).abs() < AT_NODE_M);
            let turns_after = if is_hinge { free(is_free) } else { turns };
            if node > 0 {
                freedoms[node - 1][2..].copy_from_slice(&[goes, turns]);
            }
            if node < last {
                freedoms[node][..2].copy_from_slice(&[goes, turns_after]);
            }
        }
        Elements {
            nodes_m,
            of_piece,
            freedoms,
            count: next,
            is_built_in: line.built_in.is_some(),
        }
    }

    /// Finds the slowest shapes in one plane: the square of how fast, and deflection and slope at the ends of elements.
    fn shapes(&self, pieces: &[Piece], lumps: &[(f64, f64)], about: usize) -> Vec<(f64, Vec<[f64; 4]>)> {
        let size = self.count;
        let (mut stiff, mut mass) = (DMatrix::zeros(size, size), DMatrix::zeros(size, size));
        for (element, piece) in self.of_piece.iter().enumerate() {
            let piece = &pieces[*piece];
            let h = self.nodes_m[element + 1] - self.nodes_m[element];
            self.add(&mut stiff, element, &bending(h), piece.bending_n_m2[about]);
            self.add(&mut mass, element, &inertia(h), piece.mass_kg_per_m);
        }
        for (x, mass_kg) in lumps {
            let (element, row) = row(&self.nodes_m, *x);
            let lump = row.map(|a| row.map(|b| a * b));
            self.add(&mut mass, element, &lump, *mass_kg);
        }
        // A pipe of which only what it carries has mass has some of its own all the same.
        let total_kg = mass.diagonal().sum();
        for i in 0..size {
            mass[(i, i)] += 1e-9 * total_kg;
        }
        if !self.is_built_in {
            self.set_rigid_apart(&mut stiff, &mass);
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
        let slow = order.into_iter().take(SHAPES);
        let slow = slow.filter(|at| eigen.eigenvalues[*at] < QUICKEST_RAD_PER_S * QUICKEST_RAD_PER_S);
        slow.filter_map(|at| {
            let shape: DVector<f64> =
                l.tr_solve_lower_triangular(&eigen.eigenvectors.column(at).into_owned())?;
            let of = |freedom: Option<usize>| freedom.map_or(0.0, |freedom| shape[freedom]);
            let of_elements = self.freedoms.iter().map(|freedoms| freedoms.map(of));
            // A hinge folds without any stiffness, and what is below nought is rounding.
            Some((eigen.eigenvalues[at].max(0.0), of_elements.collect()))
        })
        .collect()
    }

    fn add(&self, to: &mut DMatrix<f64>, element: usize, of: &[[f64; 4]; 4], by: f64) {
        let freedoms = &self.freedoms[element];
        for (i, row) in freedoms.iter().zip(of) {
            for (j, value) in freedoms.iter().zip(row) {
                if let (Some(i), Some(j)) = (i, j) {
                    to[(*i, *j)] += by * value;
                }
            }
        }
    }

    /// Makes the two movements in which it does not bend quick, which no other shape has any part of.
    fn set_rigid_apart(&self, stiff: &mut DMatrix<f64>, mass: &DMatrix<f64>) {
        let mut rigid: Vec<DVector<f64>> = Vec::new();
        for turns in [false, true] {
            let mut way = DVector::zeros(self.count);
            for (element, freedoms) in self.freedoms.iter().enumerate() {
                let [a, b] = [self.nodes_m[element], self.nodes_m[element + 1]];
                let values = if turns {
                    [a, 1.0, b, 1.0]
                } else {
                    [1.0, 0.0, 1.0, 0.0]
                };
                for (freedom, value) in freedoms.iter().zip(values) {
                    if let Some(freedom) = freedom {
                        way[*freedom] = value;
                    }
                }
            }
            for before in &rigid {
                let share = before.dot(&(mass * &way));
                way -= before * share;
            }
            let moves_kg = way.dot(&(mass * &way));
            if moves_kg > 0.0 {
                rigid.push(way / moves_kg.sqrt());
            }
        }
        for way in rigid {
            let pushes = mass * way;
            *stiff += &pushes * pushes.transpose() * RIGID_PER_S2;
        }
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

    fn free(pieces: Vec<Piece>) -> Line {
        Line {
            pieces,
            hinges_m: Vec::new(),
            built_in: None,
            along_m: Vec::new(),
        }
    }

    fn piece() -> Piece {
        Piece {
            ends_m: [0.0, 3.0],
            bending_n_m2: [2e3, 2e3],
            mass_kg_per_m: 4.0,
        }
    }

    /// A cantilever swings at (1.875104)² and (4.694091)² times sqrt(EI / m L⁴) (handbooks, from memory).
    #[test]
    fn a_cantilever_swings_as_in_handbooks() {
        for end in [End::First, End::Last] {
            let line = Line {
                built_in: Some(end),
                ..free(vec![piece()])
            };
            let shapes = Elements::new(&line).shapes(&line.pieces, &[], 0);
            let unit = (2e3_f64 / 4.0 / 81.0).sqrt();
            for (shape, root) in shapes.iter().zip([1.875_104_f64, 4.694_091]) {
                assert!(
                    (shape.0.sqrt() / unit / root.powi(2) - 1.0).abs() < 1e-4,
                    "{}",
                    shape.0
                );
            }
        }
    }

    /// Two halves on a hinge fold freely, and each half then swings as one that is hinged at one end and free at the other: (3.926602)² with
    /// half of the length (handbooks, from memory), by symmetry.
    #[test]
    fn a_hinge_folds_freely() {
        let halves = [[0.0, 1.5], [1.5, 3.0]].map(|ends_m| Piece { ends_m, ..piece() });
        let line = Line {
            hinges_m: vec![1.5],
            ..free(halves.into())
        };
        let shapes = Elements::new(&line).shapes(&line.pieces, &[], 0);
        let unit = (2e3_f64 / 4.0 / 1.5_f64.powi(4)).sqrt();
        assert!(shapes[0].0.sqrt() < 1e-3 * unit, "{}", shapes[0].0);
        // The ends of a folded pipe go the same way, and its hinge the other.
        let first = &shapes[0].1;
        let (end, hinge) = (first[0][0], first[first.len() / 2][0]);
        assert!(end * hinge < 0.0, "{end} {hinge}");
        let swings = shapes
            .iter()
            .map(|(square, _)| square.sqrt() / unit / 3.926_602_f64.powi(2));
        assert!(
            swings.clone().any(|ratio| (ratio - 1.0).abs() < 1e-3),
            "{:?}",
            swings.collect::<Vec<_>>()
        );
    }

    /// A free beam swings at (4.730041)² and (7.853205)² times sqrt(EI / m L⁴) (handbooks, from memory).
    #[test]
    fn a_free_beam_swings_as_in_handbooks() {
        let pieces = vec![Piece {
            ends_m: [0.0, 3.0],
            bending_n_m2: [2e3, 5e3],
            mass_kg_per_m: 4.0,
        }];
        let line = free(pieces);
        let beam = Elements::new(&line);
        for (about, ei) in [(0, 2e3_f64), (1, 5e3)] {
            let unit = (ei / 4.0 / 81.0).sqrt();
            let found: Vec<f64> = beam
                .shapes(&line.pieces, &[], about)
                .iter()
                .map(|(square, _)| square.sqrt() / unit)
                .collect();
            assert!((found[0] / 4.730_041_f64.powi(2) - 1.0).abs() < 1e-4, "{found:?}");
            assert!((found[1] / 7.853_205_f64.powi(2) - 1.0).abs() < 1e-3, "{found:?}");
        }
        // Mass 1 kg in each: of the first the end goes 2 / sqrt(m L), and the deflections of all of it sum up to nothing.
        let (_, first) = &beam.shapes(&line.pieces, &[], 0)[0];
        assert!(
            (first[0][0].abs() - 2.0 / 12.0_f64.sqrt()).abs() < 1e-3,
            "{first:?}"
        );
    }

    /// Two heavy weights at the ends of a light beam: they swing on it at sqrt(k / (m / 2)) hardly at all, since each stands still as the beam
    /// swings between them: as one on supports, pi² sqrt(EI / m L⁴).
    #[test]
    fn heavy_ends_stand_still() {
        let pieces = vec![Piece {
            ends_m: [0.0, 3.0],
            bending_n_m2: [2e4, 2e4],
            mass_kg_per_m: 4.0,
        }];
        let line = free(pieces);
        let shapes = Elements::new(&line).shapes(&line.pieces, &[(0.0, 1e5), (3.0, 1e5)], 0);
        let unit = (2e4_f64 / 4.0 / 81.0).sqrt();
        assert!((shapes[0].0.sqrt() / unit / std::f64::consts::PI.powi(2) - 1.0).abs() < 1e-3);
    }
}
