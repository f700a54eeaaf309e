//! Why a motion was not found.

use statics::{FrameId, StaticsError};

/// Why a motion was not found. No numbers come with it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MotionError {
    /// The numbers of the rig can not be.
    #[error("the rig at rest: {0}")]
    Statics(#[from] StaticsError),
    /// A list has not one entry for each of what it is about.
    #[error("{what}: {given} given, {needed} needed")]
    WrongCount {
        /// Which list.
        what: &'static str,
        /// Entries given.
        given: usize,
        /// Entries needed.
        needed: usize,
    },
    /// Something moves that has no mass.
    #[error("frame {} has no mass, so nothing says how it moves", .frame.index())]
    Massless {
        /// The body.
        frame: FrameId,
    },
    /// An option is not positive.
    #[error("{what} is {value}; it must be more than 0")]
    NotPositive {
        /// Which.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// It would take too long.
    #[error("{steps} steps came to {time_s:.3} s of {seconds:.3} s only: it is too stiff for that long")]
    TooManySteps {
        /// Steps taken.
        steps: usize,
        /// Time reached, s.
        time_s: f64,
        /// Time wanted, s.
        seconds: f64,
    },
    /// A hinge folds by more than the small angles that are followed.
    #[error("a hinge folds by more than {:.0} degrees, {at_s:.2} s on", most_rad.to_degrees())]
    FoldsTooFar {
        /// A frame of the pipe.
        frame: FrameId,
        /// The most that is followed, rad.
        most_rad: f64,
        /// When, s.
        at_s: f64,
    },
    /// Steps became too short.
    #[error("steps became too short at {time_s:.6} s")]
    StepTooShort {
        /// When, s.
        time_s: f64,
    },
    /// Junctions were not brought into balance.
    #[error("the junctions did not come into balance at {time_s:.6} s")]
    JunctionsNotSettled {
        /// When, s.
        time_s: f64,
    },
    /// Something of a line over a sheave shrank to nothing, or a load came to where a line is fastened.
    #[error("line {} ran out at {at_s:.6} s: two places along it met", .line.index())]
    RanOut {
        /// The line.
        line: statics::LineId,
        /// When, s.
        at_s: f64,
    },
    /// Energy is not kept.
    #[error(
        "the balance of energy is off by {drift:.1e} of the greatest energy of movement; {allowed:.0e} is allowed"
    )]
    EnergyOff {
        /// How far.
        drift: f64,
        /// What is allowed.
        allowed: f64,
    },
    /// A run at a tenth of the tolerance gives other peaks.
    #[error(
        "a run at a tenth of the tolerance differs by {differs:.1e} in a peak after {agrees_until_s:.2} s; {allowed:.0e} is allowed"
    )]
    PeaksDiffer {
        /// By how much, over the greatest of the peak.
        differs: f64,
        /// What is allowed.
        allowed: f64,
        /// Until when both agree, s.
        agrees_until_s: f64,
    },
}
