//! Derivations: one tree that is both evaluated and printed.
