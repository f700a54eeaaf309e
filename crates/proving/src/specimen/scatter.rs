//! Scatter of readings.
//!
//! Conventions: in the unit of the readings; one standard deviation.
//! Assumes: what is read changes evenly, but for few places.
//! Valid for: three readings or more; fewer have none.
//! Source: 1.4826 times the median of second differences from their middle, over the root of six (the middle deviation of a normal scatter).
//! Checked by: tests/logs.rs.

use crate::specimen::line::median;

/// So many differences tell the noise.
const DIFFERENCES: usize = 100_000;
/// From a median of differences to a standard deviation of what was taken from one another.
pub(crate) const TO_SIGMA: f64 = 1.4826;

/// Gives the scatter of one reading, and the least step between readings.
pub(crate) fn noise(raw: &[f32]) -> (f64, f64) {
    of_bends(raw.len(), |at| f64::from(raw[at]))
}

/// The same of what was put together.
pub(crate) fn noise_of(force_n: &[f64]) -> (f64, f64) {
    of_bends(force_n.len(), |at| force_n[at])
}

/// Gives the middle between the value that a quarter of all pass and the one that three quarters do: of values that go to and fro evenly their median
/// would be one end.
pub(crate) fn middle_of_quarters(values: &mut [f64]) -> f64 {
    let Some(last) = values.len().checked_sub(1) else {
        return 0.0;
    };
    let [low, high] =
        [last / 4, last - last / 4].map(|at| *values.select_nth_unstable_by(at, f64::total_cmp).1);
    0.5 * (low + high)
}

/// Tells scatter by how far readings lie off the middle of their neighbours: a steady rise, however steep, is none.
fn of_bends(count: usize, at: impl Fn(usize) -> f64) -> (f64, f64) {
    let stride = (count / DIFFERENCES).max(1);
    let places = || (1..count.saturating_sub(1)).step_by(stride);
    let greatest = places().map(|i| (at(i) - at(i - 1)).abs()).fold(0.0, f64::max);
    let steps = places().map(|i| (at(i) - at(i - 1)).abs());
    let least = steps
        .filter(|step| *step > 1e-7 * greatest)
        .fold(f64::INFINITY, f64::min);
    let mut bends: Vec<f64> = places().map(|i| at(i - 1) - 2.0 * at(i) + at(i + 1)).collect();
    let middle = middle_of_quarters(&mut bends);
    for bend in &mut bends {
        *bend = (*bend - middle).abs();
    }
    let sigma = TO_SIGMA * median(&mut bends) / 6.0_f64.sqrt();
    (sigma, if least.is_finite() { least } else { 0.0 })
}
