//! Prints a working for people: formula, values put in, result, source.

use crate::expression::Expression;
use crate::number::Number;
use quantity::{Style, paragraph};
use std::fmt::Write as _;

/// Prints one number in one line: `WL = F e / n = 4200 lb x 0.95 / 10 = 399 lb`.
pub fn line(number: &Number, style: Style) -> String {
    let result = number.kind().print(number.value(), style);
    match number.formula() {
        None => format!("{} = {result}", number.symbol()),
        Some(formula) => {
            let symbols = write(formula, &|of| of.symbol().to_string(), 0);
            let values = write(formula, &|of| of.kind().print(of.value(), style), 0);
            let mut out = format!("{} = {symbols}", number.symbol());
            for next in [values, result] {
                if !out.ends_with(&format!("= {next}")) {
                    let _ = write!(out, " = {next}");
                }
            }
            out
        }
    }
}

/// Prints the whole tree under a number, each number once, what it was derived from indented below it.
pub fn explain(number: &Number, style: Style, width: usize) -> String {
    let mut out = String::new();
    let mut told = Vec::new();
    tell(number, style, width, 0, &mut told, &mut out);
    out
}

fn tell<'a>(
    number: &'a Number,
    style: Style,
    width: usize,
    depth: usize,
    told: &mut Vec<&'a Number>,
    out: &mut String,
) {
    let indent = 2 * depth;
    let inner = indent + 2;
    let mut set = |text: &str, first: usize, rest: usize| {
        // However deep the tree, some of a line is left for the text.
        out.push_str(&paragraph(
            text,
            width.max(rest + LEAST_TEXT),
            &" ".repeat(first),
            rest,
        ));
    };
    if told.iter().any(|known| known.is(number)) {
        let result = line_of_result(number, style);
        set(&format!("{}: {result} (as above)", number.what()), indent, inner);
        return;
    }
    told.push(number);
    set(&format!("{}:", number.what()), indent, inner);
    set(&line(number, style), inner, inner + 4);
    set(&format!("source: {}", number.source()), inner, inner + 8);
    for remark in number.remarks() {
        set(&format!("note: {remark}"), inner, inner + 6);
    }
    for input in number.inputs() {
        tell(input, style, width, depth + 1, told, out);
    }
}

/// Columns of text in a line at the least.
const LEAST_TEXT: usize = 20;

fn line_of_result(number: &Number, style: Style) -> String {
    format!(
        "{} = {}",
        number.symbol(),
        number.kind().print(number.value(), style)
    )
}

/// Writes an expression; `name` says how a number is written. `binding` is how tightly its surroundings bind:
/// 0 not at all, 1 as a sum, 2 as a product, 3 as a divisor.
fn write(expression: &Expression, name: &dyn Fn(&Number) -> String, binding: u8) -> String {
    let list = |of: &[Expression]| {
        of.iter()
            .map(|e| write(e, name, 0))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let (text, own) = match expression {
        Expression::Of(number) => (name(number), 4),
        Expression::Constant(value) => (value.to_string(), 4),
        Expression::Sum(of) => (
            of.iter()
                .map(|e| write(e, name, 1))
                .collect::<Vec<_>>()
                .join(" + "),
            1,
        ),
        Expression::Difference(a, b) => (format!("{} - {}", write(a, name, 1), write(b, name, 2)), 1),
        Expression::Product(a, b) => (format!("{} x {}", write(a, name, 2), write(b, name, 2)), 2),
        Expression::Quotient(a, b) => (format!("{} / {}", write(a, name, 2), write(b, name, 3)), 2),
        Expression::Negative(a) => (format!("-{}", write(a, name, 3)), 2),
        Expression::Root(a) => (format!("sqrt({})", write(a, name, 0)), 4),
        Expression::Logarithm(a) => (format!("ln({})", write(a, name, 0)), 4),
        Expression::Least(of) => (format!("least of ({})", list(of)), 4),
        Expression::Greatest(of) => (format!("greatest of ({})", list(of)), 4),
    };
    if own < binding { format!("({text})") } else { text }
}
