//! The checks of tests/published/pulltest/checks.toml: each names its source there.

use proving::compare::{ranks, ratio_of_means, welch};
use proving::free::{number_for_rank, rank_confidence, share_that_passes};
use proving::log::{Asked, Measure, Unit, read};
use proving::outlier::{Sides, dixon, furthest, grubbs_critical};
use proving::specimen::{
    Kind, Known, Mode, RATE_PAST_80_PER_S, examine, in_a_row_n_per_m, keeps_rate, recoil_m_per_s, stored_j,
    without_machine_n_per_m,
};
use proving::{
    Level, Summary, confidence_reached, lower_limit, number_needed, prediction_factor,
    prediction_factor_of_known, tolerance_factor, weibull,
};
use toml::{Table, Value};

/// The check with this id.
fn check(id: &str) -> Table {
    let text = include_str!("../../../tests/published/pulltest/checks.toml");
    let all: Table = toml::from_str(text).unwrap();
    let checks = all["check"].as_array().unwrap().iter();
    let found = checks
        .filter_map(Value::as_table)
        .find(|check| check["id"].as_str() == Some(id));
    found.unwrap().clone()
}

fn number(value: &Value) -> f64 {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|whole| whole as f64))
        .unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

fn rows(check: &Table, key: &str) -> Vec<Vec<f64>> {
    check[key].as_array().unwrap().iter().map(numbers).collect()
}

fn expected(check: &Table, key: &str) -> f64 {
    number(&check["expected"][key])
}

fn assert_near(found: f64, expected: f64, within: f64, what: &str) {
    assert!(
        (found - expected).abs() <= within,
        "{what}: {found} is not {expected} within {within:e}"
    );
}

fn assert_close(found: f64, expected: f64, share: f64, what: &str) {
    assert_near(found, expected, share * expected.abs(), what);
}

fn at(reliability: f64, confidence: f64) -> Level {
    Level {
        reliability,
        confidence,
    }
}

/// A summary known by its figures alone.
fn known(n: f64, mean: f64, sd: f64) -> Summary {
    Summary {
        n: n as usize,
        mean,
        sd: Some(sd),
        least: mean,
        greatest: mean,
    }
}

/// C01 to C03: NIST StRD, NumAcc1, 3 and 4.
#[test]
fn sums_are_exact() {
    let certified = |values: &[f64], check: &Table| {
        let of = Summary::of(values).unwrap();
        let within = number(&check["tol_rel"]);
        assert_close(of.mean, expected(check, "mean"), within, "mean");
        assert_close(of.sd.unwrap(), expected(check, "sd"), within, "sd");
    };
    let first = check("C01");
    certified(&numbers(&first["data"]), &first);
    for id in ["C02", "C03"] {
        let check = check(id);
        let from = check["generate"].as_table().unwrap();
        let pair = numbers(&from["pair"]);
        let mut values = vec![number(&from["first"])];
        for _ in 0..from["pairs"].as_integer().unwrap() {
            values.extend(&pair);
        }
        certified(&values, &check);
    }
}

/// C04 to C06.
#[test]
fn intervals_are_as_published() {
    let c04 = check("C04");
    let input = &c04["input"];
    let of = known(number(&input["n"]), number(&input["mean"]), number(&input["sd"]));
    let [low, high] = of.mean_interval(0.95).unwrap();
    assert_near(low, expected(&c04, "low"), 6e-6, "C04");
    assert_near(high, expected(&c04, "high"), 6e-6, "C04");
    let c05 = check("C05");
    let input = &c05["input"];
    let of = known(3.0, number(&input["mean"]), number(&input["sd"]));
    for (key, confidence) in [("conf95", 0.95), ("conf99", 0.99)] {
        let ends = of.mean_interval(confidence).unwrap();
        for (found, expected) in ends.iter().zip(numbers(&c05["expected"][key])) {
            assert_near(*found, expected, 2e-5, key);
        }
    }
    let c06 = check("C06");
    let of = Summary::of(&numbers(&c06["data"])).unwrap();
    assert_close(of.mean, expected(&c06, "mean"), 1e-8, "mean");
    assert_close(of.sd.unwrap(), expected(&c06, "sd"), 1e-8, "sd");
    assert_close(of.cv().unwrap(), expected(&c06, "cv"), 1e-8, "cv");
    for (found, key) in [
        (of.mean_interval(0.95), "ci95_mean"),
        (of.sd_interval(0.95), "ci95_sd"),
    ] {
        for (found, expected) in found.unwrap().iter().zip(numbers(&c06["expected"][key])) {
            assert_close(*found, expected, 1e-8, key);
        }
    }
}

/// C07 and C08: the tables of CMH-17-1G; C09: many digits; C10: not the closed approximation.
#[test]
fn tolerance_factors_are_as_published() {
    for id in ["C07", "C08"] {
        let check = check(id);
        let level = at(number(&check["reliability"]), number(&check["confidence"]));
        for row in rows(&check, "rows") {
            assert_near(
                tolerance_factor(row[0] as usize, level).unwrap(),
                row[1],
                0.002,
                id,
            );
        }
    }
    for row in rows(&check("C09"), "rows") {
        let k = tolerance_factor(row[0] as usize, at(row[1], row[2])).unwrap();
        assert_close(k, row[3], 1e-9, "C09");
    }
    let c10 = check("C10");
    let k = tolerance_factor(43, at(0.90, 0.99)).unwrap();
    assert_close(k, expected(&c10, "k_exact"), 1e-8, "C10");
}

/// C11 and C12: 18 strengths, normal and on logarithms; C13: three specimens and a claim; C14: the factors of EN 1990.
#[test]
fn lower_limits_are_as_published() {
    let c11 = check("C11");
    let values = numbers(&c11["data"]);
    let of = Summary::of(&values).unwrap();
    let of_ln = Summary::of(&values.iter().map(|value| value.ln()).collect::<Vec<_>>()).unwrap();
    let c12 = check("C12");
    for (reliability, name) in [(0.90, "90_95"), (0.99, "99_95")] {
        let level = at(reliability, 0.95);
        let normal = lower_limit(&of, level).unwrap();
        assert_close(normal, expected(&c11, &format!("exact_{name}")), 1e-8, name);
        assert_close(normal, expected(&c11, &format!("published_{name}")), 2e-4, name);
        let on_logs = lower_limit(&of_ln, level).unwrap().exp();
        assert_close(on_logs, expected(&c12, &format!("exact_{name}")), 1e-8, name);
        assert_close(on_logs, expected(&c12, &format!("published_{name}")), 2e-4, name);
    }
    let c13 = check("C13");
    let of = Summary::of(&numbers(&c13["data"])).unwrap();
    let required = number(&c13["input"]["wll"]) * number(&c13["input"]["design_factor"]);
    for (reliability, confidence, name) in [
        (0.95, 0.95, "95_95"),
        (0.99, 0.95, "99_95"),
        (0.90, 0.75, "90_75"),
    ] {
        let level = at(reliability, confidence);
        let limit = lower_limit(&of, level).unwrap();
        assert_close(limit, expected(&c13, &format!("limit_{name}")), 1e-6, name);
        let supported = c13["expected"][&format!("supported_{name}")].as_bool().unwrap();
        assert_eq!(limit >= required, supported, "{name}");
        // The confidence that is reached says the same.
        assert_eq!(
            confidence_reached(&of, reliability, required).unwrap() >= confidence,
            supported,
            "{name}"
        );
    }
    assert_eq!(
        number_needed(&of, at(0.99, 0.95), required),
        Some(expected(&c13, "n_total_needed_99_95_same_mean_sd") as usize)
    );
    for row in rows(&check("C14"), "rows_unknown_cv") {
        assert_near(prediction_factor(row[0] as usize).unwrap(), row[1], 0.02, "C14");
    }
    for row in rows(&check("C14"), "rows_known_cv") {
        assert_near(
            prediction_factor_of_known(row[0] as usize).unwrap(),
            row[1],
            0.02,
            "C14",
        );
    }
}

/// C15 to C17.
#[test]
fn counts_without_a_shape_are_as_published() {
    for row in check("C15")["rows"].as_array().unwrap() {
        let row = row.as_array().unwrap();
        let (reliability, confidence) = (number(&row[0]), number(&row[1]));
        for (rank, n) in (1..).zip(numbers(&row[2])) {
            assert_eq!(
                number_for_rank(rank, reliability, confidence),
                Some(n as u64),
                "{reliability} {rank}"
            );
        }
    }
    for row in rows(&check("C16"), "rows") {
        assert_close(
            rank_confidence(row[0] as u64, 1, row[1]).unwrap(),
            row[2],
            1e-9,
            "C16",
        );
    }
    for row in rows(&check("C17"), "rows") {
        let n = row[0] as u64;
        assert_close(share_that_passes(n, n, row[1]).unwrap(), row[2], 1e-9, "C17");
    }
}

/// C18: the censored example of the NIST handbook; C19: 18 strengths.
#[test]
fn weibull_fits_are_as_published() {
    let c18 = check("C18");
    let of = weibull::fit(&numbers(&c18["failures"]), &numbers(&c18["stopped"])).unwrap();
    for (found, key) in [
        (of.shape, "shape"),
        (of.scale, "scale"),
        (of.ln_likelihood.abs(), "loglik_abs"),
        (of.mean(), "mean"),
        (of.sd(), "sd"),
    ] {
        assert_close(found, expected(&c18, key), 2e-5, key);
    }
    let c19 = check("C19");
    let of = weibull::fit(&numbers(&check("C11")["data"]), &[]).unwrap();
    assert_close(of.shape, expected(&c19, "shape"), 1e-8, "shape");
    assert_close(of.scale, expected(&c19, "scale"), 1e-8, "scale");
    assert_close(
        of.lower_limit(at(0.90, 0.95)).unwrap(),
        expected(&c19, "limit_90_95"),
        1e-5,
        "B",
    );
    assert_close(
        of.lower_limit(at(0.99, 0.95)).unwrap(),
        expected(&c19, "limit_99_95"),
        1e-5,
        "A",
    );
    assert!(weibull::fit(&[3.0, 3.0], &[]).is_none() && weibull::fit(&[], &[4.0]).is_none());
}

/// C20 to C24.
#[test]
fn outliers_are_as_published() {
    for row in rows(&check("C20"), "rows") {
        let critical = grubbs_critical(row[0] as usize, 0.05, Sides::Both).unwrap();
        assert_near(critical, row[1], 0.001, "C20");
    }
    for id in ["C21", "C22"] {
        let check = check(id);
        let values = numbers(&check["data"]);
        let far = furthest(&values).unwrap();
        assert_near(far.g, expected(&check, "G"), 0.001, id);
        let critical = grubbs_critical(values.len(), 0.05, Sides::Both).unwrap();
        assert_near(critical, expected(&check, "critical"), 0.001, id);
        assert_eq!(far.g > critical, id == "C22");
    }
    let c23 = check("C23");
    let values = numbers(&c23["data"]);
    assert_close(furthest(&values).unwrap().g, expected(&c23, "G"), 1e-6, "C23");
    let one = grubbs_critical(values.len(), 0.05, Sides::One).unwrap();
    assert_close(one, expected(&c23, "critical_one_sided_05"), 1e-6, "C23");
    for row in rows(&check("C24"), "rows") {
        let n = row[0] as usize;
        let values: Vec<f64> = (0..n).map(|i| i as f64).collect();
        assert_near(dixon(&values).unwrap().1, row[1], 0.004, "C24");
    }
}

/// C25 and C26.
#[test]
fn two_kinds_are_as_published() {
    let c25 = check("C25");
    let of = |k: &str| {
        let input = &c25["input"];
        known(
            number(&input[format!("n{k}")]),
            number(&input[format!("mean{k}")]),
            number(&input[format!("sd{k}")]),
        )
    };
    let found = welch(&of("1"), &of("2")).unwrap();
    assert_close(found.t, expected(&c25, "t"), 1e-4, "t");
    assert_close(found.df, expected(&c25, "df"), 1e-4, "df");
    assert_close(0.5 * found.p, expected(&c25, "p_one_sided"), 2e-3, "p");
    let c26 = check("C26");
    let (a, b) = (numbers(&c26["a"]), numbers(&c26["b"]));
    let (of_a, of_b) = (Summary::of(&a).unwrap(), Summary::of(&b).unwrap());
    let found = welch(&of_a, &of_b).unwrap();
    assert_close(found.t, expected(&c26, "t"), 1e-8, "t");
    assert_close(found.df, expected(&c26, "df"), 1e-8, "df");
    assert_close(found.p, expected(&c26, "p_two_sided"), 1e-8, "p");
    let by_rank = ranks(&a, &b).unwrap();
    assert_close(by_rank.u, expected(&c26, "mann_whitney_u_a"), 1e-12, "U");
    assert_close(by_rank.p, expected(&c26, "mann_whitney_exact_p"), 1e-8, "p");
    assert_close(
        by_rank.least_p,
        2.0 / 35.0,
        1e-12,
        "the rank test can not go below",
    );
    // The ratio's interval leaves 1 out where the difference's leaves 0 out.
    let (ratio, [low, high]) = ratio_of_means(&of_a, &of_b, 0.95).unwrap();
    assert!(low > 1.0 && low < ratio && ratio < high, "{low} {ratio} {high}");
    assert!(found.interval(0.95).unwrap()[0] > 0.0);
}

/// C27: straight lines between its points, read ten times a second.
#[test]
fn a_slip_and_a_cascade_are_found_as_by_hand() {
    let c27 = check("C27");
    let points = rows(&c27, "points_t_F_x");
    let mut text = "Time (s),Force (kN),Travel (mm)\n".to_string();
    for tick in 0..=70 {
        let t = f64::from(tick) / 10.0;
        let after = points
            .iter()
            .position(|point| point[0] >= t - 1e-9)
            .unwrap()
            .max(1);
        let (a, b) = (&points[after - 1], &points[after]);
        let share = (t - a[0]) / (b[0] - a[0]);
        let at = |column: usize| a[column] + share * (b[column] - a[column]);
        text.push_str(&[t, at(1), at(2)].map(|value| format!("{value:.6}")).join(","));
        text.push('\n');
    }
    let log = read(text.as_bytes(), &Asked::default()).unwrap();
    let found = examine(&log, &Known::default());
    let kn = |key: &str| 1000.0 * expected(&c27, key);
    assert_close(found.peak.force_n, kn("peak_kN"), 0.01, "peak");
    assert_near(found.peak.at_s, expected(&c27, "peak_t"), 0.01, "when");
    assert_close(
        found.stiffness_n_per_m.unwrap(),
        1e6 * expected(&c27, "stiffness_kN_per_mm"),
        0.01,
        "stiffness",
    );
    let of = |kind: Kind| found.events.iter().filter(move |event| event.kind == kind);
    assert_eq!(of(Kind::Slip).count(), 1, "{:?}", found.events);
    let slip = of(Kind::Slip).next().unwrap();
    assert_close(
        slip.slip_m.unwrap(),
        1e-3 * expected(&c27, "slip_mm"),
        0.01,
        "slip",
    );
    assert_close(
        slip.seen_drop_n,
        kn("slip_drop_seen_kN"),
        0.01,
        "drop as it is seen",
    );
    assert_close(slip.drop_n, kn("slip_drop_without_travel_kN"), 0.01, "drop");
    assert!(of(Kind::Break).count() >= 2, "{:?}", found.events);
    assert_close(
        found.work_j.unwrap(),
        expected(&c27, "work_to_peak_J"),
        0.01,
        "work",
    );
    assert_close(
        found.elastic_j.unwrap(),
        expected(&c27, "elastic_energy_at_peak_J"),
        0.01,
        "elastic energy",
    );
    assert_eq!(found.mode, Mode::StrandByStrand);
}

/// C28 and C29.
#[test]
fn rate_and_stored_energy_are_as_published() {
    let c28 = check("C28");
    let breaking_n = 1000.0 * number(&c28["input"]["mbf_kN"]);
    let rate = |key: &str| 1000.0 * expected(&c28, key);
    assert_close(
        RATE_PAST_80_PER_S * breaking_n,
        rate("limit_kN_per_s"),
        1e-9,
        "limit",
    );
    assert!(keeps_rate(rate("rate_kN_per_s"), breaking_n));
    assert!(!keeps_rate(rate("just_fails_at_kN_per_s"), breaking_n));
    let c29 = check("C29");
    let input = |key: &str| number(&c29["input"][key]);
    let force_n = 1000.0 * input("peak_kN");
    let specimen = 1000.0 * input("EA_kN") / (1e-3 * input("length_mm"));
    let machine = 1e6 * input("machine_kN_per_mm");
    let both = in_a_row_n_per_m(specimen, machine);
    assert_close(specimen, 1e6 * expected(&c29, "k_specimen"), 1e-5, "specimen");
    assert_close(both, 1e6 * expected(&c29, "k_system"), 1e-5, "system");
    assert_close(
        without_machine_n_per_m(both, machine).unwrap(),
        specimen,
        1e-9,
        "taken apart",
    );
    assert_close(
        stored_j(force_n, both),
        expected(&c29, "energy_system_J"),
        1e-5,
        "system",
    );
    assert_close(
        stored_j(force_n, specimen),
        expected(&c29, "energy_specimen_J"),
        1e-5,
        "specimen",
    );
    assert_close(
        stored_j(force_n, machine),
        expected(&c29, "energy_machine_J"),
        1e-5,
        "machine",
    );
    let recoil = recoil_m_per_s(force_n, 1000.0 * input("EA_kN"), input("mass_kg_per_m"));
    assert_close(recoil, expected(&c29, "recoil_speed_m_per_s"), 1e-5, "recoil");
}

/// C30: a log in each unit.
#[test]
fn the_same_peak_in_each_unit() {
    let c30 = check("C30");
    for (unit, value) in c30["expected"].as_table().unwrap() {
        let read = Unit::read(unit, Measure::Force).unwrap();
        let force_n = number(value) * read.factor;
        assert_close(force_n, 1000.0 * number(&c30["input"]["kN"]), 1e-7, unit);
    }
}
