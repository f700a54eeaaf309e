//! A stride of a search in pulls: from a pose, where changes of length lead.
//!
//! Conventions: SI; lines are some of the rig's, by document order.
//! Assumes: that everything changes in proportion to the lengths.
//! Valid for: any pose; a stride is shortened to what the search may go at once.
//! Source: Newton's step, see `statics::toward_balance`.
//! Checked by: tests/main/to_trim.rs, tests/main/adjust.rs.

use nalgebra::{DMatrix, DVector};
use statics::{Change, State, Toward, UnitQuaternion, Vector3};

/// How far a stride may turn anything, rad.
const TURN_RAD: f64 = 0.3;

/// What balance and the lengths of some lines do from a pose.
pub(crate) struct Stride<'a> {
    pub(crate) toward: &'a Toward,
    pub(crate) lines: &'a [usize],
}

impl Stride<'_> {
    /// Gives the tensions of the lines once balance is had, newtons, and how lengths change them, newtons per metre.
    pub(crate) fn pulls(&self) -> (DVector<f64>, DMatrix<f64>) {
        let (toward, lines) = (self.toward, self.lines);
        let there_n = lines
            .iter()
            .map(|line| toward.tension_n[*line] + toward.balance.tension_n[*line]);
        let moves = DMatrix::from_fn(lines.len(), lines.len(), |row, column| {
            toward.by_length[lines[column]].tension_n[lines[row]]
        });
        (DVector::from_iterator(lines.len(), there_n), moves)
    }

    /// Moves a state where changes of length lead, by no more than `reach_m` and by a share of the way at the most; gives what the
    /// lines pull there, newtons.
    pub(crate) fn go(
        &self,
        change_m: &DVector<f64>,
        (reach_m, share): (f64, f64),
        state: &mut State,
    ) -> DVector<f64> {
        let (toward, frames) = (self.toward, state.position_m.len());
        let sum = |of: &dyn Fn(&Change) -> Vector3<f64>| {
            let by_length = self.lines.iter().zip(change_m.iter());
            let each = by_length.map(|(line, change_m)| of(&toward.by_length[*line]) * *change_m);
            of(&toward.balance) + each.sum::<Vector3<f64>>()
        };
        let moved: Vec<_> = (0..frames).map(|i| sum(&|change| change.place_m[i])).collect();
        let turned: Vec<_> = (0..frames).map(|i| sum(&|change| change.turn_rad[i])).collect();
        let longest = |vectors: &[Vector3<f64>]| vectors.iter().map(Vector3::norm).fold(0.0, f64::max);
        let factor = (reach_m / longest(&moved))
            .min(TURN_RAD / longest(&turned))
            .min(share);
        for (i, (moved, turned)) in moved.iter().zip(&turned).enumerate() {
            state.position_m[i] += moved * factor;
            state.rotation[i] = UnitQuaternion::from_scaled_axis(turned * factor) * state.rotation[i];
        }
        let (there_n, moves) = self.pulls();
        let now_n = DVector::from_iterator(
            self.lines.len(),
            self.lines.iter().map(|line| toward.tension_n[*line]),
        );
        &now_n + (there_n + moves * change_m - &now_n) * factor
    }
}
