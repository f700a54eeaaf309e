//! What a series of pull tests supports, as plain text.

use super::figures::{force, rating};
use super::findings::findings;
use super::page::Page;
use super::table::{Column, Table};
use super::verdict::overlays_sentence;
use app::{Comparison, KindAnswer, SeriesAnswer, SpecimenAnswer, Style, Supported, share_in_words};

const SPECIMENS: [Column; 7] = [
    Column::words("specimen"),
    Column::number("strength"),
    Column::number("+-"),
    Column::number("first\nbreak").aside("first break #"),
    Column::number("peak"),
    Column::words("how it failed"),
    Column::words("counts"),
];

/// Sets an answer.
pub fn series_page(answer: &SeriesAnswer, overlays: &[String], working: bool, page: &Page) -> String {
    let mut out = page.paragraph(&format!("{}: what the pull tests show", answer.series), 0);
    if answer.invented {
        out.push_str(&page.paragraph("INVENTED for a demonstration: nothing was pulled", 2));
    }
    for about in &answer.about {
        out.push_str(&page.paragraph(about, 2));
    }
    out.push_str(&overlays_sentence(overlays, page));
    for (name, kind) in &answer.kinds {
        out.push_str(&page.labelled(&format!("{name}:"), &headline(kind, answer, page.style), 2));
    }
    for (name, kind) in &answer.kinds {
        out.push_str(&one(name, kind, answer, page));
        if working {
            out.push_str(&workings(kind, page));
        }
    }
    if let Some(comparison) = &answer.comparison {
        out.push_str(&compared(comparison, answer, page));
    }
    if !answer.findings.is_empty() {
        out.push_str(&page.heading("Findings"));
        out.push_str(&findings(&answer.findings, page));
    }
    out.push_str(&page.heading("What to know besides"));
    out.push_str(&page.bullets(&answer.remarks));
    out.push_str(&page.heading("Assumed, because nobody said"));
    out.push_str(&page.bullets(&answer.defaults));
    out.push_str(&page.cautions());
    out
}

/// Says in a sentence whether the claim is supported.
fn headline(kind: &KindAnswer, answer: &SeriesAnswer, style: Style) -> String {
    let at = format!(
        "{} of all such lines, with a confidence of {}",
        share_in_words(answer.share),
        share_in_words(answer.confidence)
    );
    let Some(claim) = &kind.claim else {
        return "no claim was to be examined: neither the document nor the maker of the part states one"
            .into();
    };
    let claimed = format!(
        "{} at a design factor of {} ({} to be held)",
        rating(Some(claim.working_load_n), style),
        claim.design_factor,
        rating(Some(claim.required_n), style)
    );
    let reached = kind
        .confidence_reached
        .map(|reached| format!("; for that share they reach a confidence of {}", bounded(reached)));
    let reached = reached.unwrap_or_default();
    match kind.supported {
        Supported::Yes => format!("the tests support {claimed} for {at}{reached}"),
        Supported::NotShown => format!("the tests do not show {claimed} for {at}{reached}"),
        Supported::No => format!("NO: a specimen failed under what is claimed, {claimed}"),
        Supported::NoClaim => "no claim was examined".into(),
    }
}

/// Writes a confidence, never as if it were sure.
fn bounded(share: f64) -> String {
    match share {
        share if share > 0.9999 => "more than 99.99 %".into(),
        share if share < 0.0001 => "less than 0.01 %".into(),
        share if share < 0.99 => format!("{:.1} %", 100.0 * share),
        share => format!("{:.2} %", 100.0 * share),
    }
}

fn one(name: &str, kind: &KindAnswer, answer: &SeriesAnswer, page: &Page) -> String {
    let style = page.style;
    let mut out = page.heading(&format!("{name}: {}", kind.tests));
    out.push_str(&page.labelled("parts:", &kind.parts.join(", "), 2));
    let rows = kind
        .specimens
        .iter()
        .map(|(name, specimen)| row(name, specimen, style));
    out.push_str(&Table::new(&SPECIMENS, rows.collect()).set(page.width));
    for (label, says) in lines(kind, answer, style) {
        out.push_str(&page.labelled(&format!("{label}:"), &says, 2));
    }
    let aside = kind.specimens.iter().filter_map(|(name, specimen)| {
        let why = specimen.set_aside.as_ref()?;
        Some(format!("`{name}` is set aside: {why}"))
    });
    let explained = kind.specimens.iter().filter_map(|(name, specimen)| {
        let why = specimen.explained.as_ref()?;
        Some(format!("`{name}`: {why}"))
    });
    let told: Vec<String> = aside.chain(explained).collect();
    if !told.is_empty() {
        out.push_str(&page.bullets(&told));
    }
    let minded = minded(kind);
    if !minded.is_empty() {
        out.push_str(&page.paragraph("to mind of the specimens:", 2));
        out.push_str(&page.bullets(&minded));
    }
    out.push_str(&page.paragraph("out of service after this:", 2));
    let spent = kind
        .specimens
        .iter()
        .map(|(name, specimen)| format!("{name}: {}", specimen.out_of_service.join("; ")));
    out.push_str(&page.bullets(&spent.collect::<Vec<String>>()));
    out
}

/// Lists what to mind of specimens and of all of them; what is the same of several once.
fn minded(kind: &KindAnswer) -> Vec<String> {
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    for (name, specimen) in &kind.specimens {
        let warnings = specimen.log.iter().flat_map(|log| &log.warnings);
        for says in specimen
            .doubts
            .iter()
            .chain(warnings.map(|warning| &warning.says))
        {
            match told.iter_mut().find(|(known, _)| known == says) {
                Some((_, names)) => names.push(name),
                None => told.push((says, vec![name])),
            }
        }
    }
    let each = told
        .into_iter()
        .map(|(says, names)| format!("{}: {says}", names.join(", ")));
    kind.doubts.iter().cloned().chain(each).collect()
}

fn row(name: &str, specimen: &SpecimenAnswer, style: Style) -> Vec<String> {
    let at_least = if specimen.is_at_least { "at least " } else { "" };
    let counts = match (&specimen.set_aside, specimen.is_at_least) {
        (Some(_), _) => "set aside",
        (None, true) => "did not fail",
        (None, false) => "yes",
    };
    vec![
        name.to_string(),
        format!("{at_least}{}", rating(Some(specimen.strength_n), style)),
        specimen
            .uncertainty_n
            .map(|off_n| force(Some(off_n), style))
            .unwrap_or_default(),
        specimen
            .first_break_n
            .map(|first_n| force(Some(first_n), style))
            .unwrap_or_default(),
        rating(Some(specimen.peak_n), style),
        specimen.mode.clone(),
        counts.to_string(),
    ]
}

fn between([least, most]: [f64; 2], style: Style) -> String {
    format!("{} to {}", force(Some(least), style), force(Some(most), style))
}

/// Lists what is told in a line each.
fn lines(kind: &KindAnswer, answer: &SeriesAnswer, style: Style) -> Vec<(String, String)> {
    let mut lines = of_values(kind, style);
    lines.extend(of_limits(kind, answer, style));
    lines.extend(of_claim(kind, style));
    lines.push(("what so many tests mean".to_string(), kind.judgement.clone()));
    lines
}

/// Says what the specimens have in common.
fn of_values(kind: &KindAnswer, style: Style) -> Vec<(String, String)> {
    let mut lines: Vec<(String, String)> = Vec::new();
    if let Some(of) = &kind.summary {
        let interval = of
            .mean_interval_n
            .map(|interval| format!(" (true mean, as the cell reads: {})", between(interval, style)));
        lines.push((
            format!("mean of {}", of.n),
            rating(Some(of.mean_n), style) + &interval.unwrap_or_default(),
        ));
        let cv = of
            .cv
            .map(|cv| format!(", {:.2} % of the mean", 100.0 * cv))
            .unwrap_or_default();
        let interval = of
            .sd_interval_n
            .map(|interval| format!(" (true one {})", between(interval, style)));
        let sd = of.sd_n.map(|sd_n| match sd_n {
            sd_n if sd_n > 0.0 => force(Some(sd_n), style) + &cv + &interval.unwrap_or_default(),
            _ => "none to be seen: all are the same".into(),
        });
        lines.extend(sd.map(|says| ("standard deviation".to_string(), says)));
    }
    if let Some(of) = &kind.summary_with_set_aside {
        let sd = of
            .sd_n
            .map(|sd_n| format!(", standard deviation {}", force(Some(sd_n), style)));
        let limit = kind
            .limit_with_set_aside_n
            .map(|limit_n| format!(", lower limit (normal) {}", rating(Some(limit_n.max(0.0)), style)));
        lines.push((
            format!("with those set aside, mean of {}", of.n),
            rating(Some(of.mean_n), style) + &sd.unwrap_or_default() + &limit.unwrap_or_default(),
        ));
    }
    if let Some(left) = &kind.efficiency {
        let own = left
            .of_own
            .map(|own| format!("; {:.1} % of what the rope itself broke at", 100.0 * own));
        lines.push((
            "of the published breaking force".to_string(),
            format!(
                "{:.1} % on average, {:.1} % at the least",
                100.0 * left.mean,
                100.0 * left.least
            ) + &own.unwrap_or_default(),
        ));
    }
    lines
}

/// Says what is taken off a limit for what all readings of the cell may be off by.
fn taken_off(kind: &KindAnswer, style: Style) -> String {
    let share = kind.cell_uncertainty.filter(|share| *share > 0.0);
    let share = share.map(|share| format!("{:.2} % that the cell may be off", 100.0 * share));
    let zero = (kind.zero_uncertainty_n > 0.0).then(|| {
        let zero_n = force(Some(kind.zero_uncertainty_n), style);
        format!("{zero_n} that its zero may be off")
    });
    let told: Vec<String> = share.into_iter().chain(zero).collect();
    if told.is_empty() {
        String::new()
    } else {
        format!("; less {}", told.join(" and "))
    }
}

/// Says what limits there are.
fn of_limits(kind: &KindAnswer, answer: &SeriesAnswer, style: Style) -> Vec<(String, String)> {
    let mut lines: Vec<(String, String)> = Vec::new();
    for limit in &kind.limits {
        let how = match limit.factor {
            Some(factor) => format!("mean less {factor:.2} standard deviations"),
            None if limit.method == "any shape" => {
                format!("any shape: {} are known to hold it", limit.of)
            }
            None => limit.method.clone(),
        };
        let none = if limit.limit_n > 0.0 {
            String::new()
        } else {
            ", so the tests support nothing".into()
        };
        lines.push((
            format!(
                "lower limit for {} at {}",
                share_in_words(answer.share),
                share_in_words(answer.confidence)
            ),
            format!(
                "{} ({how}{}){none}",
                force(Some(limit.limit_n), style),
                taken_off(kind, style)
            ),
        ));
    }
    if let Some(fit) = &kind.weibull {
        lines.push((
            "Weibull".to_string(),
            format!(
                "shape {:.3}, scale {}; {} of all above {} if that were exact, which with few tests it is not",
                fit.shape,
                force(Some(fit.scale_n), style),
                share_in_words(answer.share),
                force(Some(fit.fitted_n), style)
            ),
        ));
    }
    lines
}

/// Says what that means for the claim, and how they failed.
fn of_claim(kind: &KindAnswer, style: Style) -> Vec<(String, String)> {
    let mut lines: Vec<(String, String)> = Vec::new();
    let load = kind.largest_working_load_n.filter(|load_n| *load_n > 0.0);
    lines.extend(load.map(|load_n| {
        (
            "largest working load that the limit carries at that factor".to_string(),
            force(Some(load_n), style),
        )
    }));
    if kind.supported == Supported::NotShown {
        lines.push(("to show it".to_string(), to_show(kind)));
    }
    lines.extend(kind.share_that_held.filter(|share| *share > 0.0).map(|share| {
        (
            "by how many held the claim alone".to_string(),
            format!("{:.1} % of all at the least, at that confidence", 100.0 * share),
        )
    }));
    if kind.modes.len() > 1 {
        let modes = kind.modes.iter().map(|mode| {
            format!(
                "{} {} (mean {})",
                mode.n,
                mode.mode,
                force(Some(mode.mean_n), style)
            )
        });
        lines.push((
            "ways of failing".to_string(),
            modes.collect::<Vec<String>>().join(", "),
        ));
    }
    if let Some(far) = kind.furthest.as_ref().filter(|far| far.g > far.critical) {
        lines.push((
            format!("furthest from the mean, `{}`", far.specimen),
            format!(
                "{:.2} standard deviations, {:.2} by chance: {}",
                far.g, far.critical, far.says
            ),
        ));
    }
    lines
}

/// Says what it takes to show a claim that is not shown.
fn to_show(kind: &KindAnswer) -> String {
    let by_scatter = match (kind.specimens_needed, &kind.summary) {
        (Some(needed), _) if needed > kind.failed => Some(format!(
            "{needed} specimens in all, if mean and scatter stay as they are: a plan, no promise"
        )),
        (Some(_), _) => None,
        (None, None) => by_count(kind),
        (None, Some(of)) if of.n < 3 => {
            Some("three that fail at the least, to tell anything of the scatter".into())
        }
        (None, Some(of)) if of.sd_n == Some(0.0) => {
            Some("forces that are read finer: values that are all the same tell no number".into())
        }
        (None, Some(_)) => Some("no number helps if mean and scatter stay as they are".into()),
    };
    let told: Vec<String> = by_scatter.into_iter().chain(open(kind)).collect();
    if told.is_empty() {
        return "a cell that is known better: what failed or held above what is to be held did so by less than the cell, or its zero, may be off".into();
    }
    told.join("; ")
}

/// Says how many must hold where none failed.
fn by_count(kind: &KindAnswer) -> Option<String> {
    let many = kind.all_must_hold?;
    Some(format!(
        "pull until they fail, three at the least; or {many} that all hold what is to be held for sure, whatever way strengths scatter"
    ))
}

/// Lists what keeps a claim open whatever the limit is.
fn open(kind: &KindAnswer) -> Vec<String> {
    let counted = |is: &dyn Fn(&SpecimenAnswer) -> bool| -> Vec<&str> {
        let each = kind.specimens.iter();
        let each = each.filter(|(_, specimen)| specimen.set_aside.is_none() && is(specimen));
        each.map(|(name, _)| name.as_str()).collect()
    };
    let required_n = kind.claim.as_ref().map_or(0.0, |claim| claim.required_n);
    let unseen = counted(&SpecimenAnswer::leaves_open);
    let low = counted(&|specimen| specimen.is_at_least && specimen.strength_n < required_n);
    let contradicts = counted(&|specimen| specimen.contradicts);
    let says =
        |names: &[&str], says: &str| (!names.is_empty()).then(|| format!("{}: {says}", names.join(", ")));
    [
        says(
            &contradicts,
            "left open until what is told of them goes together (see the doubts)",
        ),
        says(&unseen, "left open until somebody writes down how they ended (`saw`)"),
        says(
            &low,
            "stopped below what is to be held, which hides what they would have done: pull others up to it and on",
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn compared(comparison: &Comparison, answer: &SeriesAnswer, page: &Page) -> String {
    let style = page.style;
    let [first, second] = &comparison.kinds;
    let mut out = page.heading(&format!("{first} against {second}"));
    out.push_str(&page.paragraph(&comparison.says, 2));
    let interval = comparison.interval_n.map(|interval| {
        format!(
            " ({} at {})",
            between(interval, style),
            share_in_words(answer.confidence)
        )
    });
    let difference = force(Some(comparison.difference_n), style) + &interval.unwrap_or_default();
    out.push_str(&page.labelled("difference of means:", &difference, 2));
    if let Some((ratio, [least, most])) = comparison.ratio {
        out.push_str(&page.labelled(
            "ratio of means:",
            &format!("{ratio:.3} ({least:.3} to {most:.3})"),
            2,
        ));
    }
    let ranks = comparison.rank_p.zip(comparison.least_rank_p);
    let ranks =
        ranks.map(|(p, least)| format!("; by ranks {p:.3}, where so few can give no less than {least:.3}"));
    out.push_str(&page.labelled(
        "by chance alone as often as:",
        &format!(
            "{:.3} (Welch, t = {:.2} at {:.1} degrees of freedom){}",
            comparison.p,
            comparison.t,
            comparison.df,
            ranks.unwrap_or_default()
        ),
        2,
    ));
    out
}

fn workings(kind: &KindAnswer, page: &Page) -> String {
    let each = app::explain_kind(kind, page.style, page.width);
    format!("\n{}", each.join("\n"))
}
