//! In which directions centres of gravity are put off when an event is followed.
//!
//! Conventions: SI; shares of a radius of gyration.
//! Assumes: what does not come to hang much otherwise with centres far further off than they may be, and is not followed otherwise with
//! them off in the direction in which it hangs most otherwise, goes much the same way in all directions.
//! Valid for: events of plain rigs.
//! Source: our judgement (docs/theory/motion.md).
//! Checked by: tests/main/in_time.rs.

use crate::letgo::event::Event;
use crate::letgo::masses::OFF;
use crate::letgo::run::{Came, Ran, hangs_off, run};
use crate::letgo::scene::{Scenery, Way};
use motion::{Motion, Travel};
use rayon::prelude::*;
use statics::{Solution, Vector3};

/// How much further off than they may be centres are when it is looked at how things then hang.
const FAR: f64 = 5.0;
/// A load that then leans by so much more may roll over, radians.
const LEANS_RAD: f64 = 0.2;
/// Peaks that differ by this share, and places that do by so much and by this share, are of another motion.
const OTHERWISE: f64 = 0.1;
const ASIDE_M: f64 = 0.02;

/// Follows an event with centres of gravity off, in every direction that may matter; `ran` is what came of it in other ways.
pub(crate) fn follow_off(scenery: &Scenery<'_>, event: &Event, ran: &[Ran]) -> Vec<Ran> {
    let centred = |ran: &&Ran| {
        let way = ran.way;
        way.at == 0 && way.ratio == 0.0 && way.slips_m.is_none() && !way.is_long
    };
    let all = ran.iter().filter(centred);
    all.flat_map(|centred| follow_off_from(scenery, event, centred))
        .collect()
}

fn follow_off_from(scenery: &Scenery<'_>, event: &Event, centred: &Ran) -> Vec<Ran> {
    if matches!(&centred.came, Came::Followed(followed) if !followed.falls_at_once.is_empty()) {
        return Vec::new();
    }
    let ways = scenery.off.iter().map(|off| Way {
        without_grips: centred.way.without_grips,
        ..*off
    });
    let ways: Vec<Way> = ways.collect();
    let straight = hangs_off(scenery, event, centred.way, None);
    let leans: Vec<f64> = (0..ways.len())
        .map(|direction| {
            let off = hangs_off(scenery, event, centred.way, Some((FAR * OFF, direction)));
            leans_rad(scenery, straight.as_ref(), off.as_ref())
        })
        .collect();
    let most = (0..ways.len()).max_by(|a, b| leans[*a].total_cmp(&leans[*b]));
    let follow = |of: Vec<usize>| -> Vec<Ran> {
        of.into_par_iter()
            .map(|at| run(scenery, event, ways[at]))
            .collect()
    };
    let is_first = |at: &usize| leans[*at] > LEANS_RAD || Some(*at) == most;
    let mut followed = follow((0..ways.len()).filter(is_first).collect());
    if followed.iter().any(|off| goes_otherwise(centred, off)) {
        followed.extend(follow((0..ways.len()).filter(|at| !is_first(at)).collect()));
    }
    followed
}

/// Gives by how much more any load leans, radians; without limit where it does not hang.
fn leans_rad(scenery: &Scenery<'_>, straight: Option<&Solution>, off: Option<&Solution>) -> f64 {
    let (Some(straight), Some(off)) = (straight, off) else {
        return f64::INFINITY;
    };
    let loads = scenery.plain.model.loads.values();
    let leans = loads.map(|load| {
        let axis = if load.pipe.is_some() {
            Vector3::x()
        } else {
            Vector3::z()
        };
        let [straight, off] = [straight, off].map(|hangs| {
            (hangs.state.rotation[load.frame.index()] * axis)
                .z
                .clamp(-1.0, 1.0)
                .asin()
        });
        (straight - off).abs()
    });
    leans.fold(0.0, f64::max)
}

/// Tells whether an event goes otherwise in one way than in another.
fn goes_otherwise(centred: &Ran, off: &Ran) -> bool {
    let [centred, off] = [centred, off].map(|ran| ran.followed()?.motion.as_ref());
    let (Some(centred), Some(off)) = (centred, off) else {
        return true;
    };
    let hardest_n = |motion: &Motion| motion.lines.iter().map(|peak| peak.force_n).fold(0.0, f64::max);
    let least_n = OTHERWISE * hardest_n(centred).max(hardest_n(off));
    let mut lines = centred.lines.iter().zip(&off.lines);
    let pulls = lines.any(|(a, b)| (a.force_n - b.force_n).abs() > least_n);
    let differs = |a: f64, b: f64| (a - b).abs() > ASIDE_M + OTHERWISE * a.max(b);
    let goes = |(a, b): (&Option<Travel>, &Option<Travel>)| match (a, b) {
        (Some(a), Some(b)) => {
            differs(a.drop_m, b.drop_m)
                || differs(a.swing_m, b.swing_m)
                || (a.tilt_rad - b.tilt_rad).abs() > LEANS_RAD
        }
        _ => a.is_some() != b.is_some(),
    };
    pulls || centred.parted != off.parted || centred.travel.iter().zip(&off.travel).any(goes)
}
