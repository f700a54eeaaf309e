//! Holds the parts book to what is published, to its own laws and to its decisions between sources.

#![expect(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test that can not read its own samples has failed"
)]

mod conflicts;
mod demo_book;
mod laws;
mod makeup;
mod mistakes;
mod published;
mod sections;
mod shop_book;
mod support;
