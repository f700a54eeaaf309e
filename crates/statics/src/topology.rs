//! What is connected to what: frames, attachments on frames, lines over attachments, beams between frames.
//!
//! Conventions: document order numbers everything, unknowns included, so renaming cannot change rounding.
//! Assumes: the connections never change; a line that is gone is made inactive in the parameters.
//! Valid for: any number of frames and lines; a line runs over two or more attachments.
//! Source: from first principles; freedoms per frame as in any text on rigid-body statics.
//! Checked by: unit tests below; every other test builds one.

use crate::error::TopologyError;
use crate::ids::{AttachmentId, BeamId, FrameId, LineId};
use crate::parameters::Parameters;

/// Says how a frame can move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrameKind {
    /// Held by the building; no freedom.
    Fixed,
    /// A point where lines meet; three freedoms of translation.
    Junction,
    /// A rigid body; three freedoms of translation and three of rotation.
    Body,
}

impl FrameKind {
    /// Number of freedoms: 0, 3 or 6.
    pub const fn freedoms(self) -> usize {
        match self {
            Self::Fixed => 0,
            Self::Junction => 3,
            Self::Body => 6,
        }
    }
}

/// Collects frames, attachments and lines in document order.
#[derive(Debug, Clone, Default)]
pub struct TopologyBuilder {
    frames: Vec<FrameKind>,
    attachments: Vec<FrameId>,
    paths: Vec<AttachmentId>,
    path_starts: Vec<u32>,
    beams: Vec<[FrameId; 2]>,
}

impl TopologyBuilder {
    /// Starts with nothing.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a frame of the given kind.
    pub fn frame(&mut self, kind: FrameKind) -> FrameId {
        self.frames.push(kind);
        FrameId(self.frames.len() as u32 - 1)
    }

    /// Adds a place that the building holds.
    pub fn fixed(&mut self) -> FrameId {
        self.frame(FrameKind::Fixed)
    }

    /// Adds a junction.
    pub fn junction(&mut self) -> FrameId {
        self.frame(FrameKind::Junction)
    }

    /// Adds a rigid body.
    pub fn body(&mut self) -> FrameId {
        self.frame(FrameKind::Body)
    }

    /// Adds a place on `frame`; its offset is a parameter.
    pub fn attachment(&mut self, frame: FrameId) -> AttachmentId {
        self.attachments.push(frame);
        AttachmentId(self.attachments.len() as u32 - 1)
    }

    /// Adds a line: its two ends first and last, between them what it runs over freely, in order.
    pub fn line(&mut self, path: &[AttachmentId]) -> LineId {
        self.path_starts.push(self.paths.len() as u32);
        self.paths.extend_from_slice(path);
        LineId(self.path_starts.len() as u32 - 1)
    }

    /// Adds a straight piece of pipe, or a hinge, between the origins of two frames, each a body or a fixed frame.
    pub fn beam(&mut self, first: FrameId, last: FrameId) -> BeamId {
        self.beams.push([first, last]);
        BeamId(self.beams.len() as u32 - 1)
    }

    /// Checks the connections and freezes them.
    pub fn build(self) -> Result<Topology, TopologyError> {
        Topology::new(self)
    }
}

/// Holds what is connected to what; never changes after it is built.
#[derive(Debug, Clone)]
pub struct Topology {
    frames: Vec<FrameKind>,
    attachments: Vec<FrameId>,
    paths: Vec<AttachmentId>,
    path_starts: Vec<u32>,
    beams: Vec<[FrameId; 2]>,
    first_block: Vec<u32>,
    blocks: usize,
}

impl Topology {
    fn new(builder: TopologyBuilder) -> Result<Self, TopologyError> {
        let TopologyBuilder {
            frames,
            attachments,
            paths,
            mut path_starts,
            beams,
        } = builder;
        path_starts.push(paths.len() as u32);
        for (index, frame) in attachments.iter().enumerate() {
            if frame.index() >= frames.len() {
                return Err(TopologyError::UnknownFrame {
                    attachment: AttachmentId(index as u32),
                    frame: *frame,
                });
            }
        }
        for (index, range) in path_starts.windows(2).enumerate() {
            let line = LineId(index as u32);
            let path = &paths[range[0] as usize..range[1] as usize];
            if path.len() < 2 {
                return Err(TopologyError::LineTooShort {
                    line,
                    attachments: path.len(),
                });
            }
            if let Some(unknown) = path.iter().find(|a| a.index() >= attachments.len()) {
                return Err(TopologyError::UnknownAttachment {
                    line,
                    attachment: *unknown,
                });
            }
            if let Some(pair) = path.windows(2).find(|pair| pair[0] == pair[1]) {
                return Err(TopologyError::RepeatedAttachment {
                    line,
                    attachment: pair[0],
                });
            }
        }
        for (index, ends) in beams.iter().enumerate() {
            let beam = BeamId(index as u32);
            let kind = |frame: &FrameId| frames.get(frame.index()).copied();
            let wrong = ends
                .iter()
                .find(|f| matches!(kind(f), None | Some(FrameKind::Junction)));
            if let Some(frame) = wrong.or((ends[0] == ends[1]).then_some(&ends[0])) {
                return Err(TopologyError::BadBeam { beam, frame: *frame });
            }
        }
        let mut first_block = Vec::with_capacity(frames.len());
        let mut blocks = 0;
        for kind in &frames {
            first_block.push(blocks as u32);
            blocks += kind.freedoms() / 3;
        }
        Ok(Self {
            frames,
            attachments,
            paths,
            path_starts,
            beams,
            first_block,
            blocks,
        })
    }

    /// Number of frames.
    pub fn frame_count(&self) -> usize {
        self.frames.len()
    }

    /// Number of attachments.
    pub fn attachment_count(&self) -> usize {
        self.attachments.len()
    }

    /// Number of lines.
    pub fn line_count(&self) -> usize {
        self.path_starts.len() - 1
    }

    /// Number of beams.
    pub fn beam_count(&self) -> usize {
        self.beams.len()
    }

    /// All beams in document order.
    pub fn beams(&self) -> impl ExactSizeIterator<Item = BeamId> + use<> {
        (0..self.beams.len() as u32).map(BeamId)
    }

    /// The two frames that a beam joins.
    pub fn ends(&self, beam: BeamId) -> [FrameId; 2] {
        self.beams[beam.index()]
    }

    /// For each frame, the first of the frames that beams join with it: one number for each pipe.
    pub fn joined(&self) -> Vec<usize> {
        let mut root: Vec<usize> = (0..self.frame_count()).collect();
        for ends in &self.beams {
            // What is built into the building is not joined through it.
            if ends.iter().all(|frame| self.kind(*frame) == FrameKind::Body) {
                let [a, b] = ends.map(|frame| root_of(&root, frame.index()));
                root[a.max(b)] = a.min(b);
            }
        }
        (0..root.len()).map(|frame| root_of(&root, frame)).collect()
    }

    /// Number of unknowns: 3 per junction, 6 per body.
    pub fn freedom_count(&self) -> usize {
        3 * self.blocks
    }

    /// All frames in document order.
    pub fn frames(&self) -> impl ExactSizeIterator<Item = FrameId> + use<> {
        (0..self.frames.len() as u32).map(FrameId)
    }

    /// All lines in document order.
    pub fn lines(&self) -> impl ExactSizeIterator<Item = LineId> + use<> {
        (0..self.line_count() as u32).map(LineId)
    }

    /// Kind of a frame.
    pub fn kind(&self, frame: FrameId) -> FrameKind {
        self.frames[frame.index()]
    }

    /// Frame that carries an attachment.
    pub fn frame_of(&self, attachment: AttachmentId) -> FrameId {
        self.attachments[attachment.index()]
    }

    /// Attachments that a line runs over, its ends first and last.
    pub fn path(&self, line: LineId) -> &[AttachmentId] {
        &self.paths[self.path_range(line)]
    }

    /// Place of a line's attachments in vectors that hold one entry per attachment of each path.
    pub fn path_range(&self, line: LineId) -> std::ops::Range<usize> {
        let index = line.index();
        self.path_starts[index] as usize..self.path_starts[index + 1] as usize
    }

    /// Splits lines into those joined with one another through free frames and pipes, in document order.
    ///
    /// A line between frames that the building holds, fixed or by a spring, is joined with nothing and left out.
    pub fn pieces(&self, parameters: &Parameters, lines: Vec<LineId>) -> Vec<Vec<LineId>> {
        let mut root = self.joined();
        let free = |line: &LineId| -> Vec<usize> {
            let frames = self.path(*line).iter().map(|a| self.frame_of(*a));
            frames
                .filter(|f| self.kind(*f) != FrameKind::Fixed && !parameters.is_sprung(*f))
                .map(FrameId::index)
                .collect()
        };
        for line in &lines {
            for pair in free(line).windows(2) {
                let (a, b) = (root_of(&root, pair[0]), root_of(&root, pair[1]));
                root[a.max(b)] = a.min(b);
            }
        }
        let mut split: Vec<(usize, Vec<LineId>)> = Vec::new();
        for line in lines {
            let Some(own) = free(&line).first().map(|frame| root_of(&root, *frame)) else {
                continue;
            };
            match split.iter_mut().find(|(of, _)| *of == own) {
                Some((_, piece)) => piece.push(line),
                None => split.push((own, vec![line])),
            }
        }
        split.into_iter().map(|(_, piece)| piece).collect()
    }

    /// Gives the same rig with lines that no longer run over some attachments. A line that ends there, or that would be left with fewer
    /// than two places or with one place twice in a row, keeps its path: it is to be made inactive.
    #[must_use]
    pub fn without(&self, attachments: &[AttachmentId]) -> Self {
        let mut paths = Vec::with_capacity(self.paths.len());
        let mut path_starts = Vec::with_capacity(self.path_starts.len());
        for line in self.lines() {
            let path = self.path(line);
            let left: Vec<AttachmentId> = path
                .iter()
                .filter(|at| !attachments.contains(at))
                .copied()
                .collect();
            let ends_there = [path.first(), path.last()]
                .into_iter()
                .flatten()
                .any(|at| attachments.contains(at));
            let is_line = left.len() > 1 && left.windows(2).all(|pair| pair[0] != pair[1]);
            path_starts.push(paths.len() as u32);
            paths.extend_from_slice(if is_line && !ends_there { &left } else { path });
        }
        path_starts.push(paths.len() as u32);
        Self {
            paths,
            path_starts,
            ..self.clone()
        }
    }

    /// Total number of attachments over all paths.
    pub(crate) fn path_total(&self) -> usize {
        self.paths.len()
    }

    /// Number of blocks of three unknowns.
    pub(crate) fn block_count(&self) -> usize {
        self.blocks
    }

    /// First block of a frame: translation, followed by rotation for a body. Meaningless if fixed.
    #[inline]
    pub(crate) fn first_block(&self, frame: FrameId) -> usize {
        self.first_block[frame.index()] as usize
    }
}

fn root_of(root: &[usize], mut of: usize) -> usize {
    while root[of] != of {
        of = root[of];
    }
    of
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_freedoms_in_document_order() {
        let mut rig = TopologyBuilder::new();
        let (point, body, ring) = (rig.fixed(), rig.body(), rig.junction());
        let path = [rig.attachment(point), rig.attachment(ring), rig.attachment(body)];
        let line = rig.line(&path);
        let topology = rig.build().unwrap();
        assert_eq!(topology.freedom_count(), 9);
        assert_eq!(topology.first_block(body), 0);
        assert_eq!(topology.first_block(ring), 2);
        assert_eq!(topology.path(line), path);
    }

    #[test]
    fn lines_run_straight_past_what_is_gone() {
        let mut rig = TopologyBuilder::new();
        let (point, sheave, ring) = (rig.fixed(), rig.fixed(), rig.junction());
        let [a, b, c] = [point, sheave, ring].map(|frame| rig.attachment(frame));
        let (over, ends) = (rig.line(&[a, b, c]), rig.line(&[b, c]));
        let topology = rig.build().unwrap().without(&[b]);
        assert_eq!(topology.path(over), [a, c]);
        assert_eq!(topology.path(ends), [b, c]);
    }

    #[test]
    fn refuses_what_cannot_be_a_line() {
        let mut rig = TopologyBuilder::new();
        let point = rig.fixed();
        let at = rig.attachment(point);
        let mut short = rig.clone();
        short.line(&[at]);
        assert!(matches!(
            short.build(),
            Err(TopologyError::LineTooShort { attachments: 1, .. })
        ));
        let mut twice = rig.clone();
        twice.line(&[at, at]);
        assert!(matches!(
            twice.build(),
            Err(TopologyError::RepeatedAttachment { .. })
        ));
        let mut foreign = rig.clone();
        foreign.line(&[at, AttachmentId(7)]);
        assert!(matches!(
            foreign.build(),
            Err(TopologyError::UnknownAttachment { .. })
        ));
        rig.attachment(FrameId(9));
        assert!(matches!(rig.build(), Err(TopologyError::UnknownFrame { .. })));
    }
}
