//! Reads what a rig document says of cases and stages, and finds what can not be meant.

use super::apply::leads_to_absent;
use super::document::{Acting, Case, CaseForce, CaseWeight, Face, Faced, Speed, Stage, Wind};
use crate::document::Rig;
use crate::pipes::{not_on_pipe, off_pipe};
use crate::read::{direction, loads_and_pipes, no_dot};
use document::{Placed, Problem, Table, Value};
use indexmap::IndexMap;
use quantity::{Kind, Style};

/// The name of the rig as stated among its cases.
pub(crate) const PLAIN: &str = "plain";

/// Reads the cases and stages of a rig whose points, loads, junctions and lines have been read.
pub(crate) fn cases_and_stages(table: &Table<'_>, rig: &mut Rig) {
    names(table);
    rig.cases = cases(table, rig);
    rig.stages = stages(table, rig);
    cases_combine(table, rig);
}

/// Cases and stages share their names, and none is called as the rig as stated is.
fn names(table: &Table<'_>) {
    let of_cases = written(table, "cases");
    for key in ["cases", "stages"] {
        for (name, _) in table.names(key) {
            no_dot(table, &name);
            if name.value == PLAIN {
                let says = format!("`{PLAIN}` is what the rig as stated is called among its cases");
                table.problem(Problem::new(name.at.clone(), says).instead("choose another name"));
            }
            if key == "stages" && of_cases.contains(&name.value) {
                let says = format!("`{}` is already the name of a case", name.value);
                table.problem(
                    Problem::new(name.at.clone(), says)
                        .instead("cases and stages share their names: choose another"),
                );
            }
        }
    }
}

/// Lists the names of all that hangs, rightly written or not.
fn hanging(table: &Table<'_>) -> Vec<String> {
    let names = loads_and_pipes(table).into_iter();
    names.map(|(name, _)| name.value).collect()
}

/// Lists the names under a key, whether what they name is right or not.
fn written(table: &Table<'_>, key: &str) -> Vec<String> {
    table.names(key).into_iter().map(|(name, _)| name.value).collect()
}

fn cases(table: &Table<'_>, rig: &Rig) -> IndexMap<String, Case> {
    let entries = table.names("cases").into_iter();
    entries
        .filter_map(|(name, value)| Some((name.value.clone(), case(&value.table()?, name, rig, table))))
        .collect()
}

fn case(t: &Table<'_>, name: Placed<String>, rig: &Rig, table: &Table<'_>) -> Case {
    if t.is_empty() {
        let says = format!("the case `{}` says nothing, so it is the plain rig", name.value);
        t.problem(
            Problem::new(name.at.clone(), says)
                .instead("state a `temperature`, `forces`, `weights`, a `wind`, or what it `combines`"),
        );
    }
    let each = |key: &str| t.list(key).iter().filter_map(Value::table).collect::<Vec<_>>();
    Case {
        temperature_k: t.si("temperature").map(|temperature| temperature.value),
        forces: each("forces")
            .iter()
            .filter_map(|t| {
                Some(CaseForce {
                    what: t.text("what")?.value,
                    on: acting(t, rig, table)?,
                    force_n: t.triple("force")?.value,
                })
            })
            .collect(),
        weights: each("weights")
            .iter()
            .filter_map(|t| {
                Some(CaseWeight {
                    what: t.text("what")?.value,
                    on: acting(t, rig, table)?,
                    weight_n: t.positive("weight")?,
                })
            })
            .collect(),
        wind: t.table("wind").and_then(|t| wind(&t, table)),
        combines: combined(t, table),
        at: name.at,
    }
}

/// Finds what a force or a weight acts on.
fn acting(t: &Table<'_>, rig: &Rig, table: &Table<'_>) -> Option<Acting> {
    let on = t.text("on")?;
    let name = on.value.as_str();
    let at = t.triple("at");
    if let Some(load) = rig.loads.get(name) {
        if t.has("at") && at.is_none() {
            return None;
        }
        let half_m = load
            .pipe
            .as_ref()
            .map_or(f64::INFINITY, |pipe| 0.5 * pipe.length_m);
        if let Some(beyond) = at.as_ref().filter(|at| off_pipe(half_m, &at.value)) {
            t.problem(not_on_pipe(beyond.at.clone()));
            return None;
        }
        return Some(Acting::Load(
            name.into(),
            at.map(|at| at.value).unwrap_or_default(),
        ));
    }
    let pick = name
        .split_once('.')
        .and_then(|(load, pick)| Some((load, *rig.loads.get(load)?.picks.get(pick)?)));
    let acting = match pick {
        Some((load, place_m)) => Acting::Load(load.into(), place_m),
        None if rig.junctions.contains_key(name) => Acting::Junction(name.into()),
        None => {
            unknown(t, &on, rig, table);
            return None;
        }
    };
    if let Some(at) = at {
        let says = format!("`at` says where on a load, and `{name}` is one place already");
        t.problem(Problem::new(at.at, says).instead("leave it out, or write the load alone after `on`"));
    }
    Some(acting)
}

/// Reports a name that a force or a weight can not act on.
fn unknown(t: &Table<'_>, on: &Placed<String>, rig: &Rig, table: &Table<'_>) {
    let name = on.value.as_str();
    if rig.points.contains_key(name) {
        let says = format!("`{name}` is a point of the building: what acts there does not act on the rig");
        t.problem(Problem::new(on.at.clone(), says).instead("name a load, a junction or load.pick"));
        return;
    }
    let mut known: Vec<String> = hanging(table);
    known.extend(written(table, "junctions"));
    for (load, value) in loads_and_pipes(table) {
        let picks = value.table().map(|t| t.names("picks")).unwrap_or_default();
        known.extend(
            picks
                .iter()
                .map(|(pick, _)| format!("{}.{}", load.value, pick.value)),
        );
    }
    // What is there but wrong has been reported already.
    if known.iter().any(|known| known == name) {
        return;
    }
    let problem = match name
        .split_once('.')
        .filter(|(load, _)| rig.loads.contains_key(*load))
    {
        Some((load, pick)) => Problem::new(on.at.clone(), format!("load `{load}` has no pick `{pick}`")),
        None => Problem::new(on.at.clone(), format!("no load or junction is called `{name}`")),
    };
    t.problem(problem.nearest(name, known.iter().map(String::as_str)));
}

fn wind(t: &Table<'_>, table: &Table<'_>) -> Option<Wind> {
    let speed = match (t.has("speed"), t.has("pressure")) {
        (true, true) => {
            t.problem(
                Problem::new(t.at(), "the wind has both `speed` and `pressure`")
                    .instead("keep the one that is known; the other follows from it"),
            );
            return None;
        }
        (false, false) => {
            t.problem(
                Problem::new(t.at(), "the wind says neither `speed` nor `pressure`")
                    .instead("`speed = \"20 mph\"`, or `pressure = \"3 psf\"`"),
            );
            return None;
        }
        (true, false) => Speed::Speed {
            speed_m_per_s: t.positive("speed")?,
            air_kg_per_m3: t.positive("air_density"),
        },
        (false, true) => {
            if t.has("air_density") {
                t.problem(
                    Problem::new(t.at(), "the wind has both `pressure` and `air_density`")
                        .instead("leave `air_density` out; a pressure needs none"),
                );
            }
            Speed::Pressure(t.positive("pressure")?)
        }
    };
    let any_faces = loads_and_pipes(table)
        .iter()
        .any(|(_, load)| load.table().is_some_and(|load| load.has("faces")));
    if !any_faces {
        let example = "`faces = [{ what = \"cloth\", area = \"60 ft2\" }]` at each load that it reaches";
        t.problem(
            Problem::new(t.at(), "no load says `faces`, so this wind acts on nothing").instead(example),
        );
    }
    Some(Wind {
        speed,
        towards: direction(t, "towards")?,
    })
}

fn combined(t: &Table<'_>, table: &Table<'_>) -> Vec<String> {
    let (cases, stages) = (written(table, "cases"), written(table, "stages"));
    let mut found: Vec<String> = Vec::new();
    for named in t.list("combines").iter().filter_map(Value::text) {
        if !cases.contains(&named.value) {
            let is_stage = stages.contains(&named.value);
            let says = if is_stage {
                format!("`{}` is a stage, and only cases are combined", named.value)
            } else {
                format!("there is no case `{}`", named.value)
            };
            let problem = Problem::new(named.at, says);
            t.problem(problem.nearest(&named.value, cases.iter().map(String::as_str)));
        } else if found.contains(&named.value) {
            let says = format!("`{}` is combined twice", named.value);
            t.problem(Problem::new(named.at, says).instead("name each case once"));
        } else {
            found.push(named.value);
        }
    }
    found
}

/// Combinations end somewhere, and no two of their temperatures differ.
fn cases_combine(table: &Table<'_>, rig: &Rig) {
    let mut told: Vec<&String> = Vec::new();
    for (name, case) in &rig.cases {
        if let Some(round) = way_round(rig, name) {
            if !round.iter().any(|case| told.contains(case)) {
                let says = format!("case `{name}` combines itself: {}", arrows(&round, name));
                table.problem(Problem::new(case.at.clone(), says).instead("take one of them out"));
            }
            told.extend(round);
            continue;
        }
        let temperatures: IndexMap<&String, f64> = super::apply::members(rig, name)
            .into_iter()
            .filter_map(|member| Some((member, rig.cases.get(member)?.temperature_k?)))
            .collect();
        let all_alike = temperatures
            .values()
            .all(|a| temperatures.values().all(|b| a == b));
        if !all_alike {
            let each = temperatures
                .iter()
                .map(|(member, k)| format!("`{member}` has {}", Kind::Temperature.print(*k, Style::both())));
            let says = format!(
                "case `{name}` has several temperatures: {}",
                each.collect::<Vec<_>>().join(", ")
            );
            table.problem(Problem::new(case.at.clone(), says).instead("combine one of them"));
        }
    }
}

/// Finds the way by which a case comes to combine itself, beginning with it.
fn way_round<'a>(rig: &'a Rig, name: &'a String) -> Option<Vec<&'a String>> {
    let mut ways = vec![vec![name]];
    let mut seen: Vec<&String> = Vec::new();
    while let Some(way) = ways.pop() {
        let last = way.last().and_then(|last| rig.cases.get(*last));
        for next in last.into_iter().flat_map(|case| &case.combines) {
            if next == name {
                return Some(way);
            }
            if !seen.contains(&next) {
                seen.push(next);
                ways.push([way.as_slice(), &[next]].concat());
            }
        }
    }
    None
}

fn arrows(round: &[&String], name: &str) -> String {
    let names = round.iter().map(|case| case.as_str()).chain([name]);
    let named: Vec<String> = names.map(|case| format!("`{case}`")).collect();
    named.join(" combines ")
}

/// Reads the areas of a load that the wind meets.
pub(crate) fn faces(t: &Table<'_>) -> Vec<Face> {
    let each = t.list("faces");
    each.iter()
        .filter_map(Value::table)
        .filter_map(|t| face(&t))
        .collect()
}

fn face(t: &Table<'_>) -> Option<Face> {
    Some(Face {
        what: t.text("what")?.value,
        area_m2: t.positive("area")?,
        at_m: if t.has("at") {
            t.triple("at")?.value
        } else {
            [0.0; 3]
        },
        coefficient: t.positive("coefficient"),
        hangs: t.text("hangs").map(|word| match word.value.as_str() {
            "draped" => Faced::Draped,
            _ => Faced::Flat,
        }),
        normal: direction(t, "normal"),
    })
}

fn stages(table: &Table<'_>, rig: &Rig) -> IndexMap<String, Stage> {
    let entries = table.names("stages").into_iter();
    entries
        .filter_map(|(name, value)| Some((name.value.clone(), stage(&value.table()?, name, rig, table)?)))
        .collect()
}

fn stage(t: &Table<'_>, name: Placed<String>, rig: &Rig, table: &Table<'_>) -> Option<Stage> {
    let hangs = t.value("hangs")?;
    let listed = hangs.list();
    if listed.is_empty() {
        hangs.problem(
            format!("nothing hangs in the stage `{}`", name.value),
            "list the loads that hang, such as `hangs = [\"banner\"]`",
        );
    }
    let loads = named(t, &listed, "load", &hanging(table));
    Some(Stage {
        lengths_m: entries(t, "lengths", "line", &written(table, "lines"), length)
            .into_iter()
            .map(|(line, length)| (line.value, length))
            .collect(),
        trim_m: trims(t, &loads, table),
        lines: t
            .has("lines")
            .then(|| lines_on(t, rig, &loads, &written(table, "lines"))),
        hangs: loads,
        at: name.at,
    })
}

fn length(value: &Value<'_>) -> Option<Placed<f64>> {
    let length = value.si()?;
    if length.value > 0.0 {
        return Some(length);
    }
    value.problem("the length is not more than zero", "a length above zero is due");
    None
}

/// Reads a list of names of one sort, each once.
fn named(t: &Table<'_>, list: &[Value<'_>], sort: &str, known: &[String]) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for name in list.iter().filter_map(Value::text) {
        if !known.contains(&name.value) {
            t.problem(no_such(sort, &name, known));
        } else if found.contains(&name.value) {
            let says = format!("`{}` is listed twice", name.value);
            t.problem(Problem::new(name.at, says).instead("name it once"));
        } else {
            found.push(name.value);
        }
    }
    found
}

fn no_such(sort: &str, name: &Placed<String>, known: &[String]) -> Problem {
    let problem = Problem::new(name.at.clone(), format!("there is no {sort} `{}`", name.value));
    problem.nearest(&name.value, known.iter().map(String::as_str))
}

/// Reads what is said by name of things of one sort.
fn entries<T>(
    t: &Table<'_>,
    key: &str,
    sort: &str,
    known: &[String],
    read: impl Fn(&Value<'_>) -> Option<Placed<T>>,
) -> Vec<(Placed<String>, T)> {
    let mut found = Vec::new();
    for (name, value) in t.names(key) {
        if !known.contains(&name.value) {
            t.problem(no_such(sort, &name, known));
        } else if let Some(value) = read(&value) {
            found.push((name, value.value));
        }
    }
    found
}

fn trims(t: &Table<'_>, loads: &[String], table: &Table<'_>) -> IndexMap<String, [f64; 3]> {
    let all = entries(t, "trim", "load", &hanging(table), |at: &Value<'_>| at.triple());
    for (name, _) in all.iter().filter(|(name, _)| !loads.contains(&name.value)) {
        let says = format!(
            "`{}` has a trim here, but it does not hang in this stage",
            name.value
        );
        t.problem(
            Problem::new(name.at.clone(), says).instead("list it after `hangs`, or leave its trim out"),
        );
    }
    all.into_iter().map(|(name, at_m)| (name.value, at_m)).collect()
}

/// Reads the lines that are on, and finds those that can not be.
fn lines_on(t: &Table<'_>, rig: &Rig, loads: &[String], known: &[String]) -> Vec<String> {
    let list = t.list("lines");
    let found = named(t, &list, "line", known);
    for name in list.iter().filter_map(Value::text) {
        let line = rig.lines.get(&name.value);
        if let Some(load) = line.and_then(|line| leads_to_absent(line, loads)) {
            let says = format!(
                "line `{}` leads to `{load}`, which does not hang in this stage",
                name.value
            );
            t.problem(
                Problem::new(name.at, says)
                    .instead(format!("list `{load}` after `hangs`, or leave the line out")),
            );
        }
    }
    found
}
