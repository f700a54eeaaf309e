//! The run of a motion: steps, lines that come taut, go slack or part, peaks, and the balance of energy.
//!
//! Conventions: SI; time from the moment of letting go; lines by their order in the model.
//! Assumes: what pulls changes only where a line comes taut, goes slack or parts; there a step ends and the next begins.
//! Valid for: motion that is not too stiff: the highest frequency times the duration stays within the steps allowed.
//! Source: Hairer, Norsett and Wanner (see dop853.rs): step control in II.4, events on the dense output in II.6.
//! Checked by: tests/closed_forms.rs, tests/laws.rs.

use crate::bending::{Bends, Bent, When};
use crate::changes::Change;
use crate::course::{Course, Sample, Swept, Travel, state_at};
use crate::dop853::Step;
use crate::error::MotionError;
use crate::masses::GRAVITY_M_PER_S2;
use crate::model::{Model, Place, at_rest};
use crate::moment::{Hold, Moment};
use crate::signals::{Peak, Signals};
use statics::State;
use std::f64::consts::PI;

/// Most steps of one run.
const MOST_STEPS: usize = 60_000;
/// A step is no longer than so many of the shortest periods, so that no touch of a line is stepped over.
const PERIODS: f64 = 2.0;
/// A step is no longer than this, seconds.
const MOST_STEP_S: f64 = 0.02;
/// The way of loads is looked at so often at the least, so that it is seen to a twentieth of a millimetre, seconds.
const LOOK_S: f64 = 0.005;
/// Closer than at this tolerance, the longest steps are shorter too, so that a closer run is never the same run.
const COARSEST: f64 = 1e-5;
/// How far past a change a step goes, seconds.
pub(crate) const AT_ONCE_S: f64 = 1e-12;
/// Most changes so soon one after the other.
const MOST_AT_ONCE: usize = 100;
/// Hinges fold by small angles, as they are followed: no more than this, rad. Our judgement: ends of a pipe are then told off by a sixtieth.
const MOST_FOLD_RAD: f64 = 10.0 * PI / 180.0;
/// Segments shorter than this have run out, metres.
const RUN_OUT_M: f64 = 0.01;
/// What is greater by this share is no other peak.
const SAME: f64 = 1e-8;
/// How often on the way the peaks so far are kept, for comparison with another run.
pub(crate) const LOOKS: usize = 16;
/// Parts of a step at which a peak in it is looked for.
pub(crate) const PARTS: usize = 4;

/// Something that lets go when a signal passes what it holds, and the lines that go with it.
#[derive(Debug, Clone)]
pub(crate) struct Breaking {
    pub(crate) weakness: usize,
    pub(crate) signal: usize,
    pub(crate) breaking_n: f64,
    pub(crate) takes: Vec<usize>,
}

/// How a motion went.
pub(crate) struct Ran {
    pub(crate) signals: Signals,
    pub(crate) travel: Vec<Travel>,
    pub(crate) swept: Vec<Swept>,
    pub(crate) parted: Vec<(usize, f64)>,
    pub(crate) energy_drift: f64,
    pub(crate) end: State,
    pub(crate) steps: usize,
    pub(crate) trace: Vec<Sample>,
    pub(crate) so_far: Vec<(f64, Vec<Peak>)>,
    /// When each line first pulled, s.
    pub(crate) pulls_from_s: Vec<Option<f64>>,
    /// What bends pipes.
    pub(crate) bent: Vec<Bent>,
}

/// The balance of energy, joules.
struct Energy {
    all: f64,
    most_moving: f64,
    most_off: f64,
}

/// A motion on its way.
pub(crate) struct Run<'a> {
    pub(crate) model: Model,
    start: &'a State,
    pub(crate) moment: Moment,
    pub(crate) holds: Vec<Hold>,
    pub(crate) step: Step,
    scale: Vec<f64>,
    scratch: Vec<f64>,
    /// Whether what was measured last is the end of the step.
    is_at_end: bool,
    most_step_s: f64,
    least_energy_j: f64,
    pub(crate) signals: Signals,
    pub(crate) breaking: Vec<Breaking>,
    parted: Vec<(usize, f64)>,
    course: Course,
    bends: Bends,
    slope: Vec<f64>,
    pulls_from_s: Vec<Option<f64>>,
    trace: Vec<Sample>,
    trace_every_s: Option<f64>,
    line_count: usize,
}

impl<'a> Run<'a> {
    pub(crate) fn new(
        model: Model,
        start: &'a State,
        (course, bends): (Course, Bends),
        breaking: Vec<Breaking>,
        tolerance: f64,
        (trace_every_s, line_count): (Option<f64>, usize),
    ) -> Self {
        let size = model.size();
        let weight_n: f64 = model
            .bodies
            .iter()
            .map(|body| body.mass_kg * GRAVITY_M_PER_S2)
            .sum();
        let reach_m = model
            .lines
            .iter()
            .map(|line| line.unloaded_m)
            .fold(1e-3, f64::max);
        let signals = Signals::new(&model);
        Run {
            moment: Moment::new(&model),
            holds: vec![Hold::Slack; model.lines.len()],
            step: Step::new(size),
            scale: scales(&model)
                .into_iter()
                .map(|scale| scale * tolerance)
                .collect(),
            scratch: vec![0.0; size],
            is_at_end: false,
            most_step_s: most_step_s(&model, tolerance),
            least_energy_j: 1e-9 * weight_n * reach_m,
            signals,
            breaking,
            parted: Vec::new(),
            course,
            slope: vec![0.0; if bends.is_empty() { 0 } else { size }],
            bends,
            pulls_from_s: vec![None; model.lines.len()],
            trace: Vec::new(),
            trace_every_s,
            line_count,
            model,
            start,
        }
    }

    /// Follows the motion from rest for so many seconds.
    pub(crate) fn follow(mut self, seconds: f64) -> Result<Ran, MotionError> {
        self.step.start = at_rest(&self.model);
        self.find_taut();
        let mut energy = self.begin_at(0.0);
        self.keep_samples(0.0, 0.0);
        let (mut time_s, mut length_s) = (0.0, 0.05 * self.most_step_s);
        let (mut steps, mut at_once, mut is_new) = (0, 0, true);
        let mut so_far = Vec::with_capacity(LOOKS);
        while time_s < seconds {
            steps += 1;
            if steps > MOST_STEPS {
                return Err(MotionError::TooManySteps {
                    steps,
                    time_s,
                    seconds,
                });
            }
            if std::mem::take(&mut is_new) {
                self.begin();
                self.see_bends(When::Start);
            }
            // A step ends where peaks so far are kept, so that two runs are compared at the same moments.
            // Closer in the beginning, of which more can be proved.
            let look_s = seconds * ((so_far.len() + 1) as f64 / LOOKS as f64).powi(2);
            let until_s = if so_far.len() + 1 < LOOKS { look_s } else { seconds };
            let wanted_s = length_s.min(self.most_step_s).min(until_s - time_s);
            let error = self.take(wanted_s);
            length_s = next_length_s(wanted_s, error);
            // Written so that an error that is no number is too much.
            let is_good = error <= 1.0;
            if !is_good {
                if length_s < 1e-14 * seconds.max(1.0) {
                    return Err(MotionError::StepTooShort { time_s });
                }
                continue;
            }
            self.measure_end();
            let change = self.first_change();
            // A little past it, so that what the change hangs on is no longer undecided.
            let taken_s = change.map_or(wanted_s, |(share, _)| {
                (share * wanted_s + AT_ONCE_S).min(wanted_s)
            });
            if change.is_some() {
                // Taken anew up to there, so that it is as true as any step.
                self.take(taken_s);
                self.measure_end();
            }
            self.keep_tops(time_s);
            self.keep_end(time_s + taken_s, &mut energy)?;
            self.keep_samples(time_s, time_s + taken_s);
            time_s += taken_s;
            if time_s >= until_s {
                so_far.push((time_s, self.signals.peaks.clone()));
            }
            self.step.go_on();
            self.signals.go_on();
            at_once = if taken_s > 2.0 * AT_ONCE_S { 0 } else { at_once + 1 };
            if at_once > MOST_AT_ONCE {
                return Err(MotionError::StepTooShort { time_s });
            }
            if let Some((_, change)) = change {
                self.apply(change, time_s, &mut energy);
                is_new = true;
                length_s = length_s.min(0.1 * self.most_step_s);
            }
        }
        self.moment.measure(&self.model, &self.step.start, &self.holds);
        Ok(Ran {
            end: state_at(&self.model, &self.moment, &self.step.start, self.start),
            // Where nothing is left that moves neither is more than nothing.
            energy_drift: energy.most_off
                / energy.most_moving.max(self.least_energy_j).max(f64::MIN_POSITIVE),
            signals: self.signals,
            travel: self.course.travel(&self.model),
            swept: self.course.swept,
            parted: self.parted,
            steps,
            trace: self.trace,
            so_far,
            pulls_from_s: self.pulls_from_s,
            bent: self.bends.most,
        })
    }

    /// Finds which lines pull at the start, with junctions wherever they go at once.
    fn find_taut(&mut self) {
        self.moment.measure(&self.model, &self.step.start, &self.holds);
        for (hold, stretch_m) in self.holds.iter_mut().zip(&self.moment.stretch_m) {
            *hold = if *stretch_m > 0.0 { Hold::Taut } else { Hold::Slack };
        }
    }

    fn begin(&mut self) {
        self.step
            .begin(&mut slope(&self.model, &mut self.moment, &self.holds));
    }

    fn take(&mut self, length_s: f64) -> f64 {
        let mut slope = slope(&self.model, &mut self.moment, &self.holds);
        self.step.take(length_s, &self.scale, &mut slope)
    }

    pub(crate) fn fill_in(&mut self) {
        self.step
            .fill_in(&mut slope(&self.model, &mut self.moment, &self.holds));
    }

    /// Measures a moment within the step.
    pub(crate) fn measure_between(&mut self, share: f64) {
        let mut state = std::mem::take(&mut self.scratch);
        self.step.between(share, &mut state);
        self.moment.measure(&self.model, &state, &self.holds);
        self.signals.read(&self.model, &self.moment);
        self.scratch = state;
        self.is_at_end = false;
    }

    /// Measures the end of the step, with rates.
    pub(crate) fn measure_end(&mut self) {
        self.moment.measure(&self.model, &self.step.end, &self.holds);
        self.moment.find_all_rates(&self.model, &self.step.end);
        self.signals.read_end(&self.model, &self.moment);
        self.is_at_end = true;
    }

    /// Keeps what is to be kept of the end of the step.
    fn keep_end(&mut self, time_s: f64, energy: &mut Energy) -> Result<(), MotionError> {
        self.see_bends(When::Middle);
        if !self.is_at_end {
            self.measure_end();
        }
        self.see_bends(When::End);
        if !self.moment.is_settled {
            return Err(MotionError::JunctionsNotSettled { time_s });
        }
        self.signals.keep(time_s);
        self.no_hinge_too_far(time_s)?;
        self.see_way();
        self.course.see(&self.model, &self.moment, &self.step.end);
        energy.see(&self.moment, &self.model, &self.step.end);
        // What comes so near that it may have passed within the step has met it.
        let meets = |at: usize| {
            let passes = (self.moment.speed_m_per_s[at + 1] - self.moment.speed_m_per_s[at]).norm()
                * self.step.length_s;
            self.moment.segment_m[at] < RUN_OUT_M + passes
        };
        let over = self
            .model
            .lines
            .iter()
            .filter(|line| line.path.len() > 2 && !line.has_parted());
        let ran_out = over.into_iter().find(|line| line.segments().any(meets));
        ran_out.map_or(Ok(()), |line| {
            Err(MotionError::RanOut {
                line: line.id,
                at_s: time_s,
            })
        })
    }

    /// Refuses where a hinge folds by more than small angles at the end of the step.
    fn no_hinge_too_far(&self, at_s: f64) -> Result<(), MotionError> {
        let bent = &self.step.end[self.model.bent_from()..];
        for body in &self.model.bodies {
            let now = &bent[body.modes.clone()];
            let folded_rad = |hinge: &Vec<f64>| -> f64 { hinge.iter().zip(now).map(|(a, b)| a * b).sum() };
            if body
                .hinges
                .iter()
                .any(|hinge| folded_rad(hinge).abs() > MOST_FOLD_RAD)
            {
                return Err(MotionError::FoldsTooFar {
                    frame: body.frames[0],
                    most_rad: MOST_FOLD_RAD,
                    at_s,
                });
            }
        }
        Ok(())
    }

    /// Looks at what bends pipes; at the ends of a step, that was measured.
    fn see_bends(&mut self, when: When) {
        if self.bends.is_empty() {
            return;
        }
        let (model, moment) = (&self.model, &mut self.moment);
        match when {
            When::Start => self.bends.see(
                (model, moment),
                (&self.step.start, self.step.slope_at_start()),
                when,
            ),
            When::End => self
                .bends
                .see((model, moment), (&self.step.end, self.step.slope_at_end()), when),
            When::Middle => {
                self.step.roughly_between(0.5, &mut self.scratch);
                moment.measure(model, &self.scratch, &self.holds);
                moment.changes(model, &self.scratch, &mut self.slope);
                self.bends
                    .see((model, moment), (&self.scratch, &self.slope), when);
                self.is_at_end = false;
            }
        }
    }

    /// Looks at the way of bodies within the step.
    fn see_way(&mut self) {
        let parts = (self.step.length_s / LOOK_S).ceil();
        let mut state = std::mem::take(&mut self.scratch);
        for part in 1..parts as usize {
            self.step.roughly_between(part as f64 / parts, &mut state);
            self.course.see_between(&self.model, &self.moment, &state);
        }
        self.scratch = state;
    }

    /// Keeps peaks within the step that was taken.
    fn keep_tops(&mut self, start_s: f64) {
        let length_s = self.step.length_s;
        let signals = 0..self.signals.peaks.len();
        let may_top = |signal: &usize| {
            let [_, most_n] = self.signals.range_n(*signal, length_s);
            most_n > self.signals.peaks[*signal].force_n * (1.0 + SAME)
        };
        let worth: Vec<usize> = signals.filter(may_top).collect();
        if worth.is_empty() {
            return;
        }
        self.fill_in();
        let mut told = vec![[0.0; PARTS + 1]; worth.len()];
        for part in 0..=PARTS {
            let share = part as f64 / PARTS as f64;
            self.measure_between(share);
            self.keep_between(start_s + share * length_s);
            for (told, signal) in told.iter_mut().zip(&worth) {
                told[part] = self.signals.now_n[*signal];
            }
        }
        for (told, signal) in told.iter().zip(&worth) {
            self.keep_top(*signal, told, start_s);
        }
    }

    fn keep_between(&mut self, at_s: f64) {
        self.signals.keep(at_s);
        self.course.see(&self.model, &self.moment, &self.scratch);
    }

    /// Keeps the top of a signal within the step, from its values at equal parts of it, by parabolas.
    fn keep_top(&mut self, signal: usize, told: &[f64; PARTS + 1], start_s: f64) {
        let middle = (1..PARTS)
            .max_by(|a, b| told[*a].total_cmp(&told[*b]))
            .unwrap_or(1);
        let mut near = [middle - 1, middle, middle + 1].map(|part| (part as f64 / PARTS as f64, told[part]));
        for _ in 0..3 {
            let (share, top_n) = vertex(&near);
            let is_known = top_n <= self.signals.peaks[signal].force_n * (1.0 + SAME);
            if is_known {
                return;
            }
            self.measure_between(share);
            self.keep_between(start_s + share * self.step.length_s);
            near = around(near, (share, self.signals.now_n[signal]));
        }
    }

    /// Keeps samples at the times of the trace that lie after one time and up to another, within the step that was taken.
    fn keep_samples(&mut self, after_s: f64, to_s: f64) {
        let Some(every_s) = self.trace_every_s else { return };
        if to_s > 0.0 {
            self.fill_in();
        }
        while self.trace.len() as f64 * every_s <= to_s {
            let at_s = self.trace.len() as f64 * every_s;
            let mut state = self.step.start.clone();
            if to_s > 0.0 {
                self.step
                    .between(((at_s - after_s) / (to_s - after_s)).clamp(0.0, 1.0), &mut state);
            }
            self.moment.measure(&self.model, &state, &self.holds);
            let mut tension_n = vec![0.0; self.line_count];
            for (line, now_n) in self.model.lines.iter().zip(&self.moment.tension_n) {
                tension_n[line.id.index()] = now_n.max(0.0);
            }
            let state = state_at(&self.model, &self.moment, &state, self.start);
            self.trace.push(Sample {
                at_s,
                tension_n,
                state,
            });
        }
    }

    /// Changes what pulls, at the moment that the step begins with.
    fn apply(&mut self, change: Change, time_s: f64, energy: &mut Energy) {
        self.begin_at(time_s);
        match change {
            Change::Hold(line) => self.holds[line] = self.after(line),
            Change::Parts(at) => {
                let weakness = self.breaking[at].weakness;
                self.parted.push((weakness, time_s));
                for breaking in self
                    .breaking
                    .iter_mut()
                    .filter(|breaking| breaking.weakness == weakness)
                {
                    breaking.breaking_n = f64::INFINITY;
                    for line in &breaking.takes {
                        self.model.lines[*line].part();
                        self.holds[*line] = Hold::Slack;
                    }
                }
            }
        }
        let anew = self.begin_at(time_s);
        if matches!(change, Change::Parts(_)) {
            // What is stored in what parts goes with it.
            energy.all = anew.all;
        }
    }

    /// Measures where a step begins, keeps its peaks, and says what energy there is.
    fn begin_at(&mut self, time_s: f64) -> Energy {
        self.moment.measure(&self.model, &self.step.start, &self.holds);
        self.moment.find_all_rates(&self.model, &self.step.start);
        self.signals.read_end(&self.model, &self.moment);
        self.signals.go_on();
        self.signals.keep(time_s);
        for (from_s, hold) in self.pulls_from_s.iter_mut().zip(&self.holds) {
            if *hold == Hold::Taut {
                from_s.get_or_insert(time_s);
            }
        }
        let [_, all] = Energy::now(&self.moment, &self.model, &self.step.start);
        Energy {
            all,
            most_moving: 0.0,
            most_off: 0.0,
        }
    }
}

impl Energy {
    fn now(moment: &Moment, model: &Model, state: &[f64]) -> [f64; 2] {
        let [moving, stored] = moment.energies_j(model, state);
        [moving, moving + stored + state[model.damped_at()]]
    }

    fn see(&mut self, moment: &Moment, model: &Model, state: &[f64]) {
        let [moving, all] = Self::now(moment, model, state);
        self.most_moving = self.most_moving.max(moving);
        self.most_off = self.most_off.max((all - self.all).abs());
    }
}

/// Gives how large the numbers of the state are, as far as tensions go: the stretch d = W / k of all lines on a body by its weight, turned
/// by its radius of gyration, and the speed sqrt(g d) at which it bounces.
fn scales(model: &Model) -> Vec<f64> {
    let mut stiffness = vec![0.0; model.bodies.len()];
    for line in &model.lines {
        for place in &line.path {
            if let Place::Body { body, .. } = place {
                stiffness[*body] += line.stiffness_n_per_m;
            }
        }
    }
    let mut scales = Vec::with_capacity(model.size());
    let mut of_modes = Vec::with_capacity(model.modes.len());
    let mut energy_j = 1e-9;
    for (body, stiffness) in model.bodies.iter().zip(stiffness) {
        let weight_n = body.mass_kg * GRAVITY_M_PER_S2;
        let stretch_m = (weight_n / f64::max(stiffness, weight_n)).max(1e-9);
        let speed = (GRAVITY_M_PER_S2 * stretch_m).sqrt();
        let gyration_m = match (body.inertia_kg_m2.trace() / (2.0 * body.mass_kg)).sqrt() {
            radius_m if radius_m > 0.0 => radius_m,
            _ => 1.0,
        };
        scales.extend([stretch_m; 3]);
        scales.extend([stretch_m / gyration_m; 4]);
        scales.extend([speed; 3]);
        scales.extend([speed / gyration_m; 3]);
        energy_j += weight_n * stretch_m;
        // Of a shape that moves 1 kg, where all of it moves as far.
        let root_kg = body.mass_kg.sqrt();
        of_modes.extend(body.modes.clone().map(|_| (stretch_m * root_kg, speed * root_kg)));
    }
    scales.extend(of_modes.iter().map(|(far, _)| *far));
    scales.extend(of_modes.iter().map(|(_, fast)| *fast));
    scales.push(energy_j);
    scales
}

/// How a state changes, with lines as they are.
fn slope<'a>(
    model: &'a Model,
    moment: &'a mut Moment,
    holds: &'a [Hold],
) -> impl FnMut(&[f64], &mut [f64]) + 'a {
    |state, to| {
        moment.measure(model, state, holds);
        moment.changes(model, state, to);
    }
}

/// Gives how long the next step may be after one with this error over what is allowed.
fn next_length_s(length_s: f64, error: f64) -> f64 {
    let by = match error {
        error if error > 1.0 => (0.9 * error.powf(-1.0 / 8.0)).clamp(0.1, 0.9),
        error if error > 0.0 => (0.9 * error.powf(-1.0 / 8.0)).clamp(0.3, 5.0),
        // No error at all, or one that is no number.
        error => {
            if error == 0.0 {
                5.0
            } else {
                0.1
            }
        }
    };
    length_s * by
}

/// Gives where the parabola through three points, least share first, is highest between the first and the last, and how high.
fn vertex(near: &[(f64, f64); 3]) -> (f64, f64) {
    let [(a, of_a), (b, of_b), (c, of_c)] = *near;
    let (left, right) = ((of_b - of_a) / (b - a), (of_c - of_b) / (c - b));
    let bend = (right - left) / (c - a);
    let slope = left + bend * (b - a);
    let by = if bend < 0.0 { -0.5 * slope / bend } else { 0.0 };
    let at = (b + by).clamp(a, c);
    (at, of_b + (slope + bend * (at - b)) * (at - b))
}

/// Gives the three points around the highest of four.
fn around(near: [(f64, f64); 3], found: (f64, f64)) -> [(f64, f64); 3] {
    let mut all = [near[0], near[1], near[2], found];
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let middle = if all[1].1 >= all[2].1 { 1 } else { 2 };
    [all[middle - 1], all[middle], all[middle + 1]]
}

/// Gives the length that no step passes, seconds: as an error of order 8 grows with it.
fn most_step_s(model: &Model, tolerance: f64) -> f64 {
    let most_s = (PERIODS * 2.0 * PI / highest_frequency(model)).min(MOST_STEP_S);
    most_s * (tolerance / COARSEST).powf(1.0 / 8.0).min(1.0)
}

/// A bound of the highest frequency: all lines on the lightest body, its turning included, rad/s.
fn highest_frequency(model: &Model) -> f64 {
    let mut sums = vec![0.0; model.bodies.len()];
    for line in &model.lines {
        for place in &line.path {
            if let Place::Body { body, arm_m, shape } = *place {
                let of = &model.bodies[body];
                let far = shape.map_or(0.0, |shape| {
                    model.shapes[shape]
                        .iter()
                        .map(nalgebra::Matrix::norm_squared)
                        .sum()
                });
                sums[body] += line.stiffness_n_per_m
                    * (far
                        + of.inverse_per_kg
                        + arm_m.norm_squared() * of.inverse_inertia.symmetric_eigenvalues().max());
            }
        }
    }
    let quickest = model.modes.iter().map(|mode| mode.square).fold(0.0, f64::max);
    (sums.into_iter().fold(1e-6, f64::max) + quickest).sqrt()
}
