//! What a rig document may say of cases and stages.

use crate::shape::{DIRECTION, FORCE, FORCE_VECTOR, LENGTH, PLACE};
use document::{Key, Shape, Takes};
use quantity::Kind;

pub(crate) static CASE: Shape = Shape {
    name: "case",
    doc: "A named load case: what acts besides what always hangs. Every case is checked, and the worst governs.",
    keys: &[
        Key::optional(
            "temperature",
            Takes::Quantity(Kind::Temperature),
            "The temperature of lines and pipes; their unloaded lengths follow it.",
        ),
        Key::optional(
            "forces",
            Takes::List(&Takes::Table(&CASE_FORCE)),
            "Forces of fixed direction, such as a person who pulls.",
        ),
        Key::optional(
            "weights",
            Takes::List(&Takes::Table(&CASE_WEIGHT)),
            "Weights that come on, such as snow.",
        ),
        Key::optional(
            "wind",
            Takes::Table(&WIND),
            "A steady wind on the `faces` of the loads.",
        ),
        Key::optional(
            "combines",
            Takes::List(&Takes::Text),
            "Other cases that act at once with it; their forces and weights are summed, with no factor.",
        ),
    ],
};

static CASE_FORCE: Shape = Shape {
    name: "force",
    doc: "A force that keeps its direction.",
    keys: &[
        Key::required("what", Takes::Text, "What it is."),
        Key::required(
            "on",
            Takes::Text,
            "What it acts on: a load, a junction, or load.pick.",
        ),
        Key::required("force", FORCE_VECTOR, "The force, in the axes of the building."),
        Key::optional(
            "at",
            PLACE,
            "On a load: where it acts, in the load's own axes; default the origin.",
        ),
    ],
};

static CASE_WEIGHT: Shape = Shape {
    name: "added weight",
    doc: "A weight that comes on; no margin is added to it.",
    keys: &[
        Key::required("what", Takes::Text, "What it is."),
        Key::required(
            "on",
            Takes::Text,
            "What it lies on: a load, a junction, or load.pick.",
        ),
        Key::required("weight", FORCE, "The weight."),
        Key::optional(
            "at",
            PLACE,
            "On a load: where its centre of gravity is, in the load's own axes; default the origin.",
        ),
    ],
};

static WIND: Shape = Shape {
    name: "wind",
    doc: "A steady wind, by its speed or its velocity pressure.",
    keys: &[
        Key::optional(
            "speed",
            Takes::Quantity(Kind::Speed),
            "Its speed; this or `pressure`.",
        ),
        Key::optional(
            "pressure",
            Takes::Quantity(Kind::Pressure),
            "Its velocity pressure; this or `speed`.",
        ),
        Key::required(
            "towards",
            DIRECTION,
            "Where it blows to, in the axes of the building.",
        ),
        Key::optional(
            "air_density",
            Takes::Quantity(Kind::Density),
            "With `speed`: the density of the air; default 1.225 kg/m3, as at sea level.",
        ),
    ],
};

pub(crate) static FACE: Shape = Shape {
    name: "face",
    doc: "An area of a load that the wind meets.",
    keys: &[
        Key::required("what", Takes::Text, "What it is."),
        Key::required("area", Takes::Quantity(Kind::Area), "Its area."),
        Key::optional(
            "at",
            PLACE,
            "Where the wind's push acts, in the load's own axes; default the origin.",
        ),
        Key::optional(
            "coefficient",
            Takes::Number,
            "Force over velocity pressure and area; default 1.28 flat, 1.8 draped.",
        ),
        Key::optional(
            "hangs",
            Takes::Word(&["flat", "draped"]),
            "Flat and stiff, or as cloth that bellies out, which pulls at the axis of a pipe it hangs from; default `flat`.",
        ),
        Key::optional(
            "normal",
            DIRECTION,
            "The direction square to it, in the load's own axes; without it, it is square to every wind.",
        ),
    ],
};

pub(crate) static STAGE: Shape = Shape {
    name: "stage",
    doc: "A stage of raising or striking: what hangs already or still. Every stage is checked like a case.",
    keys: &[
        Key::required(
            "hangs",
            Takes::List(&Takes::Text),
            "The loads that hang; the others are not there, nor the lines that lead to nothing else.",
        ),
        Key::optional(
            "lines",
            Takes::List(&Takes::Text),
            "The only lines that are on, of those that lead to what hangs; default all of them.",
        ),
        Key::optional(
            "lengths",
            Takes::Names(&LENGTH),
            "Other unloaded lengths, by line.",
        ),
        Key::optional(
            "trim",
            Takes::Names(&PLACE),
            "Where loads hang then, by load; lines `to trim` follow it.",
        ),
    ],
};
