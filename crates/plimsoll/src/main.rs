//! The command line of Plimsoll.
fn main() {}
