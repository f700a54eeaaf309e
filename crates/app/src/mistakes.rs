//! The mistakes of one file, ready to be shown.

use document::Problem;
use schemars::JsonSchema;
use serde::Serialize;

/// The mistakes of one file.
#[derive(Debug, Clone)]
pub struct Mistakes {
    /// The file, as the user named it.
    pub file: String,
    /// Its text.
    pub text: String,
    /// What is wrong with it.
    pub problems: Vec<Problem>,
}

/// One mistake as plain data.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Mistake {
    /// The file, as the user named it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is wrong.
    pub says: String,
    /// What would be right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instead: Option<String>,
}

impl Mistakes {
    /// Draws the mistakes under the lines they are in. `width` is that of the terminal, in columns.
    pub fn render(&self, width: usize, colour: bool) -> String {
        document::render(&self.file, &self.text, &self.problems, width, colour)
    }

    /// Gives the mistakes as plain data, in the order of the text.
    pub fn list(&self) -> Vec<Mistake> {
        let mut ordered: Vec<&Problem> = self.problems.iter().collect();
        ordered.sort_by_key(|problem| problem.at.start);
        ordered
            .into_iter()
            .map(|problem| {
                let (line, column) = problem.line_and_column(&self.text);
                Mistake {
                    file: self.file.clone(),
                    line,
                    column,
                    says: problem.says.clone(),
                    instead: problem.instead.clone(),
                }
            })
            .collect()
    }
}
