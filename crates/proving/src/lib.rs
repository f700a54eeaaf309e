//! Pulling samples, and what that shows.
//!
//! Plain numbers in and out: values in one unit of the caller's choice, shares from 0 to 1. [`Summary`] is what some values have in common;
//! [`tolerance_factor`] and [`lower_limit`] say above which value a share of all such assemblies lies, and how sure that is; [`weibull`] does so
//! with tests that were stopped; [`free`] without assuming anything; [`outlier`] and [`compare`] look at single values and at two kinds.

pub mod compare;
pub mod free;
mod least_number;
pub mod log;
pub mod model;
mod noncentral_t;
pub mod outlier;
mod planning;
mod quadrature;
pub mod specimen;
mod summary;
mod tolerance;
pub mod weibull;

pub use noncentral_t::{Tail, noncentral_t, noncentral_t_upper_quantile};
pub use planning::Aim;
pub use summary::Summary;
pub use tolerance::{
    Level, confidence_reached, lower_limit, number_needed, prediction_factor, prediction_factor_of_known,
    tolerance_factor,
};
