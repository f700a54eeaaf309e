//! What the writer of a rig document said of cases and stages, with every name resolved. SI units.

use indexmap::IndexMap;
use std::ops::Range;

/// A named load case: what acts besides what always hangs.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The temperature of lines and pipes, kelvin; none means that at which lengths are true.
    pub temperature_k: Option<f64>,
    /// Forces of fixed direction.
    pub forces: Vec<CaseForce>,
    /// Added weights.
    pub weights: Vec<CaseWeight>,
    /// The wind.
    pub wind: Option<Wind>,
    /// The cases that act at once with it.
    pub combines: Vec<String>,
    /// Where its name stands.
    pub at: Range<usize>,
}

/// What a force or a weight acts on.
#[derive(Debug, Clone, PartialEq)]
pub enum Acting {
    /// A load, at a place in its own axes, metres.
    Load(String, [f64; 3]),
    /// A junction.
    Junction(String),
}

/// A force of fixed direction in a case.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseForce {
    /// What it is.
    pub what: String,
    /// What it acts on.
    pub on: Acting,
    /// The force in the building's axes, newtons.
    pub force_n: [f64; 3],
}

/// A weight that a case adds.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseWeight {
    /// What it is.
    pub what: String,
    /// What it lies on.
    pub on: Acting,
    /// Newtons.
    pub weight_n: f64,
}

/// A wind, steady.
#[derive(Debug, Clone, PartialEq)]
pub struct Wind {
    /// How hard it blows.
    pub speed: Speed,
    /// Where it blows to, of any length.
    pub towards: [f64; 3],
}

/// How hard a wind blows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Speed {
    /// By its velocity pressure, pascals.
    Pressure(f64),
    /// By its speed.
    Speed {
        /// Metres per second.
        speed_m_per_s: f64,
        /// Density of the air, kilograms per cubic metre; none means that at sea level.
        air_kg_per_m3: Option<f64>,
    },
}

/// An area of a load that the wind meets.
#[derive(Debug, Clone, PartialEq)]
pub struct Face {
    /// What it is.
    pub what: String,
    /// Square metres.
    pub area_m2: f64,
    /// Where the push acts, the load's own axes, metres.
    pub at_m: [f64; 3],
    /// Force over velocity pressure and area; none means by how it hangs.
    pub coefficient: Option<f64>,
    /// How it hangs; none means flat.
    pub hangs: Option<Faced>,
    /// The direction square to it, own axes, of any length; none means that it is always square to the wind.
    pub normal: Option<[f64; 3]>,
}

/// How an area meets the wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faced {
    /// Flat and stiff.
    Flat,
    /// Cloth, free to belly out.
    Draped,
}

/// A stage of raising or striking: what is there, and how far it is up.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// The loads that hang.
    pub hangs: Vec<String>,
    /// The lines that are on, of those that lead to what hangs; none means all.
    pub lines: Option<Vec<String>>,
    /// Other unloaded lengths, by line, metres.
    pub lengths_m: IndexMap<String, f64>,
    /// Where loads hang then, metres.
    pub trim_m: IndexMap<String, [f64; 3]>,
    /// Where its name stands.
    pub at: Range<usize>,
}
