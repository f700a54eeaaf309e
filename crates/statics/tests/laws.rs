//! Laws that hold for every rig, tried on rigs drawn at random from fixed seeds.

use crate::random_rigs::draw;
use crate::support::Case;
use statics::{Outcome, Solution, UnitQuaternion, Vector3};

/// Each of a thousand rigs ends in an outcome; where that is an equilibrium, forces and moments recounted
/// from positions alone balance.
#[test]
fn a_thousand_rigs_each_end_in_an_outcome() {
    let mut counts = [0; 5];
    let mut worst = 0;
    for seed in 0..1000 {
        let case = draw(seed, false);
        match case.solve() {
            Ok(Outcome::Found(found)) => {
                case.recount(&found);
                worst = worst.max(found.iterations);
                counts[0] += 1;
                counts[1] += usize::from(!found.free_motions.is_empty());
                counts[2] += usize::from(found.left_unstable);
            }
            Ok(Outcome::NothingHolds(_)) => panic!("seed {seed}: every rig is drawn with lines to points"),
            Ok(Outcome::Jams(_)) => counts[3] += 1,
            Err(error) => {
                println!("seed {seed}: {error}");
                counts[4] += 1;
            }
        }
    }
    println!("found, free, left unstable, jams, errors: {counts:?}; most steps {worst}");
    assert_eq!(counts[4], 0, "solves that failed");
    assert!(counts[0] > 700 && counts[3] < 200, "{counts:?}");
}
