//! The parts book: ratings, where each comes from, and which part fits which.
//!
//! The published book (`data/parts`) is part of the program; a shop adds its own in the same format, laid over it.
//! Every figure in a [`Part`] is a [`working::Number`] and so carries its source. `docs/parts-book.md` tells how a
//! book is written and how conflicts between sources were decided.
//!
//! # Rooms
//!
//! `part` says what a part is; `shape` what a book file may hold; `read` makes parts of it; `book` keeps them;
//! `tables` holds what belongs to no single part; `fit` says which rope a part takes, and `bend` what a bend leaves of
//! it; `section` says what bends and what it may carry; `evidence` is what pull tests of a makeup show; `listed` reads lists of parts in documents; `thread` knows the pitch of screw threads; `makeup` takes a list of parts to its mechanics, and `mismatch` says what is wrong with the list.

mod bend;
mod book;
mod evidence;
mod fit;
mod listed;
mod makeup;
mod mismatch;
mod part;
mod read;
mod section;
mod shape;
mod tables;
mod thread;

pub use bend::{BendRefusal, BendRow};
pub use book::Book;
pub use evidence::{Bears, ClaimsLess, Evidence, FailedSpecimen, Shown};
pub use fit::Refusal;
pub use listed::{LISTED, Listed, ListedPiece, find, read_listed};
pub use makeup::Side;
pub use mismatch::Mismatch;
pub use part::{
    Accepted, Accepts, AngleBand, Body, Clips, End, EndForm, EyeBolt, Grip, GripForm, Link, Locking, Made,
    MakersDocument, Makeup, Origin, Part, Piece, Rating, Rope, Shackle, Thimble, Turnbuckle,
};
pub use section::{Bending, Section, Tube};
pub use shape::BOOK;
pub use tables::{SettlingStretch, SheaveRatio};
