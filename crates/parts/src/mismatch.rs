//! What is wrong with a list of parts as a makeup.

use crate::fit::Refusal;
use crate::makeup::Side;
use thiserror::Error;

/// One thing that is wrong with a makeup.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Mismatch {
    /// There is no rope in it.
    #[error("there is no rope in it; a makeup has exactly one")]
    NoRope,
    /// There are several ropes in it.
    #[error("there are {} ropes in it ({}); a makeup has exactly one", .0.len(), .0.join(", "))]
    SeveralRopes(Vec<String>),
    /// Nothing holds the rope at this side.
    #[error(
        "nothing holds the rope at its {side} end; an end, clips or an adjustable grip is due next to it"
    )]
    NoEnd {
        /// The side.
        side: Side,
    },
    /// Several things hold the rope at this side.
    #[error("`{}` hold the rope at its {side} end; one does", .parts.join("` and `"))]
    SeveralEnds {
        /// The side.
        side: Side,
        /// The parts that do.
        parts: Vec<String>,
    },
    /// Something stands between the rope and what holds it.
    #[error("`{part}` stands between the rope and `{end}` that holds it")]
    Between {
        /// The part in between.
        part: String,
        /// The part that holds the rope.
        end: String,
    },
    /// An end or clips do not take the rope.
    #[error("`{part}` does not take `{rope}`: {why}")]
    Refused {
        /// The part.
        part: String,
        /// The rope.
        rope: String,
        /// What is wrong, and what would be right.
        why: String,
    },
    /// An adjustable grip does not take the rope.
    #[error("`{part}` does not take `{rope}`: {why}")]
    GripRefused {
        /// The part.
        part: String,
        /// The rope.
        rope: String,
        /// What is wrong, and what would be right.
        why: Refusal,
    },
    /// A thimble is made for another size.
    #[error("`{part}` is made for rope of {made_for}, and `{rope}` has {given}")]
    ThimbleSize {
        /// The thimble.
        part: String,
        /// The size it is made for.
        made_for: String,
        /// The rope.
        rope: String,
        /// Its size.
        given: String,
    },
    /// A thimble has no eye next to it that it could be in.
    #[error("`{part}` has no eye next to it that it could be in")]
    LooseThimble {
        /// The thimble.
        part: String,
    },
}

impl Mismatch {
    /// Tells whether a list of parts can not be understood as a makeup. What is a makeup but a bad one, the rules say.
    #[must_use]
    pub fn is_no_makeup(&self) -> bool {
        matches!(
            self,
            Mismatch::NoRope
                | Mismatch::SeveralRopes(_)
                | Mismatch::SeveralEnds { .. }
                | Mismatch::Between { .. }
                | Mismatch::LooseThimble { .. }
        )
    }
}
