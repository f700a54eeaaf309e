//! One kind of line against another.
//!
//! Conventions: N.
//! Assumes: both scatter normally, each in its own way, for the difference of means; nothing for ranks.
//! Valid for: two of each at the least.
//! Source: Welch's test, and ratio of means after Fieller; ranks by counting (proving).
//! Checked by: tests/series.rs; proving, tests/published.rs.

use crate::answer::{Comparison, KindAnswer};
use proving::{Level, Summary, compare};
use quantity::{Kind, Style};

/// With less confidence nothing is called stronger.
const LEAST_CONFIDENCE: f64 = 0.95;

/// Compares the specimens that failed and count; none where there are too few.
pub(crate) fn compared(
    names: [&String; 2],
    kinds: [&KindAnswer; 2],
    (level, style): (Level, Style),
) -> Option<Comparison> {
    let force = |force_n: f64| Kind::Force.print(force_n, style.in_sentences());
    let values = kinds.map(|kind| {
        let counts = kind.specimens.values().filter(|specimen| specimen.is_failure());
        counts.map(|specimen| specimen.strength_n).collect::<Vec<f64>>()
    });
    let [a, b] = [Summary::of(&values[0])?, Summary::of(&values[1])?];
    let welch = compare::welch(&a, &b)?;
    let ranks = compare::ranks(&values[0], &values[1]);
    // Which is stronger hangs on no confidence that somebody chose for limits.
    let confidence = level.confidence.max(LEAST_CONFIDENCE);
    let interval_n = welch.interval(confidence);
    let [first, second] = names;
    let says = match interval_n {
        Some([least_n, most_n]) if least_n > 0.0 || most_n < 0.0 => {
            let better = if welch.difference > 0.0 { first } else { second };
            let (least_n, most_n) = (least_n.abs().min(most_n.abs()), least_n.abs().max(most_n.abs()));
            format!(
                "`{better}` is stronger on average, by {} to {}, with a confidence of {:.0} %; a better mean is not enough: look at limits and scatter as well",
                force(least_n),
                force(most_n),
                100.0 * confidence
            )
        }
        Some([least_n, most_n]) => format!(
            "which is stronger on average is open, with a confidence of {:.0} %: `{first}` may be weaker by up to {} or stronger by up to {}; that is no sign that they are \
             alike, but that there are few tests",
            100.0 * confidence,
            force(least_n.abs()),
            force(most_n)
        ),
        None => "so few tests tell nothing of the difference".to_string(),
    };
    Some(Comparison {
        kinds: names.map(Clone::clone),
        difference_n: welch.difference,
        interval_n,
        t: welch.t,
        df: welch.df,
        p: welch.p,
        rank_p: ranks.as_ref().map(|ranks| ranks.p),
        least_rank_p: ranks.as_ref().map(|ranks| ranks.least_p),
        ratio: compare::ratio_of_means(&a, &b, confidence),
        says,
    })
}
