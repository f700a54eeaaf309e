//! A working as plain data, for JSON.

use crate::number::Number;
use crate::print::line;
use crate::source::Seen;
use quantity::Style;
use serde::Serialize;

/// One number with its working, as plain data in SI units.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Record {
    /// What the number is.
    pub what: String,
    /// Its symbol in formulas.
    pub symbol: String,
    /// The kind of quantity (force, length, ...).
    pub quantity: String,
    /// The value, in the SI unit of its kind.
    pub value: f64,
    /// Formula, values put in and result, in one line, in US units with SI in brackets; for a given number its value.
    pub reads: String,
    /// Where the number or its formula comes from.
    pub source: String,
    /// How far that source was checked.
    pub seen: Seen,
    /// What a reader must know besides.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<String>,
    /// What it was derived from.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub from: Vec<Record>,
}

impl From<&Number> for Record {
    fn from(number: &Number) -> Self {
        Record {
            what: number.what().to_string(),
            symbol: number.symbol().to_string(),
            quantity: number.kind().name().to_string(),
            value: number.value(),
            reads: line(number, Style::both().finer()),
            source: number.source().says.clone(),
            seen: number.source().seen,
            remarks: number.remarks().to_vec(),
            from: number.inputs().into_iter().map(Record::from).collect(),
        }
    }
}
