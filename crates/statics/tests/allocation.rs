//! Follows.
