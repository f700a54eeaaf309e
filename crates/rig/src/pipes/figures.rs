//! The figures of a pipe: of its section, or as stated, and what is taken where nobody said.

use super::document::{Given, Pipe};
use crate::defaults::Defaults;
use parts::Part;
use quantity::{Kind, STANDARD_GRAVITY_M_PER_S2};
use working::{Number, Seen, Source};

/// What a pipe is made of, in figures.
#[derive(Debug, Clone)]
pub(crate) struct Figures {
    pub(crate) bending_n_m2: Number,
    pub(crate) axial_n: Number,
    pub(crate) torsion_n_m2: Number,
    pub(crate) mass_kg_per_m: Number,
    /// Strain by temperature; none where nobody said.
    pub(crate) expansion_per_k: Option<Number>,
}

/// Radius of gyration that is assumed where EA is not known, metres. A pipe hardly stretches either way.
const GYRATION_M: f64 = 0.02;
/// EI over GJ of a round tube: E / G / 2 = 1 + 0.3.
const BENDING_OVER_TORSION: f64 = 1.3;

/// Gives the figures of a pipe.
pub(crate) fn figures(name: &str, pipe: &Pipe, section: Option<&Part>, defaults: &mut Defaults) -> Figures {
    let path = format!("pipes.{name}");
    let (bending_n_m2, axial_n, torsion_n_m2, mass_kg_per_m, expansion_per_k) = match &pipe.given {
        Given::Stated {
            bending_n_m2,
            axial_n,
            torsion_n_m2,
            mass_kg_per_m,
            expansion_per_k,
            ..
        } => {
            let stated = |what: &str, symbol: &str, key: &str, kind: Kind, value: f64| {
                let source = Source::stated(format!("rig file, {path}.{key}"));
                Number::given(format!("{what} of {name}"), symbol, kind, value, source)
            };
            let stiffness = Kind::BendingStiffness;
            (
                stated("bending stiffness", "EI", "EI", stiffness, *bending_n_m2),
                axial_n.map(|ea| stated("axial stiffness", "EA", "EA", Kind::AxialStiffness, ea)),
                torsion_n_m2.map(|gj| stated("torsional stiffness", "GJ", "GJ", stiffness, gj)),
                stated(
                    "mass per length",
                    "m'",
                    "mass",
                    Kind::MassPerLength,
                    *mass_kg_per_m,
                ),
                expansion_per_k
                    .map(|alpha| stated("expansion", "alpha", "stretch_by_heat", Kind::Expansion, alpha)),
            )
        }
        Given::Section(_) => of_section(section),
    };
    let assumed = |what: &str, symbol: &str, kind: Kind, value: f64, why: &str| {
        let source = Source::plain(why, Seen::Judgement);
        Number::given(format!("{what} of {name}, assumed"), symbol, kind, value, source)
    };
    let ei = bending_n_m2.value();
    let axial_n = axial_n.unwrap_or_else(|| {
        defaults.assume("axial stiffness not stated, taken from EI", path.clone());
        let why = "EI over the square of a radius of gyration of 20 mm; a pipe hardly stretches either way";
        let ea = (ei / (GYRATION_M * GYRATION_M)).min(1e9);
        assumed("axial stiffness", "EA", Kind::AxialStiffness, ea, why)
    });
    let torsion_n_m2 = torsion_n_m2.unwrap_or_else(|| {
        defaults.assume(
            "torsional stiffness not stated, taken as that of a round tube",
            path,
        );
        let why = "EI / 1.3, as of a round tube of steel or aluminium";
        assumed(
            "torsional stiffness",
            "GJ",
            Kind::BendingStiffness,
            ei / BENDING_OVER_TORSION,
            why,
        )
    });
    Figures {
        bending_n_m2,
        axial_n,
        torsion_n_m2,
        mass_kg_per_m,
        expansion_per_k,
    }
}

/// EI, EA, GJ, mass per length and expansion.
type OfSection = (Number, Option<Number>, Option<Number>, Number, Option<Number>);

fn of_section(part: Option<&Part>) -> OfSection {
    if let Some(section) = part.and_then(Part::section) {
        return (
            section.bending_stiffness_n_m2.clone(),
            section.axial_stiffness_n.clone(),
            section.torsional_stiffness_n_m2.clone(),
            section.mass_kg_per_m.clone(),
            section.expansion_per_k.clone(),
        );
    }
    // A part that is no section is a mistake of the document, and nothing of it is solved.
    let none = |kind: Kind| {
        let source = Source::plain("none", Seen::Judgement);
        Number::given("no section", "0", kind, 1.0, source)
    };
    (
        none(Kind::BendingStiffness),
        None,
        None,
        none(Kind::MassPerLength),
        None,
    )
}

/// Works out the weight of a pipe without what it carries.
pub(crate) fn own_weight_n(name: &str, pipe: &Pipe, figures: &Figures) -> Number {
    let length = Number::given(
        format!("length of {name}"),
        "L",
        Kind::Length,
        pipe.length_m,
        Source::stated(format!("rig file, pipes.{name}.length")),
    );
    let g = Number::given(
        "standard gravity",
        "g",
        Kind::Acceleration,
        STANDARD_GRAVITY_M_PER_S2,
        Source::mechanics("standard gravity, 9.80665 m/s2 by definition"),
    );
    Number::computed(
        format!("weight of {name} itself"),
        "w",
        Kind::Force,
        &figures.mass_kg_per_m * &length * &g,
        Source::mechanics("weight = mass x gravity"),
    )
}
