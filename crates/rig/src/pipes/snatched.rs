//! What bends a pipe as something lets go and it comes to hang otherwise.
//!
//! Conventions: SI; sizes are never negative; places are metres from the start of the pipe.
//! Assumes: as a pipe comes to hang otherwise all at once, what is in it swings past what it is at rest by as much as that differs from
//! before, at every place along it.
//! Valid for: pipes that come to rest again, with the same pieces before and after.
//! Source: factor 2 of a suddenly applied load; that it holds along a pipe is our judgement (docs/theory/motion.md).
//! Checked by: the tests below, by hand; tests/main/in_time.rs.

use crate::model::{LoadModel, PipeModel};
use crate::pipes::Pipe;
use statics::{AttachmentId, BeamResult, LineId, Solution, Topology, Vector3};

/// Places tried in each piece, ends among them.
const TRIED: u32 = 17;
/// A torque of no more than this share of weight times length is rounding, as in the rig at rest.
const LEAST_TORQUE: f64 = 1e-4;

/// Something along a pipe.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Snatched {
    /// The greatest of it at rest in the end.
    pub(crate) rest: f64,
    /// Where that is.
    pub(crate) rest_at_m: f64,
    /// The greatest of it before, and of what is as much past the rest as that is from before.
    pub(crate) sudden: f64,
    /// Where that is.
    pub(crate) sudden_at_m: f64,
}

/// What is within a pipe.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Snatch {
    /// Bending moment, newton metres.
    pub(crate) moment: Snatched,
    /// Shear, newtons.
    pub(crate) shear: Snatched,
    /// Torque, newton metres.
    pub(crate) torque: Snatched,
    /// Moment and shear at each splice, in the order of the document.
    pub(crate) splices: Vec<[Snatched; 2]>,
    /// At each pick, in the order of the document, how much of the sum of what its lines pull comes to it: less than 1 where they pull
    /// against each other, the greatest of before and at rest.
    pub(crate) picks: Vec<f64>,
}

type Size = fn(&BeamResult, f64) -> Vector3<f64>;

/// Gives what is within a pipe that hung as `before` and comes to hang as `after`.
pub(crate) fn snatch(
    (pipe, load): (&Pipe, &LoadModel),
    picks: &[AttachmentId],
    hangs: [(&Topology, &Solution); 2],
) -> Option<Snatch> {
    let [before, after] = hangs.map(|(_, solution)| solution);
    let chain = load.pipe.as_ref()?;
    let both = Both {
        pieces: pieces(chain, before, after),
    };
    let mut torque = both.greatest(torque);
    let least_n_m = LEAST_TORQUE * load.weight_n.value() * pipe.length_m;
    if torque.rest.max(torque.sudden) <= least_n_m {
        torque = Snatched::default();
    }
    let together = |pick: &AttachmentId| {
        let shares = hangs
            .iter()
            .filter_map(|(topology, solution)| share(topology, solution, *pick));
        shares.reduce(f64::max).unwrap_or(1.0)
    };
    Some(Snatch {
        picks: picks.iter().map(together).collect(),
        moment: both.greatest(moment),
        shear: both.greatest(shear),
        torque,
        splices: pipe
            .splices
            .iter()
            .map(|splice| [moment, shear].map(|size| both.at(splice.along_m, size)))
            .collect(),
    })
}

/// Gives how much of the sum of what lines pull at a place comes to it; none where none pulls.
fn share(topology: &Topology, solution: &Solution, pick: AttachmentId) -> Option<f64> {
    let (mut force_n, mut sum_n) = (Vector3::zeros(), 0.0);
    for line in topology.lines() {
        let path = topology.path(line);
        let here = (0..path.len()).filter(|at| path[*at] == pick);
        for at in here {
            force_n += solution.pulls_of(topology, line)[at];
            sum_n += strands(topology, line, at) * solution.line(line).tension_n;
        }
    }
    (sum_n > 0.0).then(|| force_n.norm() / sum_n)
}

/// Says how often a line pulls at a place of its path: once where it ends, twice where it runs over.
pub(crate) fn strands(topology: &Topology, line: LineId, at: usize) -> f64 {
    let ends = at == 0 || at + 1 == topology.path(line).len();
    if ends { 1.0 } else { 2.0 }
}

fn moment(beam: &BeamResult, from_middle_m: f64) -> Vector3<f64> {
    let moment = beam.moment_at(from_middle_m);
    Vector3::new(0.0, moment.y, moment.z)
}

fn shear(beam: &BeamResult, from_middle_m: f64) -> Vector3<f64> {
    beam.shear_at(from_middle_m)
}

fn torque(beam: &BeamResult, from_middle_m: f64) -> Vector3<f64> {
    Vector3::new(beam.moment_at(from_middle_m).x, 0.0, 0.0)
}

/// A piece of a pipe before and after, and where it begins and ends along it.
struct Piece<'a> {
    before: &'a BeamResult,
    after: &'a BeamResult,
    ends_m: [f64; 2],
}

fn pieces<'a>(chain: &PipeModel, before: &'a Solution, after: &'a Solution) -> Vec<Piece<'a>> {
    let chain = &chain.chain;
    let bends = (0..chain.beams.len()).filter(|piece| !chain.hinges[*piece]);
    let piece = |at: usize| {
        let beam = chain.beams[at].index();
        Some(Piece {
            before: before.beams.get(beam)?,
            after: after.beams.get(beam)?,
            ends_m: [chain.along_m[at], chain.along_m[at + 1]],
        })
    };
    bends.filter_map(piece).collect()
}

impl Piece<'_> {
    /// Gives something at a place, told as a share of half of the piece from its middle: at rest, and how much it is when sudden.
    fn at(&self, share: f64, size: Size) -> Snatched {
        let of = |beam: &BeamResult| size(beam, 0.5 * share * beam.length_m);
        let (before, after) = (of(self.before), of(self.after));
        let [first_m, last_m] = self.ends_m;
        let at_m = 0.5 * (first_m + last_m) + 0.5 * share * (last_m - first_m);
        Snatched {
            rest: after.norm(),
            rest_at_m: at_m,
            sudden: before.norm().max((after * 2.0 - before).norm()),
            sudden_at_m: at_m,
        }
    }

    /// Lists places worth a look: evenly along it, and where what shears it at rest, or when sudden, is nothing.
    fn shares(&self) -> Vec<f64> {
        let even = (0..TRIED).map(|i| 2.0 * f64::from(i) / f64::from(TRIED - 1) - 1.0);
        let half_m = 0.5 * self.after.length_m;
        let sudden = |of: fn(&BeamResult) -> Vector3<f64>| of(self.after) * 2.0 - of(self.before);
        let [force, load]: [fn(&BeamResult) -> Vector3<f64>; 2] =
            [|beam| beam.force_n, |beam| beam.load_n_per_m];
        let pairs = [
            (force(self.after), load(self.after)),
            (sudden(force), sudden(load)),
        ];
        let level = pairs
            .iter()
            .flat_map(|(force, load)| [1, 2].map(|axis| force[axis] / load[axis] / half_m));
        even.chain(level.filter(|share| share.abs() < 1.0)).collect()
    }
}

/// A pipe before and after.
struct Both<'a> {
    pieces: Vec<Piece<'a>>,
}

impl Both<'_> {
    fn greatest(&self, size: Size) -> Snatched {
        let each = self
            .pieces
            .iter()
            .flat_map(|piece| piece.shares().into_iter().map(|share| piece.at(share, size)));
        each.reduce(Snatched::greater).unwrap_or_default()
    }

    fn at(&self, along_m: f64, size: Size) -> Snatched {
        let piece = self
            .pieces
            .iter()
            .find(|piece| along_m <= piece.ends_m[1] + 1e-12);
        let Some(piece) = piece.or(self.pieces.last()) else {
            return Snatched::default();
        };
        let [first_m, last_m] = piece.ends_m;
        let share = if last_m > first_m {
            (2.0 * (along_m - first_m) / (last_m - first_m) - 1.0).clamp(-1.0, 1.0)
        } else {
            0.0
        };
        piece.at(share, size)
    }
}

impl Snatched {
    /// Takes the greater of each. The first of equals, whatever rounding says.
    fn greater(self, next: Self) -> Self {
        let mut most = self;
        if next.rest > most.rest * (1.0 + 1e-9) {
            (most.rest, most.rest_at_m) = (next.rest, next.rest_at_m);
        }
        if next.sudden > most.sudden * (1.0 + 1e-9) {
            (most.sudden, most.sudden_at_m) = (next.sudden, next.sudden_at_m);
        }
        most
    }

    /// Gives the most of it where what is at rest is raised by a ratio, and where that is.
    pub(crate) fn raised(&self, ratio: f64) -> (f64, f64) {
        let raised = ratio.max(1.0) * self.rest;
        if self.sudden > raised {
            (self.sudden, self.sudden_at_m)
        } else {
            (raised, self.rest_at_m)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statics::UnitQuaternion;

    fn piece(length_m: f64, moment_n_m: f64, load_n_per_m: f64) -> BeamResult {
        BeamResult {
            length_m,
            rotation: UnitQuaternion::identity(),
            force_n: Vector3::zeros(),
            moment_n_m: Vector3::new(0.0, moment_n_m, 0.0),
            load_n_per_m: Vector3::new(0.0, 0.0, load_n_per_m),
            turn_rad: Vector3::zeros(),
            shift_m: Vector3::zeros(),
            bending_n_m2: [1.0, 1.0],
        }
    }

    /// A pipe over three lines loses the one in its middle: it hogs there by w L² / 32 before, sags by w L² / 8 after, and swings past that
    /// by what lies between: 2 / 8 + 1 / 32 = 9 / 32 (handbook moments of a continuous beam; the factor 2 by hand).
    #[test]
    fn what_bends_the_other_way_before_counts_twice_over() {
        let (load, length) = (1.0, 8.0);
        let [hog, sag] = [-load * length * length / 32.0, load * length * length / 8.0];
        let [before, after] = [hog, sag].map(|moment| piece(1e-6, moment, 0.0));
        let both = Both {
            pieces: vec![Piece {
                before: &before,
                after: &after,
                ends_m: [4.0, 4.0 + 1e-6],
            }],
        };
        let bends = both.greatest(moment);
        assert!((bends.rest - 8.0).abs() < 1e-9, "{bends:?}");
        assert!((bends.sudden - 18.0).abs() < 1e-9, "{bends:?}");
        // Raised by a ratio of two it is 16 only.
        assert!((bends.raised(2.0).0 - 18.0).abs() < 1e-9);
        assert!((bends.raised(3.0).0 - 24.0).abs() < 1e-9);
    }

    #[test]
    fn what_stays_as_it_is_is_raised_by_nothing() {
        let same = piece(2.0, 5.0, 1.0);
        let both = Both {
            pieces: vec![Piece {
                before: &same,
                after: &same,
                ends_m: [0.0, 2.0],
            }],
        };
        let bends = both.greatest(moment);
        assert!((bends.rest - bends.sudden).abs() < 1e-12);
        assert!((bends.raised(1.0).0 - bends.rest).abs() < 1e-12);
    }
}
