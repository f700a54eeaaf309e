//! The workings of solved numbers: each is the balance that it satisfies, evaluated again from the pose found.
//!
//! Conventions: SI, z up; a tension is given at the end where it is largest, the upper one.
//! Assumes: a straight line; its own weight half at each end.
//! Valid for: an equilibrium. Where none was found there are no numbers.
//! Source: Hooke's law of a line, T = EA s / L0 with the stretch s = L - L0; force and moment balance of each free body.
//! Checked by: tests/main (points against the mechanics' own sum; every balance is within the residual).

use crate::document::End;
use crate::geometry::array;
use crate::model::{LineModel, Model};
use indexmap::IndexMap;
use quantity::Kind;
use statics::{AttachmentId, FrameId, Solution, Vector3};
use working::{Expression, Number, Source, sqrt, sum};

const AXES: [&str; 3] = ["x", "y", "z"];

/// Gives the part of a line's direction that is vertical, at its higher end, 0 to 1.
pub(crate) fn upward(model: &Model, solution: &Solution, line: usize) -> f64 {
    let Some((_, line)) = model.lines.get_index(line) else {
        return 0.0;
    };
    let path = solution
        .state
        .path_at_m(&model.topology, &model.parameters, line.id);
    let ([a, b, ..], [.., c, d]) = (path.as_slice(), path.as_slice()) else {
        return 0.0;
    };
    let (first, last) = ([a, b], [d, c]);
    let upper = if first[0].z >= last[0].z { first } else { last };
    let along = upper[1] - upper[0];
    if along.norm() > 0.0 {
        along.z.abs() / along.norm()
    } else {
        0.0
    }
}

/// Derives the tension of a line at its upper end from its length in the pose found. `when` tells which pose.
pub(crate) fn tension(
    model: &Model,
    line: usize,
    tension_n: f64,
    length_m: f64,
    upward: f64,
    when: &str,
) -> Number {
    let Some((name, line)) = model.lines.get_index(line) else {
        return Number::given(
            "tension",
            "T",
            Kind::Force,
            tension_n,
            Source::mechanics("equilibrium"),
        );
    };
    let along = elastic(name, line, length_m, when);
    if tension_n <= 0.0 || line.weight_n.value() == 0.0 {
        return along;
    }
    let what = format!("tension of {name} at its upper end{}", spaced(when));
    let formula = &along + (&line.weight_n / 2.0) * &vertical_part(upward);
    Number::computed(
        what,
        "T",
        Kind::Force,
        formula,
        Source::mechanics("half of its own weight hangs below its upper end"),
    )
}

/// Derives the greatest share of a line at its upper end: what sharing leaves open, and half of its own weight.
pub(crate) fn greatest_share(model: &Model, line: usize, share_n: f64, upward: f64, when: &str) -> Number {
    let source = Source::mechanics(
        "statics: the most that balances every load and junction in the pose found, no tension negative",
    );
    let Some((name, line)) = model.lines.get_index(line) else {
        return Number::given("greatest share", "T_w", Kind::Force, share_n, source);
    };
    let what = format!("greatest share of {name}, whatever the exact lengths");
    let share = Number::given(what.clone(), "T_w", Kind::Force, share_n, source);
    let share = if when.is_empty() {
        share
    } else {
        share.remark(when)
    };
    if line.weight_n.value() == 0.0 {
        return share;
    }
    let formula = &share + (&line.weight_n / 2.0) * &vertical_part(upward);
    let source = Source::mechanics("half of its own weight hangs below its upper end");
    Number::computed(
        format!("{what}, at its upper end"),
        "T_w",
        Kind::Force,
        formula,
        source,
    )
}

fn vertical_part(upward: f64) -> Number {
    let source = Source::mechanics("geometry of the pose found");
    Number::given(
        "vertical part of its direction at the upper end",
        "c",
        Kind::Number,
        upward,
        source,
    )
}

/// Derives the elastic tension of a line from its stretch.
fn elastic(name: &str, line: &LineModel, length_m: f64, when: &str) -> Number {
    let unloaded_m = line.length_m.value();
    let (what, found_m) = match length_m - unloaded_m {
        stretch_m if stretch_m < 0.0 => ("stretch, 0 as it is slack,", 0.0),
        stretch_m => ("stretch", stretch_m),
    };
    let source = Source::mechanics("equilibrium found by iteration; the verdict states the residual force");
    let stretch = Number::given(
        format!("{what} of {name}{}", spaced(when)),
        "s",
        Kind::Stretch,
        found_m,
        source,
    );
    let formula = &line.stiffness_n * &stretch / &line.length_m;
    let law = Source::mechanics("Hooke's law of a line that can not push");
    Number::computed(
        format!("tension of {name}{}", spaced(when)),
        "T",
        Kind::Force,
        formula,
        law,
    )
}

fn spaced(when: &str) -> String {
    if when.is_empty() {
        String::new()
    } else {
        format!(", {when}")
    }
}

/// The force that a line puts on one place of its path.
struct Pull {
    line: String,
    tension_n: Number,
    /// Unit vector of the pull.
    direction: Vector3<f64>,
    at: AttachmentId,
}

/// Gives the pulls of all lines on a frame.
fn pulls(model: &Model, solution: &Solution, frame: FrameId) -> Vec<Pull> {
    let mut found = Vec::new();
    for (name, line) in &model.lines {
        let result = solution.line(line.id);
        if result.tension_n <= 0.0 {
            continue;
        }
        let path = model.topology.path(line.id);
        for (at, pull) in path.iter().zip(solution.pulls_of(&model.topology, line.id)) {
            if model.topology.frame_of(*at) == frame {
                let tension_n = elastic(name, line, result.length_m, "");
                found.push(Pull {
                    line: name.clone(),
                    tension_n,
                    direction: pull / result.tension_n,
                    at: *at,
                });
            }
        }
    }
    found
}

/// What a rig puts on one point of the building.
pub(crate) struct OnPoint {
    pub(crate) down_n: Number,
    /// Along x and y.
    pub(crate) along_n: [Number; 2],
    pub(crate) side_n: Number,
    pub(crate) force_n: Number,
}

/// Derives the force on a point from the tensions and weights that bear on it.
pub(crate) fn on_point(model: &Model, solution: &Solution, name: &str) -> Option<OnPoint> {
    let frame = *model.points.get(name)?;
    let pulls = pulls(model, solution, frame);
    let part = |axis: usize, sign: f64| -> Vec<Expression> {
        pulls
            .iter()
            .map(|pull| &pull.tension_n * &cosine(pull, axis, sign))
            .collect()
    };
    let mut down = part(2, -1.0);
    down.extend(
        weights_on(model, frame, &End::Point(name.into()))
            .iter()
            .map(Expression::from),
    );
    let balance = || Source::mechanics("sum of the pulls and weights on the point");
    let total = |what: String, symbol: &str, terms: Vec<Expression>| {
        Number::computed(what, symbol, Kind::Force, total_force(terms), balance())
    };
    let down_n = total(format!("force down on {name}"), "F_down", down);
    let along_x = total(format!("force on {name} in x"), "F_x", part(0, 1.0));
    let along_y = total(format!("force on {name} in y"), "F_y", part(1, 1.0));
    let side = sqrt(&along_x * &along_x + &along_y * &along_y);
    let side_n = Number::computed(
        format!("force sideways on {name}"),
        "F_side",
        Kind::Force,
        side,
        Source::mechanics("Pythagoras"),
    );
    let all = sqrt(&down_n * &down_n + &side_n * &side_n);
    let force_n = Number::computed(
        format!("force on {name}"),
        "F",
        Kind::Force,
        all,
        Source::mechanics("Pythagoras"),
    );
    Some(OnPoint {
        down_n,
        along_n: [along_x, along_y],
        side_n,
        force_n,
    })
}

/// Adds terms; with none, gives zero newtons.
fn total_force(terms: Vec<Expression>) -> Expression {
    if terms.is_empty() {
        return Number::given(
            "no line pulls here",
            "0",
            Kind::Force,
            0.0,
            Source::mechanics("nothing acts"),
        )
        .into();
    }
    sum(terms)
}

fn cosine(pull: &Pull, axis: usize, sign: f64) -> Number {
    let direction = if sign < 0.0 {
        "down".to_string()
    } else {
        format!("in {}", AXES[axis])
    };
    let what = format!("part of the direction of {} that is {direction}", pull.line);
    let source = Source::mechanics("geometry of the pose found");
    Number::given(
        what,
        format!("c_{}", pull.line),
        Kind::Number,
        sign * pull.direction[axis],
        source,
    )
}

/// Gives the weights of lines that hang on one end at a frame: half of each rope, and the hardware nearest to it.
fn weights_on(model: &Model, frame: FrameId, end: &End) -> Vec<Number> {
    let mut found = Vec::new();
    for (name, line) in &model.lines {
        let at_ends = [line.path.first(), line.path.last()]
            .into_iter()
            .flatten()
            .filter(|e| *e == end)
            .count();
        if at_ends > 0 && line.weight_n.value() > 0.0 {
            let what = format!("half of the weight of {name}");
            let formula = &line.weight_n * (0.5 * at_ends as f64);
            found.push(Number::computed(
                what,
                "w/2",
                Kind::Force,
                formula,
                Source::mechanics("half at each end"),
            ));
        }
    }
    let hardware_n: f64 = model
        .parameters
        .forces
        .iter()
        .filter(|f| f.frame == frame)
        .map(|f| -f.force_n.z)
        .sum();
    if hardware_n > 0.0 {
        let source = Source::mechanics("masses of the parts nearest to this end, from the parts book");
        found.push(Number::given(
            "weight of the hardware there",
            "w_h",
            Kind::Force,
            hardware_n,
            source,
        ));
    }
    found
}

/// Derives, for each load and junction, the balance of forces along each axis and of moments about each axis of a
/// load's centre of gravity. Each is what is left unbalanced, so each is nearly zero.
pub(crate) fn balances(model: &Model, solution: &Solution) -> IndexMap<String, Number> {
    let mut found = IndexMap::new();
    for (name, junction) in &model.junctions {
        balance_of_forces(
            model,
            solution,
            *junction,
            &format!("junctions.{name}"),
            &mut found,
        );
    }
    for (name, load) in &model.loads {
        balance_of_forces(model, solution, load.frame, &format!("loads.{name}"), &mut found);
        balance_of_moments(model, solution, load.frame, &format!("loads.{name}"), &mut found);
    }
    found
}

fn balance_of_forces(
    model: &Model,
    solution: &Solution,
    frame: FrameId,
    path: &str,
    found: &mut IndexMap<String, Number>,
) {
    let pulls = pulls(model, solution, frame);
    let other = other_force_n(model, frame);
    for axis in 0..3 {
        let mut terms: Vec<Expression> = pulls
            .iter()
            .map(|pull| &pull.tension_n * &cosine(pull, axis, 1.0))
            .collect();
        let what = format!("weights and stated forces on {path} in {}", AXES[axis]);
        let source = Source::mechanics("weights of the load, its lines and hardware, and the forces stated");
        terms.push(Number::given(what, "F_0", Kind::Force, other[axis], source).into());
        let what = format!("balance of forces on {path} in {}: what is left", AXES[axis]);
        let number = Number::computed(
            what,
            format!("R_{}", AXES[axis]),
            Kind::Force,
            sum(terms),
            Source::mechanics("Newton"),
        );
        found.insert(format!("{path}.balance_{}", AXES[axis]), number);
    }
}

/// Gives everything that acts on a frame besides the tensions: weights and stated forces, newtons.
fn other_force_n(model: &Model, frame: FrameId) -> [f64; 3] {
    let mut force = Vector3::new(0.0, 0.0, -model.parameters.weight_n[frame.index()]);
    for applied in model.parameters.forces.iter().filter(|f| f.frame == frame) {
        force += applied.force_n;
    }
    for line in model.lines.values() {
        let path = model.topology.path(line.id);
        let ends = [path.first(), path.last()].into_iter().flatten();
        let here = ends.filter(|a| model.topology.frame_of(**a) == frame).count();
        force.z -= 0.5 * line.weight_n.value() * here as f64;
    }
    array(force)
}

fn balance_of_moments(
    model: &Model,
    solution: &Solution,
    frame: FrameId,
    path: &str,
    found: &mut IndexMap<String, Number>,
) {
    let centre = model.centre_at_m(solution, frame);
    let place = |at: AttachmentId| model.at_m(&solution.state, at);
    let pulls = pulls(model, solution, frame);
    let other = other_moment_n_m(model, solution, frame);
    for axis in 0..3 {
        let mut terms: Vec<Expression> = pulls
            .iter()
            .map(|pull| {
                let arm_m = (place(pull.at) - centre).cross(&pull.direction)[axis];
                let what = format!("lever arm of {} about {}", pull.line, AXES[axis]);
                let source = Source::mechanics("geometry of the pose found, from the centre of gravity");
                &pull.tension_n
                    * &Number::given(what, format!("a_{}", pull.line), Kind::Length, arm_m, source)
            })
            .collect();
        let what = format!(
            "moment of weights and stated forces on {path} about {}",
            AXES[axis]
        );
        let source = Source::mechanics("weights of lines and hardware at their ends, and the forces stated");
        terms.push(Number::given(what, "M_0", Kind::Torque, other[axis], source).into());
        let what = format!("balance of moments on {path} about {}: what is left", AXES[axis]);
        let symbol = format!("M_{}", AXES[axis]);
        found.insert(
            format!("{path}.balance_m{}", AXES[axis]),
            Number::computed(what, symbol, Kind::Torque, sum(terms), Source::mechanics("Euler")),
        );
    }
}

/// Gives the moment about the centre of gravity of everything but the tensions, newton metres.
fn other_moment_n_m(model: &Model, solution: &Solution, frame: FrameId) -> [f64; 3] {
    let centre = model.centre_at_m(solution, frame);
    let origin = solution
        .state
        .frame_at_m(&model.topology, &model.parameters, frame);
    let rotation = solution.state.rotation[frame.index()];
    let mut moment = Vector3::zeros();
    for applied in model.parameters.forces.iter().filter(|f| f.frame == frame) {
        moment += (origin + rotation * applied.offset_m - centre).cross(&applied.force_n);
    }
    for line in model.lines.values() {
        let path = model.topology.path(line.id);
        for at in [path.first(), path.last()].into_iter().flatten() {
            if model.topology.frame_of(*at) == frame {
                let place = model.at_m(&solution.state, *at);
                moment += (place - centre).cross(&Vector3::new(0.0, 0.0, -0.5 * line.weight_n.value()));
            }
        }
    }
    array(moment)
}
