//! How a rig hangs in one state, as it is told.
//!
//! Conventions: SI.
//! Assumes: what `bench` and `uncertainty` assume.
//! Valid for: states that hang.
//! Source: the rig solved in that state; uncertainties from the rigs that the readings hardly allow, in that state.
//! Checked by: tests/main/adjust.rs.

use super::answer::{Figure, LineNow, LoadNow, PickNow, RigNow};
use super::bench::{Actual, Bench};
use super::estimate::Fit;
use super::steps::Limits;
use statics::{LineId, Solution};

impl RigNow {
    /// Says how a rig hangs in a state, with what is uncertain of it after a fit.
    pub(crate) fn of(
        bench: &mut Bench<'_>,
        limits: &Limits,
        actual: &Actual,
        rest: &Solution,
        fit: Option<&Fit>,
    ) -> RigNow {
        let (lines, loads, picks) = (bench.rig.lines.len(), bench.rig.loads.len(), bench.picks());
        let values = |bench: &Bench<'_>, rest: &Solution| {
            let heights = (0..loads).map(|load| bench.height_m(rest, load));
            let of_picks = picks
                .iter()
                .map(|(load, pick)| bench.pick_height_m(rest, *load, *pick));
            heights.chain(of_picks).collect::<Vec<f64>>()
        };
        let mut now: Vec<f64> = (0..lines).map(|line| bench.tensions_n(rest, line)[0]).collect();
        now.extend(values(bench, rest));
        let sure = fit.and_then(|fit| {
            let mut sure = fit.of_tensions(bench, (actual, None), rest)?;
            sure.extend(fit.uncertainties(bench, actual, rest, values)?);
            Some(sure)
        });
        let mut figures = now.iter().enumerate().map(|(i, value)| Figure {
            value: *value,
            standard_uncertainty: sure.as_ref().map(|sure| sure[i]),
        });
        let mut next = || {
            figures.next().unwrap_or(Figure {
                value: f64::NAN,
                standard_uncertainty: None,
            })
        };
        let lines = (0..lines).map(|line| {
            let told = LineNow {
                tension_n: next(),
                slack: rest.line(LineId(line as u32)).limp,
                working_load_n: limits.lines_n.get(line).copied().flatten(),
            };
            (bench.line_name(line), told)
        });
        let lines = lines.collect();
        let loads = (0..loads).map(|load| {
            let told = LoadNow {
                height_m: next(),
                tilt_deg: bench.tilt_rad(rest, load).to_degrees(),
            };
            (bench.load_name(load), told)
        });
        let loads = loads.collect();
        let picks = picks.iter().map(|(load, pick)| {
            let height_m = next();
            let told = PickNow {
                over_trim_m: height_m.value - bench.trim_height_m(*load, *pick),
                height_m,
            };
            (bench.pick_name(*load, *pick), told)
        });
        RigNow {
            picks: picks.collect(),
            lines,
            loads,
        }
    }
}
