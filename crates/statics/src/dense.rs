//! Cholesky factorisation of a small dense matrix, in place of a reused buffer.
//!
//! Conventions: lower triangle, by columns.
//! Assumes: symmetric; only the lower triangle is read.
//! Valid for: positive definite matrices; a pivot lost in rounding counts as not positive.
//! Source: Golub and Van Loan, Matrix Computations, chapter on positive definite systems (from memory).
//! Checked by: unit test below.

/// The size of the system of one place in space: common, and compiled on its own.
const THREE: usize = 3;

/// Holds the factor of one small dense symmetric matrix, and its room.
#[derive(Debug)]
pub struct Dense {
    size: usize,
    factor: Vec<f64>,
    inverse_pivot: Vec<f64>,
}

impl Dense {
    /// Makes room for a matrix of `size` rows.
    pub fn new(size: usize) -> Self {
        Self {
            size,
            factor: vec![0.0; size * size],
            inverse_pivot: vec![0.0; size],
        }
    }

    /// Factorises a matrix given by columns, of which the lower triangle is read; false if not positive definite to working precision.
    pub fn factorise(&mut self, values: &[f64]) -> bool {
        self.factor.copy_from_slice(values);
        match self.size {
            THREE => factorise(THREE, &mut self.factor, &mut self.inverse_pivot),
            size => factorise(size, &mut self.factor, &mut self.inverse_pivot),
        }
    }

    /// Solves with the last factor, in place of the right-hand side.
    pub fn solve(&self, right: &mut [f64]) {
        match self.size {
            THREE => solve(THREE, &self.factor, &self.inverse_pivot, right),
            size => solve(size, &self.factor, &self.inverse_pivot, right),
        }
    }
}

/// Factorises in place.
#[expect(
    clippy::inline_always,
    reason = "compiled once for each caller, so that a size of three is known there"
)]
#[inline(always)]
fn factorise(n: usize, factor: &mut [f64], inverse_pivot: &mut [f64]) -> bool {
    let (factor, inverse_pivot) = (&mut factor[..n * n], &mut inverse_pivot[..n]);
    for column in 0..n {
        let (done, rest) = factor.split_at_mut(column * n);
        let this = &mut rest[column..n];
        let given = this[0];
        for earlier in done.chunks_exact(n) {
            let tail = &earlier[column..];
            let scale = tail[0];
            if scale != 0.0 {
                for (entry, left) in this.iter_mut().zip(tail) {
                    *entry -= scale * left;
                }
            }
        }
        let pivot = this[0];
        // NaN must fail too.
        if !(pivot > 4.0 * f64::EPSILON * given && pivot > 0.0) {
            return false;
        }
        let inverse = 1.0 / pivot.sqrt();
        for entry in this.iter_mut() {
            *entry *= inverse;
        }
        inverse_pivot[column] = inverse;
    }
    true
}

/// Solves with a factor, in place of the right-hand side.
#[expect(
    clippy::inline_always,
    reason = "compiled once for each caller, so that a size of three is known there"
)]
#[inline(always)]
fn solve(n: usize, factor: &[f64], inverse_pivot: &[f64], right: &mut [f64]) {
    let (factor, inverse_pivot, right) = (&factor[..n * n], &inverse_pivot[..n], &mut right[..n]);
    for column in 0..n {
        let known = right[column] * inverse_pivot[column];
        right[column] = known;
        let below = &factor[column * n + column + 1..(column + 1) * n];
        for (entry, left) in right[column + 1..].iter_mut().zip(below) {
            *entry -= known * left;
        }
    }
    for column in (0..n).rev() {
        let below = &factor[column * n + column + 1..(column + 1) * n];
        let sum: f64 = below
            .iter()
            .zip(&right[column + 1..])
            .map(|(left, known)| left * known)
            .sum();
        right[column] = (right[column] - sum) * inverse_pivot[column];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_a_hilbert_system() {
        let n = 5;
        let matrix: Vec<f64> = (0..n * n)
            .map(|at| 1.0 / (1.0 + (at / n + at % n) as f64))
            .collect();
        let wanted: Vec<f64> = (0..n).map(|i| i as f64 - 2.0).collect();
        let mut right: Vec<f64> = (0..n)
            .map(|row| {
                (0..n)
                    .map(|column| matrix[column * n + row] * wanted[column])
                    .sum()
            })
            .collect();
        let mut dense = Dense::new(n);
        assert!(dense.factorise(&matrix));
        dense.solve(&mut right);
        // The condition number of this matrix is 4.8e5.
        for (got, want) in right.iter().zip(&wanted) {
            assert!((got - want).abs() < 1e-9, "{got} {want}");
        }
    }

    #[test]
    fn refuses_an_indefinite_matrix() {
        assert!(!Dense::new(2).factorise(&[1.0, 2.0, 2.0, 1.0]));
        assert!(!Dense::new(1).factorise(&[f64::NAN]));
    }
}
