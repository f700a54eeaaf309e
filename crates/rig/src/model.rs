//! From a rig and its parts to the mechanics.
//!
//! Conventions: frames are numbered points, junctions, loads, each in document order; one attachment for each
//! place that a line touches. Only rope stretches: k = EA / rope length, and statics gets EA of the line =
//! k x line length, so that k is right. Weights of hardware go to the nearer end, that of the rope half to each.
//! Assumes: a length "to trim" is the distance along the line's path as drawn.
//! Valid for: a rig that was read without problems.
//! Source: the rig document's definitions.
//! Checked by: tests/main, and every published check that goes through a rig file.

use crate::defaults::Defaults;
use crate::document::{End, Given, Length, Line, Load, Rig};
use crate::geometry::vector;
use indexmap::IndexMap;
use parts::{Makeup, Side};
use quantity::{Kind, STANDARD_GRAVITY_M_PER_S2};
use statics::{
    AppliedForce, AttachmentId, FrameId, LineId, LineParameters, Parameters, State, Topology,
    TopologyBuilder, TopologyError, UnitQuaternion, Vector3,
};
use std::sync::Arc;
use working::{Number, Seen, Source, sum};

/// A rig as mechanics: what `statics` is given, and the workings of the numbers it is given.
#[derive(Debug)]
pub(crate) struct Model {
    pub(crate) topology: Topology,
    pub(crate) parameters: Parameters,
    pub(crate) guess: State,
    pub(crate) points: IndexMap<String, FrameId>,
    pub(crate) junctions: IndexMap<String, FrameId>,
    pub(crate) loads: IndexMap<String, LoadModel>,
    pub(crate) lines: IndexMap<String, LineModel>,
    pub(crate) picks: IndexMap<(String, String), AttachmentId>,
    /// The forces that the writer states, by name; they are the first of the parameters' forces.
    pub(crate) stated_forces: Vec<String>,
}

/// A load as mechanics.
#[derive(Debug)]
pub(crate) struct LoadModel {
    pub(crate) frame: FrameId,
    pub(crate) weight_n: Number,
    pub(crate) margin: Option<Number>,
}

/// A line as mechanics.
#[derive(Debug)]
pub(crate) struct LineModel {
    pub(crate) id: LineId,
    pub(crate) path: Vec<End>,
    pub(crate) makeup: Option<Arc<Makeup>>,
    pub(crate) length_m: Number,
    pub(crate) stiffness_n: Number,
    /// Weight of the rope alone, half at each end.
    pub(crate) weight_n: Number,
}

/// Builds the mechanics of a rig. `makeups` holds the makeups it names, resolved against the parts book.
pub(crate) fn model(
    rig: &Rig,
    makeups: &IndexMap<String, Arc<Makeup>>,
    junction_parts: &IndexMap<String, Arc<parts::Part>>,
    defaults: &mut Defaults,
) -> Result<Model, TopologyError> {
    let mut builder = TopologyBuilder::new();
    let points = rig
        .points
        .keys()
        .map(|name| (name.clone(), builder.fixed()))
        .collect();
    let junctions = rig
        .junctions
        .keys()
        .map(|name| (name.clone(), builder.junction()))
        .collect();
    let frames: IndexMap<&String, FrameId> = rig.loads.keys().map(|name| (name, builder.body())).collect();
    let frame_of = Frames {
        points: &points,
        junctions: &junctions,
        loads: &frames,
    };
    let mut attachments = IndexMap::new();
    for (name, load) in &rig.loads {
        for pick in load.picks.keys() {
            let end = End::Pick(name.clone(), pick.clone());
            attachments.insert(end.clone(), builder.attachment(frame_of.of(&end)));
        }
    }
    let mut ids = IndexMap::new();
    for (name, line) in &rig.lines {
        let path: Vec<End> = path(line);
        let touched: Vec<AttachmentId> = path
            .iter()
            .map(|end| {
                *attachments
                    .entry(end.clone())
                    .or_insert_with(|| builder.attachment(frame_of.of(end)))
            })
            .collect();
        ids.insert(name, (builder.line(&touched), path));
    }
    let topology = builder.build()?;
    let mut parameters = Parameters::blank(&topology);
    let mut guess = State::at_origin(&topology);

    for (name, point) in &rig.points {
        parameters.fixed_at_m[points[name].index()] = vector(point.at_m);
    }
    for (name, junction) in &rig.junctions {
        let frame: FrameId = junctions[name];
        guess.position_m[frame.index()] = vector(junction.near_m);
        parameters.weight_n[frame.index()] = junction_weight_n(name, junction, junction_parts, defaults);
        apply(&mut parameters, frame, &junction.forces);
    }
    let mut placing = Placing {
        parameters: &mut parameters,
        guess: &mut guess,
        defaults,
    };
    let loads = rig.loads.iter().map(|(name, load)| {
        let pick = |pick: &String| attachments[&End::Pick(name.clone(), pick.clone())];
        (name.clone(), placing.load(name, load, frames[name], pick))
    });
    let loads = loads.collect();
    let junction_forces = rig.junctions.values().flat_map(|junction| &junction.forces);
    let load_forces = rig.loads.values().flat_map(|load| &load.forces);
    let stated_forces = junction_forces
        .chain(load_forces)
        .map(|force| force.what.clone())
        .collect();
    let mut lines = IndexMap::new();
    for (name, line) in &rig.lines {
        let (id, path) = ids[name].clone();
        let drawn_m = drawn_length_m(&topology, &parameters, &guess, id);
        let made = line_model(name, line, id, path, drawn_m, makeups, defaults);
        parameters.lines[id.index()] = LineParameters {
            stiffness_n: made.stiffness_n.value(),
            unloaded_length_m: made.length_m.value(),
            weight_n: made.weight_n.value(),
            active: true,
        };
        hang_hardware(&mut parameters, &topology, &made);
        lines.insert(name.clone(), made);
    }
    let picks = attachments.into_iter().filter_map(|(end, id)| match end {
        End::Pick(load, pick) => Some(((load, pick), id)),
        _ => None,
    });
    Ok(Model {
        picks: picks.collect(),
        topology,
        parameters,
        guess,
        points,
        junctions,
        loads,
        lines,
        stated_forces,
    })
}

/// Where the numbers of a model go.
struct Placing<'a> {
    parameters: &'a mut Parameters,
    guess: &'a mut State,
    defaults: &'a mut Defaults,
}

impl Placing<'_> {
    /// Puts a load at its trim, with its weight, centre, forces and picks.
    fn load(
        &mut self,
        name: &str,
        load: &Load,
        frame: FrameId,
        attachment: impl Fn(&String) -> AttachmentId,
    ) -> LoadModel {
        let heading_rad = load.trim.heading_rad.unwrap_or_else(|| {
            self.defaults.assume("heading 0", format!("loads.{name}"));
            0.0
        });
        self.guess.position_m[frame.index()] = vector(load.trim.at_m);
        self.guess.rotation[frame.index()] = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), heading_rad);
        let (weight_n, margin) = weight(name, load, self.defaults);
        self.parameters.weight_n[frame.index()] = weight_n.value();
        self.parameters.centre_m[frame.index()] = centre_m(name, load, self.defaults);
        apply(self.parameters, frame, &load.forces);
        for (pick, at) in &load.picks {
            self.parameters.attachment_offset_m[attachment(pick).index()] = vector(*at);
        }
        LoadModel {
            frame,
            weight_n,
            margin,
        }
    }
}

struct Frames<'a> {
    points: &'a IndexMap<String, FrameId>,
    junctions: &'a IndexMap<String, FrameId>,
    loads: &'a IndexMap<&'a String, FrameId>,
}

impl Frames<'_> {
    fn of(&self, end: &End) -> FrameId {
        match end {
            End::Point(name) => self.points[name],
            End::Junction(name) => self.junctions[name],
            End::Pick(load, _) => self.loads[load],
        }
    }
}

/// Lists what a line touches, its ends first and last.
fn path(line: &Line) -> Vec<End> {
    let mut path = vec![line.from.clone()];
    path.extend(line.via.iter().cloned());
    path.push(line.to.clone());
    path
}

fn apply(parameters: &mut Parameters, frame: FrameId, forces: &[crate::document::Applied]) {
    parameters.forces.extend(forces.iter().map(|force| AppliedForce {
        frame,
        offset_m: vector(force.at_m),
        force_n: vector(force.force_n),
    }));
}

fn junction_weight_n(
    name: &str,
    junction: &crate::document::Junction,
    parts: &IndexMap<String, Arc<parts::Part>>,
    defaults: &mut Defaults,
) -> f64 {
    junction.weight_n.unwrap_or_else(|| {
        let mass = parts
            .get(name)
            .and_then(|part| part.mass_kg.as_ref())
            .map(Number::value);
        let says = if mass.is_some() {
            "weight that of its part"
        } else {
            "no weight"
        };
        defaults.assume(says, format!("junctions.{name}"));
        mass.map_or(0.0, |mass_kg| mass_kg * STANDARD_GRAVITY_M_PER_S2)
    })
}

/// Works out the weight of a load: (weight + items) x (1 + margin).
fn weight(name: &str, load: &Load, defaults: &mut Defaults) -> (Number, Option<Number>) {
    let stated = |key: &str| Source::stated(format!("rig file, loads.{name}.{key}"));
    let own = Number::given(
        format!("weight of {name}"),
        "w",
        Kind::Force,
        load.weight_n,
        stated("weight"),
    );
    let mut terms: Vec<working::Expression> = vec![(&own).into()];
    for (i, item) in load.items.iter().enumerate() {
        let what = format!("weight of one {}", item.what);
        let one = Number::given(
            what,
            format!("w_{}", i + 1),
            Kind::Force,
            item.weight_n,
            stated("items"),
        );
        let count = Number::given(
            format!("number of {}", item.what),
            format!("n_{}", i + 1),
            Kind::Number,
            f64::from(item.count),
            stated("items"),
        );
        terms.push(&count * &one);
    }
    let margin = load.margin.map(|m| {
        Number::given(
            format!("margin on the weight of {name}"),
            "m",
            Kind::Ratio,
            m,
            stated("margin"),
        )
    });
    if margin.is_none() {
        defaults.assume("no margin on the weight", format!("loads.{name}"));
    }
    let mut formula = sum(terms);
    if let Some(margin) = &margin {
        formula = formula * (working::Expression::from(1.0) + margin);
    }
    if !load.added.is_empty() {
        let added = load.added.iter().map(|item| {
            let (what, source) = (
                format!("weight of {}", item.what),
                Source::stated("rig file, weights of the case"),
            );
            Number::given(what, "w_a", Kind::Force, item.weight_n, source)
        });
        formula = sum(std::iter::once(formula).chain(added.map(working::Expression::from)));
    }
    let what = format!("weight of {name} with all that hangs on it");
    (
        Number::computed(
            what,
            "W",
            Kind::Force,
            formula,
            Source::mechanics("sum of weights"),
        ),
        margin,
    )
}

/// Gives the common centre of gravity of a load and its items, own axes; a margin leaves it where it is.
fn centre_m(name: &str, load: &Load, defaults: &mut Defaults) -> Vector3<f64> {
    if load.centre_m.is_none() {
        defaults.assume(
            "centre of gravity at the origin of its axes",
            format!("loads.{name}"),
        );
    }
    let mut moment = vector(load.centre_m.unwrap_or_default()) * load.weight_n;
    let mut total = load.weight_n;
    for item in &load.items {
        let weight_n = f64::from(item.count) * item.weight_n;
        moment += vector(item.at_m) * weight_n;
        total += weight_n;
    }
    let raised = 1.0 + load.margin.unwrap_or(0.0);
    // Without anything added the margin cancels, and not even rounding may tell of it.
    if !load.added.is_empty() {
        moment *= raised;
        total *= raised;
    }
    for item in &load.added {
        moment += vector(item.at_m) * item.weight_n;
        total += item.weight_n;
    }
    moment / total
}

fn drawn_length_m(topology: &Topology, parameters: &Parameters, guess: &State, line: LineId) -> f64 {
    let at: Vec<Vector3<f64>> = topology
        .path(line)
        .iter()
        .map(|a| guess.attachment_at_m(topology, parameters, *a))
        .collect();
    at.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum()
}

/// Works out length, stiffness and weight of a line.
fn line_model(
    name: &str,
    line: &Line,
    id: LineId,
    path: Vec<End>,
    drawn_m: f64,
    makeups: &IndexMap<String, Arc<Makeup>>,
    defaults: &mut Defaults,
) -> LineModel {
    let subject = format!("lines.{name}");
    let stated = |key: &str| Source::stated(format!("rig file, lines.{name}.{key}"));
    let length_m = match line.length {
        Length::Stated(length_m) => Number::given(
            format!("unloaded length of {name}"),
            "L0",
            Kind::Length,
            length_m,
            stated("length"),
        ),
        Length::ToTrim => {
            defaults.assume(
                "`to trim`: unloaded length taken as the distance drawn",
                subject.clone(),
            );
            let source = Source::mechanics("distance along its path with everything at trim");
            Number::given(
                format!("unloaded length of {name}, as drawn"),
                "L0",
                Kind::Length,
                drawn_m,
                source,
            )
        }
    };
    if line.role.is_none() {
        defaults.assume("role `carries`", subject.clone());
    }
    match &line.given {
        Given::Stiffness {
            stiffness_n,
            mass_kg_per_m,
            ..
        } => {
            if mass_kg_per_m.is_none() {
                defaults.assume("line without weight", subject);
            }
            let weight_n = mass_kg_per_m.map_or_else(no_weight, |mass| {
                let kind = Kind::MassPerLength;
                let mass = Number::given("mass per length", "m'", kind, mass, stated("weight"));
                rope_weight(&(&mass * &length_m))
            });
            let what = format!("stiffness EA of {name}");
            let stiffness_n = Number::given(what, "EA", Kind::Force, *stiffness_n, stated("stiffness"));
            LineModel {
                id,
                path,
                makeup: None,
                length_m,
                stiffness_n,
                weight_n,
            }
        }
        Given::Makeup(makeup) => made_up(makeups[makeup].clone(), &subject, id, path, length_m, defaults),
    }
}

fn no_weight() -> Number {
    Number::given(
        "weight of the rope",
        "w",
        Kind::Force,
        0.0,
        Source::stated("no weight stated"),
    )
}

/// Works out stiffness and weight of a line from its parts.
fn made_up(
    makeup: Arc<Makeup>,
    subject: &str,
    id: LineId,
    path: Vec<End>,
    length_m: Number,
    defaults: &mut Defaults,
) -> LineModel {
    let (_, unknown_lengths) = makeup.hardware_length_m();
    for part in unknown_lengths {
        defaults.assume("hardware length not published, taken as 0", part);
    }
    for part in Side::BOTH
        .iter()
        .flat_map(|side| makeup.hardware_mass_kg(*side).1)
    {
        defaults.assume("hardware weight not published, taken as 0", part);
    }
    let stiffness_n = makeup.line_stiffness_n(&length_m).unwrap_or_else(|| {
        defaults.assume("rope stiffness not published, taken from its diameter", subject);
        assumed_stiffness_n(&makeup)
    });
    let weight_n = if let Some(mass) = makeup.rope_mass_kg(&length_m) {
        rope_weight(&mass.into())
    } else {
        defaults.assume("rope weight not published, taken as 0", subject);
        no_weight()
    };
    LineModel {
        id,
        path,
        length_m,
        stiffness_n,
        weight_n,
        makeup: Some(makeup),
    }
}

/// Assumes a stiffness for a rope that has none published.
fn assumed_stiffness_n(makeup: &Makeup) -> Number {
    let per_area = Number::given(
        "stiffness of wire rope over the square of its diameter",
        "EA/d^2",
        Kind::Pressure,
        45e9,
        Source::plain(
            "low end of the published stretch factors of 7x19 to 6x37 rope",
            Seen::Judgement,
        ),
    );
    let diameter = makeup.rope().map(|(_, rope)| rope.diameter_m.clone());
    let diameter = diameter
        .unwrap_or_else(|| Number::given("diameter", "d", Kind::Length, 0.003, Source::stated("none")));
    let formula = &per_area * &diameter * &diameter;
    Number::computed(
        "stiffness EA, assumed",
        "EA",
        Kind::Force,
        formula,
        Source::plain("assumed", Seen::Judgement),
    )
}

fn rope_weight(mass: &working::Expression) -> Number {
    let g = Number::given(
        "standard gravity",
        "g",
        Kind::Acceleration,
        STANDARD_GRAVITY_M_PER_S2,
        Source::mechanics("standard gravity, 9.80665 m/s2 by definition"),
    );
    Number::computed(
        "weight of the rope",
        "w",
        Kind::Force,
        mass.clone() * &g,
        Source::mechanics("weight = mass x gravity"),
    )
}

/// Hangs the hardware of a line on its nearer end.
fn hang_hardware(parameters: &mut Parameters, topology: &Topology, line: &LineModel) {
    let Some(makeup) = &line.makeup else { return };
    let path = topology.path(line.id);
    for (attachment, side) in [path.first(), path.last()].into_iter().zip(Side::BOTH) {
        let mass_kg = makeup.hardware_mass_kg(side).0.value();
        let Some(attachment) = attachment.filter(|_| mass_kg > 0.0) else {
            continue;
        };
        parameters.forces.push(AppliedForce {
            frame: topology.frame_of(*attachment),
            offset_m: parameters.attachment_offset_m[attachment.index()],
            force_n: Vector3::new(0.0, 0.0, -mass_kg * STANDARD_GRAVITY_M_PER_S2),
        });
    }
}
