//! Holds the parts book to what is published, to its own laws and to its decisions between sources.

#![expect(
    clippy::panic,
    reason = "a part that is not in the book is what these tests are about"
)]

mod conflicts;
mod demo_book;
mod laws;
mod makeup;
mod mistakes;
mod published;
mod shop_book;
mod support;
