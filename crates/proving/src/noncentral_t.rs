//! The noncentral t distribution: how a mean over its standard deviation scatters when the true mean is not 0.
//!
//! Conventions: T = (Z + delta) / U with Z standard normal and U = sqrt(chi squared / nu); nu degrees of freedom, noncentrality delta.
//! Assumes: nothing.
//! Valid for: nu of 1 to 10,000, any finite delta and t.
//! Source: P(T <= t) = integral over u > 0 of Phi(t u - delta) f(u), f the density of U (definition); 24-point Gauss-Legendre on panels cut
//! where Phi switches, so that nothing is cancelled. Both tails are summed by themselves.
//! Checked by: tests/published.rs (C09), tests/library.rs (a grid by an independent library).

use crate::quadrature::integrate;
use statrs::function::erf::erfc;
use statrs::function::gamma::ln_gamma;

/// The probability of a value no greater than `t`, or of one greater.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tail {
    /// No greater.
    Lower,
    /// Greater.
    Upper,
}

/// How far from 1 the density of U is still worth a look, in its standard deviations.
const REACH: f64 = 9.0;
/// Panels of equal width over the density of U.
const PANELS: usize = 8;
/// Where Phi switches, in standard deviations of Z.
const SWITCH: [f64; 7] = [-8.0, -4.0, -2.0, 0.0, 2.0, 4.0, 8.0];

/// Gives the probability of a tail of the noncentral t distribution with `nu` degrees of freedom and noncentrality `delta`.
pub fn noncentral_t(t: f64, nu: f64, delta: f64, tail: Tail) -> f64 {
    let ln_scale = std::f64::consts::LN_2 + 0.5 * nu * (0.5 * nu).ln() - ln_gamma(0.5 * nu);
    let density = |u: f64| (ln_scale + (nu - 1.0) * u.ln() - 0.5 * nu * u * u).exp();
    let of_tail = |u: f64| match tail {
        Tail::Lower => phi(t * u - delta),
        Tail::Upper => phi(delta - t * u),
    };
    let sum: f64 = panels(t, nu, delta)
        .windows(2)
        .map(|ends| integrate(ends[0], ends[1], |u| of_tail(u) * density(u)))
        .sum();
    sum.clamp(0.0, 1.0)
}

/// Gives the value that is passed with the probability `share` by the upper tail: `noncentral_t(t, nu, delta, Upper) = share`.
///
/// The tail is monotone, so a bracket is widened until it holds and then halved by Brent's method's cautious cousin, regula falsi with
/// bisection in between, on the logarithm of the tail.
pub fn noncentral_t_upper_quantile(share: f64, nu: f64, delta: f64) -> f64 {
    let (tail, aim) = if share <= 0.5 {
        (Tail::Upper, share)
    } else {
        (Tail::Lower, 1.0 - share)
    };
    let past = |t: f64| noncentral_t(t, nu, delta, tail).max(f64::MIN_POSITIVE).ln() - aim.ln();
    let mut step = 1.0 + delta.abs();
    let (mut low, mut high) = (delta - step, delta + step);
    // The upper tail falls with t, the lower one rises.
    let is_above = |t: f64| match tail {
        Tail::Upper => past(t) < 0.0,
        Tail::Lower => past(t) > 0.0,
    };
    while is_above(low) && step < 1e12 {
        step *= 2.0;
        low = delta - step;
    }
    while !is_above(high) && step < 1e12 {
        step *= 2.0;
        high = delta + step;
    }
    root(low, high, past)
}

/// Finds where a monotone function is 0 between two places where it is not on the same side.
pub(crate) fn root(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut at_low, mut at_high) = (of(low), of(high));
    for turn in 0..300 {
        let width = high - low;
        if width.abs() <= 4.0 * f64::EPSILON * low.abs().max(high.abs()) || at_low == 0.0 || at_high == 0.0 {
            break;
        }
        let falsi = low - at_low * width / (at_high - at_low);
        let is_within = falsi > low.min(high) && falsi < low.max(high);
        let middle = if turn % 3 == 2 || !is_within {
            low + 0.5 * width
        } else {
            falsi
        };
        let here = of(middle);
        if (here > 0.0) == (at_low > 0.0) {
            (low, at_low) = (middle, here);
        } else {
            (high, at_high) = (middle, here);
        }
    }
    if at_low.abs() < at_high.abs() { low } else { high }
}

/// The standard normal distribution.
fn phi(z: f64) -> f64 {
    0.5 * erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Lists where panels meet, in order.
fn panels(t: f64, nu: f64, delta: f64) -> Vec<f64> {
    let sd = 1.0 / (2.0 * nu).sqrt();
    let low = (1.0 - REACH * sd).max(0.0);
    let high = if nu < 3.0 { 10.0 } else { 1.0 + REACH * sd };
    let mut cuts: Vec<f64> = (0..=PANELS)
        .map(|panel| low + (high - low) * panel as f64 / PANELS as f64)
        .collect();
    if t != 0.0 {
        let switches = SWITCH.iter().map(|z| (delta + z) / t);
        cuts.extend(switches.filter(|u| *u > low && *u < high));
    }
    cuts.sort_by(f64::total_cmp);
    cuts
}
