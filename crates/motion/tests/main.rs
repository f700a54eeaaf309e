//! What happens when something lets go, against closed forms, published cases, laws, and general-purpose libraries.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails there")]

mod agreement;
mod closed_forms;
mod laws;
mod support;
