//! What the crate promises to whoever writes or reads a quantity.

mod published;
mod reading;
mod round_trip;
mod wrong_inputs;
