//! What can go wrong, with the numbers in it.

use crate::ids::{AttachmentId, BeamId, FrameId, LineId};
use thiserror::Error;

/// Says why a topology cannot be built.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum TopologyError {
    /// A line runs over fewer than two attachments.
    #[error("line {line} runs over {attachments} attachments; it needs two or more")]
    LineTooShort {
        /// The line.
        line: LineId,
        /// How many attachments it was given.
        attachments: usize,
    },
    /// A line names one attachment twice in a row.
    #[error("line {line} runs over attachment {attachment} twice in a row")]
    RepeatedAttachment {
        /// The line.
        line: LineId,
        /// The attachment.
        attachment: AttachmentId,
    },
    /// A line names an attachment that is not there.
    #[error("line {line} runs over attachment {attachment}, which does not exist")]
    UnknownAttachment {
        /// The line.
        line: LineId,
        /// The attachment.
        attachment: AttachmentId,
    },
    /// A beam ends at a junction, at a frame that is not there, or where it began.
    #[error("beam {beam} cannot end at frame {frame}: it joins two bodies, or a body and a fixed frame")]
    BadBeam {
        /// The beam.
        beam: BeamId,
        /// The frame.
        frame: FrameId,
    },
    /// An attachment sits on a frame that is not there.
    #[error("attachment {attachment} sits on frame {frame}, which does not exist")]
    UnknownFrame {
        /// The attachment.
        attachment: AttachmentId,
        /// The frame.
        frame: FrameId,
    },
}

/// Names the parameter that is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Place of a fixed frame.
    FixedAt,
    /// Offset of an attachment on its frame.
    AttachmentOffset,
    /// Weight of a body or junction.
    FrameWeight,
    /// Centre of gravity of a body.
    Centre,
    /// An applied force, or its offset.
    AppliedForce,
    /// Axial stiffness EA of a line.
    Stiffness,
    /// Unloaded length of a line.
    UnloadedLength,
    /// Weight of a line.
    LineWeight,
    /// Tension that a line is to have.
    Tension,
    /// Stiffness, length or load of a beam.
    Beam,
    /// Stiffness or place of a spring.
    Spring,
    /// Position in the first guess.
    GuessPosition,
    /// Rotation in the first guess.
    GuessRotation,
}

/// Says why no answer was found.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum StaticsError {
    /// A vector of the parameters or of the guess does not have one entry per frame, attachment or line.
    #[error("{quantity:?} has {given} entries; the topology needs {needed}")]
    WrongCount {
        /// What was given.
        quantity: Quantity,
        /// Entries given.
        given: usize,
        /// Entries needed.
        needed: usize,
    },
    /// A number of a frame is not finite, or negative where it must not be.
    #[error("frame {frame}: {quantity:?} is {value}")]
    BadFrame {
        /// The frame.
        frame: FrameId,
        /// What is wrong.
        quantity: Quantity,
        /// Its value.
        value: f64,
    },
    /// A number of an attachment is not finite, or an offset is given where there can be none.
    #[error(
        "attachment {attachment}: {quantity:?} is {value}; it must be finite, and 0 on a fixed frame or junction"
    )]
    BadAttachment {
        /// The attachment.
        attachment: AttachmentId,
        /// What is wrong.
        quantity: Quantity,
        /// Its value.
        value: f64,
    },
    /// A number of a line is not finite or not positive.
    #[error("line {line}: {quantity:?} is {value}; it must be finite and positive")]
    BadLine {
        /// The line.
        line: LineId,
        /// What is wrong.
        quantity: Quantity,
        /// Its value.
        value: f64,
    },
    /// A number of a beam is not finite or negative, or a body at its end has a centre of gravity off its origin.
    #[error(
        "beam {beam}: {quantity:?} is {value}; it must be finite and not negative, and 0 for a centre of gravity"
    )]
    BadBeam {
        /// The beam.
        beam: BeamId,
        /// What is wrong.
        quantity: Quantity,
        /// Its value.
        value: f64,
    },
    /// An applied force names a frame that is not there.
    #[error("applied force {index} acts on frame {frame}, which does not exist")]
    UnknownForceFrame {
        /// Which force of the list.
        index: usize,
        /// The frame.
        frame: FrameId,
    },
    /// The search ended without a balance of forces.
    #[error(
        "no equilibrium after {iterations} steps; residual {residual_n:.3e} N at frame {frame}, allowed {allowed_n:.3e} N"
    )]
    NotConverged {
        /// Frame with the largest residual.
        frame: FrameId,
        /// Steps taken.
        iterations: u32,
        /// Largest residual force (moments divided by the body's size).
        residual_n: f64,
        /// What would have been accepted.
        allowed_n: f64,
    },
    /// Forces balance, but each pose found would roll over, and none that holds was reached.
    #[error("only unstable poses found after {iterations} steps, the last around frame {frame}")]
    OnlyUnstable {
        /// Frame that moves most.
        frame: FrameId,
        /// Steps taken.
        iterations: u32,
    },
}
