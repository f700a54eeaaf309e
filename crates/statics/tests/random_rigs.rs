//! Rigs at random: bodies, junctions, running lines, slack lines, odd stiffness, poor guesses.

use crate::support::{Case, Rig};
use statics::{AttachmentId, UnitQuaternion, Vector3};

/// A small generator of its own, so that a case never changes with a library (xorshift64*, Vigna 2016, from
/// memory).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        for _ in 0..8 {
            dice.unit();
        }
        dice
    }

    pub fn unit(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count - 1)
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    pub fn place(&mut self, low: [f64; 3], high: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|i| self.between(low[i], high[i]))
    }
}

/// Draws a rig. `tame` keeps stiffness ordinary, guesses fair and lines from running.
pub fn draw(seed: u64, tame: bool) -> Case {
    let mut dice = Dice::new(seed);
    let mut rig = Rig::new();
    let points: Vec<AttachmentId> = (0..3 + dice.below(5))
        .map(|_| rig.point(dice.place([-4.0, -4.0, 4.0], [4.0, 4.0, 6.0])))
        .collect();
    let mut places: Vec<(AttachmentId, [f64; 3])> = Vec::new();
    let mut rings: Vec<(AttachmentId, [f64; 3])> = Vec::new();
    let wrong = if tame { 0.1 } else { 2.0 };
    for _ in 0..dice.below(4) {
        let at = dice.place([-2.0, -2.0, 1.5], [2.0, 2.0, 3.0]);
        let guess = guess_near(&mut dice, at, wrong);
        let weight = if dice.chance(0.5) {
            0.0
        } else {
            dice.between(1.0, 200.0)
        };
        let ring = rig.junction(guess, weight);
        rings.push((ring, at));
    }
    let bodies = dice.below(3) + usize::from(rings.is_empty());
    for _ in 0..bodies {
        let at = dice.place([-3.0, -3.0, -2.0], [3.0, 3.0, 1.0]);
        let centre = dice.place([-0.3, -0.3, -0.5], [0.3, 0.3, if tame { -0.1 } else { 0.3 }]);
        let guess = guess_near(&mut dice, at, wrong);
        let body = rig.body(guess, centre, dice.between(50.0, 5000.0));
        let turn = Vector3::from(dice.place([-1.0; 3], [1.0; 3])) * if tame { 0.02 } else { 0.6 };
        rig.turned(body, UnitQuaternion::from_scaled_axis(turn));
        for _ in 0..=dice.below(4) {
            let offset = dice.place([-1.2, -1.2, -0.1], [1.2, 1.2, 0.3]);
            places.push((rig.pick(body, offset), [0, 1, 2].map(|i| at[i] + offset[i])));
        }
        if dice.chance(0.3) {
            rig.force(
                body,
                dice.place([-0.5; 3], [0.5; 3]),
                dice.place([-60.0; 3], [60.0; 3]),
            );
        }
    }
    places.extend(rings.iter().copied());
    for (index, (place, at)) in places.iter().enumerate() {
        for _ in 0..=usize::from(dice.chance(0.3)) {
            // Rings of lower number carry those of higher number and bodies; all else goes to points.
            let over = rings.iter().filter(|(ring, _)| ring < place).count();
            let (upper, upper_at) = if over > 0 && dice.chance(0.4) {
                rings[dice.below(over)]
            } else {
                let point = points[dice.below(points.len())];
                (point, rig.place_of(point))
            };
            let mut path = vec![upper];
            let mut along = vec![upper_at];
            if !tame && dice.chance(0.15) {
                let sheave = points[dice.below(points.len())];
                if sheave != upper {
                    path.push(sheave);
                    along.push(rig.place_of(sheave));
                }
            }
            if !tame && dice.chance(0.1) && index > 0 && places[index - 1].0 != upper {
                path.push(places[index - 1].0);
                along.push(places[index - 1].1);
            }
            path.push(*place);
            along.push(*at);
            let drawn: f64 = along
                .windows(2)
                .map(|p| (Vector3::from(p[1]) - Vector3::from(p[0])).norm())
                .sum();
            let length = drawn.max(0.1) * dice.between(0.97, 1.05);
            let stiffness = if tame {
                dice.between(3e5, 3e6)
            } else {
                10.0_f64.powf(dice.between(3.5, 9.5))
            };
            rig.heavy_line(&path, stiffness, length, if dice.chance(0.5) { 5.0 } else { 0.0 });
        }
    }
    rig.build()
}

fn guess_near(dice: &mut Dice, at: [f64; 3], wrong: f64) -> [f64; 3] {
    let off = dice.place([-wrong; 3], [wrong; 3]);
    [0, 1, 2].map(|i| at[i] + off[i])
}
