//! Cholesky factorisation of a sparse matrix: analysed once, refactored in reused memory.
//!
//! Conventions: lower triangle in compressed columns; approximate minimum degree ordering.
//! Assumes: the pattern never changes.
//! Valid for: positive definite matrices.
//! Source: Amestoy, Davis, Duff 1996 for the ordering (from memory); the faer library does the work, on one
//! thread so that results do not depend on their number.
//! Checked by: dense and sparse solve the same system, in assemble.rs.

use crate::pattern::Columns;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};

/// Holds the analysis, the factor and the scratch memory of one sparse matrix.
pub(crate) struct Sparse {
    size: usize,
    symbolic: SymbolicCholesky<usize>,
    factor: Vec<f64>,
    scratch: MemBuffer,
}

impl std::fmt::Debug for Sparse {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sparse")
            .field("size", &self.size)
            .finish_non_exhaustive()
    }
}

impl Sparse {
    /// Analyses the pattern; `None` if memory does not suffice.
    pub fn new(size: usize, columns: &Columns) -> Option<Self> {
        let pattern = pattern_of(size, columns);
        let symbolic = factorize_symbolic_cholesky(
            pattern,
            Side::Lower,
            SymmetricOrdering::Amd,
            CholeskySymbolicParams::default(),
        )
        .ok()?;
        let request = symbolic
            .factorize_numeric_llt_scratch::<f64>(Par::Seq, faer::Spec::default())
            .or(symbolic.solve_in_place_scratch::<f64>(1, Par::Seq));
        let scratch = MemBuffer::try_new(request).ok()?;
        let factor = vec![0.0; symbolic.len_val()];
        Some(Self {
            size,
            symbolic,
            factor,
            scratch,
        })
    }

    /// Factorises; false if not positive definite.
    pub fn factorise(&mut self, columns: &Columns, values: &[f64]) -> bool {
        let matrix = SparseColMatRef::new(pattern_of(self.size, columns), values);
        self.symbolic
            .factorize_numeric_llt(
                &mut self.factor,
                matrix,
                Side::Lower,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut self.scratch),
                faer::Spec::default(),
            )
            .is_ok()
    }

    /// Solves with the last factor, in place.
    pub fn solve(&mut self, right: &mut [f64]) {
        let right = MatMut::from_column_major_slice_mut(right, self.size, 1);
        LltRef::new(&self.symbolic, &self.factor).solve_in_place_with_conj(
            Conj::No,
            right,
            Par::Seq,
            MemStack::new(&mut self.scratch),
        );
    }
}

fn pattern_of(size: usize, columns: &Columns) -> SymbolicSparseColMatRef<'_, usize> {
    SymbolicSparseColMatRef::new_checked(size, size, &columns.starts, None, &columns.rows)
}
