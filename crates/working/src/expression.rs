//! Formulas as data: evaluated to get a number, printed to show it.

use crate::number::Number;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A formula over numbers.
#[derive(Debug, Clone)]
pub enum Expression {
    /// A number that has its own working.
    Of(Number),
    /// A pure number that is part of the formula, such as the 2 in "2 h".
    Constant(f64),
    /// Terms added.
    Sum(Vec<Expression>),
    /// The first less the second.
    Difference(Box<Expression>, Box<Expression>),
    /// The first times the second.
    Product(Box<Expression>, Box<Expression>),
    /// The first over the second.
    Quotient(Box<Expression>, Box<Expression>),
    /// The negative.
    Negative(Box<Expression>),
    /// The square root.
    Root(Box<Expression>),
    /// The natural logarithm.
    Logarithm(Box<Expression>),
    /// The least of several.
    Least(Vec<Expression>),
    /// The greatest of several.
    Greatest(Vec<Expression>),
}

/// Exponents of metre, kilogram, second and kelvin.
pub(crate) type Dimension = [f64; 4];

impl Expression {
    /// Computes the value, in SI units.
    pub fn value(&self) -> f64 {
        self.value_with(&Number::value)
    }

    /// Computes the value that it would have if each number in it had the value that `of` gives it.
    pub(crate) fn value_with(&self, of: &dyn Fn(&Number) -> f64) -> f64 {
        let value = |e: &Expression| e.value_with(of);
        match self {
            Expression::Of(number) => of(number),
            Expression::Constant(constant) => *constant,
            Expression::Sum(terms) => terms.iter().map(value).sum(),
            Expression::Difference(a, b) => value(a) - value(b),
            Expression::Product(a, b) => value(a) * value(b),
            Expression::Quotient(a, b) => value(a) / value(b),
            Expression::Negative(a) => -value(a),
            Expression::Root(a) => value(a).sqrt(),
            Expression::Logarithm(a) => value(a).ln(),
            Expression::Least(terms) => terms.iter().map(value).fold(f64::INFINITY, f64::min),
            Expression::Greatest(terms) => terms.iter().map(value).fold(f64::NEG_INFINITY, f64::max),
        }
    }

    /// Lists the numbers it is made of, in order, each once.
    pub fn numbers(&self) -> Vec<&Number> {
        let mut found = Vec::new();
        self.collect(&mut found);
        found
    }

    fn collect<'a>(&'a self, found: &mut Vec<&'a Number>) {
        match self {
            Expression::Of(number) => {
                if !found.iter().any(|known| known.is(number)) {
                    found.push(number);
                }
            }
            Expression::Constant(_) => {}
            Expression::Sum(of) | Expression::Least(of) | Expression::Greatest(of) => {
                for term in of {
                    term.collect(found);
                }
            }
            Expression::Difference(a, b) | Expression::Product(a, b) | Expression::Quotient(a, b) => {
                a.collect(found);
                b.collect(found);
            }
            Expression::Negative(a) | Expression::Root(a) | Expression::Logarithm(a) => a.collect(found),
        }
    }

    /// Computes the dimension, or gives none where unlike things are added or compared.
    pub(crate) fn dimension(&self) -> Option<Dimension> {
        match self {
            Expression::Of(number) => Some(number.kind().dimension().map(f64::from)),
            Expression::Constant(_) => Some([0.0; 4]),
            Expression::Sum(of) | Expression::Least(of) | Expression::Greatest(of) => same(of.iter()),
            Expression::Difference(a, b) => same([a.as_ref(), b.as_ref()].into_iter()),
            Expression::Product(a, b) => combine(a, b, 1.0),
            Expression::Quotient(a, b) => combine(a, b, -1.0),
            Expression::Negative(a) => a.dimension(),
            Expression::Root(a) => a.dimension().map(|d| d.map(|x| x / 2.0)),
            Expression::Logarithm(a) => a.dimension().filter(|d| *d == [0.0; 4]),
        }
    }
}

fn same<'a>(mut of: impl Iterator<Item = &'a Expression>) -> Option<Dimension> {
    let first = of.next()?.dimension()?;
    of.all(|e| e.dimension() == Some(first)).then_some(first)
}

fn combine(a: &Expression, b: &Expression, sign: f64) -> Option<Dimension> {
    let (a, b) = (a.dimension()?, b.dimension()?);
    Some(std::array::from_fn(|i| a[i] + sign * b[i]))
}

/// Takes the least of several.
pub fn least(of: impl IntoIterator<Item = impl Into<Expression>>) -> Expression {
    Expression::Least(of.into_iter().map(Into::into).collect())
}

/// Takes the greatest of several.
pub fn greatest(of: impl IntoIterator<Item = impl Into<Expression>>) -> Expression {
    Expression::Greatest(of.into_iter().map(Into::into).collect())
}

/// Adds several.
pub fn sum(of: impl IntoIterator<Item = impl Into<Expression>>) -> Expression {
    Expression::Sum(of.into_iter().map(Into::into).collect())
}

/// Takes the square root.
pub fn sqrt(of: impl Into<Expression>) -> Expression {
    Expression::Root(Box::new(of.into()))
}

/// Takes the natural logarithm of a pure number.
pub fn ln(of: impl Into<Expression>) -> Expression {
    Expression::Logarithm(Box::new(of.into()))
}

impl From<&Number> for Expression {
    fn from(number: &Number) -> Self {
        Expression::Of(number.clone())
    }
}

impl From<Number> for Expression {
    fn from(number: Number) -> Self {
        Expression::Of(number)
    }
}

impl From<f64> for Expression {
    fn from(value: f64) -> Self {
        Expression::Constant(value)
    }
}

macro_rules! operator {
    ($trait:ident, $method:ident, $left:ident, $right:ident, $make:expr) => {
        impl<R: Into<Expression>> $trait<R> for Expression {
            type Output = Expression;
            fn $method(self, right: R) -> Expression {
                let ($left, $right) = (self, right.into());
                $make
            }
        }
        impl<R: Into<Expression>> $trait<R> for &Number {
            type Output = Expression;
            fn $method(self, right: R) -> Expression {
                let ($left, $right) = (Expression::from(self), right.into());
                $make
            }
        }
    };
}

operator!(Add, add, a, b, Expression::Sum(vec![a, b]));
operator!(Sub, sub, a, b, Expression::Difference(Box::new(a), Box::new(b)));
operator!(Mul, mul, a, b, Expression::Product(Box::new(a), Box::new(b)));
operator!(Div, div, a, b, Expression::Quotient(Box::new(a), Box::new(b)));

impl Neg for Expression {
    type Output = Expression;
    fn neg(self) -> Expression {
        Expression::Negative(Box::new(self))
    }
}
