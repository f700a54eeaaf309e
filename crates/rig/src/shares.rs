//! What inexact lengths, slack secondary lines and absent helping forces can bring to lines, points and groups.
//!
//! Conventions: SI; lines by document order.
//! Assumes: see `statics::Sharing`. The rig is taken as stated; with its secondary lines gone, since they are meant
//! to be slack; and with its stated forces gone, one by one and all together, since a force that helps may be away.
//! Valid for: equilibria; a variant that does not hang is left out here, the rules say so.
//! Source: docs/theory/sharing.md; DGUV Information 215-313, sec. 1.4, asks to size every line for the largest load
//! that any one carries.
//! Checked by: tests/main/sharing.rs, against closed forms.

use crate::corners::{
    Corner, MATTERS, corners, moved_by_lengths, says_tolerance, sensitive_lines, sensitivities_of, spans,
    tolerance_m, usual_m,
};
use crate::document::Rig;
use crate::forces_away::away;
use crate::found::{Change, Trial};
use crate::model::Model;
use crate::pipes::giving_ends;
use crate::slipping::{runs_over_friction, slips};
use quantity::{Kind, Style};
use statics::{FrameId, FrameKind, Greatest, LineId, Sharing, Solution, Vector3};

/// A greatest share, and how it comes about.
#[derive(Debug, Clone)]
pub(crate) struct Worst {
    /// Along it, as `LineResult::tension_n` has it, newtons.
    pub(crate) value_n: f64,
    /// Where it is greatest, its own weight included, newtons; none where statics alone leaves the share open.
    pub(crate) greatest_n: Option<f64>,
    /// With which tensions of other lines, in words; which variant of the rig, if it is not as stated.
    pub(crate) when: String,
}

/// What can come to the lines of a rig.
#[derive(Debug, Default)]
pub(crate) struct Shares {
    /// For each line, the greatest tension, if that is more than was found.
    pub(crate) worst: Vec<Option<Worst>>,
    /// For each line, whether lines pull against it without bound.
    pub(crate) by_adjustment: Vec<bool>,
    /// For each line, whether statics alone leaves its share open.
    pub(crate) by_length: Vec<bool>,
    /// For each line, whether its piece was too large to be tried.
    pub(crate) too_large: Vec<bool>,
    variants: Vec<Variant>,
    /// For each line that runs over sheaves with friction, the least and the greatest of its greatest tension.
    slips_n: Vec<Option<[f64; 2]>>,
    /// For each line, whether tolerances of length bring it more than statics leaves open as drawn.
    raised: Vec<bool>,
    /// For each line, whether its worst share is what tolerances of length bring.
    by_tolerance: Vec<bool>,
    /// What lengths that are off by their tolerance do.
    pub(crate) corners: Vec<Corner>,
    /// The directions of slip, in words, for which no balance was found.
    pub(crate) no_slip: Vec<String>,
}

impl Worst {
    /// Takes a line as a solution has it.
    fn of(solution: &Solution, line: usize, when: String) -> Self {
        let result = &solution.lines[line];
        Self {
            value_n: result.tension_n,
            greatest_n: Some(result.greatest_tension_n),
            when,
        }
    }
}

/// The rig as stated, or with something of it gone.
#[derive(Debug)]
struct Variant {
    name: String,
    change: Change,
    solution: Solution,
    pieces: Vec<Sharing>,
}

/// In so many variants of the rig lengths off by their tolerances are tried.
const MOST_VARIANTS: usize = 6;
/// A share that is more than what was found by no more than this of it is the same share.
const SAME: f64 = 1e-6;

/// Finds what can come to the lines of a rig as it is with a change. `secondary` tells which lines are meant to be
/// slack.
pub(crate) fn shares(
    rig: &Rig,
    model: &Model,
    found: &Solution,
    change: &Change,
    secondary: impl Fn(usize) -> bool,
) -> Shares {
    let count = model.lines.len();
    let mut shares = Shares {
        worst: vec![None; count],
        by_adjustment: vec![false; count],
        by_length: vec![false; count],
        too_large: vec![false; count],
        variants: Vec::new(),
        raised: vec![false; count],
        by_tolerance: vec![false; count],
        slips_n: vec![None; count],
        corners: Vec::new(),
        no_slip: Vec::new(),
    };
    for (name, change, solution) in variants(model, found, change, &secondary) {
        let counts = |line: LineId| {
            change.keeps(line.index()) && (!secondary(line.index()) || !solution.line(line).slack)
        };
        let mut pieces = Vec::new();
        for (lines, piece) in Sharing::pieces(&model.topology, &model.parameters, &solution, counts) {
            match piece {
                Some(piece) => pieces.push(piece),
                None => lines
                    .iter()
                    .for_each(|line| shares.too_large[line.index()] = true),
            }
        }
        let variant = Variant {
            name,
            change,
            solution,
            pieces,
        };
        shares.take(model, found, &variant);
        shares.variants.push(variant);
    }
    for (name, slipping) in slips(rig, model, found, change) {
        let Some(solution) = slipping else {
            shares.no_slip.push(name);
            continue;
        };
        shares.slip(rig, found, &name, &solution);
        shares.variants.push(Variant {
            name: format!("with {name}"),
            change: change.clone(),
            solution,
            pieces: Vec::new(),
        });
    }
    shares.try_all_corners(rig, model, found);
    shares.corners.extend(giving_ends(model, found, change));
    shares
}

/// Tells whether a line joins places of the building only.
fn is_bare(model: &Model, line: usize) -> bool {
    let path = model.topology.path(LineId(line as u32)).iter();
    path.map(|a| model.topology.frame_of(*a))
        .all(|frame| model.topology.kind(frame) == FrameKind::Fixed || model.parameters.is_sprung(frame))
}

/// Tells whether any of these lines holds a pipe of which an end is built in, so that the building shares.
fn holds_built_in(model: &Model, lines: &[LineId]) -> bool {
    let fixed = |frame: &FrameId| model.topology.kind(*frame) == FrameKind::Fixed;
    let mut built_in = model
        .loads
        .values()
        .filter(|load| load.pipe.is_some() && load.frames().iter().any(fixed));
    built_in.any(|load| {
        let on_it = model.lines_of(load);
        lines.iter().any(|line| on_it.contains(&line.index()))
    })
}

/// Solves the rig as stated, without secondary lines, and without stated forces.
fn variants(
    model: &Model,
    found: &Solution,
    change: &Change,
    secondary: &impl Fn(usize) -> bool,
) -> Vec<(String, Change, Solution)> {
    let mut variants = vec![(String::new(), change.clone(), found.clone())];
    let any_secondary = (0..model.lines.len()).any(|line| change.keeps(line) && secondary(line));
    if !any_secondary && model.stated_forces.is_empty() {
        return variants;
    }
    let mut trial = Trial::new(model, found);
    let mut without_secondary = change.clone();
    without_secondary
        .lines
        .extend((0..model.lines.len()).filter(|line| secondary(*line)));
    if any_secondary && let Ok(solution) = trial.with(found, &without_secondary) {
        let solution = solution.clone();
        variants.push(("with secondary lines slack".into(), without_secondary, solution));
    }
    for (names, absent) in away(model) {
        let without_forces = Change {
            forces: absent,
            ..change.clone()
        };
        if let Ok(solution) = trial.with(found, &without_forces) {
            let solution = solution.clone();
            variants.push((format!("without {names}"), without_forces, solution));
        }
    }
    variants
}

impl Shares {
    /// Tries lengths off by their tolerances, in the rig as stated and in its variants.
    fn try_all_corners(&mut self, rig: &Rig, model: &Model, found: &Solution) {
        let variants = std::mem::take(&mut self.variants);
        let mut bounded = vec![false; model.lines.len()];
        let with_pieces = variants
            .iter()
            .enumerate()
            .filter(|(index, variant)| *index == 0 || !variant.pieces.is_empty());
        for (index, variant) in with_pieces.take(MOST_VARIANTS) {
            self.try_corners(rig, model, (index, variant, &variants), found, &mut bounded);
        }
        for line in (0..bounded.len()).filter(|line| bounded[*line]) {
            self.bound(found, LineId(line as u32), &variants);
        }
        self.variants = variants;
    }

    /// Bounds lines that hold a pipe by what tolerances of length bring them, where that is less than what statics alone
    /// leaves open; and holds against it lines that span, lines that pull against one another and all say their tolerance, and
    /// lines that statics alone gives a share in the pose found, where lengths move the pose so much that shares move too: legs
    /// that lean a little, on which a load turns.
    fn try_corners(
        &mut self,
        rig: &Rig,
        model: &Model,
        (index, variant, variants): (usize, &Variant, &[Variant]),
        found: &Solution,
        bounded: &mut [bool],
    ) {
        let (change, here) = (&variant.change, &variant.solution);
        let sensitive = sensitive_lines(rig, model);
        let told = sensitivities_of(model, change, here);
        let count = model.lines.len();
        let moved = told.as_ref().map_or(vec![false; count], |told| {
            let tolerances_m: Vec<f64> = (0..count).map(|line| tolerance_m(rig, model, line)).collect();
            if index == 0 {
                let usual_m: Vec<f64> = (0..count)
                    .map(|line| usual_m(model, line).max(tolerances_m[line]))
                    .collect();
                let by_usual = moved_by_lengths(rig, model, change, here, told, &usual_m);
                self.set_by_weight(found, &by_usual, variants);
            }
            moved_by_lengths(rig, model, change, here, told, &tolerances_m)
        });
        let in_pieces = variant
            .pieces
            .iter()
            .map(|piece| (piece.lines().to_vec(), piece.hangs_on_lengths()));
        // A line between two places of the building is joined with nothing, and its tension is all a matter of length.
        let bare = sensitive
            .iter()
            .filter(|line| change.keeps(**line) && is_bare(model, **line));
        let bare = bare.map(|line| (vec![LineId(*line as u32)], false));
        let pieces: Vec<(Vec<LineId>, bool)> = in_pieces.chain(bare).collect();
        for (lines, hangs_on_lengths) in pieces {
            let any = |which: &dyn Fn(usize) -> bool| lines.iter().any(|line| which(line.index()));
            let is_sensitive = |line: usize| sensitive.contains(&line);
            let is_stated = || lines.iter().all(|line| says_tolerance(rig, line.index()));
            let raises = any(&is_sensitive)
                && (any(&|line| spans(rig, line)) || holds_built_in(model, &lines))
                || any(&|line| self.by_adjustment[line] && !here.lines[line].limp) && is_stated();
            // Lines on a pipe are bounded by corners where statics leaves their shares open, and are as any others where it does not.
            let given = |line: usize| {
                moved[line] && !self.by_adjustment[line] && !(hangs_on_lengths && is_sensitive(line))
            };
            // Where every line is slack nothing hangs on them, and what they come to is set by adjustment.
            let moves = any(&given) && any(&|line| !here.lines[line].limp);
            if !(raises || moves || hangs_on_lengths && any(&is_sensitive)) {
                continue;
            }
            let raised: Vec<bool> = lines
                .iter()
                .map(|line| raises || moves && given(line.index()))
                .collect();
            let mut corners = corners(rig, model, here, change, &lines, told.as_ref());
            for corner in &mut corners {
                corner.variant = index;
                if !variant.name.is_empty() {
                    corner.when = format!("{}, {}", corner.when, variant.name);
                }
            }
            for (line, raised) in lines.iter().zip(raised) {
                // What one pose bounds well is not held against rounding of another.
                if raises {
                    self.raise(found, *line, &corners, SAME);
                } else if raised {
                    self.raise(found, *line, &corners, MATTERS);
                } else if hangs_on_lengths && is_sensitive(line.index()) {
                    bounded[line.index()] |= !corners.is_empty();
                }
            }
            self.corners.extend(corners);
        }
    }

    /// Takes lines off those that are set by adjustment which no length changes: what hangs on a span by a line of its own
    /// pulls on the span's lines almost squarely, and those so pull on it next to nothing.
    fn set_by_weight(&mut self, found: &Solution, moved: &[bool], variants: &[Variant]) {
        let Some(stated) = variants.first() else {
            return;
        };
        let taut = stated
            .pieces
            .iter()
            .filter(|piece| piece.lines().iter().all(|line| !found.line(*line).slack));
        let given = taut.flat_map(Sharing::lines).map(|line| line.index());
        let given: Vec<usize> = given
            .filter(|line| self.by_adjustment[*line] && !moved[*line])
            .collect();
        for line in given {
            self.by_adjustment[line] = false;
            let here_n = found.lines[line].tension_n;
            let most = variants.iter().skip(1).max_by(|a, b| {
                let [a_n, b_n] = [a, b].map(|variant| variant.solution.lines[line].tension_n);
                a_n.total_cmp(&b_n)
            });
            self.worst[line] = most.and_then(|variant| {
                let value_n = variant.solution.lines[line].tension_n;
                (value_n > here_n * (1.0 + SAME) + SAME)
                    .then(|| Worst::of(&variant.solution, line, variant.name.clone()))
            });
        }
    }

    /// Lists what the rig is besides as stated, with which variant that is in words.
    pub(crate) fn variants(&self) -> impl Iterator<Item = (&str, &Solution)> {
        let beside = self.variants.iter().skip(1);
        beside.map(|variant| (variant.name.as_str(), &variant.solution))
    }

    /// Gives the least and the greatest of what friction at sheaves lets a line come to; none where there is none.
    pub(crate) fn slip_range_n(&self, line: usize) -> Option<[f64; 2]> {
        self.slips_n.get(line).copied().flatten()
    }

    /// Keeps what friction at sheaves brings to each line, where it is more than before.
    fn slip(&mut self, rig: &Rig, found: &Solution, name: &str, slipping: &Solution) {
        for i in 0..self.worst.len() {
            let there = &slipping.lines[i];
            if runs_over_friction(rig, i) {
                let [first_n, last_n] = there.end_tensions_n;
                let [least, most] = self.slips_n[i].unwrap_or([f64::INFINITY, 0.0]);
                self.slips_n[i] = Some([least.min(first_n).min(last_n), most.max(there.greatest_tension_n)]);
            }
            if there.greatest_tension_n > self.greatest_n(found, i) * (1.0 + SAME) + SAME
                && !self.by_adjustment[i]
            {
                self.worst[i] = Some(Worst::of(slipping, i, format!("with {name}")));
            }
        }
    }

    /// Gives the greatest tension that a line is held against so far, its own weight included, newtons.
    fn greatest_n(&self, found: &Solution, line: usize) -> f64 {
        let here = &found.lines[line];
        self.worst[line]
            .as_ref()
            .map_or(here.greatest_tension_n, |worst| {
                let own_n = here.greatest_tension_n - here.tension_n;
                worst.greatest_n.unwrap_or(worst.value_n + own_n)
            })
    }

    /// Holds a line against what tolerances of length bring it.
    fn raise(&mut self, found: &Solution, line: LineId, corners: &[Corner], by_more_than: f64) {
        let i = line.index();
        let before_n = self.greatest_n(found, i);
        let there_n = |corner: &Corner| corner.solution.line(line).greatest_tension_n;
        let most = corners.iter().max_by(|a, b| there_n(a).total_cmp(&there_n(b)));
        if let Some(corner) = most.filter(|corner| there_n(corner) > before_n * (1.0 + by_more_than) + SAME) {
            self.worst[i] = Some(Worst::of(&corner.solution, i, format!("with {}", corner.when)));
            self.raised[i] = true;
            self.by_length[i] = true;
            self.by_tolerance[i] = true;
        }
    }

    /// Holds a line against the most of what tolerances of length bring it and what the variants of the rig do, in place of what statics
    /// alone leaves open.
    fn bound(&mut self, found: &Solution, line: LineId, variants: &[Variant]) {
        let i = line.index();
        let corners = self.corners.iter().filter(|corner| corner.lines.contains(&line));
        let corners = corners.map(|corner| (&corner.solution, format!("with {}", corner.when)));
        let variants = variants
            .iter()
            .skip(1)
            .map(|variant| (&variant.solution, variant.name.clone()));
        let there_n = |(solution, _): &(&Solution, String)| solution.line(line).greatest_tension_n;
        let Some(most) = corners
            .chain(variants)
            .max_by(|a, b| there_n(a).total_cmp(&there_n(b)))
        else {
            return;
        };
        let here_n = found.line(line).greatest_tension_n;
        let worst =
            (there_n(&most) > here_n * (1.0 + SAME) + SAME).then(|| Worst::of(most.0, i, most.1.clone()));
        let most_n = there_n(&most);
        self.by_tolerance[i] = true;
        // More than one pose lets it come to, where the pose moves.
        self.raised[i] |= most_n > self.greatest_n(found, i) * (1.0 + SAME) + SAME;
        self.worst[i] = worst;
    }

    /// Bounds a sum of tensions of a piece, each times its weight in the sum, by what tolerances of length bring: the greatest
    /// over all corners tried.
    fn bounded_by_corners(
        &self,
        (variant, piece): (usize, &Sharing),
        weight: &impl Fn(LineId) -> f64,
    ) -> f64 {
        let own = self
            .corners
            .iter()
            .filter(|corner| corner.variant == variant && corner.lines == piece.lines());
        let sum = |corner: &Corner| -> f64 {
            let each = piece
                .lines()
                .iter()
                .map(|line| weight(*line) * corner.solution.line(*line).tension_n);
            each.sum()
        };
        own.map(sum).reduce(f64::max).unwrap_or(f64::INFINITY)
    }

    /// Keeps what a variant brings to each line, where it is more than before.
    fn take(&mut self, model: &Model, found: &Solution, variant: &Variant) {
        for piece in &variant.pieces {
            for line in piece.lines() {
                let i = line.index();
                self.by_length[i] |= piece.hangs_on_lengths();
                match piece.greatest(&variant.solution, |other| f64::from(u8::from(other == *line))) {
                    Greatest::Unbounded => self.by_adjustment[i] = true,
                    Greatest::Bounded { value_n, tensions_n } => {
                        let before = self.worst[i]
                            .as_ref()
                            .map_or(found.line(*line).tension_n, |worst| worst.value_n);
                        if value_n > before * (1.0 + SAME) + SAME {
                            let when = variant.words(model, piece, *line, &tensions_n);
                            self.worst[i] = Some(Worst {
                                value_n,
                                greatest_n: None,
                                when,
                            });
                        }
                    }
                }
            }
        }
        for i in 0..self.worst.len() {
            if self.by_adjustment[i] {
                self.worst[i] = None;
            }
        }
    }

    /// Finds the greatest force along a direction that lines bring to fixed frames, newtons; none if it is not bounded.
    ///
    /// What the tensions do not bring (weights at the points) is that of the variant.
    pub(crate) fn greatest_on(
        &self,
        model: &Model,
        frames: &[statics::FrameId],
        direction: &Vector3<f64>,
    ) -> Option<f64> {
        let mut greatest = f64::NEG_INFINITY;
        for (index, variant) in self.variants.iter().enumerate() {
            let solution = &variant.solution;
            let part = |line: LineId| -> f64 {
                frames
                    .iter()
                    .map(|frame| model.pull_direction(&solution.state, line, *frame).dot(direction))
                    .sum()
            };
            let total: f64 = frames
                .iter()
                .map(|frame| solution.on_building_n[frame.index()].dot(direction))
                .sum();
            let by_lines: f64 = model
                .topology
                .lines()
                .map(|line| part(line) * solution.line(line).tension_n)
                .sum();
            let mut sum = total - by_lines;
            for line in model.topology.lines().filter(|line| !variant.has(*line)) {
                sum += part(line) * solution.line(line).tension_n;
            }
            for piece in &variant.pieces {
                let by_corners_n = self.bounded_by_corners((index, piece), &part);
                let any = |which: &[bool]| piece.lines().iter().any(|line| which[line.index()]);
                let raised = any(&self.raised);
                // What lines are not held against bounds no point either.
                let by_corners_n = if any(&self.by_tolerance) {
                    by_corners_n
                } else {
                    f64::INFINITY
                };
                match piece.greatest(solution, part) {
                    // The pose itself changes with the lengths.
                    Greatest::Bounded { value_n, .. } if raised && by_corners_n.is_finite() => {
                        sum += value_n.max(by_corners_n);
                    }
                    Greatest::Bounded { value_n, .. } => sum += value_n.min(by_corners_n),
                    Greatest::Unbounded if by_corners_n.is_finite() => sum += by_corners_n,
                    Greatest::Unbounded => return None,
                }
            }
            greatest = greatest.max(sum);
        }
        // Where lines are held against what lengths bring, also as the pulls then lead.
        let held = |corner: &&Corner| corner.lines.iter().any(|line| self.by_tolerance[line.index()]);
        for corner in self.corners.iter().filter(held) {
            let here = frames
                .iter()
                .map(|frame| corner.solution.on_building_n[frame.index()]);
            greatest = greatest.max(here.map(|force| force.dot(direction)).sum());
        }
        greatest.is_finite().then_some(greatest)
    }

    /// Tells whether a line is held against what lengths within their tolerances bring.
    pub(crate) fn within_tolerances(&self, line: usize) -> bool {
        self.worst[line].is_some() && self.by_tolerance[line]
    }

    /// Tells whether anything may come to these lines beyond what was found.
    pub(crate) fn may_differ(&self, lines: &[usize]) -> bool {
        lines.iter().any(|line| self.worst[*line].is_some())
    }
}

impl Variant {
    fn has(&self, line: LineId) -> bool {
        self.pieces.iter().any(|piece| piece.lines().contains(&line))
    }

    /// Says which variant it is, and what the other lines of the piece then carry.
    fn words(&self, model: &Model, piece: &Sharing, line: LineId, tensions_n: &[f64]) -> String {
        let others = piece.lines().iter().filter(|other| **other != line);
        let told: Vec<String> = others
            .filter_map(|other| {
                let (name, _) = model.lines.get_index(other.index())?;
                let tension_n = tensions_n.get(other.index())?;
                Some(format!("{name} {}", Kind::Force.print(*tension_n, Style::both())))
            })
            .collect();
        let with = if told.is_empty() {
            String::new()
        } else {
            format!("the others then carry: {}", told.join(", "))
        };
        match (self.name.is_empty(), with.is_empty()) {
            (true, _) => with,
            (false, true) => self.name.clone(),
            (false, false) => format!("{}; {with}", self.name),
        }
    }
}
