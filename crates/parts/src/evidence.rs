//! What pull tests of a makeup show, as far as its rules ask.

use working::Number;

/// What a series of pull tests shows of a part in a makeup.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// The title of the series, and the kind in it.
    pub series: String,
    /// The part that was on trial, by its id.
    pub part: String,
    /// What it is to hold, N: the claim that was examined.
    pub required_n: Number,
    /// The design factor in that.
    pub design_factor: Number,
    /// The specimens that failed, set-aside ones among them.
    pub failed: Vec<FailedSpecimen>,
    /// How many failed and count.
    pub count: usize,
    /// The lower limit, N; none where so few, or such, tests give none.
    pub limit_n: Option<Number>,
    /// The share of lines above the limit, and the confidence.
    pub level: [f64; 2],
}

/// A specimen that failed.
#[derive(Debug, Clone)]
pub struct FailedSpecimen {
    /// Its name.
    pub name: String,
    /// What it failed at, N.
    pub strength_n: f64,
    /// What was written of why: why it was set aside, or why it failed under the claim.
    pub explained: Option<String>,
}
