//! Reads TOML documents written by hand and reports every mistake at once, each with its place.
//!
//! A document is described once, as data ([`Shape`]). The same description checks a text, names the nearest
//! known key when one is misspelt, yields the JSON Schema and writes the reference page, so none of them can
//! drift from the others.

mod problem;
mod range;
mod read;
mod reference;
mod schema;
mod shape;

pub use problem::{Problem, nearest, render};
pub use read::{Placed, Reading, Table, Unread, Value, quantity, read};
pub use reference::reference;
pub use schema::schema;
pub use shape::{Key, Need, Shape, Takes};
