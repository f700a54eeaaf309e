//! What does a series that is still to be pulled ask for?

use crate::check::Text;
use crate::mistakes::Mistakes;
use crate::shelf::Shelf;
use series::{TestPlan, plan, read_series};

/// Plans a series: a series document, its specimens not yet pulled.
///
/// # Errors
///
/// All that is wrong with the document.
pub fn prove_plan(shelf: &Shelf, text: &Text<'_>) -> Result<TestPlan, Mistakes> {
    let read = read_series(text.text);
    if !read.problems.is_empty() {
        return Err(text.mistakes(read.problems));
    }
    plan(&read.value, &shelf.book).map_err(|problems| text.mistakes(problems))
}
