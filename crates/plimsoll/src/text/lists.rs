//! Plain lists.

/// Sets pairs of words in two columns, for lists whose second column is short.
pub fn columns<'a>(pairs: impl Iterator<Item = [&'a str; 2]>) -> String {
    let pairs: Vec<[&str; 2]> = pairs.collect();
    let width = pairs
        .iter()
        .map(|[first, _]| first.chars().count())
        .max()
        .unwrap_or(0);
    let lines: Vec<String> = pairs
        .iter()
        .map(|[first, second]| format!("{first:width$}  {second}"))
        .collect();
    lines.join("\n") + "\n"
}
