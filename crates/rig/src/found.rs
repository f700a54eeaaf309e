//! What the mechanics found: the equilibrium of the rig, or why there is none.

use crate::adjust::Reweighed;
use crate::model::Model;
use practice::Role;
use statics::{
    AppliedForce, AttachmentId, BeamId, FrameId, LineId, LineResult, Options, Outcome, Solution, State,
    StaticsError, Vector3, Workspace, solve, solve_again,
};

/// The outcome of a solve.
#[derive(Debug)]
pub(crate) enum Found {
    /// It hangs.
    Hangs(Box<Solution>),
    /// It does not; who falls, and why.
    Falls(Fall),
}

/// Why a rig does not hang.
#[derive(Debug)]
pub(crate) struct Fall {
    /// The loads and junctions that nothing holds, by path.
    pub(crate) who: Vec<String>,
    /// The same as the mechanics know them; empty where a line jams or the search did not end.
    pub(crate) frames: Vec<FrameId>,
    /// Why, in a sentence.
    pub(crate) why: String,
}

impl Found {
    /// Gives the equilibrium, where there is one.
    pub(crate) fn solution(&self) -> Option<&Solution> {
        match self {
            Found::Hangs(solution) => Some(solution),
            Found::Falls(_) => None,
        }
    }
}

/// Tells whether a line is slack for what it is there for: a secondary one where it is longer than its way, any other where
/// nothing hangs on it. A light load on a heavy rope makes it hang through, and longer than its way.
pub(crate) fn is_slack(role: Role, result: &LineResult) -> bool {
    match role {
        Role::Secondary => result.slack,
        _ => result.limp,
    }
}

/// Finds the equilibrium of the rig from its trim.
pub(crate) fn find(model: &Model, workspace: &mut Workspace) -> Result<Found, StaticsError> {
    let outcome = solve(
        &model.topology,
        &model.parameters,
        &model.guess,
        &Options::default(),
        workspace,
    )?;
    Ok(found(model, outcome))
}

fn found(model: &Model, outcome: Outcome) -> Found {
    match outcome {
        Outcome::Found(solution) => Found::Hangs(Box::new(solution)),
        Outcome::NothingHolds(unheld) => Found::Falls(nothing_holds(model, &unheld.frames)),
        Outcome::Jams(jam) => Found::Falls(jams(model, jam)),
    }
}

/// Finds the equilibrium of a case, from that of the plain rig where that is near and there is one.
///
/// A case whose search does not end counts as not hanging: what can not be shown to hold is not credited.
pub(crate) fn find_from(model: &Model, plain: Option<&Solution>) -> Found {
    let mut workspace = Workspace::new(&model.topology);
    let near = plain.and_then(|plain| {
        let (topology, parameters) = (&model.topology, &model.parameters);
        solve(
            topology,
            parameters,
            &plain.state,
            &Options::warm(),
            &mut workspace,
        )
        .ok()
    });
    let found = match near {
        Some(outcome) => Ok(found(model, outcome)),
        None => find(model, &mut workspace),
    };
    found.unwrap_or_else(|_| {
        Found::Falls(Fall {
            who: Vec::new(),
            frames: Vec::new(),
            why: "no rest was found".into(),
        })
    })
}

/// What is different from the rig as stated in a trial.
#[derive(Debug, Clone, Default)]
pub(crate) struct Change {
    /// The lines that are gone, by index.
    pub(crate) lines: Vec<usize>,
    /// The loads and junctions that have fallen: they weigh nothing here, and their lines are gone.
    pub(crate) fallen: Vec<FrameId>,
    /// The stated forces that are away, by their order in the model.
    pub(crate) forces: Vec<usize>,
    /// Whether lines weigh nothing: half of a line's weight stands on each end in this version, which would steady a load
    /// as ballast, while a plumb line hangs on its upper end and a slack one brings what lies below it.
    pub(crate) weightless_lines: bool,
    /// Forces that are there besides.
    pub(crate) pushes: Vec<AppliedForce>,
    /// The pieces of pipe that let it slide along itself, as if the building gave way there.
    pub(crate) sliding: Vec<BeamId>,
    /// By how much lines are longer than they are said to be, by index, metres.
    pub(crate) longer_m: Vec<(usize, f64)>,
    /// What loads weigh, each with what it weighs as stated.
    pub(crate) reweighed: Vec<(Reweighed, Reweighed)>,
    /// How far the centre of gravity of a load is off, in its own axes, metres.
    pub(crate) shift: Option<(FrameId, Vector3<f64>)>,
}

/// What is left of the resistance to stretch of a piece of pipe that slides: so little that it holds nothing, and enough that it stays
/// where it is.
const SLIDES: f64 = 1e-7;

impl Change {
    /// Tells whether a line is there.
    pub(crate) fn keeps(&self, line: usize) -> bool {
        !self.lines.contains(&line)
    }

    /// Writes the numbers of a model with the change.
    fn apply(&self, model: &Model, parameters: &mut statics::Parameters) {
        parameters.clone_from(&model.parameters);
        for (index, line) in parameters.lines.iter_mut().enumerate() {
            line.active = self.keeps(index);
            if self.weightless_lines {
                line.weight_n = 0.0;
            }
        }
        for beam in &self.sliding {
            parameters.beams[beam.index()].shift_n_per_m.x *= SLIDES;
        }
        for (line, by_m) in &self.longer_m {
            parameters.lines[*line].unloaded_length_m += by_m;
        }
        for (index, force) in parameters.forces.iter_mut().enumerate() {
            if self.forces.contains(&index) || self.fallen.contains(&force.frame) {
                force.force_n = Vector3::zeros();
            }
        }
        for (is, stated) in &self.reweighed {
            is.put(stated, model, parameters);
        }
        for frame in &self.fallen {
            parameters.weight_n[frame.index()] = 0.0;
        }
        for beam in model.topology.beams() {
            let ends = model.topology.ends(beam);
            if ends.iter().all(|frame| self.fallen.contains(frame)) {
                parameters.beams[beam.index()].load_n_per_m = Vector3::zeros();
            }
        }
        parameters.forces.extend(&self.pushes);
        if let Some((frame, by_m)) = self.shift {
            parameters.centre_m[frame.index()] += by_m;
        }
    }

    /// Lets loads and junctions fall, and their lines with them.
    pub(crate) fn let_fall(&mut self, model: &Model, frames: &[FrameId]) {
        for frame in frames {
            self.lines.extend(model.lines_on(*frame));
            self.fallen.push(*frame);
        }
    }
}

/// Gives the numbers of a model with a change.
pub(crate) fn changed(model: &Model, change: &Change) -> statics::Parameters {
    let mut parameters = model.parameters.clone();
    change.apply(model, &mut parameters);
    parameters
}

/// A solver for trials that all start from one rig.
pub(crate) struct Trial<'a> {
    model: &'a Model,
    parameters: statics::Parameters,
    workspace: Workspace,
    scratch: Solution,
}

impl<'a> Trial<'a> {
    /// Prepares trials that start from an equilibrium.
    pub(crate) fn new(model: &'a Model, from: &Solution) -> Self {
        Trial {
            model,
            parameters: model.parameters.clone(),
            workspace: Workspace::new(&model.topology),
            scratch: from.clone(),
        }
    }

    /// Finds what hangs with a change, starting from `from`.
    ///
    /// A search that does not end counts as not hanging: what can not be shown to hold is not credited.
    pub(crate) fn with(&mut self, from: &Solution, change: &Change) -> Result<&Solution, Fall> {
        change.apply(self.model, &mut self.parameters);
        self.solve(from)
    }

    fn solve(&mut self, from: &Solution) -> Result<&Solution, Fall> {
        self.scratch.clone_from(from);
        let topology = &self.model.topology;
        let outcome = solve_again(
            topology,
            &self.parameters,
            &Options {
                find_free_motions: false,
                ..Options::warm()
            },
            &mut self.workspace,
            &mut self.scratch,
        );
        match outcome {
            Ok(Outcome::Found(())) => Ok(&self.scratch),
            Ok(Outcome::NothingHolds(unheld)) => Err(nothing_holds(self.model, &unheld.frames)),
            Ok(Outcome::Jams(jam)) => Err(jams(self.model, jam)),
            // What the search says of itself names nothing that a rigger wrote.
            Err(_) => Err(Fall {
                who: Vec::new(),
                frames: Vec::new(),
                why: "no rest was found for what is left".into(),
            }),
        }
    }
}

/// Says why what came out does not hang.
pub(crate) fn fall_of(model: &Model, outcome: &Outcome) -> Fall {
    match outcome {
        Outcome::NothingHolds(unheld) => nothing_holds(model, &unheld.frames),
        Outcome::Jams(jam) => jams(model, *jam),
        Outcome::Found(_) => Fall {
            who: Vec::new(),
            frames: Vec::new(),
            why: "it hangs".into(),
        },
    }
}

fn nothing_holds(model: &Model, frames: &[FrameId]) -> Fall {
    let who: Vec<String> = frames.iter().filter_map(|frame| model.path_of(*frame)).collect();
    Fall {
        why: "no line leads from it to a point of the building".into(),
        who,
        frames: frames.to_vec(),
    }
}

fn jams(model: &Model, jam: statics::Jam) -> Fall {
    let Some((name, line)) = model.lines.get_index(jam.line.index()) else {
        return Fall {
            who: Vec::new(),
            frames: Vec::new(),
            why: "a line runs over until it jams".into(),
        };
    };
    let over = |i: usize| line.path.get(i).map(ToString::to_string).unwrap_or_default();
    let (a, b) = (over(jam.segment), over(jam.segment + 1));
    let who = vec![format!("lines.{name}")];
    Fall {
        who,
        frames: Vec::new(),
        why: format!("line `{name}` runs over freely until `{a}` and `{b}` meet and it jams"),
    }
}

impl Model {
    /// Gives the path of a frame in the rig document.
    pub(crate) fn path_of(&self, frame: FrameId) -> Option<String> {
        let named = |section: &str, name: &str| format!("{section}.{name}");
        let point = self
            .points
            .iter()
            .find(|(_, id)| **id == frame)
            .map(|(name, _)| named("points", name));
        let junction = || {
            self.junctions
                .iter()
                .find(|(_, id)| **id == frame)
                .map(|(n, _)| named("junctions", n))
        };
        let load = || {
            self.loads
                .iter()
                .find(|(_, l)| l.frames().contains(&frame))
                .map(|(name, l)| named(if l.pipe.is_some() { "pipes" } else { "loads" }, name))
        };
        point.or_else(junction).or_else(load)
    }

    /// Gives the name of a frame in the rig document.
    pub(crate) fn name_of(&self, frame: FrameId) -> String {
        let path = self.path_of(frame).unwrap_or_default();
        path.split_once('.')
            .map(|(_, name)| name.to_string())
            .unwrap_or(path)
    }

    /// Gives a place that a line touches, metres.
    pub(crate) fn at_m(&self, state: &State, attachment: AttachmentId) -> Vector3<f64> {
        state.attachment_at_m(&self.topology, &self.parameters, attachment)
    }

    /// Gives the force that unit tension of a line puts on a frame.
    pub(crate) fn pull_direction(&self, state: &State, line: LineId, frame: FrameId) -> Vector3<f64> {
        let pulls = state.unit_pulls(&self.topology, &self.parameters, line);
        let here = self.topology.path(line).iter().zip(pulls);
        here.filter(|(a, _)| self.topology.frame_of(**a) == frame)
            .map(|(_, pull)| pull)
            .sum()
    }

    /// Gives the place of a load's centre of gravity in a solution, metres.
    pub(crate) fn centre_at_m(&self, solution: &Solution, frame: FrameId) -> Vector3<f64> {
        solution
            .state
            .centre_at_m(&self.topology, &self.parameters, frame)
    }

    /// Tells which lines touch a load.
    pub(crate) fn lines_of(&self, load: &crate::model::LoadModel) -> Vec<usize> {
        let mut lines: Vec<usize> = load
            .frames()
            .iter()
            .flat_map(|frame| self.lines_on(*frame))
            .collect();
        lines.sort_unstable();
        lines.dedup();
        lines
    }

    /// Gives the body of a load that has a place of its own axes, and that place from the body.
    pub(crate) fn body_at(load: &crate::model::LoadModel, own_m: &Vector3<f64>) -> (FrameId, Vector3<f64>) {
        match &load.pipe {
            Some(pipe) => pipe.chain.on(own_m),
            None => (load.frame, *own_m),
        }
    }

    /// Gives where a place of a load's own axes is, metres.
    pub(crate) fn place_m(
        &self,
        load: &crate::model::LoadModel,
        state: &State,
        own_m: &Vector3<f64>,
    ) -> Vector3<f64> {
        let (frame, offset_m) = Self::body_at(load, own_m);
        let origin_m = state.frame_at_m(&self.topology, &self.parameters, frame);
        origin_m + state.rotation[frame.index()] * offset_m
    }

    /// Tells which lines touch a frame.
    pub(crate) fn lines_on(&self, frame: FrameId) -> Vec<usize> {
        let touches = |line: &statics::LineId| {
            self.topology
                .path(*line)
                .iter()
                .any(|a| self.topology.frame_of(*a) == frame)
        };
        self.topology
            .lines()
            .filter(touches)
            .map(statics::LineId::index)
            .collect()
    }
}
