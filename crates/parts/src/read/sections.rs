//! Reads pipes, tubes and trusses.

use super::Reading;
use super::figures::{least_of, positive, share};
use super::series::Series;
use crate::part::{Body, Part, Rating};
use crate::section::{Bending, Round, Section, Strength, Tube, allowed};
use document::{Problem, Table, Value};
use quantity::Kind;
use std::cell::Cell;
use std::ops::Range;
use working::{Number, Source};

/// Reads every series of sections of a file.
pub(crate) fn read(root: &Table<'_>, reading: &Reading<'_>, add: &mut impl FnMut(Part, Range<usize>)) {
    for table in root.list("sections").iter().filter_map(Value::table) {
        let series = Series::read(&table, reading);
        let shared = Shared::read(&series);
        for row in table.list("sizes").iter().filter_map(Value::table) {
            let part = series.complete(section(&series, &shared, &row));
            if let Some(part) = part.filter(|_| shared.sound) {
                add(part, row.at());
            }
        }
    }
}

/// What the sizes of a series share.
struct Shared {
    modulus_pa: Option<Number>,
    shear_modulus_pa: Option<Number>,
    yield_pa: Option<Number>,
    density: Option<Number>,
    expansion_per_k: Option<Number>,
    /// The share of the nominal wall that strength is counted with.
    design_wall: Option<Number>,
    factor: Option<Number>,
    deflection_ratio: Option<Number>,
    /// Whether each citation is rightly written; if not, that is reported and the series is left out.
    sound: bool,
    /// Source of printed properties, of masses and of what may be carried.
    properties_from: Source,
    mass_from: Source,
    allows_from: Source,
}

impl Shared {
    fn read(series: &Series<'_>) -> Self {
        let table = series.table;
        let sound = Cell::new(true);
        let from = |key: &str| {
            series.source_under(key).unwrap_or_else(|| {
                sound.set(false);
                series.source.clone()
            })
        };
        let number = |what: &str, symbol: &str, kind, key: &str, value: Option<f64>| {
            let source = from(&format!("{key}_from"));
            Some(Number::given(
                format!("{what} of {}", series.id),
                symbol,
                kind,
                value?,
                source,
            ))
        };
        let given =
            |what: &str, symbol, kind, key: &str| number(what, symbol, kind, key, positive(table, key));
        Shared {
            modulus_pa: given("modulus of elasticity", "E", Kind::Pressure, "modulus"),
            shear_modulus_pa: given("shear modulus", "G", Kind::Pressure, "shear_modulus"),
            yield_pa: given("yield strength", "Fy", Kind::Pressure, "yield"),
            density: given("density", "rho", Kind::Density, "density"),
            expansion_per_k: given("thermal expansion", "alpha", Kind::Expansion, "expansion"),
            design_wall: number(
                "share of the wall that strength is counted with",
                "s",
                Kind::Ratio,
                "design_wall",
                share(table, "design_wall"),
            ),
            factor: number(
                "yield strength over what is allowed",
                "n",
                Kind::Number,
                "factor",
                super::series::at_least_one(
                    table,
                    "factor",
                    "a factor on yield is yield strength over what is allowed, so at least 1",
                    "write `factor = 1.67` for three fifths of the yield strength",
                ),
            ),
            deflection_ratio: given(
                "least span over deflection",
                "r",
                Kind::Number,
                "deflection_ratio",
            ),
            properties_from: from("properties_from"),
            mass_from: from("mass_from"),
            allows_from: from("allows_from"),
            sound: sound.get(),
        }
    }
}

/// One size being read.
struct Size<'a> {
    id: &'a str,
    row: &'a Table<'a>,
}

impl Size<'_> {
    fn given(&self, key: &str, what: &str, symbol: &str, kind: Kind, source: &Source) -> Option<Number> {
        let value = positive(self.row, key)?;
        Some(Number::given(
            format!("{what} of {}", self.id),
            symbol,
            kind,
            value,
            source.clone(),
        ))
    }

    fn problem(&self, says: &str, instead: &str) {
        let says = format!("`{}` {says}", self.id);
        self.row
            .problem(Problem::new(self.row.at(), says).instead(instead));
    }
}

fn section(series: &Series<'_>, shared: &Shared, row: &Table<'_>) -> Option<Part> {
    let id = series.part_id(&row.text("size")?.value);
    let size = Size { id: &id, row };
    let tube = tube(&size, series, shared)?;
    let rating = rating(&size, shared, tube.as_ref())?;
    let printed = &shared.properties_from;
    let stiff = |key, what: &str, symbol, kind| size.given(key, what, symbol, kind, printed);
    let bending = stiff(
        "bending_stiffness",
        "bending stiffness",
        "EI",
        Kind::BendingStiffness,
    )
    .or_else(|| Some(tube.as_ref()?.bending_stiffness(&id)));
    let axial = stiff("axial_stiffness", "axial stiffness", "EA", Kind::AxialStiffness)
        .or_else(|| Some(tube.as_ref()?.axial_stiffness(&id)));
    let torsional = stiff(
        "torsional_stiffness",
        "torsional stiffness",
        "GJ",
        Kind::BendingStiffness,
    )
    .or_else(|| {
        Some(
            tube.as_ref()?
                .torsional_stiffness(&id, shared.shear_modulus_pa.as_ref()?),
        )
    });
    let mass = size
        .given(
            "mass",
            "mass per length",
            "m'",
            Kind::MassPerLength,
            &shared.mass_from,
        )
        .or_else(|| Some(tube.as_ref()?.mass_per_length(&id, shared.density.as_ref()?)));
    if bending.is_none() && !row.has("bending_stiffness") {
        size.problem(
            "has no bending stiffness",
            "write `bending_stiffness`, or `diameter` and `wall` here and `modulus` in the series",
        );
    }
    if mass.is_none() && !row.has("mass") {
        size.problem(
            "has no mass",
            "write `mass` per length here, or `density` in the series of a tube",
        );
    }
    let body = Body::Section(Section {
        material: series.table.text("material")?.value,
        grade: series.table.text("grade").map(|grade| grade.value),
        tube,
        bending_stiffness_n_m2: bending?,
        axial_stiffness_n: axial,
        torsional_stiffness_n_m2: torsional,
        mass_kg_per_m: mass?,
        expansion_per_k: shared.expansion_per_k.clone(),
        deflection_ratio: shared.deflection_ratio.clone(),
        panel_m: size.given(
            "panel",
            "distance between panel points",
            "p",
            Kind::Length,
            &series.source,
        ),
    });
    Some(series.part(id.clone(), row, body, rating))
}

/// Reads the dimensions of a round tube: some and none for what has none, none for what is wrongly written.
#[expect(
    clippy::option_option,
    reason = "a truss without a wall is right, a tube without one is wrong"
)]
fn tube(size: &Size<'_>, series: &Series<'_>, shared: &Shared) -> Option<Option<Tube>> {
    if !size.row.has("diameter") && !size.row.has("wall") {
        return Some(None);
    }
    let length = |key, what: &str, symbol| size.given(key, what, symbol, Kind::Length, &series.source);
    let (diameter_m, wall_m) = (
        length("diameter", "outside diameter", "D"),
        length("wall", "wall", "t"),
    );
    if !(size.row.has("diameter") && size.row.has("wall")) {
        size.problem("has only one of diameter and wall", "write both");
    }
    let (diameter_m, wall_m) = (diameter_m?, wall_m?);
    if 2.0 * wall_m.value() >= diameter_m.value() {
        size.problem("has a wall that fills it", "write the wall on one side");
        return None;
    }
    let Some(modulus_pa) = shared.modulus_pa.clone() else {
        if !series.table.has("modulus") {
            size.problem(
                "is a tube whose modulus is not known",
                "write `modulus` in the series",
            );
        }
        return None;
    };
    let round = Round {
        id: size.id,
        diameter_m: &diameter_m,
        wall_m: &wall_m,
    };
    let printed =
        |key, what: &str, symbol, kind| size.given(key, what, symbol, kind, &shared.properties_from);
    let second_moment_m4 = printed("second_moment", "second moment of area", "I", Kind::SecondMoment)
        .unwrap_or_else(|| round.second_moment_m4());
    let modulus = |key, what: &str, symbol| printed(key, what, symbol, Kind::SectionModulus);
    let area_m2 = printed("area", "cross-section area", "A", Kind::Area).unwrap_or_else(|| round.area_m2());
    let strength_area_m2 = match &shared.design_wall {
        Some(share) => Round {
            wall_m: &design_wall_m(size.id, &wall_m, share),
            ..round
        }
        .area_m2(),
        None => area_m2.clone(),
    };
    let tube = Tube {
        strength_area_m2,
        area_m2,
        elastic_modulus_m3: modulus("elastic_modulus", "elastic section modulus", "S")
            .unwrap_or_else(|| round.elastic_modulus_m3(&second_moment_m4)),
        plastic_modulus_m3: modulus("plastic_modulus", "plastic section modulus", "Z")
            .unwrap_or_else(|| round.plastic_modulus_m3()),
        second_moment_m4,
        modulus_pa,
        yield_pa: shared.yield_pa.clone(),
        diameter_m,
        wall_m,
    };
    Some(Some(tube))
}

/// Reads what may be carried: as printed, as it follows for a tube, or the lesser of both.
fn rating(size: &Size<'_>, shared: &Shared, tube: Option<&Tube>) -> Option<Rating> {
    let carried = |key, what: &str, symbol, kind| {
        let what = format!("{what} that {} may carry", size.id);
        let value = positive(size.row, key)?;
        Some(Number::given(
            what,
            symbol,
            kind,
            value,
            shared.allows_from.clone(),
        ))
    };
    let moment = carried("moment", "bending moment", "M_a", Kind::Torque);
    let shear = carried("shear", "shear", "V_a", Kind::Force);
    let torque = carried("torque", "torque", "T_a", Kind::Torque);
    let read = [("moment", &moment), ("shear", &shear), ("torque", &torque)];
    if read
        .iter()
        .any(|(key, number)| size.row.has(key) && number.is_none())
    {
        return None; // wrongly written, which is reported
    }
    let follows = follows(size, shared, tube);
    let lesser = |printed: Option<Number>, follows: Option<Number>| match (printed, follows) {
        (Some(printed), Some(follows)) => Some(least_of(printed, vec![follows])),
        (printed, follows) => printed.or(follows),
    };
    Some(match (moment, shear, follows) {
        (moment, shear, Ok(follows)) => Rating::Bending(Bending {
            moment_n_m: lesser(moment, Some(follows.moment_n_m))?,
            shear_n: lesser(shear, Some(follows.shear_n))?,
            torque_n_m: lesser(torque, follows.torque_n_m),
        }),
        (Some(moment_n_m), Some(shear_n), Err(_)) => Rating::Bending(Bending {
            moment_n_m,
            shear_n,
            torque_n_m: torque,
        }),
        (None, _, Err(why)) => Rating::Unrated(format!("no moment that it may carry is stated, and {why}")),
        (_, None, Err(why)) => Rating::Unrated(format!("no shear that it may carry is stated, and {why}")),
    })
}

/// Works out the wall that strength is counted with.
fn design_wall_m(id: &str, wall_m: &Number, share: &Number) -> Number {
    let what = format!("wall of {id} that strength is counted with");
    Number::computed(what, "t_d", Kind::Length, share * wall_m, share.source().clone())
}

/// Works out what a tube may carry; the error says why it does not follow.
fn follows(size: &Size<'_>, shared: &Shared, tube: Option<&Tube>) -> Result<Bending, String> {
    let tube = tube.ok_or("it is no round tube, of which one would follow")?;
    let yield_pa = shared
        .yield_pa
        .as_ref()
        .ok_or("its yield strength is not stated")?;
    let factor = shared
        .factor
        .as_ref()
        .ok_or("no factor on its yield strength is stated")?;
    let design_wall_m = shared.design_wall.as_ref().map_or_else(
        || tube.wall_m.clone(),
        |share| design_wall_m(size.id, &tube.wall_m, share),
    );
    let round = Round {
        id: size.id,
        diameter_m: &tube.diameter_m,
        wall_m: &design_wall_m,
    };
    let strength = Strength {
        modulus_pa: &tube.modulus_pa,
        yield_pa,
        factor,
    };
    allowed(&round, &strength)
}
