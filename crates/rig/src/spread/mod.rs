//! What lengths, weights, centres, stiffnesses and points that are not quite as stated do to a rig.
//!
//! `inputs` says what may be off and by how much; `draw` draws it, a stream for each sample; `sample` solves the rig again
//! for every draw. `percentiles` and `chance` sum up what came out, and how far that can be trusted; `causes` says which
//! input matters; `two_legs` gives what the trade's rule of thumb would be; `spread` goes the whole way from a text to the
//! `answer`.

mod answer;
mod causes;
mod chance;
mod draw;
mod inputs;
mod percentiles;
mod sample;
#[expect(
    clippy::module_inception,
    reason = "the whole way, as `check` is for a verdict"
)]
mod spread;
mod two_legs;

pub use answer::{
    InputLaw, InputSpread, LineSpread, LoadSpread, PointSpread, SampleCount, SpreadAnswer, TwoLegs,
};
pub use causes::{Causes, MostCause};
pub use chance::Chance;
pub use inputs::Group;
pub use percentiles::{Estimate, Spreading};
pub use spread::{MOST_SAMPLES, SpreadQuestion, spread};
