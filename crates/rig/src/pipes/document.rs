//! What the writer of a rig document said of a pipe, besides what is said of any load. SI units.

use document::Placed;
use indexmap::IndexMap;

/// A load that bends. Its own axes have x along it, from its start to its end, and their origin in its middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Pipe {
    /// From start to end, metres.
    pub length_m: f64,
    /// By what it is given.
    pub given: Given,
    /// Where lines attach.
    pub picks: IndexMap<String, PipePick>,
    /// What it carries; the same things are items of the load.
    pub carried: Vec<Carried>,
    /// Where it is joined.
    pub splices: Vec<Splice>,
    /// Whether its start, and its end, is built into the building.
    pub built_in: [bool; 2],
}

impl Pipe {
    /// Gives its start and its end in its own axes, metres.
    pub(crate) fn ends_m(&self) -> [[f64; 3]; 2] {
        [-0.5, 0.5].map(|share| [share * self.length_m, 0.0, 0.0])
    }
}

/// By what a pipe is given.
#[derive(Debug, Clone, PartialEq)]
pub enum Given {
    /// By a section of the parts book.
    Section(Placed<String>),
    /// By its stiffness.
    Stated {
        /// EI, N m².
        bending_n_m2: f64,
        /// EA, newtons; none means taken from EI.
        axial_n: Option<f64>,
        /// GJ, N m²; none means taken from EI.
        torsion_n_m2: Option<f64>,
        /// Mass per length, kilograms per metre.
        mass_kg_per_m: f64,
        /// Strain by temperature, 1/K; none where nobody said.
        expansion_per_k: Option<f64>,
        /// What it may carry in bending, N m, and in shear, newtons, and who says so.
        allows: Option<BendingAllowed>,
    },
}

/// What a pipe or a splice may carry, and who says so.
#[derive(Debug, Clone, PartialEq)]
pub struct BendingAllowed {
    /// Bending moment, N m.
    pub moment_n_m: f64,
    /// Shear, newtons.
    pub shear_n: f64,
    /// Torque, N m.
    pub torque_n_m: Option<f64>,
    /// Who says so, in which document.
    pub by: Option<String>,
}

/// A place on a pipe where lines attach.
#[derive(Debug, Clone, PartialEq)]
pub struct PipePick {
    /// From its start, metres.
    pub along_m: f64,
    /// Below its axis, metres.
    pub below_m: f64,
    /// What clamps lines to it.
    pub part: Option<Placed<String>>,
}

/// Something that a pipe carries.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// What it is.
    pub what: String,
    /// How it is spread.
    pub spread: Spread,
}

/// How a weight is spread over a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// At one place from its start, metres.
    At(f64),
    /// Evenly between two places from its start, metres.
    Between(f64, f64),
}

/// A place where a pipe is joined.
#[derive(Debug, Clone, PartialEq)]
pub struct Splice {
    /// From its start, metres.
    pub along_m: f64,
    /// Whether it is a hinge, which passes no bending moment.
    pub is_hinge: bool,
    /// What it may carry.
    pub allows: Option<BendingAllowed>,
}
