//! Names of the things in a topology: plain indices in document order.

use std::fmt;

/// Names a frame: a fixed place, a junction or a body.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FrameId(pub u32);

/// Names an attachment: a place on a frame where a line ends or runs over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AttachmentId(pub u32);

/// Names a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineId(pub u32);

/// Names a piece of pipe or a hinge between two frames.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BeamId(pub u32);

impl FrameId {
    /// Index into every per-frame vector.
    #[inline]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

impl AttachmentId {
    /// Index into every per-attachment vector.
    #[inline]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

impl LineId {
    /// Index into every per-line vector.
    #[inline]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

impl BeamId {
    /// Index into every per-beam vector.
    #[inline]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

impl fmt::Display for BeamId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl fmt::Display for FrameId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl fmt::Display for AttachmentId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl fmt::Display for LineId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}
