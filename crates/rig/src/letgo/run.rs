//! One event, followed in one way.
//!
//! Conventions: SI; time from the moment of letting go.
//! Assumes: what nothing holds any more is gone at once, and pulls on nothing; where everything hangs then is the balance downhill of where it
//! was.
//! Valid for: plain rigs that hang.
//! Source: docs/theory/motion.md.
//! Checked by: tests/main/letgo.rs.

use crate::found::{Change, Fall, changed};
use crate::letgo::event::Event;
use crate::letgo::scene::{AtStiffness, Scenery, Way};
use crate::model::Model;
use motion::{Bounds, Motion, MotionError, Options, Scene, damping_n_s_per_m, follow, prove};
use statics::{FrameId, Outcome, Parameters, Solution, Workspace, solve};

/// Error that a step may have, over the sizes of a bounce, in the first of all runs.
const TOLERANCE: f64 = 1e-5;
/// The same in runs that decide, each time that the one before was not exact enough.
const CLOSER: [f64; 4] = [1e-6, 1e-8, 1e-10, 1e-12];
/// What the run that decides must keep.
pub(crate) const BOUNDS: Bounds = Bounds {
    energy_drift: 1e-4,
    peaks: 1e-3,
};

/// What came of one event in one way.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) way: Way,
    pub(crate) came: Came,
}

/// What came of it.
#[derive(Debug)]
pub(crate) enum Came {
    /// It was followed.
    Followed(Box<Followed>),
    /// It was not found; why.
    NotFound(String),
}

/// A motion, and where it ends.
#[derive(Debug)]
pub(crate) struct Followed {
    pub(crate) motion: Option<Motion>,
    /// The loads that fell at once, by index.
    pub(crate) falls_at_once: Vec<usize>,
    /// Why.
    pub(crate) why: String,
    /// The loads that nothing holds in the end, by index.
    pub(crate) falls: Vec<usize>,
    /// How everything hangs in the end.
    pub(crate) after: Option<Solution>,
    /// The lines that are gone at the start.
    pub(crate) gone: Vec<usize>,
    /// How far a run at a tenth of the tolerance differs; none if that was not asked for.
    pub(crate) peaks_differ: Option<f64>,
}

/// What is left once something let go, before anything moves.
struct Left<'a> {
    at: &'a AtStiffness,
    model: std::borrow::Cow<'a, Model>,
    change: Change,
    falls: Vec<usize>,
    why: String,
    after: Option<Solution>,
}

/// Follows an event in a way.
pub(crate) fn run(scenery: &Scenery<'_>, event: &Event, way: Way) -> Ran {
    Ran {
        way,
        came: came(scenery, event, way, None).unwrap_or_else(Came::NotFound),
    }
}

/// Follows an event once more and closely, until a run at a tenth of the tolerance agrees.
pub(crate) fn run_proved(scenery: &Scenery<'_>, event: &Event, way: Way) -> Ran {
    let mut refused = String::new();
    for tolerance in CLOSER {
        match came(scenery, event, way, Some(tolerance)) {
            Ok(came) => return Ran { way, came },
            Err(why) => refused = why,
        }
    }
    Ran {
        way,
        came: Came::NotFound(refused),
    }
}

/// Follows the way that decides with its time history.
pub(crate) fn traced(
    scenery: &Scenery<'_>,
    event: &Event,
    way: Way,
    every_s: f64,
) -> Result<Option<Motion>, MotionError> {
    let Ok(left) = left(scenery, event, way) else {
        return Ok(None);
    };
    if left.nothing_hangs() {
        return Ok(None);
    }
    let options = Options {
        seconds: scenery.seconds,
        tolerance: CLOSER[0],
        trace_every_s: Some(every_s),
    };
    left.with_scene(scenery, way, |scene| follow(scene, &options))
        .map(Some)
}

fn came(scenery: &Scenery<'_>, event: &Event, way: Way, proved: Option<f64>) -> Result<Came, String> {
    let left = left(scenery, event, way)?;
    let options = |tolerance| Options {
        seconds: scenery.seconds,
        tolerance,
        trace_every_s: None,
    };
    let mut peaks_differ = None;
    let motion = if left.nothing_hangs() {
        None
    } else {
        let followed = left.with_scene(scenery, way, |scene| match proved {
            None => follow(scene, &options(TOLERANCE)),
            Some(tolerance) => {
                let coarse = follow(scene, &options(tolerance))?;
                let (fine, differs) = prove(scene, &options(tolerance), &BOUNDS, &coarse)?;
                peaks_differ = Some(differs);
                Ok(fine)
            }
        });
        Some(followed.map_err(|error| in_words(&left.model, &error))?)
    };
    let Left {
        at,
        model,
        change,
        falls,
        why,
        after,
    } = left;
    let parted = motion.iter().flat_map(|motion| &motion.parted);
    let taken: Vec<usize> = parted
        .flat_map(|(weakness, _)| &scenery.may_part[*weakness].takes)
        .map(|line| line.index())
        .collect();
    let gone = change.lines.clone();
    let (falls_in_the_end, after) = if taken.is_empty() {
        (falls.clone(), after)
    } else {
        let mut change = change;
        change.lines.extend(taken);
        let (falls, _, after) = settle(at, &model, &mut change)?;
        (falls, after)
    };
    Ok(Came::Followed(Box::new(Followed {
        motion,
        falls_at_once: falls,
        why,
        falls: falls_in_the_end,
        after,
        gone,
        peaks_differ,
    })))
}

/// Takes away what let go, and what nothing holds then.
fn left<'a>(scenery: &'a Scenery<'_>, event: &Event, way: Way) -> Result<Left<'a>, String> {
    let at = &scenery.at[way.at];
    let mut change = Change {
        lines: event.lines.clone(),
        fallen: event.falls.into_iter().collect(),
        longer_m: event.longer_m.into_iter().collect(),
        ..Change::default()
    };
    if way.without_grips {
        change.lines.extend(&scenery.grips);
    }
    let mut model = std::borrow::Cow::Borrowed(&at.model);
    if !event.frees.is_empty() {
        let model = model.to_mut();
        model.topology = model.topology.without(&event.frees);
    }
    let (falls, why, after) = settle(at, &model, &mut change)?;
    Ok(Left {
        at,
        model,
        change,
        falls,
        why,
        after,
    })
}

/// Finds how what is left hangs, downhill of where it was; what nothing holds falls, and is taken out.
///
/// Gives the loads that fall, why, and the rest; an error says why it was not found.
fn settle(
    at: &AtStiffness,
    model: &Model,
    change: &mut Change,
) -> Result<(Vec<usize>, String, Option<Solution>), String> {
    let mut why = String::new();
    loop {
        let parameters = changed(model, change);
        let fall = match rest(at, model, &parameters) {
            Ok(after) => return Ok((fallen(model, change), why, Some(after))),
            Err(fall) => fall,
        };
        let new: Vec<FrameId> = fall
            .frames
            .iter()
            .filter(|frame| !change.fallen.contains(frame))
            .copied()
            .collect();
        if new.is_empty() {
            return Err(fall.why);
        }
        if why.is_empty() {
            why = fall.why;
        }
        change.let_fall(model, &new);
        if change.fallen.len() >= model.loads.len() + model.junctions.len() && nothing_left(model, change) {
            return Ok((fallen(model, change), why, None));
        }
    }
}

fn nothing_left(model: &Model, change: &Change) -> bool {
    model
        .loads
        .values()
        .all(|load| load.frames().iter().all(|frame| change.fallen.contains(frame)))
}

/// Lists the loads that fell.
fn fallen(model: &Model, change: &Change) -> Vec<usize> {
    let loads = model.loads.values().enumerate();
    let fell = loads.filter(|(_, load)| load.frames().iter().any(|frame| change.fallen.contains(frame)));
    fell.map(|(index, _)| index).collect()
}

fn rest(at: &AtStiffness, model: &Model, parameters: &Parameters) -> Result<Solution, Fall> {
    let options = statics::Options {
        find_free_motions: false,
        ..statics::Options::warm()
    };
    let mut workspace = Workspace::new(&model.topology);
    let outcome = solve(
        &model.topology,
        parameters,
        &at.rest.state,
        &options,
        &mut workspace,
    );
    match outcome {
        Ok(Outcome::Found(after)) => Ok(after),
        Ok(outcome) => Err(crate::found::fall_of(model, &outcome)),
        Err(_) => Err(Fall {
            who: Vec::new(),
            frames: Vec::new(),
            why: "no rest was found for what is left".into(),
        }),
    }
}

/// Says why a motion was not found, with the names of the rig.
fn in_words(model: &Model, error: &MotionError) -> String {
    match error {
        MotionError::RanOut { line, at_s } => {
            let name = model
                .lines
                .get_index(line.index())
                .map(|(name, _)| name.as_str())
                .unwrap_or_default();
            format!("line `{name}` runs over freely until something meets what it runs over, {at_s:.2} s on")
        }
        MotionError::Massless { frame } => format!("`{}` weighs nothing", model.name_of(*frame)),
        other => other.to_string(),
    }
}

impl Left<'_> {
    fn nothing_hangs(&self) -> bool {
        nothing_left(&self.model, &self.change)
    }

    /// Shows what is left to what follows it.
    fn with_scene<T>(&self, scenery: &Scenery<'_>, way: Way, see: impl FnOnce(&Scene<'_>) -> T) -> T {
        let parameters = changed(&self.model, &self.change);
        let damping = damping_n_s_per_m(&parameters, &self.at.bounce_rad_per_s, way.ratio);
        let weaknesses: Vec<motion::Weakness> = scenery.may_part.iter().map(|part| part.weakness()).collect();
        let follows: Vec<(FrameId, statics::Vector3<f64>)> = scenery
            .places
            .iter()
            .map(|(_, frame, offset_m)| (*frame, *offset_m))
            .collect();
        see(&Scene {
            topology: &self.model.topology,
            parameters: &parameters,
            masses: &scenery.masses,
            start: &self.at.rest.state,
            damping_n_s_per_m: &damping,
            weaknesses: &weaknesses,
            follows: &follows,
        })
    }
}
