//! From the text of a rig document to a [`Rig`], with every mistake of the text.

use crate::cases::{cases_and_stages, faces};
use crate::document::{
    Adjust, Allows, Applied, End, Given, Item, Junction, Length, Line, Load, MadeUp, Permit, Point, Rig, Trim,
};
use crate::geometry::vector;
use crate::pipes::pipe;
use crate::pull_tests::proved_by;
use crate::shape::RIG;
use document::{Placed, Problem, Reading, Table, Value};
use indexmap::IndexMap;
use practice::{Role, Service, Under, WeightFrom};

/// Reads a rig document. The rig is complete only if there are no problems.
pub fn read(text: &str) -> Reading<Rig> {
    document::read(text, &RIG, rig)
}

fn rig(table: &Table<'_>) -> Rig {
    let mut rig = Rig {
        title: table.text("title").map(|title| title.value).unwrap_or_default(),
        practice: table.text("practice"),
        points: collect(table, "points", point),
        loads: collect(table, "loads", load)
            .into_iter()
            .chain(collect(table, "pipes", pipe))
            .collect(),
        junctions: collect(table, "junctions", junction),
        makeups: collect(table, "makeups", |t| {
            Some(MadeUp {
                parts: parts::read_listed(t, "parts")?,
                proved_by: proved_by(t),
            })
        }),
        groups: collect(table, "groups", |t| t.table("allows").map(|t| allows(&t))),
        permits: collect(table, "permits", permit),
        temperature_k: table.si("temperature").map(|temperature| temperature.value),
        out_of_trim_m: Vec::new(),
        ..Rig::default()
    };
    names_are_apart(table);
    rig.lines = lines(table, &rig);
    cases_and_stages(table, &mut rig);
    permits_name_lines(table, &rig);
    groups_are_used(table);
    groups_are_there(table);
    something_hangs(table, &rig);
    rig
}

/// Reads every entry under a key that is right.
fn collect<T>(table: &Table<'_>, key: &str, read: impl Fn(&Table<'_>) -> Option<T>) -> IndexMap<String, T> {
    let entries = table.names(key).into_iter();
    entries
        .filter_map(|(name, value)| Some((name.value, read(&value.table()?)?)))
        .collect()
}

fn point(t: &Table<'_>) -> Option<Point> {
    plane_stands_off_the_axis(t);
    Some(Point {
        at_m: t.triple("at")?.value,
        allows: t.table("allows").map(|t| allows(&t)),
        part: t.text("part"),
        axis: direction(t, "axis"),
        plane: direction(t, "plane"),
        diameter_m: t.positive("diameter"),
        friction: t.at_least(
            "friction",
            1.0,
            "a line that slips pulls as much on one side as on the other, or more",
        ),
        group: t.text("group").map(|group| group.value),
        gives_m_per_n: gives_m_per_n(t),
        gives_spread: share(t, "gives_spread", 0.9),
    })
}

/// A plane that runs along the axis says nothing of how the eye stands.
fn plane_stands_off_the_axis(t: &Table<'_>) {
    let (Some(axis), Some(plane)) = (t.triple("axis"), t.triple("plane")) else {
        return;
    };
    let [a, p] = [vector(axis.value), vector(plane.value)];
    // A degree off the axis still says which way the eye stands.
    if a.cross(&p).norm() < 0.017 * a.norm() * p.norm() {
        t.problem(
            Problem::new(plane.at, "`plane` runs along the axis").instead(
                "give a direction in the plane of the eye, square to the shank, such as `[1, 0, 0]`",
            ),
        );
    }
}

fn allows(t: &Table<'_>) -> Allows {
    Allows {
        down_n: t.not_negative("down"),
        side_n: t.not_negative("side"),
        by: t.text("by").map(|by| by.value),
        document: t.text("document").map(|document| document.value),
    }
}

fn load(t: &Table<'_>) -> Option<Load> {
    let picks: IndexMap<String, [f64; 3]> = t
        .names("picks")
        .into_iter()
        .filter_map(|(name, at)| Some((name.value, at.triple()?.value)))
        .collect();
    if t.value("picks").is_some_and(|picks| picks.names().is_empty()) {
        t.problem(
            Problem::new(t.at(), "the load has no pick, so no line can hold it")
                .instead("`picks = { a = [x, y, z], ... }`"),
        );
    }
    Some(Load {
        weight_n: t.positive("weight")?,
        weight_from: weight_from(t),
        weight_spread: weight_spread(t),
        centre_spread_m: t.not_negative("centre_spread"),
        margin: margin(t),
        may_move_m: t.not_negative("may_move"),
        accelerates_m_per_s2: t.not_negative("accelerates"),
        inertia_kg_m2: inertia_kg_m2(t),
        size_m: size_m(t),
        centre_m: t.triple("centre").map(|at| at.value),
        items: t
            .list("items")
            .iter()
            .filter_map(Value::table)
            .filter_map(|t| item(&t))
            .collect(),
        picks,
        trim: trim(&t.table("trim")?)?,
        under: under(t)?,
        service: service(t),
        dynamic: t.at_least("dynamic", 1.0, "a dynamic factor is at least 1"),
        forces: forces(t),
        faces: faces(t),
        added: Vec::new(),
        pipe: None,
    })
}

/// Reads moments of inertia that a body can have.
fn inertia_kg_m2(t: &Table<'_>) -> Option<[f64; 3]> {
    let moments = t.triple("inertia")?;
    let sum: f64 = moments.value.iter().sum();
    // Figures are rounded, so a flat body's may be a little off.
    let can_be = |moment: f64| moment > 0.0 && moment <= 0.51 * sum;
    if moments.value.into_iter().all(can_be) {
        return Some(moments.value);
    }
    let says = "no body has these moments of inertia";
    let instead = "each is more than zero, and none is more than the sum of the other two";
    t.problem(Problem::new(moments.at, says).instead(instead));
    None
}

/// Reads an outer size.
fn size_m(t: &Table<'_>) -> Option<[f64; 3]> {
    let size = t.triple("size")?;
    let is_long = size.value.iter().filter(|length| **length > 0.0).count() >= 2;
    if is_long && size.value.iter().all(|length| *length >= 0.0) {
        return Some(size.value);
    }
    let says = "a size is a length along each axis, of which one at the most is zero";
    let instead = "write its outer size, such as `[\"10 ft\", \"6 ft\", \"1 ft\"]`";
    t.problem(Problem::new(size.at, says).instead(instead));
    None
}

pub(crate) fn weight_from(t: &Table<'_>) -> Option<WeightFrom> {
    t.text("weight_from").map(|word| match word.value.as_str() {
        "weighed" => WeightFrom::Weighed,
        "maker" => WeightFrom::Maker,
        _ => WeightFrom::Estimated,
    })
}

pub(crate) fn service(t: &Table<'_>) -> Option<Service> {
    t.text("service").map(|word| match word.value.as_str() {
        "still" => Service::Still,
        "moving" => Service::Moving,
        _ => Service::People,
    })
}

/// Reads a margin, which is a share of the weight: more than all of it is a percentage without its sign.
pub(crate) fn margin(t: &Table<'_>) -> Option<f64> {
    let margin = t.not_negative("margin")?;
    let written = t.text("margin")?;
    if margin > 1.0 {
        let bare = written.value.trim().parse::<f64>();
        let says = format!("`margin` is {:.0} % of the weight", 100.0 * margin);
        t.problem(Problem::new(written.at, says).instead(match bare {
            Ok(percent) => format!("did you mean `\"{percent} %\"`? A margin is at most 100 %"),
            Err(_) => {
                "a margin is at most 100 %, such as `\"5 %\"`; put what is heavier into `weight`".into()
            }
        }));
        return None;
    }
    Some(margin)
}

/// Reads how far a weight may be off. Past half of it two standard deviations would reach down to no weight at all.
pub(crate) fn weight_spread(t: &Table<'_>) -> Option<f64> {
    share(t, "weight_spread", 0.5)
}

/// Reads how far something may be off, as a share of it that is less than the whole.
fn share(t: &Table<'_>, key: &str, most: f64) -> Option<f64> {
    let share = t.si(key)?;
    let says = match share.value {
        value if value < 0.0 => format!("`{key}` is negative"),
        value if value > most => format!("`{key}` is {:.0} %", 100.0 * value),
        value => return Some(value),
    };
    let due = format!(
        "say how far it may be off either way, at most {:.0} %, such as `\"5 %\"`",
        100.0 * most
    );
    t.problem(Problem::new(share.at, says).instead(due));
    None
}

fn item(t: &Table<'_>) -> Option<Item> {
    if t.count("count") == Some(0) {
        t.problem(
            Problem::new(t.at(), "the item has `count = 0`: there is none of it")
                .instead("say how many there are, or take the item out"),
        );
    }
    Some(Item {
        what: t.text("what")?.value,
        count: t.count("count").unwrap_or(1),
        weight_n: t.not_negative("weight")?,
        at_m: t.triple("at").map_or([0.0; 3], |at| at.value),
    })
}

pub(crate) fn trim(t: &Table<'_>) -> Option<Trim> {
    Some(Trim {
        at_m: t.triple("at")?.value,
        heading_rad: t.si("heading").map(|angle| angle.value),
    })
}

/// Reads the stated forces on a load or a junction.
pub(crate) fn forces(t: &Table<'_>) -> Vec<Applied> {
    let each = t.list("forces");
    each.iter()
        .filter_map(Value::table)
        .filter_map(|t| applied(&t))
        .collect()
}

fn applied(t: &Table<'_>) -> Option<Applied> {
    Some(Applied {
        what: t.text("what")?.value,
        force_n: t.triple("force")?.value,
        at_m: if t.has("at") {
            t.triple("at")?.value
        } else {
            [0.0; 3]
        },
    })
}

pub(crate) fn under(t: &Table<'_>) -> Option<Under> {
    Some(match t.text("under")?.value.as_str() {
        "public" => Under::Public,
        "crew" => Under::Crew,
        _ => Under::Nobody,
    })
}

fn junction(t: &Table<'_>) -> Option<Junction> {
    Some(Junction {
        near_m: t.triple("near")?.value,
        part: t.text("part"),
        weight_n: t.not_negative("weight"),
        diameter_m: t.positive("diameter"),
        friction: t.at_least(
            "friction",
            1.0,
            "a line that slips pulls as much on one side as on the other, or more",
        ),
        forces: forces(t),
    })
}

fn lines(table: &Table<'_>, rig: &Rig) -> IndexMap<String, Line> {
    let entries = table.names("lines").into_iter();
    entries
        .filter_map(|(name, value)| {
            let t = value.table()?;
            Some((name.value.clone(), line(&t, &name, rig, table)?))
        })
        .collect()
}

fn line(t: &Table<'_>, name: &Placed<String>, rig: &Rig, table: &Table<'_>) -> Option<Line> {
    let from = t.text("from").and_then(|end| resolve(t, &end, rig, table));
    let to = t.text("to").and_then(|end| resolve(t, &end, rig, table));
    if let (Some(from), Some(to)) = (&from, &to)
        && from == to
    {
        let says = format!("line `{}` begins and ends at `{from}`", name.value);
        t.problem(Problem::new(name.at.clone(), says).instead("give it two different ends"));
        return None;
    }
    let given = given(t, name, rig, table);
    let length = match t.text("length") {
        Some(text) if text.value == "to trim" => Some(Length::ToTrim),
        _ => t.positive("length").map(Length::Stated),
    };
    let via: Vec<End> = t
        .list("via")
        .iter()
        .filter_map(Value::text)
        .filter_map(|over| resolve(t, &over, rig, table))
        .collect();
    let (from, to) = (from?, to?);
    let mut path = vec![&from];
    path.extend(&via);
    path.push(&to);
    if let Some([end, _]) = path.windows(2).find(|pair| pair[0] == pair[1]) {
        let says = format!("line `{}` runs from `{end}` to itself", name.value);
        t.problem(Problem::new(name.at.clone(), says).instead("name each place on its way once, in order"));
        return None;
    }
    Some(Line {
        from,
        to,
        given: given?,
        length: length?,
        via,
        tolerance_m: t.not_negative("tolerance"),
        gathers: t.text("tolerance_spread").map(|word| word.value == "normal"),
        stiffness_spread: share(t, "stiffness_spread", 0.9),
        adjust: t.table("adjust").and_then(|t| adjust(&t)),
        role: t.text("role").map(|word| match word.value.as_str() {
            "carries" => Role::Carries,
            "spans" => Role::Spans,
            "secondary" => Role::Secondary,
            _ => Role::TiesDown,
        }),
        at: name.at.clone(),
    })
}

fn adjust(t: &Table<'_>) -> Option<Adjust> {
    let found = Adjust {
        travel_m: t.positive("travel")?,
        at_m: t.not_negative("at"),
        step_m: t.positive("step"),
    };
    let beyond = |key: &str, value_m: Option<f64>| {
        if value_m.is_some_and(|value_m| value_m > found.travel_m * (1.0 + 1e-9)) {
            let at = t.value(key).map(|value| value.at()).unwrap_or_default();
            let says = format!("`{key}` is more than the whole travel");
            t.problem(Problem::new(at, says).instead("`travel` goes from its shortest to its longest"));
        }
    };
    beyond("at", found.at_m);
    beyond("step", found.step_m);
    Some(found)
}

fn given(t: &Table<'_>, name: &Placed<String>, rig: &Rig, table: &Table<'_>) -> Option<Given> {
    match (t.text("makeup"), t.has("stiffness")) {
        (Some(makeup), true) => {
            let says = format!("line `{}` has both `makeup` and `stiffness`", name.value);
            t.problem(
                Problem::new(makeup.at, says)
                    .instead("keep the one that is true; a makeup has a stiffness of its own"),
            );
            None
        }
        (Some(makeup), false) => {
            if t.has("weight") {
                let says = format!("line `{}` has both `makeup` and `weight`", name.value);
                t.problem(
                    Problem::new(makeup.at.clone(), says)
                        .instead("leave `weight` out; the parts book has it"),
                );
            }
            if t.has("stretch_by_heat") {
                let says = format!("line `{}` has both `makeup` and `stretch_by_heat`", name.value);
                t.problem(
                    Problem::new(makeup.at.clone(), says)
                        .instead("leave `stretch_by_heat` out; it follows from the rope's material"),
                );
            }
            if !rig.makeups.contains_key(&makeup.value) {
                // A makeup that is there but wrong has been reported already.
                if !table
                    .names("makeups")
                    .iter()
                    .any(|(known, _)| known.value == makeup.value)
                {
                    let says = format!("there is no makeup `{}`", makeup.value);
                    t.problem(
                        Problem::new(makeup.at, says)
                            .nearest(&makeup.value, rig.makeups.keys().map(String::as_str)),
                    );
                }
                return None;
            }
            Some(Given::Makeup(makeup.value))
        }
        (None, true) => Some(Given::Stiffness {
            stiffness_n: t.positive("stiffness")?,
            mass_kg_per_m: t.not_negative("weight"),
            expansion_per_k: t.not_negative("stretch_by_heat"),
        }),
        (None, false) => {
            if !t.has("makeup") {
                let says = format!("line `{}` says neither `makeup` nor `stiffness`", name.value);
                t.problem(
                    Problem::new(name.at.clone(), says)
                        .instead("name its makeup, or give `stiffness = \"1.2 MN\"` (EA) alone"),
                );
            }
            None
        }
    }
}

/// Finds what a name in `from`, `to` or `via` stands for.
fn resolve(t: &Table<'_>, end: &Placed<String>, rig: &Rig, table: &Table<'_>) -> Option<End> {
    let name = end.value.as_str();
    if rig.points.contains_key(name) {
        return Some(End::Point(name.into()));
    }
    if rig.junctions.contains_key(name) {
        return Some(End::Junction(name.into()));
    }
    let (first, pick) = name
        .split_once('.')
        .map_or((name, None), |(load, pick)| (load, Some(pick)));
    if let Some(load) = rig.loads.get(first) {
        let example = load.picks.keys().next().map_or("pick", String::as_str);
        let Some(pick) = pick else {
            let problem = Problem::new(
                end.at.clone(),
                format!("`{name}` is a load; a line attaches to one of its picks"),
            );
            t.problem(problem.instead(format!("write load.pick, such as `{name}.{example}`")));
            return None;
        };
        if load.picks.contains_key(pick) {
            return Some(End::Pick(first.into(), pick.into()));
        }
    }
    // What is there but wrong has been reported already.
    let known = ends(table);
    let is_wrong = |load: &str| {
        loads_and_pipes(table)
            .iter()
            .any(|(known, value)| known.value == load && picks_are_wrong(value))
    };
    if known.iter().any(|known| known == name) || pick.is_some() && is_wrong(first) {
        return None;
    }
    let problem = match pick.filter(|_| rig.loads.contains_key(first)) {
        Some(pick) => Problem::new(end.at.clone(), format!("load `{first}` has no pick `{pick}`")),
        None => Problem::new(end.at.clone(), format!("nothing is called `{name}`")),
    };
    t.problem(problem.nearest(name, known.iter().map(String::as_str)));
    None
}

/// Lists everything a line may end at, rightly written or not.
fn ends(table: &Table<'_>) -> Vec<String> {
    let names = |key: &str| table.names(key).into_iter().map(|(name, _)| name.value);
    let picks = loads_and_pipes(table).into_iter().flat_map(|(load, value)| {
        let picks = value.table().map(|load| load.names("picks")).unwrap_or_default();
        picks
            .into_iter()
            .map(move |(pick, _)| format!("{}.{}", load.value, pick.value))
    });
    names("points").chain(names("junctions")).chain(picks).collect()
}

/// Tells whether a load has no picks that can be listed, which has been reported.
fn picks_are_wrong(load: &Value<'_>) -> bool {
    load.table()
        .is_some_and(|load| load.value("picks").is_none_or(|picks| picks.names().is_empty()))
}

fn permit(t: &Table<'_>) -> Option<Permit> {
    Some(Permit {
        lines: t
            .list("lines")
            .iter()
            .filter_map(Value::text)
            .map(|line| line.value)
            .collect(),
        weight_n: t.positive("weight")?,
        height_m: t.positive("height")?,
        under: under(t)?,
        approved_by: t.text("approved_by")?.value,
        why: t.text("why")?.value,
        until: t.text("until")?.value,
    })
}

/// Lists everything that hangs by name, rightly written or not.
pub(crate) fn loads_and_pipes<'a>(table: &Table<'a>) -> Vec<(Placed<String>, Value<'a>)> {
    let mut found = table.names("loads");
    found.extend(table.names("pipes"));
    found
}

/// Points, junctions, loads and pipes share one namespace, and a name has no dot.
fn names_are_apart(table: &Table<'_>) {
    let mut known: IndexMap<String, &str> = IndexMap::new();
    for key in ["points", "loads", "pipes", "junctions"] {
        for (name, _) in table.names(key) {
            if let Some(other) = known.get(&name.value) {
                let says = format!("`{}` is already the name of one of the {other}", name.value);
                table.problem(
                    Problem::new(name.at.clone(), says)
                        .instead("points, loads, pipes and junctions share their names: choose another"),
                );
            }
            known.entry(name.value).or_insert(key);
        }
    }
    for key in ["points", "loads", "pipes", "junctions", "lines", "makeups"] {
        for (name, value) in table.names(key) {
            no_dot(table, &name);
            if matches!(key, "loads" | "pipes") {
                for (pick, _) in value.table().map(|t| t.names("picks")).unwrap_or_default() {
                    no_dot(table, &pick);
                }
            }
        }
    }
}

pub(crate) fn no_dot(table: &Table<'_>, name: &Placed<String>) {
    if name.value.contains('.') || name.value.trim().is_empty() {
        let says = format!("the name `{}` has a dot in it or is empty", name.value);
        table.problem(
            Problem::new(name.at.clone(), says)
                .instead("a dot stands between load and pick; use letters, figures, `-` and `_`"),
        );
    }
}

fn permits_name_lines(table: &Table<'_>, rig: &Rig) {
    let written: Vec<String> = table
        .names("lines")
        .into_iter()
        .map(|(name, _)| name.value)
        .collect();
    for (_, value) in table.names("permits") {
        for line in value
            .table()
            .map(|t| t.list("lines"))
            .unwrap_or_default()
            .iter()
            .filter_map(Value::text)
        {
            if !written.contains(&line.value) {
                let problem = Problem::new(line.at.clone(), format!("there is no line `{}`", line.value));
                table.problem(problem.nearest(&line.value, rig.lines.keys().map(String::as_str)));
            }
        }
    }
}

fn groups_are_used(table: &Table<'_>) {
    for (name, _) in table.names("groups") {
        let used: Vec<String> = table
            .names("points")
            .iter()
            .filter_map(|(_, point)| Some(point.table()?.text("group")?.value))
            .collect();
        if !used.contains(&name.value) {
            let problem = Problem::new(
                name.at.clone(),
                format!("no point is in the group `{}`", name.value),
            );
            table.problem(if used.is_empty() {
                problem.instead(format!(
                    "write `group = \"{}\"` at each point that is on it",
                    name.value
                ))
            } else {
                problem.nearest(&name.value, used.iter().map(String::as_str))
            });
        }
    }
}

fn groups_are_there(table: &Table<'_>) {
    let written: Vec<String> = table
        .names("groups")
        .into_iter()
        .map(|(name, _)| name.value)
        .collect();
    for (_, point) in table.names("points") {
        let Some(group) = point.table().and_then(|t| t.text("group")) else {
            continue;
        };
        if written.contains(&group.value) {
            continue;
        }
        let problem = Problem::new(group.at, format!("there is no group `{}`", group.value));
        let written = written.iter().map(String::as_str);
        table.problem(match document::nearest(&group.value, written) {
            Some(near) => problem.instead(format!("did you mean `{near}`?")),
            None => problem.instead(format!(
                "write `[groups.{}]` with what the beam allows for all of its points together",
                as_key(&group.value)
            )),
        });
    }
}

/// Writes a name as a key of TOML, in quotes where it needs them.
fn as_key(name: &str) -> String {
    let is_bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !name.is_empty() && name.chars().all(is_bare) {
        name.to_string()
    } else {
        format!("{name:?}")
    }
}

fn something_hangs(table: &Table<'_>, rig: &Rig) {
    if !table.has("loads")
        && !table.has("pipes")
        && rig
            .junctions
            .values()
            .all(|j| j.forces.is_empty() && j.weight_n.is_none())
    {
        table.problem(
            Problem::new(0..0, "nothing hangs in this document").instead("add a load: `[loads.NAME]`"),
        );
    }
    // A pipe that is built in at an end needs neither, and may hold another load by a line.
    let is_built_in = |load: &Load| {
        load.pipe
            .as_ref()
            .is_some_and(|pipe| pipe.built_in.contains(&true))
    };
    let needs_lines = rig.loads.is_empty() || !rig.loads.values().all(is_built_in);
    let needs_points = !rig.loads.values().any(is_built_in);
    for (key, is_needed) in [("points", needs_points), ("lines", needs_lines)] {
        if is_needed && !table.has(key) {
            table.problem(
                Problem::new(0..0, format!("the document has no {key}"))
                    .instead(format!("add `[{key}.NAME]`")),
            );
        }
    }
}

pub(crate) fn direction(t: &Table<'_>, key: &str) -> Option<[f64; 3]> {
    let triple = t.triple(key)?;
    // What is shorter may be the rounding of a zero.
    if triple.value.iter().map(|x| x * x).sum::<f64>() > 1e-24 {
        return Some(triple.value);
    }
    t.problem(
        Problem::new(triple.at, format!("`{key}` points nowhere"))
            .instead("give a direction, such as `[0, 0, -1]` for straight down"),
    );
    None
}

/// What a point of a building may give, m/N: from less than can be measured to more than it could hold with.
pub const GIVES_M_PER_N: std::ops::RangeInclusive<f64> = 1e-10..=1e-3;

fn gives_m_per_n(t: &Table<'_>) -> Option<f64> {
    let gives = t.si("gives")?;
    t.positive("gives").filter(|value| {
        let is_fair = GIVES_M_PER_N.contains(value);
        if !is_fair {
            t.problem(
                Problem::new(gives.at, "no point that holds something up gives so little or so much")
                    .instead("between `0.0001 mm/kN` and `1000 mm/kN` is due; leave it out for a point that does not give"),
            );
        }
        is_fair
    })
}
