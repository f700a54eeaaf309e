//! What a series document may hold.

use document::{Key, Shape, Takes};
use quantity::Kind;

const FORCE: Takes = Takes::Quantity(Kind::Force);
const LENGTH: Takes = Takes::Quantity(Kind::Length);
const SHARE: Takes = Takes::Quantity(Kind::Ratio);
const TEXTS: Takes = Takes::List(&Takes::Text);

/// How a specimen failed, as whoever pulled it saw it.
pub const SEEN: &[&str] = &[
    "pulled out",
    "rope broke at the fitting",
    "rope broke in the fitting",
    "rope broke in the free length",
    "fitting broke",
    "did not fail",
    "test gear failed",
];

/// Signs before decimals.
pub const DECIMALS: &[&str] = &["point", "comma"];

/// The series document.
pub static SERIES: Shape = Shape {
    name: "series document",
    doc: "Samples of made-up lines that were pulled, for `plimsoll prove SERIES`: of one kind, or of two that are compared.",
    keys: &[
        Key::required("title", Takes::Text, "What was pulled, for whom."),
        Key::optional("made_by", Takes::Text, "Who made the specimens up."),
        Key::optional("pulled_by", Takes::Text, "Who pulled them."),
        Key::optional("pulled_on", Takes::Date, "The day on which they were pulled."),
        Key::optional("place", Takes::Text, "Where."),
        Key::optional(
            "temperature",
            Takes::Quantity(Kind::Temperature),
            "How warm it was; the test of ropes asks for 10 to 35 degC.",
        ),
        Key::optional("machine", Takes::Table(&MACHINE), "What pulled."),
        Key::optional("cell", Takes::Table(&CELL), "What measured the force."),
        Key::optional(
            "share",
            SHARE,
            "The share of all such lines that is to be stronger than the lower limit; default 99 %.",
        ),
        Key::optional(
            "confidence",
            SHARE,
            "How often such a limit is to be right; default 95 %.",
        ),
        Key::optional(
            "invented",
            Takes::Flag,
            "Whether the series is made up for a demonstration, and nothing was pulled.",
        ),
        Key::required(
            "kinds",
            Takes::Names(&Takes::Table(&KIND)),
            "What was tested, by name; of two kinds the first is compared with the second.",
        ),
    ],
};

static MACHINE: Shape = Shape {
    name: "machine",
    doc: "What pulled.",
    keys: &[
        Key::optional("what", Takes::Text, "What it is."),
        Key::optional("capacity", FORCE, "The most that it may pull."),
        Key::optional("stroke", LENGTH, "How far it can pull."),
        Key::optional(
            "stiffness",
            Takes::Quantity(Kind::Stiffness),
            "Its own stiffness, found by pulling a solid bar.",
        ),
        Key::optional("pin", LENGTH, "The diameter of the pins that eyes bear on."),
    ],
};

static CELL: Shape = Shape {
    name: "cell",
    doc: "What measured the force.",
    keys: &[
        Key::optional("what", Takes::Text, "What it is, with its number."),
        Key::optional("capacity", FORCE, "The greatest force that it can measure."),
        Key::optional(
            "uncertainty",
            SHARE,
            "How far it may be off, as a share of what it reads, 19 times out of 20.",
        ),
        Key::optional(
            "calibrated",
            Takes::Date,
            "When it was calibrated last; more than two years before the pulls is doubted (our judgement).",
        ),
        Key::optional("document", Takes::Text, "The certificate."),
    ],
};

static KIND: Shape = Shape {
    name: "kind",
    doc: "Lines that are made up alike, and the claim that is examined.",
    keys: &[
        Key::required(
            "parts",
            parts::LISTED,
            "The parts, as in a makeup; exactly one is a rope.",
        ),
        Key::required("tests", Takes::Text, "The part that is on trial, by its id."),
        Key::optional(
            "rope_length",
            LENGTH,
            "The length of rope between the ends of a specimen.",
        ),
        Key::optional(
            "breaking",
            Takes::Table(&BREAKING),
            "The breaking force of the rope as published; default the one of the parts book.",
        ),
        Key::optional(
            "own_strength",
            Takes::Table(&OWN),
            "What the same rope broke at with ends that do not weaken it; lines that fail at more are doubted.",
        ),
        Key::optional(
            "claim",
            Takes::Table(&CLAIM),
            "What is to be shown; default the rating of the part on this rope times the factor that its maker states.",
        ),
        Key::optional(
            "least_scatter",
            SHARE,
            "A scatter that is taken at the least, as a share of the mean: few specimens may lie close by luck.",
        ),
        Key::optional(
            "expects",
            Takes::Table(&EXPECTS),
            "A guess of what is still to be pulled, for `plimsoll prove plan`.",
        ),
        Key::optional(
            "specimens",
            Takes::Names(&Takes::Table(&SPECIMEN)),
            "The specimens, by name, in the order in which they were pulled; none yet in a plan.",
        ),
    ],
};

static BREAKING: Shape = Shape {
    name: "breaking force",
    doc: "A breaking force, and who says so.",
    keys: &[
        Key::required("force", FORCE, "How much."),
        Key::required("by", Takes::Text, "Who says so, in which document."),
    ],
};

static OWN: Shape = Shape {
    name: "own strength",
    doc: "Tests of the rope itself.",
    keys: &[
        Key::required("mean", FORCE, "Their mean."),
        Key::required("tests", Takes::Count, "How many there were."),
        Key::required("by", Takes::Text, "Who pulled them, in which document."),
    ],
};

static EXPECTS: Shape = Shape {
    name: "guess",
    doc: "What somebody expects before any is pulled, from earlier tests or from a maker.",
    keys: &[
        Key::optional("mean", FORCE, "The mean strength."),
        Key::optional(
            "scatter",
            SHARE,
            "The standard deviation as a share of the mean; default 5 %.",
        ),
    ],
};

static CLAIM: Shape = Shape {
    name: "claim",
    doc: "A working load that is to be shown.",
    keys: &[
        Key::required("working_load", FORCE, "The working load."),
        Key::required(
            "design_factor",
            Takes::Number,
            "How many times the working load it is to hold; fewer times than its maker states is a caution.",
        ),
    ],
};

static SPECIMEN: Shape = Shape {
    name: "specimen",
    doc: "One that was pulled: its log, or the greatest force as somebody read it.",
    keys: &[
        Key::optional("log", Takes::Text, "The log, as a path from this document."),
        Key::optional(
            "unit",
            Takes::Text,
            "The unit of its force, where the log does not say it.",
        ),
        Key::optional(
            "travel_unit",
            Takes::Text,
            "The unit of its travel, where the log does not say it.",
        ),
        Key::optional(
            "time_unit",
            Takes::Text,
            "The unit of its time, where the log does not say it: s, ms, min.",
        ),
        Key::optional(
            "decimal",
            Takes::Word(DECIMALS),
            "The sign before its decimals, where that can not be told.",
        ),
        Key::optional("force_column", Takes::Count, "The column of its force, from 1."),
        Key::optional("travel_column", Takes::Count, "The column of its travel, from 1."),
        Key::optional("time_column", Takes::Count, "The column of its time, from 1."),
        Key::optional(
            "rate",
            Takes::Number,
            "Readings in a second, of a log without a clock.",
        ),
        Key::optional(
            "peak",
            FORCE,
            "The greatest force as it was read, where there is no log.",
        ),
        Key::optional(
            "first_break",
            FORCE,
            "The force at which something broke first, as it was heard or seen; where the log tells another, the lower counts.",
        ),
        Key::optional(
            "saw",
            Takes::Word(SEEN),
            "How it failed, as whoever pulled it saw it. One that did not fail, or of which the test gear failed, held at least its greatest force; enough that held what is claimed show it.",
        ),
        Key::optional("photographs", TEXTS, "Photographs, as paths."),
        Key::optional(
            "set_aside",
            Takes::Text,
            "Why it does not count: a cause that somebody saw, never its number alone. It is told all the same.",
        ),
        Key::optional(
            "explained",
            Takes::Text,
            "Why it failed under what is claimed, and what was done about it.",
        ),
        Key::optional("notes", Takes::Text, "Anything else."),
    ],
};
