//! Agreement with general-purpose libraries: tests/published/hangs-reference.json, made by
//! references/hangs.py (scipy minimises the energy, mpmath finds the root of the balance to thirty digits;
//! versions in the file). Tolerance 1e-6 of the tension or place, as far as a rigger could ever use, and of
//! the whole weight for lines that carry little.

use crate::support::{Rig, assert_near};
use serde::Deserialize;
use statics::{AttachmentId, Vector3};

#[derive(Deserialize)]
struct Reference {
    libraries: std::collections::BTreeMap<String, String>,
    cases: Vec<Hang>,
}

#[derive(Deserialize)]
struct Hang {
    name: String,
    load: Load,
    points: Vec<[f64; 3]>,
    picks: Vec<[f64; 3]>,
    junctions: Vec<Junction>,
    lines: Vec<Leg>,
    answer: Answer,
}

#[derive(Deserialize)]
struct Load {
    weight_n: f64,
    centre_m: [f64; 3],
    trim_at_m: [f64; 3],
}

#[derive(Deserialize)]
struct Junction {
    near_m: [f64; 3],
    weight_n: f64,
}

#[derive(Deserialize)]
struct Leg {
    from: (String, usize),
    to: (String, usize),
    stiffness_n: f64,
    unloaded_length_m: f64,
}

#[derive(Deserialize)]
struct Answer {
    centre_m: [f64; 3],
    axes: [[f64; 3]; 3],
    junctions_m: Vec<[f64; 3]>,
    tensions_n: Vec<f64>,
}

fn check(hang: &Hang) {
    let load = &hang.load;
    let mut rig = Rig::new();
    let body = rig.body(load.trim_at_m, load.centre_m, load.weight_n);
    let points: Vec<_> = hang.points.iter().map(|at| rig.point(*at)).collect();
    let junctions: Vec<_> = hang
        .junctions
        .iter()
        .map(|j| rig.junction(j.near_m, j.weight_n))
        .collect();
    let picks: Vec<_> = hang.picks.iter().map(|at| rig.pick(body, *at)).collect();
    let end = |(kind, index): &(String, usize)| -> AttachmentId {
        match kind.as_str() {
            "point" => points[*index],
            "junction" => junctions[*index],
            _ => picks[*index],
        }
    };
    for leg in &hang.lines {
        rig.line(
            &[end(&leg.from), end(&leg.to)],
            leg.stiffness_n,
            leg.unloaded_length_m,
        );
    }
    let case = rig.build();
    let found = case.found();
    let weight = case.weight_n();
    for (index, wanted) in hang.answer.tensions_n.iter().enumerate() {
        let got = found.lines[index];
        // Relative to the tension, down to lines that carry a thousandth of the weight.
        assert_near(got.tension_n, *wanted, 1e-6 * wanted.max(1e-3 * weight));
        assert_eq!(got.slack, *wanted == 0.0, "{}: line {index}", hang.name);
    }
    let centre = found.state.centre_at_m(&case.topology, &case.parameters, body);
    let near = |got: Vector3<f64>, wanted: [f64; 3]| {
        let wanted = Vector3::from(wanted);
        assert!(
            (got - wanted).norm() <= 1e-6 * wanted.norm(),
            "{}: {got} {wanted}",
            hang.name
        );
    };
    near(centre, hang.answer.centre_m);
    for (axis, wanted) in [Vector3::x(), Vector3::y(), Vector3::z()]
        .into_iter()
        .zip(hang.answer.axes)
    {
        near(found.state.rotation[body.index()] * axis, wanted);
    }
    for (junction, wanted) in junctions.iter().zip(&hang.answer.junctions_m) {
        near(case.at(&found, *junction), *wanted);
    }
}

#[test]
fn hangs_agree_with_scipy_and_mpmath() {
    let text = include_str!("../../../tests/published/hangs-reference.json");
    let reference: Reference = serde_json::from_str(text).unwrap();
    assert!(reference.libraries.contains_key("scipy") && reference.cases.len() >= 10);
    let slack = reference
        .cases
        .iter()
        .filter(|hang| hang.answer.tensions_n.contains(&0.0))
        .count();
    let bridles = reference
        .cases
        .iter()
        .filter(|hang| !hang.junctions.is_empty())
        .count();
    assert!(
        slack >= 5 && bridles >= 5,
        "the reference must cover slack legs and bridles"
    );
    reference.cases.iter().for_each(check);
}
