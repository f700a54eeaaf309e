//! Reads practice documents: what they may hold, and what makes a shop's practice looser than its base.

use crate::facts::Under;
use crate::practice::{DynamicFactor, Factors, Practice, Sharing, ShopPractice};
use crate::practices::Practices;
use document::{Key, Placed, Problem, Reading, Shape, Table, Takes};
use quantity::Kind;
use std::collections::BTreeMap;
use working::{Number, Seen, Source, bibliography};

/// What a practice document may hold.
pub static SHAPE: Shape = Shape {
    name: "practice document",
    doc: "Practices: the design factors and limits that apply to a duty. A shop's practice is based on another one.",
    keys: &[Key::required(
        "practices",
        Takes::Names(&Takes::Table(&PRACTICE)),
        "The practices by the name that a rig document uses.",
    )],
};

static PRACTICE: Shape = Shape {
    name: "practice",
    doc: "One set of design factors and limits. What a shop's practice leaves out is as in the one it is based on.",
    keys: &[
        Key::required("title", Takes::Text, "What it is, in a few words."),
        Key::required("statement", Takes::Text, "What it is for and what it asks."),
        Key::optional(
            "based_on",
            Takes::Text,
            "The practice that it takes over; every practice of a shop has one.",
        ),
        Key::optional(
            "looser_because",
            Takes::Text,
            "Why it is looser than the one it is based on; printed as a caution in every verdict.",
        ),
        Key::optional(
            "covers",
            Takes::Word(&["still", "moving"]),
            "Whether loads may move while they hang.",
        ),
        Key::optional(
            "dynamic_factor",
            Takes::Word(&["when moving", "always"]),
            "For which loads a dynamic factor has to be stated.",
        ),
        Key::optional(
            "adjustable_grips",
            Takes::Word(&["allowed", "refused"]),
            "Whether adjustable grips may be used.",
        ),
        Key::optional(
            "sharing",
            Takes::Word(&["worst", "elastic"]),
            "Which share a line is held against where sharing hangs on exact lengths.",
        ),
        Key::optional("deflection", Takes::Table(&DEFLECTION), "How far a pipe may sag."),
        Key::optional(
            "below",
            Takes::Table(&BELOW),
            "The design factors by who may be below.",
        ),
    ],
};

static BELOW: Shape = Shape {
    name: "below",
    doc: "Who may be below, and the design factors then. Who is left out may not be below.",
    keys: &[
        Key::optional(
            "nobody",
            Takes::TextOr(&Takes::Table(&FACTORS)),
            "With nobody below; `\"refused\"` takes it away.",
        ),
        Key::optional(
            "crew",
            Takes::TextOr(&Takes::Table(&FACTORS)),
            "With crew below; `\"refused\"` takes it away.",
        ),
        Key::optional(
            "public",
            Takes::TextOr(&Takes::Table(&FACTORS)),
            "With the public below; `\"refused\"` takes it away.",
        ),
    ],
};

static FACTORS: Shape = Shape {
    name: "factors",
    doc: "Design factors: strength over what is allowed.",
    keys: &[
        Key::optional(
            "rope",
            Takes::Table(&FACTOR),
            "For wire rope with its ends and bends.",
        ),
        Key::optional(
            "shackle",
            Takes::Table(&FACTOR),
            "For shackles; as for hardware if it is left out.",
        ),
        Key::optional("hardware", Takes::Table(&FACTOR), "For all other hardware."),
        Key::optional(
            "adjustable_grip",
            Takes::Table(&FACTOR),
            "For adjustable grips; as for rope if it is left out.",
        ),
        Key::optional(
            "note",
            Takes::Text,
            "What a reader must know when these are used; printed as a note.",
        ),
    ],
};

static DEFLECTION: Shape = Shape {
    name: "deflection",
    doc: "How far a pipe may sag and where that comes from: `cites` for a document of the bibliography, or `source` in words.",
    keys: &[
        Key::required(
            "ratio",
            Takes::Number,
            "The least span over deflection: 1 or more.",
        ),
        CITES,
        PLACE,
        SOURCE,
        SEEN,
    ],
};

const CITES: Key = Key::optional("cites", Takes::Text, "The key of a document in the bibliography.");
const PLACE: Key = Key::optional("place", Takes::Text, "The place in that document.");
const SOURCE: Key = Key::optional("source", Takes::Text, "Where it comes from, in words.");
const SEEN: Key = Key::optional(
    "seen",
    Takes::Word(&["text", "computed", "memory", "common practice", "judgement"]),
    "How far the source was checked; without it the figure counts as stated by the writer.",
);

static FACTOR: Shape = Shape {
    name: "factor",
    doc: "One design factor and where it comes from: `cites` for a document of the bibliography, or `source` in words.",
    keys: &[
        Key::required(
            "factor",
            Takes::Number,
            "Strength over what is allowed: 1 or more, and 3 or more where anybody may be below.",
        ),
        CITES,
        PLACE,
        SOURCE,
        SEEN,
    ],
};

/// Reads a published document.
pub(crate) fn published(text: &str) -> Reading<Vec<Practice>> {
    document::read(text, &SHAPE, |root| {
        let each = root.names("practices").into_iter();
        each.filter_map(|(name, value)| build(&name, &value.table()?, None, None))
            .collect()
    })
}

/// Reads a shop's document; `known` are the practices it may build on.
pub(crate) fn shop(file: &str, text: &str, known: &Practices) -> Reading<Vec<Practice>> {
    document::read(text, &SHAPE, |root| {
        let mut built: Vec<Practice> = Vec::new();
        for (name, value) in root.names("practices") {
            let Some(table) = value.table() else { continue };
            if known.get(&name.value).is_some() {
                let says = format!("`{}` is a published practice and stays as it is", name.value);
                table.problem(
                    Problem::new(name.at.clone(), says).instead("give your own practice a name of its own"),
                );
                continue;
            }
            let Some(base) = base_of(&name, &table, known, &built) else {
                continue;
            };
            built.extend(build(&name, &table, Some(file), Some(&base)));
        }
        built
    })
}

/// Finds the practice that a shop's practice is based on.
fn base_of(
    name: &Placed<String>,
    table: &Table<'_>,
    known: &Practices,
    built: &[Practice],
) -> Option<Practice> {
    let Some(base) = table.text("based_on") else {
        if !table.has("based_on") {
            let says = format!("`{}` does not say which practice it is based on", name.value);
            let instead = "write `based_on = \"static-overhead\"`, then only what differs";
            table.problem(Problem::new(name.at.clone(), says).instead(instead));
        }
        return None;
    };
    let found = built
        .iter()
        .find(|practice| practice.id == base.value)
        .cloned()
        .or_else(|| known.get(&base.value));
    if found.is_none() {
        let ids = known
            .ids()
            .chain(built.iter().map(|practice| practice.id.as_str()));
        table.problem(
            Problem::new(base.at, format!("there is no practice `{}`", base.value)).nearest(&base.value, ids),
        );
    }
    found
}

/// Builds one practice; none if something in it is wrong or missing.
fn build(
    name: &Placed<String>,
    table: &Table<'_>,
    file: Option<&str>,
    base: Option<&Practice>,
) -> Option<Practice> {
    let word = |key: &str| table.text(key).map(|placed| placed.value);
    let title = word("title");
    let statement = word("statement");
    let covers_moving = word("covers")
        .map(|word| word == "moving")
        .or(base.map(|base| base.covers_moving));
    let dynamic_factor = word("dynamic_factor")
        .map(|word| {
            if word == "always" {
                DynamicFactor::Always
            } else {
                DynamicFactor::WhenMoving
            }
        })
        .or(base.map(|base| base.dynamic_factor));
    let adjustable_grips = word("adjustable_grips")
        .map(|word| word == "allowed")
        .or(base.map(|base| base.adjustable_grips));
    let sharing = word("sharing")
        .map(|word| {
            if word == "worst" {
                Sharing::Worst
            } else {
                Sharing::Elastic
            }
        })
        .or(base.map(|base| base.sharing));
    let deflection_ratio = match table.table("deflection") {
        Some(written) => Some(build_deflection(&written)?),
        None => base.map(|base| base.deflection_ratio.clone()),
    };
    let below = build_below(table, base);
    let mut practice = Practice {
        id: name.value.clone(),
        title: title?,
        statement: statement?,
        covers_moving: or_missing(name, table, "covers", covers_moving)?,
        dynamic_factor: or_missing(name, table, "dynamic_factor", dynamic_factor)?,
        adjustable_grips: or_missing(name, table, "adjustable_grips", adjustable_grips)?,
        sharing: or_missing(name, table, "sharing", sharing)?,
        deflection_ratio: or_missing(name, table, "deflection", deflection_ratio)?,
        below: below?,
        shop: None,
    };
    if let Some(base) = base {
        let looser = looser(&practice, base, table);
        let because = reason(name, table, &looser)?;
        practice.shop = Some(ShopPractice {
            file: file.unwrap_or_default().to_string(),
            based_on: base.id.clone(),
            looser: inherited(base)
                .into_iter()
                .chain(looser.into_iter().map(|place| place.value))
                .collect(),
            because: [
                base.shop.as_ref().map_or("", |shop| shop.because.as_str()),
                &because,
            ]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join("; "),
        });
    }
    Some(practice)
}

/// Gives what the base is itself looser in.
fn inherited(base: &Practice) -> Vec<String> {
    base.shop
        .as_ref()
        .map(|shop| shop.looser.clone())
        .unwrap_or_default()
}

fn or_missing<T>(name: &Placed<String>, table: &Table<'_>, key: &str, value: Option<T>) -> Option<T> {
    if value.is_none() && !table.has(key) {
        let says = format!("`{}` lacks the key `{key}`", name.value);
        table.problem(
            Problem::new(name.at.clone(), says)
                .instead("a practice that is not based on another one says all of it"),
        );
    }
    value
}

/// Gives the written reason for being looser; none, with a problem at each place, if it is due and not written.
fn reason(name: &Placed<String>, table: &Table<'_>, looser: &[Placed<String>]) -> Option<String> {
    match table.text("looser_because") {
        Some(because) if looser.is_empty() => {
            let says = format!(
                "`{}` is nowhere looser than the practice it is based on",
                name.value
            );
            table.problem(Problem::new(because.at, says).instead("leave `looser_because` out"));
            None
        }
        Some(because) => Some(because.value),
        None if table.has("looser_because") => None,
        None => {
            for place in looser {
                let instead =
                    "be as strict, or say why in `looser_because = \"...\"`; every verdict then prints it";
                let problem =
                    Problem::new(place.at.clone(), format!("looser than the base: {}", place.value));
                table.problem(problem.instead(instead));
            }
            looser.is_empty().then(String::new)
        }
    }
}

/// Lists in what a practice is looser than its base, each with its place in the document.
fn looser(practice: &Practice, base: &Practice, table: &Table<'_>) -> Vec<Placed<String>> {
    let at = |key: &str| table.value(key).map_or(table.at(), |value| value.at());
    let mut found = Vec::new();
    let mut note = |is: bool, key: &str, says: &str| {
        if is {
            found.push(Placed {
                value: says.to_string(),
                at: at(key),
            });
        }
    };
    note(
        practice.covers_moving && !base.covers_moving,
        "covers",
        "loads may move",
    );
    note(
        practice.dynamic_factor < base.dynamic_factor,
        "dynamic_factor",
        "a dynamic factor is not always asked for",
    );
    note(
        practice.adjustable_grips && !base.adjustable_grips,
        "adjustable_grips",
        "adjustable grips are allowed",
    );
    note(
        practice.sharing < base.sharing,
        "sharing",
        "lines are held against their share at exact lengths",
    );
    let [now, was] = [practice, base].map(|practice| practice.deflection_ratio.value());
    note(
        now < was,
        "deflection",
        &format!("pipes may sag by their span over {now}, over {was} in the base"),
    );
    for (under, factors) in &practice.below {
        found.extend(looser_below(*under, factors, base, table));
    }
    found
}

fn looser_below(under: Under, factors: &Factors, base: &Practice, table: &Table<'_>) -> Vec<Placed<String>> {
    let place = table.table("below").and_then(|below| below.table(key_of(under)));
    let whole = place.as_ref().map_or(table.at(), Table::at);
    let Some(before) = base.factors(under) else {
        return vec![Placed {
            value: format!("{} is allowed", under.words()),
            at: whole,
        }];
    };
    let pairs = factors.each().into_iter().zip(before.each());
    pairs
        .filter(|((_, now), (_, was))| now.value() < was.value())
        .map(|((key, now), (_, was))| Placed {
            value: format!(
                "design factor {} for {} with {}, {} in the base",
                now.value(),
                key.replace('_', " "),
                under.words(),
                was.value()
            ),
            at: place
                .as_ref()
                .and_then(|place| place.value(key))
                .map_or(whole.clone(), |value| value.at()),
        })
        .collect()
}

fn key_of(under: Under) -> &'static str {
    match under {
        Under::Nobody => "nobody",
        Under::Crew => "crew",
        Under::Public => "public",
    }
}

/// Builds how far a pipe may sag; none, with a problem, if it is wrongly written.
fn build_deflection(table: &Table<'_>) -> Option<Number> {
    let ratio = table.si("ratio")?;
    if ratio.value < 1.0 {
        let says = format!("a pipe that sags by its span over {} is no pipe", ratio.value);
        table.problem(Problem::new(ratio.at, says).instead("write `ratio = 200` for a span over 200"));
        return None;
    }
    let what = "least span over deflection of a pipe";
    let source = build_source(table, "a span over deflection")?;
    Some(Number::given(what, "r", Kind::Number, ratio.value, source))
}

/// Builds the factors by who is below; none if something in them is wrong.
fn build_below(table: &Table<'_>, base: Option<&Practice>) -> Option<BTreeMap<Under, Factors>> {
    let mut all = base.map(|base| base.below.clone()).unwrap_or_default();
    let mut right = true;
    if let Some(below) = table.table("below") {
        for under in [Under::Nobody, Under::Crew, Under::Public] {
            let Some(value) = below.value(key_of(under)) else {
                continue;
            };
            if let Some(factors) = value.table() {
                match build_factors(under, &factors, all.get(&under)) {
                    Some(built) => drop(all.insert(under, built)),
                    None => right = false,
                }
            } else if value.text().is_some_and(|text| text.value == "refused") {
                all.remove(&under);
            } else {
                value.problem(
                    "only `\"refused\"` or a table of factors can stand here",
                    "write `\"refused\"`",
                );
                right = false;
            }
        }
    }
    if right && all.is_empty() {
        let says = "the practice allows nobody to be anywhere: it has no factors";
        table.problem(Problem::new(table.at(), says).instead("write at least `below.nobody = { ... }`"));
        right = false;
    }
    right.then_some(all)
}

fn build_factors(under: Under, table: &Table<'_>, base: Option<&Factors>) -> Option<Factors> {
    let of = |key: &'static str, what: &str| -> Result<Option<Number>, ()> {
        match table.table(key) {
            Some(factor) => build_factor(under, what, &factor).map(Some).ok_or(()),
            None if table.has(key) => Err(()),
            None => Ok(None),
        }
    };
    let rope = of("rope", "wire rope with its ends");
    let shackle = of("shackle", "shackles");
    let hardware = of("hardware", "hardware");
    let grip = of("adjustable_grip", "adjustable grips");
    let (rope, shackle, hardware, grip) = (rope.ok()?, shackle.ok()?, hardware.ok()?, grip.ok()?);
    let rope = or_missing_factor(table, "rope", rope.or(base.map(|base| base.rope.clone())));
    // Hardware written anew without a shackle factor holds for shackles too.
    let shackle = shackle
        .or_else(|| hardware.clone())
        .or(base.map(|base| base.shackle.clone()));
    let hardware = or_missing_factor(
        table,
        "hardware",
        hardware.or(base.map(|base| base.hardware.clone())),
    );
    let grip = grip.or(base.map(|base| base.adjustable_grip.clone()));
    let rope = rope?;
    Some(Factors {
        shackle: shackle?,
        hardware: hardware?,
        adjustable_grip: grip.unwrap_or_else(|| rope.clone()),
        rope,
        note: table
            .text("note")
            .map(|text| text.value)
            .or(base.and_then(|base| base.note.clone())),
    })
}

fn or_missing_factor(table: &Table<'_>, key: &str, value: Option<Number>) -> Option<Number> {
    if value.is_none() {
        let says = format!("the design factor for `{key}` is missing");
        table.problem(
            Problem::new(table.at(), says)
                .instead(format!("write `{key} = {{ factor = 10, source = \"...\" }}`")),
        );
    }
    value
}

/// No document of the trade goes lower over anybody; the figure is our judgement.
const LEAST_OVERHEAD: f64 = 3.0;

fn build_factor(under: Under, what: &str, table: &Table<'_>) -> Option<Number> {
    let factor = table.si("factor")?;
    let right = factor.value >= 1.0;
    if !right {
        let says = format!(
            "a design factor of {} would allow more than the strength",
            factor.value
        );
        table.problem(Problem::new(factor.at.clone(), says).instead("a design factor is 1 or more"));
    }
    let least = if under.is_overhead() { LEAST_OVERHEAD } else { 1.0 };
    let enough = factor.value >= least;
    if right && !enough {
        let says = format!(
            "a design factor of {} with {} is refused",
            factor.value,
            under.words()
        );
        let instead = format!("{least} is the least over anybody, whatever the reason");
        table.problem(Problem::new(factor.at.clone(), says).instead(instead));
    }
    let right = right && enough;
    let source = build_source(table, "a design factor");
    let what = format!("design factor for {what}, {}", under.words());
    (right).then_some(())?;
    Some(Number::given(what, "n", Kind::Number, factor.value, source?))
}

/// Builds the source of a figure; none, with a problem, if there is none.
fn build_source(table: &Table<'_>, of: &str) -> Option<Source> {
    let seen = table.text("seen").map(|word| match word.value.as_str() {
        "text" => Seen::Text,
        "computed" => Seen::Computed,
        "memory" => Seen::Memory,
        "common practice" => Seen::CommonPractice,
        _ => Seen::Judgement,
    });
    let place = table.text("place").map(|text| text.value).unwrap_or_default();
    match (table.text("cites"), table.text("source")) {
        (Some(key), _) if !bibliography().contains_key(&key.value) => {
            let says = format!("the bibliography has no document `{}`", key.value);
            let known = bibliography().keys().map(String::as_str);
            table.problem(Problem::new(key.at, says).nearest(&key.value, known));
            None
        }
        (Some(key), _) => Some(Source::cited(&key.value, &place, seen.unwrap_or(Seen::Stated))),
        (None, Some(says)) => Some(Source::plain(says.value, seen.unwrap_or(Seen::Stated))),
        (None, None) => {
            let says = format!("{of} without a source is not used");
            table.problem(
                Problem::new(table.at(), says).instead("write `source = \"...\"`: who says so, and where"),
            );
            None
        }
    }
}
