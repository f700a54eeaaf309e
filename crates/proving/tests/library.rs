//! Against scipy, by tests/published/proving-reference.json (references/proving.py).

use proving::compare::{ranks, welch};
use proving::{Level, Summary, tolerance_factor, weibull};
use serde_json::Value;

fn cases() -> Value {
    let text = include_str!("../../../tests/published/proving-reference.json");
    let all: Value = serde_json::from_str(text).unwrap();
    all["cases"].clone()
}

fn numbers(of: &Value) -> Vec<f64> {
    of.as_array()
        .unwrap()
        .iter()
        .map(|value| value.as_f64().unwrap())
        .collect()
}

fn assert_close(found: f64, expected: f64, share: f64, what: &str) {
    assert!(
        (found - expected).abs() <= share * expected.abs().max(1e-3),
        "{what}: {found} is not {expected}"
    );
}

/// For 2 to 1,000 values at any share and confidence in use.
#[test]
fn tolerance_factors_agree_to_a_billionth() {
    for row in cases()["factors"].as_array().unwrap() {
        let row = numbers(row);
        let level = Level {
            reliability: row[1],
            confidence: row[2],
        };
        let k = tolerance_factor(row[0] as usize, level).unwrap();
        assert_close(k, row[3], 1e-9, &format!("{row:?}"));
    }
}

/// scipy's simplex knows the place of a flat top to about the root of the rounding of what it climbs.
#[test]
fn weibull_fits_agree() {
    for case in cases()["weibull"].as_array().unwrap() {
        let of = weibull::fit(&numbers(&case["failures"]), &numbers(&case["stopped"])).unwrap();
        assert_close(of.shape, case["shape"].as_f64().unwrap(), 1e-6, "shape");
        assert_close(of.scale, case["scale"].as_f64().unwrap(), 1e-6, "scale");
    }
}

#[test]
fn two_kinds_agree() {
    for case in cases()["two_kinds"].as_array().unwrap() {
        let (a, b) = (numbers(&case["a"]), numbers(&case["b"]));
        let found = welch(&Summary::of(&a).unwrap(), &Summary::of(&b).unwrap()).unwrap();
        let at = |key: &str| case[key].as_f64().unwrap();
        assert_close(found.t, at("t"), 1e-10, "t");
        assert_close(found.df, at("df"), 1e-10, "df");
        assert_close(found.p, at("p"), 1e-10, "p");
        for (end, expected) in found
            .interval(0.95)
            .unwrap()
            .iter()
            .zip(numbers(&case["interval"]))
        {
            assert_close(*end, expected, 1e-10, "interval");
        }
        let by_rank = ranks(&a, &b).unwrap();
        assert_close(by_rank.u, at("u"), 1e-12, "U");
        assert_close(by_rank.p, at("rank_p"), 1e-10, "rank p");
    }
}
