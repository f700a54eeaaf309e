//! What the writer of a rig document said, with every name resolved. SI units; spans where a later room may object.

use crate::cases::{Case, Face, Stage};
use crate::pipes::Pipe;
use document::Placed;
use indexmap::IndexMap;
use practice::{Role, Service, Under, WeightFrom};
use std::ops::Range;

/// A rig document.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rig {
    /// What the rig is and where it hangs.
    pub title: String,
    /// The practice it names.
    pub practice: Option<Placed<String>>,
    /// Where the building holds the rig.
    pub points: IndexMap<String, Point>,
    /// What hangs, pipes after the others.
    pub loads: IndexMap<String, Load>,
    /// Where lines meet.
    pub junctions: IndexMap<String, Junction>,
    /// What lines are made of.
    pub makeups: IndexMap<String, MadeUp>,
    /// The lines.
    pub lines: IndexMap<String, Line>,
    /// What beams allow for all of their points together.
    pub groups: IndexMap<String, Allows>,
    /// What the shop allows in writing.
    pub permits: IndexMap<String, Permit>,
    /// The temperature at which lengths are true, kelvin; none means 20 degC.
    pub temperature_k: Option<f64>,
    /// Named load cases.
    pub cases: IndexMap<String, Case>,
    /// Stages of raising and striking.
    pub stages: IndexMap<String, Stage>,
    /// Of each load that no lengths found put at its trim the pick furthest from its height, as `load.pick`, and how much too high it
    /// is, metres.
    pub out_of_trim_m: Vec<(String, f64)>,
}

/// What a line is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeUp {
    /// Its parts.
    pub parts: parts::Listed,
    /// The series of pull tests that show something of it.
    pub proved_by: Vec<ProvedBy>,
}

/// A series of pull tests that a makeup names.
#[derive(Debug, Clone, PartialEq)]
pub struct ProvedBy {
    /// The series document, as a path from the rig document.
    pub series: Placed<String>,
    /// The kind in it; none where it has one alone.
    pub kind: Option<Placed<String>>,
}

/// A point of the building.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Where it is, metres.
    pub at_m: [f64; 3],
    /// What the building allows there.
    pub allows: Option<Allows>,
    /// The part fixed there.
    pub part: Option<Placed<String>>,
    /// Direction of the part's shank, of any length.
    pub axis: Option<[f64; 3]>,
    /// A direction in the plane of the part's eye.
    pub plane: Option<[f64; 3]>,
    /// What a line that runs over it bends around, metres.
    pub diameter_m: Option<f64>,
    /// The tension on one side of it over that on the other when a line that runs over it slips.
    pub friction: Option<f64>,
    /// The beam it is on.
    pub group: Option<String>,
    /// How much the building gives there, metres per newton.
    pub gives_m_per_n: Option<f64>,
    /// How far that may be off, as a fraction of it.
    pub gives_spread: Option<f64>,
}

/// What a building allows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Allows {
    /// Force down, newtons.
    pub down_n: Option<f64>,
    /// Force sideways, newtons.
    pub side_n: Option<f64>,
    /// Who says so.
    pub by: Option<String>,
    /// In which document.
    pub document: Option<String>,
}

/// A thing that hangs: rigid, or a pipe that bends.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Weight without items and margin, newtons.
    pub weight_n: f64,
    /// Where the weight comes from.
    pub weight_from: Option<WeightFrom>,
    /// Added to the weight of the load and its items, as a fraction.
    pub margin: Option<f64>,
    /// How far its whole weight may be off, as a fraction of it: two standard deviations.
    pub weight_spread: Option<f64>,
    /// How far its centre of gravity may be off along each of its own axes, metres.
    pub centre_spread_m: Option<f64>,
    /// Centre of gravity of `weight_n`, own axes, metres.
    pub centre_m: Option<[f64; 3]>,
    /// Things that hang on it.
    pub items: Vec<Item>,
    /// How far it may move if something lets go, metres.
    pub may_move_m: Option<f64>,
    /// The greatest acceleration as it starts and stops, m/s².
    pub accelerates_m_per_s2: Option<f64>,
    /// How hard `weight_n` is to turn.
    pub inertia_kg_m2: Option<[f64; 3]>,
    /// Its outer size along its own axes, metres.
    pub size_m: Option<[f64; 3]>,
    /// Places where lines attach, own axes, metres.
    pub picks: IndexMap<String, [f64; 3]>,
    /// Where it should hang.
    pub trim: Trim,
    /// Who may be below.
    pub under: Under,
    /// What it does; none means still.
    pub service: Option<Service>,
    /// Factor on its forces.
    pub dynamic: Option<f64>,
    /// Forces of fixed direction.
    pub forces: Vec<Applied>,
    /// The areas that a wind meets.
    pub faces: Vec<Face>,
    /// What a case adds to its weight, without margin; nothing in the plain rig.
    pub added: Vec<Item>,
    /// What is said of it besides if it is a pipe, a load that bends.
    pub pipe: Option<Pipe>,
}

/// Things that hang on a load.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What they are.
    pub what: String,
    /// How many.
    pub count: u32,
    /// Weight of one, newtons.
    pub weight_n: f64,
    /// Centre of gravity, the load's own axes, metres.
    pub at_m: [f64; 3],
}

/// Where a load should hang, level.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trim {
    /// Place of its origin, metres.
    pub at_m: [f64; 3],
    /// Turn about the vertical, radians; none means 0.
    pub heading_rad: Option<f64>,
}

/// A force of fixed direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Applied {
    /// What it is.
    pub what: String,
    /// The force in the building's axes, newtons.
    pub force_n: [f64; 3],
    /// Where it acts, the load's own axes, metres.
    pub at_m: [f64; 3],
}

/// A ring, shackle or plate where lines meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Junction {
    /// First guess of its place, metres.
    pub near_m: [f64; 3],
    /// The part it is.
    pub part: Option<Placed<String>>,
    /// Its weight, newtons.
    pub weight_n: Option<f64>,
    /// What a line that runs over it bends around, metres.
    pub diameter_m: Option<f64>,
    /// The tension on one side of it over that on the other when a line that runs over it slips.
    pub friction: Option<f64>,
    /// Forces of fixed direction.
    pub forces: Vec<Applied>,
}

/// One made-up length.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its upper end.
    pub from: End,
    /// Its lower end.
    pub to: End,
    /// By what it is given.
    pub given: Given,
    /// Its unloaded length.
    pub length: Length,
    /// What it runs over freely, in order.
    pub via: Vec<End>,
    /// How far its length may be off, metres.
    pub tolerance_m: Option<f64>,
    /// Whether lengths gather around the stated one within that; none means that they are spread evenly.
    pub gathers: Option<bool>,
    /// How far its stiffness may be off, as a fraction of it.
    pub stiffness_spread: Option<f64>,
    /// How it can be adjusted.
    pub adjust: Option<Adjust>,
    /// What it is there for; none means that it carries.
    pub role: Option<Role>,
    /// Where its name stands.
    pub at: Range<usize>,
}

/// Where a line ends or what it runs over.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum End {
    /// A point.
    Point(String),
    /// A junction.
    Junction(String),
    /// A pick of a load: load, pick.
    Pick(String, String),
}

/// By what a line is given.
#[derive(Debug, Clone, PartialEq)]
pub enum Given {
    /// By the name of its makeup.
    Makeup(String),
    /// By stiffness alone: EA in newtons, mass per length in kilograms per metre, expansion per kelvin.
    Stiffness {
        /// EA, newtons.
        stiffness_n: f64,
        /// Mass per length, kilograms per metre; none means no weight.
        mass_kg_per_m: Option<f64>,
        /// Strain per kelvin; none means that of steel wire rope.
        expansion_per_k: Option<f64>,
    },
}

/// The unloaded length of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Length {
    /// What puts everything at its trim; as drawn where that is not found.
    ToTrim,
    /// What was found to put everything at its trim, metres.
    Found(f64),
    /// Stated, metres.
    Stated(f64),
}

/// How a line can be adjusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adjust {
    /// From its shortest to its longest, metres.
    pub travel_m: f64,
    /// How far it is let out from its shortest, metres; none means half of the travel.
    pub at_m: Option<f64>,
    /// The least change that can be made, metres; none takes what its adjuster gives.
    pub step_m: Option<f64>,
}

/// What the shop allows in writing.
#[derive(Debug, Clone, PartialEq)]
pub struct Permit {
    /// The lines it is for.
    pub lines: Vec<String>,
    /// Greatest weight, newtons.
    pub weight_n: f64,
    /// Greatest height, metres.
    pub height_m: f64,
    /// Who may at most be below.
    pub under: Under,
    /// Who approved it.
    pub approved_by: String,
    /// Why.
    pub why: String,
    /// The last day it holds.
    pub until: String,
}

impl std::fmt::Display for End {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            End::Point(name) | End::Junction(name) => f.write_str(name),
            End::Pick(load, pick) => write!(f, "{load}.{pick}"),
        }
    }
}
