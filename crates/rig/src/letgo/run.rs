//! One event, followed in one way.
//!
//! Conventions: SI; time from the moment of letting go.
//! Assumes: what nothing holds any more is gone at once, and pulls on nothing; where everything hangs then is the balance downhill of where it
//! was.
//! Valid for: plain rigs that hang.
//! Source: docs/theory/motion.md.
//! Checked by: tests/main/in_time.rs.

use crate::found::{Change, Fall, changed};
use crate::letgo::event::Event;
use crate::letgo::masses::{HAIR, off_centre};
use crate::letgo::scene::{AtStiffness, MayPart, Scenery, Way};
use crate::letgo::unfinished::too_short;
use crate::model::Model;
use crate::pipes::{Snatch, snatch};
use motion::{
    Bounds, Motion, MotionError, Options, Scene, damping_n_s_per_m, follow, follow_proved, loose_junctions,
};
use statics::{AttachmentId, FrameId, Outcome, Parameters, Solution, Vector3, Workspace, solve};

/// Error that a step may have, over the sizes of a bounce, in the first of all runs.
const TOLERANCE: f64 = 1e-5;
/// Loads on one another hand their swing to and fro slowly: they are also followed for so many times as long.
const LONG: f64 = 8.0;
/// Where the steps do not suffice for that, for this share of the time that they suffice for.
const FOR_SURE: f64 = 0.95;
/// Closer runs take more steps: where these do not suffice, a way that is followed for long is proved for this share of the time, and so on.
const CLOSER: f64 = 0.5;
/// A pipe that bends by more from end to end does not do so by small angles, as it is followed: five degrees, our judgement.
const FOLDS_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;
/// What the run that decides must keep.
const BOUNDS: Bounds = Bounds {
    energy_drift: 1e-4,
    peaks: 1e-3,
    tenths: 6,
    // Two runs that agree for so little of the time prove nothing.
    share_of_time: 0.125,
    from_first_pull_s: 0.15,
};

/// What came of one event in one way.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) way: Way,
    pub(crate) came: Came,
    /// Whether it was tried to prove it.
    pub(crate) is_tried: bool,
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
    /// Why the motion was not found, though it is known what falls at once; none if it was found.
    pub(crate) refused: Option<String>,
    /// How everything hangs in the end.
    pub(crate) after: Option<Solution>,
    /// What bends each pipe that is still held, in the order of the facts; none where nothing holds it.
    pub(crate) pipes: Vec<Option<Snatch>>,
    /// The lines that are gone at the start.
    pub(crate) gone: Vec<usize>,
    /// How far a run at a tenth of the tolerance differs; none if that was not asked for.
    pub(crate) peaks_differ: Option<f64>,
    /// For how long two runs agree, seconds; none if that was not asked for.
    pub(crate) proved_s: Option<f64>,
}

impl Ran {
    pub(crate) fn followed(&self) -> Option<&Followed> {
        match &self.came {
            Came::Followed(followed) => Some(followed),
            Came::NotFound(_) => None,
        }
    }

    pub(crate) fn followed_mut(&mut self) -> Option<&mut Followed> {
        match &mut self.came {
            Came::Followed(followed) => Some(followed),
            Came::NotFound(_) => None,
        }
    }
}

/// What is left once something let go, before anything moves.
pub(super) struct Left<'a> {
    pub(super) at: &'a AtStiffness,
    pub(super) model: std::borrow::Cow<'a, Model>,
    pub(super) change: Change,
    falls: Vec<usize>,
    why: String,
    pub(super) after: Option<Solution>,
}

/// Follows an event in a way.
pub(crate) fn run(scenery: &Scenery<'_>, event: &Event, way: Way) -> Ran {
    let came = left(scenery, event, way).map(|left| {
        let followed = left.follow(scenery, way);
        left.ends(scenery, followed.map(|motion| (motion, None)))
    });
    Ran {
        way,
        came: came.unwrap_or_else(Came::NotFound),
        is_tried: false,
    }
}

/// Follows an event once more at a tenth of the tolerance, and again until two runs agree; where motion is chaotic, for as long as the two
/// closest agree. `known` is what `run` came to.
pub(crate) fn run_proved(scenery: &Scenery<'_>, event: &Event, known: &Ran) -> Ran {
    let way = known.way;
    let came = left(scenery, event, way).map(|left| {
        let first = known.followed().and_then(|followed| followed.motion.as_ref());
        let proof = left.proof(scenery, way, first);
        left.ends(scenery, proof)
    });
    Ran {
        way,
        came: came.unwrap_or_else(Came::NotFound),
        is_tried: true,
    }
}

/// Gives how everything comes to hang once an event is over, in a way, with centres of gravity off by a share of their radius of gyration in
/// a direction; none where that was not found, or something falls.
pub(crate) fn hangs_off(
    scenery: &Scenery<'_>,
    event: &Event,
    way: Way,
    off: Option<(f64, usize)>,
) -> Option<Solution> {
    let Left {
        at,
        model,
        change,
        falls,
        after,
        ..
    } = left(scenery, event, way).ok()?;
    let Some(off) = off else {
        return after.filter(|_| falls.is_empty());
    };
    let mut model = model.into_owned();
    let mut parameters = model.parameters.clone();
    off_centre(&model, &scenery.masses, off, &mut parameters);
    model.parameters = parameters;
    rest(at, &model, &changed(&model, &change)).ok()
}

/// Follows the way that decides with its time history.
pub(crate) fn traced(
    scenery: &Scenery<'_>,
    event: &Event,
    way: Way,
    ((seconds, tolerance), every_s): ((f64, f64), f64),
) -> Result<Option<Motion>, MotionError> {
    let Ok(left) = left(scenery, event, way) else {
        return Ok(None);
    };
    if left.nothing_hangs() {
        return Ok(None);
    }
    let options = Options {
        trace_every_s: Some(every_s),
        ..at_tolerance(seconds, tolerance)
    };
    left.with_scene(scenery, way, |scene| follow(scene, &options))
        .map(Some)
}

fn at_tolerance(seconds: f64, tolerance: f64) -> Options {
    Options {
        seconds,
        tolerance,
        trace_every_s: None,
    }
}

/// Takes away what let go, and what nothing holds then.
fn left<'a>(scenery: &'a Scenery<'_>, event: &Event, way: Way) -> Result<Left<'a>, String> {
    let at = &scenery.at[way.at];
    let longer_m = event
        .longer_m
        .map(|(line, tail_m)| (line, way.slips_m.unwrap_or(tail_m)));
    let mut change = Change {
        lines: event.lines.clone(),
        fallen: event.falls.into_iter().collect(),
        longer_m: longer_m.into_iter().collect(),
        ..Change::default()
    };
    if way.without_grips {
        // A grip that slips and catches again is not gone.
        let slips = event.longer_m.map(|(line, _)| line);
        change
            .lines
            .extend(scenery.grips.iter().filter(|line| Some(**line) != slips));
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
fn settle(at: &AtStiffness, model: &Model, change: &mut Change) -> Settled {
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

/// A motion, and where it is proved, by how much two runs differ and for how long they agree.
type Ends = (Option<Motion>, Option<(f64, f64)>);

/// What comes out of `settle`.
type Settled = Result<(Vec<usize>, String, Option<Solution>), String>;

fn after_of(settled: &Settled) -> Option<&Solution> {
    settled.as_ref().ok()?.2.as_ref()
}

/// Says that a pipe folds on its hinges, or bends, by more than can be followed; none if none does.
fn folds(at: &AtStiffness, model: &Model, after: &Solution) -> Option<String> {
    let folded_rad = |load: &crate::model::LoadModel| {
        let (first, last) = (load.frames().first()?, load.frames().last()?);
        let bent = |solution: &Solution| {
            let turn = |frame: &FrameId| solution.state.rotation[frame.index()] * Vector3::x();
            turn(first).angle(&turn(last))
        };
        Some((bent(after) - bent(&at.rest)).abs())
    };
    let pipes = model.loads.iter().filter(|(_, load)| load.pipe.is_some());
    let mut folded = pipes.filter_map(|(name, load)| Some((name, folded_rad(load)?)));
    let (name, by_rad) = folded.find(|(_, by_rad)| *by_rad > FOLDS_RAD)?;
    Some(format!(
        "the pipe `{name}` folds or bends by {:.0}° as it comes to hang, and such angles are not followed",
        by_rad.to_degrees()
    ))
}

/// Says what bends the pipes as they come to hang otherwise.
fn pipes(
    scenery: &Scenery<'_>,
    [before, after]: [(&Model, Option<&Solution>); 2],
    falls: &[usize],
) -> Vec<Option<Snatch>> {
    let (rig, model) = (scenery.plain.rig, scenery.plain.model);
    let loads = rig.loads.values().zip(model.loads.values()).enumerate();
    let pipes = loads.filter_map(|(index, (load, modelled))| Some((index, load.pipe.as_ref()?, modelled)));
    let bent = pipes.map(|(index, pipe, modelled)| {
        let (name, _) = rig.loads.get_index(index).filter(|_| !falls.contains(&index))?;
        let picks = pipe
            .picks
            .keys()
            .filter_map(|pick| model.picks.get(&(name.clone(), pick.clone())));
        let picks: Vec<AttachmentId> = picks.copied().collect();
        let hangs = [(&before.0.topology, before.1?), (&after.0.topology, after.1?)];
        snatch((pipe, modelled), &picks, hangs)
    });
    bent.collect()
}

/// Follows a way for the longer of two times: where the steps do not suffice, for a share of the time that they suffice for, but for the
/// shorter at the least.
fn for_long<T>(
    [least_s, most_s]: [f64; 2],
    share: f64,
    follow: &dyn Fn(f64) -> Result<T, MotionError>,
) -> Result<T, MotionError> {
    let mut seconds = most_s;
    loop {
        match follow(seconds) {
            Err(MotionError::TooManySteps { time_s, .. }) if seconds > least_s => {
                seconds = (share * time_s).max(least_s);
            }
            came => return came,
        }
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
        MotionError::TooManySteps { time_s, seconds, .. } => format!(
            "it moves too quickly to be followed for {seconds:.1} s; it was followed for {time_s:.1} s. `plimsoll letgo --seconds` asks for less"
        ),
        MotionError::FoldsTooFar {
            frame,
            most_rad,
            at_s,
        } => format!(
            "a hinge of `{}` folds by more than {:.0}°, {at_s:.2} s on, and such angles are not followed",
            model.name_of(*frame),
            most_rad.to_degrees()
        ),
        MotionError::Massless { frame } => format!("`{}` weighs nothing", model.name_of(*frame)),
        other => other.to_string(),
    }
}

impl Left<'_> {
    fn nothing_hangs(&self) -> bool {
        nothing_left(&self.model, &self.change)
    }

    /// Follows what is left, for longer where it is not yet where it comes to hang; nothing if nothing is left.
    fn follow(&self, scenery: &Scenery<'_>, way: Way) -> Result<Option<Motion>, MotionError> {
        if self.nothing_hangs() {
            return Ok(None);
        }
        let follow = |seconds: f64| {
            let options = at_tolerance(seconds, TOLERANCE);
            self.with_scene(scenery, way, |scene| follow(scene, &options))
        };
        if way.is_long {
            let times_s = [scenery.seconds, LONG * scenery.seconds];
            return for_long(times_s, FOR_SURE, &follow).map(Some);
        }
        let (mut seconds, most_s) = (scenery.seconds, scenery.most_s);
        loop {
            let motion = follow(seconds)?;
            if seconds >= most_s || !self.goes_on(scenery, &motion) {
                return Ok(Some(motion));
            }
            seconds = (2.0 * seconds).min(most_s);
        }
    }

    /// Follows what is left until a run at a tenth of the tolerance agrees.
    fn proof(&self, scenery: &Scenery<'_>, way: Way, known: Option<&Motion>) -> Result<Ends, MotionError> {
        if self.nothing_hangs() {
            return Ok((None, None));
        }
        let seconds = known.map_or(scenery.seconds, |known| known.seconds);
        let prove = |seconds: f64| {
            let known = known.filter(|known| known.seconds == seconds);
            let options = at_tolerance(seconds, TOLERANCE);
            self.with_scene(scenery, way, |scene| {
                follow_proved(scene, &options, &BOUNDS, known)
            })
        };
        let proof = if way.is_long {
            for_long([scenery.seconds, seconds], CLOSER, &prove)?
        } else {
            prove(seconds)?
        };
        Ok((Some(proof.motion), Some((proof.differs, proof.agrees_s))))
    }

    /// Says what came of a motion, and how everything hangs in the end.
    fn ends(self, scenery: &Scenery<'_>, motion: Result<Ends, MotionError>) -> Came {
        let (motion, proved, refused) = match motion {
            Ok((motion, proved)) => (motion, proved, None),
            Err(error) => (None, None, Some(in_words(&self.model, &error))),
        };
        let awaited = motion
            .as_ref()
            .and_then(|motion| Some((self.awaited(motion)?, motion.seconds)));
        let (motion, refused) = match awaited {
            Some((line, seconds)) => (None, Some(too_short(scenery, line, seconds))),
            None => (motion, refused),
        };
        let parted = motion.iter().flat_map(|motion| &motion.parted);
        let taken: Vec<usize> = parted
            .flat_map(|(weakness, _)| &scenery.may_part[*weakness].takes)
            .map(|line| line.index())
            .collect();
        let Left {
            at,
            model,
            change,
            falls,
            why,
            after,
        } = self;
        let gone = change.lines.clone();
        let end = if taken.is_empty() {
            Ok((falls.clone(), String::new(), after))
        } else {
            let mut change = change;
            change.lines.extend(taken);
            settle(at, &model, &mut change)
        };
        let folds = after_of(&end).and_then(|after| folds(at, &model, after));
        let (motion, refused) = if folds.is_some() {
            (None, folds)
        } else {
            (motion, refused)
        };
        match end {
            Ok((falls_in_the_end, _, after)) => Came::Followed(Box::new(Followed {
                pipes: pipes(
                    scenery,
                    [(&at.model, Some(&at.rest)), (&model, after.as_ref())],
                    &falls_in_the_end,
                ),
                falls_at_once: falls,
                why,
                falls: falls_in_the_end,
                refused,
                after,
                gone,
                motion,
                peaks_differ: proved.map(|(differs, _)| differs),
                proved_s: proved.map(|(_, agrees_s)| agrees_s),
            })),
            Err(why) => Came::NotFound(why),
        }
    }

    /// Shows what is left to what follows it.
    fn with_scene<T>(&self, scenery: &Scenery<'_>, way: Way, see: impl FnOnce(&Scene<'_>) -> T) -> T {
        let mut parameters = changed(&self.model, &self.change);
        off_centre(&self.model, &scenery.masses, (HAIR, 0), &mut parameters);
        let damping = damping_n_s_per_m(&parameters, &self.at.bounce_rad_per_s, way.ratio);
        let weaknesses: Vec<motion::Weakness> = scenery.may_part.iter().map(MayPart::weakness).collect();
        let follows: Vec<(FrameId, Vector3<f64>)> = scenery
            .places
            .iter()
            .map(|(_, frame, offset_m)| (*frame, *offset_m))
            .collect();
        let scene = Scene {
            topology: &self.model.topology,
            parameters: &parameters,
            masses: &scenery.masses,
            start: &self.at.rest.state,
            damping_n_s_per_m: &damping,
            weaknesses: &weaknesses,
            follows: &follows,
            loose: &[],
            flexible: &self.at.flexible,
            before_n: &self.at.pulls_n,
        };
        // A scene that can not be is refused by whoever follows it.
        let loose = loose_junctions(&scene).unwrap_or_default();
        see(&Scene {
            loose: &loose,
            ..scene
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Follows as if the steps sufficed for so many seconds.
    fn steps_for(suffice_s: f64) -> impl Fn(f64) -> Result<f64, MotionError> {
        move |seconds| {
            if seconds <= suffice_s {
                return Ok(seconds);
            }
            Err(MotionError::TooManySteps {
                steps: 1,
                time_s: suffice_s,
                seconds,
            })
        }
    }

    #[test]
    fn what_is_followed_for_long_is_followed_for_as_long_as_the_steps_suffice() {
        assert_eq!(for_long([4.0, 32.0], 0.95, &steps_for(40.0)), Ok(32.0));
        assert_eq!(for_long([4.0, 32.0], 0.95, &steps_for(20.0)), Ok(19.0));
        assert_eq!(for_long([4.0, 32.0], 0.5, &steps_for(5.0)), Ok(4.0));
        // Where they do not suffice for the time of other ways, it is not known.
        assert!(for_long([4.0, 32.0], 0.95, &steps_for(3.0)).is_err());
    }
}
