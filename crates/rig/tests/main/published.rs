//! Published cases of mechanics through a whole rig document. Sources: tests/published/mechanics-cases.toml, by id.

use crate::{POUND_N, assert_near, document, verdict};

/// P09. Load on two lines at 10 and 29 degrees to the horizontal. Physics textbook exercise; formula seen:
/// T1 = w cos(theta2) / sin(theta1 + theta2). The lines are stiff enough to keep the angles to 1e-7.
#[test]
fn p09_load_on_two_lines_at_given_angles() {
    let (one, two) = (10f64.to_radians(), 29f64.to_radians());
    let points = [
        ("a", [-one.cos(), 0.0, one.sin()]),
        ("b", [two.cos(), 0.0, two.sin()]),
    ];
    let load = "[junctions.knot]\nnear = [\"0 m\", \"0 m\", \"0 m\"]\nweight = \"285 N\"\n";
    let v = verdict(&document(
        &points,
        load,
        &[("a", "a", "knot", 1.0, 1e11), ("b", "b", "knot", 1.0, 1e11)],
    ));
    assert_near(v.lines["a"].tension_n.unwrap(), 396.088_574_404_683, 4e-4, "T1");
    assert_near(
        v.lines["b"].tension_n.unwrap(),
        445.989_377_748_054_44,
        4.5e-4,
        "T2",
    );
}

/// P11. 500 lb on three equal lines from three points. Calculus textbook exercise; 172.1326 lb each.
#[test]
fn p11_load_on_three_lines_in_space() {
    let root = 3f64.sqrt();
    let points = [
        ("a", [-2.0, 0.0, 0.0]),
        ("b", [1.0, root, 0.0]),
        ("c", [1.0, -root, 0.0]),
    ];
    let load = "[junctions.hook]\nnear = [\"0 m\", \"0 m\", \"-7.745966692414834 m\"]\nweight = \"500 lb\"\n";
    let lines = ["a", "b", "c"].map(|name| (name, name, "hook", 8.0, 1e11));
    let v = verdict(&document(&points, load, &lines));
    for line in v.lines.values() {
        assert_near(line.tension_n.unwrap(), 765.683_921_606_389_8, 7.6e-4, "tension");
    }
    assert_near(
        v.points["a"].force_n.unwrap()[2],
        -741.370_269_210_083_3,
        7.5e-4,
        "down on the point",
    );
    // The tension is worked out again from a stretch of 8e-9 of the length: EA times the rounding of 8 m is 2e-5 N.
    assert_near(
        v.points["a"].down_n.unwrap() * 3.0 / POUND_N,
        500.0,
        2e-5,
        "all weight",
    );
}

/// P27. Rigid body on two lines with its centre of gravity off the middle; computed with three formulations.
#[test]
fn p27_body_on_two_lines() {
    let points = [("a", [-1.0, 0.0, 4.0]), ("b", [1.1, 0.0, 4.2])];
    let weight_n = 120.0 * 9.80665;
    let load = format!(
        "[loads.body]\nweight = \"{weight_n:?} N\"\ncentre = [\"0.3 m\", \"0 m\", \"-0.2 m\"]\n\
         picks = {{ a = [\"-0.9 m\", \"0 m\", \"0.1 m\"], b = [\"0.9 m\", \"0 m\", \"0.1 m\"] }}\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"1.8 m\"] }}\nunder = \"nobody\"\n"
    );
    let v = verdict(&document(
        &points,
        &load,
        &[("a", "a", "body.a", 2.1, 9e5), ("b", "b", "body.b", 2.3, 9e5)],
    ));
    assert_near(
        v.lines["a"].tension_n.unwrap(),
        394.914_175_249_664_14,
        4e-4,
        "T1",
    );
    assert_near(v.lines["b"].tension_n.unwrap(), 784.402_310_024_764_8, 8e-4, "T2");
    assert_near(
        v.loads["body"].tilt_deg.unwrap(),
        0.239_593_447_453_215_6,
        1e-4,
        "tilt",
    );
}
