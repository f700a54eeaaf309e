//! A rig made ready to be followed, at each stiffness that its lines may have.
//!
//! Conventions: SI; a stiffness is a share of those stated.
//! Assumes: all lines are stiffer or softer together; lengths stay as cut.
//! Valid for: plain rigs that hang.
//! Source: a fifth either way as in a spread (our judgement); damping from docs/theory/motion.md.
//! Checked by: tests/main/in_time.rs.

use crate::defaults::Defaults;
use crate::document::Rig;
use crate::forces_away::away;
use crate::found::{Found, find_from};
use crate::geometry::vector;
use crate::letgo::masses::{DIRECTIONS, OFF, masses, off_centre};
use crate::model::{LoadModel, Model};
use motion::{Flexible, Masses, Pull, Weakness, bounce_rad_per_s, flexible};
use practice::{Facts, Measured};
use quantity::{Kind, Style};
use statics::{FrameId, LineId, Solution, Vector3};

/// The ratio of damping that is taken where none is asked for: see docs/theory/motion.md.
pub(crate) const DAMPING: f64 = 0.003;
/// The most damping that is tried.
const MOST_DAMPING: f64 = 0.03;
/// How far the stiffness of rope may be off, as a share of it.
pub(crate) const STIFFNESS: f64 = 0.20;

/// Where what pulls in the end has not pulled yet, a motion is followed for so many times as long.
const LONGER: f64 = 4.0;

/// A rig at rest at one stiffness.
#[derive(Debug)]
pub(crate) struct AtStiffness {
    pub(crate) stiffness: f64,
    /// The stated forces that are away, by name.
    pub(crate) away: Option<String>,
    /// Whether centres of gravity are off.
    pub(crate) is_off: bool,
    pub(crate) model: Model,
    pub(crate) rest: Solution,
    pub(crate) bounce_rad_per_s: Vec<Option<f64>>,
    /// How pipes bend as they move.
    pub(crate) flexible: Vec<Flexible>,
    /// What each line pulls, newtons.
    pub(crate) pulls_n: Vec<f64>,
}

/// A way in which a let-go may go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Way {
    /// Which of the stiffnesses.
    pub(crate) at: usize,
    /// The ratio of damping.
    pub(crate) ratio: f64,
    /// Whether lines with adjustable grips are gone as well.
    pub(crate) without_grips: bool,
    /// How far a grip slips that does not slip by all of its tail, metres.
    pub(crate) slips_m: Option<f64>,
    /// Whether it is followed for long, as loads on one another come to swing slowly.
    pub(crate) is_long: bool,
}

/// What may part on the way.
#[derive(Debug, Clone)]
pub(crate) struct MayPart {
    /// Its path in the rig document.
    pub(crate) path: String,
    /// The lines of which any one pulls on it; none for a point.
    pub(crate) lines: Vec<LineId>,
    /// The point that it is.
    pub(crate) point: Option<FrameId>,
    pub(crate) breaking_n: f64,
    pub(crate) takes: Vec<LineId>,
}

/// A rig that hangs, with what is known of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Standing<'a> {
    pub(crate) rig: &'a Rig,
    pub(crate) model: &'a Model,
    pub(crate) rest: &'a Solution,
    pub(crate) facts: &'a Facts,
    pub(crate) measured: &'a Measured,
}

/// Which damping and stiffness are tried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Ways {
    /// The range of both.
    All,
    /// One ratio of damping at the stated stiffness.
    One(f64),
}

/// Everything that let-gos of a rig have in common.
#[derive(Debug)]
pub(crate) struct Scenery<'a> {
    pub(crate) plain: Standing<'a>,
    pub(crate) masses: Masses,
    pub(crate) at: Vec<AtStiffness>,
    /// The ways that are tried with grips as they are.
    pub(crate) ways: Vec<Way>,
    /// The ways with centres of gravity off, one for each direction; none where one damping is asked for.
    pub(crate) off: Vec<Way>,
    pub(crate) may_part: Vec<MayPart>,
    /// The known places of all loads: the load, the frame and where on it.
    pub(crate) places: Vec<(usize, FrameId, Vector3<f64>)>,
    pub(crate) grips: Vec<usize>,
    /// The pipes that are followed as stiff ones, by name.
    pub(crate) stiff_pipes: Vec<&'a str>,
    /// For how long motions are followed.
    pub(crate) seconds: f64,
    /// For how long at the most, where what pulls in the end has not pulled yet.
    pub(crate) most_s: f64,
}

impl<'a> Scenery<'a> {
    /// Makes a rig that hangs ready. Followed for one swing of the longest pendulum if no time is asked for.
    pub(crate) fn new(
        plain: Standing<'a>,
        (ways, seconds): (Ways, Option<f64>),
        defaults: &mut Defaults,
    ) -> Result<Self, statics::StaticsError> {
        let masses = masses(plain.rig, plain.model, defaults);
        let follows_s = seconds.unwrap_or_else(|| seconds_of(plain.model, plain.rest));
        let at = hangs(&plain, &masses, ways)?;
        // Who asks for a time gets that.
        let is_joined = plain.facts.lines.iter().any(|line| line.loads.len() > 1) && seconds.is_none();
        let off = off_ways(&at);
        let ways = all_ways(&at, ways, is_joined);
        Ok(Scenery {
            stiff_pipes: stiff_pipes(plain.model, &at),
            off,
            plain,
            masses,
            at,
            ways,
            may_part: may_part(&plain),
            places: places(plain.rig, plain.model),
            grips: crate::letgo::event::with_grips(plain.model),
            seconds: follows_s,
            most_s: seconds.unwrap_or(LONGER * follows_s),
        })
    }

    /// Says which way this is, in words.
    pub(crate) fn in_words(&self, way: &Way) -> String {
        let damping = match way.ratio {
            0.0 => "without damping".to_string(),
            ratio => format!("with damping of {:.1} % of critical", 100.0 * ratio),
        };
        let stiffness = match self.at[way.at].stiffness {
            1.0 => String::new(),
            share => format!(", at {:.0} % of the stated stiffness", 100.0 * share),
        };
        let grips = if way.without_grips {
            ", other adjustable grips gone as well"
        } else {
            ""
        };
        let away = self.at[way.at].away.as_ref();
        let away = away
            .map(|names| format!(", without the stated {names}"))
            .unwrap_or_default();
        let slips = way.slips_m.map(|slips_m| {
            let by = Kind::Length.print(slips_m, Style::both());
            format!(", slipping by no more than {by}")
        });
        let off = if self.at[way.at].is_off {
            ", with centres of gravity a little off"
        } else {
            ""
        };
        let long = if way.is_long { ", followed for longer" } else { "" };
        format!(
            "{damping}{stiffness}{away}{off}{grips}{}{long}",
            slips.unwrap_or_default()
        )
    }
}

/// Lists the pipes that are followed as stiff ones in some way, by name.
fn stiff_pipes<'a>(model: &'a Model, at: &[AtStiffness]) -> Vec<&'a str> {
    let bends = |load: &LoadModel| {
        let is_in = |pipe: &Flexible| load.frames().iter().any(|frame| pipe.has(*frame));
        at.iter().all(|at| at.flexible.iter().any(is_in))
    };
    let stiff = model
        .loads
        .iter()
        .filter(|(_, load)| load.pipe.is_some() && !bends(load));
    stiff.map(|(name, _)| name.as_str()).collect()
}

/// Brings the rig to rest in every way in which it is tried, as stated first.
fn hangs(
    plain: &Standing<'_>,
    masses: &Masses,
    ways: Ways,
) -> Result<Vec<AtStiffness>, statics::StaticsError> {
    let (model, rest) = (plain.model, plain.rest);
    let mut at: Vec<AtStiffness> = at_stiffness(model, rest, masses, 1.0)?.into_iter().collect();
    if ways != Ways::All {
        return Ok(at);
    }
    for stiffness in [1.0 - STIFFNESS, 1.0 + STIFFNESS] {
        at.extend(at_stiffness(model, rest, masses, stiffness)?);
    }
    for away in away(model) {
        at.extend(at_without(model, rest, masses, away)?);
    }
    for direction in 0..DIRECTIONS {
        at.extend(at_off((model, rest, masses), direction)?);
    }
    Ok(at)
}

/// Lists the ways in which a let-go is tried with grips as they are; `is_joined` says that loads hang on one another.
fn all_ways(at: &[AtStiffness], ways: Ways, is_joined: bool) -> Vec<Way> {
    let way = |at: usize, ratio: f64| Way {
        at,
        ratio,
        without_grips: false,
        slips_m: None,
        is_long: false,
    };
    if let Ways::One(ratio) = ways {
        return vec![way(0, ratio)];
    }
    let centred = || (0..at.len()).filter(|place| !at[*place].is_off);
    let long = Way {
        is_long: true,
        ..way(0, DAMPING)
    };
    // Much damping is told as stated alone: what is much softer or stiffer pulls harder with little.
    centred()
        .map(|at| way(at, DAMPING))
        .chain([way(0, MOST_DAMPING)])
        .chain(centred().map(|at| way(at, 0.0)))
        .chain(is_joined.then_some(long))
        .collect()
}

/// Lists the ways with centres of gravity off, without damping.
fn off_ways(at: &[AtStiffness]) -> Vec<Way> {
    let off = (0..at.len()).filter(|place| at[*place].is_off);
    off.map(|at| Way {
        at,
        ratio: 0.0,
        without_grips: false,
        slips_m: None,
        is_long: false,
    })
    .collect()
}

/// Brings the rig to rest at another stiffness; none if it does not hang then.
fn at_stiffness(
    model: &Model,
    rest: &Solution,
    masses: &Masses,
    stiffness: f64,
) -> Result<Option<AtStiffness>, statics::StaticsError> {
    let mut model = model.clone();
    for line in &mut model.parameters.lines {
        line.stiffness_n *= stiffness;
    }
    let rest = if stiffness == 1.0 {
        rest.clone()
    } else {
        match find_from(&model, Some(rest)) {
            Found::Hangs(rest) => *rest,
            Found::Falls(_) => return Ok(None),
        }
    };
    Ok(Some(AtStiffness::new((stiffness, None), model, rest, masses)?))
}

/// Brings the rig to rest with the centre of gravity of every load a little off in a direction; none if it does not hang then.
fn at_off(
    (model, rest, masses): (&Model, &Solution, &Masses),
    direction: usize,
) -> Result<Option<AtStiffness>, statics::StaticsError> {
    let mut model = model.clone();
    let mut parameters = model.parameters.clone();
    off_centre(&model, masses, (OFF, direction), &mut parameters);
    model.parameters = parameters;
    Ok(match find_from(&model, Some(rest)) {
        Found::Hangs(rest) => {
            let at = AtStiffness::new((1.0, None), model, *rest, masses)?;
            Some(AtStiffness { is_off: true, ..at })
        }
        Found::Falls(_) => None,
    })
}

/// Brings the rig to rest without some stated forces, told by name; none if it does not hang then, which is told of the rig at rest.
fn at_without(
    model: &Model,
    rest: &Solution,
    masses: &Masses,
    (names, forces): (String, Vec<usize>),
) -> Result<Option<AtStiffness>, statics::StaticsError> {
    let mut model = model.clone();
    for force in forces {
        model.parameters.forces[force].force_n = Vector3::zeros();
    }
    match find_from(&model, Some(rest)) {
        Found::Hangs(rest) => Ok(Some(AtStiffness::new((1.0, Some(names)), model, *rest, masses)?)),
        Found::Falls(_) => Ok(None),
    }
}

impl AtStiffness {
    fn new(
        (stiffness, away): (f64, Option<String>),
        model: Model,
        rest: Solution,
        masses: &Masses,
    ) -> Result<Self, statics::StaticsError> {
        let bounce_rad_per_s = bounce_rad_per_s(&model.topology, &model.parameters, masses, &rest)?;
        Ok(AtStiffness {
            stiffness,
            away,
            is_off: false,
            flexible: flexible(&model.topology, &model.parameters, masses, &rest.state),
            pulls_n: rest.lines.iter().map(|line| line.tension_n).collect(),
            model,
            rest,
            bounce_rad_per_s,
        })
    }
}

/// Gives for how long a motion is followed: one swing of the longest pendulum that hangs there, seconds.
fn seconds_of(model: &Model, rest: &Solution) -> f64 {
    let top = model
        .points
        .values()
        .map(|frame| model.parameters.fixed_at_m[frame.index()].z);
    let low = model
        .loads
        .values()
        .map(|load| model.centre_at_m(rest, load.frame).z);
    let height_m = top.fold(f64::NEG_INFINITY, f64::max) - low.fold(f64::INFINITY, f64::min);
    let period_s = std::f64::consts::TAU * (height_m.max(0.0) / motion::GRAVITY_M_PER_S2).sqrt();
    period_s.clamp(2.0, 12.0)
}

/// Lists what may part: lines, junctions, and parts at points and at picks of pipes, of which it is known what they break at.
fn may_part(plain: &Standing<'_>) -> Vec<MayPart> {
    let (model, measured) = (plain.model, plain.measured);
    let on = |frame: FrameId| -> Vec<LineId> {
        let lines = model.topology.lines();
        lines
            .filter(|line| model.lines_on(frame).contains(&line.index()))
            .collect()
    };
    let mut found = Vec::new();
    for judged in &measured.lines {
        if let (Some(breaking), Some(line)) = (&judged.load.breaking_n, model.lines.get(&judged.name)) {
            found.push(MayPart {
                path: format!("lines.{}", judged.name),
                lines: vec![line.id],
                point: None,
                breaking_n: breaking.value(),
                takes: vec![line.id],
            });
        }
    }
    for judged in &measured.junctions {
        if let (Some(breaking), Some(frame)) = (&judged.breaking_n, model.junctions.get(&judged.name)) {
            found.push(MayPart {
                path: format!("junctions.{}", judged.name),
                lines: on(*frame),
                point: None,
                breaking_n: breaking.value(),
                takes: on(*frame),
            });
        }
    }
    for (pipe, judged) in measured
        .pipes
        .iter()
        .flat_map(|pipe| pipe.picks.iter().map(move |pick| (pipe, pick)))
    {
        let at = (pipe.name.clone(), judged.name.clone());
        if let (Some(breaking), Some(attachment)) = (&judged.breaking_n, model.picks.get(&at)) {
            let touches = |line: &LineId| model.topology.path(*line).contains(attachment);
            let here: Vec<LineId> = model.topology.lines().filter(touches).collect();
            found.push(MayPart {
                path: format!("pipes.{}.picks.{}", at.0, at.1),
                lines: here.clone(),
                point: None,
                breaking_n: breaking.value(),
                takes: here,
            });
        }
    }
    for judged in &measured.points {
        if let (Some(breaking), Some(frame)) = (&judged.breaking_n, model.points.get(&judged.name)) {
            found.push(MayPart {
                path: format!("points.{}", judged.name),
                lines: Vec::new(),
                point: Some(*frame),
                breaking_n: breaking.value(),
                takes: on(*frame),
            });
        }
    }
    found
}

impl MayPart {
    pub(crate) fn weakness(&self) -> Weakness {
        let lines = self.lines.iter().map(|line| Pull::Line(*line));
        Weakness {
            pulls: lines.chain(self.point.map(Pull::Place)).collect(),
            breaking_n: self.breaking_n,
            takes: self.takes.clone(),
        }
    }
}

/// Lists the known places of all loads.
fn places(rig: &Rig, model: &Model) -> Vec<(usize, FrameId, Vector3<f64>)> {
    let mut found = Vec::new();
    for (index, (load, modelled)) in rig.loads.values().zip(model.loads.values()).enumerate() {
        let items = load.items.iter().chain(&load.added).map(|item| item.at_m);
        let ends = load.pipe.iter().flat_map(crate::pipes::Pipe::ends_m);
        let own = load
            .picks
            .values()
            .copied()
            .chain(items)
            .chain(ends)
            .chain([[0.0; 3]]);
        found.extend(own.map(|at_m| {
            let (frame, offset_m) = Model::body_at(modelled, &vector(at_m));
            (index, frame, offset_m)
        }));
        if let Some(size) = load.size_m {
            let centre_m = vector(load.centre_m.unwrap_or_default());
            let half = |side: u8, bit: u8, length_m: f64| {
                if side & bit == 0 {
                    -0.5 * length_m
                } else {
                    0.5 * length_m
                }
            };
            let corners = (0..8).map(|side| {
                let [x, y, z] = size;
                centre_m + Vector3::new(half(side, 1, x), half(side, 2, y), half(side, 4, z))
            });
            found.extend(corners.map(|at_m| (index, modelled.frame, at_m)));
        }
        if modelled.pipe.is_none() {
            found.push((
                index,
                modelled.frame,
                model.parameters.centre_m[modelled.frame.index()],
            ));
        }
    }
    found
}
