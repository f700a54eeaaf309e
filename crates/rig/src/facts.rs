//! What came out, in the words of the rules.

use crate::balance::{greatest_share, on_point, tension, upward};
use crate::corners::Corner;
use crate::document::{Allows, End, Load, Rig};
use crate::forces_away::{forces_away, without_forces};
use crate::found::{Change, Fall, Found, is_slack};
use crate::geometry::{angle_rad, array, level_directions, vector, widest_rad};
use crate::letgo::caught_sets;
use crate::model::{LoadModel, Model};
use crate::shares::{Shares, shares};
use crate::steadiness::disturbances;
use crate::trials::{without_carrying, without_grips, without_secondary};
use indexmap::IndexMap;
use parts::Part;
use practice::{
    Allowance, Bend, EndAt, Facts, GroupFacts, JunctionFacts, LineFacts, LoadFacts, PointFacts, Practice,
    Role, Service, ShopAllowance, Under,
};
use quantity::Kind;
use statics::{FreeMotion, FreeMotionKind, Solution, State, Vector3};
use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;
use working::{Number, Source};

/// Parts that a rig names outside its makeups, by point or junction.
#[derive(Debug, Default)]
pub(crate) struct FixedParts {
    pub(crate) points: IndexMap<String, Arc<Part>>,
    pub(crate) junctions: IndexMap<String, Arc<Part>>,
    /// The sections of pipes.
    pub(crate) sections: IndexMap<String, Arc<Part>>,
    /// What clamps lines to pipes, by pipe and pick.
    pub(crate) clamps: IndexMap<(String, String), Arc<Part>>,
}

/// How many directions in the plane are tried for a force sideways.
const DIRECTIONS: u8 = 16;

/// Everything needed to say what came out.
pub(crate) struct Told<'a> {
    pub(crate) rig: &'a Rig,
    pub(crate) model: &'a Model,
    pub(crate) found: &'a Found,
    pub(crate) parts: &'a FixedParts,
    /// For each line, the loads that bear on it, by index.
    bears: Vec<Vec<usize>>,
    /// What inexact lengths and the like can bring; none if nothing hangs.
    shares: Option<Shares>,
    /// What is different from the rig as stated, in a trial.
    pub(crate) change: Change,
}

/// Says what came out of a rig in the words of the rules.
pub(crate) fn facts(
    rig: &Rig,
    model: &Model,
    found: &Found,
    parts: &FixedParts,
    practice: &Practice,
    today: Option<&str>,
) -> Facts {
    let told = Told {
        rig,
        model,
        found,
        parts,
        bears: bears(model),
        shares: found.solution().map(|solution| {
            shares(rig, model, solution, &Change::default(), |line| {
                is_secondary(rig, line)
            })
        }),
        change: Change::default(),
    };
    let mut facts = Facts {
        practice: practice.clone(),
        today: today.map(str::to_string),
        loads: told.loads(),
        lines: told.lines(),
        points: told.points(),
        groups: told.groups(),
        junctions: told.junctions(),
        pipes: told.pipes(),
        allowances: permits(rig),
        falls: falls_as_told(found),
        winds: Vec::new(),
        simplified: told.no_slip(),
        temperature_k: None,
        out_of_trim_m: rig.out_of_trim_m.clone(),
    };
    if let Found::Hangs(rest) = found {
        let caught: Vec<_> = facts.loads.iter().map(|load| caught_sets(&facts, load)).collect();
        for (index, sets) in caught.into_iter().enumerate() {
            facts.loads[index].without_carrying = without_carrying(&told, rest, index, sets);
        }
    }
    facts
}

fn falls_as_told(found: &Found) -> Option<(String, String)> {
    match found {
        Found::Falls(fall) => Some((
            fall.who.first().map_or("rig", String::as_str).to_string(),
            fall.why.clone(),
        )),
        Found::Hangs(_) => None,
    }
}

fn is_secondary(rig: &Rig, line: usize) -> bool {
    rig.lines
        .get_index(line)
        .is_some_and(|(_, line)| line.role == Some(Role::Secondary))
}

/// Gives, for each line, the loads that bear on it: those joined with it through loads and junctions.
fn bears(model: &Model) -> Vec<Vec<usize>> {
    let mut bears = vec![Vec::new(); model.lines.len()];
    let on: Vec<Vec<usize>> = model.loads.values().map(|load| model.lines_of(load)).collect();
    for piece in model
        .topology
        .pieces(&model.parameters, model.topology.lines().collect())
    {
        let touches = |load: &usize| piece.iter().any(|line| on[*load].contains(&line.index()));
        let loads: Vec<usize> = (0..on.len()).filter(touches).collect();
        for line in piece {
            bears[line.index()].clone_from(&loads);
        }
    }
    bears
}

/// Gives the angle of a load's own upright axis to the vertical, or of a pipe to the horizontal, radians.
pub(crate) fn tilt_of_rad(load: &LoadModel, state: &State) -> Option<f64> {
    let rotation = |frame: &statics::FrameId| state.rotation[frame.index()];
    let turned = angle_rad(&(rotation(&load.frame) * Vector3::z()), &Vector3::z());
    if load.pipe.is_none() {
        return turned;
    }
    // A pipe is as steep as its steepest part between hinges, and has rolled over if anything is off its axis.
    let steepest = load.pipe.as_ref().map(|pipe| pipe.chain.slope_rad(state));
    let rolled = turned.filter(|_| load.is_lopsided);
    Some(steepest.into_iter().chain(rolled).fold(0.0, f64::max))
}

/// The greatest forces that some points can get together, newtons.
#[derive(Default)]
struct WorstOn {
    down_n: Option<Number>,
    up_n: Option<Number>,
    side_n: Option<Number>,
    force_n: Option<Number>,
}

fn accelerates(name: &str, load: &Load, value: f64) -> Number {
    let section = if load.pipe.is_some() { "pipes" } else { "loads" };
    Number::given(
        format!("greatest acceleration of `{name}` as it starts and stops"),
        "a",
        Kind::Acceleration,
        value,
        Source::stated(format!("rig file, {section}.{name}.accelerates")),
    )
}

/// What the loads that bear on something have in common, at its worst.
pub(crate) struct Duty {
    pub(crate) loads: Vec<String>,
    pub(crate) under: Under,
    pub(crate) service: Service,
    pub(crate) dynamic: Option<Number>,
}

impl Told<'_> {
    pub(crate) fn solution(&self) -> Option<&Solution> {
        self.found.solution()
    }

    /// Lists what lengths that are off by their tolerance do to lines that hold a pipe.
    pub(crate) fn corners(&self) -> &[Corner] {
        self.shares.as_ref().map_or(&[], |shares| &shares.corners)
    }

    /// Lists the same rig with secondary lines slack, without forces that may be away, and with lines about to slip, with which that
    /// is in words.
    pub(crate) fn variants(&self) -> impl Iterator<Item = (&str, &Solution)> {
        self.shares.iter().flat_map(Shares::variants)
    }

    /// Gives the same rig at rest with a change.
    pub(crate) fn in_trial<'b>(&'b self, rest: &'b Found, change: Change) -> Told<'b> {
        let shares = rest.solution().map(|solution| {
            shares(self.rig, self.model, solution, &change, |line| {
                is_secondary(self.rig, line)
            })
        });
        Told {
            found: rest,
            bears: self.bears.clone(),
            shares,
            change,
            ..*self
        }
    }

    /// Gives the same rig at rest with a change, of which nothing is asked but where everything is.
    pub(crate) fn at_rest<'b>(&'b self, rest: &'b Found, change: Change) -> Told<'b> {
        Told {
            found: rest,
            bears: self.bears.clone(),
            shares: None,
            change,
            ..*self
        }
    }

    /// Lists what the rules are told of the loads.
    fn loads(&self) -> Vec<LoadFacts> {
        let without = self
            .solution()
            .map_or(Vec::new(), |solution| without_forces(self.model, solution));
        let each = (0..self.rig.loads.len()).filter_map(|load| self.load(load));
        each.map(|mut facts| {
            if let Some(load) = self.model.loads.get(&facts.name) {
                facts.forces_away = forces_away(self.model, &load.path(&facts.name), load, &without);
            }
            facts
        })
        .collect()
    }

    /// Lists what the rules are told of the lines that are there.
    pub(crate) fn lines(&self) -> Vec<LineFacts> {
        let there = (0..self.rig.lines.len()).filter(|line| self.change.keeps(*line));
        there.filter_map(|line| self.line(line)).collect()
    }

    /// Lists what the rules are told of the points.
    pub(crate) fn points(&self) -> Vec<PointFacts> {
        self.rig.points.keys().map(|name| self.point(name)).collect()
    }

    /// Lists what the rules are told of the junctions.
    pub(crate) fn junctions(&self) -> Vec<JunctionFacts> {
        self.rig
            .junctions
            .keys()
            .map(|name| self.junction(name))
            .collect()
    }

    /// Sums up the loads that bear on some lines.
    pub(crate) fn duty(&self, lines: impl Iterator<Item = usize>) -> Duty {
        self.duty_of(lines.flat_map(|line| self.bears[line].iter().copied()).collect())
    }

    /// Sums up what a pipe is, and the loads that bear on its lines; where it is built in it may have none.
    pub(crate) fn duty_of_pipe(&self, index: usize, lines: &[usize]) -> Duty {
        let borne = lines.iter().flat_map(|line| self.bears[*line].iter().copied());
        self.duty_of(borne.chain([index]).collect())
    }

    fn duty_of(&self, mut loads: Vec<usize>) -> Duty {
        loads.sort_unstable();
        loads.dedup();
        let documents = || loads.iter().filter_map(|load| self.rig.loads.get_index(*load));
        let service = |s: Service| documents().any(|(_, load)| load.service == Some(s));
        Duty {
            loads: documents().map(|(name, _)| name.clone()).collect(),
            under: documents()
                .map(|(_, load)| load.under)
                .max()
                .unwrap_or(Under::Public),
            service: match () {
                () if service(Service::People) => Service::People,
                () if service(Service::Moving) => Service::Moving,
                () => Service::Still,
            },
            dynamic: documents()
                .filter_map(|(name, load)| Some((name, load, load.dynamic?)))
                .max_by(|a, b| a.2.total_cmp(&b.2))
                .map(|(name, load, factor)| dynamic(name, load, factor)),
        }
    }

    /// Says who may be below a load: whoever is below any load that a line joins it with, since one hangs on the other.
    fn under_of(&self, index: usize) -> Under {
        let mut joined = vec![index];
        let load_of = |end: &End| match end {
            End::Pick(load, _) => self.rig.loads.get_index_of(load),
            End::Point(_) | End::Junction(_) => None,
        };
        let between: Vec<(usize, usize)> = self
            .rig
            .lines
            .values()
            .filter_map(|line| Some((load_of(&line.from)?, load_of(&line.to)?)))
            .collect();
        let mut next = 0;
        while let Some(load) = joined.get(next).copied() {
            next += 1;
            for (a, b) in &between {
                let other = match load {
                    load if load == *a => *b,
                    load if load == *b => *a,
                    _ => continue,
                };
                if !joined.contains(&other) {
                    joined.push(other);
                }
            }
        }
        self.duty_of(joined).under
    }

    fn load(&self, index: usize) -> Option<LoadFacts> {
        let (name, load) = self.rig.loads.get_index(index)?;
        let (_, modelled) = self.model.loads.get_index(index)?;
        let lines = self.model.lines_of(modelled);
        let bearing = || (0..self.model.lines.len()).filter(|line| self.bears[*line].contains(&index));
        let grips: Vec<usize> = bearing().filter(|line| self.has_grip(*line)).collect();
        let secondary: Vec<usize> = bearing().filter(|line| is_secondary(self.rig, *line)).collect();
        let any = |flags: fn(&Shares) -> &Vec<bool>| {
            self.shares
                .as_ref()
                .is_some_and(|shares| lines.iter().any(|line| flags(shares)[*line]))
        };
        let mut facts = LoadFacts {
            name: name.clone(),
            weight_n: modelled.weight_n.clone(),
            weight_from: load.weight_from,
            margin: modelled.margin.clone(),
            under: self.under_of(index),
            service: load.service.unwrap_or(Service::Still),
            dynamic: load.dynamic.map(|factor| dynamic(name, load, factor)),
            height_m: self.height_m(index),
            top_m: self
                .places(index)
                .iter()
                .map(|at| at.z)
                .fold(f64::NEG_INFINITY, f64::max),
            may_move_m: load.may_move_m,
            accelerates_m_per_s2: load
                .accelerates_m_per_s2
                .map(|value| accelerates(name, load, value)),
            caught: Vec::new(),
            slips: Vec::new(),
            disturbances: Vec::new(),
            included: self.included_at_picks(index),
            moved_m: None,
            turned_rad: None,
            falls: None,
            unstable_as_drawn: false,
            free_motions: Vec::new(),
            line_count: lines.len(),
            shares_by_length: any(|shares| &shares.by_length) || any(|shares| &shares.too_large),
            shares_bounded: !any(|shares| &shares.too_large),
            tilt_rad: None,
            forces_away: Vec::new(),
            without_secondary: None,
            without_carrying: Vec::new(),
            without_grips: Vec::new(),
        };
        match self.found {
            Found::Falls(fall) => facts.falls = Some(why_it_falls(fall, name)),
            Found::Hangs(solution) => {
                let state = &solution.state;
                let frame = modelled.frame.index();
                facts.moved_m = Some((state.position_m[frame] - self.model.guess.position_m[frame]).norm());
                facts.turned_rad = Some(turned_rad(modelled, &self.model.guess, state));
                facts.tilt_rad = self.tilt_rad(index);
                facts.unstable_as_drawn = solution.unstable_as_drawn.contains(&modelled.frame)
                    && settles_elsewhere(self, index, modelled, solution);
                facts.disturbances = disturbances(self, index);
                facts.without_secondary = without_secondary(self, solution, index, &secondary);
                facts.free_motions = free_motions_of(modelled, solution);
                facts.without_grips = without_grips(self, solution, index, (&grips, &secondary));
            }
        }
        Some(facts)
    }

    /// Gives the known places of a load where it hangs, or else as drawn: its origin, picks, items, both ends of a pipe, and its centre of
    /// gravity, metres.
    pub(crate) fn places(&self, load: usize) -> Vec<Vector3<f64>> {
        let Some(((_, document), (_, modelled))) = self
            .rig
            .loads
            .get_index(load)
            .zip(self.model.loads.get_index(load))
        else {
            return Vec::new();
        };
        let state = self.state();
        let items = document.items.iter().chain(&document.added).map(|item| item.at_m);
        let ends = document.pipe.iter().flat_map(crate::pipes::Pipe::ends_m);
        let own = document
            .picks
            .values()
            .copied()
            .chain(items)
            .chain(ends)
            .chain([[0.0; 3]]);
        let place = |at: [f64; 3]| self.model.place_m(modelled, state, &vector(at));
        own.map(place).chain([self.centre_m(load)]).collect()
    }

    /// Gives the place of a load's centre of gravity where it hangs, or else as drawn, metres.
    pub(crate) fn centre_m(&self, load: usize) -> Vector3<f64> {
        let Some(((_, document), (_, modelled))) = self
            .rig
            .loads
            .get_index(load)
            .zip(self.model.loads.get_index(load))
        else {
            return Vector3::zeros();
        };
        let state = self.state();
        let (topology, parameters) = (&self.model.topology, &self.model.parameters);
        if modelled.pipe.is_none() {
            return state.centre_at_m(topology, parameters, modelled.frame);
        }
        // What a pipe weighs itself has its centre in its middle.
        let factor = 1.0 + document.margin.unwrap_or(0.0);
        let items = document.items.iter().map(|item| (item, factor));
        let moment: Vector3<f64> = items
            .chain(document.added.iter().map(|item| (item, 1.0)))
            .map(|(item, factor)| vector(item.at_m) * (factor * f64::from(item.count) * item.weight_n))
            .sum();
        self.model
            .place_m(modelled, state, &(moment / modelled.weight_n.value()))
    }

    /// Gives the height of the lowest known place of a load above z = 0, metres.
    pub(crate) fn height_m(&self, load: usize) -> f64 {
        let heights = self.places(load).into_iter().map(|at| at.z);
        heights.fold(f64::INFINITY, f64::min)
    }

    /// Gives the angle of a load's own upright axis to the vertical, or of a pipe to the horizontal, radians; none if it
    /// does not hang.
    pub(crate) fn tilt_rad(&self, load: usize) -> Option<f64> {
        let (_, modelled) = self.model.loads.get_index(load)?;
        tilt_of_rad(modelled, &self.solution()?.state)
    }

    /// Gives the widest angle between two taut lines at one pick of a load, with the pick.
    pub(crate) fn included_at_picks(&self, load: usize) -> Option<(String, f64)> {
        let (load, document) = self.rig.loads.get_index(load)?;
        let each = document.picks.keys().filter_map(|pick| {
            let attachment = self.model.picks.get(&(load.clone(), pick.clone()))?;
            Some((pick.clone(), self.widest_on_a_side_rad(|a| a == *attachment)?))
        });
        each.max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Gives the state found, or else the one drawn.
    fn state(&self) -> &statics::State {
        self.solution()
            .map_or(&self.model.guess, |solution| &solution.state)
    }

    fn has_grip(&self, line: usize) -> bool {
        let makeup = self
            .model
            .lines
            .get_index(line)
            .and_then(|(_, line)| line.makeup.as_ref());
        makeup.is_some_and(|makeup| makeup.pieces.iter().any(|piece| piece.part.grip().is_some()))
    }

    fn line(&self, index: usize) -> Option<LineFacts> {
        let (name, document) = self.rig.lines.get_index(index)?;
        let (_, modelled) = self.model.lines.get_index(index)?;
        let duty = self.duty(std::iter::once(index));
        let result = self.solution().map(|solution| solution.line(modelled.id));
        let role = document.role.unwrap_or(Role::Carries);
        Some(LineFacts {
            name: name.clone(),
            makeup: modelled.makeup.clone(),
            loads: duty.loads,
            under: duty.under,
            service: duty.service,
            dynamic: duty.dynamic,
            tension_n: self.tension(index),
            worst_share_n: self.worst_share(index),
            within_tolerances: self
                .shares
                .as_ref()
                .is_some_and(|shares| shares.within_tolerances(index)),
            set_by_adjustment: self
                .shares
                .as_ref()
                .is_some_and(|shares| shares.by_adjustment[index]),
            slip_range_n: self.shares.as_ref().and_then(|shares| shares.slip_range_n(index)),
            // A span carries by its sag.
            slack: result.is_some_and(|result| {
                is_slack(role, &result) && !(is_span(document) && result.sag_m.is_some())
            }),
            role,
            lifts: self.lifts(index),
            from_horizontal_rad: self.least_angle_rad(index),
            ends: [&document.from, &document.to].map(end_at),
            bends: self.bends(index),
        })
    }

    /// Says which trial this is, in words; nothing for the rig as stated.
    fn when(&self) -> String {
        let name = |line: &usize| self.model.lines.get_index(*line).map(|(name, _)| name.as_str());
        let gone: Vec<&str> = self.change.lines.iter().filter_map(name).collect();
        if gone.is_empty() {
            return String::new();
        }
        format!("with {} gone", gone.join(", "))
    }

    /// Derives the tension of a line; none if nothing hangs or the line is gone.
    fn tension(&self, line: usize) -> Option<Number> {
        let solution = self.solution().filter(|_| self.change.keeps(line))?;
        let result = solution.lines.get(line)?;
        let upward = upward(self.model, solution, line);
        Some(tension(self.model, line, result, upward, &self.when()))
    }

    /// Says where friction at sheaves is left out.
    fn no_slip(&self) -> Vec<String> {
        let each = self.shares.iter().flat_map(|shares| &shares.no_slip);
        let says = |way: &String| {
            format!("no balance was found with {way}: what friction at sheaves then does is not counted")
        };
        each.map(says).collect()
    }

    fn worst_share(&self, line: usize) -> Option<Number> {
        let shares = self.shares.as_ref()?;
        let worst = shares.worst[line].as_ref()?;
        let upward = upward(self.model, self.solution()?, line);
        Some(greatest_share(
            self.model,
            line,
            (worst, shares.within_tolerances(line)),
            upward,
        ))
    }

    /// Gives the greatest force down, up, sideways and in all on some points together; none where it is no more than
    /// what was found, or not bounded.
    fn worst_on(&self, what: &str, points: &[&String]) -> Option<WorstOn> {
        let frames: Vec<statics::FrameId> = points
            .iter()
            .filter_map(|p| self.model.points.get(*p).copied())
            .collect();
        let lines: Vec<usize> = frames
            .iter()
            .flat_map(|frame| self.model.lines_on(*frame))
            .collect();
        let shares = self.shares.as_ref().filter(|shares| shares.may_differ(&lines))?;
        let down_n = shares.greatest_on(self.model, &frames, &-Vector3::z())?;
        let up_n = shares.greatest_on(self.model, &frames, &Vector3::z())?;
        // The longest of vectors in the plane is no longer than the longest part along the nearest of these.
        let step_rad = std::f64::consts::TAU / f64::from(DIRECTIONS);
        let along =
            level_directions(DIRECTIONS).map(|direction| shares.greatest_on(self.model, &frames, &direction));
        let side_n = along
            .collect::<Option<Vec<f64>>>()?
            .into_iter()
            .fold(0.0, f64::max)
            / (0.5 * step_rad).cos();
        let source =
            || Source::mechanics("statics: the most over all tensions that balance every load and junction");
        let given = |which: &str, symbol: &str, value: f64| {
            Number::given(
                format!("greatest force {which} on {what}"),
                symbol,
                Kind::Force,
                value,
                source(),
            )
        };
        let (down, side) = (
            given("down", "F_down,w", down_n),
            given("sideways", "F_side,w", side_n),
        );
        // A part is pulled as hard upward as downward.
        let up = given("up", "F_up,w", up_n.max(0.0));
        let along = working::greatest([&down, &up]);
        let all = working::sqrt(along.clone() * along + &side * &side);
        let force = Number::computed(
            format!("greatest force on {what}"),
            "F_w",
            Kind::Force,
            all,
            Source::mechanics("Pythagoras"),
        );
        Some(WorstOn {
            up_n: (up_n > 0.0).then_some(up),
            down_n: Some(down),
            side_n: Some(side),
            force_n: Some(force),
        })
    }

    /// Gives the places of what a line touches, in order.
    fn path_at(&self, line: usize) -> Vec<Vector3<f64>> {
        let Some((_, line)) = self.model.lines.get_index(line) else {
            return Vec::new();
        };
        self.state()
            .path_at_m(&self.model.topology, &self.model.parameters, line.id)
    }

    /// Gives the least angle of a line from the horizontal where it leads to a load or a junction, radians. A run from
    /// point to point holds nothing and may be level.
    fn least_angle_rad(&self, line: usize) -> f64 {
        let Some((_, modelled)) = self.model.lines.get_index(line) else {
            return FRAC_PI_2;
        };
        let is_point = |end: &End| matches!(end, End::Point(_));
        let is_span = self
            .rig
            .lines
            .get_index(line)
            .is_some_and(|(_, line)| line.role == Some(Role::Spans));
        let holds = modelled
            .path
            .windows(2)
            .map(|pair| is_span || !pair.iter().all(is_point));
        let path = self.path_at(line);
        let runs = path.windows(2).zip(holds).filter(|(_, holds)| *holds);
        let steepness = |(pair, _): (&[Vector3<f64>], bool)| {
            let along = pair[1] - pair[0];
            along.z.abs().atan2(along.xy().norm())
        };
        runs.map(steepness).fold(FRAC_PI_2, f64::min)
    }

    /// Tells whether a line pulls upward on a load or junction at an end of it.
    fn lifts(&self, line: usize) -> bool {
        let Some((_, modelled)) = self.model.lines.get_index(line) else {
            return false;
        };
        let path = self.path_at(line);
        let ([first, second, ..], [.., before, last]) = (path.as_slice(), path.as_slice()) else {
            return false;
        };
        let ends = [modelled.path.first(), modelled.path.last()];
        let up = [second.z > first.z, before.z > last.z];
        ends.into_iter()
            .zip(up)
            .any(|(end, up)| up && !matches!(end, None | Some(End::Point(_))))
    }

    fn bends(&self, line: usize) -> Vec<Bend> {
        let Some((_, document)) = self.rig.lines.get_index(line) else {
            return Vec::new();
        };
        let path = self.path_at(line);
        let over = document.via.iter().zip(path.windows(3));
        over.map(|(end, at)| {
            let diameter_m = match end {
                End::Point(name) => self.rig.points.get(name).and_then(|point| point.diameter_m),
                End::Junction(name) => self
                    .rig
                    .junctions
                    .get(name)
                    .and_then(|junction| junction.diameter_m),
                End::Pick(..) => None,
            };
            let source = || Source::stated(format!("rig file, diameter of {end}"));
            Bend {
                over: end.to_string(),
                diameter_m: diameter_m
                    .map(|d| Number::given(format!("diameter of {end}"), "D", Kind::Length, d, source())),
                deflection_rad: angle_rad(&(at[1] - at[0]), &(at[2] - at[1])).unwrap_or(0.0),
            }
        })
        .collect()
    }

    fn point(&self, name: &str) -> PointFacts {
        let document = &self.rig.points[name];
        let frame = self.model.points[name];
        let duty = self.duty(self.model.lines_on(frame).into_iter());
        let on = self
            .solution()
            .and_then(|solution| on_point(self.model, solution, name));
        let worst = self.worst_on(name, &[&name.to_string()]);
        let worst = worst.unwrap_or_default();
        let axis = document.axis.map(vector);
        let normal = axis
            .zip(document.plane.map(vector))
            .map(|(axis, plane)| axis.cross(&plane));
        let out_of_plane_rad = normal.and_then(|normal| {
            let pulls = self.pulls_on(frame)?.into_iter();
            let angles = pulls.filter_map(|pull| angle_rad(&pull, &normal));
            // What nothing pulls on is in its plane.
            Some(angles.map(|angle| (angle - FRAC_PI_2).abs()).fold(0.0, f64::max))
        });
        PointFacts {
            name: name.to_string(),
            down_n: on.as_ref().map(|on| on.down_n.clone()),
            side_n: on.as_ref().map(|on| on.side_n.clone()),
            force_n: on.map(|on| on.force_n),
            worst_down_n: worst.down_n,
            worst_up_n: worst.up_n,
            worst_side_n: worst.side_n,
            worst_force_n: worst.force_n,
            allows: document
                .allows
                .as_ref()
                .map(|allows| allowance(&format!("points.{name}"), allows)),
            part: self.parts.points.get(name).cloned(),
            off_axis_rad: axis.and_then(|axis| self.widest_off_axis_rad(frame, &axis)),
            out_of_plane_rad,
            included_rad: widest_rad(&self.directions(|a| self.model.topology.frame_of(a) == frame)),
            under: duty.under,
            service: duty.service,
            dynamic: duty.dynamic,
        }
    }

    /// Gives the widest angle from an axis of the whole pull on a point, and of each line on it.
    fn widest_off_axis_rad(&self, frame: statics::FrameId, axis: &Vector3<f64>) -> Option<f64> {
        let pulls = self.pulls_on(frame)?.into_iter();
        // What nothing pulls on is in line.
        Some(
            pulls
                .filter_map(|pull| angle_rad(&pull, axis))
                .fold(0.0, f64::max),
        )
    }

    /// Gives the pull of each line that is there on a point, in direction only, and the pull of all together; none where there is
    /// none. A limp line pulls where it would if it came taut. What lines weigh is no pull: beside one that is all but limp it would
    /// lead anywhere.
    fn pulls_on(&self, frame: statics::FrameId) -> Option<Vec<Vector3<f64>>> {
        let mut pulls = self.pulls_in(self.solution()?, frame, false);
        // Where a force that helps is away, or a secondary line slack, the others lead another way.
        for (_, solution) in self.variants() {
            pulls.extend(self.pulls_in(solution, frame, true));
        }
        (!pulls.is_empty()).then_some(pulls)
    }

    fn pulls_in(&self, solution: &Solution, frame: statics::FrameId, are_taut: bool) -> Vec<Vector3<f64>> {
        let there = self
            .model
            .lines_on(frame)
            .into_iter()
            .filter(|line| self.change.keeps(*line) && !(are_taut && solution.lines[*line].limp));
        let there = there.filter_map(|line| self.model.lines.get_index(line));
        let mut whole = Vector3::zeros();
        let mut pulls: Vec<Vector3<f64>> = Vec::new();
        for (_, line) in there {
            let pull = self.model.pull_direction(&solution.state, line.id, frame);
            whole += pull * solution.line(line.id).tension_n;
            pulls.push(pull);
        }
        if pulls.len() > 1 {
            pulls.push(whole);
        }
        pulls
    }

    /// Gives the widest angle between two taut lines that leave some attachments to the same side, up or down. A line up
    /// and a line down are a straight pull.
    fn widest_on_a_side_rad(&self, from: impl Fn(statics::AttachmentId) -> bool) -> Option<f64> {
        // A line that spans runs on beyond.
        let bears = |line: usize| {
            self.rig
                .lines
                .get_index(line)
                .is_none_or(|(_, line)| line.role != Some(Role::Spans))
        };
        let (up, down): (Vec<_>, Vec<_>) = self
            .directions_of(from, bears)
            .into_iter()
            .partition(|d| d.z >= 0.0);
        let widest = [widest_rad(&up), widest_rad(&down)];
        widest.into_iter().flatten().reduce(f64::max)
    }

    /// Gives the directions in which taut lines leave some attachments.
    fn directions(&self, from: impl Fn(statics::AttachmentId) -> bool) -> Vec<Vector3<f64>> {
        self.directions_of(from, |_| true)
    }

    fn directions_of(
        &self,
        from: impl Fn(statics::AttachmentId) -> bool,
        which: impl Fn(usize) -> bool,
    ) -> Vec<Vector3<f64>> {
        let mut found = Vec::new();
        for (line, (_, modelled)) in self
            .model
            .lines
            .iter()
            .enumerate()
            .filter(|(line, _)| which(*line))
        {
            if self
                .solution()
                .is_some_and(|solution| solution.line(modelled.id).limp)
            {
                continue;
            }
            let path = self.model.topology.path(modelled.id);
            let at = self.path_at(line);
            for (i, attachment) in path.iter().enumerate() {
                if from(*attachment) {
                    let beside = [i.checked_sub(1), Some(i + 1)].into_iter().flatten();
                    found.extend(beside.filter_map(|j| Some(at.get(j)? - at[i])));
                }
            }
        }
        found
    }

    fn junction(&self, name: &str) -> JunctionFacts {
        let frame = self.model.junctions[name];
        let lines = self.model.lines_on(frame);
        let duty = self.duty(lines.iter().copied());
        let tensions = lines.iter().filter_map(|line| self.tension(*line));
        let worst = lines.iter().filter_map(|line| self.worst_share(*line));
        let greatest_n = tensions
            .chain(worst)
            .max_by(|a, b| a.value().total_cmp(&b.value()));
        let on_it = |a| self.model.topology.frame_of(a) == frame;
        JunctionFacts {
            name: name.to_string(),
            part: self.parts.junctions.get(name).cloned(),
            pulls: self.directions(on_it).len(),
            greatest_n,
            included_rad: self.widest_on_a_side_rad(on_it),
            under: duty.under,
            service: duty.service,
            dynamic: duty.dynamic,
        }
    }

    /// Lists what the rules are told of the groups of points on one beam.
    pub(crate) fn groups(&self) -> Vec<GroupFacts> {
        let mut groups: IndexMap<&String, Vec<&String>> = IndexMap::new();
        for (name, point) in &self.rig.points {
            if let Some(group) = &point.group {
                groups.entry(group).or_default().push(name);
            }
        }
        groups
            .into_iter()
            .map(|(name, points)| {
                let on: Option<Vec<_>> = points
                    .iter()
                    .map(|point| on_point(self.model, self.solution()?, point))
                    .collect();
                let source = || Source::mechanics("sum over the points of the group");
                let down_n = on.as_ref().map(|on| {
                    let terms = working::sum(on.iter().map(|on| &on.down_n));
                    Number::computed(
                        format!("force down on {name}"),
                        "F_down",
                        Kind::Force,
                        terms,
                        source(),
                    )
                });
                let side_n = on.as_ref().map(|_| self.group_side(name, &points));
                let worst = self.worst_on(name, &points);
                let worst = worst.unwrap_or_default();
                GroupFacts {
                    name: name.clone(),
                    points: points.into_iter().cloned().collect(),
                    down_n,
                    side_n,
                    worst_down_n: worst.down_n,
                    worst_up_n: worst.up_n,
                    worst_side_n: worst.side_n,
                    allows: self
                        .rig
                        .groups
                        .get(name)
                        .map(|allows| allowance(&format!("groups.{name}"), allows)),
                }
            })
            .collect()
    }

    /// Sums the forces sideways on the points of a group, as vectors.
    fn group_side(&self, name: &str, points: &[&String]) -> Number {
        let total: Vector3<f64> = points
            .iter()
            .filter_map(|point| Some(self.solution()?.on_building_n[self.model.points.get(*point)?.index()]))
            .sum();
        let along = |axis: usize, axis_name: &str| {
            let source = Source::mechanics("sum over the points of the group");
            Number::given(
                format!("force on {name} in {axis_name}"),
                format!("F_{axis_name}"),
                Kind::Force,
                array(total)[axis],
                source,
            )
        };
        let (x, y) = (along(0, "x"), along(1, "y"));
        let formula = working::sqrt(&x * &x + &y * &y);
        Number::computed(
            format!("force sideways on {name}"),
            "F_side",
            Kind::Force,
            formula,
            Source::mechanics("Pythagoras"),
        )
    }
}

/// Says why a load falls, or that this is not known because something else does.
fn why_it_falls(fall: &Fall, load: &str) -> String {
    let others = fall.who.iter().any(|who| who.starts_with("loads."));
    if !others || fall.who.contains(&format!("loads.{load}")) {
        fall.why.clone()
    } else {
        format!("not solved, because {} falls: {}", fall.who.join(", "), fall.why)
    }
}

/// Tells whether a line is said to span.
fn is_span(line: &crate::document::Line) -> bool {
    line.role == Some(Role::Spans)
}

/// Gives how far a load has turned from one state to another, radians: a pipe that has all it is about on its axis only as
/// far as that has, since it may roll about it for nothing.
fn turned_rad(load: &LoadModel, was: &statics::State, is: &statics::State) -> f64 {
    let [was, is] = [was, is].map(|state| state.rotation[load.frame.index()]);
    if load.pipe.is_some() && !load.is_lopsided {
        return angle_rad(&(was * Vector3::x()), &(is * Vector3::x())).unwrap_or(0.0);
    }
    was.angle_to(&is)
}

/// A load that leaves its drawn pose tilts by more than that, radians: half a degree is about what a person sees.
const SEEN_TILT_RAD: f64 = 0.5 * std::f64::consts::PI / 180.0;
/// One that turns by more than this settles elsewhere: twice what it is turned to see whether it comes back, which what turns freely keeps.
const SEEN_TURN_RAD: f64 = 0.1;

/// Tells whether a load settles where a person sees that it is not as drawn.
///
/// What hangs slack beside the middle of a load all but balances as drawn, and turning about a plumb line meets no resistance: together they
/// look unstable to the search by rounding, and settle where they were drawn.
fn settles_elsewhere(told: &Told<'_>, load: usize, modelled: &LoadModel, solution: &Solution) -> bool {
    let turned = turned_rad(modelled, &told.model.guess, &solution.state);
    let was = tilt_of_rad(modelled, &told.model.guess);
    let tilted = was.zip(told.tilt_rad(load)).map(|(was, is)| (is - was).abs());
    // Written so that what is no number is elsewhere.
    let stays = tilted.is_some_and(|tilted| tilted <= SEEN_TILT_RAD) && turned <= SEEN_TURN_RAD;
    !stays
}

/// Says in words how a load may still turn or swing; a pipe's bodies together.
fn free_motions_of(load: &LoadModel, solution: &Solution) -> Vec<String> {
    let of_it = |motion: &FreeMotion| load.frames().contains(&motion.frame);
    if load.pipe.is_none() {
        return free_motions(solution, of_it);
    }
    let axis = solution.state.rotation[load.frame.index()] * Vector3::x();
    let mut found = Vec::new();
    for motion in solution.free_motions.iter().filter(|motion| of_it(motion)) {
        let rolls = match &motion.kind {
            FreeMotionKind::Turns { axis: about, .. } => about.dot(&axis).abs() > 0.99,
            FreeMotionKind::Moves { .. } => false,
        };
        let words = if rolls {
            "rolls about its own axis".to_string()
        } else {
            motion_in_words(motion)
        };
        if !found.contains(&words) {
            found.push(words);
        }
    }
    found
}

/// Says in words how frames may still turn or swing.
pub(crate) fn free_motions(solution: &Solution, which: impl Fn(&FreeMotion) -> bool) -> Vec<String> {
    solution
        .free_motions
        .iter()
        .filter(|motion| which(motion))
        .map(motion_in_words)
        .collect()
}

fn motion_in_words(motion: &FreeMotion) -> String {
    let along = |d: &Vector3<f64>| match array(*d).map(f64::abs) {
        [x, y, z] if z > 0.999 * (x * x + y * y + z * z).sqrt() => "the vertical".to_string(),
        [x, y, z] if x > 0.999 * (x * x + y * y + z * z).sqrt() => "the x axis".to_string(),
        [x, y, z] if y > 0.999 * (x * x + y * y + z * z).sqrt() => "the y axis".to_string(),
        _ => format!("the direction ({:.2}, {:.2}, {:.2})", d.x, d.y, d.z),
    };
    let with = if motion.shared {
        ", other things with it"
    } else {
        ""
    };
    match &motion.kind {
        FreeMotionKind::Turns { axis, .. } => format!("turns about {}{with}", along(axis)),
        FreeMotionKind::Moves { direction } => format!("moves along {}{with}", along(direction)),
    }
}

fn dynamic(name: &str, load: &Load, factor: f64) -> Number {
    let section = if load.pipe.is_some() { "pipes" } else { "loads" };
    let source = Source::stated(format!("rig file, {section}.{name}.dynamic"));
    Number::given(
        format!("dynamic factor of {name}"),
        "k_dyn",
        Kind::Number,
        factor,
        source,
    )
}

fn end_at(end: &End) -> EndAt {
    match end {
        End::Point(name) => EndAt::Point(name.clone()),
        End::Junction(name) => EndAt::Junction(name.clone()),
        End::Pick(load, pick) => EndAt::Pick(load.clone(), pick.clone()),
    }
}

fn allowance(path: &str, allows: &Allows) -> Allowance {
    let by = allows
        .document
        .as_ref()
        .or(allows.by.as_ref())
        .map_or(String::new(), |d| format!(" ({d})"));
    let stated = |what: &str, value: Option<f64>, key: &str| {
        value.map(|value| {
            let source = Source::stated(format!("rig file, {path}.allows.{key}{by}"));
            Number::given(
                format!("{what} allowed at {path}"),
                format!("F_{key},allowed"),
                Kind::Force,
                value,
                source,
            )
        })
    };
    Allowance {
        down_n: stated("force down", allows.down_n, "down"),
        side_n: stated("force sideways", allows.side_n, "side"),
        by: allows.by.clone(),
        document: allows.document.clone(),
    }
}

fn permits(rig: &Rig) -> Vec<ShopAllowance> {
    let each = |(name, permit): (&String, &crate::document::Permit)| ShopAllowance {
        name: name.clone(),
        lines: permit.lines.clone(),
        weight_n: permit.weight_n,
        height_m: permit.height_m,
        under: permit.under,
        approved_by: permit.approved_by.clone(),
        why: permit.why.clone(),
        until: permit.until.clone(),
    };
    rig.permits.iter().map(each).collect()
}
