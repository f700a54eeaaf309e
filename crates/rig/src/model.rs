//! From a rig and its parts to the mechanics.
//!
//! Conventions: what is connected to what is in connect.rs. Only rope stretches: k = EA / rope length, and statics gets EA of the line =
//! k x line length, so that k is right. Weights of hardware go to the nearer end, that of the rope half to each.
//! Assumes: a length "to trim" is the distance along the line's path as drawn.
//! Valid for: a rig that was read without problems.
//! Source: the rig document's definitions.
//! Checked by: tests/main, and every published check that goes through a rig file.

use crate::connect::connected;
use crate::defaults::Defaults;
use crate::document::{End, Given, Junction, Length, Line, Load, Point, Rig};
use crate::facts::FixedParts;
use crate::geometry::vector;
use crate::pipes::{Chain, Pipe, Spread, figures, own_weight_n};
use indexmap::IndexMap;
use parts::{Makeup, Side};
use quantity::{Kind, STANDARD_GRAVITY_M_PER_S2};
use statics::{
    AppliedForce, AttachmentId, FrameId, LineId, LineParameters, Parameters, Spring, State, Topology,
    TopologyError, UnitQuaternion, Vector3,
};
use std::ops::Range;
use std::sync::Arc;
use working::{Number, Seen, Source, sum};

/// A rig as mechanics: what `statics` is given, and the workings of the numbers it is given.
#[derive(Debug, Clone)]
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
#[derive(Debug, Clone)]
pub(crate) struct LoadModel {
    /// The body that it is, or that in the middle of a pipe.
    pub(crate) frame: FrameId,
    /// What it is made of, if it is a pipe.
    pub(crate) pipe: Option<PipeModel>,
    /// Whether anything of it is off its x axis, so that rolling about that is not for nothing.
    pub(crate) is_lopsided: bool,
    pub(crate) weight_n: Number,
    pub(crate) margin: Option<Number>,
}

/// A pipe as mechanics.
#[derive(Debug, Clone)]
pub(crate) struct PipeModel {
    pub(crate) chain: Chain,
    /// Its strain by temperature; none where nobody said.
    pub(crate) expansion_per_k: Option<Number>,
    /// Which forces of the parameters are the weights that it carries at single places.
    pub(crate) carried: Range<usize>,
}

impl LoadModel {
    /// Gives its path in the rig document.
    pub(crate) fn path(&self, name: &str) -> String {
        format!("{}.{name}", if self.pipe.is_some() { "pipes" } else { "loads" })
    }

    /// Lists the bodies of it.
    pub(crate) fn frames(&self) -> &[FrameId] {
        match &self.pipe {
            Some(pipe) => &pipe.chain.frames,
            None => std::slice::from_ref(&self.frame),
        }
    }
}

/// A line as mechanics.
#[derive(Debug, Clone)]
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
    parts: &FixedParts,
    defaults: &mut Defaults,
) -> Result<Model, TopologyError> {
    let connected = connected(rig)?;
    let topology = connected.topology;
    let mut parameters = Parameters::blank(&topology);
    let mut guess = State::at_origin(&topology);
    for (attachment, offset_m) in connected.offsets {
        parameters.attachment_offset_m[attachment.index()] = offset_m;
    }
    let mut placing = Placing {
        parameters: &mut parameters,
        guess: &mut guess,
        defaults,
    };
    for (name, point) in &rig.points {
        placing.point(point, connected.points[name]);
    }
    for (name, junction) in &rig.junctions {
        placing.junction(name, junction, connected.junctions[name], parts);
    }
    let mut chains = connected.chains;
    let mut loads = IndexMap::new();
    for (name, load) in &rig.loads {
        let placed = match (&load.pipe, chains.swap_remove(name)) {
            (Some(pipe), Some(chain)) => placing.pipe(name, load, pipe, chain, parts),
            _ => placing.load(name, load, connected.loads[name]),
        };
        loads.insert(name.clone(), placed);
    }
    // What pipes carry comes after all stated forces, which are told by their order.
    let stated_forces = stated_forces(rig);
    for (load, placed) in rig.loads.values().zip(loads.values_mut()) {
        if let Some(pipe) = &mut placed.pipe {
            let first = parameters.forces.len();
            hang_carried(&mut parameters, load, &pipe.chain);
            pipe.carried = first..parameters.forces.len();
        }
    }
    let mut lines = IndexMap::new();
    for ((name, line), (id, path)) in rig.lines.iter().zip(connected.lines) {
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
    Ok(Model {
        topology,
        parameters,
        guess,
        points: connected.points,
        junctions: connected.junctions,
        loads,
        lines,
        picks: connected.picks,
        stated_forces,
    })
}

/// Names the forces that the writer states, in the order in which they stand in the parameters.
fn stated_forces(rig: &Rig) -> Vec<String> {
    let junctions = rig.junctions.values().flat_map(|junction| &junction.forces);
    let loads = rig.loads.values().flat_map(|load| &load.forces);
    junctions.chain(loads).map(|force| force.what.clone()).collect()
}

/// Where the numbers of a model go.
struct Placing<'a> {
    parameters: &'a mut Parameters,
    guess: &'a mut State,
    defaults: &'a mut Defaults,
}

impl Placing<'_> {
    /// Puts a point where it is, on a spring if the building gives there.
    fn point(&mut self, point: &Point, frame: FrameId) {
        let at_m = vector(point.at_m);
        self.parameters.fixed_at_m[frame.index()] = at_m;
        self.guess.position_m[frame.index()] = at_m;
        if let Some(gives_m_per_n) = point.gives_m_per_n {
            self.parameters.springs.push(Spring {
                frame,
                at_m,
                stiffness_n_per_m: 1.0 / gives_m_per_n,
            });
        }
    }

    /// Puts a junction near where it is drawn, with its weight and forces.
    fn junction(&mut self, name: &str, junction: &Junction, frame: FrameId, parts: &FixedParts) {
        self.guess.position_m[frame.index()] = vector(junction.near_m);
        let weight_n = junction_weight_n(name, junction, &parts.junctions, self.defaults);
        self.parameters.weight_n[frame.index()] = weight_n;
        apply(self.parameters, frame, &junction.forces);
    }

    /// Puts a load at its trim, with its weight, centre, forces and picks.
    fn load(&mut self, name: &str, load: &Load, frame: FrameId) -> LoadModel {
        let heading_rad = self.heading_rad(load, &format!("loads.{name}"));
        self.guess.position_m[frame.index()] = vector(load.trim.at_m);
        self.guess.rotation[frame.index()] = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), heading_rad);
        let stated = Source::stated(format!("rig file, loads.{name}.weight"));
        let own = Number::given(
            format!("weight of {name}"),
            "w",
            Kind::Force,
            load.weight_n,
            stated,
        );
        let (weight_n, margin) = weight(&format!("loads.{name}"), name, load, &own, self.defaults);
        self.parameters.weight_n[frame.index()] = weight_n.value();
        self.parameters.centre_m[frame.index()] = centre_m(name, load, self.defaults);
        apply(self.parameters, frame, &load.forces);
        LoadModel {
            frame,
            pipe: None,
            is_lopsided: true,
            weight_n,
            margin,
        }
    }

    fn heading_rad(&mut self, load: &Load, path: &str) -> f64 {
        load.trim.heading_rad.unwrap_or_else(|| {
            self.defaults.assume("heading 0", path);
            0.0
        })
    }

    /// Puts a pipe at its trim, with its stiffness, its own weight and what is spread over it, and the stated forces.
    fn pipe(&mut self, name: &str, load: &Load, pipe: &Pipe, chain: Chain, parts: &FixedParts) -> LoadModel {
        let path = format!("pipes.{name}");
        let heading_rad = self.heading_rad(load, &path);
        let at_m = vector(load.trim.at_m);
        chain.place(self.guess, &mut self.parameters.fixed_at_m, at_m, heading_rad);
        let section = parts.sections.get(name);
        let figures = figures(name, pipe, section.map(AsRef::as_ref), self.defaults);
        let own = own_weight_n(name, pipe, &figures);
        let (weight_n, margin) = weight(&path, name, load, &own, self.defaults);
        let factor = 1.0 + load.margin.unwrap_or(0.0);
        let spread: Vec<(Spread, f64)> = pipe
            .carried
            .iter()
            .zip(&load.items)
            .map(|(carried, item)| (carried.spread, factor * item.weight_n))
            .collect();
        let own_n_per_m = factor * own.value() / pipe.length_m;
        chain.fill(&mut self.parameters.beams, &figures, &spread, own_n_per_m);
        for force in &load.forces {
            let (frame, offset_m) = chain.on(&vector(force.at_m));
            self.parameters.forces.push(AppliedForce {
                frame,
                offset_m,
                force_n: vector(force.force_n),
            });
        }
        LoadModel {
            frame: chain.middle(),
            pipe: Some(PipeModel {
                chain,
                expansion_per_k: figures.expansion_per_k,
                // Known when everything that is stated stands before it.
                carried: 0..0,
            }),
            is_lopsided: is_lopsided(load),
            weight_n,
            margin,
        }
    }
}

/// Tells whether a load has a pick, a weight, a force or a face off its own x axis.
fn is_lopsided(load: &Load) -> bool {
    let items = load.items.iter().chain(&load.added).map(|item| item.at_m);
    let forces = load.forces.iter().map(|force| force.at_m);
    // What pushes on a face in a wind is a force of that case.
    let mut places = load.picks.values().copied().chain(items).chain(forces);
    places.any(|[_, y, z]| y.hypot(z) > 1e-3)
}

/// Hangs what a pipe carries at single places on it, and what a case adds.
fn hang_carried(parameters: &mut Parameters, load: &Load, chain: &Chain) {
    let factor = 1.0 + load.margin.unwrap_or(0.0);
    let carried = load.pipe.iter().flat_map(|pipe| &pipe.carried).zip(&load.items);
    let at_places = carried.filter(|(carried, _)| matches!(carried.spread, Spread::At(_)));
    let own = at_places.map(|(_, item)| (item, factor));
    for (item, factor) in own.chain(load.added.iter().map(|item| (item, 1.0))) {
        let (frame, offset_m) = chain.on(&vector(item.at_m));
        let weight_n = factor * f64::from(item.count) * item.weight_n;
        parameters.forces.push(AppliedForce {
            frame,
            offset_m,
            force_n: Vector3::new(0.0, 0.0, -weight_n),
        });
    }
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
fn weight(
    path: &str,
    name: &str,
    load: &Load,
    own: &Number,
    defaults: &mut Defaults,
) -> (Number, Option<Number>) {
    let stated = |key: &str| Source::stated(format!("rig file, {path}.{key}"));
    let items = if load.pipe.is_some() { "carries" } else { "items" };
    let mut terms: Vec<working::Expression> = vec![own.into()];
    for (i, item) in load.items.iter().enumerate() {
        let what = format!("weight of one {}", item.what);
        let one = Number::given(
            what,
            format!("w_{}", i + 1),
            Kind::Force,
            item.weight_n,
            stated(items),
        );
        let count = Number::given(
            format!("number of {}", item.what),
            format!("n_{}", i + 1),
            Kind::Number,
            f64::from(item.count),
            stated(items),
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
        defaults.assume("no margin on the weight", path);
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
        Length::Found(length_m) => {
            let source = Source::mechanics(
                "found by iteration: puts picks as near to their trim as lengths can, stated forces away, with the least sum of squares \
                 of the tensions of the lines to trim",
            );
            Number::given(
                format!("unloaded length of {name}, to trim"),
                "L0",
                Kind::Length,
                length_m,
                source,
            )
        }
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
