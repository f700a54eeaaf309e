//! A number with its working.

use crate::expression::Expression;
use crate::source::{Seen, Source};
use quantity::Kind;
use std::sync::Arc;

/// A number with its working: what it is, its value, and where it comes from.
///
/// Cheap to clone; clones share one working.
#[derive(Debug, Clone)]
pub struct Number(Arc<Step>);

#[derive(Debug)]
struct Step {
    what: String,
    symbol: String,
    kind: Kind,
    value: f64,
    formula: Option<Expression>,
    source: Source,
    remarks: Vec<String>,
}

impl Number {
    /// Takes a number as given by its source. `value` is in SI units.
    pub fn given(
        what: impl Into<String>,
        symbol: impl Into<String>,
        kind: Kind,
        value: f64,
        source: Source,
    ) -> Self {
        Number(Arc::new(Step {
            what: what.into(),
            symbol: symbol.into(),
            kind,
            value,
            formula: None,
            source,
            remarks: Vec::new(),
        }))
    }

    /// Computes a number from others. The source is that of the formula.
    pub fn computed(
        what: impl Into<String>,
        symbol: impl Into<String>,
        kind: Kind,
        formula: impl Into<Expression>,
        source: Source,
    ) -> Self {
        let formula = formula.into();
        Number(Arc::new(Step {
            what: what.into(),
            symbol: symbol.into(),
            kind,
            value: formula.value(),
            formula: Some(formula),
            source,
            remarks: Vec::new(),
        }))
    }

    /// Adds something a reader must know, such as a figure that was set aside.
    #[must_use]
    pub fn remark(self, remark: impl Into<String>) -> Self {
        let step = self.0;
        let mut remarks = step.remarks.clone();
        remarks.push(remark.into());
        Number(Arc::new(Step {
            what: step.what.clone(),
            symbol: step.symbol.clone(),
            kind: step.kind,
            value: step.value,
            formula: step.formula.clone(),
            source: step.source.clone(),
            remarks,
        }))
    }

    /// Gives the value, in SI units.
    pub fn value(&self) -> f64 {
        self.0.value
    }

    /// Says what the number is.
    pub fn what(&self) -> &str {
        &self.0.what
    }

    /// Gives the symbol it has in formulas.
    pub fn symbol(&self) -> &str {
        &self.0.symbol
    }

    /// Gives the kind of quantity it is.
    pub fn kind(&self) -> Kind {
        self.0.kind
    }

    /// Gives the formula it was computed by; none for a given number.
    pub fn formula(&self) -> Option<&Expression> {
        self.0.formula.as_ref()
    }

    /// Gives the source of the number or of its formula.
    pub fn source(&self) -> &Source {
        &self.0.source
    }

    /// Gives what a reader must know besides.
    pub fn remarks(&self) -> &[String] {
        &self.0.remarks
    }

    /// Lists the numbers it was computed from, in the order of the formula.
    pub fn inputs(&self) -> Vec<&Number> {
        self.formula().map(Expression::numbers).unwrap_or_default()
    }

    /// Tells whether two numbers are one and the same, with one working.
    pub fn is(&self, other: &Number) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }

    /// Lists every number it rests on, itself first, each once.
    pub fn all(&self) -> Vec<&Number> {
        let mut found = vec![self];
        let mut next = 0;
        while next < found.len() {
            for input in found[next].inputs() {
                if !found.iter().any(|known| known.is(input)) {
                    found.push(input);
                }
            }
            next += 1;
        }
        found
    }

    /// Lists the figures it rests on that nobody has seen in print.
    pub fn from_memory(&self) -> Vec<&Number> {
        self.all()
            .into_iter()
            .filter(|number| number.source().seen == Seen::Memory)
            .collect()
    }

    /// Computes the value that this number would have if one figure under it were zero.
    ///
    /// Tells whether a figure matters: a term that is left out changes little, a factor changes all.
    pub fn value_without(&self, figure: &Number) -> f64 {
        if self.is(figure) {
            return 0.0;
        }
        match self.formula() {
            Some(formula) => formula.value_with(&|number| number.value_without(figure)),
            None => self.value(),
        }
    }

    /// Names every number under it whose formula does not have the dimension of its kind, or adds unlike things.
    ///
    /// An empty list is what every working must give; a test asks it of all demo rigs.
    pub fn unsound(&self) -> Vec<String> {
        self.all()
            .into_iter()
            .filter(|number| {
                number.formula().is_some_and(|formula| {
                    formula.dimension() != Some(number.kind().dimension().map(f64::from))
                })
            })
            .map(|number| format!("{} ({})", number.what(), number.symbol()))
            .collect()
    }
}
