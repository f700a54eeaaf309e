//! What is stored in a specimen and its machine, and how fast it comes back.
//!
//! Conventions: SI.
//! Assumes: specimen and machine as springs in a row; a wave along one straight line.
//! Valid for: straight loading up to the force asked about.
//! Source: F^2 / 2 k, springs in a row, v = F / sqrt(EA m) (mechanics books; the last from strain times the speed of a wave along a rope).
//! Checked by: tests/published.rs (C29).

/// Gives the elastic energy in a spring that is pulled, J.
#[must_use]
pub fn stored_j(force_n: f64, stiffness_n_per_m: f64) -> f64 {
    force_n * force_n / (2.0 * stiffness_n_per_m)
}

/// Gives the stiffness of two springs in a row, N/m.
#[must_use]
pub fn in_a_row_n_per_m(a: f64, b: f64) -> f64 {
    1.0 / (1.0 / a + 1.0 / b)
}

/// Takes a machine out of the stiffness of both together, N/m; none where the machine would be as soft as both.
#[must_use]
pub fn without_machine_n_per_m(both: f64, machine: f64) -> Option<f64> {
    let soft = 1.0 / both - 1.0 / machine;
    (soft > 0.0).then(|| 1.0 / soft)
}

/// Gives the speed with which an end comes back that lets go, m/s, of a rope with EA in N and so many kg/m.
#[must_use]
pub fn recoil_m_per_s(force_n: f64, ea_n: f64, mass_kg_per_m: f64) -> f64 {
    force_n / (ea_n * mass_kg_per_m).sqrt()
}

/// EA of a made-up rope over its breaking force, from and to: a modulus of 60 to 110 GPa over wires of 1570 to 1960 N/mm2 of which the rope
/// keeps 80 to 90 % (handbooks, from memory).
const EA_OVER_BREAKING: [f64; 2] = [34.0, 88.0];

/// Gives from and to how much energy a rope stores, J, that is pulled so hard, N, is so long, m, and breaks at so much, N, where nothing else is
/// known of it.
#[must_use]
pub fn estimated_stored_j(force_n: f64, length_m: f64, breaking_n: f64) -> [f64; 2] {
    let [soft, stiff] = EA_OVER_BREAKING.map(|ratio| stored_j(force_n, ratio * breaking_n / length_m));
    [stiff, soft]
}

/// Gives the most speed with which an end of such a rope comes back that lets go, m/s, where nothing else is known of it but its kg/m.
#[must_use]
pub fn estimated_recoil_m_per_s(force_n: f64, breaking_n: f64, mass_kg_per_m: f64) -> f64 {
    let [soft, _] = EA_OVER_BREAKING;
    recoil_m_per_s(force_n, soft * breaking_n, mass_kg_per_m)
}

/// Gives from how high a mass brings as much energy as it falls, m.
#[must_use]
pub fn falls_from_m(energy_j: f64, mass_kg: f64) -> f64 {
    energy_j / (mass_kg * GRAVITY_M_PER_S2)
}

/// Standard gravity.
const GRAVITY_M_PER_S2: f64 = 9.806_65;

/// The most of the breaking force by which the pull may grow in a second past 80 % of it, as a share: ISO 3108 as told elsewhere.
pub const RATE_PAST_80_PER_S: f64 = 0.005;

/// Tells whether a rate past 80 % of the breaking force is no more than is asked for.
#[must_use]
pub fn keeps_rate(rate_n_per_s: f64, breaking_n: f64) -> bool {
    // What is the limit but for rounding is the limit.
    rate_n_per_s <= RATE_PAST_80_PER_S * breaking_n * (1.0 + 1e-9)
}
