//! The document of what was read on a rig: load cells, heights, weighings.

use crate::document::Rig;
use document::{Key, Placed, Problem, Reading, Shape, Table, Takes, Value};
use quantity::Kind;

const FORCE: Takes = Takes::Quantity(Kind::Force);
const LENGTH: Takes = Takes::Quantity(Kind::Length);
const TWICE: &str =
    "How far the reading may be off, either way, 19 times out of 20 (twice its standard uncertainty).";
const ENDS: Takes = Takes::Word(&["upper", "lower"]);

/// The readings document.
pub static READINGS: Shape = Shape {
    name: "readings document",
    doc: "What was read on a rig that hangs, for `plimsoll trim RIG --readings FILE`. Names are those of the rig document.",
    keys: &[
        Key::optional("title", Takes::Text, "What was read, when and by whom."),
        Key::optional("taken", Takes::Date, "The day on which it was read."),
        Key::optional(
            "forces",
            Takes::Word(&["away", "there"]),
            "Whether the stated forces of the rig act while it is read and set; default `away`.",
        ),
        Key::optional(
            "tension",
            Takes::List(&Takes::Table(&TENSION)),
            "Load cells in lines.",
        ),
        Key::optional(
            "height",
            Takes::List(&Takes::Table(&HEIGHT)),
            "Heights over z = 0.",
        ),
        Key::optional(
            "weight",
            Takes::List(&Takes::Table(&WEIGHT)),
            "Loads weighed by themselves.",
        ),
        Key::optional(
            "total",
            Takes::List(&Takes::Table(&TOTAL)),
            "What several lines pull together.",
        ),
    ],
};

static TENSION: Shape = Shape {
    name: "reading of a tension",
    doc: "What a load cell in a line reads.",
    keys: &[
        Key::required("line", Takes::Text, "The line."),
        Key::required("reads", FORCE, "What it reads."),
        Key::required("uncertainty", FORCE, TWICE),
        Key::optional(
            "at",
            ENDS,
            "At which end of the line the cell is; default `upper`.",
        ),
    ],
};

static HEIGHT: Shape = Shape {
    name: "reading of a height",
    doc: "The height of a load or of a pick over z = 0.",
    keys: &[
        Key::required(
            "of",
            Takes::Text,
            "A load (its origin; of a pipe its middle), or load.pick.",
        ),
        Key::required("reads", LENGTH, "Its height."),
        Key::required("uncertainty", LENGTH, TWICE),
    ],
};

static WEIGHT: Shape = Shape {
    name: "reading of a weight",
    doc: "What a load weighs with all that hangs on it, weighed by itself.",
    keys: &[
        Key::required("of", Takes::Text, "The load."),
        Key::required("reads", FORCE, "Its weight."),
        Key::required("uncertainty", FORCE, TWICE),
    ],
};

static TOTAL: Shape = Shape {
    name: "reading of a total",
    doc: "What several lines pull together, read by one instrument.",
    keys: &[
        Key::required("of", Takes::List(&Takes::Text), "The lines."),
        Key::required("reads", FORCE, "The sum of their tensions."),
        Key::required("uncertainty", FORCE, TWICE),
        Key::optional("at", ENDS, "At which end of the lines; default `upper`."),
    ],
};

/// What was read on a rig, with the names as they are written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Readings {
    /// Whether the stated forces of the rig act meanwhile.
    pub(crate) forces_there: bool,
    /// The readings, in the order of the document's kinds.
    pub(crate) each: Vec<Written>,
}

/// One reading as it is written.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Written {
    /// Of what.
    pub(crate) of: Of<Placed<String>>,
    /// The reading and twice its standard uncertainty, newtons or metres; none where they are written wrongly.
    pub(crate) reads: Option<[f64; 2]>,
}

/// Of what a reading is. `N` is how a line, or a load with its pick, is named.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Of<N, P = N> {
    /// The sum of the tensions of some lines at their upper or lower ends.
    Tension {
        /// The lines; one for a load cell.
        lines: Vec<N>,
        /// Whether at the upper ends.
        upper: bool,
    },
    /// A height over z = 0.
    Height(P),
    /// The weight of a load.
    Weight(N),
}

/// Reads a readings document.
pub fn read_readings(text: &str) -> Reading<Readings> {
    let mut reading = document::read(text, &READINGS, readings);
    for problem in &mut reading.problems {
        // What is too small is told that zero would do, which it would not for an uncertainty.
        if problem.says.starts_with("`uncertainty`")
            && let Some(without_zero) = problem
                .instead
                .as_ref()
                .and_then(|instead| instead.strip_prefix("0, or "))
        {
            problem.instead = Some(without_zero.replace(", is allowed", " is allowed"));
        }
    }
    reading
}

fn readings(table: &Table<'_>) -> Readings {
    let list = |key: &str, read: fn(&Table<'_>) -> Option<Written>| {
        let each = table.list(key);
        let read = each.iter().filter_map(Value::table).filter_map(|t| read(&t));
        read.collect::<Vec<_>>()
    };
    let each = [
        list("tension", |t| {
            let lines = vec![t.text("line")?];
            let upper = upper(t);
            Some(written(t, Of::Tension { lines, upper }))
        }),
        list("height", |t| Some(written(t, Of::Height(t.text("of")?)))),
        list("weight", |t| Some(written(t, Of::Weight(t.text("of")?)))),
        list("total", |t| {
            let lines = summed(t);
            let upper = upper(t);
            Some(written(t, Of::Tension { lines, upper }))
        }),
    ];
    if !["tension", "height", "weight", "total"]
        .iter()
        .any(|key| table.has(key))
    {
        table.problem(
            Problem::new(0..0, "nothing was read in this document")
                .instead("add a reading: `[[tension]]`, `[[height]]`, `[[weight]]` or `[[total]]`"),
        );
    }
    Readings {
        forces_there: table.text("forces").is_some_and(|word| word.value == "there"),
        each: each.concat(),
    }
}

/// Reads of which lines a total is: of two at the least, none of them twice.
fn summed(t: &Table<'_>) -> Vec<Placed<String>> {
    let lines: Vec<Placed<String>> = t.list("of").iter().filter_map(Value::text).collect();
    if let Some(of) = t.value("of").filter(|of| of.list().is_empty()) {
        of.problem("this total is of no line", "name the lines that it is the sum of");
    }
    for (i, line) in lines.iter().enumerate() {
        if lines[..i].iter().any(|before| before.value == line.value) {
            let says = format!("line `{}` is named twice in one total", line.value);
            t.problem(Problem::new(line.at.clone(), says).instead("name each line once"));
        }
    }
    lines
}

fn upper(t: &Table<'_>) -> bool {
    t.text("at").is_none_or(|word| word.value == "upper")
}

fn written(t: &Table<'_>, of: Of<Placed<String>>) -> Written {
    let reads = match of {
        // A place may be below what is taken as the floor.
        Of::Height(_) => t.si("reads").map(|reads| reads.value),
        _ => t.not_negative("reads"),
    };
    let uncertainty = t.si("uncertainty");
    let positive = uncertainty.filter(|uncertainty| {
        if uncertainty.value <= 0.0 {
            let says = "`uncertainty` is not more than zero";
            let problem = Problem::new(uncertainty.at.clone(), says);
            t.problem(problem.instead("no reading is exact: say how far it may be off"));
        }
        uncertainty.value > 0.0
    });
    Written {
        of,
        reads: reads
            .zip(positive)
            .map(|(reads, uncertainty)| [reads, uncertainty.value]),
    }
}

/// A reading with its names found in the rig: lines and loads by index, a height by load and pick.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Observed {
    pub(crate) of: Of<usize, (usize, Option<usize>)>,
    pub(crate) what: String,
    pub(crate) reads: f64,
    pub(crate) uncertainty: f64,
}

/// Finds the names of readings in a rig.
pub(crate) fn observed(readings: &Readings, rig: &Rig) -> Result<Vec<Observed>, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut found: Vec<Observed> = Vec::new();
    for written in &readings.each {
        let Some((of, mut what)) = resolved(&written.of, rig, &mut problems) else {
            continue;
        };
        let same = found.iter().filter(|known| known.of == of).count();
        if same > 0 {
            what = format!("{what}, reading {}", same + 1);
        }
        // What is written wrongly has been reported.
        found.extend(written.reads.map(|[reads, twice]| Observed {
            of,
            what,
            reads,
            uncertainty: 0.5 * twice,
        }));
    }
    if problems.is_empty() {
        Ok(found)
    } else {
        Err(problems)
    }
}

type Resolved = (Of<usize, (usize, Option<usize>)>, String);

fn resolved(of: &Of<Placed<String>>, rig: &Rig, problems: &mut Vec<Problem>) -> Option<Resolved> {
    match of {
        Of::Tension { lines, upper } => {
            let found: Vec<usize> = lines
                .iter()
                .filter_map(|line| line_of(line, rig, problems))
                .collect();
            let names: Vec<&str> = lines.iter().map(|line| line.value.as_str()).collect();
            let end = if *upper { "upper" } else { "lower" };
            let what = format!("tension of {} ({end})", names.join(" + "));
            (found.len() == lines.len()).then_some((
                Of::Tension {
                    lines: found,
                    upper: *upper,
                },
                what,
            ))
        }
        Of::Height(name) => {
            let (load, pick) = name
                .value
                .split_once('.')
                .map_or((name.value.as_str(), None), |(a, b)| (a, Some(b)));
            let index = load_of(load, name, rig, problems)?;
            let Some(pick) = pick else {
                return Some((Of::Height((index, None)), format!("height of {load}")));
            };
            let picks = &rig.loads.get_index(index)?.1.picks;
            let Some(at) = picks.get_index_of(pick) else {
                let says = format!("load `{load}` has no pick `{pick}`");
                problems.push(
                    Problem::new(name.at.clone(), says).nearest(pick, picks.keys().map(String::as_str)),
                );
                return None;
            };
            Some((Of::Height((index, Some(at))), format!("height of {load}.{pick}")))
        }
        Of::Weight(name) => {
            let index = load_of(&name.value, name, rig, problems)?;
            Some((Of::Weight(index), format!("weight of {}", name.value)))
        }
    }
}

fn line_of(line: &Placed<String>, rig: &Rig, problems: &mut Vec<Problem>) -> Option<usize> {
    let found = rig.lines.get_index_of(&line.value);
    if found.is_none() {
        let problem = Problem::new(line.at.clone(), format!("the rig has no line `{}`", line.value));
        problems.push(problem.nearest(&line.value, rig.lines.keys().map(String::as_str)));
    }
    found
}

fn load_of(load: &str, name: &Placed<String>, rig: &Rig, problems: &mut Vec<Problem>) -> Option<usize> {
    let found = rig.loads.get_index_of(load);
    if found.is_none() {
        let problem = Problem::new(name.at.clone(), format!("the rig has no load `{load}`"));
        problems.push(problem.nearest(load, rig.loads.keys().map(String::as_str)));
    }
    found
}
