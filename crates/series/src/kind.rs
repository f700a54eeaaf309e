//! What the tests of one kind support.
//!
//! Conventions: N; `Level` is a share and a confidence.
//! Assumes: strengths scatter normally where a limit is by `normal`; specimens are alike and pulled alike.
//! Valid for: any number of specimens; too few give no limit, and that is said.
//! Source: one-sided tolerance limits, Weibull with stopped tests, order statistics: see `proving`. First breaks count as strength: our judgement,
//! for where people are below.
//! Checked by: tests/series.rs, against the published check values; proving, tests/published.rs.

use crate::answer::{
    ClaimAnswer, Efficiency, Furthest, KindAnswer, LimitAnswer, ModeAnswer, SpecimenAnswer, SummaryAnswer,
    Supported, WeibullAnswer,
};
use crate::document::Kind;
use crate::doubts::{stronger_than_rope, too_alike};
use indexmap::IndexMap;
use parts::{ClaimsLess, Evidence, FailedSpecimen, Made, Makeup, Part, Rating};
use proving::{Level, Summary, confidence_reached, free, number_needed, outlier, tolerance_factor, weibull};
use quantity::{Kind as Of, Style};
use working::{Number, Seen, Source};

/// A kind with everything that is known of it.
pub(crate) struct Tested<'a> {
    pub(crate) name: &'a str,
    pub(crate) document: &'a Kind,
    pub(crate) makeup: &'a Makeup,
    pub(crate) specimens: IndexMap<String, SpecimenAnswer>,
    pub(crate) level: Level,
    /// Whether nothing was pulled.
    pub(crate) invented: bool,
    /// How far the cell may be off, as a share.
    pub(crate) cell: Option<f64>,
    /// What does not go together in what is told of the cell.
    pub(crate) doubts: Vec<String>,
    /// How quantities are printed in sentences.
    pub(crate) style: Style,
}

/// What is claimed.
#[derive(Debug, Clone)]
pub(crate) struct Claim {
    pub(crate) working_load_n: Number,
    pub(crate) design_factor: Number,
    pub(crate) required_n: Number,
    pub(crate) from: String,
}

/// Specimens by how they count, N.
#[derive(Debug, Default)]
struct Values {
    failed: Vec<(String, f64)>,
    stopped: Vec<f64>,
    with_set_aside: Vec<f64>,
    /// Failed and set aside, of which nobody wrote why they failed.
    not_explained: Vec<f64>,
    set_aside: usize,
}

impl Tested<'_> {
    /// Says what they support.
    pub(crate) fn answer(self) -> (KindAnswer, Option<Evidence>) {
        let values = self.values();
        let strengths: Vec<f64> = values.failed.iter().map(|(_, strength_n)| *strength_n).collect();
        let summary = Summary::of(&strengths);
        let with_all =
            Summary::of(&values.with_set_aside).filter(|_| values.with_set_aside.len() > strengths.len());
        let claim = claim(self.document, self.makeup);
        let breaking_n = breaking_n(self.document, self.makeup);
        let mut numbers = IndexMap::new();
        let widened = summary.as_ref().map(|summary| self.widened(summary));
        let normal = widened
            .as_ref()
            .and_then(|summary| self.normal(summary, &mut numbers));
        let required_n = claim.as_ref().map(|claim| claim.required_n.value());
        let limits = self.limits(&values, normal.as_ref(), required_n);
        let decides = deciding(&limits);
        let best_n = decides.map(|limit| limit.limit_n);
        let supported = supported(required_n, best_n, (&values, self.is_unsure()));
        let of_breaking = |force_n: f64| breaking_n.map(|breaking_n| force_n / breaking_n);
        let enough = widened.as_ref().filter(|of| of.n >= LEAST_FOR_A_LIMIT);
        let scatters = enough.zip(required_n.map(|required_n| self.to_read_n(required_n)));
        let reached = match decides.filter(|limit| limit.method == ANY_SHAPE) {
            Some(limit) => free::rank_confidence(limit.of as u64, 1, self.level.reliability),
            None => {
                scatters.and_then(|(of, to_read_n)| confidence_reached(of, self.level.reliability, to_read_n))
            }
        };
        let needed = scatters.and_then(|(of, to_read_n)| number_needed(of, self.level, to_read_n));
        let alike = summary
            .as_ref()
            .filter(|of| of.n >= LEAST_FOR_A_LIMIT)
            .and_then(|of| too_alike(of.cv()));
        let against_rope = summary.iter().filter_map(|of| self.against_rope(of));
        let doubts: Vec<String> = against_rope.chain(alike).collect();
        let evidence = claim
            .as_ref()
            .map(|claim| self.evidence(claim, &values, (normal.as_ref(), &doubts)));
        if let Some(claim) = &claim {
            numbers.insert("required".into(), claim.required_n.clone());
        }
        let factor = claim.as_ref().map(|claim| claim.design_factor.value());
        let answer = KindAnswer {
            parts: self.makeup.ids().map(String::from).collect(),
            tests: self.document.tests.value.clone(),
            breaking_n,
            claim: claim.map(ClaimAnswer::from),
            failed: strengths.len(),
            stopped: values.stopped.len(),
            set_aside: values.set_aside,
            summary: summary.as_ref().map(|summary| self.told(summary)),
            limit_with_set_aside_n: with_all.as_ref().and_then(|summary| {
                let (limit, _) = self.normal(&self.widened(summary), &mut IndexMap::new())?;
                Some(limit.value())
            }),
            summary_with_set_aside: with_all.as_ref().map(|summary| self.told(summary)),
            cell_uncertainty: self.cell,
            zero_uncertainty_n: self.zero_n(),
            weibull: self.weibull(&values),
            furthest: furthest(&values),
            modes: modes(&self.specimens),
            efficiency: summary.as_ref().and_then(|summary| {
                Some(Efficiency {
                    mean: of_breaking(summary.mean)?,
                    least: of_breaking(summary.least)?,
                    of_own: self
                        .document
                        .own
                        .as_ref()
                        .map(|(mean_n, _, _)| summary.mean / mean_n),
                })
            }),
            supported,
            confidence_reached: reached,
            share_that_held: required_n.and_then(|required_n| self.share_that_held(&values, required_n)),
            // One that was stopped below the limit is not known to hold it.
            largest_working_load_n: best_n.zip(factor).map(|(limit_n, factor)| {
                let held_n = values.stopped.iter().copied().fold(f64::INFINITY, f64::min);
                (limit_n.min(self.surely_n(held_n)) / factor).max(0.0)
            }),
            specimens_needed: needed,
            all_must_hold: free::number_for_rank(1, self.level.reliability, self.level.confidence),
            doubts,
            judgement: self.judgement(summary.as_ref(), (&values, &limits)),
            limits,
            specimens: self.specimens,
            working: IndexMap::new(),
            numbers,
        };
        (answer, evidence)
    }

    /// How the part on trial was made up.
    fn made(&self) -> Made {
        let mut pieces = self.makeup.pieces.iter();
        let tests = &self.document.tests.value;
        pieces
            .find(|piece| piece.part.id == *tests)
            .map(|piece| piece.made.clone())
            .unwrap_or_default()
    }

    /// Gives the share of a reading that is there for sure: what the cell may read too much by, all of its readings do.
    fn left(&self) -> f64 {
        1.0 - self.cell.unwrap_or(0.0)
    }

    /// Gives what the zeros of the cell may be off by, N, in all logs alike: as far as it is in any that counts.
    fn zero_n(&self) -> f64 {
        let counts = self
            .specimens
            .values()
            .filter(|specimen| specimen.set_aside.is_none());
        counts.map(|specimen| specimen.zero_n).fold(0.0, f64::max)
    }

    /// Gives what was there for sure where the cell read so much, N.
    fn surely_n(&self, read_n: f64) -> f64 {
        self.left() * read_n - self.zero_n()
    }

    /// Gives what the cell must read so that a force was there for sure, N.
    fn to_read_n(&self, force_n: f64) -> f64 {
        (force_n + self.zero_n()) / self.left()
    }

    /// Lists the values of which it is known whether they hold a force: all that failed, and those that were stopped where it was there for sure.
    /// One that was stopped below says nothing of it.
    fn known_of(&self, values: &Values, required_n: Option<f64>) -> Vec<f64> {
        let to_read_n = required_n.map_or(0.0, |required_n| self.to_read_n(required_n));
        let failed = values.failed.iter().map(|(_, strength_n)| *strength_n);
        let held = values.stopped.iter().copied();
        failed.chain(held.filter(|held_n| *held_n >= to_read_n)).collect()
    }

    /// Says where what the specimens failed at does not go together with what the rope did.
    fn against_rope(&self, of: &Summary) -> Option<String> {
        let (own_n, ..) = self.document.own.as_ref()?;
        stronger_than_rope(of.mean, *own_n, self.style)
    }

    /// Lists all that does not go together: in what is told of each specimen, of all of them, and of the cell.
    fn all_doubts(&self, of_all: &[String]) -> Vec<String> {
        let each = self.specimens.iter().flat_map(|(name, specimen)| {
            let doubts = specimen.doubts.iter();
            doubts.map(move |says| format!("`{name}`: {says}"))
        });
        let rest = of_all.iter().chain(&self.doubts).cloned();
        each.chain(rest).collect()
    }

    fn is_unsure(&self) -> bool {
        let contradicts = |specimen: &SpecimenAnswer| specimen.set_aside.is_none() && specimen.contradicts;
        let each = || self.specimens.values();
        each().any(SpecimenAnswer::leaves_open) || each().any(contradicts)
    }

    fn values(&self) -> Values {
        let mut values = Values::default();
        for (name, specimen) in &self.specimens {
            if !specimen.is_at_least {
                values.with_set_aside.push(specimen.strength_n);
            }
            match (specimen.set_aside.is_some(), specimen.is_at_least) {
                (true, _) => {
                    values.set_aside += 1;
                    let is_open = !specimen.is_at_least && specimen.explained.is_none();
                    values
                        .not_explained
                        .extend(is_open.then_some(specimen.strength_n));
                }
                (false, true) => values.stopped.push(specimen.strength_n),
                (false, false) => values.failed.push((name.clone(), specimen.strength_n)),
            }
        }
        values
    }

    /// Gives mean and scatter with no less scatter than is taken at the least.
    fn widened(&self, of: &Summary) -> Summary {
        let least = self.document.least_scatter.map(|share| share * of.mean);
        Summary {
            sd: of.sd.map(|sd| sd.max(least.unwrap_or(0.0))),
            ..*of
        }
    }

    /// Gives the lower limit of values that scatter normally, as a number with its working.
    fn normal(&self, of: &Summary, numbers: &mut IndexMap<String, Number>) -> Option<(Number, f64)> {
        let sd = of.sd.filter(|sd| *sd > 0.0 && of.n >= LEAST_FOR_A_LIMIT)?;
        let k = tolerance_factor(of.n, self.level)?;
        let given = |what: &str, symbol: &str, kind: Of, value: f64, how: &str| {
            Number::given(what, symbol, kind, value, Source::mechanics(how))
        };
        let mean = given("mean strength", "m", Of::Force, of.mean, "sum over how many");
        let how = if self.document.least_scatter.is_some() {
            "root of the sum of squares over n - 1, or what is taken at the least"
        } else {
            "root of the sum of squares over n - 1"
        };
        let sd = given("standard deviation", "s", Of::Force, sd, how);
        let factor = Number::given(
            format!("tolerance factor of {} values", of.n),
            "k",
            Of::Number,
            k,
            Source::plain(
                "quantile of the noncentral t at the confidence, with n - 1 degrees of freedom and noncentrality z sqrt n, over sqrt n",
                Seen::Text,
            ),
        );
        let limit = Number::computed(
            "lower limit",
            "L",
            Of::Force,
            {
                let read = working::Expression::from(&mean) - &factor * &sd;
                // What the cell is off by, all of its readings are.
                let left = match self.cell {
                    None => read,
                    Some(share) => {
                        let left = Number::given(
                            "what is left if the cell reads too much by all of its uncertainty",
                            "c",
                            Of::Number,
                            1.0 - share,
                            Source::stated("cell.uncertainty of the series document"),
                        );
                        &left * read
                    }
                };
                if self.zero_n() > 0.0 {
                    let how = "the most of what the logs tell of it: unknown, or moved";
                    left - &given(
                        "what the zero of the cell may be off by",
                        "z",
                        Of::Force,
                        self.zero_n(),
                        how,
                    )
                } else {
                    left
                }
            },
            Source::plain(
                "one-sided tolerance limit of normal values, less what the cell may be off by",
                Seen::Text,
            ),
        );
        for (name, number) in [
            ("mean", &mean),
            ("sd", &sd),
            ("factor", &factor),
            ("limit", &limit),
        ] {
            numbers.insert(name.to_string(), number.clone());
        }
        Some((limit, k))
    }

    /// Lists the limits; without a shape, what was stopped counts where it held what is required for sure.
    fn limits(
        &self,
        values: &Values,
        normal: Option<&(Number, f64)>,
        required_n: Option<f64>,
    ) -> Vec<LimitAnswer> {
        let breaking_n = breaking_n(self.document, self.makeup);
        let count = values.failed.len();
        let told = |method: &str, limit_n: f64, (factor, of): (Option<f64>, usize)| LimitAnswer {
            method: method.to_string(),
            of,
            limit_n,
            factor,
            efficiency: breaking_n.map(|breaking_n| limit_n / breaking_n),
        };
        let mut limits: Vec<LimitAnswer> = normal
            .map(|(limit, k)| told(NORMAL, limit.value(), (Some(*k), count)))
            .into_iter()
            .collect();
        let fitted = fitted(values).and_then(|fit| fit.lower_limit(self.level));
        limits.extend(fitted.map(|limit_n| told("weibull", self.surely_n(limit_n), (None, count))));
        let known = self.known_of(values, required_n);
        let reached = free::rank_confidence(known.len() as u64, 1, self.level.reliability);
        let is_enough = reached.is_some_and(|reached| reached >= self.level.confidence);
        let least_n = known.iter().copied().reduce(f64::min).filter(|_| is_enough);
        limits.extend(least_n.map(|least_n| told(ANY_SHAPE, self.surely_n(least_n), (None, known.len()))));
        limits
    }

    fn weibull(&self, values: &Values) -> Option<WeibullAnswer> {
        let fit = fitted(values)?;
        Some(WeibullAnswer {
            shape: fit.shape,
            scale_n: fit.scale,
            fitted_n: fit.quantile_above(self.level.reliability),
        })
    }

    fn told(&self, of: &Summary) -> SummaryAnswer {
        // Values that are all the same show no scatter, and nothing of the true mean.
        let scatters = Some(of).filter(|of| !is_same(of));
        SummaryAnswer {
            n: of.n,
            mean_n: of.mean,
            mean_interval_n: scatters.and_then(|of| of.mean_interval(self.level.confidence)),
            sd_n: of.sd,
            sd_interval_n: scatters.and_then(|of| of.sd_interval(self.level.confidence)),
            cv: of.cv(),
            least_n: of.least,
            greatest_n: of.greatest,
        }
    }

    /// Gives the share of lines that hold what is claimed, by how many did for sure, at the confidence.
    fn share_that_held(&self, values: &Values, required_n: f64) -> Option<f64> {
        let known = self.known_of(values, Some(required_n));
        let to_read_n = self.to_read_n(required_n);
        let held = known.iter().filter(|held_n| **held_n >= to_read_n).count();
        free::share_that_passes(known.len() as u64, held as u64, self.level.confidence)
    }

    /// Gives the working load that is claimed where it is more than the maker's rating, N.
    fn claims_more_n(&self, claim: &Claim) -> Option<f64> {
        let (rating, _) = rated(tested(self.makeup, &self.document.tests.value)?, self.makeup)?;
        let claimed_n = claim.working_load_n.value();
        (claimed_n > rating.value() * (1.0 + 1e-9)).then_some(claimed_n)
    }

    /// Says where less is claimed than the maker of the part on trial asks for.
    fn claims_less(&self, claim: &Claim) -> Option<ClaimsLess> {
        let maker = of_maker(self.document, self.makeup)?;
        let asks = |claim: &Claim| (claim.design_factor.value(), claim.required_n.value());
        let ((design_factor, required_n), (maker_factor, maker_n)) = (asks(claim), asks(&maker));
        let less = |claimed: f64, of_maker: f64| claimed < of_maker * (1.0 - 1e-9);
        let is_less = less(design_factor, maker_factor) || less(required_n, maker_n);
        is_less.then_some(ClaimsLess {
            design_factor,
            maker_factor,
            required_n,
            maker_n,
        })
    }

    /// Whether the part on trial is an adjustable grip that its maker does not rate on this rope.
    fn is_unrated(&self) -> bool {
        let part = tested(self.makeup, &self.document.tests.value);
        part.is_some_and(|part| part.grip().is_some() && rated(part, self.makeup).is_none())
    }

    /// Lists what slipped below a force.
    fn slipped(&self, required_n: f64) -> Vec<(String, f64)> {
        let each = self
            .specimens
            .iter()
            .filter(|(_, specimen)| specimen.set_aside.is_none());
        let each = each.filter_map(|(name, specimen)| Some((name.clone(), specimen.slipped_n?)));
        each.filter(|(_, slipped_n)| *slipped_n < required_n).collect()
    }

    fn evidence(
        &self,
        claim: &Claim,
        values: &Values,
        (normal, doubts): (Option<&(Number, f64)>, &[String]),
    ) -> Evidence {
        let failed = self
            .specimens
            .iter()
            .filter(|(_, specimen)| !specimen.is_at_least);
        let failed = failed.map(|(name, specimen)| FailedSpecimen {
            name: name.clone(),
            strength_n: specimen.strength_n,
            explained: specimen.explained.clone(),
        });
        let most = asked_most(claim, self.document, self.makeup);
        let required_n = most.required_n.value();
        let limits = self.limits(values, normal, Some(required_n));
        let decides = deciding(&limits);
        let strengths: Vec<f64> = values.failed.iter().map(|(_, strength_n)| *strength_n).collect();
        Evidence {
            series: self.name.to_string(),
            part: self.document.tests.value.clone(),
            made: self.made(),
            rope: self
                .makeup
                .rope()
                .map(|(rope, _)| rope.id.clone())
                .unwrap_or_default(),
            invented: self.invented,
            stopped_low: values
                .stopped
                .iter()
                .filter(|held_n| **held_n < required_n)
                .count(),
            from: most.from,
            claims_more_n: self.claims_more_n(claim),
            claims_less: self.claims_less(claim),
            is_unrated: self.is_unrated(),
            slipped: self.slipped(required_n),
            is_unsure: self.is_unsure(),
            required_n: most.required_n,
            design_factor: most.design_factor,
            failed: failed.collect(),
            count: values.failed.len(),
            held: self.known_of(values, Some(required_n)).len() - values.failed.len(),
            mean_n: Summary::of(&strengths).map(|of| of.mean),
            cell: self.cell,
            zero_n: self.zero_n(),
            doubts: self.all_doubts(doubts),
            limit_of: decides.map_or(0, |limit| limit.of),
            limit_n: decides.map(|limit| {
                let how = format!("lower limit of pull tests, {}", limit.method);
                Number::given(
                    "lower limit of pull tests",
                    "L",
                    Of::Force,
                    limit.limit_n,
                    Source::stated(how),
                )
            }),
            level: [self.level.reliability, self.level.confidence],
        }
    }

    /// Says in plain words what so many tests mean.
    fn judgement(&self, of: Option<&Summary>, (values, limits): (&Values, &[LimitAnswer])) -> String {
        let n = values.failed.len();
        let same = of.filter(|of| is_same(of));
        let few = match same {
            Some(same) => self.of_the_same(same),
            None => few(n, tolerance_factor(n, self.level)),
        };
        let cv = of.filter(|of| !is_same(of)).and_then(Summary::cv);
        let coarse = self.cell.map_or(CLOSE, |cell| CLOSE.max(cell));
        let is_few = (LEAST_FOR_A_LIMIT..=5).contains(&n);
        let lucky = cv.filter(|cv| is_few && *cv < coarse).map(|cv| {
            format!(
                "; they lie within {:.1} % of one another, closer than so few can promise or the cell can tell: do not lean on the limit",
                100.0 * cv
            )
        });
        let by_count = limits.iter().find(|limit| limit.method == ANY_SHAPE);
        let counts = match by_count {
            Some(limit) => format!(
                "; they count among the {} by which there is a limit without a shape",
                limit.of
            ),
            None => String::new(),
        };
        let stopped = (!values.stopped.is_empty()).then(|| {
            format!(
                "; {} held at least what they got and did not fail: they are no breaking strengths, and not in mean and scatter{counts}",
                values.stopped.len()
            )
        });
        [Some(few), lucky, stopped].into_iter().flatten().collect()
    }

    /// Says what values that are all the same mean.
    fn of_the_same(&self, of: &Summary) -> String {
        let limit = if self.document.least_scatter.is_some() {
            "the limit rests on the scatter that is taken at the least"
        } else {
            "there is no limit by scatter"
        };
        format!(
            "all {} are the same, which is the coarseness of the cell or of who read it, or copies of one another, and no sign of strength: it \
             shows no scatter, and {limit}; read finer, and look whether each was pulled",
            of.n
        )
    }
}

impl From<Claim> for ClaimAnswer {
    fn from(claim: Claim) -> Self {
        ClaimAnswer {
            working_load_n: claim.working_load_n.value(),
            design_factor: claim.design_factor.value(),
            required_n: claim.required_n.value(),
            from: claim.from,
        }
    }
}

/// Gives what is claimed: as written, else what the maker of the part on trial states.
pub(crate) fn claim(kind: &Kind, makeup: &Makeup) -> Option<Claim> {
    kind.claim
        .map(stated)
        .map(claimed)
        .or_else(|| of_maker(kind, makeup))
}

/// Gives what is claimed, or what the maker of the part states where that asks for more: no claim makes it less.
fn asked_most(claim: &Claim, kind: &Kind, makeup: &Makeup) -> Claim {
    let more = of_maker(kind, makeup).filter(|maker| maker.required_n.value() > claim.required_n.value());
    more.unwrap_or_else(|| claim.clone())
}

/// Gives what the maker of the part on trial states.
fn of_maker(kind: &Kind, makeup: &Makeup) -> Option<Claim> {
    let part = tested(makeup, &kind.tests.value)?;
    let (rating, factor) = rated(part, makeup)?;
    let from = format!("the rating of `{}` and the factor that its maker states", part.id);
    Some(claimed((rating, factor, from)))
}

/// Gives a claim with what it asks for.
fn claimed((working_load_n, design_factor, from): (Number, Number, String)) -> Claim {
    let required_n = Number::computed(
        "what is to be held",
        "F_req",
        Of::Force,
        &working_load_n * &design_factor,
        Source::mechanics("working load times design factor"),
    );
    Claim {
        working_load_n,
        design_factor,
        required_n,
        from,
    }
}

/// Gives a claim as it is written.
fn stated((working_load_n, factor): (f64, f64)) -> (Number, Number, String) {
    let given = |what: &str, symbol: &str, kind: Of, value: f64| {
        Number::given(what, symbol, kind, value, Source::stated("the series document"))
    };
    (
        given("working load that is claimed", "WL", Of::Force, working_load_n),
        given("design factor that is claimed", "n", Of::Number, factor),
        "as the series document has it".to_string(),
    )
}

/// Gives the limit that decides. Where specimens that were stopped count, the one without a shape: they are in no scatter. Else the one of values
/// that scatter normally, or where there is none, the one without a shape. The kindest of several would be right less often than is said.
fn deciding(limits: &[LimitAnswer]) -> Option<&LimitAnswer> {
    let by = |method: &str| limits.iter().find(|limit| limit.method == method);
    let (normal, any) = (by(NORMAL), by(ANY_SHAPE));
    let counts_more = any.filter(|any| normal.is_none_or(|normal| any.of > normal.of));
    counts_more.or(normal).or(any)
}

/// Two tests give no limit worth the name: k of two is 37 and more, and they may lie close by luck.
const LEAST_FOR_A_LIMIT: usize = 3;

/// The methods of limits that decide.
const NORMAL: &str = "normal";
const ANY_SHAPE: &str = "any shape";

/// So many that failed, all different, tell the shape of a Weibull distribution in a way; through two it always goes (our judgement).
const LEAST_FOR_A_SHAPE: usize = 3;

/// Fits a Weibull distribution; none of fewer than three different strengths.
fn fitted(values: &Values) -> Option<weibull::Weibull> {
    let failed: Vec<f64> = values.failed.iter().map(|(_, strength_n)| *strength_n).collect();
    let mut different = failed.clone();
    different.sort_by(f64::total_cmp);
    different.dedup();
    if different.len() < LEAST_FOR_A_SHAPE {
        return None;
    }
    weibull::fit(&failed, &values.stopped)
}

/// Tells whether several values are all the same.
fn is_same(of: &Summary) -> bool {
    of.n > 1 && of.least == of.greatest
}

/// Says what so many that failed mean, by how far the limit is below their mean.
fn few(n: usize, factor: Option<f64>) -> String {
    match (n, factor) {
        (0, _) => "no specimen failed and counts, so there is no breaking strength here".into(),
        (1, _) => "one test is a number: it shows no scatter, and supports no limit".into(),
        (2, _) => {
            "two tests show hardly anything of the scatter, and support no limit: pull a third, and more"
                .into()
        }
        (3..=5, Some(k)) => format!(
            "{n} tests say little: the limit is {k:.1} standard deviations below the mean, and that is mostly the price of so few; another \
             {n} may give quite another scatter"
        ),
        (6..=9, Some(k)) => format!(
            "{n} tests begin to show the scatter: the limit is {k:.1} standard deviations below the mean"
        ),
        (_, Some(k)) => format!(
            "{n} tests show the scatter fairly well: the limit is {k:.1} standard deviations below the mean"
        ),
        _ => format!("{n} tests give no limit"),
    }
}

/// Tests that scatter less than this lie close by luck, where they are few.
const CLOSE: f64 = 0.01;

/// Finds the part on trial in a makeup.
pub(crate) fn tested<'a>(makeup: &'a Makeup, id: &str) -> Option<&'a Part> {
    let mut pieces = makeup.pieces.iter();
    pieces.find(|piece| piece.part.id == id).map(|piece| &*piece.part)
}

/// Gives what a maker states of a part on the rope of a makeup: its rating and the factor in it; none where one of both is missing.
pub(crate) fn rated(part: &Part, makeup: &Makeup) -> Option<(Number, Number)> {
    let rope = makeup.rope();
    if let (Some(grip), Some((_, rope))) = (part.grip(), rope) {
        let accepted = grip.accepts.iter().find(|accepted| {
            accepted.construction == rope.construction
                && accepted.materials.contains(&rope.material)
                && (accepted.diameter_m - rope.diameter_m.value()).abs() < 1e-6
        })?;
        return Some((accepted.working_load_n.clone(), accepted.design_factor.clone()?));
    }
    match &part.rating {
        Rating::WorkingLoad {
            load,
            design_factor: Some(factor),
        } => Some((load.clone(), factor.clone())),
        _ => None,
    }
}

/// Gives the published breaking force of the rope of a kind, N: as written, else that of the parts book.
pub(crate) fn breaking_n(kind: &Kind, makeup: &Makeup) -> Option<f64> {
    if let Some((force_n, _)) = &kind.breaking {
        return Some(*force_n);
    }
    let (part, _) = makeup.rope()?;
    match &part.rating {
        Rating::Breaking(breaking) => Some(breaking.value()),
        _ => None,
    }
}

fn supported(
    required_n: Option<f64>,
    limit_n: Option<f64>,
    (values, is_unsure): (&Values, bool),
) -> Supported {
    let Some(required_n) = required_n else {
        return Supported::NoClaim;
    };
    let failed = values.failed.iter().map(|(_, strength_n)| strength_n);
    // To set one aside says why it does not count, and not why it failed.
    if failed
        .chain(&values.not_explained)
        .any(|strength_n| *strength_n < required_n)
    {
        return Supported::No;
    }
    // One that was stopped below says nothing for the claim, and hides what it would have done.
    let is_open = is_unsure || values.stopped.iter().any(|held_n| *held_n < required_n);
    match limit_n {
        Some(limit_n) if limit_n >= required_n && !is_open => Supported::Yes,
        _ => Supported::NotShown,
    }
}

/// With fewer values a test for outliers is prone to false alarm.
const ENOUGH_FOR_OUTLIERS: usize = 7;

fn furthest(values: &Values) -> Option<Furthest> {
    let strengths: Vec<f64> = values.failed.iter().map(|(_, strength_n)| *strength_n).collect();
    let far = outlier::furthest(&strengths)?;
    let critical = outlier::grubbs_critical(strengths.len(), 0.05, outlier::Sides::Both)?;
    let (name, strength_n) = &values.failed[far.index];
    let is_far = far.g > critical;
    let is_low = strengths.iter().filter(|other| *other < strength_n).count() == 0;
    let says = match (is_far, strengths.len() < ENOUGH_FOR_OUTLIERS, is_low) {
        (false, _, _) => "no value stands apart",
        (true, true, _) => "it stands apart, but with fewer than seven that is no reason to set it aside",
        (true, false, true) => {
            "it stands apart and is low: it is a result until somebody finds and writes down a physical cause"
        }
        (true, false, false) => {
            "it stands apart and is high: look whether it was made up and pulled as the others were"
        }
    };
    Some(Furthest {
        specimen: name.clone(),
        g: far.g,
        critical,
        says: says.to_string(),
    })
}

/// Splits those that failed and count by how they failed.
fn modes(specimens: &IndexMap<String, SpecimenAnswer>) -> Vec<ModeAnswer> {
    let mut by_mode: IndexMap<&str, Vec<f64>> = IndexMap::new();
    for specimen in specimens.values() {
        // What nobody told is no way to fail.
        if specimen.is_failure() && !specimen.mode_from.is_empty() {
            by_mode
                .entry(&specimen.mode)
                .or_default()
                .push(specimen.strength_n);
        }
    }
    let told = by_mode.into_iter().filter_map(|(mode, strengths)| {
        let summary = Summary::of(&strengths)?;
        Some(ModeAnswer {
            mode: mode.to_string(),
            n: summary.n,
            mean_n: summary.mean,
            sd_n: summary.sd,
        })
    });
    told.collect()
}
