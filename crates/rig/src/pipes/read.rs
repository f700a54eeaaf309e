//! From a pipe of the rig document to a load that bends, with every mistake of its text.

use super::document::{BendingAllowed, Carried, Given, Pipe, PipePick, Splice, Spread};
use crate::cases::faces;
use crate::document::{Item, Load};
use crate::read::{forces, margin, service, trim, under, weight_from, weight_spread};
use document::{Problem, Table, Value};
use indexmap::IndexMap;

/// Nearer to each other than this, places on a pipe are one place, metres.
const SAME_M: f64 = 1e-9;

/// Reads a pipe.
pub(crate) fn pipe(t: &Table<'_>) -> Option<Load> {
    let length_m = t.positive("length");
    let given = given(t);
    // What follows is judged against its length, known or not, so that all mistakes are told at once.
    let along = Along { length_m };
    let picks = picks(t, &along);
    let (items, carried): (Vec<Item>, Vec<Carried>) = each(t, "carries")
        .iter()
        .filter_map(|t| carries(t, &along))
        .unzip();
    let splices = each(t, "splices")
        .iter()
        .filter_map(|t| splice(t, &along))
        .collect();
    let built_in = built_in(t);
    if picks.is_empty() && built_in == [false, false] {
        t.problem(
            Problem::new(t.at(), "the pipe has no pick, so no line can hold it")
                .instead("`picks = { a = \"2 ft\", ... }`, from its start"),
        );
    }
    let (margin, may_move_m) = (margin(t), t.not_negative("may_move"));
    let dynamic = t.at_least("dynamic", 1.0, "a dynamic factor is at least 1");
    let (trim, under) = (t.table("trim").and_then(|t| trim(&t)), under(t));
    let length_m = length_m?;
    let half_m = 0.5 * length_m;
    for at in each(t, "forces")
        .iter()
        .chain(&each(t, "faces"))
        .filter_map(|t| t.triple("at"))
    {
        if off_pipe(half_m, &at.value) {
            t.problem(not_on_pipe(at.at));
        }
    }
    Some(Load {
        // What the pipe itself weighs is known when its section is.
        weight_n: 0.0,
        weight_from: weight_from(t),
        weight_spread: weight_spread(t),
        centre_spread_m: None,
        margin,
        centre_m: Some([0.0; 3]),
        items: items.into_iter().map(|item| from_middle(item, half_m)).collect(),
        may_move_m,
        accelerates_m_per_s2: t.not_negative("accelerates"),
        inertia_kg_m2: None,
        size_m: None,
        picks: picks
            .iter()
            .map(|(name, pick)| (name.clone(), [pick.along_m - half_m, 0.0, -pick.below_m]))
            .collect(),
        trim: trim?,
        under: under?,
        service: service(t),
        dynamic,
        forces: forces(t),
        faces: faces(t),
        added: Vec::new(),
        pipe: Some(Pipe {
            length_m,
            given: given?,
            picks,
            carried,
            splices,
            built_in,
        }),
    })
}

fn each<'a>(t: &Table<'a>, key: &str) -> Vec<Table<'a>> {
    t.list(key).iter().filter_map(Value::table).collect()
}

/// Moves an item, whose place is measured from the start, to own axes.
fn from_middle(item: Item, half_m: f64) -> Item {
    let [x, y, z] = item.at_m;
    Item {
        at_m: [x - half_m, y, z],
        ..item
    }
}

fn built_in(t: &Table<'_>) -> [bool; 2] {
    match t.text("built_in").map(|word| word.value).as_deref() {
        Some("start") => [true, false],
        Some("end") => [false, true],
        Some("both") => [true, true],
        _ => [false, false],
    }
}

fn given(t: &Table<'_>) -> Option<Given> {
    let section = t.text("section");
    if let Some(section) = section {
        for key in ["EI", "EA", "GJ", "mass", "allows", "stretch_by_heat"] {
            if t.has(key) {
                let says = format!("the pipe has both `section` and `{key}`");
                t.problem(
                    Problem::new(section.at.clone(), says)
                        .instead("keep the section, which has its own figures, or the figures alone"),
                );
                return None;
            }
        }
        return Some(Given::Section(section));
    }
    if !t.has("EI") {
        if !t.has("section") {
            t.problem(
                Problem::new(t.at(), "the pipe says neither `section` nor `EI`").instead(
                    "name its section, such as `section = \"pipe-1-1/2-sch40\"`, or give `EI` and `mass`",
                ),
            );
        }
        return None;
    }
    if !t.has("mass") {
        t.problem(
            Problem::new(t.at(), "the pipe has `EI` but no `mass`")
                .instead("give its mass per length, such as `mass = \"2.7 lb/ft\"`"),
        );
    }
    Some(Given::Stated {
        bending_n_m2: t.positive("EI")?,
        axial_n: t.positive("EA"),
        torsion_n_m2: t.positive("GJ"),
        mass_kg_per_m: t.not_negative("mass")?,
        expansion_per_k: t.not_negative("stretch_by_heat"),
        allows: allowed(t),
    })
}

fn allowed(t: &Table<'_>) -> Option<BendingAllowed> {
    let t = t.table("allows")?;
    Some(BendingAllowed {
        moment_n_m: t.positive("moment")?,
        shear_n: t.positive("shear")?,
        torque_n_m: t.positive("torque"),
        by: t.text("by").map(|by| by.value),
    })
}

/// Tells whether a place in the own axes of a pipe, of which half is so long, is past its ends.
pub(crate) fn off_pipe(half_m: f64, at_m: &[f64; 3]) -> bool {
    // Written so that a place that is no number is off it.
    let is_on = at_m[0].abs() <= half_m + SAME_M;
    !is_on
}

/// Says that a place in its own axes is not on a pipe.
pub(crate) fn not_on_pipe(at: std::ops::Range<usize>) -> Problem {
    Problem::new(at, "`at` is not on the pipe").instead(
        "own axes have their origin in its middle: `x` from half its length before it to half beyond",
    )
}

/// What places on a pipe are judged against.
struct Along {
    length_m: Option<f64>,
}

impl Along {
    /// Reads a place from the start of the pipe, which is on it.
    fn place(&self, t: &Table<'_>, key: &str) -> Option<f64> {
        let place = t.si(key)?;
        self.on_it(t, key, place.value, place.at)
    }

    fn on_it(&self, t: &Table<'_>, key: &str, along_m: f64, at: std::ops::Range<usize>) -> Option<f64> {
        let beyond = self.length_m.is_some_and(|length_m| along_m > length_m + SAME_M);
        if along_m >= 0.0 && !beyond {
            return Some(along_m);
        }
        t.problem(
            Problem::new(at, format!("`{key}` is not on the pipe"))
                .instead("places are measured from its start, up to its `length`"),
        );
        None
    }
}

fn picks(t: &Table<'_>, along: &Along) -> IndexMap<String, PipePick> {
    let each = t.names("picks").into_iter().filter_map(|(name, value)| {
        let pick = match value.table() {
            Some(pick) => PipePick {
                along_m: along.place(&pick, "at")?,
                below_m: pick.si("below").map_or(0.0, |below| below.value),
                part: pick.text("part"),
            },
            None => PipePick {
                along_m: along.on_it(t, &name.value, value.si()?.value, value.at())?,
                below_m: 0.0,
                part: None,
            },
        };
        Some((name.value, pick))
    });
    each.collect()
}

fn carries(t: &Table<'_>, along: &Along) -> Option<(Item, Carried)> {
    let spread = spread(t, along);
    let (what, weight_n) = (t.text("what")?.value, t.not_negative("weight")?);
    let below_m = t.si("below").map_or(0.0, |below| below.value);
    let spread = spread?;
    let (centre_m, below_m) = match spread {
        Spread::At(at_m) => (at_m, below_m),
        Spread::Between(from_m, to_m) => (0.5 * (from_m + to_m), 0.0),
    };
    let item = Item {
        what: what.clone(),
        count: 1,
        weight_n,
        at_m: [centre_m, 0.0, -below_m],
    };
    Some((item, Carried { what, spread }))
}

fn spread(t: &Table<'_>, along: &Along) -> Option<Spread> {
    match ["at", "from", "to"].map(|key| t.has(key)) {
        [true, false, false] => Some(Spread::At(along.place(t, "at")?)),
        [false, true, true] => {
            let (from_m, to_m) = (along.place(t, "from"), along.place(t, "to"));
            let (from_m, to_m) = (from_m?, to_m?);
            if to_m - from_m > 1e-3 {
                if t.has("below") {
                    t.problem(
                        Problem::new(t.at(), "`below` is said of what is spread over the pipe")
                            .instead("what is spread hangs on the axis: leave `below` out"),
                    );
                }
                return Some(Spread::Between(from_m, to_m));
            }
            t.problem(
                Problem::new(t.at(), "`to` is not beyond `from`")
                    .instead("write the place nearer to the start first, or `at` for one place"),
            );
            None
        }
        _ => {
            t.problem(
                Problem::new(
                    t.at(),
                    "a thing on a pipe is at one place, or spread from one to another",
                )
                .instead("`at = \"5 ft\"`, or `from = \"1 ft\", to = \"19 ft\"`"),
            );
            None
        }
    }
}

fn splice(t: &Table<'_>, along: &Along) -> Option<Splice> {
    let along_m = along.place(t, "at")?;
    let near_end = along_m < 1e-3 || along.length_m.is_some_and(|length_m| along_m > length_m - 1e-3);
    if near_end {
        t.problem(
            Problem::new(t.at(), "the splice is at an end of the pipe")
                .instead("a splice joins two lengths of it: give a place between its ends"),
        );
        return None;
    }
    Some(Splice {
        along_m,
        is_hinge: t.text("kind").is_some_and(|word| word.value == "hinge"),
        allows: allowed(t),
    })
}
