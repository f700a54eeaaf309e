//! What a parts book file may hold.

use document::{Key, Shape, Takes};
use quantity::Kind;

const LENGTH: Takes = Takes::Quantity(Kind::Length);
const FORCE: Takes = Takes::Quantity(Kind::Force);
const MASS: Takes = Takes::Quantity(Kind::Mass);
const RATIO: Takes = Takes::Quantity(Kind::Ratio);
const TEXTS: Takes = Takes::List(&Takes::Text);
const PRESSURE: Takes = Takes::Quantity(Kind::Pressure);
const MATERIAL: Takes = Takes::Word(MATERIALS);

/// Words for materials.
pub(crate) const MATERIALS: &[&str] = &[
    "galvanised",
    "bright",
    "carbon",
    "stainless-304",
    "stainless-316",
    "stainless-nonmagnetic",
];
/// Words for materials of sections.
pub(crate) const SECTION_MATERIALS: &[&str] = &["steel", "aluminium"];
/// Words for cores.
pub(crate) const CORES: &[&str] = &["FC", "IWRC", "WSC"];
/// Words for how far a source was checked.
pub(crate) const SEEN: &[&str] = &[
    "text",
    "computed",
    "memory",
    "common practice",
    "judgement",
    "stated",
];
/// Words for what an end looks like.
pub(crate) const END_FORMS: &[&str] = &["eye", "body", "stop"];
/// Words for how a grip holds the rope.
pub(crate) const GRIP_FORMS: &[&str] = &["returns", "ends"];
/// Words for what keeps a grip shut.
pub(crate) const LOCKINGS: &[&str] = &["self-locking", "screw-locked"];

const ID: Key = Key::required(
    "id",
    Takes::Text,
    "Name of the series; with a size it names a part.",
);
const NAME: Key = Key::required("name", Takes::Text, "What it is, in words.");
const SOURCE: Key = Key::required(
    "source",
    Takes::Text,
    "The document the figures are from: a key of the bibliography or of `[documents]`.",
);
const PLACE: Key = Key::optional(
    "place",
    Takes::Text,
    "Where in the document: a table, a clause, a page.",
);
const SEEN_KEY: Key = Key::optional(
    "seen",
    Takes::Word(SEEN),
    "How far the figure was checked; required for a document of the bibliography.",
);
const NOTES: Key = Key::optional("notes", TEXTS, "What a reader must know besides.");
const NOTE: Key = Key::optional(
    "note",
    Takes::Text,
    "What a reader must know of this size besides.",
);
const INVENTED: Key = Key::optional("invented", Takes::Flag, "Made up for a demonstration.");
const PIECE_LENGTH: Key = Key::optional("length", LENGTH, "From bearing to bearing.");
const PIECE_MASS: Key = Key::optional("mass", MASS, "Mass of one piece.");
const FACTOR: Key = Key::optional(
    "design_factor",
    Takes::Number,
    "Breaking strength over working load, as stated.",
);
const FACTOR_FROM: Key = Key::optional(
    "design_factor_from",
    Takes::Table(&CITATION),
    "Source of the design factor, if it is another.",
);
const WORKING_LOAD: Key = Key::optional("working_load", FORCE, "The maker's working load (WLL) in line.");
const OTHER_LOADS: Key = Key::optional(
    "others",
    Takes::List(&OTHER_LOADS_EACH),
    "What other sources say of the same thing: the least rules.",
);
const CONSTRUCTIONS: Key = Key::optional("constructions", TEXTS, "Rope constructions it takes; none: any.");
const ROPE_CORES: Key = Key::optional(
    "cores",
    Takes::List(&Takes::Word(CORES)),
    "Rope cores it takes; none: any.",
);
const ROPE_MATERIALS: Key = Key::optional(
    "materials",
    Takes::List(&MATERIAL),
    "Rope materials it takes; none: any.",
);
const ROPE_SIZE: Key = Key::required("size", LENGTH, "Nominal rope diameter.");
const SIZE_TEXT: Key = Key::required(
    "size",
    Takes::Text,
    "The size it is called by, such as `\"1/2 in\"`.",
);

/// A parts book.
pub static BOOK: Shape = Shape {
    name: "parts book",
    doc: "Rated parts and tables, each figure with its source.",
    keys: &[
        Key::optional(
            "documents",
            Takes::Names(&Takes::TextOr(&Takes::Table(&DOCUMENT))),
            "Documents that are not in the bibliography, by a name of the writer's choosing.",
        ),
        Key::optional(
            "ropes",
            Takes::List(&Takes::Table(&ROPES)),
            "Wire rope and strand.",
        ),
        Key::optional(
            "ends",
            Takes::List(&Takes::Table(&ENDS)),
            "Ends made on the rope.",
        ),
        Key::optional(
            "clips",
            Takes::List(&Takes::Table(&CLIPS)),
            "Clips that close an eye.",
        ),
        Key::optional("grips", Takes::List(&Takes::Table(&GRIP)), "Adjustable grips."),
        Key::optional("thimbles", Takes::List(&Takes::Table(&THIMBLES)), "Thimbles."),
        Key::optional("shackles", Takes::List(&Takes::Table(&SHACKLES)), "Shackles."),
        Key::optional("eyebolts", Takes::List(&Takes::Table(&EYEBOLTS)), "Eye bolts."),
        Key::optional(
            "turnbuckles",
            Takes::List(&Takes::Table(&TURNBUCKLES)),
            "Turnbuckles.",
        ),
        Key::optional(
            "links",
            Takes::List(&Takes::Table(&LINKS)),
            "Links, rings and plates.",
        ),
        Key::optional(
            "sections",
            Takes::List(&Takes::Table(&SECTIONS)),
            "Pipes, tubes and trusses that bend.",
        ),
        Key::optional(
            "bend",
            Takes::Table(&BEND),
            "Strength left where a rope bends; the worse row holds.",
        ),
        Key::optional(
            "stretch",
            Takes::List(&Takes::Table(&STRETCH)),
            "Elastic stretch of ropes.",
        ),
        Key::optional(
            "sheaves",
            Takes::List(&Takes::Table(&SHEAVES)),
            "Least sheave over rope diameter where a rope runs.",
        ),
        Key::optional(
            "expansion",
            Takes::List(&Takes::Table(&EXPANSION)),
            "Thermal expansion of ropes.",
        ),
        Key::optional(
            "settling",
            Takes::List(&Takes::Table(&SETTLING)),
            "How much longer ropes become for good when first loaded (constructional stretch).",
        ),
    ],
};

static DOCUMENT: Shape = Shape {
    name: "document",
    doc: "A document in which a maker states what a part may carry.",
    keys: &[
        Key::required("title", Takes::Text, "Title or number."),
        Key::required("revision", Takes::Text, "Revision."),
        Key::required("date", Takes::Date, "Its day."),
    ],
};

static CITATION: Shape = Shape {
    name: "citation",
    doc: "Where a figure is from.",
    keys: &[SOURCE, PLACE, SEEN_KEY],
};

static OTHER_LOADS_EACH: Takes = Takes::Table(&OTHER_LOAD);

static OTHER_LOAD: Shape = Shape {
    name: "figure of another source",
    doc: "What another source says of the same load or strength.",
    keys: &[
        Key::required("load", FORCE, "The figure."),
        SOURCE,
        PLACE,
        SEEN_KEY,
    ],
};

static OTHER_EFFICIENCY: Shape = Shape {
    name: "figure of another source",
    doc: "What another source says of the same efficiency.",
    keys: &[
        Key::required("efficiency", RATIO, "The figure."),
        SOURCE,
        PLACE,
        SEEN_KEY,
    ],
};

static OTHER_FACTOR: Shape = Shape {
    name: "figure of another source",
    doc: "What another source says of the same mass factor.",
    keys: &[
        Key::required("factor", Takes::Number, "The figure."),
        SOURCE,
        PLACE,
        SEEN_KEY,
    ],
};

static ROPES: Shape = Shape {
    name: "series of ropes",
    doc: "Ropes of one construction and material.",
    keys: &[
        ID,
        NAME,
        Key::required("construction", Takes::Text, "Construction, such as `7x19`."),
        Key::optional(
            "core",
            Takes::Word(CORES),
            "Core, where the construction has a choice.",
        ),
        Key::required("material", MATERIAL, "Material."),
        Key::optional("coated", Takes::Flag, "Whether it is covered with plastic."),
        SOURCE,
        PLACE,
        SEEN_KEY,
        Key::optional(
            "mass_from",
            Takes::Table(&CITATION),
            "Source of the masses, if it is another.",
        ),
        Key::optional(
            "grade",
            Takes::Quantity(Kind::Pressure),
            "Grade R, for strengths by K d2 R.",
        ),
        Key::optional(
            "breaking_factor",
            Takes::Number,
            "Factor K, for strengths by K d2 R.",
        ),
        Key::optional(
            "mass_factor",
            Takes::Number,
            "Factor W, for masses by W d2 in kg per 100 m and mm.",
        ),
        Key::optional(
            "mass_factor_others",
            Takes::List(&Takes::Table(&OTHER_FACTOR)),
            "What other sources say of W: the greatest rules.",
        ),
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&ROPE)), "The sizes."),
    ],
};

static ROPE: Shape = Shape {
    name: "size of rope",
    doc: "One size of a series of ropes.",
    keys: &[
        ROPE_SIZE,
        Key::optional("breaking", FORCE, "Least breaking strength."),
        Key::optional("mass", Takes::Quantity(Kind::MassPerLength), "Mass per length."),
        Key::optional(
            "stiffness",
            FORCE,
            "Axial stiffness EA; missing: by the table of stretch.",
        ),
        OTHER_LOADS,
        NOTE,
    ],
};

static ENDS: Shape = Shape {
    name: "series of ends",
    doc: "Ends made on the rope, and the share of the rope's strength that each leaves.",
    keys: &[
        ID,
        NAME,
        Key::required("form", Takes::Word(END_FORMS), "What it looks like."),
        Key::optional(
            "thimbled",
            Takes::Flag,
            "Whether the eye is made around a thimble.",
        ),
        CONSTRUCTIONS,
        ROPE_CORES,
        ROPE_MATERIALS,
        Key::required(
            "efficiency",
            RATIO,
            "Share of the rope's strength left; of a range the low end.",
        ),
        Key::optional("efficiency_to", RATIO, "High end of the published range."),
        SOURCE,
        PLACE,
        SEEN_KEY,
        Key::optional(
            "others",
            Takes::List(&Takes::Table(&OTHER_EFFICIENCY)),
            "What other sources say of the same end: the least rules.",
        ),
        PIECE_LENGTH,
        PIECE_MASS,
        INVENTED,
        NOTES,
        Key::required(
            "sizes",
            Takes::List(&LENGTH),
            "The rope diameters it is made for.",
        ),
    ],
};

static CLIPS: Shape = Shape {
    name: "series of clips",
    doc: "Clips that close an eye.",
    keys: &[
        ID,
        NAME,
        Key::required("forged", Takes::Flag, "Whether the saddles are forged."),
        CONSTRUCTIONS,
        ROPE_CORES,
        ROPE_MATERIALS,
        Key::optional(
            "efficiency",
            RATIO,
            "Share of the rope's strength left when set as stated.",
        ),
        Key::optional("unrated", Takes::Text, "Why they have no rating."),
        SOURCE,
        PLACE,
        SEEN_KEY,
        Key::optional(
            "count_floor",
            Takes::Count,
            "Least count whatever the table says.",
        ),
        Key::optional(
            "count_floor_from",
            Takes::Table(&CITATION),
            "Source of that count.",
        ),
        Key::required("spacing", Takes::Number, "Least spacing in rope diameters."),
        Key::optional(
            "spacing_from",
            Takes::Table(&CITATION),
            "Source of the spacing, if it is another.",
        ),
        Key::optional(
            "setting_from",
            Takes::Table(&CITATION),
            "Source of count, turnback and torque.",
        ),
        Key::optional(
            "lengthening_from",
            Takes::Table(&CITATION),
            "Source of longer turnback for more clips.",
        ),
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&CLIP)), "The sizes."),
    ],
};

static CLIP: Shape = Shape {
    name: "size of clip",
    doc: "One size of a series of clips.",
    keys: &[
        ROPE_SIZE,
        Key::required("count", Takes::Count, "Least count of the table."),
        Key::optional("turnback", LENGTH, "Length of rope turned back, for that count."),
        Key::optional("torque", Takes::Quantity(Kind::Torque), "Torque on dry nuts."),
        PIECE_MASS,
        NOTE,
    ],
};

static GRIP: Shape = Shape {
    name: "adjustable grip",
    doc: "An adjustable grip. Without a document that has title, revision and date it counts as unrated.",
    keys: &[
        Key::required("id", Takes::Text, "Its name in makeups."),
        NAME,
        Key::required(
            "form",
            Takes::Word(GRIP_FORMS),
            "Whether the rope returns through it or ends in it.",
        ),
        Key::required("locking", Takes::Word(LOCKINGS), "What keeps it shut."),
        Key::optional(
            "document",
            Takes::Text,
            "The maker's document: a name of `[documents]`.",
        ),
        Key::required(
            "ropes",
            Takes::List(&Takes::Table(&ACCEPTED)),
            "The exact ropes it is rated on.",
        ),
        Key::optional(
            "static_only",
            Takes::Flag,
            "For loads that hang still only; missing: yes.",
        ),
        Key::optional("least_tail", LENGTH, "Least length of rope beyond it."),
        Key::optional(
            "reusable",
            Takes::Flag,
            "Whether it may be used again; missing: no.",
        ),
        Key::optional(
            "reuse",
            Takes::Text,
            "What its maker says of using it again after it slipped, or was loaded past its rating, in the maker's words.",
        ),
        Key::required("released_by", Takes::Text, "What releases it, in words."),
        Key::optional(
            "permits_sole_support_overhead",
            Takes::Flag,
            "Whether the document permits it as the only thing that holds a load over people; missing: no.",
        ),
        Key::optional(
            "adjust_under_load",
            Takes::Flag,
            "Whether the document permits it to be slid or set while its line carries; missing: no.",
        ),
        PIECE_LENGTH,
        PIECE_MASS,
        INVENTED,
        NOTES,
    ],
};

static ACCEPTED: Shape = Shape {
    name: "accepted rope",
    doc: "One kind of rope that a grip is rated on.",
    keys: &[
        Key::required("construction", Takes::Text, "Construction, such as `7x19`."),
        Key::required("materials", Takes::List(&MATERIAL), "Materials."),
        Key::required("diameter", LENGTH, "Nominal diameter."),
        Key::required("working_load", FORCE, "The maker's working load on this rope."),
        FACTOR,
    ],
};

static THIMBLES: Shape = Shape {
    name: "series of thimbles",
    doc: "Thimbles of one pattern.",
    keys: &[
        ID,
        NAME,
        SOURCE,
        PLACE,
        SEEN_KEY,
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&THIMBLE)), "The sizes."),
    ],
};

static THIMBLE: Shape = Shape {
    name: "size of thimble",
    doc: "One size of a series of thimbles.",
    keys: &[
        ROPE_SIZE,
        Key::optional("inside_width", LENGTH, "Inside width."),
        PIECE_MASS,
        NOTE,
    ],
};

static SHACKLES: Shape = Shape {
    name: "series of shackles",
    doc: "Shackles of one grade.",
    keys: &[
        ID,
        NAME,
        SOURCE,
        PLACE,
        SEEN_KEY,
        FACTOR,
        FACTOR_FROM,
        Key::optional(
            "side_load",
            Takes::List(&Takes::Table(&SIDE_LOAD)),
            "Share left under side load, least angle first.",
        ),
        Key::optional(
            "side_load_from",
            Takes::Table(&CITATION),
            "Source of the shares, if it is another.",
        ),
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&SHACKLE)), "The sizes."),
    ],
};

static SIDE_LOAD: Shape = Shape {
    name: "band of side load",
    doc: "The share of the working load that is left up to an angle of side load.",
    keys: &[
        Key::required("up_to", Takes::Quantity(Kind::Angle), "The angle."),
        Key::required("allows", RATIO, "The share."),
    ],
};

static SHACKLE: Shape = Shape {
    name: "size of shackle",
    doc: "One size of a series of shackles.",
    keys: &[
        SIZE_TEXT,
        WORKING_LOAD,
        OTHER_LOADS,
        Key::optional("body", LENGTH, "Body diameter, to tell it by."),
        Key::optional("pin", LENGTH, "Pin diameter."),
        PIECE_LENGTH,
        PIECE_MASS,
        NOTE,
    ],
};

static EYEBOLTS: Shape = Shape {
    name: "series of eye bolts",
    doc: "Eye bolts of one pattern.",
    keys: &[
        ID,
        NAME,
        Key::required("shoulder", Takes::Flag, "Whether it has a shoulder."),
        SOURCE,
        PLACE,
        SEEN_KEY,
        FACTOR,
        FACTOR_FROM,
        Key::optional(
            "angles",
            Takes::List(&Takes::Quantity(Kind::Angle)),
            "Where the bands end, from the shank.",
        ),
        Key::optional(
            "shares",
            Takes::List(&RATIO),
            "Share of the working load in each band.",
        ),
        Key::required(
            "refused_past",
            Takes::Quantity(Kind::Angle),
            "Past this angle it is not used.",
        ),
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&EYEBOLT)), "The sizes."),
    ],
};

static EYEBOLT: Shape = Shape {
    name: "size of eye bolt",
    doc: "One size of a series of eye bolts.",
    keys: &[
        SIZE_TEXT,
        WORKING_LOAD,
        Key::optional(
            "loads",
            Takes::List(&FORCE),
            "Working load in each band, as many as are permitted.",
        ),
        OTHER_LOADS,
        PIECE_LENGTH,
        PIECE_MASS,
        NOTE,
    ],
};

static TURNBUCKLES: Shape = Shape {
    name: "series of turnbuckles",
    doc: "Turnbuckles of one pattern.",
    keys: &[
        ID,
        NAME,
        Key::required("ends", Takes::Text, "What its ends are, such as `jaw and eye`."),
        SOURCE,
        PLACE,
        SEEN_KEY,
        FACTOR,
        FACTOR_FROM,
        Key::optional(
            "take_up_from",
            Takes::Table(&CITATION),
            "Source of the take-up, if it is another.",
        ),
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&TURNBUCKLE)), "The sizes."),
    ],
};

static TURNBUCKLE: Shape = Shape {
    name: "size of turnbuckle",
    doc: "One size of a series of turnbuckles.",
    keys: &[
        SIZE_TEXT,
        WORKING_LOAD,
        Key::optional("take_up", LENGTH, "How far it takes up."),
        OTHER_LOADS,
        PIECE_LENGTH,
        PIECE_MASS,
        NOTE,
    ],
};

static LINKS: Shape = Shape {
    name: "series of links",
    doc: "Links, rings or plates of one pattern.",
    keys: &[
        ID,
        NAME,
        Key::required("form", Takes::Text, "What it looks like, such as `ring`."),
        SOURCE,
        PLACE,
        SEEN_KEY,
        FACTOR,
        FACTOR_FROM,
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&LINK)), "The sizes."),
    ],
};

static LINK: Shape = Shape {
    name: "size of link",
    doc: "One size of a series of links.",
    keys: &[
        SIZE_TEXT,
        WORKING_LOAD,
        OTHER_LOADS,
        Key::optional(
            "stock",
            LENGTH,
            "Diameter of its stock; missing: the size, if that is a length.",
        ),
        PIECE_LENGTH,
        PIECE_MASS,
        NOTE,
    ],
};

static BEND: Shape = Shape {
    name: "table of bends",
    doc: "Strength left by diameter of what a rope bends over, over diameter of the rope.",
    keys: &[
        SOURCE,
        PLACE,
        SEEN_KEY,
        Key::required(
            "points",
            Takes::List(&Takes::Table(&BEND_POINT)),
            "The printed points, least ratio first.",
        ),
    ],
};

static BEND_POINT: Shape = Shape {
    name: "point of the table of bends",
    doc: "One printed point.",
    keys: &[
        Key::required("ratio", Takes::Number, "Bend diameter over rope diameter."),
        Key::required("efficiency", RATIO, "Share of the strength left."),
    ],
};

static STRETCH: Shape = Shape {
    name: "row of stretch",
    doc: "Stiffness of ropes: by a stretch factor, or by a modulus with the area that goes with it.",
    keys: &[
        Key::required("construction", Takes::Text, "Construction."),
        Key::optional("core", Takes::Word(CORES), "Core."),
        Key::required("materials", Takes::List(&MATERIAL), "Materials."),
        Key::optional(
            "percent_factor",
            Takes::Number,
            "G: percent of stretch = lb x G / inches squared.",
        ),
        Key::optional(
            "modulus",
            Takes::Quantity(Kind::Pressure),
            "Modulus; of a range the low end.",
        ),
        Key::optional(
            "modulus_to",
            Takes::Quantity(Kind::Pressure),
            "High end of the published range.",
        ),
        Key::optional(
            "area_factor",
            Takes::Number,
            "Metallic area over diameter squared.",
        ),
        SOURCE,
        PLACE,
        SEEN_KEY,
    ],
};

static SHEAVES: Shape = Shape {
    name: "row of sheaves",
    doc: "Sheave diameter over rope diameter for a rope that runs.",
    keys: &[
        Key::required("construction", Takes::Text, "Construction."),
        Key::required("least", Takes::Number, "Least ratio."),
        Key::required("suggested", Takes::Number, "Suggested ratio."),
        SOURCE,
        PLACE,
        SEEN_KEY,
    ],
};

static EXPANSION: Shape = Shape {
    name: "row of expansion",
    doc: "Thermal expansion of ropes of some materials.",
    keys: &[
        Key::required("materials", Takes::List(&MATERIAL), "Materials."),
        Key::required(
            "expansion",
            Takes::Quantity(Kind::Expansion),
            "Strain by temperature.",
        ),
        SOURCE,
        PLACE,
        SEEN_KEY,
    ],
};

static SETTLING: Shape = Shape {
    name: "row of settling",
    doc: "How much longer ropes become for good as their wires bed in. The first row that speaks of a rope holds.",
    keys: &[
        Key::required("constructions", TEXTS, "Constructions."),
        Key::optional("core", Takes::Word(CORES), "Core; missing: any."),
        Key::optional("from", RATIO, "Low end of the range, as a share of the length."),
        Key::required("to", RATIO, "High end of the range."),
        SOURCE,
        PLACE,
        SEEN_KEY,
    ],
};

static SECTIONS: Shape = Shape {
    name: "series of sections",
    doc: "Pipes, tubes or trusses of one material.",
    keys: &[
        ID,
        NAME,
        Key::required("material", Takes::Word(SECTION_MATERIALS), "Material."),
        Key::optional("grade", Takes::Text, "Grade of the material, in words."),
        SOURCE,
        PLACE,
        SEEN_KEY,
        Key::optional(
            "properties_from",
            Takes::Table(&CITATION),
            "Source of areas, moduli, second moments and stiffnesses, if it is another.",
        ),
        Key::optional(
            "mass_from",
            Takes::Table(&CITATION),
            "Source of the masses, if it is another.",
        ),
        Key::optional(
            "allows_from",
            Takes::Table(&CITATION),
            "Source of the moments, shears and torques that may be carried, if it is another.",
        ),
        Key::optional("modulus", PRESSURE, "Modulus of elasticity E; due for a tube."),
        Key::optional(
            "modulus_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        Key::optional("shear_modulus", PRESSURE, "Shear modulus G."),
        Key::optional(
            "shear_modulus_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        Key::optional(
            "yield",
            PRESSURE,
            "Yield strength, of unknown grade the lowest common one.",
        ),
        Key::optional(
            "yield_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        Key::optional(
            "density",
            Takes::Quantity(Kind::Density),
            "Density, where no mass is printed.",
        ),
        Key::optional(
            "density_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        Key::optional(
            "expansion",
            Takes::Quantity(Kind::Expansion),
            "Strain by temperature.",
        ),
        Key::optional(
            "expansion_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        Key::optional(
            "design_wall",
            RATIO,
            "Share of the nominal wall that strength is counted with; missing: all of it.",
        ),
        Key::optional(
            "design_wall_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        Key::optional(
            "factor",
            Takes::Number,
            "Yield strength over what is allowed; without it nothing follows from the yield strength.",
        ),
        Key::optional(
            "factor_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        Key::optional(
            "deflection_ratio",
            Takes::Number,
            "The least span over deflection that the maker allows.",
        ),
        Key::optional(
            "deflection_ratio_from",
            Takes::Table(&CITATION),
            "Its source, if it is another.",
        ),
        INVENTED,
        NOTES,
        Key::required("sizes", Takes::List(&Takes::Table(&SECTION)), "The sizes."),
    ],
};

static SECTION: Shape = Shape {
    name: "size of section",
    doc: "One size of a series of sections: a round tube by diameter and wall, or a truss by its stiffness.",
    keys: &[
        Key::required(
            "size",
            Takes::Text,
            "What it is called by, such as `\"1-1/2-sch40\"`.",
        ),
        Key::optional("diameter", LENGTH, "Outside diameter."),
        Key::optional("wall", LENGTH, "Nominal wall."),
        Key::optional(
            "area",
            Takes::Quantity(Kind::Area),
            "Cross-section area as printed; missing: from diameter and wall.",
        ),
        Key::optional(
            "second_moment",
            Takes::Quantity(Kind::SecondMoment),
            "Second moment of area as printed; missing: from diameter and wall.",
        ),
        Key::optional(
            "elastic_modulus",
            Takes::Quantity(Kind::SectionModulus),
            "Elastic section modulus as printed; missing: from the second moment.",
        ),
        Key::optional(
            "plastic_modulus",
            Takes::Quantity(Kind::SectionModulus),
            "Plastic section modulus as printed; missing: from diameter and wall.",
        ),
        Key::optional(
            "mass",
            Takes::Quantity(Kind::MassPerLength),
            "Mass per length; missing: from area and density.",
        ),
        Key::optional(
            "bending_stiffness",
            Takes::Quantity(Kind::BendingStiffness),
            "EI as the maker states it; missing: of a tube.",
        ),
        Key::optional(
            "axial_stiffness",
            Takes::Quantity(Kind::AxialStiffness),
            "EA as the maker states it; missing: of a tube.",
        ),
        Key::optional(
            "torsional_stiffness",
            Takes::Quantity(Kind::BendingStiffness),
            "GJ as the maker states it; missing: of a tube.",
        ),
        Key::optional(
            "moment",
            Takes::Quantity(Kind::Torque),
            "Bending moment that it may carry; of a tube the lesser of this and what follows rules.",
        ),
        Key::optional("shear", FORCE, "Shear that it may carry, likewise."),
        Key::optional(
            "torque",
            Takes::Quantity(Kind::Torque),
            "Torque that it may carry, likewise.",
        ),
        Key::optional(
            "panel",
            LENGTH,
            "Distance between the panel points of a truss, the first one at its end.",
        ),
        NOTE,
    ],
};
