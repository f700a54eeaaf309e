//! A series as a figure: each specimen as a point, with the limit and the claim.

use crate::log_plot::force_unit;
use drawing::{Axis, Ends, Figure, Level, Mark, Panel, Sign};
use quantity::Style;
use series::{KindAnswer, SeriesAnswer, Supported};

/// Draws a series, one panel for each kind.
pub(crate) fn series_plot(answer: &SeriesAnswer, style: Style) -> Figure {
    let greatest_n = answer
        .kinds
        .values()
        .flat_map(|kind| kind.specimens.values())
        .map(|specimen| specimen.peak_n);
    let (unit, one_n) = force_unit(greatest_n.fold(0.0, f64::max), style.units);
    let panels = answer
        .kinds
        .iter()
        .map(|(name, kind)| panel(name, kind, (unit, one_n), answer));
    let mut notes = vec![
        "Disc: failed. Arrow: held at least that, did not fail. Cross: set aside. Ring above a disc: its peak, where something broke before. \
         Bars: how far a value may be off."
            .to_string(),
    ];
    if answer.invented {
        notes.push("Invented for a demonstration: nothing was pulled.".into());
    }
    notes.extend(
        answer
            .kinds
            .iter()
            .map(|(name, kind)| format!("{name}: {}", supported(kind.supported))),
    );
    Figure {
        title: answer.series.clone(),
        panels: panels.collect(),
        notes,
    }
}

fn supported(supported: Supported) -> &'static str {
    match supported {
        Supported::NoClaim => "no claim",
        Supported::Yes => "the tests support the claim",
        Supported::NotShown => "the tests do not show the claim",
        Supported::No => "a specimen failed under the claim",
    }
}

fn panel(name: &str, kind: &KindAnswer, (unit, one_n): (&str, f64), answer: &SeriesAnswer) -> Panel {
    let mut marks = Vec::new();
    for (index, specimen) in kind.specimens.values().enumerate() {
        let at = [index as f64, specimen.strength_n / one_n];
        let within = specimen.uncertainty_n.map(|off_n| {
            [
                (specimen.strength_n - off_n) / one_n,
                (specimen.strength_n + off_n) / one_n,
            ]
        });
        if specimen.peak_n > specimen.strength_n {
            marks.push(Mark {
                at: [index as f64, specimen.peak_n / one_n],
                within: None,
                sign: Sign::Ring,
                label: String::new(),
            });
        }
        marks.push(Mark {
            at,
            within,
            sign: match (specimen.set_aside.is_some(), specimen.is_at_least) {
                (true, _) => Sign::Cross,
                (false, true) => Sign::Up,
                (false, false) => Sign::Disc,
            },
            label: specimen.mode.clone(),
        });
    }
    let [share, confidence] = [answer.share, answer.confidence].map(practice::share_in_words);
    let limit = kind.limits.first().filter(|limit| limit.limit_n > 0.0);
    let limit = limit.map(|limit| Level {
        at: limit.limit_n / one_n,
        label: format!("lower limit: {share} of all, with {confidence} confidence"),
        is_dashed: true,
    });
    let claim = kind.claim.as_ref().map(|claim| Level {
        at: claim.required_n / one_n,
        label: format!("claim: working load times {}", claim.design_factor),
        is_dashed: false,
    });
    let published = kind.breaking_n.map(|breaking_n| Level {
        at: breaking_n / one_n,
        label: "published breaking force of the rope".into(),
        is_dashed: true,
    });
    Panel {
        across: Axis::named(
            format!("specimens of {name}"),
            kind.specimens.keys().cloned().collect(),
        ),
        up: Axis::of(format!("strength, {unit}"), Ends::FromNought),
        curves: Vec::new(),
        marks,
        levels: [limit, claim, published].into_iter().flatten().collect(),
    }
}
