//! The rule manual, generated from the rules.

/// Writes the rule manual in Markdown.
pub fn manual() -> String {
    String::new()
}
