//! What does this series of pull tests support?

use crate::check::Text;
use crate::mistakes::Mistakes;
use crate::series_plot::series_plot;
use crate::shelf::Shelf;
use quantity::Style;
use series::{KindAnswer, Open, SeriesAnswer, prove, read_series};
use working::Record;

/// What is asked about a series.
#[derive(Debug, Clone, Copy)]
pub struct SeriesAsk {
    /// Whether derivations are wanted.
    pub working: bool,
    /// Whether a plot is wanted.
    pub plot: bool,
    /// How quantities are printed, in sentences and in the plot.
    pub style: Style,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct SeriesReply {
    /// The answer.
    pub answer: SeriesAnswer,
    /// The plot as SVG, if it was asked for.
    pub plot_svg: Option<String>,
}

/// Says what a series supports. `open` opens a log by its path in the document.
///
/// # Errors
///
/// All that is wrong with the document and its logs.
pub fn prove_series(
    shelf: &Shelf,
    text: &Text<'_>,
    open: Open<'_>,
    ask: SeriesAsk,
) -> Result<SeriesReply, Mistakes> {
    let proved = read_series(text.text).sound();
    let proved = proved.and_then(|series| prove(&series, &shelf.book, open, ask.style));
    let mut answer = proved.map_err(|problems| text.mistakes(problems))?.answer;
    if ask.working {
        for kind in answer.kinds.values_mut() {
            let records = kind
                .numbers
                .iter()
                .map(|(name, number)| (name.clone(), Record::from(number)));
            kind.working = records.collect();
        }
    }
    let plot_svg = ask.plot.then(|| drawing::svg(&series_plot(&answer, ask.style)));
    Ok(SeriesReply { answer, plot_svg })
}

/// Sets how the lower limit of a kind, and what it is held against, come about.
pub fn explain_kind(kind: &KindAnswer, style: Style, width: usize) -> Vec<String> {
    let shown = ["limit", "required"]
        .iter()
        .filter_map(|name| kind.numbers.get(*name));
    shown
        .map(|number| working::explain(number, style.finer(), width))
        .collect()
}
