//! What a rig document may hold.

use crate::cases::{CASE, FACE, STAGE};
use crate::pipes::PIPE;
use document::{Key, Shape, Takes};
use quantity::Kind;

pub(crate) const LENGTH: Takes = Takes::Quantity(Kind::Length);
pub(crate) const FORCE: Takes = Takes::Quantity(Kind::Force);
pub(crate) const PLACE: Takes = Takes::Triple(&LENGTH);
pub(crate) const FORCE_VECTOR: Takes = Takes::Triple(&FORCE);
pub(crate) const DIRECTION: Takes = Takes::Triple(&Takes::Number);

/// How far a weight may be off.
pub(crate) const WEIGHT_SPREAD: Key = Key::optional(
    "weight_spread",
    Takes::Quantity(Kind::Ratio),
    "How far its whole weight may be off, either way, in 19 of 20 cases, for `plimsoll spread`; at most 50 %, default \
     by `weight_from`: weighed 1 %, maker 3 %, else 10 %.",
);

/// Words for who may be below.
pub(crate) const UNDER: &[&str] = &["public", "crew", "nobody"];
/// Words for what a load does.
pub(crate) const SERVICE: &[&str] = &["still", "moving", "people"];

/// The rig document.
pub static RIG: Shape = Shape {
    name: "rig document",
    doc: "Everything that hangs together and is solved together. Places are x, y, z with z up.",
    keys: &[
        Key::required("title", Takes::Text, "What the rig is and where it hangs."),
        Key::required(
            "practice",
            Takes::Text,
            "The practice in force: its rules and design factors.",
        ),
        Key::optional(
            "points",
            Takes::Names(&Takes::Table(&POINT)),
            "Where the building holds the rig.",
        ),
        Key::optional(
            "loads",
            Takes::Names(&Takes::Table(&LOAD)),
            "What hangs: rigid things with weight and picks.",
        ),
        Key::optional(
            "junctions",
            Takes::Names(&Takes::Table(&JUNCTION)),
            "Rings, shackles or plates where lines meet.",
        ),
        Key::optional(
            "makeups",
            Takes::Names(&Takes::Table(&MAKEUP)),
            "What lines are made of, by name.",
        ),
        Key::optional(
            "lines",
            Takes::Names(&Takes::Table(&LINE)),
            "The lines, each from end to end.",
        ),
        Key::optional(
            "groups",
            Takes::Names(&Takes::Table(&GROUP)),
            "Points on one beam, which are also summed.",
        ),
        Key::optional(
            "permits",
            Takes::Names(&Takes::Table(&PERMIT)),
            "What the shop allows, in writing, against the rule on adjustable grips as what holds a load.",
        ),
        Key::optional(
            "pipes",
            Takes::Names(&Takes::Table(&PIPE)),
            "Loads that bend: battens, pipes, trusses.",
        ),
        Key::optional(
            "temperature",
            Takes::Quantity(Kind::Temperature),
            "The temperature at which lengths are true; default 20 degC. It matters to cases that state another.",
        ),
        Key::optional(
            "cases",
            Takes::Names(&Takes::Table(&CASE)),
            "Named load cases, each checked besides the plain rig.",
        ),
        Key::optional(
            "stages",
            Takes::Names(&Takes::Table(&STAGE)),
            "Stages of raising and striking, each checked like a case.",
        ),
    ],
};

static POINT: Shape = Shape {
    name: "point",
    doc: "A place where the building holds the rig.",
    keys: &[
        Key::required("at", PLACE, "Where it is."),
        Key::optional("allows", Takes::Table(&ALLOWS), "What the building allows there."),
        Key::optional(
            "part",
            Takes::Text,
            "The rated part fixed there, by its id in the parts book.",
        ),
        Key::optional(
            "axis",
            DIRECTION,
            "The direction of the part's shank, out of the building.",
        ),
        Key::optional(
            "plane",
            DIRECTION,
            "A direction in the plane of the part's eye, square to the shank.",
        ),
        Key::optional(
            "diameter",
            LENGTH,
            "What a line that runs over it bends around, such as a sheave.",
        ),
        Key::optional(
            "friction",
            Takes::Number,
            "Tension on one side of it over that on the other when a line that runs over it slips, at least 1; default 1, none.",
        ),
        Key::optional(
            "group",
            Takes::Text,
            "The beam it is on; the points of a group are also summed.",
        ),
        Key::optional(
            "gives",
            Takes::Quantity(Kind::Compliance),
            "How much the building gives there, alike in every direction; default not at all.",
        ),
        Key::optional(
            "gives_spread",
            Takes::Quantity(Kind::Ratio),
            "How far `gives` may be off, either way, for `plimsoll spread`; at most 90 %, default 50 %.",
        ),
    ],
};

static ALLOWS: Shape = Shape {
    name: "allowance",
    doc: "What a building allows at a point or on a beam, and who says so.",
    keys: &[
        Key::optional("down", FORCE, "The force down."),
        Key::optional("side", FORCE, "The force sideways."),
        Key::optional("by", Takes::Text, "Who says so."),
        Key::optional("document", Takes::Text, "In which document."),
    ],
};

static GROUP: Shape = Shape {
    name: "group",
    doc: "A beam that carries several points.",
    keys: &[Key::required(
        "allows",
        Takes::Table(&ALLOWS),
        "What the beam allows for all of its points together.",
    )],
};

static LOAD: Shape = Shape {
    name: "load",
    doc: "A rigid thing that hangs.",
    keys: &[
        Key::required("weight", FORCE, "Its weight without the items below."),
        Key::optional(
            "weight_from",
            Takes::Word(&["weighed", "maker", "estimated"]),
            "Where the weight comes from.",
        ),
        WEIGHT_SPREAD,
        Key::optional(
            "centre_spread",
            LENGTH,
            "How far its centre of gravity may be off along each of its own axes, either way, for `plimsoll spread`; \
             default a hundredth of how far it reaches from it that way, at least 5 mm.",
        ),
        Key::optional(
            "margin",
            Takes::Quantity(Kind::Ratio),
            "Added to the weight of the load and of its items; at most 100 %.",
        ),
        Key::optional(
            "centre",
            PLACE,
            "Centre of gravity of `weight`, in the load's own axes; default its origin.",
        ),
        Key::optional(
            "items",
            Takes::List(&Takes::Table(&ITEM)),
            "Things that hang on it, added to its weight.",
        ),
        Key::required(
            "picks",
            Takes::Names(&PLACE),
            "The places where lines attach, in the load's own axes.",
        ),
        Key::required(
            "trim",
            Takes::Table(&TRIM),
            "Where it should hang, level; also the first guess.",
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
            "How far any known place of it may move when adjustable grips let go or secondary lines catch it; further is a stop.",
        ),
        Key::optional(
            "forces",
            Takes::List(&Takes::Table(&LOAD_FORCE)),
            "Forces of fixed direction.",
        ),
        Key::optional(
            "faces",
            Takes::List(&Takes::Table(&FACE)),
            "The areas that the wind of a case meets.",
        ),
        Key::optional(
            "inertia",
            Takes::Triple(&Takes::Quantity(Kind::Inertia)),
            "Moments of inertia of `weight` about its `centre`, own axes; items come on top. Only what moves asks for it.",
        ),
        Key::optional(
            "size",
            PLACE,
            "Its outer size along its own axes, `centre` in the middle: the room that it takes as it moves, and where `inertia` is not stated, how hard it is to turn, as a block.",
        ),
    ],
};

static ITEM: Shape = Shape {
    name: "item",
    doc: "A thing that hangs on a load, or several alike.",
    keys: &[
        Key::required("what", Takes::Text, "What it is."),
        Key::optional("count", Takes::Count, "How many; default 1."),
        Key::required("weight", FORCE, "The weight of one."),
        Key::optional(
            "at",
            PLACE,
            "Where its centre of gravity is, in the load's own axes; default the origin.",
        ),
    ],
};

pub(crate) static TRIM: Shape = Shape {
    name: "trim",
    doc: "Where a load should hang, level.",
    keys: &[
        Key::required("at", PLACE, "Where its origin should be."),
        Key::optional(
            "heading",
            Takes::Quantity(Kind::Angle),
            "Its turn about the vertical, from x towards y; default 0.",
        ),
    ],
};

pub(crate) static LOAD_FORCE: Shape = Shape {
    name: "force",
    doc: "A force that keeps its direction.",
    keys: &[
        Key::required("what", Takes::Text, "What it is."),
        Key::required("force", FORCE_VECTOR, "The force, in the axes of the building."),
        Key::optional(
            "at",
            PLACE,
            "Where it acts, in the load's own axes; default the origin.",
        ),
    ],
};

static JUNCTION_FORCE: Shape = Shape {
    name: "force",
    doc: "A force that keeps its direction.",
    keys: &[
        Key::required("what", Takes::Text, "What it is."),
        Key::required("force", FORCE_VECTOR, "The force, in the axes of the building."),
    ],
};

static JUNCTION: Shape = Shape {
    name: "junction",
    doc: "A ring, shackle or plate where lines meet; it finds its own place.",
    keys: &[
        Key::required(
            "near",
            PLACE,
            "About where it will be: a first guess, and what `to trim` is drawn from.",
        ),
        Key::optional(
            "part",
            Takes::Text,
            "The rated part it is, by its id in the parts book.",
        ),
        Key::optional("weight", FORCE, "Its weight; default that of its part, or none."),
        Key::optional(
            "friction",
            Takes::Number,
            "Tension on one side of it over that on the other when a line that runs over it slips, at least 1; default 1, none.",
        ),
        Key::optional("diameter", LENGTH, "What a line that runs over it bends around."),
        Key::optional(
            "forces",
            Takes::List(&Takes::Table(&JUNCTION_FORCE)),
            "Forces of fixed direction.",
        ),
    ],
};

static MAKEUP: Shape = Shape {
    name: "makeup",
    doc: "The ordered list of parts a line is made of.",
    keys: &[
        Key::required(
            "parts",
            parts::LISTED,
            "The parts from top to bottom, by their ids in the parts book; exactly one is a rope.",
        ),
        Key::optional(
            "proved_by",
            Takes::List(&Takes::Table(&PROVED_BY)),
            "Series of pull tests of lines that are made up alike; they stand beside the maker's rating and never raise it.",
        ),
    ],
};

static PROVED_BY: Shape = Shape {
    name: "proof",
    doc: "A series of pull tests (see `plimsoll prove`) of a part of this makeup on its rope.",
    keys: &[
        Key::required(
            "series",
            Takes::Text,
            "The series document, as a path from this one.",
        ),
        Key::optional(
            "kind",
            Takes::Text,
            "The kind in it that is made up like this; default the only one that has a claim.",
        ),
    ],
};

static LINE: Shape = Shape {
    name: "line",
    doc: "One made-up length from end to end, carrying tension only.",
    keys: &[
        Key::required(
            "from",
            Takes::Text,
            "Its upper end: a point, a junction, or load.pick.",
        ),
        Key::required(
            "to",
            Takes::Text,
            "Its lower end: a point, a junction, or load.pick.",
        ),
        Key::optional("makeup", Takes::Text, "What it is made of; this or `stiffness`."),
        Key::optional(
            "stiffness",
            Takes::Quantity(Kind::AxialStiffness),
            "EA, for a line given by stiffness alone; it has no working load.",
        ),
        Key::optional(
            "weight",
            Takes::Quantity(Kind::MassPerLength),
            "With `stiffness`: its mass per length.",
        ),
        Key::required(
            "length",
            Takes::WordOr("to trim", &LENGTH),
            "Unloaded, bearing of first part to bearing of last; `to trim` finds what hangs the load at its trim.",
        ),
        Key::optional(
            "via",
            Takes::List(&Takes::Text),
            "What it runs over freely, in order, with equal tension on both sides.",
        ),
        Key::optional(
            "role",
            Takes::Word(&["carries", "spans", "secondary", "ties down"]),
            "What it is there for; default `carries`.",
        ),
        Key::optional(
            "adjust",
            Takes::Table(&ADJUST),
            "How it can be adjusted, where its turnbuckle or grip does not say it all; see `plimsoll trim`.",
        ),
        Key::optional(
            "tolerance",
            LENGTH,
            "How far its length may be off, either way; of lines that hold a pipe it says what they may come to.",
        ),
        Key::optional(
            "tolerance_spread",
            Takes::Word(&["even", "normal"]),
            "How lengths lie within `tolerance`, for `plimsoll spread`: `even`, any as likely as another, or `normal`, \
             gathered around the length, with the tolerance as two standard deviations; default `even`.",
        ),
        Key::optional(
            "stiffness_spread",
            Takes::Quantity(Kind::Ratio),
            "How far its stiffness may be off, either way, for `plimsoll spread`; at most 90 %, default 20 %.",
        ),
        Key::optional(
            "stretch_by_heat",
            Takes::Quantity(Kind::Expansion),
            "With `stiffness`: its expansion by temperature; default that of steel wire rope.",
        ),
    ],
};

static ADJUST: Shape = Shape {
    name: "adjustment",
    doc: "How a line can be adjusted.",
    keys: &[
        Key::required("travel", LENGTH, "From its shortest to its longest."),
        Key::optional(
            "at",
            LENGTH,
            "How far it is let out, from its shortest; default half of `travel`.",
        ),
        Key::optional(
            "step",
            LENGTH,
            "The least change that can be made; default one turn of its turnbuckle, or 1/4 in (5 mm).",
        ),
    ],
};

static PERMIT: Shape = Shape {
    name: "permit",
    doc: "What the shop allows in writing: an adjustable grip as what holds a load over people.",
    keys: &[
        Key::required("lines", Takes::List(&Takes::Text), "The lines it is for."),
        Key::required("weight", FORCE, "The greatest weight it covers."),
        Key::required("height", LENGTH, "The greatest height it covers."),
        Key::required("under", Takes::Word(UNDER), "Who may at most be below."),
        Key::required("approved_by", Takes::Text, "Who approved it."),
        Key::required("why", Takes::Text, "Why."),
        Key::required("until", Takes::Date, "The last day it holds."),
    ],
};
