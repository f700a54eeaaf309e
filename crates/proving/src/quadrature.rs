//! Gauss-Legendre quadrature.
//!
//! Conventions: 24 nodes on one panel.
//! Assumes: an integrand that is smooth within the panel.
//! Valid for: finite panels.
//! Source: nodes as roots of the Legendre polynomial by Newton's method from Tricomi's guess (handbooks, from memory).
//! Checked by: the tests below, against powers.

use std::sync::LazyLock;

const NODES: usize = 24;

static RULE: LazyLock<[(f64, f64); NODES]> = LazyLock::new(rule);

/// Integrates over a panel.
pub(crate) fn integrate(low: f64, high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
    let each = RULE
        .iter()
        .map(|(node, weight)| weight * of(middle + half * node));
    half * each.sum::<f64>()
}

fn rule() -> [(f64, f64); NODES] {
    let count = NODES as f64;
    std::array::from_fn(|k| {
        let mut x = (std::f64::consts::PI * (k as f64 + 0.75) / (count + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..20 {
            let value;
            (value, slope) = legendre(x);
            x -= value / slope;
        }
        (x, 2.0 / ((1.0 - x * x) * slope * slope))
    })
}

/// Gives the Legendre polynomial of the degree of the rule and its slope.
fn legendre(x: f64) -> (f64, f64) {
    let (mut before, mut here) = (1.0, x);
    for degree in 2..=NODES {
        let n = degree as f64;
        (before, here) = (here, ((2.0 * n - 1.0) * x * here - (n - 1.0) * before) / n);
    }
    let slope = NODES as f64 * (x * here - before) / (x * x - 1.0);
    (here, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Powers up to 2 n - 1 are integrated exactly.
    #[test]
    fn powers_are_integrated() {
        for power in [0, 1, 2, 10, 47] {
            let found = integrate(0.0, 1.0, |x| x.powi(power));
            let exact = 1.0 / f64::from(power + 1);
            assert!((found - exact).abs() < 1e-14, "{power}: {found}");
        }
    }
}
