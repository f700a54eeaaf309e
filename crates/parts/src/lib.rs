//! The parts book: ratings, where each comes from, and which part fits which.
