//! Lines that sag: which do, and how a heavy line hangs over its path.
//!
//! A line that runs over places on its way has the same tension on both sides of each: its unloaded length is divided
//! so that the energy is least. That division is found for every pose, and condensed out of slope and stiffness.
//!
//! Conventions: as in assemble.rs; energies and slopes without the half of its weight that each line puts on each of its
//! ends, which the model has already.
//! Assumes: frictionless sheaves of no size.
//! Valid for: taut and slack lines. A heavy line over a sheave may run off to one side: then there is no division.
//! Source: when sag matters, the modulus of Ernst, Der Bauingenieur 40, 1965 (from memory); otherwise first principles.
//! Checked by: unit tests below; tests/published.rs (P03); tests/structures.rs.

use crate::catenary::{Hang, Rope};
use crate::model::ModelLine;
use nalgebra::{DMatrix, DVector, Matrix3, Vector3};

/// Share by which sag must soften a line before it counts.
pub(crate) const SAG_MATTERS: f64 = 1e-3;

/// Tells whether sag softens a straight line by more than [`SAG_MATTERS`]: EA (w h)^2 / (12 T^3), summed by length over
/// the segments of its path, with their directions. A slack line with weight always sags.
pub(crate) fn sag_matters(
    line: &ModelLine,
    tension_n: f64,
    directions: &[Vector3<f64>],
    segments_m: &[f64],
) -> bool {
    if line.weight_n_per_m <= 0.0 {
        return false;
    }
    if tension_n <= 0.0 {
        return true;
    }
    let softest = line.true_stiffness * line.unloaded_m / (12.0 * tension_n.powi(3));
    let mut total_m = 0.0;
    let mut softening_m = 0.0;
    for (direction, segment_m) in directions.iter().zip(segments_m) {
        let across_n = line.weight_n_per_m * segment_m * direction.xy().norm();
        total_m += segment_m;
        softening_m += segment_m * softest * across_n * across_n;
    }
    softening_m > SAG_MATTERS * total_m
        || unevenly_hung_n(line, directions, segments_m) > SAG_MATTERS * tension_n
}

/// Gives how much the tension of a straight line that runs over places is off for having half of its weight at each end: its weight
/// for a metre times how far its pieces are apart in height, N; 0 of a line that runs over nothing.
fn unevenly_hung_n(line: &ModelLine, directions: &[Vector3<f64>], segments_m: &[f64]) -> f64 {
    if segments_m.len() < 2 {
        return 0.0;
    }
    let (mut at_m, mut least_m, mut most_m) = (0.0, f64::INFINITY, f64::NEG_INFINITY);
    for (direction, segment_m) in directions.iter().zip(segments_m) {
        let rise_m = direction.z * segment_m;
        least_m = f64::min(least_m, at_m + 0.5 * rise_m);
        most_m = f64::max(most_m, at_m + 0.5 * rise_m);
        at_m += rise_m;
    }
    line.weight_n_per_m * (most_m - least_m)
}

/// Holds how a heavy line hangs.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sagging {
    /// Its pieces from place to place.
    pub pieces: Vec<Piece>,
    /// Slope of the energy by the place of each attachment of its path.
    pub slopes: Vec<Vector3<f64>>,
    /// Stiffness by pairs (i, j <= i) of its path, row by row.
    pub blocks: Vec<Matrix3<f64>>,
    pub energy_j: f64,
    /// Whether it runs off over a sheave, so that no division of its length holds.
    pub runs_off: bool,
}

/// Says what a division of a line over its path costs.
struct Division<'a> {
    line: &'a ModelLine,
    path_m: &'a [Vector3<f64>],
}

impl Division<'_> {
    fn energy_j(&self, pieces: &[Piece]) -> f64 {
        let each = pieces.iter().enumerate();
        each.map(|(i, piece)| piece.hang.energy_j + piece.unloaded_m * self.raised_n(i))
            .sum()
    }

    /// The energy that a metre more of each piece would bring: minus its tension where it is at z = 0, so alike in all.
    fn slopes_n(&self, pieces: &[Piece]) -> Vec<f64> {
        let each = pieces.iter().enumerate();
        each.map(|(i, piece)| piece.hang.by_length.energy_n + self.raised_n(i))
            .collect()
    }

    fn raised_n(&self, i: usize) -> f64 {
        self.line.weight_n_per_m * 0.5 * (self.path_m[i].z + self.path_m[i + 1].z)
    }
}

/// Greatest difference of slopes.
fn unevenness(slopes: &[f64]) -> f64 {
    let least = slopes.iter().copied().fold(f64::INFINITY, f64::min);
    slopes.iter().copied().fold(f64::NEG_INFINITY, f64::max) - least
}

/// Holds one piece of a heavy line.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    pub unloaded_m: f64,
    pub reach_m: Vector3<f64>,
    pub hang: Hang,
}

/// Most rounds to divide a line over its path.
const ROUNDS: u32 = 60;

impl Sagging {
    /// Hangs a line over the places of its path: from the pieces it had, or where they lead nowhere, or it had none, from a
    /// division by distance.
    pub fn measure(&mut self, line: &ModelLine, path_m: &[Vector3<f64>]) {
        let same = self.pieces.len() + 1 == path_m.len() && !self.runs_off;
        if same {
            self.hang_again(line, path_m);
            self.divide(line, path_m);
        }
        if !same || self.runs_off {
            self.hang_by_distance(line, path_m);
            self.divide(line, path_m);
        }
        self.write(line, path_m);
    }

    fn hang_again(&mut self, line: &ModelLine, path_m: &[Vector3<f64>]) {
        let total_m: f64 = self.pieces.iter().map(|piece| piece.unloaded_m).sum();
        for (piece, pair) in self.pieces.iter_mut().zip(path_m.windows(2)) {
            let unloaded_m = piece.unloaded_m * line.unloaded_m / total_m;
            *piece = Piece::hung(line, unloaded_m, pair[1] - pair[0], Some(piece.hang.pull_n));
        }
    }

    fn hang_by_distance(&mut self, line: &ModelLine, path_m: &[Vector3<f64>]) {
        let even = 1.0 / (path_m.len() - 1) as f64;
        let path_length_m: f64 = path_m.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
        self.runs_off = false;
        self.pieces.clear();
        self.pieces.extend(path_m.windows(2).map(|pair| {
            let reach_m = pair[1] - pair[0];
            let share = reach_m.norm() / path_length_m;
            let share = if share.is_finite() {
                share.max(1e-6 * even)
            } else {
                even
            };
            Piece::hung(line, share * line.unloaded_m, reach_m, None)
        }));
    }

    /// Divides the length so that the energy is least: equal tension on both sides of each place between.
    fn divide(&mut self, line: &ModelLine, path_m: &[Vector3<f64>]) {
        if self.pieces.len() < 2 {
            return;
        }
        let division = Division { line, path_m };
        let mut now_j = division.energy_j(&self.pieces);
        for _ in 0..ROUNDS {
            let slopes = division.slopes_n(&self.pieces);
            let scale_n = slopes.iter().map(|s| s.abs()).fold(0.0, f64::max);
            let uneven_n = unevenness(&slopes);
            if uneven_n <= 64.0 * f64::EPSILON * scale_n {
                break;
            }
            let Some((pieces, there_j)) = self.evener(&division, &slopes, now_j) else {
                // What is left is rounding, or it runs off.
                self.runs_off = uneven_n > 1e-6 * scale_n;
                break;
            };
            (self.pieces, now_j) = (pieces, there_j);
        }
        self.runs_off |= !self.division_holds();
    }

    /// Takes a Newton step, shortened until the energy falls; near the end, where the energy does not resolve it, until
    /// the tensions are more alike.
    fn evener(&self, division: &Division<'_>, slopes: &[f64], now_j: f64) -> Option<(Vec<Piece>, f64)> {
        let curves = self.curves();
        let softness: f64 = curves.iter().map(|c| 1.0 / c).sum();
        let mean = slopes.iter().zip(&curves).map(|(s, c)| s / c).sum::<f64>() / softness;
        let steps: Vec<f64> = slopes.iter().zip(&curves).map(|(s, c)| (mean - s) / c).collect();
        let mut factor = self.reach(&steps);
        for _ in 0..30 {
            let tried = self.longer(division.line, &steps, factor);
            let there_j = division.energy_j(&tried);
            let resolved = (there_j - now_j).abs() > 1e-12 * now_j.abs();
            let evener = || unevenness(&division.slopes_n(&tried)) < 0.5 * unevenness(slopes);
            if resolved && there_j < now_j || !resolved && evener() {
                return Some((tried, there_j));
            }
            factor *= 0.5;
        }
        None
    }

    /// Gives the share of a step in the lengths of the pieces, the whole of it at the most, that leaves each three tenths of its own.
    fn reach(&self, steps_m: &[f64]) -> f64 {
        let each = steps_m.iter().zip(&self.pieces);
        let most = each.map(|(by_m, piece)| -by_m / (0.7 * piece.unloaded_m));
        1.0 / most.fold(1.0, f64::max)
    }

    /// Hangs the pieces again, longer by a share of a step.
    fn longer(&self, line: &ModelLine, steps_m: &[f64], share: f64) -> Vec<Piece> {
        let each = self.pieces.iter().zip(steps_m);
        each.map(|(piece, by_m)| piece.longer(line, share * by_m))
            .collect()
    }

    /// Curvature of the energy by the length of each piece, made positive where else a step would not lead downhill.
    fn curves(&self) -> Vec<f64> {
        if self.division_holds() {
            return self
                .pieces
                .iter()
                .map(|p| p.hang.by_length.energy_n_per_m)
                .collect();
        }
        let own = |piece: &Piece| piece.hang.by_length.energy_n_per_m;
        let largest = self.pieces.iter().map(|p| own(p).abs()).fold(0.0, f64::max);
        let least = 1e-9 * largest.max(f64::MIN_POSITIVE);
        self.pieces.iter().map(|p| own(p).abs().max(least)).collect()
    }

    /// Tells whether the energy is least, and not only level: its curvature is positive over all divisions that keep the
    /// length. With one piece of negative curvature that asks for a negative sum of the inverses.
    fn division_holds(&self) -> bool {
        let curves: Vec<f64> = self
            .pieces
            .iter()
            .map(|p| p.hang.by_length.energy_n_per_m)
            .collect();
        let negative = curves.iter().filter(|c| **c <= 0.0).count();
        negative == 0 || negative == 1 && curves.iter().map(|c| 1.0 / c).sum::<f64>() < 0.0
    }

    /// Divides a line that is about to slip, from the division without friction: past each place between, the tension is so many
    /// times that before it. Writes its slopes and leaves the stiffness. Tells whether there is such a division.
    pub fn slip(&mut self, line: &ModelLine, path_m: &[Vector3<f64>], after_over_before: &[f64]) -> bool {
        let lacks = |pieces: &[Piece]| {
            let each = after_over_before.iter().zip(pieces.windows(2));
            let each = each
                .map(|(ratio, pair)| pair[1].hang.end_tensions_n[0] - ratio * pair[0].hang.end_tensions_n[1]);
            DVector::from_iterator(after_over_before.len(), each)
        };
        let mut now_n = lacks(&self.pieces);
        for _ in 0..ROUNDS {
            let scale_n = self.tension_n();
            if now_n.amax() <= 1e-12 * scale_n {
                break;
            }
            let Some((pieces, there_n)) = self.nearer(line, after_over_before, &now_n, lacks) else {
                break;
            };
            (self.pieces, now_n) = (pieces, there_n);
        }
        self.write_slopes(line, path_m);
        !self.runs_off && now_n.amax() <= 1e-9 * self.tension_n()
    }

    /// Takes a Newton step towards the ratios asked for, shortened until it comes nearer.
    fn nearer(
        &self,
        line: &ModelLine,
        after_over_before: &[f64],
        now_n: &DVector<f64>,
        lacks: impl Fn(&[Piece]) -> DVector<f64>,
    ) -> Option<(Vec<Piece>, DVector<f64>)> {
        let count = self.pieces.len();
        // The last row keeps the whole length.
        let mut slopes = DMatrix::zeros(count, count);
        for (row, ratio) in after_over_before.iter().enumerate() {
            slopes[(row, row)] = -ratio * self.pieces[row].end_tension_n_per_m(line, 1);
            slopes[(row, row + 1)] = self.pieces[row + 1].end_tension_n_per_m(line, 0);
        }
        slopes.row_mut(count - 1).fill(1.0);
        let step_m = slopes.lu().solve(&(-now_n.clone().insert_row(count - 1, 0.0)))?;
        let mut factor = self.reach(step_m.as_slice());
        for _ in 0..30 {
            let tried = self.longer(line, step_m.as_slice(), factor);
            let there_n = lacks(&tried);
            if there_n.norm() < now_n.norm() {
                return Some((tried, there_n));
            }
            factor *= 0.5;
        }
        None
    }

    /// Writes the slope at each place, and the energy.
    fn write_slopes(&mut self, line: &ModelLine, path_m: &[Vector3<f64>]) {
        let (count, w) = (path_m.len(), line.weight_n_per_m);
        let half_n = 0.5 * w * line.unloaded_m;
        self.slopes.clear();
        self.slopes.resize(count, Vector3::zeros());
        self.energy_j = -half_n * (path_m[0].z + path_m[count - 1].z);
        for (i, piece) in self.pieces.iter().enumerate() {
            let own = Vector3::z() * (0.5 * w * piece.unloaded_m);
            self.slopes[i] += own - piece.hang.pull_n;
            self.slopes[i + 1] += own + piece.hang.pull_n;
            self.energy_j += piece.hang.energy_j + own.z * (path_m[i].z + path_m[i + 1].z);
        }
        self.slopes[0].z -= half_n;
        self.slopes[count - 1].z -= half_n;
    }

    /// Writes slopes, stiffness and energy, with the division condensed out.
    fn write(&mut self, line: &ModelLine, path_m: &[Vector3<f64>]) {
        let (count, w) = (path_m.len(), line.weight_n_per_m);
        self.write_slopes(line, path_m);
        self.blocks.clear();
        for i in 0..count {
            for j in 0..=i {
                let mut block = Matrix3::zeros();
                if i == j {
                    block += self.piece_stiffness(i.wrapping_sub(1)) + self.piece_stiffness(i);
                } else if j + 1 == i {
                    block -= self.piece_stiffness(j);
                }
                self.blocks.push(block);
            }
        }
        if self.pieces.len() > 1 {
            self.condense(w);
        }
    }

    fn piece_stiffness(&self, i: usize) -> Matrix3<f64> {
        self.pieces
            .get(i)
            .map_or_else(Matrix3::zeros, |piece| piece.hang.stiffness)
    }

    /// Change of the slope at place `j` by the length of piece `i`.
    fn by_length(&self, j: usize, i: usize, w: f64) -> Vector3<f64> {
        let own = Vector3::z() * (0.5 * w);
        let pull = self.pieces[i].hang.by_length.pull_n_per_m;
        match j {
            _ if j == i => own - pull,
            _ if j == i + 1 => own + pull,
            _ => Vector3::zeros(),
        }
    }

    /// Takes the division out: H - B M^-1 B' + (B M^-1 1)(B M^-1 1)' / (1' M^-1 1), with B the change of the slopes by
    /// the length of each piece and M its own curvature.
    fn condense(&mut self, w: f64) {
        let count = self.slopes.len();
        let softness: Vec<f64> = self
            .pieces
            .iter()
            .map(|p| 1.0 / p.hang.by_length.energy_n_per_m)
            .collect();
        let total: f64 = softness.iter().sum();
        let common: Vec<Vector3<f64>> = (0..count)
            .map(|j| {
                (0..self.pieces.len())
                    .map(|i| self.by_length(j, i, w) * softness[i])
                    .sum()
            })
            .collect();
        let mut taken = Vec::with_capacity(self.blocks.len());
        for i in 0..count {
            for j in 0..=i {
                let mut block = common[i] * common[j].transpose() / total;
                for (piece, soft) in softness.iter().enumerate() {
                    let (by_i, by_j) = (self.by_length(i, piece, w), self.by_length(j, piece, w));
                    block -= by_i * by_j.transpose() * *soft;
                }
                taken.push(block);
            }
        }
        for (block, taken) in self.blocks.iter_mut().zip(taken) {
            *block += taken;
        }
    }

    /// How much longer each piece becomes when places move and the whole line becomes longer, so that tension stays the
    /// same on both sides of each place.
    fn longer_pieces_m(&self, line: &ModelLine, moved_m: &[Vector3<f64>], longer_m: f64) -> Vec<f64> {
        if self.pieces.len() == 1 {
            return vec![longer_m];
        }
        let w = line.weight_n_per_m;
        let softness: Vec<f64> = self
            .pieces
            .iter()
            .map(|p| 1.0 / p.hang.by_length.energy_n_per_m)
            .collect();
        let slope = |i: usize| {
            self.by_length(i, i, w).dot(&moved_m[i]) + self.by_length(i + 1, i, w).dot(&moved_m[i + 1])
        };
        let slopes: Vec<f64> = (0..self.pieces.len()).map(slope).collect();
        let even: f64 = slopes.iter().zip(&softness).map(|(s, c)| s * c).sum();
        let common = (longer_m + even) / softness.iter().sum::<f64>();
        slopes
            .iter()
            .zip(&softness)
            .map(|(s, c)| (common - s) * c)
            .collect()
    }

    /// Change of the slope at each place, the weight at both ends included, for each metre more of the line.
    pub fn slopes_by_length(&self, line: &ModelLine) -> Vec<Vector3<f64>> {
        let count = self.slopes.len();
        let still = vec![Vector3::zeros(); count];
        let longer = self.longer_pieces_m(line, &still, 1.0);
        let slope = |j: usize| {
            let each = longer.iter().enumerate();
            each.map(|(i, more)| self.by_length(j, i, line.weight_n_per_m) * *more)
                .sum()
        };
        (0..count).map(slope).collect()
    }

    /// Change of [`Self::tension_n`] when places move and the line becomes longer.
    pub fn tension_change_n(&self, line: &ModelLine, moved_m: &[Vector3<f64>], longer_m: f64) -> f64 {
        let longer = self.longer_pieces_m(line, moved_m, longer_m);
        let mut greatest = (0.0, 0.0);
        for (i, (piece, more)) in self.pieces.iter().zip(longer).enumerate() {
            let tension = piece.hang.pull_n.norm();
            if tension > greatest.0 {
                let change = piece.hang.stiffness * (moved_m[i + 1] - moved_m[i])
                    + piece.hang.by_length.pull_n_per_m * more;
                greatest = (tension, piece.hang.pull_n.dot(&change) / tension);
            }
        }
        greatest.1
    }

    /// Greatest pull of any piece at the middle of its weight, N.
    pub fn tension_n(&self) -> f64 {
        self.pieces
            .iter()
            .map(|p| p.hang.pull_n.norm())
            .fold(0.0, f64::max)
    }

    /// Greatest stiffness of any piece, N/m.
    pub fn stiffest(&self) -> f64 {
        self.pieces
            .iter()
            .map(|p| p.hang.stiffness.norm())
            .fold(0.0, f64::max)
    }

    /// Greatest depth of any piece below the straight line between its ends, m.
    pub fn sag_m(&self, line: &ModelLine) -> f64 {
        let each = self.pieces.iter();
        each.map(|piece| line.rope(piece.unloaded_m).sag_m(&piece.reach_m, &piece.hang))
            .fold(0.0, f64::max)
    }
}

impl Piece {
    fn hung(line: &ModelLine, unloaded_m: f64, reach_m: Vector3<f64>, start_n: Option<Vector3<f64>>) -> Self {
        Self {
            unloaded_m,
            reach_m,
            hang: line.rope(unloaded_m).hang(&reach_m, start_n),
        }
    }

    /// Change of the tension at its first or last end for each metre more of it.
    fn end_tension_n_per_m(&self, line: &ModelLine, end: usize) -> f64 {
        let own = Vector3::z() * (if end == 0 { -0.5 } else { 0.5 } * line.weight_n_per_m);
        let pull = self.hang.pull_n + own * self.unloaded_m;
        pull.normalize().dot(&(self.hang.by_length.pull_n_per_m + own))
    }

    fn longer(&self, line: &ModelLine, by_m: f64) -> Self {
        Self::hung(line, self.unloaded_m + by_m, self.reach_m, Some(self.hang.pull_n))
    }
}

impl ModelLine {
    /// So much of the line as a rope.
    pub(crate) fn rope(&self, unloaded_m: f64) -> Rope {
        Rope {
            stiffness_n: self.stiffness * self.unloaded_m,
            unloaded_m,
            weight_n_per_m: self.weight_n_per_m,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line() -> ModelLine {
        ModelLine {
            sags: true,
            ..ModelLine::of(1e6, 30.0, 12.0)
        }
    }

    fn path(of: &[[f64; 3]]) -> Vec<Vector3<f64>> {
        of.iter().map(|at| Vector3::from(*at)).collect()
    }

    fn measured(path_m: &[Vector3<f64>]) -> Sagging {
        let mut sagging = Sagging::default();
        sagging.measure(&line(), path_m);
        assert!(!sagging.runs_off);
        sagging
    }

    #[test]
    fn tension_is_the_same_on_both_sides_of_a_sheave() {
        let path = path(&[
            [0.0, 0.0, 0.0],
            [9.0, 1.0, 2.0],
            [19.0, 0.0, 1.0],
            [27.0, 1.0, -3.0],
        ]);
        let sagging = measured(&path);
        for pair in sagging.pieces.windows(2) {
            let (before, after) = (pair[0].hang.end_tensions_n[1], pair[1].hang.end_tensions_n[0]);
            assert!((before / after - 1.0).abs() < 1e-9, "{before} {after}");
        }
        let total: f64 = sagging.pieces.iter().map(|p| p.unloaded_m).sum();
        assert!((total - 30.0).abs() < 1e-12);
    }

    #[test]
    fn slopes_and_stiffness_are_those_of_the_energy() {
        let places = path(&[
            [0.0, 0.0, 0.0],
            [9.0, 1.0, 2.0],
            [19.0, 0.0, 1.0],
            [27.0, 1.0, -3.0],
        ]);
        for count in [2, 3, 4] {
            let path = if count == 2 {
                vec![places[0], places[3]]
            } else {
                places[4 - count..].to_vec()
            };
            let path: Vec<Vector3<f64>> = path
                .iter()
                .map(|at| at * (29.0 / 27.0 * if count == 3 { 1.5 } else { 1.0 }))
                .collect();
            let sagging = measured(&path);
            let size = sagging.blocks.iter().map(Matrix3::norm).fold(0.0, f64::max);
            for j in 0..count {
                for axis in 0..3 {
                    let moved = |by: f64| {
                        let mut path = path.clone();
                        path[j][axis] += by;
                        measured(&path)
                    };
                    let (less, more) = (moved(-1e-5), moved(1e-5));
                    let slope = (more.energy_j - less.energy_j) / 2e-5;
                    assert!((slope - sagging.slopes[j][axis]).abs() < 1e-5 * sagging.tension_n());
                    for i in j..count {
                        let change = (more.slopes[i] - less.slopes[i]) / 2e-5;
                        let told = sagging.blocks[i * (i + 1) / 2 + j].column(axis).into_owned();
                        let miss = (change - told).norm();
                        assert!(miss < 1e-5 * size, "{count} {i} {j} {axis}: {miss} of {size}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_loop_over_a_sheave_runs_off() {
        let mut sagging = Sagging::default();
        sagging.measure(
            &line(),
            &path(&[[0.0, 0.0, 0.0], [1.0, 0.0, 0.1], [2.0, 0.0, 0.0]]),
        );
        assert!(sagging.runs_off);
    }
}
