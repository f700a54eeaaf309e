//! The stiffness matrix as assembled, and its factor.
//!
//! Conventions: N/m; entries where pattern.rs says.
//! Assumes: symmetric; only the lower triangle is kept.
//! Valid for: any size, dense or sparse; an analysis that runs out of memory fails every factorisation.
//! Source: from first principles.
//! Checked by: derivatives and solving the same system dense and sparse, both in assemble.rs.

use crate::dense::Dense;
use crate::pattern::Pattern;
use crate::sparse::Sparse;

/// Holds the matrix and what solves with it.
#[derive(Debug)]
pub(crate) struct Stiffness {
    pub pattern: Pattern,
    /// Entries as assembled.
    pub values: Vec<f64>,
    /// Diagonal as assembled, so that shifts never add up.
    diagonal: Vec<f64>,
    /// Added to the diagonal of held unknowns, else 0.
    pub held: Vec<f64>,
    solver: Solver,
    pub factorisations: u32,
}

#[derive(Debug)]
enum Solver {
    Dense(Dense),
    Sparse(Box<Sparse>),
    /// The analysis of the pattern ran out of memory: every factorisation fails.
    OutOfMemory,
}

impl Stiffness {
    pub fn new(pattern: Pattern) -> Self {
        let size = pattern.freedoms;
        let solver = match &pattern.columns {
            None => Solver::Dense(Dense::new(size)),
            Some(columns) => Sparse::new(size, columns)
                .map_or(Solver::OutOfMemory, |sparse| Solver::Sparse(Box::new(sparse))),
        };
        let values = vec![0.0; pattern.entries];
        Self {
            pattern,
            values,
            diagonal: vec![0.0; size],
            held: vec![0.0; size],
            solver,
            factorisations: 0,
        }
    }

    /// Remembers the diagonal; call after each assembly.
    pub fn assembled(&mut self) {
        for (kept, place) in self.diagonal.iter_mut().zip(&self.pattern.diagonal) {
            *kept = self.values[*place as usize];
        }
    }

    /// Factorises the assembled matrix plus `shift` times unity; false if not positive definite.
    pub fn factorise(&mut self, shift: f64) -> bool {
        self.factorisations += 1;
        for ((kept, held), place) in self.diagonal.iter().zip(&self.held).zip(&self.pattern.diagonal) {
            self.values[*place as usize] = kept + held + shift;
        }
        match (&mut self.solver, &self.pattern.columns) {
            (Solver::Dense(dense), _) => dense.factorise(&self.values),
            (Solver::Sparse(sparse), Some(columns)) => sparse.factorise(columns, &self.values),
            _ => false,
        }
    }

    /// Solves with the last factor, in place.
    pub fn solve(&mut self, right: &mut [f64]) {
        match &mut self.solver {
            Solver::Dense(dense) => dense.solve(right),
            Solver::Sparse(sparse) => sparse.solve(right),
            Solver::OutOfMemory => {}
        }
    }

    /// Multiplies the assembled matrix (without shift or holding) with a vector.
    pub fn times(&self, vector: &[f64], product: &mut [f64]) {
        let n = self.pattern.freedoms;
        for ((entry, value), kept) in product.iter_mut().zip(vector).zip(&self.diagonal) {
            *entry = kept * value;
        }
        let mut add = |row: usize, column: usize, value: f64| {
            if row > column {
                product[row] += value * vector[column];
                product[column] += value * vector[row];
            }
        };
        match &self.pattern.columns {
            None => {
                for column in 0..n {
                    for row in column + 1..n {
                        add(row, column, self.values[column * n + row]);
                    }
                }
            }
            Some(columns) => {
                for column in 0..n {
                    for at in columns.starts[column]..columns.starts[column + 1] {
                        add(columns.rows[at], column, self.values[at]);
                    }
                }
            }
        }
    }
}
