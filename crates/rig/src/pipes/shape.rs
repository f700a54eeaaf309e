//! What a pipe of the rig document may hold.

use crate::cases::FACE;
use crate::shape::{FORCE, LENGTH, LOAD_FORCE, SERVICE, TRIM, UNDER, WEIGHT_SPREAD};
use document::{Key, Shape, Takes};
use quantity::Kind;

/// A pipe.
pub(crate) static PIPE: Shape = Shape {
    name: "pipe",
    doc: "A load that bends: a batten, pipe or truss. Its own axes have x along it and their origin in its middle; places \
          along it are measured from its start.",
    keys: &[
        Key::required("length", LENGTH, "From its start to its end."),
        Key::optional(
            "section",
            Takes::Text,
            "What it is made of, by its id in the parts book; this or `EI`.",
        ),
        Key::optional(
            "EI",
            Takes::Quantity(Kind::BendingStiffness),
            "Its bending stiffness, the same about every axis across it, if it has no section.",
        ),
        Key::optional(
            "EA",
            Takes::Quantity(Kind::AxialStiffness),
            "With `EI`: its axial stiffness.",
        ),
        Key::optional(
            "GJ",
            Takes::Quantity(Kind::BendingStiffness),
            "With `EI`: its torsional stiffness.",
        ),
        Key::optional(
            "mass",
            Takes::Quantity(Kind::MassPerLength),
            "With `EI`: its mass per length.",
        ),
        Key::optional(
            "stretch_by_heat",
            Takes::Quantity(Kind::Expansion),
            "With `EI`: its expansion by temperature; default that of aluminium, which is more than that of steel.",
        ),
        Key::optional(
            "allows",
            Takes::Table(&ALLOWED),
            "With `EI`: what it may carry in bending. A pipe with neither this nor a section is not rated.",
        ),
        Key::optional(
            "picks",
            Takes::Names(&Takes::QuantityOr(Kind::Length, &Takes::Table(&PICK))),
            "The places where lines attach, on its axis unless they say otherwise.",
        ),
        Key::optional(
            "carries",
            Takes::List(&Takes::Table(&CARRIED)),
            "What it carries, at one place or spread evenly; added to its own weight.",
        ),
        Key::optional(
            "splices",
            Takes::List(&Takes::Table(&SPLICE)),
            "Where it is joined, or hinged.",
        ),
        Key::optional(
            "built_in",
            Takes::Word(&["start", "end", "both"]),
            "The end that the building holds, moment and all, at the trim; default neither.",
        ),
        Key::optional(
            "weight_from",
            Takes::Word(&["weighed", "maker", "estimated"]),
            "Where the weights come from.",
        ),
        WEIGHT_SPREAD,
        Key::optional(
            "margin",
            Takes::Quantity(Kind::Ratio),
            "Added to its weight and to what it carries; at most 100 %.",
        ),
        Key::required(
            "trim",
            Takes::Table(&TRIM),
            "Where its middle should be, level, and the direction of its own x axis; also the first guess.",
        ),
        Key::required(
            "under",
            Takes::Word(UNDER),
            "Who may be below, also below what it hangs on or carries.",
        ),
        Key::optional(
            "service",
            Takes::Word(SERVICE),
            "What it does while it hangs; default `still`.",
        ),
        Key::optional(
            "dynamic",
            Takes::Number,
            "The factor on its forces when it moves, at least 1.",
        ),
        Key::optional(
            "accelerates",
            Takes::Quantity(Kind::Acceleration),
            "The greatest acceleration of its starts and stops, an emergency stop among them; `dynamic` is held against it.",
        ),
        Key::optional(
            "may_move",
            LENGTH,
            "How far any pick of it may move if something lets go; what hangs elsewhere is then stopped.",
        ),
        Key::optional(
            "forces",
            Takes::List(&Takes::Table(&LOAD_FORCE)),
            "Forces of fixed direction; `at` in its own axes.",
        ),
        Key::optional(
            "faces",
            Takes::List(&Takes::Table(&FACE)),
            "The areas that the wind meets, in the cases with wind; each push acts at one place.",
        ),
    ],
};

static ALLOWED: Shape = Shape {
    name: "allowance in bending",
    doc: "What a pipe, or a joint of it, may carry, each alone.",
    keys: &[
        Key::required("moment", Takes::Quantity(Kind::Torque), "The bending moment."),
        Key::required("shear", FORCE, "The shear."),
        Key::optional("torque", Takes::Quantity(Kind::Torque), "The torque along it."),
        Key::required("by", Takes::Text, "Who says so, in which document."),
    ],
};

static PICK: Shape = Shape {
    name: "pick on a pipe",
    doc: "A place on a pipe where lines attach.",
    keys: &[
        Key::required("at", LENGTH, "From its start."),
        Key::optional("below", LENGTH, "How far below its axis; default on it."),
        Key::optional(
            "part",
            Takes::Text,
            "What clamps the lines to it, by its id in the parts book.",
        ),
    ],
};

static CARRIED: Shape = Shape {
    name: "thing on a pipe",
    doc: "Something that a pipe carries: at one place, or spread evenly from one place to another.",
    keys: &[
        Key::required("what", Takes::Text, "What it is."),
        Key::required("weight", FORCE, "Its weight, all of it."),
        Key::optional("at", LENGTH, "From the pipe's start, if it is at one place."),
        Key::optional("from", LENGTH, "Where it begins, if it is spread."),
        Key::optional("to", LENGTH, "Where it ends, if it is spread."),
        Key::optional(
            "below",
            LENGTH,
            "How far its weight is below the axis, at one place; default on it.",
        ),
    ],
};

static SPLICE: Shape = Shape {
    name: "splice",
    doc: "A place where a pipe is joined.",
    keys: &[
        Key::required("at", LENGTH, "From its start."),
        Key::optional(
            "kind",
            Takes::Word(&["splice", "hinge"]),
            "A `splice` passes bending moment, a `hinge` none; default `splice`.",
        ),
        Key::optional("allows", Takes::Table(&ALLOWED), "What the joint may carry."),
    ],
};
