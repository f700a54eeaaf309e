//! Where does this number come from?

use crate::line::LineAnswer;
use quantity::Style;
use rig::Verdict;

/// There is no number at this path.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no number `{path}`{}", hint(.nearest.as_deref()))]
pub struct Unexplained {
    /// The path asked for.
    pub path: String,
    /// The nearest path that has a number.
    pub nearest: Option<String>,
}

fn hint(nearest: Option<&str>) -> String {
    nearest
        .map(|near| format!("; did you mean `{near}`?"))
        .unwrap_or_default()
}

/// Prints the derivation of one number of a verdict down to catalogue figures and statics.
///
/// `path` is as in `lines.nw.working_load`; a path that is only the beginning of others explains all of them.
/// [`paths_under`] lists which.
pub fn explain(verdict: &Verdict, path: &str, style: Style, width: usize) -> Result<String, Unexplained> {
    let chosen = paths_under(verdict, path)
        .into_iter()
        .filter_map(|key| Some((key, verdict.numbers.get(key)?)));
    let told: Vec<String> = chosen
        .map(|(key, number)| format!("{key}\n{}", working::explain(number, style.finer(), width)))
        .collect();
    if told.is_empty() {
        let nearest = document::nearest(path, verdict.numbers.keys().map(String::as_str)).map(str::to_string);
        return Err(Unexplained {
            path: path.to_string(),
            nearest,
        });
    }
    Ok(told.join("\n"))
}

/// Prints the derivation of the working load that a question about one line came to; none if it has none.
pub fn explain_line(answer: &LineAnswer, style: Style, width: usize) -> Option<String> {
    answer
        .number
        .as_ref()
        .map(|number| working::explain(number, style.finer(), width))
}

/// Lists the paths that begin with these words of a path or, if none does, with these letters.
pub fn paths_under<'a>(verdict: &'a Verdict, path: &str) -> Vec<&'a str> {
    let words = format!("{path}.");
    let whole = paths(verdict).filter(|key| *key == path || key.starts_with(&words));
    let whole: Vec<&str> = whole.collect();
    if whole.is_empty() {
        paths(verdict).filter(|key| key.starts_with(path)).collect()
    } else {
        whole
    }
}

/// Lists the path of every number of a verdict.
pub fn paths(verdict: &Verdict) -> impl Iterator<Item = &str> {
    verdict.numbers.keys().map(String::as_str)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Ask, Shelf, Text, check};
    use quantity::Kind;
    use working::{Expression, Number};

    const RIGS: [&str; 5] = [
        include_str!("../../../examples/flock.toml"),
        include_str!("../../../examples/banner.toml"),
        include_str!("../../../examples/banner-mended.toml"),
        include_str!("../../../examples/reflector.toml"),
        include_str!("../../../examples/courtyard.toml"),
    ];

    /// Gives a number as who reads it has it, and the share by which it may be off.
    fn as_printed(number: &Number, style: Style) -> (f64, f64) {
        let printed = number.kind().print(number.value(), style);
        let si = number.kind().parse_si(&printed).unwrap();
        // Four figures are off by 1/2000 at most; a foot or more by half of a thirty-second of an inch, under 1/700.
        let is_foot = number.kind() == Kind::Length && si >= 0.3048;
        (si, if is_foot { 1.0 / 700.0 } else { 1.0 / 2000.0 })
    }

    /// Follows a product as printed, with the share by which it may be off; none for sums, which may cancel.
    fn followed(formula: &Expression, style: Style) -> Option<(f64, f64)> {
        let both = |a, b| Some((followed(a, style)?, followed(b, style)?));
        match formula {
            Expression::Of(number) => Some(as_printed(number, style)),
            Expression::Constant(constant) => Some((*constant, 0.0)),
            Expression::Product(a, b) => both(a, b).map(|((a, x), (b, y))| (a * b, x + y)),
            Expression::Quotient(a, b) => both(a, b).map(|((a, x), (b, y))| (a / b, x + y)),
            _ => None,
        }
    }

    /// Who multiplies the figures of a working comes to the result that is printed behind them.
    #[test]
    fn products_come_out_as_printed() {
        let grips = Text {
            file: "grips.toml",
            text: include_str!("../../../examples/parts/grips.toml"),
        };
        let shelf = Shelf::published().with_book(&grips).unwrap();
        let mut count = 0;
        // Lines of a few inches, which are no whole fractions of one.
        let short = crate::starter().replace("\"14 ft\"", "\"9.41 ft\"");
        assert_ne!(short, crate::starter());
        for text in RIGS.into_iter().chain([short.as_str()]) {
            let file = "rig.toml";
            let verdict = check(&shelf, &Text { file, text }, &Ask::default()).unwrap();
            let numbers = verdict.numbers.values().flat_map(Number::all);
            for (number, style) in numbers.flat_map(|n| [(n, Style::us().finer()), (n, Style::si().finer())])
            {
                let Some((product, off)) = number.formula().and_then(|formula| followed(formula, style))
                else {
                    continue;
                };
                let (printed, also_off) = as_printed(number, style);
                assert!(
                    // A hundredth more for the products of what is off.
                    (product - printed).abs() <= 1.01 * (off + also_off) * printed.abs(),
                    "{}",
                    working::line(number, style)
                );
                count += 1;
            }
        }
        assert!(count > 1000, "{count}");
    }
}
