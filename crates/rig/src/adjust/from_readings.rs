//! What the readings say of the rig that is being set right.
//!
//! Conventions: SI; `+-` is twice a standard uncertainty.
//! Assumes: what `estimate` and `contradiction` assume.
//! Valid for: any readings; an unknown that they do not tell is held at what the document states, as far as that may be off.
//! Source: docs/theory/adjusting.md.
//! Checked by: tests/main/adjust.rs.

use super::answer::{EstimateAnswer, Figure, ReadingAnswer, WeightAnswer};
use super::contradiction::{Agreement, MOST, Without, agreement, leave_one_out, suspects};
use super::estimate::{Fit, fit, predicted};
use super::readings::{Observed, Of};
use super::trim::Setting;
use super::unknowns::{Unknown, Unknowns, weight_spread};
use crate::geometry::array;
use indexmap::IndexMap;
use practice::Severity;
use quantity::{Kind, Style};

/// An unknown of which readings leave more than this share of what was known beforehand is not told by them.
const TOLD: f64 = 0.5;
/// The same of weights and centres, of which next to nothing is taken as known.
const TOLD_OPEN: f64 = 0.25;
/// A load that weighs so many times what is stated, or so many times less, is a stop.
const MANIFOLD: f64 = 2.0;
/// Readings that agree so much better without one of them may as well be told of it: our judgement.
const FAR_BETTER: f64 = 0.25;
const AXES: [&str; 3] = ["along its x", "along its y", "in height (its z)"];

/// What readings came to.
struct Settled {
    /// The fit to what was read alone.
    open: Fit,
    /// The fit with what readings do not tell held at what the document states.
    fit: Fit,
    /// Which unknowns the readings tell.
    told: Vec<bool>,
    /// Whether it is a fit to plan with.
    may_plan: bool,
}

impl Setting<'_, '_> {
    /// Fits the rig to readings; tells whether the fit is one to plan with.
    pub(super) fn estimated(&mut self, observed: &[Observed]) -> (Option<Fit>, bool) {
        let unknowns = Unknowns::new(&self.bench);
        let Some(whole) = fit(&mut self.bench, &unknowns, observed, None) else {
            let says = "the rig does not hang while it is read, so no weights and lengths can be found";
            self.answer.remark(Severity::Stop, "readings", says);
            return (None, false);
        };
        let all = agreement(&whole, observed);
        if all.agree {
            let settled = self.settled(whole.clone(), observed);
            let answer = self.estimate(observed, &whole, &all, &[], &settled);
            self.answer.estimate = Some(answer);
            return self.concluded(settled, observed, true);
        }
        let without = leave_one_out(&mut self.bench, observed, &whole);
        let suspects = suspects(&without);
        let names: Vec<String> = suspects
            .iter()
            .map(|index| observed[*index].what.clone())
            .collect();
        self.contradict(observed, &without, &names, whole.chi_squared);
        let left = match suspects.as_slice() {
            [one] => without
                .iter()
                .find(|of| of.index == *one && of.agree)
                .and_then(|of| of.fit.clone()),
            _ => None,
        };
        let is_left_out = left.is_some();
        let mut others = observed.to_vec();
        if let (true, [one]) = (is_left_out, suspects.as_slice()) {
            others.remove(*one);
        }
        let settled = self.settled(left.unwrap_or_else(|| whole.clone()), &others);
        let mut answer = self.estimate(observed, &whole, &all, &without, &settled);
        answer.left_out = names.first().filter(|_| is_left_out).cloned();
        answer.suspects = names;
        self.answer.estimate = Some(answer);
        self.concluded(settled, observed, is_left_out)
    }

    /// Says what has to be known of what readings came to, where they are to be trusted; gives the fit, and whether it is one to
    /// plan with.
    fn concluded(
        &mut self,
        settled: Settled,
        observed: &[Observed],
        are_trusted: bool,
    ) -> (Option<Fit>, bool) {
        self.heavier_or_lighter(&settled.open, &settled.told, are_trusted);
        if are_trusted {
            self.centres_elsewhere(&settled.open, &settled.told);
            self.weights_not_told(&settled.open, &settled.told, observed);
        }
        let pulls = self.slack_for_all_that_is_read(&settled.fit, observed);
        (Some(settled.fit), are_trusted && settled.may_plan && pulls)
    }

    /// Says which readings contradict.
    fn contradict(&mut self, observed: &[Observed], without: &[Without], names: &[String], chi_squared: f64) {
        let mut says = match names {
            [] => {
                let best = best_explained(without, chi_squared).map_or(String::new(), |best| {
                    format!(
                        ", though they agree far better without the {} (chi-squared {:.0} in place of {chi_squared:.0})",
                        observed[best.0].what, best.1
                    )
                });
                format!(
                    "they contradict one another, and no single one explains it{best}: read all again before anybody adjusts"
                )
            }
            [one] if observed.len() == 1 => format!(
                "the {one} contradicts the rig document: read it again before anybody adjusts, and look whether the rig hangs \
                 as it is drawn; what follows is without it"
            ),
            [one] => format!(
                "the {one} contradicts all others, which agree without it: read it again before anybody adjusts; what \
                 follows is without it"
            ),
            several => format!(
                "one of these is wrong, and the others do not tell which: {}; read them again before anybody adjusts, or \
                 read something else besides",
                several.join("; ")
            ),
        };
        let unjudged = without.iter().filter(|of| of.fit.is_none());
        let unjudged: Vec<&str> = unjudged.map(|of| observed[of.index].what.as_str()).collect();
        if !unjudged.is_empty() {
            says += "; without these no fit was found, so whether they are right was not judged: ";
            says += &unjudged.join("; ");
        }
        self.answer.remark(Severity::Stop, "readings", says);
    }

    /// Finds how far off a fit may be, and holds what it does not tell of weights and centres at what is stated.
    fn settled(&mut self, open: Fit, observed: &[Observed]) -> Settled {
        let open = open.with_edges(&mut self.bench, observed);
        let count = open.unknowns.each.len();
        let enough = |index: usize| {
            if open.unknowns.open[index] {
                TOLD_OPEN
            } else {
                TOLD
            }
        };
        let told: Vec<bool> = (0..count)
            .map(|index| open.share_left(index) < enough(index))
            .collect();
        let which: Vec<usize> = (0..count)
            .filter(|index| open.unknowns.open[*index] && !told[*index])
            .collect();
        let settled = |fit: Fit, may_plan: bool| Settled {
            fit,
            open: open.clone(),
            told: told.clone(),
            may_plan,
        };
        if which.is_empty() {
            return settled(open.clone(), true);
        }
        let unknowns = open.unknowns.held(&self.bench, &which);
        // Begun as stated: what is not told may have gone anywhere.
        let held = fit(&mut self.bench, &unknowns, observed, None);
        if let Some(held) = held.filter(|held| held.chi_squared < open.chi_squared + MOST * MOST) {
            return settled(held.with_edges(&mut self.bench, observed), true);
        }
        let says = "they do not agree with the weights and centres of gravity of the rig document, and do not tell others: \
                    weigh it, or read more, before anybody adjusts";
        self.answer.remark(Severity::Stop, "readings", says);
        settled(open.clone(), false)
    }

    /// Tells what became of the readings, by the fit to all of them, and what the rig is by the fit to those that are taken.
    fn estimate(
        &mut self,
        observed: &[Observed],
        whole: &Fit,
        of_all: &Agreement,
        without: &[Without],
        settled: &Settled,
    ) -> EstimateAnswer {
        let (taken, told) = (&settled.open, settled.told.as_slice());
        let readings = observed.iter().enumerate().map(|(i, of)| {
            let standing = &of_all.each[i];
            ReadingAnswer {
                what: of.what.clone(),
                unit: if matches!(of.of, Of::Height(_)) { "m" } else { "N" }.into(),
                reads: of.reads,
                standard_uncertainty: of.uncertainty,
                fitted: whole.fitted[i],
                normalised_residual: standing.normalised,
                redundancy: standing.redundancy,
                least_error_found: standing.least_error_found,
                by_the_others: without
                    .iter()
                    .find(|without| without.index == i)
                    .and_then(|without| self.by_the_others(without, observed)),
            }
        });
        let readings: Vec<ReadingAnswer> = readings.collect();
        let unchecked: Vec<&str> = readings
            .iter()
            .filter(|of| of.normalised_residual.is_none())
            .map(|of| of.what.as_str())
            .collect();
        let mut not_told = self.not_told(&taken.unknowns, told);
        if !unchecked.is_empty() {
            not_told.push(format!(
                "whether these are right, since no other reading checks them: {}",
                unchecked.join("; ")
            ));
        }
        EstimateAnswer {
            loads: self.weights_told(taken, told),
            longer_m: self.lengths_told(taken),
            lengths_not_told: self.lengths_not_told(&taken.unknowns, told),
            readings,
            chi_squared: whole.chi_squared,
            chi_squared_limit: of_all.limit,
            redundancy: of_all.redundancy,
            agree: of_all.agree,
            suspects: Vec::new(),
            left_out: None,
            not_told,
        }
    }

    /// Says which lines may as well be slack; tells whether steps may be found all the same: not where a line has a cell of its own
    /// that reads next to nothing, since how far it is from pulling nobody knows.
    fn slack_for_all_that_is_read(&mut self, taken: &Fit, observed: &[Observed]) -> bool {
        let mut may_plan = true;
        for line in &taken.may_be_slack {
            let has_cell = |of: &Observed| matches!(&of.of, Of::Tension { lines, .. } if lines == &[*line]);
            let subject = format!("lines.{}", self.bench.line_name(*line));
            let mut says = "it may be slack for all that is read, and then its length is not known, nor what it will pull: take it \
                            up until it plainly pulls, and read again, before anybody goes by what is predicted"
                .to_string();
            if observed.iter().any(has_cell) {
                may_plan = false;
                says += "; no steps are found before";
            }
            self.answer.remark(Severity::Caution, subject, says);
        }
        may_plan
    }

    /// Gives what the others have where a reading was taken.
    fn by_the_others(&mut self, without: &Without, observed: &[Observed]) -> Option<Figure> {
        let mut others = observed.to_vec();
        let of = others.remove(without.index);
        let fit = without.fit.clone()?.with_edges(&mut self.bench, &others);
        let value = predicted(&self.bench, &fit.actual, &fit.rest, &of);
        if let Of::Weight(load) = of.of {
            let index = fit.unknowns.index(Unknown::Weight(load))?;
            return Some(Figure {
                value,
                standard_uncertainty: Some(fit.share_left(index) * fit.unknowns.sd[index]),
            });
        }
        let (actual, rest) = (fit.actual.clone(), fit.rest.clone());
        let sure = fit.uncertainties(&mut self.bench, &actual, &rest, |bench, rest| {
            vec![predicted(bench, &actual, rest, &of)]
        });
        Some(Figure {
            value,
            standard_uncertainty: sure?.first().copied(),
        })
    }

    /// Lists what the readings do not tell of weights, centres and lengths.
    fn not_told(&self, unknowns: &Unknowns, told: &[bool]) -> Vec<String> {
        let mut not_told = Vec::new();
        for (unknown, _) in unknowns.each.iter().zip(told).filter(|(_, told)| !**told) {
            match unknown {
                Unknown::Weight(load) => {
                    let name = self.bench.load_name(*load);
                    not_told.push(format!("what {name} weighs: it is taken as stated"));
                }
                Unknown::Centre(load, axis) => {
                    let name = self.bench.load_name(*load);
                    let word = AXES[*axis];
                    not_told.push(format!(
                        "where the centre of gravity of {name} is {word}: it is taken as stated"
                    ));
                }
                Unknown::Length(_) => {}
            }
        }
        for (name, document) in &self.bench.rig.loads {
            if document.pipe.is_some() {
                for word in &AXES[1..] {
                    not_told.push(format!(
                        "where the centre of gravity of the pipe {name} is {word}: it is taken to be on its axis, as stated"
                    ));
                }
            }
        }
        let lengths = self.lengths_not_told(unknowns, told);
        if !lengths.is_empty() {
            not_told.push(format!(
                "how long these lines are, within their tolerances: {}",
                lengths.join(", ")
            ));
        }
        not_told
    }

    fn lengths_not_told(&self, unknowns: &Unknowns, told: &[bool]) -> Vec<String> {
        let each = unknowns.each.iter().zip(told).filter(|(_, told)| !**told);
        each.filter_map(|(unknown, _)| match unknown {
            Unknown::Length(line) => Some(self.bench.line_name(*line)),
            _ => None,
        })
        .collect()
    }

    fn weights_told(&self, fit: &Fit, told: &[bool]) -> IndexMap<String, WeightAnswer> {
        let figure = |unknown: Unknown, value: f64| {
            let index = fit.unknowns.index(unknown)?;
            told[index].then(|| Figure {
                value,
                standard_uncertainty: Some(fit.share_left(index) * fit.unknowns.sd[index]),
            })
        };
        let weights = fit.actual.weights.iter().zip(&self.bench.stated.weights);
        let each = weights.enumerate().map(|(load, (is, stated))| {
            let told = WeightAnswer {
                weight_n: figure(Unknown::Weight(load), is.weight_n),
                stated_n: stated.weight_n,
                centre_m: [0, 1, 2].map(|axis| figure(Unknown::Centre(load, axis), is.centre_m[axis])),
                stated_centre_m: array(stated.centre_m),
            };
            (self.bench.load_name(load), told)
        });
        each.collect()
    }

    fn lengths_told(&self, fit: &Fit) -> IndexMap<String, Figure> {
        let lengths = fit.actual.longer_m.iter().enumerate();
        let each = lengths.filter_map(|(line, longer_m)| {
            let index = fit.unknowns.index(Unknown::Length(line))?;
            let figure = Figure {
                value: *longer_m,
                standard_uncertainty: Some(fit.share_left(index) * fit.unknowns.sd[index]),
            };
            Some((self.bench.line_name(line), figure))
        });
        each.collect()
    }

    /// Says where more than heights was read and does not tell what a load weighs, or where its centre of gravity is seen from above.
    fn weights_not_told(&mut self, fit: &Fit, told: &[bool], observed: &[Observed]) {
        if observed.iter().all(|of| matches!(of.of, Of::Height(_))) {
            return;
        }
        for load in 0..self.bench.rig.loads.len() {
            let unknowns = [
                (Unknown::Weight(load), "what it weighs"),
                (
                    Unknown::Centre(load, 0),
                    "where its centre of gravity is along its x",
                ),
                (
                    Unknown::Centre(load, 1),
                    "where its centre of gravity is along its y",
                ),
            ];
            let is_open = |unknown: Unknown| fit.unknowns.index(unknown).is_some_and(|index| !told[index]);
            let open = unknowns.into_iter().filter(|(unknown, _)| is_open(*unknown));
            let open: Vec<&str> = open.map(|(_, what)| what).collect();
            if !open.is_empty() {
                let subject = self.load_path(load);
                let says = format!(
                    "the readings do not tell {}: the tensions that follow, and how far these may be off, are for a load as the rig \
                     document has it; read the cell of every line, or weigh it",
                    open.join(", nor ")
                );
                self.answer.remark(Severity::Caution, subject, says);
            }
        }
    }

    fn load_path(&self, load: usize) -> String {
        let named = self.bench.model.loads.get_index(load);
        named.map_or_else(String::new, |(name, modelled)| modelled.path(name))
    }

    /// Says where a load weighs more or less than its document has it; where the readings contradict one another, only that it weighs
    /// more.
    fn heavier_or_lighter(&mut self, fit: &Fit, told: &[bool], are_trusted: bool) {
        let weights = fit.actual.weights.iter().zip(&self.bench.stated.weights);
        for (load, (is, stated)) in weights.enumerate() {
            let Some((_, document)) = self.bench.rig.loads.get_index(load) else {
                continue;
            };
            let Some((_, sure_n)) = told_within(fit, told, Unknown::Weight(load)) else {
                continue;
            };
            let least_n = stated.weight_n / (1.0 + document.margin.unwrap_or(0.0));
            let spread_n = weight_spread(document) * least_n;
            let print = |force_n: f64| Kind::Force.print(force_n, Style::both());
            let weighs = format!(
                "it weighs {}, +- {}, and the rig document has {}",
                Kind::Force.print(is.weight_n, Style::both().as_sure_as(is.weight_n, sure_n)),
                print(sure_n),
                print(stated.weight_n)
            );
            // So far off it is another load, or a reading of something else.
            let severity = if (is.weight_n - sure_n > MANIFOLD * stated.weight_n)
                || (is.weight_n + sure_n) * MANIFOLD < least_n
            {
                Severity::Stop
            } else {
                Severity::Caution
            };
            let says = if is.weight_n > stated.weight_n + sure_n {
                let by = if are_trusted {
                    ""
                } else {
                    ", by readings that contradict one another"
                };
                format!("{weighs}{by}: state what it weighs and check the rig again")
            } else if are_trusted && is.weight_n < least_n - sure_n.hypot(spread_n) {
                format!(
                    "{weighs}: a load that seems too light is the first sign of a cell that reads too little, or of something \
                     else that holds it up; find out which before anybody adjusts"
                )
            } else {
                continue;
            };
            self.answer.remark(severity, self.load_path(load), says);
        }
    }

    /// Says where a load has its centre of gravity elsewhere than its document has it.
    fn centres_elsewhere(&mut self, fit: &Fit, told: &[bool]) {
        let weights = fit.actual.weights.iter().zip(&self.bench.stated.weights);
        for (load, (is, stated)) in weights.enumerate() {
            for (axis, letter) in ["x", "y", "z"].into_iter().enumerate() {
                let Some((index, sure_m)) = told_within(fit, told, Unknown::Centre(load, axis)) else {
                    continue;
                };
                let spread_m = Unknowns::new(&self.bench).stated_sd(&self.bench, index) * f64::sqrt(3.0);
                let off_m = is.centre_m[axis] - stated.centre_m[axis];
                if off_m.abs() <= sure_m.hypot(spread_m) {
                    continue;
                }
                let print = |length_m: f64| Kind::Stretch.print(length_m, Style::both());
                let says = format!(
                    "its centre of gravity is {} along its {letter}, +- {}, and the rig document has {}: a cell may be wrong, \
                     or something else holds the load up, or it is not made as stated; find out which, and check the rig again",
                    Kind::Stretch.print(
                        is.centre_m[axis],
                        Style::both().as_sure_as(is.centre_m[axis], sure_m)
                    ),
                    print(sure_m),
                    print(stated.centre_m[axis])
                );
                self.answer.remark(Severity::Caution, self.load_path(load), says);
            }
        }
    }
}

/// Gives the place of an unknown and twice its standard uncertainty, where readings tell it.
fn told_within(fit: &Fit, told: &[bool], unknown: Unknown) -> Option<(usize, f64)> {
    let index = fit.unknowns.index(unknown).filter(|index| told[*index])?;
    Some((index, 2.0 * fit.share_left(index) * fit.unknowns.sd[index]))
}

/// Gives the reading without which the others agree best, and how well, where that is far better than with it.
fn best_explained(without: &[Without], chi_squared: f64) -> Option<(usize, f64)> {
    let each = without
        .iter()
        .filter_map(|of| Some((of.index, of.fit.as_ref()?.chi_squared)));
    let best = each.min_by(|a, b| a.1.total_cmp(&b.1))?;
    (best.1 < FAR_BETTER * chi_squared).then_some(best)
}
