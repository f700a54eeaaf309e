//! Where in the stiffness matrix each pair of attachments and each frame adds its 3 by 3 blocks.
//!
//! Conventions: blocks of three unknowns in document order; lower triangle, by columns; a block is found by
//! the index of its first entry and the stride from one of its columns to the next.
//! Assumes: the full pattern, inactive lines included, so that it never changes.
//! Valid for: any topology; dense below [`DENSE_FREEDOMS`] unknowns, compressed columns above.
//! Source: from first principles.
//! Checked by: derivatives in assemble.rs; dense and sparse solve the same system, in assemble.rs.

use crate::topology::{FrameKind, Topology};

/// Largest number of unknowns for which the matrix is kept dense; measured, see docs/theory/equilibrium.md.
pub(crate) const DENSE_FREEDOMS: usize = 110;

/// Finds one 3 by 3 block; `NOWHERE` for a frame that has no such freedom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Slot {
    pub offset: u32,
    pub stride: u32,
}

pub(crate) const NOWHERE: Slot = Slot {
    offset: u32::MAX,
    stride: 0,
};

/// Finds the blocks of one pair of frames: translation or rotation of the first by that of the second.
pub(crate) type PairSlots = [[Slot; 2]; 2];

/// Holds the places of all blocks.
#[derive(Debug)]
pub(crate) struct Pattern {
    pub freedoms: usize,
    /// By line and pair (i, j <= i) of its path, row by row.
    pub pairs: Vec<PairSlots>,
    pub pair_start: Vec<u32>,
    /// By beam: its first end by its last.
    pub beams: Vec<PairSlots>,
    /// By frame.
    pub frames: Vec<PairSlots>,
    /// Place of each diagonal entry.
    pub diagonal: Vec<u32>,
    /// Number of entries.
    pub entries: usize,
    /// Compressed columns, unless dense.
    pub columns: Option<Columns>,
}

/// Holds compressed columns of the lower triangle (diagonal blocks whole).
#[derive(Debug)]
pub(crate) struct Columns {
    pub starts: Vec<usize>,
    pub rows: Vec<usize>,
}

impl Pattern {
    pub fn new(topology: &Topology, dense_freedoms: usize) -> Self {
        let freedoms = topology.freedom_count();
        let layout = if freedoms <= dense_freedoms {
            Layout::Dense { freedoms }
        } else {
            Layout::sparse(topology)
        };
        let mut pairs = Vec::new();
        let mut pair_start = Vec::with_capacity(topology.line_count());
        for line in topology.lines() {
            pair_start.push(pairs.len() as u32);
            let path = topology.path(line);
            for i in 0..path.len() {
                for j in 0..=i {
                    let (first, second) = (topology.frame_of(path[i]), topology.frame_of(path[j]));
                    pairs.push(layout.pair(blocks_of(topology, first), blocks_of(topology, second)));
                }
            }
        }
        let beams = topology.beams().map(|beam| {
            let [first, last] = topology.ends(beam);
            layout.pair(blocks_of(topology, first), blocks_of(topology, last))
        });
        let beams = beams.collect();
        let frames = topology
            .frames()
            .map(|frame| layout.pair(blocks_of(topology, frame), blocks_of(topology, frame)))
            .collect();
        let mut diagonal = Vec::with_capacity(freedoms);
        for block in 0..topology.block_count() {
            let slot = layout.slot(block, block);
            diagonal.extend((0..3).map(|c| slot.offset + c * (slot.stride + 1)));
        }
        let (entries, columns) = layout.finish();
        Self {
            freedoms,
            pairs,
            pair_start,
            beams,
            frames,
            diagonal,
            entries,
            columns,
        }
    }
}

/// Blocks of a frame: translation and rotation, where it has them.
fn blocks_of(topology: &Topology, frame: crate::ids::FrameId) -> [Option<usize>; 2] {
    let first = topology.first_block(frame);
    match topology.kind(frame) {
        FrameKind::Fixed => [None, None],
        FrameKind::Junction => [Some(first), None],
        FrameKind::Body => [Some(first), Some(first + 1)],
    }
}

enum Layout {
    Dense {
        freedoms: usize,
    },
    /// By block column: where it starts in `rows`, and its block rows in order, itself first.
    Sparse {
        starts: Vec<usize>,
        rows: Vec<usize>,
    },
}

impl Layout {
    fn sparse(topology: &Topology) -> Self {
        let mut couples: Vec<(usize, usize)> = (0..topology.block_count()).map(|b| (b, b)).collect();
        let mut blocks: Vec<usize> = Vec::new();
        let mut couple_all = |blocks: &[usize]| {
            for column in blocks {
                couples.extend(
                    blocks
                        .iter()
                        .filter(|row| *row > column)
                        .map(|row| (*column, *row)),
                );
            }
        };
        for frame in topology.frames() {
            blocks.clear();
            blocks.extend(blocks_of(topology, frame).into_iter().flatten());
            couple_all(&blocks);
        }
        for line in topology.lines() {
            blocks.clear();
            for attachment in topology.path(line) {
                blocks.extend(
                    blocks_of(topology, topology.frame_of(*attachment))
                        .into_iter()
                        .flatten(),
                );
            }
            couple_all(&blocks);
        }
        for beam in topology.beams() {
            blocks.clear();
            let ends = topology.ends(beam);
            blocks.extend(
                ends.into_iter()
                    .flat_map(|frame| blocks_of(topology, frame))
                    .flatten(),
            );
            couple_all(&blocks);
        }
        couples.sort_unstable();
        couples.dedup();
        let mut starts = vec![0; topology.block_count() + 1];
        for (column, _) in &couples {
            starts[column + 1] += 1;
        }
        for column in 1..starts.len() {
            starts[column] += starts[column - 1];
        }
        Self::Sparse {
            starts,
            rows: couples.into_iter().map(|(_, row)| row).collect(),
        }
    }

    fn slot(&self, a: usize, b: usize) -> Slot {
        let (row, column) = (a.max(b), a.min(b));
        match self {
            Self::Dense { freedoms } => Slot {
                offset: (3 * column * freedoms + 3 * row) as u32,
                stride: *freedoms as u32,
            },
            Self::Sparse { starts, rows } => {
                let (start, end) = (starts[column], starts[column + 1]);
                match rows[start..end].binary_search(&row) {
                    Ok(place) => Slot {
                        offset: (9 * start + 3 * place) as u32,
                        stride: (3 * (end - start)) as u32,
                    },
                    Err(_) => NOWHERE,
                }
            }
        }
    }

    fn pair(&self, first: [Option<usize>; 2], second: [Option<usize>; 2]) -> PairSlots {
        first.map(|a| {
            second.map(|b| match (a, b) {
                (Some(a), Some(b)) => self.slot(a, b),
                _ => NOWHERE,
            })
        })
    }

    fn finish(self) -> (usize, Option<Columns>) {
        match self {
            Self::Dense { freedoms } => (freedoms * freedoms, None),
            Self::Sparse { starts, rows } => {
                let mut columns = Columns {
                    starts: vec![0],
                    rows: Vec::with_capacity(9 * rows.len()),
                };
                for column in starts.windows(2) {
                    for _ in 0..3 {
                        for row in &rows[column[0]..column[1]] {
                            columns.rows.extend([3 * row, 3 * row + 1, 3 * row + 2]);
                        }
                        columns.starts.push(columns.rows.len());
                    }
                }
                (columns.rows.len(), Some(columns))
            }
        }
    }
}
