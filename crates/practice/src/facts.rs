//! What the rules are told about a rig: plain facts, no documents and no mechanics.

use crate::practice::Practice;
use parts::{Bending, Makeup, Part};
use std::sync::Arc;
use working::Number;

/// Everything the rules are told about one rig.
#[derive(Debug, Clone)]
pub struct Facts {
    /// The practice in force.
    pub practice: Practice,
    /// The day on which the verdict is asked for, as in `2026-03-14`; none where nobody said.
    pub today: Option<String>,
    /// The loads.
    pub loads: Vec<LoadFacts>,
    /// The lines.
    pub lines: Vec<LineFacts>,
    /// The points.
    pub points: Vec<PointFacts>,
    /// The groups of points on one beam.
    pub groups: Vec<GroupFacts>,
    /// The junctions.
    pub junctions: Vec<JunctionFacts>,
    /// The pipes: loads that bend.
    pub pipes: Vec<PipeFacts>,
    /// What the shop allows against a rule, in writing.
    pub allowances: Vec<ShopAllowance>,
    /// What falls, as a path into the rig document, and why; none if the rig hangs.
    pub falls: Option<(String, String)>,
    /// The wind of this case, or of each case that it combines; empty without wind.
    pub winds: Vec<WindFacts>,
    /// What the mechanics left out because they did not find it, in words.
    pub simplified: Vec<String>,
    /// The temperature of the lines, kelvin; none where nobody states it.
    pub temperature_k: Option<f64>,
    /// Of each load that no lengths found put at its trim the pick furthest from its height, as `load.pick`, and how much too high it
    /// is, metres.
    pub out_of_trim_m: Vec<(String, f64)>,
}

/// A wind on the rig.
#[derive(Debug, Clone)]
pub struct WindFacts {
    /// The case that states it.
    pub case: String,
    /// Its velocity pressure, pascals.
    pub pressure_pa: Number,
    /// The push on each face that a load states, newtons.
    pub pushes_n: Vec<Number>,
    /// The loads that state no face, so that no wind acts on them.
    pub without_faces: Vec<String>,
}

/// Who may be below.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Under {
    /// Nobody, and it is kept so.
    Nobody,
    /// People who work there and know of the load.
    Crew,
    /// Anybody.
    Public,
}

/// What a load does while it hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Service {
    /// It hangs still.
    Still,
    /// It is moved while it hangs.
    Moving,
    /// It is a person or carries one: out of scope.
    People,
}

/// Where a weight comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WeightFrom {
    /// It was weighed.
    Weighed,
    /// Its maker states it.
    Maker,
    /// Somebody estimated it.
    Estimated,
}

/// What a line is there for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// It carries.
    Carries,
    /// It is meant to be slack and to catch.
    Secondary,
    /// It ties down.
    TiesDown,
    /// It is tensioned between two places, flat, and things hang along it.
    Spans,
}

/// A load.
#[derive(Debug, Clone)]
pub struct LoadFacts {
    /// Its name.
    pub name: String,
    /// Its weight with all items and the margin, newtons.
    pub weight_n: Number,
    /// Where the weight comes from; none where nobody said.
    pub weight_from: Option<WeightFrom>,
    /// The margin added to the weight; none where nobody said.
    pub margin: Option<Number>,
    /// Who may be below.
    pub under: Under,
    /// What it does.
    pub service: Service,
    /// The dynamic factor on its forces; none where nobody said.
    pub dynamic: Option<Number>,
    /// Height of its lowest known place above the floor at z = 0, metres.
    pub height_m: f64,
    /// Height of its highest known place, its centre of gravity among them, above the floor at z = 0, metres.
    pub top_m: f64,
    /// How far it may move if something lets go, metres; none where nobody said.
    pub may_move_m: Option<f64>,
    /// How it answers to being disturbed; empty where it hangs well below all that holds it, so that it comes back by
    /// itself.
    pub disturbances: Vec<Disturbance>,
    /// The widest angle between two lines that carry at one of its picks, radians, with the pick; none with fewer than
    /// two on each.
    pub included: Option<(String, f64)>,
    /// How far its origin ends up from its trim, metres; none if it does not hang at all.
    pub moved_m: Option<f64>,
    /// How far it ends up turned from its trim, radians.
    pub turned_rad: Option<f64>,
    /// Why nothing holds it; none if it hangs.
    pub falls: Option<String>,
    /// Whether the pose as drawn balances but would roll over.
    pub unstable_as_drawn: bool,
    /// How it may still turn or swing, in words.
    pub free_motions: Vec<String>,
    /// Number of lines attached to it.
    pub line_count: usize,
    /// Whether more lines hold it than statics needs, so that sharing hangs on exact lengths.
    pub shares_by_length: bool,
    /// Whether the greatest share of each of its lines was found, whatever the exact lengths.
    pub shares_bounded: bool,
    /// How far its own upright axis ends up from the vertical, radians; none if it does not hang at all.
    pub tilt_rad: Option<f64>,
    /// Where it is without stated forces, each away by itself and all of them.
    pub forces_away: Vec<ForceAway>,
    /// What happens to it without secondary lines, which are meant to be slack; none if no line that bears on it is one.
    pub without_secondary: Option<Trial>,
    /// What happens without lines that secondary lines make up for, which are named.
    pub without_carrying: Vec<(Vec<String>, Trial)>,
    /// The greatest acceleration of its starts and stops, m/s²; none where nobody said.
    pub accelerates_m_per_s2: Option<Number>,
    /// What happens when lines that carry it let go and secondary lines catch it: all at once, and each alone; empty if no secondary line
    /// is fastened to it, or nobody asked.
    pub caught: Vec<Catch>,
    /// What happens when an adjustable grip of a line that bears on it slips by its tail and catches again; empty where nobody asked.
    pub slips: Vec<Slip>,
    /// What happens to it without adjustable grips; empty if no line that bears on it has one.
    pub without_grips: Vec<GripTrial>,
}

/// How a load answers to being disturbed, in the direction in which it answers most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disturbance {
    /// What disturbs it.
    pub by: Disturbed,
    /// How far it tilts it: the greatest change of elevation of a known place seen from its centre of gravity, radians, so
    /// that a pipe may roll about its own axis. Infinite if nothing then holds it.
    pub tilts_rad: f64,
}

/// What disturbs a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Disturbed {
    /// A push sideways, at the centre of all that bears down on it.
    Push {
        /// As a share of all that bears down on it.
        share: f64,
    },
    /// An error sideways in the place of its centre of gravity, of a hundredth of its size that way, 5 mm at the least.
    Shift,
}

/// What happens to a load with some lines with adjustable grips gone.
#[derive(Debug, Clone)]
pub struct GripTrial {
    /// The lines that are gone.
    pub gone: Vec<String>,
    /// What happens to the load.
    pub outcome: Trial,
    /// What happens to it with its secondary lines gone as well, which are there to catch and make up for nothing; only the rest of the load
    /// itself is told. None if no secondary line is left that bears on it.
    pub without_secondary: Option<Trial>,
    /// What happens on the way there; none where only the rest was looked at.
    pub on_the_way: Option<OnTheWay>,
}

/// What happens in time after something lets go, at the worst of the damping and stiffness that lines may have.
#[derive(Debug, Clone)]
pub struct OnTheWay {
    /// How far the load moves at most, at the place of it that moves most, metres.
    pub moves_m: f64,
    /// How far its centre of mass drops at most, metres.
    pub drops_m: f64,
    /// How far it is tilted at most, radians.
    pub tilt_rad: f64,
    /// The least height of any known place of it above z = 0, metres.
    pub lowest_m: f64,
    /// What lines, junctions, points and beams get at their peaks.
    pub peaks: Vec<PeakFacts>,
    /// The pipes that are still held, as they are bent on the way: without a dynamic factor, since what their motion brings is in it.
    pub pipes: Vec<PipeFacts>,
    /// What parts, as paths into the rig document, in turn.
    pub parts: Vec<String>,
    /// Why nothing holds the load in the end; none if it is held.
    pub falls: Option<String>,
    /// Why it was not found; then nothing else is known.
    pub not_found: Option<String>,
    /// In which way it was at its worst, in words.
    pub at_worst: String,
    /// Whether such motion is chaotic: two runs agree in its beginning only, and what comes later is one of many things that may come.
    pub is_chaotic: bool,
}

/// An adjustable grip that slips by its tail and catches again.
#[derive(Debug, Clone)]
pub struct Slip {
    /// The line.
    pub line: String,
    /// By how much, metres.
    pub tail_m: f64,
    /// Whether that is the least that its maker asks.
    pub is_least: bool,
    /// What happens then.
    pub on_the_way: OnTheWay,
}

/// How secondary lines catch a load whose other lines let go.
#[derive(Debug, Clone)]
pub struct Catch {
    /// What lets go: lines by name, or the path of a point or a junction.
    pub gone: Vec<String>,
    /// The load that the secondary lines are there for; another one may be moved by it.
    pub of: String,
    /// The secondary lines.
    pub by: Vec<String>,
    /// Those of them that pull on the way.
    pub pulling: Vec<String>,
    /// How far the load falls before any of them pulls, metres.
    pub fall_m: Number,
    /// The stiffness of the one that gets most, N/m.
    pub stiffness_n_per_m: Number,
    /// The same line.
    pub hardest: String,
    /// The energy that the fall brings until the load is lowest, joules.
    pub energy_j: Number,
    /// What happens in time.
    pub on_the_way: OnTheWay,
}

/// What something gets at a peak.
#[derive(Debug, Clone)]
pub struct PeakFacts {
    /// Whose it is.
    pub of: PeakOf,
    /// Its name.
    pub name: String,
    /// The greatest force, newtons.
    pub peak_n: Number,
    /// When, seconds from the moment of letting go; none for a sum of peaks, which need not come at one moment.
    pub at_s: Option<f64>,
}

/// Whose a peak is, and by that what it is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PeakOf {
    /// A line: its working load.
    Line,
    /// A junction: the working load of its part.
    Junction,
    /// A pick of a pipe, as in `batten.north`: the working load of the part there.
    PartAtPick,
    /// A point: the working load of its part.
    PartAtPoint,
    /// A point: what the building allows down.
    DownAtPoint,
    /// A point: what the building allows sideways.
    SideAtPoint,
    /// A point: what it gets upward, which no allowance down or sideways covers.
    UpAtPoint,
    /// Points on one beam together: what the building allows down.
    DownOnGroup,
    /// Points on one beam together: what the building allows sideways.
    SideOnGroup,
}

impl Remains {
    /// How far it moves, on the way there or at rest, metres.
    pub(crate) fn furthest_m(&self) -> f64 {
        self.moves_m
            .map_or(self.moved_m, |moves_m| moves_m.max(self.moved_m))
    }
}

/// What happens to a load in a trial.
#[derive(Debug, Clone)]
pub enum Trial {
    /// It comes to rest again.
    Hangs(Box<Remains>),
    /// It no longer hangs; the text says why.
    Falls(String),
    /// What becomes of it was not found; the text says why. It counts as not hanging.
    NotFound(String),
}

/// How a load hangs once some lines are gone, and what everything that remains of the rig then gets.
#[derive(Debug, Clone)]
pub struct Remains {
    /// How far it has moved, at the pick or the centre of gravity that moved most, metres.
    pub moved_m: f64,
    /// How far it moves on the way there, metres; none where that was not followed.
    pub moves_m: Option<f64>,
    /// How far its own upright axis then is from the vertical, radians.
    pub tilt_rad: f64,
    /// How far it has tilted from where it hung, about a level axis, radians.
    pub turned_rad: f64,
    /// How it then answers to being disturbed.
    pub disturbances: Vec<Disturbance>,
    /// The lines that were slack before and hold it then: it drops on them.
    pub caught_by: Vec<String>,
    /// For each load of the rig, what [`LoadFacts::included`] then is.
    pub included: Vec<Option<(String, f64)>>,
    /// Height of its lowest known place above the floor at z = 0, metres.
    pub height_m: f64,
    /// The lines that remain.
    pub lines: Vec<LineFacts>,
    /// The points.
    pub points: Vec<PointFacts>,
    /// The groups of points on one beam.
    pub groups: Vec<GroupFacts>,
    /// The junctions.
    pub junctions: Vec<JunctionFacts>,
    /// The pipes.
    pub pipes: Vec<PipeFacts>,
}

impl Facts {
    /// Gives the facts of the rig as it is in a trial.
    pub(crate) fn in_trial(&self, remains: &Remains) -> Facts {
        let loads = self.loads.iter().zip(&remains.included);
        Facts {
            loads: loads
                .map(|(load, included)| LoadFacts {
                    included: included.clone(),
                    ..load.clone()
                })
                .collect(),
            lines: remains.lines.clone(),
            points: remains.points.clone(),
            groups: remains.groups.clone(),
            junctions: remains.junctions.clone(),
            pipes: remains.pipes.clone(),
            ..self.clone()
        }
    }
}

/// A line.
#[expect(clippy::struct_excessive_bools, reason = "facts that do not hang together")]
#[derive(Debug, Clone)]
pub struct LineFacts {
    /// Its name.
    pub name: String,
    /// What it is made of; none if it is given by stiffness alone.
    pub makeup: Option<Arc<Makeup>>,
    /// The loads that bear on it.
    pub loads: Vec<String>,
    /// Who may be below any of these loads.
    pub under: Under,
    /// What these loads do; moving and people win over still.
    pub service: Service,
    /// The greatest dynamic factor of these loads; none where nobody said.
    pub dynamic: Option<Number>,
    /// The tension found with all lines at their stated lengths, newtons; none if no equilibrium was found.
    pub tension_n: Option<Number>,
    /// The greatest tension that inexact lengths, slack secondary lines and absent helping forces can bring, newtons;
    /// none where they bring no more than stated above, or where it is not bounded.
    pub worst_share_n: Option<Number>,
    /// Whether that is with lengths off by no more than their tolerances; else lengths may be off by anything.
    pub within_tolerances: bool,
    /// Whether its tension is set by adjustment alone, not by weight: another line pulls against it, as tie-downs and
    /// opposed guys do, so no share of it is greatest.
    pub set_by_adjustment: bool,
    /// The least tension at an end of it and the greatest along it, as it slips over sheaves with friction one way and the other,
    /// newtons; none where it runs over none.
    pub slip_range_n: Option<[f64; 2]>,
    /// Whether it is slack.
    pub slack: bool,
    /// What it is there for.
    pub role: Role,
    /// Whether it pulls upward on a load or junction.
    pub lifts: bool,
    /// Its least angle from the horizontal where it leads to a load or a junction, radians.
    pub from_horizontal_rad: f64,
    /// Where its upper and lower end are fastened.
    pub ends: [EndAt; 2],
    /// Where the rope bends over something on its way.
    pub bends: Vec<Bend>,
}

/// Where an end of a line is fastened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EndAt {
    /// At a point of the building.
    Point(String),
    /// At a junction.
    Junction(String),
    /// At a pick of a load: load and pick.
    Pick(String, String),
}

/// A bend of the rope over something it runs over freely.
#[derive(Debug, Clone)]
pub struct Bend {
    /// What it bends over.
    pub over: String,
    /// The diameter it bends over, metres; none where nobody said.
    pub diameter_m: Option<Number>,
    /// The angle through which the rope is deflected, radians.
    pub deflection_rad: f64,
}

/// A point of the building.
#[derive(Debug, Clone)]
pub struct PointFacts {
    /// Its name.
    pub name: String,
    /// The force down on the building, newtons; negative if the rig lifts it. None if no equilibrium was found.
    pub down_n: Option<Number>,
    /// The force sideways on the building, newtons.
    pub side_n: Option<Number>,
    /// The size of the force, newtons.
    pub force_n: Option<Number>,
    /// The greatest force down, sideways and in all that inexact lengths and absent helping forces can bring, newtons;
    /// none where they bring no more than stated above.
    pub worst_down_n: Option<Number>,
    /// As `worst_down_n`, up; none where it is not pulled up.
    pub worst_up_n: Option<Number>,
    /// As `worst_down_n`, sideways.
    pub worst_side_n: Option<Number>,
    /// As `worst_down_n`, the size of the force.
    pub worst_force_n: Option<Number>,
    /// What the building allows; none where nobody said.
    pub allows: Option<Allowance>,
    /// The part fixed there.
    pub part: Option<Arc<Part>>,
    /// The widest angle from the part's own axis, of the whole pull or of any one line on it, radians; none where the
    /// axis is not stated.
    pub off_axis_rad: Option<f64>,
    /// The widest angle out of the plane of the part's eye, of the whole pull or of any one line on it, radians; none
    /// where the plane is not stated.
    pub out_of_plane_rad: Option<f64>,
    /// The widest angle between two lines that pull on it, radians; none with fewer than two.
    pub included_rad: Option<f64>,
    /// Who may be below the loads that hang from it.
    pub under: Under,
    /// Whether a load that hangs from it moves.
    pub service: Service,
    /// The greatest dynamic factor of these loads.
    pub dynamic: Option<Number>,
}

/// What a building allows at a point.
#[derive(Debug, Clone)]
pub struct Allowance {
    /// The force down, newtons.
    pub down_n: Option<Number>,
    /// The force sideways, newtons.
    pub side_n: Option<Number>,
    /// Who says so.
    pub by: Option<String>,
    /// In which document.
    pub document: Option<String>,
}

/// Points on one beam, summed.
#[derive(Debug, Clone)]
pub struct GroupFacts {
    /// Its name.
    pub name: String,
    /// The points in it.
    pub points: Vec<String>,
    /// The sum of the forces down, newtons.
    pub down_n: Option<Number>,
    /// The size of the sum of the forces sideways, newtons.
    pub side_n: Option<Number>,
    /// As for a point: the greatest force down on all of its points together.
    pub worst_down_n: Option<Number>,
    /// As `worst_down_n`, up; none where it is not pulled up.
    pub worst_up_n: Option<Number>,
    /// As `worst_down_n`, sideways.
    pub worst_side_n: Option<Number>,
    /// What the beam allows; none where nobody said.
    pub allows: Option<Allowance>,
}

/// A junction.
#[derive(Debug, Clone)]
pub struct JunctionFacts {
    /// Its name.
    pub name: String,
    /// The part that it is.
    pub part: Option<Arc<Part>>,
    /// Number of pulls on it of lines that carry; a line that runs over it pulls twice.
    pub pulls: usize,
    /// The greatest tension of a line on it, newtons, which is what the part is held against.
    pub greatest_n: Option<Number>,
    /// The widest angle between two lines that carry, measured on the same side of it (a bridle's included angle),
    /// radians; none with fewer than two lower or upper legs.
    pub included_rad: Option<f64>,
    /// Who may be below the loads that hang from it.
    pub under: Under,
    /// What these loads do.
    pub service: Service,
    /// The greatest dynamic factor of these loads.
    pub dynamic: Option<Number>,
}

/// A pipe: a load that bends, such as a batten, a pipe or a truss. What it does as a load is in [`LoadFacts`].
#[derive(Debug, Clone)]
pub struct PipeFacts {
    /// Its name.
    pub name: String,
    /// Its section; none if it is given by its stiffness alone.
    pub section: Option<Arc<Part>>,
    /// What the rig states that it may carry; counts only where it has no section.
    pub stated: Option<Bending>,
    /// The loads that it is or carries.
    pub loads: Vec<String>,
    /// Who may be below.
    pub under: Under,
    /// What it does; moving and people win over still.
    pub service: Service,
    /// The greatest dynamic factor of these loads; none where nobody said.
    pub dynamic: Option<Number>,
    /// The greatest bending moment about any axis across it, N m; none if no equilibrium was found.
    pub moment_n_m: Option<Along>,
    /// The greatest shear across it, newtons; none if no equilibrium was found.
    pub shear_n: Option<Along>,
    /// The greatest torque in it, N m; none if no equilibrium was found, or nothing twists it.
    pub torque_n_m: Option<Along>,
    /// What presses it along its length; none if no equilibrium was found, or nothing presses it.
    pub thrust: Option<ThrustFacts>,
    /// The greatest pull along it, newtons; none if no equilibrium was found, or nothing pulls it.
    pub pull_n: Option<Along>,
    /// Its bays: what lies between two neighbouring picks, and its overhangs.
    pub bays: Vec<BayFacts>,
    /// Where it is joined.
    pub splices: Vec<SpliceFacts>,
    /// What the building gets where an end is built in; none if no equilibrium was found.
    pub built_in: Vec<BuiltInFacts>,
    /// Where lines hold it.
    pub picks: Vec<PickFacts>,
    /// What it carries at single places.
    pub carried: Vec<CarriedFacts>,
}

/// Where a load is without a stated force.
#[derive(Debug, Clone)]
pub struct ForceAway {
    /// Which force, or which of several.
    pub without: String,
    /// Why it then falls; none if it hangs.
    pub falls: Option<String>,
    /// How far its middle then is from its trim, metres.
    pub moved_m: f64,
    /// Its tilt then, as `tilt_rad` of the load.
    pub tilt_rad: f64,
}

/// A size of one kind where it is greatest along a pipe, never negative.
#[derive(Debug, Clone)]
pub struct Along {
    /// The greatest at the stated lengths.
    pub greatest: Number,
    /// Where that is, metres from the start of the pipe.
    pub at_m: f64,
    /// The greatest anywhere that inexact lengths, slack secondary lines and absent helping forces can bring; none where
    /// they bring no more, or where it is not bounded.
    pub worst: Option<Number>,
}

/// What presses a pipe along its length.
#[derive(Debug, Clone)]
pub struct ThrustFacts {
    /// The thrust where it is greatest, newtons.
    pub along: Along,
    /// The length that is pressed, metres.
    pub length_m: Number,
    /// How many times that length counts: once between two places that are held, twice where one end is built in and the
    /// other is not.
    pub times: Number,
    /// Bending stiffness EI about its weaker axis, N m².
    pub stiffness_n_m2: Number,
}

/// A bay of a pipe.
#[derive(Debug, Clone)]
pub struct BayFacts {
    /// Where it is, in words, such as ``between `a` and `b` `` or ``beyond `c` ``.
    pub name: String,
    /// Whether it is beyond the last pick, so that one end of it is free.
    pub overhang: bool,
    /// Its length, metres: of an overhang from the pick to the free end.
    pub length_m: Number,
    /// How far the axis is at most from the straight line through the picks at both ends, or for an overhang through
    /// the two picks nearest to it, as [`quantity::Kind::Stretch`], metres; none if no equilibrium was found.
    pub deflection_m: Option<Number>,
    /// Where that is, metres from the start of the pipe.
    pub at_m: f64,
}

/// An end of a pipe that is built into the building.
#[derive(Debug, Clone)]
pub struct BuiltInFacts {
    /// Which, `start` or `end`.
    pub end: String,
    /// The size of the force on the building, newtons.
    pub force_n: Number,
    /// The size of the moment on the building, bending and torque together, N m.
    pub moment_n_m: Number,
    /// How much of the force is down, upward below zero, newtons.
    pub down_n: f64,
    /// How much of it is sideways, newtons.
    pub side_n: f64,
    /// The greatest force that inexact lengths can bring, newtons; none where that is no more.
    pub worst_force_n: Option<Number>,
    /// The greatest moment that they can bring, N m; none where that is no more.
    pub worst_moment_n_m: Option<Number>,
}

/// A place where a pipe is joined.
#[derive(Debug, Clone)]
pub struct SpliceFacts {
    /// Its name.
    pub name: String,
    /// Where it is, metres from the start of the pipe.
    pub at_m: f64,
    /// The bending moment there, N m; none if no equilibrium was found.
    pub moment_n_m: Option<Number>,
    /// The shear there, newtons; none if no equilibrium was found.
    pub shear_n: Option<Number>,
    /// The pull along the pipe there, newtons; none if no equilibrium was found.
    pub pull_n: Option<Number>,
    /// What it may carry; none where nobody said.
    pub allows: Option<Bending>,
}

/// A place where lines hold a pipe.
#[derive(Debug, Clone)]
pub struct PickFacts {
    /// Its name.
    pub name: String,
    /// Where it is, metres from the start of the pipe.
    pub at_m: f64,
    /// The size of the force of all its lines on the pipe, newtons; none if no equilibrium was found.
    pub reaction_n: Option<Number>,
    /// The greatest of it that inexact lengths can bring; none where they bring no more, or where it is not bounded.
    pub worst_reaction_n: Option<Number>,
    /// Whether it is meant to carry and every line there that is, is slack.
    pub slack: bool,
    /// How far it is from the nearest panel point, metres along the pipe; none where there are no panel points.
    pub from_panel_m: Option<f64>,
    /// What clamps its lines to the pipe; none where nobody said.
    pub part: Option<Arc<Part>>,
}

/// Something that a pipe carries at one place.
#[derive(Debug, Clone)]
pub struct CarriedFacts {
    /// What it is.
    pub what: String,
    /// Where it is, metres from the start of the pipe.
    pub at_m: f64,
    /// How far it is from the nearest panel point, metres along the pipe; none where there are no panel points.
    pub from_panel_m: Option<f64>,
}

/// What a shop allows against the rule on adjustable grips as what holds a load, in writing.
#[derive(Debug, Clone)]
pub struct ShopAllowance {
    /// Its name.
    pub name: String,
    /// The lines it is for.
    pub lines: Vec<String>,
    /// The greatest weight it covers, newtons.
    pub weight_n: f64,
    /// The greatest height it covers, metres.
    pub height_m: f64,
    /// Who may at most be below.
    pub under: Under,
    /// Who approved it.
    pub approved_by: String,
    /// Why.
    pub why: String,
    /// Until which day, as in `2026-03-14`.
    pub until: String,
}
