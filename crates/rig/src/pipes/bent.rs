//! What goes on within a pipe, in the words of the rules.
//!
//! Conventions: places along it are metres from its start; sizes are never negative; the moment is about any axis across
//! the pipe, the shear in any direction across it.
//! Assumes: bays lie between picks that lines hold up and ends that are built in; where something hangs from a pick, or a line
//! there is slack, it holds nothing.
//! Valid for: equilibria.
//! Source: the forces and moments on what is on one side of a cut; deflection from the line through the two picks beside.
//! Checked by: tests/main/pipes.rs.

use super::document::{BendingAllowed, Given, Pipe, Spread};
use super::ends::{ENDS, on_building};
use crate::balance::{Cut, cut_moment, cut_pull, cut_shear, cut_thrust};
use crate::facts::{Duty, Told};
use crate::model::{LoadModel, PipeModel};
use parts::Bending;
use practice::{Along, BayFacts, BuiltInFacts, CarriedFacts, PickFacts, PipeFacts, SpliceFacts, ThrustFacts};
use quantity::Kind;
use statics::{BeamResult, Solution, Vector3};
use working::{Number, Source};

/// Places tried in each piece, ends among them, for what is greatest.
const TRIED: u32 = 17;

/// A thrust or a pull of no more than this share of a pipe's weight is none.
const LEAST_ALONG: f64 = 0.01;
/// What lifts no more than this share of a pipe's weight holds nothing up.
const LEAST_LIFT: f64 = 0.01;

/// A place within one piece of a pipe.
#[derive(Debug, Clone, Copy)]
struct Place {
    beam: usize,
    /// From the middle of the piece, metres.
    from_middle_m: f64,
}

/// Something that a pipe rests on: a pick that carries, or a built-in end.
struct Rest {
    name: String,
    along_m: f64,
}

impl Told<'_> {
    /// Lists what the rules are told of the pipes.
    pub(crate) fn pipes(&self) -> Vec<PipeFacts> {
        let loads = self.rig.loads.iter().zip(self.model.loads.values()).enumerate();
        loads
            .filter_map(|(index, ((name, document), modelled))| {
                let (pipe, chain) = (document.pipe.as_ref()?, modelled.pipe.as_ref()?);
                let duty = self.duty_of_pipe(index, &self.model.lines_of(modelled));
                Some(self.pipe(name, pipe, (modelled, chain), duty))
            })
            .collect()
    }

    fn pipe(
        &self,
        name: &str,
        pipe: &Pipe,
        (modelled, chain): (&LoadModel, &PipeModel),
        duty: Duty,
    ) -> PipeFacts {
        let bent = self.solution().map(|solution| Bent {
            told: self,
            name,
            pipe,
            modelled,
            chain,
            solution,
        });
        let section = self.parts.sections.get(name).cloned();
        let panel_m = section
            .as_ref()
            .and_then(|part| part.section())
            .and_then(|section| section.panel_m.as_ref())
            .map(Number::value);
        let from_panel_m =
            |along_m: f64| panel_m.map(|panel| (along_m - (along_m / panel).round() * panel).abs());
        PipeFacts {
            name: name.to_string(),
            section,
            stated: stated(name, pipe),
            loads: duty.loads,
            under: duty.under,
            service: duty.service,
            dynamic: duty.dynamic,
            moment_n_m: bent.as_ref().map(|bent| bent.with_worst(moment, cut_moment)),
            shear_n: bent.as_ref().map(|bent| bent.with_worst(shear, cut_shear)),
            torque_n_m: bent.as_ref().and_then(Bent::greatest_torque),
            thrust: bent.as_ref().and_then(Bent::thrust),
            pull_n: bent.as_ref().and_then(Bent::pull),
            bays: self.bays(name, pipe, bent.as_ref()),
            splices: splices(name, pipe, bent.as_ref()),
            built_in: bent.as_ref().map(built_in).unwrap_or_default(),
            picks: self.picks(name, pipe, bent.as_ref(), &from_panel_m),
            carried: carried(pipe, &from_panel_m),
        }
    }

    fn picks(
        &self,
        name: &str,
        pipe: &Pipe,
        bent: Option<&Bent<'_>>,
        from_panel_m: &dyn Fn(f64) -> Option<f64>,
    ) -> Vec<PickFacts> {
        let each = pipe.picks.iter().map(|(pick, at)| PickFacts {
            name: pick.clone(),
            at_m: at.along_m,
            reaction_n: bent.map(|bent| bent.reaction(pick)),
            worst_reaction_n: bent.and_then(|bent| bent.worst_reaction(pick)),
            slack: self.lifts_off(name, pick),
            from_panel_m: from_panel_m(at.along_m),
            part: self.parts.clamps.get(&(name.to_string(), pick.clone())).cloned(),
        });
        each.collect()
    }

    /// Tells whether lines are meant to carry a pick and none that is there pulls.
    fn lifts_off(&self, name: &str, pick: &str) -> bool {
        let Some(solution) = self.solution() else {
            return false;
        };
        let here = self.lines_at(name, pick);
        !here.is_empty() && here.iter().all(|line| solution.lines[*line].limp)
    }

    /// Tells whether any line pulls a pick upward, so that it is not where something hangs from the pipe.
    fn is_held_up(&self, name: &str, pick: &str) -> bool {
        let at = (name.to_string(), pick.to_string());
        let (Some(attachment), Some(load)) = (self.model.picks.get(&at), self.model.loads.get(name)) else {
            return false;
        };
        let lines = self.lines_at(name, pick);
        let Some(solution) = self.solution() else {
            return !lines.is_empty();
        };
        let topology = &self.model.topology;
        let lift_n = |line: &usize| -> f64 {
            let id = statics::LineId(*line as u32);
            let pulls = topology.path(id).iter().zip(solution.pulls_of(topology, id));
            pulls
                .filter(|(at, _)| *at == attachment)
                .map(|(_, pull)| pull.z)
                .sum()
        };
        lines
            .iter()
            .any(|line| lift_n(line) > LEAST_LIFT * load.weight_n.value())
    }

    /// Lists the lines that are there and meant to carry a pick.
    fn lines_at(&self, name: &str, pick: &str) -> Vec<usize> {
        let Some(attachment) = self.model.picks.get(&(name.to_string(), pick.to_string())) else {
            return Vec::new();
        };
        let carries = |line: &usize| {
            let document = self.rig.lines.get_index(*line).map(|(_, line)| line.role);
            self.change.keeps(*line)
                && !matches!(
                    document,
                    Some(Some(practice::Role::Secondary | practice::Role::TiesDown))
                )
        };
        let touches = |line: &usize| {
            let id = statics::LineId(*line as u32);
            self.model.topology.path(id).contains(attachment)
        };
        (0..self.model.lines.len())
            .filter(carries)
            .filter(touches)
            .collect()
    }

    /// Lists the bays: what lies between two neighbouring rests, and its overhangs.
    fn bays(&self, name: &str, pipe: &Pipe, bent: Option<&Bent<'_>>) -> Vec<BayFacts> {
        let rests = self.rests(name, pipe);
        let mut bays = Vec::new();
        let mut add = |says: String, overhang: bool, ends: [f64; 2], line: [f64; 2]| {
            if ends[1] - ends[0] < 1e-3 {
                return;
            }
            let source = Source::stated(format!("rig file, pipes.{name}: its length and picks"));
            let length_m = Number::given(
                format!("length of {name} {says}"),
                "L",
                Kind::Length,
                ends[1] - ends[0],
                source,
            );
            let deepest = bent.map(|bent| bent.deepest(&says, ends, line));
            bays.push(BayFacts {
                name: says,
                overhang,
                length_m,
                at_m: deepest.as_ref().map_or(ends[0], |(_, at_m)| *at_m),
                deflection_m: deepest.map(|(deflection, _)| deflection),
            });
        };
        let (Some(first), Some(last)) = (rests.first(), rests.last()) else {
            return bays;
        };
        // With one rest only there is no line through two: its own direction there counts.
        let beside = |a: &Rest, b: Option<&Rest>| [a.along_m, b.map_or(a.along_m, |b| b.along_m)];
        add(
            format!("before `{}`", first.name),
            true,
            [0.0, first.along_m],
            beside(first, rests.get(1)),
        );
        for pair in rests.windows(2) {
            let ends = [pair[0].along_m, pair[1].along_m];
            add(
                format!("between `{}` and `{}`", pair[0].name, pair[1].name),
                false,
                ends,
                ends,
            );
        }
        let before_last = rests.len().checked_sub(2).and_then(|i| rests.get(i));
        let ends = [last.along_m, pipe.length_m];
        add(
            format!("beyond `{}`", last.name),
            true,
            ends,
            beside(last, before_last),
        );
        bays
    }

    /// Lists what a pipe rests on, from its start.
    fn rests(&self, name: &str, pipe: &Pipe) -> Vec<Rest> {
        let picks = pipe.picks.iter().filter(|(pick, _)| self.is_held_up(name, pick));
        let mut rests: Vec<Rest> = picks
            .map(|(pick, at)| Rest {
                name: pick.clone(),
                along_m: at.along_m,
            })
            .collect();
        for (built_in, (end, along_m)) in pipe.built_in.iter().zip([("start", 0.0), ("end", pipe.length_m)]) {
            if *built_in {
                rests.push(Rest {
                    name: end.into(),
                    along_m,
                });
            }
        }
        rests.sort_by(|a, b| a.along_m.total_cmp(&b.along_m));
        rests
    }
}

/// A pipe as it may hang as well.
struct Way<'a> {
    bent: Bent<'a>,
    /// Which way that is, in words.
    when: String,
    /// Whether what acts on it is as in the rig, so that its balance is a working.
    is_derived: bool,
}

impl Way<'_> {
    /// Tells a number that is so in this way.
    fn tell(&self, value: f64, derived: Number) -> Number {
        let number = if self.is_derived {
            derived
        } else {
            let source = Source::mechanics("equilibrium found by iteration");
            Number::given(derived.what(), derived.symbol(), derived.kind(), value, source)
        };
        number.remark(self.when.as_str())
    }
}

/// A pipe in equilibrium.
struct Bent<'a> {
    told: &'a Told<'a>,
    name: &'a str,
    pipe: &'a Pipe,
    modelled: &'a LoadModel,
    chain: &'a PipeModel,
    solution: &'a Solution,
}

impl Bent<'_> {
    /// Lists the same pipe in every other way that it may hang: with lengths off by their tolerance, where the building gives, with
    /// secondary lines slack, without forces that may be away, and with lines about to slip over sheaves.
    fn ways(&self) -> impl Iterator<Item = Way<'_>> {
        let corners = self.told.corners().iter();
        let corners = corners.map(|corner| {
            let is_as_stated = corner.variant == 0;
            (&corner.solution, format!("with {}", corner.when), is_as_stated)
        });
        let variants = self.told.variants();
        let variants = variants.map(|(when, solution)| (solution, when.to_string(), false));
        corners.chain(variants).map(|(solution, when, is_derived)| Way {
            bent: Bent { solution, ..*self },
            when,
            is_derived,
        })
    }

    /// Gives something where it is greatest, and the greatest of it in any other way that the pipe may hang.
    fn with_worst(&self, size: fn(&BeamResult, f64) -> f64, told: fn(&Cut<'_>) -> Number) -> Along {
        let place = self.greatest(size);
        let here = size(self.beam(place.beam), place.from_middle_m);
        let mut worst: Option<(f64, Way<'_>, Place)> = None;
        for way in self.ways() {
            let there = way.bent.greatest(size);
            let value = size(way.bent.beam(there.beam), there.from_middle_m);
            if value > worst.as_ref().map_or(here * (1.0 + 1e-6), |worst| worst.0) {
                worst = Some((value, way, there));
            }
        }
        Along {
            greatest: told(&self.cut(place)),
            at_m: self.along_m(place),
            worst: worst.map(|(value, way, there)| way.tell(value, told(&way.bent.cut(there)))),
        }
    }

    /// Gives something at one place, at its worst over all ways that the pipe may hang.
    fn worst_at(
        &self,
        along_m: f64,
        size: fn(&BeamResult, f64) -> f64,
        told: fn(&Cut<'_>) -> Number,
    ) -> Number {
        let place = self.place_at(along_m);
        let of = |bent: &Bent<'_>| size(bent.beam(place.beam), place.from_middle_m);
        match self.worst_of(of) {
            Some((value, way)) => way.tell(value, told(&way.bent.cut(place))),
            None => told(&self.cut(place)),
        }
    }

    /// Gives the greatest of something in any other way that the pipe may hang, if that is more.
    fn worst_of(&self, size: impl Fn(&Bent<'_>) -> f64) -> Option<(f64, Way<'_>)> {
        let each = self.ways().map(|way| (size(&way.bent), way));
        let worst = each.max_by(|a, b| a.0.total_cmp(&b.0));
        worst.filter(|(value, _)| *value > size(self) * (1.0 + 1e-6))
    }

    fn worst_reaction(&self, pick: &str) -> Option<Number> {
        let (value, way) = self.worst_of(|bent| bent.reaction_n(pick))?;
        Some(way.tell(value, way.bent.reaction(pick)))
    }

    fn beam(&self, index: usize) -> &BeamResult {
        &self.solution.beams[self.chain.chain.beams[index].index()]
    }

    fn along_m(&self, place: Place) -> f64 {
        let chain = &self.chain.chain;
        let [first_m, last_m] = [place.beam, place.beam + 1].map(|i| chain.along_m[i]);
        // In the heat a piece is longer than drawn; places along the pipe are told as drawn.
        let grown = self.beam(place.beam).length_m / (last_m - first_m);
        let from_middle_m = if grown > 0.0 {
            place.from_middle_m / grown
        } else {
            0.0
        };
        0.5 * (first_m + last_m) + from_middle_m
    }

    /// Lists places worth a look: evenly along every piece, and where the shear along an axis is nothing.
    fn places(&self) -> Vec<Place> {
        let mut found = Vec::new();
        for beam in (0..self.chain.chain.beams.len()).filter(|beam| !self.chain.chain.hinges[*beam]) {
            let result = self.beam(beam);
            let half_m = 0.5 * result.length_m;
            let even = (0..TRIED).map(|i| half_m * (2.0 * f64::from(i) / f64::from(TRIED - 1) - 1.0));
            let level = [1, 2].map(|axis| result.force_n[axis] / result.load_n_per_m[axis]);
            let within = level.into_iter().filter(|s| s.abs() < half_m);
            found.extend(
                even.chain(within)
                    .map(|from_middle_m| Place { beam, from_middle_m }),
            );
        }
        found
    }

    fn greatest(&self, size: impl Fn(&BeamResult, f64) -> f64) -> Place {
        let of = |place: &Place| size(self.beam(place.beam), place.from_middle_m);
        self.places()
            .into_iter()
            // The first of equals, whatever rounding says.
            .reduce(|most, next| {
                if of(&next) > of(&most) * (1.0 + 1e-9) {
                    next
                } else {
                    most
                }
            })
            .unwrap_or(Place {
                beam: 0,
                from_middle_m: 0.0,
            })
    }

    fn cut(&self, place: Place) -> Cut<'_> {
        Cut {
            model: self.told.model,
            solution: self.solution,
            load: self.modelled,
            name: self.name,
            beam: place.beam,
            from_middle_m: place.from_middle_m,
            along_m: self.along_m(place),
        }
    }

    /// Gives the greatest torque; none where it is no more than rounding.
    fn greatest_torque(&self) -> Option<Along> {
        let torque = |beam: &BeamResult, from_middle_m: f64| beam.moment_at(from_middle_m).x.abs();
        let most = |bent: &Bent<'_>| {
            let place = bent.greatest(torque);
            torque(bent.beam(place.beam), place.from_middle_m)
        };
        let here_n_m = most(self);
        let worst = self.worst_of(most);
        let worst_n_m = worst.as_ref().map_or(here_n_m, |worst| worst.0);
        let least_n_m = 1e-4 * self.modelled.weight_n.value() * self.pipe.length_m;
        let told = |value: f64| {
            let what = format!("torque in {}", self.name);
            let law = "equilibrium found by iteration: what twists one side of a cut against the other";
            Number::given(what, "M_x", Kind::Torque, value, Source::mechanics(law))
        };
        (worst_n_m > least_n_m).then(|| Along {
            greatest: told(here_n_m),
            at_m: self.along_m(self.greatest(torque)),
            worst: worst.map(|(value, way)| told(value).remark(way.when)),
        })
    }

    /// Gives the greatest pull along it; none where that is no more than a hundredth of its weight.
    fn pull(&self) -> Option<Along> {
        self.along(pull, cut_pull)
    }

    /// Gives a force along it; none where that is no more than a hundredth of its weight.
    fn along(&self, size: fn(&BeamResult, f64) -> f64, told: fn(&Cut<'_>) -> Number) -> Option<Along> {
        let along = self.with_worst(size, told);
        let worst_n = along.worst.as_ref().map_or(along.greatest.value(), Number::value);
        // Written so that a force that is no number counts.
        let is_none = worst_n <= LEAST_ALONG * self.modelled.weight_n.value();
        (!is_none).then_some(along)
    }

    /// Tells what presses it along its length; none where that is no more than a hundredth of its weight.
    fn thrust(&self) -> Option<ThrustFacts> {
        let along = self.along(thrust, cut_thrust)?;
        let chain = &self.chain.chain;
        let least_n = LEAST_ALONG * along.greatest.value();
        let pressed = |beam: &usize| chain.hinges[*beam] || -self.beam(*beam).force_n.x > least_n;
        let here = self.place_at(along.at_m).beam;
        let first = (0..=here).rev().take_while(pressed).last().unwrap_or(here);
        let last = (here..chain.beams.len())
            .take_while(pressed)
            .last()
            .unwrap_or(here);
        let ends_m = [chain.along_m[first], chain.along_m[last + 1]];
        let is_end = [first == 0, last + 1 == chain.beams.len()];
        let holds = [0, 1].map(|end| is_end[end] && self.pipe.built_in[end]);
        let weakest = |beam: usize| {
            let [y, z] = self.beam(beam).bending_n_m2;
            f64::min(y, z)
        };
        let stiffness = (first..=last).filter(|beam| !chain.hinges[*beam]).map(weakest);
        let of = |what: String, symbol: &str, kind: Kind, value: f64, law: &str| {
            Number::given(what, symbol, kind, value, Source::mechanics(law))
        };
        let name = self.name;
        Some(ThrustFacts {
            along,
            length_m: of(format!("length of {name} that is pressed"), "L_p", Kind::Length, ends_m[1] - ends_m[0], "geometry of the pose found"),
            times: of(
                "times that it counts: 1 between two places that are held, 2 where one end is built in and the other is not".into(),
                "K",
                Kind::Number,
                if holds[0] == holds[1] { 1.0 } else { 2.0 },
                "a column between two places, or with one end free",
            ),
            stiffness_n_m2: of(
                format!("bending stiffness of {name}, as solved"),
                "EI",
                Kind::BendingStiffness,
                stiffness.fold(f64::INFINITY, f64::min),
                "the stiffness of its section, about its weaker axis",
            ),
        })
    }

    fn reaction(&self, pick: &str) -> Number {
        let what = format!("force of its lines on `{}.{pick}`", self.name);
        let source = Source::mechanics("sum of the pulls of the lines there");
        Number::given(what, "R", Kind::Force, self.reaction_n(pick), source)
    }

    fn reaction_n(&self, pick: &str) -> f64 {
        let attachment = self
            .told
            .model
            .picks
            .get(&(self.name.to_string(), pick.to_string()));
        let topology = &self.told.model.topology;
        let pulls = topology.lines().flat_map(|line| {
            let pulls = self.solution.pulls_of(topology, line);
            topology.path(line).iter().zip(pulls)
        });
        let here = pulls.filter(|(at, _)| Some(*at) == attachment);
        here.map(|(_, pull)| pull).sum::<Vector3<f64>>().norm()
    }

    /// Gives where the axis is at a place, metres.
    fn axis_m(&self, place: Place) -> Vector3<f64> {
        let chain = &self.chain.chain;
        let ends =
            [place.beam, place.beam + 1].map(|i| self.solution.state.position_m[chain.frames[i].index()]);
        let result = self.beam(place.beam);
        let share = if result.length_m > 0.0 {
            0.5 + place.from_middle_m / result.length_m
        } else {
            0.5
        };
        let offset = result.offset_at(place.from_middle_m);
        ends[0] + (ends[1] - ends[0]) * share + result.rotation * offset
    }

    /// Finds the piece in which a place from the start lies.
    fn place_at(&self, along_m: f64) -> Place {
        let chain = &self.chain.chain;
        let holds = |beam: &usize| !chain.hinges[*beam] && along_m <= chain.along_m[*beam + 1] + 1e-12;
        let beam = (0..chain.beams.len())
            .find(holds)
            .unwrap_or(chain.beams.len() - 1);
        let middle_m = 0.5 * (chain.along_m[beam] + chain.along_m[beam + 1]);
        Place {
            beam,
            from_middle_m: along_m - middle_m,
        }
    }

    /// Gives the same at its worst where the building gives; lengths that are off by their tolerance are no matter of sag.
    fn deepest(&self, says: &str, ends_m: [f64; 2], line_m: [f64; 2]) -> (Number, f64) {
        let giving = self
            .told
            .corners()
            .iter()
            .filter(|corner| corner.lines.is_empty());
        let giving = giving.map(|corner| {
            let bent = Bent {
                solution: &corner.solution,
                ..*self
            };
            let (deflection, at_m) = bent.deflection(says, ends_m, line_m);
            (deflection.remark(format!("with {}", corner.when)), at_m)
        });
        giving.fold(self.deflection(says, ends_m, line_m), |most, next| {
            if next.0.value() > most.0.value() * (1.0 + 1e-6) {
                next
            } else {
                most
            }
        })
    }

    /// Gives how far the axis is at most from the line through two places along it, between two others, and where.
    fn deflection(&self, says: &str, ends_m: [f64; 2], line_m: [f64; 2]) -> (Number, f64) {
        let first_m = self.axis_m(self.place_at(line_m[0]));
        let other = self.place_at(line_m[1]);
        let along = if (line_m[1] - line_m[0]).abs() > 1e-6 {
            self.axis_m(other) - first_m
        } else {
            let node = self.chain.chain.frames[self.chain.chain.nearest(line_m[0])];
            self.solution.state.rotation[node.index()] * Vector3::x()
        };
        let off_m = |place: &Place| (self.axis_m(*place) - first_m).cross(&along).norm() / along.norm();
        let within = |place: &Place| (ends_m[0]..=ends_m[1]).contains(&self.along_m(*place));
        let ends = ends_m.map(|along_m| self.place_at(along_m));
        let places = self.places().into_iter().filter(within).chain(ends);
        let most = places.reduce(|most, next| {
            if off_m(&next) > off_m(&most) * (1.0 + 1e-9) {
                next
            } else {
                most
            }
        });
        let (deflection_m, at_m) =
            most.map_or((0.0, ends_m[0]), |place| (off_m(&place), self.along_m(place)));
        let source = Source::mechanics(
            "equilibrium found by iteration: distance of the axis from the line through the picks",
        );
        let what = format!("deflection of {} {says}", self.name);
        (
            Number::given(what, "d", Kind::Stretch, deflection_m, source),
            at_m,
        )
    }
}

/// Bending moment at a place of a piece, newton metres.
fn moment(beam: &BeamResult, from_middle_m: f64) -> f64 {
    beam.moment_at(from_middle_m).yz().norm()
}

/// Shear at a place of a piece, newtons.
fn shear(beam: &BeamResult, from_middle_m: f64) -> f64 {
    beam.shear_at(from_middle_m).norm()
}

/// Thrust at a place of a piece, newtons; none where it is pulled.
fn thrust(beam: &BeamResult, from_middle_m: f64) -> f64 {
    (-along_axis(beam, from_middle_m)).max(0.0)
}

/// Pull at a place of a piece, newtons; none where it is pressed.
fn pull(beam: &BeamResult, from_middle_m: f64) -> f64 {
    along_axis(beam, from_middle_m).max(0.0)
}

/// Force along the axis at a place of a piece, pulled above zero, newtons.
fn along_axis(beam: &BeamResult, from_middle_m: f64) -> f64 {
    beam.force_at(from_middle_m)
        .dot(&beam.direction_at(from_middle_m))
}

/// Tells what the building gets where ends are built in.
fn built_in(bent: &Bent<'_>) -> Vec<BuiltInFacts> {
    let on = |bent: &Bent<'_>, end| on_building(bent.told.model, bent.solution, bent.modelled, end);
    let ends = (0..ENDS.len()).filter_map(|i| Some((i, ENDS[i], on(bent, i)?)));
    let force_n = |bent: &Bent<'_>, end| on(bent, end).map_or(0.0, |on| on.force_n.norm());
    let moment_n_m = |bent: &Bent<'_>, end| on(bent, end).map_or(0.0, |on| on.moment_n_m.norm());
    ends.map(|(i, end, here)| {
        let given = |what: &str, symbol: &str, kind: Kind, value: f64| {
            let source =
                Source::mechanics("equilibrium found by iteration: what the pipe puts on the building there");
            let what = format!("{what} of {} on the building at its {end}", bent.name);
            Number::given(what, symbol, kind, value, source)
        };
        let force = |value: f64| given("force", "R", Kind::Force, value);
        let moment = |value: f64| given("moment", "M_R", Kind::Torque, value);
        BuiltInFacts {
            end: end.into(),
            force_n: force(here.force_n.norm()),
            moment_n_m: moment(here.moment_n_m.norm()),
            down_n: -here.force_n.z,
            side_n: here.force_n.xy().norm(),
            worst_force_n: bent
                .worst_of(|bent| force_n(bent, i))
                .map(|(value, way)| force(value).remark(way.when)),
            worst_moment_n_m: bent
                .worst_of(|bent| moment_n_m(bent, i))
                .map(|(value, way)| moment(value).remark(way.when)),
        }
    })
    .collect()
}

fn splices(name: &str, pipe: &Pipe, bent: Option<&Bent<'_>>) -> Vec<SpliceFacts> {
    let each = pipe.splices.iter().enumerate().map(|(i, splice)| {
        let says = format!("{} {}", if splice.is_hinge { "hinge" } else { "splice" }, i + 1);
        SpliceFacts {
            name: says,
            at_m: splice.along_m,
            moment_n_m: bent.map(|bent| bent.worst_at(splice.along_m, moment, cut_moment)),
            shear_n: bent.map(|bent| bent.worst_at(splice.along_m, shear, cut_shear)),
            pull_n: bent.map(|bent| bent.worst_at(splice.along_m, pull, cut_pull)),
            allows: splice.allows.as_ref().map(|allows| {
                let path = format!("pipes.{name}.splices");
                bending(&format!("splice {} of {name}", i + 1), &path, allows)
            }),
        }
    });
    each.collect()
}

fn carried(pipe: &Pipe, from_panel_m: &dyn Fn(f64) -> Option<f64>) -> Vec<CarriedFacts> {
    let each = pipe.carried.iter().filter_map(|carried| match carried.spread {
        Spread::At(at_m) => Some(CarriedFacts {
            what: carried.what.clone(),
            at_m,
            from_panel_m: from_panel_m(at_m),
        }),
        Spread::Between(..) => None,
    });
    each.collect()
}

fn stated(name: &str, pipe: &Pipe) -> Option<Bending> {
    match &pipe.given {
        Given::Stated { allows, .. } => {
            let path = format!("pipes.{name}.allows");
            allows.as_ref().map(|allows| bending(name, &path, allows))
        }
        Given::Section(_) => None,
    }
}

fn bending(what: &str, path: &str, allows: &BendingAllowed) -> Bending {
    let by = allows.by.as_ref().map_or(String::new(), |by| format!(" ({by})"));
    let given = |of: &str, symbol: &str, kind: Kind, value: f64| {
        let source = Source::stated(format!("rig file, {path}{by}"));
        Number::given(format!("{of} allowed for {what}"), symbol, kind, value, source)
    };
    Bending {
        moment_n_m: given("bending moment", "M_allowed", Kind::Torque, allows.moment_n_m),
        shear_n: given("shear", "V_allowed", Kind::Force, allows.shear_n),
        torque_n_m: allows
            .torque_n_m
            .map(|torque| given("torque", "T_allowed", Kind::Torque, torque)),
    }
}
