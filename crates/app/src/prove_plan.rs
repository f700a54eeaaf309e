//! What does a series that is still to be pulled ask for?

use crate::check::Text;
use crate::mistakes::Mistakes;
use crate::shelf::Shelf;
use quantity::Style;
use series::{TestPlan, plan, read_series};

/// Plans a series: a series document, its specimens not yet pulled. Sentences are in the units of `style` first.
///
/// # Errors
///
/// All that is wrong with the document.
pub fn prove_plan(shelf: &Shelf, text: &Text<'_>, style: Style) -> Result<TestPlan, Mistakes> {
    let planned = read_series(text.text).sound();
    let planned = planned.and_then(|series| plan(&series, &shelf.book, style));
    planned.map_err(|problems| text.mistakes(problems))
}
