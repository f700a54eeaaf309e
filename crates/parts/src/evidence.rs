//! What pull tests of a makeup show, as far as its rules ask.

use crate::part::Made;
use working::Number;

/// What the kinds of a series of pull tests show, by name; why not, where it can not be used.
pub type Shown = Result<indexmap::IndexMap<String, Evidence>, String>;

/// What a series of pull tests shows of a part in a makeup.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// The title of the series, and the kind in it.
    pub series: String,
    /// The part that was on trial, by its id.
    pub part: String,
    /// The rope that it was pulled on, by its id.
    pub rope: String,
    /// How that part was made up on it.
    pub made: Made,
    /// Whether nothing was pulled: the series is made up for a demonstration.
    pub invented: bool,
    /// From where that comes, in words.
    pub from: String,
    /// The working load that is claimed, N, where it is more than what its maker rates it for; none else.
    pub claims_more_n: Option<f64>,
    /// What is claimed, where that asks for less than its maker does; none else.
    pub claims_less: Option<ClaimsLess>,
    /// Whether it is an adjustable grip that its maker does not rate on this rope.
    pub is_unrated: bool,
    /// The specimens in which the rope slipped below what is to be held: name, and the least force at which it did, N.
    pub slipped: Vec<(String, f64)>,
    /// Whether of some specimen it is not sure that it did not fail.
    pub is_unsure: bool,
    /// What it is to hold, N: the claim that was examined, or what its maker states where that is more.
    pub required_n: Number,
    /// The design factor in that.
    pub design_factor: Number,
    /// The specimens that failed, set-aside ones among them.
    pub failed: Vec<FailedSpecimen>,
    /// How many failed and count.
    pub count: usize,
    /// How many were stopped, and are sure to have held what it is to hold.
    pub held: usize,
    /// Their mean, N; none where none failed and counts.
    pub mean_n: Option<f64>,
    /// How far the cell may be off, as a share; none where that is not known.
    pub cell: Option<f64>,
    /// How far its zeros may be off, N, in all logs alike.
    pub zero_n: f64,
    /// What does not go together in what is told of the tests.
    pub doubts: Vec<String>,
    /// How many were stopped below what the part is to hold.
    pub stopped_low: usize,
    /// The lower limit, N; none where so few, or such, tests give none.
    pub limit_n: Option<Number>,
    /// How many tests the limit rests on; 0 where there is none.
    pub limit_of: usize,
    /// The share of lines above the limit, and the confidence.
    pub level: [f64; 2],
}

/// A claim that asks for less than the maker of the part does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClaimsLess {
    /// The design factor that is claimed.
    pub design_factor: f64,
    /// The design factor of the maker.
    pub maker_factor: f64,
    /// What is to be held by the claim, N.
    pub required_n: f64,
    /// And by the maker, N.
    pub maker_n: f64,
}

/// A specimen that failed.
#[derive(Debug, Clone)]
pub struct FailedSpecimen {
    /// Its name.
    pub name: String,
    /// What it failed at, N.
    pub strength_n: f64,
    /// What was written of why it failed.
    pub explained: Option<String>,
}

/// What pull tests say about what a part is to hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bears {
    /// Their lower limit is no less.
    Out,
    /// Nothing failed below, but they do not show it.
    NotShown,
    /// Something failed below.
    Against,
}

impl Evidence {
    /// Says whether the tests bear out what the part is to hold.
    #[must_use]
    pub fn bears(&self) -> Bears {
        let required_n = self.required_n.value();
        let holds = self
            .limit_n
            .as_ref()
            .is_some_and(|limit_n| limit_n.value() >= required_n);
        match self.least_n() {
            Some(least_n) if least_n < required_n => Bears::Against,
            _ if holds && self.stopped_low == 0 && !self.is_unsure => Bears::Out,
            _ => Bears::NotShown,
        }
    }

    /// Gives the least that one failed at, set-aside ones among them, N.
    #[must_use]
    pub fn least_n(&self) -> Option<f64> {
        self.failed
            .iter()
            .map(|specimen| specimen.strength_n)
            .reduce(f64::min)
    }
}
