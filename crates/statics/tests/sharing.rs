//! Greatest shares against closed forms.

use crate::support::Rig;
use statics::{Greatest, LineId, Sharing};

/// Asks for the greatest tension of one line of a rig in one piece.
fn greatest(case: &crate::support::Case, line: usize) -> Greatest {
    let found = case.found();
    let pieces = Sharing::pieces(&case.topology, &case.parameters, &found, |_| true);
    assert_eq!(pieces.len(), 1, "one piece");
    let piece = pieces[0].1.as_ref().unwrap();
    piece.greatest(&found, |other| f64::from(u8::from(other == LineId(line as u32))))
}

/// A rectangular plate on four upright legs at its corners: the tensions that balance are those found plus any multiple
/// of (1, -1, 1, -1) around the corners. So a corner carries at most what it has plus the lesser of its two neighbours.
/// Derived: moments about both axes leave just that one direction.
#[test]
fn a_plate_on_four_legs_shares_along_one_direction() {
    for k in 0..40 {
        // Centres of gravity all over the middle half, above and below the picks.
        let (x, y) = (0.15 * f64::from(k % 7 - 3), 0.1 * f64::from(k % 5 - 2));
        let z = if k % 2 == 0 { -0.3 } else { 0.1 };
        let mut rig = Rig::new();
        let plate = rig.body([0.0, 0.0, 0.0], [x, y, z], 4000.0);
        for [px, py] in [[-1.5, -1.0], [1.5, -1.0], [1.5, 1.0], [-1.5, 1.0]] {
            let (point, pick) = (rig.point([px, py, 4.0]), rig.pick(plate, [px, py, 0.0]));
            rig.line(&[point, pick], 1e8, 4.0);
        }
        let case = rig.build();
        let tensions: Vec<f64> = case.found().lines.iter().map(|line| line.tension_n).collect();
        for corner in 0..4 {
            let expected = tensions[corner] + tensions[(corner + 1) % 4].min(tensions[(corner + 3) % 4]);
            let Greatest::Bounded { value_n, .. } = greatest(&case, corner) else {
                panic!("corner {corner} is bounded")
            };
            // The plate tilts by stretch under 1e-3, which the closed form neglects.
            assert!(
                (value_n - expected).abs() < 4.0,
                "{k}, corner {corner}: {value_n} against {expected}"
            );
        }
    }
}

/// Two lines that hold a bar at its ends: statics decides.
#[test]
fn what_statics_decides_is_no_more_than_found() {
    let mut rig = Rig::new();
    let bar = rig.body([0.0; 3], [0.2, 0.0, -0.3], 1000.0);
    for x in [-1.0, 1.0] {
        let (point, pick) = (rig.point([x, 0.0, 3.0]), rig.pick(bar, [x, 0.0, 0.0]));
        rig.line(&[point, pick], 1e7, 3.0);
    }
    let case = rig.build();
    let found = case.found();
    for line in 0..2 {
        let Greatest::Bounded { value_n, .. } = greatest(&case, line) else {
            panic!("bounded")
        };
        assert!((value_n - found.lines[line].tension_n).abs() < 1e-9);
    }
}

/// Lines that pull against one another have no greatest share: a plate held down by lines under its hangers.
#[test]
fn tie_downs_have_no_bound() {
    let mut rig = Rig::new();
    let plate = rig.body([0.0; 3], [0.0, 0.0, -0.2], 1000.0);
    for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (0.0, 1.0)] {
        for z in [3.0, -3.0] {
            let (point, pick) = (rig.point([x, y, z]), rig.pick(plate, [x, y, 0.0]));
            rig.line(&[point, pick], 1e7, 3.0);
        }
    }
    let case = rig.build();
    for line in 0..6 {
        assert_eq!(greatest(&case, line), Greatest::Unbounded, "{line}");
    }
}
