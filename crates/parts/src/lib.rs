//! The parts book: what each part is, what it may carry, who says so, and which part fits which.
//!
//! The published book (`data/parts/*.toml`) is part of the program. A shop's own book is laid over it; an entry
//! with the same id replaces the published one and remembers that it did.

mod part;

pub use part::{
    Accepted, Accepts, AngleBand, Body, Clips, End, EndForm, EyeBolt, Grip, GripForm, Link, Locking, Made, Makeup,
    MakersDocument, Origin, Part, Piece, Rating, Rope, Shackle, Thimble, Turnbuckle,
};
