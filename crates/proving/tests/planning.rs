//! How many to pull: against an independent library, and by drawing series.

use crate::logs::Chance;
use proving::{Aim, Level, Summary, tolerance_factor};

fn aim(reliability: f64, confidence: f64, required: f64) -> Aim {
    Aim {
        level: Level {
            reliability,
            confidence,
        },
        required,
    }
}

/// scipy 1.17.1: `1 - nct.cdf(k * sqrt(n), n - 1, (mean - required) / sd * sqrt(n))` with `k = nct.ppf(C, n - 1, norm.ppf(R) * sqrt(n)) / sqrt(n)`.
#[test]
fn chances_are_those_of_an_independent_library() {
    for (n, reliability, confidence, mean, sd, chance) in LIBRARY {
        let own = aim(reliability, confidence, 1.0).chance(n, mean, sd).unwrap();
        assert!((own - chance).abs() < 1e-9, "{n} {mean} {sd}: {own} {chance}");
    }
}

/// Draws 20,000 series: how many show it is what was told, within four standard deviations of such a count.
#[test]
fn chances_are_what_drawn_series_come_to() {
    let mut by_chance = Chance(5);
    for (n, mean, sd) in [
        (3_u16, 1.3, 0.04),
        (5, 1.2, 0.04),
        (10, 1.15, 0.04),
        (30, 1.3, 0.1),
    ] {
        let aim = aim(0.99, 0.95, 1.0);
        let chance = aim.chance(n.into(), mean, sd).unwrap();
        let (draws, k) = (20_000, tolerance_factor(n.into(), aim.level).unwrap());
        let shown = (0..draws).filter(|_| {
            let values: Vec<f64> = (0..n).map(|_| mean + sd * by_chance.normal()).collect();
            let summary = Summary::of(&values).unwrap();
            summary.mean - k * summary.sd.unwrap() >= 1.0
        });
        let share = shown.count() as f64 / f64::from(draws);
        let scatter = (chance * (1.0 - chance) / f64::from(draws)).sqrt();
        assert!((share - chance).abs() < 4.0 * scatter, "{n}: {share} {chance}");
    }
}

#[test]
fn numbers_and_means_are_the_least_that_do() {
    let aim = aim(0.99, 0.95, 17.0);
    for (mean, sd) in [(20.7, 0.376), (19.0, 0.376), (25.0, 2.0)] {
        let n = aim.number(0.9, mean, sd).unwrap();
        assert!(aim.chance(n, mean, sd).unwrap() >= 0.9);
        assert!(n == 2 || aim.chance(n - 1, mean, sd).unwrap() < 0.9, "{n}");
    }
    // 2 standard deviations above: the share itself is less than is asked for, and no number helps.
    assert_eq!(aim.number(0.9, 17.752, 0.376), None);
    for n in [3, 5, 10, 30] {
        let mean = aim.mean(n, 0.9, 0.04).unwrap();
        assert!((aim.chance(n, mean, 0.04 * mean).unwrap() - 0.9).abs() < 1e-9);
    }
    // Where scatter is a third of the mean three never show it so often: what they say of scatter is too unsure.
    assert_eq!(aim.mean(3, 0.9, 0.33), None);
    // A greater mean never lowers the chance, and a greater scatter never raises it.
    let chances: Vec<f64> = [18.0, 19.0, 20.0]
        .iter()
        .map(|mean| aim.chance(5, *mean, 0.3).unwrap())
        .collect();
    assert!(chances.is_sorted());
    assert!(aim.chance(5, 20.0, 0.6).unwrap() < aim.chance(5, 20.0, 0.3).unwrap());
}

const LIBRARY: [(usize, f64, f64, f64, f64, f64); 8] = [
    (2, 0.9, 0.95, 2.0, 0.1, 0.37274033820896524),
    (3, 0.99, 0.95, 1.3, 0.04, 0.39655263184708167),
    (3, 0.9, 0.75, 1.1, 0.05, 0.46658920095016804),
    (5, 0.99, 0.95, 1.2, 0.04, 0.4477572453100517),
    (10, 0.95, 0.95, 1.1, 0.05, 0.1313913238461995),
    (10, 0.99, 0.99, 1.15, 0.04, 0.1673307329195313),
    (30, 0.99, 0.95, 1.3, 0.1, 0.472688134811458),
    (100, 0.99, 0.95, 1.2, 0.08, 0.2059221184787869),
];
