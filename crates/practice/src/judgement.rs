//! What the rules come to: working loads, demands and findings.

use crate::finding::Finding;
use working::Number;

/// What the rules come to for one rig.
#[derive(Debug, Clone, Default)]
pub struct Judgement {
    /// What lines, points, groups, junctions and pipes may carry and what they are held against.
    pub measured: Measured,
    /// The findings: stops first, then by subject in the order of the facts, then in the order of the rules.
    pub findings: Vec<Finding>,
}

/// What lines, points, groups, junctions and pipes may carry and what they are held against, in the order of the facts.
#[derive(Debug, Clone, Default)]
pub struct Measured {
    /// The lines.
    pub lines: Vec<LineJudgement>,
    /// The points.
    pub points: Vec<PointJudgement>,
    /// The groups of points on one beam.
    pub groups: Vec<GroupJudgement>,
    /// The junctions.
    pub junctions: Vec<JunctionJudgement>,
    /// The pipes.
    pub pipes: Vec<PipeJudgement>,
}

/// What one line may carry, what it carries, and how the one compares with the other.
#[derive(Debug, Clone)]
pub struct LineJudgement {
    /// Its name.
    pub name: String,
    /// What it may carry.
    pub load: LineLoad,
    /// What it is held against, newtons: the governing share with the dynamic factor. None if that is not known.
    pub demand_n: Option<Number>,
    /// Demand over working load; `use` in JSON.
    pub utilisation: Option<Number>,
}

/// What a made-up line may carry, whatever it carries.
#[derive(Debug, Clone, Default)]
pub struct LineLoad {
    /// What it may carry under the practice, newtons; none if a part of it is unrated.
    pub working_load_n: Option<Number>,
    /// The least rating among its parts as their makers state them, newtons; printed beside the working load.
    pub rating_n: Option<Number>,
    /// The part with the least working load.
    pub governing_part: Option<String>,
    /// What it breaks at, newtons: the least of its parts of which that is known, or at the least what they are rated at.
    pub breaking_n: Option<Number>,
    /// The part that breaks first.
    pub breaks_first: Option<String>,
    /// What each part of it may carry.
    pub by_part: Vec<PartLoad>,
    /// The parts that have no working load, and why.
    pub unrated: Vec<Unrated>,
    /// Those of them that their maker rates without the factor behind it: the part and its rating, newtons, which is all that is known
    /// of what it breaks at.
    pub by_rating: Vec<(String, Number)>,
}

/// What one part may carry at its place.
#[derive(Debug, Clone)]
pub struct PartLoad {
    /// The id of the part.
    pub part: String,
    /// Where it stands, such as `upper end`.
    pub place: String,
    /// What it may carry there under the practice, newtons.
    pub working_load_n: Number,
    /// What its maker states it may carry there, newtons; none for rope and ends, which have a strength instead.
    pub rating_n: Option<Number>,
    /// The strength that is left of the rope there, newtons; none for parts with a maker's rating.
    pub strength_n: Option<Number>,
    /// What it breaks at there, newtons: the strength of the rope, or its rating times the factor that its maker states.
    pub breaking_n: Number,
}

/// A part that has no working load at its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unrated {
    /// The id of the part; empty where a part is missing.
    pub part: String,
    /// Where it stands.
    pub place: String,
    /// Why it has none.
    pub why: String,
}

/// What the part at a point may carry and what it and the building get.
#[derive(Debug, Clone)]
pub struct PointJudgement {
    /// Its name.
    pub name: String,
    /// What the part there may carry at its angle, newtons; none if there is no part or it is unrated.
    pub working_load_n: Option<Number>,
    /// What its maker states it may carry there, newtons.
    pub rating_n: Option<Number>,
    /// What it breaks at there, newtons.
    pub breaking_n: Option<Number>,
    /// The part.
    pub governing_part: Option<String>,
    /// What it is held against, newtons.
    pub demand_n: Option<Number>,
    /// The greatest of: demand over working load of the part; force down, and sideways, over what the building allows;
    /// none where none of these is known.
    pub utilisation: Option<Number>,
    /// Which of these that is, in words, as in `force down against the building's allowance`.
    pub governs: Option<String>,
    /// The force down that the building's allowance is held against, newtons.
    pub down_n: Option<Number>,
    /// The force up that the building's engineer is asked about, newtons; none where nothing pulls it up.
    pub up_n: Option<Number>,
    /// The force sideways that the building's allowance is held against, newtons.
    pub side_n: Option<Number>,
    /// Why the part has no working load; none if it has one or there is no part.
    pub unrated: Option<Unrated>,
    /// Whether the angle of the pull is not known, so that the worst printed band was taken.
    pub worst_band_taken: bool,
}

/// What the points on one beam bring to it together.
#[derive(Debug, Clone)]
pub struct GroupJudgement {
    /// Its name.
    pub name: String,
    /// The force down that the beam's allowance is held against, newtons.
    pub down_n: Option<Number>,
    /// The force up that the building's engineer is asked about, newtons; none where nothing pulls it up.
    pub up_n: Option<Number>,
    /// The force sideways that the beam's allowance is held against, newtons.
    pub side_n: Option<Number>,
    /// The greater of both over what the beam allows; none where it allows nothing stated.
    pub utilisation: Option<Number>,
    /// Which of them that is, in words.
    pub governs: Option<String>,
}

/// What the part at a junction may carry and what it is held against.
#[derive(Debug, Clone)]
pub struct JunctionJudgement {
    /// Its name.
    pub name: String,
    /// What the part may carry, newtons; none if there is no part or it is unrated.
    pub working_load_n: Option<Number>,
    /// What its maker states it may carry, newtons.
    pub rating_n: Option<Number>,
    /// What it breaks at, newtons.
    pub breaking_n: Option<Number>,
    /// The part.
    pub governing_part: Option<String>,
    /// What it is held against, newtons.
    pub demand_n: Option<Number>,
    /// Demand over working load.
    pub utilisation: Option<Number>,
    /// Why it has no working load; none if it has one.
    pub unrated: Option<Unrated>,
}

/// What the building gets where an end of a pipe is built in, at its worst and with its dynamic factor.
#[derive(Debug, Clone)]
pub struct BuiltInJudgement {
    /// The force, newtons; none where a dynamic factor is due and not stated.
    pub force_n: Option<Number>,
    /// The moment, N m; none as the force is.
    pub moment_n_m: Option<Number>,
}

/// What a pipe may carry in bending and what it is held against.
#[derive(Debug, Clone)]
pub struct PipeJudgement {
    /// Its name.
    pub name: String,
    /// The section; none if it is given by its stiffness alone.
    pub governing_part: Option<String>,
    /// Bending moment, N m.
    pub moment: Held,
    /// Shear, newtons.
    pub shear: Held,
    /// Torque, N m; without a demand where nothing twists it.
    pub torque: Held,
    /// Use by bending, shear and torque together, where torque counts with the others.
    pub together: Option<Number>,
    /// Thrust along it, newtons; without a demand where nothing presses it.
    pub thrust: Held,
    /// Use by bending and thrust together, where both are judged.
    pub pressed: Option<Number>,
    /// Pull along it, newtons; without a demand where nothing pulls it, and without a limit where no yield strength is known.
    pub pull: Held,
    /// Use by bending and pull together, where both are judged.
    pub pulled: Option<Number>,
    /// Its bays, in the order of the facts.
    pub bays: Vec<BayJudgement>,
    /// Its splices, in the order of the facts.
    pub splices: Vec<SpliceJudgement>,
    /// Its picks, in the order of the facts.
    pub picks: Vec<PickJudgement>,
    /// Its ends that are built in, in the order of the facts.
    pub built_in: Vec<BuiltInJudgement>,
    /// The greatest use of any limit of strength; sag is none. None where none is known.
    pub utilisation: Option<Number>,
    /// Which limit that is of, in words, as in `bending moment against what it may carry`.
    pub governs: Option<String>,
    /// Why it has none of its own; none if it has.
    pub unrated: Option<Unrated>,
}

/// What something is held against, and the limit of that.
#[derive(Debug, Clone, Default)]
pub struct Held {
    /// What it is held against; none if that is not known.
    pub demand: Option<Number>,
    /// What is allowed; none if that is not known.
    pub allowed: Option<Number>,
}

/// How far a bay of a pipe sags and may.
#[derive(Debug, Clone)]
pub struct BayJudgement {
    /// Where it is, in words.
    pub name: String,
    /// The span it counts as, metres.
    pub span_m: Number,
    /// The least span over deflection: of the practice, or of the maker where that is stricter.
    pub ratio: Number,
    /// The deflection, metres; the dynamic factor is not in it.
    pub deflection_m: Held,
}

/// What a splice may carry and what it is held against.
#[derive(Debug, Clone)]
pub struct SpliceJudgement {
    /// Its name.
    pub name: String,
    /// Bending moment, N m.
    pub moment: Held,
    /// Shear, newtons.
    pub shear: Held,
}

/// What the part at a pick of a pipe may carry and what it is held against.
#[derive(Debug, Clone)]
pub struct PickJudgement {
    /// Its name.
    pub name: String,
    /// What the part there may carry, newtons; none if there is no part or it is unrated.
    pub working_load_n: Option<Number>,
    /// What it breaks at, newtons.
    pub breaking_n: Option<Number>,
    /// What its maker states it may carry, newtons.
    pub rating_n: Option<Number>,
    /// The part.
    pub governing_part: Option<String>,
    /// What it is held against, newtons.
    pub demand_n: Option<Number>,
    /// Demand over working load.
    pub utilisation: Option<Number>,
    /// Why it has no working load; none if it has one or there is no part.
    pub unrated: Option<Unrated>,
}
