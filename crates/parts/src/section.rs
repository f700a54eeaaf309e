//! Pipes, tubes and trusses as sections that bend, and what a round tube may carry.
//!
//! Conventions: SI; a section bends alike about every level axis; moduli and second moments are about its centre.
//! Assumes: stiffness and weight come from the nominal wall, strength from the share of it that the series states.
//! Valid for: round tube of at most D/t = 0.07 E/Fy, which yields before its wall buckles. Otherwise the maker's figures.
//! Source: [bib:aisc-f9] (moment), [bib:aisc-pipe] (limit of D/t, shear area), [bib:aisc-360] (shear and torsion).
//! Checked by: tests/main/sections.rs.

use quantity::Kind;
use std::f64::consts::PI;
use working::{Expression, Number, Seen, Source};

/// A pipe, tube or truss that bends.
#[derive(Debug, Clone)]
pub struct Section {
    /// Material: `steel` or `aluminium`.
    pub material: String,
    /// Its grade, in words; none where nobody said.
    pub grade: Option<String>,
    /// Its dimensions, if it is a round tube; none for a truss.
    pub tube: Option<Tube>,
    /// Bending stiffness EI, N m².
    pub bending_stiffness_n_m2: Number,
    /// Axial stiffness EA, newtons; none where it is not known.
    pub axial_stiffness_n: Option<Number>,
    /// Torsional stiffness GJ, N m²; none where it is not known.
    pub torsional_stiffness_n_m2: Option<Number>,
    /// Mass per length, kilograms per metre.
    pub mass_kg_per_m: Number,
    /// Strain by temperature, 1/K; none where it is not known.
    pub expansion_per_k: Option<Number>,
    /// The least span over deflection that its maker allows; none where that is not stated.
    pub deflection_ratio: Option<Number>,
    /// Distance between its panel points, metres: the places where a truss may be hung and loaded. None for a pipe.
    pub panel_m: Option<Number>,
}

/// The dimensions of a round tube and what follows from them or is printed of it.
#[derive(Debug, Clone)]
pub struct Tube {
    /// Outside diameter, metres.
    pub diameter_m: Number,
    /// Nominal wall, metres.
    pub wall_m: Number,
    /// Cross-section area, m².
    pub area_m2: Number,
    /// The same of the wall that strength is counted with, m².
    pub strength_area_m2: Number,
    /// Second moment of area, m⁴.
    pub second_moment_m4: Number,
    /// Elastic section modulus, m³.
    pub elastic_modulus_m3: Number,
    /// Plastic section modulus, m³.
    pub plastic_modulus_m3: Number,
    /// Modulus of elasticity, pascals.
    pub modulus_pa: Number,
    /// Yield strength, pascals; none where it is not known.
    pub yield_pa: Option<Number>,
}

/// What a section may carry in bending, each alone.
#[derive(Debug, Clone)]
pub struct Bending {
    /// Bending moment, N m.
    pub moment_n_m: Number,
    /// Shear force, newtons.
    pub shear_n: Number,
    /// Torque, N m; none where it is not known.
    pub torque_n_m: Option<Number>,
}

impl Tube {
    /// Gives the bending stiffness EI.
    pub(crate) fn bending_stiffness(&self, id: &str) -> Number {
        let (what, formula) = (
            format!("bending stiffness of {id}"),
            &self.modulus_pa * &self.second_moment_m4,
        );
        product(what, "EI", Kind::BendingStiffness, formula)
    }

    /// Gives the axial stiffness EA.
    pub(crate) fn axial_stiffness(&self, id: &str) -> Number {
        let (what, formula) = (
            format!("axial stiffness of {id}"),
            &self.modulus_pa * &self.area_m2,
        );
        product(what, "EA", Kind::AxialStiffness, formula)
    }

    /// Gives the torsional stiffness GJ; J of a round tube is twice I.
    pub(crate) fn torsional_stiffness(&self, id: &str, shear_modulus_pa: &Number) -> Number {
        let formula = Expression::from(2.0) * shear_modulus_pa * &self.second_moment_m4;
        product(
            format!("torsional stiffness of {id}"),
            "GJ",
            Kind::BendingStiffness,
            formula,
        )
    }

    /// Gives the mass per length.
    pub(crate) fn mass_per_length(&self, id: &str, density: &Number) -> Number {
        let formula = density * &self.area_m2;
        product(
            format!("mass per length of {id}"),
            "m'",
            Kind::MassPerLength,
            formula,
        )
    }
}

fn product(what: String, symbol: &str, kind: Kind, formula: Expression) -> Number {
    Number::computed(
        what,
        symbol,
        kind,
        formula,
        Source::mechanics("of material and section"),
    )
}

/// Round tube of a diameter and a wall.
pub(crate) struct Round<'a> {
    pub id: &'a str,
    pub diameter_m: &'a Number,
    pub wall_m: &'a Number,
}

impl Round<'_> {
    fn inside_m(&self) -> Number {
        let formula = self.diameter_m - Expression::from(2.0) * self.wall_m;
        self.computed("inside diameter", "d", Kind::Length, formula)
    }

    /// Gives the cross-section area.
    pub fn area_m2(&self) -> Number {
        let middle = self.diameter_m - self.wall_m;
        self.computed(
            "cross-section area",
            "A",
            Kind::Area,
            Expression::from(pi()) * middle * self.wall_m,
        )
    }

    /// Gives the second moment of area.
    pub fn second_moment_m4(&self) -> Number {
        let inside = self.inside_m();
        let formula = Expression::from(pi()) * (power(self.diameter_m, 4) - power(&inside, 4)) / 64.0;
        self.computed("second moment of area", "I", Kind::SecondMoment, formula)
    }

    /// Gives the elastic section modulus that goes with a second moment of area.
    pub fn elastic_modulus_m3(&self, second_moment_m4: &Number) -> Number {
        let formula = Expression::from(2.0) * second_moment_m4 / self.diameter_m;
        self.computed("elastic section modulus", "S", Kind::SectionModulus, formula)
    }

    /// Gives the plastic section modulus.
    pub fn plastic_modulus_m3(&self) -> Number {
        let inside = self.inside_m();
        let formula = (power(self.diameter_m, 3) - power(&inside, 3)) / 6.0;
        self.computed("plastic section modulus", "Z", Kind::SectionModulus, formula)
    }

    /// Gives the torsional constant that shear stress is counted with.
    fn torsional_constant_m3(&self) -> Number {
        let middle = self.diameter_m - self.wall_m;
        let formula = Expression::from(pi()) * middle.clone() * middle * self.wall_m / 2.0;
        self.computed("torsional constant", "C", Kind::SectionModulus, formula)
    }

    fn computed(&self, what: &str, symbol: &str, kind: Kind, formula: Expression) -> Number {
        let source = Source::mechanics("geometry of a round tube");
        Number::computed(format!("{what} of {}", self.id), symbol, kind, formula, source)
    }
}

/// Gives pi as a number, so that a working shows it by its name.
fn pi() -> Number {
    let source = Source::mechanics("circumference over diameter of a circle");
    Number::given("pi", "pi", Kind::Number, PI, source)
}

fn power(of: &Number, times: usize) -> Expression {
    (1..times).fold(Expression::from(of), |product, _| product * of)
}

/// What strength is counted with, besides the dimensions.
pub(crate) struct Strength<'a> {
    pub modulus_pa: &'a Number,
    pub yield_pa: &'a Number,
    /// Yield strength over what is allowed.
    pub factor: &'a Number,
}

/// Works out what a round tube may carry; the error says why its maker has to state it.
///
/// M = Fy Z / n (F8-1), V = 0.6 Fy (A / 2) / n (G5), T = 0.6 Fy C / n (H3.1), all with the wall that is given.
pub(crate) fn allowed(round: &Round<'_>, strength: &Strength<'_>) -> Result<Bending, String> {
    let Strength {
        modulus_pa,
        yield_pa,
        factor,
    } = strength;
    let slenderness = round.diameter_m.value() / round.wall_m.value();
    let limit = COMPACT * modulus_pa.value() / yield_pa.value();
    // Written so that dimensions that are no numbers are refused.
    let compact = slenderness <= limit;
    if !compact {
        return Err(format!(
            "its wall may buckle before it yields: diameter over wall is {slenderness:.1}, more than {limit:.1}"
        ));
    }
    let id = round.id;
    let computed = |what: &str, symbol: &str, kind, formula: Expression, source| {
        Number::computed(
            format!("{what} that {id} may carry"),
            symbol,
            kind,
            formula,
            source,
        )
    };
    let shear_pa = Expression::from(0.6) * *yield_pa;
    let source = |place, seen| Source::cited("aisc-360", place, seen);
    Ok(Bending {
        moment_n_m: computed(
            "bending moment",
            "M_a",
            Kind::Torque,
            *yield_pa * &round.plastic_modulus_m3() / *factor,
            Source::cited("aisc-f9", "equation F8-1 over the safety factor", Seen::Computed),
        ),
        shear_n: computed(
            "shear",
            "V_a",
            Kind::Force,
            shear_pa.clone() * &round.area_m2() / 2.0 / *factor,
            source("section G5 over the safety factor", Seen::Memory),
        ),
        torque_n_m: Some(computed(
            "torque",
            "T_a",
            Kind::Torque,
            shear_pa * &round.torsional_constant_m3() / *factor,
            source("section H3.1 over the safety factor", Seen::Memory),
        )),
    })
}

/// Most diameter over wall of a compact tube, over E/Fy: [bib:aisc-pipe], Table B4.1b, case 20.
const COMPACT: f64 = 0.07;
