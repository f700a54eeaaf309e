//! Pipes at random: level or tilted, on plumb or splayed lines, some slack, some heavy, some over sheaves or under bridles,
//! with hinges and loads, at places that give.

use crate::pipes::{Chain, Pipe};
use crate::random_rigs::Dice;
use crate::support::{Case, Rig};
use statics::{AttachmentId, Vector3};

/// Holds a drawn rig and its pipe.
pub struct PipeRig {
    pub case: Case,
    pub chain: Chain,
}

/// Draws a rig; `wild` splays lines, tilts the pipe, errs in lengths and hangs some of it from bridles, sheaves and places
/// that give.
pub fn draw(seed: u64, wild: bool) -> PipeRig {
    let mut dice = Dice::new(seed ^ 0x5eed);
    let picks = place_picks(&mut dice);
    let pipe = draw_pipe(&mut dice, &picks, wild);
    let mut rig = Rig::new();
    let shortest_m = picks
        .windows(2)
        .map(|bay| bay[1] - bay[0])
        .fold(f64::INFINITY, f64::min);
    let piece_m = shortest_m.max(0.8) / dice.between(1.5, 5.0);
    let chain = pipe.put_into(&mut rig, &picks, piece_m);
    let ends: Vec<AttachmentId> = picks.iter().map(|along| chain.pick(&mut rig, *along)).collect();
    let mut hung = 0;
    while hung < ends.len() {
        hung += hang(&mut dice, &mut rig, &ends[hung..], wild);
    }
    PipeRig {
        case: rig.build(),
        chain,
    }
}

/// From two to eight picks, half a metre and more apart.
fn place_picks(dice: &mut Dice) -> Vec<f64> {
    let mut along = dice.between(0.0, 1.0);
    let mut picks = vec![along];
    for _ in 0..=dice.below(7) {
        along += dice.between(0.5, 3.0);
        picks.push(along);
    }
    picks
}

fn draw_pipe(dice: &mut Dice, picks: &[f64], wild: bool) -> Pipe {
    let (first, last) = (picks[0], picks[picks.len() - 1]);
    let length_m = last + dice.between(0.0, 1.0);
    let tilt = if wild { dice.between(-0.4, 0.4) } else { 0.0 };
    let axis = Vector3::new(f64::cos(tilt), 0.0, f64::sin(tilt));
    let ei = dice.between(1e4, 6e4);
    let mut pipe = Pipe {
        start_m: Vector3::zeros(),
        end_m: axis * length_m,
        length_m,
        axial_stiffness_n: ei * dice.between(2500.0, 4000.0),
        bending_stiffness_n_m2: ei,
        torsional_stiffness_n_m2: 0.77 * ei,
        weight_n_per_m: dice.between(25.0, 60.0),
        point_loads: Vec::new(),
        part_loads: Vec::new(),
        hinges_m: Vec::new(),
    };
    for _ in 0..dice.below(4) {
        let aside = if wild && dice.chance(0.2) {
            dice.between(-80.0, 80.0)
        } else {
            0.0
        };
        let load = Vector3::new(0.0, aside, -dice.between(50.0, 900.0));
        pipe.point_loads.push((dice.between(0.0, length_m), load));
    }
    if dice.chance(0.4) {
        let (a, b) = (dice.between(0.0, length_m), dice.between(0.0, length_m));
        let load = Vector3::z() * -dice.between(50.0, 400.0);
        pipe.part_loads.push((a.min(b), a.max(b) + 0.1, load));
        pipe.part_loads[0].1 = pipe.part_loads[0].1.min(length_m);
    }
    if picks.len() > 3 && dice.chance(0.25) {
        pipe.hinges_m.push(dice.between(first + 0.1, last - 0.1));
    }
    pipe
}

/// Hangs the next pick, or the next two together; gives how many.
fn hang(dice: &mut Dice, rig: &mut Rig, ends: &[AttachmentId], wild: bool) -> usize {
    let at = rig.place_of(ends[0]);
    let top = draw_top(dice, at, wild);
    let both = wild && ends.len() > 1 && dice.chance(0.2);
    if !both {
        let point = draw_point(dice, rig, top, wild);
        add_line(dice, rig, &[point, ends[0]], wild);
        return 1;
    }
    let other = rig.place_of(ends[1]);
    let point = draw_point(
        dice,
        rig,
        [0, 1, 2].map(|i| 0.5 * (top[i] + other[i]) + if i == 2 { 1.5 } else { 0.0 }),
        wild,
    );
    if dice.chance(0.3) {
        add_line(dice, rig, &[ends[0], point, ends[1]], wild);
        return 2;
    }
    let ring_at = [0, 1, 2].map(|i| 0.5 * (at[i] + other[i]) + if i == 2 { 1.2 } else { 0.0 });
    let ring = rig.junction(ring_at, if dice.chance(0.5) { 20.0 } else { 0.0 });
    for path in [[point, ring], [ring, ends[0]], [ring, ends[1]]] {
        add_line(dice, rig, &path, wild);
    }
    2
}

fn draw_top(dice: &mut Dice, at: [f64; 3], wild: bool) -> [f64; 3] {
    let splay = if wild { 1.2 } else { 0.0 };
    let off = dice.place([-splay, -splay, 2.0], [splay, splay, 6.0]);
    [0, 1, 2].map(|i| at[i] + off[i])
}

fn draw_point(dice: &mut Dice, rig: &mut Rig, at: [f64; 3], wild: bool) -> AttachmentId {
    if wild && dice.chance(0.25) {
        rig.giving_point(at, 10.0_f64.powf(dice.between(4.5, 7.0)))
    } else {
        rig.point(at)
    }
}

fn add_line(dice: &mut Dice, rig: &mut Rig, path: &[AttachmentId], wild: bool) {
    let places: Vec<Vector3<f64>> = path.iter().map(|a| rig.place_of(*a).into()).collect();
    let drawn: f64 = places.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
    let error = match (wild, dice.chance(0.15)) {
        (true, true) => dice.between(0.02, 0.3),
        (true, false) => dice.between(-0.02, 0.02),
        (false, _) => dice.between(-0.003, 0.003),
    };
    let stiffness_n = 10.0_f64.powf(dice.between(5.0, 6.5));
    let weight_n = if dice.chance(0.3) {
        drawn * dice.between(0.5, 40.0)
    } else {
        0.0
    };
    rig.heavy_line(path, stiffness_n, drawn + error, weight_n);
}
