//! What a part is and what its rating stands on.

use crate::bend::BendRow;
use crate::section::{Bending, Section};
use crate::tables::{SettlingStretch, SheaveRatio};
use quantity::{Kind, Style};
use std::sync::Arc;
use working::Number;

/// One rated thing that a line or a point is made of.
#[derive(Debug, Clone)]
pub struct Part {
    /// Its name in makeups, such as `shackle-3/8`.
    pub id: String,
    /// What it is, in words.
    pub name: String,
    /// What it is, as data.
    pub body: Body,
    /// What it may carry and on what that stands. For a grip this is by rope: see [`Grip::accepts`].
    pub rating: Rating,
    /// From bearing to bearing, metres; none where nothing is published.
    pub length_m: Option<Number>,
    /// Mass of one piece, kilograms; none where nothing is published.
    pub mass_kg: Option<Number>,
    /// Made up for a demonstration; any verdict that uses it says so.
    pub invented: bool,
    /// The book it stands in.
    pub origin: Origin,
    /// What a reader must know besides: figures set aside, rules of thumb, other editions.
    pub notes: Vec<String>,
}

/// The book a part stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// The published book that is part of the program.
    Published,
    /// A shop's own book.
    Shop {
        /// The file it was read from.
        file: String,
        /// Whether it took the place of a published part with the same id.
        replaces_published: bool,
        /// In what it is rated better than that part, in words with both figures.
        better: Vec<String>,
    },
}

/// On what a rating stands.
#[derive(Debug, Clone)]
pub enum Rating {
    /// The maker's working load (WLL), with the design factor behind it where that is stated.
    WorkingLoad {
        /// The rating, newtons.
        load: Number,
        /// Breaking strength over rating, as stated.
        design_factor: Option<Number>,
    },
    /// The least breaking strength, newtons.
    Breaking(Number),
    /// The share of the rope's breaking strength that is left at this end.
    Efficiency(Number),
    /// What it may carry in bending; for sections.
    Bending(Bending),
    /// Depends on the rope it is used with.
    ByRope,
    /// Nothing that can be relied on; the text says why.
    Unrated(String),
}

/// What a part is.
#[derive(Debug, Clone)]
pub enum Body {
    /// Wire rope or strand.
    Rope(Rope),
    /// An end made on the rope: a pressed, spliced or poured termination.
    End(End),
    /// U-bolt or double-saddle clips that close an eye.
    Clips(Clips),
    /// An adjustable grip.
    Grip(Grip),
    /// A thimble.
    Thimble(Thimble),
    /// A shackle.
    Shackle(Shackle),
    /// An eye bolt.
    EyeBolt(EyeBolt),
    /// A turnbuckle.
    Turnbuckle(Turnbuckle),
    /// A link, ring or plate.
    Link(Link),
    /// A pipe, tube or truss that bends; no part of a line.
    Section(Section),
}

/// Wire rope or strand.
#[derive(Debug, Clone)]
pub struct Rope {
    /// Construction, such as `7x19`.
    pub construction: String,
    /// Core: `FC`, `IWRC` or `WSC`; none for constructions that have no choice of core.
    pub core: Option<String>,
    /// Material: `galvanised`, `bright`, `stainless-304`, `stainless-316`, ...
    pub material: String,
    /// Nominal diameter, metres.
    pub diameter_m: Number,
    /// Axial stiffness EA, newtons; none where nothing is published.
    pub stiffness_n: Option<Number>,
    /// Mass per length, kilograms per metre; none where nothing is published.
    pub mass_kg_per_m: Option<Number>,
    /// Strain by temperature, 1/K; none where nothing is published.
    pub expansion_per_k: Option<Number>,
    /// How much longer it becomes for good when first loaded; none where nothing is published.
    pub settling: Option<SettlingStretch>,
    /// Whether it is covered with plastic.
    pub coated: bool,
    /// The printed rows of what is left of its strength at a bend, least ratio first: see [`Rope::bend_efficiency`].
    pub bends: Arc<[BendRow]>,
    /// Sheave over rope diameter where it runs; none where nothing is printed, as for strand.
    pub sheaves: Option<SheaveRatio>,
}

impl Rope {
    /// Tells whether it is strand, laid of wires without strands: 1x7, 1x19.
    pub fn is_strand(&self) -> bool {
        self.construction.starts_with("1x")
    }
}

/// Which ropes an end takes. An empty list takes any.
#[derive(Debug, Clone, Default)]
pub struct Accepts {
    /// Constructions, as in [`Rope::construction`].
    pub constructions: Vec<String>,
    /// Cores, as in [`Rope::core`].
    pub cores: Vec<String>,
    /// Materials, as in [`Rope::material`].
    pub materials: Vec<String>,
    /// Least diameter, metres.
    pub diameter_from_m: Option<f64>,
    /// Greatest diameter, metres.
    pub diameter_to_m: Option<f64>,
}

/// What an end looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndForm {
    /// The rope turns back and makes an eye.
    Eye,
    /// The rope ends in a body with its own eye, fork or stud.
    Body,
    /// The rope ends in a button.
    Stop,
}

/// An end made on the rope. Its rating is an efficiency.
#[derive(Debug, Clone)]
pub struct End {
    /// What it looks like.
    pub form: EndForm,
    /// Whether the eye is made around a thimble, so that its efficiency includes the bend.
    pub thimbled: bool,
    /// Which ropes it takes.
    pub accepts: Accepts,
}

/// Clips that close an eye. Their rating is an efficiency, and holds only if they are set as stated.
#[derive(Debug, Clone)]
pub struct Clips {
    /// Whether the saddles are forged; cast ones are not for hanging loads.
    pub forged: bool,
    /// Rope diameter they are made for, metres.
    pub rope_diameter_m: f64,
    /// Least number.
    pub least_count: Number,
    /// Least distance from clip to clip, metres.
    pub spacing_m: Number,
    /// Length of rope turned back, metres.
    pub turnback_m: Option<Number>,
    /// Torque on dry nuts, newton metres.
    pub torque_n_m: Option<Number>,
    /// Which ropes they take.
    pub accepts: Accepts,
}

/// How an adjustable grip holds the rope.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GripForm {
    /// The rope returns through the grip and makes an eye.
    Returns,
    /// The rope ends in the grip's body, which has its own eye or nut.
    Ends,
}

/// What keeps an adjustable grip shut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Locking {
    /// It grips by itself under load.
    SelfLocking,
    /// A screw or nut has to be set, and checked to be still tight.
    ScrewLocked,
}

/// An adjustable grip.
#[derive(Debug, Clone)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a sentence of its maker's document, and stands by itself"
)]
pub struct Grip {
    /// How it holds the rope.
    pub form: GripForm,
    /// What keeps it shut.
    pub locking: Locking,
    /// The exact ropes it is rated on, each with its own working load. Any other rope is refused.
    pub accepts: Vec<Accepted>,
    /// For loads that hang still only.
    pub static_only: bool,
    /// Least length of rope beyond the grip, metres, as the maker states it.
    pub least_tail_m: Option<Number>,
    /// Whether it may be used again after it was released.
    pub reusable: bool,
    /// What its maker says of using it again after it slipped or was loaded past its rating, in the maker's words.
    pub reuse: Option<String>,
    /// What releases it, in words.
    pub released_by: String,
    /// Whether the maker's document permits it as the only thing that holds a load over people.
    pub permits_sole_support_overhead: bool,
    /// Whether the maker's document permits it to be slid or set while its line carries.
    pub adjust_under_load: bool,
    /// The maker's document. Without it the part counts as unrated.
    pub document: Option<MakersDocument>,
}

/// One kind of rope that a grip is rated on.
#[derive(Debug, Clone)]
pub struct Accepted {
    /// Construction, as in [`Rope::construction`].
    pub construction: String,
    /// Materials, as in [`Rope::material`].
    pub materials: Vec<String>,
    /// Nominal diameter, metres.
    pub diameter_m: f64,
    /// The maker's working load on this rope, newtons.
    pub working_load_n: Number,
    /// The design factor behind it, as the maker states it.
    pub design_factor: Option<Number>,
}

/// The document in which a maker states what a part may carry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MakersDocument {
    /// Title or number.
    pub title: String,
    /// Revision.
    pub revision: String,
    /// Date, as in `2026-03-14`.
    pub date: String,
}

/// A thimble.
#[derive(Debug, Clone)]
pub struct Thimble {
    /// Rope diameter it is made for, metres.
    pub rope_diameter_m: f64,
    /// Inside width, metres: the bend it gives the rope.
    pub inside_width_m: Option<Number>,
}

/// A load that may be carried up to an angle.
#[derive(Debug, Clone)]
pub struct AngleBand {
    /// The band reaches up to this angle from the part's own axis, radians.
    pub up_to_rad: f64,
    /// The share of the rating in line that is left, or the rating itself in newtons: see the owner.
    pub allows: Number,
}

/// A shackle.
#[derive(Debug, Clone)]
pub struct Shackle {
    /// Pin diameter, metres.
    pub pin_diameter_m: Option<Number>,
    /// Share of the rating by angle of side load, least angle first, by printed band. Past the last: not permitted.
    pub side_load: Vec<AngleBand>,
}

/// An eye bolt.
#[derive(Debug, Clone)]
pub struct EyeBolt {
    /// Whether it has a shoulder; without one it is for loads in line only.
    pub shoulder: bool,
    /// Rating in newtons by angle from the shank, least angle first, by printed band.
    pub by_angle: Vec<AngleBand>,
    /// The practice's own limit: past this angle it is refused although tables list more, radians.
    pub refused_past_rad: f64,
}

/// A turnbuckle.
#[derive(Debug, Clone)]
pub struct Turnbuckle {
    /// What its ends are, such as `jaw and eye`.
    pub ends: String,
    /// How far it takes up, metres.
    pub take_up_m: Option<Number>,
    /// Pitch of its threads, metres: one turn of its body brings its ends nearer by twice that. None where the size has
    /// no coarse thread that is known.
    pub pitch_m: Option<Number>,
}

/// A link, ring or plate.
#[derive(Debug, Clone)]
pub struct Link {
    /// What it looks like, in words.
    pub form: String,
    /// Diameter of its stock, metres.
    pub stock_diameter_m: Option<Number>,
}

impl Part {
    /// Gives the rope, if the part is one.
    pub fn rope(&self) -> Option<&Rope> {
        match &self.body {
            Body::Rope(rope) => Some(rope),
            _ => None,
        }
    }

    /// Gives the adjustable grip, if the part is one.
    pub fn grip(&self) -> Option<&Grip> {
        match &self.body {
            Body::Grip(grip) => Some(grip),
            _ => None,
        }
    }

    /// Gives the pipe, tube or truss, if the part is one.
    pub fn section(&self) -> Option<&Section> {
        match &self.body {
            Body::Section(section) => Some(section),
            _ => None,
        }
    }

    /// Says in what it is rated better than another part, in words with both figures.
    ///
    /// Ratings in line and what they stand on are compared, and loads and shares by angle.
    pub(crate) fn better_than(&self, other: &Part) -> Vec<String> {
        let (own, others) = (self.rating.figures(), other.rating.figures());
        if std::mem::discriminant(&self.rating) != std::mem::discriminant(&other.rating) {
            return vec!["its rating is of another kind".into()];
        }
        let in_line = own.into_iter().zip(others);
        let by_angle = self.body.by_angle().iter().zip(other.body.by_angle());
        let by_angle = by_angle.map(|(own, other)| (&own.allows, &other.allows));
        let more_bands = self.body.by_angle().len() > other.body.by_angle().len();
        in_line
            .chain(by_angle)
            .filter(|(own, other)| own.value() > other.value() * (1.0 + SAME))
            .map(|(own, other)| {
                format!(
                    "{} {}, published {}",
                    own.what(),
                    catalogue(own),
                    catalogue(other)
                )
            })
            .chain(more_bands.then(|| "it is rated at more angles".to_string()))
            .collect()
    }

    /// Names its kind, as in `adjustable grip`.
    pub fn kind(&self) -> &'static str {
        match self.body {
            Body::Rope(_) => "wire rope",
            Body::End(_) => "end termination",
            Body::Clips(_) => "clips",
            Body::Grip(_) => "adjustable grip",
            Body::Thimble(_) => "thimble",
            Body::Shackle(_) => "shackle",
            Body::EyeBolt(_) => "eye bolt",
            Body::Turnbuckle(_) => "turnbuckle",
            Body::Link(_) => "link",
            Body::Section(_) => "section",
        }
    }
}

/// Figures that differ by no more than this share of them are the same figure in other units.
const SAME: f64 = 1e-3;

fn catalogue(number: &Number) -> String {
    number.kind().print(number.value(), Style::both().finer())
}

impl Rating {
    /// Gives the figures it is made of.
    fn figures(&self) -> Vec<&Number> {
        match self {
            Rating::WorkingLoad { load, design_factor } => {
                std::iter::once(load).chain(design_factor).collect()
            }
            Rating::Breaking(number) | Rating::Efficiency(number) => vec![number],
            Rating::Bending(bending) => [&bending.moment_n_m, &bending.shear_n]
                .into_iter()
                .chain(&bending.torque_n_m)
                .collect(),
            Rating::ByRope | Rating::Unrated(_) => Vec::new(),
        }
    }
}

impl Body {
    /// Gives what is left by angle; nothing for parts without a table by angle.
    fn by_angle(&self) -> &[AngleBand] {
        match self {
            Body::Shackle(shackle) => &shackle.side_load,
            Body::EyeBolt(bolt) => &bolt.by_angle,
            _ => &[],
        }
    }
}

/// A part of a makeup together with how it was made up.
#[derive(Debug, Clone)]
pub struct Piece {
    /// The part.
    pub part: Arc<Part>,
    /// How it was made up, as far as the writer says.
    pub made: Made,
}

/// How one part was made up, as far as the writer of the rig says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Made {
    /// Number of clips fitted.
    pub count: Option<u32>,
    /// Distance from clip to clip, metres.
    pub spacing_m: Option<f64>,
    /// Length of rope turned back, metres.
    pub turnback_m: Option<f64>,
    /// Torque the nuts were set to, newton metres.
    pub torque_n_m: Option<f64>,
    /// Whether the saddles bear on the live part, as they must.
    pub saddle_on_live: Option<bool>,
    /// Length of rope beyond a grip, metres.
    pub tail_m: Option<f64>,
    /// Diameter of the pin or bar an eye bears on, metres, where it is not the part next to it in the makeup.
    pub pin_diameter_m: Option<f64>,
}

impl Made {
    /// Says in what this is made up otherwise than what was tested, so that tests say nothing of it; none where nothing that both state differs, or
    /// lengths are no less.
    #[must_use]
    pub fn differs_from(&self, tested: &Made) -> Option<String> {
        let style = Style::both();
        let less = |what: &str, kind: Kind, own: Option<f64>, tested: Option<f64>, least: f64| {
            let (own, tested) = own.zip(tested)?;
            let prints = |value: f64| kind.print(value, style);
            (own < least * tested).then(|| format!("{what} {}, tested {}", prints(own), prints(tested)))
        };
        let count = self.count.zip(tested.count).filter(|(own, tested)| own != tested);
        let saddle = self.saddle_on_live.zip(tested.saddle_on_live);
        [
            count.map(|(own, tested)| format!("clips {own}, tested {tested}")),
            saddle
                .filter(|(own, tested)| own != tested)
                .map(|_| "saddles on the other part of the rope".to_string()),
            less("tail", Kind::Length, self.tail_m, tested.tail_m, 0.99),
            less(
                "turned back",
                Kind::Length,
                self.turnback_m,
                tested.turnback_m,
                0.99,
            ),
            less("torque", Kind::Torque, self.torque_n_m, tested.torque_n_m, 0.9),
        ]
        .into_iter()
        .flatten()
        .next()
    }
}

/// The ordered list of parts a line is made of, top to bottom. It has exactly one rope.
#[derive(Debug, Clone)]
pub struct Makeup {
    /// Its name in the rig document.
    pub name: String,
    /// The parts in order.
    pub pieces: Vec<Piece>,
    /// What pull tests of it show.
    pub evidence: Vec<crate::Evidence>,
}
