//! What the mechanics found: the equilibrium of the rig, or why there is none.

use crate::model::Model;
use statics::{
    AppliedForce, AttachmentId, FrameId, LineId, Options, Outcome, Solution, State, StaticsError, Vector3,
    Workspace, solve, solve_again,
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

/// Finds the equilibrium of the rig from its trim.
pub(crate) fn find(model: &Model, workspace: &mut Workspace) -> Result<Found, StaticsError> {
    let outcome = solve(
        &model.topology,
        &model.parameters,
        &model.guess,
        &Options::default(),
        workspace,
    )?;
    Ok(match outcome {
        Outcome::Found(solution) => Found::Hangs(Box::new(solution)),
        Outcome::NothingHolds(unheld) => Found::Falls(nothing_holds(model, &unheld.frames)),
        Outcome::Jams(jam) => Found::Falls(jams(model, jam)),
    })
}

/// A trial: the rig with some of its lines gone.
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

    /// Finds what hangs, starting from `from`, with only the lines that `stays` names.
    ///
    /// A search that does not end counts as not hanging: what can not be shown to hold is not credited.
    pub(crate) fn without(
        &mut self,
        from: &Solution,
        stays: impl Fn(usize) -> bool,
    ) -> Result<&Solution, Fall> {
        self.keep(stays);
        self.solve(from)
    }

    fn keep(&mut self, stays: impl Fn(usize) -> bool) {
        self.parameters.clone_from(&self.model.parameters);
        for (index, line) in self.parameters.lines.iter_mut().enumerate() {
            line.active = stays(index);
        }
    }

    /// Finds what hangs without some of the stated forces, by their order in the model, and with only the lines that
    /// `stays` names.
    pub(crate) fn without_forces(
        &mut self,
        from: &Solution,
        stays: impl Fn(usize) -> bool,
        absent: &[usize],
    ) -> Result<&Solution, Fall> {
        self.keep(stays);
        for (index, force) in self.parameters.forces.iter_mut().enumerate() {
            if absent.contains(&index) {
                force.force_n = Vector3::zeros();
            }
        }
        self.solve(from)
    }

    /// Finds what hangs with a force at the centre of gravity of a load.
    pub(crate) fn pushed(
        &mut self,
        from: &Solution,
        load: FrameId,
        force_n: Vector3<f64>,
    ) -> Result<&Solution, Fall> {
        self.parameters.clone_from(&self.model.parameters);
        self.parameters.forces.push(AppliedForce {
            frame: load,
            offset_m: self.parameters.centre_m[load.index()],
            force_n,
        });
        self.solve(from)
    }

    fn solve(&mut self, from: &Solution) -> Result<&Solution, Fall> {
        self.scratch.clone_from(from);
        let topology = &self.model.topology;
        let outcome = solve_again(
            topology,
            &self.parameters,
            &Options::warm(),
            &mut self.workspace,
            &mut self.scratch,
        );
        match outcome {
            Ok(Outcome::Found(())) => Ok(&self.scratch),
            Ok(Outcome::NothingHolds(unheld)) => Err(nothing_holds(self.model, &unheld.frames)),
            Ok(Outcome::Jams(jam)) => Err(jams(self.model, jam)),
            Err(error) => Err(Fall {
                who: Vec::new(),
                why: format!("no equilibrium was found ({error})"),
            }),
        }
    }
}

fn nothing_holds(model: &Model, frames: &[FrameId]) -> Fall {
    let who: Vec<String> = frames.iter().filter_map(|frame| model.path_of(*frame)).collect();
    Fall {
        why: "no line leads from it to a point of the building".into(),
        who,
    }
}

fn jams(model: &Model, jam: statics::Jam) -> Fall {
    let Some((name, line)) = model.lines.get_index(jam.line.index()) else {
        return Fall {
            who: Vec::new(),
            why: "a line runs over until it jams".into(),
        };
    };
    let over = |i: usize| line.path.get(i).map(ToString::to_string).unwrap_or_default();
    let (a, b) = (over(jam.segment), over(jam.segment + 1));
    let who = vec![format!("lines.{name}")];
    Fall {
        who,
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
                .find(|(_, l)| l.frame == frame)
                .map(|(name, _)| named("loads", name))
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
