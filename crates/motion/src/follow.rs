//! A motion from rest after something let go, and the proof of its peaks.
//!
//! Conventions: SI; time from the moment of letting go; what is gone is gone from the first instant, and peaks begin there.
//! Assumes: see docs/theory/motion.md.
//! Valid for: rigs that `statics` takes, at rest before.
//! Source: see run.rs.
//! Checked by: tests/closed_forms.rs, tests/laws.rs, tests/agreement.rs.

use crate::bending::{Bends, Bent};
use crate::course::{Course, Followed, Sample, Swept, Travel};
use crate::error::MotionError;
use crate::flexible::Flexible;
use crate::masses::{AtStart, Masses};
use crate::model::{Model, Place};
use crate::run::{Breaking, Ran, Run};
use crate::signals::{OF_SUPPORT, Peak};
use nalgebra::Vector3;
use statics::{FrameId, LineId, Parameters, State, Topology};

/// What hangs, as it is after something let go, and where everything was before.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// What is connected to what.
    pub topology: &'a Topology,
    /// Every number. Lines that let go are inactive; a line that slipped is longer.
    pub parameters: &'a Parameters,
    /// What has which mass.
    pub masses: &'a Masses,
    /// Where everything was, at rest.
    pub start: &'a State,
    /// Axial damping of each line, N s/m; by `LineId`.
    pub damping_n_s_per_m: &'a [f64],
    /// What lets go if it gets too much.
    pub weaknesses: &'a [Weakness],
    /// Places to follow: a frame, and where on it in its own axes, m.
    pub follows: &'a [(FrameId, Vector3<f64>)],
    /// Junctions that move by their own mass however little that is.
    pub loose: &'a [FrameId],
    /// How pipes bend; those that are not among these are stiff.
    pub flexible: &'a [Flexible],
    /// What each line pulled at the start, N; by `LineId`. Of use where pipes bend.
    pub before_n: &'a [f64],
}

/// What pulls on something that may let go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pull {
    /// The tension of a line.
    Line(LineId),
    /// The size of the force on a place of the building.
    Place(FrameId),
}

/// Something that lets go when it gets more than it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Weakness {
    /// What pulls on it; any one of these is enough.
    pub pulls: Vec<Pull>,
    /// What it holds, N.
    pub breaking_n: f64,
    /// The lines that are gone when it lets go.
    pub takes: Vec<LineId>,
}

/// How long and how exactly a motion is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// For how long, s.
    pub seconds: f64,
    /// Error that a step may have, over the sizes of the rig.
    pub tolerance: f64,
    /// How often the time history is kept, s; not at all if none.
    pub trace_every_s: Option<f64>,
}

/// What a place of the building gets.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OnBuilding {
    /// The size of the force.
    pub force: Peak,
    /// What of it is down.
    pub down: Peak,
    /// What of it is up.
    pub up: Peak,
    /// What of it is sideways.
    pub side: Peak,
}

/// How a motion went.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    /// Greatest tension of each line; by `LineId`, nothing for those that are gone.
    pub lines: Vec<Peak>,
    /// When each line first pulled, s; by `LineId`, none for those that never did.
    pub pulls_from_s: Vec<Option<f64>>,
    /// What each place of the building gets, weight of lines included, half at each end; by `FrameId`, nothing for others.
    pub on_building: Vec<OnBuilding>,
    /// How far each body went; by `FrameId`, of a pipe the same for each of its frames; none for what is no body, or is built in and stiff.
    pub travel: Vec<Option<Travel>>,
    /// What bends each pipe of the scene that bends and is there.
    pub bent: Vec<Bent>,
    /// The room that each followed place went through, in their order.
    pub swept: Vec<Swept>,
    /// What let go on the way, by its order among the weaknesses, and when, s.
    pub parted: Vec<(usize, f64)>,
    /// The greatest error of the balance of energy, over the greatest energy of movement.
    pub energy_drift: f64,
    /// Where everything is at the end.
    pub end: State,
    /// For how long it was followed, s.
    pub seconds: f64,
    /// Error that a step might have, as asked for.
    pub tolerance: f64,
    /// Steps taken.
    pub steps: usize,
    /// The time history, if one was asked for.
    pub trace: Vec<Sample>,
    /// The peaks of everything that was watched, sixteen times on the way, with when.
    so_far: Vec<(f64, Vec<Peak>)>,
}

/// Follows what hangs from the moment that something let go.
///
/// # Errors
///
/// See [`MotionError`]; an error carries no numbers that could be mistaken for a result.
pub fn follow(scene: &Scene<'_>, options: &Options) -> Result<Motion, MotionError> {
    scene.check(options)?;
    let rig = scene.at_start();
    let mut model = Model::new(&rig, scene.damping_n_s_per_m, scene.loose, scene.flexible)?;
    let sections = model.bend(&rig, scene.flexible, scene.before_n);
    let mut followed = Vec::with_capacity(scene.follows.len());
    for (frame, offset_m) in scene.follows {
        let start_m = rig.place_m(*frame, *offset_m);
        let place = match model.places[frame.index()] {
            Place::Body { body, .. } => model.on_body(body, start_m, scene.flexible),
            Place::Fixed(_) => Place::Fixed(start_m),
            Place::Junction(junction) => Place::Junction(junction),
        };
        followed.push(Followed { place, start_m });
    }
    let course = Course::new(&model, scene.start, followed);
    let bends = Bends::new(&model, sections);
    let breaking = scene.breaking(&model);
    let mut motion = Motion {
        seconds: options.seconds,
        tolerance: options.tolerance,
        ..scene.blank(&model)
    };
    let trace = (options.trace_every_s, scene.topology.line_count());
    let (line_ids, supports): (Vec<LineId>, Vec<FrameId>) = (
        model.lines.iter().map(|line| line.id).collect(),
        model.supports.iter().map(|support| support.frame).collect(),
    );
    let bodies: Vec<Vec<FrameId>> = model.bodies.iter().map(|body| body.frames.clone()).collect();
    let ran = Run::new(
        model,
        scene.start,
        (course, bends),
        breaking,
        options.tolerance,
        trace,
    )
    .follow(options.seconds)?;
    for (id, peak) in line_ids.iter().zip(&ran.signals.peaks) {
        motion.lines[id.index()] = *peak;
    }
    for (id, from_s) in line_ids.iter().zip(&ran.pulls_from_s) {
        motion.pulls_from_s[id.index()] = *from_s;
    }
    let of_supports = ran.signals.peaks[line_ids.len()..].chunks_exact(OF_SUPPORT);
    for (frame, peaks) in supports.iter().zip(of_supports) {
        let [force, down, up, side] = [peaks[0], peaks[1], peaks[2], peaks[3]];
        motion.on_building[frame.index()] = OnBuilding {
            force,
            down,
            up,
            side,
        };
    }
    for (frames, travel) in bodies.iter().zip(&ran.travel) {
        for frame in frames {
            motion.travel[frame.index()] = Some(*travel);
        }
    }
    let Ran {
        swept,
        parted,
        energy_drift,
        end,
        steps,
        trace,
        so_far,
        bent,
        ..
    } = ran;
    Ok(Motion {
        bent,
        swept,
        parted,
        energy_drift,
        end,
        steps,
        trace,
        so_far,
        ..motion
    })
}

/// What a run must keep to be believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The greatest error of the balance of energy.
    pub energy_drift: f64,
    /// The greatest difference of any peak from a run at a tenth of the tolerance, over the greatest peak of all lines.
    pub peaks: f64,
    /// How many times the tolerance may be made a tenth of what it was to get there; once at the least.
    pub tenths: u8,
    /// The share of the time for which two runs are to agree at the least.
    pub share_of_time: f64,
    /// Where that is longer: for how long from when a line that hung slack first pulled, or from the start where none does, s.
    pub from_first_pull_s: f64,
}

/// A motion that another run bears out.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// The closest run.
    pub motion: Motion,
    /// The greatest difference of a peak from a run at ten times its tolerance, over the greatest peak of all.
    pub differs: f64,
    /// For how long the two agree, s: shorter than the motion where that is chaotic. What comes later is one of many things that may come.
    pub agrees_s: f64,
}

/// Follows what hangs again and again, each time at a tenth of the tolerance before, until two such runs agree. `known` is what the first of
/// them came to, if that is known. Where the least tolerance is reached before, the last two are to agree for as long as asked for.
///
/// A good balance of energy alone does not prove a peak.
///
/// # Errors
///
/// Those of [`follow`]; [`MotionError::EnergyOff`] and [`MotionError::PeaksDiffer`] where a bound is not kept.
pub fn follow_proved(
    scene: &Scene<'_>,
    options: &Options,
    bounds: &Bounds,
    known: Option<&Motion>,
) -> Result<Proof, MotionError> {
    let mut coarse = match known {
        Some(known) => known.clone(),
        None => follow(scene, options)?,
    };
    let (mut closer, mut tenths, mut agreed_s) = (*options, 0, 0.0);
    loop {
        closer.tolerance *= 0.1;
        tenths += 1;
        let fine = follow(scene, &closer)?;
        let is_last = tenths >= bounds.tenths;
        let drift = fine.energy_drift.max(coarse.energy_drift);
        // Written so that what is no number is too much.
        let keeps_energy = drift <= bounds.energy_drift;
        let (agrees_s, differs) = agree(&coarse, &fine, bounds.peaks);
        let enough_s = bounds.enough_s(&fine);
        let is_enough = agrees_s >= enough_s;
        // Each tenth adds about as much time; where what is left of them will not do, it is of no use to go on.
        let may_come_s = agrees_s + f64::from(bounds.tenths.saturating_sub(tenths)) * (agrees_s - agreed_s);
        let awaited_s = if is_enough { options.seconds } else { enough_s };
        let is_last = is_last || tenths >= ENOUGH_TENTHS && may_come_s < awaited_s;
        agreed_s = agrees_s;
        if keeps_energy && (agrees_s >= fine.seconds || is_last && is_enough) {
            return Ok(Proof {
                motion: fine,
                differs,
                agrees_s,
            });
        }
        if is_last && !keeps_energy {
            return Err(MotionError::EnergyOff {
                drift,
                allowed: bounds.energy_drift,
            });
        }
        if is_last {
            return Err(MotionError::PeaksDiffer {
                differs: agree(&coarse, &fine, f64::INFINITY).1,
                allowed: bounds.peaks,
                agrees_until_s: agrees_s,
            });
        }
        coarse = fine;
    }
}

/// After so many tenths it is looked at whether more of them may do.
const ENOUGH_TENTHS: u8 = 3;

impl Bounds {
    /// Gives for how long two runs must agree, s.
    fn enough_s(&self, motion: &Motion) -> f64 {
        let pulls = motion.pulls_from_s.iter().flatten().copied();
        let first_s = pulls.filter(|from_s| *from_s > 0.0).fold(f64::INFINITY, f64::min);
        let first_s = if first_s.is_finite() { first_s } else { 0.0 };
        (self.share_of_time * motion.seconds).min(first_s + self.from_first_pull_s)
    }
}

/// Gives until when two runs agree in their peaks so far within a share of the greatest and in what parted, s, and by how much they differ
/// at the most until then, as a share.
fn agree(coarse: &Motion, fine: &Motion, share: f64) -> (f64, f64) {
    let last = fine.so_far.iter().next_back().into_iter();
    let greatest_n = last.flat_map(|(_, peaks)| peaks).map(|peak| peak.force_n);
    let greatest_n = greatest_n.fold(f64::MIN_POSITIVE, f64::max);
    let (mut agrees_s, mut differs) = (0.0, 0.0);
    for ((at_s, coarse_peaks), (_, fine_peaks)) in coarse.so_far.iter().zip(&fine.so_far) {
        let by = of_peaks(coarse_peaks, fine_peaks) / greatest_n;
        let agrees = by <= share && parted_by(&coarse.parted, *at_s) == parted_by(&fine.parted, *at_s);
        if !agrees {
            break;
        }
        (agrees_s, differs) = (*at_s, by.max(differs));
    }
    (agrees_s, differs)
}

/// Lists what parted by a time. What parts at one instant has no order, and of what parts in another order the peaks tell.
fn parted_by(parted: &[(usize, f64)], at_s: f64) -> Vec<usize> {
    let before = parted.iter().filter(|(_, parts_s)| *parts_s <= at_s);
    let mut which: Vec<usize> = before.map(|(which, _)| *which).collect();
    which.sort_unstable();
    which
}

/// Gives the greatest difference of two lists of peaks, newtons.
fn of_peaks(coarse: &[Peak], fine: &[Peak]) -> f64 {
    let each = coarse.iter().zip(fine);
    each.map(|(a, b)| (a.force_n - b.force_n).abs())
        .fold(0.0, f64::max)
}

/// Lists the junctions that nothing holds where they are once something let go: without mass they would be elsewhere at once. What falls so
/// is followed by its own mass if it is among [`Scene::loose`].
///
/// # Errors
///
/// As [`follow`] where there is no such scene.
pub fn loose_junctions(scene: &Scene<'_>) -> Result<Vec<FrameId>, MotionError> {
    let rig = scene.at_start();
    Ok(Model::new(&rig, scene.damping_n_s_per_m, &[], scene.flexible)?.loose_junctions(&rig))
}

impl Scene<'_> {
    fn at_start(&self) -> AtStart<'_> {
        AtStart {
            topology: self.topology,
            parameters: self.parameters,
            masses: self.masses,
            start: self.start,
        }
    }

    fn check(&self, options: &Options) -> Result<(), MotionError> {
        self.parameters.check(self.topology)?;
        self.start.check(self.topology)?;
        let counts = [
            (
                "moments of inertia",
                self.masses.inertia_kg_m2.len(),
                self.topology.frame_count(),
            ),
            (
                "forces that are weights or not",
                self.masses.forces_are_weights.len(),
                self.parameters.forces.len(),
            ),
            (
                "damping of lines",
                self.damping_n_s_per_m.len(),
                self.topology.line_count(),
            ),
        ];
        for (what, given, needed) in counts {
            if given != needed {
                return Err(MotionError::WrongCount { what, given, needed });
            }
        }
        let every_s = options.trace_every_s.unwrap_or(1.0);
        let positive = [
            ("seconds", options.seconds),
            ("tolerance", options.tolerance),
            ("trace", every_s),
        ];
        for (what, value) in positive {
            if !(value > 0.0 && value.is_finite()) {
                return Err(MotionError::NotPositive { what, value });
            }
        }
        let mut damping = self.damping_n_s_per_m.iter();
        match damping.find(|value| !(**value >= 0.0 && value.is_finite())) {
            Some(value) => Err(MotionError::NotPositive {
                what: "damping",
                value: *value,
            }),
            None => Ok(()),
        }
    }

    /// Lists what may let go by the signals of a model.
    fn breaking(&self, model: &Model) -> Vec<Breaking> {
        let line = |id: &LineId| model.lines.iter().position(|line| line.id == *id);
        let signal = |pull: &Pull| match pull {
            Pull::Line(id) => line(id),
            Pull::Place(frame) => {
                let support = model
                    .supports
                    .iter()
                    .position(|support| support.frame == *frame)?;
                Some(model.lines.len() + OF_SUPPORT * support)
            }
        };
        let all = self.weaknesses.iter().enumerate().flat_map(|(at, weakness)| {
            weakness
                .pulls
                .iter()
                .filter_map(signal)
                .map(move |signal| Breaking {
                    weakness: at,
                    signal,
                    breaking_n: weakness.breaking_n,
                    takes: weakness.takes.iter().filter_map(line).collect(),
                })
        });
        all.collect()
    }

    fn blank(&self, model: &Model) -> Motion {
        let frames = self.topology.frame_count();
        debug_assert!(model.places.len() == frames);
        Motion {
            lines: vec![Peak::default(); self.topology.line_count()],
            pulls_from_s: vec![None; self.topology.line_count()],
            on_building: vec![OnBuilding::default(); frames],
            travel: vec![None; frames],
            swept: Vec::new(),
            parted: Vec::new(),
            energy_drift: 0.0,
            end: self.start.clone(),
            seconds: 0.0,
            tolerance: 0.0,
            steps: 0,
            trace: Vec::new(),
            so_far: Vec::new(),
            bent: Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_parts_at_one_instant_has_no_order() {
        let (one, other) = ([(3, 0.5), (1, 0.5), (2, 0.9)], [(1, 0.5), (3, 0.5), (2, 0.9)]);
        for at_s in [0.4, 0.5, 1.0] {
            assert_eq!(parted_by(&one, at_s), parted_by(&other, at_s), "{at_s}");
        }
        assert_eq!(parted_by(&one, 0.5), [1, 3]);
        assert_ne!(parted_by(&one, 0.5), parted_by(&one, 0.9));
    }
}
