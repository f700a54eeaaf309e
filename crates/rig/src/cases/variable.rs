//! What a place of the building gets, dead and variable apart, as an engineer factors them.
//!
//! Conventions: SI, z up; no factors; down and sideways, and along x and y.
//! Assumes: dead is what hangs with no stated force; everything else that a case brings is variable, heat and the forces
//! stated in the plain rig among it.
//! Valid for: cases that hang. In a stage, dead is what hangs in that stage.
//! Source: permanent and variable actions, as codes part them; sums of the pulls and weights on each point.
//! Checked by: tests/main/cases.rs (dead and variable together are what the mechanics put on the point).

use crate::balance::{OnPoint, on_point};
use crate::found::{Change, Trial};
use crate::model::Model;
use crate::pipes::{ENDS, on_building};
use indexmap::IndexMap;
use quantity::Kind;
use statics::{Solution, Vector3};
use working::{Expression, Number, Source, sqrt, sum};

/// What one place of the building gets of something.
#[derive(Debug, Clone)]
pub(crate) struct OnPlace {
    pub(crate) down_n: Number,
    pub(crate) along_n: [Number; 2],
    pub(crate) side_n: Number,
}

/// What one place of the building gets, and its parts.
#[derive(Debug, Clone)]
pub(crate) struct Parted {
    pub(crate) all: OnPlace,
    pub(crate) dead: OnPlace,
    pub(crate) variable: OnPlace,
}

/// A model with where it is at rest.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AtRest<'a> {
    pub(crate) model: &'a Model,
    pub(crate) solution: &'a Solution,
}

/// Finds the rest of a rig without any stated force; none if it then does not hang.
pub(crate) fn dead_of(rig: AtRest<'_>) -> Option<Solution> {
    if rig.model.stated_forces.is_empty() {
        return Some(rig.solution.clone());
    }
    let without_forces = Change {
        forces: (0..rig.model.stated_forces.len()).collect(),
        ..Change::default()
    };
    let mut trial = Trial::new(rig.model, rig.solution);
    trial.with(rig.solution, &without_forces).ok().cloned()
}

/// Parts what each point gets.
pub(crate) fn on_points(all: AtRest<'_>, dead: AtRest<'_>) -> IndexMap<String, Parted> {
    let on = |rest: AtRest<'_>, name: &str| on_point(rest.model, rest.solution, name).map(OnPlace::from);
    let each = |name: &String| {
        let parted = Parted::of(name, on(all, name)?, &on(dead, name)?);
        Some((name.clone(), parted))
    };
    all.model.points.keys().filter_map(each).collect()
}

/// Sums what the points of a group get.
pub(crate) fn on_group(name: &str, points: &[&Parted]) -> Parted {
    let of = |which: &str, symbols: [&str; 4], part: fn(&Parted) -> &OnPlace| {
        let add = |axis: fn(&OnPlace) -> &Number| sum(points.iter().map(|point| axis(part(point))));
        OnPlace::new(
            &format!("{which}force on {name}"),
            symbols,
            [
                add(|on| &on.down_n),
                add(|on| &on.along_n[0]),
                add(|on| &on.along_n[1]),
            ],
            "sum over the points of the group",
        )
    };
    Parted {
        all: of("", ALL, |parted| &parted.all),
        dead: of("dead ", DEAD, |parted| &parted.dead),
        variable: of("variable ", VARIABLE, |parted| &parted.variable),
    }
}

/// What the building gets where a pipe is built in, and its parts.
#[derive(Debug, Clone)]
pub(crate) struct PartedEnd {
    pub(crate) force: Parted,
    pub(crate) dead_moment_n_m: Number,
    pub(crate) variable_moment_n_m: Number,
}

/// Parts what each end of a pipe that is built in brings to the building, by pipe and end.
pub(crate) fn on_ends(all: AtRest<'_>, dead: AtRest<'_>) -> IndexMap<String, PartedEnd> {
    let mut found = IndexMap::new();
    let at = |rest: AtRest<'_>, name: &str, end: usize| {
        on_building(rest.model, rest.solution, rest.model.loads.get(name)?, end)
    };
    for (name, end) in all.model.loads.keys().flat_map(|name| [(name, 0), (name, 1)]) {
        let (Some(here), Some(dead)) = (at(all, name, end), at(dead, name, end)) else {
            continue;
        };
        let what = format!("{name} at its {}", ENDS[end]);
        let moment = |which: &str, symbol: &str, value: Vector3<f64>| {
            let what = format!("{which} moment of {what} on the building");
            Number::given(what, symbol, Kind::Torque, value.norm(), Source::mechanics(FOUND))
        };
        let parted = PartedEnd {
            force: Parted::of(
                &what,
                OnPlace::found(&what, here.force_n),
                &OnPlace::found(&what, dead.force_n),
            ),
            dead_moment_n_m: moment("dead", "G_M", dead.moment_n_m),
            variable_moment_n_m: moment("variable", "Q_M", here.moment_n_m - dead.moment_n_m),
        };
        found.insert(format!("{name}.{}", ENDS[end]), parted);
    }
    found
}

const FOUND: &str = "equilibrium found by iteration: what the pipe puts on the building there";

/// The symbols of a force down, in x, in y and sideways.
const ALL: [&str; 4] = ["F_down", "F_x", "F_y", "F_side"];
const DEAD: [&str; 4] = ["G_down", "G_x", "G_y", "G_side"];
const VARIABLE: [&str; 4] = ["Q_down", "Q_x", "Q_y", "Q_side"];

impl OnPlace {
    fn new(what: &str, symbols: [&str; 4], formulas: [Expression; 3], law: &str) -> Self {
        let [down, x, y] = formulas;
        let [of_down, of_x, of_y, of_side] = symbols;
        let number = |way: &str, symbol: &str, formula: Expression| {
            let what = format!("{what}, {way}");
            Number::computed(what, symbol, Kind::Force, formula, Source::mechanics(law))
        };
        let along_n = [number("in x", of_x, x), number("in y", of_y, y)];
        let [x, y] = &along_n;
        let side_n = Number::computed(
            format!("{what}, sideways"),
            of_side,
            Kind::Force,
            sqrt(x * x + y * y),
            Source::mechanics("Pythagoras"),
        );
        OnPlace {
            down_n: number("down", of_down, down),
            along_n,
            side_n,
        }
    }

    /// Takes a force as it was found.
    fn found(what: &str, force_n: Vector3<f64>) -> Self {
        let given = |way: &str, symbol: &str, value: f64| {
            let what = format!("force of {what} on the building, {way}");
            Expression::from(Number::given(
                what,
                symbol,
                Kind::Force,
                value,
                Source::mechanics(FOUND),
            ))
        };
        let formulas = [
            given("down", "F_down", -force_n.z),
            given("in x", "F_x", force_n.x),
            given("in y", "F_y", force_n.y),
        ];
        OnPlace::new(&format!("force of {what}"), ALL, formulas, "as found")
    }

    /// Gives the force on the building, z up, newtons.
    pub(crate) fn force_n(&self) -> [f64; 3] {
        let [x, y] = &self.along_n;
        [x.value(), y.value(), -self.down_n.value()]
    }
}

impl From<OnPoint> for OnPlace {
    fn from(on: OnPoint) -> Self {
        OnPlace {
            down_n: on.down_n,
            along_n: on.along_n,
            side_n: on.side_n,
        }
    }
}

impl Parted {
    fn of(name: &str, all: OnPlace, dead: &OnPlace) -> Self {
        let formulas = [&dead.down_n, &dead.along_n[0], &dead.along_n[1]].map(Expression::from);
        let law = "the rig with no stated force";
        let dead = OnPlace::new(&format!("dead force on {name}"), DEAD, formulas, law);
        let formulas = [
            &all.down_n - &dead.down_n,
            &all.along_n[0] - &dead.along_n[0],
            &all.along_n[1] - &dead.along_n[1],
        ];
        let law = "what the case brings besides";
        let variable = OnPlace::new(&format!("variable force on {name}"), VARIABLE, formulas, law);
        Parted { all, dead, variable }
    }
}
