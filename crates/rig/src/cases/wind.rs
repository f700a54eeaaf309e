//! What a wind does: velocity pressure, and the push on each face.
//!
//! Conventions: SI; the push is along the wind, in the axes of the building, at the face's place in the load's own axes.
//! Assumes: a steady stream, the same everywhere; the load as drawn: what of a face the wind sees does not follow its pose.
//! Valid for: the faces that loads state. Without `normal` a face is square to every wind, which is on the safe side for
//! the push along it; with `normal` only the part that the wind sees counts, and the push across the wind and the lift that
//! an inclined plate gets besides are left out, which is not.
//! Source: q = rho v^2 / 2 and F = q C A, NASA teaching page on drag; air of the US Standard Atmosphere 1976 at sea level;
//! C = 1.28 of a flat plate from the same page; C = 1.8 of a flag that can not swing from EN 1991-1-4, from memory.
//! Checked by: tests/main/cases.rs (P16 and P17 of tests/published/mechanics/cases.toml).

use super::document::{Face, Faced, Speed, Wind};
use crate::document::{Load, Rig};
use crate::geometry::{array, vector};
use indexmap::IndexSet;
use quantity::Kind;
use statics::Vector3;
use working::{Number, Seen, Source};

/// Density of air at sea level, kilograms per cubic metre.
const AIR_KG_PER_M3: f64 = 1.225;
const FLAT: f64 = 1.28;
const DRAPED: f64 = 1.8;

/// A wind on a rig, with what it pushes.
#[derive(Debug)]
pub(crate) struct Blown {
    /// The case that states it.
    pub(crate) case: String,
    /// Its velocity pressure.
    pub(crate) pressure_pa: Number,
    /// Its push on each face.
    pub(crate) pushes: Vec<Push>,
    /// What was assumed, and of what.
    pub(crate) assumed: Vec<(String, String)>,
}

/// The push of a wind on one face.
#[derive(Debug)]
pub(crate) struct Push {
    pub(crate) load: String,
    /// What it is, as a force.
    pub(crate) what: String,
    /// Where it acts, the load's own axes, metres.
    pub(crate) at_m: [f64; 3],
    /// Its size.
    pub(crate) size_n: Number,
    along: Vector3<f64>,
}

impl Push {
    /// Gives the force in the building's axes, newtons.
    pub(crate) fn force_n(&self) -> [f64; 3] {
        array(self.size_n.value() * self.along)
    }
}

/// Finds what a wind does to the faces of a rig as drawn.
pub(crate) fn blown(case: &str, wind: &Wind, rig: &Rig) -> Blown {
    let along = vector(wind.towards).normalize();
    let mut found = Blown {
        case: case.into(),
        pressure_pa: pressure(case, wind),
        pushes: Vec::new(),
        assumed: Vec::new(),
    };
    if let Speed::Speed {
        air_kg_per_m3: None, ..
    } = wind.speed
    {
        found.assume("air of 1.225 kg/m3, as at sea level", "");
    }
    found.assume("no wind on lines and hardware; faces meet it as drawn", "");
    for (name, load) in &rig.loads {
        for face in &load.faces {
            let size_n = push(name, load, face, &along, &mut found);
            let at_m = meets_m(name, load, face, &mut found);
            found.pushes.push(Push {
                load: name.clone(),
                what: format!("wind on {} of {name}", face.what),
                at_m,
                size_n,
                along,
            });
        }
    }
    found
}

/// Gives where a face passes its push on. Cloth on a pipe hangs from its upper edge and can not twist what it is lashed to.
fn meets_m(name: &str, load: &Load, face: &Face, found: &mut Blown) -> [f64; 3] {
    let [along_m, y_m, z_m] = face.at_m;
    let hangs = load.pipe.is_some() && matches!(face.hangs, Some(Faced::Draped));
    if !hangs || y_m == 0.0 && z_m == 0.0 {
        return face.at_m;
    }
    let what = "cloth that drapes from a pipe pulls at the pipe's axis, with its lower edge free";
    found.assume(what, format!("pipes.{name}"));
    [along_m, 0.0, 0.0]
}

impl Blown {
    /// Lists the numbers of the wind by path.
    pub(crate) fn numbers(&self) -> Vec<(String, Number)> {
        let mut found = vec![(format!("wind.{}.pressure", self.case), self.pressure_pa.clone())];
        for load in self.pushes.iter().map(|push| &push.load).collect::<IndexSet<_>>() {
            let of_load = self.pushes.iter().filter(|push| push.load == *load).enumerate();
            found.extend(of_load.map(|(i, push)| {
                let path = format!("wind.{}.{load}.face_{}", self.case, i + 1);
                (path, push.size_n.clone())
            }));
        }
        found
    }

    fn assume(&mut self, what: impl Into<String>, subject: impl Into<String>) {
        self.assumed.push((what.into(), subject.into()));
    }
}

fn pressure(case: &str, wind: &Wind) -> Number {
    let stated = |key: &str| Source::stated(format!("rig file, cases.{case}.wind.{key}"));
    let what = format!("velocity pressure of the wind of {case}");
    match wind.speed {
        Speed::Pressure(pressure_pa) => {
            Number::given(what, "q", Kind::Pressure, pressure_pa, stated("pressure"))
        }
        Speed::Speed {
            speed_m_per_s,
            air_kg_per_m3,
        } => {
            let speed = Number::given(
                format!("speed of the wind of {case}"),
                "v",
                Kind::Speed,
                speed_m_per_s,
                stated("speed"),
            );
            let source = match air_kg_per_m3 {
                Some(_) => stated("air_density"),
                None => Source::cited("us-atmosphere-1976", "sea level", Seen::Text),
            };
            let density = air_kg_per_m3.unwrap_or(AIR_KG_PER_M3);
            let density = Number::given("density of the air", "rho", Kind::Density, density, source);
            let formula = &density * &speed * &speed / 2.0;
            let source = Source::cited("flat-plate-drag", "drag equation", Seen::Text);
            Number::computed(what, "q", Kind::Pressure, formula, source)
        }
    }
}

/// Derives the size of the push on one face.
fn push(name: &str, load: &Load, face: &Face, along: &Vector3<f64>, found: &mut Blown) -> Number {
    let subject = format!("loads.{name}");
    let area = Number::given(
        format!("area of {} of {name}", face.what),
        "A",
        Kind::Area,
        face.area_m2,
        Source::stated(format!("rig file, {subject}.faces")),
    );
    let coefficient = coefficient(name, face, found);
    let mut formula = &found.pressure_pa * &coefficient * &area;
    if let Some(normal) = face.normal {
        let heading_rad = load.trim.heading_rad.unwrap_or(0.0);
        let turn = statics::UnitQuaternion::from_axis_angle(&Vector3::z_axis(), heading_rad);
        let seen = (turn * vector(normal)).normalize().dot(along).abs();
        let what = format!("part of {} of {name} that the wind sees", face.what);
        let source = Source::mechanics("angle between the wind and the face as drawn");
        formula = formula * &Number::given(what, "c_n", Kind::Ratio, seen, source);
        let what = "a face that the wind meets aslant gets what the wind sees of it, and nothing across the wind: not on \
                    the safe side";
        found.assume(what, subject);
    } else {
        found.assume("faces without `normal` stand square to the wind", subject);
    }
    let source = Source::cited("flat-plate-drag", "drag equation", Seen::Text);
    let what = format!("push of the wind on {} of {name}", face.what);
    Number::computed(what, "F_w", Kind::Force, formula, source)
}

fn coefficient(name: &str, face: &Face, found: &mut Blown) -> Number {
    let subject = format!("loads.{name}");
    let given = |value: f64, source: Source| {
        let what = format!("force coefficient of {} of {name}", face.what);
        Number::given(what, "C", Kind::Number, value, source)
    };
    if let Some(stated) = face.coefficient {
        return given(stated, Source::stated(format!("rig file, {subject}.faces")));
    }
    match face.hangs {
        Some(Faced::Draped) => {
            found.assume("force coefficient 1.8 of cloth that bellies out", subject);
            let source = Source::cited("en1991-1-4", "Table 7.15, flags that can not swing", Seen::Memory);
            given(DRAPED, source).remark("the same is printed for signboards, in 7.4.3")
        }
        Some(Faced::Flat) | None => {
            found.assume(
                "force coefficient 1.28 of a flat plate in a steady stream",
                subject,
            );
            let source = Source::cited("flat-plate-drag", "flat plate square to the stream", Seen::Text);
            given(FLAT, source).remark("codes take more: EN 1991-1-4 takes 1.80 for signboards")
        }
    }
}
