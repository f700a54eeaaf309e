//! Drawings as SVG, for pages and reports.
//!
//! Black on white, so that they print: what is told apart is told apart by shape and word, never by colour alone. Numbers are written in one
//! fixed way, so that the same figure is the same text everywhere.

mod axis;
mod figure;
mod svg;

pub use axis::{Axis, Ends};
pub use figure::{Curve, Figure, Level, Mark, Panel, Sign, svg};
