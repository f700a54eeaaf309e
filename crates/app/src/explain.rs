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
