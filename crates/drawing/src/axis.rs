//! Axes with round numbers.
//!
//! Conventions: values in the unit of the axis, whatever it is.
//! Source: steps of 1, 2 and 5 times a power of ten (common practice, no source).
//! Checked by: the tests below.

/// About so many ticks.
const TICKS: f64 = 6.0;

/// So little past an end, as a share of the axis, is drawn past it.
const HAIR: f64 = 0.02;

/// How far an axis goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ends {
    /// As far as what is on it, and nought.
    FromNought,
    /// As far as what is on it.
    AsFar,
    /// From one value to another.
    Fixed(f64, f64),
}

/// An axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it shows, with its unit.
    pub label: String,
    /// How far it goes.
    pub ends: Ends,
    /// Names at 0, 1, 2 and so on in place of numbers; numbers if there are none.
    pub names: Vec<String>,
}

impl Axis {
    /// Gives an axis of numbers.
    #[must_use]
    pub fn of(label: impl Into<String>, ends: Ends) -> Self {
        Axis {
            label: label.into(),
            ends,
            names: Vec::new(),
        }
    }

    /// Gives an axis of names.
    #[must_use]
    pub fn named(label: impl Into<String>, names: Vec<String>) -> Self {
        Axis {
            label: label.into(),
            ends: Ends::Fixed(-0.5, names.len() as f64 - 0.5),
            names,
        }
    }

    /// Finds where it ends and where its ticks are, for values on it.
    pub(crate) fn scale(&self, values: impl Iterator<Item = f64>) -> Scale {
        let finite = values.filter(|value| value.is_finite());
        let (least, most) = finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| {
            (least.min(value), most.max(value))
        });
        let (least, most) = match self.ends {
            Ends::Fixed(least, most) => (least, most),
            _ if least > most => (0.0, 1.0),
            // Noise about nought is no reason to go below it.
            Ends::FromNought if least < 0.0 && -least < HAIR * most => (0.0, most),
            Ends::FromNought => (least.min(0.0), most.max(0.0)),
            Ends::AsFar => (least, most),
        };
        let most = if most > least {
            most
        } else {
            least + least.abs().max(1.0)
        };
        if !self.names.is_empty() {
            return Scale {
                least,
                most,
                step: 1.0,
                ticks: (0..self.names.len()).map(|at| at as f64).collect(),
            };
        }
        let step = round_step((most - least) / TICKS);
        let (first, last) = match self.ends {
            Ends::Fixed(..) => ((least / step).ceil(), (most / step).floor()),
            _ => ((least / step + 1e-9).floor(), (most / step - 1e-9).ceil()),
        };
        let ticks: Vec<f64> = (0..=((last - first) as usize).min(40))
            .map(|at| (first + at as f64) * step)
            .collect();
        let (least, most) = match self.ends {
            Ends::Fixed(..) => (least, most),
            _ => (first * step, last * step),
        };
        Scale {
            least,
            most,
            step,
            ticks,
        }
    }
}

/// An axis with its ends and ticks.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Scale {
    pub(crate) least: f64,
    pub(crate) most: f64,
    step: f64,
    pub(crate) ticks: Vec<f64>,
}

impl Scale {
    /// Gives where a value is along it, from 0 to 1.
    pub(crate) fn share(&self, value: f64) -> f64 {
        ((value - self.least) / (self.most - self.least)).clamp(-HAIR, 1.0 + HAIR)
    }

    /// Writes a tick with as many decimals as its step has.
    pub(crate) fn words(&self, tick: f64) -> String {
        let decimals = (-self.step.log10().floor()).clamp(0.0, 9.0) as usize;
        format!("{:.*}", decimals, tick + 0.0)
    }
}

/// Gives the round step that is next above.
fn round_step(about: f64) -> f64 {
    let power = 10_f64.powf(about.log10().floor());
    let rounds = [1.0, 2.0, 5.0, 10.0].map(|times| times * power);
    rounds
        .into_iter()
        .find(|step| *step >= about * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn ticks_are_round_and_reach_past_what_is_shown() {
        let scale = Axis::of("kN", Ends::FromNought).scale([0.3, 11.3].into_iter());
        assert_eq!(scale.ticks, [0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0]);
        assert_eq!((scale.least, scale.most), (0.0, 12.0));
        assert_eq!(scale.words(12.0), "12");
        let scale = Axis::of("s", Ends::AsFar).scale([0.0012, 0.0031].into_iter());
        assert_eq!(scale.words(scale.ticks[0]), "0.0010");
    }

    proptest! {
        #[test]
        fn what_is_shown_is_within(a in -1e6..1e6_f64, b in -1e6..1e6_f64) {
            for ends in [Ends::FromNought, Ends::AsFar] {
                let scale = Axis::of("", ends).scale([a, b].into_iter());
                let hair = HAIR * (scale.most - scale.least);
                prop_assert!(scale.least <= a.min(b) + hair && scale.most >= a.max(b) - hair);
                prop_assert!(scale.ticks.len() >= 2 && scale.ticks.len() <= 12, "{scale:?}");
            }
        }
    }
}
