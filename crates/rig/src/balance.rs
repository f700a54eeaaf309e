//! The workings of solved numbers: each is the balance that it satisfies, evaluated again from the pose found.
//!
//! Conventions: SI, z up; a tension is given where it is largest: at the upper end, or at a higher place on the way.
//! Assumes: a straight line, its own weight half at each end; or an elastic catenary.
//! Valid for: an equilibrium. Where none was found there are no numbers.
//! Source: Hooke's law of a line, T = EA s / L0 with the stretch s = L - L0; force and moment balance of each free body.
//! Checked by: tests/main (points against the mechanics' own sum; every balance is within the residual).

use crate::document::End;
use crate::geometry::array;
use crate::model::{LineModel, LoadModel, Model};
use crate::shares::Worst;
use indexmap::IndexMap;
use quantity::{Kind, Style};
use statics::{AttachmentId, FrameId, LineResult, Solution, Vector3, highest_above_mean_m};
use working::{Expression, Number, Seen, Source, sqrt, sum};

const AXES: [&str; 3] = ["x", "y", "z"];

/// Gives how far the highest place of a line is above the middle of its way, as a share of half of its way: of a line that
/// runs over nothing the vertical part of its direction, 0 to 1.
pub(crate) fn upward(model: &Model, solution: &Solution, line: usize) -> f64 {
    let Some((_, line)) = model.lines.get_index(line) else {
        return 0.0;
    };
    let path = solution
        .state
        .path_at_m(&model.topology, &model.parameters, line.id);
    let (above_m, way_m) = highest_above_mean_m(path);
    if way_m > 0.0 { 2.0 * above_m / way_m } else { 0.0 }
}

/// Says where a line has its greatest tension.
fn highest(line: &LineModel) -> &'static str {
    if line.path.len() > 2 {
        "at its highest place"
    } else {
        "at its upper end"
    }
}

/// Derives the tension of a line where it is greatest, from its length in the pose found. `when` tells which pose.
pub(crate) fn tension(model: &Model, line: usize, result: &LineResult, upward: f64, when: &str) -> Number {
    let Some((name, line)) = model.lines.get_index(line) else {
        let source = Source::mechanics("equilibrium");
        return Number::given("tension", "T", Kind::Force, result.tension_n, source);
    };
    if let Some(sag_m) = result.sag_m {
        return sagging_tension(name, line, result, sag_m, when);
    }
    let along = elastic(name, line, result.length_m, when);
    if result.tension_n <= 0.0 || line.weight_n.value() == 0.0 {
        return along;
    }
    let what = format!("tension of {name} {}{}", highest(line), spaced(when));
    let formula = &along + (&line.weight_n / 2.0) * &vertical_part(line, upward);
    Number::computed(what, "T", Kind::Force, formula, half_hangs_below(line))
}

/// Gives the greatest tension of a line that sags; the reach that it satisfies is a number of its own.
fn sagging_tension(name: &str, line: &LineModel, result: &LineResult, sag_m: f64, when: &str) -> Number {
    let greatest_n = result.greatest_tension_n;
    let source = Source::mechanics(if line.path.len() > 2 {
        "elastic catenaries from place to place, found by iteration"
    } else {
        "elastic catenary found by iteration; `reach_across` and `reach_up` of the line unfold what it satisfies"
    });
    let what = format!("tension of {name} {}{}", highest(line), spaced(when));
    let sag = Kind::Stretch.print(sag_m, Style::both());
    Number::given(what, "T", Kind::Force, greatest_n, source).remark(format!("it sags {sag} below straight"))
}

/// A line that sags, by what it pulls at its first end.
struct Hanging<'a> {
    name: &'a str,
    line: &'a LineModel,
    /// Its horizontal pull.
    across: Number,
    /// Its upward pull, and its tension, at `from`.
    up_first: Number,
    first: Number,
}

impl Hanging<'_> {
    /// Gives the tension where the upward pull is so much.
    fn tension(across: &Number, up: &Number, symbol: &str) -> Number {
        let formula = sqrt(across * across + up * up);
        let source = Source::mechanics("Pythagoras");
        Number::computed(
            "tension along the line there",
            symbol,
            Kind::Force,
            formula,
            source,
        )
    }

    /// Gives how far it reaches across and up to a place, from the upward pull and the tension there, and the unloaded length
    /// up to it.
    fn reach_to(&self, up: &Number, tension: &Number, along: &Number) -> [Expression; 2] {
        let LineModel {
            weight_n: weight,
            length_m: length,
            stiffness_n: stiffness,
            ..
        } = self.line;
        let (across, first) = (&self.across, &self.first);
        // asinh(V / H) - asinh(V_1 / H), with asinh(x) = ln(x + sqrt(x^2 + 1)).
        let turn = working::ln((up + tension) / (&self.up_first + first));
        let mean = (&self.up_first + up) / 2.0;
        [
            across * along / stiffness + across * length / weight * turn,
            mean * along / stiffness + length / weight * (tension - first),
        ]
    }

    /// Derives how far it reaches from end to end, and how far it sags below the straight line between its ends.
    fn numbers(&self) -> [Number; 3] {
        let (name, weight, length) = (self.name, &self.line.weight_n, &self.line.length_m);
        let law = || Source::cited("irvine-1981", "elastic catenary", Seen::Memory);
        let adds = || Source::mechanics("its own weight is added along it");
        let up_last = Number::computed(
            format!("upward pull of {name} at `to`, along it"),
            "V_2",
            Kind::Force,
            &self.up_first + weight,
            adds(),
        );
        let last = Self::tension(&self.across, &up_last, "T_2");
        let [x, z] = self.reach_to(&up_last, &last, length);
        let across = Number::computed(format!("reach of {name} across"), "x", Kind::Length, x, law());
        let up = Number::computed(format!("reach of {name} upward"), "z", Kind::Length, z, law());
        // Deepest below the straight line is where it runs alongside it: V / H = z / x.
        let slope = Number::computed(
            "slope of the straight line between its ends",
            "m",
            Kind::Number,
            &up / &across,
            Source::mechanics("geometry"),
        );
        let up_there = Number::computed(
            "upward pull where it is deepest below that",
            "V_s",
            Kind::Force,
            &self.across * &slope,
            Source::mechanics("it runs alongside the straight line there"),
        );
        let there = Self::tension(&self.across, &up_there, "T_s");
        let along = Number::computed(
            "unloaded length up to there",
            "s",
            Kind::Length,
            (&up_there - &self.up_first) * length / weight,
            adds(),
        );
        let [x, z] = self.reach_to(&up_there, &there, &along);
        let what = format!("sag of {name} below the straight line between its ends");
        let sag = Number::computed(what, "f", Kind::Stretch, x * &slope - z, law());
        [sag, across, up]
    }
}

/// Derives how far a line sags, and reaches from its end at `from` to that at `to`, across and up, from the tension at
/// its end: what the equations of the elastic catenary make of it, beside the distance found.
pub(crate) fn reaches(model: &Model, solution: &Solution, line: usize) -> IndexMap<String, Number> {
    let mut found = IndexMap::new();
    let Some((name, line)) = model.lines.get_index(line) else {
        return found;
    };
    let mut keep = |key: &str, number: Number| {
        found.insert(format!("lines.{name}.{key}"), number);
    };
    let pulls = solution.pulls_of(&model.topology, line.id);
    if let (Some(sag_m), true) = (solution.line(line.id).sag_m, line.path.len() > 2) {
        let what = format!("greatest sag of {name} below the straight line between two places of its way");
        let source = Source::mechanics(
            "elastic catenaries with the same tension on both sides of each place, found by iteration",
        );
        keep("sag", Number::given(what, "f", Kind::Stretch, sag_m, source));
    }
    let (Some(first), true) = (pulls.first(), line.path.len() == 2) else {
        return found;
    };
    // A rope that folds straight down has no catenary to tell of.
    let folds = first.xy().norm() < 1e-6 * line.weight_n.value();
    if folds || solution.line(line.id).sag_m.is_none() || line.weight_n.value() <= 0.0 {
        return found;
    }
    let force = |what: &str, symbol: &str, value: f64| {
        let source = Source::mechanics("elastic catenary found by iteration");
        Number::given(format!("{what} of {name}"), symbol, Kind::Force, value, source)
    };
    let across = force("horizontal pull", "H", first.xy().norm());
    let up_first = force(
        "upward pull at `from`",
        "V_1",
        first.z - 0.5 * line.weight_n.value(),
    );
    let hanging = Hanging {
        name,
        line,
        first: Hanging::tension(&across, &up_first, "T_1"),
        across,
        up_first,
    };
    for (key, number) in ["sag", "reach_across", "reach_up"]
        .into_iter()
        .zip(hanging.numbers())
    {
        keep(key, number);
    }
    found
}

/// Derives the greatest share of a line at its upper end: as it was solved, or what sharing leaves open and half of its own weight.
pub(crate) fn greatest_share(
    model: &Model,
    line: usize,
    (worst, within_tolerances): (&Worst, bool),
    upward: f64,
) -> Number {
    let (share_n, when) = (worst.value_n, worst.when.as_str());
    let (lengths, found) = if within_tolerances {
        (
            "with lengths off by no more than their tolerances",
            "statics: the greatest tension found with lengths too short and too long by their tolerances",
        )
    } else if worst.greatest_n.is_some() {
        ("otherwise than as stated", "statics: the balance found so")
    } else {
        (
            "whatever the exact lengths",
            "statics: the most that balances every load and junction in the pose found, no tension negative",
        )
    };
    let source = Source::mechanics(found);
    let Some((name, line)) = model.lines.get_index(line) else {
        return Number::given("greatest share", "T_w", Kind::Force, share_n, source);
    };
    let what = format!("greatest share of {name}, {lengths}");
    let share = Number::given(what.clone(), "T_w", Kind::Force, share_n, source);
    let share = if when.is_empty() {
        share
    } else {
        share.remark(when)
    };
    if line.weight_n.value() == 0.0 {
        return share;
    }
    if let Some(greatest_n) = worst.greatest_n {
        let source = Source::mechanics("the balance found so, its own weight included");
        let what = format!("{what}, {}", highest(line));
        return Number::given(what, "T_w", Kind::Force, greatest_n, source).remark(when);
    }
    let formula = &share + (&line.weight_n / 2.0) * &vertical_part(line, upward);
    Number::computed(
        format!("{what}, {}", highest(line)),
        "T_w",
        Kind::Force,
        formula,
        half_hangs_below(line),
    )
}

fn half_hangs_below(line: &LineModel) -> Source {
    Source::mechanics(if line.path.len() > 2 {
        "its own weight below its highest place, less what is on average below a place of it"
    } else {
        "half of its own weight hangs below its upper end"
    })
}

fn vertical_part(line: &LineModel, upward: f64) -> Number {
    let source = Source::mechanics("geometry of the pose found");
    Number::given(
        if line.path.len() > 2 {
            "height of its highest place above the mean of its way, over half of its way"
        } else {
            "vertical part of its direction at the upper end"
        },
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

/// Derives the tension of a straight line from its stretch, or gives it as found where its length is not the one stated.
fn pulled(name: &str, line: &LineModel, result: &LineResult) -> Number {
    let derived = elastic(name, line, result.length_m, "");
    if (derived.value() - result.tension_n).abs() <= 1e-6 * result.tension_n + 1e-3 {
        return derived;
    }
    let source = Source::mechanics("equilibrium found by iteration, with lengths off by their tolerance");
    Number::given(
        format!("tension of {name}"),
        "T",
        Kind::Force,
        result.tension_n,
        source,
    )
}

/// Gives the pulls of all lines on some frames.
fn pulls(model: &Model, solution: &Solution, frames: &[FrameId]) -> Vec<Pull> {
    let mut found = Vec::new();
    for (name, line) in &model.lines {
        let result = solution.line(line.id);
        if result.tension_n <= 0.0 {
            continue;
        }
        let path = model.topology.path(line.id);
        for (at, pull) in path.iter().zip(solution.pulls_of(&model.topology, line.id)) {
            if frames.contains(&model.topology.frame_of(*at)) {
                let (tension_n, direction) = if result.sag_m.is_some() {
                    let what = format!("pull of {name} there, without half of its weight");
                    let source = Source::mechanics("elastic catenary found by iteration");
                    let size_n = pull.norm();
                    let number = Number::given(what, "P", Kind::Force, size_n, source);
                    (number, pull / size_n.max(f64::MIN_POSITIVE))
                } else {
                    (pulled(name, line, &result), pull / result.tension_n)
                };
                found.push(Pull {
                    line: name.clone(),
                    tension_n,
                    direction,
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
    let pulls = pulls(model, solution, &[frame]);
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
            &[*junction],
            &format!("junctions.{name}"),
            &mut found,
        );
    }
    for (name, load) in &model.loads {
        let path = load.path(name);
        balance_of_forces(model, solution, load.frames(), &path, &mut found);
        balance_of_moments(model, solution, load, &path, &mut found);
    }
    found
}

fn balance_of_forces(
    model: &Model,
    solution: &Solution,
    frames: &[FrameId],
    path: &str,
    found: &mut IndexMap<String, Number>,
) {
    let pulls = pulls(model, solution, frames);
    let other = other_force_n(model, solution, frames);
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

/// Gives everything that acts on frames besides the tensions: weights, stated forces, and what the building holds where
/// a pipe is built in, newtons.
fn other_force_n(model: &Model, solution: &Solution, frames: &[FrameId]) -> [f64; 3] {
    array(
        others(model, solution, frames)
            .iter()
            .map(|(_, force)| force)
            .sum(),
    )
}

/// Lists everything that acts on frames besides the tensions, and where.
fn others(model: &Model, solution: &Solution, frames: &[FrameId]) -> Vec<(Vector3<f64>, Vector3<f64>)> {
    let (topology, parameters, state) = (&model.topology, &model.parameters, &solution.state);
    let place = |frame: FrameId| state.frame_at_m(topology, parameters, frame);
    let mut found = Vec::new();
    for frame in frames {
        let weight = Vector3::new(0.0, 0.0, -parameters.weight_n[frame.index()]);
        found.push((model.centre_at_m(solution, *frame), weight));
        if topology.kind(*frame) == statics::FrameKind::Fixed {
            found.push((place(*frame), -solution.on_building_n[frame.index()]));
        }
    }
    for applied in parameters.forces.iter().filter(|f| frames.contains(&f.frame)) {
        let rotation = state.rotation[applied.frame.index()];
        found.push((
            place(applied.frame) + rotation * applied.offset_m,
            applied.force_n,
        ));
    }
    for beam in topology
        .beams()
        .filter(|beam| frames.contains(&topology.ends(*beam)[0]))
    {
        let given = &parameters.beams[beam.index()];
        let ends = topology.ends(beam).map(place);
        found.push((
            (ends[0] + ends[1]) * 0.5 + bow(solution, beam),
            given.load_n_per_m * given.length_m,
        ));
    }
    for line in model.lines.values() {
        let path = topology.path(line.id);
        for at in [path.first(), path.last()].into_iter().flatten() {
            if frames.contains(&topology.frame_of(*at)) {
                let half = Vector3::new(0.0, 0.0, -0.5 * line.weight_n.value());
                found.push((model.at_m(state, *at), half));
            }
        }
    }
    found
}

/// Gives how far the centre of the load on a bent piece is from the middle of its chord.
fn bow(solution: &Solution, beam: statics::BeamId) -> Vector3<f64> {
    let result = &solution.beams[beam.index()];
    result.rotation * (Vector3::x().cross(&result.turn_rad) * (result.length_m / 12.0))
}

fn balance_of_moments(
    model: &Model,
    solution: &Solution,
    load: &LoadModel,
    path: &str,
    found: &mut IndexMap<String, Number>,
) {
    // What the building holds where a pipe is built in has a moment of its own.
    let built_in = |frame: &FrameId| model.topology.kind(*frame) == statics::FrameKind::Fixed;
    if load.frames().iter().any(built_in) {
        return;
    }
    let centre = model.centre_at_m(solution, load.frame);
    let place = |at: AttachmentId| model.at_m(&solution.state, at);
    let pulls = pulls(model, solution, load.frames());
    let other = others(model, solution, load.frames());
    let other: Vector3<f64> = other.iter().map(|(at, force)| (at - centre).cross(force)).sum();
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

/// A cut through a pipe.
pub(crate) struct Cut<'a> {
    pub(crate) model: &'a Model,
    pub(crate) solution: &'a Solution,
    pub(crate) load: &'a LoadModel,
    pub(crate) name: &'a str,
    /// The piece that it cuts, by its place in the chain.
    pub(crate) beam: usize,
    /// Where, from the middle of that piece, metres.
    pub(crate) from_middle_m: f64,
    /// Where, from the start of the pipe, metres.
    pub(crate) along_m: f64,
}

impl Cut<'_> {
    /// Lists the bodies between the start and the cut.
    fn frames(&self) -> &[FrameId] {
        self.load.frames().get(..=self.beam).unwrap_or_default()
    }

    fn result(&self) -> Option<&statics::BeamResult> {
        let beam = self.load.pipe.as_ref()?.chain.beams.get(self.beam)?;
        self.solution.beams.get(beam.index())
    }

    /// Gives where the axis is cut, metres.
    fn at_m(&self) -> Option<Vector3<f64>> {
        let pipe = self.load.pipe.as_ref()?;
        let result = self.result()?;
        let ends =
            [self.beam, self.beam + 1].map(|i| self.solution.state.position_m[pipe.chain.frames[i].index()]);
        let offset = result.rotation * result.offset_at(self.from_middle_m);
        Some(ends[0] + (ends[1] - ends[0]) * (0.5 + self.from_middle_m / result.length_m) + offset)
    }

    /// Lists what acts between the start and the cut besides the tensions.
    fn others(&self) -> Vec<(Vector3<f64>, Vector3<f64>)> {
        let topology = &self.model.topology;
        let cut = self
            .load
            .pipe
            .as_ref()
            .and_then(|pipe| pipe.chain.beams.get(self.beam));
        let mut found = others(self.model, self.solution, self.frames());
        let (Some(cut), Some(result), Some(at_m)) = (cut, self.result(), self.at_m()) else {
            return found;
        };
        // The piece that is cut was counted whole: only its part up to the cut is on this side.
        let given = &self.model.parameters.beams[cut.index()];
        let ends = topology.ends(*cut).map(|f| {
            self.solution
                .state
                .frame_at_m(topology, &self.model.parameters, f)
        });
        let whole = given.load_n_per_m * given.length_m;
        found.push(((ends[0] + ends[1]) * 0.5 + bow(self.solution, *cut), -whole));
        let part_m = self.from_middle_m + 0.5 * result.length_m;
        found.push(((ends[0] + at_m) * 0.5, given.load_n_per_m * part_m));
        found
    }
}

/// Derives the bending moment at a cut: that of everything between the start and the cut, about the cut.
pub(crate) fn cut_moment(cut: &Cut<'_>) -> Number {
    let what = format!("bending moment in {} at {}", cut.name, place(cut.along_m));
    let source = Source::mechanics("moments of all that acts between its start and the cut, about the cut");
    let (Some(result), Some(at_m)) = (cut.result(), cut.at_m()) else {
        return Number::given(what, "M", Kind::Torque, 0.0, source);
    };
    let mut moment = result.moment_at(cut.from_middle_m);
    moment.x = 0.0;
    // About the axis of the moment found; where there is none, any.
    let axis = result.rotation
        * if moment.norm() > 0.0 {
            moment.normalize()
        } else {
            Vector3::y()
        };
    let pulls = pulls(cut.model, cut.solution, cut.frames());
    let mut terms: Vec<Expression> = pulls
        .iter()
        .map(|pull| {
            let lever_m = -(cut.model.at_m(&cut.solution.state, pull.at) - at_m)
                .cross(&pull.direction)
                .dot(&axis);
            let what = format!("lever arm of {} about the cut", pull.line);
            let source = Source::mechanics("geometry of the pose found");
            &pull.tension_n * &Number::given(what, format!("a_{}", pull.line), Kind::Length, lever_m, source)
        })
        .collect();
    let other: f64 = cut
        .others()
        .iter()
        .map(|(at, force)| -(at - at_m).cross(force).dot(&axis))
        .sum();
    let built_in: f64 = built_in_moment(cut).dot(&axis);
    let weights =
        "moment of the weights, stated forces and what the building holds on this side, about the cut";
    let source_of = Source::mechanics("each weight and force times its lever arm in the pose found");
    terms.push(Number::given(weights, "M_0", Kind::Torque, other + built_in, source_of).into());
    Number::computed(what, "M", Kind::Torque, sum(terms), source)
}

/// Moment that the building puts on a built-in start, of the later part on the earlier one, newton metres.
fn built_in_moment(cut: &Cut<'_>) -> Vector3<f64> {
    let start = cut.load.frames().first();
    let built_in = start.is_some_and(|frame| cut.model.topology.kind(*frame) == statics::FrameKind::Fixed);
    let first = cut.load.pipe.as_ref().and_then(|pipe| pipe.chain.beams.first());
    match first
        .map(|beam| &cut.solution.beams[beam.index()])
        .filter(|_| built_in)
    {
        Some(result) => result.rotation * result.moment_at(-0.5 * result.length_m),
        None => Vector3::zeros(),
    }
}

/// Derives the shear at a cut: what all that acts between the start and the cut adds up to, across the pipe.
pub(crate) fn cut_shear(cut: &Cut<'_>) -> Number {
    let what = format!("shear in {} at {}", cut.name, place(cut.along_m));
    let source = Source::mechanics("sum of all that acts between its start and the cut, across the pipe");
    let Some(result) = cut.result() else {
        return Number::given(what, "V", Kind::Force, 0.0, source);
    };
    let shear = result.shear_at(cut.from_middle_m);
    let across = shear.try_normalize(0.0).unwrap_or_else(Vector3::z);
    let terms = before_the_cut(cut, &(result.rotation * -across), "across the pipe");
    Number::computed(what, "V", Kind::Force, sum(terms), source)
}

/// Derives the thrust at a cut: what all that acts between the start and the cut adds up to, along the pipe.
pub(crate) fn cut_thrust(cut: &Cut<'_>) -> Number {
    cut_along(cut, "thrust", ("towards", 1.0))
}

/// Derives the pull at a cut: the same away from the cut.
pub(crate) fn cut_pull(cut: &Cut<'_>) -> Number {
    cut_along(cut, "pull", ("away from", -1.0))
}

fn cut_along(cut: &Cut<'_>, what: &str, (way, sign): (&str, f64)) -> Number {
    let what = format!("{what} along {} at {}", cut.name, place(cut.along_m));
    let says = format!("along the pipe {way} the cut");
    let source = Source::mechanics(format!(
        "sum of all that acts between its start and the cut, {says}"
    ));
    let Some(result) = cut.result() else {
        return Number::given(what, "P", Kind::Force, 0.0, source);
    };
    let along = result.rotation * result.direction_at(cut.from_middle_m) * sign;
    Number::computed(
        what,
        "P",
        Kind::Force,
        sum(before_the_cut(cut, &along, &says)),
        source,
    )
}

/// Lists the parts in a direction of all that acts between the start and a cut.
fn before_the_cut(cut: &Cut<'_>, direction: &Vector3<f64>, says: &str) -> Vec<Expression> {
    let pulls = pulls(cut.model, cut.solution, cut.frames());
    let mut terms: Vec<Expression> = pulls
        .iter()
        .map(|pull| {
            let what = format!("part of the direction of {} {says}", pull.line);
            let source = Source::mechanics("geometry of the pose found");
            let part = pull.direction.dot(direction);
            &pull.tension_n * &Number::given(what, format!("c_{}", pull.line), Kind::Number, part, source)
        })
        .collect();
    let other: f64 = cut.others().iter().map(|(_, force)| force.dot(direction)).sum();
    let weights = format!("weights, stated forces and what the building holds on this side, {says}");
    let source_of = Source::mechanics("sum over this side of the cut");
    terms.push(Number::given(weights, "F_0", Kind::Force, other, source_of).into());
    terms
}

fn place(along_m: f64) -> String {
    format!("{} from its start", Kind::Length.print(along_m, Style::both()))
}
