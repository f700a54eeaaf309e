//! Changes of a rig that mean nothing: what they must do to its solution.

use crate::support::Case;
use statics::{Solution, UnitQuaternion, Vector3};

/// What a change of a rig must do to its solution.
pub struct Change {
    pub name: &'static str,
    pub case: Case,
    /// By what the tensions are multiplied.
    tension: f64,
    /// By what the lengths are multiplied.
    long: f64,
    /// Where a place goes.
    place: Box<dyn Fn(Vector3<f64>) -> Vector3<f64>>,
    /// New index of each old line, frame and beam.
    pub lines: Vec<usize>,
    frames: Vec<usize>,
    beams: Vec<usize>,
}

impl Change {
    fn of(case: &Case, name: &'static str) -> Self {
        Self {
            name,
            case: case.clone(),
            tension: 1.0,
            long: 1.0,
            place: Box::new(|at| at),
            lines: (0..case.topology.line_count()).collect(),
            frames: (0..case.topology.frame_count()).collect(),
            beams: (0..case.topology.beam_count()).collect(),
        }
    }
}

/// Mirrors one axis: vectors by the sign of their part along it, turns by the sign of the others. A body's own axes are
/// mirrored too, so pipes, which lie along theirs, keep x.
pub fn mirrored(case: &Case, axis: usize) -> Change {
    let mut change = Change::of(case, "mirrored");
    let flip = move |at: &mut Vector3<f64>| at[axis] = -at[axis];
    let p = &mut change.case.parameters;
    p.fixed_at_m.iter_mut().for_each(flip);
    p.attachment_offset_m.iter_mut().for_each(flip);
    p.centre_m.iter_mut().for_each(flip);
    for force in &mut p.forces {
        flip(&mut force.offset_m);
        flip(&mut force.force_n);
    }
    p.beams.iter_mut().for_each(|beam| flip(&mut beam.load_n_per_m));
    p.springs.iter_mut().for_each(|spring| flip(&mut spring.at_m));
    change.case.guess.position_m.iter_mut().for_each(flip);
    for rotation in &mut change.case.guess.rotation {
        let mut turn = -rotation.scaled_axis();
        flip(&mut turn);
        *rotation = UnitQuaternion::from_scaled_axis(turn);
    }
    change.place = Box::new(move |mut at| {
        flip(&mut at);
        at
    });
    change
}

/// Turns about the vertical and moves: places and forces turn, body axes stay.
pub fn turned_and_moved(case: &Case) -> Change {
    let mut change = Change::of(case, "turned and moved");
    let turn = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), 1.1);
    let shift = Vector3::new(3.0, -7.0, 2.0);
    let go = move |at: Vector3<f64>| turn * at + shift;
    let p = &mut change.case.parameters;
    p.fixed_at_m.iter_mut().for_each(|at| *at = go(*at));
    p.forces
        .iter_mut()
        .for_each(|force| force.force_n = turn * force.force_n);
    p.beams
        .iter_mut()
        .for_each(|beam| beam.load_n_per_m = turn * beam.load_n_per_m);
    p.springs
        .iter_mut()
        .for_each(|spring| spring.at_m = go(spring.at_m));
    change
        .case
        .guess
        .position_m
        .iter_mut()
        .for_each(|at| *at = go(*at));
    change
        .case
        .guess
        .rotation
        .iter_mut()
        .for_each(|rotation| *rotation = turn * *rotation);
    change.place = Box::new(go);
    change
}

/// Scales lengths by 2.5 and forces by 0.3.
pub fn scaled(case: &Case) -> Change {
    let mut change = Change::of(case, "scaled");
    let (long, strong) = (2.5, 0.3);
    let p = &mut change.case.parameters;
    p.fixed_at_m.iter_mut().for_each(|at| *at *= long);
    p.attachment_offset_m.iter_mut().for_each(|at| *at *= long);
    p.centre_m.iter_mut().for_each(|at| *at *= long);
    p.weight_n.iter_mut().for_each(|weight| *weight *= strong);
    for force in &mut p.forces {
        force.offset_m *= long;
        force.force_n *= strong;
    }
    for line in &mut p.lines {
        line.stiffness_n *= strong;
        line.unloaded_length_m *= long;
        line.weight_n *= strong;
    }
    for beam in &mut p.beams {
        beam.length_m *= long;
        beam.shift_n_per_m *= strong / long;
        beam.turn_n_m *= strong * long;
        beam.load_n_per_m *= strong / long;
    }
    for spring in &mut p.springs {
        spring.at_m *= long;
        spring.stiffness_n_per_m *= strong / long;
    }
    change.case.guess.position_m.iter_mut().for_each(|at| *at *= long);
    (change.tension, change.long) = (strong, long);
    change.place = Box::new(move |at| at * long);
    change
}

/// Numbers frames, attachments and lines backwards.
pub fn renumbered(case: &Case) -> Change {
    let mut change = Change::of(case, "renumbered");
    let (old, p) = (&case.topology, &case.parameters);
    let last = |count: usize| move |index: usize| count - 1 - index;
    let (frames, lines) = (old.frame_count(), old.line_count());
    let (new_frame, new_attachment) = (last(frames), last(old.attachment_count()));
    let mut builder = statics::TopologyBuilder::new();
    for frame in (0..frames).rev() {
        builder.frame(old.kind(statics::FrameId(frame as u32)));
    }
    for attachment in (0..old.attachment_count()).rev() {
        let frame = old.frame_of(statics::AttachmentId(attachment as u32));
        builder.attachment(statics::FrameId(new_frame(frame.index()) as u32));
    }
    for line in (0..lines).rev() {
        let path: Vec<_> = old
            .path(statics::LineId(line as u32))
            .iter()
            .map(|a| statics::AttachmentId(new_attachment(a.index()) as u32))
            .collect();
        builder.line(&path);
    }
    for beam in (0..old.beam_count()).rev() {
        let ends = old.ends(statics::BeamId(beam as u32));
        let [first, last] = ends.map(|end| statics::FrameId(new_frame(end.index()) as u32));
        builder.beam(first, last);
    }
    change.case.topology = builder.build().unwrap();
    let new = &mut change.case.parameters;
    new.fixed_at_m.reverse();
    new.weight_n.reverse();
    new.centre_m.reverse();
    new.attachment_offset_m.reverse();
    new.lines.reverse();
    new.forces.clone_from(&p.forces);
    for force in &mut new.forces {
        force.frame = statics::FrameId(new_frame(force.frame.index()) as u32);
    }
    new.beams.reverse();
    for spring in &mut new.springs {
        spring.frame = statics::FrameId(new_frame(spring.frame.index()) as u32);
    }
    change.case.guess.position_m.reverse();
    change.case.guess.rotation.reverse();
    change.lines.reverse();
    change.frames.reverse();
    change.beams.reverse();
    change
}

/// Largest difference of tension, as a share of the weight, of place, as a share of the rig's height of 10 m, and of the
/// moment in the middle of a piece of pipe, as a share of the weight times a metre, between a solution and that of a
/// changed rig.
pub fn difference(case: &Case, found: &Solution, change: &Change, other: &Solution) -> [f64; 3] {
    let weight = case.weight_n().max(1.0) * change.tension;
    let mut tension = 0.0_f64;
    for (old, new) in change.lines.iter().enumerate() {
        let off = other.lines[*new].tension_n - change.tension * found.lines[old].tension_n;
        tension = tension.max(off.abs() / weight);
    }
    let mut place = 0.0_f64;
    for (old, new) in change.frames.iter().enumerate() {
        let frame = statics::FrameId(old as u32);
        let at = found.state.centre_at_m(&case.topology, &case.parameters, frame);
        let new = statics::FrameId(*new as u32);
        let moved = other
            .state
            .centre_at_m(&change.case.topology, &change.case.parameters, new);
        place = place.max((moved - (change.place)(at)).norm() / 10.0);
    }
    let mut moment = 0.0_f64;
    for (old, new) in change.beams.iter().enumerate() {
        let wanted = change.tension * change.long * found.beams[old].moment_at(0.0).norm();
        let off = other.beams[*new].moment_at(0.0).norm() - wanted;
        moment = moment.max(off.abs() / (weight * change.long));
    }
    [tension, place, moment]
}
