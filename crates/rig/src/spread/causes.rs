//! Which of all that may be off matters to the tension of a line.
//!
//! Conventions: shares of the variance of a tension, fractions of one.
//! Assumes: inputs are off independently, as they are drawn; then the variance of the plane that fits the tensions best is
//! the sum over the inputs of slope squared times the variance of the input, which its law gives.
//! Valid for: 100 samples and more, and twice as many as inputs. What no plane explains (lines that go slack, inputs that
//! matter only together) is told as what is left.
//! Source: standardised regression coefficients as in A. Saltelli et al., Global Sensitivity Analysis: The Primer (2008),
//! sec. 1.2.5 (from memory). What chance adds to a squared slope, the variance left over the number of samples, is taken
//! off.
//! Checked by: the tests below; tests/main/spread.rs, against the law of a bar on two lines and runs with one group off.

use super::inputs::{Group, Input};
use super::sample::{Columns, Samples};
use nalgebra::{DMatrix, DVector};
use schemars::JsonSchema;
use serde::Serialize;

/// Fewer samples than this say nothing of causes.
const LEAST_SAMPLES: usize = 100;

/// The shares of the variance that come from each kind of input, fractions of one.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Causes {
    /// From how long lines are.
    pub lengths: f64,
    /// From how much loads weigh.
    pub weight: f64,
    /// From where loads have their centre of gravity.
    pub centre: f64,
    /// From how stiff lines are.
    pub stiffness: f64,
    /// From how much points give.
    pub give: f64,
    /// What no plane explains: lines going slack, and inputs that matter only together.
    pub left: f64,
    /// The one input that matters most.
    pub most: Option<MostCause>,
}

/// The one input that matters most.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MostCause {
    /// Whose it is, as a path into the rig document.
    pub of: String,
    /// What it is, in words.
    pub says: String,
    /// The share of the variance that comes from it.
    pub share: f64,
}

/// What each input explains of the variance of each line.
#[derive(Debug)]
pub(crate) struct Explained {
    lines: Vec<Variance>,
}

/// The variance of a tension, by where it comes from, square newtons.
#[derive(Debug, Clone, PartialEq)]
struct Variance {
    inputs: Vec<f64>,
    left: f64,
}

impl Explained {
    /// Finds it from samples.
    pub(crate) fn by(samples: &Samples, lines: usize, inputs: &[Input]) -> Self {
        let columns = &samples.columns;
        let off: Vec<Vec<f64>> = (0..inputs.len())
            .map(|input| samples.column(columns.off(input)))
            .collect();
        let laws: Vec<f64> = inputs.iter().map(|input| input.law.variance()).collect();
        let tensions: Vec<Vec<f64>> = (0..lines)
            .map(|line| samples.column(Columns::tension_n(line)))
            .collect();
        Self {
            lines: variances(&off, &laws, &tensions).unwrap_or_default(),
        }
    }

    /// Tells the causes for one line; none where its tension is the same in every sample, or samples are few.
    pub(crate) fn of_line(&self, line: usize, inputs: &[Input]) -> Option<Causes> {
        self.lines.get(line)?.causes(inputs)
    }

    /// Tells the causes for all lines together: each input by what it explains of the sum of all variances.
    pub(crate) fn of_all(&self, inputs: &[Input]) -> Option<Causes> {
        let sum = |of: &dyn Fn(&Variance) -> f64| self.lines.iter().map(of).sum::<f64>();
        let all = Variance {
            inputs: (0..inputs.len())
                .map(|input| sum(&|line| line.inputs.get(input).copied().unwrap_or_default()))
                .collect(),
            left: sum(&|line| line.left),
        };
        all.causes(inputs)
    }
}

impl Variance {
    fn causes(&self, inputs: &[Input]) -> Option<Causes> {
        let total = self.inputs.iter().sum::<f64>() + self.left;
        if total <= 0.0 {
            return None;
        }
        let each = || inputs.iter().zip(&self.inputs);
        // From 0.0 on, since a sum of nothing is -0.0.
        let group = |group: Group| {
            let of_group = each().filter(|(input, _)| input.group == group);
            of_group.fold(0.0, |sum, (_, variance)| sum + variance) / total
        };
        let [lengths, weight, centre, stiffness, give] = Group::ALL.map(group);
        let most = each().max_by(|a, b| a.1.total_cmp(b.1));
        Some(Causes {
            lengths,
            weight,
            centre,
            stiffness,
            give,
            left: self.left / total,
            most: most.map(|(input, variance)| MostCause {
                of: input.of.clone(),
                says: input.what.clone(),
                share: variance / total,
            }),
        })
    }
}

/// Fits a plane through each of some columns of results by least squares; none with too few samples.
fn variances(off: &[Vec<f64>], laws: &[f64], results: &[Vec<f64>]) -> Option<Vec<Variance>> {
    let count = results.first()?.len();
    if count < LEAST_SAMPLES.max(2 * off.len()) {
        return None;
    }
    let off: Vec<Vec<f64>> = off.iter().map(|column| centred(column)).collect();
    // An input that is never off explains nothing; a one in its place keeps the equations solvable.
    let normal = DMatrix::from_fn(off.len(), off.len(), |i, j| match dot(&off[i], &off[j]) {
        square if i == j && square == 0.0 => 1.0,
        product => product,
    });
    let equations = normal.cholesky()?;
    let each = results.iter().map(|result| {
        let result = centred(result);
        let right = DVector::from_iterator(off.len(), off.iter().map(|column| dot(column, &result)));
        let slopes = equations.solve(&right);
        let explained = slopes.dot(&right);
        let freedoms = (count - off.len() - 1) as f64;
        let left = ((dot(&result, &result) - explained) / freedoms).max(0.0);
        let by_chance = left / count as f64;
        let inputs = slopes.iter().zip(laws);
        Variance {
            inputs: inputs
                .map(|(slope, law)| (slope * slope * law - by_chance).max(0.0))
                .collect(),
            left,
        }
    });
    Some(each.collect())
}

/// Takes the mean off. What is then no more than its rounding is nothing.
fn centred(values: &[f64]) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    let rounding = 1e-12 * mean.abs();
    let less = |value: &f64| {
        Some(value - mean)
            .filter(|off| off.abs() > rounding)
            .unwrap_or_default()
    };
    values.iter().map(less).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spread::draw::{Law, Streams};

    /// y = 3 a + 4 b of independent a and b within 1 either way, variance 1/3 each: 3 and 16/3 of it, whatever the draws,
    /// and nothing left; with a third variable of variance 1/12 that is in no column, that is left, within five standard
    /// errors of a variance.
    #[test]
    fn squared_slopes_are_shares_of_the_variance() {
        let (streams, count) = (Streams::of(9), 5_000);
        let mut columns = vec![Vec::new(); 3];
        for sample in 0..count {
            let mut draws = [0.0; 3];
            streams.draw(
                sample,
                std::iter::repeat_n(Law::Even { bound: 1.0 }, 3),
                &mut draws,
            );
            columns
                .iter_mut()
                .zip(draws)
                .for_each(|(column, draw)| column.push(draw));
        }
        let [a, b, c] = [&columns[0], &columns[1], &columns[2]];
        let exact: Vec<f64> = a.iter().zip(b).map(|(a, b)| 3.0 * a + 4.0 * b + 100.0).collect();
        let noisy: Vec<f64> = exact.iter().zip(c).map(|(y, c)| y + 0.5 * c).collect();
        let off = [a.clone(), b.clone(), vec![0.0; a.len()]];
        let found = variances(
            &off,
            &[1.0 / 3.0, 1.0 / 3.0, 0.0],
            &[exact, noisy, vec![7.1; a.len()]],
        )
        .unwrap();
        assert!((found[0].inputs[0] - 3.0).abs() < 1e-9 && (found[0].inputs[1] - 16.0 / 3.0).abs() < 1e-9);
        assert!(found[0].left < 1e-9 && found[0].inputs[2] == 0.0, "{found:?}");
        let fifth = 5.0 / (5_000.0_f64).sqrt();
        assert!((found[1].left * 12.0 - 1.0).abs() < fifth, "{found:?}");
        assert!(
            (found[1].inputs[0] - 3.0).abs() < 2.0 * 3.0 * fifth / 6.0,
            "{found:?}"
        );
        assert_eq!(
            found[2],
            Variance {
                inputs: vec![0.0; 3],
                left: 0.0
            }
        );
        assert_eq!(found[2].causes(&[]), None);
        assert_eq!(
            variances(&[vec![1.0; 99]], &[1.0], &[vec![2.0; 99]]),
            None,
            "too few samples"
        );
    }
}
